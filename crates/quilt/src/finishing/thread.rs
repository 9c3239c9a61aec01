//! Thread for the piecing: a rough sum.
//!
//! A lockstitch takes two threads along the seam and, for every stitch, twice the
//! thickness of what is sewn: per inch 2 + 2·T·S, needle and bobbin together.
//!
//! Sources: "Sewing thread consumption: worked problems", textile calculation notes;
//! "Sewing Thread Consumption Guide", Textile Blog. Waste of 10 to 15 %: "Measuring
//! actual thread consumption", Apparel Science.
//!
//! **Units.** Inches, float: this is a forecast, nothing is cut by it.

use super::Thread;
use crate::plan::Plan;
use crate::results::Blocks;
use crate::setting::Top;

/// Thickness of two layers of quilting cotton with their seam allowances, inches.
/// From memory; thread use hardly depends on it.
pub const THICKNESS: f64 = 0.02;

/// Stitches to the inch for piecing by machine. Common practice.
pub const STITCHES: f64 = 12.0;

/// Share added for tails and waste.
pub const WASTE: f64 = 0.15;

/// Thread for one inch of lockstitch through `thickness` inches at `stitches` to the
/// inch, needle and bobbin together, inches.
#[must_use]
pub fn per_inch(thickness: f64, stitches: f64) -> f64 {
    2.0 + 2.0 * thickness * stitches
}

/// Thread for piecing `top`.
///
/// Seams are the edges two patches share: within blocks counted once a block and
/// multiplied by the copies; between blocks and parts half of what all outlines have
/// beyond the outline of the top.
pub(super) fn work_out(plan: &Plan, blocks: &Blocks, top: &Top) -> Thread {
    let mut copies = vec![0_u32; plan.blocks.len()];
    for placed in &top.blocks {
        if let Some(count) = copies.get_mut(placed.block.0) {
            *count += 1;
        }
    }
    let mut within = 0.0;
    let mut outlines = 0.0;
    for ((block_plan, block), &count) in plan.blocks.iter().zip(blocks).zip(&copies) {
        let perimeter = 2.0 * (&block_plan.width + &block_plan.height).to_f64();
        outlines += f64::from(count) * perimeter;
        if let Some(block) = block {
            within += f64::from(count) * inner_seams(block);
        }
    }
    let parts: f64 = top.parts.iter().map(|p| p.outline.perimeter_f64()).sum();
    let around = 2.0 * (&top.width + &top.height).to_f64();
    let seam_length = within + (outlines + parts - around) / 2.0;
    Thread {
        seam_length,
        piecing: seam_length * per_inch(THICKNESS, STITCHES) * (1.0 + WASTE),
    }
}

/// Length of the edges inside one block.
fn inner_seams(block: &crate::block::Block) -> f64 {
    let drawn = &block.drafted.arrangement;
    drawn
        .edges
        .iter()
        .filter(|edge| edge.left.is_some() && edge.right.is_some())
        .map(|edge| {
            let across = &drawn.vertices[edge.to] - &drawn.vertices[edge.from];
            across.length_squared().to_f64().sqrt()
        })
        .sum()
}
