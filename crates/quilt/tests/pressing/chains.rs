//! Chain piecing and minutes.

use std::collections::BTreeSet;

use geometry::Surd;
use quilt::sewing::Ingredient;

use super::{chequers, plans, set, worked};

#[test]
fn chains_make_everything_in_an_order_that_works() {
    let plan = set(chequers(4, [0, 1]), 3, plans::one(0));
    let (_, _, sewing) = worked(&plan);
    let block = &sewing.blocks[0];
    let mut made: BTreeSet<usize> = BTreeSet::new();
    let mut units = 0;
    for chain in &sewing.batches.chains {
        let mut new = Vec::new();
        for run in &chain.runs {
            for (pile, count) in &run.piles {
                if let Ingredient::Unit(step) = pile {
                    assert!(made.contains(step), "made on an earlier level");
                }
                assert!(*count == run.units || *count == 2 * run.units);
            }
            units += run.units as usize;
            new.push(run.step);
        }
        assert_eq!(chain.thread_cuts, 1);
        made.extend(new);
    }
    assert_eq!(units, block.joins.len() * 9);
    assert_eq!(made.len(), block.steps.len());
    let seam: f64 = sewing
        .batches
        .chains
        .iter()
        .flat_map(|c| &c.runs)
        .map(|r| r.seam)
        .sum();
    let inner: f64 = block.joins.iter().map(|join| join.seam.length_f64()).sum();
    assert!((seam - 9.0 * inner).abs() < 1e-6);
}

#[test]
fn minutes_follow_the_makers_rates() {
    let mut plan = set(chequers(2, [0, 1]), 2, plans::one(0));
    let usual = worked(&plan).2.batches;
    // Twelve seams: 8 of 3 in and 4 of 6 in, each of these with one crossing.
    let seconds = 12.0 * 16.0 + 48.0 / 40.0 * 60.0 + 4.0 * 6.0;
    assert!(
        (usual.block_minutes - seconds / 60.0).abs() < 1e-9,
        "{usual:?}"
    );
    plan.sewing.rates.sew = Surd::int(80);
    let faster = worked(&plan).2.batches;
    assert!((usual.block_minutes - faster.block_minutes - 0.6).abs() < 1e-9);
    assert!(faster.top_minutes > 0.0 && faster.top_minutes < usual.top_minutes);
}

/// The seams of each step of the top are as long as the pieces they join, whatever the step
/// is called: seams in a row of sashes are as short as the sash is wide.
#[test]
fn minutes_of_the_top_go_by_the_length_of_its_seams() {
    let mut plan = set(chequers(2, [0, 1]), 3, plans::one(0));
    plan.setting.sashing = Some(plans::sashing(Surd::int(2), true, false));
    let (_, _, sewing) = worked(&plan);
    let seams: Vec<(u32, f64)> = sewing
        .top
        .iter()
        .map(|step| (step.seams, step.seam.to_f64()))
        .collect();
    // Three rows of blocks 6 in high, two rows of sashes 2 in wide, then across all.
    assert_eq!(seams, [(12, 6.5), (8, 2.5), (4, 22.5)]);
    let seconds: f64 = seams
        .iter()
        .map(|&(count, long)| {
            f64::from(count) * (16.0 + long / 40.0 * 60.0 + 6.0 * (long / 8.0).ceil())
        })
        .sum();
    assert!((sewing.batches.top_minutes - seconds / 60.0).abs() < 1e-9);
}
