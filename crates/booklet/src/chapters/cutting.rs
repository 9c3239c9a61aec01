//! The cutting chart: cloth by cloth in cutting order, then shape by shape.

use quilt::block::{Block, Founded, Rotary, RotaryShape, Rough, SectionKind, Template};
use quilt::cutting::{ClothCutting, Method, Sheet, Station, Use};
use quilt::measure::{Cut, Rounding};
use quilt::plan::CuttingHand;
use serde_json::{Value, json};

use super::cloths::swatch;
use super::{Desk, Used};
use crate::lengths;
use crate::words::{grouped, list};

/// Width of a cloth's layout drawing, inches, and the most it may be high.
const LAYOUT: (f64, f64) = (2.8, 3.0);

pub(super) fn data(desk: &mut Desk) -> Value {
    let table = desk.results.table.clone();
    let all = desk.results.cutting.clone();
    let stations: Vec<Value> = match (&table, &all) {
        (Some(table), Some(all)) => {
            let stations = table.0.stations.iter();
            stations.map(|it| station(desk, all, it)).collect()
        }
        _ => Vec::new(),
    };
    let blocks: Vec<Value> = desk
        .blocks()
        .iter()
        .map(|used| shapes(desk, used))
        .collect();
    json!({ "assumed": assumed(desk), "stations": stations, "blocks": blocks })
}

/// Cloths that are cut together: their names, what is done, and each different layout once.
fn station(desk: &mut Desk, all: &[ClothCutting], station: &Station) -> Value {
    let mut cloths: Vec<usize> = station.sheets.iter().map(|sheet| sheet.0).collect();
    cloths.dedup();
    let several = cloths.len() > 1;
    let plan = desk.plan;
    let named = |cloth: usize| {
        let id = all[cloth].cloth;
        format!("{} · {}", id.0 + 1, plan.cloth(id).name)
    };
    let names: Vec<String> = cloths.iter().map(|&cloth| named(cloth)).collect();
    let steps: Vec<&str> = station
        .steps
        .iter()
        .map(|step| step.text.as_str())
        .collect();
    let mut layouts: Vec<(Vec<String>, (usize, usize))> = Vec::new();
    for &(cloth, sheet) in &station.sheets {
        let look = |of: (usize, usize)| look(&all[of.0], &all[of.0].sheets[of.1]);
        match layouts
            .iter_mut()
            .find(|known| look(known.1) == look((cloth, sheet)))
        {
            Some(known) => known.0.push(named(cloth)),
            None => layouts.push((vec![named(cloth)], (cloth, sheet))),
        }
    }
    let alone = layouts.len() == 1;
    let layouts: Vec<Value> = layouts
        .into_iter()
        .map(|(names, (cloth, sheet))| {
            let cut = &all[cloth];
            let blocks = &desk.results.blocks;
            let drawing = picture::cloth_layout(desk.plan, blocks, cut, &cut.sheets[sheet]);
            let high = if several { LAYOUT.1 / 2.0 } else { LAYOUT.1 };
            let caption = if !several {
                String::new()
            } else if alone {
                "each cloth".into()
            } else {
                names.join(", ")
            };
            json!({
                "drawing": desk.gallery.hang_within(&drawing, LAYOUT.0, high),
                "caption": caption,
            })
        })
        .collect();
    let swatches: Vec<Value> = cloths
        .iter()
        .map(|&cloth| swatch(desk, all[cloth].cloth))
        .collect();
    json!({ "names": names, "swatches": swatches, "steps": steps, "layouts": layouts })
}

/// A strip as a layout shows it: where it begins, how high it is, and what lies on it.
type Look = (i64, i64, Vec<(i64, i64, i64, u32, Use)>);

/// What a layout shows; two sheets that look alike need one drawing.
fn look(cut: &ClothCutting, sheet: &Sheet) -> Vec<Look> {
    let strips = sheet.strips.iter();
    strips
        .map(|strip| {
            let slabs = strip.slabs.iter().map(|slab| {
                let usage = cut.demands[slab.demand].usage;
                (slab.x, slab.width, slab.height, slab.pieces, usage)
            });
            (strip.y, strip.height, slabs.collect())
        })
        .collect()
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
        { "name": "Layers", "value": layers(plan) },
        {
            "name": "Strips, numbered",
            "value": "from the squared end on; the drawings show each cloth opened out, right side up, and what is left over hatched",
        },
        { "name": "Beside simpler ways", "value": desk.results.table.as_ref().map_or_else(String::new, |table| table.1.in_words(plan)) },
    ])
}

/// How many layers are cut at once, and with which hand.
fn layers(plan: &quilt::plan::Plan) -> String {
    let most = match plan.cutting.layers {
        1 => "one at a time".into(),
        layers => format!("up to {layers} at once"),
    };
    let hand = match plan.cutting.hand {
        CuttingHand::Right => "",
        CuttingHand::Left => ", for the left hand",
    };
    format!("{most}{hand}; one-handed shapes lie right side up when a step says so")
}

/// The table of a block's shapes.
fn shapes(desk: &Desk, used: &Used) -> Value {
    let of = desk.plan.block(used.id);
    let cut = used.block.cutting_templates();
    let mut rows: Vec<Value> = cut
        .map(|(_, template)| shape(desk, used, template))
        .collect();
    for kind in used.block.foundation.iter().flat_map(|f| &f.kinds) {
        let pieces = kind.pieces.iter().enumerate();
        rows.extend(pieces.map(|(at, piece)| rough(desk, used, kind, at + 1, piece)));
    }
    json!({
        "name": of.name,
        "size": lengths::size(desk.plan.measure, &of.width, &of.height),
        "rows": rows,
    })
}

/// The row of a piece that is cut roughly for a foundation.
fn rough(desk: &Desk, used: &Used, kind: &SectionKind, number: usize, piece: &Rough) -> Value {
    let measure = desk.plan.measure;
    let (low, high) = used.block.patches[piece.patch].outline.bounds();
    json!({
        "letter": format!("{}{number}", kind.letter),
        "partner": "",
        "in_block": kind.count,
        "in_all": grouped(kind.count * used.copies),
        "shape": "rough rectangle",
        "finished": lengths::size(measure, &(&high.x - &low.x), &(&high.y - &low.y)),
        "cut": measure.size(&piece.along.size, &piece.across.size),
        "exact": exactly(desk, &[&piece.along, &piece.across]),
        "recipe": format!(
            "for its foundation, {} to spare all round",
            measure.say(&Founded::margin())
        ),
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
    let recipe = match (centred(desk, used, template), recipe.is_empty()) {
        (0, _) => recipe,
        (some, true) => format!("{} centred on a motif", grouped(some)),
        (some, false) => format!("{recipe}; {} centred on a motif", grouped(some)),
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

/// How many pieces of a template are centred on a motif.
pub(super) fn centred(desk: &Desk, used: &Used, template: &Template) -> usize {
    let letters = used.block.templates.iter();
    let index = letters
        .map(|t| &t.letter)
        .position(|l| *l == template.letter);
    let here = index.map(|index| Use::Patch(used.id, index));
    let cutting = desk.results.cutting.as_deref();
    let demands = cutting.into_iter().flatten().flat_map(|cut| &cut.demands);
    demands
        .filter(|demand| matches!(demand.method, Method::Centred { .. }))
        .flat_map(|demand| &demand.serves)
        .filter(|served| Some(served.usage) == here)
        .map(|served| served.count as usize)
        .sum()
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
fn sizes(desk: &Desk, recipe: &Rotary) -> (String, String, String) {
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
