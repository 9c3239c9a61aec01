//! Pieces that several pages use: forms, fields, swatches, tables of facts.

use std::fmt::Display;

use quilt::findings::Weight;
use quilt::plan::{ClothId, Plan};

use crate::html::{El, Node, el};
use crate::look::cloth_name;

/// A form that asks for a deed; its fields are what the deed needs.
pub(super) fn deed(what: &str) -> El {
    el("form")
        .class("deed")
        .attr("data-deed", what)
        .attr("method", "post")
        .put(hidden("do", what))
}

pub(super) fn hidden(name: &'static str, value: impl Display) -> El {
    el("input")
        .attr("type", "hidden")
        .attr("name", name)
        .attr("value", value)
}

/// The button that does it.
pub(super) fn button(words: impl Display) -> El {
    el("button").attr("type", "submit").text(words)
}

/// A line to write in, with its name above it.
pub(super) fn field(id: &str, label: &str, name: &'static str, value: impl Display) -> El {
    el("label")
        .class("field")
        .attr("for", id)
        .put(el("span").text(label))
        .put(
            el("input")
                .attr("id", id)
                .attr("name", name)
                .attr("value", value)
                .attr("autocomplete", "off"),
        )
}

/// One of several, with its name above it.
pub(super) fn choice(
    id: &str,
    label: &str,
    name: impl Display,
    options: impl IntoIterator<Item = (String, String)>,
    chosen: &str,
) -> El {
    let options = options.into_iter().map(|(value, words)| {
        let is = value == chosen;
        el("option")
            .attr("value", &value)
            .flag("selected", is)
            .text(words)
    });
    el("label")
        .class("field")
        .attr("for", id)
        .put(el("span").text(label))
        .put(
            el("select")
                .attr("id", id)
                .attr("name", name)
                .put_all(options),
        )
}

/// The cloths of the plan to choose from.
pub(super) fn cloth_choice(
    plan: &Plan,
    id: &str,
    label: &str,
    name: &'static str,
    none: Option<&str>,
    chosen: Option<ClothId>,
) -> El {
    let none = none.map(|words| (String::new(), words.to_owned()));
    let cloths = (0..plan.cloths.len()).map(|i| (i.to_string(), cloth_name(plan, ClothId(i))));
    let chosen = chosen.map_or_else(String::new, |id| id.0.to_string());
    choice(id, label, name, none.into_iter().chain(cloths), &chosen)
}

/// A cloth's swatch: decoration beside its number and name.
pub(super) fn swatch(id: i64, turned: i64, cloth: usize) -> El {
    el("img")
        .class("swatch")
        .attr("src", format!("/quilt/{id}/swatch/{cloth}?v={turned}"))
        .attr("alt", "")
        .attr("width", 48)
        .attr("height", 32)
}

/// Facts as a table of name and value.
pub(super) fn facts<N: Display, V: Display>(facts: impl IntoIterator<Item = (N, V)>) -> El {
    let rows = facts.into_iter().map(|(name, value)| {
        el("tr")
            .put(el("th").attr("scope", "row").text(name))
            .put(el("td").text(value))
    });
    el("table").class("facts").put(el("tbody").put_all(rows))
}

/// What is behind a number, one tap away.
pub(super) fn why(words: &str, body: impl Into<Node>) -> El {
    el("details")
        .class("why")
        .put(el("summary").text(words))
        .put(body)
}

/// A finding with its weight in words and by its edge, not by colour alone.
pub(super) fn finding(weight: Weight, text: &str) -> El {
    let (class, word) = match weight {
        Weight::Stop => ("stop", "Stop"),
        Weight::Mind => ("mind", "Mind"),
        Weight::Note => ("note", "Note"),
    };
    el("p")
        .class(format!("finding {class}"))
        .put(el("strong").text(format!("{word}: ")))
        .text(text)
}

/// Work that is waited for: the page's script has it done at `address`, shows how far it
/// is, and asks for this sheet again.
pub(super) fn waiting(address: &str, says: &str, stop: &str) -> El {
    el("div")
        .class("waiting")
        .attr("data-errand", address)
        .put(el("p").class("words").text(format!("{says} …")))
        .put(
            el("progress")
                .attr("aria-label", says)
                .attr("max", 1)
                .attr("value", 0),
        )
        .put(
            el("button")
                .attr("type", "button")
                .attr("data-stop", "yes")
                .text(stop),
        )
}

/// Minus and plus around a number that is sent with the form.
pub(super) fn stepper(label: &str, what: &str, fields: &[(&'static str, String, String)]) -> El {
    let one = |words: &str, says: &str, more: bool| {
        let hidden = fields
            .iter()
            .map(|(name, less, up)| hidden(name, if more { up } else { less }));
        deed(what).put_all(hidden).put(
            button(words)
                .attr("aria-label", format!("{label}: {says}"))
                .class("square"),
        )
    };
    el("div")
        .class("stepper")
        .put(el("span").class("name").text(label))
        .put(one("−", "one less", false))
        .put(one("+", "one more", true))
}
