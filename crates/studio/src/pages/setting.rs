//! Setting: how the blocks lie together, what the eye makes of it, and the wall of others.

use geometry::Surd;
use picture::Palette;
use quilt::arranging::choice::{Setting, in_plan};
use quilt::arranging::likeness::Classes;
use quilt::arranging::others::shows;
use quilt::measure::Measure;
use quilt::plan::{BorderKind, BorderPlan, Corner, CutAlong, Kind, Plan, Repeat};
use quilt::results::Results;
use quilt::setting;

use super::View;
use super::card::upper;
use super::cloth::pick;
use super::parts::{
    button, choice, cloth_choice, deed, facts, field, hidden, stepper, waiting, why,
};
use crate::deeds::{repeat_of, written};
use crate::html::{El, Node, el};
use crate::waits::Wall;

/// How many settings hang on the wall.
const HUNG: usize = 12;

pub(super) fn sheet(view: &View) -> Node {
    Node::all([
        Node::from(el("h2").text("Setting")),
        Node::from(size(view)),
        Node::from(seen(view)),
        Node::from(super::bed::bed(view)),
        wall(view),
        Node::from(kind(view)),
        Node::from(sashing(view)),
        Node::from(borders(view)),
    ])
}

fn size(view: &View) -> El {
    let plan = &view.now.plan;
    let (rows, columns) = (plan.setting.rows, plan.setting.columns);
    let down = [
        (
            "rows",
            rows.saturating_sub(1).to_string(),
            (rows + 1).to_string(),
        ),
        ("columns", columns.to_string(), columns.to_string()),
    ];
    let across = [
        ("rows", rows.to_string(), rows.to_string()),
        (
            "columns",
            columns.saturating_sub(1).to_string(),
            (columns + 1).to_string(),
        ),
    ];
    let finished = view.now.look.top().map_or_else(
        || "not known until the block is whole".into(),
        |top| format!("{} finished", plan.measure.size(&top.width, &top.height)),
    );
    let patches = view.now.look.top().map_or(0, |top| top.patches);
    el("section")
        .put(facts([
            ("The top", finished),
            ("Patches", patches.to_string()),
        ]))
        .put(
            el("div")
                .class("row")
                .put(stepper(&format!("Blocks down: {rows}"), "count", &down))
                .put(stepper(
                    &format!("Blocks across: {columns}"),
                    "count",
                    &across,
                )),
        )
}

/// What the eye makes of the setting as it is.
fn seen(view: &View) -> El {
    let Some(arranging) = view.results.arranging.as_deref() else {
        return el("section");
    };
    let says = [&arranging.says, &arranging.reason];
    let says = says.into_iter().filter(|says| !says.is_empty());
    el("section")
        .attr("id", "figures")
        .put(el("h3").text("What the eye makes of it"))
        .put(el("p").text(format!(
            "{}.",
            upper(arranging.symmetry.says()).trim_end_matches('.')
        )))
        .put_all(says.map(|says| el("p").text(says)))
}

fn wall(view: &View) -> Node {
    let plan = &view.now.plan;
    if view.asking.word("wall") != Some("open") {
        return Node::from(
            el("section")
                .put(el("h3").text("The wall of settings"))
                .put(
                    el("a")
                        .class("button")
                        .attr("id", "open-wall")
                        .attr("data-to", "wall")
                        .attr("data-part", "yes")
                        .attr("href", view.with("wall", "open"))
                        .text("Hang every setting by turns on the wall"),
                ),
        );
    }
    let Some(hanging) = view.wall.as_deref() else {
        if Wall::compared(plan, &view.results).is_none() {
            return Node::from(
                el("p").text(
                    "Settings can be compared for whole blocks of one size; here they cannot.",
                ),
            );
        }
        let query = format!(
            "{}&wait=yes",
            view.with("wall", "open")
                .split_once('?')
                .map_or("", |(_, q)| q)
        );
        let waits = waiting(
            &format!("{}?{query}", view.address("wall")),
            "Trying the settings",
            "Stop and keep the best so far",
        );
        return Node::from(
            el("section")
                .attr("id", "wall")
                .put(el("h3").text("The wall of settings"))
                .put(waits)
                .put(
                    el("noscript").put(
                        el("a")
                            .attr("href", view.with("wait", "yes"))
                            .text("Try them"),
                    ),
                ),
        );
    };
    let all: usize = hanging.found.iter().map(|s| 1 + s.alike).sum();
    let own = &plan.setting.cells;
    let items = hanging
        .found
        .iter()
        .enumerate()
        .take(HUNG)
        .filter_map(|(index, one)| {
            let repeat = in_plan(plan, &hanging.motif, one)?.setting.cells;
            let is_own = plan.setting.kind == Kind::Straight && repeat == *own;
            Some(hung(view, hanging, (index, one), &repeat, is_own))
        });
    let shown = hanging.found.len().min(HUNG);
    let stopped = hanging.stopped.map(|(done, of)| {
        el("p").class("finding note").text(format!(
            "Stopped after {done} of {of} repeats: these are the best of those."
        ))
    });
    Node::from(
        el("section")
            .attr("id", "wall")
            .put(el("h3").text("The wall of settings"))
            .put(held(view, hanging))
            .put(questions(view, &hanging.classes))
            .put(el("p").text(format!(
                "{all} distinct settings by turning alone, {} that differ in what they show; the first {shown}. Sashing and borders are left off to look at, and stay as they are.",
                hanging.found.len(),
            )))
            .put(stopped)
            .put(el("ol").class("wall").put_all(items)),
    )
}

fn hung(
    view: &View,
    hanging: &Wall,
    (index, one): (usize, &Setting),
    repeat: &Repeat,
    is_own: bool,
) -> El {
    let says = shows(one, &hanging.classes);
    let words = if is_own {
        "This is how it is"
    } else {
        "Take this one"
    };
    let cells = written(repeat);
    let picture = el("img")
        .attr("loading", "lazy")
        .attr("width", 220)
        .attr("height", 220)
        .attr(
            "src",
            format!(
                "{}?cells={cells}&v={}",
                view.address("hung.svg"),
                view.now.kept.turned
            ),
        )
        .attr("alt", format!("Setting {}: {}", index + 1, says.join("; ")));
    let name = one
        .name
        .map_or_else(String::new, |name| format!(" (the trade says {name})"));
    let title = format!("{}. {}{name}", index + 1, upper(one.symmetry.says()));
    let mut line = el("li")
        .put(picture)
        .put(el("strong").text(title))
        .put_all(says.into_iter().map(|line| el("p").text(line)));
    if one.alike > 0 {
        let show = if one.alike == 1 { "shows" } else { "show" };
        let more = format!("{} more {show} the same counts.", one.alike);
        line = line.put(el("p").class("quiet").text(more));
    }
    let asking = &view.asking;
    let beside = if asking.word("hold").is_none() {
        "hold"
    } else {
        "beside"
    };
    let is_held = ["hold", "beside"]
        .iter()
        .any(|name| asking.word(name) == Some(cells.as_str()));
    let hold = (!is_held).then(|| {
        el("a")
            .class("button")
            .attr("data-part", "yes")
            .attr("data-to", "held")
            .attr("href", view.with(beside, &cells))
            .attr("aria-label", format!("Hold it up: setting {}", index + 1))
            .text("Hold it up")
    });
    line.put(
        deed("arrange").put(hidden("cells", cells)).put(
            button(words)
                .attr("aria-label", format!("{words}: setting {}", index + 1))
                .flag("disabled", is_own),
        ),
    )
    .put(hold)
}

/// Two settings of the wall side by side, with what each shows.
fn held(view: &View, hanging: &Wall) -> Node {
    let plan = &view.now.plan;
    let names = ["hold", "beside"];
    let held: Vec<(&str, &str)> = names
        .iter()
        .filter_map(|&name| Some((name, view.asking.word(name)?)))
        .filter(|(_, cells)| repeat_of(plan, cells).is_some())
        .collect();
    if held.is_empty() {
        return Node::default();
    }
    let of = |cells: &str| {
        hanging.found.iter().find(|one| {
            in_plan(plan, &hanging.motif, one)
                .is_some_and(|plan| written(&plan.setting.cells) == cells)
        })
    };
    let one = |(name, cells): &(&str, &str)| {
        let says = of(cells).map_or_else(Vec::new, |one| shows(one, &hanging.classes));
        let address = view.address("hung.svg");
        el("figure")
            .put(
                el("img")
                    .attr("width", 320)
                    .attr("height", 320)
                    .attr(
                        "src",
                        format!("{address}?cells={cells}&v={}", view.now.kept.turned),
                    )
                    .attr("alt", format!("A setting held up: {}", says.join("; "))),
            )
            .put(el("ul").put_all(says.into_iter().map(|says| el("li").text(says))))
            .put(
                el("div")
                    .class("row")
                    .put(
                        deed("arrange")
                            .put(hidden("cells", cells))
                            .put(button("Take this one")),
                    )
                    .put(
                        el("a")
                            .class("button")
                            .attr("data-part", "yes")
                            .attr("href", view.without(&[name]))
                            .text("Hang it back"),
                    ),
            )
    };
    let more = (held.len() == 1).then(|| {
        el("p")
            .class("quiet")
            .text("Hold up another from the wall, and the two hang side by side.")
    });
    Node::from(
        el("section")
            .attr("id", "held")
            .attr("aria-label", "Held up side by side")
            .put(
                el("div")
                    .class("side-by-side")
                    .put_all(held.iter().map(one)),
            )
            .put(more),
    )
}

/// The maker's question, as links.
fn questions(view: &View, classes: &Classes) -> El {
    let asked = view.asking.word("ask").unwrap_or("alike");
    let of = view.asking.number("of").unwrap_or(0);
    let link = |words: String, address: String, here: bool| {
        let link = el("a").attr("href", address).attr("data-part", "yes");
        let link = if here {
            link.attr("aria-current", "true")
        } else {
            link
        };
        el("li").put(link.text(words))
    };
    let plain = [
        ("alike", "alike from most sides"),
        ("centre", "centred on the top"),
        ("calm", "calmest"),
    ];
    let plain = plain.map(|(word, says)| link(says.into(), view.with("ask", word), asked == word));
    let whole = classes.names.iter().enumerate().map(|(class, name)| {
        let address = format!(
            "{}&of={class}",
            view.with("ask", "whole").replace("&of=", "&was=")
        );
        link(
            format!("{name} whole"),
            address,
            asked == "whole" && of == class,
        )
    });
    let side = view.asking.word("repeat").unwrap_or("2");
    let sides = ["2", "3"].map(|n| {
        link(
            format!("repeats of {n} × {n}"),
            view.with("repeat", n),
            side == n,
        )
    });
    el("div")
        .put(el("p").class("quiet").text("Best first by:"))
        .put(
            el("ul")
                .class("questions")
                .put_all(plain)
                .put_all(whole)
                .put_all(sides),
        )
}

/// One setting of the wall, drawn: `cells` as the page wrote them.
pub(crate) fn wall_svg(plan: &Plan, results: &Results, cells: &str) -> Option<String> {
    let mut other = plan.clone();
    other.setting.cells = repeat_of(plan, cells)?;
    other.setting.kind = Kind::Straight;
    other.setting.sashing = None;
    other.borders.clear();
    let counts: Vec<usize> = results
        .blocks
        .iter()
        .map(|b| b.as_ref().map_or(0, |b| b.patches.len()))
        .collect();
    let top = setting::work_out(&other, &counts).ok()?;
    let mut drawing = picture::quilt(&other, &results.blocks, &top);
    drawing.says = "A setting of the blocks.".into();
    let palette = Palette::of(plan, "sans-serif");
    Some(picture::svg(&drawing, &palette, 3.2))
}

fn kind(view: &View) -> El {
    let plan = &view.now.plan;
    let (is, edge) = match plan.setting.kind {
        Kind::Straight => ("straight", None),
        Kind::OnPoint { edge, .. } => ("point", Some(edge)),
        Kind::Strips { cloth, .. } => ("strips", Some(cloth)),
        Kind::HalfDrop { ends } => ("half-drop", ends.cloth()),
        Kind::Brick { ends } => ("brick", ends.cloth()),
    };
    let kinds = [
        ("straight", "straight"),
        ("point", "on point"),
        ("half-drop", "every second column dropped by half"),
        ("brick", "every second row over by half"),
        ("strips", "in columns parted by strips"),
    ];
    let words = kinds.iter().find(|(kind, _)| *kind == is);
    let words = words.map_or("", |(_, words)| words);
    let kinds = kinds.map(|(v, w)| (v.to_owned(), w.to_owned()));
    why(
        &format!("Set {words}",),
        deed("kind")
            .put(choice("kind", "The blocks stand", "kind", kinds, is))
            .put(cloth_choice(
                plan,
                "edge",
                "Cloth of triangles or strips",
                "edge",
                None,
                edge,
            ))
            .put(button("Set them so")),
    )
}

fn sashing(view: &View) -> El {
    let plan = &view.now.plan;
    let now = plan.setting.sashing.as_ref();
    let width = now.map_or_else(|| usual(plan, 1), |s| plan.measure.number(&s.width));
    let outside = choice(
        "outside",
        "Round the outside too",
        "outside",
        [("no", "no"), ("yes", "yes")].map(|(v, w)| (v.to_owned(), w.to_owned())),
        if now.is_some_and(|s| s.outside) {
            "yes"
        } else {
            "no"
        },
    );
    let out = now.map(|_| deed("no-sashing").put(button("Take the sashing out")));
    let words = now.map_or_else(
        || "Sashing: none".to_owned(),
        |s| format!("Sashing: {} finished", plan.measure.say(&s.width)),
    );
    let form = deed("sashing")
        .put(field("sash-width", "Finished width", "width", width))
        .put(pick(view, "sash-cloth", "Its cloth", now.map(|s| s.cloth)))
        .put(cloth_choice(
            plan,
            "sash-posts",
            "Squares where strips meet",
            "posts",
            Some("none: long strips"),
            now.and_then(|s| s.posts),
        ))
        .put(outside)
        .put(button(if now.is_some() {
            "Change the sashing"
        } else {
            "Put sashing in"
        }));
    let steps = now.map(|s| {
        let posts = s
            .posts
            .map_or_else(String::new, |cloth| cloth.0.to_string());
        let outside = if s.outside { "yes" } else { "no" };
        let same = [
            ("cloth", s.cloth.0.to_string()),
            ("posts", posts),
            ("outside", outside.to_owned()),
        ];
        wider(plan, &words, "sashing", &s.width, &same)
    });
    el("div")
        .put(steps)
        .put(why(&words, el("div").put(form).put(out)))
}

/// A measure in steps of a quarter inch or half a centimetre.
fn wider(
    plan: &Plan,
    label: &str,
    what: &str,
    width: &Surd,
    same: &[(&'static str, String)],
) -> El {
    let step = match plan.measure {
        Measure::Inch => Surd::ratio(1, 4),
        Measure::Centimetre => plan.measure.inches(&Surd::ratio(1, 2)),
    };
    let one = |sign: &str, says: &str, width: Surd| {
        let fields = same.iter().map(|(name, value)| hidden(name, value));
        let less = !width.is_positive();
        deed(what)
            .put_all(fields)
            .put(hidden("width", plan.measure.number(&width)))
            .put(
                button(sign)
                    .attr("aria-label", format!("{label}: {says}"))
                    .flag("disabled", less)
                    .class("square"),
            )
    };
    el("div")
        .class("stepper")
        .put(el("span").class("name").text(label))
        .put(one("−", "narrower", width - &step))
        .put(one("+", "wider", width + &step))
}

/// A round width to begin with, in the maker's unit.
fn usual(plan: &Plan, inches: i64) -> String {
    match plan.measure {
        quilt::measure::Measure::Inch => inches.to_string(),
        quilt::measure::Measure::Centimetre => format!("{}", inches * 5 / 2),
    }
}

fn borders(view: &View) -> El {
    let plan = &view.now.plan;
    let each = plan.borders.iter().enumerate().map(|(index, border)| {
        let words = format!(
            "Border {}: {} finished",
            index + 1,
            plan.measure.say(&border.width)
        );
        let steps = (border.kind == BorderKind::Plain).then(|| {
            let (corner, squares) = match border.corner {
                Corner::Butted => ("butted", String::new()),
                Corner::Mitred => ("mitred", String::new()),
                Corner::Squares(cloth) => ("squares", cloth.0.to_string()),
            };
            let cut = match border.cut {
                CutAlong::Across => "across",
                CutAlong::Length => "length",
            };
            let same = [
                ("border", index.to_string()),
                ("cloth", border.cloth.0.to_string()),
                ("corner", corner.to_owned()),
                ("squares", squares),
                ("cut", cut.to_owned()),
            ];
            wider(plan, &words, "border", &border.width, &same)
        });
        el("div").put(steps).put(why(
            &words,
            el("div").put(border_form(view, Some((index, border)))).put(
                deed("no-border")
                    .put(hidden("border", index))
                    .put(button("Take it away")),
            ),
        ))
    });
    let words = if plan.borders.is_empty() {
        "Borders: none. Add one"
    } else {
        "Add a border outside"
    };
    el("section")
        .put_all(each)
        .put(why(words, border_form(view, None)))
}

fn border_form(view: &View, old: Option<(usize, &BorderPlan)>) -> El {
    let plan = &view.now.plan;
    let key = old.map_or_else(|| "new".to_owned(), |(i, _)| i.to_string());
    let id = |what: &str| format!("border-{what}-{key}");
    let (corner, squares) = match old.map(|(_, b)| b.corner) {
        Some(Corner::Mitred) => ("mitred", None),
        Some(Corner::Squares(cloth)) => ("squares", Some(cloth)),
        _ => ("butted", None),
    };
    let corners = [
        ("butted", "butted: sides first"),
        ("mitred", "mitred"),
        ("squares", "with corner squares"),
    ];
    let cuts = [
        ("across", "across the cloth"),
        ("length", "along the selvage"),
    ];
    let cut = match old.map(|(_, b)| b.cut) {
        Some(CutAlong::Length) => "length",
        _ => "across",
    };
    let owned = |all: &[(&str, &str)]| -> Vec<(String, String)> {
        all.iter()
            .map(|(v, w)| ((*v).to_owned(), (*w).to_owned()))
            .collect()
    };
    let mut form = deed(if old.is_some() {
        "border"
    } else {
        "add-border"
    });
    if let Some((index, _)) = old {
        form = form.put(hidden("border", index));
    }
    let width = old.map_or_else(|| usual(plan, 4), |(_, b)| plan.measure.number(&b.width));
    form.put(field(&id("width"), "Finished width", "width", width))
        .put(pick(
            view,
            &id("cloth"),
            "Its cloth",
            old.map(|(_, b)| b.cloth),
        ))
        .put(choice(
            &id("corner"),
            "Its corners",
            "corner",
            owned(&corners),
            corner,
        ))
        .put(cloth_choice(
            plan,
            &id("squares"),
            "Cloth of corner squares",
            "squares",
            None,
            squares,
        ))
        .put(choice(&id("cut"), "Cut", "cut", owned(&cuts), cut))
        .put(button(if old.is_some() { "Change it" } else { "Add it" }))
}
