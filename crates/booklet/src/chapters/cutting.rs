//! The cutting chart: cloth by cloth in cutting order, then shape by shape.

use quilt::block::{Block, RotaryShape, Template};
use quilt::cutting::{self, Use};
use quilt::measure::{Cut, Rounding};
use serde_json::{Value, json};

use super::cloths::swatch;
use super::{Desk, Used};
use crate::lengths;
use crate::words::{grouped, list};

/// Width of a cloth's layout drawing, inches, and the most it may be high.
const LAYOUT: (f64, f64) = (2.8, 3.0);

pub(super) fn data(desk: &mut Desk) -> Value {
    let cloths: Vec<Value> = desk
        .results
        .cutting
        .clone()
        .iter()
        .flat_map(|all| all.iter())
        .map(|cut| {
            let drawing = picture::cloth_layout(desk.plan, &desk.results.blocks, cut);
            let steps: Vec<Value> = cutting::steps(desk.plan, &desk.results.blocks, cut)
                .iter()
                .map(|step| in_lines(&step.text))
                .collect();
            json!({
                "number": cut.cloth.0 + 1,
                "name": desk.plan.cloth(cut.cloth).name,
                "swatch": swatch(desk, cut.cloth),
                "steps": steps,
                "layout": desk.gallery.hang_within(&drawing, LAYOUT.0, LAYOUT.1),
            })
        })
        .collect();
    let blocks: Vec<Value> = desk
        .blocks()
        .iter()
        .map(|used| shapes(desk, used))
        .collect();
    json!({ "assumed": assumed(desk), "cloths": cloths, "blocks": blocks })
}

/// A step's words, its cuts each on a line of their own where there are several.
fn in_lines(text: &str) -> Value {
    let cuts = text.split_once(". From ").and_then(|(head, rest)| {
        let (them, cuts) = rest.split_once(" cut ")?;
        let cuts: Vec<&str> = cuts.trim_end_matches('.').split("; ").collect();
        (cuts.len() > 1)
            .then(|| json!({ "head": format!("{head}. From {them} cut"), "cuts": cuts }))
    });
    cuts.unwrap_or_else(|| json!({ "head": text, "cuts": [] }))
}

/// What the chart takes for granted, as name and value.
fn assumed(desk: &Desk) -> Value {
    let plan = desk.plan;
    let rounding = match plan.ruler.rounding {
        Rounding::Up => "up to the next",
        Rounding::Nearest => "to the nearest",
    };
    json!([
        { "name": "Seam allowance", "value": format!("{}, included in every cut size", plan.measure.say(&plan.seam)) },
        {
            "name": "Ruler",
            "value": format!(
                "cut sizes are rounded {rounding} {}; what is over is the reserve you trim away",
                plan.measure.say(plan.ruler.mark())
            ),
        },
        { "name": "Strips", "value": "lie across the cloth, selvage to selvage, unless a step says lengthwise" },
        { "name": "Layers", "value": "shapes that have a left and a right hand are drawn for one layer, right side up; fold for all others" },
    ])
}

/// The table of a block's shapes.
fn shapes(desk: &Desk, used: &Used) -> Value {
    let of = desk.plan.block(used.id);
    let rows: Vec<Value> = used
        .block
        .templates
        .iter()
        .map(|template| shape(desk, used, template))
        .collect();
    json!({
        "name": of.name,
        "size": lengths::size(desk.plan.measure, &of.width, &of.height),
        "rows": rows,
    })
}

fn shape(desk: &Desk, used: &Used, template: &Template) -> Value {
    let (cut, exact, recipe) = match &template.rotary {
        Some(recipe) => sizes(desk, recipe),
        None => {
            let [w, h] = bounds(&template.cut);
            (
                "by the printed template".into(),
                format!("{w:.3} × {h:.3} in"),
                String::new(),
            )
        }
    };
    let all = template.count * used.copies;
    let (cut, exact, recipe) = match together(desk, used, template) {
        Some((singly, units)) if singly < all => {
            let rest = format!("{} with {}", grouped(all - singly), list(&units));
            match singly {
                0 => (
                    format!("with {}", list(&units)),
                    String::new(),
                    String::new(),
                ),
                _ if recipe.is_empty() => (cut, exact, rest),
                _ => (cut, exact, format!("{recipe}; {rest}")),
            }
        }
        _ => (cut, exact, recipe),
    };
    json!({
        "letter": template.letter,
        "partner": partner(&used.block, template),
        "in_block": template.count,
        "in_all": grouped(all),
        "shape": shape_name(template),
        "finished": finished(desk, template),
        "cut": cut,
        "exact": exact,
        "recipe": recipe,
    })
}

/// How many pieces of a template are cut singly, and the units whose squares and strips give
/// the others: `unit 3, eight at a time`. `None` while nothing has been chosen.
fn together(desk: &Desk, used: &Used, template: &Template) -> Option<(usize, Vec<String>)> {
    let index = used
        .block
        .templates
        .iter()
        .position(|t| t.letter == template.letter)?;
    let cutting = desk.results.cutting.as_deref()?;
    let serves = cutting
        .iter()
        .flat_map(|cut| &cut.demands)
        .flat_map(|demand| &demand.serves);
    let here = Use::Patch(used.id, index);
    let singly = serves
        .filter(|served| served.usage == here)
        .map(|s| s.count as usize);
    let batches = desk.results.making.as_ref()?.batches.iter();
    let mut units: Vec<String> = batches
        .filter(|b| b.block == used.id && b.together() && b.templates.contains(&index))
        .map(|b| format!("unit {}, {}", b.step + 1, b.recipe().way.name()))
        .collect();
    units.dedup();
    Some((singly.sum(), units))
}

/// `mirror of B`, when a template's mirror image is used too.
pub(super) fn partner(block: &Block, template: &Template) -> String {
    let letter = template
        .mirror_of
        .map(|i| block.templates[i].letter.as_str());
    letter
        .map(|letter| format!("mirror of {letter}"))
        .unwrap_or_default()
}

/// What the shape is called.
pub(super) fn shape_name(template: &Template) -> &'static str {
    match &template.rotary {
        Some(recipe) => recipe.shape.name(),
        None => match template.finished.points().len() {
            3 => "triangle",
            4 => "four-sided",
            5 => "five-sided",
            6 => "six-sided",
            _ => "many-sided",
        },
    }
}

/// The finished size: both sides of a rectangle, the sides of a triangle or of a shape
/// whose sides are all equal, else how far it reaches along and across its grain.
pub(super) fn finished(desk: &Desk, template: &Template) -> String {
    let measure = desk.plan.measure;
    let sides: Vec<f64> = template
        .finished
        .edges()
        .map(|edge| {
            let ([ax, ay], [bx, by]) = (edge.a.to_f64(), edge.b.to_f64());
            (bx - ax).hypot(by - ay)
        })
        .collect();
    let square =
        (0..sides.len()).all(|i| (template.finished.corner_angle_degrees(i) - 90.0).abs() < 1e-9);
    let by_sides = if square {
        None
    } else {
        lengths::sides(measure, &sides)
    };
    by_sides.unwrap_or_else(|| {
        let (low, high) = template.finished.bounds();
        lengths::size(measure, &(&high.x - &low.x), &(&high.y - &low.y))
    })
}

/// The cut size on the ruler, what the geometry asks for, and what to do.
fn sizes(desk: &Desk, recipe: &quilt::block::Rotary) -> (String, String, String) {
    let measure = desk.plan.measure;
    let both = |first: &Cut, second: &Cut| {
        if first.size == second.size {
            (
                format!("{} square", measure.say(&first.size)),
                exactly(desk, &[first]),
            )
        } else {
            (
                measure.size(&first.size, &second.size),
                exactly(desk, &[first, second]),
            )
        }
    };
    match recipe.shape {
        RotaryShape::Square
        | RotaryShape::Rectangle
        | RotaryShape::HalfSquareTriangle
        | RotaryShape::QuarterSquareTriangle
        | RotaryShape::HalfRectangleTriangle => {
            let (size, exact) = both(&recipe.strip, &recipe.crosscut);
            let what = match recipe.yields {
                1 => String::new(),
                n => format!("{}: makes {n}", recipe.shape.then()),
            };
            (size, exact, what)
        }
        shape => {
            let advance = recipe.advance.as_ref().unwrap_or(&recipe.crosscut);
            (
                format!(
                    "strip {}, cuts {} apart",
                    measure.say(&recipe.strip.size),
                    measure.say(&advance.size)
                ),
                exactly(desk, &[&recipe.strip, advance]),
                shape.then().into(),
            )
        }
    }
}

/// Exact sizes in decimals of the maker's unit; empty where the ruler is exact.
fn exactly(desk: &Desk, cuts: &[&Cut]) -> String {
    if cuts.iter().all(|cut| cut.size == cut.exact) {
        return String::new();
    }
    let unit = desk.plan.measure.in_inches().to_f64();
    let mut sizes: Vec<String> = cuts
        .iter()
        .map(|cut| format!("{:.3}", cut.exact.to_f64() / unit))
        .collect();
    sizes.dedup();
    format!("{} {}", sizes.join(" × "), desk.plan.measure.sign())
}

/// Width and height of an outline.
pub(super) fn bounds(points: &[[f64; 2]]) -> [f64; 2] {
    std::array::from_fn(|i| {
        let along = points.iter().map(|p| p[i]);
        along.clone().fold(f64::NEG_INFINITY, f64::max) - along.fold(f64::INFINITY, f64::min)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_cuts_stand_under_one_another() {
        let one = "Cut 2 strips 2 5/8 in wide. From them cut 18 squares 2 5/8 in: 18 B.";
        assert_eq!(in_lines(one), json!({ "head": one, "cuts": [] }));
        let two =
            "Cut 1 strip 2 in wide. From it cut 4 squares 2 in: 4 A; 2 rectangles 2 × 5 in: 2 C.";
        assert_eq!(
            in_lines(two),
            json!({
                "head": "Cut 1 strip 2 in wide. From it cut",
                "cuts": ["4 squares 2 in: 4 A", "2 rectangles 2 × 5 in: 2 C"],
            })
        );
    }

    #[test]
    fn the_words_of_cutting_are_still_the_ones_taken_apart() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../examples/orchard-at-dusk.toml");
        let (_, plan) = planfile::load(&path).expect("the demo plans are sound");
        let results = quilt::results::work_out(&plan, None);
        let cut = &results
            .cutting
            .as_deref()
            .expect("the demo top can be laid out")[0];
        let steps = cutting::steps(&plan, &results.blocks, cut);
        let cuts = |text: &str| in_lines(text)["cuts"].as_array().map_or(0, Vec::len);
        assert!(steps.iter().any(|step| cuts(&step.text) > 3), "{steps:?}");
    }
}
