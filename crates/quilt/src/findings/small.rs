//! Small pieces that the blocks do not go into, or that leave only a sliver of border.

use geometry::Surd;

use super::Finding;
use crate::plan::Plan;
use crate::results::Results;
use crate::setting::small_size;

pub(super) fn check(plan: &Plan, _: &Results) -> Vec<Finding> {
    let narrow = Surd::ratio(1, 2);
    let pieces = plan.small.iter();
    pieces
        .filter_map(|piece| match small_size(plan, piece)? {
            Err(finding) => Some(finding),
            Ok(size) => {
                let widths = [&size.side, &size.end].into_iter();
                let least = widths.filter(|width| width.is_positive()).min()?;
                (*least < narrow).then(|| {
                    Finding::mind(format!(
                        "The border of “{}” comes out only {} wide. Give it a least width, so that fewer blocks go in, or change its size a little.",
                        piece.name,
                        plan.measure.say(least)
                    ))
                })
            }
        })
        .collect()
}
