//! A block that straight seams alone do not put together.
//!
//! The order is given all the same, with the seams that stop at a point.

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
        let straight = sewn.straight.as_ref().map_or(
            "To have straight seams only, draw a line on through the block.",
            |straight| straight.in_words.as_str(),
        );
        Some(Finding::mind(format!(
            "“{name}” does not sew in straight seams alone. {words} The steps show a dot where to stop. {straight}"
        )))
    };
    sewing.blocks.iter().filter_map(of_block).collect()
}
