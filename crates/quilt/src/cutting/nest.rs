//! How close pieces cut by one template can follow one another along a strip.
//!
//! Two outlines of the same height lie side by side; the second is slid along the strip
//! until it lies wholly to the right of the first at every height. That least shift is
//!
//! ```text
//!   pitch = max over y of ( right edge of the first at y − left edge of the second at y )
//! ```
//!
//! Both edges are straight between corner heights, so the greatest is found at one of
//! them. A piece after next is kept apart too, since the one between spans the whole
//! height.
//!
//! **Units.** Inches, float: printed templates are cut by hand. [`SAFETY`] is added, and
//! the ruler's rounding on top.

use super::kinds::bounds;

/// Kept between two neighbouring pieces cut by template, inches: no hand cuts closer.
pub(super) const SAFETY: f64 = 1.0 / 64.0;

/// How far apart the left ends of two neighbours must be so that `second` lies wholly to
/// the right of `first`. Both begin at x = 0 and span the same heights.
pub(super) fn pitch(first: &[[f64; 2]], second: &[[f64; 2]]) -> f64 {
    let heights = first.iter().chain(second).map(|p| p[1]);
    let gap = |y: f64| {
        let (_, right) = span(first, y)?;
        let (left, _) = span(second, y)?;
        Some(right - left)
    };
    heights.filter_map(gap).fold(0.0, f64::max) + SAFETY
}

/// The outline turned half round, begun at (0, 0) again.
pub(super) fn half_turned(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let (least, most) = bounds(outline);
    outline
        .iter()
        .map(|p| [least[0] + most[0] - p[0], least[1] + most[1] - p[1]])
        .collect()
}

/// Moved so that it begins at (0, 0).
pub(super) fn at_origin(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let (least, _) = bounds(outline);
    outline
        .iter()
        .map(|p| [p[0] - least[0], p[1] - least[1]])
        .collect()
}

/// Leftmost and rightmost point of the outline at this height.
fn span(outline: &[[f64; 2]], y: f64) -> Option<(f64, f64)> {
    let n = outline.len();
    let crossings = (0..n).flat_map(|i| {
        let (a, b) = (outline[i], outline[(i + 1) % n]);
        let (low, high) = (a[1].min(b[1]), a[1].max(b[1]));
        // A hair's breadth either way: corner heights of both outlines are compared.
        let meets = low - 1e-9 <= y && y <= high + 1e-9;
        let level = high - low < 1e-9;
        let along = if level {
            0.0
        } else {
            ((y - a[1]) / (b[1] - a[1])).clamp(0.0, 1.0)
        };
        let at = a[0] + along * (b[0] - a[0]);
        let ends = if level { [a[0], b[0]] } else { [at, at] };
        ends.into_iter().filter(move |_| meets)
    });
    crossings.fold(None, |span, x| match span {
        None => Some((x, x)),
        Some((least, most)) => Some((f64::min(least, x), f64::max(most, x))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_follow_as_close_as_their_slants_allow() {
        let triangle = [[0.0, 2.0], [1.0, 0.0], [2.0, 2.0]];
        let other = half_turned(&triangle);
        assert!(
            (pitch(&triangle, &other) - 1.0 - SAFETY).abs() < 1e-12,
            "flip-flop: half a base"
        );
        assert!(
            (pitch(&triangle, &triangle) - 2.0 - SAFETY).abs() < 1e-12,
            "unturned: a base"
        );
        let leaning = [[0.0, 0.0], [3.0, 0.0], [4.0, 1.0], [1.0, 1.0]];
        assert!(
            (pitch(&leaning, &leaning) - 3.0 - SAFETY).abs() < 1e-12,
            "a parallelogram nests"
        );
        let kite = [[0.0, 1.0], [1.0, 0.0], [4.0, 1.0], [1.0, 2.0]];
        let p = pitch(&kite, &half_turned(&kite));
        assert!(
            (p - 4.0 - SAFETY).abs() < 1e-12,
            "points meet points: the whole width"
        );
    }
}
