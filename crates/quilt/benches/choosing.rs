//! How long it takes to sort cloths, lay ramps and scatter pools.
//!
//! `cargo bench -p quilt --bench choosing`. Compare rows of one run; machines differ.

use std::fmt::Write as _;

use divan::{Bencher, black_box};
use quilt::cloth::{Values, contacts, ramps, scatter};
use quilt::plan::Plan;
use quilt::results::{self, Results};

fn main() {
    divan::main();
}

/// So many cloths of different colours.
fn cloths(count: u32) -> String {
    let mut text = String::new();
    for i in 0..count {
        let (red, green, blue) = (20 + i * 67 % 220, 30 + i * 41 % 210, 25 + i * 97 % 215);
        let _ = write!(
            text,
            "[cloth.c{i}]\ncolour = \"#{red:02x}{green:02x}{blue:02x}\"\n"
        );
    }
    text
}

/// A plan of one-patch blocks filled from one pool, and of a nested block with a ramp.
fn plan(cloths_in_it: u32, side: u32) -> Plan {
    let text = format!(
        "piecewright = 1\ntitle = \"Orchard scraps\"\n{}[pool.all]\n[ramp.arms]\nblock = \"Harbour\"\narms = [\"arm 1\", \"arm 2\", \"arm 3\", \"arm 4\"]\n\
         [block.One]\nsize = \"3\"\ndraft = \"grid\"\ncells = [\"A\"]\n[block.One.places]\nA = {{ pool = \"all\" }}\n\
         [block.Harbour]\nsize = \"3\"\ndraft = \"nested\"\nrounds = 4\n[block.Harbour.places]\ncentre = \"c0\"\n{}\
         [setting]\nrows = {side}\ncolumns = {side}\ncells = [\"O\"]\n[setting.key]\nO = \"One\"\n",
        cloths(cloths_in_it),
        (1..=4)
            .flat_map(
                |arm| (1..=4).map(move |round| format!("\"arm {arm} round {round}\" = \"c1\"\n"))
            )
            .collect::<String>(),
    );
    planfile::read("bench", &text).expect("the plan reads")
}

fn worked(plan: &Plan) -> Results {
    results::work_out(plan, None)
}

#[divan::bench(args = [30, 300])]
fn sorted_by_value(bencher: Bencher, count: u32) {
    let plan = plan(count, 1);
    bencher.bench(|| Values::of(black_box(&plan.cloths), 3));
}

/// Four arms of four rounds, from one list.
#[divan::bench(args = [30, 300])]
fn a_ramp(bencher: Bencher, count: u32) {
    let plan = plan(count, 2);
    let results = worked(&plan);
    let top = results.top.as_ref().expect("the plan has a top");
    bencher.bench(|| ramps(black_box(&plan), &results.blocks, top));
}

/// Thirty cloths on so many patches to a side.
#[divan::bench(args = [20, 40, 70])]
fn scattered(bencher: Bencher, side: u32) {
    let plan = plan(30, side);
    let results = worked(&plan);
    let top = results.top.as_ref().expect("the plan has a top");
    let touching = contacts(&results.blocks, top);
    bencher.bench(|| scatter(black_box(&plan), &results.blocks, top, &touching));
}

#[divan::bench(args = [20, 70])]
fn what_touches(bencher: Bencher, side: u32) {
    let results = worked(&plan(30, side));
    let top = results.top.as_ref().expect("the plan has a top");
    bencher.bench(|| contacts(black_box(&results.blocks), top));
}
