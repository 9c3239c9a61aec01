//! Backing, batting, binding, sleeve, label.

use geometry::Surd;
use quilt::finishing::{BackingWay, Finishing, SeamsRun};
use quilt::plan::BindingRun;
use serde_json::{Value, json};

use super::Desk;
use super::cloths::cut_size;
use crate::lengths;
use crate::words::count;

/// Width of a backing's drawing, inches, and the most it may be high.
const DRAWN: (f64, f64) = (2.2, 2.0);

pub(super) fn data(desk: &mut Desk) -> Value {
    let (Some(made), Some(top)) = (desk.results.finishing.clone(), desk.results.top.clone()) else {
        return Value::Null;
    };
    let less = made.backing.chosen.total < made.backing.other.total;
    let titles = if less {
        ["This way takes less", "The other way"]
    } else {
        ["One way", "The other, of the same length"]
    };
    let ways: Vec<Value> = [&made.backing.chosen, &made.backing.other]
        .into_iter()
        .enumerate()
        .filter(|(i, way)| *i == 0 || **way != made.backing.chosen)
        .map(|(i, way)| {
            let drawing = picture::backing(desk.plan, &made.backing, way, &top);
            json!({
                "title": titles[i],
                "words": way_in_words(desk, way),
                "picture": desk.gallery.hang_within(&drawing, DRAWN.0, DRAWN.1),
            })
        })
        .collect();
    json!({
        "back": backing(desk, &made),
        "ways": ways,
        "batting": batting(desk, &made),
        "binding": binding(desk, &made),
        "sleeve": sleeve(desk, &made),
        "label": format!("{}\n{} finished\nMade by ____________________ for ____________________\nPlace and date ____________________\nFibre content and care ____________________",
            desk.plan.title, lengths::size(desk.plan.measure, &top.width, &top.height)),
    })
}

fn backing(desk: &Desk, made: &Finishing) -> String {
    let (measure, backing) = (desk.plan.measure, &made.backing);
    let cloth = backing.cloth.map_or_else(String::new, |id| {
        format!(" of {} (cloth {})", desk.plan.cloth(id).name, id.0 + 1)
    });
    format!(
        "Make a back{cloth} at least {} cut size: it reaches {} beyond the top on every side. Join lengths with a \
         seam of {} pressed open, selvages cut off.",
        cut_size(desk, &backing.width, &backing.height),
        measure.say(&desk.plan.finishing.backing.overage),
        measure.say(&desk.plan.finishing.backing.seam),
    )
}

fn way_in_words(desk: &Desk, way: &BackingWay) -> String {
    let lengths = count(way.lengths as usize, "length", "lengths");
    let seams = match way.seams {
        SeamsRun::None => "no seam",
        SeamsRun::Upright => "seams from top to bottom",
        SeamsRun::Across => "seams from side to side",
    };
    format!(
        "{lengths} of {}, {seams}: {} of cloth",
        say_up(desk, &way.length),
        say_up(desk, &way.total)
    )
}

/// A length to cut or join at least, rounded up to the ruler.
fn say_up(desk: &Desk, length: &Surd) -> String {
    desk.plan
        .measure
        .say(&desk.plan.ruler.length(desk.plan.ruler.up(length)))
}

fn batting(desk: &Desk, made: &Finishing) -> String {
    let (measure, batting) = (desk.plan.measure, &made.batting);
    let package = batting.package.as_ref().map_or_else(
        || {
            "No single usual package holds it: join two edge to edge, or buy it off the roll."
                .to_owned()
        },
        |(name, w, h)| {
            format!(
                "The smallest usual package that holds it is {name}, {}.",
                measure.size(w, h)
            )
        },
    );
    format!(
        "Cut the batting {}, {} beyond the top on every side. {package} Its label says how close the quilting must be.",
        cut_size(desk, &batting.width, &batting.height),
        measure.say(&desk.plan.finishing.batting.overage),
    )
}

fn binding(desk: &Desk, made: &Finishing) -> String {
    let (measure, binding) = (desk.plan.measure, &made.binding);
    let cloth = binding.cloth.map_or_else(String::new, |id| {
        format!(" of {} (cloth {})", desk.plan.cloth(id).name, id.0 + 1)
    });
    let strips = match (desk.plan.finishing.binding.run, &binding.bias_square) {
        (BindingRun::Bias, Some(side)) => {
            format!(
                "Cut a square of {}{cloth} into bias strips {} wide",
                measure.say(side),
                measure.say(&binding.strip)
            )
        }
        _ => format!(
            "Cut {} {} wide{cloth} across the width",
            count(binding.strips as usize, "strip", "strips"),
            measure.say(&binding.strip)
        ),
    };
    format!(
        "{strips} and join them on the diagonal into one strip of at least {}. Press it in half along its length, sew \
         it to the front with raw edges together, fold it over the edge and sew it down on the back. Corners are \
         folded to a mitre.",
        say_up(desk, &binding.length)
    )
}

fn sleeve(desk: &Desk, made: &Finishing) -> Option<String> {
    made.sleeve.as_ref().map(|sleeve| {
        format!(
            "Cut a strip {}. Hem its short ends, fold it along its length, and sew its raw edges into the binding at \
             the top of the back; sew the fold down by hand.",
            cut_size(desk, &sleeve.cut_length, &sleeve.cut_depth)
        )
    })
}
