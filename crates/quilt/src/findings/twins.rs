//! Cloths that seem to be on record twice.
//!
//! Two entries for one cloth are cut and bought apart: what is left of one does not help
//! the other.

use super::Finding;
use crate::cloth::twins;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, _: &Results) -> Vec<Finding> {
    let found = twins(plan).into_iter().map(|twins| {
        let [one, other] = twins.cloths.map(|cloth| &plan.cloth(cloth).name);
        Finding::note(format!(
            "“{one}” and “{other}” look like one cloth written down twice: their colours are {:.1} apart, of 100, and their prints alike. If they are one, keep one of them, so that it is bought and cut together.",
            twins.difference,
        ))
    });
    found.collect()
}
