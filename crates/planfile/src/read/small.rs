//! Small pieces of the same design: `[small.Cushion]`.
//!
//! **Units.** Exact inches.

use geometry::Surd;
use quilt::plan::SmallPlan;

use crate::desk::{Desk, Field, Limits, Section};

/// Most small pieces.
const MOST: usize = 50;
/// Largest small piece and widest border, inches.
const LARGEST: i64 = 200;

pub(super) fn small(desk: &mut Desk, root: &Section) -> Option<Vec<SmallPlan>> {
    let Some(field) = root.get("small") else {
        return Some(Vec::new());
    };
    let mend = "Give each small piece its own heading: [small.Cushion].";
    let fields = desk.section(&field, mend)?.fields();
    if fields.len() > MOST {
        let text = format!("There are more than {MOST} small pieces.");
        return desk.fault(&field, text, "Take some out.");
    }
    let read: Vec<Option<SmallPlan>> = fields
        .iter()
        .map(|(name, field)| piece(desk, name, field))
        .collect();
    read.into_iter().collect()
}

fn piece(desk: &mut Desk, name: &str, field: &Field) -> Option<SmallPlan> {
    let name = desk.good_key(field, name, "The name of this piece");
    let section = desk.section(field, "Give the piece its own heading: [small.Cushion].")?;
    desk.only(&section, &["size", "cloth", "border"]);
    let size = desk
        .need(
            &section,
            "size",
            "Give its finished size: size = \"18 x 18\".",
        )
        .and_then(|f| desk.size(&f, &Limits::above_nought(LARGEST)));
    let mend = "Give the cloth of the border that makes up the rest: cloth = \"navy\".";
    let cloth = desk
        .need(&section, "cloth", mend)
        .and_then(|f| desk.cloth(&f));
    let border = desk.or(&section, "border", Surd::ZERO, |d, f| {
        d.length(f, &Limits::from_nought(LARGEST))
    });
    let (width, height) = size?;
    Some(SmallPlan {
        name: name?,
        width,
        height,
        cloth: cloth?,
        border: border?,
    })
}
