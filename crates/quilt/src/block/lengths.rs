//! Exact lengths of edges, where the field holds them.
//!
//! A length is a square root of an exact number and may leave the field. Edges at a
//! multiple of 15° keep theirs: turned onto the x axis, the length is a coordinate.

use geometry::{Motion, Point, Surd};

/// Lengths that leave the field are taken to the next of these parts of an inch *up*, so
/// that a piece is never too small: 1⁄1,000,000 in, far below any ruler.
const FINE: i64 = 1_000_000;

/// The length of a vector: exact if its direction is a multiple of 15°, or if it and
/// its square are rational; otherwise the next millionth of an inch up.
pub(crate) fn length(vector: &Point) -> Surd {
    exact(vector).unwrap_or_else(|| at_least(vector.length_squared().to_f64().sqrt()))
}

/// The length of a vector, if the field holds it and we can tell.
pub(crate) fn exact(vector: &Point) -> Option<Surd> {
    let by_turning = (0..12).find_map(|k| {
        let turned = Motion::turn_degrees(15 * k)?.apply_vector(vector);
        turned.y.is_zero().then(|| turned.x.abs())
    });
    by_turning.or_else(|| {
        let (n, d) = vector.length_squared().as_ratio()?;
        let (rn, rd) = (n.isqrt(), d.isqrt());
        (rn * rn == n && rd * rd == d).then(|| Surd::ratio(rn, rd))
    })
}

/// An exact number not smaller than `x` by less than two millionths.
pub(crate) fn at_least(x: f64) -> Surd {
    // The float itself may be a hair low; one more part covers that.
    Surd::ratio((x * FINE as f64).ceil() as i64 + 1, FINE)
}
