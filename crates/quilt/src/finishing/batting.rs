//! The batting and the package it comes in.

use geometry::Surd;

use super::Batting;
use crate::plan::Plan;
use crate::setting::Top;

/// The usual packages in the United States: trade name, width, length, inches; from the
/// smallest up.
///
/// Sources: "Common Quilt and Batting Sizes", an organic-fabric shop; "Standard Quilt
/// Sizes", a teaching blog. Where they differ (full 81 × 96 or 84 × 96, king 120 × 120 or
/// 124 × 120) the smaller stands here, so that the package named is large enough by either.
pub const PACKAGES: [(&str, i64, i64); 6] = [
    ("craft", 34, 45),
    ("crib", 45, 60),
    ("twin", 72, 90),
    ("full", 81, 96),
    ("queen", 90, 108),
    ("king", 120, 120),
];

/// The smallest of [`PACKAGES`] that holds `width` × `height`, turned if need be: trade
/// name, width, length. `None` if none does.
#[must_use]
pub fn package(width: &Surd, height: &Surd) -> Option<(&'static str, Surd, Surd)> {
    let (short, long) = if width < height {
        (width, height)
    } else {
        (height, width)
    };
    // Each package's width is its shorter side.
    PACKAGES
        .into_iter()
        .map(|(name, width, length)| (name, Surd::int(width), Surd::int(length)))
        .find(|(_, width, length)| short <= width && long <= length)
}

/// The batting of `top`.
pub(super) fn work_out(plan: &Plan, top: &Top) -> Batting {
    let over = plan.finishing.batting.overage.times(2);
    let (width, height) = (&top.width + &over, &top.height + &over);
    Batting {
        package: package(&width, &height),
        width,
        height,
    }
}
