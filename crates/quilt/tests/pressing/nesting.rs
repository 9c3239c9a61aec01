//! Seams that nest, over the whole top.

use geometry::{Point, Surd};
use quilt::plan::{Draft, LogStyle};
use quilt::sewing::Press;
use quilt::sewing::press::{LUMP, NEST, OPEN, TWIRL};

use super::support::{grid, square_block};
use super::{alone, chequers, plans, set, turned_in_turn, worked};

/// Nine-patches set n by n, all of one colour so that nothing but nesting counts:
/// junctions between blocks 8, 24, 48, 120 for n = 2, 3, 4, 6, computed once by an
/// independent solver. Alike and the same way up all fail; with every other block
/// quarter-turned, or with two press variants, none.
#[test]
fn nine_patches_need_a_turn_or_a_second_variant() {
    for (n, junctions) in [(2, 8), (3, 24), (4, 48), (6, 120)] {
        let alike = worked(&set(chequers(3, [0, 0]), n, plans::one(0)))
            .2
            .pressing;
        assert_eq!(alike.with_one.between, junctions, "{n}");
        assert_eq!(alike.with_one.between_failing, junctions, "{n}: all fail");
        assert_eq!(alike.with_one.inside_failing, 0, "{n}");
        assert_eq!(alike.with_two.failing(), 0, "{n}: two variants");
        assert_eq!(alike.variants, 2);
        assert_eq!(alike.with_one.cost, alike.with_one.at_least, "proved");
        let turned = worked(&set(chequers(3, [0, 0]), n, turned_in_turn(1)))
            .2
            .pressing;
        assert_eq!(
            (turned.with_one.between, turned.with_one.failing()),
            (junctions, 0),
            "{n}"
        );
        assert_eq!(turned.variants, 1);
    }
}

/// "Odd grid set edge to edge: press half the blocks one way and half the opposite,
/// alternating. Even grid: press all the same." (A teaching page on pressing block
/// rows.) The seams within the rows, pressed to the dark: of an even grid they nest with
/// the block above as they are; of an odd grid none do. The long seams between the rows
/// of an even grid nest when every second block, which looks the same, is turned half.
#[test]
fn odd_grids_take_two_variants_and_even_grids_one() {
    for side in 2..=6 {
        let plan = set(chequers(side, [0, 1]), 4, plans::one(0));
        let (blocks, top, sewing) = worked(&plan);
        let block = blocks[0].as_ref().unwrap();
        let press = &sewing.pressing;
        assert_eq!(press.with_two.failing(), 0, "{side}");
        if side % 2 == 0 {
            // Each copy has one row of seam ends at the top and one at the bottom.
            let ends = |join: &&quilt::sewing::Join| {
                let upright = join.seam.vector().x.is_zero();
                let edge = |p: &Point| p.y.is_zero() || p.y == block.drafted.outline.bounds().1.y;
                upright && (edge(&join.seam.a) || edge(&join.seam.b))
            };
            let upright = sewing.blocks[0].joins.iter().filter(ends).count();
            assert_eq!(upright, 2 * (side - 1), "{side}");
            // 4 by 4: 12 places beside, 12 above one another; only the long seams fail.
            let beside = 12 * (side as u32 - 1);
            assert_eq!(press.with_one.between_failing, beside, "{side}");
            assert_eq!(
                press.half_turned.unwrap().failing(),
                0,
                "{side}: all pressed the same"
            );
            for join in &sewing.blocks[0].joins {
                let two = join.left.len() == 1 && join.right.len() == 1;
                assert!(
                    !two || join.press_reason == "towards the darker cloth",
                    "{side}"
                );
            }
        } else {
            assert_eq!(
                press.with_one.between_failing, press.with_one.between,
                "{side}: all fail"
            );
            assert_eq!(press.variants, 2, "{side}");
            let copies = press.blocks[0].copies;
            assert_eq!(copies, [8, 8], "half one way, half the other");
        }
        assert_eq!(top.blocks.len(), press.variant.len());
    }
}

/// The same page: "with sashing or alternate squares: all the same", whether the grid is odd
/// or even.
#[test]
fn with_sashing_or_plain_squares_between_all_are_pressed_the_same() {
    for side in 2..=5 {
        let mut sashed = set(chequers(side, [0, 1]), 4, plans::one(0));
        sashed.setting.sashing = Some(plans::sashing(Surd::int(2), true, true));
        let mut alternate = set(chequers(side, [0, 1]), 4, plans::one(0));
        let mut square = square_block("square", Surd::int(3 * side as i64), grid(&["A"]));
        square = super::clothed(square, &[("A", 1)]);
        alternate.blocks.push(square);
        let cells = [0, 1, 1, 0].map(|block| plans::cell(block, 0));
        alternate.setting.cells = plans::repeat(2, 2, cells.to_vec());
        for (plan, what) in [(sashed, "sashing"), (alternate, "plain squares")] {
            let press = worked(&plan).2.pressing;
            assert_eq!(press.variants, 1, "{side}, {what}");
            assert_eq!(press.with_one.failing(), 0, "{side}, {what}");
            assert_eq!(press.with_one.between, 0, "{side}, {what}: no two meet");
        }
    }
}

/// Every plan is checked against the drawing: what the tally says nests, nests.
#[test]
fn the_tally_is_what_lies_on_the_table() {
    for (block, turn) in [
        (chequers(3, [0, 1]), 0),
        (chequers(4, [0, 1]), 1),
        (
            square_block(
                "shoo",
                Surd::int(9),
                grid(&["B/A A A\\B", "A B A", "B\\A A A/B"]),
            ),
            1,
        ),
        (
            square_block(
                "split",
                Surd::int(12),
                grid(&["A B B A", "B A A B", "B B A A", "A A B B"]),
            ),
            2,
        ),
    ] {
        let plan = set(block, 3, turned_in_turn(turn));
        let (_, top, sewing) = worked(&plan);
        let press = &sewing.pressing;
        let (mut meeting, mut failing) = (0, 0);
        // Every end in the top: where, which way in, which way pressed.
        let mut ends: Vec<(usize, Point, Point, Point)> = Vec::new();
        for (index, placed) in top.blocks.iter().enumerate() {
            let (joins, ways) = (&sewing.blocks[0].joins, &press.blocks[0].ways);
            for (join, ways) in joins.iter().zip(ways) {
                let way = ways[usize::from(press.variant[index])];
                let v = placed.motion.apply_vector(&join.seam.vector());
                let right = Point::new(-&v.y, v.x.clone());
                let pressed = match way {
                    Press::Right => right,
                    Press::Left => -&right,
                    Press::Open => continue,
                };
                let [a, b] = [&join.seam.a, &join.seam.b].map(|p| placed.motion.apply(p));
                ends.push((index, a.clone(), &b - &a, pressed.clone()));
                ends.push((index, b.clone(), &a - &b, pressed));
            }
        }
        for (i, one) in ends.iter().enumerate() {
            for other in ends[i + 1..]
                .iter()
                .filter(|other| other.0 != one.0 && other.1 == one.1)
            {
                if one.2.cross(&other.2).is_zero() && !one.2.dot(&other.2).is_positive() {
                    meeting += 1;
                    failing += u32::from(one.3.dot(&other.3).is_positive());
                }
            }
        }
        let tally = if press.variants == 2 {
            press.with_two
        } else {
            press.with_one
        };
        assert_eq!((meeting, failing), (tally.between, tally.between_failing));
    }
}

#[test]
fn rounds_are_all_pressed_from_the_centre() {
    let draft = Draft::Log {
        rounds: 3,
        centre: Surd::ratio(1, 7),
        style: LogStyle::Around,
    };
    let (_, sewing) = alone(square_block("log", Surd::int(7), draft));
    assert!(sewing.pressing.blocks[0].from_the_centre);
    assert_eq!(sewing.pressing.with_one.all(), 0, "no seam crosses another");
    let (_, nine) = alone(chequers(3, [0, 1]));
    assert!(!nine.pressing.blocks[0].from_the_centre);
}

#[test]
fn a_four_patch_may_be_twirled_and_then_nests_with_every_turn() {
    let (_, sewing) = alone(chequers(2, [0, 1]));
    let press = &sewing.pressing.blocks[0];
    assert_eq!(press.twirl, [2]);
    // Its last seam runs from edge to edge, so untwirled it nests only with some turns.
    assert_eq!(press.not_universal, Some(2));
    let (_, square) = alone(square_block("half", Surd::int(4), grid(&["A/B"])));
    assert_eq!(
        square.pressing.blocks[0].not_universal, None,
        "its ends are corners"
    );
}

/// Rows go in turn one way and the other, and with sashes towards them; both nest.
#[test]
fn rows_nest() {
    let plain = set(chequers(2, [0, 1]), 4, plans::one(0));
    let press = worked(&plain).2.pressing;
    assert_eq!(press.rows, [false, true, false, true]);
    assert_eq!((press.with_two.rows, press.with_two.rows_failing), (9, 0));
    for posts in [false, true] {
        let mut sashed = plain.clone();
        sashed.setting.sashing = Some(plans::sashing(Surd::ONE, posts, true));
        let press = worked(&sashed).2.pressing;
        assert_eq!(press.with_one.between, 0, "sashes keep the blocks apart");
        assert_eq!(press.with_one.rows_failing, 0);
        assert_eq!(press.variants, 1, "all the same");
        assert!(!posts || press.with_one.rows > 0);
    }
}

/// Four-patches turned at random: their last seam runs from edge to edge, so no variants
/// make all of them nest; twirled, all their ends have one sign, and they do. It is done
/// where the crossings saved are worth it, and never makes the plan worse.
#[test]
fn twirling_is_decided_by_what_it_saves() {
    let (mut pays, mut does_not) = (0, 0);
    for turns in [
        [0, 0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 1, 0, 1, 1, 1, 0, 0],
        [0, 1, 1, 0, 0, 1, 1, 1, 0],
        [0, 0, 0, 1, 1, 0, 1, 0, 1],
        [1, 0, 2, 3, 0, 0, 1, 2, 1],
        [2, 1, 1, 0, 3, 1, 0, 0, 2],
    ] {
        let cells = turns.map(|turn| quilt::plan::CellPlan {
            turn,
            ..plans::cell(0, 0)
        });
        let repeat = plans::repeat(3, 3, cells.to_vec());
        let press = worked(&set(chequers(2, [0, 0]), 6, repeat)).2.pressing;
        let best = press.with_one.failing().min(press.with_two.failing());
        assert!(press.as_pressed.failing() <= best, "{turns:?}");
        if press.blocks[0].twirled.is_empty() {
            does_not += 1;
            assert_eq!(press.as_pressed.failing(), best, "{turns:?}");
        } else {
            pays += 1;
            assert_eq!(press.blocks[0].twirled, [2], "{turns:?}");
            assert_eq!(press.as_pressed.failing(), 0, "{turns:?}");
            assert!(
                i64::from(best) * NEST > 36 * TWIRL,
                "{turns:?}: {best} saved"
            );
        }
    }
    assert!(pays > 0 && does_not > 0, "{pays} pay, {does_not} do not");
}

/// Where the corners of four blocks of two diagonals meet, the seam between the rows would
/// fold eight patches to one side, so it is pressed open; four-patches lie flat as they are.
#[test]
fn seams_between_rows_are_opened_where_lumps_lie() {
    let diagonals = square_block("hourglass", Surd::int(6), grid(&["A|B|A|B"]));
    let (_, _, sewing) = worked(&set(diagonals, 3, plans::one(0)));
    assert_eq!(sewing.pressing.between_rows_apart, Some(8));
    let joined = sewing
        .top
        .iter()
        .find(|step| step.text.contains("Join the 3 rows"));
    assert_eq!(
        joined.unwrap().press,
        "Press these seams open: 8 patches meet on them, too many layers for one side."
    );
    let (_, _, plain) = worked(&set(chequers(2, [0, 1]), 3, plans::one(0)));
    assert_eq!(plain.pressing.between_rows_apart, None);
}

/// The last seam of a pinwheel is pressed open because the plan gets cheaper by it.
#[test]
fn a_lump_is_opened_because_it_pays() {
    let pinwheel = square_block("pinwheel", Surd::int(8), grid(&["A\\B B/A", "A/B B\\A"]));
    let (_, sewing) = alone(pinwheel);
    let last = sewing.blocks[0].joins.last().unwrap();
    assert_eq!(last.press, Press::Open);
    const { assert!(LUMP > OPEN, "else a lump would stay") };
    assert!(
        sewing.pressing.blocks[0].opened.is_empty(),
        "not for a crossing"
    );
}
