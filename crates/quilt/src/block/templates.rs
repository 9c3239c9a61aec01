//! (Being laid out.)
use crate::plan::BlockPlan;
/// (Being laid out.)
pub fn worked(_plan: &BlockPlan, drafted: super::Drafted, _seam: &geometry::Surd, _ruler: &crate::measure::Ruler) -> super::Block {
    super::Block { joining: super::Joining { tree: None, obstructions: Vec::new() }, drafted, patches: Vec::new(), templates: Vec::new() }
}
