//! The shelf: every quilt of this maker, and how to begin one.

use super::frame::{comforts, document};
use super::parts::{button, choice, deed, field, hidden};
use crate::html::{El, el};

/// One quilt as it lies on the shelf.
pub(crate) struct Shelved {
    pub(crate) id: i64,
    pub(crate) turned: i64,
    pub(crate) title: String,
    pub(crate) size: String,
    pub(crate) says: String,
}

/// The whole page.
pub(crate) fn shelf(quilts: &[Shelved], away: &[Shelved], demos: &[(&str, &str)]) -> String {
    let empty = quilts.is_empty().then(|| {
        el("p").text("The shelf is empty. Begin a quilt, or look at a finished one first.")
    });
    let items = quilts.iter().map(|quilt| item(quilt, false));
    let put_away = (!away.is_empty()).then(|| {
        el("details")
            .put(el("summary").text(format!("Put away: {}", away.len())))
            .put(
                el("ul")
                    .class("quilts")
                    .put_all(away.iter().map(|quilt| item(quilt, true))),
            )
    });
    let body = el("body")
        .class("plain")
        .put(
            el("header")
                .class("name")
                .put(el("h1").text("The shelf"))
                .put(comforts()),
        )
        .put(
            el("main")
                .class("shelf")
                .put(
                    el("section")
                        .attr("aria-label", "Your quilts")
                        .put(empty)
                        .put(el("ul").class("quilts").put_all(items))
                        .put(put_away),
                )
                .put(begin())
                .put(open_file())
                .put(look_at(demos))
                .put(
                    el("p")
                        .attr("id", "status")
                        .attr("role", "status")
                        .attr("aria-live", "polite")
                        .text(""),
                ),
        );
    document("The shelf", &["shelf.js"], body)
}

fn item(quilt: &Shelved, away: bool) -> El {
    let picture = el("img")
        .attr(
            "src",
            format!("/quilt/{}/picture.svg?v={}", quilt.id, quilt.turned),
        )
        .attr("alt", "")
        .attr("width", 200)
        .attr("height", 200)
        .attr("loading", "lazy");
    let words = el("div")
        .put(
            el("h2").put(
                el("a")
                    .attr("href", format!("/quilt/{}/setting", quilt.id))
                    .text(&quilt.title),
            ),
        )
        .put(el("p").text(&quilt.size))
        .put(el("p").class("quiet").text(format!("Last: {}", quilt.says)));
    let (deed_word, label) = if away {
        ("back", "Bring it back")
    } else {
        ("away", "Put it away")
    };
    let form = deed(deed_word)
        .put(hidden("quilt", quilt.id))
        .put(button(label).attr("aria-label", format!("{label}: {}", quilt.title)));
    let another = (!away).then(|| {
        deed("copy")
            .put(hidden("quilt", quilt.id))
            .put(button("Begin another from this one").attr(
                "aria-label",
                format!("Begin another from this one: {}", quilt.title),
            ))
    });
    el("li")
        .put(picture)
        .put(words.put(el("div").class("row").put(form).put(another)))
}

fn begin() -> El {
    let sizes = (2..=8).map(|n| (n.to_string(), format!("{n} squares across")));
    let measures = [("inch", "inches"), ("cm", "centimetres")];
    el("section").put(el("h2").text("Begin a quilt")).put(
        deed("begin")
            .put(field(
                "begin-title",
                "What it is called",
                "title",
                "A new quilt",
            ))
            .put(choice(
                "begin-measure",
                "Read in",
                "measure",
                measures.map(|(v, w)| (v.to_owned(), w.to_owned())),
                "inch",
            ))
            .put(choice(
                "begin-across",
                "The block is divided into",
                "across",
                sizes,
                "4",
            ))
            .put(button("Begin with a plain square").class("main")),
    )
}

fn open_file() -> El {
    el("section")
        .put(el("h2").text("Open a quilt file"))
        .put(
            deed("open")
                .put(
                    el("label")
                        .class("field")
                        .attr("for", "plan-file")
                        .put(el("span").text("A plan file (ends in .toml), or a quilt with its photographs (ends in .zip)"))
                        .put(
                            el("input")
                                .attr("type", "file")
                                .attr("id", "plan-file")
                                .attr("accept", ".toml,.zip,text/plain,application/zip"),
                        ),
                )
                .put(button("Put it on the shelf")),
        )
        .put(
            el("pre")
                .attr("id", "trouble")
                .attr("tabindex", "0")
                .flag("hidden", true),
        )
}

fn look_at(demos: &[(&str, &str)]) -> El {
    let each = demos
        .iter()
        .map(|(key, title)| deed("demo").put(hidden("demo", key)).put(button(title)));
    el("section")
        .put(el("h2").text("Look at a finished one"))
        .put(el("div").class("row").put_all(each))
}
