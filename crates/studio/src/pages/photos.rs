//! Photographs of cloth: brought to the table, marked, measured, taken as cloth.

use photo::{Lightness, Measured};
use quilt::plan::Print;

use super::View;
use super::cloth::{DIRECTIONS, PRINTS, way_word};
use super::parts::{button, choice, cloth_choice, deed, facts, field, hidden};
use crate::html::{El, Node, el};
use crate::look::{hex, print_word};
use crate::measuring::{Found, Marks, said};
use crate::quilts::Standing;
use crate::store::PhotoLine;

/// What can be marked in a photograph: as it is sent, its button, how many points, and what
/// to do.
const MARKS: [(&str, &str, u8, &str); 4] = [
    (
        "ruler",
        "Two points",
        2,
        "Tap two points whose distance you know, two marks of a ruler perhaps, and write how far apart they are.",
    ),
    (
        "corners",
        "Four corners",
        4,
        "The cloth lies aslant in the picture: tap the corners of a rectangle of cloth, from the upper left clockwise, and write how wide it is.",
    ),
    (
        "part",
        "Only this part",
        2,
        "There is more than cloth in the picture: tap two opposite corners of the part that is all cloth.",
    ),
    (
        "card",
        "A grey or white card",
        2,
        "A card in the picture makes the lightness true: tap two opposite corners well inside it.",
    ),
];

/// The photograph the page is about.
pub(super) fn chosen(view: &View) -> Option<&PhotoLine> {
    let number = view.asking.number("photo")?;
    let mut photos = view.photos.iter();
    photos.find(|line| i64::try_from(number) == Ok(line.number))
}

pub(super) fn sheet(view: &View) -> Node {
    let chosen = chosen(view).map_or_else(Node::default, |line| Node::from(board(view, line)));
    let none = view.photos.is_empty().then(|| {
        el("p").text("No photograph yet. Lay the cloth flat in even light, with its selvages left and right and a ruler beside it.")
    });
    let items = view.photos.iter().map(|line| {
        let link = el("a")
            .attr("href", view.with("photo", line.number))
            .attr("data-part", "yes")
            .attr("data-to", "marking")
            .put(
                el("img")
                    .attr("src", small(view, line.number))
                    .attr("alt", "")
                    .attr("width", 120)
                    .attr("height", 90),
            )
            .put(el("span").text(&line.name));
        el("li").put(link)
    });
    Node::all([
        chosen,
        Node::from(bring()),
        none.map(Node::from).unwrap_or_default(),
        Node::from(el("ul").class("photos").put_all(items)),
    ])
}

fn small(view: &View, number: i64) -> String {
    view.address(&format!("photo/small/{number}"))
}

/// Where photographs come in: by file, by camera, or dropped on the sheet.
fn bring() -> El {
    const KINDS: &str = "image/png,image/jpeg,image/webp";
    let label = |id: &str, words: &str, input: El| {
        el("label")
            .class("button bring")
            .attr("for", id)
            .put(el("span").text(words))
            .put(
                input
                    .attr("type", "file")
                    .attr("id", id)
                    .attr("accept", KINDS),
            )
    };
    let files = label(
        "bring-files",
        "Photograph",
        el("input").flag("multiple", true),
    );
    let camera = label(
        "bring-camera",
        "Use the camera",
        el("input").attr("capture", "environment"),
    );
    el("section")
        .attr("id", "bring")
        .attr("data-kind", "cloth")
        .put(
            el("div")
                .class("row")
                .put(files)
                .put(camera),
        )
        .put(el("p").class("quiet").text(
            "PNG, JPEG or WebP, several at once, each up to 20 MB. They can be dropped on this sheet as well.",
        ))
}

/// The picture to mark, large, with the buttons that say what a tap means.
fn board(view: &View, line: &PhotoLine) -> El {
    let marks = Marks::read(&line.marks);
    let tools = MARKS
        .iter()
        .enumerate()
        .map(|(i, (word, name, many, help))| {
            el("button")
                .attr("type", "button")
                .attr("data-mark", word)
                .attr("data-points", many)
                .attr("data-help", help)
                .attr("aria-pressed", if i == 0 { "true" } else { "false" })
                .text(name)
        });
    let unit = view.now.plan.measure.sign();
    let field = |id: &str, label: String, name: &'static str, value: &str, mark: &str| {
        field(id, &label, name, value).attr("data-of", mark)
    };
    let form = el("form")
        .attr("id", "photo-marks")
        .attr("method", "post")
        .put(hidden("photo", line.number))
        .put(hidden("ruler", said(&marks.ruler)))
        .put(hidden("corners", said(&marks.corners)))
        .put(hidden("part", said(&marks.part)))
        .put(hidden("card", said(&marks.card)))
        .put(field(
            "mark-length",
            format!("The two points are apart ({unit})"),
            "length",
            &marks.length,
            "ruler",
        ))
        .put(field(
            "mark-wide",
            format!("The cloth between the corners is wide ({unit})"),
            "wide",
            &marks.wide,
            "corners",
        ))
        .put(field(
            "mark-high",
            format!("and high ({unit}), if you know it"),
            "high",
            &marks.high,
            "corners",
        ))
        .put(
            choice(
                "mark-white",
                "The card is",
                "white",
                [
                    ("grey".to_owned(), "a grey card (18 %)".to_owned()),
                    ("white".to_owned(), "white paper".to_owned()),
                ],
                if marks.white { "white" } else { "grey" },
            )
            .attr("data-of", "card"),
        )
        .put(
            el("div")
                .class("row")
                .put(button("Measure with that").class("main"))
                .put(
                    el("button")
                        .attr("type", "button")
                        .attr("id", "mark-clear")
                        .text("Take these marks out"),
                ),
        );
    let away = el("form")
        .attr("id", "photo-away")
        .attr("method", "post")
        .put(hidden("photo", line.number))
        .put(hidden("do", "away"))
        .put(button("Put this photograph away"));
    el("section")
        .attr("id", "marking")
        .attr("data-wide", line.wide)
        .attr("data-high", line.high)
        .put(el("h3").text(&line.name))
        .put(
            el("div")
                .class("row")
                .attr("role", "group")
                .attr("aria-label", "What you mark")
                .put_all(tools),
        )
        .put(el("p").attr("id", "mark-help").text(MARKS[0].3))
        .put(
            el("div")
                .attr("id", "marked")
                .put(
                    el("img")
                        .attr("src", small(view, line.number))
                        .attr("alt", format!("The photograph “{}”", line.name)),
                )
                .put(
                    el("svg")
                        .attr("id", "mark-layer")
                        .attr("viewBox", format!("0 0 {} {}", line.wide, line.high))
                        .attr("role", "group")
                        .attr("aria-label", "Marks in the photograph"),
                ),
        )
        .put(
            el("div").class("row").put(
                el("button")
                    .attr("type", "button")
                    .attr("id", "mark-middle")
                    .text("Put a mark in the middle"),
            ),
        )
        .put(
            el("p")
                .class("quiet")
                .text("A mark can be pulled, or chosen and moved with the arrow keys."),
        )
        .put(form)
        .put(away)
}

/// The card of a photograph, before anything is read off it.
pub(super) fn card(line: &PhotoLine) -> Node {
    Node::from(
        el("div")
            .attr("id", "measured")
            .attr("data-photo", line.number)
            .attr("data-marks", &line.marks)
            .put(el("h2").text(&line.name))
            .put(
                el("p")
                    .class("words")
                    .text("Reading colour, print and size off the photograph …"),
            )
            .put(el("progress").attr("aria-label", "Reading the photograph"))
            .put(
                el("button")
                    .attr("type", "button")
                    .attr("id", "measure-stop")
                    .text("Stop"),
            )
            .put(
                el("p")
                    .class("quiet")
                    .text(format!("{} × {} pixels", line.wide, line.high)),
            ),
    )
}

/// What was read off it, and the form that takes it as cloth.
pub(crate) fn measured(now: &Standing, line: &PhotoLine, file: &str, found: &Found) -> String {
    let body = match found {
        Err(words) => Node::from(
            el("div")
                .put(el("h2").text(&line.name))
                .put(super::parts::finding(quilt::findings::Weight::Mind, words))
                .put(
                    el("p")
                        .text("The photograph is kept as it is; move the marks or take them out."),
                ),
        ),
        Ok(found) => Node::from(
            el("div")
                .put(el("h2").text(&line.name))
                .put(taking(now, line, file, found))
                .put(facts(told(now, found)))
                .put(colours(found))
                .put_all(
                    notes(found)
                        .into_iter()
                        .map(|note| super::parts::finding(quilt::findings::Weight::Note, &note)),
                ),
        ),
    };
    body.into_text()
}

/// Words of how sure something is: a half is a guess, one is sure.
fn sure(share: f64) -> &'static str {
    match share {
        s if s < 0.65 => "a guess",
        s if s < 0.85 => "likely",
        _ => "sure",
    }
}

fn told(now: &Standing, found: &Measured) -> Vec<(&'static str, String)> {
    let plan = &now.plan;
    let long = |inches: f64| plan.measure.about(inches);
    let word = |all: &[(&str, &'static str)], key: &str| {
        let named = all.iter().find(|(word, _)| *word == key);
        named.map_or("", |(_, name)| *name)
    };
    let mut told = vec![
        ("Reads", reads(&found.value)),
        (
            "Print",
            format!(
                "{} ({})",
                word(&PRINTS, print_word(found.print)),
                sure(found.print_sure)
            ),
        ),
    ];
    told.push((
        "Shows",
        found.size.map_or_else(
            || "not known yet: mark two points of known length".into(),
            |[wide, high]| format!("{} wide, {} high", long(wide), long(high)),
        ),
    ));
    if let Some(figure) = found.figure {
        let words = figure.inches.map_or_else(
            || "waits for the true size".to_owned(),
            |inches| format!("{} from one figure to the next", long(inches)),
        );
        told.push(("Scale", words));
    }
    if let Some([across, down]) = found.upright_repeat() {
        told.push((
            "Repeat",
            format!("every {} across, every {} down", long(across), long(down)),
        ));
    } else if !found.repeat.is_empty() {
        told.push(("Repeat", "there is one, but it lies aslant".into()));
    }
    told.push((
        "May lie",
        found.direction.map_or_else(
            || "too little of the print shows to tell".to_owned(),
            |way| {
                format!(
                    "{} ({})",
                    word(&DIRECTIONS, way_word(way)),
                    sure(found.direction_sure)
                )
            },
        ),
    ));
    told
}

fn reads(value: &Lightness) -> String {
    let how = if value.absolute {
        "true by the card"
    } else {
        "to compare with cloth in the same light"
    };
    format!(
        "{:.0} between black (0) and white (100), inside the print from {:.0} to {:.0}; {how}",
        value.mean, value.low, value.high
    )
}

fn notes(found: &Measured) -> Vec<String> {
    let mut notes = found.notes.clone();
    if let Some(per_inch) = found.per_inch.filter(|per| *per < SOFT) {
        notes.push(format!(
            "Only {per_inch:.0} dots to the inch: the print will look soft in the picture; sizes are still right."
        ));
    }
    notes
}

/// Fewer dots to the inch than this look soft; our choice.
const SOFT: f64 = 40.0;

/// Its main colours, each as wide as its share.
fn colours(found: &Measured) -> Node {
    let mut x = 0.0;
    let rects = found.shades.iter().map(|shade| {
        let wide = shade.share * 300.0;
        x += wide;
        el("rect")
            .attr("x", format!("{:.1}", x - wide))
            .attr("width", format!("{wide:.1}"))
            .attr("height", 40)
            .attr("fill", hex(shade.colour))
    });
    let drawn = el("svg")
        .class("colours")
        .attr("viewBox", "0 0 300 40")
        .attr("aria-hidden", "true")
        .put_all(rects);
    let said: Vec<String> = found
        .shades
        .iter()
        .map(|shade| {
            format!(
                "{:.0} % {}",
                shade.share * 100.0,
                quilt::colour::hue_word(shade.lab)
            )
        })
        .collect();
    Node::all([
        Node::from(drawn),
        Node::from(
            el("p")
                .class("quiet")
                .text(format!("Its colours: {}.", said.join(", "))),
        ),
    ])
}

/// The form that makes a cloth of it.
fn taking(now: &Standing, line: &PhotoLine, file: &str, found: &Measured) -> El {
    let plan = &now.plan;
    let shown = plan.cloths.iter().position(|cloth| {
        let photo = cloth.record.photo.as_deref();
        photo == Some(file)
    });
    let shown = shown.map(quilt::plan::ClothId);
    let name = shown.map_or_else(|| line.name.clone(), |id| plan.cloth(id).name.clone());
    let options = |all: &[(&str, &str)]| -> Vec<(String, String)> {
        all.iter()
            .map(|(v, w)| ((*v).to_owned(), (*w).to_owned()))
            .collect()
    };
    let way = found.direction.unwrap_or(match found.print {
        Print::Stripe => quilt::plan::Direction::TwoWay,
        _ => quilt::plan::Direction::Free,
    });
    deed("take-cloth")
        .put(hidden("photo", line.number))
        .put(field("take-name", "What you call it", "name", name))
        .put(choice(
            "take-direction",
            "May lie",
            "direction",
            options(&DIRECTIONS),
            way_word(way),
        ))
        .put(choice(
            "take-print",
            "Its print",
            "print",
            options(&PRINTS),
            print_word(found.print),
        ))
        .put(cloth_choice(
            plan,
            "take-as",
            "It is",
            "as",
            Some("a cloth that is not in the plan yet"),
            shown,
        ))
        .put(button("Take it as cloth").class("main"))
}
