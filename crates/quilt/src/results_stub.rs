//! (Being laid out: stands in for `results.rs` until every stage is there.)
use std::sync::Arc;

use crate::block::{Block, DraftFault};
use crate::cutting::ClothCutting;
use crate::findings::Finding;
use crate::finishing::Finishing;
use crate::setting::Top;
use crate::sewing::Sewing;

/// Blocks as the later stages read them: one entry a block of the plan, `None` where
/// the draft has faults.
pub type Blocks = [Option<Arc<Block>>];

/// Everything that follows from a plan.
#[derive(Clone, Debug)]
pub struct Results {
    /// One entry a block of the plan.
    pub blocks: Vec<Option<Arc<Block>>>,
    /// Faults of each block's draft; empty where the block is there.
    pub faults: Vec<Vec<DraftFault>>,
    /// The laid-out top.
    pub top: Option<Arc<Top>>,
    /// The order of sewing.
    pub sewing: Option<Arc<Sewing>>,
    /// Backing, batting, binding.
    pub finishing: Option<Arc<Finishing>>,
    /// The cutting, one entry a cloth that is used.
    pub cutting: Option<Arc<Vec<ClothCutting>>>,
    /// What to look at, weightiest first.
    pub findings: Vec<Finding>,
}
