//! Connected shapes of like cloth on the actual top: which come out whole, which the edge
//! clips, and which are the same shape in different turns. Exact.
//!
//! A figure is made of patches (and of sashing or setting triangles) of one class that
//! share edges. It is *clipped* where it touches the edge of the field of blocks; borders
//! end the field and are no part of a figure.
//!
//! **Frame.** That of the top.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Motion, Point, Surd};

use super::edges::{Contact, Stretch, meet};
use super::joined::{Endless, Joined, Reach};
use super::likeness::Classes;
use super::shape::{Shape, shape_of};
use crate::block::Block;
use crate::plan::{BlockId, Plan};
use crate::results::Blocks;
use crate::setting::{PartKind, Top, cloth_of};

/// One connected shape of one class.
#[derive(Clone, PartialEq, Debug)]
pub struct Figure {
    /// Its class.
    pub class: usize,
    /// Its shape: figures with the same number are the same after turning and shifting.
    pub shape: usize,
    /// Whether it touches the edge of the field.
    pub clipped: bool,
    /// Its area, square inches.
    pub area: Surd,
    /// The blocks it lies in, as indices of [`Top::blocks`], in order.
    pub blocks: Vec<usize>,
    /// The places it is made of, in the plan's order.
    pub places: BTreeSet<(BlockId, usize)>,
    /// How far it would reach if the setting went on.
    pub reach: Reach,
}

/// All connected shapes of a top, and where different classes meet.
#[derive(Clone, PartialEq, Debug)]
pub struct Figures {
    /// What counted as like.
    pub classes: Classes,
    /// The figures, by the first of their blocks in reading order.
    pub figures: Vec<Figure>,
    /// For each pair of different classes that meet, the length of their seams, inches.
    pub seams: BTreeMap<(usize, usize), f64>,
}

/// A block as it is dressed: its patches of one class joined to pieces.
pub(super) struct Dress {
    pub(super) pieces: Vec<Piece>,
    /// Edges on the block's outline, with the piece.
    pub(super) outer: Vec<Stretch>,
    /// Pieces of different class that meet inside, each pair with its length.
    inner: Vec<Contact>,
}

pub(super) struct Piece {
    pub(super) class: Option<usize>,
    pub(super) area: Surd,
    pub(super) patches: Vec<usize>,
    places: BTreeSet<usize>,
    edge: Vec<Stretch>,
}

impl Dress {
    pub(super) fn of(block: &Block, classes: &[Option<usize>]) -> Self {
        let drawn = &block.drafted.arrangement;
        let mut joined = Joined::new(classes.len());
        for edge in &drawn.edges {
            if let (Some(a), Some(b)) = (edge.left, edge.right)
                && classes[a].is_some()
                && classes[a] == classes[b]
            {
                joined.join(a, b);
            }
        }
        let firsts: Vec<usize> = (0..classes.len()).map(|i| joined.first(i)).collect();
        let mut number = BTreeMap::new();
        let mut pieces: Vec<Piece> = Vec::new();
        for (patch, first) in firsts.iter().enumerate() {
            let piece = *number.entry(*first).or_insert_with(|| {
                pieces.push(Piece {
                    class: classes[patch],
                    area: Surd::ZERO,
                    patches: Vec::new(),
                    places: BTreeSet::new(),
                    edge: Vec::new(),
                });
                pieces.len() - 1
            });
            pieces[piece].patches.push(patch);
            pieces[piece].area += block.patches[patch].outline.area();
            pieces[piece].places.extend(block.patches[patch].place);
        }
        let mut dress = Self {
            pieces,
            outer: Vec::new(),
            inner: Vec::new(),
        };
        for edge in &drawn.edges {
            let piece = |face: Option<usize>| face.map(|f| number[&firsts[f]]);
            let ends = [&drawn.vertices[edge.from], &drawn.vertices[edge.to]];
            dress.seam(piece(edge.left), piece(edge.right), ends);
        }
        dress
    }

    fn seam(&mut self, left: Option<usize>, right: Option<usize>, [a, b]: [&Point; 2]) {
        if left == right {
            return;
        }
        if let (Some(one), Some(other)) = (left, right) {
            let [x, y] = (b - a).to_f64();
            let length = x.hypot(y);
            self.inner.push(Contact { one, other, length });
        }
        for (owner, from, to) in [(right, a, b), (left, b, a)] {
            let Some(owner) = owner else { continue };
            let stretch = Stretch {
                owner,
                from: from.clone(),
                to: to.clone(),
            };
            if left.is_none() || right.is_none() {
                self.outer.push(stretch.clone());
            }
            self.pieces[owner].edge.push(stretch);
        }
    }
}

/// A piece where it lies: of which placed block and dress, or which part of the top.
#[derive(Clone, Copy)]
enum Lies {
    Block {
        placed: usize,
        dress: usize,
        piece: usize,
    },
    Part(usize),
}

struct Field<'a> {
    top: &'a Top,
    dresses: Vec<Dress>,
    lies: Vec<Lies>,
    class: Vec<Option<usize>>,
    stretches: Vec<Stretch>,
    inner: Vec<Contact>,
}

/// Finds every figure of the top. `blocks` has one entry a block of the plan.
#[must_use]
pub fn figures(plan: &Plan, blocks: &Blocks, top: &Top, classes: Classes) -> Figures {
    let field = Field::of(plan, blocks, top, &classes);
    let met = meet(&field.stretches);
    let mut joined = Joined::new(field.lies.len());
    let mut seams: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    for contact in met.contacts.iter().chain(&field.inner) {
        let (a, b) = (field.class[contact.one], field.class[contact.other]);
        if a.is_some() && a == b {
            joined.join(contact.one, contact.other);
        } else if let (Some(a), Some(b)) = (a, b) {
            *seams.entry((a.min(b), a.max(b))).or_default() += contact.length;
        }
    }
    let mut clipped = vec![false; field.lies.len()];
    for open in &met.open {
        clipped[joined.first(open.owner)] = true;
    }
    let endless = field.endless(plan, &met.contacts);
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for piece in 0..field.lies.len() {
        if field.class[piece].is_some() {
            members.entry(joined.first(piece)).or_default().push(piece);
        }
    }
    let mut shapes = Shapes::default();
    let figures = members
        .iter()
        .map(|(first, pieces)| {
            let mut figure = field.figure(pieces, clipped[*first], &mut shapes);
            figure.reach = endless.reach(plan, &field, pieces);
            figure
        })
        .collect();
    Figures {
        classes,
        figures,
        seams,
    }
}

impl<'a> Field<'a> {
    fn of(plan: &Plan, blocks: &Blocks, top: &'a Top, classes: &Classes) -> Self {
        let mut field = Self {
            top,
            dresses: Vec::new(),
            lies: Vec::new(),
            class: Vec::new(),
            stretches: Vec::new(),
            inner: Vec::new(),
        };
        let mut known: BTreeMap<(BlockId, Vec<Option<usize>>), usize> = BTreeMap::new();
        for (index, placed) in top.blocks.iter().enumerate() {
            let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
                continue;
            };
            let class = |(patch, p): (usize, &crate::block::Patch)| {
                let place = p.place?;
                let cloth = cloth_of(plan, placed, place, patch);
                Some(classes.class(placed.block, place, cloth))
            };
            let worn: Vec<Option<usize>> = block.patches.iter().enumerate().map(class).collect();
            let dress = *known
                .entry((placed.block, worn))
                .or_insert_with_key(|(_, worn)| {
                    field.dresses.push(Dress::of(block, worn));
                    field.dresses.len() - 1
                });
            field.lay(index, dress, &placed.motion);
        }
        for (index, part) in top.parts.iter().enumerate() {
            if !is_border(part.kind) {
                let owner = field.lies.len();
                field.lies.push(Lies::Part(index));
                field.class.push(classes.of_part(part.cloth));
                field.stretches.extend(part_edge(top, index, owner));
            }
        }
        field
    }

    fn lay(&mut self, placed: usize, dress: usize, motion: &Motion) {
        let base = self.lies.len();
        let worn = &self.dresses[dress];
        for (piece, of) in worn.pieces.iter().enumerate() {
            self.lies.push(Lies::Block {
                placed,
                dress,
                piece,
            });
            self.class.push(of.class);
        }
        self.inner.extend(worn.inner.iter().map(|contact| Contact {
            one: contact.one + base,
            other: contact.other + base,
            ..*contact
        }));
        let moved = worn.outer.iter().map(|s| moved(s, motion, s.owner + base));
        self.stretches.extend(moved);
    }

    fn figure(&self, pieces: &[usize], clipped: bool, shapes: &mut Shapes) -> Figure {
        let mut figure = Figure {
            class: self.class[pieces[0]].unwrap_or_default(),
            shape: shapes.number(self, pieces),
            clipped,
            area: Surd::ZERO,
            blocks: Vec::new(),
            places: BTreeSet::new(),
            reach: Reach::Figure,
        };
        for &piece in pieces {
            match self.lies[piece] {
                Lies::Block {
                    placed,
                    dress,
                    piece,
                } => {
                    let of = &self.dresses[dress].pieces[piece];
                    let block = self.top.blocks[placed].block;
                    figure.area += &of.area;
                    figure.places.extend(of.places.iter().map(|p| (block, *p)));
                    if figure.blocks.last() != Some(&placed) {
                        figure.blocks.push(placed);
                    }
                }
                Lies::Part(part) => figure.area += self.top.parts[part].outline.area(),
            }
        }
        figure
    }

    /// The figures of the setting without end, from the contacts found on the top: each
    /// piece stands for its copies one repeat further. A top smaller than a repeat and
    /// a row shows less of it.
    fn endless(&self, plan: &Plan, contacts: &[Contact]) -> Without {
        let mut number = BTreeMap::new();
        for lies in &self.lies {
            if let Some((key, _)) = self.in_repeat(plan, *lies) {
                let next = number.len();
                number.entry(key).or_insert(next);
            }
        }
        let mut sets = Endless::new(number.len());
        for contact in contacts {
            if self.class[contact.one].is_none()
                || self.class[contact.one] != self.class[contact.other]
            {
                continue;
            }
            let ends = [contact.one, contact.other].map(|i| self.in_repeat(plan, self.lies[i]));
            if let [Some((a, from)), Some((b, to))] = ends {
                let step = (to.0 - from.0, to.1 - from.1);
                sets.join(number[&a], number[&b], step);
            }
        }
        Without { number, sets }
    }

    /// A piece by what it is within its repeat, and which repeat that is (right, down).
    fn in_repeat(&self, plan: &Plan, lies: Lies) -> Option<(Key, (i32, i32))> {
        let Lies::Block {
            placed,
            dress,
            piece,
        } = lies
        else {
            return None;
        };
        let at = &self.top.blocks[placed];
        let (rows, columns) = period(plan);
        let step = (
            i32::try_from(at.column / columns).ok()?,
            i32::try_from(at.row / rows).ok()?,
        );
        let key = (at.row % rows, at.column % columns, at.between, dress, piece);
        Some((key, step))
    }
}

/// Row and column in the repeat, whether between, dress and piece.
type Key = (u32, u32, bool, usize, usize);

struct Without {
    number: BTreeMap<Key, usize>,
    sets: Endless,
}

impl Without {
    fn reach(&self, plan: &Plan, field: &Field, pieces: &[usize]) -> Reach {
        let known = |&piece: &usize| {
            let (key, _) = field.in_repeat(plan, field.lies[piece])?;
            Some(self.sets.reach(*self.number.get(&key)?))
        };
        pieces
            .iter()
            .filter_map(known)
            .max()
            .unwrap_or(Reach::Figure)
    }
}

/// Rows and columns after which everything repeats.
fn period(plan: &Plan) -> (u32, u32) {
    let of = |n: usize| u32::try_from(n).unwrap_or(u32::MAX).max(1);
    let main = &plan.setting.cells;
    match &plan.setting.kind {
        crate::plan::Kind::Straight => (of(main.rows), of(main.columns)),
        crate::plan::Kind::OnPoint { between, .. } => (
            common(of(main.rows), of(between.rows)),
            common(of(main.columns), of(between.columns)),
        ),
    }
}

/// The least common multiple.
pub(super) fn common(a: u32, b: u32) -> u32 {
    let (mut x, mut y) = (a, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    a / x.max(1) * b
}

fn is_border(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::BorderSide(_) | PartKind::BorderEnd(_) | PartKind::BorderSquare(_)
    )
}

fn moved(stretch: &Stretch, motion: &Motion, owner: usize) -> Stretch {
    Stretch {
        owner,
        from: motion.apply(&stretch.from),
        to: motion.apply(&stretch.to),
    }
}

fn part_edge(top: &Top, part: usize, owner: usize) -> impl Iterator<Item = Stretch> + '_ {
    let points = top.parts[part].outline.points();
    // A polygon's ring has its inside on the right hand.
    (0..points.len()).map(move |i| Stretch {
        owner,
        from: points[i].clone(),
        to: points[(i + 1) % points.len()].clone(),
    })
}

/// Shapes met so far. Figures put together alike need not be traced again.
#[derive(Default)]
struct Shapes {
    known: BTreeMap<Vec<(Point, u8, usize, usize)>, usize>,
    numbers: BTreeMap<Shape, usize>,
}

impl Shapes {
    fn number(&mut self, field: &Field, pieces: &[usize]) -> usize {
        let made_of = Self::made_of(field, pieces);
        if let Some(&number) = made_of.as_ref().and_then(|key| self.known.get(key)) {
            return number;
        }
        let mut edge = Vec::new();
        for &piece in pieces {
            match field.lies[piece] {
                Lies::Block {
                    placed,
                    dress,
                    piece,
                } => {
                    let motion = &field.top.blocks[placed].motion;
                    let of = &field.dresses[dress].pieces[piece];
                    edge.extend(of.edge.iter().map(|s| moved(s, motion, 0)));
                }
                Lies::Part(part) => edge.extend(part_edge(field.top, part, 0)),
            }
        }
        let next = self.numbers.len();
        let shape = shape_of(&meet(&edge).open);
        let number = *self.numbers.entry(shape).or_insert(next);
        if let Some(key) = made_of {
            self.known.insert(key, number);
        }
        number
    }

    /// Its pieces and how they lie to the first; `None` with parts of the top in it.
    fn made_of(field: &Field, pieces: &[usize]) -> Option<Vec<(Point, u8, usize, usize)>> {
        let mut base: Option<&Point> = None;
        pieces
            .iter()
            .map(|&piece| match field.lies[piece] {
                Lies::Block {
                    placed,
                    dress,
                    piece,
                } => {
                    let at = &field.top.blocks[placed];
                    let origin = at.motion.origin();
                    let from = *base.get_or_insert(origin);
                    Some((origin - from, at.turn, dress, piece))
                }
                Lies::Part(_) => None,
            })
            .collect()
    }
}
