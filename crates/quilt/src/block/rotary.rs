//! How a shape is cut with ruler and blade instead of a template.
//!
//! Types first; the recipes below say for each finished shape which strip to cut, where
//! to cross-cut it, and what to do then.

use crate::measure::Cut;

/// A shape the ruler knows.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum RotaryShape {
    /// Cross-cut at the strip's own width.
    Square,
    /// Cross-cut at another width.
    Rectangle,
    /// A square cut once corner to corner: straight grain on the two short sides.
    HalfSquareTriangle,
    /// A square cut twice: straight grain on the long side.
    QuarterSquareTriangle,
    /// A rectangle cut once corner to corner; one-handed.
    HalfRectangleTriangle,
    /// Equilateral: the ruler turned over and over along the strip.
    Triangle60,
    /// A parallelogram with equal sides cut from a strip at 45°.
    Diamond45,
    /// The same at 60°.
    Diamond60,
    /// A parallelogram cut from a strip at 45°, sides unequal; one-handed.
    Parallelogram45,
    /// The same at 60°.
    Parallelogram60,
    /// An isosceles trapezoid with 45° ends, cut alternating up and down.
    Trapezoid45,
    /// The same with 60° ends (a half hexagon when short side, legs agree).
    Trapezoid60,
}

/// A ruler recipe for one template.
///
/// The strip lies across the cloth. `crosscut` is the distance between cuts: the width
/// for squares and rectangles (and the squares and rectangles triangles are cut from);
/// along the strip's edge from one slanted cut to the next parallel one for diamonds and
/// parallelograms (the customary ruler reading, square to the slanted cut, is
/// [`Rotary::advance`]); for triangles and trapezoids cut alternately, the length of the
/// long side along the strip's edge.
#[derive(Clone, PartialEq, Debug)]
pub struct Rotary {
    /// What it is.
    pub shape: RotaryShape,
    /// Height of the strip.
    pub strip: Cut,
    /// Distance between cuts along the strip.
    pub crosscut: Cut,
    /// For diamonds and parallelograms, the distance between parallel slanted cuts
    /// measured square to them; for trapezoids, the short side along the strip's edge.
    pub advance: Option<Cut>,
    /// How many pieces one cross-cut yields once it is cut further: 1, 2 or 4.
    pub yields: u32,
}

impl RotaryShape {
    /// Its name in the trade.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Square => "square",
            Self::Rectangle => "rectangle",
            Self::HalfSquareTriangle => "half-square triangle",
            Self::QuarterSquareTriangle => "quarter-square triangle",
            Self::HalfRectangleTriangle => "half-rectangle triangle",
            Self::Triangle60 => "60° triangle",
            Self::Diamond45 => "45° diamond",
            Self::Diamond60 => "60° diamond",
            Self::Parallelogram45 => "45° parallelogram",
            Self::Parallelogram60 => "60° parallelogram",
            Self::Trapezoid45 => "45° trapezoid",
            Self::Trapezoid60 => "60° trapezoid",
        }
    }

    /// What is done after the cross-cut, in a few words; empty when nothing is.
    #[must_use]
    pub fn then(self) -> &'static str {
        match self {
            Self::Square | Self::Rectangle => "",
            Self::HalfSquareTriangle | Self::HalfRectangleTriangle => "cut once on the diagonal",
            Self::QuarterSquareTriangle => "cut twice on the diagonals",
            Self::Triangle60 => "cut at 60°, turning the ruler over and over",
            Self::Diamond45 | Self::Parallelogram45 => "cut at 45° to the strip's edge",
            Self::Diamond60 | Self::Parallelogram60 => "cut at 60° to the strip's edge",
            Self::Trapezoid45 => "cut at 45°, turning the ruler over and over",
            Self::Trapezoid60 => "cut at 60°, turning the ruler over and over",
        }
    }
}
