//! At the cutting table: how the cloth is folded and stacked, and what is done in which
//! order, so that a person with wet hands can follow it.
//!
//! ```text
//!   sheets ─▶ groups of strips ─▶ what is cut at one setting ─▶ steps ─▶ words
//!             `groups`, `hands`    `count`: layers, passes       `walk`   `words`
//!                                  `stations`: cloths together
//! ```
//!
//! [`arranged`] moves pieces along their strips so that they can be cut as the steps say;
//! [`work_out`] makes the steps. Cloths with sizes in common are cut at one station, so
//! that the ruler is set once for all of them.
//!
//! **Units.** Whole ruler marks, as everywhere in the cutting.
//!
//! **Always holds.** Never more layers under the blade than the plan allows. A piece with
//! a left and a right hand is cut right side up, or face to face with its mirror image when
//! that is needed too. Every piece of the cutting comes out of exactly one step.
//!
//! **Knows nothing of** how long a cut takes: an easy pass counts like a long one.

mod arrange;
mod compare;
mod count;
mod groups;
mod hands;
mod stations;
mod walk;
mod words;

pub(super) use arrange::arranged;
pub use arrange::folded_strips;
pub use compare::{Bill, Bills, Comparison, compared};

use super::{ClothCutting, Sheet, Use};
use crate::block::RotaryShape;
use crate::plan::Plan;
use crate::results::Blocks;

/// What is done at the cutting table for the whole quilt.
#[derive(Clone, PartialEq, Debug)]
pub struct CuttingTable {
    /// Cloths that are cut together, or one by itself, in the order of their first cloth.
    pub stations: Vec<Station>,
    /// Settings and passes of all stations.
    pub effort: Effort,
    /// For each cloth of the cutting, were it cut by itself.
    pub alone: Vec<Effort>,
}

/// Sheets that are cut in one go.
#[derive(Clone, PartialEq, Debug)]
pub struct Station {
    /// The sheets: indices of the cutting and of [`ClothCutting::sheets`].
    pub sheets: Vec<(usize, usize)>,
    /// What is done, in order.
    pub steps: Vec<CutStep>,
    /// Settings and passes of these steps.
    pub effort: Effort,
}

/// How much work a cutting is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub struct Effort {
    /// How often the ruler is set to another reading.
    pub settings: u32,
    /// How often the blade passes along it.
    pub passes: u32,
}

impl std::ops::Add for Effort {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            settings: self.settings + other.settings,
            passes: self.passes + other.passes,
        }
    }
}

impl std::iter::Sum for Effort {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), std::ops::Add::add)
    }
}

/// One thing done at the table.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CutStep {
    /// What is done.
    pub action: Action,
    /// On which strips; for cuts that make strips, the strips that are made.
    pub from: Vec<FromSheet>,
    /// What the ruler is set to, marks; `None` where nothing is measured.
    pub ruler: Option<i64>,
    /// The most layers under the blade.
    pub layers: u32,
    /// How many strips, squares, rectangles or pieces are made in all.
    pub count: u32,
    /// Height and width of each, marks; the width of a run's piece is 0.
    pub size: [i64; 2],
    /// The finished pieces that are ready after it.
    pub pieces: Vec<(Use, u32)>,
    /// Passes of the blade.
    pub passes: u32,
    /// The step in words: whole sentences.
    pub text: String,
}

/// Strips of one sheet that take part in a step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FromSheet {
    /// Which sheet: index of the cutting and of [`ClothCutting::sheets`].
    pub sheet: (usize, usize),
    /// The strips, in order.
    pub strips: Vec<FromStrip>,
}

/// One strip that takes part in a step.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FromStrip {
    /// Index of [`Sheet::strips`].
    pub strip: usize,
    /// How many come from it.
    pub count: u32,
    /// Whether it lies face down on the strips it mirrors.
    pub face_down: bool,
}

/// What is done in a step.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Action {
    /// The cloth is laid out in a single layer, right side up, and its end squared, for
    /// pieces that are centred on motifs.
    Spread,
    /// Pieces are cut out one by one, each with a motif in its middle.
    Centred {
        /// Whether by the printed template; otherwise the ruler is laid on the motif.
        by_template: bool,
    },
    /// The part of the cloth that such pieces were cut from is cut off.
    CutOff,
    /// The cloth is laid out, folded into so many layers, so many cloths on each other,
    /// and its end squared.
    Square {
        /// Layers of each cloth.
        fold: u32,
    },
    /// A length is cut off for strips along the selvage, and folded end to end into so
    /// many layers.
    Panel {
        /// Layers it is folded into.
        fold: u32,
    },
    /// Strips are cut along the selvage.
    Along,
    /// Strips are cut across the cloth.
    Strips {
        /// Layers of each cloth.
        fold: u32,
        /// Whether all of them stay whole: the pieces are ready.
        whole: bool,
    },
    /// Some of the strips stay whole.
    Keep,
    /// Strips are turned, laid on each other, and their ends squared.
    Ends {
        /// Whether they stay folded once; else they are opened out, right side up.
        folded: bool,
    },
    /// Squares or rectangles are cut from strips.
    Crosscut {
        /// Whether they come in pairs from the ends of folded strips.
        folded: bool,
    },
    /// Pieces lower than their strip are trimmed to height.
    Trim,
    /// Squares or rectangles are cut once corner to corner.
    Once {
        /// Where it matters: from the lower left to the upper right, or the other way.
        rising: Option<bool>,
    },
    /// Squares are cut twice corner to corner.
    Twice,
    /// Slanted pieces are cut from strips.
    Slanted {
        /// What they are.
        shape: RotaryShape,
        /// Whether every other one is turned half round.
        turned: bool,
        /// Whether they have a left and a right hand, so that the strips lie right side up.
        one_hand: bool,
    },
    /// Pieces are cut by the printed template.
    Template {
        /// Whether the template is turned over.
        mirrored: bool,
        /// Whether every other one is turned half round.
        turned: bool,
    },
    /// Strips are joined end to end and cut to the lengths needed.
    Join,
}

/// What is done at the cutting table: stations, steps, settings and passes.
#[must_use]
pub fn work_out(plan: &Plan, blocks: &Blocks, all: &[ClothCutting]) -> CuttingTable {
    let floor = walk::Floor::new(plan, all);
    let together = stations::together(&floor);
    let alone: Vec<Effort> = (0..all.len())
        .map(|cloth| {
            let own = floor.sheets().filter(|sheet| sheet.0 == cloth);
            own.map(|sheet| walk::effort(&floor.steps(&[sheet]))).sum()
        })
        .collect();
    let stations: Vec<Station> = together
        .into_iter()
        .map(|sheets| {
            let mut steps = floor.steps(&sheets);
            words::say(plan, blocks, all, &sheets, &mut steps);
            Station {
                effort: walk::effort(&steps),
                sheets,
                steps,
            }
        })
        .collect();
    CuttingTable {
        effort: stations.iter().map(|station| station.effort).sum(),
        stations,
        alone,
    }
}

/// Settings and passes of a cloth cut by itself.
pub(super) fn alone(plan: &Plan, cutting: &ClothCutting) -> Effort {
    let all = std::slice::from_ref(cutting);
    let floor = walk::Floor::new(plan, all);
    let sheets = floor.sheets();
    sheets
        .map(|sheet| walk::effort(&floor.steps(&[sheet])))
        .sum()
}

/// The names of the cloths cut at a station, each once.
#[must_use]
pub fn station_cloths(plan: &Plan, all: &[ClothCutting], station: &Station) -> Vec<String> {
    let mut cloths: Vec<usize> = station.sheets.iter().map(|sheet| sheet.0).collect();
    cloths.dedup();
    let name = |cloth: usize| plan.cloth(all[cloth].cloth).name.clone();
    cloths.into_iter().map(name).collect()
}

impl Sheet {
    /// The sheet as a left-handed maker works on it, from the other selvage. Strips and
    /// pieces change sides but are not turned over: a piece keeps its hand. What is centred
    /// on motifs stays where the motifs are. Done twice it is the same again.
    #[must_use]
    pub fn from_the_other_side(&self, mark: f64) -> Self {
        let mut other = self.clone();
        let mut pieces = other.pieces.iter_mut();
        for strip in &mut other.strips {
            if strip.centred.is_some() {
                let here: u32 = strip.slabs.iter().map(|slab| slab.pieces).sum();
                pieces.by_ref().take(here as usize).for_each(drop);
                continue;
            }
            strip.x = self.width - strip.x - strip.width;
            for slab in &mut strip.slabs {
                let x = self.width - slab.x - slab.width;
                let by = (x - slab.x) as f64 * mark;
                slab.x = x;
                for piece in pieces.by_ref().take(slab.pieces as usize) {
                    for point in &mut piece.outline {
                        point[0] += by;
                    }
                }
            }
        }
        other
    }
}
