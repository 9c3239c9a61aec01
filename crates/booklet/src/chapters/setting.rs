//! From blocks to top: the laying chart, then the steps.

use quilt::plan::Kind;
use quilt::setting::small_size;
use serde_json::{Value, json};

use super::Desk;
use crate::lengths;
use crate::words::grouped;

/// The most the chart may be high, inches.
const CHART: f64 = 5.4;
/// Width and height it may have where a page has little room left and the words stand
/// beside it.
const SMALL_CHART: (f64, f64) = (3.5, 3.2);
/// Width of a step's drawing, inches, and the most it may be high; words stand beside it.
const DRAWN: (f64, f64) = (1.35, 1.6);

/// The most the drawing of the thickest points may measure, inches.
const THICK: f64 = 1.5;

pub(super) fn data(desk: &mut Desk) -> Value {
    let Some(top) = desk.results.top.clone() else {
        return Value::Null;
    };
    let chart = picture::setting_chart(desk.plan, &desk.results.blocks, &top);
    let names: Vec<Value> = picture::short_names(desk.plan, &top)
        .into_iter()
        .map(|name| {
            let copies = top
                .blocks
                .iter()
                .filter(|b| (b.block, b.colourway) == (name.block, name.colourway))
                .count();
            json!({ "short": name.short, "name": name.name, "copies": copies })
        })
        .collect();
    json!({
        "chart": desk.gallery.hang_within(&chart, desk.room.width, CHART),
        "small_chart": desk.gallery.hang_within(&chart, SMALL_CHART.0, SMALL_CHART.1),
        "names": names,
        "turned": top.blocks.iter().any(|placed| placed.turn != 0),
        "diagonal": top.blocks.iter().any(|placed| placed.diagonal.is_some()),
        "columns": matches!(desk.plan.setting.kind, Kind::Strips { .. } | Kind::HalfDrop { .. }),
        "small": small(desk),
        "inner": lengths::size(desk.plan.measure, &top.inner_width, &top.inner_height),
        "size": lengths::size(desk.plan.measure, &top.width, &top.height),
        "bordered": !desk.plan.borders.is_empty(),
        "steps": steps(desk),
        "thick": thick(desk),
    })
}

/// Where the top is thickest between its blocks: in words, with a drawing.
fn thick(desk: &mut Desk) -> Value {
    let (Some(top), Some(sewing)) = (desk.results.top.clone(), desk.results.sewing.clone()) else {
        return Value::Null;
    };
    let Some(words) = &sewing.layers.in_words else {
        return Value::Null;
    };
    let drawing = picture::thick_places(desk.plan, &desk.results.blocks, &top, &sewing.layers);
    json!({
        "words": words,
        "picture": desk.gallery.hang_within(&drawing, THICK, THICK),
    })
}

/// What the small pieces of the design take, a sentence each.
fn small(desk: &Desk) -> Vec<String> {
    let pieces = desk.plan.small.iter();
    let sizes = pieces.filter_map(|piece| small_size(desk.plan, piece)?.ok());
    sizes.map(|size| size.words).collect()
}

fn steps(desk: &mut Desk) -> Vec<Value> {
    let (Some(top), Some(sewing)) = (desk.results.top.clone(), desk.results.sewing.clone()) else {
        return Vec::new();
    };
    (0..sewing.top.len())
        .map(|i| {
            let step = &sewing.top[i];
            let drawing = picture::top_step(desk.plan, &desk.results.blocks, &top, step);
            json!({
                "number": i + 1,
                "text": step.text,
                "press": step.press,
                "times": grouped(step.times as usize),
                "size": lengths::size(desk.plan.measure, &step.width, &step.height),
                "room": DRAWN.0,
                "picture": desk.gallery.hang_within(&drawing, DRAWN.0, DRAWN.1),
            })
        })
        .collect()
}
