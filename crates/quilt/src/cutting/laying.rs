//! One cloth from its demands to every piece in its place.

use std::collections::BTreeMap;

use geometry::Surd;

use super::demand::{self, Group};
use super::kinds::{Key, Split};
use super::packing::{self, Cutstrip, Item, Rest, Sheet};
use super::ways::{Bench, Look, Way};
use super::{ClothCutting, Demand, Laid, LaidSlab, Method, Strip, Use, bounds, polish, search};
use crate::finishing::Finishing;
use crate::plan::{ClothId, Direction, Plan};
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
    demand::gathered(plan, blocks, top, finishing)
        .into_iter()
        .map(|(cloth, groups)| Table::new(plan, blocks, cloth).cut(groups))
        .collect()
}

/// The length to buy for so many marks of cloth: squared, shrunk, rounded up to the step.
fn to_buy(plan: &Plan, needs: i64) -> Surd {
    if needs == 0 {
        return Surd::ZERO;
    }
    let buying = &plan.buying;
    let washed = (plan.ruler.length(needs) + &buying.squaring) * (Surd::ONE + &buying.shrinkage);
    let steps = washed.checked_div(&buying.step).map(|steps| steps.ceil());
    steps.map_or(washed, |steps| buying.step.times(steps))
}

/// A strip cut along the selvage.
struct Lengthwise {
    demand: usize,
    width: i64,
    length: i64,
}

/// Cloth as long as its longest strip, cut into strips along the selvage.
struct Panel {
    strips: Vec<Lengthwise>,
    used: i64,
}

impl Panel {
    fn height(&self) -> i64 {
        self.strips.first().map_or(0, |strip| strip.length)
    }
}

/// One cloth on the table.
pub(super) struct Table<'a> {
    plan: &'a Plan,
    blocks: &'a Blocks,
    cloth: ClothId,
    direction: Direction,
    across: i64,
    /// One mark, inches.
    mark: f64,
    demands: Vec<Demand>,
    /// For each demand and sort of piece, what is still to be laid, last first.
    waiting: Vec<BTreeMap<u32, Vec<(Use, u32)>>>,
    too_large: Vec<usize>,
    items: Vec<Item>,
    lengthwise: Vec<Lengthwise>,
    /// Whether to search for less than plain rules find.
    pub(super) thorough: bool,
}

impl<'a> Table<'a> {
    pub(super) fn new(plan: &'a Plan, blocks: &'a Blocks, cloth: ClothId) -> Self {
        let on_record = plan.cloth(cloth);
        Self {
            plan,
            blocks,
            cloth,
            direction: on_record.direction,
            across: plan.ruler.down(&on_record.width),
            mark: plan.ruler.mark().to_f64(),
            demands: Vec::new(),
            waiting: Vec::new(),
            too_large: Vec::new(),
            items: Vec::new(),
            lengthwise: Vec::new(),
            thorough: true,
        }
    }

    pub(super) fn cut(mut self, groups: BTreeMap<Key, Group>) -> ClothCutting {
        let mut groups: Vec<(Key, Group)> = groups.into_iter().collect();
        groups.sort_by_key(|(key, _)| std::cmp::Reverse(key.height()));
        for (key, group) in groups {
            self.demand(&key, group);
        }
        let panels = self.panels();
        let panel_length: i64 = panels.iter().map(Panel::height).sum();
        let rests: Vec<Rest> = panels
            .iter()
            .map(|panel| Rest {
                width: self.across - panel.used,
                height: panel.height(),
            })
            .collect();
        let sizes: Vec<(i64, i64)> = panels
            .iter()
            .flat_map(|p| &p.strips)
            .map(|s| (s.width, s.length))
            .collect();
        let mut bound = bounds::least(&self.items, &sizes, self.across);
        let sheet = Sheet {
            across: self.across,
            rests: &rests,
        };
        let mut strips = packing::packed(&self.items, sheet, bound.least - panel_length);
        let needs = panel_length + packing::length(&strips);
        if self.thorough && bound.least < needs && panels.is_empty() {
            let known = (bound.least, needs);
            let found = search::shorter(&self.items, self.across, &strips, known);
            if let Some(shorter) = found.strips {
                strips = shorter;
            }
            bound.better(found.least);
        }
        polish::polished(&self.items, self.across, &mut strips);
        let needs = panel_length + packing::length(&strips);
        debug_assert!(
            bound.least <= needs,
            "a bound of {} above {needs}",
            bound.least
        );
        let mut laying = Laying {
            table: &mut self,
            y: 0,
            strips: Vec::new(),
            pieces: Vec::new(),
        };
        laying.all(&panels, strips);
        let (strips, pieces) = (laying.strips, laying.pieces);
        for (index, demand) in self.demands.iter_mut().enumerate() {
            let slabs = strips.iter().flat_map(|strip| &strip.slabs);
            demand.first_cuts = slabs.filter(|slab| slab.demand == index).count() as u32;
        }
        ClothCutting {
            cloth: self.cloth,
            width: self.across,
            needs,
            at_least: bound.least as f64,
            bound: bound.why,
            buy_proved: to_buy(self.plan, bound.least) == to_buy(self.plan, needs),
            buy: to_buy(self.plan, needs),
            used_area: pieces
                .iter()
                .map(|piece| geometry::area(&piece.outline).abs())
                .sum(),
            demands: self.demands,
            strips,
            pieces,
            too_large: self.too_large,
        }
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
            across: self.across,
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
            Key::Run { .. } => (bench.run(key, &group.method).into_iter().collect(), pieces),
            Key::Joined { .. } | Key::Lengthwise { .. } => (Vec::new(), 0),
        };
        let ways: Vec<Way> = ways
            .into_iter()
            .filter(|way| !way.reach.is_empty())
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

    /// Strips along the selvage side by side, the longest first.
    fn panels(&mut self) -> Vec<Panel> {
        let mut strips = std::mem::take(&mut self.lengthwise);
        strips.sort_by_key(|strip| (-strip.length, -strip.width, strip.demand));
        let mut panels: Vec<Panel> = Vec::new();
        for strip in strips {
            let fitting = panels
                .iter_mut()
                .find(|p| p.used + strip.width <= self.across);
            match fitting {
                Some(panel) => {
                    panel.used += strip.width;
                    panel.strips.push(strip);
                }
                None => panels.push(Panel {
                    used: strip.width,
                    strips: vec![strip],
                }),
            }
        }
        panels
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

/// Pieces being laid on the cloth from its squared end.
struct Laying<'t, 'a> {
    table: &'t mut Table<'a>,
    y: i64,
    strips: Vec<Strip>,
    pieces: Vec<Laid>,
}

impl Laying<'_, '_> {
    /// What is cut first, then panels with what lies beside them, then the other strips,
    /// the highest first.
    fn all(&mut self, panels: &[Panel], mut strips: Vec<Cutstrip>) {
        strips.sort_by_key(|strip| -strip.height);
        let is_first = |strip: &Cutstrip, items: &[Item]| {
            strip.batches.iter().any(|batch| items[batch.item].first)
        };
        let (first, other): (Vec<_>, Vec<_>) = strips
            .into_iter()
            .partition(|strip| is_first(strip, &self.table.items));
        for strip in &first {
            self.across(strip);
        }
        for (index, panel) in panels.iter().enumerate() {
            self.panel(panel);
            let beside = other.iter().filter(|strip| strip.rest == Some(index));
            let mut y = self.y;
            for strip in beside {
                let width = self.table.across - panel.used;
                self.strip(strip, panel.used, y, width);
                y += strip.height;
            }
            self.y += panel.height();
        }
        for strip in other.iter().filter(|strip| strip.rest.is_none()) {
            self.across(strip);
        }
    }

    fn across(&mut self, strip: &Cutstrip) {
        self.strip(strip, 0, self.y, self.table.across);
        self.y += strip.height;
    }

    fn panel(&mut self, panel: &Panel) {
        let mut x = 0;
        for strip in &panel.strips {
            let (width, height) = (strip.width, strip.length);
            let pieces = self.rectangles(strip.demand, Split::Whole, [x, self.y], [width, height]);
            let slab = LaidSlab {
                demand: strip.demand,
                x,
                width,
                height,
                pieces,
            };
            let (y, slabs) = (self.y, vec![slab]);
            self.strips.push(Strip {
                x,
                y,
                height,
                width,
                lengthwise: true,
                slabs,
            });
            x += width;
        }
    }

    fn strip(&mut self, strip: &Cutstrip, x: i64, y: i64, width: i64) {
        let mut slabs = Vec::new();
        for batch in &strip.batches {
            let item = &self.table.items[batch.item];
            let (demand, way) = (item.demand, item.ways[batch.way].clone());
            let left = x + batch.x;
            match way.look {
                Look::Slab(split) => {
                    let width = way.takes(1);
                    for unit in 0..i64::from(batch.units) {
                        let x = left + unit * width;
                        let pieces = self.rectangles(demand, split, [x, y], [width, way.height]);
                        slabs.push(LaidSlab {
                            demand,
                            x,
                            width,
                            height: way.height,
                            pieces,
                        });
                    }
                }
                Look::Run { .. } => {
                    let width = way.takes(batch.units);
                    self.run(demand, &way, batch.units, [left, y]);
                    let (height, pieces) = (way.height, batch.units);
                    slabs.push(LaidSlab {
                        demand,
                        x: left,
                        width,
                        height,
                        pieces,
                    });
                }
            }
        }
        let (height, lengthwise) = (strip.height, false);
        self.strips.push(Strip {
            x,
            y,
            height,
            width,
            lengthwise,
            slabs,
        });
    }

    /// One rectangle and the pieces it is cut into; how many of them are needed.
    fn rectangles(&mut self, demand: usize, split: Split, at: [i64; 2], size: [i64; 2]) -> u32 {
        let mark = self.table.mark;
        let inches = |marks: i64| marks as f64 * mark;
        let ([x, y], [width, height]) = (at.map(inches), size.map(inches));
        let mut needed = 0;
        for index in 0..split.yields() {
            let sort = split.sort(index, self.table.direction);
            if let Some(usage) = self.table.next_use(demand, sort) {
                let outline = split.outline(index, [width, height]);
                let outline = outline
                    .into_iter()
                    .map(|[px, py]| [x + px, y + py])
                    .collect();
                self.pieces.push(Laid {
                    demand,
                    usage,
                    mirrored: false,
                    outline,
                    grain: 90.0,
                });
                needed += 1;
            }
        }
        needed
    }

    fn run(&mut self, demand: usize, way: &Way, units: u32, at: [i64; 2]) {
        let Look::Run {
            outlines,
            pitches,
            grain,
        } = &way.look
        else {
            return;
        };
        let [mut x, y] = at.map(|marks| marks as f64 * self.table.mark);
        for (unit, parity) in (0..units).zip([0, 1].into_iter().cycle()) {
            let usage = self.table.next_use(demand, 0);
            debug_assert!(
                usage.is_some(),
                "piece {unit} of a run is one that is needed"
            );
            if let Some(usage) = usage {
                let outline = outlines[parity]
                    .iter()
                    .map(|p| [x + p[0], y + p[1]])
                    .collect();
                let mirrored = way.mirrored;
                self.pieces.push(Laid {
                    demand,
                    usage,
                    mirrored,
                    outline,
                    grain: *grain,
                });
            }
            x += pitches[parity];
        }
    }
}

impl Split {
    /// The `index`th piece of a rectangle at (0, 0).
    fn outline(self, index: u32, [width, height]: [f64; 2]) -> Vec<[f64; 2]> {
        let middle = [width / 2.0, height / 2.0];
        let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
        let [top_left, top_right, bottom_right, bottom_left] = corners;
        match (self, index) {
            (Self::Whole, _) => corners.to_vec(),
            (Self::Once { rising: true }, 0) => vec![top_left, top_right, bottom_left],
            (Self::Once { rising: true }, _) => vec![top_right, bottom_right, bottom_left],
            (Self::Once { rising: false }, 0) => vec![top_left, top_right, bottom_right],
            (Self::Once { rising: false }, _) => vec![top_left, bottom_right, bottom_left],
            (Self::Twice, side) => {
                let side = side as usize % 4;
                vec![corners[side], corners[(side + 1) % 4], middle]
            }
        }
    }
}
