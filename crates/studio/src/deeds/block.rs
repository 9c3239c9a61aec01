//! Drafting a block by hand: seams between true points, and which patches make a place.
//!
//! ```text
//!    ○───○───○       dots: the divided square, and every point where two seams cross
//!    │ ╲ │   │       a seam runs from dot to dot, so nothing is ever a hair off
//!    ○───○───○
//! ```
//!
//! Places claim patches by points. When a seam divides a patch, both halves stay in its
//! place; a patch that no place claims goes to the first.

use geometry::{Meet, Point, Segment, Surd};
use quilt::block::{self, Drafted};
use quilt::plan::{BlockId, BlockPlan, Claim, ClothId, Draft, Edit, PlacePlan, Plan};

use super::cloth::unlike;
use super::{Asked, Deed};
use crate::look::Look;

/// The finest division of the square offered.
const FINEST: u32 = 24;

/// The drawing board of one block.
#[derive(Clone, Debug)]
pub(crate) struct Board {
    /// Points a seam may run between: the divided square row by row, then the crossings.
    pub(crate) points: Vec<Point>,
    /// The seams drawn.
    pub(crate) seams: Vec<Segment>,
}

impl Board {
    /// The board of a block with its square divided into so many each way; `None` for a
    /// block that is not drafted by lines.
    pub(crate) fn of(plan: &BlockPlan, division: u32) -> Option<Self> {
        let Draft::Lines { lines } = &plan.draft else {
            return None;
        };
        let parts = i64::from(division.clamp(1, FINEST));
        let at = |side: &Surd, i: i64| side.times(i).over(parts);
        let mut points: Vec<Point> = (0..=parts)
            .flat_map(|y| (0..=parts).map(move |x| (x, y)))
            .map(|(x, y)| Point::new(at(&plan.width, x), at(&plan.height, y)))
            .collect();
        let mut add = |point: Point| {
            if !points.contains(&point) {
                points.push(point);
            }
        };
        for (i, seam) in lines.iter().enumerate() {
            add(seam.a.clone());
            add(seam.b.clone());
            for other in lines.iter().skip(i + 1) {
                if let Meet::At(point) = seam.meets(other) {
                    add(point);
                }
            }
        }
        Some(Self {
            points,
            seams: lines.clone(),
        })
    }

    /// The division the maker most likely drew on: the coarsest on which every end of a
    /// seam lies, or eight.
    pub(crate) fn division(plan: &BlockPlan) -> u32 {
        let Draft::Lines { lines } = &plan.draft else {
            return 4;
        };
        if lines.is_empty() {
            return 4;
        }
        let fits = |parts: i64| {
            let on = |at: &Surd, side: &Surd| {
                at.times(parts)
                    .checked_div(side)
                    .is_some_and(|n| n.as_ratio().is_some_and(|(_, d)| d == 1))
            };
            lines
                .iter()
                .flat_map(|seam| [&seam.a, &seam.b])
                .all(|end| on(&end.x, &plan.width) && on(&end.y, &plan.height))
        };
        (2..=12).find(|&parts| fits(parts)).map_or(8, |parts| {
            // A little finer than what is there, so that there is something to draw on.
            let parts = if parts < 4 { parts * 2 } else { parts };
            u32::try_from(parts).unwrap_or(8)
        })
    }
}

/// A plain square to draw on, in one cloth.
pub(crate) fn fresh_block(name: &str, size: Surd, cloth: ClothId) -> BlockPlan {
    let middle = Point::new(size.half(), size.half());
    BlockPlan {
        name: name.to_owned(),
        width: size.clone(),
        height: size,
        draft: Draft::Lines { lines: Vec::new() },
        places: vec![PlacePlan {
            name: "ground".into(),
            cloths: vec![cloth],
            claims: vec![Claim::At(middle)],
            centred: false,
        }],
        colourways: Vec::new(),
        foundation: false,
    }
}

pub(super) fn read(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    if asked.word("do")? == "add-block" {
        let name = asked.word("name")?.to_owned();
        let size = asked.length("size", plan)?;
        if size <= Surd::ZERO {
            return Err("A block must be larger than nothing.".into());
        }
        let says = format!("Begin the block “{name}”");
        let block = fresh_block(&name, size, super::setting::first_cloth());
        return Ok(Deed::one(Edit::AddBlock(block), says));
    }
    let id = asked.block(plan)?;
    let old = plan.block(id);
    let name = &old.name;
    let (block, says) = match asked.word("do")? {
        "rename-block" => {
            let new = asked.word("name")?.to_owned();
            let says = format!("Call the block “{new}”");
            let block = BlockPlan {
                name: new,
                ..old.clone()
            };
            (block, says)
        }
        "size-block" => {
            let size = asked.length("size", plan)?;
            if size <= Surd::ZERO {
                return Err("A block must be larger than nothing.".into());
            }
            let says = format!("“{name}” finishes at {}", plan.measure.say(&size));
            (resized(old, size)?, says)
        }
        "line" => (
            with_seam(asked, old, drafted(look, id))?,
            format!("Draw a seam in “{name}”"),
        ),
        "no-line" => (
            without_seam(asked, old, drafted(look, id))?,
            format!("Take a seam out of “{name}”"),
        ),
        "all-quarters" => {
            let mirrored = asked.text("how") == Some("mirror");
            let says = format!(
                "Repeat the seams of “{name}” in every quarter, {}",
                if mirrored { "mirrored" } else { "turned" }
            );
            (in_all_quarters(old, mirrored, drafted(look, id))?, says)
        }
        "by-hand" => (
            by_hand(old, drafted(look, id))?,
            format!("Draw “{name}” by hand from here on"),
        ),
        _ => placed(asked, plan, old, look, id)?,
    };
    Ok(Deed::one(Edit::SetBlock(id, block), says))
}

fn drafted(look: &Look, id: BlockId) -> Option<&Drafted> {
    let block = look.laid.blocks.get(id.0)?.as_deref()?;
    Some(&block.drafted)
}

fn lines(block: &BlockPlan) -> Result<Vec<Segment>, String> {
    match &block.draft {
        Draft::Lines { lines } => Ok(lines.clone()),
        _ => Err(format!(
            "“{}” is not drawn by hand; choose “Draw it by hand from here on” first.",
            block.name
        )),
    }
}

fn with_seam(asked: &Asked, old: &BlockPlan, was: Option<&Drafted>) -> Result<BlockPlan, String> {
    let board =
        Board::of(old, asked.number("division")?).ok_or("Only blocks drawn by hand take seams.")?;
    let point = |name: &str| {
        let index: usize = asked.number(name)?;
        board
            .points
            .get(index)
            .cloned()
            .ok_or_else(|| "That dot is not there any more; choose it again.".to_owned())
    };
    let seam =
        Segment::new(point("from")?, point("to")?).ok_or("A seam needs two different dots.")?;
    let mut lines = board.seams;
    if lines
        .iter()
        .any(|other| other.contains(&seam.a) && other.contains(&seam.b))
    {
        return Err("There is a seam already.".into());
    }
    let edge = |p: &Point| {
        let zero = Surd::ZERO;
        [
            p.x == zero,
            p.x == old.width,
            p.y == zero,
            p.y == old.height,
        ]
    };
    if edge(&seam.a)
        .iter()
        .zip(edge(&seam.b))
        .any(|(a, b)| *a && b)
    {
        return Err("That runs along the edge of the block, where there is a seam anyway.".into());
    }
    lines.push(seam);
    Ok(redrawn(old, lines, was))
}

fn without_seam(
    asked: &Asked,
    old: &BlockPlan,
    was: Option<&Drafted>,
) -> Result<BlockPlan, String> {
    let mut lines = lines(old)?;
    let index: usize = asked.number("seam")?;
    if index >= lines.len() {
        return Err("That seam is not there any more.".into());
    }
    lines.remove(index);
    Ok(redrawn(old, lines, was))
}

fn in_all_quarters(
    old: &BlockPlan,
    mirrored: bool,
    was: Option<&Drafted>,
) -> Result<BlockPlan, String> {
    let drawn = lines(old)?;
    if !mirrored && old.width != old.height {
        return Err(
            "Only a square block can be turned into itself; mirror the seams instead.".into(),
        );
    }
    let (w, h) = (&old.width, &old.height);
    let image = |p: &Point, way: u8| match (mirrored, way) {
        (_, 0) => p.clone(),
        (false, 1) => Point::new(w - &p.y, p.x.clone()),
        (false, 2) => Point::new(w - &p.x, h - &p.y),
        (false, _) => Point::new(p.y.clone(), w - &p.x),
        (true, 1) => Point::new(w - &p.x, p.y.clone()),
        (true, 2) => Point::new(p.x.clone(), h - &p.y),
        (true, _) => Point::new(w - &p.x, h - &p.y),
    };
    let mut lines: Vec<Segment> = Vec::new();
    for seam in &drawn {
        for way in 0..4 {
            let moved = Segment::new(image(&seam.a, way), image(&seam.b, way));
            if let Some(moved) = moved {
                let there = |other: &Segment| other.contains(&moved.a) && other.contains(&moved.b);
                if !lines.iter().any(there) {
                    lines.push(moved);
                }
            }
        }
    }
    Ok(redrawn(old, lines, was))
}

fn by_hand(old: &BlockPlan, was: Option<&Drafted>) -> Result<BlockPlan, String> {
    let was = was.ok_or("This block has a fault; mend it first.")?;
    let seams = was.arrangement.edges.iter().enumerate();
    let lines: Vec<Segment> = seams
        .filter(|(_, edge)| edge.left.is_some() && edge.right.is_some())
        .map(|(index, _)| was.arrangement.segment(index))
        .fold(Vec::new(), joined);
    Ok(redrawn(old, lines, Some(was)))
}

/// Adds a stretch to the seams, made one with those it goes on from.
fn joined(mut lines: Vec<Segment>, mut stretch: Segment) -> Vec<Segment> {
    loop {
        let goes_on = lines.iter().position(|other| {
            other.is_parallel(&stretch)
                && [&other.a, &other.b].iter().any(|end| stretch.contains(end))
        });
        let Some(index) = goes_on else {
            lines.push(stretch);
            return lines;
        };
        let other = lines.swap_remove(index);
        let ends = [&stretch.a, &stretch.b, &other.a, &other.b];
        let (low, high) = (ends.iter().min(), ends.iter().max());
        if let (Some(low), Some(high)) = (low, high)
            && let Some(whole) = Segment::new((*low).clone(), (*high).clone())
        {
            stretch = whole;
        }
    }
}

/// The block with these seams. Where they make patches, every patch is claimed by a point.
fn redrawn(old: &BlockPlan, lines: Vec<Segment>, was: Option<&Drafted>) -> BlockPlan {
    let mut block = old.clone();
    block.draft = Draft::Lines { lines };
    if let Ok(now) = block::drafted(&block) {
        let place_of = |patch: &Point| place_at(old, was, patch).unwrap_or(0);
        let claims: Vec<(usize, Point)> = now
            .arrangement
            .faces
            .iter()
            .map(|face| face.polygon.inner_point())
            .map(|point| (place_of(&point), point))
            .collect();
        for (index, place) in block.places.iter_mut().enumerate() {
            let own = claims.iter().filter(|(place, _)| *place == index);
            place.claims = own.map(|(_, point)| Claim::At(point.clone())).collect();
        }
        drop_empty_places(&mut block);
    }
    block
}

/// The place that holds this point in the block as it was.
fn place_at(old: &BlockPlan, was: Option<&Drafted>, point: &Point) -> Option<usize> {
    let was = was?;
    let patch = was.arrangement.locate(point)?;
    claimed(old, was)[patch]
}

/// For each patch the place that claims it: a point before a name, a longer name before a
/// shorter (as [`PlacePlan::claims`] says).
fn claimed(plan: &BlockPlan, drafted: &Drafted) -> Vec<Option<usize>> {
    let worked = block::worked(
        plan,
        drafted.clone(),
        &Surd::ZERO,
        &quilt::measure::Ruler::eighths(),
    );
    worked.patches.iter().map(|patch| patch.place).collect()
}

/// Places nothing belongs to any more are taken away; the last one stays.
fn drop_empty_places(block: &mut BlockPlan) {
    let mut index = 0;
    while index < block.places.len() && block.places.len() > 1 {
        if !block.places[index].claims.is_empty() {
            index += 1;
            continue;
        }
        block.places.remove(index);
        for way in &mut block.colourways {
            way.places.retain(|(place, _)| *place != index);
            for (place, _) in &mut way.places {
                if *place > index {
                    *place -= 1;
                }
            }
        }
    }
}

fn resized(old: &BlockPlan, size: Surd) -> Result<BlockPlan, String> {
    let share = size
        .checked_div(&old.width)
        .ok_or("That size cannot be reached from the one it has.")?;
    let mut block = old.clone();
    block.height = &old.height * &share;
    block.width = size;
    match &mut block.draft {
        Draft::Lines { lines } => {
            for seam in lines {
                seam.a = seam.a.scaled(&share);
                seam.b = seam.b.scaled(&share);
            }
        }
        Draft::Pieces { .. } => {
            return Err(
                "The pieces of this block are given by their corners; draw it by hand first."
                    .into(),
            );
        }
        _ => {}
    }
    for claim in block.places.iter_mut().flat_map(|place| &mut place.claims) {
        if let Claim::At(point) = claim {
            *point = point.scaled(&share);
        }
    }
    Ok(block)
}

/// Puts a patch into another place, or into a new one.
fn placed(
    asked: &Asked,
    plan: &Plan,
    old: &BlockPlan,
    look: &Look,
    id: BlockId,
) -> Result<(BlockPlan, String), String> {
    let was = drafted(look, id).ok_or("This block has a fault; mend it first.")?;
    let patch: usize = asked.number("piece")?;
    let faces = &was.arrangement.faces;
    let face = faces
        .get(patch)
        .ok_or("That patch is not there any more; choose it again.")?;
    let mut block = old.clone();
    let of = claimed(old, was);
    let into = match asked.text("place") {
        None | Some("" | "new") => {
            let name = asked.text("name").filter(|name| !name.is_empty());
            let name = name.ok_or("The new place needs a name.")?;
            let taken = |name: &str| block.places.iter().any(|place| place.name == name);
            let cloths = of[patch].map_or_else(
                || vec![super::setting::first_cloth()],
                |place| block.places[place].cloths.clone(),
            );
            block.places.push(PlacePlan {
                name: unlike(name, taken),
                cloths,
                claims: Vec::new(),
                centred: false,
            });
            block.places.len() - 1
        }
        Some(_) => asked.number("place")?,
    };
    if into >= block.places.len() {
        return Err("There is no such place in this block.".into());
    }
    // Claims by name go on as they were; this patch is claimed by its own point.
    for place in &mut block.places {
        place.claims.retain(|claim| match claim {
            Claim::At(point) => was.arrangement.locate(point) != Some(patch),
            Claim::Spot(_) => true,
        });
    }
    let point = face.polygon.inner_point();
    block.places[into].claims.push(Claim::At(point));
    let says = format!(
        "Put a patch of “{}” into “{}”",
        plan.block(id).name,
        block.places[into].name
    );
    drop_empty_places(&mut block);
    Ok((block, says))
}
