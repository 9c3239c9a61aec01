//! Runs the stages in order and keeps what an edit did not touch.
//!
//! Each stage is a pure function of the plan and of earlier stages. Its output is kept
//! with the inputs it read (`Kept`); working out a changed plan reuses every output
//! whose inputs are the same. In debug builds a reused output is checked against a
//! fresh one, so a stage that secretly reads something else is caught at once.
//!
//! Earlier outputs are compared by identity, not by content: an output that was reused
//! is the same allocation, and one that was worked out afresh counts as changed.

use std::sync::Arc;

use geometry::Surd;

use crate::arranging::{self, Arranging};
use crate::block::{self, Block, DraftFault};
use crate::cutting::{self, ClothCutting, Comparison, CuttingTable};
use crate::findings::{self, Finding};
use crate::finishing::{self, Finishing};
use crate::making::{self, Making};
use crate::measure::{Measure, Ruler};
use crate::plan::{
    BlockPlan, BorderPlan, Buying, ClothId, Colour, CuttingPlan, Direction, FinishingPlan,
    MakingPlan, Plan, SettingPlan, SewingPlan, Supply, Value,
};
use crate::setting::{self, Top};
use crate::sewing::{self, Sewing};

/// Blocks as the later stages read them: one entry a block of the plan, `None` where
/// the draft has faults.
pub type Blocks = [Option<Arc<Block>>];

/// The output of one stage with the inputs it was worked out from.
#[derive(Clone, Debug)]
struct Kept<I, O> {
    input: I,
    output: Arc<O>,
}

impl<I: PartialEq, O: PartialEq + std::fmt::Debug> Kept<I, O> {
    /// Reuses `before` if its inputs are the same, else runs `stage`.
    fn or_rework(before: Option<&Self>, input: I, stage: impl FnOnce() -> O) -> Self {
        match before {
            Some(kept) if kept.input == input => {
                if cfg!(debug_assertions) {
                    assert_eq!(*kept.output, stage(), "a stage read more than its inputs");
                }
                Self {
                    input,
                    output: Arc::clone(&kept.output),
                }
            }
            _ => Self {
                output: Arc::new(stage()),
                input,
            },
        }
    }
}

/// An earlier stage's output as an input: the same only if it is the very same one.
#[derive(Clone, Debug)]
struct Same<T>(Arc<T>);

impl<T> PartialEq for Same<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// What [`block::work_out`] reads: the block without its cloths, the seam, the ruler.
type BlockInput = (BlockPlan, Surd, Ruler);
type BlockOutput = Result<Arc<Block>, Vec<DraftFault>>;
/// Every block's output, as an input of the stages after.
type BlockInputs = Vec<Option<Same<Block>>>;
/// What a stage reads of the blocks' plans: name, size, places and their cloths.
type Placing = Vec<(
    String,
    Surd,
    Surd,
    Vec<Vec<ClothId>>,
    Vec<Vec<(usize, Vec<ClothId>)>>,
)>;
/// The setting reads only names, sizes and how many patches each block has.
type SettingInput = (
    SettingPlan,
    Vec<BorderPlan>,
    Vec<(String, Surd, Surd)>,
    Vec<usize>,
    Measure,
);
type SettingOutput = Result<Arc<Top>, Vec<Finding>>;
/// What is seen in the setting depends on the blocks, their cloths and the repeat.
type ArrangingInput = (
    BlockInputs,
    Same<Top>,
    Placing,
    Vec<Vec<String>>,
    Vec<(String, String, Colour, Option<Value>)>,
    SettingPlan,
);
type SewingInput = (
    BlockInputs,
    Same<Top>,
    Placing,
    Vec<(Colour, Option<Value>, String)>,
    Vec<BorderPlan>,
    SettingPlan,
    (Surd, Ruler, SewingPlan),
    Measure,
);
type FinishingInput = (
    BlockInputs,
    Same<Top>,
    FinishingPlan,
    Buying,
    Vec<Surd>,
    Surd,
    Ruler,
    Measure,
);
/// What the making reads of the sewing: for each block the patches on either side of each
/// join, and its step. How they are pressed goes by colour, and changes nothing here.
type Joined = Vec<Vec<(Vec<usize>, Vec<usize>, usize)>>;
type CuttingInput = (
    BlockInputs,
    Same<Top>,
    Same<Finishing>,
    Placing,
    (
        Vec<(Surd, Direction, Supply, Option<Colour>)>,
        Vec<BorderPlan>,
        SettingPlan,
        FinishingPlan,
    ),
    (Buying, Surd, Ruler, Measure, CuttingPlan),
    (MakingPlan, Joined),
);
/// The steps also name the cloths.
type TableInput = (CuttingInput, Same<Vec<ClothCutting>>, Vec<String>);
type TableOutput = (CuttingTable, Comparison);

/// Everything that follows from a plan.
#[derive(Clone, Debug)]
pub struct Results {
    /// One entry a block of the plan; `None` where its draft has faults.
    pub blocks: Vec<Option<Arc<Block>>>,
    /// Faults of each block's draft; empty where the block is there.
    pub faults: Vec<Vec<DraftFault>>,
    /// The laid-out top, when every block is there and the rows fit.
    pub top: Option<Arc<Top>>,
    /// The symmetry and the figures of the setting; there when the top is.
    pub arranging: Option<Arc<Arranging>>,
    /// The order of sewing; there when the top is.
    pub sewing: Option<Arc<Sewing>>,
    /// Backing, batting, binding; there when the top is.
    pub finishing: Option<Arc<Finishing>>,
    /// How units are made where several ways give the same; there when the top is.
    pub making: Option<Arc<Making>>,
    /// The cutting that follows from that, one entry a cloth that is used, in the plan's order; there when the
    /// top is.
    pub cutting: Option<Arc<Vec<ClothCutting>>>,
    /// The steps at the cutting table, and what simpler ways would cost; there when the
    /// top is.
    pub table: Option<Arc<(CuttingTable, Comparison)>>,
    /// What to look at, weightiest first.
    pub findings: Vec<Finding>,
    kept: KeptStages,
}

#[derive(Clone, Debug, Default)]
struct KeptStages {
    blocks: Vec<Kept<BlockInput, BlockOutput>>,
    setting: Option<Kept<SettingInput, SettingOutput>>,
    arranging: Option<Kept<ArrangingInput, Arranging>>,
    sewing: Option<Kept<SewingInput, Sewing>>,
    finishing: Option<Kept<FinishingInput, Finishing>>,
    table: Option<Kept<TableInput, TableOutput>>,
    making: Option<Kept<CuttingInput, Making>>,
}

/// Works out everything that follows from `plan`, reusing what did not change.
#[must_use]
pub fn work_out(plan: &Plan, before: Option<&Results>) -> Results {
    let before = before.map(|results| &results.kept);
    let (mut results, mut kept, layout_findings) = drafted_and_set(plan, before);
    if let Some(top) = results.top.clone() {
        later_stages(plan, &top, before, &mut kept, &mut results);
    }
    results.kept = kept;
    results.findings = findings::gather(plan, &results, layout_findings);
    results
}

/// Works out only the blocks and where they lie, for a picture that must follow the hand:
/// what comes after the setting is left out, findings too. Given back to [`work_out`] as
/// `before`, it keeps what it was given itself.
#[must_use]
pub fn laid_out(plan: &Plan, before: Option<&Results>) -> Results {
    let earlier = before.map(|results| &results.kept);
    let (mut results, kept, _) = drafted_and_set(plan, earlier);
    results.kept = KeptStages {
        blocks: kept.blocks,
        setting: kept.setting,
        ..earlier.cloned().unwrap_or_default()
    };
    results
}

fn drafted_and_set(
    plan: &Plan,
    before: Option<&KeptStages>,
) -> (Results, KeptStages, Vec<Finding>) {
    let mut kept = KeptStages {
        blocks: kept_blocks(plan, before),
        ..KeptStages::default()
    };
    let blocks: Vec<Option<Arc<Block>>> = kept
        .blocks
        .iter()
        .map(|k| k.output.as_ref().as_ref().ok().cloned())
        .collect();
    let faults: Vec<Vec<DraftFault>> = kept
        .blocks
        .iter()
        .map(|k| {
            k.output
                .as_ref()
                .as_ref()
                .err()
                .cloned()
                .unwrap_or_default()
        })
        .collect();
    let mut results = Results {
        blocks,
        faults,
        top: None,
        arranging: None,
        sewing: None,
        finishing: None,
        making: None,
        cutting: None,
        table: None,
        findings: Vec::new(),
        kept: KeptStages::default(),
    };
    let mut layout_findings = Vec::new();
    if results.blocks.iter().all(Option::is_some) {
        let setting = kept_setting(plan, &results.blocks, before);
        match setting.output.as_ref() {
            Ok(top) => results.top = Some(Arc::clone(top)),
            Err(findings) => layout_findings.clone_from(findings),
        }
        kept.setting = Some(setting);
    }
    (results, kept, layout_findings)
}

fn later_stages(
    plan: &Plan,
    top: &Arc<Top>,
    before: Option<&KeptStages>,
    kept: &mut KeptStages,
    results: &mut Results,
) {
    let blocks = &results.blocks;
    let same: BlockInputs = blocks.iter().map(|b| b.clone().map(Same)).collect();
    let same_top = || Same(Arc::clone(top));
    let looks = plan
        .cloths
        .iter()
        .map(|c| (c.colour, c.value, c.name.clone()))
        .collect();
    let arranging = kept_arranging(plan, blocks, top, before);
    let sewing = Kept::or_rework(
        before.and_then(|k| k.sewing.as_ref()),
        (
            same.clone(),
            same_top(),
            placing(plan),
            looks,
            plan.borders.clone(),
            plan.setting.clone(),
            (plan.seam.clone(), plan.ruler.clone(), plan.sewing.clone()),
            plan.measure,
        ),
        || sewing::work_out(plan, blocks, top),
    );
    let widths = plan
        .cloths
        .iter()
        .map(|cloth| cloth.width.clone())
        .collect();
    let finishing = Kept::or_rework(
        before.and_then(|k| k.finishing.as_ref()),
        (
            same.clone(),
            same_top(),
            plan.finishing.clone(),
            plan.buying.clone(),
            widths,
            plan.seam.clone(),
            plan.ruler.clone(),
            plan.measure,
        ),
        || finishing::work_out(plan, blocks, top),
    );
    let made = Arc::clone(&finishing.output);
    // Only what may run out asks for a cloth of like colour.
    let short = plan.cloths.iter().any(|cloth| !cloth.supply.sold);
    let sewn = Arc::clone(&sewing.output);
    let making = Kept::or_rework(
        before.and_then(|k| k.making.as_ref()),
        (
            same,
            same_top(),
            Same(Arc::clone(&made)),
            placing(plan),
            (
                plan.cloths
                    .iter()
                    .map(|c| {
                        let colour = short.then_some(c.colour);
                        (c.width.clone(), c.direction, c.supply.clone(), colour)
                    })
                    .collect(),
                plan.borders.clone(),
                plan.setting.clone(),
                plan.finishing.clone(),
            ),
            (
                plan.buying.clone(),
                plan.seam.clone(),
                plan.ruler.clone(),
                plan.measure,
                plan.cutting,
            ),
            (plan.making.clone(), joined(&sewn)),
        ),
        || making::work_out(plan, blocks, top, &sewn, &made),
    );
    let laid = Arc::clone(&making.output.cutting);
    let table = Kept::or_rework(
        before.and_then(|k| k.table.as_ref()),
        (
            making.input.clone(),
            Same(Arc::clone(&laid)),
            plan.cloths.iter().map(|cloth| cloth.name.clone()).collect(),
        ),
        || {
            let table = cutting::table(plan, blocks, &laid);
            let beside = cutting::compared(plan, blocks, (top, &made), &laid, &table);
            (table, beside)
        },
    );
    results.table = Some(Arc::clone(&table.output));
    kept.table = Some(table);
    results.arranging = Some(Arc::clone(&arranging.output));
    results.sewing = Some(sewn);
    results.finishing = Some(made);
    results.cutting = Some(Arc::clone(&making.output.cutting));
    results.making = Some(Arc::clone(&making.output));
    kept.arranging = Some(arranging);
    kept.sewing = Some(sewing);
    kept.finishing = Some(finishing);
    kept.making = Some(making);
}

fn joined(sewing: &Sewing) -> Joined {
    let joins = sewing.blocks.iter().map(|block| block.joins.iter());
    joins
        .map(|joins| {
            joins
                .map(|join| (join.left.clone(), join.right.clone(), join.step))
                .collect()
        })
        .collect()
}

fn kept_arranging(
    plan: &Plan,
    blocks: &Blocks,
    top: &Arc<Top>,
    before: Option<&KeptStages>,
) -> Kept<ArrangingInput, Arranging> {
    let places = |block: &BlockPlan| block.places.iter().map(|p| p.name.clone()).collect();
    let cloths = plan
        .cloths
        .iter()
        .map(|c| (c.key.clone(), c.name.clone(), c.colour, c.value));
    let input = (
        blocks.iter().map(|b| b.clone().map(Same)).collect(),
        Same(Arc::clone(top)),
        placing(plan),
        plan.blocks.iter().map(places).collect(),
        cloths.collect(),
        plan.setting.clone(),
    );
    Kept::or_rework(before.and_then(|k| k.arranging.as_ref()), input, || {
        arranging::work_out(plan, blocks, top)
    })
}

fn kept_blocks(plan: &Plan, before: Option<&KeptStages>) -> Vec<Kept<BlockInput, BlockOutput>> {
    plan.blocks
        .iter()
        .enumerate()
        .map(|(index, block_plan)| {
            let input = (
                without_cloth(block_plan),
                plan.seam.clone(),
                plan.ruler.clone(),
            );
            let stage = || block::work_out(block_plan, &plan.seam, &plan.ruler).map(Arc::new);
            Kept::or_rework(before.and_then(|k| k.blocks.get(index)), input, stage)
        })
        .collect()
}

/// A block's plan without what its draft does not read, so that a change of cloth keeps it.
fn without_cloth(block: &BlockPlan) -> BlockPlan {
    let mut bare = block.clone();
    bare.colourways.clear();
    for place in &mut bare.places {
        place.cloths.clear();
    }
    bare
}

fn kept_setting(
    plan: &Plan,
    blocks: &Blocks,
    before: Option<&KeptStages>,
) -> Kept<SettingInput, SettingOutput> {
    let counts: Vec<usize> = blocks
        .iter()
        .map(|b| b.as_ref().map_or(0, |b| b.patches.len()))
        .collect();
    let input = (
        plan.setting.clone(),
        plan.borders.clone(),
        plan.blocks
            .iter()
            .map(|b| (b.name.clone(), b.width.clone(), b.height.clone()))
            .collect(),
        counts.clone(),
        plan.measure,
    );
    Kept::or_rework(before.and_then(|k| k.setting.as_ref()), input, || {
        setting::work_out(plan, &counts).map(Arc::new)
    })
}

fn placing(plan: &Plan) -> Placing {
    plan.blocks
        .iter()
        .map(|block| {
            (
                block.name.clone(),
                block.width.clone(),
                block.height.clone(),
                block
                    .places
                    .iter()
                    .map(|place| place.cloths.clone())
                    .collect(),
                block
                    .colourways
                    .iter()
                    .map(|way| way.places.clone())
                    .collect(),
            )
        })
        .collect()
}
