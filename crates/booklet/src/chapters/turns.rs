//! The other settings the blocks would have made, and block squares to shuffle.

use std::iter;

use picture::Manner;
use quilt::arranging::others::{Other, Others};
use quilt::plan::BlockId;
use serde_json::{Value, json};

use super::Desk;
use crate::words::{capital, list};

/// Width of a setting's picture, three abreast, inches, and the most it may be high.
const DRAWN: (f64, f64) = (1.9, 2.3);
/// Settings shown beside the plan's own.
const MOST: usize = 8;
/// Side of a square to cut out, inches: large enough for fingers, and near to it.
const SQUARE: f64 = 1.3;

pub(super) fn data(desk: &mut Desk) -> Value {
    let Some(seen) = desk.results.arranging.clone() else {
        return Value::Null;
    };
    let Some(others) = &seen.others else {
        return Value::Null;
    };
    let mut cards = vec![card(desk, &others.own, true)];
    for other in others.others.iter().take(MOST) {
        cards.push(card(desk, other, false));
    }
    json!({
        "tried": others.tried,
        "side": others.side,
        "cards": cards,
        "advice": others.advice,
        "stands_out": seen.reason,
        "squares": squares(desk, others),
    })
}

fn card(desk: &mut Desk, other: &Other, own: bool) -> Value {
    let picture = other
        .laid_out(desk.plan, &desk.results.blocks)
        .map(|(plan, top)| picture::setting_small(&plan, &desk.results.blocks, &top, Manner::Cloth))
        .map(|drawing| desk.gallery.hang_within(&drawing, DRAWN.0, DRAWN.1));
    let title = match (own, other.name) {
        (true, Some(name)) => format!("As planned: {name}"),
        (true, None) => "As planned".to_owned(),
        (false, Some(name)) => capital(name),
        (false, None) => capital(other.best_at.first().map_or(other.symmetry, String::as_str)),
    };
    let titled = usize::from(!own && other.name.is_none());
    let best_at: Vec<&str> = other
        .best_at
        .iter()
        .skip(titled)
        .map(String::as_str)
        .collect();
    json!({
        "picture": picture,
        "title": title,
        "best_at": if best_at.is_empty() { String::new() } else { capital(&list(&best_at)) },
        "shows": other.shows,
        "turns": turns(desk, other),
    })
}

/// The turns row by row, while they are few enough to read.
fn turns(desk: &Desk, other: &Other) -> String {
    let repeat = &other.repeat;
    if repeat.rows > 4 || repeat.columns > 4 || desk.blocks().len() > 1 {
        return String::new();
    }
    let row = |cells: &[quilt::plan::CellPlan]| {
        let turn =
            |c: &quilt::plan::CellPlan| format!("{}{}", c.turn, if c.mirrored { "m" } else { "" });
        let turns: Vec<String> = cells.iter().map(turn).collect();
        turns.join(" ")
    };
    let rows: Vec<String> = repeat.cells.chunks(repeat.columns).map(row).collect();
    rows.join(" / ")
}

/// A page of squares, each block and colourway as often as its share of the plan.
fn squares(desk: &mut Desk, others: &Others) -> Value {
    let worn: Vec<(BlockId, Option<usize>)> = others
        .own
        .repeat
        .cells
        .iter()
        .map(|cell| (cell.block, cell.colourway))
        .collect();
    let (plan, room) = (desk.plan, desk.room);
    let Some(first) = worn.first() else {
        return Value::Null;
    };
    let of = plan.block(first.0);
    let shape = of.height.to_f64() / of.width.to_f64();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a page holds a few dozen squares"
    )]
    let fit = |room: f64, side: f64| (room / side).floor().max(1.0) as usize;
    let columns = fit(room.width, SQUARE);
    // Heading and words take what one row of squares would.
    let rows = fit(room.height - 1.6, SQUARE * shape);
    let all: Vec<_> = iter::repeat_n(worn, rows * columns)
        .flatten()
        .take(rows * columns)
        .collect();
    let drawing = picture::squares(plan, &desk.results.blocks, &all, columns);
    let high = room.height - 1.6;
    desk.gallery.hang_within(&drawing, room.width, high)
}
