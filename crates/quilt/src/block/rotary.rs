//! How a shape is cut with ruler and blade instead of a template.
//!
//! For each finished shape the recipe says which strip to cut, where to cross-cut it and
//! what to do then. With `s` the seam allowance, a corner of inner angle α pushes the cut
//! corner `s·cot(α⁄2)` beyond the finished one along the edge, so
//!
//! ```text
//!   cut edge = finished edge + s·(cot(α⁄2) + cot(β⁄2))
//!   square, rectangle          2s
//!   half-square triangle       leg        + s·(2 + √2)      the familiar 7⁄8
//!   quarter-square triangle    long side  + 2s·(1 + √2)     the familiar 1 1⁄4
//!   60° triangle               height     + 3s              the familiar 3⁄4
//!   45° diamond, 60° diamond   height     + 2s
//! ```
//!
//! Which recipe applies depends on the grain as well as the shape: a right isosceles
//! triangle with its short sides on the straight is half a square, with its long side on
//! the straight a quarter.
//!
//! **Units.** Exact inches; each size meets the ruler once ([`Ruler::cut`]).

use geometry::{Point, Polygon, Surd};

use super::grain::agree;
use super::lengths::length;
use crate::measure::{Cut, Ruler};

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
    /// A regular hexagon: 60° diamonds with both points cut off.
    Hexagon60,
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
    /// For triangles that can be cut from a strip with their tips blunted as they are
    /// cut: the height of that strip.
    pub blunted: Option<Cut>,
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
            Self::Hexagon60 => "hexagon",
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
            Self::Hexagon60 => "cut at 60° into diamonds, then cut off both long points",
            Self::Trapezoid45 => "cut at 45°, turning the ruler over and over",
            Self::Trapezoid60 => "cut at 60°, turning the ruler over and over",
        }
    }
}

/// The ruler recipe for a finished shape whose threads run in `grain`, if there is one.
///
/// # Shapes and units
///
/// - `finished`: the shape after sewing, exact inches.
/// - `grain`: a direction along or across the threads, in the same frame.
/// - `seam`: allowance outside every side.
/// - returns `None` for a shape no ruler recipe serves: it is cut by its template.
///
/// # Source
///
/// The offset formulas of the module; checked against `fixtures/handbook/*.csv`.
#[must_use]
pub fn recipe(finished: &Polygon, grain: &Point, seam: &Surd, ruler: &Ruler) -> Option<Rotary> {
    let shape = Shape::of(finished, grain, seam, ruler);
    match shape.corners.len() {
        3 => shape.right_triangle().or_else(|| shape.triangle60()),
        4 => shape
            .rectangle()
            .or_else(|| shape.parallelogram())
            .or_else(|| shape.trapezoid()),
        6 => shape.hexagon(),
        _ => None,
    }
}

/// The inner angle at a corner, where a ruler has a line for it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Angle {
    A45,
    A60,
    A90,
    A120,
    A135,
    Other,
}

impl Angle {
    /// Between two vectors leaving the corner.
    fn between(a: &Point, b: &Point) -> Self {
        let (dot, cross) = (a.dot(b), a.cross(b).abs());
        if dot.is_zero() {
            return Self::A90;
        }
        let wide = !dot.is_positive();
        let dot = dot.abs();
        if dot == cross {
            if wide { Self::A135 } else { Self::A45 }
        } else if &dot * &Surd::root3() == cross {
            if wide { Self::A120 } else { Self::A60 }
        } else {
            Self::Other
        }
    }
}

/// A shape looked at corner by corner.
struct Shape<'a> {
    corners: Vec<Angle>,
    /// `edges[i]` runs from corner `i` to corner `i + 1`.
    edges: Vec<Point>,
    grain: &'a Point,
    seam: &'a Surd,
    ruler: &'a Ruler,
}

impl<'a> Shape<'a> {
    fn of(polygon: &Polygon, grain: &'a Point, seam: &'a Surd, ruler: &'a Ruler) -> Self {
        let edges: Vec<Point> = polygon.edges().map(|edge| edge.vector()).collect();
        let n = edges.len();
        let corners = (0..n)
            .map(|i| Angle::between(&-&edges[(i + n - 1) % n], &edges[i]))
            .collect();
        Self {
            corners,
            edges,
            grain,
            seam,
            ruler,
        }
    }

    fn straight(&self, edge: usize) -> bool {
        agree(&self.edges[edge % self.edges.len()], self.grain)
    }

    fn length(&self, edge: usize) -> Surd {
        length(&self.edges[edge % self.edges.len()])
    }

    /// Height of the shape over an edge: how far `other` rises square to it.
    fn rise(&self, edge: usize, other: usize) -> Surd {
        let n = self.edges.len();
        let (base, side) = (&self.edges[edge % n], &self.edges[other % n]);
        let base_length = length(base);
        base.cross(side)
            .abs()
            .checked_div(&base_length)
            .unwrap_or_default()
    }

    fn cut(&self, exact: Surd) -> Cut {
        self.ruler.cut(exact)
    }

    /// `s` times a number.
    fn seams(&self, factor: &Surd) -> Surd {
        self.seam * factor
    }

    fn rectangle(&self) -> Option<Rotary> {
        let right = self.corners.iter().all(|&corner| corner == Angle::A90);
        if !right || !self.straight(0) {
            return None;
        }
        let two = self.seams(&Surd::TWO);
        let (a, b) = (self.length(0) + &two, self.length(1) + &two);
        let shape = if a == b {
            RotaryShape::Square
        } else {
            RotaryShape::Rectangle
        };
        let (short, long) = if a < b { (a, b) } else { (b, a) };
        Some(self.plain(shape, short, long, 1))
    }

    fn plain(&self, shape: RotaryShape, strip: Surd, crosscut: Surd, yields: u32) -> Rotary {
        Rotary {
            shape,
            strip: self.cut(strip),
            crosscut: self.cut(crosscut),
            advance: None,
            yields,
            blunted: None,
        }
    }

    fn right_triangle(&self) -> Option<Rotary> {
        let right = self
            .corners
            .iter()
            .position(|&corner| corner == Angle::A90)?;
        // The legs lie before and after the right corner.
        let (before, after) = (right + 2, right);
        let (a, b) = (self.length(before), self.length(after));
        let isosceles = a == b;
        if isosceles && !self.straight(after) {
            let long = self.length(right + 1) + self.seams(&(Surd::TWO + Surd::root2().times(2)));
            return self
                .straight(right + 1)
                .then(|| self.plain(RotaryShape::QuarterSquareTriangle, long.clone(), long, 4));
        }
        if !self.straight(after) {
            return None;
        }
        if isosceles {
            let side = &a + &self.seams(&(Surd::TWO + Surd::root2()));
            let blunted = self.cut(a + self.seams(&Surd::TWO));
            let recipe = self.plain(RotaryShape::HalfSquareTriangle, side.clone(), side, 2);
            return Some(Rotary {
                blunted: Some(blunted),
                ..recipe
            });
        }
        // Beyond the right corner a leg grows by s, beyond its sharp corner by s·cot(α⁄2),
        // and cot(α⁄2) = (1 + cos α)⁄sin α = (long side + this leg)⁄other leg.
        let long = self.length(right + 1);
        let leg = |this: &Surd, other: &Surd| {
            let reach = (&long + this).checked_div(other).unwrap_or_default();
            this + &self.seams(&(Surd::ONE + reach))
        };
        let (cut_a, cut_b) = (leg(&a, &b), leg(&b, &a));
        let (short, long) = if cut_a < cut_b {
            (cut_a, cut_b)
        } else {
            (cut_b, cut_a)
        };
        Some(self.plain(RotaryShape::HalfRectangleTriangle, short, long, 2))
    }

    fn triangle60(&self) -> Option<Rotary> {
        let equal = self.corners.iter().all(|&corner| corner == Angle::A60);
        let edge = (0..3).find(|&edge| self.straight(edge))?;
        if !equal {
            return None;
        }
        let height = self.rise(edge, edge + 1);
        let side = self.length(edge) + self.seams(&Surd::root3().times(2));
        let recipe = self.plain(
            RotaryShape::Triangle60,
            &height + &self.seams(&Surd::int(3)),
            side,
            1,
        );
        Some(Rotary {
            blunted: Some(self.cut(height + self.seams(&Surd::TWO))),
            ..recipe
        })
    }

    fn parallelogram(&self) -> Option<Rotary> {
        let opposite = self.corners[0] == self.corners[2] && self.corners[1] == self.corners[3];
        let sharp = self
            .corners
            .iter()
            .find(|c| matches!(c, Angle::A45 | Angle::A60))?;
        // Of opposite sides one pair lies along the strip, the one on the straight grain.
        let edge = (0..2).find(|&edge| self.straight(edge))?;
        if !opposite || !self.edges[0].cross(&self.edges[2]).is_zero() {
            return None;
        }
        let equal = self.length(0) == self.length(1);
        // 2s⁄sin θ beyond both ends of an edge together.
        let (shape, over_sine) = match (sharp, equal) {
            (Angle::A45, true) => (RotaryShape::Diamond45, Surd::root2()),
            (Angle::A45, false) => (RotaryShape::Parallelogram45, Surd::root2()),
            (_, true) => (RotaryShape::Diamond60, Surd::root3().times(2).over(3)),
            (_, false) => (RotaryShape::Parallelogram60, Surd::root3().times(2).over(3)),
        };
        let two = self.seams(&Surd::TWO);
        let strip = self.rise(edge, edge + 1) + &two;
        let crosscut = self.length(edge) + &two * &over_sine;
        let advance = self.cut(self.rise(edge + 1, edge) + &two);
        Some(Rotary {
            advance: Some(advance),
            ..self.plain(shape, strip, crosscut, 1)
        })
    }

    fn trapezoid(&self) -> Option<Rotary> {
        let n = 4;
        let edge = (0..n).find(|&edge| {
            self.edges[edge]
                .cross(&self.edges[(edge + 2) % n])
                .is_zero()
                && self.length(edge) > self.length(edge + 2)
        })?;
        let ends = (self.corners[edge], self.corners[(edge + 1) % n]);
        if !self.straight(edge) {
            return None;
        }
        // Beyond a sharp corner s·cot(θ⁄2), beyond a blunt one s·tan(θ⁄2).
        let (shape, sharp, blunt) = match ends {
            (Angle::A45, Angle::A45) => (
                RotaryShape::Trapezoid45,
                Surd::ONE + Surd::root2(),
                Surd::root2() - Surd::ONE,
            ),
            (Angle::A60, Angle::A60) => (
                RotaryShape::Trapezoid60,
                Surd::root3(),
                Surd::root3().over(3),
            ),
            _ => return None,
        };
        let two = self.seams(&Surd::TWO);
        let strip = self.rise(edge, edge + 1) + &two;
        let long = self.length(edge) + &two * &sharp;
        let short = self.length(edge + 2) + &two * &blunt;
        Some(Rotary {
            advance: Some(self.cut(short)),
            ..self.plain(shape, strip, long, 1)
        })
    }

    fn hexagon(&self) -> Option<Rotary> {
        let regular = self.corners.iter().all(|&corner| corner == Angle::A120)
            && (1..6).all(|edge| self.length(edge) == self.length(0));
        let edge = (0..3).find(|&edge| self.straight(edge))?;
        if !regular {
            return None;
        }
        // Flat to flat is √3 times the side; the diamond it comes from is as high.
        let strip = self.length(edge) * Surd::root3() + self.seams(&Surd::TWO);
        let crosscut = &strip * &Surd::root3().times(2).over(3);
        let advance = self.cut(strip.clone());
        Some(Rotary {
            advance: Some(advance),
            ..self.plain(RotaryShape::Hexagon60, strip, crosscut, 1)
        })
    }
}

/// The exact size of the square that yields four half-square units at once, sewn round
/// all four sides and cut on both diagonals: √2·(F + ½) + ½ with a ¼ in seam; in general
/// √2·(F + 2s) + 2s. All four outer edges of every unit come out on the bias.
#[must_use]
pub fn square_for_four_units(finished: &Surd, seam: &Surd) -> Surd {
    let two = seam.times(2);
    Surd::root2() * (finished + &two) + two
}

/// The exact size of the square that yields eight half-square units at once: twice the
/// square that yields two.
#[must_use]
pub fn square_for_eight_units(finished: &Surd, seam: &Surd) -> Surd {
    (finished + &(seam * &(Surd::TWO + Surd::root2()))).times(2)
}
