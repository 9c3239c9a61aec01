//! Where a cloth comes from, in the maker's words: what is owned and used, what is bought
//! and at which width, and what would do instead of what has run out.
//!
//! **Units.** Inches in words; marks in the plans it looks at.

use geometry::Surd;

use super::packing::Item;
use super::sheets::{Done, Task};
use super::stock::{self, Scrap};
use super::{ClothCutting, Source};
use crate::colour;
use crate::plan::{ClothId, Direction, Owned, OwnedKind, Plan};

/// What one width of a cloth would cost.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Offer {
    /// Usable width, inches.
    pub width: Surd,
    /// Length to buy, inches.
    pub buy: Surd,
    /// What that costs in the maker's money, if the price of this width is known.
    pub cost: Option<Surd>,
}

/// How many of some equal pieces of cloth that the maker owns are cut.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct OwnedUse {
    /// Index into [`Supply::owned`](crate::plan::Supply::owned).
    pub owned: usize,
    /// How many of them.
    pub count: u32,
}

/// Which owned pieces are cut, in the maker's order.
#[must_use]
pub fn owned_used(plan: &Plan, cutting: &ClothCutting) -> Vec<OwnedUse> {
    let owned = 0..plan.cloth(cutting.cloth).supply.owned.len();
    let used = owned.map(|index| {
        let of = |sheet: &&super::Sheet| sheet.source == Source::Owned(index);
        let count = cutting.sheets.iter().filter(of).count();
        OwnedUse {
            owned: index,
            count: u32::try_from(count).unwrap_or(u32::MAX),
        }
    });
    used.filter(|used| used.count > 0).collect()
}

/// So many of an owned piece, in words: `2 fat quarters 18 × 21 in`, `1/2 yd`,
/// `5 strips 2 1/2 in wide`.
#[must_use]
pub fn owned_name(plan: &Plan, owned: &Owned, count: u32) -> String {
    let measure = plan.measure;
    let s = if count == 1 { "" } else { "s" };
    let size = |a: &Surd, b: &Surd| measure.size(a, b);
    let along = &owned.along;
    let what = match (owned.kind, &owned.across) {
        (OwnedKind::Length, None) if count == 1 => return measure.shop(along),
        (OwnedKind::Length, None) => return format!("{count} × {}", measure.shop(along)),
        (OwnedKind::FatQuarter, Some(across)) => format!("fat quarter{s} {}", size(along, across)),
        (OwnedKind::FatEighth, Some(across)) => format!("fat eighth{s} {}", size(along, across)),
        (OwnedKind::Strips, None) => format!("strip{s} {} wide", measure.say(along)),
        (OwnedKind::Strips, Some(across)) => format!("strip{s} {}", size(along, across)),
        (OwnedKind::Squares, Some(across)) if across == along => {
            format!("square{s} {}", measure.say(along))
        }
        (_, Some(across)) => format!("piece{s} {}", size(across, along)),
        (_, None) => format!("piece{s} {} long", measure.say(along)),
    };
    format!("{count} {what}")
}

/// What of a cloth is used that is owned, which width is bought and why, and what is
/// missing: a sentence each, none for cloth that is simply bought.
#[must_use]
pub fn supply_lines(plan: &Plan, cutting: &ClothCutting) -> Vec<String> {
    let mut lines = Vec::new();
    let supply = &plan.cloth(cutting.cloth).supply;
    let used = owned_used(plan, cutting).into_iter();
    let used: Vec<String> = used
        .map(|used| owned_name(plan, &supply.owned[used.owned], used.count))
        .collect();
    if !used.is_empty() {
        lines.push(format!("From what you have: {}.", used.join(", ")));
    } else if !supply.owned.is_empty() {
        lines.push("Nothing of what you have is used: it would save no cloth.".into());
    }
    let offer = &cutting.offer;
    if !cutting.other_offers.is_empty() && offer.buy.is_positive() {
        let said = |offer: &Offer| {
            let cost = offer.cost.as_ref();
            let cost = cost.map_or_else(String::new, |cost| format!(" for {:.2}", cost.to_f64()));
            let (buy, width) = (
                plan.measure.shop(&offer.buy),
                plan.measure.say(&offer.width),
            );
            format!("{buy} {width} wide{cost}")
        };
        let others = cutting.other_offers.iter();
        let why = if others.clone().all(|o| o.cost.is_some()) && offer.cost.is_some() {
            "the cheapest"
        } else {
            "the shortest"
        };
        let others: Vec<String> = others.map(said).collect();
        let (own, others) = (said(offer), others.join(", "));
        lines.push(format!("Buy {own}: {why} (otherwise {others})."));
    } else if let Some(cost) = offer.cost.as_ref().filter(|cost| cost.is_positive()) {
        lines.push(format!("It costs {:.2}.", cost.to_f64()));
    }
    if let Some(missing) = &cutting.missing {
        let pieces: u32 = missing.pieces.iter().map(|(_, served)| served.count).sum();
        let s = if pieces == 1 { " is" } else { "s are" };
        let length = plan.measure.say(&plan.ruler.length(missing.length));
        lines.push(format!(
            "Not sold any more, and {pieces} piece{s} missing: {length} of it."
        ));
    }
    lines
}

/// What a length costs at a price for a yard, or for a metre where the maker reads
/// centimetres.
pub(super) fn cost(plan: &Plan, buy: &Surd, price: Option<&Surd>) -> Option<Surd> {
    let unit = match plan.measure {
        crate::measure::Measure::Inch => Surd::int(36),
        crate::measure::Measure::Centimetre => Surd::ratio(5000, 127),
    };
    let units = buy.checked_div(&unit)?;
    price.map(|price| &units * price)
}

/// One cloth as it was cut: what was asked, and what came of it.
pub(super) struct Known<'a> {
    pub(super) cloth: ClothId,
    pub(super) task: &'a Task,
    pub(super) done: &'a Done,
}

/// Another cloth of which enough is left over for what is missing: the one nearest in value
/// (lightness), and of equally near ones the first. Strips along the selvage are not asked
/// of another cloth.
pub(super) fn instead(plan: &Plan, short: &Known<'_>, others: &[Known<'_>]) -> Option<ClothId> {
    if short.done.host.is_none() && !short.done.panels.is_empty() {
        return None;
    }
    let items = left_over(short);
    let light = |id: ClothId| colour::lab(plan.cloth(id).colour)[0];
    let wanted = light(short.cloth);
    let own = plan.cloth(short.cloth).direction;
    let fits = |id: &ClothId| {
        let direction = plan.cloth(*id).direction;
        *id != short.cloth && (direction == Direction::Free || direction == own)
    };
    let mut cloths: Vec<ClothId> = (0..plan.cloths.len()).map(ClothId).filter(fits).collect();
    cloths.sort_by(|a, b| {
        let off = |id: &ClothId| (light(*id) - wanted).abs();
        off(a).total_cmp(&off(b)).then(a.cmp(b))
    });
    cloths.into_iter().find(|&id| {
        let known = others.iter().find(|known| known.cloth == id);
        let scraps = leftovers(plan, id, known);
        if scraps.is_empty() {
            return false;
        }
        let across = plan.ruler.down(&plan.cloth(id).width);
        let free = own == Direction::Free;
        let turned = stock::turned(&items, free, across);
        let covered = stock::cover(&items, &turned, across, &scraps);
        covered.left.iter().all(|&left| left == 0)
    })
}

/// The items with what is not cut of each.
fn left_over(short: &Known<'_>) -> Vec<Item> {
    let mut items = short.task.items.clone();
    for item in &mut items {
        item.count = 0;
    }
    for strip in short.done.strips.iter().filter(|s| s.rest.is_none()) {
        for batch in &strip.batches {
            items[batch.item].count += batch.units;
        }
    }
    items
}

/// Owned pieces of a cloth that are not cut, and what lies below the strips of others.
fn leftovers(plan: &Plan, cloth: ClothId, known: Option<&Known<'_>>) -> Vec<Scrap> {
    let Some(known) = known else {
        return super::laying::scraps(plan, cloth);
    };
    let rests = left_after(&known.task.owned, known.done);
    rests.into_iter().map(|(_, scrap)| scrap).collect()
}

/// Of these owned pieces what is left when it is cut so, each with the piece it is of.
pub(super) fn left_after(owned: &[Scrap], done: &Done) -> Vec<(usize, Scrap)> {
    let mut scraps: Vec<(usize, Scrap)> = owned.iter().copied().enumerate().collect();
    if let Some(host) = done.host {
        scraps[host].1.many -= 1;
    }
    let mut rests = Vec::new();
    for filled in &done.filled {
        let scrap = &mut scraps[filled.scrap].1;
        scrap.many -= 1;
        let used: i64 = filled.strips.iter().map(|strip| strip.height).sum();
        let rest = if filled.turned {
            Scrap {
                across: scrap.across - used,
                many: 1,
                ..*scrap
            }
        } else {
            Scrap {
                along: scrap.along - used,
                many: 1,
                ..*scrap
            }
        };
        rests.push((filled.scrap, rest));
    }
    scraps.extend(rests);
    scraps.retain(|(_, scrap)| scrap.many > 0 && scrap.across > 0 && scrap.along > 0);
    scraps
}
