//! Strips across the cloth, filled with what must be cut from them.
//!
//! Every plan here is a plan of strips: each reaches across the cloth (or across what is
//! left beside strips cut along the selvage), is as high as its highest piece, and is
//! cross-cut. What lies above a lower piece in a strip is lost. Three kinds of plan are
//! made and the shortest kept, of equally short ones the one with the fewest settings of
//! the ruler:
//!
//! 1. **first fit by falling height**: pieces by height, each into the first strip that
//!    has room; free rectangles with their short side as the height, or their long one,
//!    and if allowed turned to use up an open strip;
//! 2. the same with the choice of side bettered for one kind after another;
//! 3. **strip by strip**: the tallest piece left opens a strip, and of all that still
//!    fits beside it the selection with the most area fills it (a bounded knapsack), wide pieces more or less
//!    favoured.
//!
//! **Units.** Whole marks; nothing here is a float. The same items give the same plan.

use super::ways::Way;

/// How strongly wide pieces are favoured when a strip is filled, in [`FAVOUR_UNIT`]s for
/// a piece as wide as the room. By area alone small pieces are used up first, and wide
/// ones are left that fill strips badly; too much favour wastes area. Each is tried.
const FAVOURS: [i64; 4] = [0, FAVOUR_UNIT / 8, FAVOUR_UNIT / 2, 4 * FAVOUR_UNIT];

/// One in the sums of [`FAVOURS`].
const FAVOUR_UNIT: i64 = 1024;

/// So many units of one demand.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// Index of the demand.
    pub(super) demand: usize,
    /// The ways it may be cut, the preferred first; each fits the cloth.
    pub(super) ways: Vec<Way>,
    /// Units: rectangles, or pieces of a run.
    pub(super) count: u32,
    /// Whether it is cut before everything else, in strips of its own.
    pub(super) first: bool,
    /// Whether it is a part of a joined strip, which may be made of any lengths.
    pub(super) divisible: bool,
}

impl Item {
    /// What all its units take at least, marks².
    pub(super) fn least_area(&self) -> i64 {
        let ways = self.ways.iter();
        let least = ways.map(|way| way.height * way.advance).min();
        least.unwrap_or_default() / super::ways::FINE * i64::from(self.count)
    }
}

/// The rest of a panel: cloth beside strips cut along the selvage.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Rest {
    pub(super) width: i64,
    pub(super) height: i64,
}

/// Units of one item side by side in a strip, cut the same way.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Batch {
    pub(super) item: usize,
    pub(super) way: usize,
    pub(super) units: u32,
    /// Marks from the strip's left end.
    pub(super) x: i64,
}

/// A strip.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Cutstrip {
    /// Beside which panel it lies, or `None` across the whole cloth.
    pub(super) rest: Option<usize>,
    pub(super) height: i64,
    pub(super) used: i64,
    pub(super) batches: Vec<Batch>,
}

/// The cloth the strips are cut from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room<'a> {
    pub(super) across: i64,
    pub(super) rests: &'a [Rest],
}

/// The best plan found: every unit of every item in a strip.
pub(super) fn packed(items: &[Item], room: Room<'_>, enough: i64) -> Vec<Cutstrip> {
    let mut best = Best {
        items,
        enough,
        strips: Vec::new(),
        cost: None,
    };
    let short: Vec<usize> = items.iter().map(|item| by_height(item, false)).collect();
    let long: Vec<usize> = items.iter().map(|item| by_height(item, true)).collect();
    let mut choice = short.clone();
    for (sides, turning) in [
        (&short, false),
        (&short, true),
        (&long, false),
        (&long, true),
    ] {
        if best.offer(first_fit(items, sides, turning, room)) {
            choice.clone_from(sides);
        }
    }
    if !best.is_enough() {
        bettered(&mut best, choice, room);
    }
    for favour in FAVOURS {
        if !best.is_enough() && room.rests.is_empty() {
            best.offer(strip_by_strip(items, room.across, favour));
        }
    }
    best.strips
}

/// The same by first fit alone: much quicker, mostly as short.
pub(super) fn quick(items: &[Item], room: Room<'_>) -> Vec<Cutstrip> {
    let mut best = Best {
        items,
        enough: 0,
        strips: Vec::new(),
        cost: None,
    };
    for tallest in [false, true] {
        let sides: Vec<usize> = items.iter().map(|i| by_height(i, tallest)).collect();
        for turning in [false, true] {
            best.offer(first_fit(items, &sides, turning, room));
        }
    }
    best.strips
}

/// The shortest plan so far.
struct Best<'a> {
    items: &'a [Item],
    /// A length that cannot be beaten.
    enough: i64,
    strips: Vec<Cutstrip>,
    cost: Option<(i64, usize)>,
}

impl Best<'_> {
    /// Keeps the plan if it is better; says so.
    fn offer(&mut self, strips: Vec<Cutstrip>) -> bool {
        let cost = (length(&strips), self.settings(&strips));
        let better = self.cost.is_none_or(|known| cost < known);
        if better {
            self.strips = strips;
            self.cost = Some(cost);
        }
        better
    }

    fn is_enough(&self) -> bool {
        self.cost.is_some_and(|(length, _)| length <= self.enough)
    }

    fn settings(&self, strips: &[Cutstrip]) -> usize {
        strips.iter().map(|strip| strip.settings(self.items)).sum()
    }
}

impl Cutstrip {
    /// How often the ruler is set for it: once for the strip, once for each kind of piece
    /// in it, once more for each kind that is lower.
    pub(super) fn settings(&self, items: &[Item]) -> usize {
        let lower = |batch: &&Batch| items[batch.item].ways[batch.way].height < self.height;
        1 + self.batches.len() + self.batches.iter().filter(lower).count()
    }
}

/// Cloth used by the strips that reach across all of it.
pub(super) fn length(strips: &[Cutstrip]) -> i64 {
    strips
        .iter()
        .filter(|strip| strip.rest.is_none())
        .map(|strip| strip.height)
        .sum()
}

fn by_height(item: &Item, tallest: bool) -> usize {
    let ways = item.ways.iter().enumerate();
    let best = if tallest {
        ways.max_by_key(|(index, way)| (way.height, std::cmp::Reverse(*index)))
    } else {
        ways.min_by_key(|(index, way)| (way.height, *index))
    };
    best.map_or(0, |(index, _)| index)
}

/// Turns one kind after another the other way up and keeps what helps.
fn bettered(best: &mut Best<'_>, mut choice: Vec<usize>, room: Room<'_>) {
    let items = best.items;
    let turnable: Vec<usize> = (0..items.len())
        .filter(|&i| items[i].ways.len() > 1)
        .collect();
    for turning in [true, false] {
        for &item in &turnable {
            let kept = choice[item];
            choice[item] = (kept + 1) % items[item].ways.len();
            if !best.offer(first_fit(items, &choice, turning, room)) {
                choice[item] = kept;
            }
            if best.is_enough() {
                return;
            }
        }
    }
}

/// First fit by falling height. `sides` is the way each item opens a strip; with `turning`
/// it may fill an open strip another way.
fn first_fit(items: &[Item], sides: &[usize], turning: bool, room: Room<'_>) -> Vec<Cutstrip> {
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_key(|&i| {
        let way = &items[i].ways[sides[i]];
        (!items[i].first, -way.height, -way.takes(1), i)
    });
    let mut floor = Floor::new(room);
    for index in order {
        let item = &items[index];
        let ways: Vec<usize> = if turning {
            (0..item.ways.len()).collect()
        } else {
            vec![sides[index]]
        };
        let mut left = item.count;
        for strip in &mut floor.strips {
            if left == 0 {
                break;
            }
            left -= floor_fill(strip, index, item, &ways, left, room);
        }
        while left > 0 {
            let Some(placed) = floor.open(index, sides[index], item, left) else {
                break;
            };
            left -= placed;
        }
    }
    floor.strips
}

/// Puts as many as fit into an open strip; of several ways the one that holds most.
fn floor_fill(
    strip: &mut Cutstrip,
    index: usize,
    item: &Item,
    ways: &[usize],
    left: u32,
    room: Room<'_>,
) -> u32 {
    let width = strip
        .rest
        .map_or(room.across, |rest| room.rests[rest].width);
    let room = width - strip.used;
    let best = ways
        .iter()
        .filter(|&&way| item.ways[way].height <= strip.height)
        .map(|&way| {
            (
                item.ways[way].fits(room).min(left),
                item.ways[way].height,
                way,
            )
        })
        .max_by_key(|&(units, height, way)| (units, height, std::cmp::Reverse(way)));
    match best {
        Some((units, _, way)) if units > 0 => {
            strip.put(index, way, &item.ways[way], units);
            units
        }
        _ => 0,
    }
}

impl Cutstrip {
    fn put(&mut self, item: usize, way: usize, how: &Way, units: u32) {
        self.batches.push(Batch {
            item,
            way,
            units,
            x: self.used,
        });
        self.used += how.takes(units);
    }
}

/// Strips being opened.
struct Floor<'a> {
    room: Room<'a>,
    /// Height left beside each panel.
    left: Vec<i64>,
    strips: Vec<Cutstrip>,
}

impl<'a> Floor<'a> {
    fn new(room: Room<'a>) -> Self {
        let left = room.rests.iter().map(|rest| rest.height).collect();
        Self {
            room,
            left,
            strips: Vec::new(),
        }
    }

    /// Opens a strip with as many as fit: beside a panel if there is room.
    fn open(&mut self, index: usize, way: usize, item: &Item, left: u32) -> Option<u32> {
        let how = &item.ways[way];
        let beside = |(rest, room): (usize, &i64)| {
            let fits = how.height <= *room && how.fits(self.room.rests[rest].width) > 0;
            (fits && !item.first).then_some(rest)
        };
        let rest = self.left.iter().enumerate().find_map(beside);
        let width = rest.map_or(self.room.across, |rest| self.room.rests[rest].width);
        let units = how.fits(width).min(left);
        if units == 0 {
            return None;
        }
        if let Some(rest) = rest {
            self.left[rest] -= how.height;
        }
        let mut strip = Cutstrip {
            rest,
            height: how.height,
            used: 0,
            batches: Vec::new(),
        };
        strip.put(index, way, how, units);
        self.strips.push(strip);
        Some(units)
    }
}

/// Strip by strip: the tallest piece left and the best selection beside it.
fn strip_by_strip(items: &[Item], across: i64, favour: i64) -> Vec<Cutstrip> {
    let mut left: Vec<u32> = items.iter().map(|item| item.count).collect();
    let mut strips = Vec::new();
    while let Some((lead, way)) = lead(items, &left) {
        let pattern = pattern(items, &left, (lead, way), across, favour);
        // An item may lie in it both ways up: count it once, with all its units.
        let mut uses = vec![0; items.len()];
        for batch in &pattern.batches {
            uses[batch.item] += batch.units;
        }
        while left.iter().zip(&uses).all(|(left, uses)| uses <= left) {
            let mut strip = pattern.clone();
            for (left, uses) in left.iter_mut().zip(&uses) {
                *left -= uses;
            }
            top_up(items, &mut left, &mut strip, across);
            strips.push(strip);
        }
    }
    strips
}

/// The tallest piece left, standing as low as it may; what is cut first comes first.
fn lead(items: &[Item], left: &[u32]) -> Option<(usize, usize)> {
    (0..items.len())
        .filter(|&index| left[index] > 0)
        .map(|index| (index, by_height(&items[index], false)))
        .max_by_key(|&(index, way)| {
            let how = &items[index].ways[way];
            (
                items[index].first,
                how.height,
                how.takes(1),
                std::cmp::Reverse(index),
            )
        })
}

/// A strip opened by one lead piece (or a run of them) and filled by most area.
fn pattern(
    items: &[Item],
    left: &[u32],
    lead: (usize, usize),
    across: i64,
    favour: i64,
) -> Cutstrip {
    let (lead, way) = lead;
    let how = &items[lead].ways[way];
    let units = if how.single() {
        1
    } else {
        how.fits(across).min(left[lead])
    };
    let mut strip = Cutstrip {
        rest: None,
        height: how.height,
        used: 0,
        batches: Vec::new(),
    };
    strip.put(lead, way, how, units.max(1));
    let room = across - strip.used;
    let candidates = candidates(items, left, lead, how.height, room);
    let mut taken = vec![0; items.len()];
    taken[lead] = units.max(1);
    for (item, way, units) in selection(items, &candidates, room, favour) {
        let units = units.min(left[item] - taken[item]);
        if units > 0 {
            taken[item] += units;
            match strip
                .batches
                .iter_mut()
                .find(|b| (b.item, b.way) == (item, way))
            {
                // More of the lead piece: one batch, so that they lie side by side.
                Some(batch) => batch.units += units,
                None => strip.batches.push(Batch {
                    item,
                    way,
                    units,
                    x: 0,
                }),
            }
        }
    }
    strip.used = 0;
    for batch in &mut strip.batches {
        batch.x = strip.used;
        strip.used += items[batch.item].ways[batch.way].takes(batch.units);
    }
    strip
}

/// Single pieces that may lie in the room, with how many are left of each.
fn candidates(
    items: &[Item],
    left: &[u32],
    lead: usize,
    height: i64,
    room: i64,
) -> Vec<(usize, usize, u32)> {
    let mut found = Vec::new();
    for (index, item) in items.iter().enumerate() {
        let many = left[index] - u32::from(index == lead);
        for (way, how) in item.ways.iter().enumerate() {
            let fits = how.single() && how.height <= height && how.fits(room) > 0;
            if many > 0 && fits && !item.first {
                found.push((index, way, many));
            }
        }
    }
    found
}

/// The selection with the most area: a bounded knapsack over the marks of the room.
fn selection(
    items: &[Item],
    candidates: &[(usize, usize, u32)],
    room: i64,
    favour: i64,
) -> Vec<(usize, usize, u32)> {
    let size = usize::try_from(room).unwrap_or_default() + 1;
    let mut value = vec![0_i64; size];
    let mut taken: Vec<Vec<u32>> = Vec::with_capacity(candidates.len());
    for &(item, way, many) in candidates {
        let how = &items[item].ways[way];
        let width = usize::try_from(how.takes(1)).unwrap_or(size);
        let area = how.height * how.takes(1);
        let worth = area * (FAVOUR_UNIT + favour * how.takes(1) / room.max(1));
        let mut count = vec![0_u32; size];
        for at in width..size {
            let before = at - width;
            if count[before] < many && value[before] + worth > value[at] {
                value[at] = value[before] + worth;
                count[at] = count[before] + 1;
            }
        }
        taken.push(count);
    }
    let mut at = (0..size)
        .max_by_key(|&at| (value[at], std::cmp::Reverse(at)))
        .unwrap_or(0);
    let mut chosen = Vec::new();
    for (&(item, way, _), count) in candidates.iter().zip(&taken).rev() {
        if count[at] > 0 {
            chosen.push((item, way, count[at]));
            at -= count[at] as usize * usize::try_from(items[item].ways[way].takes(1)).unwrap_or(0);
        }
    }
    chosen.reverse();
    chosen
}

/// Fills what is left of a strip with runs.
fn top_up(items: &[Item], left: &mut [u32], strip: &mut Cutstrip, across: i64) {
    for (index, item) in items.iter().enumerate() {
        for (way, how) in item.ways.iter().enumerate() {
            let units = how.fits(across - strip.used).min(left[index]);
            if units > 0 && how.height <= strip.height && !item.first {
                strip.put(index, way, how, units);
                left[index] -= units;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::cutting::kinds::Split;

    const ACROSS: i64 = 320;

    fn items() -> impl Strategy<Value = Vec<Item>> {
        let one = (4..160_i64, 4..300_i64, 1..80_u32, any::<bool>());
        let item = one.prop_map(|(height, width, count, turns)| {
            let mut ways = vec![Way::slab(height, width, Split::Whole, ACROSS)];
            if turns {
                ways.push(Way::slab(width, height, Split::Whole, ACROSS));
            }
            Item {
                demand: 0,
                ways,
                count,
                first: false,
                divisible: false,
            }
        });
        prop::collection::vec(item, 1..7)
    }

    /// Every unit once, nothing beyond the cloth, nothing higher than its strip.
    fn complete(items: &[Item], strips: &[Cutstrip]) {
        let mut laid = vec![0; items.len()];
        for strip in strips {
            let mut x = 0;
            for batch in &strip.batches {
                let way = &items[batch.item].ways[batch.way];
                assert!(batch.x == x && way.height <= strip.height);
                x += way.takes(batch.units);
                laid[batch.item] += batch.units;
            }
            assert!(x == strip.used && x <= ACROSS);
        }
        let wanted: Vec<u32> = items.iter().map(|item| item.count).collect();
        assert_eq!(laid, wanted);
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            cases: 200,
            failure_persistence: None,
            ..ProptestConfig::default()
        })]

        #[test]
        fn every_rule_makes_a_whole_plan(items in items()) {
            let room = Room { across: ACROSS, rests: &[] };
            for tallest in [false, true] {
                let sides: Vec<usize> = items.iter().map(|i| by_height(i, tallest)).collect();
                for turning in [false, true] {
                    complete(&items, &first_fit(&items, &sides, turning, room));
                }
            }
            for favour in FAVOURS {
                complete(&items, &strip_by_strip(&items, ACROSS, favour));
            }
        }
    }
}
