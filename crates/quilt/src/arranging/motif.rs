//! A block made ready for trying many tops: all geometry done once, the trying in whole
//! numbers.
//!
//! The patches of one class that share edges inside the block are one *piece*. For every
//! two placements side by side a table says which pieces meet across the seam. Scoring a
//! top is then joining numbered pieces.
//!
//! **Always holds.** The counts are those [`figures`](super::figures) finds for a straight
//! setting of this block without sashing.
//!
//! **Knows nothing of** cloths taken in turn: of several, the first counts.

use geometry::Surd;

use super::figures::Dress;
use super::joined::{Endless, Joined, Reach};
use super::likeness::Classes;
use super::pose::{about_middle, own_symmetry};
use super::repeat::Turns;
use super::wallpaper::{Wallpaper, symmetry};
use crate::block::Block;
use crate::plan::{BlockId, Plan};

/// Which pieces meet: of the first block and of the one right of it, or below.
type Meeting = Vec<(u16, u16)>;

/// A block ready for trying.
#[derive(Clone, Debug)]
pub struct Motif {
    /// Its placements.
    pub turns: Turns,
    /// The same with mirrored blocks, for judging symmetry.
    eight: Turns,
    /// Whether the block is wider than high, or higher than wide.
    oblong: bool,
    /// How many classes there are.
    pub classes: usize,
    /// Class and area of the pieces that reach the block's edge.
    open: Vec<(usize, f64)>,
    /// For each class how many pieces lie within the block, the largest, and all of them.
    within: Vec<(usize, f64, f64)>,
    /// By placement and side (top, right, bottom, left) the open pieces there.
    sides: Vec<[Vec<u16>; 4]>,
    /// By placement of the left and of the right block.
    beside: Vec<Vec<Meeting>>,
    /// By placement of the upper and of the lower block.
    below: Vec<Vec<Meeting>>,
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

impl Motif {
    /// Makes block `id` of the plan ready. `mirrored` allows its mirror image, other
    /// units to sew. `None` for a block with more than 65,535 pieces.
    #[must_use]
    pub fn of(
        plan: &Plan,
        id: BlockId,
        block: &Block,
        classes: &Classes,
        mirrored: bool,
    ) -> Option<Self> {
        let of = plan.block(id);
        let worn: Vec<Option<usize>> = block
            .patches
            .iter()
            .map(|patch| {
                let place = patch.place?;
                let cloth = of.places[place].cloths.first()?;
                Some(classes.class(id, place, *cloth))
            })
            .collect();
        let own = own_symmetry(block, &worn);
        let turns = Turns::of_block(&own, mirrored, of.width == of.height);
        let dress = Dress::of(block, &worn);
        let mut number = vec![None; dress.pieces.len()];
        let mut open = Vec::new();
        for stretch in &dress.outer {
            let piece = &dress.pieces[stretch.owner];
            if let (None, Some(class)) = (number[stretch.owner], piece.class) {
                number[stretch.owner] = Some(u16::try_from(open.len()).ok()?);
                open.push((class, piece.area.to_f64()));
            }
        }
        let mut within = vec![(0, 0.0_f64, 0.0); classes.names.len()];
        for (piece, number) in dress.pieces.iter().zip(&number) {
            if let (None, Some(class)) = (number, piece.class) {
                within[class].0 += 1;
                within[class].1 = within[class].1.max(piece.area.to_f64());
                within[class].2 += piece.area.to_f64();
            }
        }
        let runs: Vec<[Vec<Run>; 4]> = turns
            .poses
            .iter()
            .map(|&pose| runs(block, &dress, &number, &about_middle(pose, block)))
            .collect();
        let meeting = |a: usize, b: usize| -> Vec<Vec<Meeting>> {
            let one = |first: &[Vec<Run>; 4]| {
                runs.iter()
                    .map(|second| met(&first[a], &second[b], &open))
                    .collect()
            };
            runs.iter().map(one).collect()
        };
        Some(Self {
            beside: meeting(1, 3),
            below: meeting(2, 0),
            sides: runs.iter().map(touched).collect(),
            classes: classes.names.len(),
            eight: Turns::of_block(&own, true, of.width == of.height),
            oblong: of.width != of.height,
            turns,
            open,
            within,
        })
    }

    /// The symmetry of a square repeat if it goes on without end.
    #[must_use]
    pub fn symmetry(&self, side: usize, cells: &[u8]) -> Wallpaper {
        let look = |&cell: &u8| {
            let pose = self.turns.poses[usize::from(cell)];
            self.eight.placement(pose).unwrap_or_default()
        };
        let looks: Vec<u8> = cells.iter().map(look).collect();
        symmetry(side, &looks, self.oblong, |pose, &p| {
            self.eight.turned(pose, p)
        })
    }

    /// What every class's largest connected shape is if the repeat goes on without end.
    #[must_use]
    pub fn reach(&self, rows: usize, columns: usize, cells: &[u8]) -> Vec<Option<Reach>> {
        let size = self.open.len();
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
        let mut out: Vec<Option<Reach>> = self
            .within
            .iter()
            .map(|(count, ..)| (*count > 0).then_some(Reach::Figure))
            .collect();
        for thing in 0..cells.len() * size {
            let class = self.open[thing % size].0;
            out[class] = out[class].max(Some(sets.reach(thing)));
        }
        out
    }
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

fn met(first: &[Run], second: &[Run], open: &[(usize, f64)]) -> Meeting {
    let mut out = Meeting::new();
    for (from, to, a) in first {
        for (low, high, b) in second {
            let alike = open[usize::from(*a)].0 == open[usize::from(*b)].0;
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

/// Tries tops of one block, one after another, in the same room.
#[derive(Debug)]
pub struct Trying<'a> {
    motif: &'a Motif,
    joined: Joined,
    area: Vec<f64>,
    clipped: Vec<bool>,
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
        let size = motif.open.len();
        let all = rows * columns * size;
        self.joined.reset(all);
        self.area.clear();
        self.area.resize(all, 0.0);
        self.clipped.clear();
        self.clipped.resize(all, false);
        let place = |row: usize, column: usize| usize::from(at(row, column));
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
        self.count(rows * columns)
    }

    fn count(&mut self, blocks: usize) -> &[Score] {
        self.scores.clear();
        #[expect(
            clippy::cast_precision_loss,
            reason = "a top has a few thousand blocks"
        )]
        let times = blocks as f64;
        let within = self.motif.within.iter();
        self.scores
            .extend(within.map(|&(count, largest, area)| Score {
                whole: count * blocks,
                clipped: 0,
                largest,
                whole_area: area * times,
            }));
        let mut thing = 0;
        for _ in 0..blocks {
            for &(_, area) in &self.motif.open {
                let first = self.joined.first(thing);
                self.area[first] += area;
                thing += 1;
            }
        }
        let mut thing = 0;
        for _ in 0..blocks {
            for &(class, _) in &self.motif.open {
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
                thing += 1;
            }
        }
        &self.scores
    }
}
