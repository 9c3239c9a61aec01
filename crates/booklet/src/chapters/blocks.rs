//! The blocks: in cloth, by letter, and taken apart, with the grain explained.

use serde_json::{Value, json};

use super::{Desk, Used};
use crate::lengths;
use crate::words::{count, list};

/// Width of a block's drawings, three abreast, inches.
const DRAWN: f64 = 2.1;
/// The most they may be high.
const HIGH: f64 = 2.4;

pub(super) fn data(desk: &mut Desk) -> Value {
    let used = desk.blocks();
    let blocks: Vec<Value> = used.iter().map(|used| block(desk, used)).collect();
    blocks.into()
}

fn block(desk: &mut Desk, used: &Used) -> Value {
    let (plan, id, block) = (desk.plan, used.id, &*used.block);
    let of = plan.block(id);
    let colourways = ways(desk, used);
    let first = colourways.first().copied().unwrap_or_default();
    let mut figures = vec![figure(
        desk,
        &picture::block_numbered(plan, id, block, first, 0),
        "In cloth, with each cloth’s number",
    )];
    figures.push(figure(desk, &picture::block_letters(plan, id, block), "Each patch’s template"));
    figures.push(if block.joining.tree.is_some() {
        figure(desk, &picture::block_exploded(plan, id, block, first), "Taken apart where it is sewn last")
    } else {
        figure(desk, &picture::obstruction(plan, id, block), "What straight seams cannot sew")
    });
    for way in colourways.into_iter().skip(1) {
        let name = way.and_then(|w| of.colourways.get(w)).map_or("Its own cloths", |w| w.name.as_str());
        let caption = format!("{name}, with each cloth’s number");
        figures.push(figure(desk, &picture::block_numbered(plan, id, block, way, 0), &caption));
    }
    json!({
        "name": of.name,
        "size": lengths::size(plan.measure, &of.width, &of.height),
        "copies": count(used.copies, "block", "blocks"),
        "parts": format!(
            "{} from {}",
            count(block.patches.len(), "patch", "patches"),
            count(block.templates.len(), "template", "templates")
        ),
        "figures": figures,
        "grain": grain(used),
        "lists": lists(desk, used),
    })
}

fn figure(desk: &mut Desk, drawing: &picture::Drawing, caption: &str) -> Value {
    json!({ "picture": desk.gallery.hang_within(drawing, DRAWN, HIGH), "caption": caption })
}

/// The colourways the setting uses, `None` for the block's own cloths.
fn ways(desk: &Desk, used: &Used) -> Vec<Option<usize>> {
    let mut ways: Vec<Option<usize>> = Vec::new();
    if let Some(top) = &desk.results.top {
        ways.extend(top.blocks.iter().filter(|placed| placed.block == used.id).map(|placed| placed.colourway));
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}

/// How the threads lie, in words.
fn grain(used: &Used) -> String {
    let block = &used.block;
    let biased: Vec<&str> = block
        .templates
        .iter()
        .enumerate()
        .filter(|(i, _)| block.patches.iter().any(|patch| patch.template == *i && !patch.bias.is_empty()))
        .map(|(_, template)| template.letter.as_str())
        .collect();
    let first = "The arrow on each template lies along or across the threads of the cloth. It is laid so that the \
                 edges of the block run with the threads wherever the shape allows.";
    if biased.is_empty() {
        return format!("{first} No edge of this block is cut on the bias.");
    }
    format!(
        "{first} {} {} edges on the bias, which stretch: handle them little, and sew them with the bias edge underneath.",
        list(&biased),
        if biased.len() == 1 { "has" } else { "have" }
    )
}

/// Places that take several cloths in turn, in words.
fn lists(desk: &Desk, used: &Used) -> Option<String> {
    let of = desk.plan.block(used.id);
    let places: Vec<String> = of
        .places
        .iter()
        .filter(|place| place.cloths.len() > 1)
        .map(|place| format!("{} (cloths {})", place.name, super::cloths::numbers(&place.cloths)))
        .collect();
    (!places.is_empty()).then(|| {
        format!(
            "Some places take several cloths in turn from patch to patch and from block to block: {}. \
             The drawing shows the first block.",
            list(&places)
        )
    })
}
