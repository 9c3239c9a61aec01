//! The points of a drawing as whole numbers over one denominator.
//!
//! Searches that look at thousands of parts compare the same few positions again and again.
//! Stretched by their common denominator all coordinates are a + b√2 + c√3 + d√6 with whole
//! a, b, c, d; sums and products of such numbers need no reducing, and they stand in the
//! same order as before.
//!
//! **Always holds.** Numbers stay so small that nothing here overflows; a drawing that is
//! finer or larger has no grid.

use std::cmp::Ordering;

use geometry::{Arrangement, Point, Surd};

/// The largest part of a stretched coordinate. With outlines of up to [`CORNERS`] corners
/// the products below stay under 2⁵³.
const LARGEST: i64 = 1 << 20;
const CORNERS: usize = 64;
const ROOTS: [f64; 4] = [
    1.0,
    std::f64::consts::SQRT_2,
    1.732_050_807_568_877_2,
    2.449_489_742_783_178,
];

/// A number a + b√2 + c√3 + d√6 with whole a, b, c, d.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub(super) struct Whole([i64; 4]);

impl Whole {
    fn plus(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] + other.0[i]))
    }

    fn minus(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] - other.0[i]))
    }

    fn times(self, factor: i64) -> Self {
        Self(self.0.map(|part| part * factor))
    }

    fn by(self, other: Self) -> Self {
        let (a, b) = (self.0, other.0);
        if a[1] | a[2] | a[3] | b[1] | b[2] | b[3] == 0 {
            return Self([a[0] * b[0], 0, 0, 0]);
        }
        let m = |i: usize, j: usize| a[i] * b[j];
        Self([
            m(0, 0) + 2 * m(1, 1) + 3 * m(2, 2) + 6 * m(3, 3),
            m(0, 1) + m(1, 0) + 3 * (m(2, 3) + m(3, 2)),
            m(0, 2) + m(2, 0) + 2 * (m(1, 3) + m(3, 1)),
            m(0, 3) + m(3, 0) + m(1, 2) + m(2, 1),
        ])
    }

    fn is_zero(self) -> bool {
        self == Self::default()
    }

    fn exact(self) -> Surd {
        let roots = [Surd::ONE, Surd::root2(), Surd::root3(), Surd::root6()];
        let parts = self.0.iter().zip(&roots);
        parts.fold(Surd::ZERO, |sum, (&part, root)| sum + root.times(part))
    }
}

impl Ord for Whole {
    #[expect(
        clippy::cast_precision_loss,
        reason = "parts stay under 2⁵³, and the bound covers the roundings"
    )]
    fn cmp(&self, other: &Self) -> Ordering {
        let gap = self.minus(*other).0;
        if gap[1..] == [0, 0, 0] {
            return gap[0].cmp(&0);
        }
        let terms: [f64; 4] = std::array::from_fn(|i| gap[i] as f64 * ROOTS[i]);
        let value: f64 = terms.iter().sum();
        let doubt: f64 = terms.iter().map(|term| term.abs()).sum::<f64>() * 16.0 * f64::EPSILON;
        if value.abs() > doubt {
            return value.total_cmp(&0.0);
        }
        self.exact().cmp(&other.exact())
    }
}

impl PartialOrd for Whole {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// A point or vector of such numbers, in the order of [`Point`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub(super) struct Spot {
    x: Whole,
    y: Whole,
}

impl Spot {
    pub(super) fn minus(self, other: Self) -> Self {
        Self {
            x: self.x.minus(other.x),
            y: self.y.minus(other.y),
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            x: self.x.plus(other.x),
            y: self.y.plus(other.y),
        }
    }

    pub(super) fn dot(self, other: Self) -> Whole {
        self.x.by(other.x).plus(self.y.by(other.y))
    }

    pub(super) fn cross(self, other: Self) -> Whole {
        self.x.by(other.y).minus(self.y.by(other.x))
    }
}

/// A drawing on its grid.
pub(super) struct Grid {
    /// Its vertices.
    pub(super) vertices: Vec<Spot>,
    /// For each face the sum of its corners, straight ones left out, and how many.
    sums: Vec<(Spot, i64)>,
}

impl Grid {
    /// `None` for a drawing too fine or too large.
    pub(super) fn of(drawing: &Arrangement) -> Option<Self> {
        let mut over = 1_i64;
        for value in drawing.vertices.iter().flat_map(|p| [&p.x, &p.y]) {
            let (_, d) = value.parts()?;
            over = over.checked_mul(d / common(over, d))?;
        }
        let stretched = |value: &Surd| {
            let (parts, d) = value.parts()?;
            let mut whole = [0; 4];
            for (whole, part) in whole.iter_mut().zip(parts) {
                *whole = part.checked_mul(over / d)?;
                if whole.abs() > LARGEST {
                    return None;
                }
            }
            Some(Whole(whole))
        };
        let spot = |point: &Point| {
            Some(Spot {
                x: stretched(&point.x)?,
                y: stretched(&point.y)?,
            })
        };
        let vertices: Option<Vec<Spot>> = drawing.vertices.iter().map(spot).collect();
        let sums = drawing.faces.iter().map(|face| {
            let outline = face.polygon.without_straight_corners();
            let corners = outline.points();
            let mut sum = Spot::default();
            for corner in corners {
                sum = sum.plus(spot(corner)?);
            }
            let count = i64::try_from(corners.len()).ok()?;
            (corners.len() <= CORNERS).then_some((sum, count))
        });
        Some(Self {
            vertices: vertices?,
            sums: sums.collect::<Option<_>>()?,
        })
    }

    /// Whether three vertices lie on one line.
    pub(super) fn straight(&self, [a, b, c]: [usize; 3]) -> bool {
        let [a, b, c] = [a, b, c].map(|vertex| self.vertices[vertex]);
        b.minus(a).cross(c.minus(a)).is_zero()
    }

    /// A face as seen from a vertex along a vector: where the sum of its corners lies.
    pub(super) fn seen(&self, face: usize, (origin, along): (Spot, Spot)) -> Spot {
        let (sum, count) = self.sums[face];
        let from_here = Spot {
            x: sum.x.minus(origin.x.times(count)),
            y: sum.y.minus(origin.y.times(count)),
        };
        Spot {
            x: along.dot(from_here),
            y: along.cross(from_here),
        }
    }
}

/// The greatest common divisor of two positive numbers.
fn common(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_stand_in_the_order_of_their_values() {
        let some = [-3, -1, 0, 1, 2, 7];
        let mut all = Vec::new();
        for a in some {
            for b in some {
                for d in [-2, 0, 1] {
                    all.push(Whole([a, b, -d, d]));
                }
            }
        }
        // √2 by its best fractions: the differences are tiny, floats cannot tell.
        all.extend([
            Whole([665_857, -470_832, 0, 0]),
            Whole([-665_857, 470_832, 0, 0]),
        ]);
        for one in &all {
            for other in &all {
                assert_eq!(one.cmp(other), one.exact().cmp(&other.exact()));
                let product = one.by(*other).exact();
                assert_eq!(product, &one.exact() * &other.exact());
            }
        }
    }
}
