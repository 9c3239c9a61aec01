//! Sides that lie on the bias inside a block.
//!
//! They cannot be avoided in a half-square triangle; the grain is chosen so that they
//! are sewn soon. Until then they stretch, so the maker should know which they are.

use super::Finding;
use crate::block::Block;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let blocks = plan.blocks.iter().zip(&results.blocks);
    blocks
        .filter_map(|(block_plan, block)| {
            let sides = sides(block.as_ref()?);
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

/// For each template with bias, its letter and the lengths of those sides.
fn sides(block: &Block) -> Vec<String> {
    let mut found = Vec::new();
    for (index, template) in block.templates.iter().enumerate() {
        let Some(patch) = block.patches.iter().find(|patch| patch.template == index) else {
            continue;
        };
        let mut lengths: Vec<String> = patch
            .outline
            .edges()
            .enumerate()
            .filter(|(edge, _)| patch.bias.contains(edge))
            .map(|(_, edge)| format!("{:.2} in", edge.length_f64()))
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
