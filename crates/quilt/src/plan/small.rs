//! Small pieces of the same design: a cushion, a pot holder, a runner, a bag panel.

use geometry::Surd;

use super::ClothId;

/// A small piece in the plan's setting: as many blocks as go in, and one border that makes
/// up the rest.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SmallPlan {
    /// What it is; unique in the plan.
    pub name: String,
    /// Finished width, inches; greater than zero.
    pub width: Surd,
    /// Finished height, inches; greater than zero.
    pub height: Surd,
    /// The cloth of the border that makes up the rest.
    pub cloth: ClothId,
    /// The least that border may be wide, inches; zero or more. Zero lets the blocks fill
    /// the piece where they do.
    pub border: Surd,
}
