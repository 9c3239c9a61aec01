//! One-way and two-way prints in blocks that are turned.
//!
//! Pieces of a directional print are cut so that it runs upright in the block. A block
//! turned in the setting turns its print with it.

use std::collections::BTreeSet;

use super::Finding;
use crate::plan::{ClothId, Direction, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(top) = &results.top else {
        return Vec::new();
    };
    let mut turned: BTreeSet<(ClothId, usize)> = BTreeSet::new();
    for placed in &top.blocks {
        let block = plan.block(placed.block);
        let own = block.places.iter().flat_map(|place| &place.cloths);
        let other = placed
            .colourway
            .and_then(|way| block.colourways.get(way))
            .into_iter()
            .flat_map(|way| way.places.iter().flat_map(|(_, cloths)| cloths));
        for &cloth in own.chain(other) {
            let lies_wrong = match plan.cloth(cloth).direction {
                Direction::Free => false,
                Direction::TwoWay => placed.turn % 2 == 1,
                Direction::OneWay => placed.turn != 0,
            };
            if lies_wrong {
                turned.insert((cloth, placed.block.0));
            }
        }
    }
    turned
        .into_iter()
        .map(|(cloth, block)| {
            Finding::mind(format!(
                "The print of “{}” has a direction, and some copies of “{}” are turned, so it will run sideways or upside down in those. Choose a cloth that may lie any way up, or leave the blocks unturned.",
                plan.cloth(cloth).name, plan.blocks[block].name
            ))
        })
        .collect()
}
