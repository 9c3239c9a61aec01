//! The backing: how many lengths of cloth, which way their seams run, how much to buy.
//!
//! ```text
//!   seams upright            seams across          n lengths of width w, joined with seam s,
//!   ┌───┬───┬───┐            ┌───────────┐         reach  n·w − (n − 1)·2s
//!   │   │   │   │            ├───────────┤
//!   │   │   │   │            ├───────────┤
//!   └───┴───┴───┘            └───────────┘
//! ```
//!
//! Both ways are worked out and the one that takes less cloth is chosen. Published
//! examples divide by the bare width and leave the seams out; [`lengths_needed`] does the
//! same with a seam of nought (`fixtures/handbook/backing.csv`).
//!
//! **Units.** Inches, exact; only the length to buy is rounded, up to the selling step.

use geometry::Surd;

use super::{Backing, BackingWay, SeamsRun};
use crate::plan::{Buying, Plan};
use crate::setting::Top;

/// How many lengths of cloth of width `cloth_width`, joined side by side with the
/// allowance `seam` on each, reach `needed`: the least n with
/// n·`cloth_width` − (n − 1)·2·`seam` ≥ `needed`, and at least 1.
///
/// A cloth no wider than its own two seams gains nothing by joining; it is counted as if
/// the seams took nothing.
#[must_use]
pub fn lengths_needed(needed: &Surd, cloth_width: &Surd, seam: &Surd) -> u32 {
    super::pieces_needed(needed, cloth_width, &seam.times(2))
}

/// The length to buy for `length` inches of cloth: with the squaring of the end and the
/// share lost in the wash, rounded up to the selling step.
#[must_use]
pub fn to_buy(length: &Surd, buying: &Buying) -> Surd {
    let with_loss = (length + &buying.squaring) * (Surd::ONE + buying.shrinkage.clone());
    match with_loss.checked_div(&buying.step) {
        Some(steps) => buying.step.times(steps.ceil()),
        None => with_loss,
    }
}

/// Both ways to make a backing of this size, upright seams first.
#[must_use]
pub fn ways(width: &Surd, height: &Surd, cloth_width: &Surd, seam: &Surd) -> [BackingWay; 2] {
    let way = |run: SeamsRun, spanned: &Surd, length: &Surd| {
        let lengths = lengths_needed(spanned, cloth_width, seam);
        BackingWay {
            seams: if lengths == 1 { SeamsRun::None } else { run },
            lengths,
            length: length.clone(),
            total: length.times(i64::from(lengths)),
        }
    };
    [
        way(SeamsRun::Upright, width, height),
        way(SeamsRun::Across, height, width),
    ]
}

/// The backing of `top`.
pub(super) fn work_out(plan: &Plan, top: &Top) -> Backing {
    let backing = &plan.finishing.backing;
    let over = backing.overage.times(2);
    let (width, height) = (&top.width + &over, &top.height + &over);
    let cloth_width = super::cloth_width(plan, backing.cloth);
    let [upright, across] = ways(&width, &height, &cloth_width, &backing.seam);
    // Less cloth first; then fewer seams; upright seams hang best.
    let across_is_better = (&across.total, across.lengths) < (&upright.total, upright.lengths);
    let (chosen, other) = if across_is_better {
        (across, upright)
    } else {
        (upright, across)
    };
    Backing {
        cloth: backing.cloth,
        width,
        height,
        cloth_width,
        buy: to_buy(&chosen.total, &plan.buying),
        chosen,
        other,
    }
}
