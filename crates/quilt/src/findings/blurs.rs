//! Seams inside a block along which two cloths melt into one.
//!
//! Shapes are seen by light and dark. Where neighbours are alike in value and near in
//! colour too, the seam between them is sewn for nothing. Cloths of one place, and places
//! filled from one pool, are meant to lie beside each other and are passed over.

use super::Finding;
use crate::cloth::Seam;
use crate::plan::Plan;
use crate::results::Results;

/// Seams told of each block.
const TOLD: usize = 3;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let mut found = Vec::new();
    for (index, block) in plan.blocks.iter().enumerate() {
        let pool = |place: usize| {
            let mut pools = plan.choosing.pools.iter();
            pools.position(|pool| pool.fills.iter().any(|f| (f.0.0, f.1) == (index, place)))
        };
        let meant = |seam: &Seam| {
            let [one, other] = seam.places;
            one == other || pool(one).is_some() && pool(one) == pool(other)
        };
        let here = results.seams.iter();
        let here = here.filter(|seam| seam.block.0 == index);
        let melting: Vec<&Seam> = here.filter(|s| s.melts() && !meant(s)).collect();
        if melting.is_empty() {
            continue;
        }
        let told: Vec<String> = melting
            .iter()
            .take(TOLD)
            .map(|seam| {
                let [one, other] = seam.places.map(|place| &block.places[place].name);
                let [a, b] = seam.cloths.map(|cloth| &plan.cloth(cloth).name);
                format!(
                    "“{one}” in “{a}” and “{other}” in “{b}” ({:.0} of 100 apart in lightness)",
                    seam.steps
                )
            })
            .collect();
        let more = match melting.len() - told.len() {
            0 => String::new(),
            n => format!(", and {n} more"),
        };
        found.push(Finding::note(format!(
            "In “{}” neighbouring patches run together: {}{more}. A lighter or darker cloth for one of them shows the seam.",
            block.name,
            told.join("; "),
        )));
    }
    found
}
