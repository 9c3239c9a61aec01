//! Corners so sharp that their tips reach far beyond the seam.
//!
//! The cut corner lies `s⁄sin(α⁄2)` from the finished one: 0.97 in at 30° with a ¼ in
//! seam. Below that the tip is a long thread of cloth that frays and folds; such shapes
//! are better cut by template with the ears trimmed, or sewn on a foundation.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

/// Degrees; see the module.
const SHARP: f64 = 30.0;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let mut found = Vec::new();
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        for (_, template) in block.iter().flat_map(|block| block.cutting_templates()) {
            let corners = template.finished.points().len();
            let sharpest = (0..corners)
                .map(|i| template.finished.corner_angle_degrees(i))
                .fold(180.0, f64::min);
            if sharpest < SHARP - 1e-9 {
                let reach = geometry::corner_reach(sharpest, plan.seam.to_f64());
                found.push(Finding::mind(format!(
                    "Template {} of “{}” has a corner of only {sharpest:.1}°; its tip reaches {} beyond the stitching. Cut it by the printed template with its ears trimmed.",
                    template.letter,
                    block_plan.name,
                    plan.measure.about(reach)
                )));
            }
        }
    }
    found
}
