//! The blocks: `[block.Name]` with its places and colourways.
//!
//! **Units.** Exact inches.

use geometry::Surd;
use quilt::plan::{BlockId, BlockPlan, Claim, ClothId, Colourway, Draft, PlacePlan};

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
const FIELDS: [&str; 5] = ["size", "draft", "foundation", "places", "colourway"];

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
    let mut read: Vec<Option<BlockPlan>> = Vec::new();
    for (id, (name, field)) in (0..).map(BlockId).zip(&fields) {
        let next = block(desk, id, name, field, &read);
        read.push(next);
    }
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

fn block(
    desk: &mut Desk,
    id: BlockId,
    name: &str,
    field: &Field,
    above: &[Option<BlockPlan>],
) -> Option<BlockPlan> {
    let name = block_name(desk, name, field);
    let section = desk.section(field, "Give the block its own heading: [block.Star].")?;
    if section
        .get("draft")
        .and_then(|f| f.as_str().map(str::to_owned))
        == Some("taken".into())
    {
        return taken(desk, id, name, &section, above);
    }
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
    let foundation = desk.or(&section, "foundation", false, |d, f| d.flag(f));
    let places = places(desk, id, &section, divide.as_ref());
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
        foundation: foundation?,
    })
}

/// A block taken from another: without a size it keeps that of the part, without places
/// the other's cloths.
fn taken(
    desk: &mut Desk,
    id: BlockId,
    name: Option<String>,
    section: &Section,
    above: &[Option<BlockPlan>],
) -> Option<BlockPlan> {
    draft::kind(desk, section, &FIELDS);
    let taken = draft::taken(desk, section, above);
    let size = desk.maybe(section, "size", |d, f| {
        d.size(f, &Limits::above_nought(LARGEST))
    });
    let own = places(desk, id, section, None);
    let ways = own.as_ref().and_then(|own| colourways(desk, section, own));
    let foundation = desk.or(section, "foundation", false, |d, f| d.flag(f));
    let (taken, source) = taken?;
    if let (false, Some(field)) = (taken.own_cloths, section.get("colourway")) {
        let mend = "Give the places and their cloths too, or leave the colourways out.";
        let text = "This block takes its cloths and colourways from the other.";
        return desk.fault(&field, text, mend);
    }
    let part = taken
        .part
        .as_ref()
        .map(|p| (p.width.clone(), p.height.clone()));
    let (width, height) = size?
        .or(part)
        .unwrap_or_else(|| (source.width.clone(), source.height.clone()));
    let (places, colourways) = if taken.own_cloths {
        (own?, ways?)
    } else {
        (source.handed_on(), source.colourways)
    };
    Some(BlockPlan {
        name: name?,
        width,
        height,
        draft: Draft::Taken(Box::new(taken)),
        places,
        colourways,
        foundation: foundation?,
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

fn places(
    desk: &mut Desk,
    id: BlockId,
    block: &Section,
    divide: Option<&Divide>,
) -> Option<Vec<PlacePlan>> {
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
    let read: Vec<Option<PlacePlan>> = (0..)
        .zip(&fields)
        .map(|(index, (name, field))| place(desk, (id, index), name, field, divide))
        .collect();
    read.into_iter().collect()
}

/// A place: its cloth alone, and it claims the patches of its own name; or a group that
/// says which patches it means.
fn place(
    desk: &mut Desk,
    at: (BlockId, usize),
    name: &str,
    field: &Field,
    divide: Option<&Divide>,
) -> Option<PlacePlan> {
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
    desk.only(&section, &["cloth", "pool", "of", "at", "centred"]);
    let cloths = match section.get("pool") {
        Some(field) => pool(desk, at, &section, &field),
        None => desk
            .need(&section, "cloth", "Give its cloth: cloth = \"navy\".")
            .and_then(|f| cloths(desk, &f)),
    };
    let of = desk.maybe(&section, "of", |d, f| {
        all(d, f, |d, f| Some(Claim::Spot(spot(d, f)?)))
    });
    let points = desk.maybe(&section, "at", |d, f| {
        all(d, f, |d, f| Some(Claim::At(draft::point(d, f, divide)?)))
    });
    let centred = desk.or(&section, "centred", false, Desk::flag);
    let (name, of, points) = (name?, of?, points?);
    let own = || vec![Claim::Spot(name.clone())];
    let claims = match (of, points) {
        (None, None) => own(),
        (of, points) => [of.unwrap_or_default(), points.unwrap_or_default()].concat(),
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

/// The pool that fills a place. Its cloths are put into the place once the pools are read;
/// until then the place has the first cloth of the plan.
fn pool(
    desk: &mut Desk,
    (block, place): (BlockId, usize),
    section: &Section,
    field: &Field,
) -> Option<Vec<ClothId>> {
    if let Some(cloth) = section.get("cloth") {
        let mend = "Keep the pool, and name the cloths there; or keep the cloth.";
        return desk.fault(
            &cloth,
            "A place is filled from a pool or has its own cloth.",
            mend,
        );
    }
    let name = desk.text(field)?;
    let Some(index) = desk.pools.iter().position(|pool| pool == name) else {
        let heading = join("pool", name);
        let mend = match near::nearest(name, &desk.pools) {
            Some(near) => format!("Did you mean “{near}”? Or add [{heading}]."),
            None => format!("Add it: [{heading}]."),
        };
        return desk.fault(field, "There is no pool of this name in the plan.", mend);
    };
    desk.fills.push((index, block, place));
    Some(vec![ClothId(0)])
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
