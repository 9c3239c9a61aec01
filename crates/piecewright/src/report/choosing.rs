//! How cloth is chosen, in the report: every cloth by value, pools, ramps, seams that blur.

use quilt::cloth::{self, Lot, Ramped, Scattered, Seam};
use quilt::colour;
use quilt::plan::{ClothId, Plan, PoolPlan, RampPlan, Value};
use quilt::results::Results;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Choosing {
    groups: Vec<Group>,
    /// Share of all differences in L* that lies between the groups.
    told_apart: f64,
    twins: Vec<Twins>,
    pools: Vec<Pool>,
    ramps: Vec<Ramp>,
    seams: Vec<Blur>,
}

#[derive(Serialize)]
struct Group {
    name: String,
    value: &'static str,
    cloths: Vec<InGroup>,
}

#[derive(Serialize)]
struct InGroup {
    id: String,
    lab: [f64; 3],
    by_hand: bool,
    borderline: bool,
    print: &'static str,
}

#[derive(Serialize)]
struct Twins {
    cloths: [String; 2],
    difference: f64,
}

#[derive(Serialize)]
struct Pool {
    name: String,
    spots: usize,
    seed: u32,
    touching: usize,
    unavoidable: usize,
    crowd: f64,
    blindly: f64,
    cloths: Vec<InPool>,
}

#[derive(Serialize)]
struct InPool {
    id: String,
    count: usize,
    wanted: Option<u32>,
    nearest: Option<f64>,
    at_most: Option<f64>,
}

#[derive(Serialize)]
struct Ramp {
    name: String,
    block: String,
    marks: Vec<f64>,
    arms: Vec<Arm>,
    apart: Vec<f64>,
    squares: f64,
    trouble: Option<String>,
    look_for: Vec<Wanted>,
}

#[derive(Serialize)]
struct Arm {
    name: String,
    rounds: Vec<Round>,
}

#[derive(Serialize)]
struct Round {
    place: String,
    cloth: Option<String>,
    area: f64,
}

#[derive(Serialize)]
struct Wanted {
    arm: String,
    round: usize,
    lightness: f64,
    family: Option<String>,
    figures: f64,
    off: Option<f64>,
    in_words: String,
}

#[derive(Serialize)]
struct Blur {
    block: String,
    places: [String; 2],
    cloths: [String; 2],
    length: f64,
    steps: f64,
    difference: f64,
    blurs: bool,
    melts: bool,
}

pub(super) fn value(value: Value) -> &'static str {
    match value {
        Value::Dark => "dark",
        Value::Medium => "medium",
        Value::Light => "light",
    }
}

pub(super) fn choosing(plan: &Plan, results: &Results) -> Choosing {
    let values = &results.values;
    let key = |id: ClothId| plan.cloth(id).key.clone();
    let in_group = |&id: &ClothId| InGroup {
        id: key(id),
        lab: colour::seen(plan.cloth(id)),
        by_hand: values.of[id.0].moved,
        borderline: values.borderline(id).is_some(),
        print: cloth::Scale::of(plan.cloth(id)).word(),
    };
    let pools = plan.choosing.pools.iter().zip(results.scattered.iter());
    let ramps = plan.choosing.ramps.iter().zip(results.ramps.iter());
    Choosing {
        groups: values
            .groups
            .iter()
            .map(|group| Group {
                name: group.name.clone(),
                value: value(group.value),
                cloths: group.cloths.iter().map(in_group).collect(),
            })
            .collect(),
        told_apart: values.told_apart(),
        twins: cloth::twins(plan)
            .into_iter()
            .map(|twins| Twins {
                cloths: twins.cloths.map(key),
                difference: twins.difference,
            })
            .collect(),
        pools: pools
            .map(|(pool, came)| self::pool(plan, pool, came))
            .collect(),
        ramps: ramps
            .map(|(ramp, came)| self::ramp(plan, results, ramp, came))
            .collect(),
        seams: results.seams.iter().map(|seam| blur(plan, seam)).collect(),
    }
}

fn pool(plan: &Plan, pool: &PoolPlan, came: &Scattered) -> Pool {
    let lot = |lot: &Lot| InPool {
        id: plan.cloth(lot.cloth).key.clone(),
        count: lot.count,
        wanted: lot.wanted,
        nearest: lot.nearest,
        at_most: lot.at_most,
    };
    Pool {
        name: pool.name.clone(),
        spots: came.spots,
        seed: pool.seed,
        touching: came.touching,
        unavoidable: came.unavoidable,
        crowd: came.crowd,
        blindly: came.blindly,
        cloths: came.cloths.iter().map(lot).collect(),
    }
}

fn ramp(plan: &Plan, results: &Results, ramp: &RampPlan, came: &Ramped) -> Ramp {
    let block = plan.block(ramp.block);
    let arms = ramp.arms.iter().zip(&came.arms).map(|(name, slots)| Arm {
        name: name.clone(),
        rounds: slots
            .iter()
            .map(|slot| Round {
                place: block.places[slot.place].name.clone(),
                cloth: slot.cloth.map(|id| plan.cloth(id).key.clone()),
                area: slot.area,
            })
            .collect(),
    });
    let wanted = |wanted: &cloth::Wanted| Wanted {
        arm: ramp.arms[wanted.arm].clone(),
        round: wanted.round + 1,
        lightness: wanted.mark,
        family: wanted.family.clone(),
        figures: wanted.figures,
        off: wanted.off,
        in_words: wanted.in_words(plan, ramp),
    };
    Ramp {
        name: ramp.name.clone(),
        block: block.name.clone(),
        marks: came.marks.clone(),
        arms: arms.collect(),
        apart: came.apart(&results.values),
        squares: came.squares,
        trouble: came.trouble.clone(),
        look_for: came.look_for.iter().map(wanted).collect(),
    }
}

fn blur(plan: &Plan, seam: &Seam) -> Blur {
    let block = plan.block(seam.block);
    Blur {
        block: block.name.clone(),
        places: seam.places.map(|place| block.places[place].name.clone()),
        cloths: seam.cloths.map(|id| plan.cloth(id).key.clone()),
        length: seam.length,
        steps: seam.steps,
        difference: seam.difference,
        blurs: seam.blurs(),
        melts: seam.melts(),
    }
}
