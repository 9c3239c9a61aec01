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
use crate::cloth::{self, Contacts, Ramped, Scattered, Seam, Values};
use crate::cutting::{self, ClothCutting, Comparison, CuttingTable};
use crate::findings::{self, Finding};
use crate::finishing::{self, Finishing};
use crate::making::{self, Making};
use crate::measure::{Measure, Ruler};
use crate::plan::{
    BlockPlan, BorderPlan, Buying, ChoosingPlan, Cloth, ClothId, Colour, CuttingPlan, Direction,
    FinishingPlan, MakingPlan, Measured, Motif, Plan, PoolPlan, Role, SettingPlan, SewingPlan,
    Supply, Value,
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
    Vec<(Vec<ClothId>, bool)>,
    Vec<Vec<(usize, Vec<ClothId>)>>,
)>;
/// The setting reads only names, sizes, how many patches each block has, and which are
/// halves and mirror images of others.
type SettingInput = (
    SettingPlan,
    Vec<BorderPlan>,
    Vec<(String, Surd, Surd, Option<(String, Role)>)>,
    Vec<usize>,
    Measure,
);
type SettingOutput = Result<Arc<Top>, Vec<Finding>>;
/// The groups by value read the colours as typed or measured, and the maker's word.
type ValuesInput = (Vec<(Colour, Option<Value>, Option<Measured>)>, u32);
/// Where pieces touch goes by lines alone; no cloth is read.
type ContactsInput = (BlockInputs, Same<Top>);
/// Scattering goes by places and pools. The blocks and the top are those of the contacts.
type ScatterInput = (Same<Contacts>, Placing, Vec<(PoolPlan, Vec<ClothId>)>);
type ScatterOutput = (Arc<Top>, Arc<Vec<Scattered>>);
/// Ramps go by the names of places, and read all that is on record of a cloth.
type RampsInput = (
    BlockInputs,
    Same<Top>,
    Vec<Vec<String>>,
    ChoosingPlan,
    Vec<Cloth>,
);
type SeamsInput = (
    BlockInputs,
    Same<Top>,
    Placing,
    Vec<(Colour, Option<Measured>)>,
);
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
    Vec<(Colour, Option<Value>, String, Option<Measured>)>,
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
        Vec<(Surd, Direction, Supply, Option<Colour>, Option<Motif>)>,
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
    /// The cloths by value.
    pub values: Arc<Values>,
    /// The laid-out top, when every block is there and the rows fit.
    pub top: Option<Arc<Top>>,
    /// What came of each pool of the plan; empty until the top is there. The top holds
    /// the cloths themselves.
    pub scattered: Arc<Vec<Scattered>>,
    /// What came of each ramp of the plan; empty until the top is there.
    pub ramps: Arc<Vec<Ramped>>,
    /// The seams between different cloths in the blocks, those that blur most first;
    /// empty until the top is there.
    pub seams: Arc<Vec<Seam>>,
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
    values: Option<Kept<ValuesInput, Values>>,
    contacts: Option<Kept<ContactsInput, Contacts>>,
    scatter: Option<Kept<ScatterInput, ScatterOutput>>,
    ramps: Option<Kept<RampsInput, Vec<Ramped>>>,
    seams: Option<Kept<SeamsInput, Vec<Seam>>>,
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
    let values = kept_values(plan, before);
    let mut results = Results {
        blocks,
        faults,
        values: Arc::clone(&values.output),
        scattered: Arc::default(),
        ramps: Arc::default(),
        seams: Arc::default(),
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
    kept.values = Some(values);
    let mut layout_findings = Vec::new();
    if results.blocks.iter().all(Option::is_some) {
        let setting = kept_setting(plan, &results.blocks, before);
        match setting.output.as_ref() {
            Ok(top) => choosing(plan, top, before, &mut kept, &mut results),
            Err(findings) => layout_findings.clone_from(findings),
        }
        kept.setting = Some(setting);
    }
    (results, kept, layout_findings)
}

/// The cloth of the top: scattered, laid in ramps, told apart along the seams.
fn choosing(
    plan: &Plan,
    top: &Arc<Top>,
    before: Option<&KeptStages>,
    kept: &mut KeptStages,
    results: &mut Results,
) {
    let blocks = &results.blocks;
    let same = || -> BlockInputs { blocks.iter().map(|b| b.clone().map(Same)).collect() };
    let mut dressed = Arc::clone(top);
    if !plan.choosing.pools.is_empty() {
        let contacts = Kept::or_rework(
            before.and_then(|k| k.contacts.as_ref()),
            (same(), Same(Arc::clone(top))),
            || cloth::contacts(blocks, top),
        );
        let touching = Arc::clone(&contacts.output);
        kept.contacts = Some(contacts);
        let pools = plan.choosing.pools.iter();
        let input = (
            Same(Arc::clone(&touching)),
            placing(plan),
            pools
                .map(|pool| (pool.clone(), plan.cloths_from(&pool.from)))
                .collect(),
        );
        let old = before.and_then(|k| k.scatter.as_ref());
        let scatter = Kept::or_rework(old, input, || {
            let (top, scattered) = cloth::scatter(plan, blocks, top, &touching);
            (Arc::new(top), Arc::new(scattered))
        });
        dressed = Arc::clone(&scatter.output.0);
        results.scattered = Arc::clone(&scatter.output.1);
        kept.scatter = Some(scatter);
    }
    if !plan.choosing.ramps.is_empty() {
        let names = |block: &BlockPlan| block.places.iter().map(|p| p.name.clone()).collect();
        let input = (
            same(),
            Same(Arc::clone(top)),
            plan.blocks.iter().map(names).collect(),
            plan.choosing.clone(),
            plan.cloths.clone(),
        );
        let ramps = Kept::or_rework(before.and_then(|k| k.ramps.as_ref()), input, || {
            cloth::ramps(plan, blocks, top)
        });
        results.ramps = Arc::clone(&ramps.output);
        kept.ramps = Some(ramps);
    }
    let looks = plan.cloths.iter();
    let looks = looks.map(|c| (c.colour, c.record.measured.clone()));
    let input = (
        same(),
        Same(Arc::clone(&dressed)),
        placing(plan),
        looks.collect(),
    );
    let seams = Kept::or_rework(before.and_then(|k| k.seams.as_ref()), input, || {
        cloth::seams(plan, blocks, &dressed)
    });
    results.seams = Arc::clone(&seams.output);
    kept.seams = Some(seams);
    results.top = Some(dressed);
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
        .map(|c| (c.colour, c.value, c.name.clone(), c.record.measured.clone()))
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
                        let (width, supply) = (c.width.clone(), c.supply.clone());
                        (width, c.direction, supply, colour, c.motif.clone())
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
            let instead = &making.output.instead;
            let cut = (laid.as_slice(), &table);
            let beside = cutting::compared(plan, blocks, (top, &made), cut, instead);
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

fn kept_values(plan: &Plan, before: Option<&KeptStages>) -> Kept<ValuesInput, Values> {
    let looks = plan
        .cloths
        .iter()
        .map(|c| (c.colour, c.value, c.record.measured.clone()));
    let input = (looks.collect(), plan.choosing.groups);
    Kept::or_rework(before.and_then(|k| k.values.as_ref()), input, || {
        Values::of(&plan.cloths, plan.choosing.groups)
    })
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
    block.bare()
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
            .map(|b| {
                let taken = b.draft.taken().map(|t| (t.from().to_owned(), t.role));
                (b.name.clone(), b.width.clone(), b.height.clone(), taken)
            })
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
                    .map(|place| (place.cloths.clone(), place.centred))
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
