//! What the maker decided, and nothing that can be worked out from it.
//!
//! A plan is plain data. References between its parts are indices that the reader
//! of a plan file has already checked: [`ClothId`] and [`BlockId`] always point at
//! something. Lengths are exact inches.
//!
//! **Knows nothing of** files (see the `planfile` crate), or whether the plan can be
//! built: an unbuildable plan is allowed and [`findings`](crate::findings) say so.

mod block;
mod cloth;
mod cutting;
mod edit;
mod finishing;
mod making;
mod setting;
mod sewing;
mod supply;

use geometry::Surd;

pub use block::{
    Arm, BlockPlan, Cell, Centre, Claim, Colourway, Draft, HexagonParts, LogStyle, PlacePlan,
    Pointing,
};
pub use cloth::{Cloth, Colour, Direction, Motif, Print, Value};
pub use cutting::{CuttingHand, CuttingPlan};
pub use edit::{Edit, Reach, Refusal, Spot};
pub use finishing::{BackingPlan, BattingPlan, BindingPlan, BindingRun, Buying, FinishingPlan};
pub use making::{MakingPlan, UnitKind, Way, Wish};
pub use setting::{
    Bed, BorderPlan, CellPlan, Corner, CutAlong, Kind, Repeat, Sashing, SettingPlan, Target,
};
pub use supply::{Owned, OwnedKind, SoldWidth, Supply};

pub use sewing::{Rates, SewingPlan};

use crate::measure::{Measure, Ruler};

/// Which cloth: an index into [`Plan::cloths`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct ClothId(pub usize);

/// Which block: an index into [`Plan::blocks`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct BlockId(pub usize);

/// The paper the booklet is printed on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Paper {
    /// 8½ × 11 in.
    Letter,
    /// 210 × 297 mm.
    A4,
}

/// Everything the maker decided.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Plan {
    /// What the quilt is called.
    pub title: String,
    /// A sentence or two for the booklet's cover; may be empty.
    pub note: String,
    /// The unit the maker reads: inches or centimetres, never mixed.
    pub measure: Measure,
    /// The seam allowance, in inches.
    pub seam: Surd,
    /// The smallest mark on the ruler and which way sizes are rounded to it.
    pub ruler: Ruler,
    /// The booklet's paper.
    pub paper: Paper,
    /// The cloths, in the maker's order.
    pub cloths: Vec<Cloth>,
    /// The blocks, in the maker's order.
    pub blocks: Vec<BlockPlan>,
    /// How the blocks are arranged.
    pub setting: SettingPlan,
    /// Borders from the inside out.
    pub borders: Vec<BorderPlan>,
    /// Backing, batting, binding, sleeve.
    pub finishing: FinishingPlan,
    /// How cloth is bought.
    pub buying: Buying,
    /// How the maker cuts.
    pub cutting: CuttingPlan,
    /// How units are made where several ways give the same.
    pub making: MakingPlan,
    /// How exactly and how fast the maker sews.
    pub sewing: SewingPlan,
}

impl Plan {
    /// The cloth with this id.
    #[must_use]
    pub fn cloth(&self, id: ClothId) -> &Cloth {
        &self.cloths[id.0]
    }

    /// Whether pieces of this cloth in this place of a block are centred on its motifs.
    #[must_use]
    pub fn is_centred(&self, block: BlockId, place: usize, cloth: ClothId) -> bool {
        self.block(block).places[place].centred && self.cloth(cloth).motif.is_some()
    }

    /// The block with this id.
    #[must_use]
    pub fn block(&self, id: BlockId) -> &BlockPlan {
        &self.blocks[id.0]
    }
}
