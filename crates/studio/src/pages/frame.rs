//! The frame around every screen: name, picture, sheet, card, tape.

use quilt::findings::{Mended, Weight};
use serde_json::json;

use super::parts::{button, deed, field, finding, hidden, swatch};
use super::{Asking, Screen, View};
use crate::html::{El, Node, el};
use crate::look::cloth_name;
use crate::steps::{List, done};

/// A whole page.
pub(crate) fn screen(view: &View) -> String {
    let title = format!("{} · {}", view.screen.name(), view.now.plan.title);
    let id = view.now.kept.id;
    let body = el("body")
        .attr("data-quilt", id)
        .attr("data-screen", view.screen.word())
        .attr("data-turned", view.now.kept.turned)
        .attr("data-reading", view.screen.reading())
        .put(
            el("a")
                .class("skip")
                .attr("href", "#sheet")
                .text("To the sheet"),
        )
        .put(header(view))
        .put(
            el("main")
                .class("desk")
                .put(picture(view))
                .put(
                    el("section")
                        .attr("id", "sheet")
                        // It scrolls, so the keyboard must be able to get to it.
                        .attr("tabindex", "0")
                        .attr("aria-label", format!("Sheet: {}", view.screen.name()))
                        .put(view.sheet()),
                )
                .put(
                    el("section")
                        .attr("id", "card")
                        // It scrolls, so the keyboard must be able to get to it.
                        .attr("tabindex", "0")
                        .attr("aria-label", "Card: what is chosen")
                        .put(view.card()),
                ),
        )
        .put(
            el("footer")
                .attr("id", "tape")
                .attr("tabindex", "-1")
                .put(tape(view)),
        )
        .put(print_bar(view));
    document(&title, &["picture.js", "studio.js"], body)
}

/// The parts of a page that change, for a window that is open.
pub(crate) fn fragments(view: &View) -> String {
    let text = |node: Node| node.into_text();
    json!({
        "turned": view.now.kept.turned,
        "title": view.now.plan.title,
        "kept": kept(view),
        "sheet": text(view.sheet()),
        "card": text(view.card()),
        "tape": text(tape(view)),
        "legend": text(legend(view).into()),
    })
    .to_string()
}

/// Page about trouble, with a way on.
pub(crate) fn trouble_page(title: &str, words: &str) -> String {
    let body = el("body").class("plain").put(
        el("main")
            .class("shelf")
            .put(el("h1").text(title))
            .put(el("p").class("words").text(words))
            .put(
                el("p").put(
                    el("a")
                        .class("button")
                        .attr("href", "/")
                        .text("To the shelf"),
                ),
            ),
    );
    document(title, &["shelf.js"], body)
}

pub(super) fn document(title: &str, scripts: &[&str], body: El) -> String {
    let scripts = scripts.iter().map(|name| {
        el("script")
            .attr("type", "module")
            .attr("src", format!("/assets/{name}"))
    });
    let head = el("head")
        .put(el("meta").attr("charset", "utf-8"))
        .put(
            el("meta")
                .attr("name", "viewport")
                .attr("content", "width=device-width, initial-scale=1"),
        )
        .put(
            el("meta")
                .attr("name", "color-scheme")
                .attr("content", "light dark"),
        )
        .put(el("title").text(format!("{title} · Piecewright")))
        .put(
            el("link")
                .attr("rel", "icon")
                .attr("href", "/assets/icon.svg"),
        )
        .put(
            el("link")
                .attr("rel", "stylesheet")
                .attr("href", "/assets/studio.css"),
        )
        // Not a module: it sets light and letter size before anything is painted.
        .put(el("script").attr("src", "/assets/light.js"))
        .put_all(scripts);
    let page = el("html").attr("lang", "en").put(head).put(body);
    format!("<!doctype html>\n{}\n", Node::from(page).into_text())
}

/// What every page has at its top on the right: light and letters.
pub(super) fn comforts() -> El {
    el("div")
        .class("comforts")
        .put(
            el("button")
                .attr("type", "button")
                .attr("data-comfort", "light")
                .text("Dim the room"),
        )
        .put(
            el("button")
                .attr("type", "button")
                .attr("data-comfort", "letters")
                .text("Larger letters"),
        )
}

fn kept(view: &View) -> String {
    format!("Kept {}", view.now.kept.clock)
}

fn header(view: &View) -> El {
    el("header")
        .class("name")
        .put(el("h1").attr("id", "title").text(&view.now.plan.title))
        .put(el("span").class("kept").attr("id", "kept").text(kept(view)))
        .put(comforts())
        .put(el("a").class("button").attr("href", "/").text("Shelf"))
}

fn picture(view: &View) -> El {
    let readings = [
        ("cloth", "cloth"),
        ("numbers", "numbers"),
        ("lines", "lines"),
        ("grey", "light and dark"),
        ("squint", "squint"),
        ("cut", "cut so far"),
        ("sewn", "sewn so far"),
    ];
    let options = readings.map(|(value, words)| {
        el("option")
            .attr("value", value)
            .flag("selected", value == view.screen.reading())
            .text(words)
    });
    let button = |zoom: &str, sign: &str, says: &str| {
        el("button")
            .attr("type", "button")
            .attr("data-zoom", zoom)
            .attr("aria-label", says)
            .text(sign)
    };
    el("section")
        .attr("id", "picture")
        .attr("aria-label", "The picture")
        .attr("tabindex", "-1")
        .put(
            el("div")
                .attr("id", "frame")
                .put(el("canvas").attr("id", "quilt").attr("aria-hidden", "true"))
                .put(
                    el("canvas")
                        .attr("id", "marks")
                        .attr("aria-hidden", "true"),
                )
                .put(
                    el("div")
                        .attr("id", "cells")
                        .attr("role", "grid")
                        .attr("aria-label", "The quilt, block by block. Arrow keys go from block to block; Enter goes in to the patches, Escape out."),
                )
                .put((view.screen == Screen::Setting).then(grip))
                .put(
                    el("noscript").put(
                        el("img")
                            .attr("src", view.address("picture.svg"))
                            .attr("alt", "The quilt in its cloth"),
                    ),
                ),
        )
        .put(
            el("p")
                .attr("id", "stale")
                .class("finding mind")
                .flag("hidden", view.now.look.top().is_some())
                .text("The picture waits until the block is whole again. ")
                .put(el("a").attr("href", view.address("block")).text("Go to the block")),
        )
        .put(
            el("p")
                .attr("id", "half")
                .class("finding note")
                .flag("hidden", !view.now.look.is_half_drawn())
                .text("A block is half drawn: the picture shows the patches there are; seams that stop in the open are dashed."),
        )
        .put(
            el("div")
                .class("tools")
                .put(
                    el("label")
                        .attr("for", "reading")
                        .put(el("span").text("Showing"))
                        .put(el("select").attr("id", "reading").put_all(options)),
                )
                .put(
                    el("button")
                        .attr("type", "button")
                        .attr("id", "band")
                        .put(el("span").class("opens").text("Open the picture"))
                        .put(el("span").class("closes").text("Close the picture")),
                )
                .put(button("out", "−", "Smaller"))
                .put(button("in", "+", "Closer"))
                .put(button("whole", "⤢", "The whole quilt")),
        )
        .put(legend(view))
}

/// By which the top is drawn larger or smaller.
fn grip() -> El {
    el("button")
        .attr("type", "button")
        .attr("id", "grip")
        .attr("aria-label", "Grow or shrink the top: drag this corner, or tap it and then tap where the corner is to lie; with the keyboard, arrow keys.")
        .put(el("span").attr("aria-hidden", "true").text("⇲"))
}

/// The cloths, for a reader of the picture.
fn legend(view: &View) -> El {
    let plan = &view.now.plan;
    let kept = &view.now.kept;
    let cloths = (0..plan.cloths.len()).map(|index| {
        let id = quilt::plan::ClothId(index);
        el("li")
            .put(swatch(kept.id, kept.turned, index))
            .put(el("span").text(cloth_name(plan, id)))
    });
    el("details")
        .attr("id", "legend")
        .put(el("summary").text(format!("The {} cloths", plan.cloths.len())))
        .put(el("ul").class("legend").put_all(cloths))
}

fn tape(view: &View) -> Node {
    let kept = &view.now.kept;
    let back = (kept.stands > 1).then(|| format!("Undo: {}", kept.says));
    let again = kept.next.as_ref().map(|says| format!("Redo: {says}"));
    let step = |says: Option<String>, name: &str, to: i64, nothing: &str, id: &str| {
        el("button")
            .attr("type", "button")
            .attr("id", id)
            .class("undo")
            .attr("data-go", to)
            .flag("disabled", says.is_none())
            .attr("title", says.as_deref().unwrap_or(nothing))
            .put(
                el("span")
                    .class("sign")
                    .attr("aria-hidden", "true")
                    .text(name),
            )
            .put(
                el("span")
                    .class("words")
                    .text(says.unwrap_or_else(|| nothing.to_owned())),
            )
    };
    let deeds = el("div")
        .class("deeds")
        .put(step(back, "↶", kept.stands - 1, "Nothing to undo", "undo"))
        .put(step(again, "↷", kept.stands + 1, "Nothing to redo", "redo"))
        .put(history(view))
        .put(
            el("p")
                .attr("id", "status")
                .attr("role", "status")
                .attr("aria-live", "polite")
                .text(""),
        );
    let lengths = Screen::ALL.map(|screen| length(view, screen));
    Node::all([
        Node::from(deeds),
        Node::from(
            el("nav")
                .attr("aria-label", "The tape: the order of the work")
                .put(el("ol").class("lengths").put_all(lengths)),
        ),
    ])
}

/// The history in words, to go back to.
fn history(view: &View) -> El {
    let stands = view.now.kept.stands;
    let steps = view.past.iter().map(|step| {
        let here = step.number == stands;
        let line = el("li").flag("aria-current", here);
        let words = format!("{}. {} ({})", step.number, step.says, step.when);
        if here {
            line.put(el("strong").text(format!("{words} – here")))
        } else {
            line.put(
                el("button")
                    .attr("type", "button")
                    .attr("data-go", step.number)
                    .text(words),
            )
        }
    });
    let named = view.moments.iter().map(|moment| {
        let form = deed("moment")
            .attr("data-path", "go")
            .put(hidden("moment", moment.number));
        let words = format!("“{}” ({})", moment.name, moment.when);
        el("li").put(form.put(button(words)))
    });
    let naming = el("form")
        .class("deed")
        .attr("data-path", "moment")
        .attr("method", "post")
        .put(field(
            "moment-name",
            "Give this moment a name",
            "moment",
            "",
        ))
        .put(button("Keep it under that name"));
    let moments = (!view.moments.is_empty()).then(|| {
        el("section")
            .put(el("h3").text("Moments with a name"))
            .put(el("ul").class("history").put_all(named))
    });
    el("details")
        .attr("id", "history")
        .put(el("summary").text("Go back to…"))
        .put(
            el("div")
                .class("past")
                .put(naming)
                .put(moments)
                .put(el("h3").text("Everything you did"))
                .put(el("ol").class("history").put_all(steps)),
        )
}

/// One length of the tape: how far it is filled, and in words.
fn length(view: &View, screen: Screen) -> El {
    let (share, words) = progress(view, screen);
    let here = screen == view.screen;
    let mut link = el("a")
        .attr("href", view.address(screen.word()))
        .attr("data-screen", screen.word());
    if here {
        link = link.attr("aria-current", "page");
    }
    el("li").put(
        link.put(el("span").class("name").text(screen.name()))
            .put(
                el("progress")
                    .attr("max", 100)
                    .attr("value", share.min(100))
                    .attr("aria-hidden", "true"),
            )
            .put(el("span").class("so-far").text(words)),
    )
}

fn percent(done: usize, all: usize) -> usize {
    (done * 100).checked_div(all).unwrap_or(0)
}

fn progress(view: &View, screen: Screen) -> (usize, String) {
    let plan = &view.now.plan;
    let results = &view.results;
    let bare = view
        .now
        .look
        .items
        .iter()
        .filter(|i| i.cloth.is_none())
        .count();
    let all = view.now.look.items.len();
    match screen {
        Screen::Block => {
            let faults = results.blocks.iter().filter(|b| b.is_none()).count();
            let drawn = plan.blocks.len() - faults;
            let words = match faults {
                0 => format!("{drawn} drawn"),
                _ => format!("{drawn} drawn, {faults} not whole"),
            };
            (percent(drawn, plan.blocks.len()), words)
        }
        Screen::Cloth => {
            let words = match bare {
                0 => format!("{} cloths", plan.cloths.len()),
                _ => format!("{} cloths, {bare} patches bare", plan.cloths.len()),
            };
            (percent(all - bare, all), words)
        }
        Screen::Setting => match view.now.look.top() {
            Some(top) => (100, plan.measure.size(&top.width, &top.height)),
            None => (0, "needs a whole block".into()),
        },
        Screen::Cutting => {
            let (ready, lines) = done(&view.lines(List::Cut), &view.marks.cut);
            (percent(ready, lines), of(ready, lines))
        }
        Screen::Sewing => {
            let (ready, lines) = done(&view.lines(List::Sew), &view.marks.sewn);
            (percent(ready, lines), of(ready, lines))
        }
        Screen::Finishing => {
            let chosen = [plan.finishing.backing.cloth, plan.finishing.binding.cloth];
            let count = chosen.iter().flatten().count();
            let words = match chosen {
                [Some(_), Some(_)] => "back and edge chosen",
                [None, Some(_)] => "no backing cloth",
                [Some(_), None] => "no binding cloth",
                [None, None] => "back and edge open",
            };
            (count * 50, words.into())
        }
        Screen::Booklet => match stops(view) {
            0 if view.now.look.top().is_some() => (100, "ready to print".into()),
            0 => (0, "waits for the block".into()),
            n => (0, format!("waits: {n} to mend")),
        },
    }
}

fn of(ready: usize, lines: usize) -> String {
    match (ready, lines) {
        (_, 0) => "waits for the block".into(),
        (0, lines) => format!("{lines} steps, not begun"),
        (ready, lines) => format!("{ready} of {lines}"),
    }
}

pub(super) fn stops(view: &View) -> usize {
    let findings = view.results.findings.iter();
    findings.filter(|f| f.weight == Weight::Stop).count()
}

/// The findings, weightiest first; nothing when there are none.
pub(super) fn findings(view: &View) -> Node {
    let all = &view.results.findings;
    if all.is_empty() {
        return Node::default();
    }
    let (notes, weighty): (Vec<_>, Vec<_>) = all.iter().partition(|f| f.weight == Weight::Note);
    let shown = |f: &quilt::findings::Finding| {
        let (screen, words) = match f.mended {
            Mended::Block => (Screen::Block, "Go to the block"),
            Mended::Cloth => (Screen::Cloth, "Go to the cloths"),
            Mended::Setting => (Screen::Setting, "Go to the setting"),
            Mended::Finishing => (Screen::Finishing, "Go to the finishing"),
        };
        // Notes ask for nothing; whoever is there already needs no way.
        let way = (f.weight != Weight::Note && screen != view.screen).then(|| {
            el("p").put(
                el("a")
                    .class("button")
                    .attr("href", view.address(screen.word()))
                    .text(words),
            )
        });
        Node::all([Node::from(finding(f.weight, &f.text)), Node::from(way)])
    };
    let first = weighty.into_iter().map(shown);
    let more = (!notes.is_empty()).then(|| {
        let words = match notes.len() {
            1 => "One note".to_owned(),
            n => format!("{n} notes"),
        };
        el("details")
            .put(el("summary").text(words))
            .put_all(notes.into_iter().map(shown))
    });
    Node::from(
        el("section")
            .class("findings")
            .put(el("h3").text("Worth a look"))
            .put_all(first)
            .put(more),
    )
}

/// On paper: the name, and a bar that shows whether the printer kept the size.
fn print_bar(view: &View) -> El {
    el("div")
        .class("on-paper")
        .put(el("strong").text(&view.now.plan.title))
        .put(el("span").text(view.screen.name()))
        .put(el("span").attr("id", "print-date"))
        .put(el("span").class("bar").text("5 cm"))
        .put(el("span").class("bar inch").text("2 in"))
}

impl View {
    /// The address of this page without some of what was asked.
    pub(super) fn without(&self, names: &[&str]) -> String {
        let Asking(pairs) = &self.asking;
        let kept = pairs
            .iter()
            .filter(|(name, _)| *name != "part" && !names.contains(&name.as_str()));
        let query: Vec<String> = kept.map(|(k, v)| format!("{k}={v}")).collect();
        self.address(&format!("{}?{}", self.screen.word(), query.join("&")))
    }

    /// The asking of this page with one thing changed, as an address.
    pub(super) fn with(&self, name: &str, value: impl std::fmt::Display) -> String {
        self.with_all(&[(name, &value.to_string())], &[])
    }

    /// The same with several things changed and some not asked any more.
    pub(super) fn with_all(&self, changes: &[(&str, &str)], without: &[&str]) -> String {
        let Asking(mut pairs) = self.asking.clone();
        pairs.remove("part");
        for name in without {
            pairs.remove(*name);
        }
        for (name, value) in changes {
            pairs.insert((*name).to_owned(), (*value).to_owned());
        }
        let query: Vec<String> = pairs.iter().map(|(k, v)| format!("{k}={v}")).collect();
        self.address(&format!("{}?{}", self.screen.word(), query.join("&")))
    }
}
