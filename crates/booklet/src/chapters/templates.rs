//! Template pages at true size.

use std::cmp::Ordering;

use geometry::Motion;
use picture::{Drawing, Tile};
use quilt::block::Template;
use serde_json::{Value, json};

use super::{Desk, Used, cutting};
use crate::shelves::{self, Sheet, Spot};
use crate::words::grouped;

/// Margin of a template page, inches: home printers leave up to 0.4 in unprinted.
const MARGIN: f64 = 0.45;
/// Height of the foot with the check square.
const FOOT: f64 = 1.1;
/// Room between the templates and the foot, and between two templates.
const GAP: f64 = 0.12;
/// What the heading takes of the first page.
const HEAD: f64 = 0.95;
/// What two pages of a template too large for one share.
pub(super) const OVERLAP: f64 = 0.75;

/// The room of a page.
pub(super) fn sheet(desk: &Desk) -> Sheet {
    Sheet {
        width: desk.room.paper_width - 2.0 * MARGIN,
        height: desk.room.paper_height - 2.0 * MARGIN - FOOT - GAP,
        head: HEAD,
        gap: GAP,
    }
}

pub(super) fn data(desk: &mut Desk) -> Value {
    let sheet = sheet(desk);
    let (drawings, spots) = laid_out(desk, &sheet);
    let words = format!(
        "Each is drawn as it is cut, with a seam allowance of {} and its corners trimmed to meet its \
         neighbours. Stick the sheet to card or see-through plastic before you cut it out.",
        desk.plan.measure.say(&desk.plan.seam)
    );
    let said = [
        "Templates at true size",
        &words,
        "Solid line: cut. Dashes: seam. Arrow: grain.",
    ];
    hung(desk, &drawings, &spots, &said)
}

/// Drawings at true size on as few pages as shelves give. `said` is the heading, what stands
/// under it, and what the lines mean.
pub(super) fn pages(
    desk: &mut Desk,
    drawings: &[Drawing],
    sheet: &Sheet,
    said: &[&str; 3],
) -> Value {
    let sizes: Vec<[f64; 2]> = drawings.iter().map(true_size).collect();
    let spots = shelves::lay(&sizes, sheet);
    hung(desk, drawings, &spots, said)
}

fn hung(desk: &mut Desk, drawings: &[Drawing], spots: &[Spot], said: &[&str; 3]) -> Value {
    let pages = spots.iter().map(|spot| spot.page + 1).max().unwrap_or(0);
    let mut laid = vec![Vec::new(); pages];
    for (drawing, spot) in drawings.iter().zip(spots) {
        laid[spot.page].push(json!({
            "x": spot.x,
            "y": spot.y,
            "picture": desk.gallery.hang(drawing, drawing.true_width()),
        }));
    }
    json!({
        "title": desk.plan.title,
        "margin": MARGIN,
        "foot": FOOT + GAP,
        "gap": GAP,
        "head": HEAD,
        "heading": said[0],
        "words": said[1],
        "lines": said[2],
        "pages": laid,
    })
}

/// Every template's drawings and where they lie, on as few pages as standing them up,
/// laying them down or leaving them as they come gives.
fn laid_out(desk: &Desk, sheet: &Sheet) -> (Vec<Drawing>, Vec<Spot>) {
    let room = [sheet.width, sheet.height];
    let templates: Vec<[Vec<Tile>; 2]> = desk
        .blocks()
        .iter()
        .flat_map(|used| {
            used.block
                .cutting_templates()
                .map(|(_, t)| both_ways(desk, used, t, room))
                .collect::<Vec<_>>()
        })
        .collect();
    let lies: [fn(&[f64; 2]) -> bool; 3] = [|_| false, |[w, h]| w > h, |[w, h]| h > w];
    let ways = lies.map(|turns| {
        let drawings: Vec<Drawing> = templates
            .iter()
            .flat_map(|[upright, turned]| {
                let turn = match upright.len().cmp(&turned.len()) {
                    Ordering::Equal => upright
                        .first()
                        .is_some_and(|tile| turns(&true_size(&tile.drawing))),
                    fewer => fewer == Ordering::Greater,
                };
                if turn { turned } else { upright }
            })
            .map(|tile| tile.drawing.clone())
            .collect();
        let sizes: Vec<[f64; 2]> = drawings.iter().map(true_size).collect();
        let spots = shelves::lay(&sizes, sheet);
        (drawings, spots)
    });
    let pages = |spots: &[Spot]| spots.iter().map(|spot| spot.page).max();
    // Of equals the first stays: as they come.
    ways.into_iter()
        .min_by_key(|(_, spots)| pages(spots))
        .unwrap_or_default()
}

/// A template at true size as it comes and turned a quarter, each over as many pages as
/// it needs.
fn both_ways(desk: &Desk, used: &Used, template: &Template, room: [f64; 2]) -> [Vec<Tile>; 2] {
    [template, &turned(template)].map(|template| {
        let drawing = drawn(desk, used, template);
        picture::tiles(&drawing, room[0], room[1], OVERLAP)
    })
}

/// The drawing of a template, with as many notes as find room inside the shape; all of
/// them, beside it, where none does.
fn drawn(desk: &Desk, used: &Used, template: &Template) -> Drawing {
    let all = notes(desk, used, template);
    let draw = if cutting::centred(desk, used, template) > 0 {
        picture::centred_template
    } else {
        picture::template
    };
    let bare = true_size(&draw(template, &[]));
    let mut drawing = (1..=all.len())
        .rev()
        .map(|some| draw(template, &all[..some]))
        .find(|drawing| true_size(drawing) == bare)
        .unwrap_or_else(|| draw(template, &all));
    drawing.says = format!(
        "Template {} of “{}”, true size.",
        template.letter,
        desk.plan.block(used.id).name
    );
    drawing
}

/// What is printed with a template, the most needed first.
fn notes(desk: &Desk, used: &Used, template: &Template) -> Vec<String> {
    let mut notes = vec![
        format!("cut {}", grouped(template.count * used.copies)),
        desk.plan.block(used.id).name.clone(),
        format!("{} a block", template.count),
        format!("{} finished", cutting::finished(desk, template)),
    ];
    let partner = cutting::partner(&used.block, template);
    if !partner.is_empty() {
        notes.insert(1, partner);
    }
    notes
}

/// Width and height on paper, inches.
fn true_size(drawing: &Drawing) -> [f64; 2] {
    let width = drawing.true_width();
    [width, drawing.height_at(width)]
}

/// The template a quarter turn clockwise on the page, its arrow with it.
fn turned(template: &Template) -> Template {
    let quarter = Motion::quarter_turns(1);
    let turn = |ring: &[[f64; 2]]| ring.iter().map(|&[x, y]| [-y, x]).collect();
    Template {
        finished: template.finished.moved(&quarter),
        grain: (template.grain + 90.0) % 180.0,
        cut: turn(&template.cut),
        trimmed: turn(&template.trimmed),
        ..template.clone()
    }
}
