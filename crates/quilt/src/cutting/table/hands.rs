//! Which pieces have a left and a right hand on their cloth.
//!
//! Cloth folded wrong or right sides together gives, under one cut, a piece and its mirror
//! image. That is the same piece twice where the mirror image can be turned into the piece
//! as far as the cloth's print allows: by any quarter turn on a cloth that may lie any way,
//! by a half turn on one that has no up or down, not at all on a one-way print.
//!
//! **Units.** Outlines in inches, float; pieces differ by far more than the tolerance.

use super::super::{ClothCutting, Laid, Method};
use crate::block::RotaryShape;
use crate::plan::Direction;

/// Corners closer than this are the same, inches; templates are printed to a hundredth.
const SAME: f64 = 2e-3;

/// What a cut through folded cloth makes of the pieces of one demand.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Hand {
    /// The same piece twice.
    Even,
    /// A piece and its mirror image, which is another demand, or none (`None`).
    Odd(Option<usize>),
}

/// The hand of each demand that is cut in runs; squares and rectangles are even as long as
/// they are whole, and what is cut from them is laid right side up.
pub(super) fn hands(cutting: &ClothCutting, direction: Direction) -> Vec<Hand> {
    let pieces: Vec<Option<&Laid>> = (0..cutting.demands.len())
        .map(|demand| cutting.pieces().find(|piece| piece.demand == demand))
        .collect();
    let mirrors = |a: usize, b: usize| match (pieces[a], pieces[b]) {
        (Some(a), Some(b)) => agrees(&mirrored(&a.outline), &b.outline, direction),
        _ => false,
    };
    let of = |demand: usize| {
        if is_even(&cutting.demands[demand].method, direction) || mirrors(demand, demand) {
            return Hand::Even;
        }
        let others = 0..cutting.demands.len();
        let partner = |&other: &usize| {
            other != demand
                && !is_even(&cutting.demands[other].method, direction)
                && mirrors(demand, other)
        };
        Hand::Odd(others.into_iter().find(partner))
    };
    (0..cutting.demands.len()).map(of).collect()
}

/// Whether every piece cut this way is its own mirror image.
fn is_even(method: &Method, direction: Direction) -> bool {
    match method {
        Method::Template => false,
        Method::Ruler(rotary) => match rotary.shape {
            RotaryShape::Parallelogram45 | RotaryShape::Parallelogram60 => false,
            RotaryShape::Diamond45 | RotaryShape::Diamond60 => direction == Direction::Free,
            // Squares and rectangles are cut further one by one; 60° triangles, hexagons
            // and trapezoids are even across the strip.
            _ => true,
        },
        _ => true,
    }
}

pub(super) fn mirrored(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    outline.iter().map(|&[x, y]| [-x, y]).collect()
}

/// Whether one outline can be laid on the other, turned as far as the print allows.
pub(super) fn agrees(a: &[[f64; 2]], b: &[[f64; 2]], direction: Direction) -> bool {
    let turns: &[u8] = match direction {
        Direction::Free => &[0, 1, 2, 3],
        Direction::TwoWay => &[0, 2],
        Direction::OneWay => &[0],
    };
    let b = at_origin(b.to_vec());
    turns.iter().any(|&turn| {
        let turned = a.iter().map(|&[x, y]| match turn {
            0 => [x, y],
            1 => [-y, x],
            2 => [-x, -y],
            _ => [y, -x],
        });
        let a = at_origin(turned.collect());
        let near = |p: &[f64; 2], q: &[f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]) < SAME;
        a.len() == b.len() && a.iter().all(|p| b.iter().any(|q| near(p, q)))
    })
}

fn at_origin(outline: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let least = |axis: usize| {
        outline
            .iter()
            .map(|p| p[axis])
            .fold(f64::INFINITY, f64::min)
    };
    let [x, y] = [least(0), least(1)];
    outline.into_iter().map(|p| [p[0] - x, p[1] - y]).collect()
}
