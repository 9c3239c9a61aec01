//! Folds, stacks, hands, and what simpler ways would cost.

use std::collections::BTreeMap;

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{self, Action, CuttingTable};
use quilt::plan::{BlockPlan, ClothId, Direction};

use super::at_table::table_sound;
use super::plans::{Bench, bench, bench_of, cloth, inches, plain};
use super::shapes::slanted;

fn table(bench: &Bench) -> CuttingTable {
    let all = bench.cut();
    let table = cutting::table(&bench.plan, &bench.blocks, &all);
    table_sound(&bench.plan, &all, &table);
    table
}

fn squares(side: &str, count: u32) -> (BlockPlan, u32) {
    let finished = inches(side) - Surd::ratio(1, 2);
    (plain(side, finished.clone(), finished), count)
}

/// The worked sentence of the issue: forty squares of 4 7/8 by hand. 40 / 8 = 5 strips;
/// folded, two on each other: 3 stacks, each one end and 4 pairs.
#[test]
fn passes_by_hand() {
    let bench = bench(Surd::int(40), Direction::Free, vec![squares("4 7/8", 40)]);
    let table = table(&bench);
    let passes: Vec<u32> = table.stations[0].steps.iter().map(|s| s.passes).collect();
    assert_eq!(passes, [1, 5, 3, 12]);
    assert_eq!(table.effort.settings, 1, "strip and square are one reading");
}

/// With one layer nothing is folded, a cut across 40 in takes the 24 in ruler twice, and
/// every square is cut by itself.
#[test]
fn one_layer_is_never_folded() {
    let mut bench = bench(Surd::int(40), Direction::Free, vec![squares("4 7/8", 40)]);
    bench.plan.cutting.layers = 1;
    let table = table(&bench);
    let passes: Vec<u32> = table.stations[0].steps.iter().map(|s| s.passes).collect();
    assert_eq!(passes, [2, 10, 5, 40]);
    assert!(table.stations[0].steps.iter().all(|step| step.layers == 1));
}

/// Left and right parallelograms in strips of their own: one turned over on the other,
/// and only as many as both need; a strip by itself lies right side up.
#[test]
fn hands_come_from_strips_face_to_face() {
    for (right, left, together) in [(5, 5, true), (7, 3, true), (6, 0, false)] {
        let blocks = [(slanted(true), right), (slanted(false), left)];
        let blocks = blocks.into_iter().filter(|block| block.1 > 0).collect();
        // So narrow that either hand fills a strip.
        let bench = bench(Surd::int(40), Direction::Free, blocks);
        let table = table(&bench);
        let steps = table.stations.iter().flat_map(|station| &station.steps);
        let slanted: Vec<_> = steps
            .filter(|step| matches!(step.action, Action::Slanted { .. }))
            .collect();
        let down = slanted.iter().any(|step| {
            let strips = step.from.iter().flat_map(|from| &from.strips);
            strips.into_iter().any(|strip| strip.face_down)
        });
        assert!(
            !down || together,
            "nothing is turned over that has no mirror image"
        );
        assert!(
            slanted
                .iter()
                .all(|s| matches!(s.action, Action::Slanted { one_hand: true, .. }))
        );
        for step in slanted {
            assert!(
                step.text.contains("right side up"),
                "the maker is told: {}",
                step.text
            );
        }
    }
}

/// Four cloths with equal needs are cut together: as many passes over the strips as two
/// cloths, and the ruler set as often as for one.
#[test]
fn cloths_with_equal_needs_are_cut_together() {
    let mut blocks = Vec::new();
    let cloths = (0..4).map(|i| {
        let mut cloth = cloth(Surd::int(40), Direction::Free);
        (cloth.key, cloth.name) = (format!("c{i}"), format!("Cloth {i}"));
        cloth
    });
    let cloths = cloths.collect();
    for i in 0..4 {
        let (mut block, count) = squares("4 7/8", 16);
        block.name = format!("square {i}");
        block.places[0].cloths = vec![ClothId(i)];
        blocks.push((block, count));
    }
    let bench = bench_of(cloths, blocks);
    let table = table(&bench);
    assert_eq!(table.stations.len(), 1);
    // Two ends, 2 × 2 strips, 8 strips 2 folded on each other: 4 ends and 4 × 4 pairs.
    let passes: Vec<u32> = table.stations[0].steps.iter().map(|s| s.passes).collect();
    assert_eq!(passes, [2, 4, 4, 16]);
    assert_eq!(table.effort.settings, 1);
    assert_eq!(
        table
            .alone
            .iter()
            .map(|effort| effort.settings)
            .sum::<u32>(),
        4
    );
}

/// Sizes and counts, and the length by the chart rule summed by hand ("each size its own
/// strips" of the proved instances).
#[test]
fn the_chart_rule_by_hand() {
    let rows = [
        (
            "6 1/2 × 6 1/2 × 20, 3 1/2 × 3 1/2 × 80, 3 1/2 × 6 1/2 × 40, 12 1/2 × 12 1/2 × 4",
            "103 1/2",
        ),
        (
            "3 1/2 × 12 1/2 × 24, 3 1/2 × 6 1/2 × 24, 6 1/2 × 6 1/2 × 12, 3 7/8 × 3 7/8 × 48, 2 1/2 × 18 1/2 × 8",
            "84 3/8",
        ),
        (
            "5 1/2 × 5 1/2 × 35, 3 × 5 1/2 × 28, 3 × 3 × 64, 8 1/2 × 8 1/2 × 6",
            "71 1/2",
        ),
    ];
    for (items, chart) in rows {
        let half = Surd::ratio(1, 2);
        let blocks = items.split(", ").map(|item| {
            let parts: Vec<&str> = item.split(" × ").collect();
            let side = |i: usize| inches(parts[i]) - &half;
            (plain(item, side(0), side(1)), parts[2].parse().unwrap())
        });
        let mut bench = bench(Surd::int(40), Direction::Free, blocks.collect());
        bench.plan.buying.step = Surd::ratio(1, 8);
        let all = bench.cut();
        let table = cutting::table(&bench.plan, &bench.blocks, &all);
        let ends = (&bench.top, &bench.finishing);
        let beside = cutting::compared(
            &bench.plan,
            &bench.blocks,
            ends,
            (&all, &table),
            &BTreeMap::new(),
        );
        let whole = &beside.whole;
        assert_eq!(whole.chart.buy, inches(chart), "{items}");
        assert!(whole.own.buy <= whole.chart.buy && whole.plan.buy <= whole.own.buy);
        let less = &whole.own.buy - &whole.plan.buy;
        let said = beside.in_words(&bench.plan);
        let expected = if less.is_positive() {
            format!(
                "Buys {} less than cutting each size",
                bench.plan.measure.shop(&less)
            )
        } else {
            "Buys as much as cutting each size".to_string()
        };
        assert!(said.starts_with(&expected), "{said}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// Sizes, counts, layers and both hands at random: the steps make what is needed, no
    /// stack is too high, and the other side of the cloth is its own inverse.
    #[test]
    fn any_number_of_layers(
        layers in 1..9_u32,
        sides in prop::collection::vec((8..60_i64, 1..30_u32), 1..5),
        hands in (0..20_u32, 0..20_u32),
    ) {
        let mut blocks: Vec<(BlockPlan, u32)> = sides
            .iter()
            .enumerate()
            .map(|(i, &(side, count))| {
                let side = Surd::ratio(side, 8);
                (plain(&format!("s{i}"), side.clone(), side), count)
            })
            .collect();
        let slants = [(slanted(true), hands.0), (slanted(false), hands.1)];
        for (i, (mut block, count)) in slants.into_iter().enumerate() {
            block.name = format!("slant {i}");
            if count > 0 {
                blocks.push((block, count));
            }
        }
        let mut bench = bench(Surd::int(40), Direction::Free, blocks);
        bench.plan.cutting.layers = layers;
        table(&bench);
        let mark = bench.plan.ruler.mark().to_f64();
        for sheet in &bench.only().sheets {
            let other = sheet.from_the_other_side(mark);
            let back = other.from_the_other_side(mark);
            prop_assert_eq!(&sheet.strips, &back.strips);
            for (here, there) in sheet.pieces.iter().zip(&back.pieces) {
                for (p, q) in here.outline.iter().zip(&there.outline) {
                    prop_assert!((p[0] - q[0]).abs() < 1e-9 && p[1] == q[1]);
                }
            }
            for (here, there) in sheet.pieces.iter().zip(&other.pieces) {
                // Moved, not turned over: every corner by as much.
                let by = there.outline[0][0] - here.outline[0][0];
                for (p, q) in here.outline.iter().zip(&there.outline) {
                    prop_assert!((q[0] - p[0] - by).abs() < 1e-9);
                }
            }
        }
    }
}
