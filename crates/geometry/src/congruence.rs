//! When two polygons are the same shape, and how one is laid on the other. Exact.
//!
//! A polygon without its straight corners is written as the list, corner by corner, of the squared
//! length of a side and the cross and dot product with the next one; the least of its rotations is the
//! key. Two polygons can be moved onto each other without mirroring exactly if their keys are equal.
//! The mirror image has a key of its own; a shape with equal keys is its own mirror image.

use std::cmp::Ordering;

use crate::motion::Motion;
use crate::plane::Point;
use crate::polygon::Polygon;
use crate::surd::Surd;

/// What is the same for all turned and shifted copies of a polygon, and for nothing else.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct ShapeKey(Vec<[Surd; 3]>);

/// The key of a polygon and that of its mirror image.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct ShapeKeys {
    /// The polygon as it is.
    pub direct: ShapeKey,
    /// Its mirror image.
    pub mirrored: ShapeKey,
}

impl ShapeKeys {
    /// Whether the shape is its own mirror image.
    pub fn is_achiral(&self) -> bool {
        self.direct == self.mirrored
    }

    /// The lesser of the two keys: the same for a shape and its mirror image.
    pub fn unhanded(&self) -> &ShapeKey {
        (&self.direct).min(&self.mirrored)
    }
}

/// The keys of a polygon and of its mirror image.
pub fn shape_keys(polygon: &Polygon) -> ShapeKeys {
    let corners = corners_of(&polygon.without_straight_corners());
    let mirrored = mirror_corners(&corners);
    ShapeKeys {
        direct: least_rotation(corners),
        mirrored: least_rotation(mirrored),
    }
}

/// Whether the polygon is its own mirror image.
pub fn is_achiral(polygon: &Polygon) -> bool {
    shape_keys(polygon).is_achiral()
}

/// The motion that lays `from` on `to`, or `None` if they are different shapes.
///
/// An unmirrored one is preferred; of those the one with the least absolute turn, and of two with
/// opposite turns the positive one.
pub fn fit(from: &Polygon, to: &Polygon) -> Option<Motion> {
    all_fits(from, to).into_iter().next()
}

/// All motions that lay `from` on `to`: first the unmirrored ones, each kind by absolute turn, a
/// positive turn before its opposite.
pub fn all_fits(from: &Polygon, to: &Polygon) -> Vec<Motion> {
    let mut fits = fits_by_turning(from, to, &Motion::identity());
    fits.extend(fits_by_turning(from, to, &Motion::mirror_x()));
    fits
}

/// Fits that first apply `start` and then turn and shift.
fn fits_by_turning(from: &Polygon, to: &Polygon, start: &Motion) -> Vec<Motion> {
    let from = from.moved(start).without_straight_corners();
    let to = to.without_straight_corners();
    let n = from.points().len();
    if n != to.points().len() {
        return Vec::new();
    }
    let (wanted, offered) = (corners_of(&to), corners_of(&from));
    let matches = |k: &usize| (0..n).all(|i| offered[i] == wanted[(i + k) % n]);
    let mut fits: Vec<(f64, Motion)> = (0..n)
        .filter(matches)
        .filter_map(|k| {
            let turn = turn_between(&side(&from, 0), &side(&to, k))?;
            let landed = turn.apply(&from.points()[0]);
            let shift = Motion::shift(&to.points()[k] - &landed);
            let motion = start.then(&turn).then(&shift);
            Some((motion.angle_degrees(), motion))
        })
        .collect();
    // Different turns of one shape are at least 360°/n apart, so floating order is safe.
    let rank = |angle: f64| (angle.abs() * 1e6).round();
    fits.sort_by(|(a, _), (b, _)| rank(*a).total_cmp(&rank(*b)).then(b.total_cmp(a)));
    fits.into_iter().map(|(_, motion)| motion).collect()
}

/// The turn that takes the direction of `u` to that of `v`, two vectors of the same length.
fn turn_between(u: &Point, v: &Point) -> Option<Motion> {
    let part = u.length_squared().recip()?;
    Some(Motion::turning(u.dot(v) * &part, u.cross(v) * &part))
}

fn side(polygon: &Polygon, i: usize) -> Point {
    let points = polygon.points();
    &points[(i + 1) % points.len()] - &points[i]
}

/// For each side: its squared length, and its cross and dot product with the next side.
fn corners_of(polygon: &Polygon) -> Vec<[Surd; 3]> {
    let n = polygon.points().len();
    let sides: Vec<Point> = (0..n).map(|i| side(polygon, i)).collect();
    let corner = |i: usize| {
        let (this, next) = (&sides[i], &sides[(i + 1) % n]);
        [this.length_squared(), this.cross(next), this.dot(next)]
    };
    (0..n).map(corner).collect()
}

/// The same list for the mirror image, which is walked the other way: the side lengths in reverse,
/// and with each the corner that used to come before it.
fn mirror_corners(corners: &[[Surd; 3]]) -> Vec<[Surd; 3]> {
    let n = corners.len();
    let mirrored = |i: usize| {
        let [length, _, _] = &corners[i];
        let [_, cross, dot] = &corners[(i + n - 1) % n];
        [length.clone(), cross.clone(), dot.clone()]
    };
    (0..n).rev().map(mirrored).collect()
}

/// The rotation of the list that comes first in order.
///
/// Two candidates are compared and the whole run that the loser shares with the winner is skipped,
/// so the time is linear in the length (Booth, "Lexicographically least circular substrings", 1980;
/// here in the two-pointer form).
fn least_rotation(mut corners: Vec<[Surd; 3]>) -> ShapeKey {
    let n = corners.len();
    let (mut i, mut j, mut run) = (0, 1, 0);
    while i < n && j < n && run < n {
        match corners[(i + run) % n].cmp(&corners[(j + run) % n]) {
            Ordering::Equal => run += 1,
            Ordering::Greater => {
                i += run + 1;
                if i == j {
                    i += 1;
                }
                run = 0;
            }
            Ordering::Less => {
                j += run + 1;
                if i == j {
                    j += 1;
                }
                run = 0;
            }
        }
    }
    corners.rotate_left(i.min(j));
    ShapeKey(corners)
}
