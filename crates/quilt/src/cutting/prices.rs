//! What each piece is worth at most: a bound on the length that is proved in whole numbers.
//!
//! Give every piece a price, in parts of a mark of cloth, such that **no strip can hold
//! pieces worth more than its own height**. Then every plan of strips is at least as long as
//! all pieces together are worth. The best prices are those of a linear program over all
//! ways to fill a strip; those ways are found one by one as they are missed (a knapsack over
//! the marks of the cloth's width finds the fullest strip of every height in one sweep).
//!
//! The search (`search`) also asks: how short can a plan be that has at least, or at most,
//! so many strips of a height or more, or so many pieces standing one way? Such a [`Limit`] gets a price too, and a strip's
//! height is set against the pieces in it and the limits it counts for.
//!
//! **Proved.** The program is solved in floats, its prices are cut down to whole
//! [`PART`]s of a mark, and the knapsack is run again in whole numbers; if some strip still
//! holds more than its height all prices are scaled down. What is reported holds whatever
//! the floats did.
//!
//! **Units.** Marks; prices in marks ÷ [`PART`].
//!
//! # Source
//!
//! Filling strips by columns made when they are missed is the two-stage method of
//! Gilmore and Gomory (*from memory*); the limits and the check in whole numbers are our
//! own.

use super::simplex::{Column, Cover};

/// One mark holds so many parts of a price: fine enough that cutting prices down loses no
/// mark on a thousand pieces, coarse enough that sums stay far from the end of an `i64`.
pub(super) const PART: i64 = 1 << 24;

/// Cost of leaving a piece out, in marks: far more than any piece needs.
const LEFT_OUT: f64 = 1e6;

/// No price is higher, in marks: a limit's price may be that of many pieces left out.
const DEAREST: f64 = 1e9;

/// Rounds of making strips that are missed. Demands like those of quilts take some dozens;
/// a program that does not settle stops here, with a weaker bound.
const ROUNDS: usize = 400;

/// Pivots a round.
const PIVOTS: usize = 2000;

/// Below this a share of a strip counts as none.
pub(super) const SHARE: f64 = 1e-6;

/// One way a kind of piece stands in a strip.
#[derive(Clone, Debug)]
pub(super) struct Stance {
    /// Index of the kind.
    pub(super) kind: usize,
    /// Which of its ways, as the packing counts them.
    pub(super) way: usize,
    /// Height of strip it needs.
    pub(super) height: i64,
    /// `takes[n − 1]`: marks of the strip that `n` take.
    pub(super) takes: Vec<i64>,
}

/// The kinds of pieces and how they may stand in strips.
#[derive(Clone, Debug)]
pub(super) struct Needs {
    /// Marks of a strip.
    pub(super) across: i64,
    /// How many of each kind.
    pub(super) counts: Vec<i64>,
    /// By rising height.
    pub(super) stances: Vec<Stance>,
    /// The heights strips may have, rising.
    pub(super) heights: Vec<i64>,
}

/// What a limit counts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Counted {
    /// Strips of this height or more.
    Strips(i64),
    /// Pieces that stand so (the index of a stance) in strips of this height or more.
    Pieces(usize, i64),
}

/// At least or at most so many strips of a height or more, or pieces that stand one way.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Limit {
    /// Of what.
    pub(super) of: Counted,
    /// At least, not at most.
    pub(super) least: bool,
    /// How many.
    pub(super) many: i64,
}

impl Limit {
    fn sign(&self) -> i64 {
        if self.least { 1 } else { -1 }
    }

    /// How many of what it counts are in a strip.
    pub(super) fn in_strip(&self, fill: &Fill) -> i64 {
        match self.of {
            Counted::Strips(tall) => i64::from(fill.height >= tall),
            Counted::Pieces(_, tall) if fill.height < tall => 0,
            Counted::Pieces(stance, _) => {
                let laid = fill.laid.iter().filter(|(s, _)| *s == stance);
                laid.map(|(_, units)| units).sum()
            }
        }
    }
}

/// A filled strip.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Fill {
    /// That of its tallest piece.
    pub(super) height: i64,
    /// Stances with how many stand so.
    pub(super) laid: Vec<(usize, i64)>,
}

/// Steps of arithmetic left to spend: the search counts these and reads no clock, so that
/// the same plan gives the same cutting on every machine.
#[derive(Debug)]
pub(super) struct Purse {
    /// Steps.
    pub(super) left: u64,
}

impl Purse {
    /// Spends; false when nothing is left.
    pub(super) fn spend(&mut self, steps: u64) -> bool {
        self.left = self.left.saturating_sub(steps);
        self.left > 0
    }
}

/// A program solved.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// Proved: no plan within the limits is shorter. Marks.
    pub(super) least: i64,
    /// Strips of the pool and how many of each (in fractions).
    pub(super) uses: Vec<(usize, f64)>,
    /// Whether all pieces are in them; if not, the limits leave too little.
    pub(super) covers: bool,
}

/// A strip as the program sees it.
struct Seen<'a> {
    needs: &'a Needs,
    limits: &'a [Limit],
    fill: &'a Fill,
}

impl Column for Seen<'_> {
    fn cost(&self) -> f64 {
        self.fill.height as f64
    }

    fn fill(&self, into: &mut [f64]) {
        let (kinds, limits) = into.split_at_mut(self.needs.counts.len());
        for &(stance, units) in &self.fill.laid {
            kinds[self.needs.stances[stance].kind] += units as f64;
        }
        for (value, limit) in limits.iter_mut().zip(self.limits) {
            *value = (limit.sign() * limit.in_strip(self.fill)) as f64;
        }
    }
}

/// The bound for `left` of each kind within `limits`, and strips (in fractions) that reach
/// it but for rounding. New strips join the `pool`. Stops as soon as the bound is `enough`.
pub(super) fn relaxed(
    needs: &Needs,
    (left, enough): (&[i64], i64),
    limits: &[Limit],
    pool: &mut Vec<Fill>,
    purse: &mut Purse,
) -> Relaxed {
    let sides = left.iter().map(|&count| count as f64);
    let sides = sides.chain(limits.iter().map(|l| (l.sign() * l.many) as f64));
    let mut cover = Cover::new(&sides.collect::<Vec<f64>>(), LEFT_OUT);
    let mut offered = 0;
    let mut best = 0;
    for _ in 0..ROUNDS {
        for fill in &pool[offered..] {
            cover.offer(&Seen {
                needs,
                limits,
                fill,
            });
        }
        offered = pool.len();
        let spare = purse.spend(cover.solve(PIVOTS));
        let mut prices = Prices::of(cover.prices(), left.len());
        let full = Fullest::new(needs, left, |h| prices.standing(needs, limits, h), purse);
        let mut missed = full.missed(needs, limits, &prices);
        // What is there already and not used is missed by rounding only.
        missed.retain(|fill| !pool.contains(fill));
        let over = missed.is_empty() || !spare;
        if over || prices.promise(needs, left, limits, &full) > enough as f64 - 1.0 {
            best = best.max(prices.proved(needs, left, limits, full, purse));
        }
        if over || best >= enough {
            break;
        }
        pool.extend(missed);
    }
    Relaxed {
        least: best,
        uses: cover.uses(),
        covers: cover.covers(),
    }
}

/// Prices in whole parts of a mark.
struct Prices {
    kinds: Vec<i64>,
    limits: Vec<i64>,
}

impl Prices {
    fn of(floats: &[f64], kinds: usize) -> Self {
        let whole: Vec<i64> = floats
            .iter()
            .map(|price| (price.clamp(0.0, DEAREST) * PART as f64) as i64)
            .collect();
        let (kinds, limits) = whole.split_at(kinds);
        Self {
            kinds: kinds.to_vec(),
            limits: limits.to_vec(),
        }
    }

    /// What a strip of this height is worth for the limits it counts for.
    fn for_limits(&self, limits: &[Limit], height: i64) -> i64 {
        let each = limits.iter().zip(&self.limits);
        each.filter(|(limit, _)| matches!(limit.of, Counted::Strips(tall) if height >= tall))
            .map(|(limit, price)| limit.sign() * price)
            .sum()
    }

    /// The price of a piece in each stance, in a strip of this height: its own and what its
    /// way of standing counts.
    fn standing(&self, needs: &Needs, limits: &[Limit], height: i64) -> Vec<i64> {
        let stances = needs.stances.iter();
        let mut prices: Vec<i64> = stances.map(|s| self.kinds[s.kind]).collect();
        for (limit, price) in limits.iter().zip(&self.limits) {
            match limit.of {
                Counted::Pieces(stance, tall) if height >= tall => {
                    prices[stance] += limit.sign() * price;
                }
                _ => {}
            }
        }
        prices
    }

    /// What the bound will be, about, if these prices are cut down. Marks.
    fn promise(&self, needs: &Needs, left: &[i64], limits: &[Limit], full: &Fullest) -> f64 {
        let heights = needs.heights.iter().zip(&full.values);
        let share = heights.map(|(&height, &value)| {
            let worth = value + self.for_limits(limits, height);
            (height * PART) as f64 / (worth.max(1) as f64)
        });
        let least = share.fold(1.0, f64::min);
        least * self.worth(left, limits) as f64 / PART as f64
    }

    /// Cuts the prices down until no strip holds more than its height, then adds up: the
    /// bound, rounded up to whole marks.
    fn proved(
        &mut self,
        needs: &Needs,
        left: &[i64],
        limits: &[Limit],
        mut full: Fullest,
        purse: &mut Purse,
    ) -> i64 {
        // Once is enough but for what rounding the limits' prices does.
        for _ in 0..3 {
            let worth = |(&height, &value): (&i64, &i64)| {
                (value + self.for_limits(limits, height), height * PART)
            };
            let worst = needs
                .heights
                .iter()
                .zip(&full.values)
                .map(worth)
                .filter(|(worth, height)| worth > height)
                .max_by(|a, b| {
                    (i128::from(a.0) * i128::from(b.1)).cmp(&(i128::from(b.0) * i128::from(a.1)))
                });
            let Some((worth, height)) = worst else {
                return self.sum(left, limits);
            };
            let scaled = |price: i64, up: bool| {
                let exact = i128::from(price) * i128::from(height);
                let worth = i128::from(worth);
                let whole = (exact + if up { worth - 1 } else { 0 }) / worth;
                i64::try_from(whole).unwrap_or_default()
            };
            for price in &mut self.kinds {
                *price = scaled(*price, false);
            }
            for (price, limit) in self.limits.iter_mut().zip(limits) {
                *price = scaled(*price, !limit.least);
            }
            full = Fullest::new(needs, left, |h| self.standing(needs, limits, h), purse);
        }
        0
    }

    fn sum(&self, left: &[i64], limits: &[Limit]) -> i64 {
        let part = i128::from(PART);
        let marks = (self.worth(left, limits) + part - 1).div_euclid(part);
        i64::try_from(marks).unwrap_or_default()
    }

    /// What all pieces and limits are worth together, in parts.
    fn worth(&self, left: &[i64], limits: &[Limit]) -> i128 {
        let kinds = left.iter().zip(&self.kinds);
        let kinds: i128 = kinds.map(|(&n, &p)| i128::from(n) * i128::from(p)).sum();
        let limits = limits.iter().zip(&self.limits);
        let limits: i128 = limits
            .map(|(l, &p)| i128::from(l.sign() * l.many) * i128::from(p))
            .sum();
        kinds + limits
    }
}

/// The fullest strip of every height, by price.
pub(super) struct Fullest {
    /// A value a height of [`Needs::heights`].
    pub(super) values: Vec<i64>,
    /// For each stance tried and each room: how many stand so.
    taken: Vec<(usize, Vec<u16>)>,
    /// For each height which of `taken` belong to it.
    ranges: Vec<std::ops::Range<usize>>,
    across: usize,
}

impl Fullest {
    /// A bounded knapsack over the marks of the width, stance by stance, the low ones
    /// first: after those of one height its fullest strip is known. Only where the `prices`
    /// change from a height to the next it begins anew.
    pub(super) fn new(
        needs: &Needs,
        left: &[i64],
        prices: impl Fn(i64) -> Vec<i64>,
        purse: &mut Purse,
    ) -> Self {
        let across = usize::try_from(needs.across).unwrap_or_default();
        let mut value = vec![0_i64; across + 1];
        let mut full = Self {
            values: Vec::with_capacity(needs.heights.len()),
            taken: Vec::new(),
            ranges: Vec::with_capacity(needs.heights.len()),
            across,
        };
        let (mut before, mut next, mut start) = (Vec::new(), 0, 0);
        for &height in &needs.heights {
            let now = prices(height);
            if now != before {
                value.fill(0);
                (next, start) = (0, full.taken.len());
            }
            while let Some(stance) = needs.stances.get(next).filter(|s| s.height <= height) {
                let (price, most) = (now[next], left[stance.kind]);
                if price > 0 && most > 0 {
                    let most = stance.takes.len().min(usize::try_from(most).unwrap_or(0));
                    purse.spend((across * (1 + most / 2)) as u64);
                    let taken = laid(&mut value, &stance.takes[..most], price);
                    full.taken.push((next, taken));
                }
                next += 1;
            }
            full.values.push(value[across]);
            full.ranges.push(start..full.taken.len());
            before = now;
        }
        full
    }

    /// For each height the fullest strip, if it holds more than its height is worth.
    fn missed(&self, needs: &Needs, limits: &[Limit], prices: &Prices) -> Vec<Fill> {
        let mut missed: Vec<Fill> = Vec::new();
        for (index, (&height, &value)) in needs.heights.iter().zip(&self.values).enumerate() {
            let worth = value + prices.for_limits(limits, height);
            // A float's worth of rounding is no strip missed.
            if worth > height * PART + height * PART / (1 << 20) {
                let mut fill = self.strip(needs, index);
                // A strip higher than its pieces may be worth it for a limit.
                let between = |limit: &Limit| {
                    let (Counted::Strips(tall) | Counted::Pieces(_, tall)) = limit.of;
                    fill.height < tall && tall <= height
                };
                if limits.iter().any(between) {
                    fill.height = height;
                }
                if !missed.contains(&fill) {
                    missed.push(fill);
                }
            }
        }
        missed
    }

    pub(super) fn strip(&self, needs: &Needs, height: usize) -> Fill {
        let mut at = self.across;
        let mut laid = Vec::new();
        for (index, taken) in self.taken[self.ranges[height].clone()].iter().rev() {
            let stance = &needs.stances[*index];
            let units = usize::from(taken[at]);
            if units > 0 {
                laid.push((*index, units as i64));
                at -= usize::try_from(stance.takes[units - 1]).unwrap_or(at);
            }
        }
        laid.reverse();
        let height = laid
            .iter()
            .map(|&(s, _)| needs.stances[s].height)
            .max()
            .unwrap_or(0);
        Fill { height, laid }
    }
}

/// Lets pieces of one stance into every room where they are worth it; how many into each.
fn laid(value: &mut [i64], takes: &[i64], price: i64) -> Vec<u16> {
    let mut taken = vec![0_u16; value.len()];
    for at in (1..value.len()).rev() {
        let (mut best, mut many) = (value[at], 0);
        let mut worth = 0;
        for (units, &room) in (1..).zip(takes) {
            let Some(before) = usize::try_from(room).ok().and_then(|r| at.checked_sub(r)) else {
                break;
            };
            worth += price;
            if value[before] + worth > best {
                (best, many) = (value[before] + worth, units);
            }
        }
        (value[at], taken[at]) = (best, many);
    }
    taken
}
