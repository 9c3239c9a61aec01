//! The cheapest way to press: yes-or-no choices that would like to be equal or opposite.
//!
//! Answers: given choices with a cost each way, and pairs that cost something when they
//! are not equal (or not opposite), which assignment costs least, and is it proved?
//! This is maximum cut with fields, hard in general; shared recipes make it small.
//!
//! 1. **Forced relations.** If one pair of a choice weighs at least as much as all its
//!    other wishes together, some cheapest assignment keeps that pair; the choice is
//!    merged into its partner (union-find with parity). This alone settles trees.
//! 2. What is left falls into parts that do not touch; each is searched by branch and
//!    bound. After a fixed number of looks the best found stands, with `proved` false.
//!
//! **Units.** Costs are whole numbers; the caller says what one stands for.
//!
//! **Always holds.** The same problem gives the same answer: no chance, no clock.

use std::collections::{BTreeMap, BTreeSet};

/// How many nodes one part may be searched before the best found has to do.
const LOOKS: u64 = 200_000;

/// A set of choices and what they cost.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// For each choice what `false` and `true` cost.
    pub costs: Vec<[i64; 2]>,
    /// Two choices, whether they would like to be equal, and what it costs if not.
    pub pairs: Vec<(usize, usize, bool, i64)>,
}

/// An assignment and how good it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Solution {
    /// One entry a choice.
    pub values: Vec<bool>,
    /// What it costs.
    pub cost: i64,
    /// No assignment costs less than this.
    pub at_least: i64,
}

impl Problem {
    /// What an assignment costs.
    #[must_use]
    pub fn cost(&self, values: &[bool]) -> i64 {
        let single: i64 = self
            .costs
            .iter()
            .zip(values)
            .map(|(c, &v)| c[usize::from(v)])
            .sum();
        let failing =
            |&&(a, b, equal, _): &&(usize, usize, bool, i64)| (values[a] == values[b]) != equal;
        single
            + self
                .pairs
                .iter()
                .filter(failing)
                .map(|pair| pair.3)
                .sum::<i64>()
    }

    /// The cheapest assignment, or the best found within the budget.
    #[must_use]
    pub fn solve(&self) -> Solution {
        let mut graph = Graph::of(self);
        let merged = graph.merge_forced();
        let (mut settled, gap) = graph.search();
        // Merged choices take their partner's value, last merged first.
        for &(choice, partner, equal) in merged.iter().rev() {
            settled[choice] = settled[partner] == equal;
        }
        settled.truncate(self.costs.len());
        let cost = self.cost(&settled);
        Solution {
            values: settled,
            cost,
            at_least: cost - gap,
        }
    }
}

/// Pair weights: positive where two would like to be equal. The last node stands for a
/// choice that is fixed at `false`, so that single costs are pairs with it.
struct Graph {
    pairs: Vec<BTreeMap<usize, i64>>,
    fixed: usize,
}

impl Graph {
    fn of(problem: &Problem) -> Self {
        let fixed = problem.costs.len();
        let mut graph = Self {
            pairs: vec![BTreeMap::new(); fixed + 1],
            fixed,
        };
        for (choice, cost) in problem.costs.iter().enumerate() {
            graph.add(choice, fixed, cost[1] - cost[0]);
        }
        for &(a, b, equal, weight) in &problem.pairs {
            if a != b {
                graph.add(a, b, if equal { weight } else { -weight });
            }
        }
        graph
    }

    fn add(&mut self, a: usize, b: usize, weight: i64) {
        for (one, other) in [(a, b), (b, a)] {
            let sum = self.pairs[one].entry(other).or_default();
            *sum += weight;
            if *sum == 0 {
                self.pairs[one].remove(&other);
            }
        }
    }

    /// Merges every choice that one pair decides; what was merged into what, in order.
    fn merge_forced(&mut self) -> Vec<(usize, usize, bool)> {
        let mut merged = Vec::new();
        let mut waiting: BTreeSet<usize> = (0..self.fixed).collect();
        while let Some(choice) = waiting.pop_first() {
            let all: i64 = self.pairs[choice].values().map(|w| w.abs()).sum();
            let most = self.pairs[choice].iter().max_by_key(|(_, w)| w.abs());
            let Some((&partner, &weight)) = most.filter(|(_, w)| 2 * w.abs() >= all) else {
                continue;
            };
            let equal = weight > 0;
            let others = std::mem::take(&mut self.pairs[choice]);
            for (other, weight) in others {
                self.pairs[other].remove(&choice);
                if other != partner {
                    self.add(other, partner, if equal { weight } else { -weight });
                    waiting.insert(other);
                }
            }
            waiting.insert(partner);
            waiting.remove(&self.fixed);
            merged.push((choice, partner, equal));
        }
        merged
    }

    /// Values of what was not merged, and how far they may be from the best.
    fn search(&self) -> (Vec<bool>, i64) {
        let mut values = vec![false; self.fixed + 1];
        let mut seen = vec![false; self.fixed + 1];
        let mut gap = 0;
        for start in 0..self.fixed {
            if seen[start] || self.pairs[start].is_empty() {
                continue;
            }
            let part = self.part(start, &mut seen);
            gap += Search::of(self, part).run(&mut values);
        }
        (values, gap)
    }

    /// A part, its heaviest choice first and each next one heaviest towards those before.
    fn part(&self, start: usize, seen: &mut [bool]) -> Vec<usize> {
        let mut part = vec![start];
        seen[start] = true;
        let mut next = 0;
        while next < part.len() {
            let here = part[next];
            next += 1;
            for &other in self.pairs[here].keys() {
                if other != self.fixed && !seen[other] {
                    seen[other] = true;
                    part.push(other);
                }
            }
        }
        let mut pull: BTreeMap<usize, i64> = part
            .iter()
            .map(|&v| (v, self.pairs[v].get(&self.fixed).map_or(0, |w| w.abs())))
            .collect();
        let mut order = Vec::with_capacity(part.len());
        while let Some((&choice, _)) = pull
            .iter()
            .max_by_key(|&(&v, &w)| (w, std::cmp::Reverse(v)))
        {
            pull.remove(&choice);
            for (other, weight) in &self.pairs[choice] {
                if let Some(sum) = pull.get_mut(other) {
                    *sum += weight.abs();
                }
            }
            order.push(choice);
        }
        order
    }
}

/// Branch and bound over one part.
struct Search {
    /// For each place in the order: what `true` costs more than `false` by itself.
    own: Vec<i64>,
    /// For each place its pairs with earlier places.
    back: Vec<Vec<(usize, i64)>>,
    order: Vec<usize>,
    best: i64,
    best_values: Vec<bool>,
    looks: u64,
    /// The least bound of a branch that was given up.
    given_up: Option<i64>,
}

impl Search {
    fn of(graph: &Graph, order: Vec<usize>) -> Self {
        let place: BTreeMap<usize, usize> =
            order.iter().enumerate().map(|(i, &v)| (v, i)).collect();
        let own = order
            .iter()
            .map(|v| graph.pairs[*v].get(&graph.fixed).copied().unwrap_or(0));
        let back = order.iter().enumerate().map(|(here, v)| {
            let pairs = graph.pairs[*v].iter();
            pairs
                .filter_map(|(other, &weight)| Some((*place.get(other)?, weight)))
                .filter(|&(earlier, _)| earlier < here)
                .collect()
        });
        Self {
            own: own.collect(),
            back: back.collect(),
            best: i64::MAX,
            best_values: vec![false; order.len()],
            order,
            looks: 0,
            given_up: None,
        }
    }

    /// Fills in the best values; how far they may be from the cheapest.
    fn run(mut self, values: &mut [bool]) -> i64 {
        self.start();
        let mut chosen = Vec::with_capacity(self.order.len());
        self.descend(&mut chosen, 0);
        for (&choice, &value) in self.order.iter().zip(&self.best_values) {
            values[choice] = value;
        }
        self.given_up.map_or(0, |bound| (self.best - bound).max(0))
    }

    /// What this place costs with a value, given all earlier places.
    fn step(&self, place: usize, value: bool, chosen: &[bool]) -> i64 {
        let own = if value {
            self.own[place].max(0)
        } else {
            (-self.own[place]).max(0)
        };
        let pairs = self.back[place].iter().map(|&(earlier, weight)| {
            let equal = chosen[earlier] == value;
            if equal == (weight > 0) {
                0
            } else {
                weight.abs()
            }
        });
        own + pairs.sum::<i64>()
    }

    /// A first answer: each place the cheaper way in turn, so that bounds bite early.
    fn start(&mut self) {
        let mut chosen = Vec::with_capacity(self.order.len());
        let mut cost = 0;
        for place in 0..self.order.len() {
            let [no, yes] = [false, true].map(|value| self.step(place, value, &chosen));
            chosen.push(yes < no);
            cost += yes.min(no);
        }
        self.best = cost;
        self.best_values = chosen;
    }

    /// Recursion as deep as one part has choices left after merging.
    fn descend(&mut self, chosen: &mut Vec<bool>, cost: i64) {
        let place = chosen.len();
        if place == self.order.len() {
            if cost < self.best {
                self.best = cost;
                self.best_values.clone_from(chosen);
            }
            return;
        }
        let bound = cost + self.still_to_come(chosen);
        if bound >= self.best {
            return;
        }
        if self.looks >= LOOKS {
            self.given_up = Some(self.given_up.map_or(bound, |b| b.min(bound)));
            return;
        }
        self.looks += 1;
        let mut ways = [false, true].map(|value| (self.step(place, value, chosen), value));
        ways.sort_unstable();
        for (more, value) in ways {
            chosen.push(value);
            self.descend(chosen, cost + more);
            chosen.pop();
        }
    }

    /// What the places to come cost at least: each the cheaper way towards those chosen.
    fn still_to_come(&self, chosen: &[bool]) -> i64 {
        (chosen.len()..self.order.len())
            .map(|place| {
                let mut sums = [(-self.own[place]).max(0), self.own[place].max(0)];
                for &(earlier, weight) in &self.back[place] {
                    if let Some(&value) = chosen.get(earlier) {
                        // With a positive weight the other value than the chosen one costs.
                        let pays = usize::from(value != (weight > 0));
                        sums[pays] += weight.abs();
                    }
                }
                sums[0].min(sums[1])
            })
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small generator of our own, so that the cases are the same everywhere.
    struct Cases(u64);

    impl Cases {
        fn below(&mut self, n: u64) -> i64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            ((self.0 >> 33) % n) as i64
        }
    }

    #[test]
    fn the_answer_is_the_cheapest_of_all() {
        let mut cases = Cases(7);
        for _ in 0..400 {
            let n = 1 + cases.below(9) as usize;
            let problem = Problem {
                costs: (0..n).map(|_| [cases.below(6), cases.below(6)]).collect(),
                pairs: (0..cases.below(20))
                    .map(|_| {
                        let ends = (
                            cases.below(n as u64) as usize,
                            cases.below(n as u64) as usize,
                        );
                        (
                            ends.0,
                            ends.1,
                            ends.0 == ends.1 || cases.below(2) == 0,
                            cases.below(9),
                        )
                    })
                    .collect(),
            };
            let all = (0..1_u32 << n).map(|bits| {
                let values: Vec<bool> = (0..n).map(|i| bits >> i & 1 == 1).collect();
                problem.cost(&values)
            });
            let solution = problem.solve();
            assert_eq!(Some(solution.cost), all.min(), "{problem:?}");
            assert_eq!(solution.at_least, solution.cost);
        }
    }

    #[test]
    fn what_is_too_large_says_how_far_off_it_may_be() {
        let mut cases = Cases(11);
        let n = 70;
        let problem = Problem {
            costs: vec![[0, 0]; n],
            pairs: (0..n)
                .flat_map(|a| (0..a).map(move |b| (a, b)))
                .map(|(a, b)| (a, b, cases.below(2) == 0, 1 + cases.below(9)))
                .collect(),
        };
        let solution = problem.solve();
        assert!(solution.at_least < solution.cost, "no proof is claimed");
        assert!(solution.at_least >= 0);
    }
}
