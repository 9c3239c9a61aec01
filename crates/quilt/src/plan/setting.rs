//! How the blocks are arranged, with sashing and borders, and what size is wanted.

use geometry::Surd;

use super::{BlockId, ClothId};

/// The arrangement of the blocks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SettingPlan {
    /// Straight or on point.
    pub kind: Kind,
    /// Blocks down; at least 1. On point: the main blocks in the first column.
    pub rows: u32,
    /// Blocks across; at least 1. On point: the main blocks in the first row.
    pub columns: u32,
    /// The repeat that fills the main cells, laid from the top left.
    pub cells: Repeat,
    /// Main cells that have something else than the repeat gives them.
    pub pinned: Vec<Pinned>,
    /// Sashing, if any.
    pub sashing: Option<Sashing>,
    /// The size aimed at, if the maker gave one.
    pub target: Option<Target>,
}

impl SettingPlan {
    /// What lies in the main cell at this row and column: what is pinned there, else what
    /// the repeat gives. Of several pins on one cell the last counts.
    #[must_use]
    pub fn cell(&self, row: u32, column: u32) -> &CellPlan {
        let mut pins = self.pinned.iter().rev();
        let pin = pins.find(|pin| (pin.row, pin.column) == (row, column));
        pin.map_or_else(|| self.cells.at(row, column), |pin| &pin.cell)
    }
}

/// One cell with something of its own.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pinned {
    /// Row, from 0 at the top.
    pub row: u32,
    /// Column, from 0 at the left.
    pub column: u32,
    /// What lies there.
    pub cell: CellPlan,
}

/// How the blocks stand to one another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Kind {
    /// Blocks with their sides along the quilt's sides.
    Straight,
    /// Columns of blocks parted by plain strips as long as the column.
    Strips {
        /// Finished width of the strips, inches; greater than zero.
        width: Surd,
        /// Their cloth.
        cloth: ClothId,
        /// Whether a strip also runs along both sides of the top.
        outside: bool,
    },
    /// Every second column hangs half a block lower.
    HalfDrop {
        /// What fills the ends of those columns.
        ends: Ends,
    },
    /// Every second row lies half a block to the right.
    Brick {
        /// What fills the ends of those rows.
        ends: Ends,
    },
    /// Blocks standing on a corner, with triangles filling the edge.
    OnPoint {
        /// The repeat that fills the cells between the main ones.
        between: Repeat,
        /// The cloth of the setting and corner triangles.
        edge: ClothId,
        /// How far the blocks float inside the edge: the width of setting cloth left
        /// between their points and the edge, inches; zero or more.
        float: Surd,
    },
}

/// What fills the ends of the shifted columns or rows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ends {
    /// Halves of the block that would lie there, pieced as blocks of their own.
    Halves,
    /// Plain rectangles of this cloth, half a block long.
    Plain(ClothId),
}

/// The smallest group of cells that tiles the setting.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Repeat {
    /// Cells down; at least 1.
    pub rows: usize,
    /// Cells across; at least 1.
    pub columns: usize,
    /// Row by row, `rows × columns` of them.
    pub cells: Vec<CellPlan>,
}

impl Repeat {
    /// The cell at this row and column of the setting.
    #[must_use]
    pub fn at(&self, row: u32, column: u32) -> &CellPlan {
        &self.cells[(row as usize % self.rows) * self.columns + column as usize % self.columns]
    }
}

/// One block in one cell.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CellPlan {
    /// Which block.
    pub block: BlockId,
    /// Which of its colourways, or its own cloths.
    pub colourway: Option<usize>,
    /// Quarter turns clockwise, 0 to 3.
    pub turn: u8,
    /// Whether it is the mirror image of the block, mirrored left to right before it is
    /// turned. Its units are other units to sew: it is a block of its own.
    pub mirrored: bool,
}

/// Strips between the blocks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sashing {
    /// Finished width, inches; greater than zero.
    pub width: Surd,
    /// The cloth of the strips.
    pub cloth: ClothId,
    /// The cloth of the posts where strips meet; without it, long strips run between
    /// the rows.
    pub posts: Option<ClothId>,
    /// Whether sashing also runs round the outside of the blocks.
    pub outside: bool,
}

/// One border.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BorderPlan {
    /// Plain, pieced, or a spacer.
    pub kind: BorderKind,
    /// Finished width, inches; greater than zero. Of a spacer the least it may have, zero
    /// or more. A pieced border is as wide as its units and one that makes up a size as wide
    /// as that takes; for these it is not read.
    pub width: Surd,
    /// Its cloth; of a pieced border that of plain corner squares.
    pub cloth: ClothId,
    /// How its corners are made.
    pub corner: Corner,
    /// Which way of the cloth it is cut.
    pub cut: CutAlong,
}

impl BorderPlan {
    /// The cloth it is cut from itself; `None` where units and corner blocks make it all.
    #[must_use]
    pub fn own_cloth(&self) -> Option<ClothId> {
        match &self.kind {
            BorderKind::Pieced(pieced) if pieced.corner.is_some() => None,
            _ => Some(self.cloth),
        }
    }
}

/// What a border is made of.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum BorderKind {
    /// Strips of one cloth.
    Plain,
    /// Strips of one cloth, just so wide that the next pieced border fits.
    Spacer,
    /// Strips of one cloth, just so wide that the top with them finishes at this size.
    UpTo {
        /// Finished width, inches.
        width: Surd,
        /// Finished height, inches.
        height: Surd,
    },
    /// Units in a row.
    Pieced(Pieced),
}

/// A border of units.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pieced {
    /// The units of one repeat as they lie in the top side, from the left; at least one,
    /// all equally high. Each side takes them a quarter turn on from the one before.
    pub units: Vec<CellPlan>,
    /// The block in the upper left corner, a quarter turn on in each next corner; without
    /// it the corners are plain squares.
    pub corner: Option<CellPlan>,
    /// Whether the second half of each side is the mirror image of the first. Otherwise
    /// the units follow one another round the quilt.
    pub from_middle: bool,
}

impl Pieced {
    /// The units of a side of `count` units, in order, as they would lie in the top side.
    #[must_use]
    pub fn along(&self, count: u32) -> Vec<CellPlan> {
        let count = count as usize;
        let mut units: Vec<CellPlan> = self.units.iter().copied().cycle().take(count).collect();
        if self.from_middle {
            for index in 0..count / 2 {
                units[count - 1 - index] = units[index].mirror_image();
            }
        }
        units
    }
}

impl CellPlan {
    /// What is seen of this cell in a mirror beside it.
    #[must_use]
    pub fn mirror_image(&self) -> CellPlan {
        // A mirror after a turn is the opposite turn after the mirror.
        CellPlan {
            turn: (4 - self.turn % 4) % 4,
            mirrored: !self.mirrored,
            ..*self
        }
    }
}

/// How a border turns the corner.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Corner {
    /// Sides first, then top and bottom over the whole width.
    Butted,
    /// Joined on the diagonal.
    Mitred,
    /// A square of this cloth in each corner.
    Squares(ClothId),
}

/// Which way of the cloth a strip is cut.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CutAlong {
    /// From selvage to selvage, joined when it must be longer.
    Across,
    /// Along the selvage, in one piece.
    Length,
}

/// The size aimed at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Target {
    /// Cover a mattress.
    Bed {
        /// Which mattress.
        bed: Bed,
        /// How far the quilt hangs down at both sides and the foot, inches.
        drop: Surd,
        /// Extra length to tuck over the pillows, inches.
        tuck: Surd,
    },
    /// Come as near as can be to this finished size.
    Size {
        /// Width, inches.
        width: Surd,
        /// Length, inches.
        height: Surd,
    },
}

/// A mattress.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Bed {
    /// Its trade name.
    pub name: String,
    /// Width, inches.
    pub width: Surd,
    /// Length, inches.
    pub length: Surd,
}
