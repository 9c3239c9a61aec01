//! Cut sizes rounded to the nearest mark that come out too small.
//!
//! A sliver too much can be trimmed, a piece too small cannot be mended. With rounding
//! up this never happens.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let mut found = Vec::new();
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        for (_, template) in block.iter().flat_map(|block| block.cutting_templates()) {
            let Some(recipe) = &template.rotary else {
                continue;
            };
            let short = [&recipe.strip, &recipe.crosscut]
                .into_iter()
                .filter(|cut| cut.reserve() < -1e-9)
                .min_by(|a, b| a.reserve().total_cmp(&b.reserve()));
            if let Some(cut) = short {
                found.push(Finding::mind(format!(
                    "Template {} of “{}” is cut {:.3} in too small: {} on the ruler for {:.4} in. Set rounding to “up”.",
                    template.letter,
                    block_plan.name,
                    -cut.reserve(),
                    plan.measure.say(&cut.size),
                    cut.exact.to_f64(),
                )));
            }
        }
    }
    found
}
