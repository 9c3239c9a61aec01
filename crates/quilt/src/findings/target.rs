//! How near the top comes to the size aimed at, and which rows and columns come nearer.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;
use crate::setting::propose;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(proposal) = propose(plan) else {
        return Vec::new();
    };
    let mut text = format!(
        "You aim at {}.",
        plan.measure.size(&proposal.width, &proposal.height)
    );
    if let Some(top) = &results.top {
        text.push_str(&format!(
            " As planned the top finishes at {}.",
            plan.measure.size(&top.width, &top.height)
        ));
    }
    for offer in proposal.fits.iter().chain(&proposal.next) {
        text.push_str(&format!(" {}.", offer.words));
    }
    vec![Finding::note(text)]
}
