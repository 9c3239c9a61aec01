//! How the maker cuts: `[cutting]`.

use quilt::plan::{CuttingHand, CuttingPlan};

use super::finishing::optional;
use crate::desk::{Desk, Section};

pub(crate) const HANDS: [(&str, CuttingHand); 2] =
    [("right", CuttingHand::Right), ("left", CuttingHand::Left)];

/// Most layers a plan may ask for: eight, with the largest blade and a fresh one
/// (*from memory*).
const MOST: u32 = 8;

/// Reads how the maker cuts.
pub(super) fn cutting(desk: &mut Desk, root: &Section) -> Option<CuttingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, root, "cutting", &empty)?;
    desk.only(&section, &["layers", "hand"]);
    let usual = CuttingPlan::default();
    let layers = desk.or(&section, "layers", usual.layers, |d, f| {
        d.count(f, 1..=MOST)
    });
    let hand = desk.or(&section, "hand", usual.hand, |d, f| d.choice(f, &HANDS));
    Some(CuttingPlan {
        layers: layers?,
        hand: hand?,
    })
}
