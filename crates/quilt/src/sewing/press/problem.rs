//! From a top to choices and pairs of choices: what would like to be pressed how.
//!
//! **Units.** Exact positions; nothing here is measured.
//!
//! **Always holds.** Every pair of seam ends that lie on one line and meet in one point
//! is looked at once, wherever the blocks lie and however they are turned.

use std::collections::BTreeMap;

use geometry::{Motion, Point, Segment};

use super::super::seams::Seams;
use super::super::{BlockSewing, Press};
use super::solve::Problem;
use super::{ALIKE, At, How, Hows, NEST, Work};
use crate::block::Block;
use crate::plan::{BlockId, ClothId, Plan};
use crate::setting::PlacedBlock;

/// The end of a join on the block's outline.
pub(super) struct End {
    pub(super) join: usize,
    /// Where it ends, and the direction from there along the seam into the block.
    at: At,
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

/// A seam between two pieces of one row of the top.
pub(in crate::sewing) struct RowSeam {
    /// Which row.
    pub(in crate::sewing) row: usize,
    pub(in crate::sewing) seam: Segment,
    /// Which way it is pressed when the row's choice is yes.
    pub(in crate::sewing) towards: Point,
    pub(in crate::sewing) across: Across,
}

/// What a row's seam lies between.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::sewing) enum Across {
    /// Pieces of which neither asks for the seam.
    Equals,
    /// A sash and something else: the sash takes the allowances.
    Sash,
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
    first_row: usize,
    pub(super) rows: usize,
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
        Self {
            joins,
            copies,
            first_row: next,
            rows: work.rows.iter().map(|seam| seam.row + 1).max().unwrap_or(0),
        }
    }

    pub(super) fn of_join(&self, part: usize, variant: u8, join: usize) -> Option<usize> {
        self.joins[part][usize::from(variant)][join]
    }

    pub(super) fn row(&self, row: usize) -> usize {
        self.first_row + row
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

/// Pairs of ends that meet in one point, on one line.
pub(super) struct Ends {
    pairs: Vec<Pair>,
}

/// An end where it lies in the top.
struct Placed {
    choice: usize,
    into: Point,
    right: Point,
    /// Which block, none for a row's seam.
    block: Option<usize>,
}

impl Ends {
    pub(super) fn of(
        work: &Work<'_>,
        (variant, turned): (&[u8], &[bool]),
        hows: &Hows,
        choices: &Choices,
    ) -> Self {
        let mut at: BTreeMap<Point, Vec<Placed>> = BTreeMap::new();
        for (index, placed) in work.top.blocks.iter().enumerate() {
            let Some(part) = work.part_of[placed.block.0] else {
                continue;
            };
            let half = turned.get(index).copied().unwrap_or(false);
            let motion = lies(work, part, placed, half);
            for end in &work.parts[part].ends {
                if let Some(choice) = choices.of_join(part, variant[index], end.join) {
                    let right = motion.apply_vector(&end.right);
                    let turned = end.second && hows[part][end.join] == How::Twirled;
                    at.entry(motion.apply(&end.at.0)).or_default().push(Placed {
                        choice,
                        into: motion.apply_vector(&end.at.1),
                        right: if turned { -&right } else { right },
                        block: Some(index),
                    });
                }
            }
        }
        for seam in work.rows {
            for (here, there) in [(&seam.seam.a, &seam.seam.b), (&seam.seam.b, &seam.seam.a)] {
                at.entry(here.clone()).or_default().push(Placed {
                    choice: choices.row(seam.row),
                    into: there - here,
                    right: seam.towards.clone(),
                    block: None,
                });
            }
        }
        let mut pairs = Vec::new();
        for ends in at.values() {
            for (i, one) in ends.iter().enumerate() {
                pairs.extend(ends[i + 1..].iter().filter_map(|other| meeting(one, other)));
            }
        }
        Self { pairs }
    }
}

/// Where a copy lies, perhaps turned half round about its own middle.
fn lies(work: &Work<'_>, part: usize, placed: &PlacedBlock, half: bool) -> Motion {
    if !half {
        return placed.motion.clone();
    }
    let (low, high) = work.parts[part].seams.block.drafted.outline.bounds();
    Motion::quarter_turns(2)
        .then(&Motion::shift(&low + &high))
        .then(&placed.motion)
}

/// The pair two ends make, if they lie on one line and meet end to end.
fn meeting(one: &Placed, other: &Placed) -> Option<Pair> {
    let own = one.block.is_some() && one.block == other.block;
    let straight =
        one.into.cross(&other.into).is_zero() && !one.into.dot(&other.into).is_positive();
    if own || !straight {
        return None;
    }
    let kind = match (one.block, other.block) {
        (Some(_), Some(_)) => Kind::Between,
        _ => Kind::Rows,
    };
    // They nest pressed opposite ways: with equal values if their rights are opposite.
    let equal = !one.right.dot(&other.right).is_positive();
    Some(Pair {
        a: one.choice,
        b: other.choice,
        equal,
        kind,
        times: 1,
    })
}

/// The problem to solve, and its pairs for counting.
pub(super) fn build(
    work: &Work<'_>,
    choices: &Choices,
    hows: &Hows,
    ends: &Ends,
) -> (Problem, Vec<Pair>) {
    let mut costs = vec![[0; 2]; choices.first_row + choices.rows];
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
    for seam in work.rows.iter().filter(|seam| seam.across == Across::Sash) {
        // The sash takes the allowances: a row's choice is then yes.
        costs[choices.row(seam.row)][0] += NEST;
    }
    if let Some(first) = (choices.rows > 0).then(|| choices.row(0)) {
        // Of two equal plans, the one whose first row goes to the left.
        costs[first][1] += 1;
    }
    ends.pairs.iter().copied().for_each(&mut add);
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
    for seam in work.rows {
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
