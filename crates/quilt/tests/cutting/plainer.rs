//! Of the plans that buy as little, one that is less work is taken.

use std::collections::BTreeMap;

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{self, Comparison, CuttingTable};
use quilt::plan::{Owned, OwnedKind};

use super::at_table::table_sound;
use super::checks::sound;
use super::plans::Bench;
use super::tables::pieces;

fn laid_out(bench: &Bench) -> (Vec<cutting::ClothCutting>, CuttingTable, Comparison) {
    let all = bench.cut();
    let table = cutting::table(&bench.plan, &bench.blocks, &all);
    let ends = (&bench.top, &bench.finishing);
    let none = BTreeMap::new();
    let beside = cutting::compared(&bench.plan, &bench.blocks, ends, (&all, &table), &none);
    (all, table, beside)
}

fn demand() -> impl Strategy<Value = Vec<(i64, i64, u32)>> {
    let side = prop::sample::select(vec![16_i64, 20, 24, 28, 31, 36, 39, 44, 52, 68]);
    prop::collection::vec((side.clone(), side, 2..40_u32), 2..6)
}

fn sold(sizes: &[(i64, i64, u32)], turns: bool, step: Surd) -> Bench {
    let sizes: Vec<(Surd, Surd, u32)> = sizes
        .iter()
        .map(|&(h, w, n)| (Surd::ratio(h, 8), Surd::ratio(w, 8), n))
        .collect();
    let mut bench = pieces(Surd::int(40), turns, &sizes);
    bench.plan.buying.step = step;
    bench.plan.buying.shrinkage = Surd::ratio(6, 100);
    bench.plan.buying.squaring = Surd::ONE;
    bench
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 16,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Nothing more is bought than for the shortest plan; a longer one sets the ruler less
    /// often than the shortest; and where own strips buy the same, they never set it less
    /// often than the plan does.
    #[test]
    fn no_more_settings_than_own_strips_that_buy_the_same(
        sizes in demand(),
        turns in any::<bool>(),
        eighths in 1..4_i64,
    ) {
        let bench = sold(&sizes, turns, Surd::ratio(9 * eighths, 2));
        let (all, table, beside) = laid_out(&bench);
        let cutting = &all[0];
        sound(&bench, cutting);
        table_sound(&bench.plan, &all, &table);
        prop_assert!(cutting.shortest <= cutting.needs);
        let short = sold(&sizes, turns, Surd::ratio(1, 8));
        let (shortest, short_table, _) = laid_out(&short);
        prop_assert_eq!(shortest[0].needs, cutting.shortest);
        let at_mark = shortest[0].buy.checked_div(&bench.plan.buying.step).unwrap().ceil();
        prop_assert_eq!(&cutting.buy, &bench.plan.buying.step.times(at_mark));
        if cutting.needs > cutting.shortest {
            prop_assert!(table.effort.settings < short_table.effort.settings);
        }
        let bills = beside.cloths[0].as_ref().unwrap();
        if bills.own.buy == bills.plan.buy {
            prop_assert!(bills.plan.effort.settings <= bills.own.effort.settings);
        }
        prop_assert!(bills.plan.buy <= bills.own.buy);
    }

    /// With cloth on the shelf the simpler ways have it, too.
    #[test]
    fn owned_cloth_is_compared(sizes in demand().prop_map(|all| all[..2].to_vec()), along in 4..30_i64, count in 1..3_u32) {
        let mut bench = sold(&sizes, true, Surd::ratio(9, 2));
        let (_, _, before) = laid_out(&bench);
        bench.plan.cloths[0].supply.owned = vec![Owned {
            kind: OwnedKind::Length,
            count,
            across: None,
            along: Surd::int(along),
        }];
        let (_, _, beside) = laid_out(&bench);
        let (with, without) = (&beside.cloths[0], &before.cloths[0]);
        let (with, without) = (with.as_ref().unwrap(), without.as_ref().unwrap());
        prop_assert!(with.own.buy <= without.own.buy);
        prop_assert!(with.chart.buy <= without.chart.buy);
        prop_assert!(beside.in_words(&bench.plan).contains("What you have is used each time"));
    }
}

/// Sold by the yard there is room enough for each of three sizes in its own strips: the
/// ruler is set three times.
#[test]
fn sizes_apart_where_that_buys_the_same() {
    let sizes = [(32, 32, 14), (24, 24, 20), (20, 20, 12)];
    let by_mark = laid_out(&sold(&sizes, false, Surd::ratio(1, 8)));
    let by_yard = laid_out(&sold(&sizes, false, Surd::int(36)));
    assert_eq!(by_yard.1.effort.settings, 3, "each size once");
    assert!(by_mark.1.effort.settings >= 3);
    assert_eq!(by_yard.0[0].shortest, by_mark.0[0].needs);
}
