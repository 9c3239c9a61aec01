//! The borders: `[[border]]`, plain, pieced or as a spacer.
//!
//! **Units.** Exact inches.

use geometry::Surd;
use quilt::plan::{BorderKind, BorderPlan, CellPlan, ClothId, Corner, CutAlong, Pieced};

use super::setting::{Letters, WIDEST, repeat};
use crate::desk::{Body, Desk, Field, Limits, Section};

/// Most borders.
const MOST_BORDERS: usize = 30;

pub(crate) const CUTS: [(&str, CutAlong); 2] =
    [("across", CutAlong::Across), ("length", CutAlong::Length)];

/// Reads the borders, from the inside out.
pub(super) fn borders(
    desk: &mut Desk,
    root: &Section,
    letters: Option<&Letters>,
) -> Option<Vec<BorderPlan>> {
    let Some(field) = root.get("border") else {
        return Some(Vec::new());
    };
    let mend = "Begin every border with a heading in double brackets: [[border]].";
    if !matches!(field.body, Body::Tables(_) | Body::List(_)) {
        return desk.fault(&field, "Borders come one after another.", mend);
    }
    let sections = desk.sections(&field, mend);
    if sections.len() > MOST_BORDERS {
        let text = format!("There are more than {MOST_BORDERS} borders.");
        return desk.fault(&field, text, "Take some out.");
    }
    let borders: Vec<Option<BorderPlan>> = sections
        .iter()
        .map(|section| border(desk, section, letters))
        .collect();
    borders.into_iter().collect()
}

/// Fields that only plain borders and spacers have, and those that only pieced ones have.
const OF_STRIPS: [&str; 6] = ["width", "corner", "squares", "cut", "spacer", "up_to"];
const OF_UNITS: [&str; 3] = ["units", "corner_block", "from_middle"];

fn border(desk: &mut Desk, section: &Section, letters: Option<&Letters>) -> Option<BorderPlan> {
    desk.only(
        section,
        &[&["cloth"], &OF_STRIPS[..], &OF_UNITS[..]].concat(),
    );
    let pieced = section.get("units").is_some();
    let (odd, mend) = if pieced {
        (
            &OF_STRIPS[..],
            "Take it out: a pieced border is as wide as its units.",
        )
    } else {
        (
            &OF_UNITS[..],
            "Take it out, or give the border units: units = \"F0\".",
        )
    };
    for field in odd.iter().filter_map(|key| section.get(key)) {
        let text = if pieced {
            "This border is pieced and has no strips."
        } else {
            "This border is not pieced."
        };
        desk.fault::<()>(&field, text, mend);
    }
    if pieced {
        self::pieced(desk, section, letters)
    } else {
        strips(desk, section)
    }
}

/// One text of cells, as in a row of the repeat.
fn cells(desk: &mut Desk, field: &Field, letters: Option<&Letters>) -> Option<Vec<CellPlan>> {
    let repeat = repeat(desk, field, letters)?;
    if repeat.rows == 1 {
        return Some(repeat.cells);
    }
    let mend = "Write the units of one repeat with blanks between them: units = \"F0 P\".";
    desk.fault(field, "A border has one row of units.", mend)
}

fn pieced(desk: &mut Desk, section: &Section, letters: Option<&Letters>) -> Option<BorderPlan> {
    let units = section.get("units").and_then(|f| cells(desk, &f, letters));
    let corner = desk.maybe(section, "corner_block", |d, f| {
        let cells = cells(d, f, letters)?;
        match cells.as_slice() {
            [one] => Some(*one),
            _ => d.fault(
                f,
                "The corners are one block.",
                "Give the one in the upper left corner: corner_block = \"C0\".",
            ),
        }
    });
    let from_middle = desk.or(section, "from_middle", false, |d, f| d.flag(f));
    let corner = corner?;
    // Plain corner squares need a cloth; corner blocks bring their own.
    let cloth = match (&corner, section.get("cloth")) {
        (None, _) => desk
            .need(section, "cloth", "Give the cloth of the corner squares: cloth = \"navy\", or corner blocks: corner_block = \"C0\".")
            .and_then(|f| desk.cloth(&f)),
        (Some(_), Some(field)) => desk.fault(&field, "The corners are blocks and have their own cloth.", "Take one of the two out."),
        (Some(_), None) => Some(ClothId(0)),
    };
    Some(BorderPlan {
        kind: BorderKind::Pieced(Pieced {
            units: units?,
            corner,
            from_middle: from_middle?,
        }),
        width: Surd::ZERO,
        cloth: cloth?,
        corner: Corner::Butted,
        cut: CutAlong::Across,
    })
}

/// A plain border, or a spacer, whose width is the least it may have.
fn strips(desk: &mut Desk, section: &Section) -> Option<BorderPlan> {
    let spacer = desk.or(section, "spacer", false, |d, f| d.flag(f))?;
    let up_to = desk.maybe(section, "up_to", |d, f| {
        d.size(f, &Limits::above_nought(1000))
    })?;
    if let (true, Some(field)) = (spacer, section.get("up_to")) {
        let text = "A spacer is as wide as the next pieced border asks.";
        return desk.fault(&field, text, "Take one of the two out.");
    }
    if let (Some(_), Some(field)) = (&up_to, section.get("width")) {
        let text = "Both a width and a size to make up are given.";
        return desk.fault(&field, text, "Take one of the two out.");
    }
    let width = if up_to.is_some() {
        Some(Surd::ZERO)
    } else if spacer {
        desk.or(section, "width", Surd::ZERO, |d, f| {
            d.length(f, &Limits::from_nought(WIDEST))
        })
    } else {
        let mend = "Give its finished width: width = \"4 1/2\".";
        desk.need(section, "width", mend)
            .and_then(|f| desk.length(&f, &Limits::above_nought(WIDEST)))
    };
    let cloth = desk
        .need(section, "cloth", "Give its cloth: cloth = \"navy\".")
        .and_then(|f| desk.cloth(&f));
    let corners = [("butted", 0), ("mitred", 1), ("squares", 2)];
    let which = desk.or(section, "corner", 0, |d, f| d.choice(f, &corners));
    let squares = section.get("squares");
    let corner = match (which, squares) {
        (Some(2), Some(field)) => desk.cloth(&field).map(Corner::Squares),
        (Some(2), None) => {
            let mend = "Give the cloth of the corner squares: squares = \"navy\".";
            desk.need(section, "squares", mend);
            None
        }
        (Some(_), Some(field)) => {
            let mend = "Take it out, or write: corner = \"squares\".";
            desk.fault(&field, "This border has no corner squares.", mend)
        }
        (Some(1), None) => Some(Corner::Mitred),
        (Some(_), None) => Some(Corner::Butted),
        (None, _) => None,
    };
    let cut = desk.or(section, "cut", CutAlong::Across, |d, f| d.choice(f, &CUTS));
    Some(BorderPlan {
        kind: match up_to {
            Some((width, height)) => BorderKind::UpTo { width, height },
            None if spacer => BorderKind::Spacer,
            None => BorderKind::Plain,
        },
        width: width?,
        cloth: cloth?,
        corner: corner?,
        cut: cut?,
    })
}
