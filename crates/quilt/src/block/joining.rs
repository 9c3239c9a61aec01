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
//! **Which chord first** is therefore free, and chosen for the maker's hands; `choice`
//! has the rule.
//!
//! **Units.** Block coordinates, exact: whether two edges lie on one line is decided
//! without tolerance. Two seams on one line with a gap between them are two seams.
//!
//! **Knows nothing of** cloth, pressing and how many blocks there are.
//!
//! **Always holds.** A tree of F patches has F − 1 joins; each inner edge of the drawing
//! lies on exactly one of them. Units that look the same, turned or not, are taken apart
//! alike.

mod choice;
mod cores;
mod frame;
mod lines;
mod outline;
mod region;

use geometry::{Point, Segment};

use super::Drafted;
use choice::Chooser;
use lines::Lines;
use region::{Chord, Regions};

pub(crate) use frame::{Frame, least_frames};
pub(crate) use outline::outline_of;

/// The joining tree of a block, or what stands in the way.
#[derive(Clone, PartialEq, Debug)]
pub struct Joining {
    /// The tree, when straight seams alone put the block together.
    pub tree: Option<JoinNode>,
    /// Otherwise, what stands in the way: one entry a core that no seam cuts.
    pub obstructions: Vec<Obstruction>,
}

/// A unit: one patch, or two units and the seam between them.
#[derive(Clone, PartialEq, Debug)]
#[expect(
    clippy::large_enum_variant,
    reason = "every second node is a join; a box would only add a step to each"
)]
pub enum JoinNode {
    /// One patch, by index.
    Patch(usize),
    /// Two units joined by one straight seam.
    Join {
        /// The seam, in block coordinates. Looking from `seam.a` to `seam.b`, `right`
        /// lies on the right hand.
        seam: Segment,
        /// The unit on the left of the seam.
        left: Box<JoinNode>,
        /// The unit on the right of the seam.
        right: Box<JoinNode>,
        /// All patches of the unit, ascending.
        patches: Vec<usize>,
    },
}

impl JoinNode {
    /// All patches of the unit, ascending.
    #[must_use]
    pub fn patches(&self) -> &[usize] {
        match self {
            Self::Patch(patch) => std::slice::from_ref(patch),
            Self::Join { patches, .. } => patches,
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

/// How straight seams put the block together, or what stands in the way.
///
/// Each pass over a unit looks at each of its edges twice at most; a block of F patches
/// takes as many passes as it has units that are cut.
#[must_use]
pub fn joining(drafted: &Drafted) -> Joining {
    let lines = Lines::of(&drafted.arrangement);
    let mut regions = Regions::whole(&lines);
    let mut chooser = Chooser::of(drafted, &lines);
    let mut taken: Vec<Taken> = Vec::new();
    let mut obstructions = Vec::new();
    // Parts are numbered in the order they are found, so every part comes after the unit
    // it belongs to and the tree can be built from the back.
    while taken.len() < regions.len() {
        let here = taken.len();
        taken.push(if regions.faces(here).len() == 1 {
            Taken::Patch(regions.faces(here)[0])
        } else {
            let chords = regions.chords(here);
            if chords.is_empty() {
                obstructions.push(cores::obstruction(&lines, &regions, here));
                Taken::Core
            } else {
                let chosen = chooser.choose(&regions, here, chords);
                let first = regions.len();
                regions.keep(chosen.parts);
                Taken::Cut {
                    first,
                    merges: chosen.merges,
                }
            }
        });
    }
    let tree = if obstructions.is_empty() {
        assembled(&lines, taken)
    } else {
        None
    };
    Joining { tree, obstructions }
}

/// What became of a region.
enum Taken {
    /// It is this patch.
    Patch(usize),
    /// Nothing cuts it.
    Core,
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
fn assembled(lines: &Lines, taken: Vec<Taken>) -> Option<JoinNode> {
    let mut nodes: Vec<Option<JoinNode>> = Vec::new();
    nodes.resize_with(taken.len(), || None);
    for (region, what) in taken.into_iter().enumerate().rev() {
        nodes[region] = match what {
            Taken::Patch(patch) => Some(JoinNode::Patch(patch)),
            Taken::Core => None,
            Taken::Cut { first, merges } => {
                let count = merges.len() + 1;
                let mut parts: Vec<Option<JoinNode>> = nodes[first..first + count]
                    .iter_mut()
                    .map(Option::take)
                    .collect();
                for merge in merges {
                    let pair = (parts[merge.one].take()?, parts[merge.other].take()?);
                    parts.push(Some(joined(lines, &merge.chord, pair)));
                }
                parts.pop().flatten()
            }
        };
    }
    nodes.into_iter().next().flatten()
}

/// One join of two units along a chord.
fn joined(lines: &Lines, chord: &Chord, (one, other): (JoinNode, JoinNode)) -> JoinNode {
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
        left: Box::new(left),
        right: Box::new(right),
        patches,
    }
}

#[cfg(test)]
mod tests;
