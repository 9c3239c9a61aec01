//! The top laid over a bed or over a size that is wanted, from above.
//!
//! ```text
//!    ┌─────────────────┐
//!    │  ┌╌╌ bed ╌╌┐    │      the bed dashed, the top in an even tint with its edge
//!    │3 ┆         ┆ 3  │      drawn; how far it hangs down stands beside and below
//!    │  └╌╌╌╌╌╌╌╌╌┘    │
//!    │       2         │
//!    └─────────────────┘
//! ```

use geometry::Surd;
use quilt::plan::Plan;
use quilt::setting::{OnBed, Top};

use crate::drawing::{Dash, Drawing, Ink, Label, Path, Shape, Stroke};
use crate::flat::P;
use crate::quilt::rectangle;

/// Size of the words, points.
const WORDS: f64 = 8.0;

/// The top over what it is made for. Drawn about 3 in wide.
#[must_use]
pub fn over_bed(plan: &Plan, top: &Top, on: &OnBed) -> Drawing {
    let [left, up, width, height] = on.under.clone().map(|length| length.to_f64());
    let size = [top.width.to_f64(), top.height.to_f64()];
    let low = [left.min(0.0), up.min(0.0)];
    let high = [size[0].max(left + width), size[1].max(up + height)];
    let at = |p: P| [p[0] - low[0], p[1] - low[1]];
    let mut drawing = Drawing::new(on.says.clone(), high[0] - low[0], high[1] - low[1])
        .with_margin([14.0, 4.0, 14.0, 4.0]);
    let ring = |low: P, high: P| {
        vec![Path {
            points: rectangle(at(low), at(high)),
            closed: true,
        }]
    };
    let quilt = || ring([0.0, 0.0], size);
    let bed = ring([left, up], [left + width, up + height]);
    drawing.push(Shape::filled(quilt(), Ink::Tint));
    drawing.push(Shape::drawn(quilt(), Stroke::new(Ink::Ink, 1.4)));
    drawing.push(Shape::drawn(
        bed,
        Stroke::new(Ink::Ink, 1.2).dashed(Dash::Stitches),
    ));
    let middle = [size[0] / 2.0, up + height / 2.0];
    drawing.push(Label::new(on.name.clone(), at(middle), WORDS).on_plate());
    // Numbers where the top hangs down, or where it is short.
    let number = |length: &Surd| plan.measure.number(&length.abs());
    let sides = [left / 2.0, f64::midpoint(left + width, size[0])];
    for x in sides {
        if !on.side.is_zero() {
            let label = Label::new(number(&on.side), at([x, middle[1]]), WORDS);
            drawing.push(label.on_plate());
        }
    }
    if !on.foot.is_zero() {
        let y = f64::midpoint(up + height, size[1]);
        let label = Label::new(number(&on.foot), at([middle[0], y]), WORDS);
        drawing.push(label.on_plate());
    }
    drawing
}
