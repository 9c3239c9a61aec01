//! Blocks, places and cloths the plan names but does not use.

use super::Finding;
use crate::plan::{BlockId, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let (Some(top), Some(cutting)) = (&results.top, &results.cutting) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (index, (block_plan, block)) in plan.blocks.iter().zip(&results.blocks).enumerate() {
        let lies = top
            .blocks
            .iter()
            .any(|placed| placed.block == BlockId(index));
        // Others may be taken from it, and nobody drafted what the setting made.
        let lends = plan.blocks.iter().any(|other| {
            let taken = other.draft.taken();
            taken.is_some_and(|taken| taken.from() == block_plan.name)
        });
        if !lies && !lends && !block_plan.made_by_setting() {
            found.push(Finding::note(format!(
                "“{}” is drafted but lies nowhere in the setting.",
                block_plan.name
            )));
        }
        // A taken part need not have every place of the block it comes from.
        let handed_on = block_plan.draft.taken().is_some_and(|t| !t.own_cloths);
        let Some(block) = block.as_ref().filter(|_| !handed_on) else {
            continue;
        };
        for (place, place_plan) in block_plan.places.iter().enumerate() {
            if !block.patches.iter().any(|patch| patch.place == Some(place)) {
                found.push(Finding::note(format!(
                    "The place “{}” of “{}” claims no patch. Check its name against the draft.",
                    place_plan.name, block_plan.name
                )));
            }
        }
    }
    for (index, cloth) in plan.cloths.iter().enumerate() {
        if !cutting.iter().any(|cut| cut.cloth.0 == index) {
            found.push(Finding::note(format!(
                "“{}” is on the list but nothing is cut from it.",
                cloth.name
            )));
        }
    }
    found
}
