//! One block as the maker drafts it: its lines, its places, their cloth.

use geometry::{Point, Polygon, Segment, Surd};

use super::{ClothId, Taken};

/// A block: its size, how it is drafted, and which cloth each place takes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlockPlan {
    /// What the maker calls it; unique in the plan.
    pub name: String,
    /// Finished width, inches; greater than zero.
    pub width: Surd,
    /// Finished height, inches; greater than zero.
    pub height: Surd,
    /// The line drawing.
    pub draft: Draft,
    /// The places and their cloth, in the maker's order; names unique.
    pub places: Vec<PlacePlan>,
    /// Other cloths for the same block, for use at chosen positions of the setting.
    pub colourways: Vec<Colourway>,
    /// Whether it is pieced on printed foundations instead of by templates.
    pub foundation: bool,
}

/// The patches of a block that take the same cloth together.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlacePlan {
    /// The maker's name for it.
    pub name: String,
    /// Its cloth. With several, the patches and the copies of the block take them in
    /// turn (`setting::cloth_of` says exactly how); never empty.
    pub cloths: Vec<ClothId>,
    /// Which patches belong to it. Of two claims on one patch the more exact wins: a
    /// point before a name, a longer name before a shorter.
    pub claims: Vec<Claim>,
    /// Whether each of its pieces is to show a motif in its middle, where its cloth has
    /// motifs ([`Cloth::motif`](super::Cloth::motif)).
    pub centred: bool,
}

/// How a place says which patches it means.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Claim {
    /// Every patch whose spot name is this, or begins with it at a word's end: `arm 1`
    /// claims `arm 1 round 2` but not `arm 12`.
    Spot(String),
    /// The patch that holds this point, in block coordinates (inches, y down).
    At(Point),
}

/// The same block in other cloth.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Colourway {
    /// The maker's name for it; unique in the block.
    pub name: String,
    /// For each place that changes: its index in [`BlockPlan::places`] and its cloths.
    pub places: Vec<(usize, Vec<ClothId>)>,
}

/// How the lines of a block come about.
///
/// Every draft gives each patch a *spot name* by which places claim it; the names are
/// given with each kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Draft {
    /// A rectangle divided into columns and rows, each cell pieced simply. Spot names
    /// are the ones written in the cells.
    Grid {
        /// Column widths as shares of the block's width; each greater than zero.
        columns: Vec<Surd>,
        /// Row heights as shares of the block's height; each greater than zero.
        rows: Vec<Surd>,
        /// One entry a cell, row by row; `rows × columns` of them.
        cells: Vec<Cell>,
    },
    /// Squares nested by joining the middles of the sides, again and again. Spots:
    /// `centre` (or `centre 1` … `centre 4` clockwise from the top left) and
    /// `arm 1 round 1` … `arm 4 round N`; round 1 lies next to the centre, and going
    /// outward each arm steps an eighth of a turn in the sense of `twist`, so that
    /// arms 1 to 4 end in the top-left, top-right, bottom-right and bottom-left corners
    /// of the block.
    Nested {
        /// How many rounds of four triangles; at least 1.
        rounds: u32,
        /// What the innermost square is.
        centre: Centre,
        /// The sense in which an arm turns on its way out.
        twist: Arm,
    },
    /// Strips laid round a centre. Spots: `centre`, `side 1 round 1` … `side 4 round N`;
    /// side 1 is the one sewn first in each round (on the left, then top, right,
    /// bottom for [`LogStyle::Around`]; left, right, then top, bottom for
    /// [`LogStyle::Pairs`]).
    Log {
        /// How many rounds of four strips; at least 1.
        rounds: u32,
        /// The centre's share of the block's width; the strips share the rest evenly.
        /// Greater than 0, less than 1.
        centre: Surd,
        /// The order in which strips are added.
        style: LogStyle,
    },
    /// An eight-pointed star of 45° diamonds in a square. Spots: `point 1` … `point 8`
    /// clockwise from the one right of twelve o'clock, `corner 1` … `corner 4` from the
    /// top right clockwise, `side 1` … `side 4` from the right clockwise. With
    /// `split`, each corner and side is cut in two along the star's own lines (`corner 1
    /// half 1`, …), and the block sews in straight seams.
    Star {
        /// Whether corners and sides are split so that every seam is straight.
        split: bool,
    },
    /// A regular hexagon lying in a rectangle, points to the left and right. The block's
    /// height must be its width × √3⁄2. Spots: `hexagon` or `hexagon 1` … clockwise from
    /// the top, and `corner 1` … `corner 4` clockwise from the top left.
    Hexagon {
        /// What the hexagon is made of.
        parts: HexagonParts,
    },
    /// Rows of 60° triangles with half triangles at the ends. The block's height must be
    /// (width ÷ across) × rows × √3⁄2. Spots: `up row 1 number 1`, `down row 1 number 2`, …
    /// with `end row 1 left`, `end row 1 right`.
    Triangles {
        /// How many rows; at least 1.
        rows: u32,
        /// How many whole sides fit across the block; at least 1.
        across: u32,
    },
    /// A field of hexagons, points to the left and right, each sewn as two halves so that
    /// all rows join in straight seams. The left and right edges run through the middles
    /// of hexagons. The block's height must be (width ÷ across) × rows × √3⁄3. Spots:
    /// `column 1 hexagon 1 upper`, `column 1 hexagon 1 lower`, … from the left and from
    /// the top; in even columns the first hexagon is only a lower half.
    Hexagons {
        /// How many rows of halves; at least 1.
        rows: u32,
        /// How many columns from edge to edge, the halves of columns at both edges
        /// together counted as one; at least 1.
        across: u32,
    },
    /// Lines drawn on the block. Places claim patches by points.
    Lines {
        /// The drawn lines, in block coordinates (inches).
        lines: Vec<Segment>,
    },
    /// Patches given by their corners. Spot names are the ones written with each.
    Pieces {
        /// Spot name and outline, in block coordinates (inches).
        pieces: Vec<(String, Polygon)>,
    },
    /// A part of another block, its mirror image, or both. Spots are the names of that
    /// block's places; of patches no place claims, their own.
    Taken(Box<Taken>),
}

/// What one cell of a grid is made of. The names are spot names.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Cell {
    /// One patch.
    Whole(String),
    /// Cut by the diagonal that rises to the right: upper left, lower right.
    Rising(String, String),
    /// Cut by the diagonal that falls to the right: lower left, upper right.
    Falling(String, String),
    /// Cut by both diagonals: top, right, bottom, left.
    Hourglass([String; 4]),
    /// A goose: a triangle on one whole side with its point in the middle of the
    /// opposite side, and the two triangles beside it.
    Goose {
        /// The side the point touches.
        pointing: Pointing,
        /// Spot name of the large triangle.
        goose: String,
        /// Spot name of the two small ones.
        sky: String,
    },
    /// Part of the cell to the left.
    JoinedLeft,
    /// Part of the cell above.
    JoinedUp,
}

/// A direction on the page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Pointing {
    /// Towards the top of the page.
    Up,
    /// Towards the right.
    Right,
    /// Towards the bottom.
    Down,
    /// Towards the left.
    Left,
}

/// What the innermost of the nested squares is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Centre {
    /// One square.
    Plain,
    /// A four-patch.
    FourPatch,
}

/// The sense in which the arms of nested squares turn on their way out.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Arm {
    /// As the hands of a clock.
    Clockwise,
    /// Against them.
    Counterclockwise,
}

/// The order in which strips are laid round a centre.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LogStyle {
    /// One after another round the centre.
    Around,
    /// Opposite sides in pairs.
    Pairs,
}

/// What a hexagon is made of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum HexagonParts {
    /// One patch.
    Whole,
    /// Two half hexagons, joined across the middle.
    Halves,
    /// Three 60° diamonds (which meet in a set-in seam).
    Diamonds,
    /// Six 60° triangles.
    Triangles,
    /// Twelve 60° diamonds: a six-pointed star, and a diamond set into each notch. Spots:
    /// `hexagon point 1` … `6` clockwise from the top, `hexagon notch 1` … `6` clockwise
    /// from the top left.
    Star,
}
