//! Spacers that come out as slivers.
//!
//! A spacer is as narrow as the sum lets it be. Under a quarter of an inch both its seams
//! lie on each other, and every unevenness of the top shows beside it (common practice).

use geometry::Surd;

use super::Finding;
use crate::plan::{BorderKind, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let Some(top) = &results.top else {
        return Vec::new();
    };
    let narrow = Surd::ratio(1, 4);
    let rings = plan.borders.iter().zip(&top.rings).enumerate();
    rings
        .filter(|(_, (border, _))| border.kind == BorderKind::Spacer)
        .filter_map(|(index, (_, ring))| {
            let widths = [&ring.side, &ring.end].into_iter();
            let least = widths.filter(|width| width.is_positive()).min()?;
            (*least < narrow).then(|| {
                Finding::mind(format!(
                    "Border {}, a spacer, comes out {} wide at the sides and {} at top and bottom: too narrow to sew well. Give it a least width, say width = \"{}\", and it takes the next size that fits.",
                    index + 1,
                    plan.measure.say(&ring.side),
                    plan.measure.say(&ring.end),
                    plan.measure.say(&Surd::ONE).split(' ').next().unwrap_or("1"),
                ))
            })
        })
        .collect()
}
