//! The seams of the top outside its blocks: pressed in the one plan, and how thick it gets
//! where they meet.

use geometry::Surd;
use quilt::plan::{ClothId, Corner, Plan};
use quilt::results;
use quilt::sewing::press::{Group, Tally};
use quilt::sewing::{Sewing, TOO_THICK};

use super::support::{grid, square_block};
use super::{chequers, clothed, plans, set, worked};

/// A block of one patch in this cloth.
fn plain_block(side: i64, cloth: usize) -> quilt::plan::BlockPlan {
    clothed(
        square_block("plain", Surd::int(side), grid(&["A"])),
        &[("A", cloth)],
    )
}

fn proved(tally: &Tally) -> bool {
    tally.cost == tally.at_least
}

fn yes(sewing: &Sewing, group: Group) -> bool {
    sewing.pressing.of(group).unwrap().yes
}

/// With sashing and posts, pieced blocks: towards the sashes is not a rule of the program
/// but what the plan comes to, and no plan costs less. Every corner of a post nests.
#[test]
fn sashes_take_the_seams_of_pieced_blocks() {
    let mut plan = set(chequers(3, [0, 1]), 3, plans::one(0));
    plan.setting.sashing = Some(plans::sashing(Surd::int(2), true, true));
    let (_, top, sewing) = worked(&plan);
    let press = &sewing.pressing;
    assert!(proved(&press.as_pressed), "no plan costs less");
    // 3 by 3 blocks with sashing outside as well: 4 by 4 posts, each with corners on the
    // seams beside it: 2 on each of the 6 long seams for each of the 4 posts' sides.
    assert!(press.as_pressed.rows > 0);
    assert_eq!(press.as_pressed.rows_failing, 0, "posts nest");
    for (index, of) in press.top.iter().enumerate() {
        if let Group::Row(row) = of.group {
            assert!(of.yes, "row {row} goes to its sashes ({index})");
        }
    }
    let steps: Vec<&str> = sewing.top.iter().map(|step| step.press.as_str()).collect();
    assert!(
        steps[0].starts_with("Press the seams towards the sashes: away from the seams"),
        "{steps:?}"
    );
    assert!(
        steps
            .last()
            .unwrap()
            .starts_with("Press towards the sash rows: away from the seams"),
        "{steps:?}"
    );
    assert_eq!(top.blocks.len(), 9);
}

/// Plain dark blocks between pale sashes: nothing runs into the seams, and the dark allowance
/// would show through the sash. So the seams go to the blocks; the posts nest all the same.
#[test]
fn pale_sashes_do_not_take_the_seams_of_dark_blocks() {
    let mut plan = set(plain_block(6, 0), 3, plans::one(0));
    let mut sashing = plans::sashing(Surd::int(2), true, false);
    sashing.cloth = ClothId(1);
    sashing.posts = Some(ClothId(0));
    plan.setting.sashing = Some(sashing);
    let (_, _, sewing) = worked(&plan);
    let press = &sewing.pressing;
    assert!(proved(&press.as_pressed));
    assert_eq!(press.as_pressed.rows_failing, 0);
    let first = press.of(Group::Row(0)).unwrap();
    assert!(!first.yes);
    assert_eq!(first.reason, "towards the darker cloth");
    let said = &sewing.top[0].press;
    assert!(
        said.contains("away from the sashes: towards the darker cloth"),
        "{said}"
    );
}

/// The seam of a border's side and that of its corner square lie on one line under the seam
/// of the top or bottom strip, and nest only pressed opposite ways.
#[test]
fn corner_squares_nest_with_the_seams_of_the_sides() {
    for pieced in [false, true] {
        let block = if pieced {
            chequers(4, [0, 1])
        } else {
            plain_block(6, 0)
        };
        let mut plan = set(block, 2, plans::one(0));
        plan.borders = vec![plans::border(Surd::int(3), Corner::Squares(ClothId(0)))];
        let (_, _, sewing) = worked(&plan);
        let press = &sewing.pressing;
        assert!(proved(&press.as_pressed));
        // Towards the border on the left is leftwards; towards the strip rightwards.
        assert_eq!(
            yes(&sewing, Group::Sides(0)),
            yes(&sewing, Group::Squares(0)),
            "{pieced}: opposite ways"
        );
        if pieced {
            assert!(yes(&sewing, Group::Sides(0)), "{:?}", press.top);
        }
        let said = &sewing.top.last().unwrap().press;
        assert!(said.contains("corner squares towards the"), "{said}");
    }
}

/// Four plain squares are a four-patch whatever they are called: nested 7 layers, with the
/// long seam open 6 (the counts of `layers`).
#[test]
fn four_corners_are_as_thick_as_a_four_patch() {
    let mut plan = set(plain_block(6, 0), 2, plans::one(0));
    let (_, _, sewing) = worked(&plan);
    let layers = &sewing.layers;
    assert_eq!(layers.points.len(), 1);
    assert_eq!((layers.most(), layers.thickest_apart), (7, Some(6)));
    assert_eq!(
        layers.in_words.as_deref(),
        Some(
            "Thickest where blocks meet: 7 layers at the bottom right corner of block 1 of row 1. \
             With the long seams between the rows pressed open it would be 6."
        )
    );
    // The same at every post, and where border squares meet the sides.
    plan.setting.sashing = Some(plans::sashing(Surd::int(2), true, false));
    plan.borders = vec![plans::border(Surd::int(3), Corner::Squares(ClothId(0)))];
    let (_, _, sewing) = worked(&plan);
    let layers: Vec<usize> = sewing
        .layers
        .points
        .iter()
        .map(|point| point.layers)
        .collect();
    // One post with four corners, and four corners of the border.
    assert_eq!(layers, [7; 8]);
}

/// Junctions that look alike are folded once: each is as thick as when it is the only one.
#[test]
fn like_junctions_are_alike() {
    for side in [2, 3] {
        let (_, _, small) = worked(&set(chequers(side, [0, 1]), 2, plans::one(0)));
        let (_, _, large) = worked(&set(chequers(side, [0, 1]), 4, plans::one(0)));
        let most = |sewing: &Sewing| sewing.layers.most();
        assert!(most(&large) >= 7, "{side}");
        // The four blocks in the middle of the large one are pressed as the small one's, or
        // the other way round.
        assert!(most(&large) >= most(&small), "{side}");
    }
}

/// Eight points on each corner, pressed open between the rows: told, and what it would take.
#[test]
fn a_lump_between_blocks_is_told() {
    let diagonals = square_block("hourglass", Surd::int(6), grid(&["A|B|A|B"]));
    let (_, _, sewing) = worked(&set(diagonals, 3, plans::one(0)));
    let words = sewing.layers.in_words.as_deref().unwrap();
    assert!(words.contains("pressed open already"), "{words}");
    assert_eq!(sewing.layers.thickest_apart, None);
}

/// Every demo: nothing outside the blocks fails to nest that can, and the thickness is told.
#[test]
fn the_demos_have_one_plan() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    for name in [
        "harbour-lights",
        "orchard-at-dusk",
        "night-ferry",
        "saltmarsh",
        "honeycomb-steps",
        "whirligig-pier",
    ] {
        let text = std::fs::read_to_string(folder.join(format!("{name}.toml"))).unwrap();
        let plan: Plan = planfile::read(name, &text).unwrap();
        let done = results::work_out(&plan, None);
        let sewing = done.sewing.as_ref().unwrap();
        let tally = sewing.pressing.as_pressed;
        println!(
            "{name}: rows {}/{} between {}/{} proved {} | {} points, {:?}",
            tally.rows_failing,
            tally.rows,
            tally.between_failing,
            tally.between,
            proved(&tally),
            sewing.layers.points.len(),
            sewing.layers.in_words
        );
        for step in &sewing.top {
            println!(
                "    {} || {}",
                step.text.split(':').next().unwrap(),
                step.press
            );
        }
        assert_eq!(tally.rows_failing, 0, "{name}");
        assert!(!sewing.layers.points.is_empty(), "{name}");
        let told = done
            .findings
            .iter()
            .any(|finding| finding.text.contains("Thickest where"));
        assert_eq!(told, sewing.layers.most() >= TOO_THICK, "{name}");
    }
}
