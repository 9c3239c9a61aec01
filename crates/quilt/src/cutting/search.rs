//! The search for the shortest plan of strips, and how short a plan can be at all.
//!
//! A first answer stands before this begins (`packing`), and most cloths are done with it:
//! the bound says that nothing is shorter. Otherwise
//!
//! 1. the bound is bettered by prices (`prices`);
//! 2. from the fractions of strips that belong to it a plan is made: whole strips are
//!    taken, the rest is priced anew, and so on;
//! 3. plans are divided by *how many strips are at least so high*: where the fractions
//!    have 9 3⁄4 strips of a height or more, a plan has at most 9 or at least 10. Where those
//!    are whole, by how many pieces stand one way, and how many lie in higher strips. Each
//!    part has its own bound, and a part whose bound is no better than the best plan is
//!    done with. The part with the least bound is next.
//!
//! When no part is left the best plan is proved to be the shortest; when the steps allowed
//! are spent, the least bound of a part still open stands beside it.
//!
//! **Units.** Marks. **Always holds.** The same items give the same plan: steps are
//! counted, no clock is read.

use super::packing::{Batch, Cutstrip, Item};
use super::prices::{self, Counted, Fill, Limit, Needs, Purse, Relaxed, SHARE, Stance};

/// Steps of arithmetic a cloth may take, a step being about a nanosecond in a released
/// build. Fewer leave more cloths unproved, more make an edit wait.
const STEPS: u64 = 60_000_000;

/// A part that cannot be divided gets this share of the steps.
const DEEP: u64 = 8;

/// So often a plan may stray from what the fractions favour.
const FARTHEST: usize = 12;

/// What the search found.
pub(super) struct Found {
    /// A shorter plan, if there is one.
    pub(super) strips: Option<Vec<Cutstrip>>,
    /// No plan is shorter than this.
    pub(super) least: i64,
}

/// Looks for a plan shorter than `strips`, which need `length`; `least` is a length known
/// not to be beaten.
pub(super) fn shorter(
    items: &[Item],
    across: i64,
    strips: &[Cutstrip],
    (least, length): (i64, i64),
) -> Found {
    let mut purse = Purse { left: STEPS };
    let table = Table::new(items, across);
    let apart: Vec<Cutstrip> = strips
        .iter()
        .filter(|s| table.is_apart(s))
        .cloned()
        .collect();
    let apart_length: i64 = apart.iter().map(|strip| strip.height).sum();
    let joined = items.iter().any(|item| item.divisible);
    let mut search = Search::new(&table.needs, length - apart_length, &mut purse);
    search.pool = table.fills(strips);
    if !joined {
        let floor = search.run(least - apart_length, true);
        let strips = search.plan.take().map(|plan| table.strips(&plan, apart));
        return Found {
            strips,
            least: floor + apart_length,
        };
    }
    // Joined strips may be made of any lengths, so what is proved of plans that leave them
    // whole proves nothing of the others: those have a bound of their own.
    search.run(least - apart_length, true);
    let length = apart_length + search.best;
    let plan = search.plan.take();
    let loose = loose(items, across);
    let mut purse = Purse { left: STEPS / 2 };
    let floor = Search::new(&loose, length, &mut purse).run(least, false);
    Found {
        strips: plan.map(|plan| table.strips(&plan, apart)),
        least: floor,
    }
}

/// What has to be packed, without what fills its strips by itself.
struct Table<'a> {
    items: &'a [Item],
    /// For each kind its item.
    kinds: Vec<usize>,
    needs: Needs,
}

impl<'a> Table<'a> {
    fn new(items: &'a [Item], across: i64) -> Self {
        let kinds: Vec<usize> = (0..items.len())
            .filter(|&i| !fills_strips(&items[i], across))
            .collect();
        let stances = kinds.iter().enumerate().flat_map(|(kind, &item)| {
            let ways = items[item].ways.iter().enumerate();
            ways.map(move |(way, how)| Stance {
                kind,
                way,
                height: how.height,
                takes: how.reach.clone(),
            })
        });
        let needs = needs(
            across,
            kinds.iter().map(|&i| i64::from(items[i].count)).collect(),
            stances.collect(),
        );
        Self {
            items,
            kinds,
            needs,
        }
    }

    fn is_apart(&self, strip: &Cutstrip) -> bool {
        let mut batches = strip.batches.iter();
        batches.any(|batch| fills_strips(&self.items[batch.item], self.needs.across))
    }

    /// The different strips of a plan, without those apart.
    fn fills(&self, strips: &[Cutstrip]) -> Vec<Fill> {
        let mut fills: Vec<Fill> = Vec::new();
        for strip in strips.iter().filter(|strip| !self.is_apart(strip)) {
            let mut fill = Fill {
                height: strip.height,
                laid: Vec::new(),
            };
            for batch in &strip.batches {
                let stands = |s: &Stance| (self.kinds[s.kind], s.way) == (batch.item, batch.way);
                if let Some(stance) = self.needs.stances.iter().position(stands) {
                    fill.lay(stance, i64::from(batch.units));
                }
            }
            if !fills.contains(&fill) {
                fills.push(fill);
            }
        }
        fills
    }

    /// The plan as the packing writes it, after the strips `apart`.
    fn strips(&self, plan: &[Fill], mut apart: Vec<Cutstrip>) -> Vec<Cutstrip> {
        apart.extend(plan.iter().map(|fill| {
            let mut batches = Vec::new();
            let mut used = 0;
            for &(stance, units) in fill.laid.iter().rev() {
                let stance = &self.needs.stances[stance];
                let (item, way) = (self.kinds[stance.kind], stance.way);
                let units = u32::try_from(units).unwrap_or_default();
                batches.push(Batch {
                    item,
                    way,
                    units,
                    x: used,
                });
                used += self.items[item].ways[way].takes(units);
            }
            Cutstrip {
                rest: None,
                height: fill.height,
                used,
                batches,
            }
        }));
        apart
    }
}

/// Whether a piece takes a whole strip, so that nothing is to be decided.
fn fills_strips(item: &Item, across: i64) -> bool {
    match item.ways.as_slice() {
        [way] => item.first || way.takes(1.min(way.reach.len() as u32)) == across,
        _ => item.first,
    }
}

/// The same with joined strips counted mark by mark, for they may be made of any lengths.
fn loose(items: &[Item], across: i64) -> Needs {
    let mut counts = Vec::new();
    let mut stances = Vec::new();
    for (kind, item) in items.iter().enumerate() {
        let marks = if item.divisible {
            item.ways.first().map_or(0, |way| way.takes(1))
        } else {
            1
        };
        counts.push(i64::from(item.count) * marks);
        for (way, how) in item.ways.iter().enumerate() {
            stances.push(Stance {
                kind,
                way,
                height: how.height,
                takes: if item.divisible {
                    (1..=across).collect()
                } else {
                    how.reach.clone()
                },
            });
        }
    }
    needs(across, counts, stances)
}

fn needs(across: i64, counts: Vec<i64>, mut stances: Vec<Stance>) -> Needs {
    stances.sort_by_key(|stance| (stance.height, stance.kind, stance.way));
    let mut heights: Vec<i64> = stances.iter().map(|stance| stance.height).collect();
    heights.dedup();
    Needs {
        across,
        counts,
        stances,
        heights,
    }
}

/// A part of all plans: those within some limits.
struct Part {
    least: i64,
    limits: Vec<Limit>,
}

struct Search<'a> {
    needs: &'a Needs,
    purse: &'a mut Purse,
    pool: Vec<Fill>,
    /// Length of the best plan.
    best: i64,
    /// The best plan, once one is found here.
    plan: Option<Vec<Fill>>,
    /// Whether strips can add up to so many marks.
    sums: Vec<bool>,
}

impl<'a> Search<'a> {
    fn new(needs: &'a Needs, best: i64, purse: &'a mut Purse) -> Self {
        let size = usize::try_from(best).unwrap_or_default() + 1;
        let mut sums = vec![false; size];
        sums[0] = true;
        for sum in 0..size {
            let reached = needs.heights.iter().any(|&height| {
                let before = usize::try_from(height)
                    .ok()
                    .and_then(|h| sum.checked_sub(h));
                before.is_some_and(|before| before < sum && sums[before])
            });
            sums[sum] |= reached;
        }
        Self {
            needs,
            purse,
            pool: Vec::new(),
            best,
            plan: None,
            sums,
        }
    }

    /// The least sum of strips' heights that is not below this.
    fn sum_from(&self, least: i64) -> i64 {
        (least.max(0)..self.best)
            .find(|&sum| usize::try_from(sum).is_ok_and(|sum| self.sums[sum]))
            .unwrap_or(self.best)
    }

    /// A bound of so much proves the best plan: strips add up to nothing between.
    fn enough(&self) -> i64 {
        let shorter = (0..self.best)
            .rev()
            .find(|&sum| usize::try_from(sum).is_ok_and(|sum| self.sums[sum]));
        shorter.map_or(self.best, |sum| sum + 1)
    }

    /// Divides and bounds; the length that is proved not to be beaten. `making`: also
    /// makes plans.
    fn run(&mut self, least: i64, making: bool) -> i64 {
        let mut open = vec![Part {
            least: self.sum_from(least),
            limits: Vec::new(),
        }];
        // The least bound of a part that cannot be divided further.
        let mut stuck = i64::MAX;
        while let Some(next) = next(&open) {
            if open[next].least >= self.best || self.purse.left == 0 {
                break;
            }
            let mut part = open.swap_remove(next);
            let left = (self.needs.counts.as_slice(), self.enough());
            let relaxed =
                prices::relaxed(self.needs, left, &part.limits, &mut self.pool, self.purse);
            part.least = part.least.max(self.sum_from(relaxed.least));
            if part.least >= self.best {
                continue;
            }
            if making && relaxed.covers {
                self.dive(&part, &relaxed, 1);
            }
            if part.least >= self.best {
                continue;
            }
            match self.divided(&part, &relaxed) {
                Some(parts) => open.extend(parts),
                None => {
                    if making && relaxed.covers {
                        self.dive_deep(&part, &relaxed);
                    }
                    if part.least < self.best {
                        stuck = stuck.min(part.least);
                    }
                }
            }
        }
        let open = open.iter().map(|part| part.least).min();
        self.best.min(stuck).min(open.unwrap_or(i64::MAX))
    }

    /// Two parts: fewer and more of something that the fractions cannot decide; the
    /// strips of a height first, then the pieces that stand one of several ways, then
    /// those of a kind that lie in higher strips.
    fn divided(&self, part: &Part, relaxed: &Relaxed) -> Option<[Part; 2]> {
        let heights = self.needs.heights.iter();
        let strips: Vec<Counted> = heights.map(|&height| Counted::Strips(height)).collect();
        let stances = &self.needs.stances;
        let turns = |kind: usize| stances.iter().filter(|s| s.kind == kind).count() > 1;
        let from_lowest = |s: usize| Counted::Pieces(s, stances[s].height);
        let turned = (0..stances.len()).filter(|&s| turns(stances[s].kind));
        let turned: Vec<Counted> = turned.map(from_lowest).collect();
        let higher = (0..stances.len()).flat_map(|s| {
            let heights = self.needs.heights.iter();
            let higher = heights.filter(move |&&height| height > stances[s].height);
            higher.map(move |&height| Counted::Pieces(s, height))
        });
        let higher: Vec<Counted> = higher.collect();
        let (of, many) = self
            .undecided(&strips, relaxed)
            .or_else(|| self.undecided(&turned, relaxed))
            .or_else(|| self.undecided(&higher, relaxed))?;
        let with = |least: bool, many: i64| {
            let mut limits = part.limits.clone();
            limits.retain(|limit| (limit.of, limit.least) != (of, least));
            limits.push(Limit { of, least, many });
            Part {
                least: part.least,
                limits,
            }
        };
        Some([with(false, many), with(true, many + 1)])
    }

    /// That of these of which the fractions are farthest from a whole number, and the whole
    /// number below.
    fn undecided(&self, of: &[Counted], relaxed: &Relaxed) -> Option<(Counted, i64)> {
        let mut best = (SHARE, None);
        for &of in of {
            let limit = Limit {
                of,
                least: true,
                many: 0,
            };
            let uses = relaxed.uses.iter();
            let many: f64 = uses
                .map(|&(fill, many)| many * limit.in_strip(&self.pool[fill]) as f64)
                .sum();
            let off = (many - many.round()).abs();
            // The first of equals, whatever the last digit of a float says.
            if off > best.0 + SHARE {
                best = (off, Some((of, many.floor() as i64)));
            }
        }
        best.1
    }

    /// Dives again and again, straying farther, for a share of the steps.
    fn dive_deep(&mut self, part: &Part, relaxed: &Relaxed) {
        let kept = self.purse.left - self.purse.left.min(STEPS / DEEP);
        self.purse.left -= kept;
        let mut stray = 2;
        while !self.is_done(part.least) && stray <= FARTHEST {
            self.dive(part, relaxed, stray);
            stray += 1;
        }
        self.purse.left += kept;
    }

    /// Makes plans within the limits, straying up to `stray` times from the strip that
    /// the fractions favour; until one is as short as `enough`.
    fn dive(&mut self, part: &Part, relaxed: &Relaxed, stray: usize) {
        let rest = Rest {
            left: self.needs.counts.clone(),
            limits: part.limits.clone(),
            plan: Vec::new(),
            length: 0,
        };
        self.descend(rest, &relaxed.uses, part.least, stray);
    }

    /// Takes whole strips from the fractions, or else one of those with the largest share;
    /// prices the rest anew, and so on.
    fn descend(&mut self, rest: Rest, uses: &[(usize, f64)], enough: i64, stray: usize) {
        let mut strayed = 0;
        while uses.iter().any(|&(_, many)| whole(many) > strayed) {
            let mut rest = rest.clone();
            let mut taken = false;
            for &(fill, many) in uses {
                for _ in strayed..whole(many) {
                    taken |= rest.take(self.needs, &self.pool[fill]);
                }
            }
            // A limit can ask for strips that nothing is left for; the same rest again
            // would lead nowhere.
            if taken {
                self.go_on(rest, enough, stray - strayed);
            }
            strayed += 1;
            if strayed > stray || self.is_done(enough) {
                return;
            }
        }
        let stray = stray - strayed;
        let mut shares = uses.to_vec();
        shares.sort_by(|a, b| {
            let height = |fill: usize| self.pool[fill].height;
            b.1.total_cmp(&a.1)
                .then(height(b.0).cmp(&height(a.0)))
                .then(a.0.cmp(&b.0))
        });
        for (strayed, &(fill, _)) in shares.iter().enumerate().take(stray + 1) {
            let mut rest = rest.clone();
            if rest.take(self.needs, &self.pool[fill]) {
                self.go_on(rest, enough, stray - strayed);
            }
            if self.is_done(enough) {
                break;
            }
        }
    }

    fn is_done(&self, enough: i64) -> bool {
        self.best <= enough || self.purse.left == 0
    }

    fn go_on(&mut self, rest: Rest, enough: i64, stray: usize) {
        if self.is_done(enough) || rest.length >= self.best {
            return;
        }
        for tall in [false, true] {
            self.purse
                .spend((self.needs.stances.len() * (rest.plan.len() + 1)) as u64);
            let filled = rest.clone().filled(self.needs, tall);
            if filled.length < self.best {
                self.best = filled.length;
                self.plan = Some(filled.plan);
            }
        }
        if rest.is_empty() || self.is_done(enough) {
            return;
        }
        let relaxed = prices::relaxed(
            self.needs,
            (&rest.left, self.enough() - rest.length),
            &rest.limits,
            &mut self.pool,
            self.purse,
        );
        if rest.length + relaxed.least < self.enough() && relaxed.covers {
            self.descend(rest, &relaxed.uses, enough, stray);
        }
    }
}

/// What is left to be packed while a plan is made.
#[derive(Clone)]
struct Rest {
    left: Vec<i64>,
    limits: Vec<Limit>,
    plan: Vec<Fill>,
    length: i64,
}

impl Rest {
    /// Adds a strip with those of its pieces that are still needed; whether any is.
    fn take(&mut self, needs: &Needs, fill: &Fill) -> bool {
        let mut laid = Vec::new();
        for &(stance, units) in &fill.laid {
            let left = &mut self.left[needs.stances[stance].kind];
            let units = units.min(*left);
            if units > 0 {
                *left -= units;
                laid.push((stance, units));
            }
        }
        let heights = laid.iter().map(|&(s, _)| needs.stances[s].height);
        let Some(height) = heights.max() else {
            return false;
        };
        let taken = Fill { height, laid };
        for limit in &mut self.limits {
            limit.many -= limit.in_strip(&taken);
            if limit.least {
                limit.many = limit.many.max(0);
            }
        }
        self.length += height;
        self.plan.push(taken);
        true
    }
}

impl Rest {
    fn is_empty(&self) -> bool {
        self.left.iter().all(|&left| left == 0)
    }

    /// What is left fitted into the strips there are and new ones, first fit by falling
    /// height; a kind that may be turned opens strips as low or as `tall` as it can.
    fn filled(mut self, needs: &Needs, tall: bool) -> Self {
        let opening = |kind: usize| {
            let mut stances = (0..needs.stances.len()).filter(|&s| needs.stances[s].kind == kind);
            // By rising height.
            if tall {
                stances.next_back()
            } else {
                stances.next()
            }
        };
        let kinds = (0..self.left.len()).filter(|&kind| self.left[kind] > 0);
        let mut openings: Vec<usize> = kinds.filter_map(opening).collect();
        let first = |s: usize| needs.stances[s].takes.first().copied().unwrap_or_default();
        openings.sort_by_key(|&s| (-needs.stances[s].height, -first(s), s));
        let mut used: Vec<i64> = self.plan.iter().map(|fill| needs.used(fill)).collect();
        for stance in openings {
            let kind = needs.stances[stance].kind;
            let standing = |s: &usize| needs.stances[*s].kind == kind;
            let ways: Vec<usize> = (0..needs.stances.len()).filter(standing).collect();
            for (fill, used) in self.plan.iter_mut().zip(&mut used) {
                let room = needs.across - *used;
                let fits = |&way: &usize| (needs.fits(way, fill, room).min(self.left[kind]), way);
                if let Some((units, way)) = ways.iter().map(fits).max().filter(|best| best.0 > 0) {
                    fill.lay(way, units);
                    *used = needs.used(fill);
                    self.left[kind] -= units;
                }
            }
            let height = needs.stances[stance].height;
            let most = (needs.stances[stance].takes.len() as i64).max(1);
            while self.left[kind] > 0 {
                let units = most.min(self.left[kind]);
                let fill = Fill {
                    height,
                    laid: vec![(stance, units)],
                };
                used.push(needs.used(&fill));
                self.plan.push(fill);
                self.left[kind] -= units;
                self.length += height;
            }
        }
        self
    }
}

impl Needs {
    /// Marks of a strip that are taken.
    fn used(&self, fill: &Fill) -> i64 {
        let laid = fill.laid.iter();
        laid.map(|&(stance, units)| self.takes(stance, units)).sum()
    }

    fn takes(&self, stance: usize, units: i64) -> i64 {
        let last = usize::try_from(units - 1).ok();
        last.map_or(0, |last| self.stances[stance].takes[last])
    }

    /// How many more fit into the room of a strip, standing so.
    fn fits(&self, stance: usize, fill: &Fill, room: i64) -> i64 {
        let how = &self.stances[stance];
        if how.height > fill.height {
            return 0;
        }
        let there = fill.laid.iter().find(|(s, _)| *s == stance);
        let there = there.map_or(0, |&(_, units)| units);
        let room = room + self.takes(stance, there);
        how.takes.partition_point(|&takes| takes <= room) as i64 - there
    }
}

impl Fill {
    fn lay(&mut self, stance: usize, units: i64) {
        match self.laid.iter_mut().find(|(s, _)| *s == stance) {
            Some((_, there)) => *there += units,
            None => self.laid.push((stance, units)),
        }
    }
}

/// The whole strips in so many.
fn whole(many: f64) -> usize {
    (many + SHARE) as usize
}

/// The part with the least bound; of equals the newest, which is nearest to an end.
fn next(open: &[Part]) -> Option<usize> {
    (0..open.len()).min_by_key(|&i| (open[i].least, std::cmp::Reverse(i)))
}
