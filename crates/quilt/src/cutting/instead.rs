//! Cutting other pieces in the place of some patches.
//!
//! Units that are made several at a time are not sewn from patches: squares or strips are
//! cut in their place, and cut apart after sewing. Here patches are taken off the list of
//! what a cloth must give, and rectangles put on it. Which, `making` knows.
//!
//! **Units.** Cut sizes are whole ruler marks.
//!
//! **Knows nothing of** what the rectangles become, and of prints with a direction: only
//! patches of cloth that may lie any way are replaced.

use std::collections::BTreeMap;

use super::demand::{self, Demands, Group};
use super::kinds::{self, Key, Lay, Lie, Split};
use super::laying::Table;
use super::{ClothCutting, Method, Use};
use crate::finishing::Finishing;
use crate::measure::Cut;
use crate::plan::{BlockId, ClothId, Direction, Plan};
use crate::results::Blocks;
use crate::setting::Top;

/// Patches of one template in one cloth.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Same {
    /// Their block.
    pub block: BlockId,
    /// Index of their template in the block.
    pub template: usize,
    /// Whether the template is turned over for them.
    pub mirrored: bool,
}

/// Rectangles to cut.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Take {
    /// Along the cloth's length, unless [`Take::turnable`] turns them.
    pub height: Cut,
    /// Across the cloth.
    pub width: Cut,
    /// Whether they may lie either way.
    pub turnable: bool,
    /// What they are for.
    pub usage: Use,
    /// How many.
    pub count: u32,
}

/// What is cut from one cloth in the place of what.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Instead {
    /// Patches that are not cut, with how many; never more than the cloth would give.
    pub without: BTreeMap<Same, u32>,
    /// Rectangles that are.
    pub with: Vec<Take>,
}

/// Everything to be cut, gathered once, to be cut in several ways.
pub struct Cutter<'a> {
    plan: &'a Plan,
    blocks: &'a Blocks,
    demands: Demands,
}

impl std::fmt::Debug for Cutter<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the cutting of {} cloths", self.demands.len())
    }
}

impl<'a> Cutter<'a> {
    /// Gathers what the plan needs.
    #[must_use]
    pub fn new(plan: &'a Plan, blocks: &'a Blocks, top: &Top, finishing: &Finishing) -> Self {
        Self {
            plan,
            blocks,
            demands: demand::gathered(plan, blocks, top, finishing),
        }
    }

    /// The cloths something is cut from, in the plan's order.
    pub fn cloths(&self) -> impl Iterator<Item = ClothId> + '_ {
        self.demands.keys().copied()
    }

    /// How one cloth is cut, with other pieces in the place of some patches.
    ///
    /// `thorough`: as [`cutting::work_out`](super::work_out) does it; otherwise in
    /// strips by plain rules, which is quicker and may take a little more cloth.
    #[must_use]
    pub fn cut(&self, cloth: ClothId, instead: Option<&Instead>, thorough: bool) -> ClothCutting {
        let mut groups = self.demands.get(&cloth).cloned().unwrap_or_default();
        if let Some(instead) = instead {
            instead.exchange(self.plan, self.blocks, cloth, &mut groups);
        }
        let spread = Table::new(self.plan, self.blocks, cloth).spread(groups);
        let mut task = spread.task();
        task.thorough = thorough;
        // Ways of making are compared by length.
        task.sale = None;
        let done = task.done();
        spread.cut(done)
    }
}

impl Instead {
    /// Takes the patches off the list of what a cloth must give, and puts the rectangles on.
    pub(super) fn exchange(
        &self,
        plan: &Plan,
        blocks: &Blocks,
        cloth: ClothId,
        groups: &mut BTreeMap<Key, Group>,
    ) {
        let direction = plan.cloth(cloth).direction;
        debug_assert!(
            direction == Direction::Free,
            "pieces of a print with a direction are cut one by one"
        );
        for (same, &count) in &self.without {
            let Some(block) = blocks.get(same.block.0).and_then(Option::as_ref) else {
                continue;
            };
            let lay = Lay {
                block: same.block,
                template: same.template,
                mirrored: same.mirrored,
                lie: Lie::Free,
                centred: false,
            };
            let (key, sort, _) = kinds::kind_of(block, lay, direction);
            let usage = Use::Patch(same.block, same.template);
            let emptied = groups
                .get_mut(&key)
                .is_some_and(|group| group.without(sort, usage, count));
            if emptied {
                groups.remove(&key);
            }
        }
        for take in &self.with {
            let (mut height, mut width) = (take.height.clone(), take.width.clone());
            // As everywhere, of a piece that may be turned the shorter side comes first.
            if take.turnable && width.marks < height.marks {
                std::mem::swap(&mut height, &mut width);
            }
            let key = kinds::slab(height.marks, width.marks, take.turnable, Split::Whole);
            let group = groups.entry(key).or_insert_with(|| Group {
                method: Method::Rectangle { height, width },
                sorts: BTreeMap::new(),
                lengths: Vec::new(),
            });
            let uses = group.sorts.entry(0).or_default();
            *uses.entry(take.usage).or_default() += take.count;
        }
    }
}

impl Group {
    /// Takes so many pieces of one sort for one use off; whether nothing is left.
    fn without(&mut self, sort: u32, usage: Use, count: u32) -> bool {
        if let Some(uses) = self.sorts.get_mut(&sort) {
            if let Some(left) = uses.get_mut(&usage) {
                debug_assert!(*left >= count, "no more is taken off than there is");
                *left = left.saturating_sub(count);
                if *left == 0 {
                    uses.remove(&usage);
                }
            }
            if uses.is_empty() {
                self.sorts.remove(&sort);
            }
        }
        self.sorts.is_empty()
    }
}
