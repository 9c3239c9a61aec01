//! Outlines moved outwards by a fixed width, and their long corners cut back. In floating point.
//!
//! Offset lines are exact multiples of unit normals, and unit normals leave the exact field; so this
//! is the one place where shapes are floating. Nothing here decides what meets what.
//!
//! ```text
//!                 M        corner of inner angle α, width s:
//!               ╱   ╲        |VM| = s / sin(α/2)              the reach of the corner
//!             ╱   V   ╲      the moved edge ends s·cot(α/2)   beyond V, measured along the edge
//!           ╱   ╱   ╲   ╲
//! ```
//!
//! **Trimming.** Where a neighbour across an edge has a wider corner β at the same vertex, the corner
//! is cut along the line that carries the neighbour's own offset edge when the two are laid face to
//! face on their shared edge. That line touches the circle of radius s about V, like both offset
//! lines. So every corner is a chain of tangents of that circle, sorted by the direction of their
//! normals, and **nothing nearer to V than s is ever cut away**.
//!
//! **Frame.** As in [`crate::plane`]: y down, positive area; lengths in the caller's unit, angles in
//! degrees.

/// A floating point position, [x, y].
type Spot = [f64; 2];

/// Below this sine two unit directions count as parallel (a hundredth of a thousandth of a degree).
const PARALLEL: f64 = 1e-7;

/// The area inside a ring of points: positive in the direction every [`crate::Polygon`] has,
/// negative for the other.
pub fn area(points: &[[f64; 2]]) -> f64 {
    let Some(&[x, y]) = points.first() else {
        return 0.0;
    };
    let double: f64 = points
        .windows(2)
        .map(|w| (w[0][0] - x) * (w[1][1] - y) - (w[0][1] - y) * (w[1][0] - x))
        .sum();
    double / 2.0
}

/// How far the corner of the offset outline lies from the corner itself: by / sin(α/2) for the inner
/// angle α in degrees, 0 < α < 360.
pub fn corner_reach(angle_degrees: f64, by: f64) -> f64 {
    by / (angle_degrees / 2.0).to_radians().sin()
}

/// How far, along an edge, the offset edge reaches beyond the corner: by · cot(α/2) for the inner
/// angle α in degrees; negative at dented corners.
pub fn edge_reach(angle_degrees: f64, by: f64) -> f64 {
    by / (angle_degrees / 2.0).to_radians().tan()
}

/// The ring with every edge moved outwards by its own width, corners mitred.
///
/// - `points`: a simple ring of positive area, no two neighbours equal.
/// - `by`: the width for each edge; edge i goes from point i to the next. Missing entries count as 0.
/// - returns one corner for each point, in order. Only where two edges go straight on and have
///   different widths are there two: the step from one width to the other.
///
/// A ring with edges shorter than the widths take away at dented corners comes out tangled; compare
/// the lengths first if that can happen.
pub fn offset_outline(points: &[[f64; 2]], by: &[f64]) -> Vec<[f64; 2]> {
    let n = points.len();
    let width = |i: usize| by.get(i).copied().unwrap_or(0.0);
    let normals: Vec<Spot> = (0..n)
        .map(|i| outward(points[i], points[(i + 1) % n]))
        .collect();
    let mut out = Vec::with_capacity(n);
    for i in 0..n {
        let before = (i + n - 1) % n;
        let (u, v) = (normals[before], normals[i]);
        let (a, b) = (width(before), width(i));
        let turn = cross(u, v);
        if turn.abs() > PARALLEL {
            // The point p with p·u = a and p·v = b.
            let p = [(a * v[1] - b * u[1]) / turn, (b * u[0] - a * v[0]) / turn];
            out.push(along(points[i], p, 1.0));
        } else {
            out.push(along(points[i], u, a));
            if a != b || dot(u, v) < 0.0 {
                out.push(along(points[i], v, b));
            }
        }
    }
    out
}

/// What stands in place of one corner of the offset outline once it has been trimmed.
///
/// - `points`: the finished ring, of positive area; `corner`: index into it.
/// - `by`: the one width of all edges.
/// - `neighbours`: the inner angle, in degrees, of the neighbour's corner at this vertex, across the
///   edge before and across the edge after the corner; `None` where there is no neighbour or it must
///   not count.
/// - returns one to three points in order, or the plain mitred corner if no neighbour is wider than
///   this corner and narrower than straight, or if this corner is straight or dented.
pub fn trim_corner(
    points: &[[f64; 2]],
    corner: usize,
    by: f64,
    neighbours: [Option<f64>; 2],
) -> Vec<[f64; 2]> {
    let n = points.len();
    let at = points[corner % n];
    let first = outward(points[(corner + n - 1) % n], at);
    let last = outward(at, points[(corner + 1) % n]);
    // The outer turn: 180° less the inner angle.
    let turn = cross(first, last).atan2(dot(first, last));
    let cut = |angle: Option<f64>| -> Option<f64> {
        // A neighbour turning by less than this corner shortens it; one that goes straight on or is
        // dented has no edge to line up with.
        let outer = (180.0 - angle?).to_radians();
        (outer > PARALLEL && outer < turn - PARALLEL).then_some(outer)
    };
    let [before, after] = neighbours.map(cut);
    // Normals of the trim lines, as turns from the normal of the edge before.
    let mut turns: Vec<f64> = before
        .into_iter()
        .chain(after.map(|outer| turn - outer))
        .collect();
    turns.sort_by(f64::total_cmp);
    turns.dedup_by(|a, b| (*a - *b).abs() < PARALLEL);
    let mut normals = vec![first];
    normals.extend(turns.into_iter().map(|angle| turned(first, angle)));
    normals.push(last);
    normals
        .windows(2)
        .map(|pair| along(at, tangents_meet(pair[0], pair[1]), by))
        .collect()
}

/// The offset outline with every long corner trimmed to match its neighbours.
///
/// - `finished`: the ring, of positive area.
/// - `by`: the one width of all edges.
/// - `neighbours`: for each corner as in [`trim_corner`]; missing entries count as no neighbour.
/// - returns the ring to cut: every point within `by` of the finished shape is inside it.
pub fn trim_ears(finished: &[[f64; 2]], by: f64, neighbours: &[[Option<f64>; 2]]) -> Vec<[f64; 2]> {
    let beside = |i: usize| neighbours.get(i).copied().unwrap_or_default();
    (0..finished.len())
        .flat_map(|i| trim_corner(finished, i, by, beside(i)))
        .collect()
}

/// Where the tangents of the unit circle with these two normals meet.
fn tangents_meet(u: Spot, v: Spot) -> Spot {
    let sum = [u[0] + v[0], u[1] + v[1]];
    let scale = 1.0 + dot(u, v);
    // Opposite normals: a spike of no width, which a simple ring cannot have.
    if scale < f64::EPSILON {
        u
    } else {
        [sum[0] / scale, sum[1] / scale]
    }
}

/// Unit normal of the edge a → b, away from the inside.
fn outward(a: Spot, b: Spot) -> Spot {
    let (x, y) = (b[0] - a[0], b[1] - a[1]);
    let length = x.hypot(y);
    if length == 0.0 {
        [0.0, 0.0]
    } else {
        [y / length, -x / length]
    }
}

fn turned(v: Spot, angle: f64) -> Spot {
    let (sin, cos) = angle.sin_cos();
    [v[0] * cos - v[1] * sin, v[0] * sin + v[1] * cos]
}

fn along(from: Spot, direction: Spot, by: f64) -> Spot {
    [from[0] + direction[0] * by, from[1] + direction[1] * by]
}

fn cross(u: Spot, v: Spot) -> f64 {
    u[0] * v[1] - u[1] * v[0]
}

fn dot(u: Spot, v: Spot) -> f64 {
    u[0] * v[0] + u[1] * v[1]
}
