//! Reworking a plan after an edit gives what working it out afresh gives, and touches
//! only what the edit reaches.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

use std::sync::Arc;

use geometry::Surd;
use proptest::prelude::*;
use quilt::measure::{Rounding, Ruler};
use quilt::plan::{Colour, Corner, Plan};
use quilt::results::{Results, work_out};

fn harbour() -> Plan {
    let text = include_str!("../../../examples/harbour-lights.toml");
    planfile::read("harbour-lights.toml", text).expect("the demo plan reads")
}

fn same(a: &Results, b: &Results) -> bool {
    a.blocks == b.blocks
        && a.faults == b.faults
        && a.top == b.top
        && a.sewing == b.sewing
        && a.finishing == b.finishing
        && a.cutting == b.cutting
        && a.findings == b.findings
}

/// One change a maker might make.
fn edited(plan: &Plan, which: usize, amount: u8) -> Plan {
    let mut next = plan.clone();
    let small = Surd::ratio(i64::from(amount % 8) + 1, 8);
    match which {
        0 => {
            next.cloths[usize::from(amount) % plan.cloths.len()]
                .colour
                .red ^= amount
        }
        1 => next.setting.rows = u32::from(amount % 5) + 1,
        2 => next.setting.columns = u32::from(amount % 5) + 1,
        3 => next.seam = small,
        4 => next.borders[0].width = small + Surd::ONE,
        5 => next.borders[1].corner = Corner::Mitred,
        6 => next.ruler = Ruler::new(small.over(4), Rounding::Up).unwrap_or_else(Ruler::eighths),
        7 => next.blocks[0].places[0].cloths = next.blocks[0].places[1].cloths.clone(),
        8 => next.finishing.binding.width = small + Surd::TWO,
        9 => next.buying.squaring = small,
        10 => {
            let side = Surd::int(i64::from(amount % 6) + 6);
            next.blocks[0].width = side.clone();
            next.blocks[0].height = side;
        }
        11 => next.cloths[0].width = Surd::int(i64::from(amount % 20) + 30),
        12 => next.setting.cells.cells[0].turn = amount % 4,
        13 => next.title.push('!'),
        // A draft with a fault, so that everything after it goes missing and comes back.
        14 => next.blocks[0].height = &plan.blocks[0].height + &small,
        _ => next.blocks[0].name.push('s'),
    }
    next
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn reworking_equals_working_out_afresh(edits in proptest::collection::vec((0..16_usize, any::<u8>()), 1..5)) {
        let mut plan = harbour();
        plan.setting.rows = 2;
        plan.setting.columns = 2;
        let mut kept = work_out(&plan, None);
        for (which, amount) in edits {
            plan = edited(&plan, which, amount);
            kept = work_out(&plan, Some(&kept));
            prop_assert!(same(&kept, &work_out(&plan, None)), "after edit {which} by {amount}");
        }
    }
}

#[test]
fn an_edit_reworks_only_what_reads_it() {
    let plan = harbour();
    let before = work_out(&plan, None);
    let kept = |after: &Results| {
        let same = |a: bool| if a { "kept" } else { "new" };
        let ptr = |a: Option<bool>| same(a.unwrap_or_default());
        [
            same(Arc::ptr_eq(
                before.blocks[0].as_ref().unwrap(),
                after.blocks[0].as_ref().unwrap(),
            )),
            ptr(before
                .top
                .as_ref()
                .zip(after.top.as_ref())
                .map(|(a, b)| Arc::ptr_eq(a, b))),
            ptr(before
                .sewing
                .as_ref()
                .zip(after.sewing.as_ref())
                .map(|(a, b)| Arc::ptr_eq(a, b))),
            ptr(before
                .finishing
                .as_ref()
                .zip(after.finishing.as_ref())
                .map(|(a, b)| Arc::ptr_eq(a, b))),
            ptr(before
                .cutting
                .as_ref()
                .zip(after.cutting.as_ref())
                .map(|(a, b)| Arc::ptr_eq(a, b))),
        ]
    };
    let mut colour = plan.clone();
    colour.cloths[0].colour = Colour {
        red: 1,
        green: 2,
        blue: 3,
    };
    assert_eq!(
        kept(&work_out(&colour, Some(&before))),
        ["kept", "kept", "new", "kept", "kept"],
        "a colour: pressing to the dark may change, nothing else can"
    );
    let mut binding = plan.clone();
    binding.finishing.binding.width = Surd::int(3);
    assert_eq!(
        kept(&work_out(&binding, Some(&before))),
        ["kept", "kept", "kept", "new", "new"],
        "the binding"
    );
    let mut title = plan.clone();
    title.title.push('!');
    assert_eq!(
        kept(&work_out(&title, Some(&before))),
        ["kept"; 5],
        "the title"
    );
}
