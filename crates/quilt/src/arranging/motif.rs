//! Blocks made ready for trying many tops: all geometry done once, the trying in whole
//! numbers.
//!
//! The patches of one class that share edges inside a block are one *piece*. For every
//! two placements side by side a table says which pieces meet across the seam. Scoring a
//! top is then joining numbered pieces.
//!
//! **Always holds.** The counts are those [`figures`](super::figures) finds for a straight
//! setting of these blocks without sashing.
//!
//! **Knows nothing of** cloths taken in turn: of several, the first counts.

use geometry::Surd;

use super::figures::Dress;
use super::joined::{Endless, Joined, Reach};
use super::likeness::Classes;
use super::middle::{Extent, Middle};
use super::named::dark_corner;
use super::pose::{Pose, about_middle, own_symmetry};
use super::repeat::Turns;
use super::wallpaper::{Wallpaper, symmetry};
use crate::block::Block;
use crate::colour::lab;
use crate::plan::{BlockId, CellPlan, ClothId, Plan};
use crate::results::Blocks;

/// Which pieces meet: of the first block and of the one right of it, or below.
type Meeting = Vec<(u16, u16)>;

/// A block in its own cloths or in those of one of its colourways.
pub type Worn = (BlockId, Option<usize>);

/// The cloth of one of a block's places: of several taken in turn the first.
pub(crate) fn cloth(plan: &Plan, (block, colourway): Worn, place: usize) -> Option<ClothId> {
    let of = plan.block(block);
    let way = colourway.and_then(|way| of.colourways.get(way));
    way.and_then(|way| way.places.iter().find(|(p, _)| *p == place))
        .map_or(&of.places[place].cloths, |(_, cloths)| cloths)
        .first()
        .copied()
}

/// Blocks ready for trying.
#[derive(Clone, Debug)]
pub struct Motif {
    /// The blocks, in the order the plan's repeat names them.
    pub worn: Vec<Worn>,
    /// How many cells of the plan's repeat each takes.
    pub cells: Vec<usize>,
    /// Their placements.
    pub turns: Turns,
    /// The same with mirrored blocks, for judging symmetry.
    eight: Turns,
    /// Whether the blocks are wider than high, or higher than wide.
    oblong: bool,
    /// How many classes there are.
    pub classes: usize,
    /// By block class and area of the pieces that reach its edge.
    open: Vec<Vec<(usize, f64)>>,
    /// The most pieces of one block that reach its edge.
    most: usize,
    /// By block, for each class how many pieces lie within it, the largest, and all of
    /// them.
    within: Vec<Vec<(usize, f64, f64)>>,
    /// By placement and side (top, right, bottom, left) the open pieces there.
    sides: Vec<[Vec<u16>; 4]>,
    /// By placement of the left and of the right block.
    beside: Vec<Vec<Meeting>>,
    /// By placement of the upper and of the lower block.
    below: Vec<Vec<Meeting>>,
    /// How far the pieces extend.
    extents: Vec<Extent>,
    /// By placement the dark corner of a block with two halves; see
    /// [`trade_name`](super::named::trade_name). `None` for other blocks and for several.
    pub dark: Option<Vec<u8>>,
}

/// What a top shows of one class.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Score {
    /// Figures that do not touch the edge.
    pub whole: usize,
    /// Figures that do.
    pub clipped: usize,
    /// Area of the largest figure, square inches.
    pub largest: f64,
    /// Area of all whole figures together, square inches.
    pub whole_area: f64,
}

/// A stretch of a side: from, to, and the piece.
type Run = (Surd, Surd, u16);

/// One block taken apart into pieces.
struct Parted<'a> {
    block: &'a Block,
    dress: Dress,
    /// By piece its number among those that reach the edge.
    number: Vec<Option<u16>>,
    open: Vec<(usize, f64)>,
    own: Vec<Pose>,
}

impl<'a> Parted<'a> {
    fn of(plan: &Plan, worn: Worn, block: &'a Block, classes: &Classes) -> Option<Self> {
        let class_of = |place: usize| Some(classes.class(worn.0, place, cloth(plan, worn, place)?));
        let patches = block.patches.iter();
        let wears: Vec<Option<usize>> = patches
            .map(|patch| patch.place.and_then(class_of))
            .collect();
        let dress = Dress::of(block, &wears);
        let mut number = vec![None; dress.pieces.len()];
        let mut open = Vec::new();
        for stretch in &dress.outer {
            let piece = &dress.pieces[stretch.owner];
            if let (None, Some(class)) = (number[stretch.owner], piece.class) {
                number[stretch.owner] = Some(u16::try_from(open.len()).ok()?);
                open.push((class, piece.area.to_f64()));
            }
        }
        Some(Self {
            own: own_symmetry(block, &wears),
            block,
            dress,
            number,
            open,
        })
    }

    fn within(&self, classes: usize) -> Vec<(usize, f64, f64)> {
        let mut within = vec![(0, 0.0_f64, 0.0); classes];
        for (piece, number) in self.dress.pieces.iter().zip(&self.number) {
            if let (None, Some(class)) = (number, piece.class) {
                within[class].0 += 1;
                within[class].1 = within[class].1.max(piece.area.to_f64());
                within[class].2 += piece.area.to_f64();
            }
        }
        within
    }

    /// The dark corner of the block in each of these poses, if it has two halves.
    fn dark_corners(&self, plan: &Plan, worn: Worn, poses: &[Pose]) -> Option<Vec<u8>> {
        let (low, high) = self.block.drafted.outline.bounds();
        let (low, high) = (
            [low.x.to_f64(), low.y.to_f64()],
            [high.x.to_f64(), high.y.to_f64()],
        );
        let share = |at: f64, axis: usize| (at - low[axis]) / (high[axis] - low[axis]) - 0.5;
        let patches: Vec<(f64, [f64; 2], f64)> = self
            .block
            .patches
            .iter()
            .filter_map(|patch| {
                let cloth = cloth(plan, worn, patch.place?)?;
                let [light, ..] = lab(plan.cloth(cloth).colour);
                let [x, y] = patch.outline.centroid().to_f64();
                Some((
                    patch.outline.area().to_f64(),
                    [share(x, 0), share(y, 1)],
                    light,
                ))
            })
            .collect();
        let upright = dark_corner(&patches)?;
        const CORNERS: [(i64, i64); 4] = [(-1, -1), (1, -1), (1, 1), (-1, 1)];
        let turned = |pose: &Pose| {
            let to = pose.vector(CORNERS[usize::from(upright)]);
            u8::try_from(CORNERS.iter().position(|c| *c == to)?).ok()
        };
        poses.iter().map(turned).collect()
    }
}

impl Motif {
    /// Makes the blocks of the plan's repeat ready. `mirrored` allows their mirror
    /// images, other units to sew. `None` if the blocks differ in size, one cannot be
    /// drafted or there are none, and for blocks with more than 65,535 pieces or more
    /// than 31 blocks.
    #[must_use]
    pub fn of(plan: &Plan, blocks: &Blocks, classes: &Classes, mirrored: bool) -> Option<Self> {
        let (worn, cells) = laid(&plan.setting.cells.cells);
        let first = plan.block(worn.first()?.0);
        let alike = |of: &Worn| {
            let of = plan.block(of.0);
            (&of.width, &of.height) == (&first.width, &first.height)
        };
        if worn.len() > 31 || !worn.iter().all(alike) {
            return None;
        }
        let square = first.width == first.height;
        let parted: Vec<Parted> = worn
            .iter()
            .map(|&of| Parted::of(plan, of, blocks.get(of.0.0)?.as_deref()?, classes))
            .collect::<Option<_>>()?;
        let own: Vec<Vec<Pose>> = parted.iter().map(|p| p.own.clone()).collect();
        let turns = Turns::of_blocks(&own, mirrored, square);
        let placed = || turns.blocks.iter().map(|&b| &parted[b]).zip(&turns.poses);
        let runs: Vec<[Vec<Run>; 4]> = placed()
            .map(|(p, &pose)| runs(p.block, &p.dress, &p.number, &about_middle(pose, p.block)))
            .collect();
        let open: Vec<_> = parted.iter().map(|p| p.open.clone()).collect();
        let meeting = |a: usize, b: usize| -> Vec<Vec<Meeting>> {
            let one = |(first, here): (&[Vec<Run>; 4], &usize)| {
                let each = runs.iter().zip(&turns.blocks);
                each.map(|(second, there)| met(&first[a], &second[b], &open[*here], &open[*there]))
                    .collect()
            };
            runs.iter().zip(&turns.blocks).map(one).collect()
        };
        Some(Self {
            beside: meeting(1, 3),
            below: meeting(2, 0),
            sides: runs.iter().map(touched).collect(),
            extents: placed()
                .map(|(p, &pose)| Extent::of(p.block, &p.dress, &p.number, pose))
                .collect(),
            dark: match &parted[..] {
                [one] if square => one.dark_corners(plan, worn[0], &turns.poses),
                _ => None,
            },
            classes: classes.names.len(),
            eight: Turns::of_blocks(&own, true, square),
            oblong: !square,
            within: parted
                .iter()
                .map(|p| p.within(classes.names.len()))
                .collect(),
            most: open.iter().map(Vec::len).max().unwrap_or(0),
            open,
            turns,
            worn,
            cells,
        })
    }

    /// The symmetry of a repeat if it goes on without end; `cells` fill a square.
    #[must_use]
    pub fn symmetry(&self, side: usize, cells: &[u8]) -> Wallpaper {
        let look = |&cell: &u8| {
            let at = usize::from(cell);
            let (block, pose) = (self.turns.blocks[at], self.turns.poses[at]);
            self.eight.placement(block, pose).unwrap_or_default()
        };
        let looks: Vec<u8> = cells.iter().map(look).collect();
        symmetry(side, &looks, self.oblong, |pose, &p| {
            self.eight.turned(pose, p)
        })
    }

    /// Area of the largest piece of a class in one block alone.
    #[must_use]
    pub(super) fn largest_piece(&self, class: usize) -> f64 {
        let open = self.open.iter().flatten();
        let open = open.filter(|piece| piece.0 == class).map(|piece| piece.1);
        let within = self.within.iter().map(|of| of[class].1);
        open.chain(within).fold(0.0, f64::max)
    }

    /// Whether a repeat takes the blocks in the proportion the plan's own does, as
    /// nearly as its cells allow.
    #[must_use]
    pub fn as_often(&self, cells: &[u8]) -> bool {
        let all: usize = self.cells.iter().sum();
        (0..self.worn.len()).all(|block| {
            let here = |c: &&u8| self.turns.blocks[usize::from(**c)] == block;
            let count = cells.iter().filter(here).count();
            // Within one cell of the exact share.
            (count * all).abs_diff(self.cells[block] * cells.len()) < all
        })
    }

    /// What every class's largest connected shape is if the repeat goes on without end.
    #[must_use]
    pub fn reach(&self, rows: usize, columns: usize, cells: &[u8]) -> Vec<Option<Reach>> {
        let size = self.most;
        let block = |at: usize| self.turns.blocks[usize::from(cells[at])];
        let mut sets = Endless::new(cells.len() * size);
        for (row, column) in (0..rows).flat_map(|r| (0..columns).map(move |c| (r, c))) {
            let at = row * columns + column;
            let here = usize::from(cells[at]);
            let right = row * columns + (column + 1) % columns;
            let down = (row + 1) % rows * columns + column;
            let over = |last: bool| i32::from(last);
            for &(a, b) in &self.beside[here][usize::from(cells[right])] {
                let step = (over(column + 1 == columns), 0);
                sets.join(
                    at * size + usize::from(a),
                    right * size + usize::from(b),
                    step,
                );
            }
            for &(a, b) in &self.below[here][usize::from(cells[down])] {
                let step = (0, over(row + 1 == rows));
                sets.join(
                    at * size + usize::from(a),
                    down * size + usize::from(b),
                    step,
                );
            }
        }
        let mut out = vec![None; self.classes];
        for at in 0..cells.len() {
            for (class, (count, ..)) in self.within[block(at)].iter().enumerate() {
                out[class] = out[class].max((*count > 0).then_some(Reach::Figure));
            }
            for (piece, (class, _)) in self.open[block(at)].iter().enumerate() {
                let reach = Some(sets.reach(at * size + piece));
                out[*class] = out[*class].max(reach);
            }
        }
        out
    }
}

/// The blocks cells lay, in order of first use, and how many cells each takes.
fn laid(cells: &[CellPlan]) -> (Vec<Worn>, Vec<usize>) {
    let (mut worn, mut count): (Vec<Worn>, Vec<usize>) = (Vec::new(), Vec::new());
    for cell in cells {
        let of = (cell.block, cell.colourway);
        if let Some(at) = worn.iter().position(|w| *w == of) {
            count[at] += 1;
        } else {
            worn.push(of);
            count.push(1);
        }
    }
    (worn, count)
}

/// The sides of the block in this placement, each with what lies along it, in order.
fn runs(
    block: &Block,
    dress: &Dress,
    number: &[Option<u16>],
    motion: &geometry::Motion,
) -> [Vec<Run>; 4] {
    let (low, high) = block.drafted.outline.bounds();
    let mut sides: [Vec<Run>; 4] = Default::default();
    for stretch in &dress.outer {
        let Some(piece) = number[stretch.owner] else {
            continue;
        };
        let (a, b) = (motion.apply(&stretch.from), motion.apply(&stretch.to));
        let (side, from, to) = if a.y == b.y {
            (if a.y == low.y { 0 } else { 2 }, a.x, b.x)
        } else {
            (if a.x == high.x { 1 } else { 3 }, a.y, b.y)
        };
        let (from, to) = if from < to { (from, to) } else { (to, from) };
        sides[side].push((from, to, piece));
    }
    debug_assert!(low.x < high.x, "a block has some width");
    for side in &mut sides {
        side.sort();
    }
    sides
}

fn met(first: &[Run], second: &[Run], here: &[(usize, f64)], there: &[(usize, f64)]) -> Meeting {
    let mut out = Meeting::new();
    for (from, to, a) in first {
        for (low, high, b) in second {
            let alike = here[usize::from(*a)].0 == there[usize::from(*b)].0;
            if alike && from.max(low) < to.min(high) {
                out.push((*a, *b));
            }
        }
    }
    out.sort_unstable();
    out.dedup();
    out
}

fn touched(sides: &[Vec<Run>; 4]) -> [Vec<u16>; 4] {
    sides.each_ref().map(|side| {
        let mut pieces: Vec<u16> = side.iter().map(|run| run.2).collect();
        pieces.sort_unstable();
        pieces.dedup();
        pieces
    })
}

/// Tries tops of these blocks, one after another, in the same room.
#[derive(Debug)]
pub struct Trying<'a> {
    motif: &'a Motif,
    joined: Joined,
    area: Vec<f64>,
    clipped: Vec<bool>,
    /// By cell, row by row, the placement there.
    placed: Vec<u8>,
    scores: Vec<Score>,
}

impl<'a> Trying<'a> {
    /// Ready to try tops of this block.
    #[must_use]
    pub fn new(motif: &'a Motif) -> Self {
        Self {
            motif,
            joined: Joined::new(0),
            area: Vec::new(),
            clipped: Vec::new(),
            placed: Vec::new(),
            scores: Vec::new(),
        }
    }

    /// What a top of `rows × columns` blocks shows, class by class; `at` gives the
    /// placement of the block in each row and column.
    pub fn top(
        &mut self,
        rows: usize,
        columns: usize,
        at: impl Fn(usize, usize) -> u8,
    ) -> &[Score] {
        let motif = self.motif;
        let size = motif.most;
        let all = rows * columns * size;
        self.joined.reset(all);
        self.area.clear();
        self.area.resize(all, 0.0);
        self.clipped.clear();
        self.clipped.resize(all, false);
        self.placed.clear();
        let cells = (0..rows).flat_map(|r| (0..columns).map(move |c| (r, c)));
        self.placed.extend(cells.map(|(r, c)| at(r, c)));
        let placed = &self.placed;
        let place = |row: usize, column: usize| usize::from(placed[row * columns + column]);
        for row in 0..rows {
            for column in 0..columns {
                let here = place(row, column);
                let base = (row * columns + column) * size;
                if column + 1 < columns {
                    for &(a, b) in &motif.beside[here][place(row, column + 1)] {
                        self.joined
                            .join(base + usize::from(a), base + size + usize::from(b));
                    }
                }
                if row + 1 < rows {
                    let next = base + columns * size;
                    for &(a, b) in &motif.below[here][place(row + 1, column)] {
                        self.joined
                            .join(base + usize::from(a), next + usize::from(b));
                    }
                }
            }
        }
        let ends = |row: usize, column: usize| {
            [
                row == 0,
                column + 1 == columns,
                row + 1 == rows,
                column == 0,
            ]
        };
        for row in 0..rows {
            for column in 0..columns {
                let base = (row * columns + column) * size;
                let sides = &motif.sides[place(row, column)];
                for (pieces, end) in sides.iter().zip(ends(row, column)) {
                    if end {
                        for &piece in pieces {
                            let first = self.joined.first(base + usize::from(piece));
                            self.clipped[first] = true;
                        }
                    }
                }
            }
        }
        self.count()
    }

    fn count(&mut self) -> &[Score] {
        let motif = self.motif;
        self.scores.clear();
        self.scores.resize(motif.classes, Score::default());
        for (cell, &placed) in self.placed.iter().enumerate() {
            let block = motif.turns.blocks[usize::from(placed)];
            for (score, &(count, largest, area)) in self.scores.iter_mut().zip(&motif.within[block])
            {
                score.whole += count;
                score.largest = score.largest.max(largest);
                score.whole_area += area;
            }
            for (piece, &(_, area)) in motif.open[block].iter().enumerate() {
                let first = self.joined.first(cell * motif.most + piece);
                self.area[first] += area;
            }
        }
        for (cell, &placed) in self.placed.iter().enumerate() {
            let block = motif.turns.blocks[usize::from(placed)];
            for (piece, &(class, _)) in motif.open[block].iter().enumerate() {
                let thing = cell * motif.most + piece;
                // Only the first of a set has gathered any area.
                if self.area[thing] > 0.0 {
                    let score = &mut self.scores[class];
                    score.largest = score.largest.max(self.area[thing]);
                    if self.clipped[thing] {
                        score.clipped += 1;
                    } else {
                        score.whole += 1;
                        score.whole_area += self.area[thing];
                    }
                }
            }
        }
        &self.scores
    }

    /// By class the area of the whole figure that lies about the middle of the top tried
    /// last, `columns` blocks wide: as far from it to the left as to the right, and as
    /// far up as down. Zero where there is none.
    pub fn middle(&mut self, columns: usize) -> Vec<f64> {
        let motif = self.motif;
        let rows = self.placed.len() / columns.max(1);
        let mut middle = Middle::new(motif.classes, (rows, columns), self.area.len());
        for (cell, &placed) in self.placed.iter().enumerate() {
            let placed = usize::from(placed);
            let extent = &motif.extents[placed];
            let at = (cell / columns, cell % columns);
            middle.lies_within(at, extent);
            for piece in 0..motif.open[motif.turns.blocks[placed]].len() {
                let first = self.joined.first(cell * motif.most + piece);
                middle.reaches(first, at, extent, piece);
            }
        }
        for (cell, &placed) in self.placed.iter().enumerate() {
            let block = motif.turns.blocks[usize::from(placed)];
            for (piece, &(class, _)) in motif.open[block].iter().enumerate() {
                let thing = cell * motif.most + piece;
                if self.area[thing] > 0.0 && !self.clipped[thing] {
                    middle.judge(thing, class, self.area[thing]);
                }
            }
        }
        middle.largest
    }
}
