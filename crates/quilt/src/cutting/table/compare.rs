//! What the plan saves, or does not: the same needs cut in simpler ways.
//!
//! * **own strips**: every size from strips of its own, each planned as well as can be by
//!   the same planner;
//! * **chart rule**: for each size `⌈pieces ⁄ ⌊width ⁄ piece⌋⌉` strips as high as the
//!   piece, one after another, nothing turned and no ruler turned over; the sum rounded up
//!   to the selling step.
//!
//! Both are counted like the plan: squared, shrunk and rounded alike, folded and stacked
//! alike, each cloth by itself.
//!
//! # Sources
//!
//! The chart rule: How to figure yardage for a quilt, FAQ (Feathered Star).

use std::collections::BTreeMap;

use geometry::Surd;

use super::super::instead::Instead;
use super::super::stock::Scrap;
use super::super::{ClothCutting, Demand, Laid, LaidSlab, Method, Sheet, Source, Strip};
use super::super::{demand, laying};
use super::groups::is_slanted;
use super::walk::{Floor, effort};
use super::{CuttingTable, Effort};
use crate::finishing::Finishing;
use crate::plan::{ClothId, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// One way of cutting, by what it costs.
#[derive(Clone, PartialEq, Debug)]
pub struct Bill {
    /// Length to buy, inches.
    pub buy: Surd,
    /// Settings and passes.
    pub effort: Effort,
}

impl Bill {
    fn sum<'b>(all: impl Iterator<Item = &'b Self>) -> Self {
        let none = Self {
            buy: Surd::ZERO,
            effort: Effort::default(),
        };
        all.fold(none, |sum, bill| Self {
            buy: sum.buy + &bill.buy,
            effort: sum.effort + bill.effort,
        })
    }
}

/// The same cloth cut three ways.
#[derive(Clone, PartialEq, Debug)]
pub struct Bills {
    /// As planned, the cloth by itself.
    pub plan: Bill,
    /// Every size from its own strips.
    pub own: Bill,
    /// By the chart rule.
    pub chart: Bill,
}

/// The plan beside two simpler ways.
#[derive(Clone, PartialEq, Debug)]
pub struct Comparison {
    /// For each cloth of the cutting; `None` where it has run out, or would in a simpler way.
    pub cloths: Vec<Option<Bills>>,
    /// The sum over the cloths that are compared.
    pub whole: Bills,
    /// Settings and passes as planned with cloths cut together; `None` unless every cloth
    /// is compared.
    pub together: Option<Effort>,
}

/// Compares the cutting with every size from its own strips and with the chart rule.
///
/// `instead`: what is cut in the place of patches, as it was for the cutting itself. Cloth
/// that is owned is there for all ways: own strips use it size by size, the chart rule only
/// lengths of the whole width, since charts know no others.
#[must_use]
pub fn compared(
    plan: &Plan,
    blocks: &Blocks,
    (top, finishing): (&Top, &Finishing),
    (all, table): (&[ClothCutting], &CuttingTable),
    instead: &BTreeMap<ClothId, Instead>,
) -> Comparison {
    let mut demands = demand::gathered(plan, blocks, top, finishing);
    let cloths: Vec<Option<Bills>> = all
        .iter()
        .zip(&table.alone)
        .map(|(cutting, &alone)| {
            let cloth = cutting.cloth;
            let mut groups = demands.remove(&cloth)?;
            let mut plan = plan.clone();
            let own = &mut plan.cloths[cloth.0];
            if own.width != cutting.offer.width {
                for owned in &mut own.supply.owned {
                    owned.across.get_or_insert_with(|| own.width.clone());
                }
                own.width.clone_from(&cutting.offer.width);
                groups = demand::gathered(&plan, blocks, top, finishing).remove(&cloth)?;
            }
            let groups = laying::exchanged((&plan, blocks), instead, cloth, groups);
            let owned = laying::scraps(&plan, cloth);
            let own = laying::each_apart(&plan, blocks, cloth, groups.clone());
            if cutting.missing.is_some() || own.iter().any(|part| part.missing.is_some()) {
                return None;
            }
            let plain = if owned.is_empty() {
                own.clone()
            } else {
                let mut bare = plan.clone();
                bare.cloths[cloth.0].supply.owned.clear();
                bare.cloths[cloth.0].supply.sold = true;
                laying::each_apart(&bare, blocks, cloth, groups)
            };
            let charted: Vec<ClothCutting> =
                plain.into_iter().map(|one| charted(one, &plan)).collect();
            let needs = needed(&charted, owned);
            let mut chart = bill(&plan, cloth, charted);
            chart.buy = laying::to_buy(&plan, needs);
            Some(Bills {
                plan: Bill {
                    buy: cutting.buy.clone(),
                    effort: alone,
                },
                own: bill(&plan, cloth, own),
                chart,
            })
        })
        .collect();
    let known = || cloths.iter().flatten();
    Comparison {
        whole: Bills {
            plan: Bill::sum(known().map(|bills| &bills.plan)),
            own: Bill::sum(known().map(|bills| &bills.own)),
            chart: Bill::sum(known().map(|bills| &bills.chart)),
        },
        together: cloths.iter().all(Option::is_some).then_some(table.effort),
        cloths,
    }
}

/// What must be bought for these strips when as many as fit are cut from owned lengths of
/// the whole width, each from the first that has room.
fn needed(parts: &[ClothCutting], owned: Vec<Scrap>) -> i64 {
    let mut lengths: Vec<i64> = Vec::new();
    let mut bought = 0;
    for part in parts {
        let across = part.sheets.first().map_or(0, |sheet| sheet.width);
        if lengths.is_empty() {
            let whole = owned.iter().filter(|scrap| scrap.across >= across);
            lengths = whole
                .flat_map(|scrap| std::iter::repeat_n(scrap.along, scrap.many))
                .collect();
        }
        let across_only = part.strips().all(|strip| !strip.lengthwise);
        let heights: Vec<i64> = if across_only {
            part.strips().map(|strip| strip.height).collect()
        } else {
            vec![part.needs]
        };
        // Rows of motifs do not lie below each other without gaps.
        let heights = if heights.iter().sum::<i64>() == part.needs {
            heights
        } else {
            vec![part.needs]
        };
        for height in heights {
            match lengths.iter_mut().find(|left| **left >= height) {
                Some(left) => *left -= height,
                None => bought += height,
            }
        }
    }
    bought
}

impl Comparison {
    /// One or two sentences for the whole quilt: what the plan saves, or that it saves
    /// nothing.
    #[must_use]
    pub fn in_words(&self, plan: &Plan) -> String {
        let bills = &self.whole;
        let compared = self.cloths.iter().flatten().count();
        if compared == 0 {
            return "Not compared with simpler ways: the cloth does not reach for them.".into();
        }
        let which = if compared < self.cloths.len() {
            format!(
                "Compared for {compared} of {} cloths; the others do not reach for it. ",
                self.cloths.len()
            )
        } else {
            String::new()
        };
        let mut said = format!(
            "{which}{}; {}.",
            bought(
                plan,
                bills,
                &bills.own,
                "cutting each size from its own strips"
            ),
            set(&bills.plan.effort, &bills.own.effort),
        );
        if let Some(together) = self.together
            && together < bills.plan.effort
        {
            said += &format!(
                " With cloths cut together it is {} ruler settings and {} passes.",
                together.settings, together.passes
            );
        }
        said += &format!(
            " {}.",
            bought(plan, bills, &bills.chart, "the rule of the usual charts")
        );
        if plan
            .cloths
            .iter()
            .any(|cloth| !cloth.supply.owned.is_empty())
        {
            said += " What you have is used each time; the charts use whole widths of it only.";
        }
        said
    }
}

impl Bills {
    /// One sentence for this cloth; `None` where the plan is like its own strips.
    #[must_use]
    pub fn in_words(&self, plan: &Plan) -> Option<String> {
        (self.plan != self.own).then(|| {
            format!(
                "{}; {}.",
                bought(plan, self, &self.own, "each size from its own strips"),
                set(&self.plan.effort, &self.own.effort)
            )
        })
    }
}

fn bought(plan: &Plan, bills: &Bills, other: &Bill, what: &str) -> String {
    let (ours, theirs) = (&bills.plan.buy, &other.buy);
    if ours < theirs {
        let less = plan.measure.shop(&(theirs - ours));
        format!("Buys {less} less than {what}")
    } else if theirs < ours {
        let more = plan.measure.shop(&(ours - theirs));
        format!("Buys {more} more than {what}")
    } else {
        format!("Buys as much as {what}")
    }
}

fn set(ours: &Effort, theirs: &Effort) -> String {
    let [a, b] = [ours, theirs].map(|effort| effort.settings);
    let settings = if a == b {
        format!("as many ruler settings ({a})")
    } else {
        format!("{a} ruler settings instead of {b}")
    };
    let [a, b] = [ours, theirs].map(|effort| effort.passes);
    if a == b {
        format!("{settings}, as many passes of the blade ({a})")
    } else {
        format!("{settings}, {a} passes of the blade instead of {b}")
    }
}

/// What it costs to cut one after another what was planned apart.
fn bill(plan: &Plan, cloth: ClothId, parts: Vec<ClothCutting>) -> Bill {
    let needs = parts.iter().map(|part| part.needs).sum();
    let Some(merged) = merged(cloth, parts) else {
        return Bill {
            buy: Surd::ZERO,
            effort: Effort::default(),
        };
    };
    let all = [merged];
    let floor = Floor::new(plan, &all);
    let sheets = floor.sheets();
    Bill {
        buy: laying::to_buy(plan, needs),
        effort: sheets.map(|sheet| effort(&floor.steps(&[sheet]))).sum(),
    }
}

/// One sheet with the strips of all parts below each other.
fn merged(cloth: ClothId, parts: Vec<ClothCutting>) -> Option<ClothCutting> {
    let mut parts = parts.into_iter();
    let mut all = parts.next()?;
    all.cloth = cloth;
    for part in parts {
        let demand = all.demands.len();
        all.demands.extend(part.demands);
        all.needs += part.needs;
        for mut sheet in part.sheets {
            let bought = sheet.source == Source::Bought;
            let known = all.sheets.iter_mut().find(|s| s.source == Source::Bought);
            let Some(onto) = known.filter(|_| bought) else {
                // Pieces that are owned are each laid out by themselves.
                let strips = sheet.strips.iter_mut();
                for slab in strips.flat_map(|strip| &mut strip.slabs) {
                    slab.demand += demand;
                }
                for piece in &mut sheet.pieces {
                    piece.demand += demand;
                }
                all.sheets.push(sheet);
                continue;
            };
            onto.strips
                .extend(sheet.strips.into_iter().map(|mut strip| {
                    strip.y += onto.length;
                    for slab in &mut strip.slabs {
                        slab.demand += demand;
                    }
                    strip
                }));
            onto.pieces
                .extend(sheet.pieces.into_iter().map(|mut piece| {
                    piece.demand += demand;
                    piece
                }));
            onto.length += sheet.length;
        }
    }
    Some(all)
}

/// One size by the chart rule. Strips along the selvage, strips to be joined, pieces that
/// fill the width and those centred on motifs are the same by any rule.
fn charted(mut one: ClothCutting, plan: &Plan) -> ClothCutting {
    let (Some(demand), Some(sheet)) = (one.demands.first(), one.sheets.first_mut()) else {
        return one;
    };
    let Some((height, width, yields)) = size(demand, &sheet.pieces, plan) else {
        return one;
    };
    let across = sheet.width;
    if width > across || height <= 0 || width <= 0 {
        return one;
    }
    let run = is_slanted(demand);
    let mut pieces = std::mem::take(&mut sheet.pieces).into_iter();
    let mut left = pieces.len() as u32;
    let mut strips = Vec::new();
    let mut laid: Vec<Laid> = Vec::new();
    while left > 0 {
        let units = left.div_ceil(yields).min((across / width) as u32);
        let taken = left.min(units * yields);
        let slab = |x: i64, width: i64, pieces: u32| LaidSlab {
            demand: 0,
            x,
            width,
            height,
            pieces,
        };
        let slabs = if run {
            vec![slab(0, i64::from(units) * width, taken)]
        } else {
            (0..units)
                .map(|unit| {
                    let here = yields.min(taken - unit * yields);
                    slab(i64::from(unit) * width, width, here)
                })
                .collect()
        };
        laid.extend(pieces.by_ref().take(taken as usize));
        left -= taken;
        strips.push(Strip {
            x: 0,
            y: strips.len() as i64 * height,
            height,
            width: across,
            lengthwise: false,
            centred: None,
            slabs,
        });
    }
    one.needs = strips.len() as i64 * height;
    *sheet = Sheet {
        source: Source::Bought,
        turned: false,
        width: across,
        length: one.needs,
        strips,
        pieces: laid,
        motifs: Vec::new(),
    };
    one
}

/// Height and width of what is first cut, marks, and how many pieces come out of it.
fn size(demand: &Demand, pieces: &[Laid], plan: &Plan) -> Option<(i64, i64, u32)> {
    match &demand.method {
        Method::Rectangle { height, width } => Some((height.marks, width.marks, 1)),
        Method::Ruler(rotary) => {
            let yields = if is_slanted(demand) { 1 } else { rotary.yields };
            Some((rotary.strip.marks, rotary.crosscut.marks, yields.max(1)))
        }
        Method::Template => {
            let outline = &pieces.first()?.outline;
            let side = |axis: usize| {
                let along = outline.iter().map(|point| point[axis]);
                let least = along.clone().fold(f64::INFINITY, f64::min);
                let reach = along.fold(f64::NEG_INFINITY, f64::max) - least;
                (reach / plan.ruler.mark().to_f64() - 1e-9).ceil() as i64
            };
            Some((side(1), side(0), 1))
        }
        Method::JoinedStrips { .. }
        | Method::Lengthwise { .. }
        | Method::BiasSquare { .. }
        | Method::Centred { .. } => None,
    }
}
