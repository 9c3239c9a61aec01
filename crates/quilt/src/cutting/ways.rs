//! How the pieces of one demand come off a strip: one after another as whole rectangles,
//! or as a run of slanted pieces.
//!
//! A [`Way`] answers the two questions the packing asks: how high must the strip be, and
//! how many marks do `n` units take? For runs with `lead` lost at the slanted ends,
//!
//! ```text
//!   squares, rectangles           n · width
//!   diamonds, parallelograms      strip·cot θ + n · c        c along the strip's edge
//!   triangles, flip-flop          (n + 1) · t⁄2              t the cut side
//!   trapezoids, flip-flop         strip·cot θ + n · (long − strip·cot θ)
//!   templates                     width + safety + pitches, every other one turned half round
//! ```
//!
//! **Units.** Whole marks; a run's length is exact (with √2 and √3) and meets the ruler
//! once. Outlines are inches, float.

use geometry::Surd;

use super::Method;
use super::kinds::{self, Facing, Key, Lay, Lie, Split};
use super::nest;
use crate::block::{Rotary, RotaryShape, Template};
use crate::measure::Ruler;
use crate::plan::Direction;

/// One mark holds so many of the fine parts the bounds are worked out in.
pub(super) const FINE: i64 = 1 << 12;

/// One way pieces come off a strip.
#[derive(Clone, Debug)]
pub(super) struct Way {
    /// Height of strip they need, marks.
    pub(super) height: i64,
    /// `reach[n − 1]`: marks along the strip that `n` units take. As long as the cloth is
    /// wide; empty when not even one fits.
    pub(super) reach: Vec<i64>,
    /// Marks ÷ [`FINE`] that each unit takes at the very least, however they are grouped.
    pub(super) advance: i64,
    /// Whether a template is turned over to cut them.
    pub(super) mirrored: bool,
    /// What the pieces look like.
    pub(super) look: Look,
}

/// The pieces of a way.
#[derive(Clone, Debug)]
pub(super) enum Look {
    /// One rectangle a unit, cut further.
    Slab(Split),
    /// One piece a unit.
    Run {
        /// Every other piece: the first, third, …, and the second, fourth, ….
        outlines: [Vec<[f64; 2]>; 2],
        /// From an odd piece to the next, and from an even piece to the next, inches.
        pitches: [f64; 2],
        /// The grain arrow, degrees clockwise from +x.
        grain: f64,
    },
}

impl Way {
    /// How many units fit in so much strip.
    pub(super) fn fits(&self, room: i64) -> u32 {
        u32::try_from(self.reach.partition_point(|&reach| reach <= room)).unwrap_or(u32::MAX)
    }

    /// Marks along the strip that so many units take; 0 for none. More units than the
    /// cloth they were worked out for is wide take no more than as many pieces cut one by
    /// one.
    pub(super) fn takes(&self, units: u32) -> i64 {
        let units = units as usize;
        let known = units.min(self.reach.len());
        let reach = known.checked_sub(1).map_or(0, |last| self.reach[last]);
        let single = self.reach.first().copied().unwrap_or_default();
        reach + (units - known) as i64 * single
    }

    /// Whether each unit is cut on its own, not in a run.
    pub(super) fn single(&self) -> bool {
        matches!(self.look, Look::Slab(_))
    }

    /// A rectangle of this size, on cloth `across` marks wide.
    pub(super) fn slab(height: i64, width: i64, split: Split, across: i64) -> Self {
        let reach = (1..=across / width.max(1)).map(|n| n * width).collect();
        Self {
            height,
            reach,
            advance: width * FINE,
            mirrored: false,
            look: Look::Slab(split),
        }
    }
}

/// What the ways of a demand are worked out from.
pub(super) struct Bench<'a> {
    pub(super) ruler: &'a Ruler,
    /// Usable width of the cloth, marks.
    pub(super) across: i64,
    pub(super) direction: Direction,
}

impl Bench<'_> {
    /// The ways to cut rectangles of this size: as they lie, and turned if that is allowed.
    pub(super) fn slabs(&self, height: i64, width: i64, turnable: bool, split: Split) -> Vec<Way> {
        let mut ways = vec![Way::slab(height, width, split, self.across)];
        if turnable && height != width {
            let turned = match split {
                Split::Once { rising } => Split::Once { rising: !rising },
                other => other,
            };
            ways.push(Way::slab(width, height, turned, self.across));
        }
        ways
    }

    /// The way to cut a run by ruler.
    pub(super) fn run(&self, key: &Key, method: &Method) -> Option<Way> {
        let (
            &Key::Run {
                leans_right,
                facing,
                ..
            },
            Method::Ruler(rotary),
        ) = (key, method)
        else {
            return None;
        };
        let run = Slanted::of(rotary, facing);
        let outlines = run.outlines(leans_right, facing);
        let pitch = run.pitch.to_f64();
        let first = &run.lead + &run.pitch;
        Some(Way {
            height: rotary.strip.marks,
            reach: self.reach(&first, [&run.pitch, &run.pitch]),
            advance: self.fine(&run.pitch),
            mirrored: false,
            look: Look::Run {
                outlines,
                pitches: [pitch, pitch],
                grain: 90.0,
            },
        })
    }

    /// The ways to cut by the printed template: arrow along the cloth, or across too.
    pub(super) fn template(&self, lay: Lay, template: &Template) -> Vec<Way> {
        let outline = if template.trimmed.is_empty() {
            &template.cut
        } else {
            &template.trimmed
        };
        let upright = lay.laid(template, outline);
        let grain = (if lay.mirrored {
            180.0 - template.grain
        } else {
            template.grain
        } + lay.turn(template))
        .rem_euclid(180.0);
        let mut ways = vec![self.head_to_tail(lay, &upright, grain)];
        if lay.lie == Lie::Free {
            let level = kinds::turned_by(&upright, false, 90.0);
            ways.push(self.head_to_tail(lay, &level, (grain + 90.0).rem_euclid(180.0)));
        }
        ways
    }

    fn head_to_tail(&self, lay: Lay, outline: &[[f64; 2]], grain: f64) -> Way {
        let upright = nest::at_origin(outline);
        let turned = nest::half_turned(&upright);
        let mark = self.ruler.mark().to_f64();
        // A hair's breadth of float is not worth a mark.
        let marks = |inches: f64| (inches / mark - 1e-9).ceil() as i64;
        let same = marks(nest::pitch(&upright, &upright));
        let pair = [
            marks(nest::pitch(&upright, &turned)),
            marks(nest::pitch(&turned, &upright)),
        ];
        let flip = self.direction != Direction::OneWay && pair[0] + pair[1] < 2 * same;
        let (other, pitches) = if flip {
            (turned, pair)
        } else {
            (upright.clone(), [same; 2])
        };
        let (_, most) = kinds::bounds(&upright);
        let lengths = pitches.map(|pitch| self.ruler.length(pitch));
        // The safe distance is kept to whatever follows the run, too: otherwise two short
        // runs would take less than a long one. A piece as wide as the cloth has nobody
        // beside it.
        let apart = marks(most[0] + nest::SAFETY);
        let first = if apart > self.across {
            marks(most[0])
        } else {
            apart
        };
        let first = self.ruler.length(first);
        Way {
            height: marks(most[1]),
            reach: self.reach(&first, [&lengths[0], &lengths[1]]),
            advance: (pitches[0] + pitches[1]) * FINE / 2,
            mirrored: lay.mirrored,
            look: Look::Run {
                outlines: [upright, other],
                pitches: lengths.map(|length| length.to_f64()),
                grain,
            },
        }
    }

    /// What 1, 2, 3, … pieces take, as far as the cloth is wide.
    fn reach(&self, first: &Surd, pitches: [&Surd; 2]) -> Vec<i64> {
        let mut reach = Vec::new();
        let mut length = first.clone();
        // A size of nothing (a sliver rounded to the nearest mark) makes no run.
        while pitches.iter().all(|pitch| pitch.is_positive()) {
            let marks = self.ruler.up(&length);
            if marks > self.across {
                break;
            }
            reach.push(marks);
            length += pitches[(reach.len() + 1) % 2];
        }
        reach
    }

    fn fine(&self, length: &Surd) -> i64 {
        self.ruler.down(&length.times(FINE))
    }
}

/// The exact sizes of a run cut by ruler.
struct Slanted {
    shape: RotaryShape,
    strip: Surd,
    /// How far the slanted end leans over the strip's height.
    lean: Surd,
    /// Lost once a run.
    lead: Surd,
    pitch: Surd,
    /// The side along the strip's edge (the long one, where two differ).
    side: Surd,
}

impl Slanted {
    fn of(rotary: &Rotary, facing: Facing) -> Self {
        let shape = rotary.shape;
        let strip = rotary.strip.size.clone();
        let steep = matches!(
            shape,
            RotaryShape::Diamond45 | RotaryShape::Parallelogram45 | RotaryShape::Trapezoid45
        );
        // cot θ and 1⁄sin θ of 45° and 60°.
        let (cotangent, over_sine) = if steep {
            (Surd::ONE, Surd::root2())
        } else {
            (Surd::root3().over(3), Surd::root3().times(2).over(3))
        };
        let lean = &strip * &cotangent;
        let (lead, pitch, side) = match shape {
            RotaryShape::Triangle60 => {
                let side = &strip * &over_sine;
                (lean.clone(), lean.clone(), side)
            }
            RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60 => {
                let side = rotary.crosscut.size.clone();
                (lean.clone(), &side - &lean, side)
            }
            _ => {
                // The ruler reads the distance square to the slanted cuts.
                let read = rotary
                    .advance
                    .as_ref()
                    .map(|advance| &advance.size * &over_sine);
                let side = read.unwrap_or_else(|| rotary.crosscut.size.clone());
                (lean.clone(), side.clone(), side)
            }
        };
        if facing == Facing::Alternate {
            Self {
                shape,
                strip,
                lean,
                lead,
                pitch,
                side,
            }
        } else {
            Self {
                shape,
                strip,
                lean,
                lead: Surd::ZERO,
                pitch: side.clone(),
                side,
            }
        }
    }

    /// Every other piece, each begun at x = 0.
    fn outlines(&self, leans_right: bool, facing: Facing) -> [Vec<[f64; 2]>; 2] {
        let [height, lean, side] =
            [&self.strip, &self.lean, &self.side].map(|length| length.to_f64());
        let shape = match self.shape {
            RotaryShape::Triangle60 => vec![[lean, 0.0], [side, height], [0.0, height]],
            RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60 => {
                vec![
                    [lean, 0.0],
                    [side - lean, 0.0],
                    [side, height],
                    [0.0, height],
                ]
            }
            // Both long points cut off at half a side.
            RotaryShape::Hexagon60 => vec![
                [side / 2.0, 0.0],
                [side, 0.0],
                [side + lean / 2.0, height / 2.0],
                [side / 2.0 + lean, height],
                [lean, height],
                [lean / 2.0, height / 2.0],
            ],
            _ => vec![
                [0.0, 0.0],
                [side, 0.0],
                [side + lean, height],
                [lean, height],
            ],
        };
        let over = |points: &[[f64; 2]]| -> Vec<[f64; 2]> {
            points.iter().rev().map(|p| [p[0], height - p[1]]).collect()
        };
        match (self.shape, facing) {
            (
                RotaryShape::Triangle60 | RotaryShape::Trapezoid45 | RotaryShape::Trapezoid60,
                facing,
            ) => {
                let down = over(&shape);
                match facing {
                    Facing::Alternate => [shape, down],
                    Facing::Up => [shape.clone(), shape],
                    Facing::Down => [down.clone(), down],
                }
            }
            _ if leans_right => [shape.clone(), shape],
            _ => {
                let left = over(&shape);
                [left.clone(), left]
            }
        }
    }
}
