//! How good the plans are: 200 demands like those of quilts, each against its bound and
//! against first fit by falling height.

use geometry::Surd;

use super::checks::sound;
use super::tables::pieces;

/// Cloth 40 in wide, in eighths.
const ACROSS: i64 = 320;

/// Sizes squares and rectangles are often cut in, eighths: finished 1 1/2 to 8 in and a
/// half, or 7⁄8 for squares cut once.
const SIDES: [i64; 18] = [
    16, 20, 24, 28, 36, 44, 52, 60, 68, 84, 100, 31, 39, 23, 42, 50, 34, 66,
];

/// A demand: height × width × count, eighths.
type Demand = Vec<(i64, i64, u32)>;

/// Numbers that look random and are the same on every machine (splitmix64).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % end
    }

    fn side(&mut self) -> i64 {
        SIDES[self.below(SIDES.len() as u64) as usize]
    }

    /// Three to eight sizes, half of them squares, 4 to 96 of each.
    fn demand(&mut self) -> Demand {
        let sizes = 3 + self.below(6);
        let mut demand = Demand::new();
        while demand.len() < sizes as usize {
            let (a, b) = (self.side(), self.side());
            let (height, width) = if self.below(2) == 0 { (a, a) } else { (a, b) };
            let same = |&(h, w, _): &(i64, i64, u32)| {
                (h, w) == (height, width) || (h, w) == (width, height)
            };
            if !demand.iter().any(same) {
                demand.push((height, width, 4 + self.below(93) as u32));
            }
        }
        demand
    }
}

/// First fit by falling height, every piece as it lies.
fn first_fit(demand: &Demand) -> i64 {
    let mut pieces: Vec<(i64, i64)> = demand
        .iter()
        .flat_map(|&(h, w, n)| (0..n).map(move |_| (h, w)))
        .collect();
    pieces.sort_by_key(|&(h, w)| (-h, -w));
    let mut strips: Vec<(i64, i64)> = Vec::new();
    for (h, w) in pieces {
        match strips
            .iter_mut()
            .find(|(_, used)| used.checked_add(w).is_some_and(|x| x <= ACROSS))
        {
            Some(strip) => strip.1 += w,
            None => strips.push((h, w)),
        }
    }
    strips.iter().map(|strip| strip.0).sum()
}

/// What is found over many demands.
#[derive(Default, Debug)]
struct Tally {
    demands: usize,
    /// Length proved to be the least.
    proved: usize,
    /// Length to buy (in steps of 1⁄8 yd) proved to be the least.
    buy_proved: usize,
    shorter_than_first_fit: usize,
    /// A longer plan is taken that buys the same and sets the ruler less often.
    longer: usize,
    /// Length above the bound, as a share of it: all together, and the most.
    above: f64,
    most_above: f64,
}

impl Tally {
    fn of(demands: usize, turns: bool) -> Self {
        let mut numbers = Numbers(2024 + u64::from(turns));
        let mut tally = Self::default();
        for _ in 0..demands {
            tally.add(&numbers.demand(), turns);
        }
        tally
    }

    fn add(&mut self, demand: &Demand, turns: bool) {
        let sizes: Vec<(Surd, Surd, u32)> = demand
            .iter()
            .map(|&(h, w, n)| (Surd::ratio(h, 8), Surd::ratio(w, 8), n))
            .collect();
        let mut bench = pieces(Surd::int(40), turns, &sizes);
        let cutting = bench.only();
        sound(&bench, &cutting);
        // Sold by the eighth of a yard a longer plan may be less work, never less proved.
        bench.plan.buying.step = Surd::ratio(9, 2);
        let sold = bench.only();
        sound(&bench, &sold);
        assert_eq!(sold.shortest, cutting.needs);
        assert_eq!(sold.at_least, cutting.at_least);
        self.longer += usize::from(sold.needs > sold.shortest);
        let first_fit = first_fit(demand);
        assert!(
            cutting.needs <= first_fit,
            "{} is worse than first fit, {first_fit}: {demand:?}",
            cutting.needs
        );
        let above = (cutting.needs as f64 - cutting.at_least) / cutting.at_least;
        let proved = above <= 0.0;
        assert!(sold.buy_proved || !proved, "what is needed is bought");
        self.demands += 1;
        self.proved += usize::from(proved);
        self.buy_proved += usize::from(sold.buy_proved);
        self.shorter_than_first_fit += usize::from(cutting.needs < first_fit);
        self.above += above;
        self.most_above = self.most_above.max(above);
    }

    /// On average within a third of a hundredth of the bound, never more than 3 of a hundred
    /// above it, and nine of ten purchases proved.
    fn check(&self) {
        assert!(self.above / self.demands as f64 <= 0.003, "{self:?}");
        assert!(self.most_above <= 0.03, "{self:?}");
        assert!(10 * self.buy_proved >= 9 * self.demands, "{self:?}");
    }
}

#[test]
fn demands_like_those_of_quilts_as_they_lie() {
    let tally = Tally::of(100, false);
    tally.check();
    assert!(tally.proved >= 90, "{tally:?}");
}

#[test]
fn demands_like_those_of_quilts_with_turning() {
    let tally = Tally::of(100, true);
    tally.check();
    assert!(tally.proved >= 70, "{tally:?}");
}

/// Run alone in release for the figures of `docs/measurements.md`: `cargo test --release -p
/// quilt --test cutting measured -- --ignored --nocapture`.
#[test]
#[ignore = "a stopwatch, not a check"]
#[allow(clippy::disallowed_methods, reason = "a stopwatch reads the clock")]
fn measured() {
    for turns in [false, true] {
        let start = std::time::Instant::now();
        let tally = Tally::of(100, turns);
        println!("turning {turns}: {tally:#?} in {:?}", start.elapsed());
        let mut numbers = Numbers(2024 + u64::from(turns));
        let demands: Vec<Demand> = (0..100).map(|_| numbers.demand()).collect();
        let times = demands.iter().map(|demand| {
            let start = std::time::Instant::now();
            Tally::default().add(demand, turns);
            start.elapsed()
        });
        println!("longest {:?}", times.max());
    }
}
