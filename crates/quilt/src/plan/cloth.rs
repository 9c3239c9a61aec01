//! One cloth as the maker describes it.

use geometry::Surd;

use super::Supply;

/// A colour as it is typed, `#rrggbb` (sRGB, IEC 61966-2-1).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

/// The kind of print, for drawing a cloth that has no photograph.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Print {
    /// One even colour.
    Plain,
    /// Lines along the length of the cloth.
    Stripe,
    /// Lines both ways.
    Plaid,
    /// Spots in a half-drop.
    Dot,
    /// Cloudy, almost plain.
    Tonal,
    /// Scattered leaves.
    Leafy,
}

/// Which way up a print may lie.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Direction {
    /// Looks the same any way up: pieces may lie along or across the cloth.
    Free,
    /// Looks the same upside down but not sideways.
    TwoWay,
    /// Has one right way up.
    OneWay,
}

/// How light or dark a cloth reads.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Value {
    /// Reads dark.
    Dark,
    /// Reads in between.
    Medium,
    /// Reads light.
    Light,
}

/// Where the motifs of a print lie: in rows from selvage to selvage, all equally far apart.
///
/// **Units.** Inches, measured on the cloth as it is cut: washed and pressed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Motif {
    /// From the middle of one motif to the next in its row; greater than zero.
    pub across: Surd,
    /// From one row to the next, along the selvage; greater than zero.
    pub along: Surd,
    /// How far every other row is set over to the right.
    pub offset: Surd,
    /// From the left edge of the usable width to the middle of a motif in a row that is not
    /// set over; `None`: half of `across`.
    pub from_edge: Option<Surd>,
    /// From the squared end to the middle of such a row; `None`: not known, since nobody
    /// knows where the shop cuts, so the cloth must reach wherever that is.
    pub from_end: Option<Surd>,
}

/// One fabric on record.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Cloth {
    /// The short name the plan refers to it by; unique in the plan.
    pub key: String,
    /// What the maker calls it.
    pub name: String,
    /// The colour the eye takes from it.
    pub colour: Colour,
    /// The colour of its figure; for a plain cloth the same as `colour`.
    pub second: Colour,
    /// The kind of print.
    pub print: Print,
    /// The size of one repeat of the print, inches; greater than zero.
    pub scale: Surd,
    /// Which way up it may lie.
    pub direction: Direction,
    /// Usable width between the selvages, inches; greater than zero.
    pub width: Surd,
    /// The maker's word on its value, when the measured one is not to count.
    pub value: Option<Value>,
    /// Where its motifs lie, if pieces are to be centred on them.
    pub motif: Option<Motif>,
    /// What there is of it already, and how it is sold.
    pub supply: Supply,
    /// What else is on record of it.
    pub record: Record,
}

/// What the stash's own book says of a cloth; all of it may be missing.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Record {
    /// Where its photograph lies, as the maker writes it: beside the plan or below it.
    pub photo: Option<String>,
    /// How much cloth the photograph shows from left to right, inches, if it shows nothing
    /// but cloth.
    pub shows: Option<Surd>,
    /// Where it is from, what it is made of: the maker's own note on the purchase.
    pub shop: String,
    /// Whether it has been washed; `None`: nobody wrote it down.
    pub washed: Option<bool>,
    /// The maker's own words to find it by, each once.
    pub tags: Vec<String>,
    /// What a photograph or an instrument found.
    pub measured: Option<Measured>,
}

/// What was measured of a cloth. Numbers are kept as they were written, exactly.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Measured {
    /// Its colour as a whole in CIELAB under D65 (CIE 15): L\*, a\*, b\*; L\* from 0 to 100.
    pub lab: [Surd; 3],
    /// How far L\* spreads inside the print: from the tenth to the ninetieth hundredth of
    /// its area; zero or more.
    pub spread: Option<Surd>,
    /// How much the print stirs, 0 (even) to 100 (black and white at every thread).
    pub busy: Option<Surd>,
    /// Size of the figures of the print, inches; greater than zero.
    pub scale: Option<Surd>,
    /// The repeat across and along the cloth, inches; both greater than zero.
    pub repeat: Option<(Surd, Surd)>,
    /// Which way up the print may lie.
    pub direction: Option<Direction>,
    /// The kind of print.
    pub print: Option<Print>,
}

impl Cloth {
    /// The size of the print's figures, inches: as measured, else as the maker wrote it.
    #[must_use]
    pub fn figure_size(&self) -> &Surd {
        let measured = self.record.measured.as_ref();
        measured
            .and_then(|found| found.scale.as_ref())
            .unwrap_or(&self.scale)
    }
}
