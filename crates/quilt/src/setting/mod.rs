//! Where everything lies in the top, and the sums of it.
//!
//! Straight, blocks stand in rows and columns with sashing between; or in columns parted
//! by strips; or every second column or row is shifted by half a block. On point they stand on
//! a corner, others lie between them, and triangles fill the edge; such a top is sewn in
//! diagonal rows that run from lower left to upper right, beginning at the top left corner.
//! Borders go round any of them: plain ones, pieced ones made of blocks, and spacers that
//! make those fit.
//!
//! **Frame.** The finished top's top left corner is (0, 0), borders included. All
//! positions are exact.
//!
//! **Always holds.** The blocks and parts fill the top: their areas add up to it exactly
//! and none overlap. A top that cannot be filled so is refused with findings that name
//! every cell that does not fit.
//!
//! **Knows nothing of** seams, cutting or buying. ([`cut_sizes`] turns a part's finished
//! size into its cut size for those who ask.)

mod bed;
mod borders;
pub mod cut_sizes;
mod fit;
mod on_point;
mod propose;
mod region;
mod shifted;
mod small;
mod straight;
mod strips;
pub mod sums;

use std::collections::BTreeMap;

use geometry::{Motion, Point, Polygon, Surd};

pub use bed::{OnBed, on_bed};
pub use borders::Ring;
pub use propose::{Offer, Proposal, bed_size, one_more, propose};
pub use small::{SmallSize, small_plan, small_size};

use crate::findings::Finding;
use crate::plan::{BlockId, CellPlan, ClothId, Kind, Plan};

/// The laid-out top.
#[derive(Clone, PartialEq, Debug)]
pub struct Top {
    /// Finished width of the blocks with sashing and setting triangles, without borders.
    pub inner_width: Surd,
    /// Finished height of the same.
    pub inner_height: Surd,
    /// Finished width with borders.
    pub width: Surd,
    /// Finished height with borders.
    pub height: Surd,
    /// The blocks in reading order, then those of pieced borders from the inside out, each
    /// clockwise from the top left and its corners last. On point a row of main blocks is followed by the
    /// row between it and the next; the order of sewing is in
    /// [`PlacedBlock::diagonal`].
    pub blocks: Vec<PlacedBlock>,
    /// One entry a border, from the inside out.
    pub rings: Vec<Ring>,
    /// Sashing, posts, setting triangles, borders. Straight: band by band from the top,
    /// each from the left. On point: along the diagonal rows and the sashing between
    /// them, each from its lower left end, then the corners clockwise from the top left.
    /// Then the borders from the inside out.
    pub parts: Vec<Part>,
    /// Patches in all: those of the blocks and one for each part.
    pub patches: usize,
}

/// One block where it lies.
#[derive(Clone, PartialEq, Debug)]
pub struct PlacedBlock {
    /// Row, from 0 at the top. On point, main blocks count their own rows and the blocks
    /// between them theirs.
    pub row: u32,
    /// Column, from 0 at the left.
    pub column: u32,
    /// On point: whether it lies between the main ones.
    pub between: bool,
    /// On point: the diagonal row it is sewn in, from the top left corner, and its place
    /// among the blocks of that row from its lower left end, both from 0; `None` in a
    /// straight setting. A block that is not turned lies upright when its diagonal row
    /// is held level.
    pub diagonal: Option<(u32, u32)>,
    /// Where it lies in a pieced border; `None` for a block of the setting. Of such a
    /// block, `row` is 0 and `column` its number along its side, clockwise.
    pub border: Option<BorderSpot>,
    /// Which block.
    pub block: BlockId,
    /// Which colourway, or its own cloths.
    pub colourway: Option<usize>,
    /// Quarter turns clockwise.
    pub turn: u8,
    /// Its running number among the copies of the same block and colourway, from 0 in
    /// reading order; places with several cloths take them by it.
    pub copy: u32,
    /// Takes block coordinates to the top.
    pub motion: Motion,
    /// The cloth of the patches that are filled from a pool; empty while none are, and
    /// until the cloths are scattered.
    pub scraps: BTreeMap<usize, ClothId>,
}

/// Where a unit lies in a pieced border.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct BorderSpot {
    /// Which border, from 0 inside.
    pub ring: usize,
    /// Along which side.
    pub side: RingSide,
}

/// A side of a border, or its corners.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum RingSide {
    /// Along the top, from the left.
    Top,
    /// Along the right side, from the top.
    Right,
    /// Along the bottom, from the right.
    Bottom,
    /// Along the left side, from the bottom.
    Left,
    /// A corner, clockwise from the top left.
    Corner,
}

impl RingSide {
    /// Quarter turns from the top side.
    fn turn(self) -> u8 {
        match self {
            Self::Top | Self::Corner => 0,
            Self::Right => 1,
            Self::Bottom => 2,
            Self::Left => 3,
        }
    }
}

/// What a part that belongs to no block is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum PartKind {
    /// A strip between two blocks, as long as a block.
    Sash,
    /// A strip between two rows, as long as the row.
    LongSash,
    /// A strip between two columns of blocks, as long as the column.
    Strip,
    /// The plain rectangle at an end of a shifted column or row, half a block long.
    PlainEnd,
    /// The square where sashes meet.
    Post,
    /// On point: a post cut by the edge. It is half a post where the blocks do not
    /// float; where they do, it reaches out to the edge.
    EdgePost,
    /// On point: a triangle on the edge.
    SideTriangle,
    /// On point: a triangle in a corner.
    CornerTriangle,
    /// A border on the left or right: which border, from 0 inside.
    BorderSide(usize),
    /// A border at the top or bottom.
    BorderEnd(usize),
    /// The square in a border's corner.
    BorderSquare(usize),
}

/// How a part is cut.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum PartShape {
    /// A rectangle of the finished size plus a seam on every side.
    Rectangle,
    /// Two triangles from a square cut once (straight grain on the short sides).
    HalfSquare,
    /// Four triangles from a square cut twice (straight grain on the long side).
    QuarterSquare,
    /// A strip with one or both ends cut on the diagonal: cut straight, as long as its
    /// finished shape is from tip to tip, and trimmed after sewing.
    MitredStrip,
}

/// One piece of the top that belongs to no block.
#[derive(Clone, PartialEq, Debug)]
pub struct Part {
    /// What it is.
    pub kind: PartKind,
    /// Its cloth.
    pub cloth: ClothId,
    /// How it is cut.
    pub shape: PartShape,
    /// Its finished outline in the top.
    pub outline: Polygon,
    /// Finished size along and across its own long side: for rectangles length and
    /// width, for triangles the long side and the height on it, for strips with slanting
    /// ends the length from tip to tip and the width.
    ///
    /// Blocks that float are counted in: this is the size to cut for. Where floating
    /// blocks let the next row's seam run past the point of a block, the outline is what
    /// that seam and the edge leave of the triangle.
    pub length: Surd,
    /// See `length`.
    pub width: Surd,
}

/// Lays out the top: every block in its place, the parts between and around them.
///
/// `patch_counts` has one entry a block of the plan: how many patches it has. The plan is
/// refreshed ([`Plan::refresh`]).
///
/// # Errors
///
/// A finding for every cell whose block does not fit its row or column, or for whatever
/// else keeps the top from being filled exactly.
pub fn work_out(plan: &Plan, patch_counts: &[usize]) -> Result<Top, Vec<Finding>> {
    if let Some(name) = plan.lacking() {
        return Err(vec![Finding::stop(format!(
            "The setting needs a half or the mirror image of “{name}”, and the plan does not have it yet. Save the plan and open it again."
        ))]);
    }
    let inner = match &plan.setting.kind {
        Kind::Straight => straight::laid_out(plan)?,
        Kind::Strips {
            width,
            cloth,
            outside,
        } => {
            let strips = strips::Strips {
                width,
                cloth: *cloth,
                outside: *outside,
            };
            strips::laid_out(plan, &strips)?
        }
        Kind::HalfDrop { ends } => shifted::laid_out(plan, true, *ends)?,
        Kind::Brick { ends } => shifted::laid_out(plan, false, *ends)?,
        Kind::OnPoint {
            between,
            edge,
            float,
        } => on_point::laid_out(plan, between, *edge, float)?,
    };
    let round = borders::laid(plan, (&inner.width, &inner.height))?;
    let inner = inner.inside(&round.inset);
    let mut parts = inner.parts;
    parts.extend(round.parts);
    let mut blocks = inner.blocks;
    blocks.extend(round.blocks);
    let patches = blocks
        .iter()
        .map(|placed| patch_counts.get(placed.block.0).copied().unwrap_or(0))
        .sum::<usize>()
        + parts.len();
    Ok(Top {
        width: &inner.width + &round.inset.x.times(2),
        height: &inner.height + &round.inset.y.times(2),
        inner_width: inner.width,
        inner_height: inner.height,
        blocks: numbered(blocks),
        rings: round.rings,
        parts,
        patches,
    })
}

/// The cloth of one patch: `patch` of the block `placed`, claimed by place number
/// `place`.
///
/// What was laid there from a pool; else the colourway's cloths for the place if it changes
/// them, else the place's own; of several, number (copy + patch) counted round.
#[must_use]
pub fn cloth_of(plan: &Plan, placed: &PlacedBlock, place: usize, patch: usize) -> ClothId {
    if let Some(&cloth) = placed.scraps.get(&patch) {
        return cloth;
    }
    let block = plan.block(placed.block);
    let changed = placed
        .colourway
        .and_then(|index| block.colourways.get(index))
        .and_then(|way| way.places.iter().find(|(changed, _)| *changed == place));
    let cloths = changed.map_or(&block.places[place].cloths, |(_, cloths)| cloths);
    cloths[(placed.copy as usize + patch) % cloths.len()]
}

/// The top without its borders, as a setting lays it out: its corner is the origin.
struct Inner {
    width: Surd,
    height: Surd,
    blocks: Vec<PlacedBlock>,
    parts: Vec<Part>,
}

impl Inner {
    /// The same, moved in by the depth of the borders.
    fn inside(mut self, inset: &Point) -> Self {
        if *inset == Point::ORIGIN {
            return self;
        }
        let shift = Motion::shift(inset.clone());
        for placed in &mut self.blocks {
            placed.motion = placed.motion.then(&shift);
        }
        for part in &mut self.parts {
            part.outline = part.outline.moved(&shift);
        }
        self
    }
}

/// The blocks, in reading order, with their running numbers.
fn numbered(mut blocks: Vec<PlacedBlock>) -> Vec<PlacedBlock> {
    let mut seen: BTreeMap<(BlockId, Option<usize>), u32> = BTreeMap::new();
    for placed in &mut blocks {
        let next = seen.entry((placed.block, placed.colourway)).or_default();
        placed.copy = *next;
        *next += 1;
    }
    blocks
}

/// Finished width and height of a block as it lies in its cell.
fn size_in(plan: &Plan, cell: &CellPlan) -> (Surd, Surd) {
    let block = plan.block(cell.block);
    if cell.turn.is_multiple_of(2) {
        (block.width.clone(), block.height.clone())
    } else {
        (block.height.clone(), block.width.clone())
    }
}

/// A rectangular part with its top left corner at `corner`; `None` if it has no area.
fn upright(
    kind: PartKind,
    cloth: ClothId,
    corner: (&Surd, &Surd),
    size: (&Surd, &Surd),
) -> Option<Part> {
    let outline = Polygon::rectangle(size.0.clone(), size.1.clone())?;
    let at = Point::new(corner.0.clone(), corner.1.clone());
    let (width, length) = if size.0 < size.1 {
        size
    } else {
        (size.1, size.0)
    };
    Some(Part {
        kind,
        cloth,
        shape: PartShape::Rectangle,
        outline: outline.moved(&Motion::shift(at)),
        length: length.clone(),
        width: width.clone(),
    })
}
