//! How long the sewing of a top takes to work out: order, pressing, landings, layers.
//!
//! `cargo bench -p quilt --bench pressing`. Compare rows of one run; machines differ.

use std::path::Path;

use divan::{Bencher, black_box};
use quilt::plan::{BlockId, CellPlan, Kind, Plan, Repeat, SettingPlan};
use quilt::{results, sewing};

const DEMOS: [&str; 6] = [
    "harbour-lights",
    "orchard-at-dusk",
    "night-ferry",
    "saltmarsh",
    "whirligig-pier",
    "honeycomb-steps",
];

/// Sides of square tops of the Harbour block (20 patches each): 500, 5,120 and 20,480
/// patches.
const SIDES: [u32; 3] = [5, 16, 32];

fn main() {
    divan::main();
}

fn demo(name: &str) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    let text = std::fs::read_to_string(path).expect("the demo plan is there");
    planfile::read(name, &text).expect("the demo plan reads")
}

/// *Tide Tables*: the Harbour block over and over.
fn tide_tables(side: u32) -> Plan {
    let mut plan = demo("harbour-lights");
    plan.title = "Tide Tables".into();
    plan.setting.rows = side;
    plan.setting.columns = side;
    plan
}

fn sewn(bencher: Bencher, plan: &Plan) {
    let done = results::work_out(plan, None);
    let top = done.top.expect("the demo fits");
    bencher.bench(|| sewing::work_out(black_box(plan), &done.blocks, &top));
}

#[divan::bench(args = DEMOS)]
fn sewing_of_a_demo(bencher: Bencher, name: &str) {
    sewn(bencher, &demo(name));
}

/// Every block of the demos: the demo, which block, and its name.
fn blocks() -> Vec<String> {
    let names = DEMOS.iter().flat_map(|name| {
        let blocks = demo(name).blocks.into_iter().enumerate();
        blocks.map(move |(index, block)| format!("{name} {index} {}", block.name))
    });
    names.collect()
}

/// The sewing of one block by itself: laid once, with nothing around it.
#[divan::bench(args = blocks())]
fn sewing_of_a_block(bencher: Bencher, which: &str) {
    let mut words = which.split(' ');
    let mut plan = demo(words.next().expect("the demo's name comes first"));
    let index: usize = words.next().and_then(|n| n.parse().ok()).expect("a number");
    plan.setting = SettingPlan {
        kind: Kind::Straight,
        rows: 1,
        columns: 1,
        cells: Repeat {
            rows: 1,
            columns: 1,
            cells: vec![CellPlan {
                block: BlockId(index),
                colourway: None,
                turn: 0,
                mirrored: false,
            }],
        },
        pinned: Vec::new(),
        sashing: None,
        target: None,
    };
    plan.borders.clear();
    sewn(bencher, &plan);
}

#[divan::bench(args = SIDES)]
fn sewing_by_size(bencher: Bencher, side: u32) {
    sewn(bencher, &tide_tables(side));
}
