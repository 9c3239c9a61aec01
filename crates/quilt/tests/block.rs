//! Drafts, templates and grain, on blocks of the trade and on random grids.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

mod support;

use geometry::{Point, Surd};
use proptest::prelude::*;
use quilt::block::{self, Block, RotaryShape};
use quilt::measure::Ruler;
use quilt::plan::{Arm, Cell, Centre, Claim, ClothId, Draft, HexagonParts, PlacePlan};
use support::{grid, quarter, sized_block, square_block, straight_blocks, worked};

fn areas_sum(block: &Block) -> bool {
    let sum: Surd = block.patches.iter().map(|patch| patch.outline.area()).sum();
    sum == block.drafted.outline.area()
}

#[test]
fn constructions_cover_the_block_with_the_patches_the_trade_counts() {
    // Piece counts: common practice.
    for (plan, patches) in straight_blocks() {
        let block = worked(&plan);
        assert_eq!(block.patches.len(), patches, "{}", plan.name);
        assert!(areas_sum(&block), "{}", plan.name);
        let cut: usize = block.templates.iter().map(|template| template.count).sum();
        assert_eq!(cut, patches, "{}: every patch has a template", plan.name);
    }
}

#[test]
fn every_patch_is_its_template_moved() {
    for (plan, _) in straight_blocks() {
        let block = worked(&plan);
        for patch in &block.patches {
            let template = &block.templates[patch.template];
            assert!(!patch.from_template.is_mirrored(), "{}", plan.name);
            let moved = template.finished.moved(&patch.from_template);
            assert_eq!(moved.area(), patch.outline.area());
            for point in moved.points() {
                assert!(patch.outline.points().contains(point), "{}", plan.name);
            }
        }
    }
}

#[test]
fn no_bias_on_the_outside_where_the_shape_allows() {
    for (plan, _) in straight_blocks() {
        let block = worked(&plan);
        let outside = &block.drafted.arrangement;
        for (index, patch) in block.patches.iter().enumerate() {
            let outer: Vec<_> = outside
                .edges
                .iter()
                .enumerate()
                .filter(|(_, e)| {
                    (e.left == Some(index) && e.right.is_none())
                        || (e.right == Some(index) && e.left.is_none())
                })
                .map(|(e, _)| outside.segment(e))
                .collect();
            for edge in patch.outline.edges().enumerate() {
                let on_outside = outer
                    .iter()
                    .any(|o| edge.1.contains(&o.a) && edge.1.contains(&o.b));
                assert!(
                    !(on_outside && patch.bias.contains(&edge.0)),
                    "{}: patch {index} has bias outside",
                    plan.name
                );
            }
        }
    }
}

#[test]
fn templates_are_few_and_lettered_from_the_centre() {
    let cases = [
        // name, distinct templates: common practice for cutting these blocks
        ("four patch", 1),
        ("nine patch", 1),
        ("pinwheel", 1),
        ("hourglass", 1),
        ("shoo fly", 2),
        ("friendship star", 2),
        ("star of hourglasses", 2),
        ("rail", 1),
        ("geese", 2),
        ("nested squares", 5),
        ("log strips", 7),
        ("split star", 3),
    ];
    let blocks = straight_blocks();
    for (name, templates) in cases {
        let (plan, _) = blocks.iter().find(|(plan, _)| plan.name == name).unwrap();
        let block = worked(plan);
        let letters: Vec<&str> = block.templates.iter().map(|t| t.letter.as_str()).collect();
        assert_eq!(block.templates.len(), templates, "{name}: {letters:?}");
        assert_eq!(letters[0], "A");
    }
    let (nested, _) = blocks
        .iter()
        .find(|(plan, _)| plan.name == "nested squares")
        .unwrap();
    let block = worked(nested);
    let sides: Vec<f64> = block
        .templates
        .iter()
        .map(|t| t.finished.area().to_f64())
        .collect();
    assert!(
        sides.windows(2).all(|pair| pair[0] <= pair[1]),
        "{sides:?}: smallest at the centre"
    );
}

#[test]
fn the_same_shape_with_other_grain_is_another_template() {
    // A hourglass beside a half-square: both right isosceles, long sides 4 and 4√2; in a
    // 2 × 1 block of these the same triangle appears with its long side outside (quarter
    // square) and with its legs outside (half square).
    let plan = sized_block(
        "both grains",
        Surd::int(8),
        Surd::int(4),
        Draft::Pieces {
            pieces: vec![
                // Two half squares with legs 4 …
                piece("a", &[(0, 0), (4, 0), (0, 4)]),
                piece("b", &[(4, 0), (4, 4), (0, 4)]),
                // … and a goose of the same height whose sky is smaller.
                piece("c", &[(4, 0), (8, 0), (6, 2)]),
                piece("d", &[(8, 0), (8, 4), (6, 2)]),
                piece("e", &[(8, 4), (4, 4), (6, 2)]),
                piece("f", &[(4, 4), (4, 0), (6, 2)]),
            ],
        },
    );
    let block = worked(&plan);
    let shapes: Vec<_> = block
        .templates
        .iter()
        .filter_map(|t| t.rotary.as_ref())
        .map(|r| r.shape)
        .collect();
    assert!(
        shapes.contains(&RotaryShape::HalfSquareTriangle),
        "{shapes:?}"
    );
    assert!(
        shapes.contains(&RotaryShape::QuarterSquareTriangle),
        "{shapes:?}"
    );
}

fn piece(name: &str, corners: &[(i64, i64)]) -> (String, geometry::Polygon) {
    let points = corners.iter().map(|&(x, y)| Point::ints(x, y)).collect();
    (name.to_string(), geometry::Polygon::new(points).unwrap())
}

#[test]
fn mirrored_partners_are_told_apart() {
    // A rectangle cut corner to corner one way, and one cut the other way.
    let plan = sized_block("kites", Surd::int(4), Surd::int(4), grid(&["A/B A\\B"]));
    let block = worked(&plan);
    assert_eq!(block.templates.len(), 2);
    assert_eq!(block.templates[0].mirror_of, Some(1));
    assert_eq!(block.templates[1].mirror_of, Some(0));
    assert!(block.templates.iter().all(|t| t.one_handed && t.count == 2));
}

#[test]
fn the_set_in_star_keeps_its_outside_straight() {
    let plan = square_block("star", Surd::int(12), Draft::Star { split: false });
    let block = worked(&plan);
    assert_eq!(block.patches.len(), 16);
    assert!(areas_sum(&block));
    let shapes: Vec<_> = block
        .templates
        .iter()
        .filter_map(|t| t.rotary.as_ref())
        .map(|r| r.shape)
        .collect();
    assert_eq!(
        shapes,
        [
            RotaryShape::Diamond45,
            RotaryShape::QuarterSquareTriangle,
            RotaryShape::Square
        ],
        "diamonds, side triangles with the long side straight, corner squares"
    );
}

#[test]
fn hexagons_fill_their_rectangle() {
    let height = Surd::root3().times(3);
    for (parts, patches) in [
        (HexagonParts::Whole, 5),
        (HexagonParts::Halves, 6),
        (HexagonParts::Diamonds, 7),
        (HexagonParts::Triangles, 10),
    ] {
        let plan = sized_block(
            "hexagon",
            Surd::int(6),
            height.clone(),
            Draft::Hexagon { parts },
        );
        let block = worked(&plan);
        assert_eq!(block.patches.len(), patches);
        assert!(areas_sum(&block));
    }
    let wrong = sized_block(
        "hexagon",
        Surd::int(6),
        Surd::int(5),
        Draft::Hexagon {
            parts: HexagonParts::Whole,
        },
    );
    let faults = block::work_out(&wrong, &quarter(), &Ruler::eighths()).unwrap_err();
    let text = faults[0].text(&wrong, quilt::measure::Measure::Inch);
    assert!(text.contains("3√3") && text.contains("5.196"), "{text}");
}

#[test]
fn arms_turn_as_the_plan_says() {
    let draft = Draft::Nested {
        rounds: 2,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    };
    let block = worked(&square_block("arms", Surd::int(8), draft));
    let middle = |spot: &str| {
        let index = block.drafted.spots.iter().position(|s| s == spot).unwrap();
        let [x, y] = block.patches[index].outline.centroid().to_f64();
        ((y - 4.0).atan2(x - 4.0).to_degrees().round() as i32).rem_euclid(360)
    };
    // Arm 1 ends in the top left corner: 225° clockwise from the right.
    assert_eq!(middle("arm 1 round 2"), 225);
    assert_eq!(middle("arm 1 round 1"), 180, "an eighth of a turn earlier");
    assert_eq!(middle("arm 3 round 2"), 45);
}

#[test]
fn the_more_exact_claim_wins() {
    let mut plan = square_block("claims", Surd::int(9), grid(&["A B", "A A"]));
    let place = |name: &str, claims: Vec<Claim>| PlacePlan {
        name: name.into(),
        cloths: vec![ClothId(0)],
        claims,
        centred: false,
    };
    plan.places = vec![
        place("a", vec![Claim::Spot("A".into())]),
        place("corner", vec![Claim::At(Point::ints(1, 1))]),
    ];
    let block = worked(&plan);
    let places: Vec<_> = block.patches.iter().map(|p| p.place).collect();
    assert_eq!(
        places,
        [Some(1), None, Some(0), Some(0)],
        "B is claimed by no one"
    );
}

#[test]
fn lines_that_go_nowhere_are_reported_together() {
    let segment = |a: (i64, i64), b: (i64, i64)| {
        geometry::Segment::new(Point::ints(a.0, a.1), Point::ints(b.0, b.1)).unwrap()
    };
    let plan = square_block(
        "loose ends",
        Surd::int(8),
        Draft::Lines {
            lines: vec![
                segment((0, 4), (5, 4)),
                segment((3, 6), (3, 7)),
                segment((1, 1), (9, 1)),
            ],
        },
    );
    let faults = block::work_out(&plan, &quarter(), &Ruler::eighths()).unwrap_err();
    assert!(faults.len() >= 3, "{faults:?}");
    for fault in faults {
        let text = fault.text(&plan, quilt::measure::Measure::Inch);
        assert!(text.contains("loose ends"), "{text}");
    }
}

/// Random grids of squares, half squares, hourglasses and geese.
fn random_grid() -> impl Strategy<Value = Draft> {
    let cell = prop_oneof![
        Just("A"),
        Just("B"),
        Just("A/B"),
        Just("B\\A"),
        Just("A|B|A|B"),
        Just("A^B"),
    ];
    (1..5_usize, 1..5_usize)
        .prop_flat_map(move |(rows, columns)| {
            proptest::collection::vec(proptest::collection::vec(cell.clone(), columns), rows)
        })
        .prop_map(|rows| {
            let words: Vec<String> = rows.iter().map(|row| row.join(" ")).collect();
            grid(&words.iter().map(String::as_str).collect::<Vec<_>>())
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn random_blocks_add_up(draft in random_grid(), w in 2..30_i64, h in 2..30_i64) {
        let plan = sized_block("random", Surd::ratio(w, 2), Surd::ratio(h, 2), draft);
        let block = worked(&plan);
        prop_assert!(areas_sum(&block));
        let cut: usize = block.templates.iter().map(|t| t.count).sum();
        prop_assert_eq!(cut, block.patches.len());
        for template in &block.templates {
            // The mitred cut area of a convex patch is A + P·s + s²·Σ cot(α⁄2); the
            // trimmed one lies inside it and outside the finished patch.
            let full = geometry::area(&template.cut);
            let trimmed = geometry::area(&template.trimmed);
            let n = template.finished.points().len();
            let cots: f64 = (0..n)
                .map(|i| 1.0 / (template.finished.corner_angle_degrees(i).to_radians() / 2.0).tan())
                .sum();
            let finished = template.finished.area().to_f64();
            let expected = finished + template.finished.perimeter_f64() * 0.25 + cots / 16.0;
            prop_assert!((full - expected).abs() < 1e-9);
            prop_assert!(trimmed <= full + 1e-9 && trimmed > finished);
            if let Some(rotary) = &template.rotary {
                prop_assert!(rotary.strip.reserve() >= 0.0 && rotary.strip.reserve() < 0.125);
            }
        }
    }
}

#[test]
fn a_cell_joined_to_nothing_is_told_where() {
    let mut draft = grid(&["A B", "A B"]);
    if let Draft::Grid { cells, .. } = &mut draft {
        cells[0] = Cell::JoinedLeft;
    }
    let plan = square_block("joined", Surd::int(4), draft);
    let faults = block::work_out(&plan, &quarter(), &Ruler::eighths()).unwrap_err();
    let text = faults[0].text(&plan, quilt::measure::Measure::Inch);
    assert!(text.contains("row 1, column 1"), "{text}");
}
