//! What helps when the hands did otherwise than the plan: a unit that measures wrong, a
//! seam to unpick, a piece to cut again; and how the top lies on a bed.
#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

#[path = "support/plans.rs"]
mod plans;

use geometry::Surd;
use plans::{cell, plain, repeat};
use quilt::cutting::{Room, Use, again};
use quilt::plan::{Bed, BlockId, Claim, Edit, Plan, Refusal, Spot, Target};
use quilt::results::{Results, work_out};
use quilt::setting::{on_bed, one_more};
use quilt::sewing::{Measured, Verdict, apart, measured};

/// Four four-patches across and four down, 6 in each: squares cut 3 1/2, all of one cloth.
fn four_by_four() -> Plan {
    let mut plan = plain(Surd::int(6), 4, 4);
    plan.blocks[0].places[0].claims = vec![Claim::Spot("A".into()), Claim::Spot("B".into())];
    plan
}

fn worked() -> (Plan, Results) {
    let plan = four_by_four();
    let results = work_out(&plan, None);
    (plan, results)
}

fn read(step: usize, found: [Option<Surd>; 2]) -> Option<Measured> {
    let (plan, results) = worked();
    measured(
        &plan,
        &results.blocks,
        results.top.as_deref().unwrap(),
        results.sewing.as_deref().unwrap(),
        (BlockId(0), step),
        [found[0].as_ref(), found[1].as_ref()],
    )
}

#[test]
fn a_measured_unit_tells_which_seam_was_sewn() {
    // Two squares of 3 1/2 should measure 6 1/2; a seam of 3/8 takes 1/4 more.
    let found = read(0, [Some(Surd::ratio(25, 4)), None]).unwrap();
    assert!((found.seam.unwrap() - 0.375).abs() < 1e-9);
    assert_eq!(found.verdict, Verdict::Unpick);
    // One seam across the block, three between four blocks: 4 × 1/4 and 3 × 1/4.
    let block = found.block.unwrap();
    assert!((block[0] + 0.25).abs() < 1e-9, "{block:?}");
    let top = found.top.unwrap();
    assert!((top[0] + 1.75).abs() < 1e-9, "{top:?}");
    assert_eq!(
        found.says,
        [
            "It measures 6 1/4 in along its longest side; it should be 6 1/2 in: 1/4 in too small.",
            "That is a seam of about 3/8 in instead of 1/4 in.",
            "Sewn so throughout, “Four patch” finishes at 5 3/4 in × 5 3/4 in instead of 6 × 6 in.",
            "The whole top would finish at 22 1/4 in × 22 1/4 in instead of 24 × 24 in.",
            "Cutting cannot make it larger: take it apart and sew it again. Sew the next ones 1/8 in further out.",
        ]
    );
}

#[test]
fn what_to_do_follows_from_how_far_it_is_off() {
    for (sixty_fourths, wanted) in [
        (0, Verdict::Keep),
        (1, Verdict::Keep),
        (-1, Verdict::Keep),
        (4, Verdict::Trim),
        (-4, Verdict::Ease),
        (-5, Verdict::Unpick),
    ] {
        let found = Surd::ratio(13, 2) + Surd::ratio(sixty_fourths, 64);
        let found = read(0, [Some(found), None]).unwrap();
        assert_eq!(found.verdict, wanted, "{sixty_fourths}/64");
        assert!(!found.says.is_empty());
    }
}

#[test]
fn across_the_pieces_no_seam_is_told() {
    // The other way the unit is as wide as its squares were cut.
    let found = read(0, [None, Some(Surd::ratio(27, 8))]).unwrap();
    assert_eq!((found.seam, found.block, found.top), (None, None, None));
    assert_eq!(found.verdict, Verdict::Unpick);
    assert_eq!(read(0, [None, None]), None);
    assert_eq!(read(9, [Some(Surd::ONE), None]), None);
}

#[test]
fn a_loose_unit_takes_one_seam_and_one_sewn_in_takes_the_later_ones_first() {
    let (_, results) = worked();
    let sewing = results.sewing.unwrap();
    let sewn = &sewing.blocks[0];
    assert_eq!(sewn.steps.len(), 2, "two squares, then two of those");
    for (done, step, wanted) in [
        ([4, 1], 0, vec![0]),
        ([2, 1], 0, vec![1, 0]),
        ([2, 1], 1, vec![1]),
        ([4, 0], 1, vec![]),
        ([0, 0], 0, vec![]),
    ] {
        assert_eq!(apart(sewn, &done, step), wanted, "{done:?}, {step}");
    }
    assert!(apart(sewn, &[], 7).is_empty());
}

/// 64 squares, 11 to a strip of 40 in: the sixth strip holds 9 and 8 1/2 in are left. It
/// takes 21 in; 22 1/2 are bought.
#[test]
fn a_wrong_piece_is_cut_from_what_is_left_as_long_as_there_is_some() {
    let (plan, results) = worked();
    let cutting = &results.cutting.as_ref().unwrap()[0];
    let usage = Use::Patch(BlockId(0), 0);
    let found = again(&plan, &results.blocks, cutting, &[(usage, 3)]);
    let rooms: Vec<&Room> = found.iter().map(|again| &again.room).collect();
    let end = |eighths| Room::Strip {
        sheet: 0,
        strip: 6,
        left: Surd::ratio(eighths, 8),
    };
    let short = Room::Short {
        by: Surd::int(2),
        buy: Some(Surd::ratio(9, 2)),
    };
    assert_eq!(rooms, [&end(68), &end(40), &short]);
    assert_eq!(
        found[0].says,
        "1 A, 3 1/2 × 3 1/2 in: from what is left of strip 6, 8 1/2 in of “ground”."
    );
    assert_eq!(
        found[2].says,
        "1 A, 3 1/2 × 3 1/2 in: “ground” is 2 in short of it. Buy 1/8 yd more, or cut it from another cloth."
    );
    // What the layout does not have is told, not guessed.
    let other = again(&plan, &results.blocks, cutting, &[(Use::Sleeve, 1)]);
    assert_eq!(other[0].room, Room::Unknown);
}

#[test]
fn what_is_bought_beyond_the_need_serves_too() {
    let mut plan = four_by_four();
    plan.buying.spare = Surd::int(4);
    let results = work_out(&plan, None);
    let cutting = &results.cutting.as_ref().unwrap()[0];
    // 21 and 4 in come in 27: 6 in below the last strip.
    let usage = Use::Patch(BlockId(0), 0);
    let found = again(&plan, &results.blocks, cutting, &[(usage, 14)]);
    let below = found
        .iter()
        .filter(|again| matches!(again.room, Room::Below { .. }));
    assert_eq!(below.count(), 11, "one strip of eleven");
    let last = &found[13].room;
    assert!(matches!(last, Room::Short { .. }), "{last:?}");
}

#[test]
fn the_top_on_a_bed_says_how_far_it_hangs_down() {
    let (plan, results) = worked();
    let top = results.top.as_deref().unwrap();
    assert_eq!(on_bed(&plan, top), None);
    let bed = Bed {
        name: "doll’s".into(),
        width: Surd::int(18),
        length: Surd::int(25),
    };
    let target = Target::Bed {
        bed,
        drop: Surd::int(3),
        tuck: Surd::ONE,
    };
    let plan = plan.with(&Edit::SetTarget(Some(target))).unwrap();
    let found = on_bed(&plan, top).unwrap();
    assert_eq!(
        (found.side.clone(), found.foot.clone()),
        (Surd::int(3), Surd::int(-2))
    );
    assert_eq!(
        found.says,
        "On a doll’s mattress, 18 × 25 in, the top hangs down 3 in at each side and is 2 in short at the foot, 1 in tucked over the pillows; you wish for 3 in."
    );
    let none = Target::Size {
        width: Surd::ZERO,
        height: Surd::ONE,
    };
    let refused = plan.with(&Edit::SetTarget(Some(none)));
    assert!(matches!(refused, Err(Refusal::NoLength(_))));
    // A block more makes it 6 in wider or longer.
    assert_eq!(one_more(&plan).unwrap(), [Surd::int(6), Surd::int(6)]);
}

#[test]
fn a_pinned_block_stays_when_the_repeat_changes() {
    let (plan, _) = worked();
    let at = Spot { row: 1, column: 2 };
    let turned = Edit::SetRepeat(repeat(1, 1, vec![cell(0, 1)]));
    let pinned = plan.with(&Edit::Pin(at)).unwrap();
    let after = pinned.with(&turned).unwrap();
    assert_eq!(after.setting.cell(1, 2).turn, 0);
    assert_eq!(after.setting.cell(1, 1).turn, 1);
    // Pinned twice is pinned once, and let go it takes what the repeat gives.
    assert_eq!(pinned.with(&Edit::Pin(at)).unwrap(), pinned);
    let loose = after.with(&Edit::Unpin(at)).unwrap();
    assert_eq!(loose.setting.cell(1, 2).turn, 1);
    assert!(loose.setting.pinned.is_empty());
    let outside = Spot { row: 9, column: 0 };
    assert_eq!(
        plan.with(&Edit::Pin(outside)),
        Err(Refusal::NoSuchSpot(outside))
    );
}
