//! Laying cloths so that no like lies beside like and each is spread evenly.
//!
//! Given are spots with their neighbours, and how often each cloth is to be laid. What is
//! sought is first the fewest pairs of like cloth side by side, and then the least *crowd*:
//! the sum over all pairs of like cloth of one over the square of their distance, measured
//! in the width of a spot. A few close pairs weigh more than many that lie far apart.
//!
//! The spots are filled one by one, each with the cloth that crowds least there; then pairs
//! of cloths are exchanged at random for as long as it pays, at first also where it costs a
//! little, later never. The numbers that stand for chance follow from the seed: the same
//! problem and seed give the same answer on every machine (only sums, products and
//! quotients decide).
//!
//! **Always holds.** Every spot has a cloth; each cloth lies as often as is asked; pinned
//! spots keep theirs.

/// What a pair of like cloth side by side weighs against crowding.
const TOUCHING: f64 = 1000.0;

/// Exchanges tried for each spot, and at most.
const TRIES: usize = 700;
const MOST_TRIES: usize = 600_000;

/// Distances looked up at most.
const MOST_STEPS: usize = 40_000_000;

/// Distances between so many spots are kept; between more they are taken afresh.
const KEPT: usize = 1500;

/// How much worse an exchange may be at first, as a share of the crowd of one spot.
const WARM: f64 = 0.6;

/// Spots to fill.
#[derive(Clone, Debug, Default)]
pub(crate) struct Spots {
    /// The middle of each.
    pub(crate) at: Vec<[f64; 2]>,
    /// For each the others beside it.
    pub(crate) beside: Vec<Vec<usize>>,
    /// For each the cloths that lie beside it whatever is chosen.
    pub(crate) fixed: Vec<Vec<usize>>,
    /// For each the pool it is filled from.
    pub(crate) pool: Vec<usize>,
    /// For each the cloth laid by hand.
    pub(crate) pinned: Vec<Option<usize>>,
    /// For each pool its cloths and how often each is to be laid, pinned ones counted in;
    /// as many in all as the pool has spots.
    pub(crate) counts: Vec<Vec<(usize, usize)>>,
}

/// Fills the spots: a cloth for each.
pub(crate) fn laid(spots: &Spots, seed: u32) -> Vec<usize> {
    let mut search = Search::begun(spots);
    search.exchange(seed);
    search.cloth
}

/// One over the squared distance, in widths of a spot.
struct Crowd<'a> {
    at: &'a [[f64; 2]],
    /// The area of the top that comes on one spot.
    area: f64,
    kept: Vec<f64>,
}

impl<'a> Crowd<'a> {
    fn of(at: &'a [[f64; 2]]) -> Self {
        let n = at.len();
        let [width, height] = extent(at);
        // A row of spots has no area: then the length that comes on one, squared.
        let count = small(n);
        let area = (width * height / count)
            .max((width.max(height) / count).powi(2))
            .max(1e-12);
        let mut crowd = Self {
            at,
            area,
            kept: Vec::new(),
        };
        if n <= KEPT {
            let pairs = (0..n).flat_map(|i| (0..n).map(move |j| (i, j)));
            crowd.kept = pairs.map(|(i, j)| crowd.fresh(i, j)).collect();
        }
        crowd
    }

    fn fresh(&self, i: usize, j: usize) -> f64 {
        let (a, b) = (self.at[i], self.at[j]);
        let (dx, dy) = (a[0] - b[0], a[1] - b[1]);
        self.area / (dx * dx + dy * dy).max(self.area * 1e-6)
    }

    fn between(&self, i: usize, j: usize) -> f64 {
        match self.kept.get(i * self.at.len() + j) {
            Some(&kept) => kept,
            None => self.fresh(i, j),
        }
    }

    fn sum(&self, i: usize, others: &[usize]) -> f64 {
        others.iter().map(|&other| self.between(i, other)).sum()
    }
}

/// Width and height of the box round some points.
pub(crate) fn extent(at: &[[f64; 2]]) -> [f64; 2] {
    [0, 1].map(|i| {
        let all = at.iter().map(|p| p[i]);
        let high = all.clone().fold(f64::NEG_INFINITY, f64::max);
        let low = all.fold(f64::INFINITY, f64::min);
        (high - low).max(0.0)
    })
}

/// A count as a float; there are never more spots than that.
pub(crate) fn small(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX)).max(1.0)
}

struct Search<'a> {
    spots: &'a Spots,
    crowd: Crowd<'a>,
    cloth: Vec<usize>,
    /// For each cloth the spots it lies in.
    lies: Vec<Vec<usize>>,
    /// For each spot its place in that list.
    place: Vec<usize>,
}

impl<'a> Search<'a> {
    /// Fills the spots one by one, from the top left.
    fn begun(spots: &'a Spots) -> Self {
        let n = spots.at.len();
        let cloths = spots.counts.iter().flatten().map(|(cloth, _)| cloth + 1);
        let pinned = spots.pinned.iter().flatten().map(|cloth| cloth + 1);
        let cloths = cloths.chain(pinned).max().unwrap_or(0);
        let mut search = Self {
            spots,
            crowd: Crowd::of(&spots.at),
            cloth: vec![usize::MAX; n],
            lies: vec![Vec::new(); cloths],
            place: vec![0; n],
        };
        let mut left = spots.counts.clone();
        for spot in 0..n {
            if let Some(cloth) = spots.pinned[spot] {
                search.lay(spot, cloth);
                let mut of_pool = left[spots.pool[spot]].iter_mut();
                if let Some(entry) = of_pool.find(|(other, _)| *other == cloth) {
                    entry.1 = entry.1.saturating_sub(1);
                }
            }
        }
        let mut order: Vec<usize> = (0..n).filter(|&i| spots.pinned[i].is_none()).collect();
        let row = search.crowd.area.sqrt() / 2.0;
        order.sort_by(|&a, &b| {
            let key = |i: usize| ((spots.at[i][1] / row).round(), spots.at[i][0]);
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        for spot in order {
            let left = &mut left[spots.pool[spot]];
            let cost = |&(cloth, left): &(usize, usize)| {
                let laid = search.lies[cloth].len();
                let due = small(laid + left) / small(left);
                search.touches(spot, cloth, usize::MAX) * TOUCHING
                    + search.crowd.sum(spot, &search.lies[cloth]) * due
            };
            let open = left.iter().enumerate().filter(|(_, (_, left))| *left > 0);
            let best = open
                .map(|(index, entry)| (cost(entry), index))
                .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            if let Some((_, index)) = best {
                left[index].1 -= 1;
                let cloth = left[index].0;
                search.lay(spot, cloth);
            }
        }
        search
    }

    fn lay(&mut self, spot: usize, cloth: usize) {
        self.cloth[spot] = cloth;
        self.place[spot] = self.lies[cloth].len();
        self.lies[cloth].push(spot);
    }

    /// How many like neighbours a spot would have in this cloth, one of them left out.
    fn touches(&self, spot: usize, cloth: usize, without: usize) -> f64 {
        let beside = self.spots.beside[spot].iter();
        let like = beside.filter(|&&other| other != without && self.cloth[other] == cloth);
        let fixed = self.spots.fixed[spot].iter().filter(|&&c| c == cloth);
        small(like.count() + fixed.count() + 1) - 1.0
    }

    /// What changes if two spots exchange their cloths.
    fn change(&self, i: usize, j: usize) -> f64 {
        let (a, b) = (self.cloth[i], self.cloth[j]);
        let now = self.touches(i, a, j) + self.touches(j, b, i);
        let then = self.touches(i, b, j) + self.touches(j, a, i);
        let crowd = |cloth: usize, own: usize, from: usize, to: usize| {
            let others = self.lies[cloth].iter().filter(|&&spot| spot != own);
            others
                .map(|&spot| self.crowd.between(to, spot) - self.crowd.between(from, spot))
                .sum::<f64>()
        };
        (then - now) * TOUCHING + crowd(a, i, i, j) + crowd(b, j, j, i)
    }

    fn swap(&mut self, i: usize, j: usize) {
        let (a, b) = (self.cloth[i], self.cloth[j]);
        let (at_i, at_j) = (self.place[i], self.place[j]);
        (self.lies[a][at_i], self.lies[b][at_j]) = (j, i);
        (self.cloth[i], self.cloth[j]) = (b, a);
        (self.place[i], self.place[j]) = (at_j, at_i);
    }

    fn exchange(&mut self, seed: u32) {
        let mut groups: Vec<Vec<usize>> = vec![Vec::new(); self.spots.counts.len()];
        for (spot, &pool) in self.spots.pool.iter().enumerate() {
            if self.spots.pinned[spot].is_none() {
                groups[pool].push(spot);
            }
        }
        groups.retain(|group| group.len() > 1);
        let free: usize = groups.iter().map(Vec::len).sum();
        if free == 0 {
            return;
        }
        let longest = self.lies.iter().map(Vec::len).max().unwrap_or(1);
        let tries = (free * TRIES)
            .min(MOST_TRIES)
            .min(MOST_STEPS / (4 * longest + 16));
        let mut chance = Chance::from(seed);
        for group in &groups {
            let share = (tries * group.len()).div_ceil(free);
            let copies =
                small(group.len()) / small(self.spots.counts[self.spots.pool[group[0]]].len());
            // The crowd of a spot among copies spread over the top falls with their number.
            let warm = WARM * copies / small(group.len()).sqrt();
            for step in 0..share {
                let (i, j) = (
                    group[chance.below(group.len())],
                    group[chance.below(group.len())],
                );
                if self.cloth[i] == self.cloth[j] {
                    continue;
                }
                // Cold for the last third.
                let bear = warm * (1.0 - 1.5 * small(step) / small(share)).max(0.0);
                if self.change(i, j) < bear - 1e-9 {
                    self.swap(i, j);
                }
            }
        }
    }
}

/// Numbers that look like chance and follow from a seed (xorshift64*, S. Vigna, "An
/// experimental exploration of Marsaglia's xorshift generators, scrambled", 2016).
struct Chance(u64);

impl Chance {
    fn from(seed: u32) -> Self {
        Self((u64::from(seed) + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let bits = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        usize::try_from(bits).unwrap_or(0) % n.max(1)
    }
}

/// The crowd of a filling, and what it would be on average if the cloths of each pool were
/// dealt out blindly.
pub(crate) fn crowd(spots: &Spots, cloth: &[usize], among: &[usize]) -> (f64, f64) {
    let crowd = Crowd::of(&spots.at);
    let (mut found, mut all) = (0.0, 0.0);
    let mut counts = std::collections::BTreeMap::<usize, usize>::new();
    for (place, &i) in among.iter().enumerate() {
        *counts.entry(cloth[i]).or_default() += 1;
        for &j in &among[..place] {
            let between = crowd.between(i, j);
            all += between;
            if cloth[i] == cloth[j] {
                found += between;
            }
        }
    }
    let n = among.len();
    if n < 2 {
        return (found, found);
    }
    let pairs = |n: usize| small(n) * (small(n) - 1.0);
    let like: f64 = counts.values().map(|&count| pairs(count)).sum();
    (found, all * like / pairs(n))
}

/// The largest least distance that so many points in a box can have, at most: no set of
/// them lies wider apart.
///
/// # Source
///
/// N. Oler, "An inequality in the geometry of numbers", Acta Mathematica 105 (1961): of
/// points at least d apart a convex region of area A and girth P holds at most
/// 2/√3 · A/d² + P/(2d) + 1 (*from memory*; tested against every set on small grids). The
/// diagonal bounds it as well.
pub(crate) fn widest(count: usize, [width, height]: [f64; 2]) -> Option<f64> {
    if count < 2 {
        return None;
    }
    let (sides, more) = (width + height, small(count) - 1.0);
    let area = 2.0 / 3.0_f64.sqrt() * width * height;
    let bound = (sides + (sides * sides + 4.0 * more * area).sqrt()) / (2.0 * more);
    Some(bound.min(width.hypot(height)))
}

/// Pairs of like cloth side by side that no filling avoids, at least.
///
/// Spots that pair off with a neighbour (a matching) hold two cloths a pair: a cloth that
/// lies in more spots than there are pairs and single spots must touch itself, once for
/// each it has too many.
pub(crate) fn unavoidable(spots: &Spots, pool: usize) -> usize {
    let mut taken = vec![false; spots.at.len()];
    let (mut pairs, mut all) = (0, 0);
    for spot in 0..spots.at.len() {
        if spots.pool[spot] != pool {
            continue;
        }
        all += 1;
        if taken[spot] {
            continue;
        }
        let mut open = spots.beside[spot].iter();
        let mate = open.find(|&&other| !taken[other] && spots.pool[other] == pool && other != spot);
        if let Some(&mate) = mate {
            (taken[spot], taken[mate]) = (true, true);
            pairs += 1;
        }
    }
    let most = all - pairs;
    spots.counts[pool]
        .iter()
        .map(|(_, count)| count.saturating_sub(most))
        .sum()
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A grid of spots one inch apart, filled by so many cloths.
    pub(crate) fn grid(columns: usize, rows: usize, cloths: usize) -> Spots {
        let n = columns * rows;
        let cell = |c: usize, r: usize| r * columns + c;
        let beside = (0..n).map(|i| {
            let (c, r) = (i % columns, i / columns);
            let mut beside = Vec::new();
            if c > 0 {
                beside.push(cell(c - 1, r));
            }
            if c + 1 < columns {
                beside.push(cell(c + 1, r));
            }
            if r > 0 {
                beside.push(cell(c, r - 1));
            }
            if r + 1 < rows {
                beside.push(cell(c, r + 1));
            }
            beside
        });
        Spots {
            at: (0..n)
                .map(|i| [(i % columns) as f64, (i / columns) as f64])
                .collect(),
            beside: beside.collect(),
            fixed: vec![Vec::new(); n],
            pool: vec![0; n],
            pinned: vec![None; n],
            counts: vec![
                (0..cloths)
                    .map(|c| (c, n / cloths + usize::from(c < n % cloths)))
                    .collect(),
            ],
        }
    }

    pub(crate) fn touching(spots: &Spots, cloth: &[usize]) -> usize {
        let pairs = spots.beside.iter().enumerate();
        let pairs = pairs.flat_map(|(i, beside)| beside.iter().map(move |&j| (i, j)));
        pairs
            .filter(|&(i, j)| i < j && cloth[i] == cloth[j])
            .count()
    }

    fn least(spots: &Spots, cloth: &[usize], of: usize) -> f64 {
        let all: Vec<[f64; 2]> = (0..cloth.len())
            .filter(|&i| cloth[i] == of)
            .map(|i| spots.at[i])
            .collect();
        let mut least = f64::INFINITY;
        for (i, a) in all.iter().enumerate() {
            for b in &all[..i] {
                least = least.min((a[0] - b[0]).hypot(a[1] - b[1]));
            }
        }
        least
    }

    #[test]
    fn counts_and_pins_are_kept_and_nothing_touches() {
        for seed in 0..6 {
            let mut spots = grid(9, 7, 5);
            spots.pinned[31] = Some(2);
            spots.pinned[32] = Some(4);
            spots.counts[0] = vec![(0, 20), (1, 5), (2, 13), (3, 13), (4, 12)];
            let cloth = laid(&spots, seed);
            for (of, count) in &spots.counts[0] {
                assert_eq!(cloth.iter().filter(|&&c| c == *of).count(), *count);
            }
            assert_eq!((cloth[31], cloth[32]), (2, 4));
            assert_eq!(touching(&spots, &cloth), 0, "seed {seed}");
            assert_eq!(cloth, laid(&spots, seed), "the same seed, the same answer");
            let (found, blind) = crowd(&spots, &cloth, &(0..63).collect::<Vec<_>>());
            assert!(found < 0.8 * blind, "{found} against {blind}");
        }
        assert_ne!(laid(&grid(9, 7, 5), 0), laid(&grid(9, 7, 5), 1));
    }

    #[test]
    fn thirty_cloths_on_twenty_by_twenty_lie_wide_apart() {
        let spots = grid(20, 20, 30);
        let cloth = laid(&spots, 0);
        assert_eq!(touching(&spots, &cloth), 0);
        let mut sum = 0.0;
        for of in 0..30 {
            let count = cloth.iter().filter(|&&c| c == of).count();
            let (found, most) = (least(&spots, &cloth, of), widest(count, [19.0; 2]).unwrap());
            assert!(found <= most, "{found} beyond the bound {most}");
            sum += found / most;
        }
        assert!(sum / 30.0 > 0.55, "{}", sum / 30.0);
    }

    /// The bound against every set of points on small grids.
    #[test]
    fn no_set_lies_wider_than_the_bound() {
        for (columns, rows) in [(4, 4), (5, 3), (8, 2), (12, 1), (3, 3)] {
            let spots = grid(columns, rows, 1);
            let n = columns * rows;
            let mut best = vec![0.0_f64; n + 1];
            for set in 1_u32..1 << n {
                let cloth: Vec<usize> = (0..n).map(|i| usize::from(set >> i & 1 == 0)).collect();
                let count = set.count_ones() as usize;
                if count > 1 {
                    best[count] = best[count].max(least(&spots, &cloth, 0));
                }
            }
            let size = [columns as f64 - 1.0, rows as f64 - 1.0];
            for (count, best) in best.iter().enumerate().skip(2) {
                let bound = widest(count, size).unwrap();
                assert!(
                    *best <= bound + 1e-9,
                    "{count} on {columns} × {rows}: {best}, {bound}"
                );
            }
        }
    }

    /// On small grids the fewest touching pairs are reached, and the proved number is
    /// never above it.
    #[test]
    fn touching_pairs_are_the_fewest_there_are() {
        for (columns, rows, counts) in [
            (3, 3, vec![6, 3]),
            (3, 3, vec![5, 4]),
            (4, 2, vec![6, 2]),
            (3, 2, vec![3, 3]),
            (3, 3, vec![3, 3, 3]),
            (4, 3, vec![8, 2, 2]),
        ] {
            let mut spots = grid(columns, rows, 1);
            spots.counts[0] = counts.iter().copied().enumerate().collect();
            let found = touching(&spots, &laid(&spots, 3));
            let mut fewest = usize::MAX;
            every(&mut counts.clone(), &mut Vec::new(), &mut |cloth| {
                fewest = fewest.min(touching(&spots, cloth));
            });
            assert_eq!(found, fewest, "{columns} × {rows} {counts:?}");
            assert!(unavoidable(&spots, 0) <= fewest);
        }
        let mut spots = grid(4, 4, 1);
        spots.counts[0] = vec![(0, 9), (1, 7)];
        assert_eq!(
            unavoidable(&spots, 0),
            1,
            "nine of sixteen cannot all stand apart"
        );
    }

    fn every(left: &mut Vec<usize>, laid: &mut Vec<usize>, see: &mut impl FnMut(&[usize])) {
        if left.iter().all(|&n| n == 0) {
            return see(laid);
        }
        for cloth in 0..left.len() {
            if left[cloth] > 0 {
                left[cloth] -= 1;
                laid.push(cloth);
                every(left, laid, see);
                laid.pop();
                left[cloth] += 1;
            }
        }
    }
}
