//! What a field is when it is left out.
//!
//! **Units.** Exact inches. A file in centimetres has its own round defaults.
//!
//! Defaults are part of the format: once a version is released they are not changed.
//!
//! # Sources
//!
//! Usable width 40 in and 6 % for shrinkage: How to figure yardage for a quilt, FAQ
//! (Feathered Star). Backing seams of 1/2 in, double-fold binding of 2 1/2 in, 4 in of
//! backing and 3 in of batting on every side, a drop of 12 in: common practice.
//! How exactly and how fast one sews: assumptions, no measured study was found.

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::{Direction, Paper, Print};

/// So many inches, or so many centimetres; each a fraction.
fn either(measure: Measure, inches: (i64, i64), centimetres: (i64, i64)) -> Surd {
    let (n, d) = match measure {
        Measure::Inch => inches,
        Measure::Centimetre => centimetres,
    };
    measure.inches(&Surd::ratio(n, d))
}

/// Defines one default length a line: its name, inches, centimetres.
macro_rules! lengths {
    ($($(#[$doc:meta])* $name:ident: $inches:expr, $centimetres:expr;)*) => {
        $($(#[$doc])* pub(crate) fn $name(measure: Measure) -> Surd {
            either(measure, $inches, $centimetres)
        })*
    };
}

lengths! {
    /// The seam allowance.
    seam: (1, 4), (3, 4);
    /// The ruler's smallest mark.
    mark: (1, 8), (1, 10);
    /// Cloth is sold in multiples of this: an eighth of a yard, or 10 cm.
    step: (9, 2), (10, 1);
    /// Lost squaring the end of a cloth.
    squaring: (1, 1), (5, 2);
    /// Usable width of a cloth.
    width: (40, 1), (107, 1);
    /// One repeat of a print.
    scale: (1, 1), (5, 2);
    /// How far the backing reaches beyond the top.
    backing_overage: (4, 1), (10, 1);
    /// Seam allowance of the backing.
    backing_seam: (1, 2), (5, 4);
    /// How far the batting reaches beyond the top.
    batting_overage: (3, 1), (15, 2);
    /// Cut width of the binding.
    binding_width: (5, 2), (13, 2);
    /// Added to the binding's length.
    binding_extra: (10, 1), (25, 1);
    /// Standard deviation of a cut width.
    cut_error: (1, 64), (1, 25);
    /// Standard deviation of a seam allowance.
    seam_error: (1, 64), (1, 25);
    /// Length of seam stitched in a minute.
    sew: (40, 1), (100, 1);
    /// How far a bed quilt hangs down.
    drop: (12, 1), (30, 1);
}

/// Share lost in the wash.
pub(crate) fn shrinkage() -> Surd {
    Surd::ratio(6, 100)
}

/// The booklet's paper.
pub(crate) fn paper(measure: Measure) -> Paper {
    match measure {
        Measure::Inch => Paper::Letter,
        Measure::Centimetre => Paper::A4,
    }
}

/// Which way up a print may lie.
pub(crate) fn direction(print: Print) -> Direction {
    match print {
        Print::Stripe => Direction::TwoWay,
        _ => Direction::Free,
    }
}

/// The least step of L\* along an arm of a ramp. Our choice: a step that size is seen by
/// anyone.
pub(crate) fn ramp_step() -> Surd {
    Surd::int(5)
}
