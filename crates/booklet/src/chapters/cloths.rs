//! What you need: cloth by cloth, then the rest, then what to look at before cutting.

use std::collections::BTreeMap;

use geometry::Surd;
use quilt::cutting::ClothCutting;
use quilt::findings::Weight;
use quilt::measure::Measure;
use quilt::plan::{ClothId, Direction};
use quilt::setting::PartKind;
use quilt::setting::{PlacedBlock, cloth_of};
use serde_json::{Value, json};

use super::Desk;
use crate::cautions::cautions;
use crate::words::{capital, list};

/// Width of a swatch, inches.
const SWATCH: f64 = 0.56;

pub(super) fn data(desk: &mut Desk) -> Value {
    let used = uses(desk);
    let cloths: Vec<Value> = used
        .into_iter()
        .map(|(id, uses)| {
            let cut = desk
                .results
                .cutting
                .as_deref()
                .and_then(|all| all.iter().find(|c| c.cloth == id));
            let cloth = desk.plan.cloth(id);
            json!({
                "number": id.0 + 1,
                "name": cloth.name,
                "direction": direction(cloth.direction),
                "buy": cut.map(|cut| to_buy(desk, cut)),
                "uses": capital(&uses.join("; ")),
                "close": cut.map(|cut| closeness(desk, cut)),
                "supply": cut.map(|cut| quilt::cutting::supply_lines(desk.plan, cut).join(" ")),
                "swatch": swatch(desk, id),
            })
        })
        .collect();
    let look: Vec<&str> = desk
        .results
        .findings
        .iter()
        .filter(|finding| finding.weight <= Weight::Mind)
        .map(|finding| finding.text.as_str())
        .collect();
    json!({
        "cloths": cloths,
        "buying": buying(desk),
        "rest": rest(desk),
        "look": look,
        "cautions": cautions(desk.plan, desk.results),
    })
}

/// The swatch of a cloth.
pub(super) fn swatch(desk: &mut Desk, id: ClothId) -> Value {
    let drawing = picture::swatch(desk.plan, id);
    desk.gallery.hang(&drawing, SWATCH)
}

/// What to ask for in the shop.
fn to_buy(desk: &Desk, cut: &ClothCutting) -> String {
    if cut.missing.is_some() {
        "not sold".into()
    } else if cut.buy.is_zero() {
        "nothing".into()
    } else {
        desk.plan.measure.shop(&cut.buy)
    }
}

/// How much of the cloth is used, and how near that is to the least there can be.
fn closeness(desk: &Desk, cut: &ClothCutting) -> String {
    let plan = desk.plan;
    let needs = plan.ruler.length(cut.needs);
    let marks = plan.ruler.mark().to_f64();
    let least = (cut.at_least - 1e-9).ceil();
    if cut.needs == 0 {
        return match cut.missing {
            Some(_) => "Too little: see below what would do.".into(),
            None => "You have enough.".into(),
        };
    }
    let own = cut.sheets.len() > 1;
    let uses = if own {
        "Uses, beside your own cloth,"
    } else {
        "Uses"
    };
    let uses = format!("{uses} {}", plan.measure.say(&needs));
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a cloth is a few thousand marks long"
    )]
    let at_least = least as i64;
    if marks <= 0.0 || at_least >= cut.needs {
        format!("{uses}. No plan of strips can use less.")
    } else {
        let least = plan.measure.say(&plan.ruler.length(at_least));
        format!("{uses}. No plan of strips can use less than {least}.")
    }
}

fn direction(direction: Direction) -> &'static str {
    match direction {
        Direction::Free => "",
        Direction::TwoWay => "Lies lengthwise",
        Direction::OneWay => "One way up",
    }
}

/// A size to cut, both sides rounded up to the ruler.
pub(super) fn cut_size(desk: &Desk, width: &Surd, height: &Surd) -> String {
    let up = |length: &Surd| desk.plan.ruler.length(desk.plan.ruler.up(length));
    desk.plan.measure.size(&up(width), &up(height))
}

/// What the cloth list takes for granted.
fn buying(desk: &Desk) -> String {
    let (plan, buying) = (desk.plan, &desk.plan.buying);
    let shrinkage = (buying.shrinkage.to_f64() * 100.0).round();
    let washed = if shrinkage > 0.0 {
        format!(", {shrinkage} % is added for shrinking in the wash")
    } else {
        String::new()
    };
    format!(
        "Lengths are for cloth {} wide between the selvages unless another width stands with it. {} is \
         added for squaring the end{washed}, and the sum is rounded up to the next {}.",
        plan.measure.say(&buying.width),
        plan.measure.say(&buying.squaring),
        plan.measure.shop(&buying.step),
    )
}

/// Everything that is not cloth for the top.
fn rest(desk: &Desk) -> Vec<Value> {
    let plan = desk.plan;
    let mut rows = Vec::new();
    let mut add = |what: &str, how: String| rows.push(json!({ "what": what, "how": how }));
    if let Some(made) = &desk.results.finishing {
        if made.backing.cloth.is_none() {
            add(
                "Backing",
                format!(
                    "{} of cloth {} wide, for a back cut {}",
                    plan.measure.shop(&made.backing.buy),
                    plan.measure.say(&made.backing.cloth_width),
                    cut_size(desk, &made.backing.width, &made.backing.height),
                ),
            );
        }
        let batting = &made.batting;
        let package = batting.package.as_ref().map_or_else(
            || {
                "no single usual package is large enough: join two, or buy it off the roll"
                    .to_owned()
            },
            |(name, w, h)| format!("a {name} package of {} is enough", plan.measure.size(w, h)),
        );
        add(
            "Batting",
            format!(
                "cut {}; {package}",
                cut_size(desk, &batting.width, &batting.height)
            ),
        );
        add(
            "Thread",
            format!(
                "about {} for the piecing",
                thread(desk, made.thread.piecing)
            ),
        );
    }
    let ruler = match plan.measure {
        Measure::Inch => "6 × 24 in",
        Measure::Centimetre => "15 × 60 cm",
    };
    add(
        "For cutting",
        format!("rotary cutter with a fresh blade, mat, ruler {ruler} and a smaller square"),
    );
    if desk
        .blocks()
        .iter()
        .any(|b| b.block.templates.iter().any(|t| t.rotary.is_none()))
    {
        add(
            "For templates",
            "template plastic or card, paper scissors, a fine pencil".into(),
        );
    }
    add(
        "For sewing",
        format!(
            "machine set to a seam of {}, new needle, pins, iron, seam ripper",
            plan.measure.say(&plan.seam)
        ),
    );
    rows
}

/// A length of thread, inches, as it stands on a spool.
fn thread(desk: &Desk, inches: f64) -> String {
    match desk.plan.measure {
        Measure::Inch => format!("{:.0} yd", (inches / 36.0 / 10.0).ceil() * 10.0),
        Measure::Centimetre => format!("{:.0} m", (inches * 0.0254 / 10.0).ceil() * 10.0),
    }
}

/// For each cloth that is used, in the plan's order, what it is for.
pub(super) fn uses(desk: &Desk) -> BTreeMap<ClothId, Vec<String>> {
    let mut uses: BTreeMap<ClothId, Vec<String>> = BTreeMap::new();
    in_blocks(desk, &mut uses);
    let mut add = |cloth: ClothId, what: String| {
        let list = uses.entry(cloth).or_default();
        if !list.contains(&what) {
            list.push(what);
        }
    };
    if let Some(top) = &desk.results.top {
        for part in &top.parts {
            add(part.cloth, part_name(desk, part.kind));
        }
    }
    let finishing = &desk.plan.finishing;
    if let Some(cloth) = finishing.backing.cloth {
        add(cloth, "the back".into());
        if finishing.sleeve.is_some() {
            add(cloth, "the hanging sleeve".into());
        }
    }
    if let Some(cloth) = finishing.binding.cloth {
        add(cloth, "the binding".into());
    }
    uses
}

/// `arm 1 round 2 (D)`: the places of the blocks a cloth fills, with the templates' letters.
fn in_blocks(desk: &Desk, uses: &mut BTreeMap<ClothId, Vec<String>>) {
    let Some(top) = &desk.results.top else { return };
    let many = desk.blocks().len() > 1;
    for used in desk.blocks() {
        let of = desk.plan.block(used.id);
        let mut places: BTreeMap<(ClothId, usize), Vec<usize>> = BTreeMap::new();
        for placed in top.blocks.iter().filter(|placed| placed.block == used.id) {
            note_places(desk, &used, placed, &mut places);
        }
        for ((cloth, place), templates) in places {
            let letters: Vec<&str> = templates
                .iter()
                .map(|&t| used.block.templates[t].letter.as_str())
                .collect();
            let block = if many {
                format!("{} ", of.name)
            } else {
                String::new()
            };
            let what = format!("{block}{} ({})", of.places[place].name, letters.join(" "));
            uses.entry(cloth).or_default().push(what);
        }
    }
}

fn note_places(
    desk: &Desk,
    used: &super::Used,
    placed: &PlacedBlock,
    places: &mut BTreeMap<(ClothId, usize), Vec<usize>>,
) {
    for (i, patch) in used.block.patches.iter().enumerate() {
        let Some(place) = patch.place else { continue };
        let templates = places
            .entry((cloth_of(desk.plan, placed, place, i), place))
            .or_default();
        if let Err(at) = templates.binary_search(&patch.template) {
            templates.insert(at, patch.template);
        }
    }
}

/// What a part of the top is called.
pub(super) fn part_name(desk: &Desk, kind: PartKind) -> String {
    let border = |i: usize| {
        if desk.plan.borders.len() == 1 {
            "border".to_owned()
        } else {
            format!("border {}", i + 1)
        }
    };
    match kind {
        PartKind::Sash | PartKind::LongSash => "sashing".into(),
        PartKind::Strip => "strips between columns".into(),
        PartKind::PlainEnd => "plain ends".into(),
        PartKind::Post | PartKind::EdgePost => "posts".into(),
        PartKind::SideTriangle => "side triangles".into(),
        PartKind::CornerTriangle => "corner triangles".into(),
        PartKind::BorderSide(i) | PartKind::BorderEnd(i) => border(i),
        PartKind::BorderSquare(i) => format!("corners of {}", border(i)),
    }
}

/// A list for other chapters: `cloths 1, 4 and 7`.
pub(super) fn numbers(cloths: &[ClothId]) -> String {
    let names: Vec<String> = cloths.iter().map(|c| (c.0 + 1).to_string()).collect();
    list(&names)
}
