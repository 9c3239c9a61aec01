//! Booklet: the printed pattern, and everything else that leaves the studio as a file.

use ::booklet::Part;
use quilt::measure::Measure;
use quilt::plan::Paper;

use super::View;
use super::parts::{button, choice, deed, field, waiting};
use crate::html::{El, Node, el};
use crate::waits;

fn file(view: &View, name: &str, words: &str, says: &str) -> El {
    el("li")
        .put(
            el("a")
                .class("button")
                .attr("href", view.address(name))
                .attr(
                    "download",
                    crate::files::named(&view.now.plan, &name.replace('/', "-")),
                )
                .text(words),
        )
        .put(el("p").class("quiet").text(says))
}

/// Whether there is enough to print.
fn is_ready(view: &View) -> bool {
    view.now.look.top().is_some() && super::frame::stops(view) == 0
}

/// The query that names the parts chosen, to hang on an address.
fn parts_query(view: &View) -> String {
    let parts = view.asking.word("parts");
    parts.map_or_else(String::new, |parts| format!("parts={parts}&"))
}

/// The pages as they will print, and which parts are to be printed.
fn pages(view: &View) -> El {
    let wanted = waits::parts(&view.asking);
    let boxes = Part::ALL.map(|part| {
        let id = format!("part-{}", part.word());
        el("label")
            .class("tickable")
            .attr("for", &id)
            .put(
                el("input")
                    .attr("type", "checkbox")
                    .attr("id", &id)
                    .attr("name", "parts")
                    .attr("value", part.word())
                    .flag("checked", wanted.has(part)),
            )
            .text(part.name())
    });
    let parts = el("details")
        .attr("id", "parts")
        .class("why")
        .put(el("summary").text("Which parts to print"))
        .put(
            el("fieldset")
                .class("tickables")
                .put(el("legend").text("The cover is always there."))
                .put_all(boxes),
        );
    let address = format!("booklet.pdf?{}", parts_query(view));
    let whole = el("a")
        .class("button main")
        .attr("id", "booklet-pdf")
        .attr("href", view.address(address.trim_end_matches(['&', '?'])))
        .flag("download", true)
        .text("Keep the booklet (PDF)");
    let section =
        el("section")
            .attr("id", "pages")
            .put(
                el("div")
                    .class("row")
                    .put(whole)
                    .put(el("span").class("quiet").text(
                    "Print it at 100 %; its check square tells whether the printer kept the size.",
                )),
            );

    let Some(set) = view.booklet.as_deref() else {
        let address = view.address(&format!(
            "leaves?{}v={}",
            parts_query(view),
            view.now.kept.turned
        ));
        return section
            .put(waiting(&address, "Setting the pages", "Stop"))
            .put(parts);
    };
    let leaves = set.leaves();
    let chosen = view.asking.number("leaf");
    let all = leaves.iter().enumerate().map(|(index, leaf)| {
        let number = index + 1;
        let link = el("a")
            .attr("id", format!("leaf-{index}"))
            .attr("href", view.with("leaf", index))
            .attr("data-part", "yes")
            .attr("data-to", "card")
            .put(
                el("img")
                    .attr("src", leaf_address(view, index, 40))
                    .attr("loading", "lazy")
                    .attr("alt", ""),
            )
            .put(el("span").text(format!("{number} · {}", leaf.title)));
        let link = if chosen == Some(index) {
            link.attr("aria-current", "true")
        } else {
            link
        };
        el("li").put(link)
    });
    let paper = match view.now.plan.paper {
        Paper::Letter => "Letter",
        Paper::A4 => "A4",
    };
    section
        .put(el("p").text(format!(
            "{} pages on {paper} paper, as they will print. Choose one to read it.",
            leaves.len()
        )))
        .put(el("ol").class("leaves").put_all(all))
        .put(parts)
}

fn leaf_address(view: &View, index: usize, pixels: usize) -> String {
    view.address(&format!(
        "leaf/{index}?{}px={pixels}&v={}",
        parts_query(view),
        view.now.kept.turned
    ))
}

/// The page that is chosen, large enough to read.
fn page(view: &View) -> Option<El> {
    let leaves = view.booklet.as_deref()?.leaves();
    let index = view.asking.number("leaf")?;
    let leaf = leaves.get(index)?;
    let step = |to: Option<usize>, words: &str, id: &str| {
        to.filter(|&to| to < leaves.len()).map(|to| {
            el("a")
                .class("button")
                .attr("id", id)
                .attr("data-part", "yes")
                .attr("href", view.with("leaf", to))
                .text(words)
        })
    };
    Some(
        el("section")
            .attr("id", "leaf")
            .put(el("h2").text(format!("Page {} of {} · {}", index + 1, leaves.len(), leaf.title)))
            .put(
                el("div")
                    .class("row")
                    .put(step(index.checked_sub(1), "Page before", "leaf-before"))
                    .put(step(Some(index + 1), "Page after", "leaf-after"))
                    .put(
                        el("a")
                            .class("button")
                            .attr("href", leaf_address(view, index, 200))
                            .attr("target", "_blank")
                            .text("As large as it goes"),
                    ),
            )
            .put(
                el("img")
                    .class("leaf")
                    .attr("src", leaf_address(view, index, 110))
                    .attr("alt", format!("Page {} as it will print: {}. The same words are read aloud by the PDF, which is tagged.", index + 1, leaf.title)),
            ),
    )
}

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let ready = is_ready(view);
    let mut files = el("ul").class("files");
    if ready {
        files = files
                        .put(file(view, "steps.html", "Steps for a tablet (one page)", "The steps of cutting and sewing with their drawings and ticks in one file. It needs neither this program nor a network; the ticks stay on the tablet."));
    }
    if view.now.look.top().is_some() {
        files = files
            .put(file(
                view,
                "picture.svg",
                "The picture (SVG)",
                "The quilt in its cloth.",
            ))
            .put(
                el("li")
                    .put(
                        el("button")
                            .attr("type", "button")
                            .attr("id", "as-png")
                            .attr("data-name", crate::files::named(plan, "png"))
                            .text("The picture (PNG)"),
                    )
                    .put(
                        el("p")
                            .class("quiet")
                            .text("As it is drawn on this screen, in the reading you chose."),
                    ),
            )
            .put(file(
                view,
                "lines.svg",
                "A page to colour (SVG)",
                "The quilt in outline.",
            ));
    }
    let templates = plan.blocks.iter().enumerate().flat_map(|(index, block)| {
        let there = view.results.blocks.get(index).is_some_and(Option::is_some);
        let each = ["svg", "dxf"].map(|ending| {
            there.then(|| {
                file(
                    view,
                    &format!("templates/{index}.{ending}"),
                    &format!("Templates of “{}” ({})", block.name, ending.to_uppercase()),
                    if ending == "dxf" {
                        "For a machine that cuts templates: cut line, seam line and grain on layers of their own, true size in millimetres."
                    } else {
                        "True size, with seam allowance, grain and trimmed corners."
                    },
                )
            })
        });
        each.into_iter().flatten()
    });
    let files = files.put_all(templates).put(file(
        view,
        "quilt.zip",
        "The quilt with its photographs (one file)",
        "The plan and every photograph of its cloth, to keep elsewhere or to pass on: open it from the shelf.",
    )).put(file(
        view,
        "plan.toml",
        "The plan itself",
        "One text file that any Piecewright opens: from the shelf, or with the other commands.",
    ));
    let waits = (!ready).then(|| {
        el("p")
            .class("finding stop")
            .put(el("strong").text("Stop: "))
            .text("The booklet waits until what stands on the card is mended.")
    });
    Node::from(
        el("div")
            .put(el("h2").text("Booklet"))
            .put(waits)
            .put(ready.then(|| pages(view)))
            .put(el("h3").text("Other files"))
            .put(files),
    )
}

pub(super) fn card(view: &View) -> Node {
    let plan = &view.now.plan;
    let paper = match plan.paper {
        Paper::Letter => "letter",
        Paper::A4 => "a4",
    };
    let measure = match plan.measure {
        Measure::Inch => "inch",
        Measure::Centimetre => "cm",
    };
    let owned = |all: [(&str, &str); 2]| all.map(|(v, w)| (v.to_owned(), w.to_owned()));
    Node::from(
        el("div")
            .put(is_ready(view).then(|| page(view)).flatten())
            .put(el("h2").text("On the cover"))
            .put(
                deed("name")
                    .put(field(
                        "title-field",
                        "What the quilt is called",
                        "title",
                        &plan.title,
                    ))
                    .put(field(
                        "note-field",
                        "A sentence about it",
                        "note",
                        &plan.note,
                    ))
                    .put(button("Put it on the cover").class("main")),
            )
            .put(el("h2").text("Paper and measure"))
            .put(
                deed("paper")
                    .put(choice(
                        "paper",
                        "Paper",
                        "paper",
                        owned([("letter", "Letter"), ("a4", "A4")]),
                        paper,
                    ))
                    .put(button("Use that paper")),
            )
            .put(
                deed("measure")
                    .put(choice(
                        "measure",
                        "Read in",
                        "measure",
                        owned([("inch", "inches"), ("cm", "centimetres")]),
                        measure,
                    ))
                    .put(button("Read it so")),
            )
            .put(
                deed("seam")
                    .put(field(
                        "seam",
                        "Seam allowance",
                        "seam",
                        plan.measure.number(&plan.seam),
                    ))
                    .put(button("Sew with that")),
            )
            .put(super::frame::findings(view)),
    )
}
