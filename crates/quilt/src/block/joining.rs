//! How straight seams take a block apart.
//!
//! Types first. A [`JoinNode`] tree has the patches as leaves; every inner node is one
//! straight seam sewn from end to end, whose ends lie on the outline of the unit it
//! makes. `algorithms` T2 and T3: cutting along any full chord is safe, and what cannot
//! be cut further is unique.

use geometry::{Point, Segment};

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

/// (Being laid out: the sewing room brings the real one.)
#[must_use]
pub fn joining(_drafted: &super::Drafted) -> Joining {
    Joining {
        tree: None,
        obstructions: Vec::new(),
    }
}
