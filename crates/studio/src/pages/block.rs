//! Block: draw it, see at once where it lies, and which patches take cloth together.

use geometry::Point;
use picture::Palette;
use quilt::block::Block;
use quilt::findings::Weight;
use quilt::plan::{BlockId, BlockPlan, Draft};

use super::parts::{button, choice, deed, facts, field, finding, hidden, why};
use super::{Chosen, View};
use crate::deeds::{Board, main_block};
use crate::html::{El, Node, el};
use crate::look::Owner;

/// Side of the drawing board, in its own units.
const SIDE: f64 = 480.0;
/// Room kept around it for the dots.
const RIM: f64 = 24.0;

/// The block the page is about: asked for, or chosen in the picture, or the main one.
fn subject(view: &View) -> BlockId {
    let plan = &view.now.plan;
    let asked = view
        .asking
        .number("block")
        .filter(|&i| i < plan.blocks.len());
    let chosen = || {
        let top = view.now.look.top()?;
        let block = match view.asking.chosen()? {
            Chosen::Block(block) => block,
            Chosen::Patch(patch) => match view.now.look.owner(patch)? {
                Owner::Patch(block, _) => block,
                Owner::Part(_) => return None,
            },
        };
        top.blocks.get(block).map(|placed| placed.block)
    };
    asked
        .map(BlockId)
        .or_else(chosen)
        .unwrap_or_else(|| main_block(plan))
}

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let id = subject(view);
    let of = plan.block(id);
    let worked = view.results.blocks.get(id.0).and_then(Option::as_deref);
    let size = plan.measure.size(&of.width, &of.height);
    let division = division(view, of);
    let board = Board::of(of, division);
    let drawn = match &board {
        Some(board) => Node::from(by_hand(view, id, worked, board, division)),
        None => Node::from(drafted(view, id, of)),
    };
    Node::all([
        Node::from(el("h2").text(format!("Block “{}”, {size} finished", of.name))),
        blocks(view, id),
        drawn,
        Node::from(verdict(view, id)),
        Node::from(settings(view, id, of)),
    ])
}

fn division(view: &View, of: &BlockPlan) -> u32 {
    let asked = view
        .asking
        .number("dots")
        .and_then(|n| u32::try_from(n).ok());
    asked
        .filter(|n| (1..=24).contains(n))
        .unwrap_or_else(|| Board::division(of))
}

/// The plan's blocks, when there are several.
fn blocks(view: &View, id: BlockId) -> Node {
    let plan = &view.now.plan;
    if plan.blocks.len() < 2 {
        return Node::default();
    }
    let links = plan.blocks.iter().enumerate().map(|(index, block)| {
        let link = el("a")
            .attr("href", view.with("block", index))
            .attr("data-part", "yes");
        let link = if index == id.0 {
            link.attr("aria-current", "true")
        } else {
            link
        };
        el("li").put(link.text(&block.name))
    });
    Node::from(el("ul").class("questions").put_all(links))
}

/// A block from one of the constructions: its drawing, and the way to go on by hand.
fn drafted(view: &View, id: BlockId, of: &BlockPlan) -> El {
    let how = match of.draft {
        Draft::Grid { .. } => "a divided square, each cell pieced simply",
        Draft::Nested { .. } => "squares nested by joining the middles of the sides",
        Draft::Log { .. } => "strips laid round a centre",
        Draft::Star { .. } => "an eight-pointed star",
        Draft::Hexagon { .. } => "a hexagon",
        Draft::Triangles { .. } => "rows of 60° triangles",
        Draft::Pieces { .. } => "pieces given by their corners",
        Draft::Hexagons { .. } => "rows of hexagons in halves",
        Draft::Taken(_) => "taken from another block",
        Draft::Lines { .. } => "lines drawn by hand",
    };
    el("div")
        .put(el("p").text(format!("Drafted as {how}.")))
        .put(
            el("img")
                .class("drawn block")
                .attr(
                    "src",
                    format!(
                        "{}?v={}",
                        view.address(&format!("block/{}", id.0)),
                        view.now.kept.turned
                    ),
                )
                .attr(
                    "alt",
                    format!("The block “{}” with the letters of its templates", of.name),
                ),
        )
        .put(
            deed("by-hand")
                .put(hidden("block", id.0))
                .put(button("Draw it by hand from here on")),
        )
}

fn at(of: &BlockPlan, point: &Point) -> [f64; 2] {
    let [x, y] = point.to_f64();
    let scale = SIDE / of.width.to_f64().max(of.height.to_f64());
    [RIM + x * scale, RIM + y * scale]
}

/// The drawing board: dots to tap, seams between them, the patches they make.
fn by_hand(view: &View, id: BlockId, worked: Option<&Block>, board: &Board, division: u32) -> El {
    let of = view.now.plan.block(id);
    let scale = SIDE / of.width.to_f64().max(of.height.to_f64());
    let (w, h) = (of.width.to_f64() * scale, of.height.to_f64() * scale);
    let palette = Palette::of(&view.now.plan, "sans-serif");
    let faces = worked.map(|block| {
        let numbered = block.patches.iter().enumerate();
        el("g")
            .attr("id", "pieces")
            .put_all(numbered.map(|(index, patch)| {
                let points: Vec<String> = patch
                    .outline
                    .points()
                    .iter()
                    .map(|p| at(of, p))
                    .map(|[x, y]| format!("{x:.2},{y:.2}"))
                    .collect();
                let cloth = patch.place.map(|place| of.places[place].cloths[0].0);
                let colour = cloth.map_or_else(
                    || "#ffffff".to_owned(),
                    |cloth| picture::flat_colour(&palette, cloth).hex(),
                );
                el("polygon")
                    .attr("points", points.join(" "))
                    .attr("fill", colour)
                    .attr("data-piece", index)
            }))
    });
    let letters = worked.map(|block| {
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
    });
    let seams = board.seams.iter().enumerate().map(|(index, seam)| {
        let ([x1, y1], [x2, y2]) = (at(of, &seam.a), at(of, &seam.b));
        el("line")
            .attr("x1", format!("{x1:.2}"))
            .attr("y1", format!("{y1:.2}"))
            .attr("x2", format!("{x2:.2}"))
            .attr("y2", format!("{y2:.2}"))
            .attr("data-seam", index)
    });
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
    let drawing = el("svg")
        .attr("id", "board")
        .attr("viewBox", format!("0 0 {:.0} {:.0}", w + 2.0 * RIM, h + 2.0 * RIM))
        .attr("data-block", id.0)
        .attr("data-division", division)
        .attr("role", "application")
        .attr("tabindex", 0)
        .attr(
            "aria-label",
            "Drawing board. Arrow keys go from dot to dot, Enter begins and ends a seam, Escape lets go.",
        )
        .put(faces)
        .put(letters)
        .put(frame)
        .put(el("g").attr("id", "seams").put_all(seams))
        .put(el("line").attr("id", "rubber"))
        .put(el("g").attr("class", "dots").put_all(dots))
        .put(el("circle").attr("id", "here").attr("r", 9));
    let options = (2..=12)
        .chain([16, 24])
        .map(|n| (n.to_string(), format!("{n} squares across")));
    el("div")
        .put(drawing)
        .put(
            el("p").attr("id", "board-says").class("quiet").attr("aria-live", "polite").text(
                "Tap two dots for a seam, or drag from one to the other. Tap a seam to take it out; tap a patch to say what it is.",
            ),
        )
        .put(
            el("form")
                .class("row")
                .attr("id", "division")
                .attr("method", "get")
                .put(hidden("block", id.0))
                .put(choice("dots", "Dots", "dots", options, &division.to_string())),
        )
        .put(
            el("div")
                .class("row")
                .put(quarters(id, "turn", "Repeat in every quarter, turned"))
                .put(quarters(id, "mirror", "Repeat in every quarter, mirrored")),
        )
        .put(seam_list(view, id, board))
}

fn quarters(id: BlockId, how: &str, words: &str) -> El {
    deed("all-quarters")
        .put(hidden("block", id.0))
        .put(hidden("how", how))
        .put(button(words))
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
fn seam_list(view: &View, id: BlockId, board: &Board) -> El {
    let lines = board.seams.iter().enumerate().map(|(index, seam)| {
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
    why(
        &format!("The {} seams", board.seams.len()),
        el("ol").class("seams").put_all(lines),
    )
}

/// Whether it can be sewn, in words.
fn verdict(view: &View, id: BlockId) -> El {
    let plan = &view.now.plan;
    let faults = view.results.faults.get(id.0).map_or(&[][..], Vec::as_slice);
    let section = el("section")
        .attr("id", "verdict")
        .put(el("h3").text("Can it be sewn?"));
    if !faults.is_empty() {
        let texts = faults
            .iter()
            .map(|fault| fault.text(plan.block(id), plan.measure));
        return section.put_all(texts.map(|text| finding(Weight::Stop, &text)));
    }
    let Some(block) = view.results.blocks.get(id.0).and_then(Option::as_deref) else {
        return section;
    };
    let bare = block
        .patches
        .iter()
        .filter(|patch| patch.place.is_none())
        .count();
    let sewn = view.results.sewing.as_ref();
    let sewn = sewn.and_then(|s| s.blocks.iter().find(|sewn| sewn.block == id));
    let words = match sewn {
        Some(sewn) => match &sewn.in_words {
            Some(words) => words.clone(),
            None => format!(
                "Yes, in straight seams: {} joins of {} kinds.",
                sewn.joins.len(),
                sewn.steps.len()
            ),
        },
        None if block.joining.obstructions.is_empty() => "Yes, in straight seams.".into(),
        None => "Not in straight seams alone.".into(),
    };
    let pieces = format!(
        "{} patches, {} templates.",
        block.patches.len(),
        block.templates.len()
    );
    section
        .put(el("p").text(words))
        .put(el("p").text(pieces))
        .put((bare > 0).then(|| {
            finding(
                Weight::Mind,
                &format!("{bare} patches belong to no place yet: tap each and say what it is."),
            )
        }))
}

/// Its name and size, and a block more.
fn settings(view: &View, id: BlockId, of: &BlockPlan) -> El {
    let measure = view.now.plan.measure;
    el("section")
        .put(why(
            "Its name and size",
            el("div")
                .put(
                    deed("rename-block")
                        .put(hidden("block", id.0))
                        .put(field("block-name", "What you call it", "name", &of.name))
                        .put(button("Call it so")),
                )
                .put(
                    deed("size-block")
                        .put(hidden("block", id.0))
                        .put(field(
                            "block-size",
                            "Finished width",
                            "size",
                            measure.number(&of.width),
                        ))
                        .put(button("Make it that size")),
                ),
        ))
        .put(why(
            "Begin another block",
            deed("add-block")
                .put(field("new-block-name", "What you call it", "name", ""))
                .put(field(
                    "new-block-size",
                    "Finished size",
                    "size",
                    measure.number(&of.width),
                ))
                .put(button("Begin it")),
        ))
}

pub(super) fn card(view: &View) -> Node {
    let id = subject(view);
    let block = view.results.blocks.get(id.0).and_then(Option::as_deref);
    let piece = view.asking.number("piece").or_else(|| {
        let Chosen::Patch(patch) = view.asking.chosen()? else {
            return None;
        };
        match view.now.look.owner(patch)? {
            Owner::Patch(_, patch) => Some(patch),
            Owner::Part(_) => None,
        }
    });
    match (block, piece) {
        (Some(block), Some(piece)) if piece < block.patches.len() => {
            piece_card(view, id, block, piece)
        }
        _ => Node::from(
            el("div")
                .put(el("h2").text("Choose a patch"))
                .put(el("p").text(
                    "Tap a patch in the picture to say which patches take the same cloth together.",
                ))
                .put(super::frame::findings(view)),
        ),
    }
}

fn piece_card(view: &View, id: BlockId, block: &Block, piece: usize) -> Node {
    let plan = &view.now.plan;
    let of = plan.block(id);
    let patch = &block.patches[piece];
    let template = &block.templates[patch.template];
    let place = patch.place.map(|place| &of.places[place]);
    let size = {
        let (low, high) = template.finished.bounds();
        plan.measure.size(&(&high.x - &low.x), &(&high.y - &low.y))
    };
    let corners = template.finished.points().len();
    let facts = facts([
        (
            "Place",
            place.map_or_else(|| "none yet".into(), |p| p.name.clone()),
        ),
        (
            "Template",
            format!(
                "{}, {corners} corners, {} in one block",
                template.letter, template.count
            ),
        ),
        ("Finished", format!("within {size}")),
    ]);
    let moves = of
        .places
        .iter()
        .enumerate()
        .filter(|(i, _)| patch.place != Some(*i));
    let moves = moves.map(|(index, place)| {
        deed("place")
            .put(hidden("block", id.0))
            .put(hidden("piece", piece))
            .put(hidden("place", index))
            .put(button(format!("To “{}”", place.name)))
    });
    Node::from(
        el("div")
            .put(el("h2").text(format!("A patch of “{}”", of.name)))
            .put(facts)
            .put(el("h3").text("It takes its cloth together with"))
            .put(el("div").class("row").put_all(moves))
            .put(
                deed("place")
                    .put(hidden("block", id.0))
                    .put(hidden("piece", piece))
                    .put(hidden("place", "new"))
                    .put(field("new-place", "A new place, called", "name", ""))
                    .put(button("Make it so")),
            ),
    )
}
