//! How the maker wants units made where several ways give the same unit.

/// What matters most to the maker when a unit can be made in several ways.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Wish {
    /// Every patch cut on its own by its recipe, its threads as the templates show.
    #[default]
    TruestGrain,
    /// The least cloth to buy.
    LeastCloth,
    /// The fewest cuts, marked lines and seams.
    LeastWork,
}

/// A kind of unit that can be made in several ways.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum UnitKind {
    /// A square of two triangles.
    HalfSquare,
    /// A square of four triangles, those across from one another of one cloth.
    Hourglass,
    /// A rectangle twice as long as high: one triangle with a smaller one on either side.
    Geese,
    /// Squares or rectangles side by side.
    Row,
    /// A square or rectangle with triangles in its corners.
    Corners,
}

/// A way of making a unit.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Way {
    /// Patch by patch, each cut by its own recipe.
    Singly,
    /// Two units from two squares.
    TwoAtATime,
    /// Four units from squares sewn together.
    FourAtATime,
    /// Eight units from two squares.
    EightAtATime,
    /// Strips sewn long, then cut across.
    StripSet,
    /// Squares sewn over the corners of a rectangle and folded back.
    StitchAndFlip,
}

/// How units are made.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct MakingPlan {
    /// What matters most.
    pub wish: Wish,
    /// Kinds of unit whose way the maker has settled, whatever the wish; each kind at
    /// most once, in the order of [`UnitKind`].
    pub settled: Vec<(UnitKind, Way)>,
}

impl MakingPlan {
    /// The way the maker has settled on for this kind of unit, if any.
    #[must_use]
    pub fn settled_for(&self, kind: UnitKind) -> Option<Way> {
        let found = self.settled.iter().find(|(settled, _)| *settled == kind);
        found.map(|(_, way)| *way)
    }
}

impl UnitKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [
        Self::HalfSquare,
        Self::Hourglass,
        Self::Geese,
        Self::Row,
        Self::Corners,
    ];

    /// The ways such a unit can be made.
    #[must_use]
    pub fn ways(self) -> &'static [Way] {
        match self {
            Self::HalfSquare => &[
                Way::Singly,
                Way::TwoAtATime,
                Way::FourAtATime,
                Way::EightAtATime,
            ],
            Self::Hourglass => &[Way::Singly, Way::TwoAtATime],
            Self::Geese => &[Way::Singly, Way::FourAtATime, Way::StitchAndFlip],
            Self::Row => &[Way::Singly, Way::StripSet],
            Self::Corners => &[Way::Singly, Way::StitchAndFlip],
        }
    }

    /// What a maker calls it, in the plural.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::HalfSquare => "half-square triangle units",
            Self::Hourglass => "hourglass units",
            Self::Geese => "flying geese",
            Self::Row => "rows of squares and rectangles",
            Self::Corners => "units with triangles in the corners",
        }
    }
}

impl Way {
    /// What a maker calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Singly => "singly",
            Self::TwoAtATime => "two at a time",
            Self::FourAtATime => "four at a time",
            Self::EightAtATime => "eight at a time",
            Self::StripSet => "in strip sets",
            Self::StitchAndFlip => "stitch and flip",
        }
    }
}
