//! The drawing of a block does not make patches.
//!
//! Lines that stop in the open, patches that overlap or leave a hole: nothing can be cut
//! from such a draft, so nothing after it is worked out.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let blocks = plan.blocks.iter().zip(&results.faults);
    blocks
        .flat_map(|(block, faults)| {
            faults
                .iter()
                .map(|fault| Finding::stop(fault.text(block, plan.measure)))
        })
        .collect()
}
