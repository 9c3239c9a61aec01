//! The hanging sleeve: a tube across the top of the back.
//!
//! A strip twice as deep as the sleeve and its seams, a little longer than the quilt is wide, its ends
//! hemmed back so that the tube ends a little inside both edges.
//!
//! Sources: depth, "Quilt Show Quilt Sleeve Instructions", Hill Country Quilt Guild (8½ in
//! for 4 in, 6½ for 3); length, "How to Make a Hanging Sleeve", All People Quilt (strip
//! 2 in longer than the edge, ends hemmed 1½ in, so 1 in shorter when finished).

use geometry::Surd;

use super::Sleeve;
use crate::measure::Measure;
use crate::plan::Plan;
use crate::setting::Top;

/// Cut depth of the strip for a sleeve of finished depth `depth`: twice the depth and a
/// seam on both sides.
#[must_use]
pub fn cut_depth(depth: &Surd, seam: &Surd) -> Surd {
    (depth + seam).times(2)
}

/// How much shorter than the quilt is wide the finished sleeve is: 1 in, or 2.5 cm.
#[must_use]
pub fn shorter_by(measure: Measure) -> Surd {
    match measure {
        Measure::Inch => Surd::ONE,
        Measure::Centimetre => measure.inches(&Surd::ratio(5, 2)),
    }
}

/// What each end of the strip takes for its hem: 1½ in, or 4 cm.
#[must_use]
pub fn hem(measure: Measure) -> Surd {
    match measure {
        Measure::Inch => Surd::ratio(3, 2),
        Measure::Centimetre => measure.inches(&Surd::int(4)),
    }
}

/// Cut length of the strip for a quilt of this width: the finished length and two hems.
#[must_use]
pub fn cut_length(quilt_width: &Surd, measure: Measure) -> Surd {
    quilt_width - &shorter_by(measure) + hem(measure).times(2)
}

/// The sleeve of `top`, if the plan wants one.
pub(super) fn work_out(plan: &Plan, top: &Top) -> Option<Sleeve> {
    plan.finishing.sleeve.as_ref().map(|depth| Sleeve {
        cut_depth: cut_depth(depth, &plan.seam),
        cut_length: cut_length(&top.width, plan.measure),
    })
}
