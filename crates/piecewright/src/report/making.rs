//! Units that can be made in several ways, in the report.

use quilt::cutting::Take;
use quilt::making::{self, Batch, Grain, Recipe};
use quilt::plan::{BlockId, ClothId, Plan, UnitKind};
use quilt::results::Results;
use serde::Serialize;

/// Units of one block that are the same work in the same cloths.
#[derive(Serialize)]
pub(super) struct Unit {
    /// Number of the unit: joins with this `step` make it.
    unit: usize,
    kind: &'static str,
    cloths: Vec<String>,
    width: f64,
    height: f64,
    needed: u32,
    chosen: &'static str,
    deeds: Vec<String>,
    ways: Vec<Way>,
    not_offered: Vec<String>,
}

#[derive(Serialize)]
struct Way {
    way: &'static str,
    cut: Vec<Cut>,
    made: u32,
    cloth_area: f64,
    cuts: u32,
    lines: u32,
    seams: u32,
    seam_length: f64,
    grain: &'static str,
    caution: Option<&'static str>,
}

#[derive(Serialize)]
struct Cut {
    cloth: String,
    count: u32,
    height: f64,
    width: f64,
    height_exact: f64,
    width_exact: f64,
}

pub(super) fn units(plan: &Plan, results: &Results, block: BlockId) -> Vec<Unit> {
    let batches = results.making.iter().flat_map(|making| &making.batches);
    batches
        .filter(|batch| batch.block == block)
        .map(|batch| unit(plan, batch))
        .collect()
}

fn unit(plan: &Plan, batch: &Batch) -> Unit {
    let key = |cloth: &ClothId| plan.cloth(*cloth).key.clone();
    let ways = batch.ways.iter().map(|recipe| way(plan, recipe));
    Unit {
        unit: batch.step + 1,
        kind: match batch.kind {
            UnitKind::HalfSquare => "half-square",
            UnitKind::Hourglass => "hourglass",
            UnitKind::Geese => "goose",
            UnitKind::Row => "row",
            UnitKind::Corners => "corners",
        },
        cloths: batch.cloths.iter().map(key).collect(),
        width: batch.size[1].to_f64(),
        height: batch.size[0].to_f64(),
        needed: batch.needed,
        chosen: batch.recipe().way.name(),
        deeds: making::sentences(plan, batch, batch.recipe()),
        ways: ways.collect(),
        not_offered: batch
            .refused
            .iter()
            .map(|&refused| making::refusal(plan, refused))
            .collect(),
    }
}

fn way(plan: &Plan, recipe: &Recipe) -> Way {
    let cut = |(cloth, take): &(ClothId, Take)| Cut {
        cloth: plan.cloth(*cloth).key.clone(),
        count: take.count,
        height: take.height.size.to_f64(),
        width: take.width.size.to_f64(),
        height_exact: take.height.exact.to_f64(),
        width_exact: take.width.exact.to_f64(),
    };
    Way {
        way: recipe.way.name(),
        cut: recipe.takes.iter().map(cut).collect(),
        made: recipe.made,
        cloth_area: recipe.area,
        cuts: recipe.work.cuts,
        lines: recipe.work.lines,
        seams: recipe.work.seams,
        seam_length: recipe.seam_length,
        grain: match recipe.grain {
            Grain::AsPlanned => "as planned",
            Grain::BiasOutside => "bias outside",
            Grain::Turned => "turned",
        },
        caution: making::caution(recipe),
    }
}
