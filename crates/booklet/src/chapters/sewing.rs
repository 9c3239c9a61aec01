//! Sewing the blocks, unit by unit.

use std::collections::BTreeMap;

use quilt::making::{self, Batch};
use quilt::plan::BlockId;
use quilt::sewing::foundations::{added, called};
use quilt::sewing::{BlockSewing, Handling, Ingredient, Join, Press, Sewing, Step, notes};
use serde_json::{Value, json};

use super::{Desk, Used, foundations};
use crate::lengths;
use crate::words::{grouped, list};

/// Width of a step's drawing, three abreast, inches, and the most it may be high.
const DRAWN: (f64, f64) = (1.95, 1.6);
/// The same of a drawing of units made together, across half a page.
const WIDE: (f64, f64) = (3.0, 2.2);
/// The most a drawing of what straight seams cannot sew may measure, two abreast, inches.
const HALF: f64 = 2.6;
/// The most a unit may measure that is drawn small in another colourway, inches.
const SMALL: f64 = 0.42;
/// The most the view from the wrong side may be high, inches.
const BACK: f64 = 0.95;

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
    json!({ "blocks": blocks, "chains": chains(desk, &sewing) })
}

/// The order of the work: one chain a level, with what lies in the piles.
fn chains(desk: &Desk, sewing: &Sewing) -> Value {
    let batches = &sewing.batches;
    let one_block = sewing.blocks.iter().filter(|sewn| sewn.copies > 0).count() == 1;
    let chains: Vec<Value> = batches
        .chains
        .iter()
        .map(|chain| {
            let runs: Vec<String> = chain
                .runs
                .iter()
                .map(|run| {
                    let unit = unit_in_chain(desk, sewing, run.block, run.step, run.units);
                    if one_block {
                        unit
                    } else {
                        format!("{unit} of “{}”", desk.plan.block(run.block).name)
                    }
                })
                .collect();
            json!({
                "level": chain.level,
                "runs": list(&runs.iter().map(String::as_str).collect::<Vec<_>>()),
                "minutes": minutes(chain.minutes),
            })
        })
        .collect();
    json!({
        "chains": chains,
        "blocks": minutes(batches.block_minutes),
        "top": minutes(batches.top_minutes),
        "forecast": notes::top_accuracy(desk.plan, sewing),
    })
}

/// `40 of unit 3`; on a foundation `piece 2 on 40 of section A`.
fn unit_in_chain(desk: &Desk, sewing: &Sewing, id: BlockId, step: usize, units: u32) -> String {
    let count = grouped(units as usize);
    let sewn = sewing.blocks.iter().find(|sewn| sewn.block == id);
    let block = desk.results.blocks.get(id.0).and_then(Option::as_ref);
    let section = sewn.zip(block).and_then(|(sewn, block)| {
        let (kind, number) = added(block, sewn, step)?;
        let letter = &block.foundation.as_ref()?.kinds.get(kind)?.letter;
        Some(format!("piece {number} on {count} of section {letter}"))
    });
    section.unwrap_or_else(|| format!("{count} of unit {}", step + 1))
}

/// `35 min`, `4 h 20 min`; to five minutes from an hour on, since more is not known.
fn minutes(minutes: f64) -> String {
    if minutes < 60.0 {
        return format!("{} min", minutes.ceil());
    }
    let fives = (minutes / 5.0).round() * 5.0;
    let (hours, rest) = ((fives / 60.0).floor(), fives % 60.0);
    if rest == 0.0 {
        format!("{hours} h")
    } else {
        format!("{hours} h {rest} min")
    }
}

/// How many of a block lie in which colourway, where there are several: the drawings show
/// one of them. Empty otherwise.
fn piles(desk: &Desk, used: &Used) -> String {
    let Some(top) = &desk.results.top else {
        return String::new();
    };
    let of = desk.plan.block(used.id);
    let mut counts: BTreeMap<Option<usize>, usize> = BTreeMap::new();
    for placed in top.blocks.iter().filter(|b| b.block == used.id) {
        *counts.entry(placed.colourway).or_default() += 1;
    }
    if counts.len() < 2 {
        return String::new();
    }
    let parts: Vec<String> = counts
        .iter()
        .map(
            |(way, count)| match way.and_then(|way| of.colourways.get(way)) {
                Some(way) => format!("{count} in “{}”", way.name),
                None => format!("{count} in its own cloths"),
            },
        )
        .collect();
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    format!(
        "Of these blocks, {}. The drawings show one of them; keep the patches of each in piles of their own, and sew them apart.",
        list(&parts)
    )
}

fn block(desk: &mut Desk, used: &Used, sewn: &BlockSewing) -> Value {
    let obstruction = sewn.in_words.as_ref().map(|words| {
        let drawing = picture::obstruction(desk.plan, used.id, &used.block);
        let straightened = picture::straightened(desk.plan, used.id, &used.block);
        json!({
            "words": words,
            "picture": desk.gallery.hang_within(&drawing, HALF, HALF),
            "straight": sewn.straight.as_ref().map(|straight| &straight.in_words),
            "straightened": straightened
                .map(|drawing| desk.gallery.hang_within(&drawing, HALF, HALF)),
        })
    });
    let sewing = desk.results.sewing.clone();
    let place = sewing
        .as_ref()
        .and_then(|all| all.blocks.iter().position(|one| one.block == sewn.block));
    let handling = sewing
        .as_ref()
        .zip(place)
        .map(|(all, at)| &all.handling[at]);
    let sections = foundations::sections(desk, used, sewn);
    let steps = steps(desk, used, sewn, handling);
    let notes = sewing
        .as_ref()
        .zip(place)
        .map_or_else(Vec::new, |(all, at)| {
            notes::block_notes(desk.plan, &used.block, all, at)
        });
    json!({
        "name": desk.plan.block(used.id).name,
        "copies": used.copies,
        "piles": piles(desk, used),
        "joins": sewn.joins.len(),
        "obstruction": obstruction,
        "course": sewn.course,
        "notes": notes,
        "sections": sections,
        "steps": steps,
    })
}

/// The cards of a block's steps in order: units made several at a time, and seams sewn one
/// by one. Units that only come about inside others have none.
fn steps(
    desk: &mut Desk,
    used: &Used,
    sewn: &BlockSewing,
    handling: Option<&Handling>,
) -> Vec<Value> {
    let making = desk.results.making.clone();
    let left = making.as_ref().map_or_else(
        || sewn.steps.iter().map(|step| step.in_all).collect(),
        |making| making.still_sewn(sewn),
    );
    let mut cards = Vec::new();
    for (index, left) in left.into_iter().enumerate() {
        // On foundations the section's card says it.
        if added(&used.block, sewn, index).is_some() {
            continue;
        }
        let batches = making.iter().flat_map(|making| &making.batches);
        for batch in batches.filter(|b| b.block == sewn.block && b.step == index && b.together()) {
            cards.push(together(desk, used, sewn, batch));
        }
        if left > 0 || sewn.copies == 0 {
            cards.push(step(desk, used, sewn, handling, (index, left)));
        }
    }
    cards
}

/// Units made several at a time.
fn together(desk: &mut Desk, used: &Used, sewn: &BlockSewing, batch: &Batch) -> Value {
    let recipe = batch.recipe();
    let two = desk.plan.seam.times(2);
    let [short, long] = batch.size.clone().map(|side| side + &two);
    let top = desk.results.top.as_deref();
    let drawing = top.and_then(|top| picture::together(desk.plan, &used.block, top, sewn, batch));
    let drawing = drawing.map(|drawing| desk.gallery.hang_within(&drawing, WIDE.0, WIDE.1));
    json!({
        "number": batch.step + 1,
        "together": true,
        "what": format!("Unit {}, {}", batch.step + 1, recipe.way.name()),
        "deeds": making::sentences(desk.plan, batch, recipe),
        "caution": making::caution(recipe),
        "make": format!("Make {}", grouped(batch.needed as usize)),
        "size": lengths::size(desk.plan.measure, &long, &short),
        "last": batch.step + 1 == sewn.steps.len(),
        "picture": drawing,
    })
}

fn step(
    desk: &mut Desk,
    used: &Used,
    sewn: &BlockSewing,
    handling: Option<&Handling>,
    (index, count): (usize, u32),
) -> Value {
    let step = &sewn.steps[index];
    let join = &sewn.joins[step.shown];
    let drawing = picture::step(desk.plan, &used.block, sewn, index, None);
    let drawing = drawing.map(|drawing| desk.gallery.hang_within(&drawing, DRAWN.0, DRAWN.1));
    let back = handling
        .and_then(|handling| picture::back(desk.plan, &used.block, sewn, handling, index))
        .map(|drawing| desk.gallery.hang_within(&drawing, DRAWN.0, BACK));
    let landing = handling.map_or_else(String::new, |handling| {
        notes::landing(desk.plan, &used.block, sewn, handling, index)
    });
    json!({
        "number": index + 1,
        "together": false,
        "what": what(used, sewn, step, join),
        "how": step.how,
        "back": back,
        "landing": landing,
        "press": press(used, sewn, step, join),
        "make": format!("Make {}", grouped(count as usize)),
        "ways": ways(desk, used, sewn, index),
        "size": lengths::size(desk.plan.measure, &join.unit_width, &join.unit_height),
        "last": index + 1 == sewn.steps.len(),
        "picture": drawing,
    })
}

/// The unit of a step in the other colourways whose cloths it shows, each small, with how
/// many of it are made; and how many in the cloths of the drawing itself.
fn ways(desk: &mut Desk, used: &Used, sewn: &BlockSewing, index: usize) -> Value {
    let Some(top) = desk.results.top.clone() else {
        return Value::Null;
    };
    let of = desk.plan.block(used.id);
    let step = &sewn.steps[index];
    let unit = &sewn.joins[step.shown].unit;
    let mut counts: BTreeMap<Option<usize>, usize> = BTreeMap::new();
    for placed in top.blocks.iter().filter(|b| b.block == used.id) {
        let way = placed.colourway.and_then(|way| of.colourways.get(way));
        let changed = way.is_some_and(|way| {
            let places = unit
                .iter()
                .filter_map(|&patch| used.block.patches[patch].place);
            let mut places = places;
            places.any(|place| way.places.iter().any(|(changed, _)| *changed == place))
        });
        let shown = placed.colourway.filter(|_| changed);
        *counts.entry(shown).or_default() += step.in_block as usize;
    }
    if counts.len() < 2 && counts.contains_key(&None) {
        return Value::Null;
    }
    let ways: Vec<Value> = counts
        .into_iter()
        .map(|(way, count)| {
            let drawing = picture::made(desk.plan, &used.block, sewn, index, way);
            let name = way.and_then(|way| of.colourways.get(way));
            json!({
                "count": grouped(count),
                "name": name.map_or("its own cloths", |way| way.name.as_str()),
                "picture": drawing.map(|drawing| desk.gallery.hang_within(&drawing, SMALL, SMALL)),
            })
        })
        .collect();
    json!(ways)
}

/// What is joined.
fn what(used: &Used, sewn: &BlockSewing, step: &Step, join: &Join) -> String {
    let (left, right) = (name(used, sewn, step.left), name(used, sewn, step.right));
    if join.closes {
        format!("Close the open seam in {left}")
    } else if step.left == step.right {
        format!("Join two of {left}")
    } else {
        format!("Join {left} to {right}")
    }
}

fn press(used: &Used, sewn: &BlockSewing, step: &Step, join: &Join) -> String {
    let towards = match join.press {
        Press::Open => "Press open".to_owned(),
        Press::Left | Press::Right if join.twirled => {
            "Twirl the crossing and press as the arrows show".into()
        }
        Press::Left | Press::Right if join.closes || step.left == step.right => {
            "Press as the arrow shows".into()
        }
        Press::Left => format!("Press towards {}", name(used, sewn, step.left)),
        Press::Right => format!("Press towards {}", name(used, sewn, step.right)),
    };
    if join.press_reason.is_empty() {
        towards
    } else {
        format!("{towards}: {}", join.press_reason)
    }
}

fn name(used: &Used, sewn: &BlockSewing, ingredient: Ingredient) -> String {
    if used.block.foundation.is_some() {
        return called(&used.block, sewn, ingredient);
    }
    match ingredient {
        Ingredient::Template(i) => used.block.templates[i].letter.clone(),
        Ingredient::Unit(i) => format!("unit {}", i + 1),
    }
}
