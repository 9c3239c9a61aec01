//! Points and segments of the plane, exact.
//!
//! **Frame.** The page: x to the right, y **down**. A positive turn takes +x to +y, which is
//! clockwise to the eye. Lengths are in whatever unit the caller uses throughout.
//!
//! **Knows nothing of** lengths of slanted segments (they leave the field; only their squares are
//! exact). For turning and shifting see [`crate::Motion`].

use std::cmp::Ordering;
use std::ops::{Add, Neg, Sub};

use crate::surd::Surd;

/// A position or a vector. Ordered by x, then y.
#[derive(Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Debug, Default)]
pub struct Point {
    /// To the right.
    pub x: Surd,
    /// Downwards.
    pub y: Surd,
}

impl Point {
    /// The point (0, 0).
    pub const ORIGIN: Point = Point {
        x: Surd::ZERO,
        y: Surd::ZERO,
    };

    /// The point (x, y).
    pub fn new(x: Surd, y: Surd) -> Point {
        Point { x, y }
    }

    /// The point with whole coordinates (x, y).
    pub fn ints(x: i64, y: i64) -> Point {
        Point::new(Surd::int(x), Surd::int(y))
    }

    /// The vector `factor` times as long.
    pub fn scaled(&self, factor: &Surd) -> Point {
        Point::new(&self.x * factor, &self.y * factor)
    }

    /// The cross product of two vectors; positive if `other` lies at a positive turn (under 180°)
    /// from `self`.
    pub fn cross(&self, other: &Point) -> Surd {
        &self.x * &other.y - &self.y * &other.x
    }

    /// The dot product of two vectors.
    pub fn dot(&self, other: &Point) -> Surd {
        &self.x * &other.x + &self.y * &other.y
    }

    /// The square of the vector's length.
    pub fn length_squared(&self) -> Surd {
        self.dot(self)
    }

    /// The nearest floating coordinates, [x, y].
    pub fn to_f64(&self) -> [f64; 2] {
        [self.x.to_f64(), self.y.to_f64()]
    }

    /// The point halfway between two.
    pub fn midpoint(a: &Point, b: &Point) -> Point {
        Point::new((&a.x + &b.x).half(), (&a.y + &b.y).half())
    }
}

impl Add for &Point {
    type Output = Point;
    fn add(self, other: &Point) -> Point {
        Point::new(&self.x + &other.x, &self.y + &other.y)
    }
}

impl Sub for &Point {
    type Output = Point;
    fn sub(self, other: &Point) -> Point {
        Point::new(&self.x - &other.x, &self.y - &other.y)
    }
}

impl Neg for &Point {
    type Output = Point;
    fn neg(self) -> Point {
        Point::new(-&self.x, -&self.y)
    }
}

macro_rules! by_value {
    ($trait:ident, $method:ident) => {
        impl $trait<Point> for Point {
            type Output = Point;
            fn $method(self, other: Point) -> Point {
                (&self).$method(&other)
            }
        }
        impl $trait<&Point> for Point {
            type Output = Point;
            fn $method(self, other: &Point) -> Point {
                (&self).$method(other)
            }
        }
        impl $trait<Point> for &Point {
            type Output = Point;
            fn $method(self, other: Point) -> Point {
                self.$method(&other)
            }
        }
    };
}

by_value!(Add, add);
by_value!(Sub, sub);

impl Neg for Point {
    type Output = Point;
    fn neg(self) -> Point {
        -&self
    }
}

/// Which way the path a → b → c turns: `Greater` for a positive turn, `Equal` if the three lie on
/// one line.
pub fn turn_of(a: &Point, b: &Point, c: &Point) -> Ordering {
    let [a_, b_, c_] = [a, b, c].map(|p| [p.x.approx(), p.y.approx()]);
    let away = |p: [(f64, f64); 2], axis: usize| {
        let gap = p[axis].0 - a_[axis].0;
        (gap, p[axis].1 + a_[axis].1 + gap.abs() * f64::EPSILON)
    };
    let decided = cross_sign([away(b_, 0), away(b_, 1)], [away(c_, 0), away(c_, 1)]);
    decided.unwrap_or_else(|| (b - a).cross(&(c - a)).sign())
}

/// The sign of the cross product of two vectors given as (value, error bound) pairs, if the bounds
/// settle it.
pub(crate) fn cross_sign(u: [(f64, f64); 2], v: [(f64, f64); 2]) -> Option<Ordering> {
    let (left, right) = (u[0].0 * v[1].0, u[1].0 * v[0].0);
    let doubt = |p: (f64, f64), q: (f64, f64)| {
        p.0.abs() * q.1 + q.0.abs() * p.1 + p.1 * q.1 + (p.0 * q.0).abs() * f64::EPSILON
    };
    // The factor covers the rounding of the bound itself and of the last subtraction.
    let error = (doubt(u[0], v[1]) + doubt(u[1], v[0])) * 2.0;
    let value = left - right;
    if value > error {
        Some(Ordering::Greater)
    } else if value < -error {
        Some(Ordering::Less)
    } else {
        None
    }
}

/// A straight segment between two different points, ends included.
#[derive(Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Segment {
    /// Where it starts.
    pub a: Point,
    /// Where it ends.
    pub b: Point,
}

/// What two segments have in common.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Meet {
    /// Nothing.
    None,
    /// One point.
    At(Point),
    /// A whole stretch, in the direction of the first segment.
    Along(Segment),
}

impl Segment {
    /// The segment from `a` to `b`, or `None` if they are the same point.
    pub fn new(a: Point, b: Point) -> Option<Segment> {
        (a != b).then_some(Segment { a, b })
    }

    /// The vector from start to end.
    pub fn vector(&self) -> Point {
        &self.b - &self.a
    }

    /// The length in floating point.
    pub fn length_f64(&self) -> f64 {
        self.vector().length_squared().to_f64().sqrt()
    }

    /// The point halfway.
    pub fn middle(&self) -> Point {
        Point::midpoint(&self.a, &self.b)
    }

    /// Whether the two run in the same or in opposite directions.
    pub fn is_parallel(&self, other: &Segment) -> bool {
        self.vector().cross(&other.vector()).is_zero()
    }

    /// Whether `point` lies on it, ends included.
    pub fn contains(&self, point: &Point) -> bool {
        turn_of(&self.a, &self.b, point) == Ordering::Equal && {
            let (low, high) = self.ordered();
            low <= point && point <= high
        }
    }

    /// What the two have in common.
    pub fn meets(&self, other: &Segment) -> Meet {
        let (a, b, c, d) = (&self.a, &self.b, &other.a, &other.b);
        let (side_c, side_d) = (turn_of(a, b, c), turn_of(a, b, d));
        if side_c == side_d {
            return if side_c == Ordering::Equal {
                self.overlap(other)
            } else {
                Meet::None
            };
        }
        let (side_a, side_b) = (turn_of(c, d, a), turn_of(c, d, b));
        if side_a == side_b {
            return Meet::None;
        }
        let touching = [(side_c, c), (side_d, d), (side_a, a), (side_b, b)];
        if let Some((_, at)) = touching
            .into_iter()
            .find(|(side, _)| *side == Ordering::Equal)
        {
            return Meet::At(at.clone());
        }
        let (along, across) = (self.vector(), other.vector());
        let part = (c - a).cross(&across).checked_div(&along.cross(&across));
        part.map_or(Meet::None, |part| Meet::At(a + &along.scaled(&part)))
    }

    /// The common stretch of two segments on one line.
    fn overlap(&self, other: &Segment) -> Meet {
        let ((low, high), (start, end)) = (self.ordered(), other.ordered());
        let (low, high) = (low.max(start), high.min(end));
        match low.cmp(high) {
            Ordering::Greater => Meet::None,
            Ordering::Equal => Meet::At(low.clone()),
            Ordering::Less if self.a < self.b => Meet::Along(Segment {
                a: low.clone(),
                b: high.clone(),
            }),
            Ordering::Less => Meet::Along(Segment {
                a: high.clone(),
                b: low.clone(),
            }),
        }
    }

    /// Its ends in the order of [`Point`].
    fn ordered(&self) -> (&Point, &Point) {
        if self.a <= self.b {
            (&self.a, &self.b)
        } else {
            (&self.b, &self.a)
        }
    }
}
