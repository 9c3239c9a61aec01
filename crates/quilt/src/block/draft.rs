//! (Being laid out.)
use crate::plan::BlockPlan;
/// What is wrong with a drawing.
#[derive(Clone, PartialEq, Debug)]
pub struct DraftFault {
    /// The sentence for the maker.
    pub text: String,
}
/// (Being laid out.)
pub fn drafted(_plan: &BlockPlan) -> Result<super::Drafted, Vec<DraftFault>> {
    Err(Vec::new())
}
