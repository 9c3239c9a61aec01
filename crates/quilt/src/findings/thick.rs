//! So many layers lie on each other between the blocks that a needle labours.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;
use crate::sewing::TOO_THICK;

pub(super) fn check(_: &Plan, results: &Results) -> Vec<Finding> {
    let layers = results.sewing.iter().map(|sewing| &sewing.layers);
    let thick = layers.filter(|layers| layers.most() >= TOO_THICK);
    let words = thick.filter_map(|layers| {
        let words = layers.in_words.as_ref()?;
        Some(Finding::note(format!(
            "{words} Sew over it slowly, or turn the wheel by hand."
        )))
    });
    words.collect()
}
