//! Patches that leave bias on the outside of their block.
//!
//! A stretchy edge on the outside makes blocks that do not lie flat. The grain is chosen
//! so that this happens only where the shape allows nothing else.

use std::collections::BTreeSet;

use super::Finding;
use crate::block::Block;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let blocks = plan.blocks.iter().zip(&results.blocks);
    blocks
        .filter_map(|(block_plan, block)| {
            let letters = letters(block.as_ref()?);
            (!letters.is_empty()).then(|| {
                let names = letters.into_iter().collect::<Vec<_>>().join(", ");
                Finding::mind(format!(
                    "“{}” has bias on its outside edge at template {names}: no direction of the threads keeps every outer side of that shape straight. Handle those edges little, starch the cloth before cutting, and stay-stitch if the block waits.",
                    block_plan.name
                ))
            })
        })
        .collect()
}

/// The templates of patches with an outer edge on the bias.
fn letters(block: &Block) -> BTreeSet<&str> {
    let arrangement = &block.drafted.arrangement;
    let mut letters = BTreeSet::new();
    for (index, edge) in arrangement.edges.iter().enumerate() {
        let patch = match (edge.left, edge.right) {
            (Some(patch), None) | (None, Some(patch)) => &block.patches[patch],
            _ => continue,
        };
        if !block.cuts_by(patch.template) {
            continue;
        }
        let segment = arrangement.segment(index);
        let mut on_bias = patch
            .outline
            .edges()
            .enumerate()
            .filter(|(i, _)| patch.bias.contains(i));
        if on_bias.any(|(_, side)| side.contains(&segment.a) && side.contains(&segment.b)) {
            letters.insert(block.templates[patch.template].letter.as_str());
        }
    }
    letters
}
