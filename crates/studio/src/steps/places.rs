//! Between the picture and the steps: where a step's pieces lie, and which step a patch of
//! the picture comes from.

use std::collections::BTreeSet;

use quilt::cutting::{self, CutStep, Use};
use quilt::plan::{BlockId, Plan};
use quilt::results::Results;

use super::{Line, List, Shows};
use crate::look::{Look, Owner, cloth_name};

/// The patches of the picture that a step makes or joins.
pub(crate) fn places(
    list: List,
    results: &Results,
    look: &Look,
    lines: &[Line],
    at: usize,
) -> Vec<usize> {
    let Some(line) = lines.get(at) else {
        return Vec::new();
    };
    match (list, line.shows) {
        (List::Cut, _) => cut_places(results, look, at),
        (List::Sew, Shows::Top(step)) => top_places(results, look, step),
        (List::Sew, _) => line
            .unit()
            .map_or_else(Vec::new, |unit| unit_places(results, look, unit)),
    }
}

fn cut_steps(results: &Results) -> Vec<&CutStep> {
    let stations = results.table.iter().flat_map(|table| &table.0.stations);
    stations.flat_map(|station| &station.steps).collect()
}

fn cut_places(results: &Results, look: &Look, at: usize) -> Vec<usize> {
    let steps = cut_steps(results);
    let (Some(step), Some(all)) = (steps.get(at), &results.cutting) else {
        return Vec::new();
    };
    let cloths: BTreeSet<usize> = step.from.iter().map(|f| all[f.sheet.0].cloth.0).collect();
    let made = |usage: &Use| step.pieces.iter().any(|(of, _)| of == usage);
    (0..look.items.len())
        .filter(|&item| {
            let of_it = look.items[item].cloth.is_some_and(|c| cloths.contains(&c));
            of_it && uses(results, look, item).iter().any(made)
        })
        .collect()
}

/// Everything a patch of the picture may be cut as: itself, or as part of a unit that is
/// made several at a time, or rough for a foundation.
fn uses(results: &Results, look: &Look, item: usize) -> Vec<Use> {
    let Some(top) = look.top() else {
        return Vec::new();
    };
    match look.owner(item) {
        Some(Owner::Part(part)) => vec![Use::Part(top.parts[part].kind)],
        Some(Owner::Patch(placed, patch)) => {
            let placed = &top.blocks[placed];
            let id = placed.block;
            let Some(block) = look.block(placed) else {
                return Vec::new();
            };
            let mut uses = vec![Use::Patch(id, block.patches[patch].template)];
            uses.extend(
                units_of(results, id, patch)
                    .into_iter()
                    .map(|step| Use::Unit(id, step)),
            );
            uses
        }
        None => Vec::new(),
    }
}

/// The steps of a block that this patch is part of, the smallest unit first.
fn units_of(results: &Results, id: BlockId, patch: usize) -> Vec<usize> {
    let sewing = results.sewing.iter().flat_map(|sewing| &sewing.blocks);
    let mut steps: Vec<usize> = sewing
        .filter(|sewn| sewn.block == id)
        .flat_map(|sewn| &sewn.joins)
        .filter(|join| join.unit.binary_search(&patch).is_ok())
        .map(|join| join.step)
        .collect();
    steps.sort_unstable();
    steps.dedup();
    steps
}

fn unit_places(results: &Results, look: &Look, (id, step): (BlockId, usize)) -> Vec<usize> {
    let (Some(sewing), Some(top)) = (&results.sewing, look.top()) else {
        return Vec::new();
    };
    let Some(sewn) = sewing.blocks.iter().find(|sewn| sewn.block == id) else {
        return Vec::new();
    };
    let patches: BTreeSet<usize> = sewn
        .joins
        .iter()
        .filter(|join| join.step == step)
        .flat_map(|join| join.unit.iter().copied())
        .collect();
    let copies = top.blocks.iter().enumerate();
    copies
        .filter(|(_, placed)| placed.block == id)
        .flat_map(|(index, _)| {
            let first = look.patches_of(index).start;
            patches.iter().map(move |patch| first + patch)
        })
        .collect()
}

fn top_places(results: &Results, look: &Look, step: usize) -> Vec<usize> {
    let step = results.sewing.as_ref().and_then(|s| s.top.get(step));
    step.map_or_else(Vec::new, |step| {
        let blocks = step.blocks.iter().flat_map(|&block| look.patches_of(block));
        step.parts.iter().copied().chain(blocks).collect()
    })
}

/// The step a patch of the picture comes from, and from where in words.
pub(crate) fn comes_from(
    list: List,
    plan: &Plan,
    results: &Results,
    look: &Look,
    lines: &[Line],
    item: usize,
) -> Option<(usize, String)> {
    let name = named(plan, results, look, item)?;
    match list {
        List::Cut => {
            let (at, from) = cut_from(results, look, item)?;
            Some((at, format!("{name} is cut in step {}{from}.", at + 1)))
        }
        List::Sew => {
            let at = sewn_in(results, look, lines, item)?;
            Some((at, format!("{name} is first sewn in step {}.", at + 1)))
        }
    }
}

/// `A of “Harbour”, in 3 Rust check`.
fn named(plan: &Plan, results: &Results, look: &Look, item: usize) -> Option<String> {
    let first = *uses(results, look, item).first()?;
    let piece = cutting::piece_name(plan, &results.blocks, &first);
    let cloth = look.items.get(item)?.cloth.map_or_else(
        || "without a cloth".to_owned(),
        |cloth| format!("in {}", cloth_name(plan, quilt::plan::ClothId(cloth))),
    );
    Some(format!("The piece you chose, {piece} {cloth},"))
}

fn cut_from(results: &Results, look: &Look, item: usize) -> Option<(usize, String)> {
    let cloth = look.items.get(item)?.cloth?;
    let all = results.cutting.as_ref()?;
    let uses = uses(results, look, item);
    let steps = cut_steps(results);
    let found = steps.iter().enumerate().find_map(|(at, step)| {
        let of_cloth = step.from.iter().find(|f| all[f.sheet.0].cloth.0 == cloth)?;
        let usage = uses
            .iter()
            .find(|usage| step.pieces.iter().any(|(of, _)| of == *usage))?;
        Some((at, of_cloth, *usage))
    });
    let (at, from, usage) = found?;
    let cutting = &all[from.sheet.0];
    let sheet = &cutting.sheets[from.sheet.1];
    let holds = |strip: usize| {
        let slabs = sheet.strips.get(strip).map(|strip| &strip.slabs);
        slabs.into_iter().flatten().any(|slab| {
            let demand = &cutting.demands[slab.demand];
            demand.serves.iter().any(|served| served.usage == usage)
        })
    };
    let strips: Vec<String> = from
        .strips
        .iter()
        .map(|strip| strip.strip)
        .filter(|&strip| holds(strip))
        .map(|strip| (strip + 1).to_string())
        .collect();
    let words = match strips.as_slice() {
        [] => String::new(),
        [one] => format!(", from strip {one} of its cloth"),
        [one, other] => format!(", from strip {one} or {other} of its cloth"),
        [first, .., last] => format!(", from one of strips {first} to {last} of its cloth"),
    };
    Some((at, words))
}

fn sewn_in(results: &Results, look: &Look, lines: &[Line], item: usize) -> Option<usize> {
    let top = look.top()?;
    match look.owner(item)? {
        Owner::Part(part) => {
            let steps = results.sewing.as_ref().map(|s| &s.top)?;
            lines.iter().position(|line| match line.shows {
                Shows::Top(step) => steps.get(step).is_some_and(|s| s.parts.contains(&part)),
                _ => false,
            })
        }
        Owner::Patch(placed, patch) => {
            let id = top.blocks[placed].block;
            let units = units_of(results, id, patch);
            lines.iter().position(|line| {
                let unit = line.unit();
                unit.is_some_and(|(of, step)| of == id && units.contains(&step))
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::steps::lines;

    #[test]
    fn every_patch_of_the_picture_has_its_step_and_that_step_its_place() {
        for (key, title, text) in crate::DEMOS {
            let plan = planfile::read(title, text).unwrap();
            let results = quilt::results::work_out(&plan, None);
            let look = Look::of(&plan, Some(&results));
            for list in [List::Cut, List::Sew] {
                let lines = lines(list, &plan, &results);
                for item in (0..look.items.len()).step_by(look.items.len() / 40 + 1) {
                    let found = comes_from(list, &plan, &results, &look, &lines, item);
                    let (at, says) = found.unwrap_or_else(|| panic!("{key}, {list:?}, {item}"));
                    let there = places(list, &results, &look, &lines, at);
                    // A part is drawn once for all of its kind in the steps of the top.
                    let part = matches!(look.owner(item), Some(Owner::Part(_)));
                    assert!(
                        there.contains(&item) || part,
                        "{key}, {list:?}, {item}: {says}"
                    );
                }
            }
        }
    }
}
