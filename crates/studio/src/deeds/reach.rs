//! How far a deed goes, counted before it is done.
//!
//! The counts are not guessed: each reach is tried on a copy of the plan, with a cloth of
//! its own, and what looks otherwise afterwards is what it reaches.

use quilt::plan::{Cloth, ClothId, Edit, Plan, Reach, Spot};

use super::{cloth, setting};
use crate::look::{Look, Owner};

/// One step of the four: what it is called, and which patches it reaches.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Reached {
    /// As the form sends it.
    pub(crate) word: &'static str,
    /// For the maker.
    pub(crate) says: String,
    /// The patches, by their number in the picture.
    pub(crate) patches: Vec<usize>,
}

/// How far laying cloth on a patch can go, each reach with the patches it changes. Reaches
/// that come to the same are told once.
pub(crate) fn cloth_reaches(plan: &Plan, look: &Look, patch: usize) -> Vec<Reached> {
    let Some((trial, probe)) = with_probe(plan) else {
        return Vec::new();
    };
    let words = [
        ("here", "in this block".to_owned()),
        ("repeat", "at this place of every repeat".into()),
        ("alike", "in every block like it".into()),
        ("wherever", "wherever this cloth lies".into()),
    ];
    let tried = words.into_iter().filter_map(|(word, says)| {
        let edits = cloth::lay(&trial, look, patch, probe, word).ok()?;
        Some((word, says, tried(&trial, look, &edits)?))
    });
    distinct(tried)
}

/// How far turning a block can go, each reach with the patches of the blocks it turns.
pub(crate) fn turn_reaches(plan: &Plan, look: &Look, block: usize) -> Vec<Reached> {
    let Some((at, name)) = look.top().and_then(|top| {
        let placed = top.blocks.get(block)?;
        let at = setting::spot(placed).ok()?;
        Some((at, &plan.block(placed.block).name))
    }) else {
        return Vec::new();
    };
    let words = [
        ("here", Reach::Here, "this block".to_owned()),
        ("repeat", Reach::Repeat, "this place of every repeat".into()),
        ("alike", Reach::Alike, format!("every “{name}” like it")),
    ];
    let tried = words.into_iter().filter_map(|(word, reach, says)| {
        let patches = turned(plan, look, at, reach)?;
        Some((word, says, patches))
    });
    distinct(tried)
}

fn turned(plan: &Plan, look: &Look, at: Spot, reach: Reach) -> Option<Vec<usize>> {
    let quarters = 1;
    let after = plan
        .with(&Edit::Turn {
            at,
            quarters,
            reach,
        })
        .ok()?;
    let after = Look::of(&after, Some(&look.laid));
    let (before, after) = (look.top()?, after.top()?.clone());
    let pairs = before.blocks.iter().zip(&after.blocks).enumerate();
    let other = pairs.filter(|(_, (was, is))| was.turn != is.turn);
    Some(
        other
            .flat_map(|(block, _)| look.patches_of(block))
            .collect(),
    )
}

fn distinct(tried: impl Iterator<Item = (&'static str, String, Vec<usize>)>) -> Vec<Reached> {
    let mut out: Vec<Reached> = Vec::new();
    for (word, says, patches) in tried {
        let known = out.iter().any(|reached| reached.patches == patches);
        if !known && !patches.is_empty() {
            out.push(Reached {
                word,
                says,
                patches,
            });
        }
    }
    out
}

fn tried(plan: &Plan, look: &Look, edits: &[Edit]) -> Option<Vec<usize>> {
    let mut after = plan.clone();
    for edit in edits {
        after = after.with(edit).ok()?;
    }
    let changed = Look::of(&after, Some(&look.laid)).changed_since(look)?;
    Some(changed.into_iter().map(|(patch, _)| patch).collect())
}

/// The plan with one cloth more, that lies nowhere.
fn with_probe(plan: &Plan) -> Option<(Plan, ClothId)> {
    let like = plan.cloths.first()?;
    let key = cloth::unlike("probe", |key| plan.cloths.iter().any(|c| c.key == key));
    let probe = Cloth {
        key,
        ..like.clone()
    };
    let plan = plan.with(&Edit::AddCloth(probe)).ok()?;
    let last = ClothId(plan.cloths.len() - 1);
    Some((plan, last))
}

/// The maker's name of the place a patch belongs to, or what the part is.
pub(crate) fn place_name(plan: &Plan, look: &Look, patch: usize) -> String {
    match (look.owner(patch), look.top()) {
        (Some(Owner::Part(part)), Some(top)) => {
            quilt::cutting::use_name(&quilt::cutting::Use::Part(top.parts[part].kind))
        }
        (Some(Owner::Patch(block, patch)), Some(top)) => {
            let placed = &top.blocks[block];
            let place = look
                .block(placed)
                .and_then(|block| block.patches[patch].place);
            place.map_or_else(
                || "a patch without a place".into(),
                |place| format!("“{}”", plan.block(placed.block).places[place].name),
            )
        }
        _ => "nothing".into(),
    }
}
