//! Every distinct setting of one block, none missed and none twice.
//!
//! Two settings are the same if turning the quilt (or, where mirrored blocks are
//! allowed, mirroring it) makes one of the other; of repeats also if shifting does. Up
//! to a few million raw settings are gone through one by one; larger repeats are built
//! *by symmetry first*: choose a symmetry, give one block of each set of cells it joins
//! a placement, and let the symmetry place the others.
//!
//! [`count`] says how many there must be by the lemma of Cauchy, Frobenius and Burnside,
//! without making one.

use std::collections::{BTreeMap, BTreeSet};

use super::pose::Pose;
use super::repeat::{Move, Turns, moves};

/// Up to so many raw settings are gone through one by one.
const MOST_RAW: u64 = 1 << 27;

/// How many distinct settings of `rows × columns` cells there are: as a repeat, or as a
/// whole top that ends there. `None` beyond 2¹²⁷.
#[must_use]
pub fn count(rows: usize, columns: usize, turns: &Turns, repeats: bool) -> Option<u128> {
    let all = moves(rows, columns, turns, repeats);
    let mut sum = 0_u128;
    for one in &all {
        sum = sum.checked_add(left_alone(one, turns)?)?;
    }
    Some(sum / all.len() as u128)
}

/// How many settings this move leaves as they are.
fn left_alone(one: &Move, turns: &Turns) -> Option<u128> {
    let mut product = 1_u128;
    let mut seen = vec![false; one.to.len()];
    for start in 0..one.to.len() {
        if seen[start] {
            continue;
        }
        let (mut at, mut pose) = (start, Pose::UPRIGHT);
        loop {
            seen[at] = true;
            at = usize::from(one.to[at]);
            pose = one.pose.after(pose);
            if at == start {
                break;
            }
        }
        let all = 0..u8::try_from(turns.len()).ok()?;
        let kept = all.filter(|&p| turns.turned(pose, p) == p).count();
        product = product.checked_mul(kept as u128)?;
    }
    Some(product)
}

/// Every distinct setting, each by its least form (cells row by row), in order. `None` if
/// there are too many raw ones to go through.
#[must_use]
pub fn every(rows: usize, columns: usize, turns: &Turns, repeats: bool) -> Option<Vec<Vec<u8>>> {
    let cells = rows * columns;
    let base = turns.len() as u64;
    let raw = base.checked_pow(u32::try_from(cells).ok()?)?;
    if raw > MOST_RAW {
        return None;
    }
    let coder = Coder::new(&moves(rows, columns, turns, repeats), turns, cells);
    let mut seen = vec![0_u64; usize::try_from(raw / 64 + 1).ok()?];
    let mut out = Vec::new();
    let mut setting = vec![0_u8; cells];
    for code in 0..raw {
        if seen[usize::try_from(code / 64).ok()?] >> (code % 64) & 1 == 0 {
            // The least code of its kind comes first.
            out.push(setting.clone());
            for image in coder.images(&setting) {
                seen[usize::try_from(image / 64).ok()?] |= 1 << (image % 64);
            }
        }
        step(&mut setting, base);
    }
    Some(out)
}

/// The next setting in order: the last cell counts fastest.
fn step(setting: &mut [u8], base: u64) {
    for cell in setting.iter_mut().rev() {
        *cell += 1;
        if u64::from(*cell) < base {
            return;
        }
        *cell = 0;
    }
}

/// For each move, cell and placement, what it adds to the code of the moved setting.
struct Coder {
    adds: Vec<Vec<Vec<u64>>>,
}

impl Coder {
    fn new(all: &[Move], turns: &Turns, cells: usize) -> Self {
        let base = turns.len() as u64;
        let weight: Vec<u64> = (0..cells)
            .map(|i| base.pow(u32::try_from(cells - 1 - i).unwrap_or(0)))
            .collect();
        let adds = all.iter().map(|one| {
            let cell = |&to: &u16| {
                (0..turns.len())
                    .map(|p| {
                        let turned = turns.turned(one.pose, u8::try_from(p).unwrap_or(0));
                        u64::from(turned) * weight[usize::from(to)]
                    })
                    .collect()
            };
            one.to.iter().map(cell).collect()
        });
        Self {
            adds: adds.collect(),
        }
    }

    fn images<'a>(&'a self, setting: &'a [u8]) -> impl Iterator<Item = u64> + 'a {
        self.adds.iter().map(move |cells| {
            let each = cells.iter().zip(setting);
            each.map(|(adds, &p)| adds[usize::from(p)]).sum()
        })
    }
}

/// The least form of a setting: of all that are the same, the first in order.
#[must_use]
pub fn least(cells: &[u8], all: &[Move], turns: &Turns) -> Vec<u8> {
    all.iter()
        .map(|one| one.applied(turns, cells))
        .min()
        .unwrap_or_else(|| cells.to_vec())
}

/// The distinct square repeats of `side × side` cells that have some symmetry joining
/// their cells into at most `free` sets; in order of their least form.
///
/// All of them: every group of symmetries is gone through that joins the cells so (one
/// of each kind that differs only by where it lies).
#[must_use]
pub fn by_symmetry(side: usize, turns: &Turns, free: usize) -> Vec<Vec<u8>> {
    let all = moves(side, side, turns, true);
    let mut found = BTreeSet::new();
    for group in groups(&all) {
        let members: Vec<&Move> = group.iter().map(|&i| &all[i]).collect();
        let sets = joined(&members, side * side);
        if sets.len() <= free {
            fill(&members, &sets, side * side, turns, &mut |cells| {
                found.insert(least(cells, &all, turns));
            });
        }
    }
    found.into_iter().collect()
}

/// The groups within `all` (by the indices of their members), one of each set that
/// differs only by turning and shifting the whole.
fn groups(all: &[Move]) -> Vec<Vec<usize>> {
    let number: BTreeMap<&Move, usize> = all.iter().zip(0..).collect();
    let table: Vec<Vec<usize>> = all
        .iter()
        .map(|a| all.iter().map(|b| number[&a.after(b)]).collect())
        .collect();
    let none = (0..all.len())
        .find(|&i| table[i][i] == i)
        .unwrap_or_default();
    let undone: Vec<usize> = (0..all.len())
        .map(|a| {
            (0..all.len())
                .find(|&b| table[a][b] == none)
                .unwrap_or_default()
        })
        .collect();
    let kind = |group: &[usize]| -> Vec<usize> {
        let moved = |g: usize| {
            let mut out: Vec<usize> = group
                .iter()
                .map(|&h| table[table[g][h]][undone[g]])
                .collect();
            out.sort_unstable();
            out
        };
        (0..all.len()).map(moved).min().unwrap_or_default()
    };
    let start = vec![none];
    let mut seen = BTreeSet::from([start.clone()]);
    let mut todo = vec![start];
    while let Some(group) = todo.pop() {
        for extra in (0..all.len()).filter(|g| !group.contains(g)) {
            let larger = kind(&closed(&group, extra, &table));
            if seen.insert(larger.clone()) {
                todo.push(larger);
            }
        }
    }
    seen.into_iter().collect()
}

/// The least group that holds `group` and `extra`.
fn closed(group: &[usize], extra: usize, table: &[Vec<usize>]) -> Vec<usize> {
    let mut makers = group.to_vec();
    makers.push(extra);
    let mut held = vec![false; table.len()];
    let mut out = makers.clone();
    for &m in &makers {
        held[m] = true;
    }
    let mut next = 0;
    while next < out.len() {
        for &m in &makers {
            let product = table[out[next]][m];
            if !held[product] {
                held[product] = true;
                out.push(product);
            }
        }
        next += 1;
    }
    out
}

/// The sets of cells the moves join: for each its first cell.
fn joined(members: &[&Move], cells: usize) -> Vec<usize> {
    let mut seen = vec![false; cells];
    let mut firsts = Vec::new();
    for cell in 0..cells {
        if !seen[cell] {
            firsts.push(cell);
            for one in members {
                seen[usize::from(one.to[cell])] = true;
            }
        }
    }
    firsts
}

/// Every setting the moves leave alone.
fn fill(
    members: &[&Move],
    firsts: &[usize],
    cells: usize,
    turns: &Turns,
    say: &mut dyn FnMut(&[u8]),
) {
    let allowed = |cell: &usize| -> Vec<u8> {
        (0..u8::try_from(turns.len()).unwrap_or(0))
            .filter(|&p| {
                let mut stays = members.iter().filter(|m| usize::from(m.to[*cell]) == *cell);
                stays.all(|m| turns.turned(m.pose, p) == p)
            })
            .collect()
    };
    let choices: Vec<Vec<u8>> = firsts.iter().map(allowed).collect();
    if choices.iter().any(Vec::is_empty) {
        return;
    }
    let mut chosen = vec![0; firsts.len()];
    let mut setting = vec![0; cells];
    loop {
        for (i, &cell) in firsts.iter().enumerate() {
            for one in members {
                setting[usize::from(one.to[cell])] = turns.turned(one.pose, choices[i][chosen[i]]);
            }
        }
        say(&setting);
        let Some(last) = (0..firsts.len())
            .rev()
            .find(|&i| chosen[i] + 1 < choices[i].len())
        else {
            return;
        };
        chosen[last] += 1;
        chosen[last + 1..].fill(0);
    }
}
