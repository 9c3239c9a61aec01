//! Units that can be made in several ways: which there are, what each way costs, which is
//! taken.
//!
//! ```text
//!   joins ─▶ known units ─▶ batches by cloth ─▶ ways with cloth, cuts, seams ─▶ choice ─▶ cutting
//!             `units`         `batches`              `recipes`                  `choice`
//! ```
//!
//! A half-square unit can be sewn from two triangles, or two, four or eight of them come
//! from a pair of squares; a row of squares is cut from strips sewn long. The finished
//! unit is the same. What differs is the cloth, the work, and which edges are left on the
//! bias. The maker says what matters ([`Wish`](crate::plan::Wish)), or settles the way
//! for a kind of unit; the cutting follows, and [`sentences`] say how the units are made.
//!
//! **Units.** Inches; cut sizes are whole ruler marks.
//!
//! **Always holds.** Each patch of the quilt is cut once: on its own, or as part of
//! exactly one batch. A batch makes at least as many units as are needed. A cloth with a
//! print that has a direction is cut patch by patch, since quick ways lay half of its
//! pieces sideways.

mod batches;
mod choice;
mod recipes;
mod units;
mod words;

use std::collections::BTreeMap;
use std::sync::Arc;

use geometry::Surd;

pub use choice::work_out;
pub use words::{caution, refusal, sentences};

use crate::cutting::{ClothCutting, Instead, Take};
use crate::plan::{BlockId, ClothId, UnitKind, Way};
use crate::sewing::BlockSewing;

/// How every unit that could be made in several ways is made, and the cutting that follows.
#[derive(Clone, PartialEq, Debug)]
pub struct Making {
    /// The units, in the order of the work.
    pub batches: Vec<Batch>,
    /// How the cloths were compared, if they were.
    pub compared: Compared,
    /// What each cloth would be bought at with every patch cut singly; empty when every
    /// unit is made so.
    pub singly: Vec<(ClothId, Surd)>,
    /// What is cut in the place of patches for the ways that are taken.
    pub instead: BTreeMap<ClothId, Instead>,
    /// The cutting, one entry a cloth that is used, in the plan's order.
    pub cutting: Arc<Vec<ClothCutting>>,
}

/// How far the least cloth was looked for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Compared {
    /// The cloth was not asked about.
    No,
    /// Every combination of ways was laid out.
    All,
    /// There were too many: one batch after another was tried in every way, the others
    /// left as they were, until the number of layouts tried reached a limit or nothing
    /// got better.
    OneByOne,
}

/// Units that are the same work in the same cloths.
#[derive(Clone, PartialEq, Debug)]
pub struct Batch {
    /// Which block they are a part of.
    pub block: BlockId,
    /// Which unit: index into `BlockSewing::steps`.
    pub step: usize,
    /// What comes about inside one unit: steps of the block, this one included, each with
    /// how many of its joins one unit holds.
    pub inside: Vec<(usize, u32)>,
    /// Templates of the patches it takes the place of, ascending.
    pub templates: Vec<usize>,
    /// What kind it is.
    pub kind: UnitKind,
    /// Finished size, the shorter side first, inches; of a row its height and length.
    pub size: [Surd; 2],
    /// The cloths: of a half-square unit or an hourglass both; the goose and the sky; of a
    /// row one a part, in order; else the large patch and one a corner.
    pub cloths: Vec<ClothId>,
    /// How many the quilt needs.
    pub needed: u32,
    /// The ways it can be made, singly first.
    pub ways: Vec<Recipe>,
    /// Ways that are not offered.
    pub refused: Vec<Refusal>,
    /// Which way is taken: index into `ways`.
    pub chosen: usize,
}

impl Making {
    /// For each step of a block how many are still sewn seam by seam, because no batch
    /// made together holds them.
    #[must_use]
    pub fn still_sewn(&self, sewn: &BlockSewing) -> Vec<u32> {
        let mut left: Vec<u32> = sewn.steps.iter().map(|step| step.in_all).collect();
        let together = self.batches.iter().filter(|batch| batch.together());
        for batch in together.filter(|batch| batch.block == sewn.block) {
            for &(step, count) in &batch.inside {
                left[step] = left[step].saturating_sub(count * batch.needed);
            }
        }
        left
    }
}

impl Batch {
    /// The way that is taken.
    #[must_use]
    pub fn recipe(&self) -> &Recipe {
        &self.ways[self.chosen]
    }

    /// Whether it is made in another way than patch by patch.
    #[must_use]
    pub fn together(&self) -> bool {
        self.recipe().way != Way::Singly
    }
}

/// One way of making a batch.
#[derive(Clone, PartialEq, Debug)]
pub struct Recipe {
    /// Which way.
    pub way: Way,
    /// What is cut for it, by cloth; empty when the patches are cut singly.
    pub takes: Vec<(ClothId, Take)>,
    /// How often it is done: pairs of squares sewn, strip sets, units.
    pub goes: u32,
    /// How many units come of it; at least as many as needed.
    pub made: u32,
    /// The work.
    pub work: Work,
    /// Length of stitching, inches.
    pub seam_length: f64,
    /// Cloth cut for it, square inches, before any is lost to strips' ends.
    pub area: f64,
    /// How the threads lie in the units.
    pub grain: Grain,
}

/// Work counted in what the hands do.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub struct Work {
    /// Cuts: one for each strip, square or rectangle, one for each cut that divides it or
    /// trims it.
    pub cuts: u32,
    /// Lines marked.
    pub lines: u32,
    /// Runs of stitching.
    pub seams: u32,
}

impl Work {
    /// All of it.
    #[must_use]
    pub fn all(self) -> u32 {
        self.cuts + self.lines + self.seams
    }
}

/// How the threads lie in units made one way, against the grain of the templates.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Grain {
    /// As the templates show.
    AsPlanned,
    /// Every outer edge of the unit is on the bias, where the templates have it straight.
    BiasOutside,
    /// Otherwise than the templates show.
    Turned,
}

/// Why a way is not offered.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Refusal {
    /// The print of this cloth has a direction: nothing but singly.
    Direction(ClothId),
    /// This cloth is too narrow for this way.
    Width(Way, ClothId),
}
