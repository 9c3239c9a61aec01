//! A photograph taken as cloth: what was read off it, and the maker's word where it counts
//! more, put on record.

use geometry::Surd;
use photo::Measured;
use quilt::colour;
use quilt::plan::{self, Cloth, Colour, Direction, Edit, Plan, Print, Supply};

use super::cloth::{slug, unlike};
use super::{Asked, Deed};

/// Most cloth a photograph shows, and the largest print, that a plan file holds; inches.
const WIDEST: f64 = 400.0;
const LARGEST: f64 = 60.0;

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
    let scale = scale.filter(|inches| *inches <= LARGEST);
    let mut record = old.map(|old| old.record.clone()).unwrap_or_default();
    record.photo = Some(file.to_owned());
    record.shows = found
        .size
        .map(|[wide, _]| wide)
        .filter(|w| *w <= WIDEST)
        .map(hundredths);
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

#[cfg(test)]
mod tests {
    use photo::{Asked as Question, Photo, Scale};
    use quilt::measure::Measure;

    use super::*;

    /// A stripe of two blues, 20 pixels from line to line.
    fn stripe() -> Photo {
        let rgb = (0..400 * 300)
            .flat_map(|i| {
                if i % 400 % 20 < 10 {
                    [32, 64, 96]
                } else {
                    [208, 216, 224]
                }
            })
            .collect();
        Photo {
            width: 400,
            height: 300,
            rgb,
            notes: Vec::new(),
        }
    }

    #[test]
    fn what_is_taken_can_be_kept_in_inches_and_in_centimetres() {
        let question = Question {
            scale: Some(Scale::Width(7.3)),
            ..Question::default()
        };
        let found = photo::measure(&stripe(), &question).unwrap();
        for (_, title, text) in crate::DEMOS {
            for measure in [Measure::Inch, Measure::Centimetre] {
                let plan = planfile::read(title, text).unwrap();
                let plan = plan.with(&Edit::SetMeasure(measure)).unwrap();
                let asked = Asked::of(&[
                    ("name", "Sea stripe"),
                    ("direction", "two"),
                    ("print", "stripe"),
                    ("as", ""),
                ]);
                let deed = take(&asked, &plan, &found, "photos/1.png").unwrap();
                let after = plan.with(&deed.edits[0]).unwrap();
                let again = planfile::write(&after);
                assert_eq!(planfile::read(title, &again).as_ref(), Ok(&after));
                let cloth = after.cloths.last().unwrap();
                assert_eq!(cloth.key, "sea-stripe");
                assert_eq!(cloth.record.shows, Some(Surd::ratio(73, 10)));
                assert!((cloth.scale.to_f64() - 0.365).abs() < 0.02);
                assert_ne!(cloth.second, cloth.colour);
                // Taken again it changes that cloth and adds none.
                let last = (after.cloths.len() - 1).to_string();
                let asked = Asked::of(&[
                    ("name", "Sea stripe"),
                    ("direction", "one"),
                    ("print", "stripe"),
                    ("as", &last),
                ]);
                let deed = take(&asked, &after, &found, "photos/1.png").unwrap();
                let twice = after.with(&deed.edits[0]).unwrap();
                assert_eq!(twice.cloths.len(), after.cloths.len());
            }
        }
    }
}
