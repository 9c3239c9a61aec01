//! From finished blocks to the finished top.
//!
//! Blocks and the parts beside them are grouped into rows: in a straight or brick setting
//! level ones, with strips or a half-drop upright ones, on point diagonal ones. Sashing between the rows makes rows of its own. Rows are
//! sewn first, rows alike in one step; then the rows are joined, then what lies outside
//! them (long upright sashes, corner triangles), then the borders from the inside out.
//!
//! **Always holds.** Every block and part is sewn in exactly one step, and the seams of
//! all steps are one less than the blocks and parts, plus four for each mitred border.

mod borders;
mod forecast;
mod pieced;
mod rows;
mod say;
mod seams;
mod thick;

use geometry::{Point, Polygon, Surd};

pub use forecast::TopForecast;
pub(super) use say::list;
pub use thick::{TOO_THICK, TopLayers, TopThick};

use super::press::{PressPlan, TopSeams};
use super::{BlockSewing, Errors, Handling, TopStep, landing};
use crate::plan::{BlockId, ClothId, Kind, Plan};
use crate::results::Blocks;
use crate::setting::{Part, PartKind, PlacedBlock, Top};

/// The seams outside the blocks, which pressing decides on.
pub(super) fn seams(plan: &Plan, top: &Top) -> TopSeams {
    seams::seams(&Work::of(plan, top))
}

/// Where the top is thick between and around its blocks.
pub(super) fn layers(
    (plan, blocks, top): (&Plan, &Blocks, &Top),
    sewn: &[BlockSewing],
    pressing: &PressPlan,
    seams: &TopSeams,
) -> TopLayers {
    thick::layers(&Work::of(plan, top), blocks, sewn, pressing, seams)
}

/// What the errors add up to in the top.
pub(super) fn forecast(
    plan: &Plan,
    top: &Top,
    handling: &[Handling],
    errors: &Errors,
) -> Option<TopForecast> {
    forecast::forecast(&Work::of(plan, top), handling, errors)
}

/// All steps in order, pressed as was decided.
pub(super) fn steps(plan: &Plan, top: &Top, pressing: &PressPlan) -> Vec<TopStep> {
    let work = Work::of(plan, top);
    let mut steps = rows::steps(&work, pressing);
    steps.extend(borders::steps(&work, pressing));
    let mut met: Vec<ClothId> = Vec::new();
    for step in &mut steps {
        for &part in &step.parts {
            let cloth = top.parts[part].cloth;
            if !met.contains(&cloth) {
                met.push(cloth);
                step.cloths.push(cloth);
            }
        }
    }
    steps
}

/// How the rows run that are sewn first.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Run {
    /// From left to right, one below the other.
    Level,
    /// From top to bottom, side by side: columns.
    Upright,
    /// From lower left to upper right.
    Diagonal,
}

impl Run {
    /// What the maker calls such a row.
    fn word(self) -> &'static str {
        match self {
            Self::Level => "row",
            Self::Upright => "column",
            Self::Diagonal => "diagonal row",
        }
    }

    /// Along the row.
    fn along(self) -> Point {
        match self {
            Self::Level => Point::ints(1, 0),
            Self::Upright => Point::ints(0, 1),
            Self::Diagonal => Point::ints(1, -1),
        }
    }

    /// From one row to the next.
    fn across(self) -> Point {
        match self {
            Self::Level => Point::ints(0, 1),
            Self::Upright => Point::ints(1, 0),
            Self::Diagonal => Point::ints(1, 1),
        }
    }

    /// Where the seams of a row lie when they are pressed along it, and when not.
    fn ways(self) -> [&'static str; 2] {
        match self {
            Self::Upright => ["down", "up"],
            Self::Level | Self::Diagonal => ["to the right", "to the left"],
        }
    }
}

/// A block or a part, by its index.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Piece {
    Block(usize),
    Part(usize),
}

/// What a piece is, when rows are compared.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Alike {
    Block(BlockId, Option<usize>, u8),
    Part(PartKind, ClothId),
}

/// The plan, the top, and where every piece lies.
struct Work<'a> {
    plan: &'a Plan,
    top: &'a Top,
    /// The finished outline of each block.
    blocks: Vec<Polygon>,
}

impl<'a> Work<'a> {
    fn of(plan: &'a Plan, top: &'a Top) -> Self {
        let outline = |placed: &PlacedBlock| {
            let block = plan.block(placed.block);
            let flat = Polygon::rectangle(block.width.clone(), block.height.clone());
            let flat = flat.expect("a plan's blocks are wider and higher than nothing");
            flat.moved(&placed.motion)
        };
        Self {
            plan,
            top,
            blocks: top.blocks.iter().map(outline).collect(),
        }
    }

    fn outline(&self, piece: Piece) -> &Polygon {
        match piece {
            Piece::Block(index) => &self.blocks[index],
            Piece::Part(index) => &self.top.parts[index].outline,
        }
    }

    fn alike(&self, piece: Piece) -> Alike {
        match piece {
            Piece::Block(index) => {
                let placed = &self.top.blocks[index];
                Alike::Block(placed.block, placed.colourway, placed.turn)
            }
            Piece::Part(index) => {
                let part = &self.top.parts[index];
                Alike::Part(part.kind, part.cloth)
            }
        }
    }

    /// Parts that are no borders, with their indices.
    fn inner_parts(&self) -> impl Iterator<Item = (usize, &'a Part)> {
        let border = |kind| {
            matches!(
                kind,
                PartKind::BorderSide(_) | PartKind::BorderEnd(_) | PartKind::BorderSquare(_)
            )
        };
        self.top
            .parts
            .iter()
            .enumerate()
            .filter(move |(_, part)| !border(part.kind))
    }

    /// The blocks of the setting itself, by index: not those of pieced borders.
    fn inner_blocks(&self) -> impl Iterator<Item = usize> {
        let blocks = self.top.blocks.iter().enumerate();
        let inner = blocks.filter(|(_, placed)| placed.border.is_none());
        inner.map(|(index, _)| index)
    }

    /// A length as the maker reads it.
    fn say(&self, length: &Surd) -> String {
        if length.is_rational() {
            return self.plan.measure.say(length);
        }
        // Lengths with roots are said as a ruler shows them.
        let length = landing::Length {
            value: length.to_f64(),
            exact: None,
        };
        length.say(self.plan.measure)
    }

    /// A finished length with a seam at both ends.
    fn unfinished(&self, finished: &Surd) -> Surd {
        finished + &self.plan.seam.times(2)
    }

    fn run(&self) -> Run {
        match self.plan.setting.kind {
            Kind::Straight | Kind::Brick { .. } => Run::Level,
            Kind::Strips { .. } | Kind::HalfDrop { .. } => Run::Upright,
            Kind::OnPoint { .. } => Run::Diagonal,
        }
    }

    fn on_point(&self) -> bool {
        self.run() == Run::Diagonal
    }

    /// Whether every second row is shifted, so that its seams meet the middles of blocks.
    fn shifted(&self) -> bool {
        let kind = &self.plan.setting.kind;
        matches!(kind, Kind::HalfDrop { .. } | Kind::Brick { .. })
    }

    /// A step that makes something of these pieces.
    fn step(&self, pieces: &[Piece], seams: usize, size: (Surd, Surd)) -> TopStep {
        let mut pieces = pieces.to_vec();
        pieces.sort_unstable();
        let blocks = pieces.iter().filter_map(|piece| match piece {
            Piece::Block(index) => Some(*index),
            Piece::Part(_) => None,
        });
        let parts = pieces.iter().filter_map(|piece| match piece {
            Piece::Part(index) => Some(*index),
            Piece::Block(_) => None,
        });
        TopStep {
            text: String::new(),
            times: 1,
            seam: size.0.clone().max(size.1.clone()),
            seams: u32::try_from(seams).unwrap_or(u32::MAX),
            width: size.0,
            height: size.1,
            press: String::new(),
            blocks: blocks.collect(),
            parts: parts.collect(),
            cloths: Vec::new(),
        }
    }
}

/// The middle of a shape's bounds.
fn middle(outline: &Polygon) -> Point {
    let (low, high) = outline.bounds();
    Point::midpoint(&low, &high)
}
