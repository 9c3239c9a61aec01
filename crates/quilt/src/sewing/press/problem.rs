//! From a top to choices and pairs of choices: what would like to be pressed how.
//!
//! **Units.** Exact positions; nothing here is measured.
//!
//! **Always holds.** Every pair of seam ends that lie on one line and meet in one point
//! is looked at once, wherever the blocks lie and however they are turned.

use std::collections::BTreeMap;

use geometry::{Motion, Point};

use super::super::seams::Seams;
use super::super::{BlockSewing, Press};
use super::solve::Problem;
use super::{ALIKE, At, Group, How, Hows, NEST, TopSeam, Work};
use crate::block::Block;
use crate::plan::{BlockId, ClothId, Plan};
use crate::setting::PlacedBlock;

/// The end of a join on the block's outline.
pub(super) struct End {
    pub(super) join: usize,
    /// Where it ends, and the direction from there along the seam into the block.
    pub(super) at: At,
    /// Whether it is the end at the seam's second point: of a twirled seam this half goes
    /// the other way.
    second: bool,
    /// The direction in which it is pressed when it is pressed right.
    right: Point,
    /// Whether pressed right it is pressed clockwise along the outline; none in a corner.
    pub(super) clockwise_right: Option<bool>,
}

/// Two joins that meet on one line under a later seam.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Crossing {
    pub(super) one: usize,
    pub(super) other: usize,
    /// Whether they nest when both are pressed to their own right.
    pub(super) equal: bool,
    /// Whether each meets there with the end at its second point.
    second: [bool; 2],
}

impl Crossing {
    /// The same when some joins are twirled.
    pub(super) fn equal(&self, how: &[How]) -> bool {
        let turned = |join: usize, second: bool| second && how[join] == How::Twirled;
        let odd = turned(self.one, self.second[0]) != turned(self.other, self.second[1]);
        self.equal != odd
    }
}

/// A pair of choices that would like to be equal, or opposite.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Pair {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) equal: bool,
    pub(super) kind: Kind,
    /// In how many places of the top.
    pub(super) times: u32,
}

/// Where a pair comes from.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Kind {
    Inside,
    Between,
    Rows,
    Alike,
}

/// Which choice stands for what.
#[derive(Clone)]
pub(super) struct Choices {
    /// For each block and variant, for each join its choice; none where it is pressed
    /// open.
    joins: Vec<[Vec<Option<usize>>; 2]>,
    copies: Vec<[u32; 2]>,
    /// The choice of each group of seams outside blocks; those pressed apart have none.
    groups: BTreeMap<Group, usize>,
    pub(super) count: usize,
}

impl Choices {
    pub(super) fn of(work: &Work<'_>, variant: &[u8], hows: &Hows) -> Self {
        let mut copies = vec![[0; 2]; work.parts.len()];
        for (placed, &variant) in work.top.blocks.iter().zip(variant) {
            if let Some(part) = work.part_of[placed.block.0] {
                copies[part][usize::from(variant)] += 1;
            }
        }
        let mut next = 0;
        let mut numbered = |hows: &[How]| {
            let choice = |how: &How| {
                (*how != How::Open).then(|| {
                    next += 1;
                    next - 1
                })
            };
            hows.iter().map(choice).collect::<Vec<_>>()
        };
        let joins: Vec<[Vec<Option<usize>>; 2]> = hows
            .iter()
            .zip(&copies)
            .map(|(hows, copies)| {
                // A variant no copy has is the other one.
                let first = numbered(hows);
                let second = if copies[0] > 0 && copies[1] > 0 {
                    numbered(hows)
                } else {
                    first.clone()
                };
                [first, second]
            })
            .collect();
        let groups = work.outer.groups().into_iter();
        let closed = groups.filter(|group| !work.is_apart(*group));
        let groups: BTreeMap<Group, usize> = closed
            .enumerate()
            .map(|(number, group)| (group, next + number))
            .collect();
        Self {
            joins,
            copies,
            count: next + groups.len(),
            groups,
        }
    }

    pub(super) fn of_join(&self, part: usize, variant: u8, join: usize) -> Option<usize> {
        self.joins[part][usize::from(variant)][join]
    }

    pub(super) fn of_group(&self, group: Group) -> Option<usize> {
        self.groups.get(&group).copied()
    }

    /// How many copies a part has in all; one that has none is looked at as if it had one.
    pub(super) fn copies(&self, part: usize) -> u32 {
        self.copies[part].iter().sum::<u32>().max(1)
    }

    /// The variants that have choices of their own, and how many copies each has.
    fn variants(&self, part: usize) -> Vec<(u8, u32)> {
        match self.copies[part] {
            [first, 0] => vec![(0, first.max(1))],
            [0, second] => vec![(0, second)],
            [first, second] => vec![(0, first), (1, second)],
        }
    }
}

/// Where ends meet in one point, on one line.
pub(super) struct Meetings {
    all: Vec<Meeting>,
    /// The points, each once.
    pub(super) points: Vec<Point>,
}

/// Two ends that meet, however they are pressed.
struct Meeting {
    ends: [Owner; 2],
    /// Whether they nest with equal values.
    equal: bool,
    kind: Kind,
}

/// Whose end it is.
#[derive(Clone, Copy)]
enum Owner {
    /// Of a join of a placed block.
    Join {
        part: usize,
        placed: usize,
        join: usize,
        /// Whether it is the end at the seam's second point.
        second: bool,
    },
    /// Of a seam outside blocks.
    Outer(Group),
}

/// An end where it lies in the top.
struct Placed {
    owner: Owner,
    into: Point,
    right: Point,
}

impl Meetings {
    /// Every meeting of the top; blocks in `turned` lie turned half round.
    pub(super) fn of(work: &Work<'_>, turned: &[bool]) -> Self {
        let mut at: BTreeMap<Point, Vec<Placed>> = BTreeMap::new();
        // What turning makes of the ends of a block, for each way its copies are turned.
        let mut ways: BTreeMap<(usize, Point, Point), Vec<[Point; 3]>> = BTreeMap::new();
        for (index, placed) in work.top.blocks.iter().enumerate() {
            let Some(part) = work.part_of[placed.block.0] else {
                continue;
            };
            let half = turned.get(index).copied().unwrap_or(false);
            let motion = lies(work, part, placed, half);
            let axes = [Point::ints(1, 0), Point::ints(0, 1)].map(|v| motion.apply_vector(&v));
            let ends = &work.parts[part].ends;
            let [x, y] = axes;
            let way = ways.entry((part, x, y)).or_insert_with(|| {
                let vectors = ends.iter().map(|end| [&end.at.0, &end.at.1, &end.right]);
                vectors
                    .map(|end| end.map(|vector| motion.apply_vector(vector)))
                    .collect()
            });
            for (end, [from_origin, into, right]) in ends.iter().zip(way) {
                let point = &*from_origin + motion.origin();
                at.entry(point).or_default().push(Placed {
                    owner: Owner::Join {
                        part,
                        placed: index,
                        join: end.join,
                        second: end.second,
                    },
                    into: into.clone(),
                    right: right.clone(),
                });
            }
        }
        for seam in &work.outer.seams {
            for (here, there) in [(&seam.seam.a, &seam.seam.b), (&seam.seam.b, &seam.seam.a)] {
                at.entry(here.clone()).or_default().push(Placed {
                    owner: Owner::Outer(seam.group),
                    into: there - here,
                    right: seam.towards.clone(),
                });
            }
        }
        let (mut all, mut points) = (Vec::new(), Vec::new());
        for (point, ends) in at {
            let before = all.len();
            for (i, one) in ends.iter().enumerate() {
                all.extend(ends[i + 1..].iter().filter_map(|other| meeting(one, other)));
            }
            if all.len() > before {
                points.push(point);
            }
        }
        Self { all, points }
    }

    /// The pairs of choices they make; seams pressed apart meet nothing.
    fn pairs(&self, variant: &[u8], hows: &Hows, choices: &Choices) -> Vec<Pair> {
        let choice = |owner: Owner| match owner {
            Owner::Outer(group) => choices.of_group(group),
            Owner::Join {
                part, placed, join, ..
            } => choices.of_join(part, variant[placed], join),
        };
        let twirled = |owner: Owner| match owner {
            Owner::Outer(_) => false,
            Owner::Join {
                part, join, second, ..
            } => second && hows[part][join] == How::Twirled,
        };
        let pair = |meeting: &Meeting| {
            let [one, other] = meeting.ends;
            Some(Pair {
                a: choice(one)?,
                b: choice(other)?,
                equal: meeting.equal != (twirled(one) != twirled(other)),
                kind: meeting.kind,
                times: 1,
            })
        };
        self.all.iter().filter_map(pair).collect()
    }
}

/// Where a copy lies, perhaps turned half round about its own middle.
pub(super) fn lies(work: &Work<'_>, part: usize, placed: &PlacedBlock, half: bool) -> Motion {
    if !half {
        return placed.motion.clone();
    }
    let (low, high) = work.parts[part].seams.block.drafted.outline.bounds();
    Motion::quarter_turns(2)
        .then(&Motion::shift(&low + &high))
        .then(&placed.motion)
}

/// The meeting of two ends, if they lie on one line and meet end to end.
fn meeting(one: &Placed, other: &Placed) -> Option<Meeting> {
    let block = |owner| match owner {
        Owner::Join { placed, .. } => Some(placed),
        Owner::Outer(_) => None,
    };
    let blocks = [block(one.owner), block(other.owner)];
    let own = blocks[0].is_some() && blocks[0] == blocks[1];
    let straight =
        !own && one.into.cross(&other.into).is_zero() && !one.into.dot(&other.into).is_positive();
    straight.then(|| Meeting {
        ends: [one.owner, other.owner],
        // They nest pressed opposite ways: with equal values if their rights are opposite.
        equal: !one.right.dot(&other.right).is_positive(),
        kind: match blocks {
            [Some(_), Some(_)] => Kind::Between,
            _ => Kind::Rows,
        },
    })
}

/// The problem to solve, and its pairs for counting.
pub(super) fn build(
    work: &Work<'_>,
    choices: &Choices,
    (variant, hows): (&[u8], &Hows),
    meetings: &Meetings,
) -> (Problem, Vec<Pair>) {
    let mut costs = vec![[0; 2]; choices.count];
    let mut sum: BTreeMap<(usize, usize, bool, Kind), u32> = BTreeMap::new();
    let mut add = |pair: Pair| {
        let key = (
            pair.a.min(pair.b),
            pair.a.max(pair.b),
            pair.equal,
            pair.kind,
        );
        *sum.entry(key).or_default() += pair.times;
    };
    for (index, part) in work.parts.iter().enumerate() {
        for (variant, copies) in choices.variants(index) {
            for (join, wish) in part.wishes.iter().enumerate() {
                if let Some(choice) = choices.of_join(index, variant, join) {
                    let other_way = usize::from(wish.press == Press::Left);
                    costs[choice][other_way] += wish.weight * i64::from(copies);
                }
            }
            let inside = part.crossings.iter().map(|crossing| {
                let equal = crossing.equal(&hows[index]);
                (crossing.one, crossing.other, equal, Kind::Inside)
            });
            let alike = part
                .alike
                .iter()
                .map(|pair| (pair.a, pair.b, pair.equal, Kind::Alike));
            for (one, other, equal, kind) in inside.chain(alike) {
                let choice = |join| choices.of_join(index, variant, join);
                if let (Some(a), Some(b)) = (choice(one), choice(other)) {
                    add(Pair {
                        a,
                        b,
                        equal,
                        kind,
                        times: copies,
                    });
                }
            }
        }
    }
    for (seam, wish) in work.outer.seams.iter().zip(&work.outer_wishes) {
        if let Some(choice) = choices.of_group(seam.group) {
            costs[choice][usize::from(!wish.yes)] += wish.weight;
        }
    }
    for &(one, other, equal) in &work.outer.alike {
        if let (Some(a), Some(b)) = (choices.of_group(one), choices.of_group(other)) {
            add(Pair {
                a,
                b,
                equal,
                kind: Kind::Alike,
                times: 1,
            });
        }
    }
    if let Some(first) = choices.of_group(Group::Row(0)) {
        // Of two equal plans, the one whose first row goes to the left.
        costs[first][1] += 1;
    }
    let meeting = meetings.pairs(variant, hows, choices);
    meeting.into_iter().for_each(&mut add);
    let pairs: Vec<Pair> = sum
        .into_iter()
        .map(|((a, b, equal, kind), times)| Pair {
            a,
            b,
            equal,
            kind,
            times,
        })
        .collect();
    let weight = |pair: &Pair| {
        let one = if pair.kind == Kind::Alike {
            ALIKE
        } else {
            NEST
        };
        (pair.a, pair.b, pair.equal, one * i64::from(pair.times))
    };
    (
        Problem {
            costs,
            pairs: pairs.iter().map(weight).collect(),
        },
        pairs,
    )
}

/// Pairs of joins that meet on one line at a seam sewn after both.
pub(super) fn crossings(seams: &Seams<'_>) -> Vec<Crossing> {
    let points = &seams.block.drafted.arrangement.vertices;
    let mut pairs = Vec::new();
    for (vertex, edges) in seams.at.iter().enumerate() {
        let ends: Vec<(usize, Point)> = edges
            .iter()
            .filter_map(|&edge| {
                let way = &points[seams.other_end(edge, vertex)] - &points[vertex];
                Some((seams.by_edge[edge]?, way))
            })
            .collect();
        let Some(last) = ends.iter().map(|&(join, _)| join).max() else {
            continue;
        };
        for (i, (one, way)) in ends.iter().enumerate() {
            for (other, back) in &ends[i + 1..] {
                let straight = way.cross(back).is_zero() && !way.dot(back).is_positive();
                // The seam that passes through here last of all crosses the pair.
                if one != other && straight && last > *one && last > *other {
                    let [a, b] = [one, other].map(|&join| seams.joins[join].seam.vector());
                    let second =
                        [one, other].map(|&join| seams.joins[join].seam.b == points[vertex]);
                    let swapped = one > other;
                    pairs.push(Crossing {
                        one: *one.min(other),
                        other: *one.max(other),
                        equal: !a.dot(&b).is_positive(),
                        second: if swapped {
                            [second[1], second[0]]
                        } else {
                            second
                        },
                    });
                }
            }
        }
    }
    pairs.sort_unstable();
    pairs
}

/// The ends of joins on the block's outline.
pub(super) fn ends(seams: &Seams<'_>) -> Vec<End> {
    let drawing = &seams.block.drafted.arrangement;
    let outline = &seams.block.drafted.outline;
    let mut ends = Vec::new();
    for (vertex, point) in drawing.vertices.iter().enumerate() {
        let Some(side) = outline.edges().find(|edge| edge.contains(point)) else {
            continue;
        };
        for &edge in &seams.at[vertex] {
            let Some(join) = seams.by_edge[edge] else {
                continue;
            };
            let run = seams.joins[join].seam.vector();
            // The right hand of the run, y down: a quarter turn clockwise.
            let right = Point::new(-&run.y, run.x.clone());
            ends.push(End {
                join,
                second: seams.joins[join].seam.b == *point,
                at: (
                    point.clone(),
                    &drawing.vertices[seams.other_end(edge, vertex)] - point,
                ),
                // An outline of positive area runs clockwise on the page.
                clockwise_right: (*point != side.a && *point != side.b)
                    .then(|| right.dot(&side.vector()).is_positive()),
                right,
            });
        }
    }
    ends
}

/// What one unit of a join is, for comparing work.
#[derive(PartialEq, Eq)]
enum Sort<'a> {
    Patch(usize, &'a [ClothId]),
    Unit(usize),
}

/// Joins of one step whose units differ: they would like to be pressed towards the same
/// unit, so that all are the same work.
pub(super) fn alike(plan: &Plan, sewn: &BlockSewing, block: &Block) -> Vec<Pair> {
    let steps: BTreeMap<Vec<usize>, usize> = sewn
        .joins
        .iter()
        .map(|join| {
            let mut all = [join.left.as_slice(), &join.right].concat();
            all.sort_unstable();
            (all, join.step)
        })
        .collect();
    let places = &plan.block(sewn.block).places;
    let sort = |patches: &[usize]| match patches {
        [patch] => {
            let place = block.patches[*patch]
                .place
                .and_then(|place| places.get(place));
            let cloths = place.map_or(&[][..], |place| place.cloths.as_slice());
            Some(Sort::Patch(block.patches[*patch].template, cloths))
        }
        _ => steps.get(patches).map(|&step| Sort::Unit(step)),
    };
    let mut pairs = Vec::new();
    for (index, join) in sewn.joins.iter().enumerate() {
        let shown = sewn.steps[join.step].shown;
        let [left, right] = [&join.left, &join.right].map(|patches| sort(patches));
        if shown == index || left == right {
            continue;
        }
        let first = sort(&sewn.joins[shown].left);
        let equal = left == first;
        pairs.push(Pair {
            a: shown,
            b: index,
            equal,
            kind: Kind::Alike,
            times: 1,
        });
    }
    pairs
}

/// Whether a block looks the same turned half round: lines and cloth.
pub(super) fn same_half_turned(plan: &Plan, id: BlockId, block: &Block) -> bool {
    let (low, high) = block.drafted.outline.bounds();
    let half = Motion::quarter_turns(2).then(&Motion::shift(&low + &high));
    let places = &plan.block(id).places;
    let cloths = |patch: usize| {
        let place = block.patches[patch]
            .place
            .and_then(|place| places.get(place));
        place.map(|place| place.cloths.as_slice())
    };
    let by_middle: BTreeMap<Point, usize> = block
        .patches
        .iter()
        .enumerate()
        .map(|(index, patch)| (patch.outline.centroid(), index))
        .collect();
    block.patches.iter().enumerate().all(|(index, patch)| {
        let Some(&other) = by_middle.get(&half.apply(&patch.outline.centroid())) else {
            return false;
        };
        let one_cloth = cloths(index).is_none_or(|cloths| cloths.len() == 1);
        let turned: Vec<Point> = patch
            .outline
            .points()
            .iter()
            .map(|p| half.apply(p))
            .collect();
        let corners = block.patches[other].outline.points();
        one_cloth
            && cloths(index) == cloths(other)
            && turned.len() == corners.len()
            && turned.iter().all(|point| corners.contains(point))
    })
}

/// Points on the seams between rows, over which seams of at least two rows run out: how
/// many patches meet at the one where most do, and at how many points there are as many as
/// make a lump.
pub(super) fn between_rows(work: &Work<'_>, lump: usize) -> (usize, usize) {
    let mut at: BTreeMap<Point, (usize, Vec<u32>)> = BTreeMap::new();
    for placed in &work.top.blocks {
        let Some(part) = work.part_of[placed.block.0] else {
            continue;
        };
        let row = placed.diagonal.map_or(placed.row, |(row, _)| row);
        let mut corners: Vec<Point> = Vec::new();
        for end in &work.parts[part].ends {
            let point = placed.motion.apply(&end.at.0);
            let here = at.entry(point.clone()).or_default();
            here.0 += 1;
            if !corners.contains(&point) {
                corners.push(point);
                here.1.push(row);
            }
        }
    }
    let in_rows = |seam: &&TopSeam| matches!(seam.group, Group::Row(_));
    for seam in work.outer.seams.iter().filter(in_rows) {
        for end in [&seam.seam.a, &seam.seam.b] {
            if let Some(here) = at.get_mut(end) {
                here.0 += 1;
            }
        }
    }
    let on_long = at.values().filter(|(_, rows)| {
        let first = rows.first();
        rows.iter().any(|row| Some(row) != first)
    });
    // The seam between the rows itself runs on both ways.
    let meeting: Vec<usize> = on_long.map(|(ends, _)| ends + 2).collect();
    let lumps = meeting.iter().filter(|&&patches| patches >= lump).count();
    (meeting.into_iter().max().unwrap_or(0), lumps)
}
