//! The ramps of a plan, arm by arm: what is best of the cloths there are, and what to look
//! for.

use std::fmt::Write as _;

use quilt::cloth::Ramped;
use quilt::plan::{ClothId, Edit, Plan, RampPlan, Refusal};
use quilt::results::Results;

/// Every ramp to read.
pub(crate) fn text(plan: &Plan, results: &Results) -> String {
    let mut out = String::new();
    let ramps = plan.choosing.ramps.iter().zip(results.ramps.iter());
    for (ramp, came) in ramps {
        one(plan, results, ramp, came, &mut out);
    }
    if plan.choosing.ramps.is_empty() {
        out.push_str(
            "The plan has no ramp. Give it one under a heading like [ramp.arms], with block, arms and the cloths to choose from.\n",
        );
    }
    out
}

fn one(plan: &Plan, results: &Results, ramp: &RampPlan, came: &Ramped, out: &mut String) {
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "Ramp “{}” of “{}”",
        ramp.name,
        plan.block(ramp.block).name
    );
    if let Some(trouble) = &came.trouble {
        let _ = writeln!(out, "  {trouble}\n");
        return;
    }
    let light = |id: ClothId| results.values.of[id.0].lightness;
    for (round, mark) in came.marks.iter().enumerate() {
        let _ = writeln!(out, "\n  round {}, L* {mark:.0}", round + 1);
        for (arm, slots) in ramp.arms.iter().zip(&came.arms) {
            let slot = slots[round];
            let _ = match slot.cloth {
                Some(id) => writeln!(
                    out,
                    "    {arm}: {} (L* {:.0}, {:+.0})",
                    plan.cloth(id).name,
                    light(id),
                    light(id) - mark
                ),
                None => writeln!(out, "    {arm}: no cloth"),
            };
        }
    }
    let apart: Vec<String> = came
        .apart(&results.values)
        .iter()
        .map(|apart| format!("{apart:.0}"))
        .collect();
    let _ = writeln!(
        out,
        "\n  Lightest less darkest, round by round: {}. No other choice of these cloths comes nearer to the marks.",
        apart.join(", ")
    );
    for wanted in &came.look_for {
        let _ = writeln!(out, "  Look for {}.", wanted.in_words(plan, ramp));
    }
    out.push('\n');
}

/// The plan with the cloths of every ramp laid in their places.
pub(crate) fn laid(plan: &Plan, results: &Results) -> Result<Plan, Refusal> {
    let mut plan = plan.clone();
    let ramps: Vec<RampPlan> = plan.choosing.ramps.clone();
    for (ramp, came) in ramps.iter().zip(results.ramps.iter()) {
        for slot in came.arms.iter().flatten() {
            if let Some(cloth) = slot.cloth {
                plan = plan.with(&Edit::LayCloth {
                    block: ramp.block,
                    place: slot.place,
                    cloths: vec![cloth],
                })?;
            }
        }
    }
    Ok(plan)
}
