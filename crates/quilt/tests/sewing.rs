//! Working order, steps, sizes, pressing, and the way from blocks to the top.

mod support;

use std::collections::BTreeSet;
use std::sync::Arc;

use geometry::{Motion, Point, Polygon, Surd, turn_of};
use proptest::prelude::*;
use quilt::block::{self, Block};
use quilt::measure::{Measure, Ruler};
use quilt::plan::{
    BackingPlan, BattingPlan, BindingPlan, BindingRun, BlockId, BlockPlan, BorderPlan, Buying,
    CellPlan, Claim, Cloth, ClothId, Colour, Corner, CutAlong, Direction, Draft, FinishingPlan,
    Kind, LogStyle, Paper, PlacePlan, Plan, Print, Repeat, Sashing, SettingPlan, SewingPlan,
};
use quilt::setting;
use quilt::sewing::{self, BlockSewing, Ingredient, Press, TopStep};
use support::{grid, sized_block, square_block, straight_blocks};

/// Cloths from black to white in even steps of grey.
const CLOTHS: u8 = 6;

fn cloths() -> Vec<Cloth> {
    let cloth = |index: u8| {
        let level = index * 51;
        let colour = Colour {
            red: level,
            green: level,
            blue: level,
        };
        Cloth {
            key: format!("grey{index}"),
            name: format!("Grey {index}"),
            colour,
            second: colour,
            print: Print::Plain,
            scale: Surd::ONE,
            direction: Direction::Free,
            width: Surd::int(40),
            value: None,
            motif: None,
            supply: quilt::plan::Supply::default(),
            record: quilt::plan::Record::default(),
        }
    };
    (0..CLOTHS).map(cloth).collect()
}

/// Gives each spot name a place of its own and the cloth of this number.
fn clothed(mut block: BlockPlan, places: &[(&str, usize)]) -> BlockPlan {
    block.places = places
        .iter()
        .map(|&(spot, cloth)| PlacePlan {
            name: spot.into(),
            cloths: vec![ClothId(cloth)],
            claims: vec![Claim::Spot(spot.into())],
            centred: false,
        })
        .collect();
    block
}

fn plan(blocks: Vec<BlockPlan>, rows: u32, columns: u32, kind: Kind) -> Plan {
    let cells = Repeat {
        rows: 1,
        columns: 1,
        cells: vec![cell(0)],
    };
    let none = Surd::ZERO;
    Plan {
        title: "Test".into(),
        note: String::new(),
        measure: Measure::Inch,
        seam: Surd::ratio(1, 4),
        ruler: Ruler::eighths(),
        paper: Paper::Letter,
        cloths: cloths(),
        blocks,
        setting: SettingPlan {
            kind,
            rows,
            columns,
            cells,
            pinned: Vec::new(),
            sashing: None,
            target: None,
        },
        borders: Vec::new(),
        small: Vec::new(),
        finishing: FinishingPlan {
            backing: BackingPlan {
                cloth: None,
                overage: none.clone(),
                seam: none.clone(),
            },
            batting: BattingPlan {
                overage: none.clone(),
            },
            binding: BindingPlan {
                cloth: None,
                width: Surd::ratio(5, 2),
                run: BindingRun::Straight,
                extra: none.clone(),
            },
            sleeve: None,
        },
        cutting: quilt::plan::CuttingPlan::default(),
        buying: Buying {
            step: Surd::ratio(9, 2),
            shrinkage: none.clone(),
            squaring: none,
            spare: Surd::ZERO,
            width: Surd::int(40),
        },
        making: quilt::plan::MakingPlan::default(),
        sewing: SewingPlan::default(),
        choosing: quilt::plan::ChoosingPlan::default(),
    }
}

fn cell(block: usize) -> CellPlan {
    CellPlan {
        block: BlockId(block),
        colourway: None,
        turn: 0,
        mirrored: false,
    }
}

fn worked(plan: &Plan) -> (Vec<Option<Arc<Block>>>, setting::Top, sewing::Sewing) {
    let drafted = |block: &BlockPlan| {
        let done = block::work_out(block, &plan.seam, &plan.ruler);
        Some(Arc::new(done.unwrap_or_else(|faults| {
            panic!("{}: {faults:?}", block.name)
        })))
    };
    let blocks: Vec<Option<Arc<Block>>> = plan.blocks.iter().map(drafted).collect();
    let counts: Vec<usize> = blocks
        .iter()
        .flatten()
        .map(|block| block.patches.len())
        .collect();
    let top = setting::work_out(plan, &counts).expect("the setting fits");
    let sewing = sewing::work_out(plan, &blocks, &top);
    (blocks, top, sewing)
}

/// One copy of a block, sewn.
fn sewn(block: BlockPlan) -> (Arc<Block>, BlockSewing) {
    let (blocks, _, sewing) = worked(&plan(vec![block], 1, 1, Kind::Straight));
    let block = blocks.into_iter().flatten().next().expect("one block");
    (block, sewing.blocks.into_iter().next().expect("one block"))
}

fn checkers(rows: usize, columns: usize) -> BlockPlan {
    let row = |r: usize| {
        let cells = (0..columns).map(|c| if (r + c).is_multiple_of(2) { "A" } else { "B" });
        cells.collect::<Vec<_>>().join(" ")
    };
    let rows: Vec<String> = (0..rows).map(row).collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let (width, height) = (Surd::int(columns as i64), Surd::int(rows.len() as i64));
    clothed(
        sized_block("checkers", width, height, grid(&rows)),
        &[("A", 0), ("B", 5)],
    )
}

#[test]
fn every_unit_comes_after_what_it_is_made_of() {
    for (plan, patches) in straight_blocks() {
        let name = plan.name.clone();
        let (block, sewn) = sewn(plan);
        assert_eq!(
            sewn.joins.len(),
            patches - 1,
            "{name}: joins are patches less one"
        );
        assert!(
            sewn.obstructions.is_empty() && sewn.in_words.is_none(),
            "{name}"
        );
        assert_eq!(sewn.at_least, 0, "{name}");
        sound(&name, &block, &sewn);
    }
}

/// Everything the sewing of a block promises.
fn sound(name: &str, block: &Block, sewn: &BlockSewing) {
    let patches = block.patches.len();
    // The parts of every join are single patches or units made before it.
    let mut made: BTreeSet<Vec<usize>> = (0..patches).map(|patch| vec![patch]).collect();
    for join in &sewn.joins {
        assert!(
            made.remove(&join.left) && made.remove(&join.right),
            "{name}: too early"
        );
        let mut both = [join.left.clone(), join.right.clone()].concat();
        both.sort_unstable();
        made.insert(both);
        let right = &block.patches[join.right[0]].outline.inner_point();
        let turn = turn_of(&join.seam.a, &join.seam.b, right);
        assert_eq!(turn, std::cmp::Ordering::Greater, "{name}: right hand");
    }
    assert_eq!(made.len(), 1, "{name}: one block in the end");
    // Joins of one step stand together, in the order of the steps.
    let order: Vec<usize> = sewn.joins.iter().map(|join| join.step).collect();
    assert!(order.is_sorted(), "{name}: {order:?}");
    for (index, step) in sewn.steps.iter().enumerate() {
        assert_eq!(
            order.iter().position(|&s| s == index),
            Some(step.shown),
            "{name}"
        );
        let count = order.iter().filter(|&&s| s == index).count();
        assert_eq!(step.in_block as usize, count, "{name}");
        for part in [step.left, step.right] {
            match part {
                Ingredient::Unit(earlier) => assert!(earlier < index, "{name}"),
                Ingredient::Template(t) => assert!(t < block.templates.len(), "{name}"),
            }
        }
    }
    // Seam length in all is the length of all inner edges.
    let drawing = &block.drafted.arrangement;
    let inner = drawing.edges.iter().enumerate();
    let inner = inner.filter(|(_, e)| e.left.is_some() && e.right.is_some());
    let inner: f64 = inner.map(|(i, _)| drawing.segment(i).length_f64()).sum();
    let seams: f64 = sewn.joins.iter().map(|join| join.seam.length_f64()).sum();
    assert!(
        (inner - seams).abs() < 1e-9,
        "{name}: {inner} inches of edges, {seams} of seams"
    );
    // Same work is the same size.
    for join in &sewn.joins {
        let shown = &sewn.joins[sewn.steps[join.step].shown];
        let sizes = [&join.unit_width, &join.unit_height];
        assert_eq!(sizes, [&shown.unit_width, &shown.unit_height], "{name}");
        assert_eq!(join.outline.area(), shown.outline.area(), "{name}");
    }
}

/// The least numbers of different units that make a chequered square of 2 to 8 patches a
/// side, of some strips and of a chain block, computed once by integer programming over all
/// orders.
#[test]
fn chequered_blocks_take_few_steps() {
    let fewest = [2, 5, 4, 7, 6, 9, 6];
    let square = (2..).zip(fewest).map(|(side, fewest)| (side, side, fewest));
    let others = [(1, 2, 1), (1, 3, 2), (1, 4, 2), (1, 8, 3), (3, 5, 6)];
    for (rows, columns, fewest) in square.chain(others) {
        let (block, sewn) = sewn(checkers(rows, columns));
        let found = [sewn.steps.len(), sewn.steps_at_least];
        assert_eq!(found, [fewest; 2], "{rows} by {columns}");
        sound("checkers", &block, &sewn);
    }
    // A chain of three cloths: the diagonals and what lies between.
    let chain = grid(&[
        "A B C B A",
        "B A B A B",
        "C B A B C",
        "B A B A B",
        "A B C B A",
    ]);
    let places = [("A", 0), ("B", 5), ("C", 2)];
    let chain = clothed(square_block("chain", Surd::int(10), chain), &places);
    let (_, sewn) = sewn(chain);
    assert_eq!([sewn.steps.len(), sewn.steps_at_least], [9; 2], "chain");
}

/// Same work however it is turned; mirrored or in other cloth it is not.
#[test]
fn turned_units_are_one_step() {
    let kinds = |rows: &[&str], places: &[(&str, usize)]| {
        let side = Surd::int(2 * rows.len() as i64);
        let (_, sewn) = sewn(clothed(square_block("test", side, grid(rows)), places));
        let counts = sewn.steps.iter().map(|step| step.in_block);
        counts.collect::<Vec<u32>>()
    };
    // Four turned half-square units, two pairs, one block.
    let two = [("A", 0), ("B", 5)];
    assert_eq!(
        kinds(&["A\\B B/A", "A/B B\\A"], &two),
        [4, 2, 1],
        "pinwheel"
    );
    assert_eq!(
        kinds(&["A/B A/B", "A/B A/B"], &two),
        [4, 2, 1],
        "all one way"
    );
    // Two places with one cloth are the same; with two they are not.
    assert_eq!(
        kinds(&["A B", "C D"], &[("A", 0), ("B", 5), ("C", 0), ("D", 5)]),
        [2, 1]
    );
    assert_eq!(
        kinds(&["A B", "C D"], &[("A", 0), ("B", 5), ("C", 1), ("D", 5)]),
        [1, 1, 1]
    );
    // A half-square unit and a square, and its mirror image.
    let mirrored = ["A/B C", "A\\B C"];
    let three = [("A", 0), ("B", 5), ("C", 2)];
    assert_eq!(
        kinds(&mirrored, &three),
        [2, 1, 1, 1],
        "the halves are alike, the pairs are not"
    );
}

#[test]
fn geese_and_stars_are_made_in_batches() {
    let star = &["S G^S S", "S S S"];
    let geese = sized_block(
        "geese",
        Surd::int(4),
        Surd::int(6),
        grid(&["G^S", "G^S", "G^S"]),
    );
    let (_, geese) = sewn(clothed(geese, &[("G", 0), ("S", 5)]));
    let counts: Vec<u32> = geese.steps.iter().map(|step| step.in_block).collect();
    assert_eq!(
        counts,
        [3, 3, 1, 1],
        "one side of each, the other side of each, two, three"
    );
    let (_, star) = sewn(sized_block("row", Surd::int(6), Surd::int(4), grid(star)));
    assert_eq!(star.joins.len(), 7);
    let eight = square_block("star", Surd::int(12), Draft::Star { split: true });
    let (_, eight) = sewn(eight);
    let counts: Vec<u32> = eight.steps.iter().map(|step| step.in_block).collect();
    assert_eq!(counts.last(), Some(&1));
    assert!(
        eight.steps.len() < 12,
        "a star is made of turned copies: {counts:?}"
    );
}

/// Unfinished sizes that are published, with seams of 1/4 in.
#[test]
fn units_measure_what_is_published() {
    let last = |block: BlockPlan| {
        let (_, sewn) = sewn(block);
        let join = sewn.joins.last().expect("a seam").clone();
        Measure::Inch.size(&join.unit_width, &join.unit_height)
    };
    let inches = Surd::int;
    // "Precision Piecing", Melody Crust: nine squares of 1 1/2 in measure exactly 3 1/2.
    let nine = square_block("nine patch", inches(3), grid(&["A B A", "B A B", "A B A"]));
    assert_eq!(last(nine), "3 1/2 × 3 1/2 in");
    // "Testing Your Scant Quarter-Inch Seam", Quiltcentric: three strips 1 1/2 × 5 joined
    // on their long sides measure 3 1/2.
    let strips = sized_block("strips", inches(3), Surd::ratio(9, 2), grid(&["A B C"]));
    assert_eq!(last(strips), "5 × 3 1/2 in");
    // "Teaching quilt making", a quilting forum: four rectangles 1 1/2 × 4 1/2 as a rail.
    let rail = square_block("rail", inches(4), grid(&["A B C D"]));
    assert_eq!(last(rail), "4 1/2 × 4 1/2 in");
    // "Block 3 tips (flying geese)", All People Quilt: a goose of 4 × 2 is trimmed to
    // 2 1/2 × 4 1/2.
    let goose = sized_block("goose", inches(4), inches(2), grid(&["G^S"]));
    assert_eq!(last(goose), "4 1/2 × 2 1/2 in");
}

#[test]
fn seams_are_pressed_to_the_dark_and_nest() {
    let (_, nine) = sewn(checkers(3, 3));
    for join in nine
        .joins
        .iter()
        .filter(|join| join.left.len() + join.right.len() == 2)
    {
        // Place A (dark) has the even patches.
        let dark_left = join.left[0] % 2 == 0;
        let wanted = if dark_left { Press::Left } else { Press::Right };
        assert_eq!(join.press, wanted, "{}", join.press_reason);
        assert_eq!(join.press_reason, "towards the darker cloth");
    }
    // In one cloth nothing shows, and the rows are turned so that they nest.
    for side in [2, 3, 4, 5] {
        let mut plain = checkers(side, side);
        plain
            .places
            .iter_mut()
            .for_each(|place| place.cloths = vec![ClothId(2)]);
        assert_eq!(
            nesting(&sewn(plain).1),
            (0, (side - 1) * (side - 1)),
            "{side} by {side}"
        );
        assert_eq!(
            nesting(&sewn(checkers(side, side)).1).0,
            0,
            "{side} by {side}, chequered"
        );
    }
}

/// Crossings of level or upright seams that do not nest, and all of them.
fn nesting(sewn: &BlockSewing) -> (usize, usize) {
    let side = |join: &sewing::Join| {
        // Which side of its line the allowances lie on, the same for both directions.
        let v = join.seam.vector();
        let forward = v.x.is_positive() || v.y.is_positive();
        (join.press == Press::Right) == forward
    };
    let (mut wrong, mut all) = (0, 0);
    for (i, one) in sewn.joins.iter().enumerate() {
        for other in &sewn.joins[i + 1..] {
            let meet = [&one.seam.a, &one.seam.b]
                .into_iter()
                .any(|p| *p == other.seam.a || *p == other.seam.b);
            if meet && one.seam.is_parallel(&other.seam) {
                all += 1;
                wrong += usize::from(side(one) == side(other));
            }
        }
    }
    (wrong, all)
}

#[test]
fn rounds_are_pressed_outwards_and_lumps_apart() {
    for style in [LogStyle::Around, LogStyle::Pairs] {
        let draft = Draft::Log {
            rounds: 3,
            centre: Surd::ratio(1, 7),
            style,
        };
        let (_, log) = sewn(square_block("log", Surd::int(7), draft));
        // From the second strip on the seams of the strips before run into each seam.
        for join in &log.joins[2..] {
            let out = if join.left.len() == 1 {
                Press::Left
            } else {
                Press::Right
            };
            assert_eq!(join.press, out, "{:?}: {}", style, join.press_reason);
        }
    }
    let pinwheel = square_block("pinwheel", Surd::int(8), grid(&["A\\B B/A", "A/B B\\A"]));
    let (_, pinwheel) = sewn(clothed(pinwheel, &[("A", 0), ("B", 5)]));
    let last = pinwheel.joins.last().expect("a seam");
    assert_eq!(last.press, Press::Open, "{}", last.press_reason);
    assert!(
        pinwheel.joins[..4]
            .iter()
            .all(|join| join.press_reason == "towards the darker cloth")
    );
}

#[test]
fn what_stands_in_the_way_is_told() {
    let told = |block: BlockPlan| {
        let (_, sewn) = sewn(block);
        assert_eq!(
            sewn.at_least,
            sewn.partial + sewn.set_in,
            "proved the fewest"
        );
        (sewn.at_least, sewn.in_words.expect("a reason"))
    };
    let star = square_block("star", Surd::int(12), Draft::Star { split: false });
    assert_eq!(
        told(star),
        (8, "At 8 points inside the block patches meet and no line goes straight through: each asks for a set-in seam. The order given takes 8 set-in seams, and no order takes fewer.".into())
    );
    let framed = square_block("framed", Surd::int(9), grid(&["a < b", "d c ^", "^ e <"]));
    let (least, words) = told(framed);
    assert_eq!(least, 1);
    assert!(
        words.starts_with(
            "Seams ring patch A: each of 4 seams ends on the next, so one must be sewn part-way"
        ),
        "{words}"
    );
}

fn on_point() -> Kind {
    Kind::OnPoint {
        between: Repeat {
            rows: 1,
            columns: 1,
            cells: vec![cell(1)],
        },
        edge: ClothId(1),
        float: Surd::ZERO,
    }
}

fn quilt(rows: u32, columns: u32, kind: Kind) -> Plan {
    let plain = square_block("plain", Surd::int(9), grid(&["P"]));
    let nine = square_block(
        "nine patch",
        Surd::int(9),
        grid(&["A B A", "B A B", "A B A"]),
    );
    plan(
        vec![
            clothed(nine, &[("A", 0), ("B", 5)]),
            clothed(plain, &[("P", 3)]),
        ],
        rows,
        columns,
        kind,
    )
}

fn sashing(posts: bool, outside: bool) -> Option<Sashing> {
    Some(Sashing {
        width: Surd::int(2),
        cloth: ClothId(4),
        posts: posts.then_some(ClothId(2)),
        outside,
    })
}

fn border(corner: Corner) -> BorderPlan {
    BorderPlan {
        kind: quilt::plan::BorderKind::Plain,
        width: Surd::int(3),
        cloth: ClothId(5),
        corner,
        cut: CutAlong::Across,
    }
}

/// Every seam makes two pieces one, so the steps sew one seam fewer than there are blocks
/// and parts; mitred borders add their four diagonal seams.
fn adds_up(why: &str, plan: &Plan) -> Vec<TopStep> {
    let (_, top, sewing) = worked(plan);
    let seams: u32 = sewing.top.iter().map(|step| step.seams).sum();
    let mitred = plan
        .borders
        .iter()
        .filter(|border| border.corner == Corner::Mitred)
        .count();
    let pieces = top.blocks.len() + top.parts.len();
    assert_eq!(
        seams as usize,
        pieces - 1 + 4 * mitred,
        "{why}: {:#?}",
        sewing.top
    );
    if let Some(last) = sewing.top.last() {
        let seams = plan.seam.times(2);
        assert_eq!(
            (&last.width, &last.height),
            (&(&top.width + &seams), &(&top.height + &seams)),
            "{why}"
        );
        assert_eq!(
            last.blocks.len(),
            top.blocks.len(),
            "{why}: every block in the end"
        );
        assert_eq!(
            last.parts.len(),
            top.parts.len(),
            "{why}: every part in the end"
        );
    }
    let met: Vec<ClothId> = sewing
        .top
        .iter()
        .flat_map(|step| step.cloths.clone())
        .collect();
    let distinct: BTreeSet<ClothId> = top.parts.iter().map(|part| part.cloth).collect();
    assert_eq!(
        met.iter().copied().collect::<BTreeSet<_>>(),
        distinct,
        "{why}: cloths"
    );
    assert_eq!(
        met.len(),
        distinct.len(),
        "{why}: a cloth is met for the first time once"
    );
    sewing.top
}

#[test]
fn the_seams_of_the_top_add_up() {
    for (rows, columns) in [(1, 1), (1, 4), (3, 1), (2, 2), (4, 5)] {
        for corner in [
            None,
            Some(Corner::Butted),
            Some(Corner::Mitred),
            Some(Corner::Squares(ClothId(3))),
        ] {
            let mut straight = quilt(rows, columns, Kind::Straight);
            let mut point = quilt(rows, columns, on_point());
            straight.borders = corner.map(border).into_iter().collect();
            point.borders = corner
                .map(border)
                .into_iter()
                .chain([border(Corner::Butted)])
                .collect();
            let name = format!("{rows} by {columns}, {corner:?}");
            adds_up(&name, &straight);
            adds_up(&format!("{name}, on point"), &point);
            for (posts, outside) in [(false, false), (false, true), (true, false), (true, true)] {
                straight.setting.sashing = sashing(posts, outside);
                adds_up(
                    &format!("{name}, posts {posts}, outside {outside}"),
                    &straight,
                );
            }
            for posts in [false, true] {
                point.setting.sashing = sashing(posts, true);
                adds_up(&format!("{name}, on point, posts {posts}"), &point);
            }
            if let Kind::OnPoint { float, .. } = &mut point.setting.kind {
                *float = Surd::int(1);
            }
            point.setting.sashing = None;
            adds_up(&format!("{name}, on point, floating"), &point);
        }
    }
}

fn texts(steps: &[TopStep]) -> Vec<String> {
    steps
        .iter()
        .map(|step| {
            let size = Measure::Inch.size(&step.width, &step.height);
            format!(
                "{}× {} seams, {size}: {} {}",
                step.times, step.seams, step.text, step.press
            )
        })
        .collect()
}

#[test]
fn a_straight_setting_is_told_row_by_row() {
    let mut plan = quilt(4, 3, Kind::Straight);
    plan.borders = vec![border(Corner::Butted)];
    assert_eq!(
        texts(&adds_up("plain", &plan)),
        [
            "4× 8 seams, 27 1/2 × 9 1/2 in: Each of the 4 rows: join the 3 blocks from left to right. Press the seams of the odd rows to the left and of the even rows to the right, so that rows nest.",
            "1× 3 seams, 27 1/2 × 36 1/2 in: Join the 4 rows, from top to bottom, matching the seams. Press all these seams the same way; either would do.",
            "1× 2 seams, 33 1/2 × 36 1/2 in: Border, sides: measure the top from top to bottom through its middle; it should be 36 1/2 in. Cut both side strips to that length, pin ends, middles and quarters, and sew one to each side. Press towards the border: away from the seams on the other side, for less bulk.",
            "1× 2 seams, 33 1/2 × 42 1/2 in: Border, top and bottom: measure from side to side through the middle, side borders included; it should be 33 1/2 in. Cut both strips to that length, pin ends, middles and quarters, and sew one to the top and one to the bottom. Press towards the border: away from the seams on the other side, for less bulk.",
        ]
    );
    plan.borders.clear();
    plan.setting.cells = Repeat {
        rows: 2,
        columns: 1,
        cells: vec![cell(0), cell(1)],
    };
    plan.setting.sashing = sashing(true, false);
    assert_eq!(
        texts(&adds_up("sashed", &plan)),
        [
            "2× 8 seams, 31 1/2 × 9 1/2 in: Rows 1 and 3: join the 3 blocks and 2 sashes from left to right. Press the seams towards the sashes.",
            "2× 8 seams, 31 1/2 × 9 1/2 in: Rows 2 and 4: join the 3 blocks and 2 sashes from left to right. Press the seams towards the sashes.",
            "3× 12 seams, 31 1/2 × 2 1/2 in: Each of the 3 sash rows: join 3 sashes and 2 posts in turn, end to end. Press the seams towards the sashes.",
            "1× 6 seams, 31 1/2 × 42 1/2 in: Join the 4 rows and the 3 sash rows in turn, from top to bottom. Press towards the sash rows.",
        ]
    );
}

/// Four by four on point: 16 + 9 blocks, 12 side triangles and 4 corners ("On-point
/// arithmetic for a scrap quilt", Krista Moser), shortest rows at the corners.
#[test]
fn an_on_point_setting_is_told_from_the_corners() {
    let plan = quilt(4, 4, on_point());
    let (_, top, _) = worked(&plan);
    assert_eq!((top.blocks.len(), top.parts.len()), (16 + 9, 12 + 4));
    let steps = adds_up("on point", &plan);
    let told = texts(&steps);
    assert_eq!(steps.len(), 6, "{told:#?}");
    assert_eq!(
        told[0],
        "2× 4 seams, 27 1/2 × 9 1/2 in: Diagonal rows 1 and 7, at the corners: join the block and 2 setting triangles from left to right. Press the seams to the left; the next diagonal row goes the other way, so that diagonal rows nest."
    );
    assert!(
        told[3].starts_with("1× 6 seams"),
        "the longest row has seven blocks and no triangles: {}",
        told[3]
    );
    assert!(
        told[4].contains("Join the 7 diagonal rows, starting at the top left corner"),
        "{}",
        told[4]
    );
    assert!(
        told[5].contains("Sew the 4 corner triangles on last"),
        "{}",
        told[5]
    );
}

/// One cut through a tile of a convex block: which tile, from which side to which, and
/// how many eighths along each.
type Slash = (usize, [usize; 2], [i64; 2]);

fn slash() -> impl Strategy<Value = Slash> {
    // Often in the middle, so that chords tie.
    let at = || prop_oneof![Just(4_i64), 1..8_i64];
    (any::<usize>(), any::<[usize; 2]>(), [at(), at()])
}

fn slashed(side: i64, slashes: &[Slash]) -> Vec<Vec<Point>> {
    let corners = [(0, 0), (side, 0), (side, side), (0, side)];
    let mut tiles = vec![corners.map(|(x, y)| Point::ints(x, y)).to_vec()];
    for (tile, sides, eighths) in slashes {
        let index = tile % tiles.len();
        let tile = tiles[index].clone();
        let n = tile.len();
        let one = sides[0] % n;
        let other = (one + 1 + sides[1] % (n - 1)) % n;
        let (one, other) = (one.min(other), one.max(other));
        let point = |side: usize, eighths: i64| {
            let along = &tile[(side + 1) % n] - &tile[side];
            &tile[side] + &along.scaled(&Surd::ratio(eighths, 8))
        };
        let (p, q) = (point(one, eighths[0]), point(other, eighths[1]));
        let (p, q) = ([p], [q]);
        tiles[index] = [&p, &tile[one + 1..=other], &q].concat();
        tiles.push([&q, &tile[other + 1..], &tile[..=one], &p].concat());
    }
    tiles
}

fn pieces(side: i64, tiles: &[Vec<Point>]) -> BlockPlan {
    let piece = |tile: &Vec<Point>| {
        let outline = Polygon::new(tile.clone()).expect("a tile is a simple polygon");
        ("all".to_string(), outline)
    };
    let pieces = tiles.iter().map(piece);
    square_block(
        "pieces",
        Surd::int(side),
        Draft::Pieces {
            pieces: pieces.collect(),
        },
    )
}

/// A unit of 6 inches in the top left corner of a block, and three copies of it turned
/// about the block's middle.
fn four_turned(unit: &[Vec<Point>]) -> Vec<Vec<Point>> {
    let about = Point::ints(6, 6);
    let turned = |turn: i64| {
        Motion::shift(-&about)
            .then(&Motion::quarter_turns(turn))
            .then(&Motion::shift(about.clone()))
    };
    let copy = |turn: i64| {
        let motion = turned(turn);
        let tiles = unit
            .iter()
            .map(|tile| tile.iter().map(|p| motion.apply(p)).collect());
        tiles.collect::<Vec<Vec<Point>>>()
    };
    (0..4).flat_map(copy).collect()
}

/// Two geese each, four times turned: the two small triangles of a goose could be sewn on
/// in either order, but always in the same one, seen from the goose.
#[test]
fn ties_are_broken_in_a_way_that_turns_with_the_unit() {
    let tile = |corners: [(i64, i64); 3]| corners.map(|(x, y)| Point::ints(x, y)).to_vec();
    let goose = |y: i64| {
        [
            tile([(0, y + 3), (3, y), (6, y + 3)]),
            tile([(0, y), (3, y), (0, y + 3)]),
            tile([(6, y), (6, y + 3), (3, y)]),
        ]
    };
    let unit: Vec<Vec<Point>> = [goose(0), goose(3)].concat();
    let (block, sewn) = sewn(pieces(12, &four_turned(&unit)));
    sound("geese in a ring", &block, &sewn);
    let counts: Vec<u32> = sewn.steps.iter().map(|step| step.in_block).collect();
    assert_eq!(counts, [8, 8, 4, 2, 1]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_blocks_are_sewn_soundly(slashes in prop::collection::vec(slash(), 1..10)) {
        let (block, sewn) = sewn(pieces(12, &slashed(12, &slashes)));
        prop_assert_eq!(sewn.joins.len(), slashes.len());
        sound("slashed", &block, &sewn);
    }

    /// Four copies of a unit, each turned a quarter more, are made in the same steps:
    /// every step below the unit is needed four times, or more often if it recurs in it.
    #[test]
    fn turned_copies_are_taken_apart_alike(slashes in prop::collection::vec(slash(), 1..8)) {
        let unit = slashed(6, &slashes);
        let tiles = four_turned(&unit);
        let (block, sewn) = sewn(pieces(12, &tiles));
        sound("turned", &block, &sewn);
        // Lines of the unit may meet across the middle; then others than the unit arise.
        let n = unit.len();
        let whole = (0..4).all(|copy| {
            sewn.joins.iter().any(|join| {
                let low = join.left.iter().chain(&join.right).min();
                low == Some(&(copy * n)) && join.left.len() + join.right.len() == n
            })
        });
        prop_assume!(whole);
        for step in &sewn.steps {
            let shown = &sewn.joins[step.shown];
            if shown.left.len() + shown.right.len() <= n {
                prop_assert_eq!(step.in_block % 4, 0, "{:?}", sewn.steps);
            }
        }
    }
}
