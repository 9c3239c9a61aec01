//! Cloth: what there is, how light it reads, where it lies, how much to buy.

use quilt::plan::{Cloth, ClothId, Direction, Value};

use super::View;
use super::parts::{button, choice, cloth_choice, deed, field, hidden, swatch, why};
use crate::html::{El, Node, el};
use crate::look::{cloth_name, hex, print_word};

/// The kinds of print in a maker's words.
pub(super) const PRINTS: [(&str, &str); 6] = [
    ("plain", "plain"),
    ("tonal", "tonal"),
    ("dot", "dots"),
    ("stripe", "stripe"),
    ("plaid", "plaid"),
    ("leafy", "leaves"),
];

/// Which way up a cloth may lie.
pub(super) const DIRECTIONS: [(&str, &str); 3] = [
    ("free", "any way up"),
    ("two", "not sideways"),
    ("one", "one way up only"),
];

/// What the sheet shows of the four things there are.
const LOOKS: [(&str, &str); 4] = [
    ("", "Cloth"),
    ("photos", "Photographs"),
    ("values", "Light to dark"),
    ("ramps", "Ramps"),
];

pub(super) fn sheet(view: &View) -> Node {
    let look = view.asking.word("look").unwrap_or("");
    let body = match look {
        "photos" => super::photos::sheet(view),
        "values" => super::values::sheet(view),
        "ramps" => super::ramps::sheet(view),
        _ => shelf(view),
    };
    Node::all([
        Node::from(el("h2").text("Cloth")),
        Node::from(looks(view, look)),
        body,
    ])
}

pub(super) fn card(view: &View) -> Node {
    let chosen = super::photos::chosen(view);
    chosen.map_or_else(|| super::card::card(view), super::photos::card)
}

/// The four things the sheet can show.
fn looks(view: &View, look: &str) -> El {
    let links = LOOKS.map(|(word, name)| {
        let mut link = el("a")
            .attr("href", at(view, word))
            .attr("data-part", "yes")
            .attr("id", format!("look-{word}"));
        if word == look {
            link = link.attr("aria-current", "true");
        }
        el("li").put(link.text(name))
    });
    el("ul").class("questions").put_all(links)
}

/// The address of one of them, with what is chosen in the picture.
pub(super) fn at(view: &View, look: &str) -> String {
    let chosen = view.asking.word("chosen");
    let parts = [
        ("look", Some(look).filter(|l| !l.is_empty())),
        ("chosen", chosen),
    ];
    let query: Vec<String> = parts
        .iter()
        .filter_map(|(name, value)| Some(format!("{name}={}", (*value)?)))
        .collect();
    view.address(&format!("cloth?{}", query.join("&")))
}

/// The cloths of the plan: how light they read, where they lie, how much to buy.
fn shelf(view: &View) -> Node {
    let plan = &view.now.plan;
    let kept = &view.now.kept;
    let lies = |cloth: usize| {
        let items = view.now.look.items.iter();
        items.filter(|item| item.cloth == Some(cloth)).count()
    };
    let cut = |cloth: usize| {
        let all = view.results.cutting.as_ref()?;
        all.iter().find(|cut| cut.cloth.0 == cloth)
    };
    let rows = plan.cloths.iter().enumerate().map(|(index, _)| {
        let need = cut(index).map_or_else(
            || "–".to_owned(),
            |cut| match &cut.missing {
                Some(_) => "short".into(),
                None => plan.measure.shop(&cut.buy),
            },
        );
        el("tr")
            .put(el("td").put(swatch(kept.id, kept.turned, index)))
            .put(
                el("th").attr("scope", "row").put(
                    el("a")
                        .attr("href", view.with("cloth", index))
                        .attr("data-part", "yes")
                        .attr("id", format!("cloth-{index}"))
                        .text(cloth_name(plan, ClothId(index))),
                ),
            )
            .put(el("td").text(value_word(view.now.look.laid.values.value(ClothId(index)))))
            .put(el("td").class("number").text(lies(index)))
            .put(el("td").class("number").text(need))
    });
    let heads = ["", "Cloth", "Reads", "Lies on", "Buy"];
    let table = el("table")
        .class("list cloths")
        .put(el("caption").text("Cloth in the plan, and on how many patches it lies"))
        .put(el("thead").put(el("tr").put_all(heads.map(|head| {
            if head.is_empty() {
                el("td")
            } else {
                el("th").attr("scope", "col").text(head)
            }
        }))))
        .put(el("tbody").put_all(rows));
    let chosen = view
        .asking
        .number("cloth")
        .filter(|&i| i < plan.cloths.len());
    Node::all([
        chosen.map_or_else(Node::default, |index| {
            Node::from(about(view, ClothId(index)))
        }),
        Node::from(table),
        Node::from(why("Add a cloth by its colour", form(view, None))),
        Node::from(
            el("p").put(
                el("a")
                    .class("button")
                    .attr("href", at(view, "photos"))
                    .attr("data-part", "yes")
                    .text("Add cloth by photograph"),
            ),
        ),
    ])
}

/// One cloth: what is on record, and what to do with it.
fn about(view: &View, id: ClothId) -> El {
    let plan = &view.now.plan;
    let others: Vec<(String, String)> = (0..plan.cloths.len())
        .filter(|&i| i != id.0)
        .map(|i| (i.to_string(), cloth_name(plan, ClothId(i))))
        .collect();
    let replace = (!others.is_empty()).then(|| {
        deed("replace")
            .put(hidden("cloth", id.0))
            .put(choice(
                "replace-with",
                "Take for it everywhere",
                "to",
                others,
                "",
            ))
            .put(button("Take that one"))
    });
    let used = view
        .now
        .look
        .items
        .iter()
        .any(|item| item.cloth == Some(id.0));
    let away = (!used).then(|| {
        deed("no-cloth")
            .put(hidden("cloth", id.0))
            .put(button("Take this cloth away"))
    });
    el("section")
        .class("about")
        .put(
            el("h3")
                .put(swatch(view.now.kept.id, view.now.kept.turned, id.0))
                .text(cloth_name(plan, id)),
        )
        .put(buying(view, id))
        .put(why("Change what is on record", form(view, Some(id))))
        .put(replace)
        .put(away)
}

fn buying(view: &View, id: ClothId) -> Node {
    let plan = &view.now.plan;
    let all = view.results.cutting.as_ref();
    let Some(cut) = all.and_then(|all| all.iter().find(|cut| cut.cloth == id)) else {
        return Node::from(el("p").text("Nothing is cut from it yet."));
    };
    let needs = plan.ruler.length(cut.needs);
    let least = cut.at_least * plan.ruler.mark().to_f64();
    let lines = quilt::cutting::supply_lines(plan, cut);
    Node::from(
        el("div")
            .put(el("p").text(format!("Buy {}.", plan.measure.shop(&cut.buy))))
            .put(why(
                "Why so much",
                el("div")
                    .put(el("p").text(format!(
                        "The strips take {}. No plan of strips can use less than {} ({}).",
                        plan.measure.say(&needs),
                        said(view, least),
                        cut.bound
                    )))
                    .put_all(lines.into_iter().map(|line| el("p").text(line))),
            )),
    )
}

/// A float length in the maker's unit, to two places.
pub(super) fn said(view: &View, inches: f64) -> String {
    let unit = view.now.plan.measure;
    let one = unit.in_inches().to_f64();
    format!("{:.2} {}", inches / one, unit.sign())
}

fn form(view: &View, id: Option<ClothId>) -> El {
    let plan = &view.now.plan;
    let old = id.map(|id| plan.cloth(id));
    let key = id.map_or_else(|| "new".to_owned(), |id| id.0.to_string());
    let named = |what: &str| format!("{what}-{key}");
    let options = |all: &[(&str, &str)]| -> Vec<(String, String)> {
        all.iter()
            .map(|(v, w)| ((*v).to_owned(), (*w).to_owned()))
            .collect()
    };
    let prints = options(&PRINTS);
    let values = options(&[
        ("", "as its colour measures"),
        ("light", "light"),
        ("medium", "medium"),
        ("dark", "dark"),
    ]);
    let directions = options(&DIRECTIONS);
    let base = if id.is_some() { "cloth" } else { "add-cloth" };
    let colour = old.map_or_else(|| "#7a5a48".to_owned(), |old| hex(old.colour));
    let mut form = deed(base);
    if let Some(id) = id {
        form = form.put(hidden("cloth", id.0));
    }
    form.put(field(
        &named("name"),
        "What you call it",
        "name",
        old.map_or("", |c| c.name.as_str()),
    ))
    .put(colour_field(
        &named("colour"),
        "Its colour",
        "colour",
        &colour,
    ))
    .put(choice(
        &named("print"),
        "Its print",
        "print",
        prints,
        old.map_or("plain", |c| print_word(c.print)),
    ))
    .put(colour_field(
        &named("second"),
        "The colour of its figure",
        "second",
        &old.map_or_else(|| "#c9a58c".to_owned(), |old| hex(old.second)),
    ))
    .put(choice(
        &named("value"),
        "Reads",
        "value",
        values,
        old.map_or("", said_value),
    ))
    .put(choice(
        &named("direction"),
        "May lie",
        "direction",
        directions,
        old.map_or("free", direction),
    ))
    .put(field(
        &named("width"),
        "Usable width",
        "width",
        plan.measure
            .number(old.map_or(&plan.buying.width, |c| &c.width)),
    ))
    .put(button(if id.is_some() { "Keep it so" } else { "Add it" }).class("main"))
}

fn colour_field(id: &str, label: &str, name: &'static str, value: &str) -> El {
    el("label")
        .class("field")
        .attr("for", id)
        .put(el("span").text(label))
        .put(
            el("input")
                .attr("type", "color")
                .attr("id", id)
                .attr("name", name)
                .attr("value", value),
        )
}

pub(super) fn value_word(value: Value) -> &'static str {
    match value {
        Value::Dark => "dark",
        Value::Medium => "medium",
        Value::Light => "light",
    }
}

fn said_value(cloth: &Cloth) -> &'static str {
    cloth.value.map_or("", value_word)
}

fn direction(cloth: &Cloth) -> &'static str {
    way_word(cloth.direction)
}

/// A direction as the forms send it.
pub(super) fn way_word(way: Direction) -> &'static str {
    match way {
        Direction::Free => "free",
        Direction::TwoWay => "two",
        Direction::OneWay => "one",
    }
}

/// A cloth to choose for a strip or border.
pub(super) fn pick(view: &View, id: &str, label: &str, chosen: Option<ClothId>) -> El {
    cloth_choice(&view.now.plan, id, label, "cloth", None, chosen)
}
