//! Finishing: backing, batting, binding, the hanging sleeve, thread.

use quilt::finishing::backing::to_buy;
use quilt::finishing::{BackingWay, SeamsRun};
use quilt::measure::Measure;
use quilt::plan::BindingRun;

use super::View;
use super::card::upper;
use super::parts::{button, choice, cloth_choice, deed, facts, field};
use crate::html::{El, Node, el};

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let Some(made) = view.results.finishing.as_deref() else {
        return Node::from(
            el("div")
                .put(el("h2").text("Finishing"))
                .put(el("p").text(
                    "Backing, batting and binding are measured round the top, and the top is not whole yet. Once it is, the backing stands here both ways with what each takes, then the batting, the binding and the thread.",
                ))
                .put(
                    el("p").put(
                        el("a")
                            .class("button")
                            .attr("href", view.address("block"))
                            .text("Go to the block"),
                    ),
                ),
        );
    };
    let say = |length: &geometry::Surd| plan.measure.say(length);
    let backing = &made.backing;
    let binding = &made.binding;
    let strips = match &binding.bias_square {
        Some(side) => format!("on the bias, from a square of {}", say(side)),
        None => format!(
            "{} strips across the cloth, {} wide cut",
            binding.strips,
            say(&binding.strip)
        ),
    };
    let package = made.batting.package.as_ref().map_or_else(
        || "no single package is large enough".into(),
        |(name, w, h)| format!("a {name} package, {}", plan.measure.near_size(w, h)),
    );
    let sleeve = made.sleeve.as_ref().map_or_else(
        || "none".into(),
        |s| {
            format!(
                "cut {}",
                plan.measure.near_size(&s.cut_length, &s.cut_depth)
            )
        },
    );
    let thread = format!(
        "about {} of thread for {} of seams",
        run(plan.measure, made.thread.piecing),
        run(plan.measure, made.thread.seam_length)
    );
    Node::from(
        el("div")
            .put(el("h2").text("Finishing"))
            .put(el("h3").text("The backing, made either way"))
            .put(
                el("div")
                    .class("side-by-side")
                    .attr("id", "backing-ways")
                    .put(way(view, &backing.chosen, false))
                    .put(
                        (backing.other != backing.chosen).then(|| way(view, &backing.other, true)),
                    ),
            )
            .put(facts([
                (
                    "Backing",
                    format!(
                        "{}, with what reaches beyond the top",
                        plan.measure.near_size(&backing.width, &backing.height)
                    ),
                ),
                ("To buy for it", plan.measure.shop(&backing.buy)),
                (
                    "Batting",
                    format!(
                        "{}: {package}",
                        plan.measure
                            .near_size(&made.batting.width, &made.batting.height)
                    ),
                ),
                (
                    "Binding",
                    format!("{} long; {strips}", say(&binding.length)),
                ),
                ("Hanging sleeve", sleeve),
                ("Thread", thread),
            ])),
    )
}

/// One way of the backing: from behind, what it is joined of, and what it takes.
fn way(view: &View, way: &BackingWay, other: bool) -> El {
    let plan = &view.now.plan;
    let seams = match way.seams {
        SeamsRun::None => "one width",
        SeamsRun::Upright => "seams upright",
        SeamsRun::Across => "seams across",
    };
    let joined = format!("{} of {}", way.lengths, plan.measure.say(&way.length));
    let backing = view.results.finishing.as_deref().map(|made| &made.backing);
    let alike = backing.is_some_and(|b| b.chosen.total == b.other.total);
    let taken = if alike {
        " Both take as much; the sums and the booklet go by this one."
    } else {
        " It takes the less cloth; the sums and the booklet go by it."
    };
    let which = if other { "&way=other" } else { "" };
    let turned = view.now.kept.turned;
    el("figure")
        .put(
            el("img")
                .class("drawn")
                .attr(
                    "src",
                    format!("{}?v={turned}{which}", view.address("backing.svg")),
                )
                .attr(
                    "alt",
                    format!("The backing from behind, {seams}: {joined}."),
                ),
        )
        .put(
            el("figcaption")
                .put(el("strong").text(upper(seams)))
                .text(format!(
                    ": {joined}, {} in all; {} to buy.{}",
                    plan.measure.say(&way.total),
                    plan.measure.shop(&to_buy(&way.total, &plan.buying)),
                    if other { "" } else { taken }
                )),
        )
}

pub(super) fn card(view: &View) -> Node {
    let plan = &view.now.plan;
    let finishing = &plan.finishing;
    let number = |length: &geometry::Surd| plan.measure.number(length);
    let runs = [("straight", "straight"), ("bias", "on the bias")];
    let run = match finishing.binding.run {
        BindingRun::Straight => "straight",
        BindingRun::Bias => "bias",
    };
    Node::from(
        el("div")
            .put(el("h2").text("Backing and batting"))
            .put(
                deed("backing")
                    .put(cloth_choice(
                        plan,
                        "backing-cloth",
                        "Backing cloth",
                        "cloth",
                        Some("not chosen"),
                        finishing.backing.cloth,
                    ))
                    .put(field(
                        "backing-over",
                        "Backing beyond the top, every side",
                        "overage",
                        number(&finishing.backing.overage),
                    ))
                    .put(field(
                        "batting-over",
                        "Batting beyond the top, every side",
                        "batting",
                        number(&finishing.batting.overage),
                    ))
                    .put(field(
                        "sleeve",
                        "Depth of a hanging sleeve (empty: none)",
                        "sleeve",
                        finishing.sleeve.as_ref().map_or_else(String::new, number),
                    ))
                    .put(button("Make them so").class("main")),
            )
            .put(el("h2").text("Binding"))
            .put(
                deed("binding")
                    .put(cloth_choice(
                        plan,
                        "binding-cloth",
                        "Binding cloth",
                        "cloth",
                        Some("not chosen"),
                        finishing.binding.cloth,
                    ))
                    .put(field(
                        "binding-width",
                        "Strips cut wide",
                        "width",
                        number(&finishing.binding.width),
                    ))
                    .put(choice(
                        "binding-run",
                        "Cut",
                        "run",
                        runs.map(|(v, w)| (v.to_owned(), w.to_owned())),
                        run,
                    ))
                    .put(button("Make it so").class("main")),
            )
            .put(super::frame::findings(view)),
    )
}

/// A long run in whole yards or metres.
fn run(measure: Measure, inches: f64) -> String {
    match measure {
        Measure::Inch => format!("{:.0} yd", (inches / 36.0).ceil()),
        Measure::Centimetre => format!("{:.0} m", (inches * 0.0254).ceil()),
    }
}
