//! Block: draw it, see at once where it lies, and which patches take cloth together.

use quilt::block::Block;
use quilt::block::drafting::near::near_misses;
use quilt::findings::Weight;
use quilt::plan::{BlockId, BlockPlan, Draft};

use super::parts::{button, deed, facts, field, finding, hidden, why};
use super::{Chosen, View, board, constructions, tracing};
use crate::deeds::{Board, main_block};
use crate::html::{El, Node, el};
use crate::look::Owner;

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
    let size = plan.measure.near_size(&of.width, &of.height);
    let division = division(view, of);
    let board = Board::of(of, division);
    let on_board = match (&board, tracing::corners(view, id)) {
        (_, Some(corners)) => Node::from(corners),
        (Some(board), None) => Node::from(board::drawing(view, id, board, division)),
        (None, None) => Node::from(drafted(view, id, of)),
    };
    let below = match &board {
        Some(board) => Node::from(board::tools(view, id, board)),
        None => Node::from(
            deed("by-hand")
                .put(hidden("block", id.0))
                .put(button("Draw it by hand from here on")),
        ),
    };
    Node::all([
        Node::from(el("h2").text(format!("Block “{}”, {size} finished", of.name))),
        blocks(view, id),
        Node::from(verdict(view, id)),
        on_board,
        Node::from(why_not(view, id)),
        below,
        Node::from(constructions::section(view, id, of)),
        board.map_or_else(Node::default, |_| tracing::section(view, id)),
        Node::from(drawing_file(id)),
        Node::from(settings(view, id, of)),
    ])
}

/// A drawing of the block from a file.
fn drawing_file(id: BlockId) -> El {
    why(
        "Open a drawing",
        el("div")
            .put(
                el("label")
                    .class("field")
                    .attr("for", "drawing-file")
                    .put(el("span").text("A drawing of straight lines (SVG, not packed)"))
                    .put(
                        el("input")
                            .attr("type", "file")
                            .attr("id", "drawing-file")
                            .attr("accept", ".svg,image/svg+xml")
                            .attr("data-block", id.0),
                    ),
            )
            .put(el("p").class("quiet").text(
                "Its lines take the place of the seams drawn here, on the nearest true points. Pictures, text and curves in it are passed over, and nothing it names is looked up.",
            )),
    )
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
            asked_where(view)
                .then(|| not_straight(view, id))
                .flatten()
                .unwrap_or_default(),
        )
}

pub(super) fn asked_where(view: &View) -> bool {
    view.asking.word("show") == Some("where")
}

/// Drawings of what stands in the way, for a block that is not on the board.
fn not_straight(view: &View, id: BlockId) -> Option<Node> {
    let block = view.now.look.laid.blocks.get(id.0)?.as_deref()?;
    if block.joining.obstructions.is_empty() {
        return None;
    }
    let drawing = |which: String, says: &str| {
        let src = format!(
            "{}?v={}",
            view.address(&format!("where/{which}")),
            view.now.kept.turned
        );
        el("figure").put(el("figcaption").text(says)).put(
            el("img")
                .class("drawn block")
                .attr("src", src)
                .attr("alt", says),
        )
    };
    let mut all = vec![drawing(id.0.to_string(), "What straight seams cannot sew")];
    if block.repair.is_some() {
        all.push(drawing(
            format!("{}-mended", id.0),
            "The seams that would spare it, in stitches",
        ));
    }
    Some(Node::all(all))
}

/// Whether it can be sewn, in words, with what can be done about it.
fn verdict(view: &View, id: BlockId) -> El {
    let plan = &view.now.plan;
    let of = plan.block(id);
    let section = el("section")
        .attr("id", "verdict")
        .put(el("h3").class("unseen").text("Can it be sewn?"));
    let misses = near_misses(of);
    let joins = misses.iter().enumerate().map(|(index, miss)| {
        el("div")
            .class("row spread")
            .put(finding(Weight::Mind, &miss.says(plan.measure)))
            .put(
                deed("join")
                    .put(hidden("block", id.0))
                    .put(hidden("miss", index))
                    .put(button("Join them").attr(
                        "aria-label",
                        format!("Join them: {}", miss.says(plan.measure)),
                    )),
            )
    });
    let faults = view.results.faults.get(id.0).map_or(&[][..], Vec::as_slice);
    if let Some((first, rest)) = faults.split_first() {
        let text = |fault: &quilt::block::DraftFault| fault.text(of, plan.measure);
        let drawn = match &of.draft {
            Draft::Lines { lines } => match lines.len() {
                1 => "1 seam so far. ".to_owned(),
                n => format!("{n} seams so far. "),
            },
            _ => String::new(),
        };
        let more = match rest.len() {
            0 => None,
            1 => Some("One more like it".to_owned()),
            n => Some(format!("{n} more like it")),
        };
        let more = more.map(|words| {
            let all = rest.iter().map(|fault| finding(Weight::Stop, &text(fault)));
            why(&words, Node::all(all))
        });
        let shown = view.now.look.is_half_drawn().then(|| {
            el("p")
                .class("quiet small-only")
                .text("The picture shows the patches there are; loose seams are dashed.")
        });
        return section
            .put(finding(Weight::Stop, &format!("{drawn}{}", text(first))))
            .put(shown)
            .put_all(joins)
            .put(more);
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
        _ if !block.joining.obstructions.is_empty() => "Not in straight seams alone.".into(),
        Some(sewn) if !sewn.joins.is_empty() => format!(
            "Yes, in straight seams: {} of {}.",
            counted(sewn.joins.len(), "join", "joins"),
            counted(sewn.steps.len(), "kind", "kinds")
        ),
        Some(_) => "Nothing to sew yet.".into(),
        None => "Yes, in straight seams.".into(),
    };
    let pieces = format!(
        "{}, {}.",
        counted(block.patches.len(), "patch", "patches"),
        counted(block.templates.len(), "template", "templates")
    );
    section
        .put(el("p").text(format!("{words} {pieces}")))
        .put((!block.joining.obstructions.is_empty()).then(|| spared(view, id, block)))
        .put((bare > 0).then(|| {
            let (who, what) = if bare == 1 {
                ("One patch belongs".to_owned(), "tap it")
            } else {
                (format!("{bare} patches belong"), "tap each")
            };
            finding(
                Weight::Mind,
                &format!("{who} to no place yet: {what} and say what it is."),
            )
        }))
        .put_all(joins)
}

/// Why straight seams do not do, and what the seams that would spare it cost.
fn why_not(view: &View, id: BlockId) -> Option<El> {
    let sewing = view.results.sewing.as_ref()?;
    let sewn = sewing.blocks.iter().find(|sewn| sewn.block == id)?;
    let words = sewn.in_words.as_ref()?;
    let priced = sewn.straight.as_ref();
    let priced = priced.map(|priced| el("p").text(&priced.in_words));
    Some(why(
        "Why not, and what the other way costs",
        el("div").put(el("p").text(words)).put(priced),
    ))
}

fn counted(n: usize, one: &str, many: &str) -> String {
    match n {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// Where straight seams do not do, and the seams that would spare the maker that.
fn spared(view: &View, id: BlockId, block: &Block) -> El {
    let shown = asked_where(view);
    let show = el("a")
        .class("button")
        .attr("id", "show-where")
        .attr("data-part", "yes")
        .attr(
            "href",
            if shown {
                view.with_all(&[], &["show"])
            } else {
                view.with("show", "where")
            },
        )
        .text(if shown { "Hide where" } else { "Show where" });
    let mend = block.repair.as_ref().map(|repair| {
        let more = repair.cuts.len();
        let words = match more {
            1 => "Add the seam that avoids it (one patch more)".to_owned(),
            n => format!("Add the {n} seams that avoid it ({n} patches more)"),
        };
        deed("straighten")
            .put(hidden("block", id.0))
            .put(button(words))
    });
    el("div").class("row").put(show).put(mend)
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
        .put(
            deed("copy-block")
                .put(hidden("block", id.0))
                .put(button("Copy it as a block more")),
        )
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
    // Of a half-drawn block the patches there are.
    let block = view
        .now
        .look
        .laid
        .blocks
        .get(id.0)
        .and_then(Option::as_deref);
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
