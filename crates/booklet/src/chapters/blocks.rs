//! The blocks: in cloth, by letter, and taken apart, with the grain explained.

use serde_json::{Value, json};

use super::{Desk, Used};
use crate::lengths;
use crate::words::{capital, count, list};

/// Width of a block's drawings, three abreast, inches; also the most they may be high.
const DRAWN: f64 = 2.0;
/// The same when four fit a row.
const FOUR: f64 = 1.46;

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
    let mut figures = vec![
        (
            picture::block_numbered(plan, id, block, first, 0),
            "In cloth, by number".to_owned(),
        ),
        (
            picture::block_letters(plan, id, block),
            if block.foundation.is_some() {
                "Section and number of each piece".to_owned()
            } else {
                "Each patch’s template".to_owned()
            },
        ),
        if block.joining.obstructions.is_empty() {
            (
                exploded(desk, used, first),
                "Taken apart where it is sewn last".to_owned(),
            )
        } else {
            (
                picture::obstruction(plan, id, block),
                "What straight seams cannot sew".to_owned(),
            )
        },
    ];
    for way in colourways.into_iter().skip(1) {
        let name = way
            .and_then(|w| of.colourways.get(w))
            .map_or("its own cloths", |w| w.name.as_str());
        figures.push((
            picture::block_numbered(plan, id, block, way, 0),
            capital(&format!("{name}, by number")),
        ));
    }
    let wide = if figures.len() == 4 { FOUR } else { DRAWN };
    let figures: Vec<Value> = figures
        .into_iter()
        .map(|(drawing, caption)| {
            let drawing = picture::snug(drawing, wide);
            json!({ "picture": desk.gallery.hang_within(&drawing, wide, wide), "caption": caption })
        })
        .collect();
    json!({
        "name": of.name,
        "size": lengths::size(plan.measure, &of.width, &of.height),
        "copies": count(used.copies, "block", "blocks"),
        "parts": match &block.foundation {
            Some(founded) => format!(
                "{} in {}",
                count(block.patches.len(), "patch", "patches"),
                count(founded.division.sections.len(), "section", "sections")
            ),
            None => format!(
                "{} from {}",
                count(block.patches.len(), "patch", "patches"),
                count(block.templates.len(), "template", "templates")
            ),
        },
        "figures": figures,
        "grain": grain(used),
        "lists": lists(desk, used),
    })
}

/// The block taken apart in the order it is sewn.
fn exploded(desk: &Desk, used: &Used, colourway: Option<usize>) -> picture::Drawing {
    let sewing = desk.results.sewing.as_deref();
    let sewn = sewing.and_then(|all| all.blocks.iter().find(|sewn| sewn.block == used.id));
    match sewn {
        Some(sewn) => picture::block_exploded_as_sewn(desk.plan, &used.block, sewn, colourway),
        None => picture::block_exploded(desk.plan, used.id, &used.block, colourway),
    }
}

/// The colourways the setting uses, `None` for the block's own cloths.
fn ways(desk: &Desk, used: &Used) -> Vec<Option<usize>> {
    let mut ways: Vec<Option<usize>> = Vec::new();
    if let Some(top) = &desk.results.top {
        ways.extend(
            top.blocks
                .iter()
                .filter(|placed| placed.block == used.id)
                .map(|placed| placed.colourway),
        );
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}

/// How the threads lie, in words.
fn grain(used: &Used) -> String {
    let block = &used.block;
    if block.foundation.is_some() {
        return "Each piece is cut as a rectangle whose threads run along the seam it is sewn by; the first, along its side on \
                the block’s outside where it has one. The paper holds whatever lies on the bias as long as it stays in."
            .to_owned();
    }
    let biased: Vec<&str> = block
        .templates
        .iter()
        .enumerate()
        .filter(|(i, _)| {
            block
                .patches
                .iter()
                .any(|patch| patch.template == *i && !patch.bias.is_empty())
        })
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
        .enumerate()
        .filter(|(index, place)| {
            let pools = desk.plan.choosing.pools.iter();
            let filled = |p: &quilt::plan::PoolPlan| p.fills.contains(&(used.id, *index));
            place.cloths.len() > 1 && !pools.clone().any(filled)
        })
        .map(|(_, place)| {
            format!(
                "{} (cloths {})",
                place.name,
                super::cloths::numbers(&place.cloths)
            )
        })
        .collect();
    (!places.is_empty()).then(|| {
        format!(
            "Some places take several cloths in turn from patch to patch and from block to block: {}. \
             The drawing shows the first block.",
            list(&places)
        )
    })
}
