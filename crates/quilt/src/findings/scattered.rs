//! Pools whose cloths could not be laid as the maker asks.
//!
//! Like cloth beside like shows as a blot in a scrap quilt, and a count that cannot be kept
//! changes what is cut.

use super::{Finding, count};
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let pools = plan.choosing.pools.iter().zip(results.scattered.iter());
    let mut found = Vec::new();
    for (pool, scattered) in pools {
        let name = &pool.name;
        if scattered.spots == 0 {
            found.push(Finding::note(format!(
                "The pool “{name}” fills no place. Give a place of a block pool = \"{name}\", or take the pool out.",
            )));
            continue;
        }
        if let Some(short) = scattered.short {
            found.push(Finding::mind(format!(
                "The counts of the pool “{name}” ask for {}, and it has {} to fill; they were kept as nearly as can be. Change the counts to make {}.",
                count(short.asked, "piece", "pieces"),
                short.spots,
                short.spots,
            )));
        }
        for pin in &scattered.astray {
            found.push(Finding::mind(format!(
                "In the pool “{name}” a cloth is pinned to row {}, column {}, where the pool fills nothing, or “{}” is not in the pool. Look at the row, the column and the patch.",
                pin.row + 1,
                pin.column + 1,
                plan.cloth(pin.cloth).name,
            )));
        }
        if scattered.touching > 0 {
            let proved = match scattered.unavoidable {
                0 => String::new(),
                n => format!(", and at least {n} cannot be avoided with these counts"),
            };
            found.push(Finding::note(format!(
                "In the pool “{name}” like cloth lies beside like in {}{proved}. More cloths in the pool, more even counts or another seed part them.",
                count(scattered.touching, "place", "places"),
            )));
        }
    }
    found
}
