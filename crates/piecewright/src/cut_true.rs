//! Which photograph stands for which cloth when a top is painted cut true.

use std::path::{Path, PathBuf};

use photo::cut_true::{From, Painted, Shown, Swatch};
use quilt::plan::{Cloth, Plan};

use crate::commands::{Stop, photograph};
use crate::photos::inches;

/// The plan's cloths as they are painted.
pub(crate) struct Cloths {
    /// One entry a cloth of the plan.
    pub(crate) painted: Vec<Painted>,
    /// Names of cloths that have no photograph.
    bare: Vec<String>,
}

/// A photograph of cloth alone.
struct Told {
    file: PathBuf,
    wide: f64,
}

/// Reads the photographs: those the plan names (beside it in `folder`) where it also says
/// how much cloth they show, and in their place those `given`, typed as
/// `cloth=file=width`.
pub(crate) fn cloths(plan: &Plan, folder: &Path, given: &[String]) -> Result<Cloths, Stop> {
    let mut told: Vec<Option<Told>> = plan
        .cloths
        .iter()
        .map(|cloth| {
            Some(Told {
                file: folder.join(cloth.record.photo.as_ref()?),
                wide: cloth.record.shows.as_ref()?.to_f64(),
            })
        })
        .collect();
    for text in given {
        let (key, told_of) = understood(text)?;
        let place = plan
            .cloths
            .iter()
            .position(|cloth| cloth.key == key)
            .ok_or_else(|| {
                let keys: Vec<&str> = plan.cloths.iter().map(|cloth| cloth.key.as_str()).collect();
                mistyped(format!(
                    "There is no cloth “{key}” in this plan; there are {}.",
                    keys.join(", ")
                ))
            })?;
        told[place] = Some(told_of);
    }
    let mut cloths = Cloths {
        painted: Vec::new(),
        bare: Vec::new(),
    };
    for (cloth, told) in plan.cloths.iter().zip(told) {
        let painted = match told {
            Some(told) => of_photo(cloth, &told)?,
            None => {
                cloths.bare.push(cloth.name.clone());
                Painted::Flat([cloth.colour.red, cloth.colour.green, cloth.colour.blue])
            }
        };
        cloths.painted.push(painted);
    }
    Ok(cloths)
}

fn of_photo(cloth: &Cloth, told: &Told) -> Result<Painted, Stop> {
    let photo = photograph(&told.file)?;
    let per_inch = photo.width as f64 / told.wide;
    let asked = photo::Asked {
        scale: Some(photo::Scale::Width(told.wide)),
        ..photo::Asked::default()
    };
    let found = photo::measure(&photo, &asked).map_err(|fault| {
        Stop::mend(format!(
            "{} ({}): {fault}.\n",
            told.file.display(),
            cloth.name
        ))
    })?;
    let swatch = Swatch::new(&photo, per_inch, found.upright_repeat());
    Ok(Painted::Photo(Box::new(swatch)))
}

fn mistyped(text: String) -> Stop {
    Stop {
        text: text + "\n",
        code: 2,
    }
}

fn understood(text: &str) -> Result<(&str, Told), Stop> {
    let wrong = || {
        mistyped(format!(
            "--photo takes a cloth, a file and a width like “navy=navy.png=18 in”, not “{text}”."
        ))
    };
    let (key, rest) = text.split_once('=').ok_or_else(wrong)?;
    let (file, wide) = rest.rsplit_once('=').ok_or_else(wrong)?;
    let wide = inches("--photo", wide).map_err(mistyped)?;
    if wide <= 0.0 {
        return Err(wrong());
    }
    let file = PathBuf::from(file);
    Ok((key.trim(), Told { file, wide }))
}

/// What is to be known about the picture.
pub(crate) fn says(plan: &Plan, patches: &[Shown], cloths: &Cloths, output: &Path) -> String {
    let mut text = format!("The top cut true lies in {}\n", output.display());
    let used = |name: &String| {
        patches
            .iter()
            .any(|patch| plan.cloth(patch.cloth).name == *name)
    };
    let bare: Vec<String> = cloths
        .bare
        .iter()
        .filter(|n| used(n))
        .map(|name| format!("“{name}”"))
        .collect();
    if !bare.is_empty() {
        text.push_str(&format!(
            "Without a photograph, in one colour: {}.\n",
            bare.join(", ")
        ));
    }
    let many = |from: From| patches.iter().filter(|patch| patch.from == from).count();
    let (units, nowhere) = (many(From::Unit), many(From::Nowhere));
    if units > 0 {
        text.push_str(&format!(
            "{units} patches come from squares that make several units; they show a part of \
             their square, but which one depends on how it is cut open.\n"
        ));
    }
    if nowhere > 0 {
        text.push_str(&format!(
            "{nowhere} patches have no place on their cloth yet; they show any part of it.\n"
        ));
    }
    text
}
