//! What it takes to sew a block in straight seams alone, counted and priced.
//!
//! [`repair`](crate::block::joining::repair) has found the fewest seams to draw in
//! addition; here the maker reads what they cost: seams, patches, and the cloth in their
//! seam allowances.
//!
//! **Units.** Square inches, floating: cloth to look at, not to cut by.

use std::collections::BTreeMap;

use geometry::{Polygon, area, offset_outline};

use crate::block::Block;
use crate::measure::Measure;
use crate::plan::{BlockId, ClothId, Plan};
use crate::setting::{Top, cloth_of};

/// A way to sew a block in straight seams alone.
#[derive(Clone, PartialEq, Debug)]
pub struct Straight {
    /// So many seams and patches more in one block.
    pub more: usize,
    /// No fewer do it, with seams along the lines of the drawing: proved.
    pub at_least: usize,
    /// Cloth more for the seam allowances in one block, square inches.
    pub in_block: f64,
    /// The same in all blocks of the setting, by cloth.
    pub in_all: Vec<(ClothId, f64)>,
    /// All of it in words.
    pub in_words: String,
}

/// The price of a block's repair, if it has one.
pub(super) fn straight(plan: &Plan, id: BlockId, block: &Block, top: &Top) -> Option<Straight> {
    let repair = block.repair.as_ref()?;
    let seam = plan.seam.to_f64();
    let more: Vec<(usize, f64)> = repair
        .parts
        .iter()
        .map(|(patch, parts)| {
            let whole = cut_area(&block.patches[*patch].outline, seam);
            let parts: f64 = parts.iter().map(|part| cut_area(part, seam)).sum();
            (*patch, parts - whole)
        })
        .collect();
    let mut in_all: BTreeMap<ClothId, f64> = BTreeMap::new();
    for placed in top.blocks.iter().filter(|placed| placed.block == id) {
        for &(patch, area) in &more {
            if let Some(place) = block.patches[patch].place {
                let cloth = cloth_of(plan, placed, place, patch);
                *in_all.entry(cloth).or_default() += area;
            }
        }
    }
    let mut straight = Straight {
        more: repair.cuts.len(),
        at_least: repair.at_least,
        in_block: more.iter().map(|(_, area)| area).sum(),
        in_all: in_all.into_iter().collect(),
        in_words: String::new(),
    };
    straight.in_words = in_words(plan, block, &straight);
    Some(straight)
}

/// The area of a shape with its seam allowance, corners full.
fn cut_area(outline: &Polygon, seam: f64) -> f64 {
    let ring: Vec<[f64; 2]> = outline
        .without_straight_corners()
        .points()
        .iter()
        .map(geometry::Point::to_f64)
        .collect();
    area(&offset_outline(&ring, &vec![seam; ring.len()])).abs()
}

fn in_words(plan: &Plan, block: &Block, straight: &Straight) -> String {
    let seams = match straight.more {
        1 => "One seam more makes".to_owned(),
        n => format!("{n} seams more make"),
    };
    let proved = match (straight.more, straight.at_least) {
        (more, least) if more > least => {
            format!(" (with lines drawn on as they are, {least} at least are needed)")
        }
        (1, _) => String::new(),
        _ => " (with lines drawn on as they are, no fewer do it)".to_owned(),
    };
    let patches = if straight.more == 1 {
        "one patch more".to_owned()
    } else {
        format!("{} patches more", straight.more)
    };
    let all: f64 = straight.in_all.iter().map(|(_, area)| area).sum();
    let cloth = match straight.in_all.as_slice() {
        [] => String::new(),
        [(cloth, area)] => format!(
            ", and {} more of {} in the whole quilt for the seam allowances",
            say_area(plan.measure, *area),
            quoted(plan, *cloth)
        ),
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|(cloth, area)| {
                    format!(
                        "{} of {}",
                        say_area(plan.measure, *area),
                        quoted(plan, *cloth)
                    )
                })
                .collect();
            format!(
                ", and {} more cloth in the whole quilt for the seam allowances ({})",
                say_area(plan.measure, all),
                super::top::list(&each)
            )
        }
    };
    format!(
        "{seams} it sew in straight seams alone{proved}: {} cut {} along the lines of the seams beside {}. That is {patches} in each block{cloth}.",
        which(block),
        how(block),
        if straight.more == 1 { "it" } else { "them" },
    )
}

fn quoted(plan: &Plan, cloth: ClothId) -> String {
    format!("“{}”", plan.cloth(cloth).name)
}

/// `4 patches B and 4 patches C are`.
fn which(block: &Block) -> String {
    let mut letters: BTreeMap<usize, usize> = BTreeMap::new();
    let parts = block.repair.iter().flat_map(|repair| &repair.parts);
    for (patch, _) in parts {
        *letters.entry(block.patches[*patch].template).or_default() += 1;
    }
    let total: usize = letters.values().sum();
    let each: Vec<String> = letters
        .into_iter()
        .map(|(template, count)| {
            let letter = &block.templates[template].letter;
            match count {
                1 => format!("one patch {letter}"),
                n => format!("{n} patches {letter}"),
            }
        })
        .collect();
    let verb = if total == 1 { "is" } else { "are" };
    format!("{} {verb}", super::top::list(&each))
}

/// `in two`, or into how many at most.
fn how(block: &Block) -> String {
    let parts = block.repair.iter().flat_map(|repair| &repair.parts);
    let counts: Vec<usize> = parts.map(|(_, parts)| parts.len()).collect();
    match counts.iter().max() {
        Some(2) | None => "in two".into(),
        Some(most) if counts.iter().all(|count| count == most) => format!("in {most}"),
        Some(most) => format!("in two to {most}"),
    }
}

/// An area as the maker reads it, to the next whole square.
fn say_area(measure: Measure, area: f64) -> String {
    match measure {
        Measure::Inch => format!("{} sq in", area.ceil()),
        Measure::Centimetre => format!("{} sq cm", (area * 2.54 * 2.54).ceil()),
    }
}
