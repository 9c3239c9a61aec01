//! Pieces larger than the cloth they are to be cut from.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(_plan: &Plan, _results: &Results) -> Vec<Finding> {
    Vec::new()
}
