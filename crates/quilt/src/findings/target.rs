//! What the target size asks for.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(_plan: &Plan, _results: &Results) -> Vec<Finding> {
    Vec::new()
}
