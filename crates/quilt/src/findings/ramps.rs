//! Ramps that the cloths at hand do not fill.

use super::{Finding, count};
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let ramps = plan.choosing.ramps.iter().zip(results.ramps.iter());
    let mut found = Vec::new();
    for (ramp, ramped) in ramps {
        if let Some(trouble) = &ramped.trouble {
            found.push(Finding::mind(format!(
                "The ramp “{}” cannot be laid. {trouble}",
                ramp.name
            )));
        }
        let none = ramped.look_for.iter().filter(|w| w.off.is_none()).count();
        let far = ramped.look_for.len() - none;
        let mut lacks = Vec::new();
        if none > 0 {
            lacks.push(format!(
                "{} without a cloth",
                count(none, "place is", "places are")
            ));
        }
        if far > 0 {
            lacks.push(format!(
                "{} far from the mark",
                count(far, "place is", "places are")
            ));
        }
        if let Some(wanted) = ramped.look_for.first() {
            found.push(Finding::note(format!(
                "In the ramp “{}” {}. Look for {}.",
                ramp.name,
                lacks.join(", and "),
                wanted.in_words(plan, ramp),
            )));
        }
    }
    found
}
