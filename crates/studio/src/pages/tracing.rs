//! A photograph beneath the board: chosen, squared by its corners, shown as strongly as the
//! maker likes, taken away.

use quilt::plan::BlockId;

use super::View;
use super::parts::{button, hidden, why};
use crate::html::{El, Node, el};
use crate::store::Tracing;

/// A form that changes what lies beneath the block.
fn form(id: BlockId, what: &str) -> El {
    el("form")
        .class("deed trace")
        .attr("data-trace", what)
        .attr("method", "post")
        .put(hidden("do", what))
        .put(hidden("block", id.0))
}

/// What lies beneath, and what can be done about it.
pub(super) fn section(view: &View, id: BlockId) -> Node {
    let Some(tracing) = view.beneath.lies.get(&id.0) else {
        return Node::from(why("Trace a photograph", bring(view, id)));
    };
    let again = el("a")
        .class("button")
        .attr("href", view.with("square", 1))
        .attr("data-part", "yes")
        .text("Set its corners");
    let shows = el("label")
        .class("field")
        .attr("for", "strength")
        .put(el("span").text("How strongly the photograph shows"))
        .put(
            el("input")
                .attr("type", "range")
                .attr("id", "strength")
                .attr("data-block", id.0)
                .attr("min", 0)
                .attr("max", 100)
                .attr("step", 5)
                .attr("value", tracing.strength),
        );
    let away = form(id, "away").put(button("Take it away"));
    Node::from(
        el("section")
            .attr("id", "tracing")
            .put(el("h3").text("The photograph beneath"))
            .put(tracing.corners.is_some().then_some(shows))
            .put(el("div").class("row").put(again).put(away))
            .put(
                el("p")
                    .class("quiet")
                    .text("It is kept with this quilt, and is never printed."),
            ),
    )
}

/// Ways to lay a photograph: a file, or one that was laid before.
fn bring(view: &View, id: BlockId) -> El {
    let file = el("label")
        .class("field")
        .attr("for", "trace-file")
        .put(el("span").text("Lay a photograph beneath (PNG, JPEG or WebP)"))
        .put(
            el("input")
                .attr("type", "file")
                .attr("id", "trace-file")
                .attr("accept", "image/png,image/jpeg,image/webp")
                .attr("data-block", id.0),
        );
    let before = view.beneath.photos.iter().map(|photo| {
        form(id, "lay")
            .put(hidden("photo", photo.number))
            .put(button(format!("Lay “{}” again", photo.name)))
    });
    el("div")
        .put(file)
        .put(el("div").class("row").put_all(before))
}

/// Where the corners of the block are in the photograph, to be set; nothing unless asked
/// for, or unless they were never set.
pub(super) fn corners(view: &View, id: BlockId) -> Option<El> {
    let tracing = view.beneath.lies.get(&id.0)?;
    if tracing.corners.is_some() && view.asking.word("square").is_none() {
        return None;
    }
    let photo = view
        .beneath
        .photos
        .iter()
        .find(|p| p.number == tracing.photo)?;
    let (wide, high) = (f64::from(photo.wide), f64::from(photo.high));
    let scale = 1000.0 / wide.max(high);
    let (w, h) = (wide * scale, high * scale);
    let corners =
        tracing
            .corners
            .unwrap_or([[1000, 1000], [9000, 1000], [9000, 9000], [1000, 9000]]);
    let at = |corner: [u32; 2]| {
        [
            f64::from(corner[0]) / 10_000.0 * w,
            f64::from(corner[1]) / 10_000.0 * h,
        ]
    };
    let outline: Vec<String> = corners
        .iter()
        .map(|corner| at(*corner))
        .map(|[x, y]| format!("{x:.1},{y:.1}"))
        .collect();
    let names = ["upper left", "upper right", "lower right", "lower left"];
    let marks = corners
        .iter()
        .zip(names)
        .enumerate()
        .map(|(i, (corner, name))| {
            let [x, y] = at(*corner);
            el("circle")
                .attr("cx", format!("{x:.1}"))
                .attr("cy", format!("{y:.1}"))
                .attr("r", 12)
                .attr("data-corner", i)
                .attr("data-says", name)
        });
    let drawing = el("svg")
        .attr("id", "corners")
        .attr("viewBox", format!("0 0 {w:.1} {h:.1}"))
        .attr("data-block", id.0)
        .attr("role", "application")
        .attr("tabindex", 0)
        .attr(
            "aria-label",
            "The photograph with four corners. Enter goes on to the next corner, arrow keys move it, with Shift further.",
        )
        .put(
            el("image")
                .attr("href", view.address(&format!("photo/small/{}", tracing.photo)))
                .attr("width", format!("{w:.1}"))
                .attr("height", format!("{h:.1}"))
                .attr("preserveAspectRatio", "none"),
        )
        .put(el("polygon").attr("points", outline.join(" ")))
        .put_all(marks);
    Some(
        el("div")
            .put(drawing)
            .put(el("p").attr("id", "corners-say").class("quiet").attr("aria-live", "polite").text(
                "Tap a corner and then the place in the photograph where that corner of the block is, or drag it there.",
            ))
            .put(
                form(id, "corners")
                    .put(el("input").attr("type", "hidden").attr("name", "corners").attr("id", "corners-are").attr("value", Tracing::corners_out(&corners)))
                    .put(button("These are its corners").class("main").attr("id", "square-it")),
            ),
    )
}
