//! From which cloth is everything cut: what is owned, what lies beside strips cut along the
//! selvage, and what must be bought?
//!
//! Cloth without either is the plain case: strips across, as short as can be (`packing`,
//! `search`, `polish`). Otherwise every arrangement of the lengthwise strips (`panels`) is
//! a candidate; what lies beside them and what is owned is cloth that need not be bought
//! (`stock`); the rest is the plain case again. Candidates are looked at in the order of
//! what they need at least, until none left can be better.
//!
//! **Units.** Marks. **Always holds.** The same task gives the same answer, whoever works it
//! out and when: so equal tasks are worked out once, and different ones side by side.

use geometry::Surd;

use super::bounds::{self, Bound};
use super::packing::{self, Cutstrip, Item, Room};
use super::panels::{self, Lengthwise, Offcut, Panel};
use super::stock::{self, Filled, Scrap};
use super::{plainer, polish, search};
use crate::measure::Ruler;
use crate::plan::Buying;

/// So many candidates are worked through; of the others only what they need at least
/// is known.
const CANDIDATES: usize = 24;

/// So many owned pieces at most are tried to be left whole.
const SPARED: usize = 6;

/// What is cut from one cloth and what there is of it.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// What is packed in strips; ways reach as far as the widest cloth there is.
    pub(super) items: Vec<Item>,
    /// Strips along the selvage.
    pub(super) lengthwise: Vec<Lengthwise>,
    /// Usable width of the cloth that is bought.
    pub(super) across: i64,
    /// What is owned.
    pub(super) owned: Vec<Scrap>,
    /// Whether the cloth may lie any way up.
    pub(super) free: bool,
    /// Whether to search for less than plain rules find.
    pub(super) thorough: bool,
    /// How it is bought, if plans that buy the same are looked for.
    pub(super) sale: Option<Sale>,
}

/// How a cloth is bought.
#[derive(Clone, Debug)]
pub(super) struct Sale {
    pub(super) buying: Buying,
    pub(super) ruler: Ruler,
    /// Bought besides for pieces centred on motifs.
    pub(super) band: i64,
}

impl Sale {
    /// The length to buy for so many marks of cloth, inches: squared, shrunk, with the
    /// spare, rounded up to the step.
    pub(super) fn to_buy(buying: &Buying, ruler: &Ruler, needs: i64) -> Surd {
        if needs == 0 {
            return Surd::ZERO;
        }
        let washed = (ruler.length(needs) + &buying.squaring) * (Surd::ONE + &buying.shrinkage)
            + &buying.spare;
        let steps = washed.checked_div(&buying.step).map(|steps| steps.ceil());
        steps.map_or(washed, |steps| buying.step.times(steps))
    }

    /// The most that can be used of what is bought for so much.
    fn most(&self, needs: i64) -> i64 {
        let (buying, ruler) = (&self.buying, &self.ruler);
        let bought = Self::to_buy(buying, ruler, needs + self.band) - &buying.spare;
        let dry = bought.checked_div(&(Surd::ONE + &buying.shrinkage));
        let most = dry.map_or(0, |dry| ruler.down(&(dry - &buying.squaring)));
        (most - self.band).max(needs)
    }
}

/// A way of packing without its looks.
type Plainly = (i64, Vec<i64>, i64, bool);

/// What makes two tasks equal.
pub(super) type Alike = (
    Vec<(Vec<Plainly>, u32, bool, bool)>,
    Vec<Lengthwise>,
    (i64, Vec<Scrap>, bool, bool, Option<i64>),
);

/// A task done.
#[derive(Clone, Debug)]
pub(super) struct Done {
    /// Lengthwise strips, panel after panel.
    pub(super) panels: Vec<Panel>,
    /// The owned piece the panels are cut from; otherwise they are bought.
    pub(super) host: Option<usize>,
    /// What is left in the panels: strips that lie there say which by
    /// [`Cutstrip::rest`].
    pub(super) offcuts: Vec<Offcut>,
    /// Owned pieces cut into strips; [`Filled::scrap`] is the index of the owned piece.
    pub(super) filled: Vec<Filled>,
    /// Strips of bought cloth and in the offcuts.
    pub(super) strips: Vec<Cutstrip>,
    /// Length that is bought.
    pub(super) needs: i64,
    /// What must be bought at least.
    pub(super) bound: Bound,
    /// Other plans of strips across that buy the same, perhaps with less work.
    pub(super) others: Vec<Vec<Cutstrip>>,
}

impl Task {
    /// Equal for tasks that have the same answer.
    pub(super) fn alike(&self) -> Alike {
        let items = self.items.iter().map(|item| {
            let ways = item.ways.iter();
            let ways = ways.map(|w| (w.height, w.reach.clone(), w.advance, w.single()));
            (ways.collect(), item.count, item.first, item.divisible)
        });
        let band = self.sale.as_ref().map(|sale| sale.band);
        let cloth = (
            self.across,
            self.owned.clone(),
            self.free,
            self.thorough,
            band,
        );
        (items.collect(), self.lengthwise.clone(), cloth)
    }

    /// Does it.
    pub(super) fn done(&self) -> Done {
        let items = self.truncated();
        if self.lengthwise.is_empty() && self.owned.is_empty() {
            let bound = bounds::least(&items, &[], self.across);
            let (strips, bound) = self.bought(&items, bound);
            let others = self.plainer(&items, &strips);
            return Done {
                others,
                panels: Vec::new(),
                host: None,
                offcuts: Vec::new(),
                filled: Vec::new(),
                needs: packing::length(&strips),
                strips,
                bound,
            };
        }
        let mut candidates = self.candidates();
        candidates.sort_by_key(|candidate| (candidate.floor, candidate.length()));
        let mut best: Option<Done> = None;
        let mut least = i64::MAX;
        for (place, candidate) in candidates.iter().enumerate() {
            let known = best.as_ref().map_or(i64::MAX, |done| done.needs);
            if candidate.floor >= known || place >= CANDIDATES {
                // Sorted: none of the others needs less at least.
                least = least.min(candidate.floor);
                break;
            }
            let (done, floor) = self.with(candidate, &items, known);
            least = least.min(floor);
            best = done.or(best);
        }
        let mut done = best.unwrap_or_else(Self::nothing);
        if done.needs == 0 && !done.filled.is_empty() {
            done = self.sparing(done, &items);
        }
        if least < done.needs && !self.owned.is_empty() {
            // Not proved: then at least no more is bought than without what is owned.
            let without = Self {
                owned: Vec::new(),
                ..self.clone()
            };
            let without = without.done();
            if without.needs < done.needs {
                done = without;
            }
        }
        done.bound = self.bound(&items, least, done.needs);
        done
    }

    /// Enough is owned: of the pieces that are touched, the largest that can be are left whole.
    fn sparing(&self, mut done: Done, items: &[Item]) -> Done {
        let mut left = self.clone();
        let mut order: Vec<usize> = done.filled.iter().map(|filled| filled.scrap).collect();
        let size = |index: usize| self.owned[index].across * self.owned[index].along;
        order.sort_by_key(|&index| (-size(index), index));
        for index in order.into_iter().take(SPARED) {
            if left.owned[index].many == 0 {
                continue;
            }
            left.owned[index].many -= 1;
            let mut candidates = left.candidates();
            candidates.retain(|candidate| candidate.length() == 0 && candidate.floor == 0);
            let tried = candidates
                .iter()
                .take(1)
                .find_map(|c| left.with(c, items, 1).0);
            let touched = |done: &Done| -> i64 {
                let host = done.host.map_or(0, size);
                done.filled
                    .iter()
                    .map(|filled| size(filled.scrap))
                    .sum::<i64>()
                    + host
            };
            match tried.filter(|tried| touched(tried) < touched(&done)) {
                Some(less) => done = less,
                None => left.owned[index].many += 1,
            }
        }
        done
    }

    /// The items with runs no longer than the bought cloth is wide.
    fn truncated(&self) -> Vec<Item> {
        let mut items = self.items.clone();
        for way in items.iter_mut().flat_map(|item| &mut item.ways) {
            let most = way.reach.partition_point(|&reach| reach <= self.across);
            way.reach.truncate(most);
        }
        items
    }

    /// What must be bought at least, `least` being that over all candidates.
    fn bound(&self, items: &[Item], least: i64, needs: i64) -> Bound {
        let sizes: Vec<(i64, i64)> = self
            .lengthwise
            .iter()
            .map(|s| (s.width, s.length))
            .collect();
        let plain = bounds::least(items, &sizes, self.across);
        let mut bound = Bound {
            least: least.min(needs),
            why: "what the best filled strips can hold",
        };
        if self.owned.is_empty() {
            if plain.least >= bound.least {
                bound = plain;
            }
        } else if !self.lengthwise.is_empty() {
            // Some lengthwise strips could come from what is owned and others not: only
            // areas tell of that.
            let strips: i64 = sizes.iter().map(|(width, length)| width * length).sum();
            bound = Bound {
                least: bound.least.min(self.area_floor(items, strips, &self.owned)),
                why: "the area of the pieces, less that of the cloth there is",
            };
        }
        bound.least = bound.least.min(needs);
        bound
    }

    /// Nothing to cut.
    fn nothing() -> Done {
        Done {
            panels: Vec::new(),
            host: None,
            offcuts: Vec::new(),
            filled: Vec::new(),
            strips: Vec::new(),
            needs: 0,
            others: Vec::new(),
            bound: Bound {
                least: 0,
                why: "nothing is cut",
            },
        }
    }

    /// Every arrangement of the lengthwise strips, on bought cloth or on one owned piece.
    fn candidates(&self) -> Vec<Candidate> {
        let items = &self.items;
        let (all, whole) = panels::arrangements(&self.lengthwise, self.across);
        let mut found: Vec<Candidate> = Vec::new();
        for panels in all {
            let mut candidate = Candidate {
                panels,
                host: None,
                offcuts: Vec::new(),
                floor: 0,
            };
            candidate.offcuts = candidate.left(self.across, None);
            let scraps: Vec<Scrap> = candidate.scraps(&self.owned);
            let length = candidate.length();
            candidate.floor = length + self.area_floor(items, 0, &scraps);
            if !whole {
                // Some arrangement was not looked at.
                let strips = self.lengthwise.iter().map(|s| s.width * s.length).sum();
                candidate.floor = candidate
                    .floor
                    .min(self.area_floor(items, strips, &self.owned));
            }
            found.push(candidate);
        }
        if self.lengthwise.is_empty() {
            return found;
        }
        for (index, piece) in self.owned.iter().enumerate() {
            let (all, _) = panels::arrangements(&self.lengthwise, piece.across);
            let fits =
                |panels: &Vec<Panel>| panels.iter().map(|p| p.length).sum::<i64>() <= piece.along;
            if let Some(panels) = all.into_iter().find(fits).filter(|_| piece.many > 0) {
                let mut candidate = Candidate {
                    panels,
                    host: Some(index),
                    offcuts: Vec::new(),
                    floor: 0,
                };
                candidate.offcuts = candidate.left(piece.across, Some(piece.along));
                candidate.floor = self.area_floor(items, 0, &candidate.scraps(&self.owned));
                found.push(candidate);
            }
        }
        found
    }

    /// By area: what must be bought for the items and `more` beyond what the scraps hold.
    fn area_floor(&self, items: &[Item], more: i64, scraps: &[Scrap]) -> i64 {
        let wanted: i64 = items.iter().map(Item::least_area).sum::<i64>() + more;
        let there: i64 = scraps
            .iter()
            .map(|s| s.across * s.along * s.many as i64)
            .sum();
        let across = self.across.max(1);
        let short = (wanted - there).max(0);
        short.div_euclid(across) + i64::from(short.rem_euclid(across) > 0)
    }

    /// A candidate worked through: the plan if it is better than `known`, and what it
    /// needs at least.
    fn with(&self, candidate: &Candidate, items: &[Item], known: i64) -> (Option<Done>, i64) {
        let scraps = candidate.scraps(&self.owned);
        let turned = stock::turned(&self.items, self.free, self.across);
        let covered = stock::cover(&self.items, &turned, self.across, &scraps);
        let mut floor = candidate.floor.max(candidate.length() + covered.least);
        if floor >= known {
            return (None, floor);
        }
        let kept: Vec<usize> = (0..items.len()).filter(|&i| covered.left[i] > 0).collect();
        let left: Vec<Item> = kept
            .iter()
            .map(|&i| Item {
                count: covered.left[i],
                ..items[i].clone()
            })
            .collect();
        let bound = bounds::least(&left, &[], self.across);
        let (mut strips, _) = self.bought(&left, bound);
        for batch in strips.iter_mut().flat_map(|strip| &mut strip.batches) {
            batch.item = kept[batch.item];
        }
        let needs = candidate.length() + packing::length(&strips);
        if floor < needs.min(known) {
            let bound = (covered.least, needs.min(known) - candidate.length());
            let better = stock::bettered(&self.items, &turned, (self.across, &scraps), bound);
            floor = floor.max(candidate.length() + better);
        }
        if needs >= known {
            return (None, floor);
        }
        let offcuts = candidate.offcuts.len();
        let (beside, filled): (Vec<Filled>, Vec<Filled>) = covered
            .filled
            .into_iter()
            .partition(|filled| filled.scrap < offcuts);
        for filled in beside {
            strips.extend(filled.strips.into_iter().map(|strip| Cutstrip {
                rest: Some(filled.scrap),
                ..strip
            }));
        }
        let filled = filled.into_iter().map(|filled| Filled {
            scrap: filled.scrap - offcuts,
            ..filled
        });
        let done = Done {
            panels: candidate.panels.clone(),
            host: candidate.host,
            offcuts: candidate.offcuts.clone(),
            filled: filled.collect(),
            strips,
            needs,
            others: Vec::new(),
            bound: Bound {
                least: floor,
                why: "",
            },
        };
        (Some(done), floor)
    }
}

/// One arrangement of the lengthwise strips.
struct Candidate {
    panels: Vec<Panel>,
    host: Option<usize>,
    offcuts: Vec<Offcut>,
    /// What must be bought at least.
    floor: i64,
}

impl Candidate {
    /// Bought for the panels.
    fn length(&self) -> i64 {
        let panels = self.panels.iter().map(|panel| panel.length);
        if self.host.is_some() { 0 } else { panels.sum() }
    }

    /// What is left in the panels, and below them on a piece `along` marks long.
    fn left(&self, across: i64, along: Option<i64>) -> Vec<Offcut> {
        let mut y = 0;
        let mut offcuts = Vec::new();
        for panel in &self.panels {
            offcuts.extend(panel.offcuts(y, across));
            y += panel.length;
        }
        if let Some(length) = along.map(|along| along - y).filter(|&length| length > 0) {
            offcuts.push(Offcut {
                x: 0,
                y,
                width: across,
                length,
            });
        }
        offcuts
    }

    /// The offcuts, then the owned pieces.
    fn scraps(&self, owned: &[Scrap]) -> Vec<Scrap> {
        let offcuts = self.offcuts.iter().map(Offcut::scrap);
        let owned = owned.iter().enumerate().map(|(index, scrap)| Scrap {
            many: scrap.many - usize::from(self.host == Some(index)),
            ..*scrap
        });
        offcuts.chain(owned).collect()
    }
}

impl Task {
    /// Plans that buy the same as these strips and may be less work.
    fn plainer(&self, items: &[Item], strips: &[Cutstrip]) -> Vec<Vec<Cutstrip>> {
        let Some(sale) = &self.sale else {
            return Vec::new();
        };
        if items.len() < 2 || items.len() > plainer::MOST {
            return Vec::new();
        }
        let room = Room {
            across: self.across,
            rests: &[],
        };
        let own = items.chunks(1).map(|one| {
            let bound = bounds::least(one, &[], self.across);
            // Of one kind that lies one way first fit is the best.
            if one.iter().all(|item| item.ways.len() == 1) {
                packing::packed(one, room, bound.least)
            } else {
                self.bought(one, bound).0
            }
        });
        let most = sale.most(packing::length(strips));
        plainer::plainer(items, self.across, (own.collect(), strips), most)
    }

    /// The plain case: strips across bought cloth, and what they must take at least.
    fn bought(&self, items: &[Item], mut bound: Bound) -> (Vec<Cutstrip>, Bound) {
        let across = self.across;
        let room = Room { across, rests: &[] };
        let mut strips = packing::packed(items, room, bound.least);
        let needs = packing::length(&strips);
        if self.thorough && bound.least < needs {
            let found = search::shorter(items, across, &strips, (bound.least, needs));
            if let Some(shorter) = found.strips {
                strips = shorter;
            }
            bound.better(found.least);
        }
        polish::polished(items, across, &mut strips);
        (strips, bound)
    }
}
