//! How units are made: `[sewing]`.

use quilt::plan::{MakingPlan, UnitKind, Way, Wish};

use super::finishing::optional;
use crate::desk::{Desk, Section};

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
    let mut allowed = vec!["make"];
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
