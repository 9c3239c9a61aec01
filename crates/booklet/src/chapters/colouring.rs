//! Pages to colour: the whole top, then each block.

use serde_json::{Value, json};

use super::Desk;

/// What the heading and the line under it take of a page, inches.
const HEADING: f64 = 1.15;

/// Height of a block's drawing where two stand on a page.
const PAIRED: f64 = 3.7;

pub(super) fn data(desk: &mut Desk) -> Value {
    let (width, height) = (desk.room.width, desk.room.height - HEADING);
    let top = desk.results.top.as_deref().map(|top| {
        let drawing = picture::quilt_lines(desk.plan, &desk.results.blocks, top);
        desk.gallery.hang_within(&drawing, width, height)
    });
    let blocks = desk.blocks();
    let height = if blocks.len() > 1 {
        height.min(PAIRED)
    } else {
        height
    };
    let blocks: Vec<Value> = blocks
        .iter()
        .map(|used| {
            let drawing = picture::block_lines(desk.plan, used.id, &used.block);
            json!({
                "name": desk.plan.block(used.id).name,
                "picture": desk.gallery.hang_within(&drawing, width, height),
            })
        })
        .collect();
    json!({ "top": top, "blocks": blocks })
}
