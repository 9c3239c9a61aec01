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
use quilt::block::drafting::constructions::Construction;
use quilt::block::drafting::near::{near_misses, with_joined};
use quilt::block::drafting::points::{self, Offer};
use quilt::block::drafting::repeats::{Repeat, repeated};
use quilt::block::drafting::{joined, keep_places, sound};
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

    /// The true points a seam from this dot may end at besides the dots.
    pub(crate) fn ends(&self, plan: &BlockPlan, from: usize) -> Vec<Offer> {
        let (width, height) = (&plan.width, &plan.height);
        let offers = self
            .points
            .get(from)
            .map(|from| points::offers(width, height, &self.seams, from, &self.points));
        offers.unwrap_or_default()
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
            let how = Repeat::ALL
                .into_iter()
                .find(|how| asked.text("how") == Some(repeat_word(*how)))
                .ok_or("The page did not say how to repeat the seams; load it again.")?;
            let says = format!("Repeat the seams of “{name}”: {}", repeat_words(how));
            let lines = repeated(old, &lines(old)?, how).ok_or(
                "Only a square block can be turned into itself; mirror the seams instead.",
            )?;
            (redrawn(old, lines, drafted(look, id)), says)
        }
        "construct" => {
            let (kind, values) = construction(asked)?;
            let says = format!("Lay “{name}” as {}", kind.name());
            (kind.laid(&values, plan, old), says)
        }
        "straighten" => straightened(old, look, id)?,
        "join" => {
            let miss = near_misses(old);
            let miss = miss
                .get(asked.number::<usize>("miss")?)
                .ok_or("Those seams have changed; look at them again.")?;
            let lines = with_joined(&lines(old)?, miss)
                .ok_or("Joined there, a seam would be nothing but a point; take it out instead.")?;
            let says = format!("Join two seams of “{name}”");
            (redrawn(old, lines, drafted(look, id)), says)
        }
        "drawing" => opened(asked, plan, old, drafted(look, id))?,
        "copy-block" => {
            let taken = |name: &str| plan.blocks.iter().any(|block| block.name == name);
            let copy = BlockPlan {
                name: unlike(&format!("{name}, a copy"), taken),
                ..old.clone()
            };
            let says = format!("Copy “{name}” as “{}”", copy.name);
            return Ok(Deed::one(Edit::AddBlock(copy), says));
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
    let gone = || "That dot is not there any more; choose it again.".to_owned();
    let from: usize = asked.number("from")?;
    let begins = board.points.get(from).cloned().ok_or_else(gone)?;
    let to = asked.word("to")?;
    let ends = match to.strip_prefix('o') {
        // One of the true points offered when the seam was begun.
        Some(offer) => {
            let offers = board.ends(old, from);
            let offer = offer
                .parse()
                .ok()
                .and_then(|i: usize| offers.get(i).cloned());
            offer.ok_or_else(gone)?.point
        }
        None => {
            let index: usize = asked.number("to")?;
            board.points.get(index).cloned().ok_or_else(gone)?
        }
    };
    let seam = Segment::new(begins, ends).ok_or("A seam needs two different dots.")?;
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

fn by_hand(old: &BlockPlan, was: Option<&Drafted>) -> Result<BlockPlan, String> {
    let was = was.ok_or("This block has a fault; mend it first.")?;
    Ok(redrawn(old, seams_of(was), Some(was)))
}

/// The seams of a draft of any kind, those on one line made one.
fn seams_of(drafted: &Drafted) -> Vec<Segment> {
    let seams = drafted.arrangement.edges.iter().enumerate();
    seams
        .filter(|(_, edge)| edge.left.is_some() && edge.right.is_some())
        .map(|(index, _)| drafted.arrangement.segment(index))
        .fold(Vec::new(), joined)
}

pub(crate) fn repeat_word(how: Repeat) -> &'static str {
    match how {
        Repeat::QuarterTurned => "turn",
        Repeat::QuarterMirrored => "mirror",
        Repeat::Across => "across",
        Repeat::Down => "down",
        Repeat::Eighth => "eighth",
    }
}

/// As a button says it.
pub(crate) fn repeat_words(how: Repeat) -> &'static str {
    match how {
        Repeat::QuarterTurned => "every quarter, turned",
        Repeat::QuarterMirrored => "every quarter, mirrored",
        Repeat::Across => "left and right halves, mirrored",
        Repeat::Down => "upper and lower halves, mirrored",
        Repeat::Eighth => "every eighth, mirrored on the diagonals",
    }
}

/// The construction that is asked for, with its pulls: `4-0-1`.
fn construction(asked: &Asked) -> Result<(Construction, Vec<u32>), String> {
    let kind = Construction::named(asked.word("kind")?).ok_or("There is no such construction.")?;
    let values: Vec<u32> = pulls_in(asked.text("pulls").unwrap_or_default());
    Ok((kind, kind.within(&values)))
}

/// Numbers divided by hyphens, as far as they are numbers.
pub(crate) fn pulls_in(text: &str) -> Vec<u32> {
    text.split('-')
        .map_while(|part| part.parse().ok())
        .collect()
}

/// The block with the seams that let straight seams alone sew it.
fn straightened(old: &BlockPlan, look: &Look, id: BlockId) -> Result<(BlockPlan, String), String> {
    let block = look.laid.blocks.get(id.0).and_then(Option::as_deref);
    let repair = block.and_then(|block| Some((block, block.repair.as_ref()?)));
    let (block, repair) =
        repair.ok_or("No seams are known that would let this block sew in straight seams.")?;
    let cuts = repair.cuts.iter().map(|cut| cut.seam.clone());
    let lines = match &old.draft {
        Draft::Lines { lines } => lines.clone(),
        _ => seams_of(&block.drafted),
    };
    let lines = cuts.fold(lines, joined);
    let says = match repair.cuts.len() {
        1 => format!("Add a seam to “{}” so that it sews straight", old.name),
        n => format!("Add {n} seams to “{}” so that it sews straight", old.name),
    };
    Ok((redrawn(old, lines, Some(&block.drafted)), says))
}

/// A drawing that was opened, put on the block's true points in place of its seams.
fn opened(
    asked: &Asked,
    plan: &Plan,
    old: &BlockPlan,
    was: Option<&Drafted>,
) -> Result<(BlockPlan, String), String> {
    use quilt::block::drafting::traced::{Untraced, traced};
    let drawing = crate::drawn::read(asked.word("text")?)?;
    let found = traced(old, &drawing.lines).map_err(|why| match why {
        Untraced::Flat => "There are no straight lines in this drawing that enclose anything; the block is as it was.",
        Untraced::Proportion => "This drawing is far longer than wide, or wider than long, in no simple proportion; the block is as it was. Draw its outline too, so that its size is known.",
    })?;
    if found.seams.is_empty() {
        return Err(
            "No line of this drawing lies on true points of the block; it is as it was.".into(),
        );
    }
    let measure = plan.measure;
    let mut says = format!(
        "Open a drawing in “{}”: {} of {} lines lie on the grid of {}",
        old.name,
        found.on_grid,
        found.lines(),
        found.division
    );
    if found.on_rays > 0 {
        says += &format!(", {} on true angles", found.on_rays);
    }
    if !found.left_out.is_empty() {
        let where_ = |[a, b]: &[[f64; 2]; 2]| {
            let middle = [0, 1].map(|axis| measure.about(f64::midpoint(a[axis], b[axis])));
            format!("one round {} across, {} down", middle[0], middle[1])
        };
        let shown: Vec<String> = found.left_out.iter().take(3).map(where_).collect();
        let more = found.left_out.len() - shown.len();
        says += &format!("; left out: {}", shown.join("; "));
        if more > 0 {
            says += &format!("; and {more} more");
        }
    }
    if drawing.curves > 0 {
        says += &match drawing.curves {
            1 => "; a curve was passed over".to_owned(),
            n => format!("; {n} curves were passed over"),
        };
    }
    if found.height != old.height {
        says += &format!(
            "; the block is {} now",
            measure.size(&old.width, &found.height)
        );
    }
    let sized = BlockPlan {
        height: found.height,
        ..old.clone()
    };
    Ok((redrawn(&sized, found.seams, was), says))
}

/// The block with these seams. Where they make patches, every patch is claimed by a point.
fn redrawn(old: &BlockPlan, lines: Vec<Segment>, was: Option<&Drafted>) -> BlockPlan {
    let mut block = old.clone();
    block.draft = Draft::Lines { lines };
    // Of a half-drawn block the patches there are.
    let now = block::drafted(&block)
        .ok()
        .or_else(|| block::drafted(&sound::sound(&block)?.block).ok());
    if let Some(now) = now {
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
    let used: Vec<bool> = block.places.iter().map(|p| !p.claims.is_empty()).collect();
    keep_places(block, &used);
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
