//! What the maker should look at, and the way out.
//!
//! One file a check: what it looks for, why it matters, the sentence, and a good and a
//! bad example as its test. A finding never stops the work; it says what is wrong and
//! what would put it right.

mod bare_patches;
mod bias_inside;
mod bias_outside;
mod blurs;
mod draft_faults;
mod foundations;
mod large_prints;
mod making;
mod motifs;
mod one_way;
mod pins;
mod ramps;
mod runs_out;
mod scattered;
mod set_in;
mod sharp_corners;
mod short_rounding;
mod small;
mod small_patches;
mod spacers;
mod target;
mod thick;
mod too_large;
mod twins;
mod unused;

use crate::plan::Plan;
use crate::results::Results;

/// How much a finding matters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Weight {
    /// The quilt cannot be made as planned.
    Stop,
    /// It can, with care.
    Mind,
    /// Good to know.
    Note,
}

/// Where in the work a finding is mended.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub enum Mended {
    /// In the drafting of a block.
    Block,
    /// Among the cloths.
    Cloth,
    /// In the setting, its sashing and borders.
    #[default]
    Setting,
    /// In what comes after the top.
    Finishing,
}

/// A sentence about something worth a look.
///
/// Always in this order: what and by how much, where in the maker's own names, the
/// numbers, what would put it right.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Finding {
    /// How much it matters.
    pub weight: Weight,
    /// The sentence.
    pub text: String,
    /// Where it is mended.
    pub mended: Mended,
}

impl Finding {
    /// The quilt cannot be made as planned.
    #[must_use]
    pub fn stop(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Stop,
            text: text.into(),
            mended: Mended::default(),
        }
    }

    /// It can, with care.
    #[must_use]
    pub fn mind(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Mind,
            text: text.into(),
            mended: Mended::default(),
        }
    }

    /// Good to know.
    #[must_use]
    pub fn note(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Note,
            text: text.into(),
            mended: Mended::default(),
        }
    }
}

type Check = fn(&Plan, &Results) -> Vec<Finding>;

/// Every finding about a plan, weightiest first, otherwise in the order of the work.
/// `layout` are those the setting made itself.
#[must_use]
pub fn gather(plan: &Plan, results: &Results, layout: Vec<Finding>) -> Vec<Finding> {
    let checks: [(Mended, Check); 25] = [
        (Mended::Block, draft_faults::check),
        (Mended::Cloth, bare_patches::check),
        (Mended::Block, set_in::check),
        (Mended::Block, foundations::check),
        (Mended::Block, bias_outside::check),
        (Mended::Block, bias_inside::check),
        (Mended::Block, sharp_corners::check),
        (Mended::Block, small_patches::check),
        (Mended::Block, short_rounding::check),
        (Mended::Cloth, one_way::check),
        (Mended::Cloth, motifs::check),
        (Mended::Cloth, too_large::check),
        (Mended::Cloth, runs_out::check),
        (Mended::Block, making::check),
        (Mended::Setting, spacers::check),
        (Mended::Setting, pins::check),
        (Mended::Setting, small::check),
        (Mended::Cloth, scattered::check),
        (Mended::Cloth, ramps::check),
        (Mended::Cloth, blurs::check),
        (Mended::Cloth, large_prints::check),
        (Mended::Cloth, twins::check),
        (Mended::Block, thick::check),
        (Mended::Setting, target::check),
        (Mended::Cloth, unused::check),
    ];
    let mut found = layout;
    for (mended, check) in checks {
        let own = check(plan, results).into_iter();
        found.extend(own.map(|finding| Finding { mended, ..finding }));
    }
    found.sort_by_key(|finding| finding.weight);
    found
}

/// `1 patch`, `3 patches`: a count with its noun.
pub(crate) fn count(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}
