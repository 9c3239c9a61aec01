//! Backing, batting, binding, sleeve and thread of whole plans.
#![allow(
    clippy::unwrap_used,
    reason = "a test may panic, in its helpers as well"
)]

#[path = "support/plans.rs"]
mod plans;

use std::sync::Arc;

use geometry::Surd;
use plans::{border, on_point, plain, sashing};
use proptest::prelude::*;
use quilt::block;
use quilt::finishing::{Finishing, SeamsRun, backing, batting, binding, work_out};
use quilt::measure::Measure;
use quilt::plan::{BindingRun, ClothId, Corner, Plan};
use quilt::setting;

fn finished(plan: &Plan) -> Finishing {
    let blocks: Vec<_> = plan
        .blocks
        .iter()
        .map(|b| {
            block::work_out(b, &plan.seam, &plan.ruler)
                .ok()
                .map(Arc::new)
        })
        .collect();
    let top = setting::work_out(plan, &[4]).unwrap();
    work_out(plan, &blocks, &top)
}

#[test]
fn a_throw_of_sixty_by_seventy_two() {
    let mut plan = plain(Surd::int(12), 5, 6);
    plan.finishing.backing.cloth = Some(ClothId(0));
    plan.finishing.sleeve = Some(Surd::int(4));
    let made = finished(&plan);
    // 68 × 80 with 4 in all round; two widths of 40 joined reach 79, so across takes three.
    assert_eq!(made.backing.width, Surd::int(68));
    assert_eq!(made.backing.chosen.seams, SeamsRun::Upright);
    assert_eq!(made.backing.chosen.lengths, 2);
    assert_eq!(made.backing.chosen.total, Surd::int(160));
    assert_eq!(made.backing.other.lengths, 3);
    assert_eq!(made.backing.other.total, Surd::int(204));
    assert_eq!(made.backing.buy, Surd::int(162), "4 1/2 yd");
    // 66 × 78 goes into a package of 72 × 90.
    assert_eq!(made.batting.package.unwrap().0, "twin");
    // 264 round and 10: seven strips reach 280 − 6 × 2 1/2 = 265, so eight.
    assert_eq!(made.binding.length, Surd::int(274));
    assert_eq!(made.binding.strips, 8);
    assert_eq!(made.binding.bias_square, None);
    let sleeve = made.sleeve.unwrap();
    assert_eq!(sleeve.cut_depth, Surd::ratio(17, 2));
    assert_eq!(sleeve.cut_length, Surd::int(62));
    // In each block two seams of 12 in; between them 4 of 72 and 5 of 60.
    let seams = 30.0 * 24.0 + 4.0 * 72.0 + 5.0 * 60.0;
    assert!((made.thread.seam_length - seams).abs() < 1e-9);
    assert!((made.thread.piecing - seams * 2.48 * 1.15).abs() < 1e-6);
}

#[test]
fn backing_seams_that_eat_into_the_width_ask_for_one_length_more() {
    let forty = Surd::int(40);
    let half = Surd::ratio(1, 2);
    let lengths = |needed: Surd, seam: &Surd| backing::lengths_needed(&needed, &forty, seam);
    assert_eq!(lengths(Surd::int(80), &Surd::ZERO), 2);
    assert_eq!(
        lengths(Surd::int(79), &half),
        2,
        "80 less two allowances of 1/2"
    );
    assert_eq!(lengths(Surd::ratio(159, 2), &half), 3);
    assert_eq!(lengths(Surd::int(12), &half), 1);
}

#[test]
fn a_small_quilt_needs_no_seam_in_its_back() {
    let made = finished(&plain(Surd::int(8), 4, 5));
    assert_eq!(made.backing.chosen.seams, SeamsRun::None);
    assert_eq!(made.backing.chosen.total, Surd::int(48));
}

#[test]
fn a_bias_binding_is_cut_from_a_square_in_the_plans_own_unit() {
    let mut plan = plain(Surd::int(16), 4, 4);
    plan.finishing.binding.run = BindingRun::Bias;
    plan.finishing.binding.extra = Surd::int(16);
    let made = finished(&plan);
    assert_eq!(made.binding.length, Surd::int(272));
    assert_eq!(made.binding.strips, 0);
    // 272 × 2 1/2 = 680; 26 × 25 1/2 = 663 is too little, 27 × 26 1/2 is enough.
    assert_eq!(made.binding.bias_square, Some(Surd::int(27)));

    plan.measure = Measure::Centimetre;
    plan.finishing.sleeve = Some(Surd::ratio(500, 127));
    let made = finished(&plan);
    let centimetres = |length: &Surd| length.times(127).over(50);
    let side = centimetres(&made.binding.bias_square.unwrap());
    assert_eq!(
        side,
        Surd::int(67),
        "whole centimetres: 26.33 in is 66.9 cm"
    );
    let sleeve = made.sleeve.unwrap();
    let length = centimetres(&sleeve.cut_length) - centimetres(&Surd::int(64));
    assert_eq!(length, Surd::ratio(11, 2), "5.5 cm longer, hems of 4 cm");
}

#[test]
fn what_is_bought_counts_the_wash_and_the_squaring_in() {
    let mut buying = plain(Surd::ONE, 1, 1).buying;
    buying.shrinkage = Surd::ratio(6, 100);
    // Published: 12 1/2 in and 6 % are 13 1/4, bought as 3/8 yd. Source: "How to figure
    // yardage for a quilt", Feathered Star.
    assert_eq!(
        backing::to_buy(&Surd::ratio(25, 2), &buying),
        Surd::ratio(27, 2)
    );
    buying.squaring = Surd::ONE;
    assert_eq!(backing::to_buy(&Surd::ratio(25, 2), &buying), Surd::int(18));
}

#[test]
fn batting_larger_than_every_package_has_none() {
    assert_eq!(batting::package(&Surd::int(121), &Surd::int(100)), None);
    let turned = batting::package(&Surd::int(90), &Surd::int(70)).unwrap();
    assert_eq!(turned.0, "twin", "turned a quarter");
}

fn eighths(from: i64, to: i64) -> impl Strategy<Value = Surd> {
    (from..=to).prop_map(|n| Surd::ratio(n, 8))
}

proptest! {
    #[test]
    fn lengths_and_strips_are_enough_and_one_fewer_is_not(
        needed in eighths(1, 1600), piece in eighths(160, 480), join in eighths(0, 40),
    ) {
        let n = i64::from(binding::strips_needed(&needed, &piece, &join));
        let reach = |n: i64| piece.times(n) - join.times(n - 1);
        prop_assert!(reach(n) >= needed);
        prop_assert!(n == 1 || reach(n - 1) < needed);
    }

    #[test]
    fn a_bias_square_is_enough_and_an_inch_less_is_not(
        length in eighths(80, 4000), strip in eighths(8, 32), seam in eighths(0, 4),
    ) {
        let side = binding::bias_square(&length, &strip, &seam, Measure::Inch);
        let enough = |side: &Surd| side * &(side - &seam.times(2)) >= &length * &strip;
        prop_assert!(enough(&side));
        let less = &side - &Surd::ONE;
        prop_assert!(less.sign().is_le() || !enough(&less));
    }

    #[test]
    fn finishing_holds_together(
        columns in 1u32..6, rows in 1u32..6, side in eighths(24, 120), is_on_point in any::<bool>(),
        posts in any::<bool>(), width in eighths(4, 24), mitred in any::<bool>(),
    ) {
        let mut plan = plain(side, columns, rows);
        plan.setting.sashing = Some(sashing(width.clone(), posts, true));
        plan.borders = vec![border(width, if mitred { Corner::Mitred } else { Corner::Butted })];
        if is_on_point {
            plan.setting.kind = on_point(Surd::ZERO);
        }
        let made = finished(&plan);
        let back = &made.backing;
        prop_assert!(back.chosen.total <= back.other.total);
        prop_assert!(back.buy >= back.chosen.total);
        prop_assert!(back.buy < &back.chosen.total + &plan.buying.step);
        if let Some((_, width, length)) = &made.batting.package {
            let fits = |w: &Surd, l: &Surd| made.batting.width <= *w && made.batting.height <= *l;
            prop_assert!(fits(width, length) || fits(length, width));
        }
        // Seams between tiles that fill the top: every patch's outline twice over, but
        // for the edge of the quilt.
        let top = setting::work_out(&plan, &[4]).unwrap();
        let patch = plan.blocks[0].width.to_f64() * 2.0;
        let patches = top.blocks.len() as f64 * 4.0 * patch;
        let parts: f64 = top.parts.iter().map(|p| p.outline.perimeter_f64()).sum();
        let edge = 2.0 * (&top.width + &top.height).to_f64();
        let seams = (patches + parts - edge) / 2.0;
        prop_assert!((made.thread.seam_length - seams).abs() < 1e-6 * seams.max(1.0));
    }
}
