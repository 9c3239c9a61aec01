//! A block that straight seams alone do not put together.
//!
//! The booklet then shows where the obstruction lies instead of a full order.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(sewing) = &results.sewing else {
        return Vec::new();
    };
    let of_block = |sewn: &crate::sewing::BlockSewing| {
        let words = sewn.in_words.as_ref()?;
        let name = &plan.block(sewn.block).name;
        Some(Finding::mind(format!(
            "“{name}” does not sew in straight seams alone. {words} A full order for such blocks is not worked out yet; draw a line on through the block to make every seam straight, or sew it by the drawing."
        )))
    };
    sewing.blocks.iter().filter_map(of_block).collect()
}
