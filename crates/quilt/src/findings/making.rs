//! Units made several at a time: what the maker should know about it.
//!
//! A way that leaves bias outside, or turns the grain, is worth a word; so is a way the
//! maker settled on that the cloth does not allow.

use std::collections::BTreeSet;

use super::Finding;
use crate::making::{Batch, caution, refusal};
use crate::plan::{Plan, Way};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(making) = &results.making else {
        return Vec::new();
    };
    let batches = making.batches.iter();
    batches
        .filter_map(|batch| stretchy(plan, batch).or_else(|| not_as_settled(plan, batch)))
        .collect::<BTreeSet<Finding>>()
        .into_iter()
        .collect()
}

/// `Unit 3 of “Medley”`.
fn unit(plan: &Plan, batch: &Batch) -> String {
    format!(
        "Unit {} of “{}”",
        batch.step + 1,
        plan.block(batch.block).name
    )
}

fn stretchy(plan: &Plan, batch: &Batch) -> Option<Finding> {
    let recipe = batch.recipe();
    let caution = caution(recipe)?;
    Some(Finding::mind(format!(
        "{} is made {}. {caution} Made another way its outer edges stay straight.",
        unit(plan, batch),
        recipe.way.name()
    )))
}

/// A way the maker has settled on and does not get.
fn not_as_settled(plan: &Plan, batch: &Batch) -> Option<Finding> {
    let settled = plan.making.settled_for(batch.kind)?;
    if settled == batch.recipe().way || settled == Way::Singly {
        return None;
    }
    let why = batch
        .refused
        .iter()
        .map(|&refused| refusal(plan, refused))
        .next()
        .unwrap_or_else(|| "Too few of them are needed.".into());
    Some(Finding::note(format!(
        "{} cannot be made {} in these cloths and is sewn patch by patch. {why} Choose another cloth if it matters.",
        unit(plan, batch),
        settled.name()
    )))
}
