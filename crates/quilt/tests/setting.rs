//! The laid-out top: everything fills it exactly, the counts match the sums of the
//! trade, and what does not fit is said in full.
#![allow(
    clippy::unwrap_used,
    reason = "a test may panic, in its helpers as well"
)]

#[path = "support/plans.rs"]
mod plans;

use std::collections::BTreeMap;

use geometry::{Arrangement, Point, Polygon, Surd};
use plans::{border, cell, four_patch, on_point, one, plain, repeat, sashing};
use proptest::prelude::*;
use quilt::findings::Weight;
use quilt::measure::Measure;
use quilt::plan::{Bed, BlockId, ClothId, Colourway, Corner, Kind, Plan, Target};
use quilt::setting::cut_sizes::{PartCut, part_cut};
use quilt::setting::{PartKind, PartShape, Top, cloth_of, propose, sums, work_out};

fn laid_out(plan: &Plan) -> Top {
    let counts = vec![4; plan.blocks.len()];
    work_out(plan, &counts).unwrap_or_else(|findings| panic!("{findings:?}"))
}

/// Every block and part as it lies in the top.
fn tiles(plan: &Plan, top: &Top) -> Vec<Polygon> {
    let blocks = top.blocks.iter().map(|placed| {
        let block = plan.block(placed.block);
        Polygon::rectangle(block.width.clone(), block.height.clone())
            .unwrap()
            .moved(&placed.motion)
    });
    blocks
        .chain(top.parts.iter().map(|part| part.outline.clone()))
        .collect()
}

fn count(top: &Top, kind: PartKind) -> u64 {
    top.parts.iter().filter(|part| part.kind == kind).count() as u64
}

/// Areas add up to the top's, nothing lies outside.
fn fills(plan: &Plan, top: &Top) {
    let tiles = tiles(plan, top);
    let area: Surd = tiles.iter().map(Polygon::area).sum();
    assert_eq!(area, &top.width * &top.height, "areas");
    for tile in &tiles {
        let (low, high) = tile.bounds();
        assert!(low.x >= Surd::ZERO && low.y >= Surd::ZERO, "{tile:?}");
        assert!(high.x <= top.width && high.y <= top.height, "{tile:?}");
    }
}

/// The exact partition check of `geometry`: no gap, no overlap.
fn tiles_exactly(plan: &Plan, top: &Top) {
    let outline = Polygon::rectangle(top.width.clone(), top.height.clone()).unwrap();
    if let Err(faults) = Arrangement::from_tiles(&outline, &tiles(plan, top)) {
        panic!("{faults:?}");
    }
}

/// Every part's outline fits in the piece its length and width say to cut, and
/// rectangles and triangles without floating blocks fill theirs.
fn cut_large_enough(top: &Top, exact: bool) {
    for part in &top.parts {
        let cut = match part.shape {
            PartShape::Rectangle | PartShape::MitredStrip => &part.length * &part.width,
            PartShape::HalfSquare | PartShape::QuarterSquare => (&part.length * &part.width).half(),
        };
        let area = part.outline.area();
        assert!(area <= cut, "{part:?}");
        if exact && part.shape != PartShape::MitredStrip {
            assert_eq!(area, cut, "{part:?}");
        }
        let reach = part
            .outline
            .points()
            .iter()
            .flat_map(|a| {
                part.outline
                    .points()
                    .iter()
                    .map(move |b| (b - a).length_squared())
            })
            .max()
            .unwrap();
        let cross = &part.length * &part.length + &part.width * &part.width;
        let longest = match part.shape {
            PartShape::Rectangle | PartShape::MitredStrip => cross,
            PartShape::HalfSquare | PartShape::QuarterSquare => &part.length * &part.length,
        };
        assert!(reach <= longest, "{part:?}");
    }
}

fn corner() -> impl Strategy<Value = Corner> {
    prop_oneof![
        Just(Corner::Butted),
        Just(Corner::Mitred),
        Just(Corner::Squares(ClothId(2)))
    ]
}

fn size(from: i64, to: i64) -> impl Strategy<Value = Surd> {
    (from..=to).prop_map(|eighths| Surd::ratio(eighths, 8))
}

prop_compose! {
    fn any_plan()(
        columns in 1u32..5,
        rows in 1u32..5,
        block in size(16, 100),
        sash in prop::option::of((size(1, 40), any::<bool>(), any::<bool>())),
        float in prop::option::of(prop_oneof![Just(Surd::ZERO), size(1, 60)]),
        borders in prop::collection::vec((size(4, 60), corner()), 0..3),
    ) -> Plan {
        let mut plan = plain(block, columns, rows);
        plan.setting.sashing = sash.map(|(width, posts, outside)| {
            sashing(width, posts, outside || float.is_some())
        });
        if let Some(float) = float {
            plan.setting.kind = on_point(float);
        }
        plan.borders = borders.into_iter().map(|(width, corner)| border(width, corner)).collect();
        plan
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn blocks_and_parts_fill_the_top_exactly(plan in any_plan()) {
        let top = laid_out(&plan);
        fills(&plan, &top);
        tiles_exactly(&plan, &top);
        let floats = matches!(&plan.setting.kind, Kind::OnPoint { float, .. } if !float.is_zero());
        cut_large_enough(&top, !floats);
        prop_assert_eq!(top.patches, 4 * top.blocks.len() + top.parts.len());
    }

    #[test]
    fn counts_and_sizes_match_the_sums(plan in any_plan()) {
        let top = laid_out(&plan);
        let (m, n) = (plan.setting.columns, plan.setting.rows);
        let block = &plan.blocks[0].width;
        let sash = plan.setting.sashing.as_ref();
        let zero = Surd::ZERO;
        let width = sash.map_or(&zero, |s| &s.width);
        match &plan.setting.kind {
            Kind::Straight => {
                let outside = sash.is_some_and(|s| s.outside);
                let row = vec![block.clone(); m as usize];
                prop_assert_eq!(&top.inner_width, &sums::row_length(row.iter(), width, outside));
                if let Some(s) = sash {
                    let counts = sums::sash_count(m, n, outside);
                    let lines = u64::from(if outside { n + 1 } else { n - 1 });
                    if s.posts.is_some() {
                        prop_assert_eq!(count(&top, PartKind::Sash), counts.sashes);
                        prop_assert_eq!(count(&top, PartKind::Post), counts.posts);
                    } else {
                        prop_assert_eq!(count(&top, PartKind::LongSash), lines);
                        prop_assert_eq!(count(&top, PartKind::Sash), counts.sashes - u64::from(m) * lines);
                    }
                }
            }
            Kind::OnPoint { float, .. } => {
                let room = sums::diagonal(block, width);
                let band = float.times(2);
                prop_assert_eq!(&top.inner_width, &(room.times(i64::from(m)) + &band));
                prop_assert_eq!(&top.inner_height, &(room.times(i64::from(n)) + &band));
                let (main, between) = sums::on_point_blocks(m, n);
                prop_assert_eq!(top.blocks.iter().filter(|b| !b.between).count() as u64, main);
                prop_assert_eq!(top.blocks.iter().filter(|b| b.between).count() as u64, between);
                prop_assert_eq!(count(&top, PartKind::SideTriangle), sums::side_triangles(m, n));
                prop_assert_eq!(count(&top, PartKind::CornerTriangle), 4);
                let (m, n) = (u64::from(m), u64::from(n));
                match sash.map(|s| s.posts.is_some()) {
                    None => prop_assert_eq!(count(&top, PartKind::Sash), 0),
                    Some(true) => {
                        prop_assert_eq!(count(&top, PartKind::Sash), 4 * m * n);
                        prop_assert_eq!(count(&top, PartKind::EdgePost), 2 * (m + n));
                        prop_assert_eq!(count(&top, PartKind::Post), m * (n - 1) + n * (m - 1));
                    }
                    Some(false) => {
                        prop_assert_eq!(count(&top, PartKind::Sash), 2 * m * n);
                        prop_assert_eq!(count(&top, PartKind::LongSash), m + n);
                        prop_assert_eq!(count(&top, PartKind::EdgePost), 0);
                    }
                }
            }
            _ => unreachable!("the others are in `settings.rs`"),
        }
    }
}

#[test]
fn blocks_of_different_sizes_share_a_top_when_their_rows_and_columns_agree() {
    let mut plan = plain(Surd::int(12), 3, 2);
    plan.blocks
        .push(four_patch("Tall", Surd::int(4), Surd::int(12)));
    // The narrow block upright in a column of its own, then a row of it lying down.
    plan.blocks
        .push(four_patch("Small", Surd::int(4), Surd::int(4)));
    plan.setting.cells = repeat(
        2,
        3,
        vec![
            cell(0, 0),
            cell(1, 2),
            cell(0, 1),
            cell(1, 1),
            cell(2, 3),
            cell(1, 3),
        ],
    );
    plan.setting.sashing = Some(sashing(Surd::ONE, true, true));
    let top = laid_out(&plan);
    assert_eq!(top.inner_width, Surd::int(32));
    assert_eq!(top.inner_height, Surd::int(19));
    fills(&plan, &top);
    tiles_exactly(&plan, &top);
}

#[test]
fn a_turned_block_lies_in_its_cell_with_its_top_left_corner_moved_clockwise() {
    let mut plan = plain(Surd::int(6), 2, 2);
    plan.setting.cells = repeat(2, 2, vec![cell(0, 0), cell(0, 1), cell(0, 2), cell(0, 3)]);
    let top = laid_out(&plan);
    let corners: Vec<Point> = top
        .blocks
        .iter()
        .map(|placed| placed.motion.apply(&Point::ORIGIN))
        .collect();
    let expected = [(0, 0), (12, 0), (6, 12), (6, 12)].map(|(x, y)| Point::ints(x, y));
    assert_eq!(corners, expected);
}

#[test]
fn on_point_a_block_lies_upright_when_its_diagonal_row_is_held_level() {
    let mut plan = plain(Surd::int(6), 3, 2);
    plan.setting.kind = on_point(Surd::ZERO);
    let top = laid_out(&plan);
    let mut rows: BTreeMap<u32, Vec<(u32, [f64; 2], f64)>> = BTreeMap::new();
    for placed in &top.blocks {
        let (row, along) = placed.diagonal.unwrap();
        let middle = placed.motion.apply(&Point::ints(3, 3)).to_f64();
        rows.entry(row)
            .or_default()
            .push((along, middle, placed.motion.angle_degrees()));
    }
    assert_eq!(rows.len(), 4, "3 + 2 − 1 diagonal rows");
    let lengths: Vec<usize> = rows.values().map(Vec::len).collect();
    assert_eq!(lengths, [1, 3, 3, 1]);
    for (row, mut blocks) in rows {
        blocks.sort_by_key(|(along, ..)| *along);
        for (index, (along, middle, angle)) in blocks.iter().enumerate() {
            assert_eq!(
                *along as usize, index,
                "row {row} counts from its lower left end"
            );
            let sum = f64::from(row + 1) * 6.0 * 2f64.sqrt();
            assert!((middle[0] + middle[1] - sum).abs() < 1e-9, "row {row}");
            assert!((angle + 45.0).abs() < 1e-9);
        }
        assert!(
            blocks.windows(2).all(|w| w[0].1[0] < w[1].1[0]),
            "left to right"
        );
    }
}

#[test]
fn floating_blocks_grow_the_triangles_by_twice_the_band() {
    let mut plan = plain(Surd::int(10), 4, 3);
    plan.setting.kind = on_point(Surd::ONE);
    let top = laid_out(&plan);
    let side = top
        .parts
        .iter()
        .find(|p| p.kind == PartKind::SideTriangle)
        .unwrap();
    assert_eq!(side.length, Surd::root2().times(10) + Surd::TWO);
    let corner = top
        .parts
        .iter()
        .find(|p| p.kind == PartKind::CornerTriangle)
        .unwrap();
    assert_eq!(corner.length, Surd::int(10) + Surd::root2().times(2));
    // The four corners are whole triangles; no block comes nearer to the edge than 1 in.
    for corner in top
        .parts
        .iter()
        .filter(|p| p.kind == PartKind::CornerTriangle)
    {
        assert_eq!(corner.outline.points().len(), 3);
        assert_eq!(
            corner.outline.area(),
            (&corner.length * &corner.width).half()
        );
    }
    for tile in tiles(&plan, &top).iter().take(top.blocks.len()) {
        assert!(tile.bounds().0.x >= Surd::ONE && tile.bounds().0.y >= Surd::ONE);
    }
}

#[test]
fn parts_of_a_sashed_top_on_point_have_the_sizes_worked_out_by_hand() {
    let mut plan = plain(Surd::int(12), 3, 3);
    plan.setting.kind = on_point(Surd::ZERO);
    plan.setting.sashing = Some(sashing(Surd::ONE, true, true));
    let top = laid_out(&plan);
    let root2 = Surd::root2();
    assert_eq!(top.width, root2.times(39));
    let of = |kind| top.parts.iter().find(|p| p.kind == kind).unwrap();
    assert_eq!(of(PartKind::EdgePost).length, root2);
    assert_eq!(of(PartKind::EdgePost).shape, PartShape::QuarterSquare);
    assert_eq!(of(PartKind::SideTriangle).length, root2.times(12));
    assert_eq!(of(PartKind::CornerTriangle).length, Surd::int(12));
    plan.setting.sashing = Some(sashing(Surd::ONE, false, true));
    let top = laid_out(&plan);
    let long: Vec<Surd> = top
        .parts
        .iter()
        .filter(|p| p.kind == PartKind::LongSash)
        .map(|p| p.length.clone())
        .collect();
    assert_eq!(long, [14, 40, 66, 66, 40, 14].map(Surd::int), "tip to tip");
}

#[test]
fn borders_take_the_lengths_of_their_corners() {
    let lengths = |corner| {
        let mut plan = plain(Surd::int(10), 5, 6);
        plan.borders = vec![border(Surd::int(4), corner)];
        let top = laid_out(&plan);
        let of = |kind| {
            let part = top.parts.iter().find(|p| p.kind == kind).unwrap();
            part.length.clone()
        };
        (
            of(PartKind::BorderSide(0)),
            of(PartKind::BorderEnd(0)),
            top.parts.len(),
        )
    };
    let int = |a: i64, b: i64, parts: usize| (Surd::int(a), Surd::int(b), parts);
    assert_eq!(lengths(Corner::Butted), int(60, 58, 4));
    assert_eq!(lengths(Corner::Mitred), int(68, 58, 4));
    assert_eq!(lengths(Corner::Squares(ClothId(2))), int(60, 50, 8));
}

#[test]
fn cut_sizes_are_the_finished_ones_with_their_seams() {
    let mut plan = plain(Surd::int(6), 4, 4);
    plan.setting.kind = on_point(Surd::ZERO);
    plan.borders = vec![border(Surd::int(4), Corner::Mitred)];
    let top = laid_out(&plan);
    let root2 = Surd::root2();
    let cut = |kind| {
        part_cut(
            top.parts.iter().find(|p| p.kind == kind).unwrap(),
            &plan.seam,
        )
    };
    let PartCut::SquareCutTwice { side } = cut(PartKind::SideTriangle) else {
        panic!("sides are quarters of a square")
    };
    assert_eq!(side, root2.times(6) + Surd::ratio(1, 2) + root2.half());
    let PartCut::SquareCutOnce { side } = cut(PartKind::CornerTriangle) else {
        panic!("corners are halves of a square")
    };
    assert_eq!(side, root2.times(3) + Surd::ratio(1, 2) + root2.over(4));
    let PartCut::Strip {
        length,
        width,
        spare,
    } = cut(PartKind::BorderEnd(0))
    else {
        panic!("mitred borders are strips")
    };
    assert_eq!(length, root2.times(24) + Surd::ratio(17, 2));
    assert_eq!((width, spare), (Surd::ratio(9, 2), root2.half()));
}

#[test]
fn copies_are_numbered_in_reading_order_and_take_their_cloths_in_turn() {
    let mut plan = plain(Surd::int(6), 3, 3);
    plan.setting.kind = on_point(Surd::ZERO);
    plan.blocks[0].places[0].cloths = vec![ClothId(0), ClothId(1), ClothId(2)];
    plan.blocks[0].colourways = vec![Colourway {
        name: "other".into(),
        places: vec![(0, vec![ClothId(3)])],
    }];
    let top = laid_out(&plan);
    let copies: Vec<u32> = top.blocks.iter().map(|b| b.copy).collect();
    assert_eq!(copies, (0..13).collect::<Vec<u32>>());
    let heights: Vec<f64> = top
        .blocks
        .iter()
        .map(|b| b.motion.apply(&Point::ints(3, 3)).to_f64()[1])
        .collect();
    assert!(
        heights.windows(2).all(|w| w[0] <= w[1] + 1e-9),
        "reading order"
    );
    assert_eq!(cloth_of(&plan, &top.blocks[0], 0, 0), ClothId(0));
    assert_eq!(
        cloth_of(&plan, &top.blocks[4], 0, 1),
        ClothId(2),
        "(4 + 1) mod 3"
    );
    let mut other = top.blocks[4].clone();
    other.colourway = Some(0);
    assert_eq!(cloth_of(&plan, &other, 0, 1), ClothId(3));
    assert_eq!(top.blocks[0].block, BlockId(0));
}

#[test]
fn every_block_that_does_not_fit_is_named_with_its_cells() {
    let mut plan = plain(Surd::int(12), 3, 4);
    plan.blocks.push(four_patch(
        "Kitchen star",
        Surd::ratio(25, 2),
        Surd::int(12),
    ));
    plan.setting.cells = repeat(
        2,
        3,
        vec![
            cell(0, 0),
            cell(1, 0),
            cell(0, 0),
            cell(0, 0),
            cell(0, 0),
            cell(0, 0),
        ],
    );
    let findings = work_out(&plan, &[4, 4]).unwrap_err();
    let texts: Vec<&str> = findings.iter().map(|f| f.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "“Four patch” is 1/2 in too narrow for column 2 (rows 2 and 4): it finishes 12 in wide there, most blocks of the column 12 1/2 in. Draft it 12 1/2 in wide, or fill the whole column with it.",
        ]
    );
    assert!(findings.iter().all(|f| f.weight == Weight::Stop));
    // Turned, it is half an inch too high for its row instead.
    plan.setting.cells = repeat(4, 3, {
        let mut cells = vec![cell(0, 0); 12];
        cells[4] = cell(1, 1);
        cells
    });
    plan.blocks[1].name = "Star".into();
    plan.measure = Measure::Inch;
    let findings = work_out(&plan, &[4, 4]).unwrap_err();
    assert_eq!(
        findings[0].text,
        "“Star” is 1/2 in too high for row 2 (column 2): it finishes 12 1/2 in high there, most blocks of the row 12 in. Draft it 12 in high, turn it so that its 12 in side lies upright, or fill the whole row with it."
    );
}

#[test]
fn on_point_blocks_must_be_square_and_of_one_size() {
    let mut plan = plain(Surd::int(10), 2, 2);
    plan.blocks
        .push(four_patch("Small", Surd::int(8), Surd::int(8)));
    plan.blocks
        .push(four_patch("Long", Surd::int(10), Surd::int(12)));
    plan.setting.cells = repeat(1, 2, vec![cell(0, 0), cell(2, 0)]);
    plan.setting.kind = Kind::OnPoint {
        between: one(1),
        edge: ClothId(3),
        float: Surd::ZERO,
    };
    plan.setting.sashing = Some(sashing(Surd::ONE, true, false));
    let texts: Vec<String> = work_out(&plan, &[4, 4, 4])
        .unwrap_err()
        .into_iter()
        .map(|f| f.text)
        .collect();
    assert_eq!(texts.len(), 3);
    assert!(texts[0].starts_with("The sashing runs only between the blocks"));
    assert!(
        texts[1].starts_with("“Long” is 2 in higher than wide (row 1 column 2, row 2 column 2)")
    );
    assert!(
        texts[2].starts_with("“Small” is 2 in smaller than most blocks (between row 1 column 1)")
    );
}

fn aimed(width: i64, height: i64) -> Option<Target> {
    Some(Target::Size {
        width: Surd::int(width),
        height: Surd::int(height),
    })
}

#[test]
fn a_proposal_gives_the_largest_top_that_fits_and_the_next_one_up() {
    let mut plan = plain(Surd::int(12), 1, 1);
    plan.setting.sashing = Some(sashing(Surd::TWO, true, true));
    plan.borders = vec![border(Surd::int(4), Corner::Butted)];
    plan.setting.target = Some(Target::Bed {
        bed: Bed {
            name: "full".into(),
            width: Surd::int(54),
            length: Surd::int(75),
        },
        drop: Surd::int(12),
        tuck: Surd::ZERO,
    });
    let proposal = propose(&plan).unwrap();
    assert_eq!(
        (&proposal.width, &proposal.height),
        (&Surd::int(78), &Surd::int(87))
    );
    let (fits, next) = (proposal.fits.unwrap(), proposal.next.unwrap());
    assert_eq!(
        fits.words,
        "4 across and 5 down finish at 66 × 80 in: 12 in narrower and 7 in shorter than aimed at"
    );
    assert_eq!(
        next.words,
        "5 across and 6 down finish at 80 × 94 in: 2 in wider and 7 in longer than aimed at"
    );
}

#[test]
fn a_proposal_on_point_counts_in_diagonals() {
    let mut plan = plain(Surd::int(10), 1, 1);
    plan.setting.kind = on_point(Surd::ZERO);
    plan.setting.target = aimed(60, 60);
    let fits = propose(&plan).unwrap().fits.unwrap();
    assert_eq!((fits.columns, fits.rows), (4, 4), "4 × 14.142");
    assert_eq!(fits.width, Surd::root2().times(40));
    assert!(
        fits.words
            .starts_with("4 across and 4 down on point finish at 56.569 × 56.569 in")
    );
}

#[test]
fn a_proposal_knows_when_nothing_fits_and_when_the_size_is_met() {
    let mut plan = plain(Surd::int(10), 3, 3);
    assert_eq!(propose(&plan), None, "no size aimed at");
    plan.setting.target = aimed(8, 60);
    let proposal = propose(&plan).unwrap();
    assert_eq!(proposal.fits, None);
    assert_eq!(
        (
            proposal.next.as_ref().unwrap().columns,
            proposal.next.unwrap().rows
        ),
        (1, 6)
    );
    plan.setting.target = aimed(40, 60);
    let proposal = propose(&plan).unwrap();
    assert!(
        proposal
            .fits
            .unwrap()
            .words
            .ends_with("exactly the size aimed at")
    );
    assert_eq!(proposal.next, None);
}

proptest! {
    #[test]
    fn an_offer_is_what_the_layout_gives(plan in any_plan(), width in 20i64..120, height in 20i64..120) {
        let mut plan = plan;
        plan.setting.target = aimed(width, height);
        let proposal = propose(&plan).unwrap();
        for (offer, larger) in proposal.fits.iter().map(|o| (o, false)).chain(proposal.next.iter().map(|o| (o, true))) {
            plan.setting.rows = offer.rows;
            plan.setting.columns = offer.columns;
            let top = laid_out(&plan);
            prop_assert_eq!((&top.width, &top.height), (&offer.width, &offer.height));
            let (wider, longer) = (offer.wider.sign(), offer.longer.sign());
            if larger {
                prop_assert!(wider.is_ge() && longer.is_ge());
            } else {
                prop_assert!(wider.is_le() && longer.is_le());
            }
        }
    }
}
