//! Foundations are pieced by a simulator, and rough sizes held against sums by hand.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "support/plans.rs"]
mod plans;
#[path = "support/simulator.rs"]
mod simulator;
mod support;

use std::collections::BTreeSet;
use std::sync::Arc;

use geometry::{Point, Segment, Surd, turn_of};
use quilt::block::foundation::{Founded, section_letter};
use quilt::block::{self, Block};
use quilt::measure::{Rounding, Ruler};
use quilt::plan::{Arm, BlockPlan, Centre, Draft, LogStyle};
use quilt::sewing::{self, BlockSewing, Press};
use simulator::sew;
use support::{grid, quarter, sized_block, square_block, straight_blocks, worked};

fn founded(mut plan: BlockPlan) -> (BlockPlan, Block) {
    plan.foundation = true;
    let block = worked(&plan);
    (plan, block)
}

/// One copy of a block, sewn.
fn alone(plan: &BlockPlan, block: &Block) -> BlockSewing {
    let mut quilt = plans::plain(plan.width.clone(), 1, 1);
    quilt.blocks = vec![plan.clone()];
    let top = quilt::setting::work_out(&quilt, &[block.patches.len()]).expect("one block fits");
    let blocks = vec![Some(Arc::new(block.clone()))];
    let sewing = sewing::work_out(&quilt, &blocks, &top);
    sewing.blocks.into_iter().next().expect("one block")
}

fn lines(side: i64, ends: &[[i64; 4]]) -> BlockPlan {
    let line = |&[ax, ay, bx, by]: &[i64; 4]| {
        Segment::new(Point::ints(ax, ay), Point::ints(bx, by)).unwrap()
    };
    let lines = ends.iter().map(line).collect();
    square_block("lines", Surd::int(side), Draft::Lines { lines })
}

/// Four quarters, each with a long point into the block's corner: turned copies of one
/// section.
fn lamp() -> BlockPlan {
    lines(
        12,
        &[
            [6, 0, 6, 12],
            [0, 6, 12, 6],
            [0, 0, 6, 2],
            [0, 0, 2, 6],
            [12, 0, 6, 2],
            [12, 0, 10, 6],
            [12, 12, 10, 6],
            [12, 12, 6, 10],
            [0, 12, 6, 10],
            [0, 12, 2, 6],
        ],
    )
}

fn log() -> BlockPlan {
    let draft = Draft::Log {
        rounds: 3,
        centre: Surd::ratio(1, 7),
        style: LogStyle::Around,
    };
    square_block("log strips", Surd::int(7), draft)
}

fn many() -> Vec<BlockPlan> {
    let nested = Draft::Nested {
        rounds: 3,
        centre: Centre::FourPatch,
        twist: Arm::Clockwise,
    };
    let mut all: Vec<BlockPlan> = straight_blocks()
        .into_iter()
        .map(|(plan, _)| plan)
        .collect();
    all.extend([
        lamp(),
        log(),
        square_block("nested", Surd::int(8), nested),
        square_block("split star", Surd::int(12), Draft::Star { split: true }),
        lines(8, &[[0, 3, 8, 1], [0, 5, 8, 7], [2, 0, 1, 8]]),
    ]);
    all
}

/// How far a point is from a patch; 0 inside it.
fn distance(p: [f64; 2], ring: &[[f64; 2]]) -> f64 {
    let n = ring.len();
    let mut inside = true;
    let mut near = f64::INFINITY;
    for i in 0..n {
        let ([ax, ay], [bx, by]) = (ring[i], ring[(i + 1) % n]);
        let (dx, dy) = (bx - ax, by - ay);
        inside &= dx * (p[1] - ay) - dy * (p[0] - ax) >= 0.0;
        let t = ((p[0] - ax) * dx + (p[1] - ay) * dy) / (dx * dx + dy * dy);
        let t = t.clamp(0.0, 1.0);
        near = near.min((p[0] - ax - t * dx).hypot(p[1] - ay - t * dy));
    }
    if inside { 0.0 } else { near }
}

fn ring(points: &[Point]) -> Vec<[f64; 2]> {
    points.iter().map(Point::to_f64).collect()
}

/// How far inside a convex outline a point lies; negative outside.
fn depth(p: [f64; 2], ring: &[[f64; 2]]) -> f64 {
    let n = ring.len();
    (0..n)
        .map(|i| {
            let ([ax, ay], [bx, by]) = (ring[i], ring[(i + 1) % n]);
            let (dx, dy) = (bx - ax, by - ay);
            (dx * (p[1] - ay) - dy * (p[0] - ax)) / dx.hypot(dy)
        })
        .fold(f64::INFINITY, f64::min)
}

/// Pieces one section: each piece in order along its printed line, which must run from edge
/// to edge of what is there, all of that on one side and the new patch on the other; in the
/// end the pieces cover the section.
fn piece(block: &Block, patches: &[usize], seams: &[Segment]) -> Result<(), String> {
    let drawing = &block.drafted.arrangement;
    let face = |patch: usize| drawing.faces[patch].polygon.without_straight_corners();
    let mut there = vec![patches[0]];
    for (&new, seam) in patches[1..].iter().zip(seams) {
        let side = |patch: usize| -> BTreeSet<std::cmp::Ordering> {
            let of = face(patch);
            let sides = of.points().iter().map(|p| turn_of(&seam.a, &seam.b, p));
            sides.filter(|side| side.is_ne()).collect()
        };
        let own = side(new);
        if own.len() != 1 {
            return Err(format!("the line runs through patch {new}"));
        }
        let mut along = Surd::ZERO;
        for &old in &there {
            if side(old).iter().any(|side| own.contains(side)) || side(old).len() != 1 {
                return Err(format!("patch {old} lies across the line of {new}"));
            }
            let touching = drawing.edges.iter().enumerate().filter(|(_, edge)| {
                [edge.left, edge.right] == [Some(old), Some(new)]
                    || [edge.left, edge.right] == [Some(new), Some(old)]
            });
            for (index, _) in touching {
                let edge = drawing.segment(index).vector();
                along += &edge.dot(&seam.vector()).abs();
            }
        }
        if along != seam.vector().length_squared() {
            return Err(format!(
                "patch {new} does not meet the others all along its line"
            ));
        }
        there.push(new);
    }
    Ok(())
}

#[test]
fn every_section_can_be_pieced_in_the_order_of_its_numbers() {
    for plan in many() {
        let (plan, block) = founded(plan);
        let founded = block.foundation.as_ref().expect("it sews straight");
        let mut area = Surd::ZERO;
        for section in &founded.division.sections {
            piece(&block, &section.patches, &section.seams)
                .unwrap_or_else(|why| panic!("{}: {why}", plan.name));
            let patches = section.patches.iter();
            let sum: Surd = patches.map(|&p| block.patches[p].outline.area()).sum();
            area += &sum;
        }
        assert_eq!(area, block.drafted.outline.area(), "{}", plan.name);
        for kind in &founded.kinds {
            let section = &founded.division.sections[kind.shown];
            let patches = section.patches.iter();
            let sum: Surd = patches.map(|&p| block.patches[p].outline.area()).sum();
            assert_eq!(sum, kind.outline.area(), "{}", plan.name);
        }
    }
}

#[test]
fn another_order_is_refused() {
    let (_, block) = founded(log());
    let section = &block.foundation.as_ref().unwrap().division.sections[0];
    let mut refused = 0;
    for at in 1..section.patches.len() - 1 {
        let (mut patches, mut seams) = (section.patches.clone(), section.seams.clone());
        patches.swap(at, at + 1);
        seams.swap(at - 1, at);
        refused += usize::from(piece(&block, &patches, &seams).is_err());
    }
    assert_eq!(
        refused,
        section.patches.len() - 2,
        "no two strips change places"
    );
}

/// The seams of the whole block, sections joined and all, sewn by the simulator of blocks.
#[test]
fn the_whole_block_is_sewn_section_by_section() {
    for plan in many() {
        let (plan, block) = founded(plan);
        let sewn = alone(&plan, &block);
        assert_eq!(sewn.joins.len(), block.patches.len() - 1, "{}", plan.name);
        sew(&block, &sewn.joins).unwrap_or_else(|why| panic!("{}: {why}", plan.name));
        let founded = block.foundation.as_ref().unwrap();
        let inside = |join: &&sewing::Join| {
            let first = join.unit[0];
            join.unit
                .iter()
                .all(|&patch| founded.together(first, patch))
        };
        let within = sewn.joins.iter().filter(inside).count();
        let joins = founded.division.joins.len();
        assert_eq!(within + joins, sewn.joins.len(), "{}", plan.name);
        // A piece is turned over away from those before it, and its seam lies under it.
        for join in sewn.joins.iter().filter(inside) {
            let number = |side: &[usize]| side.iter().map(|&p| founded.of_patch[p].1).max();
            let new = if number(&join.left) > number(&join.right) {
                Press::Left
            } else {
                Press::Right
            };
            assert_eq!(join.press, new, "{}", plan.name);
        }
    }
}

/// Every point that needs cloth lies on the rectangle with the margin to spare, wherever the
/// section lies.
#[test]
fn rectangles_cover_their_patch_and_its_allowance() {
    let allowance = 0.25;
    let margin = Founded::margin().to_f64();
    for plan in many() {
        let (plan, block) = founded(plan);
        let founded = block.foundation.as_ref().unwrap();
        for kind in &founded.kinds {
            for piece in &kind.pieces {
                let patch = ring(block.patches[piece.patch].outline.points());
                let x = patch.iter().map(|p| p[0]);
                let y = patch.iter().map(|p| p[1]);
                let low = [x.clone().fold(9e9, f64::min), y.clone().fold(9e9, f64::min)];
                let high = [x.fold(-9e9, f64::max), y.fold(-9e9, f64::max)];
                for i in 0..=60 {
                    for j in 0..=60 {
                        let at = |axis: usize, k: i32| {
                            let (from, to) = (low[axis] - 0.4, high[axis] + 0.4);
                            from + (to - from) * f64::from(k) / 60.0
                        };
                        let p = [at(0, i), at(1, j)];
                        let needed = distance(p, &patch) <= allowance && depth(p, &kind.cut) >= 0.0;
                        assert!(
                            !needed || depth(p, &piece.lies) >= margin - 1e-6,
                            "{}: {p:?} of patch {}",
                            plan.name,
                            piece.patch
                        );
                    }
                }
                // The corner of the section's cut line beside a corner of the patch.
                let corners = kind.outline.points().iter().zip(&kind.cut);
                for (corner, cut) in corners {
                    if block.patches[piece.patch].outline.points().contains(corner) {
                        assert!(depth(*cut, &piece.lies) >= margin - 1e-6, "{}", plan.name);
                    }
                }
            }
        }
    }
}

/// Sums by hand: the patch, 1/4 in seam and 1/4 in margin on every side, up to 1/8 in.
#[test]
fn rough_sizes() {
    let geese = sized_block("geese", Surd::int(4), Surd::int(2), grid(&["G^S"]));
    let table = [
        // The first strip, 1 × 1 finished: 2 × 2. The others are 1 in longer turn about.
        (
            log(),
            vec![
                "2 2", "2 2", "3 2", "3 2", "4 2", "4 2", "5 2", "5 2", "6 2", "6 2", "7 2", "7 2",
                "8 2",
            ],
        ),
        // A goose with a base of 4 and height 2, laid along its base, and its sky along the
        // slant. From the slant's middle the block's corner of the cut line reaches 5/(2√2)
        // = 1.768 one way and the point √2 + 1/4 the other: 3.432 + 1/2. The square corner
        // of the cut line lies 1.768 from the slant's line: 1.768 + 1/4 + 1/2.
        (geese, vec!["5 3", "4 2 5/8", "4 2 5/8"]),
    ];
    for (plan, sizes) in table {
        let (plan, block) = founded(plan);
        let founded = block.foundation.as_ref().unwrap();
        assert_eq!(founded.kinds.len(), 1, "{}", plan.name);
        let inch = quilt::measure::Measure::Inch;
        let mut found: Vec<String> = founded.kinds[0]
            .pieces
            .iter()
            .map(|piece| {
                format!(
                    "{} {}",
                    inch.number(&piece.along.size),
                    inch.number(&piece.across.size)
                )
            })
            .collect();
        if plan.name == "log strips" {
            found.sort();
        }
        assert_eq!(found, sizes, "{}", plan.name);
    }
    // A point's side from the block's corner to 2 in beside the middle, on a slant of 1:3.
    // Along it √40 = 6.325 and 1/4 in beyond at its far end; at the near end the corner of
    // the cut line reaches 1/√10 = 0.316 back: 6.891 + 1/2. Across it 7/√10 = 2.214 to the
    // other corner of the cut line, and 1/4 in beyond the seam: 2.464 + 1/2.
    let (_, block) = founded(lamp());
    let founded = block.foundation.as_ref().unwrap();
    // The kite in the middle has no side on the block's outside: along its long side of 4 in
    // it would take a square of 6, which is less than along its slants.
    let kite = &founded.kinds[0].pieces[0];
    assert_eq!(
        (kite.along.marks, kite.across.marks),
        (56, 56),
        "6 and 1 in"
    );
    for side in &founded.kinds[0].pieces[1..] {
        assert!(
            (side.along.exact.to_f64() - 7.391).abs() < 1.1e-3,
            "{side:?}"
        );
        assert!(
            (side.across.exact.to_f64() - 2.964).abs() < 1.1e-3,
            "{side:?}"
        );
        assert_eq!((side.along.marks, side.across.marks), (60, 24));
    }
}

#[test]
fn sections_alike_share_a_letter() {
    let (_, block) = founded(lamp());
    let founded_lamp = block.foundation.as_ref().unwrap();
    assert_eq!(founded_lamp.kinds.len(), 1, "turned copies are one kind");
    assert_eq!(founded_lamp.kinds[0].count, 4);
    assert_eq!(founded_lamp.division.at_least, 4);
    // The steps of all four are the same work too.
    let (plan, _) = founded(lamp());
    let sewn = alone(&plan, &block);
    let counts: Vec<u32> = sewn.steps.iter().map(|step| step.in_block).collect();
    assert_eq!(counts, [4, 4, 2, 1]);

    // The same quarter and its mirror image are two kinds.
    let (_, block) = founded(lines(
        8,
        &[
            [4, 0, 4, 8],
            [0, 0, 4, 3],
            [8, 0, 4, 3],
            [0, 4, 8, 4],
            [0, 4, 4, 7],
            [8, 4, 4, 7],
        ],
    ));
    let kinds = &block.foundation.as_ref().unwrap().kinds;
    let counts: Vec<usize> = kinds.iter().map(|kind| kind.count).collect();
    assert_eq!(
        counts.iter().sum::<usize>(),
        block.foundation.as_ref().unwrap().division.sections.len()
    );
    assert!(kinds.len() > 1, "a left and a right hand: {counts:?}");
    assert_eq!(section_letter(27), "AB");
}

#[test]
fn a_patch_by_itself_is_cut_by_its_template() {
    let (_, block) = founded(square_block(
        "nine",
        Surd::int(9),
        grid(&["A < B", "^ ^ C", "D E F"]),
    ));
    let founded = block.foundation.as_ref().unwrap();
    for (patch, of) in block.patches.iter().enumerate() {
        let (section, _) = founded.of_patch[patch];
        let single = founded.division.sections[section].patches.len() == 1;
        assert_eq!(founded.piece(patch).is_none(), single);
        assert!(block.cuts_by(of.template) || !single);
    }
}

#[test]
fn rough_sizes_round_up_whatever_the_plan_says() {
    let mut plan = lamp();
    plan.foundation = true;
    let nearest = Ruler::new(Surd::ratio(1, 2), Rounding::Nearest).unwrap();
    let block = block::work_out(&plan, &quarter(), &nearest).unwrap();
    for kind in &block.foundation.as_ref().unwrap().kinds {
        for piece in &kind.pieces {
            assert!(piece.along.reserve() >= 0.0 && piece.across.reserve() >= 0.0);
        }
    }
}

#[test]
fn a_ring_of_seams_has_no_foundation() {
    let (plan, block) = founded(square_block(
        "framed",
        Surd::int(9),
        grid(&["a < b", "d c ^", "^ e <"]),
    ));
    assert!(block.foundation.is_none());
    let sewn = alone(&plan, &block);
    assert_eq!(sewn.partial, 1, "it is sewn as any block");
}
