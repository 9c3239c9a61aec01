//! Cloth in the report: what to buy and how it is laid.

use quilt::cloth::Values;
use quilt::colour;
use quilt::cutting::{self, Bill, ClothCutting, Comparison, CutStep, CuttingTable, Laid, Use};
use quilt::plan::{ClothId, Plan};
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
    valued: Valued,
    record: Record,
    width: f64,
    buy: Buy,
    used_area: f64,
    needs: f64,
    /// The shortest plan found; `needs` is more where a longer one is less work and buys
    /// the same.
    shortest: f64,
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
    /// Ruler settings and passes of the blade, were this cloth cut by itself.
    settings: u32,
    passes: u32,
    /// Cloths at the same station.
    cut_with: Vec<String>,
    /// What is done at that station.
    steps: Vec<Step>,
    beside: Option<Beside>,
}

/// Where a cloth stands among the groups by value.
#[derive(Serialize)]
struct Valued {
    /// Its group, 1 for the darkest, and how many there are.
    group: usize,
    of: usize,
    name: String,
    /// Whether the plan puts it there.
    by_hand: bool,
    munsell: f64,
    /// The group it would fit into next best.
    either: Option<Either>,
}

#[derive(Serialize)]
struct Either {
    group: usize,
    /// Share of all differences in lightness that would be lost.
    cost: f64,
    /// Steps of L* that decide.
    steps: f64,
    straddles: bool,
}

/// What else is on record of a cloth.
#[derive(Serialize)]
struct Record {
    photo: Option<String>,
    shop: String,
    washed: Option<bool>,
    tags: Vec<String>,
    /// L* inside the print, from the tenth to the ninetieth hundredth of its area.
    spread: Option<f64>,
    busy: Option<f64>,
    /// Size of the print's figures, inches.
    figures: f64,
}

fn valued(values: &Values, id: ClothId) -> Valued {
    let valued = &values.of[id.0];
    Valued {
        group: valued.group + 1,
        of: values.groups.len(),
        name: values.name(id).to_owned(),
        by_hand: valued.moved,
        munsell: colour::munsell(colour::luminance(valued.lightness)),
        either: valued.either.map(|either| Either {
            group: either.group + 1,
            cost: either.cost / values.total.max(f64::MIN_POSITIVE),
            steps: either.steps,
            straddles: either.straddles,
        }),
    }
}

fn record(cloth: &quilt::plan::Cloth) -> Record {
    let (record, float) = (&cloth.record, geometry::Surd::to_f64);
    let measured = record.measured.as_ref();
    Record {
        photo: record.photo.clone(),
        shop: record.shop.clone(),
        washed: record.washed,
        tags: record.tags.clone(),
        spread: measured.and_then(|m| m.spread.as_ref()).map(float),
        busy: measured.and_then(|m| m.busy.as_ref()).map(float),
        figures: cloth.figure_size().to_f64(),
    }
}

/// One thing done at the cutting table.
#[derive(Serialize)]
pub(super) struct Step {
    text: String,
    ruler: Option<f64>,
    layers: u32,
    count: u32,
    passes: u32,
    /// Numbers of this cloth's strips, from 1, sheet by sheet.
    strips: Vec<Vec<usize>>,
    makes: Vec<Made>,
}

#[derive(Serialize)]
struct Made {
    block: Option<String>,
    template: String,
    count: u32,
}

/// The same cloth, or the whole quilt, cut in simpler ways.
#[derive(Serialize)]
pub(super) struct Beside {
    plan: Way,
    own_strips: Way,
    chart_rule: Way,
}

#[derive(Serialize)]
struct Way {
    buy: f64,
    settings: u32,
    passes: u32,
}

/// The cutting of the whole quilt.
#[derive(Serialize)]
pub(super) struct AtTable {
    /// With cloths cut together.
    settings: u32,
    passes: u32,
    /// Cloths that are cut together, by their short names.
    stations: Vec<Vec<String>>,
    beside: Beside,
    in_words: String,
}

pub(super) fn at_table(
    plan: &Plan,
    results: &Results,
    table: &CuttingTable,
    comparison: &Comparison,
) -> AtTable {
    let all: Vec<&ClothCutting> = results.cutting.iter().flat_map(|all| all.iter()).collect();
    let keys = |station: &cutting::Station| {
        let mut cloths: Vec<usize> = station.sheets.iter().map(|sheet| sheet.0).collect();
        cloths.dedup();
        let cloths = cloths.into_iter();
        cloths
            .map(|cloth| plan.cloth(all[cloth].cloth).key.clone())
            .collect()
    };
    AtTable {
        settings: table.effort.settings,
        passes: table.effort.passes,
        stations: table.stations.iter().map(keys).collect(),
        beside: beside(&comparison.whole),
        in_words: comparison.in_words(plan),
    }
}

fn beside(bills: &cutting::Bills) -> Beside {
    let way = |bill: &Bill| Way {
        buy: bill.buy.to_f64(),
        settings: bill.effort.settings,
        passes: bill.effort.passes,
    };
    Beside {
        plan: way(&bills.plan),
        own_strips: way(&bills.own),
        chart_rule: way(&bills.chart),
    }
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
    /// Middles of the motifs where pieces are centred on them.
    motifs: Vec<Spot>,
}

#[derive(Serialize)]
struct Strip {
    x: f64,
    y: f64,
    height: f64,
    width: f64,
    lengthwise: bool,
    /// A row of pieces centred on motifs.
    centred: bool,
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
        .enumerate()
        .map(|(index, cutting)| cloth(plan, results, index, cutting))
        .collect()
}

fn cloth(plan: &Plan, results: &Results, index: usize, cutting: &ClothCutting) -> Cloth {
    let table = results.table.as_deref();
    let alone = table.map_or_else(Default::default, |(table, _)| table.alone[index]);
    let beside = table.and_then(|(_, beside)| beside.cloths[index].as_ref());
    let at_table = table.map(|(table, _)| table);
    let cloth = plan.cloth(cutting.cloth);
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let mark = plan.ruler.mark().to_f64();
    let needs = inches(cutting.needs);
    let sheets = cutting.sheets.iter();
    let sheets = sheets.map(|sheet| self::sheet(plan, results, sheet));
    Cloth {
        id: cloth.key.clone(),
        name: cloth.name.clone(),
        lab: colour::seen(cloth),
        value: super::choosing::value(results.values.value(cutting.cloth)),
        borderline: results.values.borderline(cutting.cloth).is_some(),
        valued: valued(&results.values, cutting.cloth),
        record: record(cloth),
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
        shortest: inches(cutting.shortest),
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
        settings: alone.settings,
        passes: alone.passes,
        cut_with: at_table.map_or_else(Vec::new, |table| cut_with(plan, results, table, index)),
        steps: at_table.map_or_else(Vec::new, |table| steps(plan, results, table, index)),
        beside: beside.map(self::beside),
    }
}

/// The other cloths at this cloth's stations, by their short names.
fn cut_with(plan: &Plan, results: &Results, table: &CuttingTable, cloth: usize) -> Vec<String> {
    let mut others = std::collections::BTreeSet::new();
    for station in &table.stations {
        if station.sheets.iter().any(|sheet| sheet.0 == cloth) {
            others.extend(station.sheets.iter().map(|sheet| sheet.0));
        }
    }
    others.remove(&cloth);
    let all = results.cutting.iter().flat_map(|all| all.iter());
    let keys = all.enumerate().filter(|(index, _)| others.contains(index));
    keys.map(|(_, cut)| plan.cloth(cut.cloth).key.clone())
        .collect()
}

/// The steps of this cloth's stations that it takes part in.
fn steps(plan: &Plan, results: &Results, table: &CuttingTable, cloth: usize) -> Vec<Step> {
    let mine =
        |step: &CutStep| step.from.is_empty() || step.from.iter().any(|from| from.sheet.0 == cloth);
    let stations = table
        .stations
        .iter()
        .filter(|station| station.sheets.iter().any(|sheet| sheet.0 == cloth));
    let steps = stations.flat_map(|station| &station.steps);
    steps
        .filter(|step| mine(step))
        .map(|step| Step {
            text: step.text.clone(),
            ruler: step.ruler.map(|marks| plan.ruler.length(marks).to_f64()),
            layers: step.layers,
            count: step.count,
            passes: step.passes,
            strips: step
                .from
                .iter()
                .filter(|from| from.sheet.0 == cloth)
                .map(|from| from.strips.iter().map(|strip| strip.strip + 1).collect())
                .collect(),
            makes: step
                .pieces
                .iter()
                .map(|(usage, count)| {
                    let (block, template) = named(plan, results, usage);
                    Made {
                        block,
                        template,
                        count: *count,
                    }
                })
                .collect(),
        })
        .collect()
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
            centred: strip.centred.is_some(),
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
        motifs: sheet.motifs.iter().map(|spot| spot.map(inches)).collect(),
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
        Use::Rough(block, ..) => {
            let piece = cutting::use_name(usage);
            (None, format!("{piece} of {}", plan.block(*block).name))
        }
        other => (None, cutting::use_name(other)),
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
