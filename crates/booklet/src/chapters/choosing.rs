//! Choosing the cloth: by value, the top in greys, what to look for when buying instead,
//! and where each scrap lies.

use picture::View;
use quilt::cloth::{Scale, Scattered, prints};
use quilt::colour;
use quilt::plan::{ClothId, Each, Plan, PoolPlan};
use serde_json::{Value, json};

use super::Desk;
use super::cloths::{numbers, swatch, uses};
use crate::words::{count, list};

/// Two pictures of the top side by side: room of each, inches.
const PAIR: (f64, f64) = (3.1, 3.4);

/// The most the chart of scraps may be high, inches.
const CHART: f64 = 7.4;

pub(super) fn data(desk: &mut Desk) -> Value {
    let Some(top) = desk.results.top.clone() else {
        return Value::Null;
    };
    let (plan, values) = (desk.plan, desk.results.values.clone());
    let drawing = picture::quilt(plan, &desk.results.blocks, &top);
    let strip = picture::value_strip(plan, &values);
    let used: Vec<ClothId> = uses(desk).into_keys().collect();
    let scattered = top.blocks.iter().any(|placed| !placed.scraps.is_empty());
    let chart = scattered.then(|| {
        let chart = picture::quilt_numbered(plan, &desk.results.blocks, &top);
        desk.gallery.hang_within(&chart, desk.room.width, CHART)
    });
    json!({
        "strip": desk.gallery.hang_within(&strip, desk.room.width, 1.0),
        "groups": groups(desk),
        "near": near(desk),
        "grey": desk.gallery.hang_seen(&drawing, PAIR, (View::Grey, &values)),
        "flat": desk.gallery.hang_seen(&drawing, PAIR, (View::Groups, &values)),
        "mix": mix(plan, &used),
        "cloths": used.iter().map(|&id| cloth(desk, id)).collect::<Vec<_>>(),
        "look_for": look_for(desk),
        "pools": pools(desk),
        "chart": chart,
    })
}

fn groups(desk: &Desk) -> String {
    let names: Vec<&str> = desk
        .results
        .values
        .groups
        .iter()
        .rev()
        .map(|g| g.name.as_str())
        .collect();
    let names: Vec<String> = names.into_iter().map(str::to_owned).collect();
    format!(
        "The cloths from light to dark, in groups: {}. No other limits leave the cloths of a group more alike. The numbers are those of the list of cloths.",
        list(&names)
    )
}

/// The borderline cloths, in a sentence each.
fn near(desk: &Desk) -> Vec<String> {
    let values = &desk.results.values;
    let all = (0..desk.plan.cloths.len()).map(ClothId);
    all.filter_map(|id| {
        let other = &values.groups[values.borderline(id)?.group].name;
        Some(format!(
            "{}, {}, is {} and may as well be counted {other}.",
            id.0 + 1,
            desk.plan.cloth(id).name,
            values.name(id),
        ))
    })
    .collect()
}

/// What the prints are like beside one another.
fn mix(plan: &Plan, used: &[ClothId]) -> String {
    let told: Vec<String> = prints::mix(plan, used)
        .into_iter()
        .filter(|(_, n)| *n > 0)
        .map(|(scale, n)| match scale {
            Scale::NearPlain => format!("{n} nearly plain"),
            _ => format!("{n} with {} figures", scale.word()),
        })
        .collect();
    format!("Prints: {}.", list(&told))
}

/// What to ask for when this cloth is not to be had.
fn cloth(desk: &mut Desk, id: ClothId) -> Value {
    let (cloth, values) = (desk.plan.cloth(id), &desk.results.values);
    let light = values.of[id.0].lightness;
    let munsell = colour::munsell(colour::luminance(light));
    let print = match Scale::of(cloth) {
        Scale::NearPlain => "plain or nearly so".to_owned(),
        scale => format!(
            "{} figures, {}",
            scale.word(),
            desk.plan.measure.say(cloth.figure_size())
        ),
    };
    let says = format!(
        "{}, {}; value {munsell:.1} of 10; {print}",
        colour::hue_word(colour::seen(cloth)),
        values.name(id),
    );
    json!({
        "number": id.0 + 1,
        "name": cloth.name,
        "says": says,
        "shop": cloth.record.shop,
        "swatch": swatch(desk, id),
    })
}

fn look_for(desk: &Desk) -> Vec<String> {
    let ramps = desk.plan.choosing.ramps.iter();
    ramps
        .zip(desk.results.ramps.iter())
        .flat_map(|(ramp, came)| {
            let wanted = came.look_for.iter();
            wanted.map(|wanted| {
                format!(
                    "Ramp “{}”: {}.",
                    ramp.name,
                    wanted.in_words(desk.plan, ramp)
                )
            })
        })
        .collect()
}

fn pools(desk: &Desk) -> Vec<String> {
    let pools = desk.plan.choosing.pools.iter();
    pools
        .zip(desk.results.scattered.iter())
        .filter(|(_, came)| came.spots > 0)
        .map(|(pool, came)| told(pool, came))
        .collect()
}

fn told(pool: &PoolPlan, came: &Scattered) -> String {
    let cloths: Vec<ClothId> = came.cloths.iter().map(|lot| lot.cloth).collect();
    let what = match pool.each {
        Each::Patch => count(came.spots, "patch", "patches"),
        Each::Block => format!(
            "{}, each in one cloth",
            count(came.spots, "block", "blocks")
        ),
    };
    let beside = match (came.touching, came.unavoidable) {
        (0, _) => "No like lies beside like.".to_owned(),
        (n, 0) => format!("Like lies beside like in {}.", count(n, "place", "places")),
        (n, least) => format!(
            "Like lies beside like in {}; {least} cannot be avoided.",
            count(n, "place", "places")
        ),
    };
    format!(
        "“{}”: {what}, scattered from {} {}. {beside}",
        pool.name,
        if cloths.len() == 1 { "cloth" } else { "cloths" },
        numbers(&cloths),
    )
}
