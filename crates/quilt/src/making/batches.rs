//! How many of each unit the quilt needs, told apart by the cloths that go into it.
//!
//! Of units within units the largest that is known counts: a row is made as a row, not
//! as the pair it begins with. Copies of a block in the same cloths are counted, not
//! listed.

use std::collections::BTreeMap;

use geometry::Surd;

use super::units::{self, Known, Shape};
use crate::block::Block;
use crate::cutting::Same;
use crate::plan::{BlockId, ClothId, Plan};
use crate::results::Blocks;
use crate::setting::{self, Top};
use crate::sewing::{BlockSewing, Sewing};

/// Units that are the same work in the same cloths.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Wanted {
    pub(super) block: BlockId,
    pub(super) step: usize,
    pub(super) known: Known,
    /// The cloth of each part; see [`cloths_in`].
    pub(super) cloths: Vec<ClothId>,
    pub(super) needed: u32,
    /// Steps that come about inside one unit, with how many joins of each.
    pub(super) inside: Vec<(usize, u32)>,
    /// The patches all of them are made of.
    pub(super) patches: BTreeMap<(ClothId, Same), u32>,
}

impl Wanted {
    /// The templates of its patches, ascending.
    pub(super) fn templates(&self) -> Vec<usize> {
        let mut templates: Vec<usize> =
            self.patches.keys().map(|(_, same)| same.template).collect();
        templates.sort_unstable();
        templates.dedup();
        templates
    }
}

/// Everything that tells units apart.
type Which = (BlockId, usize, Vec<ClothId>);

/// The units that can be made in several ways, in the order of the work.
pub(super) fn wanted(plan: &Plan, blocks: &Blocks, top: &Top, sewing: &Sewing) -> Vec<Wanted> {
    let mut found: BTreeMap<Which, Wanted> = BTreeMap::new();
    for sewn in &sewing.blocks {
        let Some(block) = blocks.get(sewn.block.0).and_then(Option::as_ref) else {
            continue;
        };
        // On a foundation every patch is sewn by itself.
        if block.foundation.is_some() {
            continue;
        }
        let known: Vec<Option<Known>> = sewn
            .joins
            .iter()
            .map(|join| units::known(block, join))
            .collect();
        if known.iter().all(Option::is_none) {
            continue;
        }
        for (cloths, copies) in copies(plan, block, sewn, top) {
            gather(plan, sewn, (block, &known), (&cloths, copies), &mut found);
        }
    }
    found.into_values().collect()
}

/// The cloths of a block's patches, with how many copies have them so.
fn copies(
    plan: &Plan,
    block: &Block,
    sewn: &BlockSewing,
    top: &Top,
) -> BTreeMap<Vec<Option<ClothId>>, u32> {
    let mut copies = BTreeMap::new();
    for placed in top.blocks.iter().filter(|p| p.block == sewn.block) {
        let patches = block.patches.iter().enumerate();
        let cloths: Vec<Option<ClothId>> = patches
            .map(|(index, patch)| {
                let place = patch.place?;
                Some(setting::cloth_of(plan, placed, place, index))
            })
            .collect();
        *copies.entry(cloths).or_default() += 1;
    }
    copies
}

fn gather(
    plan: &Plan,
    sewn: &BlockSewing,
    (block, known): (&Block, &[Option<Known>]),
    (cloths, copies): (&[Option<ClothId>], u32),
    found: &mut BTreeMap<Which, Wanted>,
) {
    // A piece that shows a motif in its middle is cut by itself.
    let centred = |(patch, cloth): (&crate::block::Patch, &Option<ClothId>)| {
        let of = patch.place.zip(*cloth);
        of.is_some_and(|(place, cloth)| plan.is_centred(sewn.block, place, cloth))
    };
    let mut taken: Vec<bool> = block.patches.iter().zip(cloths).map(centred).collect();
    // Units come before what they are made into, so the largest are met first.
    for (join, known) in sewn.joins.iter().zip(known).rev() {
        let Some(known) = known else { continue };
        let patches: Vec<usize> = join.left.iter().chain(&join.right).copied().collect();
        if patches.iter().any(|&patch| taken[patch]) {
            continue;
        }
        let Some((known, in_it)) = cloths_in(known, cloths) else {
            continue;
        };
        let which = (sewn.block, join.step, in_it.clone());
        let wanted = found.entry(which).or_insert_with(|| Wanted {
            block: sewn.block,
            step: join.step,
            known,
            cloths: in_it,
            needed: 0,
            inside: inside(sewn, &patches),
            patches: BTreeMap::new(),
        });
        wanted.needed += copies;
        for patch in patches {
            taken[patch] = true;
            let of = &block.patches[patch];
            let same = Same {
                block: sewn.block,
                template: of.template,
                mirrored: of.from_template.is_mirrored(),
            };
            if let Some(cloth) = cloths[patch] {
                *wanted.patches.entry((cloth, same)).or_default() += copies;
            }
        }
    }
}

/// The steps whose joins lie within these patches, with how many of each.
fn inside(sewn: &BlockSewing, patches: &[usize]) -> Vec<(usize, u32)> {
    let mut steps: BTreeMap<usize, u32> = BTreeMap::new();
    for join in &sewn.joins {
        let mut parts = join.left.iter().chain(&join.right);
        if parts.all(|patch| patches.contains(patch)) {
            *steps.entry(join.step).or_default() += 1;
        }
    }
    steps.into_iter().collect()
}

/// The unit with its parts in an order that does not depend on how it lies, and their
/// cloths: of a half-square unit or an hourglass both, the lower number first; of geese
/// the goose and the sky; of a row one a part; else the large patch and the corners'.
///
/// `None` where a patch has no cloth, or where the unit is of this kind only with other
/// cloths: an hourglass whose opposite triangles differ and geese in two skies have a
/// left and a right hand, and quick ways make as many of either.
fn cloths_in(known: &Known, cloths: &[Option<ClothId>]) -> Option<(Known, Vec<ClothId>)> {
    let both = |[a, b]: [usize; 2]| Some((cloths[a]?, cloths[b]?));
    let alike = |pair| both(pair).filter(|(a, b)| a == b).map(|(a, _)| a);
    let mut known = known.clone();
    let in_it = match &mut known.shape {
        Shape::HalfSquare { parts, .. } => {
            let (a, b) = both(*parts)?;
            vec![a.min(b), a.max(b)]
        }
        Shape::Hourglass { pairs, .. } => {
            let (a, b) = (alike(pairs[0])?, alike(pairs[1])?);
            vec![a.min(b), a.max(b)]
        }
        Shape::Geese { goose, sky, .. } => vec![cloths[*goose]?, alike(*sky)?],
        Shape::Row { parts, .. } => {
            let seen = |parts: &[(usize, Surd)]| -> Option<Vec<(Surd, ClothId)>> {
                let parts = parts.iter();
                parts
                    .map(|(patch, width)| Some((width.clone(), cloths[*patch]?)))
                    .collect()
            };
            let forwards = seen(parts)?;
            parts.reverse();
            let backwards = seen(parts)?;
            if forwards <= backwards {
                parts.reverse();
            }
            let least = forwards.min(backwards);
            least.into_iter().map(|(_, cloth)| cloth).collect()
        }
        Shape::Corners { main, corners, .. } => {
            let mut all = vec![cloths[*main]?];
            for (patch, _) in corners {
                all.push(cloths[*patch]?);
            }
            all
        }
    };
    Some((known, in_it))
}
