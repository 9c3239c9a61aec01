//! How long it takes to list and try the settings of a block of 20 patches.
//!
//! `cargo bench -p quilt --bench setting`. Compare rows of one run; machines differ.

use std::path::Path;

use divan::{Bencher, black_box, counter::ItemsCount};
use quilt::arranging::catalogue::{by_symmetry, every};
use quilt::arranging::choice::{Question, settings};
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::{Motif, Trying};
use quilt::results;

fn main() {
    divan::main();
}

fn motif(like: Likeness) -> Motif {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/harbour-lights.toml");
    let text = std::fs::read_to_string(path).expect("the demo plan is there");
    let plan = planfile::read("harbour-lights", &text).expect("the demo plan reads");
    let results = results::work_out(&plan, None);
    let classes = Classes::of(&plan, like);
    Motif::of(&plan, &results.blocks, &classes, false).expect("the block has pieces")
}

#[divan::bench(args = [2, 3])]
fn catalogue(bencher: Bencher, side: usize) {
    let motif = motif(Likeness::Family);
    bencher.bench(|| every(side, side, black_box(&motif.turns), true));
}

#[divan::bench]
fn catalogue_by_symmetry_of_4(bencher: Bencher) {
    let motif = motif(Likeness::Family);
    bencher.bench(|| by_symmetry(4, black_box(&motif.turns), 4));
}

/// Listed, begun at every place, tried on 6 × 6 blocks, put in order, folded.
#[divan::bench(args = [2, 3], sample_count = 5)]
fn catalogue_with_figures(bencher: Bencher, side: usize) {
    let motif = motif(Likeness::Family);
    bencher.bench(|| settings(black_box(&motif), side, (6, 6), Question::MostAlike));
}

/// Tops of 6 × 6 blocks, one after another.
#[divan::bench(args = [Likeness::Family, Likeness::Cloth])]
fn tops_tried(bencher: Bencher, like: Likeness) {
    let motif = motif(like);
    let mut trying = Trying::new(&motif);
    let mut turn = 0_usize;
    bencher.counter(ItemsCount::new(1_usize)).bench_local(|| {
        turn += 1;
        let at = |r: usize, c: usize| ((r * 7 + c * 3 + turn) % 4) as u8;
        trying
            .top(6, 6, at)
            .iter()
            .map(|score| score.whole)
            .sum::<usize>()
    });
}
