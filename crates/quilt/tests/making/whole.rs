//! Whole quilts: counts, wishes, prints with a direction, what the maker has settled.

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{self, Use};
use quilt::making::{Compared, Refusal};
use quilt::plan::{BlockId, ClothId, Direction, Plan, UnitKind, Way, Wish};
use quilt::results::Results;

use super::bench::{block, directed, inches, quilt, worked};

/// A block with every kind of unit: half-squares, hourglasses, geese, rows.
fn medley(copies: u32, wish: Wish) -> Plan {
    let rows = [
        "A/B A|C|A|C D B",
        "B\\A C^A A/B D",
        "D B D A",
        "A A/B C|B|C|B D^B",
    ];
    let mut plan = quilt(
        block(Surd::int(12), Surd::int(12), &rows, &["A", "B", "C", "D"]),
        copies,
        wish,
    );
    plan.blocks[0].name = "Medley".into();
    plan
}

/// Total area bought, square inches.
fn bought(plan: &Plan, results: &Results) -> Surd {
    let cutting = results.cutting.as_ref().unwrap();
    cutting
        .iter()
        .map(|cut| &cut.buy * &plan.cloth(cut.cloth).width)
        .sum()
}

fn work(results: &Results) -> u32 {
    let making = results.making.as_ref().unwrap();
    making
        .batches
        .iter()
        .map(|batch| batch.recipe().work.all())
        .sum()
}

/// Every patch is cut once, on its own or in a batch; batches give enough; what is cut
/// for them lies on the cloth.
fn nothing_is_missing(results: &Results) {
    let making = results.making.as_ref().unwrap();
    let cutting = results.cutting.as_ref().unwrap();
    let served = |wanted: &dyn Fn(&Use) -> bool| -> u32 {
        let serves = cutting
            .iter()
            .flat_map(|cut| &cut.demands)
            .flat_map(|d| &d.serves);
        serves.filter(|s| wanted(&s.usage)).map(|s| s.count).sum()
    };
    for sewn in &results.sewing.as_ref().unwrap().blocks {
        let block = results.blocks[sewn.block.0].as_ref().unwrap();
        let singly = served(&|usage| matches!(usage, Use::Patch(id, _) if *id == sewn.block));
        let together = making
            .batches
            .iter()
            .filter(|b| b.together() && b.block == sewn.block);
        let in_batches: u32 = together
            .map(|batch| {
                let join = sewn
                    .joins
                    .iter()
                    .find(|join| join.step == batch.step)
                    .unwrap();
                batch.needed * (join.left.len() + join.right.len()) as u32
            })
            .sum();
        let all = block.patches.len() as u32 * sewn.copies;
        assert_eq!(singly + in_batches, all, "each patch once");
        for (left, step) in making.still_sewn(sewn).iter().zip(&sewn.steps) {
            assert!(*left <= step.in_all);
        }
    }
    for batch in &making.batches {
        assert!(batch.recipe().made >= batch.needed);
        assert_eq!(batch.ways[0].way, Way::Singly);
    }
    let wanted: u32 = making
        .batches
        .iter()
        .flat_map(|batch| &batch.recipe().takes)
        .map(|(_, take)| take.count)
        .sum();
    assert_eq!(served(&|usage| matches!(usage, Use::Unit(..))), wanted);
    for cut in cutting.iter() {
        assert!(cut.too_large.is_empty());
        assert!(cut.at_least <= cut.needs as f64);
    }
    let stations = &results.table.as_ref().unwrap().0.stations;
    let steps = stations.iter().flat_map(|station| &station.steps);
    let told: u32 = steps.flat_map(|step| &step.pieces).map(|p| p.1).sum();
    let laid: usize = cutting.iter().map(|cut| cut.pieces().count()).sum();
    assert_eq!(told as usize, laid, "the steps tell of every piece");
}

#[test]
fn with_no_wish_everything_is_cut_singly() {
    let plan = medley(12, Wish::default());
    let results = worked(&plan);
    let making = results.making.as_ref().unwrap();
    assert!(making.batches.iter().all(|batch| !batch.together()));
    assert!(making.singly.is_empty());
    let plain = cutting::work_out(
        &plan,
        &results.blocks,
        results.top.as_ref().unwrap(),
        results.finishing.as_ref().unwrap(),
    );
    assert_eq!(*results.cutting.as_deref().unwrap(), plain);
    nothing_is_missing(&results);
}

#[test]
fn every_kind_of_unit_is_known() {
    let results = worked(&medley(20, Wish::LeastWork));
    let making = results.making.as_ref().unwrap();
    let kinds: Vec<UnitKind> = making.batches.iter().map(|batch| batch.kind).collect();
    for kind in [UnitKind::HalfSquare, UnitKind::Hourglass, UnitKind::Row] {
        assert!(kinds.contains(&kind), "{kind:?} in {kinds:?}");
    }
    let half = making
        .batches
        .iter()
        .find(|b| b.kind == UnitKind::HalfSquare)
        .unwrap();
    assert_eq!(half.recipe().way, Way::EightAtATime);
    assert_eq!(half.needed, 80, "four in each of twenty blocks");
    assert_eq!(half.recipe().made, 80);
}

#[test]
fn a_print_with_a_direction_is_cut_singly() {
    for direction in [Direction::OneWay, Direction::TwoWay] {
        let mut plan = medley(12, Wish::LeastWork);
        directed(&mut plan, 1, direction);
        let results = worked(&plan);
        nothing_is_missing(&results);
        let batches = &results.making.as_ref().unwrap().batches;
        let (with, without): (Vec<_>, Vec<_>) = batches
            .iter()
            .partition(|batch| batch.cloths.contains(&ClothId(1)));
        assert!(!with.is_empty() && !without.is_empty());
        for batch in with {
            assert_eq!(batch.refused, [Refusal::Direction(ClothId(1))]);
            assert_eq!(batch.ways.len(), 1);
            assert!(!batch.together());
        }
        assert!(without.iter().any(|batch| batch.together()));
    }
}

#[test]
fn squares_wider_than_the_cloth_are_not_offered() {
    let side = Surd::int(20);
    let plan = quilt(
        block(side.clone(), side, &["A/B"], &["A", "B"]),
        8,
        Wish::LeastWork,
    );
    let results = worked(&plan);
    let batch = &results.making.as_ref().unwrap().batches[0];
    // 2 × 20⅞ in is more than 40 in.
    assert!(
        batch
            .refused
            .contains(&Refusal::Width(Way::EightAtATime, ClothId(0)))
    );
    assert!(
        batch
            .ways
            .iter()
            .all(|recipe| recipe.way != Way::EightAtATime)
    );
    assert_eq!(batch.recipe().way, Way::TwoAtATime);
}

#[test]
fn what_the_maker_has_settled_goes_before_the_wish() {
    let mut plan = medley(12, Wish::LeastWork);
    plan.making.settled = vec![
        (UnitKind::HalfSquare, Way::FourAtATime),
        (UnitKind::Row, Way::Singly),
    ];
    let results = worked(&plan);
    nothing_is_missing(&results);
    for batch in &results.making.as_ref().unwrap().batches {
        match batch.kind {
            UnitKind::HalfSquare => assert_eq!(batch.recipe().way, Way::FourAtATime),
            UnitKind::Row => assert_eq!(batch.recipe().way, Way::Singly),
            _ => {}
        }
    }
}

#[test]
fn units_with_a_left_and_a_right_hand_are_not_made_in_pairs() {
    // Quick ways make as many of either hand; these need one.
    let three_cloths = quilt(
        block(Surd::int(4), Surd::int(4), &["A|B|C|B"], &["A", "B", "C"]),
        10,
        Wish::LeastWork,
    );
    let two_skies = {
        let mut plan = quilt(
            block(Surd::int(4), Surd::int(2), &["A^B"], &["A", "B"]),
            10,
            Wish::LeastWork,
        );
        plan.blocks[0].places[1].cloths = vec![ClothId(1), ClothId(2)];
        plan
    };
    for plan in [three_cloths, two_skies] {
        let results = worked(&plan);
        let making = results.making.as_ref().unwrap();
        assert!(
            making.batches.iter().all(|batch| !batch.together()),
            "{:?}",
            making.batches
        );
        nothing_is_missing(&results);
    }
}

#[test]
fn cloths_taken_in_turn_make_batches_of_their_own() {
    let mut plan = quilt(
        block(Surd::int(3), Surd::int(3), &["A/B"], &["A", "B"]),
        30,
        Wish::LeastWork,
    );
    plan.blocks[0].places[0].cloths = vec![ClothId(0), ClothId(2)];
    let results = worked(&plan);
    nothing_is_missing(&results);
    let batches = &results.making.as_ref().unwrap().batches;
    let needed: Vec<(Vec<ClothId>, u32)> = batches
        .iter()
        .map(|b| (b.cloths.clone(), b.needed))
        .collect();
    assert_eq!(
        needed,
        [
            (vec![ClothId(0), ClothId(1)], 15),
            (vec![ClothId(1), ClothId(2)], 15)
        ]
    );
}

#[test]
fn many_scraps_are_tried_one_by_one() {
    let mut plan = medley(20, Wish::LeastCloth);
    for index in 4..12 {
        let mut cloth = plan.cloths[0].clone();
        cloth.key = format!("scrap{index}");
        cloth.name = cloth.key.clone();
        plan.cloths.push(cloth);
    }
    plan.blocks[0].places[0].cloths = (4..12).map(ClothId).collect();
    let results = worked(&plan);
    assert_eq!(
        results.making.as_ref().unwrap().compared,
        Compared::OneByOne
    );
    nothing_is_missing(&results);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn each_wish_gets_what_it_asks_for(
        copies in 1_u32..40,
        eighths in 40_i64..120,
        width in 18_i64..45,
        directions in prop::collection::vec(0..6_u8, 4),
    ) {
        let made = |wish| {
            let mut plan = medley(copies, wish);
            plan.blocks[0].width = Surd::ratio(eighths, 8);
            plan.blocks[0].height = Surd::ratio(eighths, 8);
            for (cloth, direction) in plan.cloths.iter_mut().zip(&directions) {
                cloth.width = Surd::int(width);
                cloth.direction = match direction {
                    0 => Direction::OneWay,
                    1 => Direction::TwoWay,
                    _ => Direction::Free,
                };
            }
            let results = worked(&plan);
            nothing_is_missing(&results);
            (bought(&plan, &results), work(&results))
        };
        let (grain, cloth, hands) =
            (made(Wish::TruestGrain), made(Wish::LeastCloth), made(Wish::LeastWork));
        prop_assert!(cloth.0 <= grain.0 && cloth.0 <= hands.0, "{cloth:?} {grain:?} {hands:?}");
        prop_assert!(hands.1 <= grain.1 && hands.1 <= cloth.1, "{cloth:?} {grain:?} {hands:?}");
    }
}

#[test]
fn the_words_name_what_is_cut_and_what_comes_of_it() {
    let mut plan = quilt(
        block(Surd::int(3), Surd::int(3), &["A/B"], &["A", "B"]),
        20,
        Wish::LeastWork,
    );
    plan.cloths[0].name = "Foam".into();
    plan.cloths[1].name = "Ink".into();
    let results = worked(&plan);
    let batch = &results.making.as_ref().unwrap().batches[0];
    assert_eq!(batch.block, BlockId(0));
    let words = quilt::making::sentences(&plan, batch, batch.recipe()).join(" ");
    assert_eq!(
        words,
        "Lay 3 squares 7 3/4 in of “Foam” on 3 of “Ink”, in pairs, right sides together. Draw both diagonals on the back of each square of “Foam”. Sew 1/4 in from each line on both sides. Without moving the pieces, cut through the middle, across and up and down. Then cut on both lines. Press, and trim to 3 1/2 in square: 24 units, 4 more than needed."
    );
    assert_eq!(batch.recipe().takes[0].1.height.size, inches("7 3/4"));
}
