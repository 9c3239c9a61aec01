//! Foundation piecing: the fewest sections of a block, and the order within each.
//!
//! Patches are sewn one after another onto a printed foundation, each by one straight seam
//! from edge to edge of what is there. A section can be made so exactly when patches can be
//! taken off it again one by one, each by a chord with that patch alone on one side; any
//! such order will do, for the same reason as in the module above. Sections are then joined
//! by straight seams.
//!
//! **Fewest sections.** A part is one section if patches can be taken off to the last;
//! otherwise it takes the fewest over all its chords of both sides together. The search
//! looks at every part once and counts its work; taking the first chord that offers itself
//! is not safe.
//!
//! **Lower bound.** Where two seams cross, one of them must be a seam between sections, so
//! the sections are at least one more than the crossings that share no seam.
//!
//! **Which order.** Of the patches that can be taken off, the one with the longest seam is
//! sewn last; of equal ones the smaller, then the one that comes first as the section is
//! seen from its own outline. So sections that look the same, turned or not, are numbered
//! alike.
//!
//! **Knows nothing of** pages and cut sizes.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use geometry::{Point, Segment, Surd, turn_of};

use super::frame::{Frame, least_frames};
use super::lines::Lines;
use super::marks::Marks;
use super::outline::corners_of;
use super::region::Chord;
use super::{JoinNode, SeamEnd};
use crate::block::Drafted;

/// Chords that may be tried for one block.
const WORK: usize = 20_000;

/// How a block is pieced on foundations.
#[derive(Clone, PartialEq, Debug)]
pub struct Foundation {
    /// The sections, lettered in this order.
    pub sections: Vec<Section>,
    /// How the sections are joined, in order; one fewer than sections.
    pub joins: Vec<SectionJoin>,
    /// No division takes fewer sections. Equal to their number when the search was
    /// exhausted.
    pub at_least: usize,
}

/// One section.
#[derive(Clone, PartialEq, Debug)]
pub struct Section {
    /// Its patches in the order they are sewn: number 1 first.
    pub patches: Vec<usize>,
    /// For each patch but the first, the line it is sewn along.
    pub seams: Vec<Segment>,
}

/// A seam between sections.
#[derive(Clone, PartialEq, Debug)]
pub struct SectionJoin {
    /// The seam, in block coordinates.
    pub seam: Segment,
    /// The sections on its left and on its right.
    pub sides: [Vec<usize>; 2],
}

impl Foundation {
    /// The same as a tree of joins: in each section one patch after another, then the
    /// sections.
    pub(in crate::block) fn tree(&self, drafted: &Drafted) -> Option<JoinNode> {
        let mut done: Vec<Option<JoinNode>> = self
            .sections
            .iter()
            .map(|section| section.tree(drafted))
            .collect();
        for join in &self.joins {
            let [left, right] = [&join.sides[0], &join.sides[1]].map(|side| side.first().copied());
            let (left, right) = (left?, right?);
            let both = (done.get_mut(left)?.take()?, done.get_mut(right)?.take()?);
            let joined = joined(&join.seam, both.0, both.1);
            // A unit is kept under the least of its sections.
            done[left.min(right)] = Some(joined);
        }
        done.into_iter().flatten().next()
    }
}

impl Section {
    fn tree(&self, drafted: &Drafted) -> Option<JoinNode> {
        let (first, added) = self.patches.split_first()?;
        let mut tree = JoinNode::Patch(*first);
        for (patch, seam) in added.iter().zip(&self.seams) {
            let new = JoinNode::Patch(*patch);
            let face = &drafted.arrangement.faces.get(*patch)?.polygon;
            let right = face
                .points()
                .iter()
                .any(|point| turn_of(&seam.a, &seam.b, point).is_gt());
            tree = if right {
                joined(seam, tree, new)
            } else {
                joined(seam, new, tree)
            };
        }
        Some(tree)
    }
}

fn joined(seam: &Segment, left: JoinNode, right: JoinNode) -> JoinNode {
    let mut patches = [left.patches(), right.patches()].concat();
    patches.sort_unstable();
    JoinNode::Join {
        seam: seam.clone(),
        ends: [SeamEnd::Through; 2],
        left: Box::new(left),
        right: Box::new(right),
        patches,
    }
}

/// How many corners a patch has, and their sum as seen from a frame.
type Sight = (i64, Point);

/// A patch alone on one side of a chord.
struct Single {
    patch: usize,
    chord: Chord,
    /// The only patch on the other side, if it is one.
    last: Option<usize>,
    /// The edges inside the other side.
    rest: Vec<usize>,
}

/// What is known of a part: its sections, and the chord that divides it, if it takes more
/// than one.
type Known = (usize, Option<Chord>);

struct Search<'a> {
    marks: Marks<'a>,
    known: BTreeMap<Vec<usize>, Known>,
    left: usize,
}

/// The fewest sections of a block; `None` if straight seams alone do not put it together,
/// for then no sections do.
#[must_use]
pub fn foundation(drafted: &Drafted) -> Option<Foundation> {
    let lines = Lines::of(&drafted.arrangement);
    let all: Vec<usize> = (0..drafted.arrangement.edges.len())
        .filter(|&edge| lines.is_inner(edge))
        .collect();
    let mut search = Search {
        marks: Marks { lines: &lines },
        known: BTreeMap::new(),
        left: WORK,
    };
    if all.is_empty() {
        let whole = Section {
            patches: (0..drafted.arrangement.faces.len()).collect(),
            seams: Vec::new(),
        };
        return Some(Foundation {
            sections: vec![whole],
            joins: Vec::new(),
            at_least: 1,
        });
    }
    let fewest = search.fewest(&all)?;
    let mut found = Foundation {
        sections: Vec::new(),
        joins: Vec::new(),
        at_least: if search.left > 0 {
            fewest
        } else {
            1 + crossings_apart(&lines)
        },
    };
    search.write(&all, &mut found)?;
    Some(found)
}

impl Search<'_> {
    /// The fewest sections of a part; `None` if no chord takes it apart.
    fn fewest(&mut self, part: &[usize]) -> Option<usize> {
        if part.is_empty() {
            return Some(1);
        }
        if let Some((sections, _)) = self.known.get(part) {
            return Some(*sections);
        }
        if self.is_one_section(part) {
            self.known.insert(part.to_vec(), (1, None));
            return Some(1);
        }
        let mut best: Option<(usize, Chord)> = None;
        for chord in self.marks.chords(part) {
            // Without work left, the first chord must do.
            if self.left == 0 && best.is_some() {
                break;
            }
            self.left = self.left.saturating_sub(1);
            let [(_, left), (_, right)] = self.marks.sides(part, &chord);
            let both = self.fewest(&left)? + self.fewest(&right)?;
            if best.as_ref().is_none_or(|(least, _)| both < *least) {
                best = Some((both, chord));
            }
            if both == 2 {
                break;
            }
        }
        let (sections, chord) = best?;
        self.known.insert(part.to_vec(), (sections, Some(chord)));
        Some(sections)
    }

    /// Whether patches can be taken off a part to the last.
    fn is_one_section(&self, part: &[usize]) -> bool {
        let mut rest = part.to_vec();
        while !rest.is_empty() {
            let chords = self.marks.chords(&rest).into_iter();
            let Some(single) = chords.flat_map(|chord| self.singles(&rest, chord)).next() else {
                return false;
            };
            rest = single.rest;
        }
        true
    }

    /// The patches that lie alone on a side of a chord of a part.
    fn singles(&self, part: &[usize], chord: Chord) -> Vec<Single> {
        let [left, right] = self.marks.sides(part, &chord);
        let mut singles = Vec::new();
        for (alone, other) in [(&left, &right), (&right, &left)] {
            if let [patch] = alone.0.as_slice() {
                singles.push(Single {
                    patch: *patch,
                    chord: chord.clone(),
                    last: match other.0.as_slice() {
                        [last] => Some(*last),
                        _ => None,
                    },
                    rest: other.1.clone(),
                });
            }
        }
        singles
    }

    /// The patches of a section in the order they are sewn, with the chord of each but the
    /// first; `None` if it is no section.
    fn numbered(&self, part: &[usize]) -> Option<Vec<(usize, Option<Chord>)>> {
        let corners = corners_of(self.marks.lines.drawing, &self.marks.faces(part));
        let seen = least_frames(&corners).into_iter().filter_map(|frame| {
            let order = self.numbered_from(part, &frame)?;
            let sight: Vec<Sight> = order
                .iter()
                .map(|(patch, _)| self.sight(*patch, &frame))
                .collect();
            Some((sight, order))
        });
        seen.min_by(|(one, _), (other, _)| one.cmp(other))
            .map(|(_, order)| order)
    }

    /// The same as seen from one frame.
    fn numbered_from(&self, part: &[usize], frame: &Frame) -> Option<Vec<(usize, Option<Chord>)>> {
        let mut rest = part.to_vec();
        let mut off = Vec::new();
        loop {
            let chords = self.marks.chords(&rest).into_iter();
            let singles = chords.flat_map(|chord| self.singles(&rest, chord));
            let next = singles.min_by_key(|single| {
                let seam = self.marks.lines.segment(&single.chord).vector();
                let face = &self.marks.lines.drawing.faces[single.patch].polygon;
                (
                    Reverse(seam.length_squared()),
                    face.area(),
                    self.sight(single.patch, frame),
                )
            })?;
            off.push((next.patch, Some(next.chord)));
            if let Some(last) = next.last {
                off.push((last, None));
                // The chord stands with the patch sewn along it, which comes after.
                off.reverse();
                return Some(off);
            }
            rest = next.rest;
        }
    }

    /// Where a patch lies as seen from a frame: its corners summed. No two patches of a
    /// section have the same, since each lies round its own middle.
    fn sight(&self, patch: usize, frame: &Frame) -> Sight {
        let face = &self.marks.lines.drawing.faces[patch].polygon;
        let corners = face.without_straight_corners();
        let count = i64::try_from(corners.points().len()).unwrap_or(i64::MAX);
        let start = Point::new(Surd::ZERO, Surd::ZERO);
        let sum = corners.points().iter().fold(start, |sum, p| &sum + p);
        (count, frame.of_sum(&sum, count))
    }

    /// Writes down the sections of a part and the joins between them; gives their numbers.
    fn write(&self, part: &[usize], found: &mut Foundation) -> Option<Vec<usize>> {
        let chord = match self.known.get(part) {
            Some((_, Some(chord))) => chord.clone(),
            _ => {
                let off = self.numbered(part)?;
                let seams = off.iter().filter_map(|(_, chord)| chord.as_ref());
                found.sections.push(Section {
                    seams: seams.map(|chord| self.marks.lines.segment(chord)).collect(),
                    patches: off.iter().map(|(patch, _)| *patch).collect(),
                });
                return Some(vec![found.sections.len() - 1]);
            }
        };
        let mut sides = [Vec::new(), Vec::new()];
        for (side, (faces, edges)) in sides.iter_mut().zip(self.marks.sides(part, &chord)) {
            *side = if edges.is_empty() {
                found.sections.push(Section {
                    patches: faces,
                    seams: Vec::new(),
                });
                vec![found.sections.len() - 1]
            } else {
                self.write(&edges, found)?
            };
        }
        let all = sides.concat();
        found.joins.push(SectionJoin {
            seam: self.marks.lines.segment(&chord),
            sides,
        });
        Some(all)
    }
}

/// Crossings of seams of which no two share a seam, taken as they come.
fn crossings_apart(lines: &Lines) -> usize {
    // A line is told by the least of its edges.
    let number = |edge: usize| {
        let mut least = edge;
        for mut half in [2 * edge, 2 * edge + 1] {
            while let Some(on) = lines.straight(half) {
                half = on;
                least = least.min(on / 2);
            }
        }
        least
    };
    let mut used: Vec<usize> = Vec::new();
    let mut crossings = 0;
    for vertex in 0..lines.drawing.vertices.len() {
        let through = |half: &&usize| lines.straight(**half ^ 1).is_some();
        let leaving = lines.leaving(vertex).iter().filter(through);
        let mut here: Vec<usize> = leaving.map(|half| number(half / 2)).collect();
        here.sort_unstable();
        here.dedup();
        here.retain(|line| !used.contains(line));
        if let [one, other, ..] = here.as_slice() {
            used.extend([*one, *other]);
            crossings += 1;
        }
    }
    crossings
}
