//! Rigid motions of the plane, exact.
//!
//! A positive turn takes +x to +y: clockwise to the eye, because y points down.
//!
//! **Knows nothing of** turns whose sine and cosine lie outside the field: it makes those by multiples
//! of 15°, and others only as found by fitting one shape on another.

use std::cmp::Ordering;

use crate::plane::Point;
use crate::surd::Surd;

/// A rigid motion: turning, perhaps mirroring, and shifting.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Motion {
    /// Where the unit vector along x goes.
    along_x: Point,
    /// Where the unit vector along y goes: `along_x` turned by +90°, or by −90° if mirrored.
    along_y: Point,
    /// Where the origin goes.
    shift: Point,
}

impl Motion {
    /// The motion that leaves everything in place.
    pub fn identity() -> Motion {
        Motion::turning(Surd::ONE, Surd::ZERO)
    }

    /// Turns about the origin by `count` · 90°.
    pub fn quarter_turns(count: i64) -> Motion {
        Motion::fifteens(count.rem_euclid(4) * 6)
    }

    /// Turns about the origin by `count` · 45°.
    pub fn eighth_turns(count: i64) -> Motion {
        Motion::fifteens(count.rem_euclid(8) * 3)
    }

    /// Turns about the origin by `degrees`, or `None` if that is no multiple of 15.
    pub fn turn_degrees(degrees: i64) -> Option<Motion> {
        (degrees % 15 == 0).then(|| Motion::fifteens(degrees.rem_euclid(360) / 15))
    }

    /// Mirrors left and right: x becomes −x.
    pub fn mirror_x() -> Motion {
        Motion {
            along_x: Point::ints(-1, 0),
            along_y: Point::ints(0, 1),
            shift: Point::ORIGIN,
        }
    }

    /// Shifts by `vector`.
    pub fn shift(vector: Point) -> Motion {
        Motion {
            shift: vector,
            ..Motion::identity()
        }
    }

    /// The turn about the origin with this cosine and sine; their squares must add up to 1.
    pub(crate) fn turning(cos: Surd, sin: Surd) -> Motion {
        Motion {
            along_x: Point::new(cos.clone(), sin.clone()),
            along_y: Point::new(-&sin, cos),
            shift: Point::ORIGIN,
        }
    }

    /// A turn by `count` · 15°, 0 ≤ `count` < 24.
    fn fifteens(count: i64) -> Motion {
        // sin 0°, 15° … 90°; sin 15° = (√6 − √2)/4, sin 75° = (√6 + √2)/4.
        let sine = |steps: i64| {
            let folded = steps.rem_euclid(12).min(12 - steps.rem_euclid(12));
            let value = match folded {
                0 => Surd::ZERO,
                1 => (Surd::root6() - Surd::root2()).over(4),
                2 => Surd::ratio(1, 2),
                3 => Surd::root2().half(),
                4 => Surd::root3().half(),
                5 => (Surd::root6() + Surd::root2()).over(4),
                _ => Surd::ONE,
            };
            if steps.rem_euclid(24) < 12 {
                value
            } else {
                -value
            }
        };
        Motion::turning(sine(count + 6), sine(count))
    }

    /// First this motion, then `next`.
    pub fn then(&self, next: &Motion) -> Motion {
        Motion {
            along_x: next.apply_vector(&self.along_x),
            along_y: next.apply_vector(&self.along_y),
            shift: next.apply(&self.shift),
        }
    }

    /// Where `point` goes.
    pub fn apply(&self, point: &Point) -> Point {
        &self.apply_vector(point) + &self.shift
    }

    /// What becomes of the vector: turned and mirrored, not shifted.
    pub fn apply_vector(&self, vector: &Point) -> Point {
        &self.along_x.scaled(&vector.x) + &self.along_y.scaled(&vector.y)
    }

    /// The motion that undoes this one.
    pub fn inverse(&self) -> Motion {
        // The inverse of an orthogonal matrix is its transpose.
        let linear = Motion {
            along_x: Point::new(self.along_x.x.clone(), self.along_y.x.clone()),
            along_y: Point::new(self.along_x.y.clone(), self.along_y.y.clone()),
            shift: Point::ORIGIN,
        };
        let shift = -linear.apply_vector(&self.shift);
        Motion { shift, ..linear }
    }

    /// Whether it exchanges left and right hand.
    pub fn is_mirrored(&self) -> bool {
        self.along_x.cross(&self.along_y).sign() == Ordering::Less
    }

    /// Where it takes the origin.
    pub fn origin(&self) -> &Point {
        &self.shift
    }

    /// The turn in degrees, above −180 and up to 180. A mirrored motion is taken as
    /// [`Motion::mirror_x`] first and the turn afterwards.
    ///
    /// Multiples of 7.5 come out exactly.
    pub fn angle_degrees(&self) -> f64 {
        // `along_y` is the same with and without the mirror: turned +90° from the x direction.
        let [x, y] = self.along_y.to_f64();
        let degrees = (-x).atan2(y).to_degrees();
        let near = (degrees / 7.5).round() * 7.5;
        let snapped = if (degrees - near).abs() < 1e-9 {
            near
        } else {
            degrees
        };
        if snapped <= -180.0 {
            snapped + 360.0
        } else {
            snapped + 0.0
        }
    }
}
