//! The drawing board: constructions laid down, half-drawn blocks, copies, joined slips.
#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

#[path = "support/plans.rs"]
mod plans;

use std::collections::BTreeSet;

use geometry::{Point, Segment, Surd};
use plans::plain;
use quilt::block::drafting::constructions::Construction;
use quilt::block::drafting::joined;
use quilt::block::drafting::repeats::{Repeat, repeated};
use quilt::block::drafting::sound::sound;
use quilt::block::{Block, work_out};
use quilt::measure::Ruler;
use quilt::plan::{BlockPlan, ClothId, Draft, Plan};

fn plan() -> Plan {
    plain(Surd::int(6), 2, 2)
}

fn worked(block: &BlockPlan) -> Block {
    let worked = work_out(block, &Surd::ratio(1, 4), &Ruler::eighths());
    worked.unwrap_or_else(|faults| panic!("{:?}: {faults:?}", block.draft))
}

/// The first values, and each pull at its ends and one step on.
fn values_of(kind: Construction) -> Vec<Vec<u32>> {
    let mut all = vec![kind.usual()];
    for (at, pull) in kind.pulls().iter().enumerate() {
        for value in [pull.least, pull.least + 1, pull.most.min(5)] {
            let mut values = kind.usual();
            values[at] = value;
            all.push(kind.within(&values));
        }
    }
    all
}

#[test]
fn every_construction_drafts_at_every_pull_and_every_patch_has_its_place() {
    let plan = plan();
    let old = &plan.blocks[0];
    for kind in Construction::ALL {
        for values in values_of(kind) {
            let at = format!("{kind:?} {values:?}");
            let block = kind.laid(&values, &plan, old);
            let worked = worked(&block);
            let places: BTreeSet<_> = worked.patches.iter().map(|patch| patch.place).collect();
            assert!(!places.contains(&None), "{at}");
            assert_eq!(places.len(), block.places.len(), "{at}");
            let (known, again) = Construction::of(&block.draft).unwrap();
            assert_eq!(known.draft(&again), block.draft, "{at}");
            assert_eq!(kind.laid(&values, &plan, &block), block, "{at}, laid twice");
        }
    }
}

#[test]
fn cloth_stays_where_places_match_and_a_new_place_takes_its_own() {
    let plan = plan();
    let kind = Construction::Nested;
    let mut four = kind.laid(&[4, 0, 0], &plan, &plan.blocks[0]);
    let of = |block: &BlockPlan, name: &str| {
        let place = block.places.iter().find(|place| place.name == name);
        place.unwrap().cloths.clone()
    };
    let at = four
        .places
        .iter()
        .position(|place| place.name == "arm 1 round 1");
    four.places[at.unwrap()].cloths = vec![ClothId(1)];
    let five = kind.laid(&[5, 1, 0], &plan, &four);
    assert_eq!(of(&five, "arm 1 round 1"), [ClothId(1)]);
    // Another construction keeps what has the same name, here the centre.
    let at = four.places.iter().position(|place| place.name == "centre");
    four.places[at.unwrap()].cloths = vec![ClothId(1)];
    let log = Construction::Log.laid(&[3, 1, 0], &plan, &four);
    assert_eq!(of(&log, "centre"), [ClothId(1)]);
    assert_eq!(log.places.len(), 3);
}

#[test]
fn a_height_of_60_degree_shapes_goes_with_them() {
    let plan = plan();
    let hexagon = Construction::Hexagon.laid(&[3], &plan, &plan.blocks[0]);
    assert_eq!(hexagon.height, Surd::root3().times(3));
    let squares = Construction::Squares.laid(&[3, 3], &plan, &hexagon);
    assert_eq!(squares.height, Surd::int(6));
}

fn seam(a: [i64; 2], b: [i64; 2]) -> Segment {
    Segment::new(Point::ints(a[0], a[1]), Point::ints(b[0], b[1])).unwrap()
}

fn by_lines(lines: Vec<Segment>) -> BlockPlan {
    BlockPlan {
        draft: Draft::Lines { lines },
        ..plan().blocks[0].clone()
    }
}

#[test]
fn a_half_drawn_block_shows_the_faces_there_are() {
    // Two halves; a seam that stops in one of them, a stub on it, a square that hangs free.
    let mut lines = vec![
        seam([3, 0], [3, 6]),
        seam([0, 3], [4, 3]),
        seam([4, 3], [4, 2]),
    ];
    lines.extend([
        seam([1, 4], [2, 4]),
        seam([2, 4], [2, 5]),
        seam([2, 5], [1, 5]),
        seam([1, 5], [1, 4]),
    ]);
    let found = sound(&by_lines(lines)).unwrap();
    assert_eq!(worked(&found.block).patches.len(), 3);
    let length: f64 = found.loose.iter().map(Segment::length_f64).sum();
    assert!((length - 6.0).abs() < 1e-9, "{:?}", found.loose);
    // A whole drawing stays as it is.
    let whole = by_lines(vec![seam([3, 0], [3, 6]), seam([0, 3], [6, 3])]);
    let found = sound(&whole).unwrap();
    assert!(found.loose.is_empty());
    assert_eq!(worked(&found.block).patches.len(), 4);
}

#[test]
fn seams_are_copied_into_halves_quarters_and_eighths() {
    let plan = plan();
    let block = &plan.blocks[0];
    let drawn = [seam([0, 0], [3, 1])];
    for (how, wanted) in [
        (Repeat::QuarterTurned, 4),
        (Repeat::QuarterMirrored, 4),
        (Repeat::Across, 2),
        (Repeat::Down, 2),
        (Repeat::Eighth, 8),
    ] {
        let lines = repeated(block, &drawn, how).unwrap();
        assert_eq!(lines.len(), wanted, "{how:?}");
        // Copying again adds nothing.
        assert_eq!(repeated(block, &lines, how).unwrap(), lines, "{how:?}");
    }
    let long = BlockPlan {
        height: Surd::int(8),
        ..block.clone()
    };
    assert!(repeated(&long, &drawn, Repeat::Eighth).is_none());
    assert_eq!(repeated(&long, &drawn, Repeat::Down).unwrap().len(), 2);
}

#[test]
fn the_seams_a_repair_adds_make_a_block_straight() {
    let plan = plan();
    let star = Construction::Star.laid(&[1], &plan, &plan.blocks[0]);
    let before = worked(&star);
    assert!(!before.joining.obstructions.is_empty());
    let repair = before.repair.as_ref().unwrap();
    let edges = &before.drafted.arrangement.edges;
    let inner = (0..edges.len())
        .filter(|&e| edges[e].left.is_some() && edges[e].right.is_some())
        .map(|e| before.drafted.arrangement.segment(e));
    let cuts = repair.cuts.iter().map(|cut| cut.seam.clone());
    let after = worked(&by_lines(inner.chain(cuts).fold(Vec::new(), joined)));
    assert!(after.joining.obstructions.is_empty());
    assert_eq!(
        after.patches.len(),
        before.patches.len() + repair.cuts.len()
    );
}
