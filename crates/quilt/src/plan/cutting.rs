//! What the maker decided about the cutting table.

/// How the maker cuts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CuttingPlan {
    /// The most layers of cloth under the blade at once, at least 1.
    pub layers: u32,
    /// The hand that holds the blade.
    pub hand: CuttingHand,
}

/// The hand that holds the blade.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CuttingHand {
    /// Strips are cut from the left.
    Right,
    /// Strips are cut from the right: drawings and words change sides.
    Left,
}

impl Default for CuttingPlan {
    /// Four layers ("stack up to four strips"), blade in the right hand.
    fn default() -> Self {
        Self {
            layers: 4,
            hand: CuttingHand::Right,
        }
    }
}
