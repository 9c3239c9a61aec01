//! One pressing plan for the whole top.
//!
//! Answers: which way each seam of each block and of each row is pressed, so that seams
//! nest wherever they cross, inside blocks and where blocks meet, turned and mirrored
//! copies included; how many press variants of a block that takes; and what fails with
//! one.
//!
//! Each seam of a block is one yes-or-no choice shared by all copies. Where a later seam
//! crosses two earlier ones that lie on one line, those two nest if they are pressed
//! opposite ways. `wishes` says what each seam would like by itself, [`solve`] finds the
//! plan that costs least.
//!
//! **What weighs how much** (our choice): a crossing that does not nest costs
//! [`NEST`]; pressing towards more running seams or a point [`FEWER`]; a dark
//! allowance under light cloth up to [`DARKER`], by its length and the step of
//! lightness; towards the middle of the block [`OUTWARD`]; two seams that are the same
//! work pressed differently [`ALIKE`]. Each counts once a copy. So nesting is given up
//! only for nothing less than another crossing, or several wishes at once.
//!
//! **Apart and twirled.** A seam pressed apart costs [`OPEN`], for it is weaker and leaves
//! no ditch, and [`HALF`] for each crossing it takes part in, which then lies flat but does
//! not lock; to one side it costs [`LUMP`] where eight or more patches meet on it. Twirling
//! a seam over a four-patch turns its two halves opposite ways, so that all ends of a
//! four-patch have one sign, and costs [`TWIRL`]. After the variants are settled each is
//! tried where a lump lies or a crossing fails, all seams of one step at once, and kept if
//! the whole plan gets cheaper. Seams between rows are pressed apart where the lumps on
//! them weigh more.
//!
//! **The theorem behind the variants.** Call the end of a seam on a block's edge
//! positive if it is pressed clockwise along the edge. Of two blocks side by side, ends
//! that meet nest exactly when their signs are equal. So a block nests with all its
//! turned copies exactly if all its ends have one sign. A seam from edge to edge pressed
//! one way has opposite signs at its ends; a block with one can only do it if that seam
//! is twirled or pressed open. A mirrored copy has all signs changed.
//!
//! **Outside the blocks.** Seams within rows, between rows, of sashes, triangles and borders
//! are choices like the others (`outer`): one for each row, long seam and pair of border
//! strips. Towards the plain strip is not a rule here: it follows from the seams that run
//! in on the other side, and gives way where a crossing would not nest.

mod outer;
mod problem;
pub mod solve;
mod wishes;

use std::collections::{BTreeMap, BTreeSet};

use geometry::Point;

use super::seams::Seams;
use super::{BlockSewing, Press};
use crate::plan::{BlockId, Plan};
use crate::results::Blocks;
use crate::setting::Top;

pub use outer::{Group, TopPress};
pub(super) use outer::{TopSeam, TopSeams};
use problem::{Choices, Crossing, Kind, Meetings, Pair, build};

/// What a crossing that does not nest costs.
pub const NEST: i64 = 24;
/// What pressing towards the side with more seams running in costs.
pub const FEWER: i64 = 6;
/// The most a dark allowance under light cloth costs.
pub const DARKER: i64 = 6;
/// What pressing towards the middle of the block costs.
pub const OUTWARD: i64 = 2;
/// What two seams of the same work cost when they are pressed differently.
pub const ALIKE: i64 = 1;
/// What a seam pressed apart costs.
pub const OPEN: i64 = 8;
/// What a crossing costs that lies flat because one of its seams is pressed apart.
pub const HALF: i64 = NEST / 2;
/// What a lump costs: a seam to one side on which eight or more patches meet.
pub const LUMP: i64 = 32;
/// What twirling a seam costs.
pub const TWIRL: i64 = 6;
/// So many steps are tried apart or twirled at most.
const TRIED: usize = 8;

/// How the whole top is pressed.
#[derive(Clone, PartialEq, Debug)]
pub struct PressPlan {
    /// One entry a block of [`Sewing::blocks`](super::Sewing::blocks).
    pub blocks: Vec<BlockPress>,
    /// How the seams of the top outside its blocks are pressed, in the order of the work.
    pub top: Vec<TopPress>,
    /// The points of the top where two seams meet end to end on a third.
    pub meeting: Vec<Point>,
    /// For each placed block of the top its press variant, 0 or 1.
    pub variant: Vec<u8>,
    /// Whether the seams of each row, in the order of the top's rows, are pressed along
    /// the row (to the right, or up on point); with sashing, towards the sashes.
    pub rows: Vec<bool>,
    /// With one variant of each block.
    pub with_one: Tally,
    /// The same with every second copy turned half round, where the blocks that turn
    /// look the same so turned.
    pub half_turned: Option<Tally>,
    /// With two variants, in turn like the squares of a chequerboard.
    pub with_two: Tally,
    /// The least number of variants of a block with which everything nests that can
    /// nest at all; 2 also where two do better than one without doing everything.
    pub variants: u32,
    /// As it is pressed in the end, seams apart and twirled where that pays.
    pub as_pressed: Tally,
    /// Seams between rows that are pressed apart: how many patches meet at their worst
    /// point. `None` where they are pressed to one side.
    pub between_rows_apart: Option<usize>,
}

impl PressPlan {
    /// How a group of seams outside the blocks is pressed.
    #[must_use]
    pub fn of(&self, group: Group) -> Option<&TopPress> {
        self.top.iter().find(|press| press.group == group)
    }
}

/// How many crossings there are, and how many do not nest.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Tally {
    /// Crossings inside blocks, all copies counted.
    pub inside: u32,
    /// Those that do not nest.
    pub inside_failing: u32,
    /// Places where seams of two blocks meet end to end.
    pub between: u32,
    /// Those that do not nest.
    pub between_failing: u32,
    /// Places where seams of two rows meet.
    pub rows: u32,
    /// Those that do not nest.
    pub rows_failing: u32,
    /// The cost of the whole plan, and the least that is proved possible.
    pub cost: i64,
    /// See `cost`.
    pub at_least: i64,
}

impl Tally {
    /// Crossings of any sort that do not nest.
    #[must_use]
    pub fn failing(&self) -> u32 {
        self.inside_failing + self.between_failing + self.rows_failing
    }

    /// Crossings of any sort.
    #[must_use]
    pub fn all(&self) -> u32 {
        self.inside + self.between + self.rows
    }
}

/// The pressing of one block.
#[derive(Clone, PartialEq, Debug)]
pub struct BlockPress {
    /// Which block.
    pub block: BlockId,
    /// For each join the way it is pressed in the first variant and in the second; the
    /// same where there is one variant.
    pub ways: Vec<[Press; 2]>,
    /// Why, in the first variant.
    pub reasons: Vec<&'static str>,
    /// How many copies of each variant.
    pub copies: [u32; 2],
    /// Whether every seam is pressed away from the middle of the block.
    pub from_the_centre: bool,
    /// Joins that are pressed apart because crossings they take part in could not nest.
    pub opened: Vec<usize>,
    /// Joins that are twirled, because without it seams would not nest.
    pub twirled: Vec<usize>,
    /// Joins that may be twirled: the last seam over a four-patch whose first two seams
    /// nest.
    pub twirl: Vec<usize>,
    /// Why the block cannot nest with all its turned copies pressed in one way: a join
    /// that runs from edge to edge. `None` if it can.
    pub not_universal: Option<usize>,
}

impl BlockPress {
    /// Joins that the second variant presses the other way.
    #[must_use]
    pub fn differing(&self) -> Vec<usize> {
        let differs = |&(_, [one, two]): &(usize, &[Press; 2])| one != two;
        self.ways
            .iter()
            .enumerate()
            .filter(differs)
            .map(|(i, _)| i)
            .collect()
    }
}

/// Works out the pressing of the whole top.
pub(super) fn work_out(
    plan: &Plan,
    blocks: &Blocks,
    top: &Top,
    sewn: &[BlockSewing],
    outer: &TopSeams,
) -> PressPlan {
    let work = Work::of(plan, blocks, top, sewn, outer);
    let meetings = Meetings::of(&work, &[]);
    let chequered: Vec<u8> = top.blocks.iter().map(chequer).collect();
    let usual = work.usual();
    let alike = vec![0; top.blocks.len()];
    let one = work.pressed(&alike, &meetings, &usual);
    let two = work.pressed(&chequered, &meetings, &usual);
    let half_turned = work.half_turned(&chequered, &usual);
    let better = two.tally.failing() < one.tally.failing();
    let (variant, chosen) = if better {
        (chequered, two.clone())
    } else {
        (alike, one.clone())
    };
    let chosen = work.improved(&variant, &meetings, chosen);
    PressPlan {
        blocks: work.blocks(&chosen, &variant),
        rows: chosen.rows.clone(),
        top: work.outer_presses(&chosen),
        meeting: meetings.points,
        variant,
        with_one: one.tally,
        with_two: two.tally,
        half_turned,
        variants: if better { 2 } else { 1 },
        as_pressed: chosen.tally,
        between_rows_apart: work.between_apart,
    }
}

/// How a seam is pressed, the side apart.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum How {
    Side,
    Open,
    /// The half at the seam's first point as decided, the other half opposite.
    Twirled,
}

/// For each sewn block, for each of its joins.
type Hows = Vec<Vec<How>>;

/// The colour of the chequerboard square a block stands on.
fn chequer(placed: &crate::setting::PlacedBlock) -> u8 {
    if placed.border.is_some() {
        return 0;
    }
    let (row, column) = placed.diagonal.unwrap_or((placed.row, placed.column));
    u8::from((row + column) % 2 == 1)
}

/// Everything the plan is made from.
struct Work<'a> {
    top: &'a Top,
    sewn: &'a [BlockSewing],
    outer: &'a TopSeams,
    /// What each of them would like.
    outer_wishes: Vec<outer::OuterWish>,
    /// Seams between rows pressed apart: how many patches meet at their worst point.
    between_apart: Option<usize>,
    /// For each sewn block.
    parts: Vec<Part<'a>>,
    /// For each block of the plan its entry in `parts`.
    part_of: Vec<Option<usize>>,
}

/// One sewn block as pressing sees it.
struct Part<'a> {
    seams: Seams<'a>,
    wishes: Vec<wishes::Wish>,
    crossings: Vec<Crossing>,
    /// Ends of joins on the block's outline.
    ends: Vec<problem::End>,
    alike: Vec<Pair>,
    /// Whether it looks the same turned half round.
    half_turn: bool,
}

/// A plan with its tally.
#[derive(Clone)]
struct Pressed {
    choices: Choices,
    hows: Hows,
    values: Vec<bool>,
    tally: Tally,
    rows: Vec<bool>,
    /// Choices that nest with a seam of another row, sash or border.
    nests: BTreeSet<usize>,
    /// For each sewn block the joins in crossings that do not nest.
    failing: Vec<Vec<usize>>,
}

impl<'a> Work<'a> {
    fn of(
        plan: &'a Plan,
        blocks: &'a Blocks,
        top: &'a Top,
        sewn: &'a [BlockSewing],
        outer: &'a TopSeams,
    ) -> Self {
        let mut part_of = vec![None; plan.blocks.len()];
        let mut parts = Vec::new();
        for sewing in sewn {
            let Some(block) = blocks.get(sewing.block.0).and_then(Option::as_deref) else {
                continue;
            };
            part_of[sewing.block.0] = Some(parts.len());
            let seams = Seams::of(block, sewing);
            parts.push(Part {
                wishes: wishes::wishes(plan, sewing, &seams),
                crossings: problem::crossings(&seams),
                ends: problem::ends(&seams),
                alike: problem::alike(plan, sewing, block),
                half_turn: problem::same_half_turned(plan, sewing.block, block),
                seams,
            });
        }
        let mut work = Self {
            top,
            sewn,
            outer,
            outer_wishes: Vec::new(),
            between_apart: None,
            parts,
            part_of,
        };
        work.outer_wishes = outer::wishes(plan, &work);
        let (most, lumps) = problem::between_rows(&work, wishes::LUMP);
        let apart = lumps as i64 * LUMP > top.blocks.len() as i64 * OPEN;
        work.between_apart = apart.then_some(most);
        work
    }

    /// Whether a group of seams outside blocks is pressed apart.
    fn is_apart(&self, group: Group) -> bool {
        matches!(group, Group::Between(_)) && self.between_apart.is_some()
    }

    /// The best plan with these variants, where ends meet so.
    fn pressed(&self, variant: &[u8], meetings: &Meetings, hows: &Hows) -> Pressed {
        let choices = Choices::of(self, variant, hows);
        let (problem, pairs) = build(self, &choices, (variant, hows), meetings);
        let solution = problem.solve();
        let mut tally = Tally {
            cost: solution.cost,
            at_least: solution.at_least,
            ..Tally::default()
        };
        let mut in_trouble = vec![false; problem.costs.len()];
        for pair in &pairs {
            let fails = (solution.values[pair.a] == solution.values[pair.b]) != pair.equal;
            let (all, failing) = match pair.kind {
                Kind::Inside => (&mut tally.inside, &mut tally.inside_failing),
                Kind::Between => (&mut tally.between, &mut tally.between_failing),
                Kind::Rows => (&mut tally.rows, &mut tally.rows_failing),
                Kind::Alike => continue,
            };
            *all += pair.times;
            if fails {
                *failing += pair.times;
                in_trouble[pair.a] = true;
                in_trouble[pair.b] = true;
            }
        }
        let failing = (0..self.parts.len()).map(|part| {
            let troubled = |&join: &usize| {
                [0, 1].iter().any(|&variant| {
                    let choice = choices.of_join(part, variant, join);
                    choice.is_some_and(|choice| in_trouble[choice])
                })
            };
            (0..hows[part].len()).filter(troubled).collect()
        });
        let failing = failing.collect();
        let said = |group| {
            choices
                .of_group(group)
                .is_some_and(|choice| solution.values[choice])
        };
        let rows = (0..self.outer.rows).map(Group::Row).map(said).collect();
        let nests = pairs.iter().filter(|pair| {
            let holds = (solution.values[pair.a] == solution.values[pair.b]) == pair.equal;
            holds && pair.kind == Kind::Rows
        });
        let nests = nests.flat_map(|pair| [pair.a, pair.b]).collect();
        Pressed {
            choices,
            hows: hows.clone(),
            values: solution.values,
            tally,
            rows,
            nests,
            failing,
        }
    }

    /// Every seam to one side, but apart where it would make a lump.
    fn usual(&self) -> Hows {
        let how = |wish: &wishes::Wish| if wish.lump { How::Open } else { How::Side };
        let parts = self.parts.iter();
        parts
            .map(|part| part.wishes.iter().map(how).collect())
            .collect()
    }

    /// What a plan costs with what is apart, twirled or lumpy; `all` crossings there would
    /// be with every seam to one side.
    fn cost(&self, pressed: &Pressed, all: u32) -> i64 {
        let mut cost = pressed.tally.cost + i64::from(all - pressed.tally.all()) * HALF;
        for (part, hows) in pressed.hows.iter().enumerate() {
            let copies = i64::from(pressed.choices.copies(part));
            for (how, wish) in hows.iter().zip(&self.parts[part].wishes) {
                cost += copies
                    * match how {
                        How::Open => OPEN,
                        How::Twirled => TWIRL,
                        How::Side => 0,
                    };
                if wish.lump && *how != How::Open {
                    cost += copies * LUMP;
                }
            }
        }
        cost
    }

    /// Tries seams apart, twirled, or to one side after all, where that may pay.
    fn improved(&self, variant: &[u8], meetings: &Meetings, mut best: Pressed) -> Pressed {
        let lumps = |part: &Part<'_>| part.wishes.iter().any(|wish| wish.lump);
        if best.tally.failing() == 0 && !self.parts.iter().any(lumps) {
            return best;
        }
        let side = self
            .parts
            .iter()
            .map(|part| vec![How::Side; part.wishes.len()]);
        let all = self.pressed(variant, meetings, &side.collect()).tally.all();
        let mut least = self.cost(&best, all);
        let mut left = TRIED;
        for part in 0..self.parts.len() {
            for (joins, how) in self.tries(part, &best) {
                if left == 0 {
                    return best;
                }
                left -= 1;
                let mut hows = best.hows.clone();
                for join in joins {
                    hows[part][join] = how;
                }
                let other = self.pressed(variant, meetings, &hows);
                let cost = self.cost(&other, all);
                if cost < least {
                    (best, least) = (other, cost);
                }
            }
        }
        best
    }

    /// What may be tried with the seams of a block, step by step: lumps to one side, then
    /// twirls, then seams apart.
    fn tries(&self, part: usize, now: &Pressed) -> Vec<(Vec<usize>, How)> {
        let (own, sewing) = (&self.parts[part], &self.sewn[part]);
        let by_step = |joins: &mut dyn Iterator<Item = usize>| {
            let mut steps: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            for join in joins {
                steps.entry(sewing.joins[join].step).or_default().push(join);
            }
            steps.into_values().collect::<Vec<_>>()
        };
        let open = (0..own.wishes.len()).filter(|&join| own.wishes[join].lump);
        let mut tries: Vec<(Vec<usize>, How)> = Vec::new();
        let mut add = |joins: Vec<Vec<usize>>, how: How| {
            tries.extend(joins.into_iter().map(|joins| (joins, how)));
        };
        add(by_step(&mut open.into_iter()), How::Side);
        if !now.failing[part].is_empty() {
            let ways: Vec<Press> = (0..own.wishes.len())
                .map(|join| now.way(part, join, 0))
                .collect();
            let free = |join: &usize| !own.wishes[*join].settled();
            let twirls = own.twirls(&ways, &now.hows[part]).into_iter();
            add(by_step(&mut twirls.filter(free)), How::Twirled);
            let failing = now.failing[part].iter().copied();
            add(by_step(&mut failing.filter(free)), How::Open);
        }
        tries
    }

    /// One variant, every second copy turned half round; `None` where a block that
    /// would have to turn looks different so turned.
    fn half_turned(&self, chequered: &[u8], hows: &Hows) -> Option<Tally> {
        let turned: Vec<bool> = chequered.iter().map(|&c| c == 1).collect();
        let all_look_the_same = self
            .top
            .blocks
            .iter()
            .zip(&turned)
            .all(|(placed, &turned)| {
                let part = self.part_of[placed.block.0];
                !turned || part.is_some_and(|part| self.parts[part].half_turn)
            });
        let any = turned.contains(&true);
        (any && all_look_the_same).then(|| {
            let meetings = Meetings::of(self, &turned);
            self.pressed(&vec![0; turned.len()], &meetings, hows).tally
        })
    }

    /// The groups of seams outside blocks, and why each is pressed so.
    fn outer_presses(&self, pressed: &Pressed) -> Vec<TopPress> {
        let mut groups = self.outer.groups();
        groups.sort_by_key(|group| (group.order(), *group));
        let press = |group: Group| {
            let Some(choice) = pressed.choices.of_group(group) else {
                return TopPress {
                    group,
                    yes: false,
                    apart: true,
                    reason: wishes::APART,
                };
            };
            let yes = pressed.values[choice];
            let seams = self.outer.seams.iter().zip(&self.outer_wishes);
            let own = seams.filter(|(seam, _)| seam.group == group);
            let wish = own
                .map(|(_, wish)| wish)
                .max_by_key(|wish| (wish.weight, wish.yes == yes));
            TopPress {
                group,
                yes,
                apart: false,
                reason: match wish {
                    Some(wish) if wish.weight > 0 && wish.yes == yes => wish.reason,
                    _ if pressed.nests.contains(&choice) => NESTS,
                    Some(wish) if wish.weight > 0 => outer::LIKE_OTHERS,
                    _ => outer::EITHER,
                },
            }
        };
        groups.into_iter().map(press).collect()
    }

    fn blocks(&self, pressed: &Pressed, variant: &[u8]) -> Vec<BlockPress> {
        let part = |(index, sewing): (usize, &BlockSewing)| {
            let part = &self.parts[index];
            let hows = &pressed.hows[index];
            let way = |join, variant| pressed.way(index, join, variant);
            let ways: Vec<[Press; 2]> = (0..sewing.joins.len())
                .map(|join| [way(join, 0), way(join, 1)])
                .collect();
            let mut copies = [0; 2];
            for (placed, &variant) in self.top.blocks.iter().zip(variant) {
                if placed.block == sewing.block {
                    copies[usize::from(variant)] += 1;
                }
            }
            let first: Vec<Press> = ways.iter().map(|way| way[0]).collect();
            let nests = part.crossings_of(&first, hows);
            let with = |wanted: How, lump: bool| {
                let joins = (0..hows.len()).filter(|&join| hows[join] == wanted);
                joins
                    .filter(|&join| lump || !part.wishes[join].lump)
                    .collect::<Vec<_>>()
            };
            BlockPress {
                block: sewing.block,
                reasons: part.reasons(&first, &nests),
                from_the_centre: part.runs_outward(&first),
                opened: with(How::Open, false),
                twirled: with(How::Twirled, true),
                twirl: part.twirls(&first, hows),
                not_universal: part.not_universal(),
                ways,
                copies,
            }
        };
        self.sewn.iter().enumerate().map(part).collect()
    }
}

impl Pressed {
    /// Which way a join is pressed in a variant.
    fn way(&self, part: usize, join: usize, variant: u8) -> Press {
        match self.choices.of_join(part, variant, join) {
            None => Press::Open,
            Some(choice) if self.values[choice] => Press::Right,
            Some(_) => Press::Left,
        }
    }
}

const OPENED: &str = "apart, since the seams it meets could not all nest";
const NESTS: &str = "opposite to the seam it meets, so that they nest";
const MEETS: &str = "so that it nests with the block beside it";

impl Part<'_> {
    /// The joins that take part in a crossing that nests.
    fn crossings_of(&self, ways: &[Press], hows: &[How]) -> Vec<bool> {
        let mut nests = vec![false; ways.len()];
        for crossing in &self.crossings {
            let (one, other) = (crossing.one, crossing.other);
            let closed = ways[one] != Press::Open && ways[other] != Press::Open;
            if closed && (ways[one] == ways[other]) == crossing.equal(hows) {
                nests[one] = true;
                nests[other] = true;
            }
        }
        nests
    }

    fn reasons(&self, ways: &[Press], nests: &[bool]) -> Vec<&'static str> {
        let reason = |(join, wish): (usize, &wishes::Wish)| {
            if ways[join] == Press::Open {
                if wish.lump { wishes::APART } else { OPENED }
            } else if ways[join] == wish.press {
                wish.reason
            } else if nests[join] {
                NESTS
            } else {
                MEETS
            }
        };
        self.wishes.iter().enumerate().map(reason).collect()
    }

    fn runs_outward(&self, ways: &[Press]) -> bool {
        let away = |(wish, way): (&wishes::Wish, &Press)| wish.away.is_none_or(|away| away == *way);
        ways.len() > 1
            && self.wishes.iter().any(|wish| wish.away.is_some())
            && self.wishes.iter().zip(ways).all(away)
    }

    /// Joins over a point where exactly two other seams end, on one line and nested.
    fn twirls(&self, ways: &[Press], hows: &[How]) -> Vec<usize> {
        let nests = |one: usize, other: usize| {
            self.crossings.iter().any(|crossing| {
                let (a, b) = (crossing.one, crossing.other);
                let both = [a, b] == [one.min(other), one.max(other)];
                both && (ways[a] == ways[b]) == crossing.equal(hows)
            })
        };
        let mut twirls = Vec::new();
        for (join, way) in ways.iter().enumerate() {
            if *way == Press::Open {
                continue;
            }
            let inner = self.seams.inner_vertices(join);
            let four = inner.iter().any(|&vertex| {
                let mut others: Vec<usize> = self.seams.at[vertex]
                    .iter()
                    .filter_map(|&edge| self.seams.by_edge[edge])
                    .filter(|&other| other != join)
                    .collect();
                others.sort_unstable();
                let closed = others.iter().all(|&other| ways[other] != Press::Open);
                matches!(others.as_slice(), [one, other] if closed && nests(*one, *other))
            });
            // Where several points lie on it, the seam would have to be twirled at each.
            if four && inner.len() == 1 {
                twirls.push(join);
            }
        }
        twirls
    }

    /// The first join whose two ends on the outline ask for opposite ways.
    fn not_universal(&self) -> Option<usize> {
        let mut sign: BTreeMap<usize, bool> = BTreeMap::new();
        for end in &self.ends {
            let Some(clockwise) = end.clockwise_right else {
                continue;
            };
            if *sign.entry(end.join).or_insert(clockwise) != clockwise {
                return Some(end.join);
            }
        }
        None
    }
}

/// Where an end lies and which way it runs into the block; see [`problem::End`].
type At = (Point, Point);
