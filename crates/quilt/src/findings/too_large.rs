//! Pieces larger than the cloth they are to be cut from.
//!
//! A piece wider than the cloth that may not be turned, or has no joined way to be cut,
//! is left out of the cutting, so the cloth to buy would be too little.

use super::Finding;
use crate::cutting::{Method, Use, use_name};
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let cloths = results.cutting.iter().flat_map(|all| all.iter());
    cloths
        .flat_map(|cut| cut.too_large.iter().map(move |&demand| (cut, &cut.demands[demand])))
        .map(|(cut, demand)| {
            let cloth = plan.cloth(cut.cloth);
            let size = match &demand.method {
                Method::Rectangle { height, width } => {
                    format!(" ({} cut)", plan.measure.size(&width.size, &height.size))
                }
                _ => String::new(),
            };
            let what = match demand.usage {
                Use::Patch(block, template) => {
                    let letter = results.blocks[block.0]
                        .as_ref()
                        .map_or("", |drafted| drafted.templates[template].letter.as_str());
                    format!("Template {letter} of “{}”", plan.block(block).name)
                }
                Use::Rough(block, ..) => {
                    let name = use_name(&demand.usage);
                    format!("Piece {name} of “{}”", plan.block(block).name)
                }
                other => format!("The {}", use_name(&other)),
            };
            if matches!(demand.method, Method::Centred { .. }) {
                return Finding::stop(format!(
                    "{what} is to be centred on a motif, and the motifs of “{}” have no room for it, or not for so many. Choose another cloth for it, or let it be cut anywhere.",
                    cloth.name
                ));
            }
            Finding::stop(format!(
                "{what}{size} is larger than “{}”, which is {} wide. Choose a wider cloth for it, or divide the piece.",
                cloth.name,
                plan.measure.say(&cloth.width),
            ))
        })
        .collect()
}
