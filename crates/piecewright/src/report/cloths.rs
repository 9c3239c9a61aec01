//! Cloth in the report: what to buy and how it is laid.

use quilt::colour;
use quilt::cutting::{self, ClothCutting, Laid, Use};
use quilt::plan::{Plan, Value};
use quilt::results::Results;
use serde::Serialize;

use super::Spot;

#[derive(Serialize)]
pub(super) struct Cloth {
    id: String,
    name: String,
    lab: [f64; 3],
    value: &'static str,
    borderline: bool,
    width: f64,
    buy: Buy,
    used_area: f64,
    needs: f64,
    at_least: f64,
    proved_best: bool,
    layout: Layout,
}

#[derive(Serialize)]
struct Buy {
    length: f64,
    step: f64,
    yards: String,
    /// Whether no plan of strips can do with a smaller purchase.
    proved_best: bool,
}

#[derive(Serialize)]
struct Layout {
    sheets: Vec<Sheet>,
}

#[derive(Serialize)]
struct Sheet {
    width: f64,
    length: f64,
    owned: bool,
    strips: Vec<Strip>,
    pieces: Vec<Piece>,
}

#[derive(Serialize)]
struct Strip {
    x: f64,
    y: f64,
    height: f64,
    width: f64,
    lengthwise: bool,
    crosscuts: Vec<f64>,
}

#[derive(Serialize)]
struct Piece {
    block: Option<String>,
    template: String,
    mirrored: bool,
    outline: Vec<Spot>,
    grain: f64,
}

pub(super) fn cloths(plan: &Plan, results: &Results, all: &[ClothCutting]) -> Vec<Cloth> {
    all.iter()
        .map(|cutting| cloth(plan, results, cutting))
        .collect()
}

fn cloth(plan: &Plan, results: &Results, cutting: &ClothCutting) -> Cloth {
    let cloth = plan.cloth(cutting.cloth);
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let mark = plan.ruler.mark().to_f64();
    let needs = inches(cutting.needs);
    let sheets = cutting.sheets.iter();
    let sheets = sheets.map(|sheet| self::sheet(plan, results, sheet));
    Cloth {
        id: cloth.key.clone(),
        name: cloth.name.clone(),
        lab: colour::lab(cloth.colour),
        value: match colour::value_of(cloth) {
            Value::Dark => "dark",
            Value::Medium => "medium",
            Value::Light => "light",
        },
        borderline: false,
        width: cloth.width.to_f64(),
        buy: Buy {
            length: cutting.buy.to_f64(),
            proved_best: cutting.buy_proved,
            step: plan.buying.step.to_f64(),
            yards: quilt::measure::Measure::Inch
                .shop(&cutting.buy)
                .trim_end_matches(" yd")
                .into(),
        },
        used_area: cutting.used_area,
        needs,
        at_least: cutting.at_least * mark,
        // Lengths are whole marks, so a bound within one mark proves the best.
        proved_best: cutting.needs as f64 - cutting.at_least < 1.0,
        layout: Layout {
            sheets: sheets.collect(),
        },
    }
}

fn sheet(plan: &Plan, results: &Results, sheet: &cutting::Sheet) -> Sheet {
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let strip = |strip: &cutting::Strip| Strip {
        x: inches(strip.x),
        y: inches(strip.y),
        height: inches(strip.height),
        width: inches(strip.width),
        lengthwise: strip.lengthwise,
        crosscuts: strip.slabs.iter().map(|slab| inches(slab.width)).collect(),
    };
    let pieces = sheet.pieces.iter();
    Sheet {
        width: inches(sheet.width),
        length: inches(sheet.length),
        owned: sheet.source != cutting::Source::Bought,
        strips: sheet.strips.iter().map(strip).collect(),
        pieces: pieces.map(|laid| piece(plan, results, laid)).collect(),
    }
}

fn piece(plan: &Plan, results: &Results, laid: &Laid) -> Piece {
    let (block, template) = match &laid.usage {
        Use::Patch(block, template) => {
            let letter = results.blocks[block.0]
                .as_ref()
                .map_or_else(String::new, |block| {
                    block.templates[*template].letter.clone()
                });
            (Some(plan.block(*block).name.clone()), letter)
        }
        other => (None, quilt::cutting::use_name(other)),
    };
    Piece {
        block,
        template,
        mirrored: laid.mirrored,
        outline: laid.outline.clone(),
        grain: laid.grain,
    }
}
