//! (Being laid out: stands in for `findings` until every stage is there.)
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
