//! What the maker decided, and nothing that can be worked out from it.
//!
//! A plan is plain data. References between its parts are indices that the reader
//! of a plan file has already checked: [`ClothId`] and [`BlockId`] always point at
//! something. Lengths are exact inches.
//!
//! **Knows nothing of** files (see the `planfile` crate), or whether the plan can be
//! built: an unbuildable plan is allowed and [`findings`](crate::findings) say so.

mod block;
mod choosing;
mod cloth;
mod cutting;
mod edit;
mod finishing;
mod making;
mod setting;
mod sewing;
mod small;
mod supply;
mod taken;

use geometry::Surd;

pub use block::{
    Arm, BlockPlan, Cell, Centre, Claim, Colourway, Draft, HexagonParts, LogStyle, PlacePlan,
    Pointing,
};
pub use choosing::{Choice, ChoosingPlan, Each, Outward, Pin, PoolPlan, RampPlan};
pub use cloth::{Cloth, Colour, Direction, Measured, Motif, Print, Record, Value};
pub use cutting::{CuttingHand, CuttingPlan};
pub use edit::{Edit, Reach, Refusal, Spot};
pub use finishing::{BackingPlan, BattingPlan, BindingPlan, BindingRun, Buying, FinishingPlan};
pub use making::{MakingPlan, UnitKind, Way, Wish};
pub use setting::{
    Bed, BorderKind, BorderPlan, CellPlan, Corner, CutAlong, Ends, Kind, Pieced, Pinned, Repeat,
    Sashing, SettingPlan, Target,
};
pub use supply::{Owned, OwnedKind, SoldWidth, Supply};

pub use sewing::{Rates, SewingPlan};
pub use small::SmallPlan;
pub use taken::{Part, Role, Side, Taken};

use crate::cloth::Values;
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
    /// Small pieces of the same design; names unique.
    pub small: Vec<SmallPlan>,
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
    /// How cloth is sorted, laid in ramps and scattered.
    pub choosing: ChoosingPlan,
}

impl Plan {
    /// The cloth with this id.
    #[must_use]
    pub fn cloth(&self, id: ClothId) -> &Cloth {
        &self.cloths[id.0]
    }

    /// The cloths meant, in the plan's order, each once.
    #[must_use]
    pub fn cloths_from(&self, from: &Choice) -> Vec<ClothId> {
        let all = (0..self.cloths.len()).map(ClothId);
        match from {
            Choice::All => all.collect(),
            Choice::Cloths(cloths) => {
                let mut once: Vec<ClothId> = Vec::new();
                for &cloth in cloths {
                    if !once.contains(&cloth) {
                        once.push(cloth);
                    }
                }
                once
            }
            Choice::Tag(tag) => all
                .filter(|&id| self.cloth(id).record.tags.contains(tag))
                .collect(),
            Choice::Value(value) => {
                let values = Values::of(&self.cloths, self.choosing.groups);
                all.filter(|&id| values.value(id) == *value).collect()
            }
        }
    }

    /// Has every place that is filled from a pool list the pool's cloths. To be called
    /// after cloths or pools have changed; [`Plan::with`] does.
    pub fn refill(&mut self) {
        for index in 0..self.choosing.pools.len() {
            let pool = &self.choosing.pools[index];
            let cloths = self.cloths_from(&pool.from);
            if cloths.is_empty() {
                continue;
            }
            for (block, place) in pool.fills.clone() {
                let places = self.blocks.get_mut(block.0).map(|block| &mut block.places);
                if let Some(place) = places.and_then(|places| places.get_mut(place)) {
                    place.cloths.clone_from(&cloths);
                }
            }
        }
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
