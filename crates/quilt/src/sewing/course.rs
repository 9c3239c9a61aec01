//! How the work of a block goes: round a centre, in opposite pairs, or in rows.
//!
//! Rounds show in the tree as one single strip after another sewn to the whole of what is
//! there. Which way they go is read off as the maker sees the block, from the front: each
//! strip lies a quarter turn further, clockwise or against the clock. Nothing in the
//! sewing forces the direction, but copies that go different ways do not look alike, so
//! the words ask to keep it.
//!
//! Source: each strip of a log-type block is sewn to the whole of what is already there:
//! *from memory*.

use std::cmp::Ordering;

use geometry::{Point, Surd};

use crate::block::JoinNode;

/// From this many strips in sequence on, it is a round and not an end piece or two.
const ROUND: usize = 4;

/// How one strip lies to the one before it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turn {
    Clockwise,
    Counterclockwise,
    Opposite,
    Same,
}

/// The sentences for a block's tree; `None` when there is no more to say than the steps do.
pub(super) fn course(tree: &JoinNode) -> Option<String> {
    let sides = sides(tree);
    let turns: Vec<Turn> = sides
        .windows(2)
        .map(|pair| turn(&pair[0], &pair[1]))
        .collect();
    let mut told = if turns.len() + 1 >= ROUND {
        round(&turns)
    } else {
        None
    };
    if told.is_none() {
        told = rows(tree);
    }
    let told = told?;
    Some(format!(
        "{told} Sew one block first as a sample and measure it before you cut for the others."
    ))
}

fn round(turns: &[Turn]) -> Option<String> {
    let all = |wanted: Turn| turns.iter().all(|turn| *turn == wanted);
    let laid = |way: &str| {
        format!(
            "Work in rounds from the centre: each strip is sewn to the whole of what is there, {way} as seen from the front. Keep the same direction in every copy."
        )
    };
    if all(Turn::Clockwise) {
        return Some(laid("going clockwise"));
    }
    if all(Turn::Counterclockwise) {
        return Some(laid("going against the clock"));
    }
    let opposite = |first: usize| {
        let mut pairs = turns.iter().skip(first).step_by(2);
        let mut between = turns.iter().skip(1 - first).step_by(2);
        pairs.all(|turn| *turn == Turn::Opposite)
            && between.all(|turn| matches!(turn, Turn::Clockwise | Turn::Counterclockwise))
    };
    (opposite(0) || opposite(1)).then(|| {
        "Work in rounds from the centre: of each round, two opposite sides are sewn first, then the other two across their ends.".to_owned()
    })
}

/// Whether the block is made of rows: at least two parallel seams from side to side, sewn
/// last, with units of several patches between.
fn rows(tree: &JoinNode) -> Option<String> {
    let JoinNode::Join { seam, .. } = tree else {
        return None;
    };
    let along = seam.vector();
    let mut rows: Vec<&JoinNode> = Vec::new();
    let mut stack = vec![tree];
    while let Some(node) = stack.pop() {
        match node {
            JoinNode::Join {
                seam, left, right, ..
            } if seam.vector().cross(&along).is_zero() => {
                stack.extend([left.as_ref(), right.as_ref()]);
            }
            _ => rows.push(node),
        }
    }
    let pieced = rows.iter().filter(|row| row.patches().len() > 1).count();
    let what = match (along.x.is_zero(), along.y.is_zero()) {
        (true, _) => "columns",
        (_, true) => "rows",
        _ => "diagonal rows",
    };
    (rows.len() >= 3 && pieced >= 2).then(|| {
        format!(
            "Work in {what}: make the {} {what} first, then join them.",
            rows.len()
        )
    })
}

/// For each strip in the order they are sewn, the way it lies from what was there.
fn sides(tree: &JoinNode) -> Vec<Point> {
    let mut sides = Vec::new();
    let mut node = tree;
    while let JoinNode::Join {
        seam, left, right, ..
    } = node
    {
        let across = {
            let along = seam.vector();
            // Right of the seam: a quarter turn clockwise.
            Point::new(-&along.y, along.x.clone())
        };
        let (rest, side) = match (left.patches().len(), right.patches().len()) {
            (1, 1) => break,
            (_, 1) => (left, across),
            (1, _) => (right, across.scaled(&-Surd::ONE)),
            _ => break,
        };
        sides.push(side);
        node = rest;
    }
    sides.reverse();
    sides
}

fn turn(from: &Point, to: &Point) -> Turn {
    match from.cross(to).cmp(&Surd::ZERO) {
        Ordering::Greater => Turn::Clockwise,
        Ordering::Less => Turn::Counterclockwise,
        Ordering::Equal if from.dot(to).is_positive() => Turn::Same,
        Ordering::Equal => Turn::Opposite,
    }
}
