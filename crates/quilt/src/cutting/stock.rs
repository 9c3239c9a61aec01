//! Cloth that need not be bought: what the maker owns, and what lies beside strips cut
//! along the selvage. How much of the demand goes onto it, so that the least is bought?
//!
//! Every piece of such cloth ([`Scrap`]) is cut in strips, across it or (where it is no
//! longer than the cloth is wide) along it, and the strips are cross-cut.
//!
//! **Method.** The linear program of `prices` with one row more for each sort of scrap:
//! a scrap filled in one way costs nothing but may be used only as often as there are
//! such scraps. Ways to fill a scrap are made when they are missed: the fullest strip of
//! every height comes from the knapsack there, and a second knapsack along the scrap picks
//! the strips. Then the scrap the program uses most is filled for good, what is
//! left of it is topped up with whatever fits, and the rest is priced anew.
//!
//! **Proved.** With prices in whole numbers such that no strip of bought cloth holds more
//! than its height is worth, everything needed is worth so much; less what the scraps can hold
//! at most (the same two knapsacks, in whole numbers) is what must be bought at least.
//!
//! **Units.** Marks. The same demand gives the same plan: no clock, no chance.

use super::packing::{Batch, Cutstrip, Item};
use super::prices::{Counted, Fill, Fullest, Limit, Needs, PART, Purse, SHARE, Stance};
use super::simplex::{Column, Cover};
use super::ways::{Look, Way};

/// Cost of leaving a piece out, in marks.
const LEFT_OUT: f64 = 1e6;

/// Steps of arithmetic for one cloth, as in the search.
const STEPS: u64 = 120_000_000;

/// Rounds of making ways that are missed.
const ROUNDS: usize = 300;

/// So many parts of all plans are looked at to better a bound.
const PARTS: usize = 60;

/// Pivots a round.
const PIVOTS: usize = 2000;

/// No price is higher, in marks.
const DEAREST: f64 = 1e9;

/// What a scrap costs, as a share of bought cloth of its area: enough that of two plans
/// that buy the same the one that touches less cloth is taken.
const WEAR: f64 = 1e-4;

/// Equal pieces of cloth that need not be bought.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Scrap {
    /// From selvage to selvage.
    pub(super) across: i64,
    /// Along the selvage.
    pub(super) along: i64,
    /// Whether its strips may also be cut along the selvage.
    pub(super) turns: bool,
    /// How many there are.
    pub(super) many: usize,
}

/// One scrap cut into strips.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Filled {
    /// Which scrap.
    pub(super) scrap: usize,
    /// Whether it lies turned, its strips along the selvage: ways are those of
    /// [`turned`].
    pub(super) turned: bool,
    pub(super) strips: Vec<Cutstrip>,
}

/// What goes onto the scraps.
pub(super) struct Covered {
    /// The scraps that are cut.
    pub(super) filled: Vec<Filled>,
    /// How many of each item are left to be bought for.
    pub(super) left: Vec<u32>,
    /// Proved: at least so much must be bought.
    pub(super) least: i64,
}

/// The items as they lie on cloth turned a quarter: a rectangle's sides change places; a
/// slanted piece lies along the strip as before, which only a cloth without direction
/// allows (`free`). `across`: the longest strip there is.
pub(super) fn turned(items: &[Item], free: bool, across: i64) -> Vec<Item> {
    let way = |way: &Way| match &way.look {
        Look::Slab(split) => {
            let side = way.reach.first().copied()?;
            Some(Way::slab(side, way.height, *split, across))
        }
        Look::Run { .. } => free.then(|| way.clone()),
    };
    items
        .iter()
        .map(|item| Item {
            ways: item.ways.iter().filter_map(way).collect(),
            ..item.clone()
        })
        .collect()
}

/// A scrap as it lies on the table, one way or turned.
struct Frame {
    scrap: usize,
    turned: bool,
    /// Along the table from the squared end.
    length: i64,
    needs: Needs,
}

/// A scrap filled in one way: strips with how often each.
#[derive(Clone, PartialEq, Debug)]
struct Pattern {
    frame: usize,
    strips: Vec<(Fill, i64)>,
}

enum Made {
    Bought(Fill),
    Scrap(Pattern),
}

struct Seen<'a> {
    program: &'a Program<'a>,
    limits: &'a [Limit],
    made: &'a Made,
}

impl Column for Seen<'_> {
    fn cost(&self) -> f64 {
        match self.made {
            Made::Bought(fill) => fill.height as f64,
            Made::Scrap(pattern) => self.program.wear(&self.program.frames[pattern.frame]),
        }
    }

    fn fill(&self, into: &mut [f64]) {
        let kinds = self.program.counts.len();
        let mut lay = |needs: &Needs, fill: &Fill, times: i64| {
            for &(stance, units) in &fill.laid {
                into[needs.stances[stance].kind] += (units * times) as f64;
            }
        };
        let scraps = self.program.scraps.len();
        match self.made {
            Made::Bought(fill) => {
                lay(&self.program.bought, fill, 1);
                for (value, limit) in into[kinds + scraps..].iter_mut().zip(self.limits) {
                    *value = (sign(limit) * limit.in_strip(fill)) as f64;
                }
            }
            Made::Scrap(pattern) => {
                let frame = &self.program.frames[pattern.frame];
                for (fill, times) in &pattern.strips {
                    lay(&frame.needs, fill, *times);
                }
                into[kinds + frame.scrap] = -1.0;
            }
        }
    }
}

/// The linear program.
struct Program<'a> {
    scraps: &'a [Scrap],
    across: i64,
    counts: Vec<i64>,
    bought: Needs,
    frames: Vec<Frame>,
}

/// At least counts up, at most down.
fn sign(limit: &Limit) -> i64 {
    if limit.least { 1 } else { -1 }
}

/// Prices in parts of a mark.
#[derive(Clone)]
struct Prices {
    kinds: Vec<i64>,
    limits: Vec<i64>,
}

impl Prices {
    /// What a strip of this height is worth for the limits it counts for.
    fn for_limits(&self, limits: &[Limit], height: i64) -> i64 {
        let each = limits.iter().zip(&self.limits);
        each.filter(|(limit, _)| matches!(limit.of, Counted::Strips(tall) if height >= tall))
            .map(|(limit, price)| sign(limit) * price)
            .sum()
    }
}

/// A program solved.
struct Solved {
    prices: Prices,
    /// Columns with how often each.
    uses: Vec<(usize, f64)>,
}

/// Fills scraps so that the least has to be bought. `turned` are the same items as they lie
/// on a turned scrap.
pub(super) fn cover(items: &[Item], turned: &[Item], across: i64, scraps: &[Scrap]) -> Covered {
    let mut purse = Purse { left: STEPS };
    let program = Program::new(items, turned, across, scraps, false);
    let mut made = Vec::new();
    let mut left = program.counts.clone();
    let mut many: Vec<usize> = scraps.iter().map(|scrap| scrap.many).collect();
    let solved = program.solved(&left, (&many, &[]), &mut made, &mut purse);
    let least = if items.iter().any(|item| item.divisible) {
        // Joined strips may be made of any lengths: a bound of their own.
        bettered(items, turned, (across, scraps), (0, 0))
    } else {
        program.proved(solved.prices.clone(), &[], &mut purse)
    };
    let mut dive = Dive {
        program: &program,
        items: [items, turned],
        filled: Vec::new(),
    };
    let mut solved = solved;
    while left.iter().any(|&n| n > 0) && many.iter().any(|&n| n > 0) {
        if !dive.step(&solved, &made, &mut left, &mut many) {
            break;
        }
        solved = program.solved(&left, (&many, &[]), &mut made, &mut purse);
    }
    let filled = dive.filled;
    Covered {
        filled,
        left: left
            .iter()
            .map(|&n| u32::try_from(n).unwrap_or(0))
            .collect(),
        least,
    }
}

impl<'a> Program<'a> {
    fn new(items: &[Item], turned: &[Item], across: i64, scraps: &'a [Scrap], loose: bool) -> Self {
        let marks = |item: &Item| match item.ways.first() {
            Some(way) if loose && item.divisible => way.takes(1),
            _ => 1,
        };
        let counts = items
            .iter()
            .map(|item| i64::from(item.count) * marks(item))
            .collect();
        let mut frames = Vec::new();
        for (index, scrap) in scraps.iter().enumerate() {
            frames.push(Frame {
                scrap: index,
                turned: false,
                length: scrap.along,
                needs: needs(items, scrap.across, scrap.along, loose),
            });
            if scrap.turns {
                frames.push(Frame {
                    scrap: index,
                    turned: true,
                    length: scrap.across,
                    needs: needs(turned, scrap.along, scrap.across, loose),
                });
            }
        }
        Self {
            scraps,
            across,
            counts,
            bought: needs(items, across, i64::MAX, loose),
            frames,
        }
    }

    fn wear(&self, frame: &Frame) -> f64 {
        let scrap = self.scraps[frame.scrap];
        WEAR * (scrap.across * scrap.along) as f64 / self.across.max(1) as f64
    }

    /// The cheapest mixture for `left` of each kind with `many` of each scrap, within
    /// limits.
    fn solved(
        &self,
        left: &[i64],
        (many, limits): (&[usize], &[Limit]),
        made: &mut Vec<Made>,
        purse: &mut Purse,
    ) -> Solved {
        let sides = left.iter().map(|&n| n as f64);
        let sides = sides.chain(many.iter().map(|&n| -(n as f64)));
        let sides = sides.chain(limits.iter().map(|l| (sign(l) * l.many) as f64));
        let mut cover = Cover::new(&sides.collect::<Vec<f64>>(), LEFT_OUT);
        let mut offered = 0;
        let mut prices = Prices {
            kinds: Vec::new(),
            limits: Vec::new(),
        };
        for _ in 0..ROUNDS {
            for made in &made[offered..] {
                cover.offer(&Seen {
                    program: self,
                    limits,
                    made,
                });
            }
            offered = made.len();
            let spare = purse.spend(cover.solve(PIVOTS));
            let (kinds, others) = cover.prices().split_at(left.len());
            let (scraps, limited) = others.split_at(many.len());
            prices.kinds = kinds.iter().map(|&price| whole_price(price)).collect();
            prices.limits = limited.iter().map(|&price| whole_price(price)).collect();
            let missed = self.missed(left, (many, limits), &prices, scraps, purse);
            let missed: Vec<Made> = missed
                .into_iter()
                .filter(|fresh| !made.iter().any(|known| same(known, fresh)))
                .collect();
            if missed.is_empty() || !spare {
                break;
            }
            made.extend(missed);
        }
        Solved {
            prices,
            uses: cover.uses(),
        }
    }

    /// Strips and filled scraps worth more than they cost.
    fn missed(
        &self,
        left: &[i64],
        (many, limits): (&[usize], &[Limit]),
        prices: &Prices,
        scraps: &[f64],
        purse: &mut Purse,
    ) -> Vec<Made> {
        let mut missed = Vec::new();
        let full = fullest(&self.bought, left, &prices.kinds, purse);
        for (index, (&height, &value)) in self.bought.heights.iter().zip(&full.values).enumerate() {
            let worth = value + prices.for_limits(limits, height);
            if worth > height * PART + height * PART / (1 << 20) {
                let mut fill = full.strip(&self.bought, index);
                // A strip higher than its pieces may be worth it for a limit.
                let between = |limit: &Limit| matches!(limit.of, Counted::Strips(tall) if fill.height < tall && tall <= height);
                if limits.iter().any(between) {
                    fill.height = height;
                }
                missed.push(Made::Bought(fill));
            }
        }
        for (index, frame) in self.frames.iter().enumerate() {
            if many[frame.scrap] == 0 {
                continue;
            }
            let (value, strips) = best(frame, left, &prices.kinds, purse);
            let cost = self.wear(frame) + scraps[frame.scrap].max(0.0);
            let slack = 1e-6 * (1.0 + cost);
            if value as f64 / PART as f64 > cost + slack {
                missed.push(Made::Scrap(Pattern {
                    frame: index,
                    strips,
                }));
            }
        }
        missed
    }

    /// What must be bought at least within the limits, by these prices cut down until they
    /// are right. Marks.
    fn proved(&self, mut prices: Prices, limits: &[Limit], purse: &mut Purse) -> i64 {
        // Once is enough but for what rounding the limits' prices does.
        for _ in 0..3 {
            let full = fullest(&self.bought, &self.counts, &prices.kinds, purse);
            let heights = self.bought.heights.iter().zip(&full.values);
            let worth = heights.map(|(&height, &value)| {
                let worth = value + prices.for_limits(limits, height);
                (i128::from(worth), i128::from(height) * i128::from(PART))
            });
            let over = worth.filter(|(worth, height)| worth > height);
            let Some((worth, height)) = over.max_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1))) else {
                return self.worth(&prices, limits, purse);
            };
            let scaled = |price: i64, up: bool| {
                let exact = i128::from(price) * height;
                let whole = (exact + if up { worth - 1 } else { 0 }) / worth;
                i64::try_from(whole).unwrap_or_default()
            };
            for price in &mut prices.kinds {
                *price = scaled(*price, false);
            }
            for (price, limit) in prices.limits.iter_mut().zip(limits) {
                *price = scaled(*price, !limit.least);
            }
        }
        0
    }

    /// What everything is worth less what the scraps can hold, rounded up to whole marks.
    fn worth(&self, prices: &Prices, limits: &[Limit], purse: &mut Purse) -> i64 {
        let worth = |of: &[i64]| -> i128 {
            let each = of.iter().zip(&prices.kinds);
            each.map(|(&n, &price)| i128::from(n) * i128::from(price))
                .sum()
        };
        let mut least = worth(&self.counts);
        for (limit, &price) in limits.iter().zip(&prices.limits) {
            least += i128::from(sign(limit) * limit.many) * i128::from(price);
        }
        for (index, scrap) in self.scraps.iter().enumerate() {
            let frames = self.frames.iter().filter(|frame| frame.scrap == index);
            let holds = frames.map(|frame| {
                let filled = best(frame, &self.counts, &prices.kinds, purse).0;
                i128::from(filled).min(worth(&frame.alone(&self.counts)))
            });
            least -= holds.max().unwrap_or_default() * scrap.many as i128;
        }
        let part = i128::from(PART);
        let marks = (least + part - 1).div_euclid(part);
        i64::try_from(marks.max(0)).unwrap_or(i64::MAX)
    }
}

/// The bound on what must be bought, bettered from `least` by dividing plans by how many
/// strips are at least so high, as the search does; no further than `needs`.
pub(super) fn bettered(
    items: &[Item],
    turned: &[Item],
    (across, scraps): (i64, &[Scrap]),
    (least, needs): (i64, i64),
) -> i64 {
    let loose = items.iter().any(|item| item.divisible);
    let program = Program::new(items, turned, across, scraps, loose);
    let many: Vec<usize> = scraps.iter().map(|scrap| scrap.many).collect();
    let mut purse = Purse { left: STEPS };
    let mut made = Vec::new();
    let mut open: Vec<(i64, Vec<Limit>)> = vec![(least, Vec::new())];
    // The least bound of a part that cannot be divided further.
    let mut stuck = i64::MAX;
    for part in 0..PARTS {
        let Some(next) = (0..open.len()).min_by_key(|&i| (open[i].0, std::cmp::Reverse(i))) else {
            break;
        };
        if part > 0 && (open[next].0 >= needs || purse.left == 0) {
            break;
        }
        let (known, limits) = open.swap_remove(next);
        let solved = program.solved(&program.counts, (&many, &limits), &mut made, &mut purse);
        let proved = program.proved(solved.prices.clone(), &limits, &mut purse);
        let least = known.max(proved);
        let Some((of, many)) = program.undecided(&solved, &made) else {
            stuck = stuck.min(least);
            continue;
        };
        for (least_of, many) in [(false, many), (true, many + 1)] {
            let mut limits = limits.clone();
            limits.retain(|limit| (limit.of, limit.least) != (of, least_of));
            limits.push(Limit {
                of,
                least: least_of,
                many,
            });
            open.push((least, limits));
        }
    }
    let open = open.iter().map(|(least, _)| *least).min();
    stuck.min(open.unwrap_or(i64::MAX))
}

impl Program<'_> {
    /// The height of which the fractions have the least whole number of bought strips that
    /// high or higher, and the whole number below.
    fn undecided(&self, solved: &Solved, made: &[Made]) -> Option<(Counted, i64)> {
        let mut best = (SHARE, None);
        for &height in &self.bought.heights {
            let uses = solved.uses.iter();
            let many: f64 = uses
                .filter(
                    |&&(column, _)| matches!(&made[column], Made::Bought(f) if f.height >= height),
                )
                .map(|&(_, many)| many)
                .sum();
            let off = (many - many.round()).abs();
            // The first of equals, whatever the last digit of a float says.
            if off > best.0 + SHARE {
                best = (off, Some((Counted::Strips(height), many.floor() as i64)));
            }
        }
        best.1
    }
}

impl Frame {
    /// How many of each kind fit it if nothing else did; no more than there are.
    fn alone(&self, counts: &[i64]) -> Vec<i64> {
        let mut most = vec![0; counts.len()];
        // Strips of several heights mix stances of one kind: the sum is safe.
        for stance in &self.needs.stances {
            let strips = self.length / stance.height.max(1);
            most[stance.kind] += strips * stance.takes.len() as i64;
        }
        let held = most.iter().zip(counts);
        held.map(|(&most, &count)| most.min(count)).collect()
    }
}

/// The items as they stand in strips of cloth this wide, none higher than `highest`.
fn needs(items: &[Item], across: i64, highest: i64, loose: bool) -> Needs {
    let mut stances = Vec::new();
    for (kind, item) in items.iter().enumerate() {
        for (way, how) in item.ways.iter().enumerate() {
            let takes: Vec<i64> = if loose && item.divisible {
                (1..=across).collect()
            } else {
                let takes = how.reach.iter().copied();
                takes.take_while(|&takes| takes <= across).collect()
            };
            if how.height <= highest && !takes.is_empty() {
                let height = how.height;
                stances.push(Stance {
                    kind,
                    way,
                    height,
                    takes,
                });
            }
        }
    }
    stances.sort_by_key(|stance| (stance.height, stance.kind, stance.way));
    let mut heights: Vec<i64> = stances.iter().map(|stance| stance.height).collect();
    heights.dedup();
    Needs {
        across,
        counts: Vec::new(),
        stances,
        heights,
    }
}

fn fullest(needs: &Needs, left: &[i64], prices: &[i64], purse: &mut Purse) -> Fullest {
    let standing: Vec<i64> = needs.stances.iter().map(|s| prices[s.kind]).collect();
    Fullest::new(needs, left, |_| standing.clone(), purse)
}

/// The most valuable way to fill a scrap, with strips as often as wished.
fn best(frame: &Frame, left: &[i64], prices: &[i64], purse: &mut Purse) -> (i64, Vec<(Fill, i64)>) {
    let full = fullest(&frame.needs, left, prices, purse);
    let size = usize::try_from(frame.length).unwrap_or_default() + 1;
    let mut value = vec![0_i64; size];
    let mut last: Vec<Option<usize>> = vec![None; size];
    purse.spend((size * frame.needs.heights.len()) as u64);
    for at in 1..size {
        value[at] = value[at - 1];
        for (index, &height) in frame.needs.heights.iter().enumerate() {
            let Some(before) = usize::try_from(height).ok().and_then(|h| at.checked_sub(h)) else {
                break;
            };
            let worth = value[before] + full.values[index];
            if worth > value[at] {
                (value[at], last[at]) = (worth, Some(index));
            }
        }
    }
    let mut times = vec![0_i64; frame.needs.heights.len()];
    let mut at = size - 1;
    while at > 0 {
        match last[at] {
            Some(index) => {
                times[index] += 1;
                at -= usize::try_from(frame.needs.heights[index]).unwrap_or(at);
            }
            None => at -= 1,
        }
    }
    let strips = times.iter().enumerate().filter(|(_, times)| **times > 0);
    let strips = strips.map(|(index, &times)| (full.strip(&frame.needs, index), times));
    (value[size - 1], strips.collect())
}

fn same(a: &Made, b: &Made) -> bool {
    match (a, b) {
        (Made::Bought(a), Made::Bought(b)) => a == b,
        (Made::Scrap(a), Made::Scrap(b)) => a == b,
        _ => false,
    }
}

fn whole_price(price: f64) -> i64 {
    (price.clamp(0.0, DEAREST) * PART as f64) as i64
}

/// Filling scraps for good.
struct Dive<'a> {
    program: &'a Program<'a>,
    /// As they lie, and as they lie on a turned scrap.
    items: [&'a [Item]; 2],
    filled: Vec<Filled>,
}

impl Dive<'_> {
    /// Fills the scraps that the program uses most; whether anything was laid.
    fn step(
        &mut self,
        solved: &Solved,
        made: &[Made],
        left: &mut [i64],
        many: &mut [usize],
    ) -> bool {
        let mut most: Option<(f64, &Pattern)> = None;
        for &(column, times) in &solved.uses {
            if let Made::Scrap(pattern) = &made[column]
                && times > SHARE
                && most.is_none_or(|(most, _)| times > most + SHARE)
            {
                most = Some((times, pattern));
            }
        }
        let Some((times, pattern)) = most else {
            return false;
        };
        let frame = &self.program.frames[pattern.frame];
        let times = ((times + SHARE) as usize).clamp(1, many[frame.scrap]);
        let mut laid = false;
        for _ in 0..times {
            let strips = self.realised(frame, pattern, left);
            if strips.is_empty() {
                break;
            }
            laid = true;
            many[frame.scrap] -= 1;
            self.filled.push(Filled {
                scrap: frame.scrap,
                turned: frame.turned,
                strips,
            });
        }
        laid
    }

    /// The pattern with those of its pieces that are still needed, and topped up.
    fn realised(&self, frame: &Frame, pattern: &Pattern, left: &mut [i64]) -> Vec<Cutstrip> {
        let items = self.items[usize::from(frame.turned)];
        let mut strips: Vec<Cutstrip> = Vec::new();
        let mut room = frame.length;
        for (fill, times) in pattern.strips.iter().rev() {
            for _ in 0..*times {
                let mut strip = empty();
                for &(stance, units) in &fill.laid {
                    let stance = &frame.needs.stances[stance];
                    let units = units.min(left[stance.kind]);
                    put(items, &mut strip, (stance.kind, stance.way), units);
                    left[stance.kind] -= units;
                }
                if !strip.batches.is_empty() {
                    room -= strip.height;
                    strips.push(strip);
                }
            }
        }
        self.top_up(frame, &mut strips, room, left);
        strips
    }

    /// Whatever else fits into the strips and, in new ones, into the room: high pieces
    /// first.
    fn top_up(&self, frame: &Frame, strips: &mut Vec<Cutstrip>, mut room: i64, left: &mut [i64]) {
        let items = self.items[usize::from(frame.turned)];
        for stance in frame.needs.stances.iter().rev() {
            let way = &items[stance.kind].ways[stance.way];
            let most = |space: i64, left: i64| {
                let fits = stance.takes.partition_point(|&takes| takes <= space) as i64;
                fits.min(left)
            };
            for strip in strips.iter_mut() {
                let there =
                    (strip.batches.iter()).any(|b| (b.item, b.way) == (stance.kind, stance.way));
                // A run goes on where it ends only if it is laid anew.
                let apart = way.single() || !there;
                let units = most(frame.needs.across - strip.used, left[stance.kind]);
                if way.height <= strip.height && apart && units > 0 {
                    put(items, strip, (stance.kind, stance.way), units);
                    left[stance.kind] -= units;
                }
            }
            while way.height <= room && left[stance.kind] > 0 {
                let units = most(frame.needs.across, left[stance.kind]);
                let mut strip = empty();
                put(items, &mut strip, (stance.kind, stance.way), units);
                left[stance.kind] -= units;
                room -= strip.height;
                strips.push(strip);
            }
        }
    }
}

fn empty() -> Cutstrip {
    Cutstrip {
        rest: None,
        height: 0,
        used: 0,
        batches: Vec::new(),
    }
}

/// Lays so many more at the end of a strip, or beside those of their kind.
fn put(items: &[Item], strip: &mut Cutstrip, (item, way): (usize, usize), units: i64) {
    let Ok(units) = u32::try_from(units) else {
        return;
    };
    if units == 0 {
        return;
    }
    let how = &items[item].ways[way];
    strip.height = strip.height.max(how.height);
    let there = strip
        .batches
        .iter_mut()
        .find(|b| (b.item, b.way) == (item, way));
    match there {
        Some(batch) => batch.units += units,
        None => strip.batches.push(Batch {
            item,
            way,
            units,
            x: 0,
        }),
    }
    strip.used = 0;
    for batch in &mut strip.batches {
        batch.x = strip.used;
        strip.used += items[batch.item].ways[batch.way].takes(batch.units);
    }
}
