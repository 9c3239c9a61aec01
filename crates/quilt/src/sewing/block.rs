//! The sewing of one block: its joins in working order, and the steps they make.

use std::collections::BTreeMap;

use super::units::{self, Child, Kinds, Made};
use super::{
    BlockSewing, Ingredient, Join, Press, SeamKind, Step, course, foundations, size, stops, words,
};
use crate::block::joining::{Cloths, Fewest, Weight, fewest};
use crate::block::{Block, JoinNode};
use crate::plan::{BlockId, Plan};

/// How a block is sewn, of which the setting uses so many copies.
pub(super) fn sewn(plan: &Plan, id: BlockId, block: &Block, copies: u32) -> BlockSewing {
    let obstructions = block.joining.obstructions.clone();
    let Worked {
        tree,
        joins,
        mut steps,
        steps_at_least,
        weight,
        settled,
        course,
    } = worked(plan, id, block).unwrap_or_default();
    for step in &mut steps {
        step.in_all = step.in_block * copies;
    }
    let closing = |kind| {
        let of_kind = joins.iter().filter(|join| join.closes && join.kind == kind);
        u32::try_from(of_kind.count()).unwrap_or(u32::MAX)
    };
    let (partial, set_in) = (closing(SeamKind::Partial), closing(SeamKind::SetIn));
    let at_least = u32::try_from(block.joining.at_least).unwrap_or(u32::MAX);
    BlockSewing {
        block: id,
        copies,
        tree: tree.unwrap_or_else(|| block.joining.tree.clone()),
        joins,
        steps,
        partial,
        set_in,
        at_least,
        in_words: words::in_words(block, &obstructions, [partial, set_in], at_least),
        obstructions,
        // The setting says what cloth it takes.
        straight: None,
        course,
        steps_at_least,
        weight,
        settled,
    }
}

/// The joins of a block and what follows from their tree.
#[derive(Default)]
struct Worked {
    tree: Option<JoinNode>,
    joins: Vec<Join>,
    steps: Vec<Step>,
    steps_at_least: usize,
    weight: Weight,
    settled: bool,
    course: Option<String>,
}

fn worked(plan: &Plan, id: BlockId, block: &Block) -> Option<Worked> {
    let by_rule = &block.joining.tree;
    let of_tree = |tree| {
        let made = units::bottom_up(tree);
        Some((units::kinds(plan.block(id), block, &made)?, made, tree))
    };
    let (kinds, made, tree) = of_tree(by_rule)?;
    let fewest = fewer(plan, id, block, &kinds);
    let other = fewest.tree.as_ref().and_then(of_tree);
    // A tree that came back as more kinds than it was counted for does not count.
    let (kinds, made, tree) = match other {
        Some(other) if other.0.different() <= kinds.different() => other,
        _ => (kinds, made, tree),
    };
    let order = WorkingOrder::of(&kinds);
    let joins = order.joins.iter().map(|&join| {
        let made = &made[join];
        let (unit_width, unit_height) = size::unfinished(&kinds.outlines[join], &plan.seam);
        Join {
            left: made.left.patches.to_vec(),
            right: made.right.patches.to_vec(),
            seam: made.seam.clone(),
            kind: stops::kind(made.ends, made.closes),
            ends: made.ends,
            closes: made.closes,
            unit: made.patches.to_vec(),
            // The whole top decides; see `press`.
            press: Press::Open,
            press_reason: "",
            twirled: false,
            outline: kinds.outlines[join].clone(),
            unit_width,
            unit_height,
            step: order.step[join],
        }
    });
    let joins: Vec<Join> = joins.collect();
    let mut steps = steps(block, &made, &order);
    stops::tell(plan, &joins, &mut steps);
    Some(Worked {
        tree: Some(tree.clone()),
        joins,
        steps,
        steps_at_least: fewest.at_least,
        weight: fewest.weight,
        settled: fewest.settled,
        course: match &block.foundation {
            Some(founded) => Some(foundations::divided(founded)),
            None => course::course(tree),
        },
    })
}

/// Looks for a better order. Cloth tells patches apart, so this cannot be settled before
/// the block has its cloth.
fn fewer(plan: &Plan, id: BlockId, block: &Block, kinds: &Kinds) -> Fewest {
    // On foundations the sections settle the order.
    if !block.joining.obstructions.is_empty() || block.foundation.is_some() {
        return Fewest {
            tree: None,
            at_least: 1,
            weight: Weight::default(),
            settled: false,
        };
    }
    let bias = on_the_bias(block);
    let cloths = Cloths {
        same: &units::patch_kinds(plan.block(id), block),
        bias: &bias,
    };
    let in_hand = (&block.joining.tree, kinds.different());
    fewest(&block.drafted, &cloths, in_hand)
}

/// For each edge of the drawing whether the patch on its left and the one on its right has
/// it on the bias.
fn on_the_bias(block: &Block) -> Vec<[bool; 2]> {
    let drawing = &block.drafted.arrangement;
    (0..drawing.edges.len())
        .map(|index| {
            let stretch = drawing.segment(index);
            let edge = &drawing.edges[index];
            [edge.left, edge.right].map(|face| {
                face.is_some_and(|face| {
                    let patch = &block.patches[face];
                    let mut sides = patch.outline.edges().enumerate();
                    sides.any(|(side, whole)| {
                        patch.bias.contains(&side)
                            && whole.contains(&stretch.a)
                            && whole.contains(&stretch.b)
                    })
                })
            })
        })
        .collect()
}

/// The joins in the order they are sewn.
///
/// A step is a kind of unit. Steps come in the order in which their first unit is needed
/// when the block is made from the top left, and all units of a step are made at once:
/// whatever the first is made of has been made before, so the same holds for the others.
struct WorkingOrder {
    /// Joins in working order.
    joins: Vec<usize>,
    /// For each join its step.
    step: Vec<usize>,
}

impl WorkingOrder {
    fn of(kinds: &Kinds) -> Self {
        let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
        let step: Vec<usize> = kinds
            .of_join
            .iter()
            .map(|kind| {
                let next = numbers.len();
                *numbers.entry(*kind).or_insert(next)
            })
            .collect();
        let mut joins: Vec<usize> = (0..step.len()).collect();
        joins.sort_by_key(|&join| (step[join], join));
        Self { joins, step }
    }
}

fn steps(block: &Block, made: &[Made<'_>], order: &WorkingOrder) -> Vec<Step> {
    let ingredient = |child: &Child<'_>| match child.join {
        Some(join) => Ingredient::Unit(order.step[join]),
        None => Ingredient::Template(block.patches[child.patches[0]].template),
    };
    let mut steps: Vec<Step> = Vec::new();
    for (place, &join) in order.joins.iter().enumerate() {
        match steps.get_mut(order.step[join]) {
            Some(step) => step.in_block += 1,
            None => steps.push(Step {
                shown: place,
                in_block: 1,
                in_all: 0,
                left: ingredient(&made[join].left),
                right: ingredient(&made[join].right),
                how: None,
            }),
        }
    }
    steps
}

#[cfg(test)]
mod tests;
