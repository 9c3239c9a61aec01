//! Laying cloth on patches; cloths added, changed, exchanged, taken away.

use geometry::Surd;
use quilt::plan::{
    BlockPlan, BorderPlan, CellPlan, Cloth, ClothId, Colour, Colourway, Corner, Direction, Edit,
    Ends, Kind, Plan, Print, Reach, Sashing, Supply, Value,
};
use quilt::setting::{PartKind, PlacedBlock};

use super::{Asked, Deed, reach, setting};
use crate::look::{Look, Owner};

pub(super) fn read(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    match asked.word("do")? {
        "lay" => {
            let cloth = asked.cloth("cloth", plan)?;
            let patch = asked.number("patch")?;
            let how_far = asked.word("reach")?;
            let edits = lay(plan, look, patch, cloth, how_far)?;
            let where_to = match how_far {
                "wherever" => look
                    .items
                    .get(patch)
                    .and_then(|item| item.cloth)
                    .map_or_else(String::new, |old| {
                        format!("wherever {} lay", plan.cloth(ClothId(old)).name)
                    }),
                "here" => format!("on {} in one block", reach::place_name(plan, look, patch)),
                _ => format!("on {}", reach::place_name(plan, look, patch)),
            };
            let says = format!("Lay {} {where_to}", plan.cloth(cloth).name);
            Ok(Deed { edits, says })
        }
        "replace" => {
            let (from, to) = (asked.cloth("cloth", plan)?, asked.cloth("to", plan)?);
            let says = format!(
                "Take {} for {} everywhere",
                plan.cloth(to).name,
                plan.cloth(from).name
            );
            Ok(Deed::one(Edit::Replace(from, to), says))
        }
        "add-cloth" => {
            let cloth = described(asked, plan, None)?;
            let says = format!("Add the cloth {}", cloth.name);
            Ok(Deed::one(Edit::AddCloth(cloth), says))
        }
        "cloth" => {
            let id = asked.cloth("cloth", plan)?;
            let cloth = described(asked, plan, Some(plan.cloth(id)))?;
            let says = format!("Change the cloth {}", cloth.name);
            Ok(Deed::one(Edit::SetCloth(id, cloth), says))
        }
        _ => {
            let id = asked.cloth("cloth", plan)?;
            let says = format!("Take away the cloth {}", plan.cloth(id).name);
            Ok(Deed::one(Edit::RemoveCloth(id), says))
        }
    }
}

/// A cloth from its form; what the form does not ask stays as it was, or as usual.
fn described(asked: &Asked, plan: &Plan, old: Option<&Cloth>) -> Result<Cloth, String> {
    let name = asked.word("name")?.to_owned();
    if name.is_empty() || name.chars().count() > 100 {
        return Err("A cloth needs a name of one to a hundred letters.".into());
    }
    let colour = colour(asked.word("colour")?)?;
    let print = print(asked.word("print")?);
    let second = match (print, asked.text("second")) {
        (Print::Plain, _) | (_, None | Some("")) => old
            .filter(|old| old.print == print && old.colour == colour)
            .map_or_else(|| figure(colour, print), |old| old.second),
        (_, Some(second)) => self::colour(second)?,
    };
    let value = match asked.text("value") {
        Some("dark") => Some(Value::Dark),
        Some("medium") => Some(Value::Medium),
        Some("light") => Some(Value::Light),
        _ => None,
    };
    let width = match asked.text("width") {
        None | Some("") => old.map_or_else(|| plan.buying.width.clone(), |old| old.width.clone()),
        Some(_) => asked.length("width", plan)?,
    };
    let direction = match asked.text("direction") {
        Some("one") => Direction::OneWay,
        Some("two") => Direction::TwoWay,
        Some("free") => Direction::Free,
        _ if print == Print::Stripe => Direction::TwoWay,
        _ => old.map_or(Direction::Free, |old| old.direction),
    };
    let taken = |key: &str| plan.cloths.iter().any(|cloth| cloth.key == key);
    Ok(Cloth {
        key: old.map_or_else(|| unlike(&slug(&name), taken), |old| old.key.clone()),
        name,
        colour,
        second,
        print,
        scale: old.map_or(Surd::ONE, |old| old.scale.clone()),
        direction,
        width,
        value,
        motif: old.and_then(|old| old.motif.clone()),
        supply: old.map_or_else(Supply::default, |old| old.supply.clone()),
        record: old.map(|old| old.record.clone()).unwrap_or_default(),
    })
}

/// A kind of print by its word in a form.
pub(super) fn print(word: &str) -> Print {
    match word {
        "stripe" => Print::Stripe,
        "plaid" => Print::Plaid,
        "dot" => Print::Dot,
        "tonal" => Print::Tonal,
        "leafy" => Print::Leafy,
        _ => Print::Plain,
    }
}

/// A second colour that shows on the first: lighter on dark, darker on light.
fn figure(colour: Colour, print: Print) -> Colour {
    if print == Print::Plain {
        return colour;
    }
    let dark = quilt::colour::lab(colour)[0] < 55.0;
    let shift = |channel: u8| {
        if dark {
            channel.saturating_add(48)
        } else {
            channel.saturating_sub(48)
        }
    };
    Colour {
        red: shift(colour.red),
        green: shift(colour.green),
        blue: shift(colour.blue),
    }
}

fn colour(text: &str) -> Result<Colour, String> {
    let digits = text
        .strip_prefix('#')
        .filter(|digits| digits.len() == 6 && digits.is_ascii());
    let part = |at: usize| {
        digits
            .and_then(|digits| u8::from_str_radix(&digits[at..at + 2], 16).ok())
            .ok_or_else(|| format!("“{text}” is no colour; write it like #a03c28."))
    };
    Ok(Colour {
        red: part(0)?,
        green: part(2)?,
        blue: part(4)?,
    })
}

/// A short name from a long one.
pub(super) fn slug(name: &str) -> String {
    let lower = name.to_lowercase();
    let parts: Vec<&str> = lower
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty())
        .collect();
    if parts.is_empty() {
        "cloth".into()
    } else {
        parts.join("-").chars().take(40).collect()
    }
}

/// The stem, with the first number that makes it new where it is taken.
pub(super) fn unlike(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut name = stem.to_owned();
    let mut number = 2;
    while taken(&name) {
        name = format!("{stem}-{number}");
        number += 1;
    }
    name
}

/// The edits that lay a cloth on a patch and as far as the reach says.
pub(super) fn lay(
    plan: &Plan,
    look: &Look,
    patch: usize,
    cloth: ClothId,
    how_far: &str,
) -> Result<Vec<Edit>, String> {
    let gone = || "That patch is not there any more; choose it again.".to_owned();
    let owner = look.owner(patch).ok_or_else(gone)?;
    let top = look.top().ok_or_else(gone)?;
    if how_far == "wherever" {
        let old = look.items[patch].cloth;
        let old = old.ok_or("There is no cloth on this patch yet; reach less far.")?;
        return Ok(vec![Edit::Replace(ClothId(old), cloth)]);
    }
    match owner {
        Owner::Part(part) if how_far == "alike" => part_cloth(plan, top.parts[part].kind, cloth),
        Owner::Part(_) => Err("Strips and borders take one cloth together.".into()),
        Owner::Patch(index, patch) => {
            let placed = &top.blocks[index];
            let place = look
                .block(placed)
                .and_then(|block| block.patches[patch].place)
                .ok_or("This patch has no place yet; give it one under Block.")?;
            in_blocks(plan, placed, place, cloth, how_far)
        }
    }
}

fn in_blocks(
    plan: &Plan,
    placed: &PlacedBlock,
    place: usize,
    cloth: ClothId,
    how_far: &str,
) -> Result<Vec<Edit>, String> {
    let id = placed.block;
    let mut block = plan.block(id).clone();
    let cloths = vec![cloth];
    if how_far == "alike" {
        let Some(way) = placed.colourway else {
            return Ok(vec![Edit::LayCloth {
                block: id,
                place,
                cloths,
            }]);
        };
        set_in_way(&mut block.colourways[way], place, cloths);
        return Ok(vec![Edit::SetBlock(id, block)]);
    }
    let reach = match how_far {
        "here" => Reach::Here,
        "repeat" => Reach::Repeat,
        other => return Err(format!("A deed does not reach “{other}”.")),
    };
    let at = setting::spot(placed)?;
    // The same block in other cloth: one there is already, or a new colourway.
    let mut way = placed.colourway.map_or_else(
        || Colourway {
            name: String::new(),
            places: Vec::new(),
        },
        |way| block.colourways[way].clone(),
    );
    set_in_way(&mut way, place, cloths);
    way.places
        .retain(|(place, cloths)| block.places[*place].cloths != *cloths);
    let known = dressed_alike(&block, &way);
    let (colourway, mut edits) = match known {
        Some(known) => (known, Vec::new()),
        None => {
            let taken = |name: &str| block.colourways.iter().any(|way| way.name == name);
            let stem = format!("row {} block {}", placed.row + 1, placed.column + 1);
            way.name = unlike(&stem, taken);
            block.colourways.push(way);
            let new = block.colourways.len() - 1;
            (Some(new), vec![Edit::SetBlock(id, block)])
        }
    };
    edits.push(Edit::LayBlock {
        at,
        cell: CellPlan {
            block: id,
            colourway,
            turn: placed.turn,
            mirrored: false,
        },
        reach,
    });
    Ok(edits)
}

fn set_in_way(way: &mut Colourway, place: usize, cloths: Vec<ClothId>) {
    way.places.retain(|(other, _)| *other != place);
    way.places.push((place, cloths));
    way.places.sort();
}

/// A dress of the block that is the same already: `Some(None)` its own cloths.
fn dressed_alike(block: &BlockPlan, way: &Colourway) -> Option<Option<usize>> {
    if way.places.is_empty() {
        return Some(None);
    }
    let same = |other: &Colourway| {
        let mut places = other.places.clone();
        places.retain(|(place, cloths)| block.places[*place].cloths != *cloths);
        places.sort();
        places == way.places
    };
    block.colourways.iter().position(same).map(Some)
}

fn part_cloth(plan: &Plan, kind: PartKind, cloth: ClothId) -> Result<Vec<Edit>, String> {
    let border = |index: usize, change: &dyn Fn(&mut BorderPlan)| {
        let mut border = plan
            .borders
            .get(index)
            .cloned()
            .ok_or("That border is not there any more.")?;
        change(&mut border);
        Ok(vec![Edit::SetBorder(index, border)])
    };
    let sashing = |change: &dyn Fn(&mut Sashing)| {
        let mut sashing = plan
            .setting
            .sashing
            .clone()
            .ok_or("That sashing is not there any more.")?;
        change(&mut sashing);
        Ok(vec![Edit::SetSashing(Some(sashing))])
    };
    match kind {
        PartKind::Sash | PartKind::LongSash => sashing(&|s| s.cloth = cloth),
        PartKind::Post | PartKind::EdgePost => sashing(&|s| s.posts = Some(cloth)),
        PartKind::BorderSide(i) | PartKind::BorderEnd(i) => border(i, &|b| b.cloth = cloth),
        PartKind::BorderSquare(i) => border(i, &|b| b.corner = Corner::Squares(cloth)),
        PartKind::SideTriangle
        | PartKind::CornerTriangle
        | PartKind::Strip
        | PartKind::PlainEnd => {
            let mut kind = plan.setting.kind.clone();
            match &mut kind {
                Kind::OnPoint { edge, .. } => *edge = cloth,
                Kind::Strips { cloth: strip, .. } => *strip = cloth,
                Kind::HalfDrop { ends } | Kind::Brick { ends } => *ends = Ends::Plain(cloth),
                Kind::Straight => {}
            }
            Ok(vec![Edit::SetKind(kind)])
        }
    }
}
