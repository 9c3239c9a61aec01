//! Where the needle passes, and how the whole top is pressed.
#![allow(clippy::unwrap_used, reason = "tests may")]

#[path = "../support/mod.rs"]
mod support;

#[path = "../support/plans.rs"]
mod plans;

mod chains;
mod errors;
mod landings;
mod layers;
mod nesting;
mod outer;

use std::sync::Arc;

use geometry::Surd;
use quilt::block::{self, Block};
use quilt::plan::{BlockPlan, CellPlan, Claim, ClothId, Colour, PlacePlan, Plan, Repeat};
use quilt::setting::{self, Top};
use quilt::sewing::{self, Sewing};
use support::{grid, square_block};

/// A block with a place for each spot name and the cloth of this number.
fn clothed(mut block: BlockPlan, places: &[(&str, usize)]) -> BlockPlan {
    let place = |&(spot, cloth): &(&str, usize)| PlacePlan {
        name: spot.into(),
        cloths: vec![ClothId(cloth)],
        claims: vec![Claim::Spot(spot.into())],
        centred: false,
    };
    block.places = places.iter().map(place).collect();
    block
}

/// A chequered square of this many patches a side, each 3 in.
fn chequers(side: usize, cloths: [usize; 2]) -> BlockPlan {
    let row = |r: usize| {
        let cells = (0..side).map(|c| if (r + c).is_multiple_of(2) { "A" } else { "B" });
        cells.collect::<Vec<_>>().join(" ")
    };
    let rows: Vec<String> = (0..side).map(row).collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let block = square_block("chequers", Surd::int(3 * side as i64), grid(&rows));
    clothed(block, &[("A", cloths[0]), ("B", cloths[1])])
}

/// Copies of one block, `n` by `n`; cloth 1 is almost white, the others dark.
fn set(block: BlockPlan, n: u32, cells: Repeat) -> Plan {
    let mut plan = plans::plain(block.width.clone(), n, n);
    plan.cloths[1].colour = Colour {
        red: 250,
        green: 250,
        blue: 240,
    };
    plan.blocks = vec![block];
    plan.setting.cells = cells;
    plan
}

/// Every second copy turned by these quarter turns.
fn turned_in_turn(turn: u8) -> Repeat {
    let cells = [0, turn, turn, 0].map(|turn| CellPlan {
        turn,
        ..plans::cell(0, 0)
    });
    plans::repeat(2, 2, cells.to_vec())
}

fn worked(plan: &Plan) -> (Vec<Option<Arc<Block>>>, Top, Sewing) {
    let drafted = |block: &BlockPlan| {
        Some(Arc::new(
            block::work_out(block, &plan.seam, &plan.ruler).unwrap(),
        ))
    };
    let blocks: Vec<_> = plan.blocks.iter().map(drafted).collect();
    let counts: Vec<usize> = blocks.iter().flatten().map(|b| b.patches.len()).collect();
    let top = setting::work_out(plan, &counts).unwrap();
    let sewing = sewing::work_out(plan, &blocks, &top);
    (blocks, top, sewing)
}

/// One copy of a block.
fn alone(block: BlockPlan) -> (Arc<Block>, Sewing) {
    let (blocks, _, sewing) = worked(&set(block, 1, plans::one(0)));
    (blocks[0].clone().unwrap(), sewing)
}
