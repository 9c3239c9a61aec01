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
        let steps: Vec<(usize, usize)> = steps
            .filter_map(|step| Some((step, added(&used.block, sewn, step)?)))
            .filter(|(_, (of, _))| *of == kind)
            .map(|(step, (_, number))| (step, number))
            .collect();
        let numbers: Vec<usize> = steps.iter().map(|(step, _)| step + 1).collect();
        let last = steps.iter().max_by_key(|(_, number)| *number).copied();
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
            "steps": runs(&numbers),
            "make": grouped(of.count * used.copies),
            "in_block": of.count,
            "size": size,
            "pieces": pieces,
            "picture": drawing,
        }));
    }
    json!({ "deeds": deeds(desk.plan), "caution": caution(), "cards": cards })
}

/// Numbers in order, runs of them by their ends: `1–3`, `2, 4`.
fn runs(numbers: &[usize]) -> String {
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some([_, end]) if *end + 1 == number => *end = number,
            _ => runs.push([number; 2]),
        }
    }
    let words = runs.into_iter().map(|[from, to]| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from}–{to}"),
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::runs;

    #[test]
    fn numbers_that_follow_each_other_are_said_by_their_ends() {
        assert_eq!(runs(&[1]), "1");
        assert_eq!(runs(&[1, 2]), "1, 2");
        assert_eq!(runs(&[1, 2, 3, 7]), "1–3, 7");
    }
}
