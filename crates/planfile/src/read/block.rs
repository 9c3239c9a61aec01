//! The blocks: `[block.Name]` with its places and colourways.
//!
//! **Units.** Exact inches.

use geometry::{Point, Surd};
use quilt::plan::{BlockPlan, Claim, ClothId, Colourway, PlacePlan};

use super::draft::{self, Divide};
use crate::desk::{BlockNames, Body, Desk, Field, Limits, Section, join};
use crate::near;

/// Most blocks in a plan, places in a block, colourways of a block, cloths of a place.
const MOST_BLOCKS: usize = 200;
const MOST_PLACES: usize = 2000;
const MOST_COLOURWAYS: usize = 100;
const MOST_CLAIMS: usize = 2000;

/// Largest block, inches.
const LARGEST: i64 = 1000;

/// Fields every block can have, whatever its draft.
const FIELDS: [&str; 4] = ["size", "draft", "places", "colourway"];

/// Reads all blocks, and tells the desk their names so that the setting can use them.
pub(super) fn blocks(desk: &mut Desk, root: &Section) -> Option<Vec<BlockPlan>> {
    let mend = "A block begins with a heading: [block.Star].";
    let all = root.get("block");
    let fields = match &all {
        None => Vec::new(),
        Some(field) => desk.section(field, mend)?.fields(),
    };
    if fields.is_empty() {
        desk.absent("block", root.span.clone(), "The plan has no block.", mend);
        return None;
    }
    if fields.len() > MOST_BLOCKS {
        let text = format!("There are more than {MOST_BLOCKS} blocks.");
        return desk.fault(all.as_ref()?, text, "Take out those that are not used.");
    }
    desk.blocks = fields
        .iter()
        .map(|(name, field)| names(name, field))
        .collect();
    let read: Vec<Option<BlockPlan>> = fields
        .iter()
        .map(|(name, field)| block(desk, name, field))
        .collect();
    read.into_iter().collect()
}

/// The names others may refer to, whether or not the block itself can be read.
fn names(name: &str, field: &Field) -> BlockNames {
    let colourways = match field.body {
        Body::Table(table) => table.get("colourway").and_then(|item| item.as_table_like()),
        _ => None,
    };
    let colourways = colourways.map(|t| t.iter().map(|(key, _)| key.to_owned()).collect());
    BlockNames {
        name: name.to_owned(),
        colourways: colourways.unwrap_or_default(),
    }
}

fn block(desk: &mut Desk, name: &str, field: &Field) -> Option<BlockPlan> {
    let name = block_name(desk, name, field);
    let section = desk.section(field, "Give the block its own heading: [block.Star].")?;
    let size = desk
        .need(
            &section,
            "size",
            "Give its finished size: size = \"12\" or size = \"12 x 9\".",
        )
        .and_then(|f| desk.size(&f, &Limits::above_nought(LARGEST)));
    let kind = draft::kind(desk, &section, &FIELDS);
    let divide = draft::divide(desk, &section, size.as_ref());
    let draft = kind.and_then(|kind| draft::draft(desk, &section, kind, divide.as_ref()));
    let places = places(desk, &section, divide.as_ref());
    let colourways = match &places {
        Some(places) => colourways(desk, &section, places),
        None => None,
    };
    let (width, height) = size?;
    Some(BlockPlan {
        name: name?,
        width,
        height,
        draft: draft?,
        places: places?,
        colourways: colourways?,
    })
}

fn block_name(desk: &mut Desk, name: &str, field: &Field) -> Option<String> {
    let name = desk.good_key(field, name, "The name of this block")?;
    if name.contains('/') {
        let mend = "The stroke divides a block from its colourway in [setting.key]; leave it out.";
        return desk.fault(field, "A block's name cannot have a “/” in it.", mend);
    }
    Some(name)
}

fn places(desk: &mut Desk, block: &Section, divide: Option<&Divide>) -> Option<Vec<PlacePlan>> {
    let mend = format!(
        "Give the places under a heading: [{}].",
        join(&block.path, "places")
    );
    let Some(field) = block.get("places") else {
        return Some(Vec::new());
    };
    let fields = desk.section(&field, &mend)?.fields();
    if fields.len() > MOST_PLACES {
        let text = format!("There are more than {MOST_PLACES} places.");
        return desk.fault(&field, text, "Let several patches share a place.");
    }
    let read: Vec<Option<PlacePlan>> = fields
        .iter()
        .map(|(name, field)| place(desk, name, field, divide))
        .collect();
    read.into_iter().collect()
}

/// A place: its cloth alone, and it claims the patches of its own name; or a group that
/// says which patches it means.
fn place(desk: &mut Desk, name: &str, field: &Field, divide: Option<&Divide>) -> Option<PlacePlan> {
    let name = desk.good_key(field, name, "The name of this place");
    let Body::Table(table) = field.body else {
        let cloths = cloths(desk, field);
        let name = name?;
        return Some(PlacePlan {
            claims: vec![Claim::Spot(name.clone())],
            name,
            cloths: cloths?,
            centred: false,
        });
    };
    let section = Section {
        path: field.path.clone(),
        span: field.span.clone(),
        table,
    };
    desk.only(&section, &["cloth", "of", "at", "centred"]);
    let cloths = desk
        .need(&section, "cloth", "Give its cloth: cloth = \"navy\".")
        .and_then(|f| cloths(desk, &f));
    let of = desk.maybe(&section, "of", |d, f| {
        all(d, f, |d, f| Some(Claim::Spot(spot(d, f)?)))
    });
    let at = desk.maybe(&section, "at", |d, f| {
        all(d, f, |d, f| Some(Claim::At(at(d, f, divide)?)))
    });
    let centred = desk.or(&section, "centred", false, Desk::flag);
    let (name, of, at) = (name?, of?, at?);
    let own = || vec![Claim::Spot(name.clone())];
    let claims = match (of, at) {
        (None, None) => own(),
        (of, at) => [of.unwrap_or_default(), at.unwrap_or_default()].concat(),
    };
    Some(PlacePlan {
        name,
        cloths: cloths?,
        claims,
        centred: centred?,
    })
}

fn spot(desk: &mut Desk, field: &Field) -> Option<String> {
    desk.name(field, "The name of a patch")
}

fn at(desk: &mut Desk, field: &Field, divide: Option<&Divide>) -> Option<Point> {
    draft::point(desk, field, divide)
}

/// Every entry of a list read alike, or none if one of them is wrong.
fn all<'a, T>(
    desk: &mut Desk,
    field: &Field<'a>,
    mut read: impl FnMut(&mut Desk, &Field<'a>) -> Option<T>,
) -> Option<Vec<T>> {
    let entries = desk.list(field);
    if entries.len() > MOST_CLAIMS {
        let text = format!("This list has more than {MOST_CLAIMS} entries.");
        return desk.fault(field, text, "Make it shorter.");
    }
    let read: Vec<Option<T>> = entries.iter().map(|entry| read(desk, entry)).collect();
    read.into_iter().collect()
}

/// One cloth, or several taken in turn.
fn cloths(desk: &mut Desk, field: &Field) -> Option<Vec<ClothId>> {
    let cloths = all(desk, field, |d, f| d.cloth(f))?;
    if cloths.is_empty() {
        return desk.fault(
            field,
            "This list of cloths is empty.",
            "Name at least one cloth.",
        );
    }
    Some(cloths)
}

fn colourways(desk: &mut Desk, block: &Section, places: &[PlacePlan]) -> Option<Vec<Colourway>> {
    let heading = join(&join(&block.path, "colourway"), "dusk");
    let mend = format!("Give a colourway its own heading: [{heading}].");
    let Some(field) = block.get("colourway") else {
        return Some(Vec::new());
    };
    let fields = desk.section(&field, &mend)?.fields();
    if fields.len() > MOST_COLOURWAYS {
        let text = format!("There are more than {MOST_COLOURWAYS} colourways.");
        return desk.fault(&field, text, "Take out those that are not used.");
    }
    let read: Vec<Option<Colourway>> = fields
        .iter()
        .map(|(name, field)| {
            let name = desk.good_key(field, name, "The name of this colourway");
            let section = desk.section(field, &mend)?;
            let changes: Vec<_> = section
                .fields()
                .iter()
                .map(|(k, f)| change(desk, k, f, places))
                .collect();
            let places: Option<Vec<_>> = changes.into_iter().collect();
            Some(Colourway {
                name: name?,
                places: places?,
            })
        })
        .collect();
    read.into_iter().collect()
}

/// A place that takes other cloth in a colourway.
fn change(
    desk: &mut Desk,
    name: &str,
    field: &Field,
    places: &[PlacePlan],
) -> Option<(usize, Vec<ClothId>)> {
    let index = places.iter().position(|place| place.name == name);
    if index.is_none() {
        let known: Vec<&str> = places.iter().map(|p| p.name.as_str()).collect();
        let short: String = name.chars().take(60).collect();
        let text = format!("This block has no place “{short}”.");
        let advice = near::advice(name, &known, "places of this block");
        desk.absent(&field.path, field.span.clone(), text, advice);
    }
    let cloths = cloths(desk, field);
    Some((index?, cloths?))
}

/// The unit coordinates of a block are counted in: file units, or divisions.
pub(super) fn scale(desk: &Desk, divide: Option<&Divide>) -> (Surd, Surd) {
    match divide {
        Some(Divide { across, down }) => (across.clone(), down.clone()),
        None => (desk.measure.in_inches(), desk.measure.in_inches()),
    }
}
