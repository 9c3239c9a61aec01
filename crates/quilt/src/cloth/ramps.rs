//! Even runs of value along the arms of a block, matched round by round.
//!
//! ```text
//!              round 1   round 2   round 3   round 4
//!    marks       25        45        65        85        evenly from the ends
//!    arm 1    rust 24   rust 43   rust 66   rust 84
//!    arm 2    teal 26   teal 46   teal 61   teal 86
//! ```
//!
//! The rounds have marks in L\*, evenly spaced from the darkest to the palest. Of all ways
//! to lay the cloths there are, the one is taken that leaves the fewest places without a
//! cloth and, of those, comes nearest to the marks: the least sum of squares. One sum says
//! both what the eye asks of a ramp: an arm that runs evenly is near its marks, and arms
//! that match in a round are near the same mark. It is found exactly.
//!
//! **Kept to.** Along an arm every round is lighter than the one before by at least the
//! ramp's least step (a round that is left out counts as a step). No cloth is taken twice.
//! Cloth that is not sold any more, or that must be owned, is taken only where there is
//! enough of it, by area.
//!
//! **Units.** L\* from 0 to 100; areas in square inches.
//!
//! # Method
//!
//! Every arm from cloths of its own: the best sequence by dynamic programming over its
//! cloths from dark to light. All arms from the same cloths: the rounds take cloths in the
//! order of their L\* (to exchange two that are out of order never raises the sum of
//! squares), so one pass over all of them decides which go into which round; then cloths go
//! to the arms so that neighbours along an arm differ least in hue. That is a matching of
//! each round with the next, and because each may be permuted as it likes, the best of each
//! together are the best of all.

use crate::block::Block;
use crate::cloth::Values;
use crate::colour::{difference, hue_word, luminance, munsell, seen};
use crate::plan::{BlockPlan, ClothId, Outward, Plan, RampPlan};
use crate::results::Blocks;
use crate::setting::Top;

/// A cloth further than this from its mark is worth replacing, steps of L\*. Our choice:
/// half a step of the Munsell scale.
const OFF: f64 = 5.0;

/// Most arms whose cloths are matched exactly; more than a block has.
const MOST_ARMS: usize = 12;

/// What came of one ramp.
#[derive(Clone, PartialEq, Debug)]
pub struct Ramped {
    /// The mark of each round, from round 1 outward.
    pub marks: Vec<f64>,
    /// For each arm its rounds, from round 1 outward.
    pub arms: Vec<Vec<Slot>>,
    /// Sum of the squared distances from the marks.
    pub squares: f64,
    /// Why nothing could be laid at all, in words.
    pub trouble: Option<String>,
    /// Cloth to look for, where there is none or none near enough.
    pub look_for: Vec<Wanted>,
}

/// One round of one arm.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Slot {
    /// Index into the block's places.
    pub place: usize,
    /// The cloth that is best there.
    pub cloth: Option<ClothId>,
    /// How much cloth its patches take, with their seams.
    pub area: f64,
}

/// A cloth to look for.
#[derive(Clone, PartialEq, Debug)]
pub struct Wanted {
    /// Which arm, from 0.
    pub arm: usize,
    /// Which round, from 0.
    pub round: usize,
    /// Its L\*.
    pub mark: f64,
    /// Its family of colour, where the arm has one.
    pub family: Option<String>,
    /// The size its print may have, inches: what the arm's other prints have, and no more
    /// than half the patch, beyond which a print reads as plain.
    pub figures: f64,
    /// How far off the best there is lies, steps of L\*; `None` where there is none.
    pub off: Option<f64>,
}

impl Wanted {
    /// What to ask for in the shop: a colour, an L\*, a print of at most this size, and for
    /// which place.
    #[must_use]
    pub fn in_words(&self, plan: &Plan, ramp: &RampPlan) -> String {
        let munsell = munsell(luminance(self.mark));
        let family = self.family.as_deref().unwrap_or("plain");
        let vowel = family.starts_with(['a', 'e', 'i', 'o', 'u']);
        let article = if vowel { "an" } else { "a" };
        // To an eighth of an inch, and at least that.
        #[expect(clippy::cast_possible_truncation, reason = "a print is a few inches")]
        let eighths = ((self.figures * 8.0).floor() as i64).max(1);
        let arm = ramp.arms.get(self.arm).map_or("", String::as_str);
        let off = match self.off {
            Some(off) => format!(
                " (the best there is lies {:.0} steps too {})",
                off.abs(),
                if off > 0.0 { "light" } else { "dark" }
            ),
            None => String::new(),
        };
        format!(
            "{article} {family} cloth of L* {:.0} (Munsell value {munsell:.1}), its print no larger than about {}, for “{arm} round {}”{off}",
            self.mark,
            plan.measure.say(&geometry::Surd::ratio(eighths, 8)),
            self.round + 1,
        )
    }
}

impl Ramped {
    /// How far the cloths of each round lie apart: lightest less darkest, steps of L\*.
    #[must_use]
    pub fn apart(&self, values: &Values) -> Vec<f64> {
        let round = |round: usize| {
            let cloths = self.arms.iter().filter_map(|arm| arm.get(round)?.cloth);
            let light = cloths.map(|cloth| values.of[cloth.0].lightness);
            let high = light.clone().fold(f64::NEG_INFINITY, f64::max);
            let low = light.fold(f64::INFINITY, f64::min);
            (high - low).max(0.0)
        };
        (0..self.marks.len()).map(round).collect()
    }
}

/// Lays every ramp of the plan; one entry each.
#[must_use]
pub fn ramps(plan: &Plan, blocks: &Blocks, top: &Top) -> Vec<Ramped> {
    let all = plan.choosing.ramps.iter();
    all.map(|ramp| one(plan, blocks, top, ramp)).collect()
}

/// The places of an arm, from round 1 outward.
fn rounds(block: &BlockPlan, arm: &str) -> Vec<usize> {
    (1_u32..)
        .map_while(|round| {
            let name = format!("{arm} round {round}");
            block.places.iter().position(|place| place.name == name)
        })
        .collect()
}

fn one(plan: &Plan, blocks: &Blocks, top: &Top, ramp: &RampPlan) -> Ramped {
    let block_plan = plan.block(ramp.block);
    let places: Vec<Vec<usize>> = ramp
        .arms
        .iter()
        .map(|arm| rounds(block_plan, arm))
        .collect();
    let nothing = |trouble: String| Ramped {
        marks: Vec::new(),
        arms: Vec::new(),
        squares: 0.0,
        trouble: Some(trouble),
        look_for: Vec::new(),
    };
    let Some(block) = blocks.get(ramp.block.0).and_then(Option::as_deref) else {
        return nothing("The block cannot be drafted yet.".into());
    };
    let count = places.iter().map(Vec::len).min().unwrap_or(0);
    if count == 0 {
        let bare = places.iter().position(Vec::is_empty).unwrap_or(0);
        let arm = ramp.arms.get(bare).map_or("", String::as_str);
        return nothing(format!(
            "“{}” has no place called “{arm} round 1”.",
            block_plan.name
        ));
    }
    let areas = areas(block, top, ramp, &places);
    let lists: Vec<Vec<ClothId>> = ramp
        .from
        .iter()
        .map(|from| plan.cloths_from(from))
        .collect();
    if let Some(twice) = shared(&lists) {
        return nothing(format!(
            "“{}” stands in the lists of two arms. Give each arm its own cloths, or one list for all.",
            plan.cloth(twice).name
        ));
    }
    let mut laying = Laying::of(plan, ramp, &lists, &areas, count);
    let chosen = if lists.len() == 1 && places.len() > 1 {
        laying.together(plan, places.len())
    } else {
        laying.apart()
    };
    let outward = |round: usize| match ramp.outward {
        Outward::Paler => round,
        Outward::Deeper => count - 1 - round,
    };
    laying.marks = (0..count)
        .map(|round| laying.marks[outward(round)])
        .collect();
    let arms: Vec<Vec<Slot>> = (0..places.len())
        .map(|arm| {
            let slot = |round: usize| Slot {
                place: places[arm][round],
                cloth: chosen[arm][outward(round)],
                area: areas[arm][round],
            };
            (0..count).map(slot).collect()
        })
        .collect();
    let light = |cloth: ClothId| seen(plan.cloth(cloth))[0];
    let off = |slot: &Slot, round: usize| slot.cloth.map(|c| light(c) - laying.marks[round]);
    let squares = arms
        .iter()
        .flat_map(|arm| arm.iter().enumerate())
        .filter_map(|(round, slot)| off(slot, round))
        .map(|off| off * off)
        .sum();
    Ramped {
        look_for: look_for(plan, block, ramp, &laying.marks, &arms),
        marks: laying.marks,
        arms,
        squares,
        trouble: None,
    }
}

/// A cloth that stands in two lists.
fn shared(lists: &[Vec<ClothId>]) -> Option<ClothId> {
    let mut all: Vec<ClothId> = lists.iter().flatten().copied().collect();
    all.sort_unstable();
    all.windows(2)
        .find(|two| two[0] == two[1])
        .map(|two| two[0])
}

/// How much cloth each round of each arm takes.
fn areas(block: &Block, top: &Top, ramp: &RampPlan, places: &[Vec<usize>]) -> Vec<Vec<f64>> {
    let copies = top
        .blocks
        .iter()
        .filter(|placed| placed.block == ramp.block);
    let copies = f64::from(u32::try_from(copies.count()).unwrap_or(u32::MAX));
    let of_place = |place: usize| {
        let patches = block.patches.iter().filter(|p| p.place == Some(place));
        copies
            * patches
                .map(|p| area(&block.templates[p.template].cut))
                .sum::<f64>()
    };
    places
        .iter()
        .map(|arm| arm.iter().map(|&place| of_place(place)).collect())
        .collect()
}

fn area(ring: &[[f64; 2]]) -> f64 {
    let n = ring.len();
    let twice: f64 = (0..n)
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % n]);
            a[0] * b[1] - b[0] * a[1]
        })
        .sum();
    twice.abs() / 2.0
}

/// What there is of a cloth, square inches.
fn owned(plan: &Plan, cloth: ClothId) -> f64 {
    let cloth = plan.cloth(cloth);
    let pieces = cloth.supply.owned.iter().map(|owned| {
        let across = owned.across.as_ref().unwrap_or(&cloth.width);
        f64::from(owned.count) * across.to_f64() * owned.along.to_f64()
    });
    pieces.sum()
}

/// A cloth on its way into a ramp.
struct Candidate {
    cloth: ClothId,
    light: f64,
    /// Whether there is enough of it for each round, the darkest first.
    enough: Vec<bool>,
}

/// Places left without a cloth, then the sum of squares.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug)]
struct Cost(usize, f64);

impl Cost {
    const NEVER: Self = Self(usize::MAX, f64::INFINITY);

    fn and(self, left_out: usize, squares: f64) -> Self {
        Self(self.0.saturating_add(left_out), self.1 + squares)
    }

    fn is_better(self, than: Self) -> bool {
        self.0 < than.0 || self.0 == than.0 && self.1 < than.1 - 1e-9
    }
}

/// A cloth of a round: the round, which of the round's cloths it is, and the candidate.
type Pick = (usize, usize, usize);

struct Laying {
    /// One list for all arms, or one an arm; from dark to light.
    lists: Vec<Vec<Candidate>>,
    /// From the darkest round to the palest.
    marks: Vec<f64>,
    step: f64,
}

impl Laying {
    fn of(
        plan: &Plan,
        ramp: &RampPlan,
        lists: &[Vec<ClothId>],
        areas: &[Vec<f64>],
        count: usize,
    ) -> Self {
        let one_list = lists.len() == 1;
        let need = |list: usize, round: usize| {
            let round = match ramp.outward {
                Outward::Paler => round,
                Outward::Deeper => count - 1 - round,
            };
            let arms = areas.iter().enumerate();
            let meant = arms.filter(|(arm, _)| one_list || *arm == list);
            meant.map(|(_, arm)| arm[round]).fold(0.0, f64::max)
        };
        let lists: Vec<Vec<Candidate>> = lists
            .iter()
            .enumerate()
            .map(|(list, cloths)| {
                let mut row: Vec<Candidate> = cloths
                    .iter()
                    .map(|&cloth| {
                        let bought = plan.cloth(cloth).supply.sold && !ramp.owned;
                        let there = owned(plan, cloth);
                        let enough = |round| bought || there >= need(list, round) - 1e-9;
                        Candidate {
                            cloth,
                            light: seen(plan.cloth(cloth))[0],
                            enough: (0..count).map(enough).collect(),
                        }
                    })
                    .filter(|candidate| candidate.enough.contains(&true))
                    .collect();
                row.sort_by(|a, b| a.light.total_cmp(&b.light).then(a.cloth.cmp(&b.cloth)));
                row
            })
            .collect();
        let arms = areas.len();
        let ends = match &ramp.ends {
            Some((dark, pale)) => [dark.to_f64(), pale.to_f64()],
            None => ends(&lists, if one_list { arms } else { 1 }),
        };
        let last = f64::from(u32::try_from(count).unwrap_or(u32::MAX)) - 1.0;
        let mark = |round: u32| match last {
            0.0 => f64::midpoint(ends[0], ends[1]),
            last => ends[0] + (ends[1] - ends[0]) * f64::from(round) / last,
        };
        Self {
            lists,
            marks: (0..u32::try_from(count).unwrap_or(u32::MAX))
                .map(mark)
                .collect(),
            step: ramp.step.to_f64(),
        }
    }

    fn squares(&self, candidate: &Candidate, round: usize) -> f64 {
        (candidate.light - self.marks[round]).powi(2)
    }

    /// What must lie between two picks that are so many rounds apart.
    fn steps(&self, rounds: usize) -> f64 {
        let least = self.step * f64::from(u32::try_from(rounds).unwrap_or(u32::MAX));
        // Lighter at all, also where the least step is nought.
        (least - 1e-9).max(1e-9)
    }

    /// Every arm from its own list: for each arm its rounds from dark to light.
    fn apart(&self) -> Vec<Vec<Option<ClothId>>> {
        self.lists.iter().map(|row| self.arm(row)).collect()
    }

    /// The best sequence of one arm.
    fn arm(&self, row: &[Candidate]) -> Vec<Option<ClothId>> {
        let rounds = self.marks.len();
        // `best[round][i]`: the best up to here with candidate i in this round, and the
        // pick before it.
        let mut best = vec![vec![(Cost::NEVER, None); row.len()]; rounds];
        for round in 0..rounds {
            for (i, candidate) in row.iter().enumerate() {
                if !candidate.enough[round] {
                    continue;
                }
                let mut least = (Cost(round, 0.0), None);
                for (before, picks) in best[..round].iter().enumerate() {
                    let far = self.steps(round - before);
                    for (j, other) in row[..i].iter().enumerate() {
                        let cost = picks[j].0.and(round - before - 1, 0.0);
                        if candidate.light - other.light >= far && cost.is_better(least.0) {
                            least = (cost, Some((before, j)));
                        }
                    }
                }
                best[round][i] = (least.0.and(0, self.squares(candidate, round)), least.1);
            }
        }
        let mut least = (Cost(rounds, 0.0), None);
        for (round, picks) in best.iter().enumerate() {
            for (i, (cost, _)) in picks.iter().enumerate() {
                let cost = cost.and(rounds - round - 1, 0.0);
                if cost.is_better(least.0) {
                    least = (cost, Some((round, i)));
                }
            }
        }
        let mut chosen = vec![None; rounds];
        let mut at = least.1;
        while let Some((round, i)) = at {
            chosen[round] = Some(row[i].cloth);
            at = best[round][i].1;
        }
        chosen
    }

    /// All arms from one list: first which cloths go into which round, then to which arm.
    fn together(&self, plan: &Plan, arms: usize) -> Vec<Vec<Option<ClothId>>> {
        let chosen = self.rounds_of(arms);
        let mut laid: Vec<Vec<Option<ClothId>>> = vec![Vec::new(); arms];
        for round in chosen {
            let next: Vec<Option<ClothId>> = (0..arms).map(|i| round.get(i).copied()).collect();
            let before: Vec<Option<ClothId>> = laid
                .iter()
                .map(|arm| arm.last().copied().flatten())
                .collect();
            let first = laid.iter().all(Vec::is_empty);
            let order = if first {
                (0..arms).collect()
            } else {
                matched(plan, &before, &next)
            };
            for (arm, which) in order.into_iter().enumerate() {
                laid[arm].push(next[which]);
            }
        }
        laid
    }

    /// The cloths of each round, from dark to light.
    fn rounds_of(&self, arms: usize) -> Vec<Vec<ClothId>> {
        let row = self.lists.first().map_or(&[][..], Vec::as_slice);
        let rounds = self.marks.len();
        // `best[round][nth][i]`: candidate i is the nth cloth of the round; with the pick
        // before it as (round, nth, i).
        let none = (Cost::NEVER, None::<Pick>);
        let mut best = vec![vec![vec![none; row.len()]; arms]; rounds];
        for i in 0..row.len() {
            for round in 0..rounds {
                if !row[i].enough[round] {
                    continue;
                }
                for nth in 0..arms {
                    let mut least = (Cost::NEVER, None);
                    if nth == 0 {
                        least = (Cost(round * arms, 0.0), None);
                        for (before, of_round) in best[..round].iter().enumerate() {
                            let far = self.steps(round - before);
                            let between = (round - before - 1) * arms;
                            for (n, picks) in of_round.iter().enumerate() {
                                for (j, pick) in picks[..i].iter().enumerate() {
                                    let cost = pick.0.and(arms - n - 1 + between, 0.0);
                                    let fits = row[i].light - row[j].light >= far;
                                    if fits && cost.is_better(least.0) {
                                        least = (cost, Some((before, n, j)));
                                    }
                                }
                            }
                        }
                    } else {
                        for (j, pick) in best[round][nth - 1][..i].iter().enumerate() {
                            if pick.0.is_better(least.0) {
                                least = (pick.0, Some((round, nth - 1, j)));
                            }
                        }
                    }
                    if least.0 != Cost::NEVER {
                        let cost = least.0.and(0, self.squares(&row[i], round));
                        best[round][nth][i] = (cost, least.1);
                    }
                }
            }
        }
        let mut least = (Cost(rounds * arms, 0.0), None);
        for (round, of_round) in best.iter().enumerate() {
            for (nth, picks) in of_round.iter().enumerate() {
                for (i, (cost, _)) in picks.iter().enumerate() {
                    let left = (rounds - round - 1) * arms + arms - nth - 1;
                    let cost = cost.and(left, 0.0);
                    if cost.is_better(least.0) {
                        least = (cost, Some((round, nth, i)));
                    }
                }
            }
        }
        let mut chosen = vec![Vec::new(); rounds];
        let mut at = least.1;
        while let Some((round, nth, i)) = at {
            chosen[round].insert(0, row[i].cloth);
            at = best[round][nth][i].1;
        }
        chosen
    }
}

/// The ends of a ramp as the cloths have them: the mean of the darkest of each list (or of
/// so many darkest of one), and of the palest.
fn ends(lists: &[Vec<Candidate>], of_each: usize) -> [f64; 2] {
    let mean = |pick: fn(&[Candidate], usize) -> &[Candidate]| {
        let all: Vec<f64> = lists
            .iter()
            .flat_map(|row| pick(row, of_each.min(row.len())))
            .map(|candidate| candidate.light)
            .collect();
        match all.len() {
            0 => None,
            n => Some(all.iter().sum::<f64>() / f64::from(u32::try_from(n).unwrap_or(1))),
        }
    };
    let dark = mean(|row, n| &row[..n]);
    let pale = mean(|row, n| &row[row.len() - n..]);
    [dark.unwrap_or(20.0), pale.unwrap_or(85.0)]
}

/// For each arm which of the next round's cloths follows, so that hues along the arms differ
/// least in all.
fn matched(plan: &Plan, before: &[Option<ClothId>], next: &[Option<ClothId>]) -> Vec<usize> {
    let hue = |cloth: ClothId| {
        let [_, a, b] = seen(plan.cloth(cloth));
        [50.0, a, b]
    };
    let cost = |a: &Option<ClothId>, b: &Option<ClothId>| match (a, b) {
        (Some(a), Some(b)) => difference(hue(*a), hue(*b)),
        _ => 0.0,
    };
    let costs: Vec<Vec<f64>> = before
        .iter()
        .map(|a| next.iter().map(|b| cost(a, b)).collect())
        .collect();
    paired(&costs)
}

/// Which column goes to each row, each to one: the least sum over all ways to pair them, by
/// dynamic programming over the sets of columns taken.
fn paired(costs: &[Vec<f64>]) -> Vec<usize> {
    let n = costs.len();
    if n > MOST_ARMS {
        return (0..n).collect();
    }
    let mut best = vec![(f64::INFINITY, 0); 1 << n];
    best[0] = (0.0, 0);
    for set in 0_usize..1 << n {
        let row = set.count_ones() as usize;
        if row == n || best[set].0.is_infinite() {
            continue;
        }
        for which in (0..n).filter(|which| set >> which & 1 == 0) {
            let sum = best[set].0 + costs[row][which];
            let with = &mut best[set | 1 << which];
            if sum < with.0 - 1e-9 {
                *with = (sum, which);
            }
        }
    }
    let mut order = vec![0; n];
    let mut set = (1 << n) - 1;
    for row in (0..n).rev() {
        order[row] = best[set].1;
        set &= !(1 << order[row]);
    }
    order
}

/// What to look for where no cloth is, or none near its mark.
fn look_for(
    plan: &Plan,
    block: &Block,
    ramp: &RampPlan,
    marks: &[f64],
    arms: &[Vec<Slot>],
) -> Vec<Wanted> {
    let mut found = Vec::new();
    for (arm, slots) in arms.iter().enumerate() {
        let from = ramp.from.get(arm).or(ramp.from.first());
        let mut meant: Vec<ClothId> = slots.iter().filter_map(|slot| slot.cloth).collect();
        if meant.is_empty() {
            meant = from.map(|from| plan.cloths_from(from)).unwrap_or_default();
        }
        for (round, slot) in slots.iter().enumerate() {
            let off = slot.cloth.map(|c| seen(plan.cloth(c))[0] - marks[round]);
            if off.is_some_and(|off| off.abs() <= OFF) {
                continue;
            }
            found.push(Wanted {
                arm,
                round,
                mark: marks[round],
                family: family(plan, &meant),
                figures: figures(plan, block, slot.place, &meant),
                off,
            });
        }
    }
    found
}

/// The word for the mean hue of some cloths.
fn family(plan: &Plan, cloths: &[ClothId]) -> Option<String> {
    let mut sum = [0.0; 3];
    for &cloth in cloths {
        let lab = seen(plan.cloth(cloth));
        sum = [0, 1, 2].map(|i| sum[i] + lab[i]);
    }
    let count = f64::from(u32::try_from(cloths.len()).ok().filter(|&n| n > 0)?);
    Some(hue_word(sum.map(|part| part / count)).to_owned())
}

/// The middle size of the prints of some cloths, and no more than half a patch.
fn figures(plan: &Plan, block: &Block, place: usize, cloths: &[ClothId]) -> f64 {
    let mut sizes: Vec<f64> = cloths
        .iter()
        .map(|&cloth| plan.cloth(cloth).figure_size().to_f64())
        .collect();
    sizes.sort_by(f64::total_cmp);
    let usual = sizes.get(sizes.len() / 2).copied().unwrap_or(1.0);
    let patches = block.patches.iter().filter(|p| p.place == Some(place));
    let across = patches.map(|p| super::prints::narrowest(&p.outline));
    let half = across.fold(f64::INFINITY, f64::min) / 2.0;
    usual.min(half)
}

#[cfg(test)]
mod tests;
