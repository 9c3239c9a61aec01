//! Blocks that the maker wants on printed foundations.
//!
//! Some cannot be: straight seams do not put them together. Some can, but in so many
//! sections that foundations only add work. And rectangles that lie along their seams may
//! leave bias on the block's outside, which the paper holds as long as it stays in.

use super::{Finding, count};
use crate::block::{Block, Founded};
use crate::plan::{BlockPlan, Plan};
use crate::results::Results;

pub(super) fn check(plan: &Plan, results: &Results) -> Vec<Finding> {
    let blocks = plan.blocks.iter().zip(&results.blocks);
    let asked = blocks.filter(|(of, _)| of.foundation);
    asked
        .filter_map(|(of, block)| Some((of, block.as_deref()?)))
        .flat_map(|(of, block)| match &block.foundation {
            Some(founded) => with_sections(of, block, founded),
            None => vec![Finding::mind(format!(
                "“{}” cannot be pieced on foundations, since straight seams do not put it together. It is cut by templates \
                 instead. Draw a line on through the block so that it comes apart in straight seams, or take `foundation` out.",
                of.name
            ))],
        })
        .collect()
}

fn with_sections(of: &BlockPlan, block: &Block, founded: &Founded) -> Vec<Finding> {
    let name = &of.name;
    let division = &founded.division;
    let (sections, patches) = (division.sections.len(), block.patches.len());
    let mut found = Vec::new();
    if 2 * sections > patches {
        let least = if sections > division.at_least {
            format!("; at least {} are needed", division.at_least)
        } else {
            ", and no division takes fewer".to_owned()
        };
        found.push(Finding::mind(format!(
            "“{name}” takes {} for {}{least}: fewer than two patches a section. Cut by templates it is less work; take \
             `foundation` out, or draw it with fewer lines that cross.",
            count(sections, "section", "sections"),
            count(patches, "patch", "patches"),
        )));
    }
    let mut biased: Vec<String> = Vec::new();
    for kind in &founded.kinds {
        let pieces = kind.pieces.iter().enumerate();
        let pieces = pieces.filter(|(_, piece)| piece.bias_outside);
        biased.extend(pieces.map(|(at, _)| format!("{}{}", kind.letter, at + 1)));
    }
    if !biased.is_empty() {
        found.push(Finding::note(format!(
            "“{name}” on its foundations has bias on its outside edge at {}, since each piece is cut along its seam. The \
             paper keeps those edges from stretching: leave it in until the block is sewn to its neighbours.",
            biased.join(", ")
        )));
    }
    found
}
