//! Convex regions cut out of the top by straight lines.
//!
//! The pieces along the edge of an on-point setting are what is left of a rectangle when
//! the seams have divided it. Cutting it line by line gives each its exact finished
//! outline, and because every line parts a region into two, the pieces tile it: none
//! overlap and nothing is left over, whatever the sizes.
//!
//! **Always holds.** The corners of a region are in order round it, none twice, none
//! straight; a region without area is no region.

use std::cmp::Ordering;

use geometry::{Point, Polygon, Surd, turn_of};

/// A convex region; perhaps empty.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Region {
    corners: Vec<Point>,
}

/// Which side of a line is kept: where the measured value is at least, or at most, the bound.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Keep {
    AtLeast,
    AtMost,
}

impl Region {
    /// The rectangle from the origin to (`width`, `height`).
    pub(super) fn rectangle(width: &Surd, height: &Surd) -> Self {
        let corners = vec![
            Point::ORIGIN,
            Point::new(width.clone(), Surd::ZERO),
            Point::new(width.clone(), height.clone()),
            Point::new(Surd::ZERO, height.clone()),
        ];
        Self { corners }
    }

    /// The part of it where x + y keeps to `bound`.
    pub(super) fn sum(&self, keep: Keep, bound: &Surd) -> Self {
        self.cut(|p| signed(&(&p.x + &p.y) - bound, keep))
    }

    /// The part of it where x − y keeps to `bound`.
    pub(super) fn difference(&self, keep: Keep, bound: &Surd) -> Self {
        self.cut(|p| signed(&(&p.x - &p.y) - bound, keep))
    }

    /// The part where `inside` is not negative; `inside` must be linear.
    fn cut(&self, inside: impl Fn(&Point) -> Surd) -> Self {
        let values: Vec<Surd> = self.corners.iter().map(&inside).collect();
        let count = self.corners.len();
        let mut kept = Vec::with_capacity(count + 2);
        for i in 0..count {
            let next = (i + 1) % count;
            let (here, there) = (values[i].sign(), values[next].sign());
            if here != Ordering::Less {
                kept.push(self.corners[i].clone());
            }
            if here.is_lt() && there.is_gt() || here.is_gt() && there.is_lt() {
                kept.push(between(
                    (&self.corners[i], &values[i]),
                    (&self.corners[next], &values[next]),
                ));
            }
        }
        Self { corners: kept }
    }

    /// It as a polygon; `None` if it has no area.
    pub(super) fn polygon(mut self) -> Option<Polygon> {
        self.corners.dedup();
        if self.corners.first() == self.corners.last() {
            self.corners.pop();
        }
        let count = self.corners.len();
        let true_corners: Vec<Point> = (0..count)
            .filter(|&i| {
                let (before, after) = ((i + count - 1) % count, (i + 1) % count);
                let turn = turn_of(
                    &self.corners[before],
                    &self.corners[i],
                    &self.corners[after],
                );
                turn != Ordering::Equal
            })
            .map(|i| self.corners[i].clone())
            .collect();
        Polygon::new(true_corners).ok()
    }
}

fn signed(value: Surd, keep: Keep) -> Surd {
    match keep {
        Keep::AtLeast => value,
        Keep::AtMost => -value,
    }
}

/// The point between `a` and `b` where the value is nought; the values have opposite signs.
fn between((a, at_a): (&Point, &Surd), (b, at_b): (&Point, &Surd)) -> Point {
    let share = at_a
        .checked_div(&(at_a - at_b))
        .expect("values of opposite sign differ");
    a + &(b - a).scaled(&share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_parts_a_region_into_two_that_fill_it() {
        let whole = Region::rectangle(&Surd::int(7), &Surd::int(4));
        for tenths in 0..=120 {
            let bound = Surd::ratio(tenths, 10);
            let area = |keep| {
                let part = whole.sum(keep, &bound).polygon();
                part.map_or(Surd::ZERO, |p| p.area())
            };
            assert_eq!(
                area(Keep::AtLeast) + area(Keep::AtMost),
                Surd::int(28),
                "at {bound}"
            );
        }
    }

    #[test]
    fn a_line_through_a_corner_leaves_no_double_corner() {
        let half = Region::rectangle(&Surd::int(2), &Surd::int(2))
            .difference(Keep::AtLeast, &Surd::ZERO)
            .polygon()
            .unwrap();
        assert_eq!(half.points().len(), 3);
        assert_eq!(half.area(), Surd::TWO);
    }
}
