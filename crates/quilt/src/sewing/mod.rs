//! The order of the work: seams in each block, then from the blocks to the top.
//!
//! **Knows nothing of** cutting or buying.

use geometry::{Polygon, Segment, Surd};

use crate::block::Obstruction;
use crate::plan::{BlockId, ClothId};

/// How every block and the top are sewn.
#[derive(Clone, PartialEq, Debug)]
pub struct Sewing {
    /// One entry a block of the plan that could be drafted, in plan order.
    pub blocks: Vec<BlockSewing>,
    /// From finished blocks to the finished top, in order.
    pub top: Vec<TopStep>,
}

/// The sewing of one block.
#[derive(Clone, PartialEq, Debug)]
pub struct BlockSewing {
    /// Which block.
    pub block: BlockId,
    /// How many copies of it the setting uses (0 if none).
    pub copies: u32,
    /// Every join in working order; patches − 1 of them when the block sews straight,
    /// none when it does not.
    pub joins: Vec<Join>,
    /// Joins that are the same work, in working order: one entry a distinct unit.
    pub steps: Vec<Step>,
    /// What stands in the way of straight seams; empty when nothing does.
    pub obstructions: Vec<Obstruction>,
    /// The least number of set-in and partial seams that is certain: every corner point
    /// with no line through asks for one.
    pub at_least: u32,
    /// The obstruction in words, when there is one.
    pub in_words: Option<String>,
}

/// Which way the seam allowances of a join are pressed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Press {
    /// Towards the unit on the left of the seam.
    Left,
    /// Towards the unit on the right of the seam.
    Right,
    /// Apart.
    Open,
}

/// One seam of one block.
#[derive(Clone, PartialEq, Debug)]
pub struct Join {
    /// Patches of the unit on the left of the seam, ascending.
    pub left: Vec<usize>,
    /// Patches of the unit on the right, ascending.
    pub right: Vec<usize>,
    /// The seam in block coordinates; from `a` to `b`, `right` lies on the right hand.
    pub seam: Segment,
    /// Which way it is pressed, and why in a few words.
    pub press: Press,
    /// Why it is pressed so.
    pub press_reason: &'static str,
    /// The finished outline of the unit it makes.
    pub outline: Polygon,
    /// Unfinished width of the unit (raw edge to raw edge) along its own longest side.
    pub unit_width: Surd,
    /// Unfinished height of the unit, square to that.
    pub unit_height: Surd,
    /// Index into [`BlockSewing::steps`].
    pub step: usize,
}

/// One kind of unit: the joins that make it are the same work.
#[derive(Clone, PartialEq, Debug)]
pub struct Step {
    /// The first join of this kind, drawn for all of them: index into `joins`.
    pub shown: usize,
    /// How many of this kind one block needs.
    pub in_block: u32,
    /// How many the whole quilt needs.
    pub in_all: u32,
    /// Unit on the left: a template letter or an earlier step.
    pub left: Ingredient,
    /// Unit on the right.
    pub right: Ingredient,
}

/// What a step joins.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ingredient {
    /// A single patch, by template index.
    Template(usize),
    /// A unit made by an earlier step, by index.
    Unit(usize),
}

/// One step from blocks to the finished top.
#[derive(Clone, PartialEq, Debug)]
pub struct TopStep {
    /// What to do, in words, with the counts: `Join the 5 blocks of row 1 and the 4
    /// sashes between them.`
    pub text: String,
    /// How many times it is done.
    pub times: u32,
    /// How many seams it takes in all its times.
    pub seams: u32,
    /// Unfinished size of what it makes, inches.
    pub width: Surd,
    /// See `width`.
    pub height: Surd,
    /// Which way to press, in words.
    pub press: String,
    /// Indices into `Top::blocks` that the step's drawing shows.
    pub blocks: Vec<usize>,
    /// Indices into `Top::parts` that the step's drawing shows.
    pub parts: Vec<usize>,
    /// Cloths met here for the first time (sashing, borders), for the drawing's key.
    pub cloths: Vec<ClothId>,
}
