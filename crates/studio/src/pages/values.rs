//! The value line: the cloths from light to dark, and the breaks between light, medium and
//! dark, which can be pulled.

use quilt::colour::{hue_word, seen};
use quilt::plan::{ClothId, Value};

use super::View;
use super::cloth::value_word;
use super::parts::{deed, hidden, swatch};
use crate::deeds::breaks;
use crate::html::{El, Node, el};
use crate::look::{cloth_name, hex};

/// Width of the drawing, its own units; L\* runs from 100 at the left to 0 at the right.
const WIDE: f64 = 420.0;
/// Height of one row of swatches, and the gap to the next.
const ROW: f64 = 36.0;
const STEP: f64 = 42.0;
/// Most rows; a cloth that finds no room lies in the last.
const ROWS: usize = 6;

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let values = &view.now.look.laid.values;
    if plan.cloths.is_empty() {
        return Node::from(el("p").text("No cloth yet, so there is nothing to sort."));
    }
    let names: Vec<String> = values
        .groups
        .iter()
        .rev()
        .map(|group| format!("{} {}", group.cloths.len(), group.name))
        .collect();
    Node::all([
        Node::from(el("p").text(format!(
            "From light to dark: {}. A swatch is as wide as the values inside its print, where they were measured.",
            names.join(", ")
        ))),
        Node::from(line(view)),
        Node::from(pulls(view)),
        Node::from(orders(view)),
        list(view),
    ])
}

/// Where an L\* stands on the line.
fn across(light: f64) -> f64 {
    (100.0 - light) / 100.0 * WIDE
}

/// The line itself.
fn line(view: &View) -> El {
    let plan = &view.now.plan;
    let values = &view.now.look.laid.values;
    let Some(breaks) = breaks(values) else {
        return el("div");
    };
    let mut ends = [f64::NEG_INFINITY; ROWS];
    let mut deepest = 0;
    let swatches: Vec<El> = breaks
        .order
        .iter()
        .map(|&id| {
            let light = values.of[id.0].lightness;
            let measured = plan.cloth(id).record.measured.as_ref();
            let spread = measured
                .and_then(|found| found.spread.as_ref())
                .map_or(0.0, geometry::Surd::to_f64);
            let wide = (spread / 100.0 * WIDE).max(30.0);
            let left = (across(light) - wide / 2.0).clamp(0.0, WIDE - wide);
            let row = ends.iter().position(|end| *end <= left).unwrap_or(ROWS - 1);
            ends[row] = left + wide + 2.0;
            deepest = deepest.max(row);
            let top = 6.0 + STEP * f64::from(u8::try_from(row).unwrap_or(0));
            let ink = if light > 55.0 { "#1b1b1b" } else { "#ffffff" };
            el("g")
                .put(
                    el("rect")
                        .attr("x", format!("{left:.1}"))
                        .attr("y", format!("{top:.1}"))
                        .attr("width", format!("{wide:.1}"))
                        .attr("height", ROW)
                        .attr("fill", hex(plan.cloth(id).colour)),
                )
                .put(
                    el("text")
                        .attr("x", format!("{:.1}", left + wide / 2.0))
                        .attr("y", format!("{:.1}", top + ROW / 2.0))
                        .attr("fill", ink)
                        .text(id.0 + 1),
                )
        })
        .collect();
    let high = 12.0 + STEP * f64::from(u8::try_from(deepest + 1).unwrap_or(1));
    let lights: Vec<String> = breaks
        .order
        .iter()
        .map(|id| format!("{:.2}", values.of[id.0].lightness))
        .collect();
    let bars = breaks.at.iter().enumerate().map(|(number, &at)| {
        let light = |index: Option<&ClothId>| index.map(|id| values.of[id.0].lightness);
        let before = at.checked_sub(1).and_then(|i| light(breaks.order.get(i)));
        let after = light(breaks.order.get(at));
        let middle = match (before, after) {
            (Some(a), Some(b)) => f64::midpoint(a, b),
            (Some(a), None) => (a - 4.0).max(0.0),
            (None, Some(b)) => (b + 4.0).min(100.0),
            (None, None) => 50.0,
        };
        el("g")
            .class("break")
            .attr("data-break", number)
            .attr("data-at", at)
            .attr("transform", format!("translate({:.1} 0)", across(middle)))
            .put(el("line").attr("y1", 0).attr("y2", format!("{high:.0}")))
            .put(
                el("circle")
                    .attr("cy", format!("{:.0}", high + 12.0))
                    .attr("r", 14),
            )
    });
    el("svg")
        .attr("id", "value-line")
        .attr("viewBox", format!("0 0 {WIDE} {:.0}", high + 30.0))
        .attr("role", "img")
        .attr(
            "aria-label",
            "The cloths on a line from light to dark, with the breaks between the groups; the list below says the same.",
        )
        .attr("data-lights", lights.join(" "))
        .attr("data-wide", WIDE)
        .put_all(swatches)
        .put_all(bars)
}

/// The breaks moved cloth by cloth: what pulling does, by button and key.
fn pulls(view: &View) -> El {
    let plan = &view.now.plan;
    let values = &view.now.look.laid.values;
    let Some(breaks) = breaks(values) else {
        return el("p").text(format!(
            "The plan sorts its cloths into {} groups; breaks can be pulled where there are two or three.",
            values.groups.len()
        ));
    };
    let rows = breaks.at.iter().enumerate().map(|(number, &at)| {
        let (light, dark) = breaks.between[number];
        let name = format!("Between {} and {}", value_word(light), value_word(dark));
        let one = |id: String, to: Option<usize>, group: Value, crossing: Option<&ClothId>| {
            let words = match (to, crossing) {
                (Some(_), Some(id)) => {
                    format!("{} to {}", cloth_name(plan, *id), value_word(group))
                }
                _ => format!("None left for {}", value_word(group)),
            };
            deed("break")
                .put(hidden("break", number))
                .put(hidden("to", to.unwrap_or(at)))
                .put(
                    el("button")
                        .attr("type", "submit")
                        .attr("id", id)
                        .flag("disabled", to.is_none())
                        .text(words),
                )
        };
        let lower = number.checked_sub(1).map_or(0, |i| breaks.at[i]);
        let upper = breaks.at.get(number + 1).copied();
        let upper = upper.unwrap_or(breaks.order.len());
        let fewer = (at > lower).then(|| at - 1);
        let more = (at < upper).then_some(at + 1);
        el("section").class("pull").put(el("h3").text(name)).put(
            el("div")
                .class("row")
                .put(one(
                    format!("break-{number}-lighter"),
                    fewer,
                    dark,
                    at.checked_sub(1).and_then(|i| breaks.order.get(i)),
                ))
                .put(one(
                    format!("break-{number}-darker"),
                    more,
                    light,
                    breaks.order.get(at),
                )),
        )
    });
    el("div").put_all(rows)
}

/// In which order the list stands.
fn orders(view: &View) -> El {
    let now = view.asking.word("sort").unwrap_or("value");
    let links = [
        ("value", "By value"),
        ("hue", "By hue"),
        ("family", "By family"),
    ]
    .map(|(word, name)| {
        let mut link = el("a")
            .attr("href", view.with("sort", word))
            .attr("data-part", "yes")
            .attr("id", format!("sort-{word}"));
        if word == now {
            link = link.attr("aria-current", "true");
        }
        el("li").put(link.text(name))
    });
    el("ul").class("questions").put_all(links)
}

/// The cloths in that order, each with what it reads as.
fn list(view: &View) -> Node {
    let plan = &view.now.plan;
    let values = &view.now.look.laid.values;
    let ids = || (0..plan.cloths.len()).map(ClothId);
    let light = |id: ClothId| values.of[id.0].lightness;
    let lab = |id: ClothId| seen(plan.cloth(id));
    let by_value = |all: &mut Vec<ClothId>| {
        all.sort_by(|a, b| light(*b).total_cmp(&light(*a)).then(a.cmp(b)));
    };
    let group = |title: Option<String>, cloths: Vec<ClothId>| {
        let items = cloths.into_iter().map(|id| {
            let either = values.borderline(id).map(|either| {
                format!(
                    ", sits on the break to {}",
                    values.groups[either.group].name
                )
            });
            let word = values.of[id.0].moved.then_some(", your word");
            el("li")
                .put(swatch(view.now.kept.id, view.now.kept.turned, id.0))
                .put(el("span").text(format!(
                    "{} · {}, {:.0}{}{}",
                    cloth_name(plan, id),
                    values.name(id),
                    light(id),
                    word.unwrap_or_default(),
                    either.unwrap_or_default()
                )))
        });
        let items: Vec<El> = items.collect();
        Node::all([
            title.map(|words| el("h3").text(words)).into(),
            Node::from(el("ol").class("sorted").put_all(items)),
        ])
    };
    match view.asking.word("sort") {
        Some("hue") => {
            let mut all: Vec<ClothId> = ids().collect();
            // Greys have no hue worth the name; they come last.
            let hue = |id: ClothId| {
                let [_, a, b] = lab(id);
                let turn = b.atan2(a).rem_euclid(std::f64::consts::TAU);
                if a.hypot(b) < 6.0 { 10.0 } else { turn }
            };
            all.sort_by(|a, b| hue(*a).total_cmp(&hue(*b)).then(a.cmp(b)));
            group(None, all)
        }
        Some("family") => {
            let mut families: Vec<(&str, Vec<ClothId>)> = Vec::new();
            for id in ids() {
                let word = hue_word(lab(id));
                match families.iter_mut().find(|(known, _)| *known == word) {
                    Some((_, all)) => all.push(id),
                    None => families.push((word, vec![id])),
                }
            }
            Node::all(families.into_iter().map(|(word, mut all)| {
                by_value(&mut all);
                group(Some(super::card::upper(word)), all)
            }))
        }
        _ => {
            let mut all: Vec<ClothId> = ids().collect();
            by_value(&mut all);
            group(None, all)
        }
    }
}
