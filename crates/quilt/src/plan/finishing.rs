//! What the maker decided about the back, the middle, the edge, and buying cloth.

use geometry::Surd;

use super::ClothId;

/// Everything after the top.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FinishingPlan {
    /// The back.
    pub backing: BackingPlan,
    /// The middle.
    pub batting: BattingPlan,
    /// The edge.
    pub binding: BindingPlan,
    /// Finished depth of a hanging sleeve cut from the backing cloth, inches, if wanted.
    pub sleeve: Option<Surd>,
}

/// The backing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BackingPlan {
    /// Its cloth; without one the sums are made for a cloth of the plan's usual width.
    pub cloth: Option<ClothId>,
    /// How far it reaches beyond the top on every side, inches.
    pub overage: Surd,
    /// Seam allowance of the backing's own seams, inches.
    pub seam: Surd,
}

/// The batting.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BattingPlan {
    /// How far it reaches beyond the top on every side, inches.
    pub overage: Surd,
}

/// The binding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BindingPlan {
    /// Its cloth; without one no binding is cut from the plan's cloths.
    pub cloth: Option<ClothId>,
    /// Width the strips are cut, inches (double-fold).
    pub width: Surd,
    /// Straight or bias.
    pub run: BindingRun,
    /// Length added for corners and the last join, inches.
    pub extra: Surd,
}

/// Straight or bias binding.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BindingRun {
    /// Strips across the cloth.
    Straight,
    /// Strips on the diagonal.
    Bias,
}

/// How cloth is bought.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Buying {
    /// Cloth is sold in multiples of this length, inches (⅛ yd is 4½).
    pub step: Surd,
    /// Share lost in the wash, for example 6/100.
    pub shrinkage: Surd,
    /// Length lost squaring the end of each cloth, inches.
    pub squaring: Surd,
    /// Length bought to spare of each cloth, inches.
    pub spare: Surd,
    /// Usable width of a cloth that does not say its own, inches.
    pub width: Surd,
}
