//! Cloths sorted by value into any number of groups.
//!
//! Value is how light a cloth reads beside the others, so the limits are not fixed: they
//! are put where the cloths leave them. Of all ways to divide the row of L\* into groups
//! the one is taken in which the cloths of a group are most alike: the least sum of
//! squares about the groups' means. That is found exactly, by dynamic programming.
//!
//! ```text
//!   23 28 31 34 36 | 47 49 52 55 58 61 63 | 71 74 78 82 85 88 90 94
//!       dark       |        medium        |         light
//! ```
//!
//! **The maker's eye comes first.** A cloth the maker has given a value stays there. Its
//! measured L\* is then no witness, and does not take part in the division.
//!
//! **Always holds.** Groups run from dark to light; cloths of the same L\* are in the same
//! group unless the maker says otherwise; the same cloths give the same groups.
//!
//! # Source
//!
//! W. D. Fisher, "On Grouping for Maximum Homogeneity", Journal of the American
//! Statistical Association 53 (1958): the best groups of numbers are runs of the sorted
//! row, and runs can be found one by one.

use crate::colour::seen;
use crate::plan::{Cloth, ClothId, Value};

/// A cloth nearer than this to the other side, in steps of L\*, is borderline.
///
/// Our choice: between 2 and 3.5 a difference of colour is seen by anyone (limits as given
/// in a survey of print-quality measures), so a nearer limit is drawn by no eye.
pub const NEAR: f64 = 3.0;

/// What is less than this is nothing: sums of squares are only so exact.
const NOTHING: f64 = 1e-9;

/// The cloths of a plan by value.
#[derive(Clone, PartialEq, Debug)]
pub struct Values {
    /// The groups, the darkest first.
    pub groups: Vec<Group>,
    /// One entry a cloth, in the plan's order.
    pub of: Vec<Valued>,
    /// Sum of the squared distances of the measured cloths from the means of their
    /// groups, L\* squared.
    pub within: f64,
    /// The same about the one mean of them all.
    pub total: f64,
}

/// Cloths that count alike.
#[derive(Clone, PartialEq, Debug)]
pub struct Group {
    /// In a word or two: `dark`, `very light`, `3 of 7`.
    pub name: String,
    /// Which of the three usual values it goes under.
    pub value: Value,
    /// Its cloths, the darkest first; perhaps none.
    pub cloths: Vec<ClothId>,
}

/// Where one cloth stands.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Valued {
    /// Index into [`Values::groups`].
    pub group: usize,
    /// Its own L\*, whatever the maker says of it.
    pub lightness: f64,
    /// Whether the maker put it there.
    pub moved: bool,
    /// The neighbouring group it would fit into best, and what that would cost; `None` for
    /// a cloth the maker put there, and where there is no other group.
    pub either: Option<Either>,
}

/// What it costs to count a cloth to the next group, all limits drawn anew.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Either {
    /// Which group.
    pub group: usize,
    /// How much the sum of squares within the groups grows.
    pub cost: f64,
    /// By about how many steps of L\* the cloth would have to change for both groups to
    /// fit equally well.
    pub steps: f64,
    /// Whether the values inside its own print reach over the limit to that group.
    pub straddles: bool,
}

impl Either {
    /// Whether the cloth may as well be counted to that group.
    #[must_use]
    pub fn is_borderline(&self) -> bool {
        self.straddles || self.steps < NEAR
    }
}

impl Values {
    /// Sorts `cloths` into `groups` groups (at least one).
    ///
    /// Where the cloths have fewer different L\* than there are groups, no division is
    /// better than another; then the groups are equal parts of the scale from 0 to 100.
    #[must_use]
    pub fn of(cloths: &[Cloth], groups: u32) -> Self {
        let count = groups.clamp(1, 100) as usize;
        let words: Vec<Option<usize>> = cloths.iter().map(|c| by_word(c.value?, count)).collect();
        let light: Vec<f64> = cloths.iter().map(|cloth| seen(cloth)[0]).collect();
        let mut order: Vec<usize> = (0..cloths.len()).collect();
        order.sort_by(|&a, &b| light[a].total_cmp(&light[b]).then(a.cmp(&b)));
        let free: Vec<usize> = order
            .iter()
            .copied()
            .filter(|&cloth| words[cloth].is_none())
            .collect();
        let row = Row::of(&free.iter().map(|&cloth| light[cloth]).collect::<Vec<_>>());
        let division = row.divided(count);
        let mut of: Vec<Valued> = (0..cloths.len())
            .map(|cloth| Valued {
                group: words[cloth].unwrap_or_else(|| by_scale(light[cloth], count)),
                lightness: light[cloth],
                moved: words[cloth].is_some(),
                either: None,
            })
            .collect();
        if let Some(division) = &division {
            for (&cloth, &point) in free.iter().zip(&row.point_of) {
                of[cloth].group = division.group_of(point);
                let either = division.either(&row, point);
                of[cloth].either = either.map(|either| Either {
                    straddles: straddles(&cloths[cloth], division.limit(&row, point, &either)),
                    ..either
                });
            }
        }
        let mut all: Vec<Group> = (0..count)
            .map(|index| Group::called(index, count))
            .collect();
        for cloth in order {
            all[of[cloth].group].cloths.push(ClothId(cloth));
        }
        let total = row.squares(0, row.points.len());
        Self {
            groups: all,
            of,
            within: division.map_or(0.0, |division| division.within),
            total,
        }
    }

    /// Which of the three usual values a cloth goes under.
    #[must_use]
    pub fn value(&self, cloth: ClothId) -> Value {
        self.groups[self.of[cloth.0].group].value
    }

    /// The name of a cloth's group.
    #[must_use]
    pub fn name(&self, cloth: ClothId) -> &str {
        &self.groups[self.of[cloth.0].group].name
    }

    /// Where a cloth may as well be counted, if it is borderline.
    #[must_use]
    pub fn borderline(&self, cloth: ClothId) -> Option<&Either> {
        let either = self.of[cloth.0].either.as_ref()?;
        either.is_borderline().then_some(either)
    }

    /// The share of all differences in L\* that lies between the groups, 0 to 1: how well
    /// the groups tell the cloths apart.
    #[must_use]
    pub fn told_apart(&self) -> f64 {
        if self.total <= NOTHING {
            return 1.0;
        }
        1.0 - self.within / self.total
    }
}

impl Group {
    fn called(index: usize, count: usize) -> Self {
        let names: &[&str] = match count {
            1 => &["medium"],
            2 => &["dark", "light"],
            3 => &["dark", "medium", "light"],
            4 => &["dark", "medium dark", "medium light", "light"],
            5 => &["very dark", "dark", "medium", "light", "very light"],
            _ => &[],
        };
        let numbered = || format!("{} of {count}", index + 1);
        // Thirds of the way from the darkest group to the lightest.
        let value = match (3 * index, count.saturating_sub(1)) {
            (_, 0) => Value::Medium,
            (third, last) if third < last => Value::Dark,
            (third, last) if third > 2 * last => Value::Light,
            _ => Value::Medium,
        };
        Self {
            name: names
                .get(index)
                .map_or_else(numbered, |name| (*name).into()),
            value,
            cloths: Vec::new(),
        }
    }
}

/// The group the maker's word means; `None` where there is none between dark and light.
fn by_word(value: Value, count: usize) -> Option<usize> {
    match value {
        Value::Dark => Some(0),
        Value::Light => Some(count - 1),
        Value::Medium if count == 2 => None,
        Value::Medium => Some((count - 1) / 2),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a part of the scale, kept within it"
)]
fn by_scale(light: f64, count: usize) -> usize {
    ((light / 100.0 * count as f64).max(0.0) as usize).min(count - 1)
}

/// Whether the values inside a print reach over a limit.
fn straddles(cloth: &Cloth, limit: f64) -> bool {
    let measured = cloth.record.measured.as_ref();
    let Some(spread) = measured.and_then(|found| found.spread.as_ref()) else {
        return false;
    };
    (seen(cloth)[0] - limit).abs() * 2.0 < spread.to_f64()
}

/// Numbers in ascending order, equal ones together.
struct Row {
    /// Each different number once.
    points: Vec<f64>,
    /// For each number the point it is.
    point_of: Vec<usize>,
    /// How many, their sum and the sum of their squares, before each point. Counted from
    /// the mean of all, so that nothing is lost when they are large and close.
    before: Vec<[f64; 3]>,
}

impl Row {
    fn of(sorted: &[f64]) -> Self {
        let mut points: Vec<f64> = Vec::new();
        let mut point_of = Vec::with_capacity(sorted.len());
        for &x in sorted {
            if points.last() != Some(&x) {
                points.push(x);
            }
            point_of.push(points.len() - 1);
        }
        let count = f64::from(u32::try_from(sorted.len()).unwrap_or(u32::MAX)).max(1.0);
        let mean = sorted.iter().sum::<f64>() / count;
        let mut before = vec![[0.0; 3]; points.len() + 1];
        for (&x, &point) in sorted.iter().zip(&point_of) {
            let x = x - mean;
            let sum = &mut before[point + 1];
            *sum = [sum[0] + 1.0, sum[1] + x, sum[2] + x * x];
        }
        for point in 0..points.len() {
            let [count, sum, squares] = before[point];
            let next = &mut before[point + 1];
            *next = [next[0] + count, next[1] + sum, next[2] + squares];
        }
        Self {
            points,
            point_of,
            before,
        }
    }

    /// Sum of the squared distances from their mean of the points from `a` to before `b`.
    fn squares(&self, a: usize, b: usize) -> f64 {
        let [from, to] = [self.before[a], self.before[b]];
        let [count, sum, squares] = [0, 1, 2].map(|i| to[i] - from[i]);
        if count == 0.0 {
            return 0.0;
        }
        (squares - sum * sum / count).max(0.0)
    }

    /// The mean of the points from `a` to before `b`, counted from the mean of all.
    fn mean(&self, a: usize, b: usize) -> f64 {
        let [from, to] = [self.before[a], self.before[b]];
        (to[1] - from[1]) / (to[0] - from[0])
    }

    /// The division into so many groups with the least sum of squares; of equally good
    /// ones that whose darker groups are the smaller. `None` if there are fewer points.
    fn divided(&self, groups: usize) -> Option<Division> {
        let n = self.points.len();
        if groups == 0 || n < groups {
            return None;
        }
        // `first[g][i]`: the least for the first i points in g groups; `last[g][i]`: the
        // least for the points from i on in g groups.
        let mut first = vec![vec![f64::INFINITY; n + 1]; groups + 1];
        let mut last = first.clone();
        let mut start = vec![vec![0; n + 1]; groups + 1];
        first[0][0] = 0.0;
        last[0][n] = 0.0;
        for g in 1..=groups {
            for i in g..=n {
                for a in g - 1..i {
                    let sum = first[g - 1][a] + self.squares(a, i);
                    if sum < first[g][i] - NOTHING {
                        (first[g][i], start[g][i]) = (sum, a);
                    }
                }
            }
            for i in 0..=n - g {
                for b in i + 1..=n {
                    last[g][i] = last[g][i].min(self.squares(i, b) + last[g - 1][b]);
                }
            }
        }
        let mut starts = vec![0; groups + 1];
        starts[groups] = n;
        for g in (1..=groups).rev() {
            starts[g - 1] = start[g][starts[g]];
        }
        let within = first[groups][n];
        let forced = forced(self, groups, &first, &last);
        Some(Division {
            starts,
            within,
            forced,
        })
    }
}

/// For each group and point: the least sum of squares with the point in that group.
fn forced(row: &Row, groups: usize, first: &[Vec<f64>], last: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let n = row.points.len();
    let mut forced = vec![vec![f64::INFINITY; n]; groups];
    for (g, least) in forced.iter_mut().enumerate() {
        for (a, before) in first[g].iter().enumerate().take(n).skip(g) {
            if before.is_infinite() {
                continue;
            }
            // The best end behind each point, from the far end inward.
            let mut best = f64::INFINITY;
            for b in (a + 1..=n).rev() {
                best = best.min(before + row.squares(a, b) + last[groups - g - 1][b]);
                least[b - 1] = least[b - 1].min(best);
            }
        }
    }
    forced
}

struct Division {
    /// The first point of each group, and one past the last.
    starts: Vec<usize>,
    within: f64,
    /// See [`forced`].
    forced: Vec<Vec<f64>>,
}

impl Division {
    fn group_of(&self, point: usize) -> usize {
        self.starts.partition_point(|&start| start <= point) - 1
    }

    fn groups(&self) -> usize {
        self.starts.len() - 1
    }

    /// The neighbouring group a point would fit into best; of equally good ones the darker.
    fn either(&self, row: &Row, point: usize) -> Option<Either> {
        let own = self.group_of(point);
        let darker = own.checked_sub(1);
        let lighter = (own + 1 < self.groups()).then_some(own + 1);
        let costs = darker.into_iter().chain(lighter).map(|group| {
            let cost = (self.forced[group][point] - self.within).max(0.0);
            let mean = |g: usize| row.mean(self.starts[g], self.starts[g + 1]);
            // Moved by s between two means D apart, a point gains and loses 2·D·s.
            let apart = 2.0 * (mean(group) - mean(own)).abs();
            Either {
                group,
                cost,
                steps: cost / apart,
                straddles: false,
            }
        });
        // The darkest of all cannot leave the darkest group, or that would be empty.
        let possible = costs.filter(|either| either.cost.is_finite());
        possible.min_by(|a, b| a.cost.total_cmp(&b.cost))
    }

    /// The L\* halfway between a point's group and the other.
    fn limit(&self, row: &Row, point: usize, either: &Either) -> f64 {
        let lighter = self.starts[self.group_of(point).max(either.group)];
        f64::midpoint(row.points[lighter - 1], row.points[lighter])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn divided(numbers: &[f64], groups: usize) -> (Row, Option<Division>) {
        let mut sorted = numbers.to_vec();
        sorted.sort_by(f64::total_cmp);
        let row = Row::of(&sorted);
        let division = row.divided(groups);
        (row, division)
    }

    /// An independent way: every division tried, every sum taken from its own mean.
    fn tried(points: &[f64], groups: usize) -> f64 {
        let own = |run: &[f64]| {
            let mean = run.iter().sum::<f64>() / run.len() as f64;
            run.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>()
        };
        if groups == 1 {
            return own(points);
        }
        (1..=points.len() + 1 - groups)
            .map(|cut| own(&points[..cut]) + tried(&points[cut..], groups - 1))
            .fold(f64::INFINITY, f64::min)
    }

    /// Small numbers that follow from one another, the same on every machine.
    fn numbers(seed: u64, count: usize) -> Vec<f64> {
        let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        (0..count)
            .map(|_| {
                state ^= state << 13;
                state ^= state >> 7;
                state ^= state << 17;
                (state % 1001) as f64 / 10.0
            })
            .collect()
    }

    #[test]
    fn the_groups_are_the_best_of_all_on_a_thousand_sets() {
        for seed in 0..1000 {
            let count = 3 + (seed % 10) as usize;
            let groups = 1 + (seed / 10 % 5) as usize;
            let mut set = numbers(seed, count);
            if seed % 3 == 0 {
                // Equal values.
                set.iter_mut().for_each(|x| *x = (*x / 10.0).floor() * 10.0);
            }
            let (row, division) = divided(&set, groups);
            let Some(division) = division else {
                assert!(row.points.len() < groups);
                continue;
            };
            let mut sorted = set.clone();
            sorted.sort_by(f64::total_cmp);
            let best = tried(&sorted, groups);
            assert!((division.within - best).abs() < 1e-6, "{set:?} in {groups}");
            let starts = &division.starts;
            let told: f64 = starts.windows(2).map(|w| row.squares(w[0], w[1])).sum();
            assert!((told - best).abs() < 1e-6 && starts.windows(2).all(|w| w[0] < w[1]));
        }
    }

    /// What it costs to count a number elsewhere, against every division that does so.
    #[test]
    fn the_cost_of_the_other_group_is_exact() {
        fn every(n: usize, groups: usize) -> Vec<Vec<usize>> {
            let cuts = |bits: u32| (1..n).filter(move |i| bits >> i & 1 == 1);
            (0..1_u32 << n)
                .filter(|bits| bits & 1 == 0 && bits.count_ones() as usize == groups - 1)
                .map(|bits| [vec![0], cuts(bits).collect(), vec![n]].concat())
                .collect()
        }
        let (mut seen, mut points) = (0, 0);
        for seed in 1..120 {
            let (row, division) = divided(&numbers(seed, 9), 3);
            let Some(division) = division else { continue };
            let n = row.points.len();
            points += n;
            for point in 0..n {
                let Some(either) = division.either(&row, point) else {
                    continue;
                };
                let least = every(n, 3)
                    .iter()
                    .filter(|s| s[either.group] <= point && point < s[either.group + 1])
                    .map(|s| s.windows(2).map(|w| row.squares(w[0], w[1])).sum::<f64>())
                    .fold(f64::INFINITY, f64::min);
                assert!((division.within + either.cost - least).abs() < 1e-6);
                seen += 1;
            }
        }
        // All but the darkest and the palest of each set, which have nowhere to go.
        assert_eq!(seen, points - 2 * 119);
    }

    /// Worked by an independent program: within 772.7, goodness of fit 0.9184.
    #[test]
    fn the_worked_example() {
        let row = [
            23.0, 28.0, 31.0, 34.0, 36.0, 47.0, 49.0, 52.0, 55.0, 58.0, 61.0, 63.0, 71.0, 74.0,
            78.0, 82.0, 85.0, 88.0, 90.0, 94.0,
        ];
        let (row, division) = divided(&row, 3);
        let division = division.unwrap();
        assert_eq!(division.starts, [0, 5, 12, 20]);
        assert!(
            (division.within - 772.7).abs() < 0.05,
            "{}",
            division.within
        );
        let fit = 1.0 - division.within / row.squares(0, 20);
        assert!((fit - 0.9184).abs() < 5e-5, "{fit}");
    }
}
