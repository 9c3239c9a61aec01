//! Booklet: the printed pattern, and everything else that leaves the studio as a file.

use quilt::measure::Measure;
use quilt::plan::Paper;

use super::View;
use super::parts::{button, choice, deed, field};
use crate::html::{El, Node, el};

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

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let ready = view.now.look.top().is_some() && super::frame::stops(view) == 0;
    let mut files = el("ul").class("files");
    if ready {
        files = files
            .put(file(view, "booklet.pdf", "The booklet (PDF)", "Cover, cloth to buy, cutting, sewing, setting, finishing, a page to colour, every template at true size. Print at 100 %; a check square tells whether the printer kept the size."))
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
