//! Cutting and sewing: one step at a time, large, with ticks that are kept.

use super::parts::{button, deed, hidden, why};
use super::{Screen, View};
use crate::html::{El, Node, el};
use crate::steps::{Line, List, done};

fn list(view: &View) -> List {
    view.screen.list().unwrap_or(List::Cut)
}

/// The step the page is at: asked for, or the first that is not done.
fn at(view: &View, lines: &[Line]) -> usize {
    let ticks = view.ticks(list(view));
    let asked = view.asking.number("at").and_then(|at| at.checked_sub(1));
    let first = || lines.iter().position(|line| !line.is_done(ticks));
    asked
        .filter(|&at| at < lines.len())
        .or_else(first)
        .unwrap_or(lines.len().saturating_sub(1))
}

pub(super) fn sheet(view: &View) -> Node {
    let list = list(view);
    let lines = view.lines(list);
    let title = match list {
        List::Cut => "At the cutting table",
        List::Sew => "At the machine",
    };
    let large = el("button")
        .attr("type", "button")
        .attr("data-comfort", "table")
        .text("Fill the screen");
    if lines.is_empty() {
        return Node::from(
            el("div")
                .put(el("h2").text(title))
                .put(el("p").text(
                    "The steps wait for a block that is whole and a setting its blocks fit. What is missing stands on the card.",
                )),
        );
    }
    let at = at(view, &lines);
    let line = &lines[at];
    let ticks = view.ticks(list);
    let count = line.done(ticks);
    let drawing = line.drawing(&view.now.plan, &view.results);
    let drawn = drawing.map(|drawing| {
        el("img")
            .class("drawn step")
            .attr(
                "src",
                format!(
                    "{}?v={}",
                    view.address(&format!("step/{}/{at}", list.word())),
                    view.now.kept.turned
                ),
            )
            .attr("alt", drawing.says)
    });
    let finished = if line.is_done(ticks) {
        "Done."
    } else if line.times > 1 {
        ""
    } else {
        "Not done yet."
    };
    let counted = (line.times > 1).then(|| {
        el("p")
            .class("count")
            .text(format!("{count} of {} done", line.times))
    });
    Node::from(
        el("div")
            .class("step-sheet")
            .put(
                el("div")
                    .class("row spread")
                    .put(el("h2").text(title))
                    .put(large),
            )
            .put(
                el("p")
                    .class("quiet")
                    .attr("id", "step-number")
                    .text(format!(
                        "Step {} of {} · {}",
                        at + 1,
                        lines.len(),
                        line.under
                    )),
            )
            .put(
                el("p")
                    .class(if line.text.chars().count() > 90 {
                        "step-text long"
                    } else {
                        "step-text"
                    })
                    .attr("id", "step-text")
                    .text(&line.text),
            )
            .put(drawn)
            .put_all(
                line.notes
                    .iter()
                    .map(|note| el("p").class("step-note").text(note)),
            )
            .put(counted)
            .put(el("p").class("quiet").text(finished)),
    )
}

pub(super) fn card(view: &View) -> Node {
    let list = list(view);
    let lines = view.lines(list);
    if lines.is_empty() {
        return Node::from(
            el("div")
                .put(el("h2").text("What is missing"))
                .put(super::frame::findings(view)),
        );
    }
    let at = at(view, &lines);
    let ticks = view.ticks(list);
    let (ready, all) = done(&lines, ticks);
    Node::from(
        el("div")
            .put(el("h2").text(format!("{ready} of {all} steps done")))
            .put(buttons(view, list, &lines, at))
            .put(care(view))
            .put(piles(view, list, &lines))
            .put(why("All the steps", every(view, list, &lines, at))),
    )
}

/// Back, one more, all of them. Words that change are in the words, not in colour.
fn buttons(view: &View, list: List, lines: &[Line], at: usize) -> El {
    let line = &lines[at];
    let count = line.done(view.ticks(list));
    let go = |to: usize, words: &str, id: &str| {
        el("a")
            .class("button big")
            .attr("id", id)
            .attr("data-part", "yes")
            .attr("href", view.with("at", to + 1))
            .text(words)
    };
    let back = (at > 0).then(|| go(at - 1, "Back", "step-back"));
    let on = (at + 1 < lines.len()).then(|| go(at + 1, "On, not done", "step-on"));
    let tick = |to: u32, words: String, id: &str| {
        tick_form(list, line, to)
            .put(hidden("next", u8::from(to >= line.times)))
            .put(
                button(words)
                    .class(if to == count + 1 { "main big" } else { "big" })
                    .attr("id", id),
            )
    };
    let mut row = el("div").class("row work").put(back);
    if count < line.times {
        if line.times > 1 {
            row = row.put(tick(count + 1, "One more".into(), "step-one"));
            row = row.put(tick(line.times, format!("All {}", line.times), "step-all"));
        } else {
            row = row.put(tick(1, "Done, next".into(), "step-all"));
        }
    }
    let undo = (count > 0).then(|| {
        tick_form(list, line, count - 1)
            .put(hidden("next", 0))
            .put(button("One back: not done").attr("id", "step-less"))
    });
    let none = (count > 1).then(|| {
        tick_form(list, line, 0)
            .put(hidden("next", 0))
            .put(button("None of these is done").attr("id", "step-none"))
    });
    row.put(on).put(undo).put(none)
}

fn tick_form(list: List, line: &Line, to: u32) -> El {
    deed("tick")
        .attr("data-tick", list.word())
        .put(hidden("line", &line.key))
        .put(hidden("done", to))
}

/// The caution that belongs to the work at hand.
fn care(view: &View) -> El {
    let words = match view.screen {
        Screen::Cutting => {
            "A rotary blade cuts fingers as easily as cloth: close it whenever you put it down, cut away from yourself, and keep it from children. Your workroom's own rules come first."
        }
        _ => {
            "Keep fingers clear of the needle and switch the machine off to thread it; a hot iron is never left standing. Your workroom's own rules come first."
        }
    };
    el("p")
        .class("finding note")
        .put(el("strong").text("Care: "))
        .text(words)
}

/// What is done and left under each heading.
fn piles(view: &View, list: List, lines: &[Line]) -> El {
    let ticks = view.ticks(list);
    let mut piles: Vec<(&str, usize, usize)> = Vec::new();
    for line in lines {
        let is_done = usize::from(line.is_done(ticks));
        match piles.last_mut() {
            Some(pile) if pile.0 == line.under => {
                pile.1 += is_done;
                pile.2 += 1;
            }
            _ => piles.push((&line.under, is_done, 1)),
        }
    }
    let rows = piles.into_iter().map(|(under, ready, all)| {
        el("tr")
            .put(el("th").attr("scope", "row").text(under))
            .put(el("td").class("number").text(format!("{ready} of {all}")))
    });
    why(
        "How far each pile is",
        el("table").class("facts").put(el("tbody").put_all(rows)),
    )
}

fn every(view: &View, list: List, lines: &[Line], at: usize) -> El {
    let ticks = view.ticks(list);
    let items = lines.iter().enumerate().map(|(index, line)| {
        let mark = if line.is_done(ticks) {
            "☑"
        } else if line.done(ticks) > 0 {
            "◪"
        } else {
            "☐"
        };
        let link = el("a")
            .attr("href", view.with("at", index + 1))
            .attr("data-part", "yes")
            .text(&line.text);
        let link = if index == at {
            link.attr("aria-current", "step")
        } else {
            link
        };
        let says = match line.done(ticks) {
            n if n >= line.times => "done: ".to_owned(),
            0 => String::new(),
            n => format!("{n} of {} done: ", line.times),
        };
        el("li")
            .put(
                el("span")
                    .class("tick")
                    .attr("aria-hidden", "true")
                    .text(mark),
            )
            .put(el("span").class("unseen").text(says))
            .put(link)
    });
    el("ol").class("steps").put_all(items)
}
