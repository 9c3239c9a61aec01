//! Patches without a cloth.
//!
//! A patch no place claims cannot be cut from anything; the sums leave it out, so they
//! would be too small.

use super::{Finding, count};
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let mut found = Vec::new();
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        let Some(block) = block else { continue };
        let mut spots: Vec<&str> = block
            .patches
            .iter()
            .zip(&block.drafted.spots)
            .filter(|(patch, _)| patch.place.is_none())
            .map(|(_, spot)| spot.as_str())
            .collect();
        if spots.is_empty() {
            continue;
        }
        let many = spots.len();
        spots.dedup();
        // Enough to find them by; a long list helps no one.
        let shown = spots
            .iter()
            .take(6)
            .map(|s| format!("“{s}”"))
            .collect::<Vec<_>>()
            .join(", ");
        let more = if spots.len() > 6 { ", …" } else { "" };
        found.push(Finding::stop(format!(
            "{} of “{}” {} no cloth: {shown}{more}. Give a place of that name a cloth.",
            count(many, "patch", "patches"),
            block_plan.name,
            if many == 1 { "has" } else { "have" },
        )));
    }
    found
}
