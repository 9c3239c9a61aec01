//! How long the whole job takes: plan file to report, and to the booklet, for each demo
//! and for tops of growing size.
//!
//! `cargo bench --bench whole`. Compare rows of one run; machines differ.

use std::path::Path;

use divan::{Bencher, black_box};
use piecewright::report;
use quilt::plan::Plan;
use quilt::results;

const DEMOS: [&str; 3] = ["harbour-lights", "orchard-at-dusk", "night-ferry"];

/// Sides of square tops of the Harbour block (20 patches each): 500, 5,120 and 50,000
/// patches.
const SIDES: [u32; 3] = [5, 16, 50];

fn main() {
    divan::main();
}

fn demo_text(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    std::fs::read_to_string(path).expect("the demo plan is there")
}

fn demo(name: &str) -> Plan {
    planfile::read(name, &demo_text(name)).expect("the demo plan reads")
}

/// *Tide Tables*: the Harbour block over and over, for speed and growth.
fn tide_tables(side: u32) -> Plan {
    let mut plan = demo("harbour-lights");
    plan.title = "Tide Tables".into();
    plan.setting.rows = side;
    plan.setting.columns = side;
    plan
}

#[divan::bench(args = DEMOS)]
fn file_to_json_report(bencher: Bencher, name: &str) {
    let text = demo_text(name);
    bencher.bench(|| {
        let plan = planfile::read(name, black_box(&text)).expect("the demo plan reads");
        report::json(&plan, &results::work_out(&plan, None)).expect("the report is written")
    });
}

#[divan::bench(args = SIDES)]
fn plan_to_results_by_size(bencher: Bencher, side: u32) {
    let plan = tide_tables(side);
    bencher.bench(|| results::work_out(black_box(&plan), None));
}

#[divan::bench(args = SIDES)]
fn plan_to_json_report_by_size(bencher: Bencher, side: u32) {
    let plan = tide_tables(side);
    bencher.bench(|| report::json(&plan, &results::work_out(black_box(&plan), None)));
}

/// A change of one cloth's colour after everything has been worked out.
#[divan::bench(args = SIDES)]
fn one_colour_changed(bencher: Bencher, side: u32) {
    let plan = tide_tables(side);
    let before = results::work_out(&plan, None);
    let mut changed = plan;
    changed.cloths[0].colour.red ^= 8;
    bencher.bench(|| results::work_out(black_box(&changed), Some(&before)));
}

#[divan::bench(args = DEMOS, sample_count = 10)]
fn booklet(bencher: Bencher, name: &str) {
    let plan = demo(name);
    let results = results::work_out(&plan, None);
    bencher.bench(|| booklet::pdf(black_box(&plan), &results).expect("the booklet is made"));
}

#[divan::bench(args = SIDES, sample_count = 5)]
fn booklet_by_size(bencher: Bencher, side: u32) {
    let plan = tide_tables(side);
    let results = results::work_out(&plan, None);
    bencher.bench(|| booklet::pdf(black_box(&plan), &results).expect("the booklet is made"));
}
