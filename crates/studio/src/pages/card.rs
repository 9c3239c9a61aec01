//! The card: the one thing that is chosen, its facts, why, and what to do with it.

use quilt::plan::ClothId;

use super::parts::{button, cloth_choice, deed, facts, hidden, swatch, why};
use super::{Chosen, View};
use crate::deeds::{Reached, cloth_reaches, place_name, turn_reaches};
use crate::html::{El, Node, el};
use crate::look::{Owner, cloth_name, turned_words};

pub(super) fn card(view: &View) -> Node {
    match view.asking.chosen() {
        Some(Chosen::Patch(patch)) => patch_card(view, patch),
        Some(Chosen::Block(block)) => block_card(view, block),
        None => None,
    }
    .unwrap_or_else(|| empty(view))
}

fn empty(view: &View) -> Node {
    Node::from(
        el("div")
            .put(el("h2").text("Choose something in the picture"))
            .put(el("p").text(
                "Tap a patch to lay cloth on it or to turn its block. Two taps on the same place choose the whole block. With the keyboard: arrows, then Enter.",
            ))
            .put(super::frame::findings(view)),
    )
}

fn patch_card(view: &View, patch: usize) -> Option<Node> {
    let (plan, look) = (&view.now.plan, &view.now.look);
    let top = look.top()?;
    let item = look.items.get(patch)?;
    let cloth = item.cloth.map(ClothId);
    let cloth_words = cloth.map_or_else(|| "none yet".into(), |id| cloth_name(plan, id));
    let (title, block, more) = match look.owner(patch)? {
        Owner::Part(part) => {
            let part = &top.parts[part];
            let name = quilt::cutting::use_name(&quilt::cutting::Use::Part(part.kind));
            let size = plan.measure.size(&part.length, &part.width);
            (upper(&name), None, vec![("Finished size", size)])
        }
        Owner::Patch(block, patch) => {
            let placed = &top.blocks[block];
            let worked = look.block(placed)?;
            let of = plan.block(placed.block);
            let one = worked.patches.get(patch)?;
            let template = &worked.templates[one.template];
            let place = one.place.map(|place| of.places[place].name.clone());
            let title = place
                .clone()
                .unwrap_or_else(|| "Patch without a place".into());
            let facts = vec![
                (
                    "Template",
                    format!("{}, {} in one block", template.letter, template.count),
                ),
                (
                    "Lies in",
                    format!(
                        "“{}”, row {}, block {}{}",
                        of.name,
                        placed.row + 1,
                        placed.column + 1,
                        turned_words(placed.turn)
                    ),
                ),
            ];
            (upper(&title), Some(block), facts)
        }
    };
    let title = format!("{title} · {cloth_words}");
    let whole = block.map(|block| {
        el("button")
            .attr("type", "button")
            .attr("data-choose", format!("b{block}"))
            .text("Choose the whole block")
    });
    let reaches = cloth_reaches(plan, look, patch);
    let id = view.now.kept.id;
    let turned = view.now.kept.turned;
    let lay = (!reaches.is_empty()).then(|| {
        deed("lay")
            .put(hidden("patch", patch))
            .put(cloth_choice(
                plan,
                "lay-cloth",
                "Lay this cloth",
                "cloth",
                None,
                cloth,
            ))
            .put(reach(
                &reaches,
                "patch",
                "patches",
                &place_name(plan, look, patch),
            ))
            .put(button("Lay it").class("main"))
    });
    let swatch = cloth.map(|cloth| swatch(id, turned, cloth.0));
    let turn = block.map(|block| turning(view, block));
    Some(Node::from(
        el("div")
            .put(el("h2").put(swatch).text(title))
            .put(lay)
            .put(turn)
            .put(why("About this patch", facts(more)))
            .put(whole),
    ))
}

fn block_card(view: &View, block: usize) -> Option<Node> {
    let (plan, look) = (&view.now.plan, &view.now.look);
    let top = look.top()?;
    let placed = top.blocks.get(block)?;
    let of = plan.block(placed.block);
    let turned = match turned_words(placed.turn).trim_start_matches(", ") {
        "" => "as drafted",
        words => words,
    };
    let facts = facts([
        (
            "Size",
            format!("{} finished", plan.measure.size(&of.width, &of.height)),
        ),
        ("Turned", turned.to_owned()),
        ("Patches", look.patches_of(block).len().to_string()),
    ]);
    let title = format!(
        "“{}”, row {}, block {}",
        of.name,
        placed.row + 1,
        placed.column + 1
    );
    Some(Node::from(
        el("div")
            .put(el("h2").text(title))
            .put(facts)
            .put(turning(view, block))
            .put(pinning(view, block))
            .put(exchanging(view, block))
            .put(laying(view, block)),
    ))
}

/// Turning the block, with how far that goes.
fn turning(view: &View, block: usize) -> Node {
    let reaches = turn_reaches(&view.now.plan, &view.now.look, block);
    if reaches.is_empty() {
        return Node::default();
    }
    let look = &view.now.look;
    let in_one = look.patches_of(block).len().max(1);
    let blocks: Vec<Reached> = reaches;
    Node::from(
        el("section")
            .class("turning")
            .put(el("h3").text("Turn the block"))
            .put(
                deed("turn")
                    .put(hidden("spot", block))
                    .put(reach_counted(&blocks, "turn", |r| {
                        count(r.patches.len() / in_one, "block", "blocks")
                    }))
                    .put(
                        el("div")
                            .class("row")
                            .put(turn_button("3", "↺ To the left"))
                            .put(turn_button("1", "↻ To the right")),
                    ),
            ),
    )
}

fn turn_button(quarters: &str, words: &str) -> El {
    button(words)
        .attr("name", "quarters")
        .attr("value", quarters)
}

/// Exchange with another block, by two choices.
fn exchanging(view: &View, block: usize) -> Node {
    let Some(top) = view.now.look.top() else {
        return Node::default();
    };
    if top.blocks.len() < 2 || top.blocks[block].between {
        return Node::default();
    }
    let options = top
        .blocks
        .iter()
        .enumerate()
        .filter(|(i, b)| *i != block && !b.between);
    let options = options.map(|(i, b)| {
        (
            i.to_string(),
            format!("row {}, block {}", b.row + 1, b.column + 1),
        )
    });
    let first = view.asking.number("first").filter(|&first| first != block);
    let first = first.filter(|&first| top.blocks.get(first).is_some_and(|b| !b.between));
    if let Some(first) = first {
        let name = |i: usize| {
            let placed = &top.blocks[i];
            format!("row {}, block {}", placed.row + 1, placed.column + 1)
        };
        return Node::from(
            el("section")
                .attr("id", "exchanging")
                .put(el("h3").text("Exchange two blocks"))
                .put(
                    deed("exchange")
                        .put(hidden("spot", first))
                        .put(hidden("with", block))
                        .put(
                            button(format!("Exchange {} and {}", name(first), name(block)))
                                .class("main"),
                        ),
                )
                .put(
                    el("a")
                        .class("button")
                        .attr("data-part", "yes")
                        .attr("href", view.without(&["first"]))
                        .text("Not now"),
                ),
        );
    }
    let begun = view.asking.number("first") == Some(block);
    let begin = if begun {
        el("p")
            .attr("id", "exchange-begun")
            .text("Now tap the other block twice in the picture; its card exchanges the two.")
    } else {
        el("p").put(
            el("a")
                .class("button")
                .attr("id", "exchange-first")
                .attr("data-part", "yes")
                .attr("href", view.with("first", block))
                .text("Exchange it with one I tap"),
        )
    };
    Node::from(
        el("div").put(begin).put(why(
            "Exchange it with a block by its place",
            deed("exchange")
                .put(hidden("spot", block))
                .put(super::parts::choice(
                    "exchange-with",
                    "With the block in",
                    "with",
                    options,
                    "",
                ))
                .put(button("Exchange")),
        )),
    )
}

/// A pin keeps a block as it is when the setting is changed as a whole.
fn pinning(view: &View, block: usize) -> Node {
    let placed = view.now.look.top().and_then(|top| top.blocks.get(block));
    let Some(placed) = placed.filter(|placed| !placed.between && placed.border.is_none()) else {
        return Node::default();
    };
    let pins = &view.now.plan.setting.pinned;
    let pinned = pins
        .iter()
        .any(|pin| (pin.row, pin.column) == (placed.row, placed.column));
    let (what, says, words) = if pinned {
        (
            "unpin",
            "Pinned: it stays as it is when you take a setting from the wall.",
            "Take the pin out",
        )
    } else {
        (
            "pin",
            "A pin keeps it so when you take a setting from the wall.",
            "Pin it as it lies",
        )
    };
    Node::from(
        el("section")
            .attr("id", "pinning")
            .put(el("p").class("quiet").text(says))
            .put(deed(what).put(hidden("spot", block)).put(button(words))),
    )
}

/// Another block of the plan laid here.
fn laying(view: &View, block: usize) -> Node {
    let plan = &view.now.plan;
    if plan.blocks.len() < 2 {
        return Node::default();
    }
    let options = plan.blocks.iter().enumerate();
    let options = options.map(|(i, b)| (i.to_string(), b.name.clone()));
    let reaches = turn_reaches(plan, &view.now.look, block);
    let in_one = view.now.look.patches_of(block).len().max(1);
    Node::from(why(
        "Lay another block here",
        deed("lay-block")
            .put(hidden("spot", block))
            .put(super::parts::choice(
                "other-block",
                "The block",
                "block",
                options,
                "",
            ))
            .put(reach_counted(&reaches, "other", |r| {
                count(r.patches.len() / in_one, "block", "blocks")
            }))
            .put(button("Lay it here")),
    ))
}

/// How far a deed goes, counted, each outlined in the picture before it is done.
fn reach(reaches: &[Reached], one: &str, many: &str, place: &str) -> El {
    reach_far(reaches, "lay", &format!("How far: {place}"), |r| {
        count(r.patches.len(), one, many)
    })
}

fn reach_counted(reaches: &[Reached], id: &str, say: impl Fn(&Reached) -> String) -> El {
    reach_far(reaches, id, "How far", say)
}

/// The reaches side by side, so that the deed's button stands right below them.
fn reach_far(reaches: &[Reached], id: &str, legend: &str, say: impl Fn(&Reached) -> String) -> El {
    // As few as can be at first; the alike is what a maker means most often with cloth.
    let usual = usize::from(id == "lay" && reaches.len() > 1 && reaches[0].word != "alike");
    let usual = reaches
        .iter()
        .position(|r| id == "lay" && r.word == "alike")
        .unwrap_or(usual);
    let options = reaches.iter().enumerate().map(|(i, r)| {
        let patches: Vec<String> = r.patches.iter().map(usize::to_string).collect();
        let name = format!("reach-{id}-{i}");
        el("label")
            .class("reach")
            .attr("for", &name)
            .put(
                el("input")
                    .attr("type", "radio")
                    .attr("name", "reach")
                    .attr("id", &name)
                    .attr("value", r.word)
                    .attr("data-patches", patches.join(","))
                    .flag("checked", i == usual),
            )
            .put(
                el("span")
                    .put(el("strong").text(say(r)))
                    .text(format!(" {}", r.says)),
            )
    });
    el("fieldset")
        .class("reaches")
        .put(el("legend").text(legend))
        .put(el("div").class("side-by-side").put_all(options))
}

fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

pub(super) fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
