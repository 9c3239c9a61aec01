//! The binding: length, strips, and the square for a bias binding.
//!
//! The length is the way round the quilt and the plan's extra for the corners and the
//! last join. Straight strips run from selvage to selvage and are joined on the diagonal,
//! two strips crossing at a right angle; each such join takes the strip's own width:
//!
//! ```text
//!   n strips reach   n·(cloth width) − (n − 1)·(strip width)
//! ```
//!
//! A bias binding is cut from a square whose two halves are joined and cut round in a
//! spiral. The square holds length × width of binding and the one seam that joins its
//! halves.
//!
//! Published examples take the joins in different ways or not at all; `fixtures/handbook/binding.csv` and
//! `bias.csv` say which, and [`strips_needed`] and [`bias_square`] give them all.

use geometry::Surd;

use super::Binding;
use crate::measure::Measure;
use crate::plan::{BindingRun, Plan};
use crate::setting::Top;

/// The length of binding for a quilt of this size: the way round and `extra`.
#[must_use]
pub fn length(width: &Surd, height: &Surd, extra: &Surd) -> Surd {
    (width + height).times(2) + extra
}

/// How many strips as long as the cloth is wide reach `length`, when each join takes
/// `join`: the least n with n·`cloth_width` − (n − 1)·`join` ≥ `length`, and at least 1.
#[must_use]
pub fn strips_needed(length: &Surd, cloth_width: &Surd, join: &Surd) -> u32 {
    super::pieces_needed(length, cloth_width, join)
}

/// The side of the square that yields `length` of bias strip `strip` wide, in whole
/// units of `measure` rounded up: the least side with (side − 2·`seam`)·side ≥
/// `length` × `strip`. In inches.
///
/// With a seam of nought it is the trade's rule, the square root of length × width
/// rounded up. Sources: "Making continuous piping strips / bias binding", a
/// soft-furnishing forum; "How much fabric for bias binding?", Quilters Question Time.
#[must_use]
pub fn bias_square(length: &Surd, strip: &Surd, seam: &Surd, measure: Measure) -> Surd {
    let unit = measure.in_inches();
    let area = length * strip;
    let enough = |units: i64| {
        let side = unit.times(units);
        (&side - &seam.times(2)) * side >= area
    };
    // The float finds the neighbourhood, the exact sums the side.
    let near = (area.to_f64().max(0.0).sqrt() / unit.to_f64()).floor() as i64;
    let mut units = (near - 1).max(1);
    while !enough(units) {
        units += 1;
    }
    unit.times(units)
}

/// The length of bias strip `strip` wide that a square of this side yields, by the trade's
/// rule: side² ÷ width.
///
/// `None` if `strip` is nought. Source: as [`bias_square`], the first.
#[must_use]
pub fn bias_yield(side: &Surd, strip: &Surd) -> Option<Surd> {
    (side * side).checked_div(strip)
}

/// The binding of `top`.
pub(super) fn work_out(plan: &Plan, top: &Top) -> Binding {
    let binding = &plan.finishing.binding;
    let length = length(&top.width, &top.height, &binding.extra);
    let cloth_width = super::cloth_width(plan, binding.cloth);
    let (strips, square) = match binding.run {
        BindingRun::Straight => (strips_needed(&length, &cloth_width, &binding.width), None),
        BindingRun::Bias => {
            let square = bias_square(&length, &binding.width, &plan.seam, plan.measure);
            (0, Some(square))
        }
    };
    Binding {
        cloth: binding.cloth,
        length,
        strip: binding.width.clone(),
        strips,
        bias_square: square,
    }
}
