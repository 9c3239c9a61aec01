//! Seams along which neighbouring patches blur into one another.
//!
//! What lets shapes be seen is value: two cloths of like lightness melt together from a few
//! steps away, however different their hues are close by.

use std::collections::BTreeMap;

use super::contacts::inside;
use crate::colour::{difference, seen};
use crate::plan::{BlockId, ClothId, Plan};
use crate::results::Blocks;
use crate::setting::{PlacedBlock, Top, cloth_of};

/// Two cloths nearer than this in L\* blend. Our choice, one step of the Munsell scale: no
/// published number was found.
pub const BLENDS: f64 = 10.0;

/// Cloths that are also nearer than this in colour (CIEDE2000) are hard to tell apart even
/// close by. Our choice.
pub const MELTS: f64 = 15.0;

/// Seams inside one block between the same two cloths in the same two places.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Seam {
    /// The block.
    pub block: BlockId,
    /// Indices into its places.
    pub places: [usize; 2],
    /// The cloths that meet, of the first place and of the second.
    pub cloths: [ClothId; 2],
    /// How long they are in the whole top, inches.
    pub length: f64,
    /// How far the cloths are apart in L\*.
    pub steps: f64,
    /// How far they are apart in colour, CIEDE2000.
    pub difference: f64,
}

impl Seam {
    /// Whether the two patches blur from a few steps away.
    #[must_use]
    pub fn blurs(&self) -> bool {
        self.steps < BLENDS
    }

    /// Whether they are hard to tell apart even close by.
    #[must_use]
    pub fn melts(&self) -> bool {
        self.blurs() && self.difference < MELTS
    }
}

/// Every seam between two different cloths inside the blocks, those that blur most first:
/// by how far they fall short, times their length. Where blocks meet one another, borders
/// and sashing are left out.
#[must_use]
pub fn seams(plan: &Plan, blocks: &Blocks, top: &Top) -> Vec<Seam> {
    let mut copies: BTreeMap<(BlockId, Option<usize>), Vec<&PlacedBlock>> = BTreeMap::new();
    for placed in &top.blocks {
        let same = copies.entry((placed.block, placed.colourway)).or_default();
        same.push(placed);
    }
    let mut lengths: BTreeMap<(BlockId, [usize; 2], [ClothId; 2]), f64> = BTreeMap::new();
    for ((id, _), copies) in copies {
        let Some(block) = blocks.get(id.0).and_then(Option::as_deref) else {
            continue;
        };
        for contact in inside(block) {
            let [Some(one), Some(other)] = contact.pieces.map(|p| block.patches[p].place) else {
                continue;
            };
            let [one, other] = [(one, contact.pieces[0]), (other, contact.pieces[1])];
            for (placed, times) in each(plan, &copies, &[one, other]) {
                let worn = |(place, patch)| (place, cloth_of(plan, placed, place, patch));
                let mut pair = [worn(one), worn(other)];
                if pair[0].1 == pair[1].1 {
                    continue;
                }
                pair.sort_unstable();
                let key = (id, pair.map(|p| p.0), pair.map(|p| p.1));
                *lengths.entry(key).or_default() += contact.length * times;
            }
        }
    }
    let lab: Vec<[f64; 3]> = plan.cloths.iter().map(seen).collect();
    let mut seams: Vec<Seam> = lengths
        .into_iter()
        .map(|((block, places, cloths), length)| {
            let [a, b] = cloths.map(|cloth| lab[cloth.0]);
            Seam {
                block,
                places,
                cloths,
                length,
                steps: (a[0] - b[0]).abs(),
                difference: difference(a, b),
            }
        })
        .collect();
    let weight = |seam: &Seam| (BLENDS - seam.steps).max(0.0) * seam.length;
    // Stable: seams of equal weight stay in the order of their places.
    seams.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    seams
}

/// The copies in which two patches may wear something of their own, with how many of the
/// others wear the same: all of them at once where both places have a single cloth.
fn each<'a>(
    plan: &Plan,
    copies: &[&'a PlacedBlock],
    patches: &[(usize, usize); 2],
) -> Vec<(&'a PlacedBlock, f64)> {
    let Some(&first) = copies.first() else {
        return Vec::new();
    };
    let block = plan.block(first.block);
    let way = first.colourway.and_then(|way| block.colourways.get(way));
    let single = |place: usize| {
        let changed = way.and_then(|w| w.places.iter().find(|(p, _)| *p == place));
        changed
            .map_or(&block.places[place].cloths, |(_, cloths)| cloths)
            .len()
            == 1
    };
    if patches.iter().all(|&(place, _)| single(place)) {
        let times = f64::from(u32::try_from(copies.len()).unwrap_or(u32::MAX));
        return vec![(first, times)];
    }
    copies.iter().map(|&placed| (placed, 1.0)).collect()
}
