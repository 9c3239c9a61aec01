//! Taking a unit apart again: which seams have to be unpicked, and in which order.
//!
//! A unit that lies loose takes one seam. One that is sewn into others already takes those
//! seams first, the last sewn first.

use super::{BlockSewing, Ingredient};

/// The steps of which one has to be unpicked to have one unit of `step` in its parts, in
/// the order they are unpicked; `done` says how many units of each step are made. Empty if
/// none of this step is.
///
/// Loose ones are taken before those that are sewn into others, and of several units it
/// may be in the one sewn last.
#[must_use]
pub fn apart(sewn: &BlockSewing, done: &[u32], step: usize) -> Vec<usize> {
    let made = |step: usize| done.get(step).copied().unwrap_or(0);
    let mut way = Vec::new();
    let mut here = step;
    loop {
        if here >= sewn.steps.len() || made(here) == 0 {
            return Vec::new();
        }
        way.push(here);
        let later = here + 1..sewn.steps.len();
        let used: u32 = later
            .clone()
            .map(|later| takes(sewn, later, here) * made(later))
            .sum();
        if used < made(here) {
            break;
        }
        let last = later
            .rev()
            .find(|&later| takes(sewn, later, here) * made(later) > 0);
        let Some(last) = last else { break };
        here = last;
    }
    way.reverse();
    way
}

/// How many units of `step` one unit of `later` is made of.
fn takes(sewn: &BlockSewing, later: usize, step: usize) -> u32 {
    let of = &sewn.steps[later];
    // A seam that closes has the same unit on both sides, once.
    if sewn.joins[of.shown].closes {
        return u32::from(of.left == Ingredient::Unit(step));
    }
    [of.left, of.right]
        .into_iter()
        .map(|side| u32::from(side == Ingredient::Unit(step)))
        .sum()
}
