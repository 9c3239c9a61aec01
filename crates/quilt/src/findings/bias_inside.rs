//! Sides that lie on the bias inside a block.
//!
//! They cannot be avoided in a half-square triangle; the grain is chosen so that they
//! are sewn soon. Until then they stretch, so the maker should know which they are.

use super::Finding;
use crate::block::Block;
use crate::cutting::Use;
use crate::plan::{BlockPlan, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let blocks = plan.blocks.iter().zip(&results.blocks);
    blocks
        .filter_map(|(block_plan, block)| {
            let block = block.as_ref()?;
            let sides = sides(plan, block, &made_together(results, block_plan, plan));
            (!sides.is_empty()).then(|| {
                Finding::note(format!(
                    "Bias inside “{}”: {}. Sew those sides before they can stretch, with the bias edge underneath, next to the feed dogs, and press without pushing.",
                    block_plan.name,
                    sides.join("; ")
                ))
            })
        })
        .collect()
}

/// Templates of which no piece is cut singly: made several at a time, their bias is sewn
/// before it is cut, so nothing is left to stretch.
fn made_together(results: &Results, block: &BlockPlan, plan: &Plan) -> Vec<usize> {
    let Some(id) = plan.blocks.iter().position(|b| b.name == block.name) else {
        return Vec::new();
    };
    let (Some(making), Some(cutting)) = (&results.making, &results.cutting) else {
        return Vec::new();
    };
    let batches = making.batches.iter();
    let batches = batches.filter(|batch| batch.block.0 == id && batch.together());
    let mut covered: Vec<usize> = batches.flat_map(|batch| batch.templates.clone()).collect();
    let serves = cutting
        .iter()
        .flat_map(|cut| &cut.demands)
        .flat_map(|d| &d.serves);
    for served in serves {
        if let Use::Patch(block, template) = served.usage
            && block.0 == id
        {
            covered.retain(|&known| known != template);
        }
    }
    covered
}

/// For each template with bias, its letter and the lengths of those sides.
fn sides(plan: &Plan, block: &Block, covered: &[usize]) -> Vec<String> {
    let mut found = Vec::new();
    for (index, template) in block.templates.iter().enumerate() {
        if covered.contains(&index) || !block.cuts_by(index) {
            continue;
        }
        let Some(patch) = block.patches.iter().find(|patch| patch.template == index) else {
            continue;
        };
        let mut lengths: Vec<String> = patch
            .outline
            .edges()
            .enumerate()
            .filter(|(edge, _)| patch.bias.contains(edge))
            .map(|(_, edge)| plan.measure.about(edge.length_f64()))
            .collect();
        lengths.dedup();
        if !lengths.is_empty() {
            found.push(format!(
                "{} ({} finished)",
                template.letter,
                lengths.join(", ")
            ));
        }
    }
    found
}
