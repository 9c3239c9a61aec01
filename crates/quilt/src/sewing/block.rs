//! The sewing of one block: its joins in working order, and the steps they make.

use std::collections::BTreeMap;

use super::units::{self, Child, Kinds, Made};
use super::{BlockSewing, Ingredient, Join, Press, Step, size, words};
use crate::block::{Block, JoinNode};
use crate::plan::{BlockId, Plan};

/// How a block is sewn, of which the setting uses so many copies.
pub(super) fn sewn(plan: &Plan, id: BlockId, block: &Block, copies: u32) -> BlockSewing {
    let obstructions = block.joining.obstructions.clone();
    let worked = block
        .joining
        .tree
        .as_ref()
        .and_then(|tree| joins(plan, id, block, tree));
    let (joins, mut steps) = worked.unwrap_or_default();
    for step in &mut steps {
        step.in_all = step.in_block * copies;
    }
    BlockSewing {
        block: id,
        copies,
        joins,
        steps,
        at_least: words::at_least(&obstructions),
        in_words: words::in_words(block, &obstructions),
        obstructions,
    }
}

fn joins(
    plan: &Plan,
    id: BlockId,
    block: &Block,
    tree: &JoinNode,
) -> Option<(Vec<Join>, Vec<Step>)> {
    let made = units::bottom_up(tree);
    let kinds = units::kinds(plan.block(id), block, &made)?;
    let order = WorkingOrder::of(&kinds);
    let joins = order.joins.iter().map(|&join| {
        let made = &made[join];
        let (unit_width, unit_height) = size::unfinished(&kinds.outlines[join], &plan.seam);
        Join {
            left: made.left.patches.to_vec(),
            right: made.right.patches.to_vec(),
            seam: made.seam.clone(),
            // The whole top decides; see `press`.
            press: Press::Open,
            press_reason: "",
            outline: kinds.outlines[join].clone(),
            unit_width,
            unit_height,
            step: order.step[join],
        }
    });
    Some((joins.collect(), steps(block, &made, &order)))
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
            }),
        }
    }
    steps
}
