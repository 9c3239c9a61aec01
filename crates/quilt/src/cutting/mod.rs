//! From patches to pieces of cloth: what is needed, how it is cut, what to buy.
//!
//! ```text
//!   patches, parts, edge, back ─▶ demands by cloth ─▶ ways to cut ─▶ strips ─▶ what to buy
//!            `demand`               `kinds`          `ways`, `nest`  `packing`,
//!                                                                    `search`, `polish`
//! ```
//!
//! Pieces that show a motif in their middle are cut first, each by itself (`motifs`).
//!
//! Beside every length stands a bound that no plan of strips can beat (`bounds`, `prices`),
//! so the maker sees how good the plan is. [`table()`] says how cloth is folded and stacked
//! and puts the cutting into steps and words.
//!
//! **Units.** Lengths on the cloth are whole ruler marks ([`Ruler`](crate::measure::Ruler));
//! floats appear only in drawn outlines. On the cloth x runs from the left selvage
//! across the usable width and y along the length from the squared end.
//!
//! **Always holds.** Every piece that is needed lies on the cloth exactly once, inside it,
//! apart from all others, with its grain along or across; what is too large for the cloth
//! is named in [`ClothCutting::too_large`] instead.
//!
//! A [`Sheet`] shows the cloth opened out, right side up, so every piece lies on it with
//! the hand it needs, however many layers are cut at once.

mod again;
mod bounds;
mod demand;
mod instead;
mod kinds;
mod laying;
mod motifs;
mod names;
mod nest;
mod packing;
mod panels;
mod plainer;
mod polish;
mod prices;
mod search;
mod sheets;
mod simplex;
mod stock;
mod supplies;
mod table;
mod together;
mod ways;

use geometry::Surd;

pub use again::{Again, Room, again};
pub use instead::{Cutter, Instead, Same, Take};
pub use laying::{work_out, work_out_with};
pub use motifs::{Tight, tight};
pub use names::{piece_name, use_name};
pub use supplies::{Offer, OwnedUse, owned_name, owned_used, supply_lines};
pub use table::{
    Action, Bill, Bills, Comparison, CutStep, CuttingTable, Effort, FromSheet, FromStrip, Station,
    compared, folded_strips, station_cloths, work_out as table,
};

use crate::block::Rotary;
use crate::measure::Cut;
use crate::plan::{BlockId, ClothId};
use crate::setting::PartKind;

/// The cutting of one cloth.
#[derive(Clone, PartialEq, Debug)]
pub struct ClothCutting {
    /// Which cloth.
    pub cloth: ClothId,
    /// What is cut from it, in cutting order: largest first.
    pub demands: Vec<Demand>,
    /// The cloth it is cut from: what is owned first, in the order it is used up, the
    /// length to buy last.
    pub sheets: Vec<Sheet>,
    /// Length used of the cloth that is bought, marks.
    pub needs: i64,
    /// The shortest plan that was found, marks. [`Self::needs`] is more where a longer plan
    /// buys the same and sets the ruler less often.
    pub shortest: i64,
    /// Proved: no plan of strips across the width can use less. Marks (may be a
    /// fraction, so a float rounded down to be safe).
    pub at_least: f64,
    /// Which bound that is, in words.
    pub bound: &'static str,
    /// Length to buy, inches: needs with squaring and shrinkage, rounded up to the step.
    pub buy: Surd,
    /// Proved: no plan of strips lets you buy less. Cloth is sold in steps, so this may hold
    /// although the length used is not proved to be the least.
    pub buy_proved: bool,
    /// Area of the pieces with their seam allowance, square inches.
    pub used_area: f64,
    /// Demands with a piece larger than the cloth, as indices of `demands`: nothing is
    /// cut for them.
    pub too_large: Vec<usize>,
    /// What cannot be cut, of a cloth that is not sold any more: the maker has too little.
    pub missing: Option<Missing>,
    /// The width it is bought in: of those it is sold in the one that costs least, or takes
    /// the least length where prices are not known.
    pub offer: Offer,
    /// The other widths it is sold in.
    pub other_offers: Vec<Offer>,
}

/// What is missing of a cloth that cannot be bought any more.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Missing {
    /// The pieces: the demand (an index) and what they are for.
    pub pieces: Vec<(usize, Served)>,
    /// Length of cloth of the usual width they would take, marks.
    pub length: i64,
    /// A cloth of which the maker has enough left over for them, the nearest in value.
    pub instead: Option<ClothId>,
}

impl ClothCutting {
    /// All strips, sheet by sheet in the order they are cut.
    pub fn strips(&self) -> impl Iterator<Item = &Strip> {
        self.sheets.iter().flat_map(|sheet| &sheet.strips)
    }

    /// All pieces, sheet by sheet in the order of their strips.
    pub fn pieces(&self) -> impl Iterator<Item = &Laid> {
        self.sheets.iter().flat_map(|sheet| &sheet.pieces)
    }
}

/// One piece of cloth on the table, its pieces in their places.
#[derive(Clone, PartialEq, Debug)]
pub struct Sheet {
    /// Where it comes from.
    pub source: Source,
    /// Whether it lies turned a quarter to the left, so that its strips are cut along the
    /// selvage: x then runs along the length of the cloth and y from the right selvage to
    /// the left.
    pub turned: bool,
    /// Across the table: usable width of the cloth (of a turned sheet its length), whole marks.
    pub width: i64,
    /// Down the table: length along the selvage (of a turned sheet its width), whole marks;
    /// of bought cloth what the strips take.
    pub length: i64,
    /// The strips in the order they are cut from the squared end.
    pub strips: Vec<Strip>,
    /// Every piece where it lies, in the order of the strips' slabs.
    pub pieces: Vec<Laid>,
    /// Where pieces are centred on motifs: the middle of every motif in the part of the
    /// cloth they are cut from, whole marks from its corner (rounded down). On cloth of which
    /// nobody knows where the shop cuts it, as they lie in the worst case.
    pub motifs: Vec<[i64; 2]>,
}

/// Where a sheet of cloth comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Source {
    /// It is to be bought.
    Bought,
    /// The maker has it: an index into [`Supply::owned`](crate::plan::Supply::owned) of the
    /// cloth. Of several equal pieces each is a sheet.
    Owned(usize),
}

/// What a piece of cloth is for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Use {
    /// A patch of a block: block and template index.
    Patch(BlockId, usize),
    /// A part of the top.
    Part(PartKind),
    /// Binding strips.
    Binding,
    /// Backing lengths.
    Backing,
    /// The hanging sleeve.
    Sleeve,
    /// Squares or strips that units are made from several at a time: the block, and the
    /// unit as an index into `BlockSewing::steps`.
    Unit(BlockId, usize),
    /// A patch of a block that is pieced on foundations: the block, the kind of section and
    /// the number in it, from 1.
    Rough(BlockId, usize, usize),
}

/// How many pieces go where.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Served {
    /// What they are for.
    pub usage: Use,
    /// How many.
    pub count: u32,
}

/// One line of the cutting chart: pieces that are cut alike.
#[derive(Clone, PartialEq, Debug)]
pub struct Demand {
    /// The first of the uses it serves.
    pub usage: Use,
    /// Everything it serves; for joined strips the finished strips cut from them.
    pub serves: Vec<Served>,
    /// How many pieces lie on the cloth.
    pub count: u32,
    /// How it is cut.
    pub method: Method,
    /// How many strips, squares or rectangles are cut to get them, before any further
    /// cuts; for runs and templates, how many runs.
    pub first_cuts: u32,
}

/// How the pieces of one demand are cut.
#[derive(Clone, PartialEq, Debug)]
pub enum Method {
    /// By a ruler recipe: triangles and slanted shapes (squares and rectangles that stay
    /// whole are [`Method::Rectangle`]).
    Ruler(Box<Rotary>),
    /// Rectangles of this height and width.
    Rectangle {
        /// Along the strip's height.
        height: Cut,
        /// Along the strip.
        width: Cut,
    },
    /// Strips across the whole cloth, joined end to end into the lengths needed.
    JoinedStrips {
        /// Height of each strip.
        strip: Cut,
        /// The lengths that are cut from the joined strip, with seam allowances.
        lengths: Vec<Cut>,
    },
    /// Strips cut along the selvage.
    Lengthwise {
        /// Width of each strip.
        strip: Cut,
        /// Length of each.
        lengths: Vec<Cut>,
    },
    /// By the printed template, laid head to tail in a strip.
    Template,
    /// Each by itself, a motif in its middle, before everything else is cut.
    Centred {
        /// Whether by the printed template; otherwise the ruler is laid on the motif.
        by_template: bool,
    },
    /// A square cut into bias strips.
    BiasSquare {
        /// Side of the square.
        side: Cut,
    },
}

/// One strip across the cloth, or the lengthwise strips cut first.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Strip {
    /// Where it begins across the cloth, marks from the left selvage.
    pub x: i64,
    /// Where it begins along the cloth, marks.
    pub y: i64,
    /// Its height along the cloth, marks.
    pub height: i64,
    /// Its length across the cloth, marks.
    pub width: i64,
    /// Whether it is a strip along the selvage.
    pub lengthwise: bool,
    /// Of a row of pieces centred on motifs, where the middles of the motifs lie, marks along
    /// the cloth: the pieces are cut out one by one, and what lies between them is left over.
    pub centred: Option<i64>,
    /// Cross-cuts in it: where each slab begins and ends along the strip, how high it
    /// is, and the demand it serves. In marks.
    pub slabs: Vec<LaidSlab>,
}

/// A rectangle or a run cross-cut from a strip, serving one demand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LaidSlab {
    /// Index into [`ClothCutting::demands`].
    pub demand: usize,
    /// Marks from the left selvage.
    pub x: i64,
    /// Width along the strip, marks.
    pub width: i64,
    /// Height, marks; at most the strip's.
    pub height: i64,
    /// How many pieces that are needed come out of it.
    pub pieces: u32,
}

/// One piece where it lies on the cloth.
#[derive(Clone, PartialEq, Debug)]
pub struct Laid {
    /// Index into [`ClothCutting::demands`].
    pub demand: usize,
    /// What this piece is for.
    pub usage: Use,
    /// Whether this one is cut with the template turned over.
    pub mirrored: bool,
    /// Its cut outline on the cloth, inches.
    pub outline: Vec<[f64; 2]>,
    /// Direction of its grain on the cloth, degrees clockwise from +x.
    pub grain: f64,
}
