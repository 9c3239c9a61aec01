//! What to cut for each part of the top.
//!
//! ```text
//!   s = seam allowance
//!   rectangle                    length + 2s by width + 2s
//!   square cut once    (2 of)    short side + s·(2 + √2)       the familiar 7⁄8
//!   square cut twice   (4 of)    long side  + 2s·(1 + √2)      the familiar 1 1⁄4
//!   strip with slanting ends     long side  + 2s by width + 2s, and a spare
//! ```
//!
//! **Units.** Exact inches; the ruler comes later ([`Ruler::cut`](crate::measure::Ruler::cut)).
//!
//! **Knows nothing of** the cloth, its width or how the pieces lie on it.

use geometry::Surd;

use super::{Part, PartShape};

/// How one part is cut, exact.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PartCut {
    /// One rectangle.
    Rectangle {
        /// Along its finished length.
        length: Surd,
        /// Along its finished width.
        width: Surd,
    },
    /// A square of this side, cut once on the diagonal: two triangles with the straight
    /// grain on their short sides.
    SquareCutOnce {
        /// Side of the square.
        side: Surd,
    },
    /// A square of this side, cut on both diagonals: four triangles with the straight
    /// grain on their long side.
    SquareCutTwice {
        /// Side of the square.
        side: Surd,
    },
    /// A strip cut straight, its ends cut at 45° when it is sewn.
    Strip {
        /// The least length: the finished long side and a seam at both ends. The seam
        /// line of the slanting end reaches the raw edge there.
        length: Surd,
        /// Along its finished width.
        width: Surd,
        /// What to add to `length` so that the slanting ends have their whole seam
        /// allowance right into the points: `2s·√2`. Makers often cut longer still;
        /// published advice for mitred borders runs from ½ to 4 in beyond the finished
        /// length.
        spare: Surd,
    },
}

impl PartCut {
    /// How many parts one first cut yields: 1, 2 or 4.
    #[must_use]
    pub fn yields(&self) -> u32 {
        match self {
            Self::Rectangle { .. } | Self::Strip { .. } => 1,
            Self::SquareCutOnce { .. } => 2,
            Self::SquareCutTwice { .. } => 4,
        }
    }
}

/// What to cut for `part` with this seam allowance.
#[must_use]
pub fn part_cut(part: &Part, seam: &Surd) -> PartCut {
    let (length, width) = (straight(&part.length, seam), straight(&part.width, seam));
    match part.shape {
        PartShape::Rectangle => PartCut::Rectangle { length, width },
        PartShape::HalfSquare => PartCut::SquareCutOnce {
            side: square_cut_once(&(&part.length * &Surd::root2().half()), seam),
        },
        PartShape::QuarterSquare => PartCut::SquareCutTwice {
            side: square_cut_twice(&part.length, seam),
        },
        PartShape::MitredStrip => PartCut::Strip {
            length,
            width,
            spare: seam * &Surd::root2().times(2),
        },
    }
}

/// A finished length with a seam at both ends: `length + 2s`.
#[must_use]
pub fn straight(length: &Surd, seam: &Surd) -> Surd {
    length + &seam.times(2)
}

/// The square that, cut once on the diagonal, makes two triangles finishing with short
/// sides of `leg`: `leg + s·(2 + √2)`.
///
/// Offsetting a right isosceles triangle outward by `s` lengthens each short side by
/// `s·(1 + cot 22.5°)`.
#[must_use]
pub fn square_cut_once(leg: &Surd, seam: &Surd) -> Surd {
    leg + &(seam * &(Surd::TWO + Surd::root2()))
}

/// The square that, cut on both diagonals, makes four triangles finishing with a long
/// side of `long`: `long + 2s·(1 + √2)`.
#[must_use]
pub fn square_cut_twice(long: &Surd, seam: &Surd) -> Surd {
    long + &(seam * &(Surd::TWO + Surd::root2().times(2)))
}
