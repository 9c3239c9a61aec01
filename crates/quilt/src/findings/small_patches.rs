//! Patches narrower than their own seam allowances.
//!
//! Where a patch finishes narrower than two allowances, the allowances of its two sides
//! overlap under it and cannot both lie flat.

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let allowances = plan.seam.times(2).to_f64();
    let mut found = Vec::new();
    for (block_plan, block) in plan.blocks.iter().zip(&results.blocks) {
        for template in block.iter().flat_map(|block| &block.templates) {
            let narrow = narrowest(&template.finished);
            if narrow < allowances - 1e-9 {
                found.push(Finding::mind(format!(
                    "Template {} of “{}” finishes only {narrow:.2} in across, less than its two seam allowances ({}). Make the block larger or join that patch to its neighbour.",
                    template.letter,
                    block_plan.name,
                    plan.measure.say(&plan.seam.times(2)),
                )));
            }
        }
    }
    found
}

/// The least width of a polygon between two parallel lines, one along an edge.
fn narrowest(polygon: &geometry::Polygon) -> f64 {
    let points: Vec<[f64; 2]> = polygon
        .points()
        .iter()
        .map(geometry::Point::to_f64)
        .collect();
    let n = points.len();
    (0..n)
        .map(|i| {
            let ([ax, ay], [bx, by]) = (points[i], points[(i + 1) % n]);
            let (dx, dy) = (bx - ax, by - ay);
            let across = |p: &[f64; 2]| (dx * (p[1] - ay) - dy * (p[0] - ax)) / dx.hypot(dy);
            let far = points.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
            let near = points.iter().map(across).fold(f64::INFINITY, f64::min);
            far - near
        })
        .fold(f64::INFINITY, f64::min)
}
