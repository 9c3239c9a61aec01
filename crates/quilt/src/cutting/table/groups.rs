//! A sheet as the maker meets it: strips of one size together, and what is cut from them,
//! size by size.
//!
//! All strips of one height are cut at one setting of the ruler; then the ruler is set once
//! for each size and that size is cut from every strip that has some. So the number of
//! settings is the number of sizes, however the sizes are mixed in the strips.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::super::{ClothCutting, Demand, Laid, Method, Sheet, Use};
use super::hands::{Hand, hands};
use crate::block::RotaryShape;
use crate::plan::{BlockId, Direction, Plan};

/// What becomes of a piece once it is cut from its strip.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum After {
    /// It is done.
    Whole,
    /// Cut once corner to corner; on the rising diagonal (or not) where that matters.
    Once(Option<bool>),
    /// Cut twice corner to corner.
    Twice,
    /// Joined end to end with others, for this demand of its cloth.
    Join(usize),
    /// Cut into bias strips.
    Bias,
    /// Cut out of the cloth with a motif in its middle, for this demand of its cloth.
    Centred(usize),
    /// One of a run cut at a slant, so many marks apart; every other one turned or not;
    /// where it matters, whether it leans right going down.
    Slanted {
        shape: RotaryShape,
        apart: i64,
        turned: bool,
        leans: Option<bool>,
    },
    /// One of a run cut by the printed template, perhaps turned over.
    Template {
        block: BlockId,
        template: usize,
        mirrored: bool,
        one_hand: bool,
        turned: bool,
    },
}

/// Pieces cut alike. Ordered as they are cut: squares and rectangles before runs, high
/// before low, wide before narrow.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Kind {
    pub(super) run: bool,
    pub(super) height: Reverse<i64>,
    /// Along the strip; 0 for runs.
    pub(super) width: Reverse<i64>,
    pub(super) after: After,
}

/// How the strips of a group lie while they are cross-cut.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Mode {
    /// Nothing is cross-cut.
    Whole,
    /// Folded as they were cut: pieces in pairs from both ends, and of this kind also one
    /// from the middle, opened out; kinds without pairs follow.
    Folded(Option<Kind>),
    /// Opened out, right side up, cut from one end.
    Open,
}

/// One kind in a group.
#[derive(Clone, Debug)]
pub(super) struct Lot {
    pub(super) kind: Kind,
    /// For each strip of the group how many: rectangles, or pieces of a run.
    pub(super) each: Vec<u32>,
    /// The finished pieces that come out.
    pub(super) pieces: BTreeMap<Use, u32>,
    /// Its mirror image's place among the lots, if it is one-handed.
    pub(super) partner: Option<usize>,
    /// It stays as long as the strip.
    pub(super) whole: bool,
    /// Outline edges of a template piece.
    pub(super) edges: u32,
}

impl Lot {
    /// In folded strips: 0 if it comes in pairs only, 1 if also singly, 2 if only singly.
    /// In this order nothing is measured twice.
    pub(super) fn rank(&self) -> u32 {
        let single = self.each.iter().any(|each| each % 2 == 1);
        let pairs = self.each.iter().any(|&each| each > 1);
        match (pairs, single) {
            (true, false) => 0,
            (true, true) => 1,
            (false, _) => 2,
        }
    }
}

/// Where a group's strips lie.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Place {
    /// Rows of pieces centred on motifs, before everything else.
    Motifs,
    /// Lengths for the back, before everything else.
    Lengths,
    /// Along the selvage, in the panel that begins so many marks down.
    Along(i64),
    /// Beside that panel.
    Beside(i64),
    /// Across the whole cloth.
    Across,
}

/// Strips of one size.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) place: Place,
    pub(super) height: i64,
    pub(super) width: i64,
    /// Indices of the sheet's strips.
    pub(super) strips: Vec<usize>,
    pub(super) lots: Vec<Lot>,
    pub(super) mode: Mode,
}

/// What the groups of a cloth's sheets are worked out from.
pub(super) struct Reader<'a> {
    cutting: &'a ClothCutting,
    direction: Direction,
    hands: Vec<Hand>,
    layers: u32,
    /// One mark, inches.
    mark: f64,
}

impl<'a> Reader<'a> {
    pub(super) fn new(plan: &Plan, cutting: &'a ClothCutting) -> Self {
        let direction = plan.cloth(cutting.cloth).direction;
        Self {
            cutting,
            direction,
            hands: hands(cutting, direction),
            layers: plan.cutting.layers.max(1),
            mark: plan.ruler.mark().to_f64(),
        }
    }

    /// The groups of a sheet in the order they are cut.
    pub(super) fn groups(&self, sheet: &Sheet) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        let mut pieces = sheet.pieces.iter();
        let mut panel = (0, 0);
        for (index, strip) in sheet.strips.iter().enumerate() {
            let backing = strip
                .slabs
                .iter()
                .any(|slab| self.cutting.demands[slab.demand].usage == Use::Backing);
            if strip.lengthwise {
                let end = strip.y + strip.height;
                panel = if strip.y >= panel.1 {
                    (strip.y, end)
                } else {
                    (panel.0, panel.1.max(end))
                };
            }
            let place = match strip.lengthwise {
                true => Place::Along(panel.0),
                false if strip.centred.is_some() => Place::Motifs,
                false if strip.width < sheet.width => Place::Beside(panel.0),
                false if backing => Place::Lengths,
                false => Place::Across,
            };
            // Rows of motifs are one group, whatever their heights.
            let height = if strip.centred.is_some() {
                0
            } else {
                strip.height
            };
            let same = |g: &Group| (g.place, g.height, g.width) == (place, height, strip.width);
            let at = groups.iter().position(same).unwrap_or_else(|| {
                groups.push(Group {
                    place,
                    height,
                    width: strip.width,
                    strips: Vec::new(),
                    lots: Vec::new(),
                    mode: Mode::Whole,
                });
                groups.len() - 1
            });
            let group = &mut groups[at];
            group.strips.push(index);
            for slab in &strip.slabs {
                let here: Vec<&Laid> = pieces.by_ref().take(slab.pieces as usize).collect();
                let span = (slab.height, slab.width, slab.width == strip.width);
                self.add(group, slab.demand, span, &here);
            }
        }
        for group in &mut groups {
            self.finish(group);
        }
        groups.sort_by_key(|group| match group.place {
            Place::Motifs => (0, 0, Reverse(i64::MAX)),
            Place::Lengths => (0, 0, Reverse(group.height)),
            Place::Along(y) => (1, 2 * y, Reverse(group.width)),
            Place::Beside(y) => (1, 2 * y + 1, Reverse(group.height)),
            Place::Across => (2, 0, Reverse(group.height)),
        });
        groups
    }

    fn add(&self, group: &mut Group, demand: usize, span: (i64, i64, bool), here: &[&Laid]) {
        let (height, width, whole) = span;
        let of = &self.cutting.demands[demand];
        let run = is_slanted(of);
        let after = self.after(demand, here.first().copied());
        // In a row of motifs a lower piece lies below the top.
        let height = match (after, here.first()) {
            (After::Centred(_), Some(piece)) => tall(piece, self.mark),
            _ => height,
        };
        let kind = Kind {
            run,
            height: Reverse(height),
            width: Reverse(if run { 0 } else { width }),
            after,
        };
        let strip = group.strips.len() - 1;
        let at = group.lots.iter().position(|lot| lot.kind == kind);
        let at = at.unwrap_or_else(|| {
            group.lots.push(Lot {
                kind,
                each: Vec::new(),
                pieces: BTreeMap::new(),
                partner: None,
                whole: whole && !run,
                edges: here.first().map_or(0, |piece| piece.outline.len() as u32),
            });
            group.lots.len() - 1
        });
        let lot = &mut group.lots[at];
        lot.each.resize(strip + 1, 0);
        lot.each[strip] += if run { here.len() as u32 } else { 1 };
        for piece in here {
            *lot.pieces.entry(piece.usage).or_default() += 1;
        }
    }

    fn after(&self, demand: usize, piece: Option<&Laid>) -> After {
        let of = &self.cutting.demands[demand];
        let one_way = self.direction == Direction::OneWay;
        match &of.method {
            Method::Rectangle { .. } | Method::Lengthwise { .. } => After::Whole,
            Method::JoinedStrips { .. } => After::Join(demand),
            Method::BiasSquare { .. } => After::Bias,
            Method::Centred { .. } => After::Centred(demand),
            Method::Template => {
                let usage = piece.map_or(of.usage, |piece| piece.usage);
                let (block, template) = match usage {
                    Use::Patch(block, template) => (block, template),
                    _ => (BlockId(usize::MAX), demand),
                };
                After::Template {
                    block,
                    template,
                    mirrored: piece.is_some_and(|piece| piece.mirrored),
                    one_hand: self.hands[demand] != Hand::Even,
                    turned: !one_way,
                }
            }
            Method::Ruler(rotary) => match rotary.shape {
                RotaryShape::Square | RotaryShape::Rectangle => After::Whole,
                RotaryShape::HalfSquareTriangle if self.direction == Direction::Free => {
                    After::Once(None)
                }
                RotaryShape::HalfSquareTriangle | RotaryShape::HalfRectangleTriangle => {
                    After::Once(piece.map(|piece| rises(&piece.outline)))
                }
                RotaryShape::QuarterSquareTriangle => After::Twice,
                shape => After::Slanted {
                    shape,
                    apart: rotary
                        .advance
                        .as_ref()
                        .filter(|_| !is_trapezoid(shape))
                        .map_or(rotary.crosscut.marks, |advance| advance.marks),
                    turned: !one_way,
                    leans: match self.hands[demand] {
                        Hand::Even => None,
                        Hand::Odd(_) => piece.map(|piece| leans_right(&piece.outline)),
                    },
                },
            },
        }
    }

    fn finish(&self, group: &mut Group) {
        if group.place == Place::Motifs {
            // Cut out one by one as they lie.
            group.mode = Mode::Open;
            let strips = group.strips.len();
            for lot in &mut group.lots {
                lot.each.resize(strips, 0);
            }
            return;
        }
        group.lots.sort_by_key(|lot| lot.kind);
        let strips = group.strips.len();
        for lot in &mut group.lots {
            lot.each.resize(strips, 0);
        }
        for lot in 0..group.lots.len() {
            group.lots[lot].partner = partner(&group.lots, lot);
        }
        group.mode = mode(group, self.layers);
        if let Mode::Folded(_) = group.mode {
            group.lots.sort_by_key(|lot| (lot.rank(), lot.kind));
        }
    }

    /// The place of a slab of this demand and size in the order of cutting.
    pub(super) fn order(
        &self,
        group: &Group,
        slab: &super::super::LaidSlab,
        first: Option<&Laid>,
    ) -> usize {
        let run = is_slanted(&self.cutting.demands[slab.demand]);
        let kind = Kind {
            run,
            height: Reverse(slab.height),
            width: Reverse(if run { 0 } else { slab.width }),
            after: self.after(slab.demand, first),
        };
        let at = group.lots.iter().position(|lot| lot.kind == kind);
        at.unwrap_or(group.lots.len())
    }
}

/// The lot that is the mirror image of this one: only runs have one.
fn partner(lots: &[Lot], lot: usize) -> Option<usize> {
    let kind = lots[lot].kind;
    let mirror = match kind.after {
        After::Slanted {
            shape,
            apart,
            turned,
            leans: Some(leans),
        } => After::Slanted {
            shape,
            apart,
            turned,
            leans: Some(!leans),
        },
        _ => return None,
    };
    let wanted = Kind {
        after: mirror,
        ..kind
    };
    lots.iter().position(|lot| lot.kind == wanted)
}

/// How a group's strips lie while they are cross-cut: folded where pieces come in pairs,
/// and that is no more work than opening the strips out and laying them on each other.
fn mode(group: &Group, layers: u32) -> Mode {
    let lots: Vec<&Lot> = group.lots.iter().filter(|lot| !lot.whole).collect();
    if lots.is_empty() {
        return Mode::Whole;
    }
    let mixed: Vec<Kind> = lots
        .iter()
        .filter(|lot| lot.rank() == 1)
        .map(|lot| lot.kind)
        .collect();
    let pairs = lots.iter().any(|lot| lot.rank() < 2);
    if layers < 2 || !pairs || mixed.len() > 1 || lots.iter().any(|lot| lot.kind.run) {
        return Mode::Open;
    }
    let folded = Mode::Folded(mixed.first().copied());
    let passes = |mode: Mode| -> u32 {
        let ends = super::count::ends(&lots, mode, layers);
        let cuts = lots
            .iter()
            .map(|lot| super::count::crosscuts(&lot.each, mode, layers));
        // Opening out and laying up a stack is counted like a pass.
        let opened = super::count::opened(&lots, mode, layers);
        ends + cuts.sum::<u32>() + opened
    };
    if passes(folded) <= passes(Mode::Open) {
        folded
    } else {
        Mode::Open
    }
}

/// How high a piece is, marks.
fn tall(piece: &Laid, mark: f64) -> i64 {
    let down =
        |of: fn(f64, f64) -> f64, from: f64| piece.outline.iter().map(|p| p[1]).fold(from, of);
    let reach = down(f64::max, f64::NEG_INFINITY) - down(f64::min, f64::INFINITY);
    (reach / mark - 1e-9).ceil() as i64
}

pub(super) fn is_slanted(demand: &Demand) -> bool {
    match &demand.method {
        Method::Template => true,
        Method::Ruler(rotary) => !matches!(
            rotary.shape,
            RotaryShape::Square
                | RotaryShape::Rectangle
                | RotaryShape::HalfSquareTriangle
                | RotaryShape::HalfRectangleTriangle
                | RotaryShape::QuarterSquareTriangle
        ),
        _ => false,
    }
}

fn is_trapezoid(shape: RotaryShape) -> bool {
    matches!(shape, RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60)
}

/// Of half a rectangle: whether the cut runs from the lower left to the upper right. The
/// square corner lies off the cut, upper left or lower right of it.
fn rises(outline: &[[f64; 2]]) -> bool {
    let corner =
        |of: &dyn Fn(&[f64; 2]) -> f64| outline.iter().map(of).fold(f64::INFINITY, f64::min);
    // x + y is least at the upper left corner, x − y at the lower left one.
    let [least, most] = [corner(&|p| p[0]), -corner(&|p| -p[0])];
    let [top, bottom] = [corner(&|p| p[1]), -corner(&|p| -p[1])];
    let has = |x: f64, y: f64| {
        outline
            .iter()
            .any(|p| (p[0] - x).abs() < 1e-6 && (p[1] - y).abs() < 1e-6)
    };
    has(least, bottom) && has(most, top)
}

/// Whether a slanted piece leans to the right on its way down.
fn leans_right(outline: &[[f64; 2]]) -> bool {
    let top = outline.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    let bottom = outline
        .iter()
        .map(|p| p[1])
        .fold(f64::NEG_INFINITY, f64::max);
    let middle = |y: f64| {
        let on: Vec<f64> = outline
            .iter()
            .filter(|p| (p[1] - y).abs() < 1e-6)
            .map(|p| p[0])
            .collect();
        on.iter().sum::<f64>() / on.len().max(1) as f64
    };
    middle(bottom) > middle(top)
}
