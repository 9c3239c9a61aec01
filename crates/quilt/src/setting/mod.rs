//! Where everything lies in the top, and the sums of it.
//!
//! **Frame.** The finished top's top left corner is (0, 0), borders included. All
//! positions are exact.
//!
//! **Knows nothing of** seams, cutting or buying.

use geometry::{Motion, Polygon, Surd};

use crate::plan::{BlockId, ClothId};

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
    /// The blocks: straight settings row by row; on point in diagonal rows, see
    /// [`PlacedBlock::diagonal`].
    pub blocks: Vec<PlacedBlock>,
    /// Sashing, posts, setting triangles, borders.
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
    /// along it from the left; `None` in a straight setting.
    pub diagonal: Option<(u32, u32)>,
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
}

/// What a part that belongs to no block is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum PartKind {
    /// A strip between two blocks, as long as a block.
    Sash,
    /// A strip between two rows, as long as the row.
    LongSash,
    /// The square where sashes meet.
    Post,
    /// On point: a post cut in half by the edge.
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
    /// A strip with its ends cut on the diagonal, cut straight at its longer side's
    /// length and trimmed after sewing.
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
    /// Finished size along and across its own long side, before any floating extra:
    /// for rectangles and strips length and width, for triangles the long side and the
    /// height on it.
    pub length: Surd,
    /// See `length`.
    pub width: Surd,
}
