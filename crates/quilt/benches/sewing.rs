//! How long the order of seams takes for every block of the demos.
//!
//! `cargo bench -p quilt --bench sewing`. Each row is a demo: all its blocks from the draft
//! to the joining tree, then all of its sewing with the top.

use std::path::Path;

use divan::{Bencher, black_box};
use quilt::block::joining::{foundation, joining};
use quilt::plan::Plan;
use quilt::{results, sewing};

const DEMOS: [&str; 3] = ["harbour-lights", "orchard-at-dusk", "night-ferry"];

fn main() {
    divan::main();
}

fn demo(name: &str) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    let text = std::fs::read_to_string(path).expect("the demo plan is there");
    planfile::read(name, &text).expect("the demo plan reads")
}

#[divan::bench(args = DEMOS)]
fn joining_trees(bencher: Bencher, name: &str) {
    let results = results::work_out(&demo(name), None);
    bencher.bench(|| {
        for block in results.blocks.iter().flatten() {
            black_box(joining(&block.drafted));
        }
    });
}

#[divan::bench(args = DEMOS)]
fn working_order(bencher: Bencher, name: &str) {
    let plan = demo(name);
    let results = results::work_out(&plan, None);
    let top = results.top.as_ref().expect("the demo has a setting");
    bencher.bench(|| black_box(sewing::work_out(&plan, &results.blocks, top)));
}

#[divan::bench(args = DEMOS)]
fn foundation_sections(bencher: Bencher, name: &str) {
    let results = results::work_out(&demo(name), None);
    bencher.bench(|| {
        for block in results.blocks.iter().flatten() {
            black_box(foundation(&block.drafted));
        }
    });
}
