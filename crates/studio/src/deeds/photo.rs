//! A photograph taken as cloth: what was read off it, and the maker's word where it counts
//! more, put on record.

use geometry::Surd;
use photo::Measured;
use quilt::colour;
use quilt::plan::{self, Cloth, Colour, Direction, Edit, Plan, Print, Supply};

use super::cloth::{slug, unlike};
use super::{Asked, Deed};

/// The gesture that makes a cloth of what was found in the photograph the plan calls
/// `file`, or puts it on record of a cloth there is.
pub(crate) fn take(
    asked: &Asked,
    plan: &Plan,
    found: &Measured,
    file: &str,
) -> Result<Deed, String> {
    let name = asked.word("name")?.to_owned();
    if name.is_empty() || name.chars().count() > 100 {
        return Err("A cloth needs a name of one to a hundred letters.".into());
    }
    let direction = match asked.word("direction")? {
        "one" => Direction::OneWay,
        "two" => Direction::TwoWay,
        _ => Direction::Free,
    };
    let print = super::cloth::print(asked.word("print")?);
    let id = asked.maybe_cloth("as", plan)?;
    let old = id.map(|id| plan.cloth(id));
    let taken = |key: &str| plan.cloths.iter().any(|cloth| cloth.key == key);
    let scale = found.figure.and_then(|figure| figure.inches);
    let mut record = old.map(|old| old.record.clone()).unwrap_or_default();
    record.photo = Some(file.to_owned());
    record.shows = found.size.map(|[wide, _]| hundredths(wide));
    record.measured = Some(on_record(found, print, direction));
    let cloth = Cloth {
        key: old.map_or_else(|| unlike(&slug(&name), taken), |old| old.key.clone()),
        name,
        colour: found.colour,
        second: second(found, print),
        print,
        scale: scale.map_or_else(
            || old.map_or(Surd::ONE, |old| old.scale.clone()),
            hundredths,
        ),
        direction,
        width: old.map_or_else(|| plan.buying.width.clone(), |old| old.width.clone()),
        value: old.and_then(|old| old.value),
        motif: old.and_then(|old| old.motif.clone()),
        supply: old.map_or_else(Supply::default, |old| old.supply.clone()),
        record,
    };
    Ok(match id {
        Some(id) => {
            let says = format!("Show {} by its photograph", cloth.name);
            Deed::one(Edit::SetCloth(id, cloth), says)
        }
        None => {
            let says = format!("Take {} from its photograph", cloth.name);
            Deed::one(Edit::AddCloth(cloth), says)
        }
    })
}

/// The colour of the figure: of the main colours the one furthest from the whole.
pub(crate) fn second(found: &Measured, print: Print) -> Colour {
    let ground = colour::lab(found.colour);
    let apart = |shade: &photo::Shade| colour::difference(shade.lab, ground);
    let far = found
        .shades
        .iter()
        .max_by(|a, b| apart(a).total_cmp(&apart(b)));
    match far {
        Some(shade) if print != Print::Plain => shade.colour,
        _ => found.colour,
    }
}

/// What was found, as the stash's own book has it.
fn on_record(found: &Measured, print: Print, direction: Direction) -> plan::Measured {
    let [_, a, b] = colour::lab(found.colour);
    plan::Measured {
        lab: [found.value.mean, a, b].map(tenths),
        spread: Some(tenths(found.value.contrast().max(0.0))),
        busy: None,
        scale: found
            .figure
            .and_then(|figure| figure.inches)
            .map(hundredths),
        repeat: found
            .upright_repeat()
            .map(|[across, down]| (hundredths(across), hundredths(down))),
        direction: Some(direction),
        print: Some(print),
    }
}

/// To a tenth, as it is written.
fn tenths(number: f64) -> Surd {
    Surd::ratio(whole(number * 10.0), 10)
}

/// To a hundredth of an inch, and at least that.
fn hundredths(inches: f64) -> Surd {
    Surd::ratio(whole(inches * 100.0).max(1), 100)
}

#[expect(clippy::cast_possible_truncation, reason = "kept within bounds")]
fn whole(number: f64) -> i64 {
    number.round().clamp(-1e9, 1e9) as i64
}
