//! The drawing board: dots to tap, seams between them, the patches they make.
//!
//! The only drawing that is written here and not by `picture`: it is worked on by hand, so
//! every dot, seam and patch in it is a thing of its own.

use geometry::Point;
use picture::Palette;
use quilt::block::Block;
use quilt::block::drafting::repeats::Repeat;
use quilt::plan::{BlockId, BlockPlan, Draft, Plan};
use serde_json::{Value, json};

use super::View;
use super::parts::{button, choice, deed, hidden, why};
use crate::deeds::{Board, repeat_word, repeat_words};
use crate::html::{El, Node, el};

/// Side of the drawing board, in its own units.
const SIDE: f64 = 480.0;
/// Room kept around it for the dots.
const RIM: f64 = 24.0;

fn at(of: &BlockPlan, point: &Point) -> [f64; 2] {
    let [x, y] = point.to_f64();
    let scale = SIDE / of.width.to_f64().max(of.height.to_f64());
    [RIM + x * scale, RIM + y * scale]
}

/// Corners of an outline as an SVG has them.
fn ring<'a>(of: &BlockPlan, points: impl IntoIterator<Item = &'a Point>) -> String {
    let points = points.into_iter().map(|p| at(of, p));
    let points: Vec<String> = points.map(|[x, y]| format!("{x:.2},{y:.2}")).collect();
    points.join(" ")
}

fn line(of: &BlockPlan, a: &Point, b: &Point) -> El {
    let ([x1, y1], [x2, y2]) = (at(of, a), at(of, b));
    el("line")
        .attr("x1", format!("{x1:.2}"))
        .attr("y1", format!("{y1:.2}"))
        .attr("x2", format!("{x2:.2}"))
        .attr("y2", format!("{y2:.2}"))
}

/// The true points a seam from a dot may end at: `block-division-dot`.
pub(crate) fn ends(plan: &Plan, which: &str) -> Option<Value> {
    let mut parts = which.split('-').map(|part| part.parse::<usize>().ok());
    let (block, division, dot) = (parts.next()??, parts.next()??, parts.next()??);
    let of = plan.blocks.get(block)?;
    let board = Board::of(of, u32::try_from(division).ok()?)?;
    let offers = board.ends(of, dot);
    let offers = offers.iter().map(|offer| {
        let [x, y] = at(of, &offer.point);
        json!({ "x": x, "y": y, "says": offer.says(plan.measure) })
    });
    Some(Value::Array(offers.collect()))
}

/// The board itself, with its words.
pub(super) fn drawing(view: &View, id: BlockId, board: &Board, division: u32) -> El {
    let of = view.now.plan.block(id);
    let scale = SIDE / of.width.to_f64().max(of.height.to_f64());
    let (w, h) = (of.width.to_f64() * scale, of.height.to_f64() * scale);
    // Of a half-drawn block the patches there are.
    let worked = view
        .now
        .look
        .laid
        .blocks
        .get(id.0)
        .and_then(Option::as_deref);
    let whole = view.results.blocks.get(id.0).is_some_and(Option::is_some);
    let seams = board
        .seams
        .iter()
        .enumerate()
        .map(|(index, seam)| line(of, &seam.a, &seam.b).attr("data-seam", index));
    let dots = board.points.iter().enumerate().map(|(index, point)| {
        let [x, y] = at(of, point);
        el("circle")
            .attr("cx", format!("{x:.2}"))
            .attr("cy", format!("{y:.2}"))
            .attr("r", 4)
            .attr("data-dot", index)
            .attr("data-says", spoken(view, point))
    });
    let frame = el("rect")
        .attr("class", "edge")
        .attr("x", RIM)
        .attr("y", RIM)
        .attr("width", format!("{w:.2}"))
        .attr("height", format!("{h:.2}"));
    let tracing = view.beneath.lies.get(&id.0);
    let beneath = tracing.filter(|t| t.corners.is_some()).map(|tracing| {
        let corners = tracing.corners.iter().flatten().flatten().sum::<u32>();
        el("image")
            .attr("id", "beneath")
            .attr("data-strength", tracing.strength)
            .attr(
                "href",
                format!(
                    "{}?v={}-{corners}",
                    view.address(&format!("traced/{}", id.0)),
                    tracing.photo
                ),
            )
            .attr("x", RIM)
            .attr("y", RIM)
            .attr("width", format!("{w:.2}"))
            .attr("height", format!("{h:.2}"))
            .attr("preserveAspectRatio", "none")
    });
    let drawing = el("svg")
        .attr("id", "board")
        .attr("viewBox", format!("0 0 {:.0} {:.0}", w + 2.0 * RIM, h + 2.0 * RIM))
        .attr("data-block", id.0)
        .attr("data-division", division)
        .attr("role", "application")
        .attr("tabindex", 0)
        .attr(
            "aria-label",
            "Drawing board. Arrow keys go from dot to dot, Enter begins and ends a seam, Escape lets go. Once a seam is begun, Page Down and Page Up go through the points at true angles from there.",
        )
        .put(beneath)
        .put(worked.map(|block| faces(view, of, block)))
        .put(worked.filter(|_| whole).map(|block| letters(of, block)))
        .put(frame)
        .put(el("g").attr("id", "seams").put_all(seams))
        .put(worked.filter(|_| super::block::asked_where(view)).map(|block| trouble(of, block)))
        .put(el("line").attr("id", "rubber"))
        .put(el("g").attr("class", "dots").put_all(dots))
        .put(el("g").attr("id", "offers"))
        .put(el("circle").attr("id", "here").attr("r", 9));
    let options = (2..=12)
        .chain([16, 24])
        .map(|n| (n.to_string(), format!("{n} squares across")));
    let beside = el("div")
        .class("beside")
        .put(
            el("p").attr("id", "board-says").class("quiet").attr("aria-live", "polite").text(
                "Tap two dots for a seam, or drag. Tap a seam to take it out, a patch to say what it is.",
            ),
        )
        .put(
            el("form")
                .attr("id", "ending")
                .attr("method", "get")
                .flag("hidden", true)
                .put(choice("ends", "Or it ends", "ends", [], ""))
                .put(
                    el("div")
                        .class("row")
                        .put(button("Draw it there"))
                        .put(el("button").attr("type", "button").attr("id", "let-go").text("Let go")),
                ),
        )
        .put(
            el("form")
                .attr("id", "division")
                .attr("method", "get")
                .put(hidden("block", id.0))
                .put(choice("dots", "Dots", "dots", options, &division.to_string())),
        )
        .put(
            el("a")
                .class("button")
                .attr("href", "#constructions")
                .text("To the constructions"),
        );
    el("div").class("at-board").put(drawing).put(beside)
}

fn faces(view: &View, of: &BlockPlan, block: &Block) -> El {
    let palette = Palette::of(&view.now.plan, "sans-serif");
    let numbered = block.patches.iter().enumerate();
    el("g")
        .attr("id", "pieces")
        .put_all(numbered.map(|(index, patch)| {
            let cloth = patch.place.map(|place| of.places[place].cloths[0].0);
            let colour = cloth.map_or_else(
                || "#ffffff".to_owned(),
                |cloth| picture::flat_colour(&palette, cloth).hex(),
            );
            el("polygon")
                .attr("points", ring(of, patch.outline.points()))
                .attr("fill", colour)
                .attr("data-piece", index)
        }))
}

fn letters(of: &BlockPlan, block: &Block) -> El {
    el("g")
        .attr("class", "letters")
        .put_all(block.patches.iter().map(|patch| {
            let [x, y] = at(of, &patch.outline.inner_point());
            // Off any dot that lies in the middle.
            let y = y + 18.0;
            el("text")
                .attr("x", format!("{x:.2}"))
                .attr("y", format!("{y:.2}"))
                .text(&block.templates[patch.template].letter)
        }))
}

/// What straight seams cannot sew, outlined, and the seams that would spare it.
fn trouble(of: &BlockPlan, block: &Block) -> El {
    let parts = block.joining.obstructions.iter();
    let outlines = parts.clone().flat_map(|part| {
        part.patches.iter().map(|&patch| {
            let outline = block.patches[patch].outline.points();
            el("polygon").attr("points", ring(of, outline))
        })
    });
    let corners = parts.flat_map(|part| {
        part.corners.iter().map(|corner| {
            let [x, y] = at(of, corner);
            el("circle")
                .attr("cx", format!("{x:.2}"))
                .attr("cy", format!("{y:.2}"))
                .attr("r", 14)
        })
    });
    let cuts = block.repair.iter().flat_map(|repair| &repair.cuts);
    let cuts = cuts.map(|cut| line(of, &cut.seam.a, &cut.seam.b));
    el("g")
        .attr("id", "trouble-there")
        .put_all(outlines)
        .put_all(cuts)
        .put_all(corners)
}

/// What helps to draw: copies of the seams, and the seams as a list.
pub(super) fn tools(view: &View, id: BlockId, board: &Board) -> El {
    let of = view.now.plan.block(id);
    let square = of.width == of.height;
    let repeats = Repeat::ALL
        .into_iter()
        .filter(|how| square || !how.needs_square())
        .map(|how| {
            deed("all-quarters")
                .put(hidden("block", id.0))
                .put(hidden("how", repeat_word(how)))
                .put(button(repeat_words(how)))
        });
    el("div")
        .put(why(
            "Repeat the seams",
            el("div").class("row").put_all(repeats),
        ))
        .put(seam_list(view, id, board))
}

/// A dot in words: how far across and down.
fn spoken(view: &View, point: &Point) -> String {
    let measure = view.now.plan.measure;
    format!(
        "{} across, {} down",
        measure.say(&point.x),
        measure.say(&point.y)
    )
}

/// The seams as a list, so that each can be taken out without aiming.
fn seam_list(view: &View, id: BlockId, board: &Board) -> Node {
    let Draft::Lines { lines } = &view.now.plan.block(id).draft else {
        return Node::default();
    };
    let all = board.seams.iter().enumerate().map(|(index, seam)| {
        el("li").put(
            deed("no-line")
                .put(hidden("block", id.0))
                .put(hidden("seam", index))
                .put(el("span").text(format!(
                    "{} to {}",
                    spoken(view, &seam.a),
                    spoken(view, &seam.b)
                )))
                .put(button("Take out").attr("aria-label", format!("Take out seam {}", index + 1))),
        )
    });
    Node::from(why(
        &match lines.len() {
            1 => "The one seam".to_owned(),
            n => format!("The {n} seams"),
        },
        el("ol").class("seams").put_all(all),
    ))
}
