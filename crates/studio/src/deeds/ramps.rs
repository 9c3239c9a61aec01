//! Ramps: begun for a block, laid as one gesture, taken out of the plan.

use quilt::cloth::{Ramped, ramps};
use quilt::plan::{BlockId, BlockPlan, Choice, ClothId, Edit, Outward, Plan, RampPlan};

use super::cloth::unlike;
use super::{Asked, Deed};
use crate::look::Look;

/// The arms of a block: every name that its places carry before “round 1”.
pub(crate) fn arms(block: &BlockPlan) -> Vec<String> {
    let names = block.places.iter().map(|place| place.name.as_str());
    names
        .filter_map(|name| name.strip_suffix(" round 1"))
        .map(str::to_owned)
        .collect()
}

/// The ramps of the plan as they would be laid now.
pub(crate) fn proposed(plan: &Plan, look: &Look) -> Vec<Ramped> {
    look.top()
        .map_or_else(Vec::new, |top| ramps(plan, &look.laid.blocks, top))
}

/// Most arms, and most rounds of one.
const MOST: usize = 12;

pub(super) fn read(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    match asked.word("do")? {
        "arms" => name_arms(asked, plan),
        "ramp" => begin(asked, plan),
        "lay-ramp" => lay(asked, plan, look),
        _ => {
            let index = known(asked, plan)?;
            let mut choosing = plan.choosing.clone();
            let ramp = choosing.ramps.remove(index);
            let says = format!("Take out the ramp {}", ramp.name);
            Ok(Deed::one(Edit::SetChoosing(choosing), says))
        }
    }
}

fn known(asked: &Asked, plan: &Plan) -> Result<usize, String> {
    let index: usize = asked.number("ramp")?;
    (index < plan.choosing.ramps.len())
        .then_some(index)
        .ok_or_else(|| "That ramp is not there any more.".into())
}

/// Which place is which round of which arm: said by naming the places so.
fn name_arms(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let id = asked.block(plan)?;
    let mut block = plan.block(id).clone();
    let mut taken: Vec<(usize, usize)> = Vec::new();
    for index in 0..block.places.len() {
        let one = |what: &str| -> Result<Option<usize>, String> {
            asked.maybe(&format!("{what}-{index}"))
        };
        let (Some(arm), Some(round)) = (one("arm")?, one("round")?) else {
            continue;
        };
        if !(1..=MOST).contains(&arm) || !(1..=MOST).contains(&round) {
            return Err(format!("Arms and rounds count from 1 to {MOST}."));
        }
        if taken.contains(&(arm, round)) {
            return Err(format!(
                "Two places are round {round} of arm {arm}; each round of an arm is one place."
            ));
        }
        taken.push((arm, round));
        block.places[index].name = format!("arm {arm} round {round}");
    }
    if !taken.iter().any(|(_, round)| *round == 1) {
        return Err("An arm begins with round 1; say which place that is.".into());
    }
    let mut names: Vec<&str> = block.places.iter().map(|p| p.name.as_str()).collect();
    names.sort_unstable();
    if names.windows(2).any(|two| two[0] == two[1]) {
        return Err(
            "Two places would have the same name; give every one of them its round.".into(),
        );
    }
    let says = format!("Say the arms of {}", block.name);
    Ok(Deed::one(Edit::SetBlock(id, block), says))
}

fn begin(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let block: BlockId = asked.block(plan)?;
    let arms = arms(plan.block(block));
    if arms.is_empty() {
        return Err("Say first which places of the block are its arms and rounds.".into());
    }
    let chosen: Vec<ClothId> = (0..plan.cloths.len())
        .filter(|i| asked.text(&format!("cloth-{i}")).is_some())
        .map(ClothId)
        .collect();
    if chosen.is_empty() {
        return Err("Choose the cloths the ramp may take.".into());
    }
    let from = if chosen.len() == plan.cloths.len() {
        Choice::All
    } else {
        Choice::Cloths(chosen)
    };
    let outward = match asked.text("outward") {
        Some("deeper") => Outward::Deeper,
        _ => Outward::Paler,
    };
    let mut choosing = plan.choosing.clone();
    let taken = |name: &str| choosing.ramps.iter().any(|ramp| ramp.name == name);
    let name = unlike("ramp", taken);
    let says = format!("Begin a ramp for {}", plan.block(block).name);
    choosing.ramps.push(RampPlan {
        name,
        block,
        arms,
        from: vec![from],
        outward,
        ends: None,
        step: geometry::Surd::int(5),
        owned: false,
    });
    Ok(Deed::one(Edit::SetChoosing(choosing), says))
}

/// Every place of the ramp takes its cloth.
fn lay(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    let index = known(asked, plan)?;
    let ramp = &plan.choosing.ramps[index];
    let came = proposed(plan, look);
    let came = came
        .get(index)
        .ok_or("The ramp waits until the block is whole.")?;
    if let Some(trouble) = &came.trouble {
        return Err(trouble.clone());
    }
    let slots = came.arms.iter().flatten();
    let edits: Vec<Edit> = slots
        .filter_map(|slot| {
            Some(Edit::LayCloth {
                block: ramp.block,
                place: slot.place,
                cloths: vec![slot.cloth?],
            })
        })
        .collect();
    if edits.is_empty() {
        return Err("No cloth fits any place of this ramp.".into());
    }
    let says = format!("Lay the ramp {} on {} places", ramp.name, edits.len());
    Ok(Deed { edits, says })
}
