//! Pinned cells that the setting does not have, after it was made smaller.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, _: &Results) -> Vec<Finding> {
    let setting = &plan.setting;
    let beyond =
        |pin: &&crate::plan::Pinned| pin.row >= setting.rows || pin.column >= setting.columns;
    let pins = setting.pinned.iter().filter(beyond);
    pins.map(|pin| {
        Finding::note(format!(
            "Something is pinned in row {}, column {}, but the setting has {} and {}. Pin it elsewhere, or take it out.",
            pin.row + 1,
            pin.column + 1,
            super::count(setting.rows as usize, "row", "rows"),
            super::count(setting.columns as usize, "column", "columns"),
        ))
    })
    .collect()
}
