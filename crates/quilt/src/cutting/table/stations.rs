//! Which cloths are cut together.
//!
//! Sheets with the same steps are put together first, as many as may lie on each other.
//! Then, as long as it saves settings of the ruler (or passes at the same settings), the
//! two stations are joined that save most.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use super::Effort;
use super::groups::Place;
use super::walk::{Floor, Which, effort};

/// With more stations than this only sheets with the same steps are put together: all
/// pairs of more would take long to try.
const TRIED: usize = 80;

/// A list of steps for two stations may be so much longer than the longer of theirs; with
/// too little in common the steps are hard to follow, whatever they save.
const LONGER: usize = 2;

/// The sheets by station, each once, in the order of their first sheet.
pub(super) fn together(floor: &Floor<'_>) -> Vec<Vec<Which>> {
    let most = floor.layers() as usize;
    let mut alike: BTreeMap<Vec<u8>, Vec<Which>> = BTreeMap::new();
    for sheet in floor.sheets() {
        alike.entry(look(floor, sheet)).or_default().push(sheet);
    }
    let mut stations: Vec<Vec<Which>> = alike
        .into_values()
        .flat_map(|sheets| {
            let parts = sheets.chunks(most.max(1));
            parts.map(<[Which]>::to_vec).collect::<Vec<_>>()
        })
        .collect();
    stations.sort();
    if most > 1 && stations.len() <= TRIED {
        joined(floor, &mut stations);
    }
    stations
}

/// Everything of a sheet's steps but which sheet it is and what the pieces are for.
fn look(floor: &Floor<'_>, sheet: Which) -> Vec<u8> {
    let mut look = format!("{}", floor.width(sheet));
    for group in floor.groups(sheet) {
        let lots: Vec<_> = group.lots.iter().map(|lot| (lot.kind, &lot.each)).collect();
        look += &format!("{:?} {} {lots:?}", group.place, group.height);
    }
    look.into_bytes()
}

/// What is left of ruler settings and passes; the greater, the more is saved.
type Gain = (Reverse<u32>, Reverse<u32>);

fn joined(floor: &Floor<'_>, stations: &mut Vec<Vec<Which>>) {
    let most = floor.layers() as usize;
    let cost = |sheets: &[Which]| {
        let steps = floor.steps(sheets);
        (effort(&steps), steps.len())
    };
    let mut costs: Vec<(Effort, usize)> = stations.iter().map(|sheets| cost(sheets)).collect();
    let mut known: BTreeMap<(Vec<Which>, Vec<Which>), (Effort, usize)> = BTreeMap::new();
    loop {
        let mut best: Option<(Gain, usize, usize)> = None;
        for a in 0..stations.len() {
            for b in a + 1..stations.len() {
                if stations[a].len() + stations[b].len() > most
                    || !share(floor, &stations[a], &stations[b])
                {
                    continue;
                }
                let key = (stations[a].clone(), stations[b].clone());
                let (both, steps) = *known
                    .entry(key)
                    .or_insert_with(|| cost(&union(&stations[a], &stations[b])));
                let apart = costs[a].0 + costs[b].0;
                let longest = costs[a].1.max(costs[b].1) + LONGER;
                if both >= apart || steps > longest {
                    continue;
                }
                let saved = (
                    Reverse(apart.settings.saturating_sub(both.settings)),
                    Reverse(apart.passes.saturating_sub(both.passes)),
                );
                if best.is_none_or(|(known, ..)| saved < known) {
                    best = Some((saved, a, b));
                }
            }
        }
        let Some((_, a, b)) = best else {
            break;
        };
        let other = stations.remove(b);
        costs.remove(b);
        stations[a] = union(&stations[a], &other);
        costs[a] = cost(&stations[a]);
    }
    stations.sort();
}

fn union(a: &[Which], b: &[Which]) -> Vec<Which> {
    a.iter()
        .chain(b)
        .copied()
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect()
}

/// Whether they are equally wide and have strips of one height.
fn share(floor: &Floor<'_>, a: &[Which], b: &[Which]) -> bool {
    let heights = |sheets: &[Which]| -> BTreeSet<(i64, i64)> {
        let groups = sheets.iter().flat_map(|&sheet| floor.groups(sheet));
        let across = groups.filter(|group| group.place == Place::Across);
        across.map(|group| (group.height, group.width)).collect()
    };
    let width = |sheets: &[Which]| sheets.first().map(|&sheet| floor.width(sheet));
    width(a) == width(b) && !heights(a).is_disjoint(&heights(b))
}
