//! What the maker should look at, and the way out.

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
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Finding {
    /// How much it matters.
    pub weight: Weight,
    /// The sentence.
    pub text: String,
}
