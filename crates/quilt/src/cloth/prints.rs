//! Prints beside the patches they are cut into, and beside one another.

use geometry::{Point, Polygon};

use crate::plan::{Cloth, ClothId, Plan, Print};

/// A print whose figures are larger than this is large, smaller than [`SMALL`] small,
/// inches. Our choice: the trade has the words, and no published limits were found.
const LARGE: f64 = 1.5;
/// See [`LARGE`].
const SMALL: f64 = 0.5;

/// A print that stirs less than this reads as nearly plain, of 100. Our choice.
const CALM: f64 = 8.0;

/// How a print reads.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Scale {
    /// Plain, or nearly.
    NearPlain,
    /// Small figures.
    Small,
    /// Figures of middle size.
    Medium,
    /// Large figures.
    Large,
}

impl Scale {
    /// All of them, the calmest first.
    pub const ALL: [Self; 4] = [Self::NearPlain, Self::Small, Self::Medium, Self::Large];

    /// How the print of a cloth reads.
    #[must_use]
    pub fn of(cloth: &Cloth) -> Self {
        let measured = cloth.record.measured.as_ref();
        let busy = measured.and_then(|found| found.busy.as_ref());
        let calm = match busy {
            Some(busy) => busy.to_f64() < CALM,
            None => !has_figures(cloth),
        };
        match cloth.figure_size().to_f64() {
            _ if calm => Self::NearPlain,
            size if size < SMALL => Self::Small,
            size if size <= LARGE => Self::Medium,
            _ => Self::Large,
        }
    }

    /// In a word or two.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::NearPlain => "nearly plain",
            Self::Small => "small",
            Self::Medium => "medium",
            Self::Large => "large",
        }
    }
}

/// Whether a cloth has figures that can be too large for a patch.
#[must_use]
pub fn has_figures(cloth: &Cloth) -> bool {
    let measured = cloth.record.measured.as_ref();
    let print = measured
        .and_then(|found| found.print)
        .unwrap_or(cloth.print);
    !matches!(print, Print::Plain | Print::Tonal)
}

/// How many of some cloths read in each way, the calmest first.
#[must_use]
pub fn mix(plan: &Plan, cloths: &[ClothId]) -> [(Scale, usize); 4] {
    let scales: Vec<Scale> = cloths.iter().map(|&id| Scale::of(plan.cloth(id))).collect();
    Scale::ALL.map(|scale| (scale, scales.iter().filter(|&&s| s == scale).count()))
}

/// The least width of a polygon between two parallel lines, one along an edge, inches.
#[must_use]
pub fn narrowest(polygon: &Polygon) -> f64 {
    let points: Vec<[f64; 2]> = polygon.points().iter().map(Point::to_f64).collect();
    let n = points.len();
    (0..n)
        .map(|i| {
            let ([ax, ay], [bx, by]) = (points[i], points[(i + 1) % n]);
            let (dx, dy) = (bx - ax, by - ay);
            let across = |p: &[f64; 2]| (dx * (p[1] - ay) - dy * (p[0] - ax)) / dx.hypot(dy);
            let far = points.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
            let near = points.iter().map(across).fold(f64::INFINITY, f64::min);
            far - near
        })
        .fold(f64::INFINITY, f64::min)
}
