//! How long the cutting takes: the demos, and scrap quilts of many cloths.
//!
//! `cargo bench -p quilt --bench cutting`. Compare rows of one run; machines differ.
#![allow(
    clippy::expect_used,
    reason = "a bench stops when its plan is not there"
)]

use std::path::Path;

use divan::{Bencher, black_box};
use geometry::Surd;
use quilt::cutting;
use quilt::plan::{ClothId, Owned, OwnedKind, Plan};
use quilt::results::{self, Results};

const DEMOS: [&str; 3] = ["harbour-lights", "orchard-at-dusk", "night-ferry"];

/// Rows and columns of scrap quilts: about 800, 5,000 and 20,000 patches.
const SIDES: [u32; 3] = [6, 16, 32];

/// Cloths of a scrap quilt.
const SCRAPS: usize = 50;

fn main() {
    divan::main();
}

fn demo(name: &str) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    let text = std::fs::read_to_string(path).expect("the demo plan is there");
    planfile::read(name, &text).expect("the demo plan reads")
}

/// *Low Water*: the Harbour block in fifty cloths, each place of the block in its own turn.
fn low_water(side: u32) -> Plan {
    let mut plan = demo("harbour-lights");
    plan.title = "Low Water".into();
    (plan.setting.rows, plan.setting.columns) = (side, side);
    let first = plan.cloths[0].clone();
    let usual = plan.cloths.len();
    for index in 0..SCRAPS {
        let mut cloth = first.clone();
        cloth.key = format!("scrap-{index}");
        plan.cloths.push(cloth);
    }
    for block in &mut plan.blocks {
        block.colourways.clear();
        for (turn, place) in block.places.iter_mut().enumerate() {
            let cloths = (0..SCRAPS).map(|i| ClothId(usual + (i * (turn + 1) + turn) % SCRAPS));
            place.cloths = cloths.collect();
        }
    }
    for cell in &mut plan.setting.cells.cells {
        cell.colourway = None;
    }
    plan
}

/// Everything the cutting needs, worked out.
fn ready(plan: &Plan) -> Results {
    results::work_out(plan, None)
}

fn cut(plan: &Plan, ready: &Results) -> usize {
    let top = ready.top.as_ref().expect("the plan can be laid out");
    let finishing = ready.finishing.as_ref().expect("the plan can be finished");
    cutting::work_out(black_box(plan), &ready.blocks, top, finishing).len()
}

#[divan::bench(args = DEMOS)]
fn demos(bencher: Bencher, name: &str) {
    let plan = demo(name);
    let ready = ready(&plan);
    bencher.bench(|| cut(&plan, &ready));
}

/// The same with two fat quarters and a half yard of every cloth on the shelf.
#[divan::bench(args = DEMOS)]
fn demos_with_cloth_on_the_shelf(bencher: Bencher, name: &str) {
    let mut plan = demo(name);
    for cloth in &mut plan.cloths {
        cloth.supply.owned = vec![
            Owned {
                kind: OwnedKind::FatQuarter,
                count: 2,
                across: Some(Surd::int(21)),
                along: Surd::int(18),
            },
            Owned {
                kind: OwnedKind::Length,
                count: 1,
                across: None,
                along: Surd::int(18),
            },
        ];
    }
    let ready = ready(&plan);
    bencher.bench(|| cut(&plan, &ready));
}

#[divan::bench(args = SIDES)]
fn scrap_quilts_by_side(bencher: Bencher, side: u32) {
    let plan = low_water(side);
    let ready = ready(&plan);
    let patches = ready.top.as_ref().map_or(0, |top| top.patches);
    bencher
        .counter(divan::counter::ItemsCount::new(patches))
        .bench(|| cut(&plan, &ready));
}
