//! Plane helpers for drawing, in floats.
//!
//! Nothing here decides where a seam runs; it only finds room for words and where lines
//! of a picture go.

/// A point or vector.
pub(crate) type P = [f64; 2];

pub(crate) fn add(a: P, b: P) -> P {
    [a[0] + b[0], a[1] + b[1]]
}

pub(crate) fn sub(a: P, b: P) -> P {
    [a[0] - b[0], a[1] - b[1]]
}

pub(crate) fn scaled(a: P, by: f64) -> P {
    [a[0] * by, a[1] * by]
}

pub(crate) fn length(a: P) -> f64 {
    a[0].hypot(a[1])
}

/// `a` at length 1; itself when it has none.
pub(crate) fn unit(a: P) -> P {
    let l = length(a);
    if l > 0.0 { scaled(a, 1.0 / l) } else { a }
}

/// `a` turned a quarter clockwise to the eye (y runs down).
pub(crate) fn quarter(a: P) -> P {
    [-a[1], a[0]]
}

pub(crate) fn dot(a: P, b: P) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(crate) fn cross(a: P, b: P) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

pub(crate) fn middle(a: P, b: P) -> P {
    scaled(add(a, b), 0.5)
}

/// The direction so many degrees clockwise from +x.
pub(crate) fn towards(degrees: f64) -> P {
    // The four quarters exactly, so that straight grain draws straight.
    match degrees.rem_euclid(360.0) {
        0.0 => [1.0, 0.0],
        90.0 => [0.0, 1.0],
        180.0 => [-1.0, 0.0],
        270.0 => [0.0, -1.0],
        d => [d.to_radians().cos(), d.to_radians().sin()],
    }
}

/// Degrees clockwise from +x of a vector.
pub(crate) fn degrees(a: P) -> f64 {
    a[1].atan2(a[0]).to_degrees()
}

/// Least and greatest corner of the points; a point at the origin when there are none.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a P>) -> [P; 2] {
    let empty = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    let [low, high] = points.into_iter().fold(empty, |[low, high], p| {
        [
            [low[0].min(p[0]), low[1].min(p[1])],
            [high[0].max(p[0]), high[1].max(p[1])],
        ]
    });
    if low[0] <= high[0] {
        [low, high]
    } else {
        [[0.0; 2]; 2]
    }
}

/// The edges of a closed outline.
pub(crate) fn edges(ring: &[P]) -> impl Iterator<Item = [P; 2]> + '_ {
    (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]])
}

/// Area of a closed outline, positive when it runs clockwise to the eye.
pub(crate) fn area(ring: &[P]) -> f64 {
    edges(ring).map(|[a, b]| cross(a, b)).sum::<f64>() / 2.0
}

/// Middle of the area of a closed outline.
pub(crate) fn centroid(ring: &[P]) -> P {
    let twice = 2.0 * area(ring);
    if twice.abs() < 1e-12 {
        return ring.first().copied().unwrap_or([0.0; 2]);
    }
    let sum = edges(ring).fold([0.0; 2], |s, [a, b]| add(s, scaled(add(a, b), cross(a, b))));
    scaled(sum, 1.0 / (3.0 * twice))
}

/// Whether the point lies inside the closed outline.
pub(crate) fn inside(ring: &[P], p: P) -> bool {
    edges(ring)
        .filter(|[a, b]| (a[1] > p[1]) != (b[1] > p[1]))
        .fold(false, |odd, [a, b]| {
            let x = a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
            odd != (p[0] < x)
        })
}

/// Distance of a point from a segment.
pub(crate) fn distance(p: P, [a, b]: [P; 2]) -> f64 {
    let ab = sub(b, a);
    let along = dot(sub(p, a), ab) / dot(ab, ab).max(1e-18);
    length(sub(p, add(a, scaled(ab, along.clamp(0.0, 1.0)))))
}

/// A box with its sides along the axes: least and greatest corner.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Area {
    pub(crate) low: P,
    pub(crate) high: P,
}

impl Area {
    pub(crate) fn around(middle: P, width: f64, height: f64) -> Self {
        let half = [width / 2.0, height / 2.0];
        Self {
            low: sub(middle, half),
            high: add(middle, half),
        }
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self {
            low: sub(self.low, [by; 2]),
            high: add(self.high, [by; 2]),
        }
    }

    pub(crate) fn corners(self) -> [P; 4] {
        let Self { low, high } = self;
        [low, [high[0], low[1]], high, [low[0], high[1]]]
    }

    pub(crate) fn overlaps(self, other: Self) -> bool {
        (0..2).all(|i| self.low[i] < other.high[i] && other.low[i] < self.high[i])
    }

    pub(crate) fn holds(self, p: P) -> bool {
        (0..2).all(|i| self.low[i] <= p[i] && p[i] <= self.high[i])
    }

    /// Whether a segment passes through the box.
    pub(crate) fn crossed_by(self, [a, b]: [P; 2]) -> bool {
        // Clip the segment's parameter to both slabs.
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for i in 0..2 {
            let d = b[i] - a[i];
            if d.abs() < 1e-12 {
                if a[i] <= self.low[i] || a[i] >= self.high[i] {
                    return false;
                }
                continue;
            }
            let (s, t) = ((self.low[i] - a[i]) / d, (self.high[i] - a[i]) / d);
            from = from.max(s.min(t));
            to = to.min(s.max(t));
        }
        from < to
    }

    /// Whether the box lies wholly within a closed outline.
    pub(crate) fn within(self, ring: &[P]) -> bool {
        self.corners().iter().all(|&c| inside(ring, c)) && !edges(ring).any(|e| self.crossed_by(e))
    }

    /// Least distance of the box's corners from the outline.
    pub(crate) fn clearance(self, ring: &[P]) -> f64 {
        let corners = self.corners();
        edges(ring)
            .flat_map(|e| corners.map(|c| distance(c, e)))
            .fold(f64::INFINITY, f64::min)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_find_their_place_in_outlines() {
        let triangle = [[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]];
        assert!(
            (area(&triangle) - 50.0).abs() < 1e-12,
            "clockwise to the eye is positive"
        );
        assert!(Area::around([3.0, 3.0], 4.0, 3.0).within(&triangle));
        assert!(
            !Area::around([3.0, 3.0], 4.0, 5.0).within(&triangle),
            "a corner sticks out"
        );
        let notched = [
            [0.0, 0.0],
            [10.0, 0.0],
            [10.0, 10.0],
            [6.0, 10.0],
            [5.0, 3.0],
            [4.0, 10.0],
            [0.0, 10.0],
        ];
        assert!(
            !Area::around([5.0, 5.0], 6.0, 2.0).within(&notched),
            "a notch between the corners"
        );
        assert!(Area::around([5.0, 1.5], 6.0, 2.0).within(&notched));
    }

    #[test]
    fn the_middle_of_a_triangle_is_a_third_up() {
        let [x, y] = centroid(&[[0.0, 0.0], [6.0, 0.0], [0.0, 3.0]]);
        assert!((x - 2.0).abs() < 1e-12 && (y - 1.0).abs() < 1e-12);
    }
}
