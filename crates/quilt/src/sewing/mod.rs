//! The order of the work: seams in each block, then from the blocks to the top.
//!
//! ```text
//!   joining tree ─▶ joins in working order ─▶ steps ─▶ rows ─▶ top ─▶ borders
//!                                              └─▶ press (the whole top) ─▶ landings, layers,
//!                                                  sizes and errors, batches
//! ```
//!
//! [`joining`](crate::block::joining) has found which seams; here they are put in working
//! order, units that are the same work are made together (`units`), and each unit is
//! given the size it must measure (`size`). [`press`] decides for the whole top at once
//! which way each seam is pressed; [`landing`] says where the needle passes. `top` goes on
//! from finished blocks to the finished top.
//!
//! **Units.** Inches, exact; the one exception is a unit whose longest side runs at no
//! multiple of 15°, whose size leaves the exact numbers and is rounded to a thousandth.
//!
//! **Knows nothing of** cutting or buying.
//!
//! **Always holds.** A block has patches − 1 joins and one more seam for each partial or
//! set-in seam that is closed, and every unit comes after the units it is made of.

mod apart;
pub mod batches;
mod block;
mod course;
pub mod foundations;
pub mod landing;
pub mod layers;
pub mod measured;
pub mod notes;
pub mod press;
mod seams;
mod size;
mod stops;
mod straight;
pub mod tolerance;
mod top;
mod units;
mod words;

use geometry::{Point, Polygon, Segment, Surd};

pub use apart::apart;
pub use batches::Batches;
pub use landing::Landing;
pub use layers::LayerMap;
pub use measured::{Measured, Verdict, measured};
pub use press::PressPlan;
pub use seams::Side;
pub use straight::Straight;
pub use tolerance::{Errors, Forecast};
pub use top::{TOO_THICK, TopForecast, TopLayers, TopThick};

use crate::block::joining::Weight;
use crate::block::{JoinNode, Obstruction, SeamEnd};
use crate::plan::{BlockId, ClothId, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// How every block and the top are sewn.
///
/// Blocks that could not be drafted are left out.
#[must_use]
pub fn work_out(plan: &Plan, blocks: &Blocks, top: &Top) -> Sewing {
    let drafted = blocks.iter().enumerate();
    let sewn = drafted.filter_map(|(index, block)| {
        let id = BlockId(index);
        let copies = top
            .blocks
            .iter()
            .filter(|placed| placed.block == id)
            .count();
        let copies = u32::try_from(copies).unwrap_or(u32::MAX);
        let block = block.as_ref()?;
        let mut sewn = block::sewn(plan, id, block, copies);
        sewn.straight = straight::straight(plan, id, block, top);
        Some(sewn)
    });
    let mut sewn: Vec<BlockSewing> = sewn.collect();
    let seams = top::seams(plan, top);
    let pressing = press::work_out(plan, blocks, top, &sewn, &seams);
    for (sewing, pressed) in sewn.iter_mut().zip(&pressing.blocks) {
        let decided = pressed.ways.iter().zip(&pressed.reasons);
        for (join, (ways, reason)) in sewing.joins.iter_mut().zip(decided) {
            (join.press, join.press_reason) = (ways[0], reason);
        }
        for &join in &pressed.twirled {
            sewing.joins[join].twirled = true;
        }
    }
    let errors = Errors::of(plan);
    let handling: Vec<Handling> = sewn
        .iter()
        .filter_map(|sewing| {
            let block = blocks.get(sewing.block.0)?.as_deref()?;
            Some(Handling {
                block: sewing.block,
                landings: landing::landings(plan, block, sewing),
                layers: layers::layer_map(plan, block, sewing),
                forecast: tolerance::forecast(plan, block, sewing, &errors),
            })
        })
        .collect();
    let steps = top::steps(plan, top, &pressing);
    let layers = top::layers((plan, blocks, top), &sewn, &pressing, &seams);
    let forecast = top::forecast(plan, top, &handling, &errors);
    Sewing {
        forecast,
        layers,
        batches: batches::batches(&sewn, &handling, &steps, &plan.sewing.rates),
        top: steps,
        errors,
        blocks: sewn,
        handling,
        pressing,
    }
}

/// How every block and the top are sewn.
#[derive(Clone, PartialEq, Debug)]
pub struct Sewing {
    /// One entry a block of the plan that could be drafted, in plan order.
    pub blocks: Vec<BlockSewing>,
    /// What the hands look to, one entry a block as in `blocks`.
    pub handling: Vec<Handling>,
    /// How the whole top is pressed.
    pub pressing: PressPlan,
    /// The maker's errors, measured or assumed.
    pub errors: Errors,
    /// What is sewn in one go, and how long it takes.
    pub batches: Batches,
    /// From finished blocks to the finished top, in order.
    pub top: Vec<TopStep>,
    /// Where the top is thick between and around its blocks.
    pub layers: TopLayers,
    /// What the maker's errors add up to in the top; `None` without blocks.
    pub forecast: Option<TopForecast>,
}

/// What the hands look to while a block is sewn.
#[derive(Clone, PartialEq, Debug)]
pub struct Handling {
    /// Which block.
    pub block: BlockId,
    /// How the units of each join are laid on each other and stitched, in working order.
    pub landings: Vec<Landing>,
    /// Where the block is thick.
    pub layers: LayerMap,
    /// What the maker's errors add up to.
    pub forecast: Forecast,
}

/// The sewing of one block.
#[derive(Clone, PartialEq, Debug)]
pub struct BlockSewing {
    /// Which block.
    pub block: BlockId,
    /// How many copies of it the setting uses (0 if none).
    pub copies: u32,
    /// How its units are put together: the tree the joins follow.
    pub tree: JoinNode,
    /// Every join in working order: patches − 1 of them, and one more for each partial or
    /// set-in seam that is closed.
    pub joins: Vec<Join>,
    /// Joins that are the same work, in working order: one entry a distinct unit.
    pub steps: Vec<Step>,
    /// What stands in the way of straight seams; empty when nothing does.
    pub obstructions: Vec<Obstruction>,
    /// How many seams are sewn part-way first and finished later.
    pub partial: u32,
    /// How many seams are set in: closed at a point where the stitching turns.
    pub set_in: u32,
    /// The least number of set-in and partial seams, whatever the order: proved. Equal to
    /// `partial + set_in` where the search was exhausted, which it is for blocks of the
    /// trade.
    pub at_least: u32,
    /// What stands in the way of straight seams, and what the order takes, in words; when
    /// there is something.
    pub in_words: Option<String>,
    /// What it takes to sew it in straight seams alone; `None` where it is sewn so, and
    /// where it was not looked for.
    pub straight: Option<Straight>,
    /// How the work goes round or across, in sentences: rounds and their direction, pairs
    /// of opposite sides, rows. `None` for a block of fewer than three joins.
    pub course: Option<String>,
    /// No order takes fewer different units than this. Equal to the number of `steps`
    /// where the fewest were proved.
    pub steps_at_least: usize,
    /// What this order costs in batches, seams outside strip sets, open bias and crossings;
    /// nothing for a block with partial or set-in seams, whose order is the rule's.
    pub weight: Weight,
    /// Whether every order with as few different units was weighed, and none costs less.
    pub settled: bool,
}

/// What kind of seam a join is to the hands.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum SeamKind {
    /// From raw edge to raw edge.
    Straight,
    /// Sewn part-way, or the finishing of such a seam.
    Partial,
    /// Stops exactly at a point where patches turn, or begins there.
    SetIn,
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
    /// Patches of the unit on the left of the seam, ascending. Of a seam that closes, the
    /// patches along its left.
    pub left: Vec<usize>,
    /// Patches of the unit on the right, ascending. Of a seam that closes, the patches
    /// along its right.
    pub right: Vec<usize>,
    /// The seam in block coordinates; from `a` to `b`, `right` lies on the right hand.
    pub seam: Segment,
    /// What kind of seam it is.
    pub kind: SeamKind,
    /// How it ends at `seam.a` and at `seam.b`.
    pub ends: [SeamEnd; 2],
    /// Whether it joins nothing new but closes a seam left open inside a unit, from
    /// `seam.a`, where sewing stopped before, to `seam.b`. Both sides of its step are then
    /// that same unit, which is needed once.
    pub closes: bool,
    /// All patches of the unit it makes, ascending.
    pub unit: Vec<usize>,
    /// Which way it is pressed, and why in a few words.
    pub press: Press,
    /// Why it is pressed so.
    pub press_reason: &'static str,
    /// Whether it is twirled at the crossing it lies over: the half at `seam.a` goes as
    /// `press` says, the other half the opposite way.
    pub twirled: bool,
    /// The finished outline of the unit it makes.
    pub outline: Polygon,
    /// What the unit measures before anything is sewn to it, along its longest side: its
    /// finished extent and two seams. For a rectangle, raw edge to raw edge; other shapes
    /// have ears beyond it.
    pub unit_width: Surd,
    /// The same square to the longest side.
    pub unit_height: Surd,
    /// Index into [`BlockSewing::steps`].
    pub step: usize,
}

impl Join {
    /// The points at which the stitching stops short of the raw edge or begins there, and
    /// how.
    pub fn stops(&self) -> impl Iterator<Item = (&Point, SeamEnd)> {
        let ends = [&self.seam.a, &self.seam.b].into_iter().zip(self.ends);
        ends.filter(|(_, end)| *end != SeamEnd::Through)
    }
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
    /// Unit on the right. The same unit, and no second one, when the step's seam closes.
    pub right: Ingredient,
    /// How to sew a seam that stops or begins at a point, in sentences; `None` for a seam
    /// from edge to edge.
    pub how: Option<String>,
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
///
/// The seams of all steps together are one less than the blocks and parts of the top:
/// each seam makes two pieces one. Only mitred borders add to that: the four diagonal
/// seams of each, since its first strip and its last meet as well.
#[derive(Clone, PartialEq, Debug)]
pub struct TopStep {
    /// What to do, in words, with the counts: `Join the 5 blocks of row 1 and the 4
    /// sashes between them.`
    pub text: String,
    /// How many times it is done.
    pub times: u32,
    /// How many seams it takes in all its times.
    pub seams: u32,
    /// How long one of them is, inches; of seams of several lengths the longest.
    pub seam: Surd,
    /// Unfinished size of what it makes, inches: finished extent and two seams, for a
    /// diagonal row along and across the row.
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
