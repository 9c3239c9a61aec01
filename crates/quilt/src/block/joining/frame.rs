//! Frames that turn with a unit, so that turned copies of it look the same.

use geometry::{Point, Surd};

/// An origin and a direction, not of unit length.
///
/// Points seen from it are stretched by the direction's length, so that everything stays
/// exact; only sights from directions of the same length may be compared.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Frame {
    pub(crate) origin: Point,
    pub(crate) along: Point,
}

impl Frame {
    /// Where a sum of `count` points is seen.
    pub(crate) fn of_sum(&self, sum: &Point, count: i64) -> Point {
        self.of_vector(&(sum - &self.origin.scaled(&Surd::int(count))))
    }

    /// Where a point is seen.
    pub(crate) fn of(&self, point: &Point) -> Point {
        self.of_sum(point, 1)
    }

    /// How a vector is seen.
    pub(crate) fn of_vector(&self, vector: &Point) -> Point {
        Point::new(self.along.dot(vector), self.along.cross(vector))
    }
}

/// For a ring walked with its inside on the right, the frames at the corners from which
/// it looks least; more than one if it can be turned onto itself.
pub(crate) fn least_frames(corners: &[Point]) -> Vec<Frame> {
    let n = corners.len();
    let sides: Vec<Point> = (0..n)
        .map(|i| &corners[(i + 1) % n] - &corners[i])
        .collect();
    let looks: Vec<[Surd; 3]> = (0..n)
        .map(|i| {
            let (this, next) = (&sides[i], &sides[(i + 1) % n]);
            [this.length_squared(), this.cross(next), this.dot(next)]
        })
        .collect();
    let frame = |start: usize| Frame {
        origin: corners[start].clone(),
        along: sides[start].clone(),
    };
    least_starts(&looks).into_iter().map(frame).collect()
}

/// Where a ring of things read on from each place reads least; several places if it
/// repeats itself.
pub(super) fn least_starts<T: Ord>(looks: &[T]) -> Vec<usize> {
    let n = looks.len();
    let mut starts: Vec<usize> = (0..n).collect();
    for step in 0..n {
        let Some(least) = starts.iter().map(|&s| &looks[(s + step) % n]).min() else {
            break;
        };
        if starts.len() == 1 {
            break;
        }
        starts.retain(|&s| looks[(s + step) % n] == *least);
    }
    starts
}
