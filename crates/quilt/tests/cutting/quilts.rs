//! Whole quilts, from the plan through every stage to the cloth.

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::Use;
use quilt::measure::{Measure, Rounding, Ruler};
use quilt::plan::{
    BlockId, BorderPlan, Cell, CellPlan, ClothId, Corner, CutAlong, Direction, Draft, Kind, Plan,
    Repeat, Sashing,
};
use quilt::results::{self, Results};

use super::at_table::table_sound;
use super::checks::sound_in;
use super::plans::{bench_of, block, cloth};

fn repeat(turn: u8) -> Repeat {
    let cell = CellPlan {
        block: BlockId(0),
        colourway: None,
        turn,
        mirrored: false,
    };
    Repeat {
        rows: 1,
        columns: 1,
        cells: vec![cell],
    }
}

/// What is drawn at random.
#[derive(Clone, Debug)]
struct Wish {
    size: (u32, u32),
    on_point: bool,
    float: bool,
    sashing: Option<(bool, bool)>,
    borders: Vec<(u8, bool)>,
    directions: Vec<Direction>,
    bias: bool,
    sleeve: bool,
    metric: bool,
    turn: u8,
}

fn wish() -> impl Strategy<Value = Wish> {
    let direction = prop_oneof![
        Just(Direction::Free),
        Just(Direction::TwoWay),
        Just(Direction::OneWay)
    ];
    let looks = (
        (1..5_u32, 1..5_u32),
        any::<bool>(),
        any::<bool>(),
        prop::option::of(any::<(bool, bool)>()),
        prop::collection::vec((0..3_u8, any::<bool>()), 0..3),
    );
    let rest = (
        prop::collection::vec(direction, 3),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        0..4_u8,
    );
    (looks, rest).prop_map(|(looks, rest)| Wish {
        size: looks.0,
        on_point: looks.1,
        float: looks.2,
        sashing: looks.3,
        borders: looks.4,
        directions: rest.0,
        bias: rest.1,
        sleeve: rest.2,
        metric: rest.3,
        turn: rest.4,
    })
}

/// A plan of three cloths: two in the block, the third everywhere else.
fn plan_of(wish: &Wish) -> Plan {
    let names = ["a", "b", "c", "d"];
    let cells = vec![
        Cell::Rising("a".into(), "b".into()),
        Cell::Whole("c".into()),
        Cell::Hourglass(names.map(Into::into)),
        Cell::Falling("d".into(), "a".into()),
    ];
    let two = || vec![Surd::ONE; 2];
    let draft = Draft::Grid {
        columns: two(),
        rows: two(),
        cells,
    };
    let mut made = block("corner", Surd::int(9), Surd::int(9), draft, &names);
    made.places[1].cloths = vec![ClothId(1)];
    made.places[2].cloths = vec![ClothId(0), ClothId(1)];
    let cloths = wish.directions.iter().map(|&d| cloth(Surd::int(40), d));
    let mut plan = bench_of(cloths.collect(), vec![(made, 1)]).plan;
    let third = ClothId(2);
    plan.setting.rows = wish.size.0;
    plan.setting.columns = wish.size.1;
    plan.setting.cells = repeat(wish.turn);
    if wish.on_point {
        plan.setting.kind = Kind::OnPoint {
            between: repeat(0),
            edge: third,
            float: if wish.float {
                Surd::ratio(3, 4)
            } else {
                Surd::ZERO
            },
        };
    }
    plan.setting.sashing = wish.sashing.map(|(posts, outside)| Sashing {
        width: Surd::int(2),
        cloth: third,
        posts: posts.then_some(ClothId(0)),
        // On point the rows join in straight seams only with sashing all round.
        outside: outside || wish.on_point,
    });
    let border = |&(corner, along): &(u8, bool)| BorderPlan {
        kind: quilt::plan::BorderKind::Plain,
        width: Surd::int(5),
        cloth: third,
        corner: [Corner::Butted, Corner::Mitred, Corner::Squares(ClothId(1))][corner as usize],
        cut: if along {
            CutAlong::Length
        } else {
            CutAlong::Across
        },
    };
    plan.borders = wish.borders.iter().map(border).collect();
    plan.finishing.backing.cloth = Some(third);
    plan.finishing.binding.cloth = Some(ClothId(1));
    if wish.bias {
        plan.finishing.binding.run = quilt::plan::BindingRun::Bias;
    }
    plan.finishing.sleeve = wish.sleeve.then(|| Surd::int(4));
    if wish.metric {
        plan.measure = Measure::Centimetre;
        plan.ruler = Ruler::new(Surd::ratio(5, 127), Rounding::Up).unwrap();
    }
    plan
}

/// Patches and parts of the top, by what they are for, against the pieces on the cloth.
fn nothing_is_missing(plan: &Plan, results: &Results) {
    let top = results.top.as_ref().unwrap();
    let all = results.cutting.as_ref().unwrap();
    let served = |wanted: &dyn Fn(&Use) -> bool| -> usize {
        let serves = all.iter().flat_map(|c| &c.demands).flat_map(|d| &d.serves);
        serves
            .filter(|s| wanted(&s.usage))
            .map(|s| s.count as usize)
            .sum()
    };
    let parts = served(&|usage| matches!(usage, Use::Part(_)));
    assert_eq!(parts, top.parts.len());
    for (template, known) in results.blocks[0]
        .as_ref()
        .unwrap()
        .templates
        .iter()
        .enumerate()
    {
        let cut = served(&|usage| *usage == Use::Patch(BlockId(0), template));
        assert_eq!(cut, known.count * top.blocks.len(), "{}", known.letter);
    }
    for cutting in all.iter() {
        sound_in(plan, cutting);
        assert!(cutting.too_large.is_empty(), "{:?}", cutting.too_large);
        let (step, bought) = (&plan.buying.step, &cutting.buy);
        assert!(*bought >= plan.ruler.length(cutting.needs));
        assert!(*bought < plan.ruler.length(cutting.needs) + step);
    }
    table_sound(plan, all, &results.table.as_ref().unwrap().0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_piece_of_a_quilt_is_cut(wish in wish()) {
        let plan = plan_of(&wish);
        let results = results::work_out(&plan, None);
        prop_assert!(results.top.is_some(), "{:?}", results.findings);
        nothing_is_missing(&plan, &results);
    }
}

/// A quilt on point, said in words (run with `--nocapture` to read it).
#[test]
fn a_quilt_on_point_in_words() {
    let plan = plan_of(&Wish {
        size: (4, 3),
        on_point: true,
        float: false,
        sashing: Some((true, true)),
        borders: vec![(0, false), (2, true)],
        directions: vec![Direction::Free; 3],
        bias: false,
        sleeve: true,
        metric: false,
        turn: 0,
    });
    let results = results::work_out(&plan, None);
    nothing_is_missing(&plan, &results);
    for cutting in results.cutting.as_ref().unwrap().iter() {
        println!(
            "{}: {} of at least {} ({})",
            plan.cloth(cutting.cloth).name,
            cutting.needs,
            cutting.at_least,
            cutting.bound
        );
    }
    for station in &results.table.as_ref().unwrap().0.stations {
        for step in &station.steps {
            println!("  {}", step.text);
        }
    }
}
