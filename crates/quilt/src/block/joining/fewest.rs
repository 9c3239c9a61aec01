//! The order with the fewest different units.
//!
//! Units that look the same, turned or not, are made together, so a maker counts kinds of
//! unit, not units. A *class* is such a kind; its *options* are the chords it can be cut
//! along, each leading to two smaller classes; what is chosen for a class holds for all its
//! copies. The fewest classes that build the block, each counted once, are searched for by
//! allowing one more each time, the largest open class first. Taking the best option class
//! by class is not safe, because what two classes share is paid once.
//!
//! **Lower bounds** used on the way: a unit of n patches takes at least ⌈log₂ n⌉ classes,
//! since the larger part of each holds half of it; every open class counts.
//!
//! Work is counted, never timed. When it is used up, the depth reached stands as the lower
//! bound and the maker's rules decide (`choice`).

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use geometry::Point;

use super::frame::{Frame, least_frames};
use super::lines::Lines;
use super::marks::Marks;
use super::outline::corners_of;
use super::region::Chord;
use super::{JoinNode, joined};
use crate::block::Drafted;

/// Patches looked at while classes are told apart, and steps of the search.
const LOOKS: usize = 30_000;
const STEPS: usize = 60_000;
/// Blocks of more patches than this are left to the rules.
const PATCHES: usize = 100;

/// What the search found.
pub(crate) struct Fewest {
    /// A tree with fewer different units than the one in hand, if there is one.
    pub(crate) tree: Option<JoinNode>,
    /// No order has fewer different units.
    pub(crate) at_least: usize,
}

/// What a unit looks like: where its patches lie and which they are.
type Look = Vec<(Point, usize)>;

/// Where a chord lies, seen from the frame of its class.
type Ends = (Point, Point);

/// One way to cut a class: the chord, and the classes it leaves; `None` for a patch.
struct Cut {
    ends: Ends,
    parts: [Option<usize>; 2],
}

struct Class {
    patches: usize,
    cuts: Vec<Cut>,
}

struct Classes<'a> {
    marks: Marks<'a>,
    /// Which patches are the same: shape, hand and cloth.
    same: &'a [usize],
    sums: Vec<(Point, i64)>,
    numbers: BTreeMap<Look, usize>,
    /// For each part that was looked at, its class.
    of_part: BTreeMap<Vec<usize>, usize>,
    /// For each class the first part that showed it.
    first: Vec<Vec<usize>>,
    classes: Vec<Class>,
    looks: usize,
}

/// Looks for an order with fewer different units than `now`. `same` tells for each patch
/// what it is; only patches with the same number count as alike.
pub(crate) fn fewest(drafted: &Drafted, same: &[usize], now: usize) -> Fewest {
    let patches = drafted.arrangement.faces.len();
    let kinds: BTreeSet<usize> = same.iter().copied().collect();
    let certain = halvings(patches).max(kinds.len().saturating_sub(1));
    let none = |at_least| Fewest {
        tree: None,
        at_least,
    };
    if now <= certain || patches > PATCHES {
        return none(certain.min(now));
    }
    let lines = Lines::of(&drafted.arrangement);
    let mut classes = Classes::of(drafted, &lines, same);
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
        let open = BTreeSet::from([(Reverse(classes.classes[root].patches), root)]);
        if search.can(&open, 0) {
            let chosen = search.chosen;
            return Fewest {
                tree: classes.built(&all, &chosen),
                at_least: limit,
            };
        }
        steps = search.steps;
        if steps == 0 {
            return none(limit);
        }
    }
    none(now)
}

/// ⌈log₂ n⌉.
fn halvings(n: usize) -> usize {
    n.next_power_of_two().trailing_zeros() as usize
}

impl<'a> Classes<'a> {
    fn of(drafted: &'a Drafted, lines: &'a Lines<'a>, same: &'a [usize]) -> Self {
        let outlines = drafted.arrangement.faces.iter();
        let outlines = outlines.map(|face| face.polygon.without_straight_corners());
        let sum = |points: &[Point]| points.iter().fold(Point::ORIGIN, |sum, p| &sum + p);
        let corners = |points: &[Point]| i64::try_from(points.len()).unwrap_or(i64::MAX);
        Self {
            marks: Marks { lines },
            same,
            sums: outlines
                .map(|outline| (sum(outline.points()), corners(outline.points())))
                .collect(),
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
            let part = self.first[next].clone();
            let frame = self.looked(&part)?.0;
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
                if !cuts.iter().any(|known| known.parts == parts) {
                    let ends = self.ends(&chord, &frame);
                    cuts.push(Cut { ends, parts });
                }
            }
            self.classes.push(Class {
                patches: self.marks.faces(&part).len(),
                cuts,
            });
            next += 1;
        }
        Some(root)
    }

    fn class(&mut self, part: &[usize]) -> Option<usize> {
        if let Some(&class) = self.of_part.get(part) {
            return Some(class);
        }
        let (_, look) = self.looked(part)?;
        let next = self.first.len();
        let class = *self.numbers.entry(look).or_insert(next);
        if class == next {
            self.first.push(part.to_vec());
        }
        self.of_part.insert(part.to_vec(), class);
        Some(class)
    }

    /// How a part looks from where it looks least, and the first frame it looks so from.
    fn looked(&mut self, part: &[usize]) -> Option<(Frame, Look)> {
        let faces = self.marks.faces(part);
        let frames = least_frames(&corners_of(self.marks.lines.drawing, &faces));
        self.looks = self.looks.checked_sub(frames.len() * faces.len())?;
        let look = |frame: &Frame| {
            let place = |&face: &usize| {
                let (sum, corners) = &self.sums[face];
                (frame.of_sum(sum, *corners), self.same[face])
            };
            let mut look: Look = faces.iter().map(place).collect();
            look.sort_unstable();
            look
        };
        frames
            .into_iter()
            .map(|frame| (look(&frame), frame))
            .min_by(|(a, _), (b, _)| a.cmp(b))
            .map(|(look, frame)| (frame, look))
    }

    fn ends(&self, chord: &Chord, frame: &Frame) -> Ends {
        let seam = self.marks.lines.segment(chord);
        let (a, b) = (frame.of(&seam.a), frame.of(&seam.b));
        if a < b { (a, b) } else { (b, a) }
    }

    /// The tree of a part by the chosen cuts.
    fn built(&mut self, part: &[usize], chosen: &BTreeMap<usize, usize>) -> Option<JoinNode> {
        self.looks = LOOKS;
        let class = self.class(part)?;
        let frame = self.looked(part)?.0;
        let wanted = &self.classes[class].cuts[*chosen.get(&class)?].ends;
        let chords = self.marks.chords(part);
        let chord = chords
            .into_iter()
            .find(|chord| self.ends(chord, &frame) == *wanted)?;
        let mut sides = Vec::new();
        for (faces, edges) in self.marks.sides(part, &chord) {
            sides.push(match faces.as_slice() {
                [patch] => JoinNode::Patch(*patch),
                _ => self.built(&edges, chosen)?,
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

impl Search<'_> {
    /// Whether the open classes can be built with the limit, `built` being done already.
    /// Open classes come largest first, so nothing built is ever needed again.
    fn can(&mut self, open: &BTreeSet<(Reverse<usize>, usize)>, built: usize) -> bool {
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
        let mut rest = open.clone();
        rest.pop_first();
        for (index, cut) in self.classes[class].cuts.iter().enumerate() {
            let mut next = rest.clone();
            for part in cut.parts.into_iter().flatten() {
                next.insert((Reverse(self.classes[part].patches), part));
            }
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
