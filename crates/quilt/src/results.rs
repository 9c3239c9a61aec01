//! Runs the stages in order and keeps what an edit did not touch.
//!
//! Each stage is a pure function of the plan and of earlier stages. Its output is kept
//! with the inputs it read ([`Kept`]); working out a changed plan reuses every output
//! whose inputs are the same. In debug builds a reused output is checked against a
//! fresh one, so a stage that secretly reads something else is caught at once.

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
#[derive(Clone, PartialEq, Debug)]
pub struct Results {
    /// One entry a block of the plan.
    pub blocks: Vec<Option<Arc<Block>>>,
    /// Faults of each block's draft; empty where the block is there.
    pub faults: Vec<Vec<DraftFault>>,
    /// The laid-out top, when every block is there and the rows fit.
    pub top: Option<Arc<Top>>,
    /// The order of sewing.
    pub sewing: Option<Arc<Sewing>>,
    /// Backing, batting, binding.
    pub finishing: Option<Arc<Finishing>>,
    /// The cutting, one entry a cloth that is used, in the plan's order.
    pub cutting: Option<Arc<Vec<ClothCutting>>>,
    /// What to look at, weightiest first.
    pub findings: Vec<Finding>,
}
