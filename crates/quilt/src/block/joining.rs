//! How straight seams take a block apart.
//!
//! Answers: in which order straight seams, each sewn from end to end, put the block
//! together; and if they cannot, what stands in the way. It works from the finished
//! block backwards: a *chord* is a straight run of edges from the outline of a unit to
//! its outline, and cutting along a chord undoes one seam.
//!
//! ```text
//!   ┌──┬──┬──┐    two chords      ┌──┬──┬──┐
//!   ├──┼──┼──┤    lie across:     ╞══╪══╪══╡     every row falls into its patches
//!   ├──┼──┼──┤    three rows      ╞══╪══╪══╡     in the same way
//!   └──┴──┴──┘                    └──┴──┴──┘
//! ```
//!
//! **Any order is safe.** If some order of straight seams makes the unit, then one does
//! on each side of any chord: restricted to one side, every later seam is still one
//! straight seam or nothing. Two chords cross at most once, so cutting one leaves the
//! other whole or in two chords, and both orders end in the same parts. So the block is
//! cut until nothing can be cut; what is left over does not depend on the order, and a
//! left-over of more than one patch proves that the block cannot be sewn straight.
//!
//! **Such a left-over**, a *core*, is opened by as few slits as can be (`slits`): seams
//! that are closed last, after everything beside them is sewn. Then chords cut again.
//!
//! **Which chord first** is therefore free, and chosen for the maker's hands; `choice`
//! has the rule.
//!
//! **Units.** Block coordinates, exact: whether two edges lie on one line is decided
//! without tolerance. Two seams on one line with a gap between them are two seams.
//!
//! **Knows nothing of** cloth, pressing and how many blocks there are.
//!
//! **Always holds.** A tree of F patches has F − 1 joins, and one closing seam a slit; each
//! inner edge of the drawing lies on exactly one of them. Units that look the same, turned or not, are taken apart
//! alike.

mod choice;
mod cores;
mod fewest;
mod frame;
mod grid;
mod lines;
mod marks;
mod outline;
mod region;
mod repair;
mod sections;
mod slits;
mod weigh;

use std::collections::BTreeMap;

use geometry::{Point, Segment};

use super::Drafted;
use choice::Chooser;
use lines::{Half, Lines};
use region::{Chord, Regions};
use slits::{Slit, Slits, Stop};

pub(crate) use fewest::{Cloths, Fewest, fewest};
pub(crate) use frame::{Frame, least_frames};
pub(crate) use outline::outline_of;
pub use repair::{Repair, RepairCut, repair};
pub use sections::{Foundation, Section, SectionJoin, foundation};
pub use weigh::Weight;

/// The joining tree of a block, and what stands in the way of straight seams.
#[derive(Clone, PartialEq, Debug)]
pub struct Joining {
    /// The tree: how the whole block is put together.
    pub tree: JoinNode,
    /// What stands in the way of straight seams: one entry a core that no seam cuts.
    /// Empty when straight seams alone put the block together.
    pub obstructions: Vec<Obstruction>,
    /// How many closing seams (partial or set in) the block takes at least, whatever the
    /// order; proved. The tree takes no more unless the search ran out of work.
    pub at_least: usize,
}

/// A unit: one patch, two units and the seam between them, or a unit and the seam that
/// closes a slit in it.
#[derive(Clone, PartialEq, Debug)]
pub enum JoinNode {
    /// One patch, by index.
    Patch(usize),
    /// Two units joined by one straight seam.
    Join {
        /// The seam, in block coordinates. Looking from `seam.a` to `seam.b`, `right`
        /// lies on the right hand.
        seam: Segment,
        /// How it ends at `seam.a` and at `seam.b`.
        ends: [SeamEnd; 2],
        /// The unit on the left of the seam.
        left: Box<JoinNode>,
        /// The unit on the right of the seam.
        right: Box<JoinNode>,
        /// All patches of the unit, ascending.
        patches: Vec<usize>,
    },
    /// A seam inside a unit that was left open until now.
    Close {
        /// The seam, from the point where sewing stopped before to where it runs out.
        seam: Segment,
        /// How it ends at `seam.a` and at `seam.b`.
        ends: [SeamEnd; 2],
        /// Patches that lie along it, on its left and on its right, ascending.
        along: [Vec<usize>; 2],
        /// The unit in which it is closed.
        unit: Box<JoinNode>,
    },
}

/// How a seam ends.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum SeamEnd {
    /// The stitching runs on to the raw edge.
    Through,
    /// A partial seam: its line goes on, and the rest of the line is sewn later (or, for
    /// the closing seam, was sewn before). The stitching stops well short of the point.
    PartWay,
    /// A set-in seam: the stitching stops exactly at the point, one allowance in from both
    /// raw edges, and never enters the allowance beyond.
    Corner,
}

impl JoinNode {
    /// All patches of the unit, ascending.
    #[must_use]
    pub fn patches(&self) -> &[usize] {
        let mut node = self;
        loop {
            match node {
                Self::Patch(patch) => return std::slice::from_ref(patch),
                Self::Join { patches, .. } => return patches,
                Self::Close { unit, .. } => node = unit,
            }
        }
    }
}

/// Why a part of the block cannot be sewn in straight seams.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstruction {
    /// The patches of the part that no straight seam takes apart, ascending.
    pub patches: Vec<usize>,
    /// Points inside it where patches meet and no line goes straight through: each asks
    /// for a set-in seam.
    pub corners: Vec<Point>,
    /// A ring of seams each ending on the next, if there is one: it asks for a partial
    /// seam. In order round the ring.
    pub ring: Vec<Segment>,
}

/// How seams put the block together, and what stands in the way of straight ones.
///
/// Each pass over a unit looks at each of its edges twice at most; a block of F patches
/// takes as many passes as it has units that are cut, and a search for each core.
///
/// # Panics
///
/// Never for a drawing with at least one patch, which every arrangement has.
#[must_use]
pub fn joining(drafted: &Drafted) -> Joining {
    let lines = Lines::of(&drafted.arrangement);
    let mut work = Work {
        regions: Regions::whole(&lines),
        chooser: Chooser::of(drafted, &lines),
        slits: Slits::of(&lines),
        stops: BTreeMap::new(),
        opened: vec![false],
        obstructions: Vec::new(),
        at_least: 0,
        lines: &lines,
    };
    let mut taken: Vec<Taken> = Vec::new();
    // Parts are numbered in the order they are found, so every part comes after the unit
    // it belongs to and the tree can be built from the back.
    while taken.len() < work.regions.len() {
        taken.push(work.take(taken.len()));
    }
    let tree = assembled(&lines, &work.stops, taken)
        .expect("every region is a patch, is cut or is opened, and a block has a patch");
    Joining {
        tree,
        obstructions: work.obstructions,
        at_least: work.at_least,
    }
}

/// Taking a block apart.
struct Work<'a> {
    lines: &'a Lines<'a>,
    regions: Regions<'a>,
    chooser: Chooser<'a>,
    slits: Slits<'a>,
    /// For each vertex at which a slit stops, how.
    stops: BTreeMap<usize, Stop>,
    /// For each region whether it is part of a core that was opened.
    opened: Vec<bool>,
    obstructions: Vec<Obstruction>,
    at_least: usize,
}

impl Work<'_> {
    /// Cuts or opens the next region.
    fn take(&mut self, here: usize) -> Taken {
        if let [patch] = self.regions.faces(here) {
            return Taken::Patch(*patch);
        }
        let chords = self.regions.chords(here);
        if chords.is_empty() {
            return self.open(here);
        }
        let chosen = self.chooser.choose(&self.regions, here, chords);
        let first = self.regions.len();
        self.opened
            .extend(vec![self.opened[here]; chosen.parts.len()]);
        self.regions.keep(chosen.parts);
        Taken::Cut {
            first,
            merges: chosen.merges,
        }
    }

    /// Opens the first slit of a core.
    fn open(&mut self, here: usize) -> Taken {
        let (slit, least) = self.chooser.opening(&self.regions, here, &mut self.slits);
        if !self.opened[here] {
            let why = cores::obstruction(self.lines, &self.regions, here);
            self.obstructions.push(why);
            self.at_least += least;
        }
        self.stops.insert(self.lines.target(slit.last), slit.stop);
        let into = self.regions.len();
        self.regions.open(here, &slit.edges);
        self.opened.push(true);
        Taken::Opened { slit, into }
    }
}

/// What became of a region.
enum Taken {
    /// It is this patch.
    Patch(usize),
    /// Nothing cuts it; a slit was opened, and the region of this number is the rest.
    Opened { slit: Slit, into: usize },
    /// It was cut along parallel chords into regions numbered from `first`.
    Cut {
        first: usize,
        /// How the parts are joined again, in order.
        merges: Vec<Merge>,
    },
}

/// Joins two parts of a region. Parts are numbered as found; the unit a merge makes
/// takes the next free number.
struct Merge {
    chord: Chord,
    one: usize,
    other: usize,
}

/// Builds the tree from the last region to the first.
fn assembled(lines: &Lines, stops: &Stops, taken: Vec<Taken>) -> Option<JoinNode> {
    let mut nodes: Vec<Option<JoinNode>> = Vec::new();
    nodes.resize_with(taken.len(), || None);
    for (region, what) in taken.into_iter().enumerate().rev() {
        nodes[region] = match what {
            Taken::Patch(patch) => Some(JoinNode::Patch(patch)),
            Taken::Opened { slit, into } => {
                let unit = nodes[into].take()?;
                Some(closed(lines, stops, &slit, unit))
            }
            Taken::Cut { first, merges } => {
                let count = merges.len() + 1;
                let mut parts: Vec<Option<JoinNode>> = nodes[first..first + count]
                    .iter_mut()
                    .map(Option::take)
                    .collect();
                for merge in merges {
                    let pair = (parts[merge.one].take()?, parts[merge.other].take()?);
                    parts.push(Some(joined(lines, stops, &merge.chord, pair)));
                }
                parts.pop().flatten()
            }
        };
    }
    nodes.into_iter().next().flatten()
}

/// For each vertex at which a slit stops, how.
type Stops = BTreeMap<usize, Stop>;

/// How a seam ends that leaves a vertex by this half edge.
///
/// Every seam at such a vertex is sewn before the slit that stops there is closed: all
/// others that end there lie within the unit.
fn end_of(lines: &Lines, stops: &Stops, half: Half) -> SeamEnd {
    match stops.get(&lines.source(half)) {
        Some(Stop::Corner | Stop::Seam) => SeamEnd::Corner,
        Some(Stop::Line(on)) if *on == half / 2 => SeamEnd::PartWay,
        _ => SeamEnd::Through,
    }
}

/// One join of two units along a chord.
fn joined(
    lines: &Lines,
    stops: &Stops,
    chord: &Chord,
    (one, other): (JoinNode, JoinNode),
) -> JoinNode {
    let right_face = lines.right(chord.first);
    let (left, right) = if one.patches().binary_search(&right_face).is_ok() {
        (other, one)
    } else {
        (one, other)
    };
    let mut patches = [left.patches(), right.patches()].concat();
    patches.sort_unstable();
    JoinNode::Join {
        seam: lines.segment(chord),
        ends: [chord.first, chord.last ^ 1].map(|half| end_of(lines, stops, half)),
        left: Box::new(left),
        right: Box::new(right),
        patches,
    }
}

/// A slit closed again, from where it stopped outwards.
fn closed(lines: &Lines, stops: &Stops, slit: &Slit, unit: JoinNode) -> JoinNode {
    let mut along = [Vec::new(), Vec::new()];
    let outwards = slit.last ^ 1;
    let mut half = outwards;
    for _ in &slit.edges {
        along[0].push(lines.right(half ^ 1));
        along[1].push(lines.right(half));
        half = lines.straight(half).unwrap_or(half);
    }
    for side in &mut along {
        side.sort_unstable();
        side.dedup();
    }
    let stopped = match slit.stop {
        Stop::Line(_) => SeamEnd::PartWay,
        Stop::Corner | Stop::Seam => SeamEnd::Corner,
    };
    JoinNode::Close {
        seam: Segment {
            a: lines.target_point(slit.last).clone(),
            b: lines.source_point(slit.first).clone(),
        },
        ends: [stopped, end_of(lines, stops, slit.first)],
        along,
        unit: Box::new(unit),
    }
}

/// Every tree of straight seams of a drawing, and what it costs. There are as many as there
/// are ways to put brackets; for small drawings.
#[cfg(test)]
pub(crate) fn every_tree(drafted: &Drafted, bias: &[[bool; 2]]) -> Vec<(JoinNode, Weight)> {
    let lines = Lines::of(&drafted.arrangement);
    let marks = marks::Marks { lines: &lines };
    let scales = weigh::Scales { marks, bias };
    let all: Vec<usize> = (0..drafted.arrangement.edges.len())
        .filter(|&edge| lines.is_inner(edge))
        .collect();
    let trees = every_tree_of(marks, &all).into_iter();
    let weighed = |tree: JoinNode| {
        let weight = scales.tree(&tree);
        (tree, weight)
    };
    trees.map(weighed).collect()
}

#[cfg(test)]
fn every_tree_of(marks: marks::Marks<'_>, part: &[usize]) -> Vec<JoinNode> {
    let mut trees = Vec::new();
    for chord in marks.chords(part) {
        let sides = marks.sides(part, &chord).map(|(faces, edges)| {
            if edges.is_empty() {
                vec![JoinNode::Patch(faces[0])]
            } else {
                every_tree_of(marks, &edges)
            }
        });
        for one in &sides[0] {
            for other in &sides[1] {
                let pair = (one.clone(), other.clone());
                trees.push(joined(marks.lines, &BTreeMap::new(), &chord, pair));
            }
        }
    }
    trees
}

#[cfg(test)]
mod tests;
