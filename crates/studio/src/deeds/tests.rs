//! Deeds reach as far as they say, and every plan that comes of one can be kept.

use super::*;

fn demos() -> Vec<(&'static str, Plan)> {
    let demos = crate::DEMOS.iter();
    demos
        .map(|(key, title, text)| (*key, planfile::read(title, text).unwrap()))
        .collect()
}

fn made(plan: &Plan, deed: &Deed) -> Plan {
    let edits = deed.edits.iter();
    edits.fold(plan.clone(), |plan, edit| plan.with(edit).unwrap())
}

/// The plan with one cloth more, which lies nowhere yet.
fn with_cloth(plan: &Plan) -> (Plan, String) {
    let mut cloth = plan.cloths[0].clone();
    cloth.key = "new-cloth".into();
    cloth.name = "New".into();
    let plan = plan.with(&Edit::AddCloth(cloth)).unwrap();
    let last = (plan.cloths.len() - 1).to_string();
    (plan, last)
}

#[test]
fn laying_cloth_reaches_what_was_said() {
    for (name, plan) in demos() {
        let (plan, new) = with_cloth(&plan);
        let look = Look::of(&plan, None);
        for patch in (0..look.items.len()).step_by(look.items.len() / 9 + 1) {
            let reaches = cloth_reaches(&plan, &look, patch);
            assert!(!reaches.is_empty(), "{name}, patch {patch}");
            for reached in reaches {
                let number = patch.to_string();
                let asked = Asked::of(&[
                    ("do", "lay"),
                    ("patch", &number),
                    ("cloth", &new),
                    ("reach", reached.word),
                ]);
                let deed = read(&asked, &plan, &look).unwrap();
                let after = Look::of(&made(&plan, &deed), Some(&look.laid));
                let changed = after.changed_since(&look).unwrap();
                let changed: Vec<usize> = changed.into_iter().map(|(patch, _)| patch).collect();
                assert_eq!(
                    changed, reached.patches,
                    "{name}, {patch}: {}",
                    reached.word
                );
                assert!(changed.contains(&patch));
            }
        }
    }
}

#[test]
fn the_same_cloth_laid_on_two_blocks_makes_one_colourway() {
    let (_, plan) = demos().swap_remove(0);
    let (mut plan, new) = with_cloth(&plan);
    for block in [0, 7] {
        let look = Look::of(&plan, None);
        let patch = look.patches_of(block).start.to_string();
        let fields = [
            ("do", "lay"),
            ("patch", &*patch),
            ("cloth", &*new),
            ("reach", "here"),
        ];
        let deed = read(&Asked::of(&fields), &plan, &look).unwrap();
        plan = made(&plan, &deed);
    }
    assert_eq!(plan.blocks[0].colourways.len(), 1);
}

#[test]
fn what_deeds_make_can_be_kept_and_read_again() {
    let deeds: &[&[(&str, &str)]] = &[
        &[
            ("do", "turn"),
            ("spot", "3"),
            ("quarters", "1"),
            ("reach", "here"),
        ],
        &[("do", "exchange"), ("spot", "0"), ("with", "4")],
        &[("do", "count"), ("rows", "3"), ("columns", "4")],
        &[
            ("do", "sashing"),
            ("width", "1 1/2"),
            ("cloth", "1"),
            ("posts", "0"),
            ("outside", "yes"),
        ],
        &[
            ("do", "add-border"),
            ("width", "2.5"),
            ("cloth", "1"),
            ("corner", "squares"),
            ("squares", "0"),
        ],
        &[("do", "kind"), ("kind", "point"), ("edge", "1")],
        &[
            ("do", "add-cloth"),
            ("name", "Sea “foam” & Ø"),
            ("colour", "#0a7f61"),
            ("print", "stripe"),
        ],
        &[
            ("do", "cloth"),
            ("cloth", "0"),
            ("name", "Other"),
            ("colour", "#ffffff"),
            ("print", "dot"),
            ("second", "#000000"),
        ],
        &[("do", "replace"), ("cloth", "0"), ("to", "1")],
        &[("do", "add-block"), ("name", "Fresh"), ("size", "7 7/8")],
        &[("do", "by-hand"), ("block", "0")],
        &[
            ("do", "construct"),
            ("block", "0"),
            ("kind", "star"),
            ("pulls", "1"),
        ],
        &[
            ("do", "construct"),
            ("block", "0"),
            ("kind", "hexagons"),
            ("pulls", "3-6"),
        ],
        &[("do", "straighten"), ("block", "0")],
        &[("do", "copy-block"), ("block", "0")],
        &[
            ("do", "drawing"),
            ("block", "0"),
            ("text", "<svg><path d='M0 0H8V8H0zM0 0L8 8M8 0 0 8'/></svg>"),
        ],
        &[
            ("do", "rename-block"),
            ("block", "0"),
            ("name", "Renamed \"block\""),
        ],
        &[("do", "size-block"), ("block", "0"), ("size", "9")],
        &[
            ("do", "place"),
            ("block", "0"),
            ("piece", "0"),
            ("place", "new"),
            ("name", "alone"),
        ],
        &[("do", "name"), ("title", "A title"), ("note", "")],
        &[
            ("do", "backing"),
            ("cloth", ""),
            ("overage", "3"),
            ("batting", "2"),
            ("sleeve", "4"),
        ],
        &[
            ("do", "binding"),
            ("cloth", "1"),
            ("width", "2 1/4"),
            ("run", "bias"),
        ],
        &[("do", "measure"), ("measure", "cm")],
        &[("do", "seam"), ("seam", "3/8")],
        &[("do", "paper"), ("paper", "a4")],
    ];
    for (name, plan) in demos() {
        let look = Look::of(&plan, None);
        for fields in deeds {
            // What one demo refuses (a block of another kind, say) another takes.
            let Ok(deed) = read(&Asked::of(fields), &plan, &look) else {
                continue;
            };
            let mut after = plan.clone();
            let whole = deed
                .edits
                .iter()
                .all(|edit| after.with(edit).map(|next| after = next).is_ok());
            if !whole {
                continue;
            }
            let text = planfile::write(&after);
            let again = planfile::read(name, &text);
            assert_eq!(again.as_ref(), Ok(&after), "{name}, {:?}", fields[0]);
        }
    }
}

#[test]
fn a_setting_of_the_wall_is_read_as_it_was_written() {
    for (name, plan) in demos() {
        let cells = &plan.setting.cells;
        assert_eq!(
            repeat_of(&plan, &written(cells)).as_ref(),
            Some(cells),
            "{name}"
        );
    }
    let (_, plan) = demos().swap_remove(0);
    for wrong in [
        "",
        "2x2-0_n_1",
        "1x1-9_n_0",
        "1x1-0_9_0",
        "1x1-0_n_4",
        "9999999999x1-0_n_0",
    ] {
        assert_eq!(repeat_of(&plan, wrong), None, "{wrong}");
    }
}

#[test]
fn seams_make_patches_that_stay_in_their_place() {
    let mut plan = demos().swap_remove(0).1;
    plan.blocks = vec![fresh_block("Plain", geometry::Surd::int(8), ClothId(0))];
    plan.setting.cells = repeat_of(&plan, "1x1-0_n_0").unwrap();
    let draw = |plan: &Plan, from: &str, to: &str| {
        let look = Look::of(plan, None);
        let fields = [
            ("do", "line"),
            ("block", "0"),
            ("division", "4"),
            ("from", from),
            ("to", to),
        ];
        read(&Asked::of(&fields), plan, &look).map(|deed| made(plan, &deed))
    };
    // Corner to corner, and the other way: the dots are numbered row by row, five a row.
    let plan = draw(&plan, "0", "24").unwrap();
    let plan = draw(&plan, "4", "20").unwrap();
    let look = Look::of(&plan, None);
    let block = look.laid.blocks[0].as_deref().unwrap();
    assert_eq!(block.patches.len(), 4);
    assert!(block.patches.iter().all(|patch| patch.place == Some(0)));
    for (from, to, why) in [
        ("0", "24", "already"),
        ("0", "4", "edge"),
        ("3", "3", "two different"),
    ] {
        let refused = draw(&plan, from, to).unwrap_err();
        assert!(refused.contains(why), "{refused}");
    }
    // Where the seams cross there is a dot to go on from.
    let board = Board::of(&plan.blocks[0], 3).unwrap();
    let middle = geometry::Point::ints(4, 4);
    assert!(board.points.contains(&middle));
}

/// A plan with one plain block of 8 in.
fn plain() -> Plan {
    let mut plan = demos().swap_remove(0).1;
    plan.blocks = vec![fresh_block("Plain", geometry::Surd::int(8), ClothId(0))];
    plan.setting.cells = repeat_of(&plan, "1x1-0_n_0").unwrap();
    plan
}

fn asked(plan: &Plan, fields: &[(&str, &str)]) -> Result<(Plan, String), String> {
    let look = Look::of(plan, None);
    let deed = read(&Asked::of(fields), plan, &look)?;
    Ok((made(plan, &deed), deed.says))
}

#[test]
fn a_seam_ends_at_a_true_angle() {
    let plan = plain();
    let board = Board::of(&plan.blocks[0], 4).unwrap();
    let ends = board.ends(&plan.blocks[0], 0);
    let says = |offer: &quilt::block::drafting::points::Offer| offer.says(plan.measure);
    let index = ends
        .iter()
        .position(|offer| says(offer).starts_with("22 1/2°"));
    let end = format!("o{}", index.unwrap());
    let fields = |to| {
        [
            ("do", "line"),
            ("block", "0"),
            ("division", "4"),
            ("from", "0"),
            ("to", to),
        ]
    };
    let (after, _) = asked(&plan, &fields(&end)).unwrap();
    let quilt::plan::Draft::Lines { lines } = &after.blocks[0].draft else {
        panic!("lines");
    };
    let tangent = geometry::Surd::root2() - geometry::Surd::ONE;
    assert_eq!(lines[0].b.y, tangent.times(8));
    let text = planfile::write(&after);
    assert_eq!(planfile::read("kept", &text).as_ref(), Ok(&after));
    for odd in ["o999", "o", "ox", "-1"] {
        assert!(asked(&plan, &fields(odd)).is_err(), "{odd}");
    }
}

#[test]
fn a_half_drawn_block_keeps_its_picture_and_says_what_is_loose() {
    let mut plan = plain();
    for (from, to) in [("2", "22"), ("10", "11")] {
        let fields = [
            ("do", "line"),
            ("block", "0"),
            ("division", "4"),
            ("from", from),
            ("to", to),
        ];
        plan = asked(&plan, &fields).unwrap().0;
    }
    let look = Look::of(&plan, None);
    assert!(look.is_half_drawn());
    let block = look.laid.blocks[0].as_deref().unwrap();
    assert_eq!(block.patches.len(), 2);
    let (all, shown) = (&plan.setting, look.items.iter());
    let blocks = usize::try_from(all.rows * all.columns).unwrap();
    assert!(shown.filter(|item| item.cloth.is_some()).count() >= 2 * blocks);
    // Taken out again, nothing is loose.
    let fields = [("do", "no-line"), ("block", "0"), ("seam", "1")];
    let (plan, _) = asked(&plan, &fields).unwrap();
    assert!(!Look::of(&plan, Some(&look.laid)).is_half_drawn());
}

#[test]
fn the_repair_is_one_gesture_and_leaves_straight_seams() {
    let star = [
        ("do", "construct"),
        ("block", "0"),
        ("kind", "star"),
        ("pulls", "1"),
    ];
    let (mut plan, _) = asked(&plain(), &star).unwrap();
    for by_hand in [false, true] {
        if by_hand {
            plan = asked(&plan, &[("do", "by-hand"), ("block", "0")])
                .unwrap()
                .0;
        }
        let mend = [("do", "straighten"), ("block", "0")];
        let (after, says) = asked(&plan, &mend).unwrap();
        assert!(says.starts_with("Add "), "{says}");
        let look = Look::of(&after, None);
        let block = look.laid.blocks[0].as_deref().unwrap();
        assert!(block.joining.obstructions.is_empty());
        assert!(block.patches.iter().all(|patch| patch.place.is_some()));
        assert!(asked(&after, &mend).is_err());
    }
}

#[test]
fn a_drawing_tells_what_was_left_out() {
    let text = "<svg><rect width='80' height='80'/><path d='M40 0V80M0 40H80M0 0L80 80'/><line x1='13' y1='19' x2='61' y2='33'/><circle r='4'/></svg>";
    let fields = [("do", "drawing"), ("block", "0"), ("text", text)];
    let (after, says) = asked(&plain(), &fields).unwrap();
    assert!(says.contains("3 of 4 lines lie on the grid of 2"), "{says}");
    assert!(
        says.contains("left out: one round 3.70 in across, 2.60 in down"),
        "{says}"
    );
    assert!(says.contains("a curve was passed over"), "{says}");
    let look = Look::of(&after, None);
    assert_eq!(look.laid.blocks[0].as_deref().unwrap().patches.len(), 6);
}

#[test]
fn a_copy_has_a_name_of_its_own() {
    let copy = [("do", "copy-block"), ("block", "0")];
    let (plan, _) = asked(&plain(), &copy).unwrap();
    let (plan, _) = asked(&plan, &copy).unwrap();
    let names: std::collections::BTreeSet<_> = plan.blocks.iter().map(|b| &b.name).collect();
    assert_eq!(names.len(), 3);
}
