//! Columns of blocks parted by plain strips.
//!
//! The trade calls such a quilt strippy: blocks are sewn into columns, and strips as long
//! as the columns run between them, and along both sides of the top if wanted.

use geometry::Surd;

use super::straight::{bands, blocks_in};
use super::{Inner, PartKind, fit, upright};
use crate::findings::Finding;
use crate::plan::{ClothId, Plan};

/// The strips: how wide, of which cloth, and whether outside too.
pub(super) struct Strips<'a> {
    pub(super) width: &'a Surd,
    pub(super) cloth: ClothId,
    pub(super) outside: bool,
}

/// Lays the columns and strips out.
pub(super) fn laid_out(plan: &Plan, strips: &Strips<'_>) -> Result<Inner, Vec<Finding>> {
    fit::no_sashing(plan, "strips")?;
    let lines = fit::straight(plan)?;
    let (columns, between) = bands(
        &lines.widths,
        Some((strips.width, strips.outside)),
        &Surd::ZERO,
    );
    let (rows, _) = bands(&lines.heights, None, &Surd::ZERO);
    let height: Surd = lines.heights.iter().cloned().sum();
    let width = columns.iter().chain(&between).map(|band| band.size.clone());
    Ok(Inner {
        width: width.sum(),
        blocks: blocks_in(plan, &columns, &rows),
        parts: between
            .iter()
            .filter_map(|band| {
                let corner = (&band.at, &Surd::ZERO);
                upright(PartKind::Strip, strips.cloth, corner, (&band.size, &height))
            })
            .collect(),
        height,
    })
}
