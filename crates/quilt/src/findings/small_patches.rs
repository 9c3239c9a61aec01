//! Patches narrower than their own seam allowances.
//!
//! Where a patch finishes narrower than two allowances, the allowances of its two sides
//! overlap under it and cannot both lie flat.

use super::Finding;
use crate::cloth::prints::narrowest;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let allowances = plan.seam.times(2).to_f64();
    let mut found = Vec::new();
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        for template in block.iter().flat_map(|block| &block.templates) {
            let narrow = narrowest(&template.finished);
            if narrow < allowances - 1e-9 {
                found.push(Finding::mind(format!(
                    "Template {} of “{}” finishes only {} across, less than its two seam allowances ({}). Make the block larger or join that patch to its neighbour.",
                    template.letter,
                    block_plan.name,
                    plan.measure.about(narrow),
                    plan.measure.say(&plan.seam.times(2)),
                )));
            }
        }
    }
    found
}
