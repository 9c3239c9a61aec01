//! Plans that set the ruler less often and buy no more.
//!
//! The shortest plan mixes sizes in its strips; cloth is sold in steps, so a longer plan may
//! buy the same. Two ways lead to such plans:
//!
//! ```text
//!   every size from its own strips  ─▶  the two put together that save most, and again,
//!                                       until the plan is short enough
//!   all sizes together              ─▶  the one taken out that leaves fewest settings, and
//!                                       again, while the plan is short enough
//! ```
//!
//! Every plan on the way that is short enough is offered. Which of them is least work,
//! the table (`table`) knows: there it is settled, by settings, then passes, then what is
//! left over. It is a search, not a proof that no plan sets the ruler less often.
//!
//! **Units.** Marks. The same items give the same plans.

use std::collections::BTreeMap;

use super::packing::{self, Cutstrip, Item, Room};

/// With more kinds than this only own strips for all are tried.
const KINDS: usize = 12;

/// Cloths with more kinds than this are not looked at.
pub(super) const MOST: usize = 60;

/// So many plans are offered.
const OFFERED: usize = 3;

/// Kinds that share strips, as bits.
type Class = u64;

/// Up to four plans no longer than `limit` that may be less work than `strips`: own strips
/// (or what had to be put together of them), and those that seem to set the ruler least.
///
/// `own`: each item in its own strips; `strips`: all of them in the shortest plan.
pub(super) fn plainer(
    items: &[Item],
    across: i64,
    (own, strips): (Vec<Vec<Cutstrip>>, &[Cutstrip]),
    limit: i64,
) -> Vec<Vec<Cutstrip>> {
    let mut bench = Bench {
        items,
        across,
        packed: BTreeMap::new(),
        offered: Vec::new(),
        limit,
    };
    let known = settings(items, across, strips);
    let all = (1 << items.len()) - 1;
    bench.packed.insert(all, strips.to_vec());
    let mut apart: Vec<Class> = Vec::new();
    for (item, mut strips) in own.into_iter().enumerate() {
        for batch in strips.iter_mut().flat_map(|strip| &mut strip.batches) {
            batch.item = item;
        }
        apart.push(1 << item);
        bench.packed.insert(1 << item, strips);
    }
    bench.merged(apart);
    // The first that is short enough on the way from own strips is worth a close look.
    let first = bench.offered.first().map(|(_, plan)| plan.clone());
    if items.len() <= KINDS {
        bench.divided(vec![all]);
    }
    let mut offered = bench.offered;
    offered.sort_by_key(|(cost, _)| *cost);
    offered.dedup_by(|a, b| a.1 == b.1);
    // A longer plan has to set the ruler less often.
    let length = packing::length(strips);
    offered.retain(|((settings, longer), plan)| {
        let worth = *settings < known || (*settings == known && *longer <= length);
        worth && plan != strips
    });
    offered.truncate(OFFERED);
    let mut plans: Vec<Vec<Cutstrip>> = first.into_iter().filter(|plan| plan != strips).collect();
    for (_, plan) in offered {
        if !plans.contains(&plan) {
            plans.push(plan);
        }
    }
    plans
}

struct Bench<'a> {
    items: &'a [Item],
    across: i64,
    /// Each class packed by itself.
    packed: BTreeMap<Class, Vec<Cutstrip>>,
    /// Plans with their settings and length.
    offered: Vec<((usize, i64), Vec<Cutstrip>)>,
    limit: i64,
}

impl Bench<'_> {
    fn pack(&mut self, class: Class) -> &[Cutstrip] {
        let (items, across) = (self.items, self.across);
        self.packed.entry(class).or_insert_with(|| {
            let kept: Vec<usize> = (0..items.len()).filter(|i| class >> i & 1 == 1).collect();
            let some: Vec<Item> = kept.iter().map(|&i| items[i].clone()).collect();
            let room = Room { across, rests: &[] };
            let mut strips = packing::quick(&some, room);
            for batch in strips.iter_mut().flat_map(|strip| &mut strip.batches) {
                batch.item = kept[batch.item];
            }
            strips
        })
    }

    fn length(&mut self, class: Class) -> i64 {
        packing::length(self.pack(class))
    }

    /// All classes one after another, with settings and length; offered if short enough.
    fn offer(&mut self, classes: &[Class]) -> (usize, i64) {
        let mut plan = Vec::new();
        for &class in classes {
            plan.extend_from_slice(self.pack(class));
        }
        let cost = (
            settings(self.items, self.across, &plan),
            packing::length(&plan),
        );
        if cost.1 <= self.limit {
            self.offered.push((cost, plan));
        }
        cost
    }

    /// From own strips on, the two classes put together that save most.
    fn merged(&mut self, mut classes: Vec<Class>) {
        while self.offer(&classes).1 > self.limit && self.items.len() <= KINDS {
            let mut best = (0, 0, 0);
            for a in 0..classes.len() {
                for b in a + 1..classes.len() {
                    let apart = self.length(classes[a]) + self.length(classes[b]);
                    let saved = apart - self.length(classes[a] | classes[b]);
                    if saved > best.0 {
                        best = (saved, a, b);
                    }
                }
            }
            let (saved, a, b) = best;
            if saved == 0 {
                return;
            }
            let other = classes.remove(b);
            classes[a] |= other;
        }
    }

    /// From all together on, the kind taken out that leaves the fewest settings.
    fn divided(&mut self, mut classes: Vec<Class>) {
        loop {
            let together = classes[0];
            let kinds = (0..self.items.len()).filter(|i| together >> i & 1 == 1);
            let mut best: Option<((usize, i64), Vec<Class>)> = None;
            for kind in kinds {
                let mut tried = classes.clone();
                tried[0] &= !(1 << kind);
                tried.push(1 << kind);
                if tried[0] == 0 {
                    continue;
                }
                let cost = self.offer(&tried);
                let better = best.as_ref().is_none_or(|(known, _)| cost < *known);
                if cost.1 <= self.limit && better {
                    best = Some((cost, tried));
                }
            }
            match best {
                Some((_, tried)) => classes = tried,
                None => return,
            }
        }
    }
}

/// About how often the table will set the ruler: strips of one height are cut at one
/// setting, then each size once, high before low and wide before narrow, and what is lower
/// than its strip is trimmed.
fn settings(items: &[Item], across: i64, strips: &[Cutstrip]) -> usize {
    let mut groups: BTreeMap<std::cmp::Reverse<i64>, Vec<[i64; 3]>> = BTreeMap::new();
    for strip in strips {
        let group = groups.entry(std::cmp::Reverse(strip.height)).or_default();
        for batch in &strip.batches {
            let way = &items[batch.item].ways[batch.way];
            let apart = if way.single() {
                way.takes(1)
            } else {
                // Readings of runs are like no other.
                -1 - batch.item as i64
            };
            group.push([-way.height, -apart, i64::from(!way.single())]);
        }
    }
    let mut readings: Vec<i64> = Vec::new();
    for (height, mut sizes) in groups {
        readings.push(height.0);
        sizes.sort_unstable();
        sizes.dedup();
        for [low, apart, _] in sizes {
            // A piece as long as the strip is not measured.
            if -apart != across {
                readings.push(-apart);
            }
            if -low < height.0 {
                readings.push(-low);
            }
        }
    }
    readings.dedup();
    readings.len()
}
