//! Cloth that cannot be bought any more and does not reach.
//!
//! The maker learns before the first cut which pieces are missing, how much cloth they
//! would take, which other cloth would do, and how many blocks fewer would.

use std::collections::BTreeMap;

use super::{Finding, count};
use crate::cutting::{ClothCutting, Missing, Use, use_name};
use crate::plan::{BlockId, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let cloths = results.cutting.iter().flat_map(|all| all.iter());
    cloths
        .filter_map(|cut| Some(finding(plan, results, cut, cut.missing.as_ref()?)))
        .collect()
}

fn finding(plan: &Plan, results: &Results, cut: &ClothCutting, missing: &Missing) -> Finding {
    let cloth = plan.cloth(cut.cloth);
    let total: u32 = missing.pieces.iter().map(|(_, served)| served.count).sum();
    let names: Vec<String> = missing
        .pieces
        .iter()
        .map(|(_, served)| match served.usage {
            Use::Patch(block, template) => {
                let letter = results.blocks[block.0]
                    .as_ref()
                    .map_or("", |drafted| drafted.templates[template].letter.as_str());
                format!("{} {letter} of “{}”", served.count, plan.block(block).name)
            }
            Use::Rough(block, ..) => {
                let name = use_name(&served.usage);
                format!("{} {name} of “{}”", served.count, plan.block(block).name)
            }
            other => format!("{} for {}", served.count, use_name(&other)),
        })
        .collect();
    let mut ways = Vec::new();
    if let Some(other) = missing.instead {
        ways.push(format!(
            "“{}” has enough left over for them and is nearest to it in value",
            plan.cloth(other).name
        ));
    }
    for (block, fewer) in fewer(results, cut, missing) {
        let name = &plan.block(block).name;
        let blocks = count(fewer as usize, "block", "blocks");
        ways.push(format!("{blocks} of “{name}” fewer would do"));
    }
    if ways.is_empty() {
        ways.push("Choose another cloth for them, or a smaller quilt".into());
    }
    Finding::stop(format!(
        "“{}” is not sold any more and does not reach: {} missing ({}), {} of cloth {} wide. {}.",
        cloth.name,
        count(total as usize, "piece is", "pieces are"),
        names.join(", "),
        plan.measure.say(&plan.ruler.length(missing.length)),
        plan.measure.say(&cloth.width),
        ways.join("; or "),
    ))
}

/// For each block how many of it cannot be made for want of this cloth.
fn fewer(results: &Results, cut: &ClothCutting, missing: &Missing) -> BTreeMap<BlockId, u32> {
    let mut fewer: BTreeMap<BlockId, u32> = BTreeMap::new();
    let Some(top) = &results.top else {
        return fewer;
    };
    for (demand, short) in &missing.pieces {
        let (Use::Patch(block, _) | Use::Rough(block, ..)) = short.usage else {
            continue;
        };
        let wanted = cut.demands[*demand].serves.iter();
        let wanted = wanted.filter(|served| served.usage == short.usage);
        let wanted: u32 = wanted.map(|served| served.count).sum();
        let copies = top.blocks.iter().filter(|b| b.block == block).count();
        let copies = u32::try_from(copies).unwrap_or(u32::MAX).max(1);
        // Copies in other cloths need none of it: what one takes at least.
        let each = (wanted / copies).max(1);
        let here = short.count.div_ceil(each).min(copies);
        let most = fewer.entry(block).or_default();
        *most = here.max(*most);
    }
    fewer
}
