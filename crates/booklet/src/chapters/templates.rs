//! Template pages at true size.

use quilt::block::Template;
use serde_json::{Value, json};

use super::{Desk, Used, cutting};
use crate::words::grouped;
use crate::shelves::{self, Sheet};

/// Margin of a template page, inches: home printers leave up to 0.4 in unprinted.
const MARGIN: f64 = 0.45;
/// Height of the foot with the check square.
const FOOT: f64 = 1.1;
/// Room between the templates and the foot, and between two templates.
const GAP: f64 = 0.12;
/// What the heading takes of the first page.
const HEAD: f64 = 1.25;

/// What two pages of a template too large for one share, inches.
const OVERLAP: f64 = 0.75;

pub(super) fn data(desk: &mut Desk) -> Value {
    let width = desk.room.paper_width - 2.0 * MARGIN;
    let height = desk.room.paper_height - 2.0 * MARGIN - FOOT - GAP;
    let mut drawings = Vec::new();
    for used in desk.blocks() {
        for template in &used.block.templates {
            let notes = notes(desk, &used, template);
            let mut drawing = picture::template(template, &notes);
            drawing.says = format!("Template {} of “{}”, true size.", template.letter, desk.plan.block(used.id).name);
            drawings.extend(picture::tiles(&drawing, width, height, OVERLAP).into_iter().map(|tile| tile.drawing));
        }
    }
    let sizes: Vec<[f64; 2]> =
        drawings.iter().map(|d| [d.true_width(), d.height_at(d.true_width())]).collect();
    let sheet = Sheet { width, height, head: HEAD, gap: GAP };
    let spots = shelves::lay(&sizes, &sheet);
    let pages = spots.iter().map(|spot| spot.page + 1).max().unwrap_or(0);
    let mut laid = vec![Vec::new(); pages];
    for (drawing, spot) in drawings.iter().zip(&spots) {
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
        "words": format!(
            "Each template is drawn as it is cut, with a seam allowance of {} and its corners trimmed to meet its \
             neighbours. Stick the sheet to card or see-through plastic before you cut it out.",
            desk.plan.measure.say(&desk.plan.seam)
        ),
        "pages": laid,
    })
}

/// What is printed with a template.
fn notes(desk: &Desk, used: &Used, template: &Template) -> Vec<String> {
    let in_all = template.count * used.copies;
    let mut notes = vec![
        desk.plan.block(used.id).name.clone(),
        format!("cut {}, {} a block", grouped(in_all), template.count),
        format!("{} finished", cutting::finished(desk, template)),
    ];
    let partner = cutting::partner(&used.block, template);
    if !partner.is_empty() {
        notes.push(partner);
    }
    notes
}
