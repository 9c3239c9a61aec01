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
            let same = |&(h, w, _): &(i64, i64, u32)| (h, w) == (height, width) || (h, w) == (width, height);
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
        match strips.iter_mut().find(|(_, used)| used.checked_add(w).is_some_and(|x| x <= ACROSS)) {
            Some(strip) => strip.1 += w,
            None => strips.push((h, w)),
        }
    }
    strips.iter().map(|strip| strip.0).sum()
}

#[derive(Default, Debug)]
struct Tally {
    demands: usize,
    proved: usize,
    buy_proved: usize,
    shorter_than_first_fit: usize,
    above_bound: f64,
    worst: f64,
}

fn tally(demands: usize, turns: bool) -> Tally {
    let mut numbers = Numbers(2024 + u64::from(turns));
    let mut tally = Tally::default();
    for index in 0..demands {
        let demand = numbers.demand();
        let sizes: Vec<(Surd, Surd, u32)> = demand
            .iter()
            .map(|&(h, w, n)| (Surd::ratio(h, 8), Surd::ratio(w, 8), n))
            .collect();
        let bench = pieces(Surd::int(40), turns, &sizes);
        let cutting = bench.only();
        sound(&bench, &cutting);
        let first_fit = first_fit(&demand);
        if cutting.needs > first_fit { println!("{index}: WORSE {demand:?}"); }
        let above = (cutting.needs as f64 - cutting.at_least) / cutting.at_least;
        if above > 0.0 {
            println!("{index}: {} of at least {}, buy proved {}: {demand:?}", cutting.needs, cutting.at_least, cutting.buy_proved);
        }
        tally.demands += 1;
        tally.proved += usize::from(above <= 0.0);
        tally.buy_proved += usize::from(cutting.buy_proved);
        tally.shorter_than_first_fit += usize::from(cutting.needs < first_fit);
        tally.above_bound += above;
        tally.worst = tally.worst.max(above);
    }
    tally
}

#[test]
#[ignore = "the whole measurement"]
#[allow(clippy::disallowed_methods, reason = "a stopwatch reads the clock")]
fn measured() {
    for turns in [false, true] {
        let start = std::time::Instant::now();
        println!("turning {turns}: {:?} {:?}", tally(100, turns), start.elapsed());
    }
}
