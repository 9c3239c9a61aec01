//! Beside a step: where it lies, which way it is pressed, and what to do when the hands did
//! otherwise than the plan.

use super::View;
use super::parts::{button, field, hidden, why};
use super::work::{drawn, marking};
use crate::html::{El, Node, el};
use crate::marks::{self, judged, to_cut_again, to_unpick};
use crate::steps::{Line, List};

/// What can be done besides ticking.
pub(super) fn deeds(view: &View, list: List, lines: &[Line], at: usize) -> Node {
    let line = &lines[at];
    let place = el("button")
        .attr("type", "button")
        .attr("id", "step-where")
        .attr("data-where", format!("{}/{at}", list.word()))
        .text(match list {
            List::Cut => "Where do these lie?",
            List::Sew => "Where is this?",
        });
    let first = el("div").class("row").put(place);
    match list {
        List::Cut => Node::all([
            Node::from(first),
            again(view),
            Node::from(wrong(view, line)),
        ]),
        List::Sew => Node::all([
            Node::from(first),
            Node::from(pressed(view, line, at)),
            Node::from(mine(view, line)),
            Node::from(apart(view, lines, at)),
        ]),
    }
}

/// What is to be cut again, and from where.
fn again(view: &View) -> Node {
    let all = to_cut_again(&view.now.plan, &view.results, &view.marks);
    if all.is_empty() {
        return Node::default();
    }
    let lines = view.lines(List::Cut);
    let Some(line) = lines.first() else {
        return Node::default();
    };
    let items = all.iter().map(|one| {
        let count = view.marks.again.get(&one.key).copied().unwrap_or(1);
        let (class, weight) = if one.fits {
            ("note", "")
        } else {
            ("stop", "Stop: ")
        };
        let done = marking("again", List::Cut, line)
            .put(hidden("piece", &one.key))
            .put(hidden("done", count.saturating_sub(1)))
            .put(button("It is cut").attr(
                "aria-label",
                format!(
                    "It is cut: {}",
                    one.says.split(':').next().unwrap_or_default()
                ),
            ));
        let elsewhere = (!one.fits).then(|| {
            el("a")
                .class("button")
                .attr("href", view.address("cloth"))
                .text("Go to the cloths")
        });
        el("li")
            .class(format!("finding {class}"))
            .put(el("p").put(el("strong").text(weight)).text(&one.says))
            .put(el("div").class("row").put(done).put(elsewhere))
    });
    let calm = all.iter().any(|one| !one.fits).then(|| {
        el("p")
            .class("quiet")
            .text("Everything else is untouched: the layout and its ticks stay as they are.")
    });
    Node::from(
        el("section")
            .attr("id", "cut-again")
            .put(el("h3").text(match all.len() {
                1 => "One piece to cut again".to_owned(),
                n => format!("{n} pieces to cut again"),
            }))
            .put(el("ul").class("again").put_all(items))
            .put(calm),
    )
}

/// One of this step's pieces came out wrong.
fn wrong(view: &View, line: &Line) -> El {
    let made = line.pieces(&view.now.plan, &view.results);
    let body = if made.is_empty() {
        el("p").text(
            "No piece is finished in this step. Go to the step that cuts the piece, or choose the patch in the picture.",
        )
    } else {
        let each = made.iter().map(|(key, name)| {
            let count = view.marks.again.get(key).copied().unwrap_or(0);
            marking("again", List::Cut, line)
                .put(hidden("piece", key))
                .put(hidden("done", count + 1))
                .put(button(format!("One more {name}")))
        });
        el("div")
            .put(el("p").text(
                "The piece goes on the list of what to cut again, with the place on the cloth that is left for it.",
            ))
            .put(el("div").class("row").put_all(each))
    };
    why("One came out wrong", body)
}

fn pressed(view: &View, line: &Line, at: usize) -> Option<El> {
    let back = drawn(view, List::Sew, line, at, "back")?;
    let way = line
        .notes
        .first()
        .map(|note| el("p").class("step-note").text(note));
    Some(why(
        "Press which way?",
        el("div").put(way).put(back).put(el("p").class("quiet").text(
            "Seen from the wrong side: left the two laid right sides together, right the unit from behind. A ring is a crossing the stitching passes exactly over.",
        )),
    ))
}

/// What the maker's own unit measures, and what that means.
fn mine(view: &View, line: &Line) -> Option<El> {
    line.unit().filter(|_| line.is_seam())?;
    let plan = &view.now.plan;
    let found = view.marks.measured(line);
    let told = judged(plan, &view.results, line, &found);
    let value = |i: usize| {
        found[i]
            .as_ref()
            .map_or_else(String::new, |length| plan.measure.number(length))
    };
    let sign = plan.measure.sign();
    let says = told.map(|told| {
        use quilt::sewing::Verdict;
        let class = match told.verdict {
            Verdict::Keep => "note",
            Verdict::Ease | Verdict::Trim => "mind",
            Verdict::Unpick => "stop",
        };
        el("div")
            .attr("id", "measured")
            .class(format!("finding {class}"))
            .put_all(told.says.iter().map(|says| el("p").text(says)))
            .put(
                el("p")
                    .class("quiet")
                    .text("Your ticks and the plan are untouched."),
            )
    });
    let forget = found.iter().any(Option::is_some).then(|| {
        marking("mine", List::Sew, line)
            .put(hidden("along", ""))
            .put(hidden("across", ""))
            .put(button("Forget this measure"))
    });
    let form = marking("mine", List::Sew, line)
        .put(field(
            "mine-along",
            &format!("Along its longest side, raw edge to raw edge ({sign})"),
            "along",
            value(0),
        ))
        .put(field(
            "mine-across",
            &format!("The other way ({sign}); may stay empty"),
            "across",
            value(1),
        ))
        .put(button("What does that mean?").attr("id", "mine-ask"));
    let body = el("div").put(says).put(form).put(forget);
    let details = why("Mine measures…", body);
    Some(if found.iter().any(Option::is_some) {
        details.flag("open", true)
    } else {
        details
    })
}

/// Which seams to unpick to have one of these in its parts.
fn apart(view: &View, lines: &[Line], at: usize) -> El {
    let line = &lines[at];
    let steps = to_unpick(&view.results, &view.marks, lines, at);
    let body = if steps.is_empty() {
        el("p").text("None of this step is done yet, so there is nothing to take apart.")
    } else {
        let items = steps
            .iter()
            .map(|&step| el("li").text(format!("Step {}: {}", step + 1, lines[step].text)));
        let in_top = line.unit().is_some()
            && lines
                .iter()
                .any(|line| line.unit().is_none() && line.done(&view.marks.sewn) > 0);
        let first = in_top.then(|| {
            el("p").text(
                "Rows of the top are sewn already: if this block is in one of them, take it out of its row first.",
            )
        });
        el("div")
            .put(first)
            .put(el("p").text("Unpick, in this order:"))
            .put(el("ol").class("seams").put_all(items))
            .put(el("p").class("quiet").text(
                "Cut every third or fourth stitch on one side, draw the thread out from the other, and press the pieces flat before you sew them again (common practice). Mind the point of the unpicker.",
            ))
            .put(marking("apart", List::Sew, line).put(
                button(match steps.len() {
                    1 => "Take one apart: one tick back".to_owned(),
                    n => format!("Take one apart: {n} ticks back"),
                })
                .attr("id", "step-apart"),
            ))
    };
    why("Take apart", body)
}

impl Line {
    /// The pieces that are ready after a step of the cutting: the key each is kept under,
    /// and its name with its cloth.
    fn pieces(
        &self,
        plan: &quilt::plan::Plan,
        results: &quilt::results::Results,
    ) -> Vec<(String, String)> {
        let made = self.ready();
        let pieces = marks::pieces(plan, results);
        let own = pieces.into_iter().filter(|piece| {
            let of = (piece.usage, piece.cutting.cloth);
            made.contains(&of)
        });
        own.map(|piece| {
            let cloth = &plan.cloth(piece.cutting.cloth).name;
            (piece.key, format!("{} of {cloth}", piece.name))
        })
        .collect()
    }
}
