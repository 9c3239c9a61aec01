//! How units are made, and how exactly and how fast the maker sews: `[sewing]`.
//!
//! **Units.** Exact inches; rates are seconds, and a length of seam a minute.

use geometry::Surd;
use quilt::plan::{MakingPlan, Rates, SewingPlan, UnitKind, Way, Wish};

use super::finishing::optional;
use crate::defaults;
use crate::desk::{Desk, Field, Limits, Section};

/// The most measured strips.
const MOST_STRIPS: usize = 100;

/// The fields of the heading, apart from those of the kinds of unit.
const FIELDS: [&str; 9] = [
    "make",
    "cut_error",
    "seam_error",
    "three_strips",
    "lay",
    "sew",
    "press",
    "pin",
    "trim",
];

pub(crate) const WISHES: [(&str, Wish); 3] = [
    ("truest grain", Wish::TruestGrain),
    ("least cloth", Wish::LeastCloth),
    ("least work", Wish::LeastWork),
];

/// The field that settles the way for a kind of unit.
pub(crate) fn field(kind: UnitKind) -> &'static str {
    match kind {
        UnitKind::HalfSquare => "half-squares",
        UnitKind::Hourglass => "hourglasses",
        UnitKind::Geese => "geese",
        UnitKind::Row => "rows",
        UnitKind::Corners => "corners",
    }
}

/// What a way is called in a file.
pub(crate) fn way_name(way: Way) -> &'static str {
    match way {
        Way::StripSet => "strip sets",
        other => other.name(),
    }
}

/// Reads how units are made.
pub(super) fn making(desk: &mut Desk, root: &Section) -> Option<MakingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, root, "sewing", &empty)?;
    let fields = UnitKind::ALL.map(field);
    let mut allowed = FIELDS.to_vec();
    allowed.extend(fields);
    desk.only(&section, &allowed);
    let wish = desk.or(&section, "make", Wish::default(), |d, f| {
        d.choice(f, &WISHES)
    });
    let settled: Vec<Option<Option<(UnitKind, Way)>>> = UnitKind::ALL
        .iter()
        .map(|&kind| {
            let ways: Vec<(&str, Way)> = kind.ways().iter().map(|&w| (way_name(w), w)).collect();
            let way = desk.maybe(&section, field(kind), |d, f| d.choice(f, &ways))?;
            Some(way.map(|way| (kind, way)))
        })
        .collect();
    let settled: Option<Vec<Option<(UnitKind, Way)>>> = settled.into_iter().collect();
    Some(MakingPlan {
        wish: wish?,
        settled: settled?.into_iter().flatten().collect(),
    })
}

/// Reads how the maker sews.
pub(super) fn sewing(desk: &mut Desk, root: &Section) -> Option<SewingPlan> {
    let empty = toml_edit::Table::new();
    let section = optional(desk, root, "sewing", &empty)?;
    let unit = desk.measure;
    let error = |desk: &mut Desk, key, usual| {
        desk.or(&section, key, usual, |d, f| {
            d.length(f, &Limits::from_nought(1))
        })
    };
    let cut_error = error(desk, "cut_error", defaults::cut_error(unit));
    let seam_error = error(desk, "seam_error", defaults::seam_error(unit));
    let three_strips = desk.or(&section, "three_strips", Vec::new(), strips);
    let usual = Rates::default();
    let seconds =
        |desk: &mut Desk, key, usual| desk.or(&section, key, usual, |d, f| d.count(f, 0..=3600));
    let lay = seconds(desk, "lay", usual.lay);
    let sew = desk.or(&section, "sew", defaults::sew(unit), |d, f| {
        d.length(f, &Limits::above_nought(2000))
    });
    let press = seconds(desk, "press", usual.press);
    let pin = seconds(desk, "pin", usual.pin);
    let trim = seconds(desk, "trim", usual.trim);
    Some(SewingPlan {
        cut_error: cut_error?,
        seam_error: seam_error?,
        three_strips: three_strips?,
        rates: Rates {
            lay: lay?,
            sew: sew?,
            press: press?,
            pin: pin?,
            trim: trim?,
        },
    })
}

/// What the middle strip measured, test by test.
fn strips(desk: &mut Desk, field: &Field) -> Option<Vec<Surd>> {
    let entries = desk.list(field);
    if entries.len() > MOST_STRIPS {
        let mend = format!("Give the last {MOST_STRIPS} tests.");
        return desk.fault(field, "These are too many tests.", mend);
    }
    let read: Vec<Option<Surd>> = entries
        .iter()
        .map(|entry| desk.length(entry, &Limits::above_nought(4)))
        .collect();
    read.into_iter().collect()
}
