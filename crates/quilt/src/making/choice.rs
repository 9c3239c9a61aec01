//! Which way each batch of units is made.
//!
//! - *Truest grain*: singly.
//! - *Least work*: for each batch the way with the fewest cuts, lines and seams together;
//!   of equals the one that takes less cloth, and rather not singly.
//! - *Least cloth*: the ways are compared by laying the cloths out. What counts, in this
//!   order: cloth bought, batches left with bias outside, cloth used, work. All
//!   combinations are laid out when there are few ([`FEW`]); else one batch after another
//!   is tried, those that take most cloth first, until nothing gets better or
//!   [`MOST_LAYOUTS`] layouts have been tried. The trials are laid by plain rules; the best
//!   of them, the way of the least work and singly are then laid with care, and the best
//!   of the three is taken. So it never takes more than either.
//!
//! A way that turns the grain is taken only if the maker has settled on it; one that leaves
//! bias outside only then, or where it buys less cloth.
//!
//! **Units.** Cloth is compared in square inches, exact.

use std::collections::BTreeMap;
use std::sync::Arc;

use geometry::Surd;

use super::batches::{self, Wanted};
use super::units::Shape;
use super::{Batch, Compared, Grain, Making, Recipe, recipes};
use crate::cutting::{self, ClothCutting, Cutter, Instead};
use crate::finishing::Finishing;
use crate::plan::{ClothId, Plan, Way, Wish};
use crate::results::Blocks;
use crate::setting::Top;
use crate::sewing::Sewing;

/// So many combinations of ways are all laid out.
const FEW: usize = 64;

/// So many layouts of single cloths are tried at most when there are more combinations.
const MOST_LAYOUTS: usize = 400;

/// Chooses a way for every unit that has several, and cuts the cloth accordingly.
#[must_use]
pub fn work_out(
    plan: &Plan,
    blocks: &Blocks,
    top: &Top,
    sewing: &Sewing,
    finishing: &Finishing,
) -> Making {
    let wanted = batches::wanted(plan, blocks, top, sewing);
    let mut chooser = Chooser {
        plan,
        cutter: Cutter::new(plan, blocks, top, finishing),
        wanted: &wanted,
        offered: Vec::new(),
        laid: BTreeMap::new(),
        trials: 0,
    };
    let mut refused = Vec::new();
    for wanted in &wanted {
        let block = blocks.get(wanted.block.0).and_then(Option::as_ref);
        let (ways, without) =
            block.map_or_else(Default::default, |block| recipes::ways(plan, block, wanted));
        chooser.offered.push(ways);
        refused.push(without);
    }
    let (chosen, compared) = chooser.choose();
    let singly = vec![0; wanted.len()];
    let cut = |ways: &[usize]| {
        let instead = chooser.all_instead(ways);
        cutting::work_out_with(plan, blocks, (top, finishing), &instead)
    };
    let cutting = cut(&chosen);
    let before = if chosen == singly {
        Vec::new()
    } else {
        let cut = cut(&singly);
        cut.into_iter().map(|cut| (cut.cloth, cut.buy)).collect()
    };
    let instead = chooser.all_instead(&chosen);
    let offered = std::mem::take(&mut chooser.offered);
    let parts = wanted.into_iter().zip(offered).zip(refused).zip(chosen);
    Making {
        batches: parts
            .map(|(((wanted, ways), refused), chosen)| Batch {
                block: wanted.block,
                step: wanted.step,
                templates: wanted.templates(),
                inside: wanted.inside,
                kind: wanted.known.shape.kind(),
                size: wanted.known.shape.size(),
                cloths: wanted.cloths,
                needed: wanted.needed,
                ways,
                refused,
                chosen,
            })
            .collect(),
        compared,
        singly: before,
        instead,
        cutting: Arc::new(cutting),
    }
}

impl Shape {
    fn size(&self) -> [Surd; 2] {
        match self {
            Self::HalfSquare { side, .. } | Self::Hourglass { side, .. } => {
                [side.clone(), side.clone()]
            }
            Self::Geese { height, .. } => [height.clone(), height.times(2)],
            Self::Row { height, parts } => {
                let long = parts.iter().map(|(_, width)| width.clone()).sum();
                [height.clone(), long]
            }
            Self::Corners { size, .. } => size.clone(),
        }
    }
}

/// What a choice costs, in the order in which it counts: cloth bought and batches with bias
/// outside, then cloth used and work.
type Cost = (Surd, usize, Surd, u32);

/// For each batch that touches a cloth, the way it is made; and how carefully it is laid.
type Layout = (ClothId, Vec<(usize, usize)>, bool);

struct Chooser<'a> {
    plan: &'a Plan,
    cutter: Cutter<'a>,
    wanted: &'a [Wanted],
    offered: Vec<Vec<Recipe>>,
    /// Layouts already made.
    laid: BTreeMap<Layout, ClothCutting>,
    trials: usize,
}

impl Chooser<'_> {
    /// The way of each batch.
    fn choose(&mut self) -> (Vec<usize>, Compared) {
        let singly: Vec<usize> = self.settled(&vec![0; self.wanted.len()]);
        match self.plan.making.wish {
            Wish::TruestGrain => (singly, Compared::No),
            Wish::LeastWork => (self.least_work(), Compared::No),
            Wish::LeastCloth => {
                let open = self.open();
                let combinations = open
                    .iter()
                    .try_fold(1_usize, |all, (_, ways)| all.checked_mul(ways.len()));
                let few = combinations.is_some_and(|all| all <= FEW);
                let (found, compared) = if few {
                    (self.of_all(&open, &singly), Compared::All)
                } else {
                    (self.one_by_one(&open, &singly), Compared::OneByOne)
                };
                let work = self.least_work();
                let candidates = [found, work, singly];
                let best = candidates
                    .into_iter()
                    .min_by_key(|ways| self.cost(ways, true));
                (best.unwrap_or_default(), compared)
            }
        }
    }

    /// A choice with what the maker has settled put in; what is not offered is made singly.
    fn settled(&self, ways: &[usize]) -> Vec<usize> {
        let batches = self.wanted.iter().zip(&self.offered).zip(ways);
        batches
            .map(|((wanted, offered), &way)| {
                match self.plan.making.settled_for(wanted.known.shape.kind()) {
                    Some(settled) => position(offered, settled).unwrap_or(0),
                    None => way,
                }
            })
            .collect()
    }

    fn least_work(&self) -> Vec<usize> {
        let least = |offered: &Vec<Recipe>| {
            let ways = offered.iter().enumerate();
            let ways = ways.filter(|(_, recipe)| recipe.grain == Grain::AsPlanned);
            let least = ways.min_by(|(_, a), (_, b)| {
                let work = a.work.all().cmp(&b.work.all());
                let area = a.area.total_cmp(&b.area);
                // Of equals rather the one that leaves no loose triangle to stretch.
                let loose = |recipe: &Recipe| recipe.way == Way::Singly;
                work.then(area).then(loose(a).cmp(&loose(b)))
            });
            least.map_or(0, |(index, _)| index)
        };
        let ways: Vec<usize> = self.offered.iter().map(least).collect();
        self.settled(&ways)
    }

    /// Batches with more than one way to choose from, those that take most cloth first.
    fn open(&self) -> Vec<(usize, Vec<usize>)> {
        let mut open: Vec<(usize, Vec<usize>)> = Vec::new();
        for (index, wanted) in self.wanted.iter().enumerate() {
            let kind = wanted.known.shape.kind();
            let ways = self.offered[index].iter().enumerate();
            let ways = ways.filter(|(_, recipe)| recipe.grain != Grain::Turned);
            let ways: Vec<usize> = ways.map(|(way, _)| way).collect();
            if self.plan.making.settled_for(kind).is_none() && ways.len() > 1 {
                open.push((index, ways));
            }
        }
        let area = |index: usize| self.offered[index][0].area;
        open.sort_by(|(a, _), (b, _)| area(*b).total_cmp(&area(*a)).then(a.cmp(b)));
        open
    }

    /// The best of all combinations.
    fn of_all(&mut self, open: &[(usize, Vec<usize>)], start: &[usize]) -> Vec<usize> {
        let mut all = vec![start.to_vec()];
        for (batch, ways) in open {
            let with = |choice: &Vec<usize>, way: usize| {
                let mut choice = choice.clone();
                choice[*batch] = way;
                choice
            };
            all = all
                .iter()
                .flat_map(|choice| ways.iter().map(move |&way| with(choice, way)))
                .collect();
        }
        let best = all
            .into_iter()
            .min_by_key(|choice| self.cost(choice, false));
        best.unwrap_or_else(|| start.to_vec())
    }

    /// One batch after another in every way, as long as that helps.
    fn one_by_one(&mut self, open: &[(usize, Vec<usize>)], start: &[usize]) -> Vec<usize> {
        let mut best = start.to_vec();
        let mut least = self.cost(&best, false);
        loop {
            let before = best.clone();
            for (batch, ways) in open {
                for &way in ways {
                    if self.trials >= MOST_LAYOUTS {
                        return best;
                    }
                    let mut trial = best.clone();
                    trial[*batch] = way;
                    let cost = self.cost(&trial, false);
                    if cost < least {
                        (best, least) = (trial, cost);
                    }
                }
            }
            if best == before {
                return best;
            }
        }
    }

    fn cost(&mut self, ways: &[usize], thorough: bool) -> Cost {
        let cloths: Vec<ClothId> = self.cutter.cloths().collect();
        let (mut bought, mut used) = (Surd::ZERO, Surd::ZERO);
        for cloth in cloths {
            let width = self.plan.cloth(cloth).width.clone();
            let cut = self.layout(cloth, ways, thorough);
            let (buy, needs) = (cut.buy.clone(), cut.needs);
            bought += buy * &width;
            used += self.plan.ruler.length(needs) * &width;
        }
        let recipes = ways.iter().zip(&self.offered).map(|(&way, all)| &all[way]);
        let bias = recipes.clone().filter(|r| r.grain != Grain::AsPlanned);
        let work = recipes.clone().map(|recipe| recipe.work.all()).sum();
        (bought, bias.count(), used, work)
    }

    /// One cloth laid out for a choice.
    fn layout(&mut self, cloth: ClothId, ways: &[usize], thorough: bool) -> &ClothCutting {
        let layout = (cloth, self.relevant(cloth, ways), thorough);
        if !self.laid.contains_key(&layout) {
            self.trials += 1;
            let instead = self.instead(cloth, &layout.1);
            let cut = self.cutter.cut(cloth, instead.as_ref(), thorough);
            self.laid.insert(layout.clone(), cut);
        }
        self.laid
            .get(&layout)
            .expect("it has just been put in if it was not there")
    }

    /// What is cut from a cloth in the place of what, for these batches in these ways.
    fn instead(&self, cloth: ClothId, ways: &[(usize, usize)]) -> Option<Instead> {
        let mut instead = Instead::default();
        for &(batch, way) in ways {
            for (&(of, same), &count) in &self.wanted[batch].patches {
                if of == cloth {
                    *instead.without.entry(same).or_default() += count;
                }
            }
            let takes = self.offered[batch][way].takes.iter();
            let here = takes.filter(|(of, _)| *of == cloth);
            instead.with.extend(here.map(|(_, take)| take.clone()));
        }
        (!ways.is_empty()).then_some(instead)
    }

    /// For every cloth what is cut in the place of what.
    fn all_instead(&self, ways: &[usize]) -> BTreeMap<ClothId, Instead> {
        let cloths = self.cutter.cloths();
        let pairs = cloths.filter_map(|cloth| {
            let touching = self.relevant(cloth, ways);
            Some((cloth, self.instead(cloth, &touching)?))
        });
        pairs.collect()
    }

    /// The batches that touch a cloth and are not made singly, with their ways.
    fn relevant(&self, cloth: ClothId, ways: &[usize]) -> Vec<(usize, usize)> {
        let touching = self.wanted.iter().enumerate();
        let touching = touching.filter(|(_, wanted)| wanted.cloths.contains(&cloth));
        touching
            .map(|(index, _)| (index, ways[index]))
            .filter(|(_, way)| *way != 0)
            .collect()
    }
}

fn position(offered: &[Recipe], way: Way) -> Option<usize> {
    offered.iter().position(|recipe| recipe.way == way)
}
