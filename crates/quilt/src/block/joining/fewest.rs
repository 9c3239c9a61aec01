//! The order with the fewest different units, and among those the one that costs the
//! maker's hands least.
//!
//! Units that look the same, turned or not, are made together, so a maker counts kinds of
//! unit, not units. A *class* is such a kind; its *options* are the chords it can be cut
//! along, each leading to two smaller classes; what is chosen for a class holds for all its
//! copies. The fewest classes that build the block, each counted once, are searched for by
//! allowing one more each time, the largest open class first. Taking the best option class
//! by class is not safe, because what two classes share is paid once.
//!
//! Once the fewest are known, every choice of as many classes is looked at and weighed
//! (`weigh`); the order by the maker's rules stays unless another weighs less.
//!
//! **Lower bounds** used on the way: a unit of n patches takes at least ⌈log₂ n⌉ classes,
//! since the larger part of each holds half of it; every open class counts. No unit of n
//! patches is made in fewer than ⌈log₂ n⌉ batches.
//!
//! Work is counted, never timed. When it is used up, the depth reached stands as the lower
//! bound, the best order seen is taken, and it is said that not all were seen.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use geometry::Point;

use super::frame::{Frame, least_frames, least_starts};
use super::grid::{Grid, Spot};
use super::lines::Lines;
use super::marks::Marks;
use super::outline::{corners_of, ring_of};
use super::region::Chord;
use super::weigh::{Scales, Unit, Weight};
use super::{JoinNode, joined};
use crate::block::Drafted;

/// Patches looked at while classes are told apart, and steps of the two searches.
const LOOKS: usize = 30_000;
const STEPS: usize = 60_000;
const WEIGHED: usize = 2_000;
/// Blocks of more patches than this are left to the rules.
const PATCHES: usize = 100;

/// What tells patches apart, and what stretches.
pub(crate) struct Cloths<'a> {
    /// What each patch is; only patches with the same number count as alike.
    pub(crate) same: &'a [usize],
    /// For each edge of the drawing whether the patch on its left and the one on its right
    /// has it on the bias.
    pub(crate) bias: &'a [[bool; 2]],
}

/// What the search found.
pub(crate) struct Fewest {
    /// A tree that is better than the one in hand, if there is one.
    pub(crate) tree: Option<JoinNode>,
    /// No order has fewer different units.
    pub(crate) at_least: usize,
    /// What the better of the two costs.
    pub(crate) weight: Weight,
    /// Whether every order with as few different units was weighed.
    pub(crate) settled: bool,
}

/// What a unit looks like: where its patches lie and which they are. All looks of one
/// drawing are of one sort.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Look {
    /// On the drawing's grid.
    Grid(Vec<(Spot, usize)>),
    /// Of a drawing without one.
    Plane(Vec<(Point, usize)>),
}

/// Where a chord lies, seen from the frame of its class.
type Ends = (Point, Point);

/// One way to cut a class: the chord, and the classes it leaves; `None` for a patch.
struct Cut {
    ends: Ends,
    parts: [Option<usize>; 2],
    crossings: usize,
}

struct Class {
    patches: usize,
    unit: Unit,
    cuts: Vec<Cut>,
}

/// The first part that showed a class.
#[derive(Clone)]
struct Shown {
    part: Vec<usize>,
    faces: Vec<usize>,
    /// A frame it looks least from.
    frame: Frame,
    /// How many patches were looked at to see that.
    looks: usize,
}

struct Classes<'a> {
    marks: Marks<'a>,
    scales: Scales<'a>,
    /// Which patches are the same: shape, hand and cloth.
    same: &'a [usize],
    sums: Vec<(Point, i64)>,
    grid: Option<Grid>,
    numbers: BTreeMap<Look, usize>,
    /// For each part that was looked at, its class and the frames it looks least from.
    of_part: BTreeMap<Vec<usize>, (usize, Vec<Frame>)>,
    /// For each class the first part that showed it.
    first: Vec<Shown>,
    classes: Vec<Class>,
    looks: usize,
}

/// Looks for an order with fewer different units than `now`, which `tree` has, or with as
/// few that weighs less.
pub(crate) fn fewest(
    drafted: &Drafted,
    cloths: &Cloths<'_>,
    (tree, now): (&JoinNode, usize),
) -> Fewest {
    let patches = drafted.arrangement.faces.len();
    let lines = Lines::of(&drafted.arrangement);
    let marks = Marks { lines: &lines };
    let scales = Scales {
        marks,
        bias: cloths.bias,
    };
    let kinds: BTreeSet<usize> = cloths.same.iter().copied().collect();
    let certain = halvings(patches)
        .max(kinds.len().saturating_sub(1))
        .min(now);
    let by_rule = scales.tree(tree);
    let none = |at_least| Fewest {
        tree: None,
        at_least,
        weight: by_rule,
        settled: false,
    };
    if patches > PATCHES {
        return none(certain);
    }
    let mut classes = Classes::of(drafted, scales, cloths.same);
    let all: Vec<usize> = (0..drafted.arrangement.edges.len())
        .filter(|&edge| lines.is_inner(edge))
        .collect();
    let Some(root) = classes.explored(&all) else {
        return none(certain);
    };
    let mut steps = STEPS;
    for limit in certain..now {
        let mut search = Search {
            classes: &classes.classes,
            limit,
            steps,
            failed: BTreeMap::new(),
            chosen: BTreeMap::new(),
        };
        if search.can(&search.start(root), 0) {
            let chosen = search.chosen;
            return classes.weighed(&all, (root, limit), Some(chosen), by_rule);
        }
        steps = search.steps;
        if steps == 0 {
            return none(limit);
        }
    }
    classes.weighed(&all, (root, now), None, by_rule)
}

/// From where something looks least, and how; all places if there are several.
fn least<T>(from: Vec<T>, look: impl Fn(&T) -> Look) -> Option<(Vec<T>, Look)> {
    let mut least: Option<(Vec<T>, Look)> = None;
    for place in from {
        let look = look(&place);
        match &mut least {
            Some((places, known)) if look == *known => places.push(place),
            Some((_, known)) if look > *known => {}
            _ => least = Some((vec![place], look)),
        }
    }
    least
}

/// ⌈log₂ n⌉.
fn halvings(n: usize) -> usize {
    n.next_power_of_two().trailing_zeros() as usize
}

impl<'a> Classes<'a> {
    fn of(drafted: &'a Drafted, scales: Scales<'a>, same: &'a [usize]) -> Self {
        let outlines = drafted.arrangement.faces.iter();
        let outlines = outlines.map(|face| face.polygon.without_straight_corners());
        let sum = |points: &[Point]| points.iter().fold(Point::ORIGIN, |sum, p| &sum + p);
        let corners = |points: &[Point]| i64::try_from(points.len()).unwrap_or(i64::MAX);
        Self {
            marks: scales.marks,
            scales,
            same,
            sums: outlines
                .map(|outline| (sum(outline.points()), corners(outline.points())))
                .collect(),
            grid: Grid::of(&drafted.arrangement),
            numbers: BTreeMap::new(),
            of_part: BTreeMap::new(),
            first: Vec::new(),
            classes: Vec::new(),
            looks: LOOKS,
        }
    }

    /// Finds every class below a part; gives the part's own. `None` if the work is used up.
    fn explored(&mut self, all: &[usize]) -> Option<usize> {
        let root = self.class(all)?;
        let mut next = 0;
        while next < self.first.len() {
            let Shown {
                part,
                faces,
                frame,
                looks,
            } = self.first[next].clone();
            self.looks = self.looks.checked_sub(looks)?;
            let mut cuts: Vec<Cut> = Vec::new();
            for chord in self.marks.chords(&part) {
                let mut parts = [None, None];
                let sides = self.marks.sides(&part, &chord);
                for (class, (_, edges)) in parts.iter_mut().zip(&sides) {
                    if !edges.is_empty() {
                        *class = Some(self.class(edges)?);
                    }
                }
                parts.sort_unstable();
                let ends = self.ends(&chord, &frame);
                let crossings = self.scales.crossings(&part, &chord);
                let cut = Cut {
                    ends,
                    parts,
                    crossings,
                };
                match cuts.iter_mut().find(|known| known.parts == parts) {
                    Some(known) if known.crossings > crossings => *known = cut,
                    Some(_) => {}
                    None => cuts.push(cut),
                }
            }
            self.classes.push(Class {
                patches: faces.len(),
                unit: self.scales.unit(&part, &faces),
                cuts,
            });
            next += 1;
        }
        Some(root)
    }

    fn class(&mut self, part: &[usize]) -> Option<usize> {
        if let Some(&(class, _)) = self.of_part.get(part) {
            return Some(class);
        }
        let faces = self.marks.faces(part);
        let before = self.looks;
        let (frames, look) = self.looked(&faces)?;
        let next = self.first.len();
        let class = *self.numbers.entry(look).or_insert(next);
        if class == next {
            self.first.push(Shown {
                part: part.to_vec(),
                frame: frames.first()?.clone(),
                faces,
                looks: before - self.looks,
            });
        }
        self.of_part.insert(part.to_vec(), (class, frames));
        Some(class)
    }

    /// How some patches look from where they look least, and the frames they look so from.
    fn looked(&mut self, faces: &[usize]) -> Option<(Vec<Frame>, Look)> {
        let drawing = self.marks.lines.drawing;
        let Some(grid) = &self.grid else {
            let frames = least_frames(&corners_of(drawing, faces));
            self.looks = self.looks.checked_sub(frames.len() * faces.len())?;
            let look = |frame: &Frame| {
                let place = |&face: &usize| {
                    let (sum, corners) = &self.sums[face];
                    (frame.of_sum(sum, *corners), self.same[face])
                };
                let mut look: Vec<(Point, usize)> = faces.iter().map(place).collect();
                look.sort_unstable();
                Look::Plane(look)
            };
            return least(frames, look);
        };
        let ring = ring_of(drawing, faces, &|three| grid.straight(three));
        let vertex = |i: usize| ring[i % ring.len()];
        let at = |i: usize| grid.vertices[vertex(i)];
        let side = |i: usize| at(i + 1).minus(at(i));
        let turns = (0..ring.len()).map(|i| {
            let (this, next) = (side(i), side(i + 1));
            [this.dot(this), this.cross(next), this.dot(next)]
        });
        let starts = least_starts(&turns.collect::<Vec<_>>());
        self.looks = self.looks.checked_sub(starts.len() * faces.len())?;
        let look = |&start: &usize| {
            let frame = (at(start), side(start));
            let place = |&face: &usize| (grid.seen(face, frame), self.same[face]);
            let mut look: Vec<(Spot, usize)> = faces.iter().map(place).collect();
            look.sort_unstable();
            Look::Grid(look)
        };
        let (starts, look) = least(starts, look)?;
        let point = |i: usize| &drawing.vertices[vertex(i)];
        let frame = |start: usize| Frame {
            origin: point(start).clone(),
            along: point(start + 1) - point(start),
        };
        Some((starts.into_iter().map(frame).collect(), look))
    }

    fn ends(&self, chord: &Chord, frame: &Frame) -> Ends {
        let seam = self.marks.lines.segment(chord);
        let (a, b) = (frame.of(&seam.a), frame.of(&seam.b));
        if a < b { (a, b) } else { (b, a) }
    }

    /// The lightest order of `limit` classes: the one found, another, or the one in hand.
    fn weighed(
        mut self,
        all: &[usize],
        (root, limit): (usize, usize),
        found: Option<BTreeMap<usize, usize>>,
        by_rule: Weight,
    ) -> Fewest {
        let fewer = found.is_some();
        let first = found.map(|chosen| (weight(&self.classes, root, &chosen), chosen));
        let mut weighing = Weighing {
            search: Search {
                classes: &self.classes,
                limit,
                steps: WEIGHED,
                failed: BTreeMap::new(),
                chosen: BTreeMap::new(),
            },
            root,
            best: first,
            bar: if fewer { None } else { Some(by_rule) },
        };
        let mut depths = vec![0; self.classes.len()];
        depths[root] = 1;
        weighing.all(&weighing.search.start(root), 0, &mut depths);
        let settled = weighing.search.steps > 0;
        let better = weighing.best;
        let weight = better.as_ref().map_or(by_rule, |(weight, _)| *weight);
        Fewest {
            tree: better.and_then(|(_, chosen)| self.built(all, &chosen, None)),
            at_least: limit,
            weight,
            settled,
        }
    }

    /// The tree of a part by the chosen cuts, seen from the unit it belongs to. A part that
    /// can be turned onto itself is cut the way that looks least from there, so that copies
    /// of the unit are alike in every seam.
    fn built(
        &mut self,
        part: &[usize],
        chosen: &BTreeMap<usize, usize>,
        within: Option<&Frame>,
    ) -> Option<JoinNode> {
        self.looks = LOOKS;
        let class = self.class(part)?;
        let frames = self.of_part.get(part)?.1.iter();
        let frame = frames.min_by_key(|frame| {
            within.map(|whole| (whole.of(&frame.origin), whole.of_vector(&frame.along)))
        });
        let frame = frame?.clone();
        let wanted = &self.classes[class].cuts[*chosen.get(&class)?].ends;
        let chords = self.marks.chords(part);
        let chord = chords
            .into_iter()
            .find(|chord| self.ends(chord, &frame) == *wanted)?;
        let mut sides = Vec::new();
        for (faces, edges) in self.marks.sides(part, &chord) {
            sides.push(match faces.as_slice() {
                [patch] => JoinNode::Patch(*patch),
                _ => self.built(&edges, chosen, Some(&frame))?,
            });
        }
        let (right, left) = (sides.pop()?, sides.pop()?);
        Some(joined(
            self.marks.lines,
            &BTreeMap::new(),
            &chord,
            (left, right),
        ))
    }
}

/// Whether so many classes are enough.
struct Search<'a> {
    classes: &'a [Class],
    limit: usize,
    steps: usize,
    /// For open classes that could not be built: the fewest classes used before them.
    failed: BTreeMap<Vec<usize>, usize>,
    /// For each class on the way the cut chosen.
    chosen: BTreeMap<usize, usize>,
}

/// The open classes at the beginning: the whole block, if it has seams.
/// Largest first.
type Open = Vec<(Reverse<usize>, usize)>;

impl Search<'_> {
    fn start(&self, root: usize) -> Open {
        vec![(Reverse(self.classes[root].patches), root)]
    }

    /// What is open once a class is cut this way.
    fn after(&self, rest: &[(Reverse<usize>, usize)], cut: &Cut) -> Open {
        let mut next = Open::with_capacity(rest.len() + 2);
        next.extend_from_slice(rest);
        for part in cut.parts.into_iter().flatten() {
            let new = (Reverse(self.classes[part].patches), part);
            if let Err(place) = next.binary_search(&new) {
                next.insert(place, new);
            }
        }
        next
    }

    /// Whether the open classes can be built with the limit, `built` being done already.
    /// Open classes come largest first, so nothing built is ever needed again.
    fn can(&mut self, open: &[(Reverse<usize>, usize)], built: usize) -> bool {
        let Some(&(Reverse(patches), class)) = open.first() else {
            return true;
        };
        if built + open.len().max(halvings(patches)) > self.limit || self.steps == 0 {
            return false;
        }
        let key: Vec<usize> = open.iter().map(|(_, class)| *class).collect();
        if self.failed.get(&key).is_some_and(|&before| built >= before) {
            return false;
        }
        self.steps -= 1;
        for (index, cut) in self.classes[class].cuts.iter().enumerate() {
            let next = self.after(&open[1..], cut);
            self.chosen.insert(class, index);
            if self.can(&next, built + 1) {
                return true;
            }
        }
        self.chosen.remove(&class);
        if self.steps > 0 {
            self.failed.insert(key, built);
        }
        false
    }
}

/// What a choice of cuts costs in all.
fn weight(classes: &[Class], root: usize, chosen: &BTreeMap<usize, usize>) -> Weight {
    let mut weight = Weight::default();
    // How often each class is needed, and how deep it lies at most; largest first.
    let mut open: BTreeMap<(Reverse<usize>, usize), (usize, usize)> =
        BTreeMap::from([((Reverse(classes[root].patches), root), (1, 1))]);
    while let Some(((_, class), (times, depth))) = open.pop_first() {
        let of = &classes[class];
        let Some(cut) = chosen.get(&class).and_then(|&cut| of.cuts.get(cut)) else {
            continue;
        };
        weight.batches = weight.batches.max(depth);
        weight.outside_strips += if of.unit.strips { 0 } else { times };
        weight.open_bias += of.unit.bias * times as u64;
        weight.crossings += cut.crossings * times;
        for part in cut.parts.into_iter().flatten() {
            let key = (Reverse(classes[part].patches), part);
            let known = open.entry(key).or_insert((0, 0));
            *known = (known.0 + times, known.1.max(depth + 1));
        }
    }
    weight
}

/// Looks at every choice of as many classes.
struct Weighing<'a> {
    search: Search<'a>,
    root: usize,
    best: Option<(Weight, BTreeMap<usize, usize>)>,
    /// What an order has to weigh less than, until one is found.
    bar: Option<Weight>,
}

impl Weighing<'_> {
    /// Cuts the largest open class in every way. `depths` tells how deep each lies.
    fn all(&mut self, open: &[(Reverse<usize>, usize)], built: usize, depths: &mut [usize]) {
        let Some(&(Reverse(patches), class)) = open.first() else {
            let weight = weight(self.search.classes, self.root, &self.search.chosen);
            if self.lightest().is_none_or(|best| weight < best) {
                self.best = Some((weight, self.search.chosen.clone()));
            }
            return;
        };
        let needed = built + open.len().max(halvings(patches));
        if needed > self.search.limit || self.search.steps == 0 {
            return;
        }
        let deepest = open.iter();
        let deepest = deepest.map(|(patches, class)| depths[*class] - 1 + halvings(patches.0));
        let deepest = deepest.max().unwrap_or(0);
        if self.lightest().is_some_and(|best| deepest > best.batches) {
            return;
        }
        self.search.steps -= 1;
        let classes = self.search.classes;
        let depth = depths[class];
        for (index, cut) in classes[class].cuts.iter().enumerate() {
            let parts = cut.parts.map(|part| part.map(|part| (part, depths[part])));
            for (part, known) in parts.into_iter().flatten() {
                depths[part] = known.max(depth + 1);
            }
            let next = self.search.after(&open[1..], cut);
            self.search.chosen.insert(class, index);
            self.all(&next, built + 1, depths);
            for (part, known) in parts.into_iter().flatten() {
                depths[part] = known;
            }
        }
        self.search.chosen.remove(&class);
    }

    fn lightest(&self) -> Option<Weight> {
        self.best.as_ref().map(|(weight, _)| *weight).or(self.bar)
    }
}
