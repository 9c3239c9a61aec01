//! Foundations at true size, and the cards of their sections.

use picture::{Drawing, Tile};
use quilt::sewing::BlockSewing;
use quilt::sewing::foundations::{added, caution, deeds};
use serde_json::{Value, json};

use super::{Desk, Used, templates};
use crate::lengths;
use crate::words::grouped;

/// The most a section's drawing may measure, inches.
const DRAWN: (f64, f64) = (2.6, 2.4);

/// The pages; `null` where no block is pieced on foundations.
pub(super) fn data(desk: &mut Desk) -> Value {
    let sheet = templates::sheet(desk);
    let room = [sheet.width, sheet.height];
    let mut both: Vec<[Vec<Tile>; 2]> = Vec::new();
    for used in desk.blocks() {
        let kinds = used.block.foundation.iter().flat_map(|f| &f.kinds);
        for (kind, of) in kinds.enumerate() {
            let heading = format!(
                "Foundation {} of {}: print {}",
                of.letter,
                desk.plan.block(used.id).name,
                grouped(of.count * used.copies)
            );
            let way = |turned: bool| {
                picture::foundation(desk.plan, used.id, &used.block, kind, turned, &heading)
                    .map(|drawing| picture::tiles(&drawing, room[0], room[1], templates::OVERLAP))
            };
            if let (Some(upright), Some(turned)) = (way(false), way(true)) {
                both.push([upright, turned]);
            }
        }
    }
    if both.is_empty() {
        return Value::Null;
    }
    let drawings: Vec<Drawing> = both
        .into_iter()
        .flat_map(|[upright, turned]| {
            if turned.len() < upright.len() {
                turned
            } else {
                upright
            }
        })
        .map(|tile| tile.drawing)
        .collect();
    let allowance = desk.plan.measure.say(&desk.plan.seam);
    let words = format!(
        "Each is the mirror image of its section: cloth lies on the blank side. Print the number asked for at 100 %, or copy \
         one sheet and measure the copy: some copiers enlarge. The outer line lies {allowance} outside the seam."
    );
    templates::pages(
        desk,
        &drawings,
        &sheet,
        &[
            "Foundations at true size, mirrored",
            &words,
            "Solid outside: trim. Dashes: seam round the section. Solid inside: sew, by number.",
        ],
    )
}

/// What the sewing chapter says of a block's sections: the work in steps, and a card each.
pub(super) fn sections(desk: &mut Desk, used: &Used, sewn: &BlockSewing) -> Value {
    let Some(founded) = used.block.foundation.as_ref() else {
        return Value::Null;
    };
    let mut cards = Vec::new();
    for (kind, of) in founded.kinds.iter().enumerate() {
        if of.pieces.is_empty() {
            continue;
        }
        let drawing = picture::section(desk.plan, used.id, &used.block, kind, None);
        let drawing = drawing.map(|d| desk.gallery.hang_within(&d, DRAWN.0, DRAWN.1));
        let steps = 0..sewn.steps.len();
        let last = steps
            .filter_map(|step| Some((step, added(&used.block, sewn, step)?)))
            .filter(|(_, (of, _))| *of == kind)
            .max_by_key(|(_, (_, number))| *number);
        let size = last.map(|(step, _)| {
            let join = &sewn.joins[sewn.steps[step].shown];
            lengths::size(desk.plan.measure, &join.unit_width, &join.unit_height)
        });
        let measure = desk.plan.measure;
        let pieces: Vec<Value> = of
            .pieces
            .iter()
            .enumerate()
            .map(|(at, piece)| {
                let place = used.block.patches[piece.patch].place;
                let place = place.and_then(|p| desk.plan.block(used.id).places.get(p));
                json!({
                    "name": format!("{}{}", of.letter, at + 1),
                    "place": place.map_or("", |p| p.name.as_str()),
                    "cut": measure.size(&piece.along.size, &piece.across.size),
                })
            })
            .collect();
        cards.push(json!({
            "letter": of.letter,
            "make": grouped(of.count * used.copies),
            "in_block": of.count,
            "size": size,
            "pieces": pieces,
            "picture": drawing,
        }));
    }
    json!({ "deeds": deeds(desk.plan), "caution": caution(), "cards": cards })
}
