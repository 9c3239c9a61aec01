//! One cloth from its demands to every piece in its place.

mod on_cloth;

use std::collections::BTreeMap;

use geometry::Surd;

use self::on_cloth::Laying;
use super::bounds::Bound;
use super::demand::{self, Group};
use super::instead::Instead;
use super::kinds::{Key, Lay, Split};
use super::motifs::{Band, Extent, Lattice, Want};
use super::packing::{Cutstrip, Item};
use super::panels::Lengthwise;
use super::sheets::{Done, Sale, Task};
use super::stock::{self, Scrap};
use super::supplies::{self, Known, Offer};
use super::ways::{Bench, Way};
use super::{
    ClothCutting, Demand, Laid, Method, Missing, Served, Sheet, Source, Strip, Use, table, together,
};
use crate::finishing::Finishing;
use crate::plan::{ClothId, Direction, Owned, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// How every cloth of the plan is cut and how much of it to buy, one entry a cloth that
/// is used, in the plan's order.
#[must_use]
pub fn work_out(
    plan: &Plan,
    blocks: &Blocks,
    top: &Top,
    finishing: &Finishing,
) -> Vec<ClothCutting> {
    work_out_with(plan, blocks, (top, finishing), &BTreeMap::new())
}

/// The same with other pieces in the place of some patches.
#[must_use]
pub fn work_out_with(
    plan: &Plan,
    blocks: &Blocks,
    (top, finishing): (&Top, &Finishing),
    instead: &BTreeMap<ClothId, Instead>,
) -> Vec<ClothCutting> {
    let exchanged = |cloth: ClothId, groups: BTreeMap<Key, Group>| {
        exchanged((plan, blocks), instead, cloth, groups)
    };
    let mut demands = demand::gathered(plan, blocks, top, finishing);
    let variants = variants(plan);
    let mut tables: Vec<Table> = Vec::new();
    for (cloth, groups) in std::mem::take(&mut demands) {
        let groups = exchanged(cloth, groups);
        tables.push(Table::new(plan, blocks, cloth).spread(groups));
        for variant in variants.iter().filter(|variant| variant.cloth == cloth) {
            let mut demands = demand::gathered(&variant.plan, blocks, top, finishing);
            let groups = demands.remove(&cloth).unwrap_or_default();
            let groups = exchanged(cloth, groups);
            tables.push(Table::new(&variant.plan, blocks, cloth).spread(groups));
        }
    }
    let tasks: Vec<Task> = tables.iter().map(Table::task).collect();
    let done = together::all_done(tasks.clone());
    let known = tables.iter().zip(tasks.iter().zip(&done));
    let known: Vec<Known> = known
        .map(|(table, (task, done))| Known {
            cloth: table.cloth,
            task,
            done,
        })
        .collect();
    let mut cut: Vec<ClothCutting> = Vec::new();
    for (index, spread) in tables.into_iter().enumerate() {
        // What shows a motif cannot be cut of another cloth.
        let asked = spread.band.length == 0;
        let mut next = settled(plan, spread, known[index].done);
        if let Some(missing) = next.missing.as_mut().filter(|_| asked) {
            missing.instead = supplies::instead(plan, &known[index], &known);
        }
        match cut.last_mut().filter(|before| before.cloth == next.cloth) {
            Some(before) => cheaper(before, next),
            None => cut.push(next),
        }
    }
    cut
}

/// What one cloth must give, with other pieces in the place of some patches.
pub(super) fn exchanged(
    (plan, blocks): (&Plan, &Blocks),
    instead: &BTreeMap<ClothId, Instead>,
    cloth: ClothId,
    mut groups: BTreeMap<Key, Group>,
) -> BTreeMap<Key, Group> {
    if let Some(instead) = instead.get(&cloth) {
        instead.exchange(plan, blocks, cloth, &mut groups);
    }
    groups
}

/// Of the plans that buy as little the one that is least work: fewest settings of the ruler,
/// then fewest passes of the blade, then the largest piece left over. A plan that is longer
/// than the shortest has to set the ruler less often.
fn settled(plan: &Plan, spread: Table<'_>, done: &Done) -> ClothCutting {
    let arranged = |done: Done| table::arranged(plan, spread.clone().cut(done));
    let work = |cutting: &ClothCutting| {
        let effort = table::alone(plan, cutting);
        let left = std::cmp::Reverse(largest_left(cutting));
        (effort.settings, effort.passes, left)
    };
    let shortest = arranged(done.clone());
    if done.others.is_empty() {
        return shortest;
    }
    let mut best = (work(&shortest), None);
    // Those as short as the shortest first: a longer one has to set the ruler less often.
    let longer = |strips: &Vec<Cutstrip>| super::packing::length(strips) > done.needs;
    let (long, short): (Vec<_>, Vec<_>) = done.others.iter().partition(|strips| longer(strips));
    let mut known = None;
    for strips in short.into_iter().chain(long) {
        let needs = super::packing::length(strips);
        if needs > done.needs && known.is_none() {
            known = Some(best.0.0);
        }
        let mut other = arranged(Done {
            strips: strips.clone(),
            needs,
            ..done.clone()
        });
        other.shortest = shortest.needs;
        let work = work(&other);
        let worth = known.is_none_or(|settings| work.0 < settings);
        if worth && work < best.0 && other.buy == shortest.buy {
            best = (work, Some(other));
        }
    }
    best.1.unwrap_or(shortest)
}

/// The largest rectangle left at the end of a strip of what is bought, marks²; what is left
/// below the strips is the same cloth for plans of one length, and more for a shorter one.
fn largest_left(cutting: &ClothCutting) -> i64 {
    let sheets = cutting.sheets.iter();
    let ends = sheets.flat_map(|sheet| {
        sheet.strips.iter().map(|strip| {
            let used: i64 = strip.slabs.iter().map(|slab| slab.width).sum();
            (strip.width - used) * strip.height
        })
    });
    ends.max().unwrap_or(0)
}

/// Every need of one cloth cut as if it were the only one: each from strips of its own.
pub(super) fn each_apart(
    plan: &Plan,
    blocks: &Blocks,
    cloth: ClothId,
    groups: BTreeMap<Key, Group>,
) -> Vec<ClothCutting> {
    if !plan.cloth(cloth).supply.owned.is_empty() {
        return one_after_another(plan, blocks, cloth, groups);
    }
    let each = groups.into_iter().map(|one| BTreeMap::from([one]));
    let tables: Vec<Table> = each
        .map(|one| Table::new(plan, blocks, cloth).spread(one))
        .collect();
    // Of one need alone there is nothing to choose.
    let alone = |table: &Table<'_>| Task {
        sale: None,
        ..table.task()
    };
    let done = together::all_done(tables.iter().map(alone).collect());
    let each = tables.into_iter().zip(done);
    each.map(|(table, done)| table.cut(done)).collect()
}

/// The same where cloth is owned: each need, the largest first, takes what the ones before
/// have left of it.
fn one_after_another(
    plan: &Plan,
    blocks: &Blocks,
    cloth: ClothId,
    groups: BTreeMap<Key, Group>,
) -> Vec<ClothCutting> {
    let mut groups: Vec<(Key, Group)> = groups.into_iter().collect();
    groups.sort_by_key(|(key, _)| std::cmp::Reverse(key.height()));
    let mut left = scraps(plan, cloth);
    let mut from: Vec<usize> = (0..left.len()).collect();
    let mut parts = Vec::new();
    for one in groups {
        let mut table = Table::new(plan, blocks, cloth);
        table.owned.clone_from(&left);
        table.from.clone_from(&from);
        let table = table.spread(BTreeMap::from([one]));
        let task = Task {
            sale: None,
            ..table.task()
        };
        let done = task.done();
        let rests = supplies::left_after(&task.owned, &done);
        left = rests.iter().map(|(_, scrap)| *scrap).collect();
        from = rests.iter().map(|(scrap, _)| table.from[*scrap]).collect();
        parts.push(table.cut(done));
    }
    parts
}

/// A plan with one of its cloths in another width that it is sold in.
struct Variant {
    cloth: ClothId,
    plan: Plan,
}

/// Every cloth in its other widths. What is worked out for the back and the edge
/// (`finishing`) holds for one width, so their cloths keep it.
fn variants(plan: &Plan) -> Vec<Variant> {
    let fixed = [plan.finishing.backing.cloth, plan.finishing.binding.cloth];
    let ids = (0..plan.cloths.len()).map(ClothId);
    let open = ids.filter(|id| !fixed.contains(&Some(*id)) && plan.cloth(*id).supply.sold);
    open.flat_map(|cloth| {
        plan.cloth(cloth).supply.widths.iter().map(move |sold| {
            let mut plan = plan.clone();
            let own = &mut plan.cloths[cloth.0];
            // What is owned is as wide as it ever was.
            for owned in &mut own.supply.owned {
                owned.across.get_or_insert_with(|| own.width.clone());
            }
            own.width = sold.width.clone();
            own.supply.price.clone_from(&sold.price);
            Variant { cloth, plan }
        })
    })
    .collect()
}

/// Keeps the width that costs less (takes less length where a price is not known) and has
/// nothing too large; of equals the one before.
fn cheaper(before: &mut ClothCutting, mut next: ClothCutting) {
    let better = match next.too_large.len().cmp(&before.too_large.len()) {
        std::cmp::Ordering::Less => true,
        std::cmp::Ordering::Greater => false,
        std::cmp::Ordering::Equal => match (&next.offer.cost, &before.offer.cost) {
            (Some(next), Some(before)) => next < before,
            _ => next.offer.buy < before.offer.buy,
        },
    };
    if better {
        std::mem::swap(before, &mut next);
    }
    before.other_offers.append(&mut next.other_offers);
    before.other_offers.push(next.offer);
}

/// The length to buy for so many marks of cloth: squared, shrunk, with the spare, rounded
/// up to the step.
pub(super) fn to_buy(plan: &Plan, needs: i64) -> Surd {
    Sale::to_buy(&plan.buying, &plan.ruler, needs)
}

/// One cloth on the table.
#[derive(Clone)]
pub(super) struct Table<'a> {
    plan: &'a Plan,
    blocks: &'a Blocks,
    cloth: ClothId,
    direction: Direction,
    across: i64,
    /// The widest cloth there is: what is bought or a piece that is owned.
    widest: i64,
    owned: Vec<Scrap>,
    /// Of each of them the entry of the maker's list it comes from.
    from: Vec<usize>,
    /// One mark, inches.
    mark: f64,
    demands: Vec<Demand>,
    /// For each demand and sort of piece, what is still to be laid, last first.
    waiting: Vec<BTreeMap<u32, Vec<(Use, u32)>>>,
    too_large: Vec<usize>,
    items: Vec<Item>,
    lengthwise: Vec<Lengthwise>,
    /// Pieces to be centred on motifs.
    centred: Vec<Want>,
    /// Where they lie on cloth that is bought.
    band: Band,
    /// And on what is owned: bands of some of `owned`.
    owned_bands: Vec<(usize, Band)>,
}

impl<'a> Table<'a> {
    pub(super) fn new(plan: &'a Plan, blocks: &'a Blocks, cloth: ClothId) -> Self {
        let on_record = plan.cloth(cloth);
        let across = plan.ruler.down(&on_record.width);
        let owned = scraps(plan, cloth);
        let widest = owned.iter().map(|scrap| scrap.across).max();
        Self {
            plan,
            blocks,
            cloth,
            direction: on_record.direction,
            across,
            widest: widest.unwrap_or(0).max(across),
            from: (0..owned.len()).collect(),
            owned,
            mark: plan.ruler.mark().to_f64(),
            demands: Vec::new(),
            waiting: Vec::new(),
            too_large: Vec::new(),
            items: Vec::new(),
            lengthwise: Vec::new(),
            centred: Vec::new(),
            band: Band::default(),
            owned_bands: Vec::new(),
        }
    }

    /// What is needed, as lines of the chart and things to pack.
    pub(super) fn spread(mut self, groups: BTreeMap<Key, Group>) -> Self {
        let mut groups: Vec<(Key, Group)> = groups.into_iter().collect();
        groups.sort_by_key(|(key, _)| std::cmp::Reverse(key.height()));
        for (key, group) in groups {
            self.demand(&key, group);
        }
        self.bands();
        self
    }

    /// Lays what is centred on motifs: on owned lengths first, the rest on bought cloth. Of
    /// an owned length what is left below is there for everything else.
    fn bands(&mut self) {
        let cloth = self.plan.cloth(self.cloth);
        let Some(motif) = cloth.motif.as_ref().filter(|_| !self.centred.is_empty()) else {
            return;
        };
        let lattice = Lattice::new(&self.plan.ruler, motif, self.across);
        let mut wants = self.centred.clone();
        for index in 0..self.owned.len() {
            // Only of a whole width is it known where its motifs lie.
            let whole = cloth.supply.owned[self.from[index]].across.is_none()
                && self.owned[index].across == self.across;
            while whole && self.owned[index].many > 0 && !wants.is_empty() {
                let along = self.owned[index].along;
                let (band, left) = lattice.within(&wants, along);
                if band.rows.is_empty() {
                    break;
                }
                for (want, left) in wants.iter_mut().zip(left) {
                    want.count = left;
                }
                wants.retain(|want| want.count > 0);
                self.owned[index].many -= 1;
                self.owned.push(Scrap {
                    along: along - band.length,
                    turns: false,
                    many: usize::from(along > band.length),
                    ..self.owned[index]
                });
                self.from.push(self.from[index]);
                self.owned_bands.push((self.owned.len() - 1, band));
            }
        }
        self.band = lattice.band(&wants);
    }

    pub(super) fn task(&self) -> Task {
        Task {
            thorough: true,
            items: self.items.clone(),
            lengthwise: self.lengthwise.clone(),
            across: self.across,
            owned: self.owned.clone(),
            free: self.direction == Direction::Free,
            sale: Some(Sale {
                buying: self.plan.buying.clone(),
                ruler: self.plan.ruler.clone(),
                band: self.band.length,
            }),
        }
    }

    /// Everything laid as it was worked out.
    pub(super) fn cut(mut self, done: Done) -> ClothCutting {
        let sheets = self.sheets(&done);
        for (index, demand) in self.demands.iter_mut().enumerate() {
            let strips = sheets.iter().flat_map(|sheet| &sheet.strips);
            let slabs = strips.flat_map(|strip| &strip.slabs);
            demand.first_cuts = slabs.filter(|slab| slab.demand == index).count() as u32;
        }
        let plan = self.plan;
        let missing = self.missing(&done);
        let needs = done.needs + self.band.length;
        let needs = if missing.is_some() { 0 } else { needs };
        let bound = self.bound(&done);
        let least = bound.least.min(needs);
        let offer = self.offer(needs);
        ClothCutting {
            cloth: self.cloth,
            needs,
            shortest: needs,
            at_least: least as f64,
            bound: bound.why,
            buy_proved: to_buy(plan, least) == to_buy(plan, needs),
            buy: to_buy(plan, needs),
            used_area: sheets
                .iter()
                .flat_map(|sheet| &sheet.pieces)
                .map(|piece| geometry::area(&piece.outline).abs())
                .sum(),
            demands: self.demands,
            sheets,
            missing,
            offer,
            other_offers: Vec::new(),
            too_large: self.too_large,
        }
    }

    /// What must be bought at least. Pieces centred on motifs and all others each need
    /// what they need; that both cannot share cloth is only known of areas.
    fn bound(&self, done: &Done) -> Bound {
        let mut bound = done.bound;
        if self.band.length == 0 {
            return bound;
        }
        let owned = self
            .owned
            .iter()
            .map(|s| s.across * s.along * s.many as i64);
        let bands = self
            .owned_bands
            .iter()
            .map(|(scrap, band)| band.length * self.owned[*scrap].across);
        let there: i64 = owned.chain(bands).sum();
        let mut wanted: i64 = self.items.iter().map(Item::least_area).sum();
        wanted += self
            .lengthwise
            .iter()
            .map(|s| s.width * s.length)
            .sum::<i64>();
        wanted += self.centred.iter().map(Want::area).sum::<i64>();
        let across = self.across.max(1);
        let short = (wanted - there).max(0);
        let area = short.div_euclid(across) + i64::from(short.rem_euclid(across) > 0);
        if self.owned.is_empty() && self.band.least > bound.least {
            bound = Bound {
                least: self.band.least,
                why: "the motifs there are on a length of cloth",
            };
        }
        if area > bound.least {
            bound = Bound {
                least: area,
                why: "the area of the pieces",
            };
        }
        bound
    }

    fn offer(&self, needs: i64) -> Offer {
        let cloth = self.plan.cloth(self.cloth);
        let buy = to_buy(self.plan, needs);
        Offer {
            width: cloth.width.clone(),
            cost: supplies::cost(self.plan, &buy, cloth.supply.price.as_ref()),
            buy,
        }
    }

    /// The pieces of cloth on the table: what is owned first.
    fn sheets(&mut self, done: &Done) -> Vec<Sheet> {
        let turned = stock::turned(&self.items, self.direction == Direction::Free, self.across);
        let mut sheets = Vec::new();
        // A length with a band on it, of which nothing else is cut.
        let cut = |scrap: usize| {
            done.host == Some(scrap) || done.filled.iter().any(|filled| filled.scrap == scrap)
        };
        let bands: Vec<usize> = self.owned_bands.iter().map(|(scrap, _)| *scrap).collect();
        for scrap in bands.into_iter().filter(|&scrap| !cut(scrap)) {
            let mut laying = Laying::new(self, &[]);
            laying.band(Some(scrap));
            let (strips, pieces) = (laying.strips, laying.pieces);
            sheets.push(self.owned_sheet((scrap, false), strips, pieces));
        }
        if let Some(host) = done.host {
            let mut laying = Laying::new(self, &[]);
            laying.band(Some(host));
            laying.all(done);
            let (strips, pieces) = (laying.strips, laying.pieces);
            sheets.push(self.owned_sheet((host, false), strips, pieces));
        }
        for filled in &done.filled {
            let ways: &[Item] = if filled.turned { &turned } else { &[] };
            let mut laying = Laying::new(self, ways);
            laying.band(Some(filled.scrap));
            laying.scrap(filled);
            let (strips, pieces) = (laying.strips, laying.pieces);
            sheets.push(self.owned_sheet((filled.scrap, filled.turned), strips, pieces));
        }
        let needs = done.needs + self.band.length;
        if needs > 0 && self.plan.cloth(self.cloth).supply.sold {
            let mut laying = Laying::new(self, &[]);
            laying.band(None);
            if done.host.is_none() {
                laying.all(done);
            } else {
                laying.across_all(&done.strips);
            }
            let (strips, pieces) = (laying.strips, laying.pieces);
            sheets.push(Sheet {
                source: Source::Bought,
                turned: false,
                width: self.across,
                length: needs,
                strips,
                pieces,
                motifs: self.band.motifs.clone(),
            });
        }
        sheets
    }

    fn owned_sheet(
        &self,
        (owned, turned): (usize, bool),
        strips: Vec<Strip>,
        pieces: Vec<Laid>,
    ) -> Sheet {
        let scrap = self.owned[owned];
        let band = self.owned_bands.iter().find(|(of, _)| *of == owned);
        let (width, length) = if turned {
            (scrap.along, scrap.across)
        } else {
            let above = band.map_or(0, |(_, band)| band.length);
            (scrap.across, scrap.along + above)
        };
        Sheet {
            motifs: band.map_or_else(Vec::new, |(_, band)| band.motifs.clone()),
            source: Source::Owned(self.from[owned]),
            turned,
            width,
            length,
            strips,
            pieces,
        }
    }

    /// What cannot be cut, of a cloth that cannot be bought.
    fn missing(&self, done: &Done) -> Option<Missing> {
        let sold = self.plan.cloth(self.cloth).supply.sold;
        let mut pieces: BTreeMap<(usize, Use), u32> = BTreeMap::new();
        for (demand, sorts) in self.waiting.iter().enumerate() {
            for (usage, count) in sorts.values().flatten() {
                *pieces.entry((demand, *usage)).or_default() += count;
            }
        }
        pieces.retain(|(demand, _), _| !self.too_large.contains(demand));
        let needs = done.needs + self.band.length;
        (!sold && needs > 0).then(|| Missing {
            pieces: pieces
                .into_iter()
                .map(|((demand, usage), count)| (demand, Served { usage, count }))
                .collect(),
            length: needs,
            instead: None,
        })
    }

    /// Adds one line to the chart and what must be packed for it.
    fn demand(&mut self, key: &Key, mut group: Group) {
        let index = self.demands.len();
        group.lengths.sort_by(|a, b| b.cmp(a));
        let serves = group.serves();
        let Some(first) = serves.first().copied() else {
            return;
        };
        let mut count = serves.iter().map(|served| served.count).sum();
        let mut waiting: BTreeMap<u32, Vec<(Use, u32)>> = group
            .sorts
            .iter()
            .map(|(&sort, uses)| (sort, uses.iter().rev().map(|(&u, &n)| (u, n)).collect()))
            .collect();
        let fits = match key {
            Key::Lengthwise { strip, .. } => self.add_lengthwise(index, *strip, &group),
            Key::Joined { strip, .. } => {
                let strips = self.add_joined(index, *strip, &group);
                count = strips;
                waiting = BTreeMap::from([(0, vec![(first.usage, strips)])]);
                strips > 0
            }
            _ => self.add_items(index, key, &group),
        };
        if !fits {
            self.too_large.push(index);
        }
        self.demands.push(Demand {
            usage: first.usage,
            serves,
            count,
            method: with_lengths(group.method, group.lengths),
            first_cuts: 0,
        });
        self.waiting.push(waiting);
    }

    fn add_lengthwise(&mut self, demand: usize, width: i64, group: &Group) -> bool {
        let fits = width <= self.across;
        if fits {
            let strips = group.lengths.iter();
            let strips = strips.map(|length| Lengthwise {
                demand,
                width,
                length: length.marks,
            });
            self.lengthwise.extend(strips);
        }
        fits
    }

    /// Full-width strips and a last one as long as it must be; how many they are.
    fn add_joined(&mut self, demand: usize, height: i64, group: &Group) -> u32 {
        let total: i64 = group.lengths.iter().map(|length| length.marks).sum();
        let loss = self.plan.ruler.up(&self.plan.seam.times(2));
        let gain = self.across - loss;
        if gain <= 0 {
            return 0;
        }
        // n strips joined reach n·W − (n − 1)·2s.
        let strips = (total - loss + gain - 1).div_euclid(gain).max(1);
        let last = total - (strips - 1) * gain;
        let mut item = |count: i64, width: i64| {
            let way = Way::slab(height, width, Split::Whole, self.across);
            let count = u32::try_from(count).unwrap_or_default();
            if count > 0 {
                let (first, divisible) = (false, true);
                self.items.push(Item {
                    demand,
                    ways: vec![way],
                    count,
                    first,
                    divisible,
                });
            }
        };
        item(strips - 1, self.across);
        item(1, last);
        u32::try_from(strips).unwrap_or_default()
    }

    fn add_items(&mut self, demand: usize, key: &Key, group: &Group) -> bool {
        let bench = Bench {
            ruler: &self.plan.ruler,
            across: self.widest,
            direction: self.direction,
        };
        let pieces: u32 = group.sorts.values().flat_map(BTreeMap::values).sum();
        let whole = Split::Whole;
        let (ways, count) = match *key {
            Key::Slab {
                height,
                width,
                turnable,
                split,
            } => {
                let count = group.slabs(split, self.direction);
                (bench.slabs(height, width, turnable, split), count)
            }
            Key::Backing { length } => (bench.slabs(length, self.across, false, whole), pieces),
            Key::Binding { strip } => (bench.slabs(strip, self.across, false, whole), pieces),
            Key::BiasSquare { side } => (bench.slabs(side, side, false, whole), pieces),
            Key::Template(lay) => {
                let block = self.blocks.get(lay.block.0).and_then(Option::as_ref);
                let template = block.and_then(|block| block.templates.get(lay.template));
                (
                    template.map_or_else(Vec::new, |t| bench.template(lay, t)),
                    pieces,
                )
            }
            Key::Centred(lay) => return self.add_centred(demand, lay, pieces),
            Key::Run { .. } => (bench.run(key, &group.method).into_iter().collect(), pieces),
            Key::Joined { .. } | Key::Lengthwise { .. } => (Vec::new(), 0),
        };
        let ways: Vec<Way> = ways
            .into_iter()
            .filter(|way| way.reach.first().is_some_and(|&reach| reach <= self.across))
            .collect();
        let fits = !ways.is_empty();
        if fits {
            let first = matches!(key, Key::Backing { .. });
            self.items.push(Item {
                demand,
                ways,
                count,
                first,
                divisible: false,
            });
        }
        fits
    }

    /// Pieces centred on motifs; whether any motif has room for one.
    fn add_centred(&mut self, demand: usize, lay: Lay, count: u32) -> bool {
        let motif = self.plan.cloth(self.cloth).motif.as_ref();
        let block = self.blocks.get(lay.block.0).and_then(Option::as_ref);
        let template = block.and_then(|block| block.templates.get(lay.template));
        let (Some(motif), Some(template)) = (motif, template) else {
            return false;
        };
        let ruler = &self.plan.ruler;
        let lattice = Lattice::new(ruler, motif, self.across);
        let mut ways = Extent::of(template, lay, ruler);
        ways.retain(|way| lattice.can_give(way, count));
        let fits = !ways.is_empty();
        if fits {
            self.centred.push(Want {
                demand,
                ways,
                count,
                mirrored: lay.mirrored,
            });
        }
        fits
    }

    /// What the next piece of this sort is for; `None` when no more are needed.
    fn next_use(&mut self, demand: usize, sort: u32) -> Option<Use> {
        let waiting = self.waiting[demand].get_mut(&sort)?;
        let (usage, left) = waiting.last_mut()?;
        let usage = *usage;
        *left -= 1;
        if *left == 0 {
            waiting.pop();
        }
        Some(usage)
    }
}

impl Key {
    /// The height the largest pieces are sorted by, marks.
    fn height(&self) -> i64 {
        match *self {
            Self::Backing { length } => length.saturating_add(i64::MAX / 2),
            Self::Centred(_) => i64::MAX / 3,
            Self::Lengthwise { strip, .. } => strip.saturating_add(i64::MAX / 4),
            Self::Slab { height, .. } => height,
            Self::Run { strip, .. } | Self::Joined { strip, .. } | Self::Binding { strip } => strip,
            Self::BiasSquare { side } => side,
            Self::Template(_) => 0,
        }
    }
}

fn with_lengths(method: Method, lengths: Vec<crate::measure::Cut>) -> Method {
    match method {
        Method::JoinedStrips { strip, .. } => Method::JoinedStrips { strip, lengths },
        Method::Lengthwise { strip, .. } => Method::Lengthwise { strip, lengths },
        other => other,
    }
}

/// What is owned of a cloth.
pub(super) fn scraps(plan: &Plan, cloth: ClothId) -> Vec<Scrap> {
    let cloth = plan.cloth(cloth);
    let usual = plan.ruler.down(&cloth.width);
    let owned = cloth.supply.owned.iter();
    owned.map(|owned| scrap(plan, owned, usual)).collect()
}

/// The marks of an owned piece.
fn scrap(plan: &Plan, owned: &Owned, usual: i64) -> Scrap {
    let across = owned.across.as_ref();
    let across = across.map_or(usual, |across| plan.ruler.down(across));
    let along = plan.ruler.down(&owned.along);
    Scrap {
        across,
        along,
        turns: across.max(along) <= usual,
        many: owned.count as usize,
    }
}
