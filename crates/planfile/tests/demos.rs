//! The demo plans can be read and hold what they promise.

use geometry::Surd;
use quilt::plan::{Draft, Kind, Plan, Target};

const DEMOS: [(&str, &str); 6] = [
    (
        "harbour-lights.toml",
        include_str!("../../../examples/harbour-lights.toml"),
    ),
    (
        "orchard-at-dusk.toml",
        include_str!("../../../examples/orchard-at-dusk.toml"),
    ),
    (
        "night-ferry.toml",
        include_str!("../../../examples/night-ferry.toml"),
    ),
    (
        "saltmarsh.toml",
        include_str!("../../../examples/saltmarsh.toml"),
    ),
    (
        "whirligig-pier.toml",
        include_str!("../../../examples/whirligig-pier.toml"),
    ),
    (
        "honeycomb-steps.toml",
        include_str!("../../../examples/honeycomb-steps.toml"),
    ),
];

fn demo(name: &str) -> Plan {
    let (name, text) = DEMOS.iter().find(|d| d.0 == name).expect("a demo");
    planfile::read(name, text)
        .unwrap_or_else(|t| panic!("{}", planfile::render(name, text, &t, false)))
}

#[test]
fn every_patch_of_every_demo_has_a_place() {
    for (name, _) in DEMOS {
        let plan = demo(name);
        for block in &plan.blocks {
            let block = quilt::block::work_out(block, &plan.seam, &plan.ruler).unwrap();
            assert!(block.patches.iter().all(|p| p.place.is_some()), "{name}");
        }
    }
}

#[test]
fn every_cloth_of_every_demo_is_used() {
    for (name, text) in DEMOS {
        for cloth in &demo(name).cloths {
            let uses = text.matches(&format!("\"{}\"", cloth.key)).count();
            assert!(uses > 0, "{name}: {}", cloth.key);
        }
    }
}

#[test]
fn harbour_lights_is_72_in_square_and_brings_the_rust_corners_together() {
    let plan = demo("harbour-lights.toml");
    let borders: Surd = plan.borders.iter().map(|b| b.width.times(2)).sum();
    assert_eq!(
        plan.blocks[0].width.times(6) + borders.clone(),
        Surd::int(72)
    );
    assert_eq!(
        plan.setting.target,
        Some(Target::Size {
            width: Surd::int(72),
            height: Surd::int(72)
        })
    );
    assert!(matches!(
        plan.blocks[0].draft,
        Draft::Nested { rounds: 4, .. }
    ));
    // Arm 1 ends in the corner that lies top left before any turn; corners are counted
    // clockwise from the top left, so a quarter turn adds one. The corner that touches
    // the middle of a group of four is the one opposite the cell's place in the group.
    let middle = |row: usize, column: usize| match (row, column) {
        (0, 0) => 2,
        (0, 1) => 3,
        (1, 0) => 1,
        _ => 0,
    };
    let repeat = &plan.setting.cells;
    assert_eq!((repeat.rows, repeat.columns), (2, 2));
    for row in 0..2 {
        for column in 0..2 {
            let turn = usize::from(repeat.cells[row * 2 + column].turn);
            assert_eq!(turn % 4, middle(row, column), "row {row}, column {column}");
        }
    }
}

#[test]
fn orchard_at_dusk_lays_light_and_dark_in_diamonds() {
    let plan = demo("orchard-at-dusk.toml");
    let repeat = &plan.setting.cells;
    assert_eq!((plan.setting.rows, plan.setting.columns), (8, 6));
    assert_eq!(
        (repeat.rows, repeat.columns),
        (8, 6),
        "the repeat is the whole map"
    );
    // Each block is light top left and dark bottom right before it is turned, so the
    // line between leans one way with an even number of turns and the other way with an
    // odd one. Diamonds lean one way in two opposite quarters of the top and the other
    // way in the other two.
    let turn = |row: usize, column: usize| usize::from(repeat.cells[row * 6 + column].turn);
    for row in 0..8 {
        for column in 0..6 {
            let even = (row < 4) == (column < 3);
            assert_eq!(
                turn(row, column) % 2 == 0,
                even,
                "row {row}, column {column}"
            );
        }
    }
    // Along every seam between two blocks light must meet light and dark dark: that is
    // what makes the bands unbroken. Sides count clockwise from the top.
    let light = |row: usize, column: usize, side: usize| {
        let found = (side + 4 - turn(row, column)) % 4;
        found == 0 || found == 3
    };
    let mut met = [0, 0];
    for row in 0..8 {
        for column in 0..6 {
            let beside = (column < 5).then(|| (1, light(row, column + 1, 3)));
            let below = (row < 7).then(|| (2, light(row + 1, column, 0)));
            for (side, other) in beside.into_iter().chain(below) {
                let own = light(row, column, side);
                assert_eq!(own, other, "row {row}, column {column}, side {side}");
                met[usize::from(own)] += 1;
            }
        }
    }
    assert!(met[0] > 30 && met[1] > 30, "dark and light seams: {met:?}");
}

#[test]
fn night_ferry_stands_on_point_in_two_colourways() {
    let plan = demo("night-ferry.toml");
    let Kind::OnPoint { between, .. } = &plan.setting.kind else {
        panic!("not on point")
    };
    assert_eq!(plan.setting.cells.cells[0].colourway, None);
    assert_eq!(between.cells[0].colourway, Some(0));
    assert!(
        plan.setting
            .sashing
            .as_ref()
            .is_some_and(|s| s.posts.is_some())
    );
    assert_eq!(plan.finishing.sleeve, Some(Surd::int(4)));
}

#[test]
fn saltmarsh_gives_each_of_twelve_students_one_pair_of_squares_and_one_strip_set() {
    use quilt::plan::{UnitKind, Way};
    let plan = demo("saltmarsh.toml");
    assert_eq!(plan.setting.rows * plan.setting.columns, 12);
    let results = quilt::results::work_out(&plan, None);
    let making = results.making.as_ref().unwrap();
    let batch = |kind| making.batches.iter().find(|b| b.kind == kind).unwrap();
    let halves = batch(UnitKind::HalfSquare);
    assert_eq!(halves.recipe().way, Way::EightAtATime);
    assert_eq!((halves.needed, halves.recipe().made), (96, 96));
    assert_eq!(halves.recipe().goes, 12);
    let pairs = batch(UnitKind::Row);
    assert_eq!((pairs.recipe().way, pairs.needed), (Way::StripSet, 192));
    let cloths = results.cutting.as_ref().unwrap();
    let patches = cloths.iter().flat_map(|cut| cut.pieces());
    let single = |p: &&quilt::cutting::Laid| matches!(p.usage, quilt::cutting::Use::Patch(..));
    assert_eq!(
        patches.filter(single).count(),
        0,
        "nobody cuts a single patch"
    );
}

#[test]
fn how_units_are_made_is_read_and_written() {
    use quilt::plan::{UnitKind, Way, Wish};
    let (name, text) = DEMOS[3];
    let settled = "make = \"least cloth\"\nrows = \"strip sets\"\ngeese = \"four at a time\"";
    let text = text.replace("make = \"least work\"", settled);
    let plan = planfile::read(name, &text).unwrap();
    assert_eq!(plan.making.wish, Wish::LeastCloth);
    let wanted = vec![
        (UnitKind::Geese, Way::FourAtATime),
        (UnitKind::Row, Way::StripSet),
    ];
    assert_eq!(plan.making.settled, wanted);
    let again = planfile::read(name, &planfile::write(&plan)).unwrap();
    assert_eq!(again.making, plan.making);
    let wrong = text.replace("\"strip sets\"", "\"eight at a time\"");
    let troubles = planfile::read(name, &wrong).unwrap_err();
    assert_eq!(troubles.len(), 1, "a row has no such way");
}

#[test]
fn whirligig_pier_takes_one_partial_seam_and_its_boards_go_round() {
    let plan = demo("whirligig-pier.toml");
    let results = quilt::results::work_out(&plan, None);
    let sewing = results.sewing.as_ref().unwrap();
    let framed = &sewing.blocks[0];
    assert_eq!(
        (framed.partial, framed.set_in, framed.at_least),
        (1, 0, 1),
        "one partial seam, and no order takes fewer"
    );
    // The lamps are pieced on foundations: four turned copies of one section.
    assert!(sewing.blocks[1].obstructions.is_empty());
    let lamp = results.blocks[1].as_ref().unwrap();
    let founded = lamp.foundation.as_ref().unwrap();
    assert_eq!((founded.kinds.len(), founded.kinds[0].count), (1, 4));
    assert_eq!(founded.division.at_least, 4);
    // Boards are cut alike and no block has two hands of them.
    let block = results.blocks[0].as_ref().unwrap();
    let board = plan.blocks[0]
        .places
        .iter()
        .position(|place| place.name == "board");
    let boards = block.patches.iter().filter(|patch| patch.place == board);
    let templates: std::collections::BTreeSet<usize> =
        boards.clone().map(|patch| patch.template).collect();
    assert_eq!((boards.count(), templates.len()), (4, 1));
}

#[test]
fn honeycomb_steps_needs_set_in_seams_and_no_more_than_it_must() {
    let plan = demo("honeycomb-steps.toml");
    let results = quilt::results::work_out(&plan, None);
    let sewing = results.sewing.as_ref().unwrap();
    let seams = |name: &str| {
        let at = plan.blocks.iter().position(|block| block.name == name);
        let sewn = &sewing.blocks[at.unwrap()];
        (sewn.partial, sewn.set_in, sewn.at_least)
    };
    // One for each point where three patches meet and no line goes through.
    assert_eq!(seams("Comb"), (0, 0, 0));
    assert_eq!(seams("Step"), (0, 1, 1));
    assert_eq!(seams("Flower"), (0, 6, 6));
    // All diamonds of a star are one shape: 60 degrees, cut from strips.
    let star = plan.blocks.iter().position(|block| block.name == "Flower");
    let star = results.blocks[star.unwrap()].as_ref().unwrap();
    let diamonds: Vec<_> = star.patches[..12]
        .iter()
        .map(|patch| &star.templates[patch.template])
        .collect();
    let shape = |t: &&quilt::block::Template| t.rotary.as_ref().map(|r| r.shape);
    let first = shape(&diamonds[0]);
    assert_eq!(first, Some(quilt::block::RotaryShape::Diamond60));
    assert!(diamonds.iter().all(|t| shape(t) == first));
}
