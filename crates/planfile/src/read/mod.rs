//! From the fields of a file to a [`Plan`].
//!
//! One file a section: [`cloth`], [`block`] with [`draft`], [`setting`], [`finishing`],
//! [`sewing`].
//! Each function reads its section whole and answers `None` if anything in it is
//! senseless, after noting every trouble with the [`Desk`].
//!
//! **What always holds.** Every reference in a plan that is given back points at
//! something; no size is zero or negative where that makes no sense; every count is
//! capped, so that what follows ends in bounded time.

mod block;
mod border;
mod choosing;
mod cloth;
mod cutting;
mod draft;
mod finishing;
mod record;
mod setting;
mod sewing;
mod small;
mod supply;

use geometry::Surd;
use quilt::measure::{Measure, Rounding, Ruler};
use quilt::plan::{Paper, Plan};
use toml_edit::Table;

use crate::desk::{Desk, Field, Limits, Section};
use crate::trouble::Trouble;
use crate::{defaults, syntax};

pub(crate) use border::CUTS;
pub(crate) use choosing::{EACH, OUTWARD};
pub(crate) use cloth::{DIRECTIONS, PRINTS, VALUES, mate};
pub(crate) use cutting::HANDS;
pub(crate) use draft::{CENTRES, PARTS, STYLES, TWISTS, goose_marks};
pub(crate) use finishing::RUNS;
pub(crate) use setting::letters;
pub(crate) use sewing::{WISHES, field, way_name};
pub(crate) use supply::usual_size;

/// The version of the format this reads and writes.
pub(crate) const VERSION: u32 = 1;

/// Longest title and note, characters.
const LONGEST_TITLE: usize = 200;
const LONGEST_NOTE: usize = 4000;

/// The fields of a plan outside any heading, and the headings.
const FIELDS: [&str; 20] = [
    "piecewright",
    "title",
    "note",
    "units",
    "seam",
    "ruler",
    "rounding",
    "paper",
    "buying",
    "cloth",
    "block",
    "setting",
    "border",
    "small",
    "finishing",
    "cutting",
    "sewing",
    "values",
    "pool",
    "ramp",
];

/// Reads a plan from the text of a plan file.
///
/// - `name`: what to call the file in troubles; nothing is opened.
/// - `text`: the whole file.
///
/// # Errors
///
/// Every [`Trouble`] found (at most a hundred), in the order of the file. A plan that
/// makes sense but cannot be built, say with a border of cloth that is too narrow, is
/// read without complaint; findings about it come later.
pub fn read(name: &str, text: &str) -> Result<Plan, Vec<Trouble>> {
    let parsed = syntax::parse(name, text)?;
    let mut desk = Desk::new(name, text, parsed.troubles);
    let plan = plan(&mut desk, parsed.document.as_table());
    let troubles = desk.into_troubles();
    match plan {
        Some(plan) if troubles.is_empty() => Ok(plan),
        _ => Err(troubles),
    }
}

fn plan(desk: &mut Desk, table: &Table) -> Option<Plan> {
    let root = Section::root(table);
    version(desk, &root)?;
    desk.only(&root, &FIELDS);
    let units = [("inch", Measure::Inch), ("cm", Measure::Centimetre)];
    desk.measure = desk.or(&root, "units", Measure::Inch, |d, f| d.choice(f, &units))?;
    let head = head(desk, &root);
    let buying = finishing::buying(desk, &root);
    let usual = buying.as_ref().map_or(Surd::int(40), |b| b.width.clone());
    let cloths = cloth::cloths(desk, &root, &usual);
    choosing::names(desk, &root);
    let blocks = block::blocks(desk, &root);
    let choosing = match &cloths {
        Some(cloths) => choosing::choosing(desk, &root, cloths),
        None => None,
    };
    let (setting, letters) = setting::setting(desk, &root);
    let borders = border::borders(desk, &root, letters.as_ref());
    let small = small::small(desk, &root);
    let finishing = finishing::finishing(desk, &root);
    let cutting = cutting::cutting(desk, &root);
    let making = sewing::making(desk, &root);
    let sewing = sewing::sewing(desk, &root);
    let Head {
        title,
        note,
        seam,
        ruler,
        paper,
    } = head?;
    let mut plan = Plan {
        title,
        note,
        measure: desk.measure,
        seam,
        ruler,
        paper,
        cloths: cloths?,
        blocks: blocks?,
        setting: setting?,
        borders: borders?,
        small: small?,
        finishing: finishing?,
        buying: buying?,
        cutting: cutting?,
        making: making?,
        sewing: sewing?,
        choosing: choosing?,
    };
    if unfilled(desk, &root, &plan) {
        return None;
    }
    plan.refill();
    plan.refresh();
    Some(plan)
}

/// Whether a pool has no cloth: no cloth of the plan may have its value.
fn unfilled(desk: &mut Desk, root: &Section, plan: &Plan) -> bool {
    let empty: Vec<&str> = plan
        .choosing
        .pools
        .iter()
        .filter(|pool| plan.cloths_from(&pool.from).is_empty())
        .map(|pool| pool.name.as_str())
        .collect();
    for name in &empty {
        let text = format!("No cloth of the plan is in the pool “{name}”.");
        let mend = "Name its cloths, or give a cloth of the plan this value.";
        let span = root.get("pool").map_or(0..0, |field| field.span);
        desk.complain(&choosing::path(name), span, text, mend);
    }
    !empty.is_empty()
}

/// The version is looked at first: the rest of a file of another version may mean
/// something else.
fn version(desk: &mut Desk, root: &Section) -> Option<()> {
    let mend = "Begin the file with: piecewright = 1";
    let field = desk.need(root, "piecewright", mend)?;
    let found = desk.count(&field, 1..=1_000_000)?;
    if found == VERSION {
        return Some(());
    }
    let text =
        format!("This plan is of version {found}; this Piecewright reads version {VERSION}.");
    desk.fault(&field, text, "Open it with a newer Piecewright.")
}

/// The fields before the first heading.
struct Head {
    title: String,
    note: String,
    seam: Surd,
    ruler: Ruler,
    paper: Paper,
}

fn head(desk: &mut Desk, root: &Section) -> Option<Head> {
    let measure = desk.measure;
    let title = desk
        .need(root, "title", "Give the quilt a name: title = \"…\".")
        .and_then(|f| text_of(desk, &f, LONGEST_TITLE, false));
    let note = desk.or(root, "note", String::new(), |d, f| {
        text_of(d, f, LONGEST_NOTE, true)
    });
    let seam = desk.or(root, "seam", defaults::seam(measure), |d, f| {
        d.length(f, &Limits::from_nought(2))
    });
    let mark = desk.or(root, "ruler", defaults::mark(measure), |d, f| {
        d.length(f, &Limits::above_nought(1))
    });
    let roundings = [("up", Rounding::Up), ("nearest", Rounding::Nearest)];
    let rounding = desk.or(root, "rounding", Rounding::Up, |d, f| {
        d.choice(f, &roundings)
    });
    let papers = [("letter", Paper::Letter), ("a4", Paper::A4)];
    let paper = desk.or(root, "paper", defaults::paper(measure), |d, f| {
        d.choice(f, &papers)
    });
    let ruler = match (mark, rounding) {
        (Some(mark), Some(rounding)) => Ruler::new(mark, rounding).or_else(|| {
            let field = root.get("ruler")?;
            desk.fault(
                &field,
                "A ruler's marks are a fraction.",
                "Write it like 1/8 or 0.1.",
            )
        }),
        _ => None,
    };
    Some(Head {
        title: title?,
        note: note?,
        seam: seam?,
        ruler: ruler?,
        paper: paper?,
    })
}

/// A text that may have several lines if `long`.
fn text_of(desk: &mut Desk, field: &Field, most: usize, long: bool) -> Option<String> {
    let text = desk.text(field)?;
    if text.trim().is_empty() && !long {
        return desk.fault(field, "This is empty.", "Write a few words.");
    }
    if text.chars().count() > most {
        let mend = format!("Keep to {most} letters.");
        return desk.fault(field, "This is too long.", mend);
    }
    let odd = |c: char| c.is_control() && !(long && matches!(c, '\n' | '\r' | '\t'));
    if text.chars().any(odd) {
        let mend = if long {
            "Take them out."
        } else {
            "Write it on one line."
        };
        return desk.fault(
            field,
            "There are letters here that cannot be printed.",
            mend,
        );
    }
    Some(text.to_owned())
}
