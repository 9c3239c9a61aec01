//! Small drawings: a swatch, the cloths by value, and the square that checks the print.

use quilt::cloth::{Group, Values};
use quilt::plan::{ClothId, Plan};

use crate::drawing::{Anchor, ClothShape, Dot, Drawing, Ink, Label, Lay, Path, Shape, Stroke};
use crate::palette::ClothInk;
use crate::patches::strokes;
use crate::prints;
use crate::quilt::rectangle;

/// A piece of one cloth, 3 in wide and 2 in high, to be drawn smaller.
#[must_use]
pub fn swatch(plan: &Plan, cloth: ClothId) -> Drawing {
    let mut drawing = Drawing::new(format!("Cloth “{}”.", plan.cloth(cloth).name), 3.0, 2.0)
        .with_margin([0.6; 4]);
    cloth_box(&mut drawing, cloth.0, [0.0; 2], [3.0, 2.0]);
    drawing
}

/// The cloths from light to dark, group by group, each over the grey the eye takes from it,
/// with their numbers (from 1, in the plan's order). A dot marks a borderline cloth.
#[must_use]
pub fn value_strip(plan: &Plan, values: &Values) -> Drawing {
    let groups: Vec<&Group> = values.groups.iter().rev().collect();
    let groups = groups.into_iter().filter(|group| !group.cloths.is_empty());
    let mut drawing = Drawing::new("The cloths from light to dark.", 2.0, 3.0)
        .with_margin([13.0, 0.6, 13.0, 0.6]);
    let mut left = 0.0;
    for group in groups {
        let first = left;
        for &cloth in group.cloths.iter().rev() {
            let colour = prints::mean(&ClothInk::of(plan.cloth(cloth)));
            cloth_box(&mut drawing, cloth.0, [left, 0.0], [left + 2.0, 2.0]);
            let grey = vec![Path::ring(rectangle([left, 2.0], [left + 2.0, 3.0]))];
            drawing.push(Shape::filled(grey, Ink::Flat(colour.grey())));
            let middle = left + 1.0;
            if values.borderline(cloth).is_some() {
                let light = colour.luminance() > 0.3;
                drawing.push(Dot {
                    at: [middle, 2.5],
                    radius: 2.0,
                    fill: Some(if light { Ink::Ink } else { Ink::Paper }),
                    stroke: None,
                });
            }
            let number = Label::new((cloth.0 + 1).to_string(), [middle, 3.0], 8.0);
            drawing.push(number.shifted([0.0, 8.0], Anchor::Middle));
            left += 2.0;
        }
        let ring = Path::ring(rectangle([first, 0.0], [left, 3.0]));
        drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.5)));
        let name = Label::new(group.name.clone(), [first, 0.0], 8.0);
        drawing.push(name.shifted([0.0, -6.0], Anchor::Start));
        left += 0.6;
    }
    drawing.width = (left - 0.6).max(2.0);
    drawing
}

/// A square of 1 in and a bar of 2 cm, to lay a ruler on before anything is cut: write it
/// `true_width()` wide.
#[must_use]
pub fn check_square() -> Drawing {
    let bar = 2.0 / 2.54;
    let mut drawing = Drawing::new(
        "A square of 1 in and a bar of 2 cm, to check the print.",
        1.0,
        1.0,
    )
    .with_margin([3.0, bar * 72.0 + 20.0, 3.0, 3.0]);
    let ring = Path::ring(rectangle([0.0; 2], [1.0; 2]));
    drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.75)));
    let ticks = |along: fn(f64) -> [[f64; 2]; 2]| (1..4).map(move |i| along(f64::from(i) / 4.0));
    let marks = ticks(|t| [[t, 0.0], [t, 0.06]]).chain(ticks(|t| [[0.0, t], [0.06, t]]));
    drawing.push(Shape::drawn(
        marks.map(|[a, b]| Path::line(a, b)).collect(),
        Stroke::new(Ink::Ink, 0.5),
    ));
    drawing.push(Label::new("1 in", [0.5, 0.5], 9.0));

    let (left, y) = (1.0 + 10.0 / 72.0, 0.5);
    let cm = |t: f64| left + t / 2.54;
    let mut lines = vec![Path::line([cm(0.0), y], [cm(2.0), y])];
    for (t, tall) in [
        (0.0, 0.1),
        (0.5, 0.05),
        (1.0, 0.08),
        (1.5, 0.05),
        (2.0, 0.1),
    ] {
        lines.push(Path::line([cm(t), y - tall], [cm(t), y]));
    }
    drawing.push(Shape::drawn(lines, Stroke::new(Ink::Ink, 0.75)));
    drawing.push(Label::new("2 cm", [cm(1.0), y], 9.0).shifted([0.0, 9.0], Anchor::Middle));
    drawing
}

fn cloth_box(drawing: &mut Drawing, cloth: usize, low: [f64; 2], high: [f64; 2]) {
    let outline = rectangle(low, high);
    drawing.push(ClothShape {
        outline: outline.clone(),
        cloth,
        lay: Lay::default(),
    });
    drawing.push(Shape::drawn(vec![Path::ring(outline)], strokes::seam()));
}
