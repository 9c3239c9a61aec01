//! Prints too large for the patches they are cut into.
//!
//! A patch narrower than half a figure shows a piece of it at most: it reads as plain, and
//! each patch in another colour.

use std::collections::{BTreeMap, BTreeSet};

use super::Finding;
use crate::cloth::prints::{has_figures, narrowest};
use crate::plan::{BlockId, ClothId, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(top) = &results.top else {
        return Vec::new();
    };
    let width = |block: &crate::block::Block| -> Vec<f64> {
        let templates = block.templates.iter();
        templates.map(|t| narrowest(&t.finished)).collect()
    };
    let blocks = results.blocks.iter();
    let widths: Vec<Vec<f64>> = blocks
        .map(|block| block.as_deref().map(width).unwrap_or_default())
        .collect();
    // The narrowest patch of each cloth.
    let mut narrow: BTreeMap<ClothId, (f64, BlockId, usize)> = BTreeMap::new();
    let dressed = top
        .blocks
        .iter()
        .map(|placed| (placed.block, placed.colourway));
    for (id, way) in dressed.collect::<BTreeSet<_>>() {
        let Some(block) = results.blocks.get(id.0).and_then(Option::as_ref) else {
            continue;
        };
        let of = plan.block(id);
        let way = way.and_then(|way| of.colourways.get(way));
        for patch in &block.patches {
            let Some(place) = patch.place else { continue };
            let changed = way.and_then(|w| w.places.iter().find(|(p, _)| *p == place));
            let cloths = changed.map_or(&of.places[place].cloths, |(_, cloths)| cloths);
            let here = (widths[id.0][patch.template], id, patch.template);
            for &cloth in cloths {
                let least = narrow.entry(cloth).or_insert(here);
                if here.0 < least.0 - 1e-9 {
                    *least = here;
                }
            }
        }
    }
    narrow
        .into_iter()
        .filter(|(cloth, _)| has_figures(plan.cloth(*cloth)))
        .filter_map(|(cloth, (width, block, template))| {
            let cloth = plan.cloth(cloth);
            let figures = cloth.figure_size();
            if width >= figures.to_f64() / 2.0 - 1e-9 {
                return None;
            }
            let letter = &results.blocks[block.0].as_ref()?.templates[template].letter;
            Some(Finding::note(format!(
                "The print of “{}” repeats every {}, and template {letter} of “{}” finishes only {} across: there it reads as plain, each patch in another colour. Take a smaller print, or keep it for larger patches.",
                cloth.name,
                plan.measure.say(figures),
                plan.block(block).name,
                plan.measure.about(width),
            )))
        })
        .collect()
}
