//! Whether a figure lies about the middle of a top.
//!
//! A figure lies about the middle if it reaches as far from it to the left as to the
//! right, and as far up as down: what the eye calls centred, rings with a hole in them
//! included. Extents are measured in blocks, so that every block has the same.

use geometry::Motion;

use super::figures::Dress;
use super::pose::{Pose, about_middle};
use crate::block::Block;

/// Left, top, right, bottom, as shares of the block.
type Box = [f64; 4];

/// Nothing yet: anything added is all of it.
const NOTHING: Box = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];

/// Farther apart than rounding makes them, nearer than any eye sees.
const NEAR: f64 = 1e-6;

/// How far the pieces of one placement of a block extend.
#[derive(Clone, Debug)]
pub(super) struct Extent {
    /// Of the pieces that reach the edge, by number.
    open: Vec<Box>,
    /// Class and area of the pieces within that lie about the block's own middle.
    middle: Vec<(usize, f64)>,
}

impl Extent {
    pub(super) fn of(block: &Block, dress: &Dress, number: &[Option<u16>], pose: Pose) -> Self {
        let motion = about_middle(pose, block);
        let count = number.iter().flatten().count();
        let mut open = vec![NOTHING; count];
        let mut middle = Vec::new();
        for (index, piece) in dress.pieces.iter().enumerate() {
            let patches = piece.patches.iter();
            let extent = patches
                .map(|&patch| share(block, patch, &motion))
                .fold(NOTHING, both);
            match (number[index], piece.class) {
                (Some(number), _) => open[usize::from(number)] = extent,
                (None, Some(class)) if centred(extent, (1, 1)) => {
                    middle.push((class, piece.area.to_f64()));
                }
                _ => {}
            }
        }
        Self { open, middle }
    }
}

/// The extent of a patch as shares of its block.
fn share(block: &Block, patch: usize, motion: &Motion) -> Box {
    let of = |low: &geometry::Point, high: &geometry::Point| {
        [
            low.x.to_f64(),
            low.y.to_f64(),
            high.x.to_f64(),
            high.y.to_f64(),
        ]
    };
    let (low, high) = block.drafted.outline.bounds();
    let [left, top, right, bottom] = of(&low, &high);
    let (low, high) = block.patches[patch].outline.moved(motion).bounds();
    let [a, b, c, d] = of(&low, &high);
    let (width, height) = (right - left, bottom - top);
    [
        (a - left) / width,
        (b - top) / height,
        (c - left) / width,
        (d - top) / height,
    ]
}

fn both(a: Box, b: Box) -> Box {
    [
        a[0].min(b[0]),
        a[1].min(b[1]),
        a[2].max(b[2]),
        a[3].max(b[3]),
    ]
}

#[expect(clippy::cast_precision_loss, reason = "a top has a few hundred rows")]
fn centred([left, top, right, bottom]: Box, (rows, columns): (usize, usize)) -> bool {
    (left + right - columns as f64).abs() < NEAR && (top + bottom - rows as f64).abs() < NEAR
}

/// The figures about the middle of one top.
pub(super) struct Middle {
    size: (usize, usize),
    extents: Vec<Box>,
    /// By class the area of the largest.
    pub(super) largest: Vec<f64>,
}

impl Middle {
    /// A top of so many rows and columns, with room for so many sets of pieces.
    pub(super) fn new(classes: usize, size: (usize, usize), things: usize) -> Self {
        Self {
            size,
            extents: vec![NOTHING; things],
            largest: vec![0.0; classes],
        }
    }

    /// The pieces within the block in this row and column.
    pub(super) fn lies_within(&mut self, (row, column): (usize, usize), extent: &Extent) {
        if (2 * row + 1, 2 * column + 1) == self.size {
            for &(class, area) in &extent.middle {
                self.largest[class] = self.largest[class].max(area);
            }
        }
    }

    /// A piece of the block in this row and column belongs to a set.
    pub(super) fn reaches(
        &mut self,
        set: usize,
        (row, column): (usize, usize),
        extent: &Extent,
        piece: usize,
    ) {
        #[expect(clippy::cast_precision_loss, reason = "a top has a few hundred rows")]
        let (down, right) = (row as f64, column as f64);
        let [a, b, c, d] = extent.open[piece];
        let moved = [a + right, b + down, c + right, d + down];
        self.extents[set] = both(self.extents[set], moved);
    }

    /// A set is a whole figure of this class and area.
    pub(super) fn judge(&mut self, set: usize, class: usize, area: f64) {
        if centred(self.extents[set], self.size) {
            self.largest[class] = self.largest[class].max(area);
        }
    }
}
