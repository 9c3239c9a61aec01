//! Ramps against every way to lay small numbers of cloths.

use super::*;

fn row(light: &[f64], enough: &[&[bool]], rounds: usize) -> Vec<Candidate> {
    let mut row: Vec<Candidate> = light
        .iter()
        .enumerate()
        .map(|(i, &light)| Candidate {
            cloth: ClothId(i),
            light,
            enough: enough.get(i).map_or(vec![true; rounds], |e| e.to_vec()),
        })
        .collect();
    row.sort_by(|a, b| a.light.total_cmp(&b.light));
    row
}

fn numbers(seed: u64, count: usize) -> Vec<f64> {
    let mut state = (seed + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    (0..count)
        .map(|_| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state % 90) as f64 + 5.0
        })
        .collect()
}

/// Every way to lay cloths (or none) into the places, round by round.
fn tried(
    laying: &Laying,
    row: &[Candidate],
    arms: usize,
    laid: &mut Vec<Option<usize>>,
    best: &mut Cost,
) {
    let rounds = laying.marks.len();
    if laid.len() == arms * rounds {
        let light = |round: usize| {
            let of = laid[round * arms..(round + 1) * arms].iter().flatten();
            of.map(|&i| row[i].light).collect::<Vec<_>>()
        };
        for one in 0..rounds {
            for other in one + 1..rounds {
                let far = laying.steps(other - one);
                let (one, other) = (light(one), light(other));
                if one.iter().any(|a| other.iter().any(|b| b - a < far)) {
                    return;
                }
            }
        }
        let mut cost = Cost(0, 0.0);
        for (spot, pick) in laid.iter().enumerate() {
            cost = match pick {
                None => cost.and(1, 0.0),
                Some(i) => cost.and(0, laying.squares(&row[*i], spot / arms)),
            };
        }
        if cost.is_better(*best) {
            *best = cost;
        }
        return;
    }
    let round = laid.len() / arms;
    for pick in std::iter::once(None).chain((0..row.len()).map(Some)) {
        let free = pick.is_none_or(|i: usize| row[i].enough[round] && !laid.contains(&Some(i)));
        if free {
            laid.push(pick);
            tried(laying, row, arms, laid, best);
            laid.pop();
        }
    }
}

fn cost_of(laying: &Laying, row: &[Candidate], rounds: &[Vec<ClothId>], arms: usize) -> Cost {
    let mut cost = Cost(0, 0.0);
    for (round, cloths) in rounds.iter().enumerate() {
        cost = cost.and(arms - cloths.len(), 0.0);
        for cloth in cloths {
            let candidate = row.iter().find(|c| c.cloth == *cloth).unwrap();
            assert!(candidate.enough[round], "not enough of it");
            cost = cost.and(0, laying.squares(candidate, round));
        }
    }
    cost
}

#[test]
fn one_arm_is_the_best_of_all_sequences() {
    for seed in 0..300 {
        let rounds = 2 + (seed % 3) as usize;
        let light = numbers(seed, 4 + (seed % 4) as usize);
        let scarce: [&[bool]; 2] = [&[true, false, false, false], &[false, true, true, true]];
        let enough = if seed % 4 == 0 { &scarce[..] } else { &[] };
        let laying = Laying {
            lists: Vec::new(),
            marks: (0..rounds).map(|r| 20.0 + 20.0 * r as f64).collect(),
            step: [0.0, 5.0, 15.0][(seed % 3) as usize],
        };
        let row = row(&light, enough, 4);
        let found = laying.arm(&row);
        let found: Vec<Vec<ClothId>> = found.iter().map(|c| c.iter().copied().collect()).collect();
        let mut best = Cost::NEVER;
        tried(&laying, &row, 1, &mut Vec::new(), &mut best);
        let cost = cost_of(&laying, &row, &found, 1);
        assert!(
            cost.0 == best.0 && (cost.1 - best.1).abs() < 1e-6,
            "{seed}: {cost:?} {best:?}"
        );
    }
}

#[test]
fn arms_from_one_list_are_the_best_of_all_ways() {
    for seed in 0..48 {
        let (arms, rounds) = [(2, 2), (2, 3), (3, 2)][(seed % 3) as usize];
        let light = numbers(seed, 5 + (seed % 2) as usize);
        let scarce: [&[bool]; 1] = [&[false, true, false]];
        let enough = if seed % 2 == 0 { &scarce[..] } else { &[] };
        let row_of = || row(&light, enough, 3);
        let laying = Laying {
            lists: vec![row_of()],
            marks: (0..rounds).map(|r| 25.0 + 25.0 * r as f64).collect(),
            step: [0.0, 6.0, 14.0][(seed / 3 % 3) as usize],
        };
        let row = row_of();
        let found = laying.rounds_of(arms);
        let mut best = Cost::NEVER;
        tried(&laying, &row, arms, &mut Vec::new(), &mut best);
        let cost = cost_of(&laying, &row, &found, arms);
        assert!(
            cost.0 == best.0 && (cost.1 - best.1).abs() < 1e-6,
            "{seed}: {cost:?} {best:?}"
        );
    }
}

/// The least sum over every way to pair, one row after another.
fn least(costs: &[Vec<f64>], row: usize, taken: &mut Vec<usize>) -> f64 {
    if row == costs.len() {
        return 0.0;
    }
    let mut best = f64::INFINITY;
    for which in 0..costs.len() {
        if !taken.contains(&which) {
            taken.push(which);
            best = best.min(costs[row][which] + least(costs, row + 1, taken));
            taken.pop();
        }
    }
    best
}

#[test]
fn arms_are_paired_with_the_next_round_as_well_as_can_be() {
    for seed in 0..200 {
        let n = 1 + usize::try_from(seed % 6).unwrap();
        let costs: Vec<Vec<f64>> = numbers(seed, n * n)
            .chunks(n)
            .map(<[f64]>::to_vec)
            .collect();
        let order = paired(&costs);
        let mut once = order.clone();
        once.sort_unstable();
        assert_eq!(once, (0..n).collect::<Vec<_>>());
        let sum: f64 = order
            .iter()
            .enumerate()
            .map(|(row, &w)| costs[row][w])
            .sum();
        assert!(
            (sum - least(&costs, 0, &mut Vec::new())).abs() < 1e-9,
            "seed {seed}"
        );
    }
}
