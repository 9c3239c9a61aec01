//! Placements of a block in a repeat, and what turning the quilt does to them.
//!
//! A block that looks the same in two poses has fewer *placements* than poses: a
//! half-square triangle has four and not eight. A [`Turns`] holds the placements of one
//! block, or of several that may lie in any cell, and how a turn of the whole quilt
//! exchanges them.

use super::pose::Pose;

/// The distinct placements of the blocks that may lie in a cell.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Turns {
    /// The poses a quilt may be turned by without becoming another: the four turns, or
    /// with mirrored blocks all eight.
    pub quilt: Vec<Pose>,
    /// For each placement the pose that stands for it: one that is not mirrored if it
    /// can be, of those the least turn.
    pub poses: Vec<Pose>,
    /// For each placement which of the blocks it is of.
    pub blocks: Vec<usize>,
    /// By block the placement of each of the eight poses; `None` for those not allowed.
    of: Vec<[Option<u8>; 8]>,
}

impl Turns {
    /// The placements of a block with this symmetry of its own.
    ///
    /// `mirrored` allows the mirror image of the block, other units to sew unless the
    /// block is its own mirror image; `square` blocks may be turned by quarters.
    #[must_use]
    pub fn of_block(own: &[Pose], mirrored: bool, square: bool) -> Self {
        Self::of_blocks(&[own.to_vec()], mirrored, square)
    }

    /// The placements of several blocks of one size, each with its own symmetry; those
    /// of the first come first.
    #[must_use]
    pub fn of_blocks(own: &[Vec<Pose>], mirrored: bool, square: bool) -> Self {
        let allowed = |p: &Pose| (mirrored || !p.mirrored()) && (square || p.keeps_oblongs());
        let quilt: Vec<Pose> = Pose::ALL.into_iter().filter(allowed).collect();
        let (mut poses, mut blocks, mut all) = (Vec::new(), Vec::new(), Vec::new());
        for (block, own) in own.iter().enumerate() {
            let mut of = [None; 8];
            for &pose in &quilt {
                if of[pose.index()].is_some() {
                    continue;
                }
                let number = u8::try_from(poses.len()).ok();
                for own in own.iter().filter(|own| allowed(own)) {
                    of[pose.after(*own).index()] = number;
                }
                // Every block looks the same as drafted.
                of[pose.index()] = number;
                poses.push(pose);
                blocks.push(block);
            }
            all.push(of);
        }
        Self {
            quilt,
            poses,
            blocks,
            of: all,
        }
    }

    /// How many placements there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.poses.len()
    }

    /// Never: a block can always lie as drafted.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.poses.is_empty()
    }

    /// The placement of one of the blocks in this pose, if it is allowed.
    #[must_use]
    pub fn placement(&self, block: usize, pose: Pose) -> Option<u8> {
        self.of.get(block)?[pose.index()]
    }

    /// Where turning the quilt by `pose` (one of [`Turns::quilt`]) takes a placement.
    #[must_use]
    pub fn turned(&self, pose: Pose, placement: u8) -> u8 {
        let at = usize::from(placement);
        self.of[self.blocks[at]][pose.after(self.poses[at]).index()].unwrap_or(placement)
    }
}

/// What may be done to a group of cells that leaves it the same setting: each cell's new
/// place and the turn of its block.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Move {
    /// The turn of the whole.
    pub pose: Pose,
    /// The new index of each cell (row by row).
    pub to: Vec<u16>,
}

/// Every turn of `rows × columns` cells onto themselves; with `repeats` also every shift
/// round the repeat. An oblong group allows half turns and mirrors only.
#[must_use]
pub fn moves(rows: usize, columns: usize, turns: &Turns, repeats: bool) -> Vec<Move> {
    let fits = |p: &&Pose| rows == columns || p.keeps_oblongs();
    let shifts: Vec<(usize, usize)> = if repeats {
        (0..rows)
            .flat_map(|r| (0..columns).map(move |c| (r, c)))
            .collect()
    } else {
        vec![(0, 0)]
    };
    let mut all = Vec::new();
    for &pose in turns.quilt.iter().filter(fits) {
        for &shift in &shifts {
            all.push(Move {
                pose,
                to: landed(pose, rows, columns, shift),
            });
        }
    }
    all
}

fn landed(pose: Pose, rows: usize, columns: usize, shift: (usize, usize)) -> Vec<u16> {
    let signed = |n: usize| i64::try_from(n).unwrap_or(0);
    let (height, width) = (signed(rows), signed(columns));
    let mut to = Vec::with_capacity(rows * columns);
    for row in 0..height {
        for column in 0..width {
            // Twice the distance from the middle, so that all stays whole.
            let (x, y) = pose.vector((2 * column + 1 - width, 2 * row + 1 - height));
            let column = ((x + width - 1) / 2 + signed(shift.1)).rem_euclid(width);
            let row = ((y + height - 1) / 2 + signed(shift.0)).rem_euclid(height);
            to.push(u16::try_from(row * width + column).unwrap_or(0));
        }
    }
    to
}

impl Move {
    /// What the setting becomes.
    #[must_use]
    pub fn applied(&self, turns: &Turns, cells: &[u8]) -> Vec<u8> {
        let mut out = vec![0; cells.len()];
        for (cell, &to) in cells.iter().zip(&self.to) {
            out[usize::from(to)] = turns.turned(self.pose, *cell);
        }
        out
    }

    /// This move after another.
    #[must_use]
    pub fn after(&self, first: &Move) -> Move {
        Move {
            pose: self.pose.after(first.pose),
            to: first.to.iter().map(|&m| self.to[usize::from(m)]).collect(),
        }
    }
}
