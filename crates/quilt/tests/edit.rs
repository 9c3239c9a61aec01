//! Edits: what they change, how far they go, and what they refuse.
#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

#[path = "support/plans.rs"]
mod plans;

use geometry::Surd;
use plans::{border, cell, plain, repeat, sashing};
use proptest::prelude::*;
use quilt::plan::{BlockId, ClothId, Corner, Edit, Plan, Reach, Refusal, Spot};
use quilt::results::work_out;

fn turns(plan: &Plan) -> Vec<u8> {
    let setting = &plan.setting;
    let spots = (0..setting.rows).flat_map(|r| (0..setting.columns).map(move |c| (r, c)));
    spots.map(|(r, c)| setting.cells.at(r, c).turn).collect()
}

/// 4 × 4 blocks in a repeat of 2 × 2, turned 2 3 over 1 0, sashed and bordered.
fn plan() -> Plan {
    let mut plan = plain(Surd::int(6), 4, 4);
    plan.setting.cells = repeat(2, 2, [2, 3, 1, 0].map(|turn| cell(0, turn)).to_vec());
    plan.setting.sashing = Some(sashing(Surd::ONE, true, false));
    plan.borders = vec![border(Surd::int(3), Corner::Butted)];
    plan
}

#[test]
fn a_turn_goes_as_far_as_its_reach() {
    let at = Spot { row: 1, column: 3 };
    let turned = |reach| {
        let edit = Edit::Turn {
            at,
            quarters: 5,
            reach,
        };
        turns(&plan().with(&edit).unwrap())
    };
    let before = turns(&plan());
    let changed = |after: &[u8]| {
        let pairs = before.iter().zip(after).enumerate();
        let changed = pairs.filter(|(_, (a, b))| a != b);
        changed
            .map(|(i, (a, b))| (i, (b + 4 - a) % 4))
            .collect::<Vec<_>>()
    };
    assert_eq!(changed(&turned(Reach::Here)), [(7, 1)]);
    assert_eq!(
        changed(&turned(Reach::Repeat)),
        [(5, 1), (7, 1), (13, 1), (15, 1)]
    );
    assert_eq!(changed(&turned(Reach::Alike)).len(), 16);
}

#[test]
fn an_exchange_is_undone_by_the_same_exchange() {
    let edit = Edit::Exchange(Spot { row: 0, column: 0 }, Spot { row: 3, column: 2 });
    let once = plan().with(&edit).unwrap();
    assert_eq!(turns(&once)[0], 1);
    assert_eq!(turns(&once)[14], 2);
    assert_eq!(turns(&once.with(&edit).unwrap()), turns(&plan()));
}

#[test]
fn what_makes_no_sense_is_refused_in_words() {
    let said = |edit: Edit| plan().with(&edit).unwrap_err().to_string();
    assert_eq!(
        said(Edit::SetCount {
            rows: 0,
            columns: 3
        }),
        "A setting needs at least one block down and one across."
    );
    let at = Spot { row: 4, column: 1 };
    let turn = Edit::Turn {
        at,
        quarters: 1,
        reach: Reach::Here,
    };
    assert_eq!(said(turn), "There is no block 2 in row 5.");
    let first = plan().blocks[0].places[0].clone();
    let lies = said(Edit::RemoveCloth(first.cloths[0]));
    assert!(
        lies.contains(&first.name) && lies.contains("lay another cloth"),
        "{lies}"
    );
    let mut twice = plan().cloths[0].clone();
    twice.name = "Another".into();
    assert!(matches!(
        plan().with(&Edit::AddCloth(twice)),
        Err(Refusal::NameTaken(_))
    ));
    assert_eq!(
        said(Edit::SetSeam(Surd::int(-1))),
        "A seam allowance must be more than nothing."
    );
    assert!(matches!(
        plan().with(&Edit::LayCloth {
            block: BlockId(0),
            place: 0,
            cloths: vec![]
        }),
        Err(Refusal::NoCloth)
    ));
}

#[test]
fn a_cloth_taken_out_leaves_every_other_where_it_was() {
    // The last of the four lies nowhere in a straight setting; the first does.
    let unused = ClothId(3);
    let mut before = plan();
    before.cloths.swap(0, 3);
    let swap = |id: &mut ClothId| *id = ClothId(if id.0 == 0 { 3 } else { id.0 });
    swap(&mut before.blocks[0].places[0].cloths[0]);
    let freed = before.with(&Edit::RemoveCloth(ClothId(0))).unwrap();
    let name = |plan: &Plan, id: ClothId| plan.cloth(id).key.clone();
    let lies = |plan: &Plan| {
        let sashing = plan.setting.sashing.clone().unwrap();
        let place = plan.blocks[0].places[0].cloths[0];
        let all = [
            place,
            sashing.cloth,
            sashing.posts.unwrap(),
            plan.borders[0].cloth,
        ];
        all.map(|id| name(plan, id))
    };
    assert_eq!(freed.cloths.len(), 3);
    assert_eq!(lies(&freed), lies(&plan()));
    assert_eq!(lies(&freed), ["ground", "sash", "post", "sash"]);
    assert!(plan().with(&Edit::RemoveCloth(unused)).is_ok());
}

#[test]
fn replacing_a_cloth_frees_it() {
    let (from, to) = (ClothId(0), ClothId(1));
    let replaced = plan().with(&Edit::Replace(from, to)).unwrap();
    let freed = replaced.with(&Edit::RemoveCloth(from)).unwrap();
    assert_eq!(freed.cloths.len(), plan().cloths.len() - 1);
    assert!(work_out(&freed, None).top.is_some());
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let spot = || (0..6_u32, 0..6_u32).prop_map(|(row, column)| Spot { row, column });
    let reach = prop_oneof![Just(Reach::Here), Just(Reach::Repeat), Just(Reach::Alike)];
    let cloth = || (0..5_usize).prop_map(ClothId);
    prop_oneof![
        (0..7_u32, 0..7_u32).prop_map(|(rows, columns)| Edit::SetCount { rows, columns }),
        (spot(), 0..9_u8, reach).prop_map(|(at, quarters, reach)| Edit::Turn {
            at,
            quarters,
            reach
        }),
        (spot(), spot()).prop_map(|(a, b)| Edit::Exchange(a, b)),
        (cloth(), cloth()).prop_map(|(a, b)| Edit::Replace(a, b)),
        cloth().prop_map(Edit::RemoveCloth),
        (0..3_usize).prop_map(Edit::RemoveBorder),
        (0..4_usize, prop::collection::vec(cloth(), 0..3)).prop_map(|(place, cloths)| {
            Edit::LayCloth {
                block: BlockId(0),
                place,
                cloths,
            }
        }),
        Just(Edit::SetSashing(None)),
        "[a-z ]{0,4}".prop_map(Edit::SetTitle),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// After any edits the plan still points only at what it has, and can be worked out.
    #[test]
    fn any_edits_leave_a_plan(edits in prop::collection::vec(any_edit(), 1..12)) {
        let mut plan = plan();
        for edit in &edits {
            plan = plan.with(edit).unwrap_or(plan);
            for place in plan.blocks.iter().flat_map(|block| &block.places) {
                prop_assert!(place.cloths.iter().all(|c| c.0 < plan.cloths.len()));
            }
            let cells = &plan.setting.cells;
            prop_assert_eq!(cells.cells.len(), cells.rows * cells.columns);
        }
        let results = work_out(&plan, None);
        prop_assert!(results.top.is_some() || !results.findings.is_empty());
    }
}
