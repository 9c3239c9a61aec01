//! How cloths are sorted by value, laid in ramps, and scattered over the top.

use geometry::Surd;

use super::{BlockId, ClothId, Value};

/// How the maker chooses cloth.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChoosingPlan {
    /// Into how many groups the cloths are sorted by value; 2 to 9.
    pub groups: u32,
    /// Cloths to be scattered, in the maker's order; names unique.
    pub pools: Vec<PoolPlan>,
    /// Even runs from dark to light, in the maker's order; names unique.
    pub ramps: Vec<RampPlan>,
}

impl Default for ChoosingPlan {
    /// Light, medium and dark; nothing scattered, no ramp.
    fn default() -> Self {
        Self {
            groups: 3,
            pools: Vec::new(),
            ramps: Vec::new(),
        }
    }
}

/// Which cloths are meant.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Choice {
    /// Every cloth of the plan.
    All,
    /// These.
    Cloths(Vec<ClothId>),
    /// Those of this value.
    Value(Value),
    /// Those that carry this tag.
    Tag(String),
}

/// Cloths that fill some places of the blocks between them: scattered over the top so
/// that no like lies beside like, and each is spread evenly.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PoolPlan {
    /// The maker's name for it.
    pub name: String,
    /// Its cloths; at least one.
    pub from: Choice,
    /// What takes one cloth.
    pub each: Each,
    /// How often a cloth is to lie, where the maker wants it so; the others share the
    /// rest evenly.
    pub counts: Vec<(ClothId, u32)>,
    /// Cloths the maker has laid by hand.
    pub pins: Vec<Pin>,
    /// Which of the many ways to scatter them: any number.
    pub seed: u32,
    /// The places it fills: block, and index into its places.
    ///
    /// Such a place lists the cloths of the pool as its own, so that whoever asks a place
    /// for its cloths need not know of pools; [`Plan::refill`](super::Plan::refill) keeps
    /// the list.
    pub fills: Vec<(BlockId, usize)>,
}

/// What takes one cloth of a pool.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Each {
    /// Every patch by itself.
    Patch,
    /// All patches of one block together.
    Block,
}

/// A cloth laid by hand.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pin {
    /// Row of the block, from 0 at the top.
    pub row: u32,
    /// Column, from 0 at the left.
    pub column: u32,
    /// On point: whether the block lies between the main ones.
    pub between: bool,
    /// Which of the block's patches that the pool fills, from 0 in the block's own order;
    /// `None`: all of them.
    pub patch: Option<u32>,
    /// The cloth.
    pub cloth: ClothId,
}

/// Even runs of value along the arms of a block, matched round by round.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RampPlan {
    /// The maker's name for it.
    pub name: String,
    /// The block.
    pub block: BlockId,
    /// The arms: what the names of their places begin with. `arm 1` runs over the places
    /// `arm 1 round 1`, `arm 1 round 2` and so on. At least one.
    pub arms: Vec<String>,
    /// The cloths to choose from: one entry for all arms together, or one an arm.
    pub from: Vec<Choice>,
    /// Whether it pales from round 1 outward, or deepens.
    pub outward: Outward,
    /// L\* of the darkest and of the palest round, if the maker wants them so.
    pub ends: Option<(Surd, Surd)>,
    /// The least step of L\* from one round of an arm to the next; zero or more.
    pub step: Surd,
    /// Whether only cloth the maker owns may be taken.
    pub owned: bool,
}

/// Which way a ramp runs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outward {
    /// Deep at the centre, paling outward.
    Paler,
    /// Pale at the centre, deepening outward.
    Deeper,
}
