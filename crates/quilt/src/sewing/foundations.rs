//! Sewing on printed foundations: which seams belong to a section, and what the hands do.
//!
//! The joins of a section are seams like any other; on the paper they are its printed
//! lines, sewn in the order of the numbers. This tells the two sorts apart and words the
//! work once for all sections.
//!
//! Sources: a size 80 needle for foundation work: "Learning needles (2015)", a private blog;
//! the fabric lies on the unprinted side, so the block comes out as the mirror
//! image of the print; short stitches let the paper tear away; the allowance is trimmed
//! after each seam and the paper stays in until the block's edges are sewn: *common
//! practice*.

use super::{BlockSewing, Ingredient};
use crate::block::{Block, Founded};
use crate::measure::Measure;
use crate::plan::Plan;

/// The kind of section a step sews on, and the number of the piece it adds; `None` for a
/// step that joins sections, and for blocks without foundations.
#[must_use]
pub fn added(block: &Block, sewn: &BlockSewing, step: usize) -> Option<(usize, usize)> {
    let founded = block.foundation.as_ref()?;
    let unit = &sewn.joins.get(sewn.steps.get(step)?.shown)?.unit;
    let first = *unit.first()?;
    if !unit.iter().all(|&patch| founded.together(first, patch)) {
        return None;
    }
    let number = unit.iter().map(|&patch| founded.of_patch[patch].1).max()?;
    Some((founded.of_section[founded.of_patch[first].0], number))
}

/// What a step or a template is called where sections have letters: `section A`, `unit 4`,
/// `template C`.
#[must_use]
pub fn called(block: &Block, sewn: &BlockSewing, what: Ingredient) -> String {
    match what {
        Ingredient::Template(index) => format!("template {}", block.templates[index].letter),
        Ingredient::Unit(step) => match (added(block, sewn, step), &block.foundation) {
            (Some((kind, _)), Some(founded)) => {
                format!("section {}", founded.kinds[kind].letter)
            }
            _ => format!("unit {}", step + 1),
        },
    }
}

/// How many sections a block takes, and whether it could be fewer, in a sentence.
#[must_use]
pub fn divided(founded: &Founded) -> String {
    let sections = founded.division.sections.len();
    let kinds: Vec<String> = founded
        .kinds
        .iter()
        .map(|kind| match kind.count {
            1 => kind.letter.clone(),
            n => format!("{} ({n} of them)", kind.letter),
        })
        .collect();
    let least = founded.division.at_least;
    let proof = if sections == 1 {
        String::new()
    } else if sections > least {
        format!(" At least {least} are needed; no division in fewer was found.")
    } else {
        " No division takes fewer.".into()
    };
    let s = if sections == 1 { "" } else { "s" };
    format!(
        "Pieced on printed foundations in {sections} section{s}: {}.{proof}",
        kinds.join(", ")
    )
}

/// What to do for every section, in order.
#[must_use]
pub fn deeds(plan: &Plan) -> Vec<String> {
    let allowance = plan.measure.say(&plan.seam);
    let short = match plan.measure {
        Measure::Inch => "1.5 mm (about 18 to the inch)",
        Measure::Centimetre => "1.5 mm",
    };
    [
        "Print or copy one foundation for each section on thin paper, at 100 %. Cut it out a little outside its outer line. \
         The print is the mirror image of the section: cloth lies on the unprinted side, stitching runs on the print."
            .to_owned(),
        format!("Set the machine to short stitches, {short}, and a size 80 needle, so that the paper tears away cleanly."),
        "Piece 1: lay it right side up on the unprinted side. Hold it to the light: it must reach past its lines by the \
         seam allowance on every side. A dab of glue or a pin holds it."
            .to_owned(),
        format!(
            "The next number: lay its rectangle on the work, right sides together, the side it is measured along at least {allowance} \
             past the printed line between the two. Turn over and sew on that line, two stitches beyond it at both ends."
        ),
        format!(
            "Fold the paper back along the line, trim both allowances to {allowance}, fold the paper flat, press the new piece \
             open, and hold it to the light again before you go on."
        ),
        format!(
            "When the last number is on, press, and trim the section along its solid outer line, {allowance} outside the dashes. \
             Take the paper out only after the section is sewn to others on all its sides."
        ),
    ]
    .into()
}

/// What to be careful of.
#[must_use]
pub fn caution() -> &'static str {
    "Paper blunts needles and scorches under a hot iron: change the needle after, keep the iron moving and away from \
     printer ink, and follow the makers’ instructions."
}
