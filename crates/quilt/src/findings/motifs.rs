//! Pieces to be centred on a motif of a cloth that has none, or whose motifs lie too close.
//!
//! Where a piece is larger than the motifs lie apart, cutting one destroys its neighbours;
//! the maker should know how much of the cloth is lost before buying it.

use super::{Finding, count};
use crate::cutting::{ClothCutting, Method, Tight, Use, tight};
use crate::plan::{BlockId, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let mut found = without(plan);
    for cut in results.cutting.iter().flat_map(|all| all.iter()) {
        let all = tight(plan, cut);
        found.extend(all.iter().map(|tight| too_close(plan, results, cut, tight)));
    }
    found
}

/// Places whose cloth says nothing of motifs.
fn without(plan: &Plan) -> Vec<Finding> {
    let mut found = Vec::new();
    for (index, block) in plan.blocks.iter().enumerate() {
        for (place, of) in block.places.iter().enumerate().filter(|(_, of)| of.centred) {
            let ways = block.colourways.iter().flat_map(|way| &way.places);
            let changed = ways
                .filter(|(at, _)| *at == place)
                .flat_map(|(_, cloths)| cloths);
            let mut cloths: Vec<_> = of.cloths.iter().chain(changed).copied().collect();
            cloths.sort_unstable();
            cloths.dedup();
            cloths.retain(|&cloth| !plan.is_centred(BlockId(index), place, cloth));
            found.extend(cloths.into_iter().map(|cloth| {
                Finding::mind(format!(
                    "Pieces of “{}”, place “{}”, are to be centred on a motif, but “{}” does not say how far its motifs lie apart, so they are cut anywhere. Measure it and write motif = {{ across = …, along = … }} to the cloth, or take “centred” away.",
                    block.name,
                    of.name,
                    plan.cloth(cloth).name
                ))
            }));
        }
    }
    found
}

fn too_close(plan: &Plan, results: &Results, cut: &ClothCutting, tight: &Tight) -> Finding {
    let demand = &cut.demands[tight.demand];
    let what = match demand.usage {
        Use::Patch(block, template) => {
            let letter = results.blocks[block.0]
                .as_ref()
                .map_or("", |drafted| drafted.templates[template].letter.as_str());
            format!("Pieces {letter} of “{}”", plan.block(block).name)
        }
        _ => "Pieces".into(),
    };
    let cloth = plan.cloth(cut.cloth);
    let say = |marks: i64| plan.measure.say(&plan.ruler.length(marks));
    let nth = |n: usize| match n {
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        n => format!("{n}th"),
    };
    let apart = cloth.motif.as_ref();
    let apart =
        apart.map(|motif| [&motif.across, &motif.along].map(|length| plan.measure.say(length)));
    let [across, along] = apart.unwrap_or_default();
    let mut why = Vec::new();
    if tight.motif > 1 {
        why.push(format!(
            "{} wide on motifs {across} apart, so of a row every {} motif is used",
            say(tight.size[1]),
            nth(tight.motif)
        ));
    }
    if tight.row > 1 {
        why.push(format!(
            "{} high on rows {along} apart, so every {} row is used",
            say(tight.size[0]),
            nth(tight.row)
        ));
    }
    let there: usize = cut.sheets.iter().map(|sheet| sheet.motifs.len()).sum();
    let centred = |demand: usize| matches!(cut.demands[demand].method, Method::Centred { .. });
    let shown = cut.pieces().filter(|piece| centred(piece.demand)).count();
    let lost = there.saturating_sub(shown);
    Finding::note(format!(
        "{what} are {}. Of {} on the cloth they are cut from, {lost} {} lost. A smaller patch, or a print of “{}” with motifs farther apart, loses fewer.",
        why.join(", and "),
        count(there, "motif", "motifs"),
        if lost == 1 { "is" } else { "are" },
        cloth.name,
    ))
}
