//! Finishing: backing, batting, binding, the hanging sleeve, thread.

use quilt::finishing::{BackingWay, SeamsRun};
use quilt::measure::Measure;
use quilt::plan::BindingRun;

use super::View;
use super::parts::{button, choice, cloth_choice, deed, facts, field};
use crate::html::{Node, el};

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let Some(made) = view.results.finishing.as_deref() else {
        return Node::from(el("div").put(el("h2").text("Finishing")).put(
            el("p").text("Backing and binding wait for the top: they are measured round it."),
        ));
    };
    let say = |length: &geometry::Surd| plan.measure.say(length);
    let way = |way: &BackingWay| {
        let seams = match way.seams {
            SeamsRun::None => "one width",
            SeamsRun::Upright => "seams upright",
            SeamsRun::Across => "seams across",
        };
        format!(
            "{} of {} ({seams}), {} in all",
            way.lengths,
            say(&way.length),
            say(&way.total)
        )
    };
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
            .put(
                el("img")
                    .class("drawn")
                    .attr(
                        "src",
                        format!("{}?v={}", view.address("backing.svg"), view.now.kept.turned),
                    )
                    .attr(
                        "alt",
                        format!("The backing from behind: {}.", way(&backing.chosen)),
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
                ("Made of", way(&backing.chosen)),
                ("The other way", way(&backing.other)),
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
