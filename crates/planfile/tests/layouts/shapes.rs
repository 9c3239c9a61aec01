//! Outlines compared: how one lies to another, and whether it tells left from right.

use quilt::plan::{ClothId, Direction, Plan};
use quilt::results::Results;

/// Rounding to the ruler bends no angle by more, degrees, and no side by more, inches.
pub(super) const BENT: f64 = 1.5;
pub(super) const LONGER: f64 = 0.4;

/// Half a turn or a whole one, after which a print with a direction looks the same.
pub(super) fn half(plan: &Plan, cloth: ClothId) -> Option<f64> {
    match plan.cloth(cloth).direction {
        Direction::Free => None,
        Direction::TwoWay => Some(180.0),
        Direction::OneWay => Some(360.0),
    }
}

/// How far an angle is from a multiple of a right angle.
pub(super) fn square(degrees: f64) -> f64 {
    let off = degrees.rem_euclid(90.0);
    off.min(90.0 - off)
}

/// Of several turns that come to the same, the least, as whole degrees.
pub(super) fn lie(turns: &[f64], half: f64) -> Option<i64> {
    let whole = |turn: &f64| (turn.rem_euclid(half).round() as i64) % half as i64;
    turns.iter().map(whole).min()
}

/// The template's exact cut outline.
pub(super) fn exact(results: &Results, block: usize, template: usize) -> Vec<[f64; 2]> {
    results.blocks[block].as_ref().unwrap().templates[template]
        .cut
        .clone()
}

/// Sides and turns of an outline, from each of its corners on.
pub(super) fn corners(outline: &[[f64; 2]]) -> Vec<(f64, f64)> {
    let n = outline.len();
    let edge = |i: usize| {
        let (a, b) = (outline[i % n], outline[(i + 1) % n]);
        [b[0] - a[0], b[1] - a[1]]
    };
    let corner = |i: usize| {
        let (u, v) = (edge(i), edge(i + 1));
        let turn = (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]);
        (u[0].hypot(u[1]), turn.to_degrees())
    };
    (0..n).map(corner).collect()
}

pub(super) fn flipped(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    outline.iter().rev().map(|p| [-p[0], p[1]]).collect()
}

/// The angles by which `exact` must be turned to lie like `laid`.
pub(super) fn turns(exact: &[[f64; 2]], laid: &[[f64; 2]], (bent, longer): (f64, f64)) -> Vec<f64> {
    let (a, b) = (corners(exact), corners(laid));
    if a.len() != b.len() {
        return Vec::new();
    }
    let n = a.len();
    let like = |shift: &usize| {
        (0..n).all(|i| {
            let ((side, turn), (cut, cut_turn)) = (a[i], b[(i + shift) % n]);
            (turn - cut_turn).abs() < bent && (side - cut).abs() < longer
        })
    };
    let angle = |p: &[[f64; 2]], i: usize| {
        let (u, v) = (p[i % n], p[(i + 1) % n]);
        (v[1] - u[1]).atan2(v[0] - u[0]).to_degrees()
    };
    (0..n)
        .filter(like)
        .map(|shift| angle(laid, shift) - angle(exact, 0))
        .collect()
}

pub(super) fn chiral(exact: &[[f64; 2]]) -> bool {
    turns(exact, &flipped(exact), (BENT, LONGER)).is_empty()
}
