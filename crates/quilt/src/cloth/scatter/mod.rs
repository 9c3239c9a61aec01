//! Cloths scattered over the top: the places that are filled from a pool.
//!
//! Each patch such a place claims (or all of one block together) takes one cloth of the
//! pool. No like is to lie beside like, each cloth is to be spread evenly over the top, the
//! counts the maker asks for are kept, and so is what the maker has laid by hand. How good
//! it is, is told against what is proved to be possible.
//!
//! A block in a colourway that changes the place is not filled from the pool.
//!
//! **Always holds.** The same plan gives the same top; another seed gives another.

mod search;

use std::collections::{BTreeMap, BTreeSet};

use super::contacts::{Contacts, Lies};
use crate::plan::{ClothId, Each, Pin, Plan, PoolPlan};
use crate::results::Blocks;
use crate::setting::{PlacedBlock, Top, cloth_of};
use search::{Spots, crowd, extent, laid, unavoidable, widest};

/// What came of one pool.
#[derive(Clone, PartialEq, Debug)]
pub struct Scattered {
    /// Spots filled: patches, or blocks where all of a block take one cloth.
    pub spots: usize,
    /// Its cloths, in the pool's order.
    pub cloths: Vec<Lot>,
    /// Pairs of like cloth side by side in it.
    pub touching: usize,
    /// So many of them are proved to be unavoidable.
    pub unavoidable: usize,
    /// How crowded like cloths are: the sum over pairs of like cloth of one over the square
    /// of their distance, in widths of a spot.
    pub crowd: f64,
    /// The same on average, if the cloths were dealt out blindly.
    pub blindly: f64,
    /// Pins that no spot of the pool lies under, or whose cloth is not in the pool.
    pub astray: Vec<Pin>,
    /// The counts that could not be kept: there are so many spots fewer (or, where every
    /// cloth has its count, more) than they ask for.
    pub short: Option<Short>,
}

/// Counts and spots that do not agree.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Short {
    /// What the counts and the pins ask for.
    pub asked: usize,
    /// The spots there are.
    pub spots: usize,
}

/// One cloth of a pool.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lot {
    /// Which.
    pub cloth: ClothId,
    /// How often it lies.
    pub count: usize,
    /// How often the maker wants it to.
    pub wanted: Option<u32>,
    /// The least distance between two of it, inches; `None` for less than two.
    pub nearest: Option<f64>,
    /// The least distance can be no more than this, however they are laid.
    pub at_most: Option<f64>,
}

/// One thing to fill.
struct Spot {
    pool: usize,
    placed: usize,
    patches: Vec<usize>,
}

/// Fills the pools: the top with the cloth of every scattered patch, and what came of it.
/// One entry a pool of the plan. `contacts` are those of the same top.
#[must_use]
pub fn scatter(
    plan: &Plan,
    blocks: &Blocks,
    top: &Top,
    contacts: &Contacts,
) -> (Top, Vec<Scattered>) {
    let all = spots(plan, blocks, top);
    let mut problem = problem(plan, &all, contacts, top, blocks);
    let mut told: Vec<(Vec<Pin>, Option<Short>)> = Vec::new();
    for (index, pool) in plan.choosing.pools.iter().enumerate() {
        let astray = pin(index, pool, plan, top, &all, &mut problem);
        let (counts, short) = counts(index, pool, plan, &problem);
        problem.counts[index] = counts;
        told.push((astray, short));
    }
    let seed = plan.choosing.pools.first().map_or(0, |pool| pool.seed);
    let seed = plan.choosing.pools.iter().skip(1).fold(seed, |seed, pool| {
        seed.wrapping_mul(31).wrapping_add(pool.seed)
    });
    let cloth = laid(&problem, seed);
    let mut dressed = top.clone();
    for (spot, &cloth) in all.iter().zip(&cloth) {
        let scraps = &mut dressed.blocks[spot.placed].scraps;
        scraps.extend(spot.patches.iter().map(|&patch| (patch, ClothId(cloth))));
    }
    let scattered = told
        .into_iter()
        .enumerate()
        .map(|(index, (astray, short))| Scattered {
            astray,
            short,
            ..summed(index, &plan.choosing.pools[index], &problem, &cloth)
        });
    (dressed, scattered.collect())
}

/// The pool that fills a place of a block that lies in the top.
fn pool_of(plan: &Plan, placed: &PlacedBlock, place: usize) -> Option<usize> {
    let block = plan.block(placed.block);
    let way = placed.colourway.and_then(|way| block.colourways.get(way));
    if way.is_some_and(|way| way.places.iter().any(|(changed, _)| *changed == place)) {
        return None;
    }
    let fills = |pool: &PoolPlan| pool.fills.contains(&(placed.block, place));
    plan.choosing.pools.iter().position(fills)
}

fn spots(plan: &Plan, blocks: &Blocks, top: &Top) -> Vec<Spot> {
    let mut spots: Vec<Spot> = Vec::new();
    let pools = plan.choosing.pools.iter();
    let empty: Vec<bool> = pools
        .map(|pool| plan.cloths_from(&pool.from).is_empty())
        .collect();
    for (index, placed) in top.blocks.iter().enumerate() {
        let Some(block) = blocks.get(placed.block.0).and_then(Option::as_deref) else {
            continue;
        };
        let mut together: BTreeMap<usize, usize> = BTreeMap::new();
        for (patch, of) in block.patches.iter().enumerate() {
            let Some(pool) = of.place.and_then(|place| pool_of(plan, placed, place)) else {
                continue;
            };
            if empty[pool] {
                continue;
            }
            let known = match plan.choosing.pools[pool].each {
                Each::Patch => None,
                Each::Block => together.get(&pool).copied(),
            };
            match known {
                Some(spot) => spots[spot].patches.push(patch),
                None => {
                    together.insert(pool, spots.len());
                    spots.push(Spot {
                        pool,
                        placed: index,
                        patches: vec![patch],
                    });
                }
            }
        }
    }
    spots
}

fn problem(plan: &Plan, all: &[Spot], contacts: &Contacts, top: &Top, blocks: &Blocks) -> Spots {
    let mut spot_of: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (index, spot) in all.iter().enumerate() {
        spot_of.extend(
            spot.patches
                .iter()
                .map(|&patch| ((spot.placed, patch), index)),
        );
    }
    let mut at = vec![([0.0; 2], 0.0); all.len()];
    let spot = |piece: usize| match contacts.pieces[piece].lies {
        Lies::Patch(placed, patch) => spot_of.get(&(placed, patch)).copied(),
        Lies::Part(_) => None,
    };
    for (piece, of) in contacts.pieces.iter().enumerate() {
        if let Some(spot) = spot(piece) {
            let (sum, count) = &mut at[spot];
            *sum = [sum[0] + of.middle[0], sum[1] + of.middle[1]];
            *count += 1.0;
        }
    }
    let cloth = |piece: usize| match contacts.pieces[piece].lies {
        Lies::Part(part) => Some(top.parts[part].cloth.0),
        Lies::Patch(placed, patch) => {
            let placed = &top.blocks[placed];
            let block = blocks.get(placed.block.0).and_then(Option::as_deref)?;
            let place = block.patches[patch].place?;
            Some(cloth_of(plan, placed, place, patch).0)
        }
    };
    let mut beside: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); all.len()];
    let mut fixed: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); all.len()];
    for contact in &contacts.touching {
        let [a, b] = contact.pieces;
        match (spot(a), spot(b)) {
            (Some(a), Some(b)) if a != b => {
                beside[a].insert(b);
                beside[b].insert(a);
            }
            (Some(spot), None) => fixed[spot].extend(cloth(b)),
            (None, Some(spot)) => fixed[spot].extend(cloth(a)),
            _ => {}
        }
    }
    let lists = |sets: Vec<BTreeSet<usize>>| sets.into_iter().map(|s| s.into_iter().collect());
    Spots {
        at: at
            .into_iter()
            .map(|([x, y], count)| [x / f64::max(count, 1.0), y / f64::max(count, 1.0)])
            .collect(),
        beside: lists(beside).collect(),
        fixed: lists(fixed).collect(),
        pool: all.iter().map(|spot| spot.pool).collect(),
        pinned: vec![None; all.len()],
        counts: vec![Vec::new(); plan.choosing.pools.len()],
    }
}

/// Lays what the maker has laid by hand; the pins that hit nothing come back.
fn pin(
    index: usize,
    pool: &PoolPlan,
    plan: &Plan,
    top: &Top,
    all: &[Spot],
    problem: &mut Spots,
) -> Vec<Pin> {
    let cloths = plan.cloths_from(&pool.from);
    let mut astray = Vec::new();
    for pin in &pool.pins {
        let mut hit = false;
        let here = all.iter().enumerate().filter(|(_, spot)| {
            let placed = &top.blocks[spot.placed];
            let at = (placed.row, placed.column, placed.between);
            spot.pool == index && at == (pin.row, pin.column, pin.between)
        });
        for (nth, (spot, _)) in (0_u32..).zip(here) {
            let meant = pin.patch.is_none_or(|patch| patch == nth) || pool.each == Each::Block;
            if meant && cloths.contains(&pin.cloth) {
                problem.pinned[spot] = Some(pin.cloth.0);
                hit = true;
            }
        }
        if !hit {
            astray.push(*pin);
        }
    }
    astray
}

/// How often each cloth of a pool is laid: as the maker asks, at least as often as it is
/// pinned, and the rest shared evenly.
fn counts(
    index: usize,
    pool: &PoolPlan,
    plan: &Plan,
    problem: &Spots,
) -> (Vec<(usize, usize)>, Option<Short>) {
    let spots = problem.pool.iter().filter(|&&of| of == index).count();
    let cloths = plan.cloths_from(&pool.from);
    let pinned = |cloth: ClothId| {
        let of_pool = problem.pool.iter().zip(&problem.pinned);
        of_pool
            .filter(|&(&of, &pin)| of == index && pin == Some(cloth.0))
            .count()
    };
    let wanted = |cloth: ClothId| pool.counts.iter().find(|(of, _)| *of == cloth);
    let mut counts: Vec<(usize, usize)> = cloths
        .iter()
        .map(|&cloth| {
            let asked = wanted(cloth).map_or(0, |&(_, count)| count as usize);
            (cloth.0, asked.max(pinned(cloth)))
        })
        .collect();
    let asked: usize = counts.iter().map(|(_, count)| count).sum();
    let open: Vec<usize> = (0..cloths.len())
        .filter(|&i| wanted(cloths[i]).is_none())
        .collect();
    let fits = asked == spots || asked < spots && !open.is_empty();
    // Where every cloth has its count and there are still spots, all share them.
    let sharing = if open.is_empty() {
        (0..cloths.len()).collect()
    } else {
        open
    };
    let mut all = asked;
    while all < spots {
        let Some(&least) = sharing.iter().min_by_key(|&&i| (counts[i].1, i)) else {
            break;
        };
        counts[least].1 += 1;
        all += 1;
    }
    while all > spots {
        let spare = |i: usize| counts[i].1 - pinned(cloths[i]).min(counts[i].1);
        let Some(most) = (0..counts.len()).max_by_key(|&i| (spare(i), counts[i].1)) else {
            break;
        };
        if counts[most].1 == 0 {
            break;
        }
        counts[most].1 -= 1;
        all -= 1;
    }
    (counts, (!fits).then_some(Short { asked, spots }))
}

fn summed(index: usize, pool: &PoolPlan, problem: &Spots, cloth: &[usize]) -> Scattered {
    let among: Vec<usize> = (0..cloth.len())
        .filter(|&spot| problem.pool[spot] == index)
        .collect();
    let at: Vec<[f64; 2]> = among.iter().map(|&spot| problem.at[spot]).collect();
    let size = extent(&at);
    let lots = problem.counts[index].iter().map(|&(of, _)| {
        let lie = among.iter().filter(|&&spot| cloth[spot] == of);
        let lie: Vec<[f64; 2]> = lie.map(|&spot| problem.at[spot]).collect();
        Lot {
            cloth: ClothId(of),
            count: lie.len(),
            wanted: pool
                .counts
                .iter()
                .find(|(cloth, _)| cloth.0 == of)
                .map(|(_, count)| *count),
            nearest: nearest(&lie),
            at_most: widest(lie.len(), size),
        }
    });
    let touching = |spot: usize| {
        let like = |&&other: &&usize| cloth[other] == cloth[spot];
        let inside = problem.beside[spot]
            .iter()
            .filter(|&&o| problem.pool[o] != index || o > spot);
        let outside = problem.fixed[spot].iter().filter(|&&of| of == cloth[spot]);
        inside.filter(like).count() + outside.count()
    };
    let (found, blindly) = crowd(problem, cloth, &among);
    Scattered {
        spots: among.len(),
        cloths: lots.collect(),
        touching: among.iter().map(|&spot| touching(spot)).sum(),
        unavoidable: unavoidable(problem, index),
        crowd: found,
        blindly,
        astray: Vec::new(),
        short: None,
    }
}

fn nearest(at: &[[f64; 2]]) -> Option<f64> {
    let mut least: Option<f64> = None;
    for (i, a) in at.iter().enumerate() {
        for b in &at[..i] {
            let far = (a[0] - b[0]).hypot(a[1] - b[1]);
            least = Some(least.map_or(far, |least| least.min(far)));
        }
    }
    least
}
