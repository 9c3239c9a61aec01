//! Cutting and sewing: one step at a time, large, with ticks that are kept.

use super::parts::{button, deed, hidden, why};
use super::{Chosen, Screen, View};
use crate::files;
use crate::html::{El, Node, el};
use crate::steps::{Line, List, comes_from, done};

/// About how high a step's drawing of this width is at most, CSS pixels: beside the picture
/// the sheet is lower than above it.
pub(crate) fn step_high(wide: u32) -> u32 {
    match wide {
        0..400 => 420,
        400..500 => 340,
        _ => 280,
    }
}

fn list(view: &View) -> List {
    view.screen.list().unwrap_or(List::Cut)
}

/// The step a chosen patch of the picture comes from, and the words for it.
fn chosen(view: &View, lines: &[Line]) -> Option<(usize, String)> {
    let look = &view.now.look;
    let item = match view.asking.chosen()? {
        Chosen::Patch(patch) => patch,
        Chosen::Block(block) => look.patches_of(block).start,
    };
    let (plan, results) = (&view.now.plan, &view.results);
    comes_from(list(view), plan, results, look, lines, item)
}

/// The step the page is at: asked for, or that of the chosen patch, or the first that is
/// not done.
fn at(view: &View, lines: &[Line]) -> usize {
    let ticks = view.ticks(list(view));
    let asked = view.asking.number("at").and_then(|at| at.checked_sub(1));
    let first = || lines.iter().position(|line| !line.is_done(ticks));
    asked
        .filter(|&at| at < lines.len())
        .or_else(|| chosen(view, lines).map(|(at, _)| at))
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
        return waits(view, title);
    }
    let at = at(view, &lines);
    let line = &lines[at];
    let ticks = view.ticks(list);
    let count = line.done(ticks);
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
    let from = chosen(view, &lines).map(|(from, words)| {
        let here = if from == at {
            " That is this step."
        } else {
            ""
        };
        el("p")
            .class("quiet")
            .attr("id", "comes-from")
            .text(format!("{words}{here}"))
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
            .put(from)
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
            .put(drawn(view, list, line, at, "step"))
            .put_all(
                line.notes
                    .iter()
                    .map(|note| el("p").class("step-note").text(note)),
            )
            .put(counted)
            .put(el("p").class("quiet").text(finished)),
    )
}

/// What stands there while there are no steps: what they wait for, and the way to it.
fn waits(view: &View, title: &str) -> Node {
    let (words, to, way) = if view.now.look.top().is_none() {
        (
            "The steps are worked out from the block and the setting. One of them is not whole yet; once it is, every step stands here, one at a time, with its drawing.",
            "block",
            "Go to the block",
        )
    } else {
        (
            "The top is there, but its patches have no cloth, so there is nothing to cut. Lay cloth on them, and every step stands here, one at a time, with its drawing.",
            "cloth",
            "Go to the cloth",
        )
    };
    Node::from(
        el("div")
            .put(el("h2").text(title))
            .put(el("p").text(words))
            .put(
                el("p").put(
                    el("a")
                        .class("button")
                        .attr("href", view.address(to))
                        .text(way),
                ),
            ),
    )
}

/// A step's drawing, as wide as the window has room for; its letters are never small.
pub(super) fn drawn(view: &View, list: List, line: &Line, at: usize, what: &str) -> Option<El> {
    let (plan, results) = (&view.now.plan, &view.results);
    let drawing = match what {
        "back" => line.back(plan, results),
        _ => line.drawing(plan, results),
    }?;
    let turned = view.now.kept.turned;
    let address = |wide: u32| {
        view.address(&format!(
            "{what}/{}/{at}?wide={wide}&v={turned}",
            list.word()
        ))
    };
    let size = |wide: u32| files::fitted(&drawing, wide, step_high(wide)).1;
    let source = |media: &str, wide: u32| {
        let [width, height] = size(wide);
        el("source")
            .attr("media", media)
            .attr("srcset", address(wide))
            .attr("width", width)
            .attr("height", height)
    };
    let [width, height] = size(440);
    Some(
        el("picture")
            .class("step")
            .put(source("(max-width: 640px)", 280))
            .put(source("(min-width: 1300px)", 600))
            .put(
                el("img")
                    .class("drawn step")
                    .attr("src", address(440))
                    .attr("width", width)
                    .attr("height", height)
                    .attr("loading", if what == "back" { "lazy" } else { "eager" })
                    .attr("alt", &drawing.says),
            ),
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
            .put(super::mending::deeds(view, list, &lines, at))
            .put(piles(view, list, &lines))
            .put(care(view))
            .put(why("All the steps", every(view, list, &lines, at))),
    )
}

/// Back and on in one row that stays in sight; what is asked for more seldom below it.
/// Words that change are in the words, not in colour.
fn buttons(view: &View, list: List, lines: &[Line], at: usize) -> El {
    let line = &lines[at];
    let count = line.done(view.ticks(list));
    let complete = count >= line.times;
    let go = |to: usize, words: &str, id: &str| {
        let main = if complete && to > at { " main" } else { "" };
        el("a")
            .class(format!("button big{main}"))
            .attr("id", id)
            .attr("data-part", "yes")
            .attr("href", view.with("at", to + 1))
            .text(words)
    };
    let back = (at > 0).then(|| go(at - 1, "Back", "step-back"));
    let on = (at + 1 < lines.len()).then(|| {
        go(
            at + 1,
            if complete { "On" } else { "On, not done" },
            "step-on",
        )
    });
    let tick = |to: u32, words: String, id: &str| {
        tick_form(list, line, to).put(
            button(words)
                .class(if to == count + 1 { "main big" } else { "big" })
                .attr("id", id),
        )
    };
    let mut first = el("div").class("row work").put(back);
    let mut more = el("div").class("row more");
    if !complete {
        if line.times > 1 {
            first = first.put(tick(count + 1, "One more".into(), "step-one"));
            let all = if count == 0 {
                format!("All {}", line.times)
            } else {
                format!("All {}: the other {}", line.times, line.times - count)
            };
            more = more.put(tick(line.times, all, "step-all"));
        } else if line.makes > 1 {
            first = first.put(tick(
                1,
                format!("All {} done, next", line.makes),
                "step-all",
            ));
        } else {
            first = first.put(tick(1, "Done, next".into(), "step-all"));
        }
        more = more.put(on);
    } else {
        first = first.put(on);
    }
    let less = (count > 0).then(|| {
        tick_form(list, line, count - 1).put(button("One back: not done").attr("id", "step-less"))
    });
    let none = (count > 1).then(|| {
        tick_form(list, line, 0).put(button("None of these is done").attr("id", "step-none"))
    });
    let ticks = el("div").class("row ticks").put(first);
    ticks.put(more.put(less).put(none))
}

fn tick_form(list: List, line: &Line, to: u32) -> El {
    marking("tick", list, line).put(hidden("done", to))
}

/// A form that is kept with the ticks.
pub(super) fn marking(what: &str, list: List, line: &Line) -> El {
    deed(what)
        .attr("data-tick", list.word())
        .put(hidden("list", list.word()))
        .put(hidden("line", &line.key))
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
    el("section")
        .attr("id", "piles")
        .put(el("h3").text("Piles"))
        .put(el("table").class("facts").put(el("tbody").put_all(rows)))
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
