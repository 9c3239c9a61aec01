//! What the top is made for: a bed, a cot, a wall, a lap, or a size of the maker's own.

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::Target;
use quilt::setting::on_bed;

use super::View;
use super::parts::{button, choice, deed, field, hidden, why};
use crate::html::{El, el};

/// A lap quilt, inches: about 50 × 65 (*Standard Mattress Sizes, with drop examples*, Cia's
/// Palette).
const LAP: [i64; 2] = [50, 65];
/// The usual drop, inches: 12 (as above, and *Standard Mattress Dimensions*, Country
/// Crossroads Quilters guild); in centimetres a round 30.
fn usual_drop(measure: Measure) -> Surd {
    match measure {
        Measure::Inch => Surd::int(12),
        Measure::Centimetre => measure.inches(&Surd::int(30)),
    }
}

pub(super) fn bed(view: &View) -> El {
    let plan = &view.now.plan;
    let top = view.now.look.top();
    let on = top.and_then(|top| on_bed(plan, top));
    let shown = on.as_ref().map(|on| {
        el("div")
            .put(
                el("img")
                    .class("drawn bed")
                    .attr(
                        "src",
                        format!("{}?v={}", view.address("bed.svg"), view.now.kept.turned),
                    )
                    .attr("alt", &on.says),
            )
            .put(el("p").attr("id", "drop").text(&on.says))
    });
    let offers = quilt::setting::propose(plan).into_iter().flat_map(|found| {
        let offers = found.fits.into_iter().chain(found.next);
        offers.collect::<Vec<_>>()
    });
    let offers = offers.map(|offer| {
        deed("count")
            .put(hidden("rows", offer.rows))
            .put(hidden("columns", offer.columns))
            .put(el("p").text(format!("{}.", offer.words)))
            .put(
                button(format!("{} across, {} down", offer.columns, offer.rows)).flag(
                    "disabled",
                    (offer.rows, offer.columns) == (plan.setting.rows, plan.setting.columns),
                ),
            )
    });
    let source = match &plan.setting.target {
        Some(Target::Bed { bed, .. }) => planfile::bed_source(&bed.name),
        _ => None,
    };
    let source = source.map(|source| {
        el("p")
            .class("quiet")
            .text(format!("Size of the mattress: {source}."))
    });
    let words = match &plan.setting.target {
        Some(Target::Bed { bed, .. }) => format!("Under it: a {} bed", bed.name),
        Some(Target::Size { width, height }) => {
            format!("Under it: {}", plan.measure.size(width, height))
        }
        None => "A bed, a cot, a wall or a lap under it".to_owned(),
    };
    el("section")
        .attr("id", "bed")
        .put(el("h3").text("What it is made for"))
        .put(shown)
        .put_all(offers)
        .put(source)
        .put(why(&words, forms(view)))
}

fn forms(view: &View) -> El {
    let plan = &view.now.plan;
    let (name, drop, tuck) = match &plan.setting.target {
        Some(Target::Bed { bed, drop, tuck }) => (bed.name.as_str(), drop.clone(), tuck.clone()),
        _ => ("", usual_drop(plan.measure), Surd::ZERO),
    };
    let beds = planfile::bed_names().into_iter().filter_map(|name| {
        let bed = planfile::bed(name)?;
        let cot = if name == "crib" { " or cot" } else { "" };
        let size = plan.measure.size(&bed.width, &bed.length);
        Some((name.to_owned(), format!("{name}{cot}, {size}")))
    });
    let none = [(String::new(), "nothing".to_owned())];
    let size = match &plan.setting.target {
        Some(Target::Size { width, height }) => [width.clone(), height.clone()],
        _ => LAP.map(Surd::int),
    };
    let number = |length: &Surd| plan.measure.number(length);
    let sign = plan.measure.sign();
    let lap = LAP.map(Surd::int);
    el("div")
        .put(
            deed("aim")
                .put(choice(
                    "aim-bed",
                    "Lay under it",
                    "bed",
                    none.into_iter().chain(beds),
                    name,
                ))
                .put(field(
                    "aim-drop",
                    &format!("How far it is to hang down ({sign})"),
                    "drop",
                    number(&drop),
                ))
                .put(field(
                    "aim-tuck",
                    &format!("Tucked over the pillows ({sign})"),
                    "tuck",
                    number(&tuck),
                ))
                .put(button("Lay the bed under it").attr("id", "aim-go")),
        )
        .put(
            deed("aim-size")
                .put(field(
                    "aim-width",
                    &format!("A wall or a size of your own: width ({sign})"),
                    "width",
                    number(&size[0]),
                ))
                .put(field(
                    "aim-height",
                    &format!("Length ({sign})"),
                    "height",
                    number(&size[1]),
                ))
                .put(button("Lay that size under it")),
        )
        .put(
            deed("aim-size")
                .put(hidden("width", number(&lap[0])))
                .put(hidden("height", number(&lap[1])))
                .put(button(format!(
                    "A lap, about {}",
                    plan.measure.size(&lap[0], &lap[1])
                ))),
        )
        .put(el("p").class("quiet").text(
            "A quilt for an infant's cot: ask what is advised where you live before one lies in it unwatched.",
        ))
}
