//! Sewing the blocks, unit by unit.

use quilt::sewing::{BlockSewing, Ingredient, Join, Press, Step};
use serde_json::{Value, json};

use super::{Desk, Used};
use crate::lengths;
use crate::words::grouped;

/// Width of a step's drawing, three abreast, inches, and the most it may be high.
const DRAWN: (f64, f64) = (1.95, 1.6);

pub(super) fn data(desk: &mut Desk) -> Value {
    let Some(sewing) = desk.results.sewing.clone() else {
        return Value::Null;
    };
    let used = desk.blocks();
    let blocks: Vec<Value> = sewing
        .blocks
        .iter()
        .filter_map(|sewn| Some(block(desk, used.iter().find(|u| u.id == sewn.block)?, sewn)))
        .collect();
    blocks.into()
}

fn block(desk: &mut Desk, used: &Used, sewn: &BlockSewing) -> Value {
    let obstruction = sewn.in_words.as_ref().map(|words| {
        let drawing = picture::obstruction(desk.plan, used.id, &used.block);
        json!({ "words": words, "picture": desk.gallery.hang_within(&drawing, 3.2, 3.2) })
    });
    let steps: Vec<Value> = (0..sewn.steps.len())
        .map(|i| step(desk, used, sewn, i))
        .collect();
    json!({
        "name": desk.plan.block(used.id).name,
        "copies": used.copies,
        "joins": sewn.joins.len(),
        "obstruction": obstruction,
        "course": sewn.course,
        "steps": steps,
    })
}

fn step(desk: &mut Desk, used: &Used, sewn: &BlockSewing, index: usize) -> Value {
    let step = &sewn.steps[index];
    let join = &sewn.joins[step.shown];
    let drawing = picture::step(desk.plan, &used.block, sewn, index, None);
    let drawing = drawing.map(|drawing| desk.gallery.hang_within(&drawing, DRAWN.0, DRAWN.1));
    json!({
        "number": index + 1,
        "what": what(used, step, join),
        "how": step.how,
        "press": press(used, step, join),
        "make": format!("Make {}", grouped(step.in_all as usize)),
        "size": lengths::size(desk.plan.measure, &join.unit_width, &join.unit_height),
        "last": index + 1 == sewn.steps.len(),
        "picture": drawing,
    })
}

/// What is joined.
fn what(used: &Used, step: &Step, join: &Join) -> String {
    let (left, right) = (name(used, step.left), name(used, step.right));
    if join.closes {
        format!("Close the open seam in {left}")
    } else if step.left == step.right {
        format!("Join two of {left}")
    } else {
        format!("Join {left} to {right}")
    }
}

fn press(used: &Used, step: &Step, join: &Join) -> String {
    let towards = match join.press {
        Press::Open => "Press open".to_owned(),
        Press::Left | Press::Right if join.closes || step.left == step.right => {
            "Press as the arrow shows".into()
        }
        Press::Left => format!("Press towards {}", name(used, step.left)),
        Press::Right => format!("Press towards {}", name(used, step.right)),
    };
    if join.press_reason.is_empty() {
        towards
    } else {
        format!("{towards}: {}", join.press_reason)
    }
}

fn name(used: &Used, ingredient: Ingredient) -> String {
    match ingredient {
        Ingredient::Template(i) => used.block.templates[i].letter.clone(),
        Ingredient::Unit(i) => format!("unit {}", i + 1),
    }
}
