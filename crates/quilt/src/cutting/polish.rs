//! Less work and a better remnant from the same length.
//!
//! A plan of strips that is as short as can be may still be tedious. Pieces of one kind
//! are moved from a strip to another that has room, or exchanged between two strips, when
//! that
//!
//! 1. needs less cloth (it may not need more), or else
//! 2. sets the ruler less often, or else
//! 3. leaves a larger rectangle at the end of one strip, so that what is left over is in
//!    one useful piece rather than in several slivers.
//!
//! **Units.** Marks. **Always holds.** Every piece stays in the plan exactly once; the
//! same plan is polished the same way.

use std::cmp::Reverse;

use super::packing::{Batch, Cutstrip, Item};

/// So many moves are tried, some ten milliseconds of them; a quilt's cloth with thirty
/// strips is polished after a tenth of that.
const MOVES: usize = 100_000;

/// Length, settings of the ruler, and the largest strip end (the more the better).
type Cost = (i64, usize, Reverse<i64>);

/// Polishes the strips that reach across the cloth.
pub(super) fn polished(items: &[Item], across: i64, strips: &mut Vec<Cutstrip>) {
    let is_open = |strip: &Cutstrip| {
        strip.rest.is_none() && !strip.batches.iter().any(|batch| items[batch.item].first)
    };
    let (open, mut done): (Vec<_>, Vec<_>) = std::mem::take(strips).into_iter().partition(is_open);
    let mut bench = Bench {
        items,
        across,
        strips: open,
        ends: Vec::new(),
        moves: MOVES,
    };
    bench.measure();
    while bench.sweep() {}
    let tidied = bench.strips.iter().map(|strip| bench.tidied(strip));
    done.extend(tidied);
    *strips = done;
}

struct Bench<'a> {
    items: &'a [Item],
    across: i64,
    strips: Vec<Cutstrip>,
    /// The three largest strip ends, marks², with their strips.
    ends: Vec<(i64, usize)>,
    moves: usize,
}

impl Bench<'_> {
    fn end(&self, strip: &Cutstrip) -> i64 {
        (self.across - strip.used) * strip.height
    }

    fn measure(&mut self) {
        let ends = self.strips.iter().map(|strip| self.end(strip));
        self.ends = ends.zip(0..).collect();
        self.ends.sort_by_key(|&(end, strip)| (Reverse(end), strip));
        self.ends.truncate(3);
    }

    /// Tries every move once; whether any helped and more may be tried.
    fn sweep(&mut self) -> bool {
        let mut helped = false;
        for a in 0..self.strips.len() {
            for b in 0..self.strips.len() {
                helped |= a != b && self.between(a, b);
                if self.moves == 0 {
                    return false;
                }
            }
        }
        let emptied = self.strips.len();
        self.strips.retain(|strip| !strip.batches.is_empty());
        if self.strips.len() < emptied {
            self.measure();
        }
        helped
    }

    /// Moves pieces from strip `a` to strip `b`, or exchanges some.
    fn between(&mut self, a: usize, b: usize) -> bool {
        for i in 0..self.strips[a].batches.len() {
            // The last of these is: nothing comes back.
            for j in (0..=self.strips[b].batches.len()).rev() {
                let back = self.strips[b].batches.get(j).copied();
                // An exchange is the same from either side.
                if back.is_some() && b < a {
                    continue;
                }
                self.moves = self.moves.saturating_sub(1);
                let goes = self.strips[a].batches[i];
                let Some(new_a) = self.changed(a, Some(i), back) else {
                    continue;
                };
                let Some(new_b) = self.changed(b, back.map(|_| j), Some(goes)) else {
                    continue;
                };
                let others = self.ends.iter().find(|(_, strip)| ![a, b].contains(strip));
                let others = others.map_or(0, |&(end, _)| end);
                let before = self.cost([&self.strips[a], &self.strips[b]], others);
                if self.cost([&new_a, &new_b], others) < before {
                    (self.strips[a], self.strips[b]) = (new_a, new_b);
                    self.measure();
                    return true;
                }
            }
        }
        false
    }

    fn cost(&self, strips: [&Cutstrip; 2], others: i64) -> Cost {
        let there = strips.into_iter().filter(|strip| !strip.batches.is_empty());
        there.fold((0, 0, Reverse(others)), |(length, settings, end), strip| {
            (
                length + strip.height,
                settings + strip.settings(self.items),
                Reverse(end.0.max(self.end(strip))),
            )
        })
    }

    /// The strip with its highest and widest pieces first, so that what is trimmed is
    /// cut last.
    fn tidied(&self, strip: &Cutstrip) -> Cutstrip {
        let mut batches = strip.batches.clone();
        batches.sort_by_key(|batch| {
            let way = &self.items[batch.item].ways[batch.way];
            (-way.height, -way.takes(1), batch.item, batch.way)
        });
        let mut used = 0;
        for batch in &mut batches {
            batch.x = used;
            used += self.items[batch.item].ways[batch.way].takes(batch.units);
        }
        Cutstrip {
            batches,
            ..strip.clone()
        }
    }

    /// The strip without a batch and with another's pieces, if they fit.
    fn changed(&self, strip: usize, out: Option<usize>, new: Option<Batch>) -> Option<Cutstrip> {
        let strip = &self.strips[strip];
        let mut batches = strip.batches.clone();
        if let Some(out) = out {
            batches.remove(out);
        }
        if let Some(new) = new {
            let ways = &self.items[new.item].ways;
            let same = batches.iter_mut().find(|batch| batch.item == new.item);
            if let Some(batch) = same {
                batch.units += new.units;
                if batch.units as usize > ways[batch.way].reach.len() {
                    return None;
                }
            } else {
                let fits = |way: &usize| {
                    ways[*way].height <= strip.height
                        && new.units as usize <= ways[*way].reach.len()
                };
                let way = (0..ways.len())
                    .filter(fits)
                    .min_by_key(|&way| (ways[way].takes(new.units), way))?;
                batches.push(Batch { way, ..new });
            }
        }
        let mut used = 0;
        for batch in &mut batches {
            batch.x = used;
            used += self.items[batch.item].ways[batch.way].takes(batch.units);
        }
        let heights = batches
            .iter()
            .map(|b| self.items[b.item].ways[b.way].height);
        let height = heights.max().unwrap_or_default();
        (used <= self.across).then_some(Cutstrip {
            rest: None,
            height,
            used,
            batches,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cutting::kinds::Split;
    use crate::cutting::ways::Way;

    const ACROSS: i64 = 320;

    fn item(height: i64, width: i64) -> Item {
        Item {
            demand: 0,
            ways: vec![Way::slab(height, width, Split::Whole, ACROSS)],
            count: 0,
            first: false,
            divisible: false,
        }
    }

    fn strip(items: &[Item], laid: &[(usize, u32)]) -> Cutstrip {
        let mut strip = Cutstrip {
            rest: None,
            height: 0,
            used: 0,
            batches: Vec::new(),
        };
        for &(item, units) in laid {
            let way = &items[item].ways[0];
            strip.batches.push(Batch {
                item,
                way: 0,
                units,
                x: strip.used,
            });
            strip.used += way.takes(units);
            strip.height = strip.height.max(way.height);
        }
        strip
    }

    #[test]
    fn pieces_of_a_kind_come_together() {
        // 36s and 40s, of one height, mixed in two strips: each kind fits one strip.
        let items = [item(40, 36), item(40, 40)];
        let mut strips = vec![
            strip(&items, &[(0, 4), (1, 4)]),
            strip(&items, &[(0, 4), (1, 4)]),
        ];
        polished(&items, ACROSS, &mut strips);
        assert_eq!(strips.len(), 2);
        assert!(strips.iter().all(|strip| strip.batches.len() == 1));
        let units: u32 = strips.iter().map(|strip| strip.batches[0].units).sum();
        assert_eq!(units, 16);
    }

    #[test]
    fn a_strip_that_need_not_be_is_emptied() {
        let items = [item(40, 100), item(30, 100)];
        let mut strips = vec![strip(&items, &[(0, 2)]), strip(&items, &[(1, 1)])];
        polished(&items, ACROSS, &mut strips);
        assert_eq!(strips, vec![strip(&items, &[(0, 2), (1, 1)])]);
    }

    #[test]
    fn one_large_end_is_left_rather_than_two() {
        let items = [item(40, 100), item(40, 60), item(40, 200)];
        let mut strips = vec![strip(&items, &[(0, 1), (1, 1)]), strip(&items, &[(2, 1)])];
        polished(&items, ACROSS, &mut strips);
        let ends: Vec<i64> = strips.iter().map(|strip| ACROSS - strip.used).collect();
        assert_eq!(ends.iter().max(), Some(&260), "{ends:?}");
    }
}
