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
}

impl Finding {
    /// The quilt cannot be made as planned.
    #[must_use]
    pub fn stop(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Stop,
            text: text.into(),
        }
    }

    /// It can, with care.
    #[must_use]
    pub fn mind(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Mind,
            text: text.into(),
        }
    }

    /// Good to know.
    #[must_use]
    pub fn note(text: impl Into<String>) -> Self {
        Self {
            weight: Weight::Note,
            text: text.into(),
        }
    }
}

/// Every finding about a plan, weightiest first, otherwise in the order of the work.
/// `layout` are those the setting made itself.
#[must_use]
pub fn gather(plan: &Plan, results: &Results, layout: Vec<Finding>) -> Vec<Finding> {
    let checks: [fn(&Plan, &Results) -> Vec<Finding>; 25] = [
        draft_faults::check,
        bare_patches::check,
        set_in::check,
        foundations::check,
        bias_outside::check,
        bias_inside::check,
        sharp_corners::check,
        small_patches::check,
        short_rounding::check,
        one_way::check,
        motifs::check,
        too_large::check,
        runs_out::check,
        making::check,
        spacers::check,
        pins::check,
        small::check,
        scattered::check,
        ramps::check,
        blurs::check,
        large_prints::check,
        twins::check,
        thick::check,
        target::check,
        unused::check,
    ];
    let mut found = layout;
    found.extend(checks.iter().flat_map(|check| check(plan, results)));
    found.sort_by_key(|finding| finding.weight);
    found
}

/// `1 patch`, `3 patches`: a count with its noun.
pub(crate) fn count(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}
