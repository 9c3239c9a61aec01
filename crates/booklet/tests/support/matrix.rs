//! Points, boxes and the maps between coordinate systems.

/// A place on the page, in points, y down.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

impl Point {
    /// Both coordinates in inches.
    pub fn inches(self) -> (f64, f64) {
        (self.x / 72.0, self.y / 72.0)
    }

    /// How far it is to `other`, in points.
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// An upright box on the page, in points, y down.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Rect {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Rect {
    /// The box around `points`; an empty box inside out if there are none.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Self {
        let nothing = Self {
            left: f64::INFINITY,
            top: f64::INFINITY,
            right: f64::NEG_INFINITY,
            bottom: f64::NEG_INFINITY,
        };
        points.into_iter().fold(nothing, |rect, point| Self {
            left: rect.left.min(point.x),
            top: rect.top.min(point.y),
            right: rect.right.max(point.x),
            bottom: rect.bottom.max(point.y),
        })
    }

    pub fn width(self) -> f64 {
        self.right - self.left
    }

    pub fn height(self) -> f64 {
        self.bottom - self.top
    }

    /// The part that lies in both.
    pub fn within(self, other: Self) -> Self {
        Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        }
    }

    /// Whether `other` lies inside, give or take `slack`.
    pub fn holds(self, other: Self, slack: f64) -> bool {
        other.left >= self.left - slack
            && other.top >= self.top - slack
            && other.right <= self.right + slack
            && other.bottom <= self.bottom + slack
    }
}

/// A PDF matrix `[a b c d e f]`: x' = ax + cy + e, y' = bx + dy + f
/// (ISO 32000-1, 8.3.3).
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Matrix(pub [f64; 6]);

impl Matrix {
    pub const IDENTITY: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);

    /// Does `self` first and `next` after it: `self × next` as PDF writes it.
    pub fn then(self, next: Self) -> Self {
        let [a, b, c, d, e, f] = self.0;
        let [na, nb, nc, nd, ne, nf] = next.0;
        Self([
            a * na + b * nc,
            a * nb + b * nd,
            c * na + d * nc,
            c * nb + d * nd,
            e * na + f * nc + ne,
            e * nb + f * nd + nf,
        ])
    }

    pub fn apply(self, x: f64, y: f64) -> Point {
        let [a, b, c, d, e, f] = self.0;
        Point {
            x: a * x + c * y + e,
            y: b * x + d * y + f,
        }
    }

    /// How much a small length grows, averaged over directions. Exact for maps
    /// that only turn, mirror and scale evenly.
    pub fn growth(self) -> f64 {
        let [a, b, c, d, ..] = self.0;
        (a * d - b * c).abs().sqrt()
    }
}
