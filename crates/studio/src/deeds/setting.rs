//! How the blocks lie: turns, counts, kinds of setting, sashing, borders.

use geometry::Surd;
use quilt::plan::{
    BlockId, BorderKind, BorderPlan, CellPlan, ClothId, Corner, CutAlong, Edit, Ends, Kind, Plan,
    Reach, Repeat, Sashing, Spot, Target,
};
use quilt::setting::PlacedBlock;

use super::{Asked, Deed};
use crate::look::Look;

/// The most blocks down or across, so that a slip of the finger does not fill the memory.
const MOST: u32 = 100;

pub(super) fn read(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    match asked.word("do")? {
        "turn" => turn(asked, plan, look),
        "exchange" => {
            let (a, b) = (
                placed(look, asked.number("spot")?)?,
                placed(look, asked.number("with")?)?,
            );
            let says = format!("Exchange {} and {}", place(a), place(b));
            Ok(Deed::one(Edit::Exchange(spot(a)?, spot(b)?), says))
        }
        "lay-block" => lay_block(asked, plan, look),
        "pin" => {
            let of = placed(look, asked.number("spot")?)?;
            let says = format!("Pin the block in {}", place(of));
            Ok(Deed::one(Edit::Pin(spot(of)?), says))
        }
        "unpin" => {
            let of = placed(look, asked.number("spot")?)?;
            let says = format!("Take the pin out of {}", place(of));
            Ok(Deed::one(Edit::Unpin(spot(of)?), says))
        }
        "aim" => aim(asked, plan),
        "aim-size" => {
            let (width, height) = (asked.length("width", plan)?, asked.length("height", plan)?);
            let says = format!("Lay {} under the top", plan.measure.size(&width, &height));
            let target = Target::Size { width, height };
            Ok(Deed::one(Edit::SetTarget(Some(target)), says))
        }
        "count" => count(asked, plan),
        "arrange" => arrange(asked, plan),
        "kind" => kind(asked, plan),
        "sashing" => {
            let sashing = Sashing {
                width: asked.length("width", plan)?,
                cloth: asked.cloth("cloth", plan)?,
                posts: asked.maybe_cloth("posts", plan)?,
                outside: asked.text("outside") == Some("yes"),
            };
            let says = format!("Sashing {} wide", plan.measure.say(&sashing.width));
            Ok(Deed::one(Edit::SetSashing(Some(sashing)), says))
        }
        "no-sashing" => Ok(Deed::one(Edit::SetSashing(None), "Take the sashing out")),
        "add-border" => {
            let border = border(asked, plan)?;
            let says = format!("Add a border {} wide", plan.measure.say(&border.width));
            Ok(Deed::one(Edit::AddBorder(border), says))
        }
        "border" => {
            let index: usize = asked.number("border")?;
            let border = border(asked, plan)?;
            let says = format!(
                "Border {}: {} wide",
                index + 1,
                plan.measure.say(&border.width)
            );
            Ok(Deed::one(Edit::SetBorder(index, border), says))
        }
        _ => {
            let index: usize = asked.number("border")?;
            let says = format!("Take border {} away", index + 1);
            Ok(Deed::one(Edit::RemoveBorder(index), says))
        }
    }
}

fn placed(look: &Look, index: usize) -> Result<&PlacedBlock, String> {
    look.top()
        .and_then(|top| top.blocks.get(index))
        .ok_or_else(|| "That block is not there any more; choose it again.".into())
}

/// Where a block lies in the setting, for edits.
pub(super) fn spot(placed: &PlacedBlock) -> Result<Spot, String> {
    if placed.between {
        return Err("Blocks that lie between the others on point change only together.".into());
    }
    Ok(Spot {
        row: placed.row,
        column: placed.column,
    })
}

fn place(placed: &PlacedBlock) -> String {
    format!("row {}, block {}", placed.row + 1, placed.column + 1)
}

fn reach(asked: &Asked) -> Result<Reach, String> {
    Ok(match asked.word("reach")? {
        "here" => Reach::Here,
        "repeat" => Reach::Repeat,
        "alike" => Reach::Alike,
        other => return Err(format!("A deed does not reach “{other}”.")),
    })
}

fn turn(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    let of = placed(look, asked.number("spot")?)?;
    let quarters = asked.number::<u8>("quarters")? % 4;
    let reach = reach(asked)?;
    let which = match reach {
        Reach::Here => format!("the block in {}", place(of)),
        Reach::Repeat => format!("the blocks placed as in {}", place(of)),
        Reach::Alike => format!("every “{}” like it", plan.block(of.block).name),
    };
    let says = match quarters {
        2 => format!("Turn {which} upside down"),
        3 => format!("Turn {which} to the left"),
        _ => format!("Turn {which} to the right"),
    };
    let at = spot(of)?;
    Ok(Deed::one(
        Edit::Turn {
            at,
            quarters,
            reach,
        },
        says,
    ))
}

/// A bed under the top, or none.
fn aim(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let name = asked.word("bed")?;
    if name.is_empty() {
        return Ok(Deed::one(Edit::SetTarget(None), "Take the bed away"));
    }
    let bed = planfile::bed(name).ok_or("There is no bed of that name; choose one of the list.")?;
    let says = format!("Lay a {name} bed under the top");
    let target = Target::Bed {
        bed,
        drop: asked.length("drop", plan)?,
        tuck: asked.length("tuck", plan)?,
    };
    Ok(Deed::one(Edit::SetTarget(Some(target)), says))
}

fn lay_block(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    let of = placed(look, asked.number("spot")?)?;
    let block = asked.block(plan)?;
    let cell = CellPlan {
        block,
        colourway: asked.maybe("colourway")?,
        turn: of.turn,
        mirrored: false,
    };
    let says = format!("Lay “{}” in {}", plan.block(block).name, place(of));
    let (at, reach) = (spot(of)?, reach(asked)?);
    Ok(Deed::one(Edit::LayBlock { at, cell, reach }, says))
}

fn count(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let (rows, columns) = (asked.number("rows")?, asked.number("columns")?);
    if rows > MOST || columns > MOST {
        return Err(format!("At most {MOST} blocks down and across."));
    }
    let says = format!("{rows} blocks down, {columns} across");
    let _ = plan;
    Ok(Deed::one(Edit::SetCount { rows, columns }, says))
}

/// A setting from the wall.
fn arrange(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let repeat = repeat_of(plan, asked.word("cells")?)
        .ok_or("That setting could not be read; load the page again.")?;
    let (rows, columns) = (repeat.rows, repeat.columns);
    Ok(Deed::one(
        Edit::SetRepeat(repeat),
        format!("A setting from the wall, {rows} × {columns} blocks a repeat"),
    ))
}

/// A repeat as one word: `2x2-0_n_1-…`, its size and for each cell block, colourway (or n)
/// and turn.
pub(crate) fn written(repeat: &Repeat) -> String {
    let cells = repeat.cells.iter().map(|cell| {
        let way = cell
            .colourway
            .map_or_else(|| "n".to_owned(), |way| way.to_string());
        format!("-{}_{way}_{}", cell.block.0, cell.turn % 4)
    });
    format!("{}x{}", repeat.rows, repeat.columns) + &cells.collect::<String>()
}

/// Reads what [`written`] wrote; `None` if it is not a repeat of this plan's blocks.
pub(crate) fn repeat_of(plan: &Plan, word: &str) -> Option<Repeat> {
    let mut parts = word.split('-');
    let (rows, columns) = parts.next()?.split_once('x')?;
    let (rows, columns): (usize, usize) = (rows.parse().ok()?, columns.parse().ok()?);
    let cells: Vec<CellPlan> = parts
        .map(|part| {
            let mut numbers = part.split('_');
            let block: usize = numbers.next()?.parse().ok()?;
            let ways = plan.blocks.get(block)?.colourways.len();
            let colourway = match numbers.next()? {
                "n" => None,
                way => Some(way.parse::<usize>().ok().filter(|&way| way < ways)?),
            };
            let turn = numbers
                .next()?
                .parse::<u8>()
                .ok()
                .filter(|&turn| turn < 4)?;
            Some(CellPlan {
                block: BlockId(block),
                colourway,
                turn,
                mirrored: false,
            })
        })
        .collect::<Option<_>>()?;
    let most = MOST as usize;
    let fits = (1..=most).contains(&rows) && (1..=most).contains(&columns);
    (fits && rows * columns == cells.len()).then_some(Repeat {
        rows,
        columns,
        cells,
    })
}

fn kind(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let deed = |kind: Kind, says: &str| Ok(Deed::one(Edit::SetKind(kind), says));
    match asked.word("kind")? {
        "straight" => return deed(Kind::Straight, "Set straight"),
        "half-drop" => {
            let ends = match plan.setting.kind {
                Kind::HalfDrop { ends } | Kind::Brick { ends } => ends,
                _ => Ends::Halves,
            };
            return deed(
                Kind::HalfDrop { ends },
                "Set with every second column dropped",
            );
        }
        "brick" => {
            let ends = match plan.setting.kind {
                Kind::HalfDrop { ends } | Kind::Brick { ends } => ends,
                _ => Ends::Halves,
            };
            return deed(Kind::Brick { ends }, "Set with every second row moved over");
        }
        "strips" => {
            let cloth = asked.cloth("edge", plan)?;
            let (width, outside) = match &plan.setting.kind {
                Kind::Strips { width, outside, .. } => (width.clone(), *outside),
                // A guide of the trade for sashing: at most a quarter of the block.
                _ => (
                    &plan.block(main_block(plan)).width * Surd::ratio(1, 4),
                    true,
                ),
            };
            let kind = Kind::Strips {
                width,
                cloth,
                outside,
            };
            return deed(kind, "Set in columns parted by strips");
        }
        _ => {}
    }
    let kind = match &plan.setting.kind {
        // Only the cloth of the edge is asked again.
        Kind::OnPoint { between, float, .. } => Kind::OnPoint {
            between: between.clone(),
            edge: asked.cloth("edge", plan)?,
            float: float.clone(),
        },
        _ => Kind::OnPoint {
            between: plan.setting.cells.clone(),
            edge: asked.cloth("edge", plan)?,
            float: Surd::ZERO,
        },
    };
    Ok(Deed::one(Edit::SetKind(kind), "Set on point"))
}

fn border(asked: &Asked, plan: &Plan) -> Result<BorderPlan, String> {
    let corner = match asked.text("corner") {
        Some("mitred") => Corner::Mitred,
        Some("squares") => Corner::Squares(asked.cloth("squares", plan)?),
        _ => Corner::Butted,
    };
    let cut = match asked.text("cut") {
        Some("length") => CutAlong::Length,
        _ => CutAlong::Across,
    };
    Ok(BorderPlan {
        kind: BorderKind::Plain,
        width: asked.length("width", plan)?,
        cloth: asked.cloth("cloth", plan)?,
        corner,
        cut,
    })
}

/// The block most of the setting is made of.
pub(crate) fn main_block(plan: &Plan) -> BlockId {
    plan.setting
        .cells
        .cells
        .first()
        .map_or(BlockId(0), |cell| cell.block)
}

/// The first cloth, for forms that must name one.
pub(crate) fn first_cloth() -> ClothId {
    ClothId(0)
}
