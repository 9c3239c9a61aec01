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
    /// What of the maker's own cloth is cut.
    owned: Vec<Owned>,
    /// Whether more of it can be bought.
    sold: bool,
    /// What cannot be cut for want of cloth.
    missing: Option<Missing>,
    /// The other widths it is sold in.
    other_widths: Vec<Offer>,
    layout: Layout,
}

#[derive(Serialize)]
struct Owned {
    what: String,
    used: u32,
    of: u32,
}

#[derive(Serialize)]
struct Offer {
    width: f64,
    length: f64,
    cost: Option<f64>,
}

#[derive(Serialize)]
struct Missing {
    pieces: Vec<MissingPiece>,
    length: f64,
    instead: Option<String>,
}

#[derive(Serialize)]
struct MissingPiece {
    block: Option<String>,
    template: String,
    count: u32,
}

#[derive(Serialize)]
struct Buy {
    length: f64,
    step: f64,
    yards: String,
    /// Usable width of what is bought.
    width: f64,
    /// In the maker's money, if the price is known.
    cost: Option<f64>,
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
    /// Which entry of the cloth's `owned` list, counted from 0.
    owned_entry: Option<usize>,
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
            width: cutting.offer.width.to_f64(),
            cost: cutting.offer.cost.as_ref().map(geometry::Surd::to_f64),
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
        owned: quilt::cutting::owned_used(plan, cutting)
            .into_iter()
            .map(|used| {
                let owned = &cloth.supply.owned[used.owned];
                Owned {
                    what: quilt::cutting::owned_name(plan, owned, used.count),
                    used: used.count,
                    of: owned.count,
                }
            })
            .collect(),
        sold: cloth.supply.sold,
        missing: cutting.missing.as_ref().map(|m| missing(plan, results, m)),
        other_widths: cutting
            .other_offers
            .iter()
            .map(|offer| Offer {
                width: offer.width.to_f64(),
                length: offer.buy.to_f64(),
                cost: offer.cost.as_ref().map(geometry::Surd::to_f64),
            })
            .collect(),
        layout: Layout {
            sheets: sheets.collect(),
        },
    }
}

fn missing(plan: &Plan, results: &Results, missing: &cutting::Missing) -> Missing {
    let pieces = missing.pieces.iter().map(|(_, served)| {
        let (block, template) = named(plan, results, &served.usage);
        MissingPiece {
            block,
            template,
            count: served.count,
        }
    });
    Missing {
        pieces: pieces.collect(),
        length: plan.ruler.length(missing.length).to_f64(),
        instead: missing.instead.map(|id| plan.cloth(id).key.clone()),
    }
}

/// A sheet with its selvages upright, however it lies on the table.
fn sheet(plan: &Plan, results: &Results, sheet: &cutting::Sheet) -> Sheet {
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let turned = sheet.turned;
    let strip = |strip: &cutting::Strip| {
        let crosscuts = strip.slabs.iter().map(|slab| inches(slab.width)).collect();
        // On the table the right selvage of a turned sheet is on top.
        let [x, y, width, height] = if turned {
            let x = sheet.length - strip.y - strip.height;
            [x, strip.x, strip.height, strip.width]
        } else {
            [strip.x, strip.y, strip.width, strip.height]
        };
        Strip {
            x: inches(x),
            y: inches(y),
            height: inches(height),
            width: inches(width),
            lengthwise: strip.lengthwise || turned,
            crosscuts,
        }
    };
    let (width, length) = if turned {
        (sheet.length, sheet.width)
    } else {
        (sheet.width, sheet.length)
    };
    let pieces = sheet.pieces.iter().map(|laid| {
        let mut piece = piece(plan, results, laid);
        if turned {
            for spot in &mut piece.outline {
                *spot = [inches(width) - spot[1], spot[0]];
            }
            piece.grain = (piece.grain + 90.0).rem_euclid(180.0);
        }
        piece
    });
    Sheet {
        width: inches(width),
        length: inches(length),
        owned: sheet.source != cutting::Source::Bought,
        owned_entry: match sheet.source {
            cutting::Source::Bought => None,
            cutting::Source::Owned(entry) => Some(entry),
        },
        strips: sheet.strips.iter().map(strip).collect(),
        pieces: pieces.collect(),
    }
}

/// A use as block and template, or as what it is called.
fn named(plan: &Plan, results: &Results, usage: &Use) -> (Option<String>, String) {
    match usage {
        Use::Patch(block, template) => {
            let letter = results.blocks[block.0]
                .as_ref()
                .map_or_else(String::new, |block| {
                    block.templates[*template].letter.clone()
                });
            (Some(plan.block(*block).name.clone()), letter)
        }
        other => (None, quilt::cutting::use_name(other)),
    }
}

fn piece(plan: &Plan, results: &Results, laid: &Laid) -> Piece {
    let (block, template) = named(plan, results, &laid.usage);
    Piece {
        block,
        template,
        mirrored: laid.mirrored,
        outline: laid.outline.clone(),
        grain: laid.grain,
    }
}
