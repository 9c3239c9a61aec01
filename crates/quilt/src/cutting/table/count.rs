//! How many passes of the blade a cut takes when strips lie on each other.
//!
//! A pass is one run of the blade along the ruler. With at most `L` layers under it,
//! strips that are folded lie `⌊L ⁄ 2⌋` on each other, opened ones `L`:
//!
//! ```text
//!   one piece from each of n strips     ⌈n ⁄ L⌉ passes
//!   a pair from each of n strips        ⌈n ⁄ ⌊L⁄2⌋⌉
//!   m pieces from each                  the sum over the first, second, … of those that
//!                                       have so many
//! ```
//!
//! A strip as long as its cloth is wide lies folded once; where that is still longer than
//! the ruler, twice if the layers allow it, else the ruler is moved along.
//!
//! # Sources
//!
//! Folding once and again, and both folds parallel: common rotary cutting instructions.
//! At most four strips on each other for triangles, two or four layers with the usual
//! blade of 45 mm, a ruler of 6 by 24 inches: the same; see `docs/cutting-table.md`.

use super::groups::{Lot, Mode};

/// Length of the long ruler, inches.
pub(super) const RULER: f64 = 24.0;

/// How many layers a strip lies in when it is cut from cloth so wide (inches).
pub(super) fn fold(width: f64, layers: u32) -> u32 {
    if layers >= 4 && width / 2.0 > RULER {
        4
    } else if layers >= 2 {
        2
    } else {
        1
    }
}

/// Passes along a cut so long (inches) through cloth folded so many times.
pub(super) fn along(length: f64, fold: u32) -> u32 {
    ((length / f64::from(fold) / RULER - 1e-9).ceil() as u32).max(1)
}

/// Passes that take `each` from every strip (or cloth), so many of which lie on each other.
pub(super) fn rounds(each: &[u32], stack: u32) -> u32 {
    let most = each.iter().copied().max().unwrap_or(0);
    (1..=most)
        .map(|round| {
            let have = each.iter().filter(|&&each| each >= round).count() as u32;
            have.div_ceil(stack.max(1))
        })
        .sum()
}

/// Passes that cut so many from each strip.
pub(super) fn crosscuts(each: &[u32], mode: Mode, layers: u32) -> u32 {
    match mode {
        Mode::Whole => 0,
        Mode::Open => rounds(each, layers),
        Mode::Folded(_) => {
            let pairs: Vec<u32> = each.iter().map(|each| each / 2).collect();
            let single: Vec<u32> = each.iter().map(|each| each % 2).collect();
            rounds(&pairs, layers / 2) + rounds(&single, layers)
        }
    }
}

/// For each strip how many pieces of all lots it gives, and whether any come in pairs.
pub(super) fn busy(lots: &[&Lot]) -> Vec<(u32, bool)> {
    let strips = lots.iter().map(|lot| lot.each.len()).max().unwrap_or(0);
    (0..strips)
        .map(|strip| {
            let here = lots
                .iter()
                .map(|lot| lot.each.get(strip).copied().unwrap_or(0));
            here.fold((0, false), |(all, pair), each| {
                (all + each, pair || each > 1)
            })
        })
        .collect()
}

/// Passes that square the ends of all strips that are cross-cut.
pub(super) fn ends(lots: &[&Lot], mode: Mode, layers: u32) -> u32 {
    let busy = busy(lots);
    let cut = busy.iter().filter(|(all, _)| *all > 0).count() as u32;
    match mode {
        Mode::Whole => 0,
        Mode::Open => cut.div_ceil(layers),
        Mode::Folded(_) => {
            let paired = busy.iter().filter(|(_, pair)| *pair).count() as u32;
            paired.div_ceil((layers / 2).max(1)) + (cut - paired).div_ceil(layers)
        }
    }
}

/// Stacks of opened strips that are laid up.
pub(super) fn opened(lots: &[&Lot], mode: Mode, layers: u32) -> u32 {
    match mode {
        Mode::Whole => 0,
        Mode::Open => ends(lots, mode, layers),
        Mode::Folded(_) => {
            let odd: Vec<u32> = (0..busy(lots).len())
                .map(|strip| u32::from(lots.iter().any(|lot| lot.each[strip] % 2 == 1)))
                .collect();
            rounds(&odd, layers)
        }
    }
}
