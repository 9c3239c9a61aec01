//! What errors add up to, against closed formulas, a simulation and published tests.

use geometry::Surd;
use quilt::plan::Plan;
use quilt::sewing::tolerance::{advice, forecast, trimmed};
use quilt::sewing::{Errors, Forecast};

use super::support::handbook;
use super::support::{grid, sized_block, square_block};
use super::{alone, clothed, plans, set, worked};

const SEAM_TESTS: &str = include_str!("../../../../fixtures/handbook/seam-tests.csv");

fn errors(cut: f64, seam: f64, bias: f64) -> Errors {
    Errors {
        cut,
        seam,
        bias,
        measured: true,
    }
}

/// `rows` rows of `n` squares of 1 in.
fn rows_of(n: usize, rows: usize) -> quilt::plan::BlockPlan {
    let row = (0..n)
        .map(|i| ["A", "B"][i % 2])
        .collect::<Vec<_>>()
        .join(" ");
    let lines = vec![row.as_str(); rows];
    sized_block(
        "row",
        Surd::int(n as i64),
        Surd::int(rows as i64),
        grid(&lines),
    )
}

fn forecast_of(block: quilt::plan::BlockPlan, errors: &Errors) -> Forecast {
    let plan = set(block, 1, plans::one(0));
    let (blocks, _, sewing) = worked(&plan);
    forecast(
        &plan,
        blocks[0].as_ref().unwrap(),
        &sewing.blocks[0],
        errors,
    )
}

#[test]
fn a_row_of_patches_adds_up() {
    for n in 1..=12_usize {
        let found = forecast_of(rows_of(n, 1), &errors(0.02, 0.03, 1.0 / 32.0));
        let seams = n as f64 - 1.0;
        let sigma = (n as f64 * 0.02_f64.powi(2) + 4.0 * seams * 0.03_f64.powi(2)).sqrt();
        assert!(
            (found.width.sigma - sigma).abs() < 1e-9,
            "{n}: {:?}",
            found.width
        );
        assert!((found.width.mean + 2.0 * seams / 32.0).abs() < 1e-9, "{n}");
    }
    // Twelve patches with seams 1/32 in too wide end 0.6875 in short.
    let twelve = forecast_of(rows_of(12, 1), &errors(0.02, 0.02, 1.0 / 32.0));
    assert!((twelve.width.mean + 0.6875).abs() < 1e-9);
    assert!((twelve.width.sigma - 0.1497).abs() < 5e-5);
}

/// Seam line k of a row from the raw edge varies by k σ_c² + (4 (k − 1) + 1) σ_s²; two
/// rows miss each other by twice that. Drawn here 20 000 times with a fixed start.
#[test]
fn two_rows_miss_each_other_as_a_simulation_says() {
    let (n, sigma) = (12, 0.02);
    let found = forecast_of(rows_of(n, 2), &errors(sigma, sigma, 0.0));
    let misses = found.misses.last().unwrap();
    assert_eq!(misses.len(), n - 1);
    let mut by_place: Vec<(f64, f64)> = misses
        .iter()
        .map(|(at, miss)| (at.x.to_f64(), miss.sigma))
        .collect();
    by_place.sort_by(|a, b| a.0.total_cmp(&b.0));
    if by_place[0].1 > by_place[10].1 {
        // Laid from the right end.
        by_place.reverse();
    }
    for (k, (_, miss)) in (1..).zip(&by_place) {
        let variance = f64::from(k) + 4.0 * f64::from(k - 1) + 1.0;
        let wanted = (2.0 * variance).sqrt() * sigma;
        assert!(
            (miss - wanted).abs() < 1e-9,
            "{k}: {miss} instead of {wanted}"
        );
    }
    let mut chance = Chance(3);
    for k in [6, 11] {
        let runs = 20_000;
        let mut line = || {
            let cuts: f64 = (0..k).map(|_| sigma * chance.normal()).sum();
            let full: f64 = (1..k).map(|_| 2.0 * sigma * chance.normal()).sum();
            cuts - full - sigma * chance.normal()
        };
        let squares: f64 = (0..runs).map(|_| (line() - line()).powi(2)).sum();
        let drawn = (squares / f64::from(runs)).sqrt();
        let told = by_place[k - 1].1;
        assert!(
            (drawn - told).abs() < 0.02 * told,
            "{k}: {drawn} drawn, {told} told"
        );
    }
}

/// A numbers game of our own that starts the same everywhere.
struct Chance(u64);

impl Chance {
    fn even(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let (a, b) = (self.even(), self.even());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// What trimming leaves to chance, in closed form and drawn.
#[test]
fn trimming_cuts_off_and_adds_nothing() {
    let mut chance = Chance(5);
    for (reserve, sigma) in [(0.0214, 0.02), (0.0429, 0.03), (-0.01, 0.02)] {
        let told = trimmed(reserve, sigma);
        let runs = 200_000;
        let (mut short, mut lacking) = (0.0, 0.0);
        for _ in 0..runs {
            let over = reserve + sigma * chance.normal();
            if over < 0.0 {
                short += 1.0;
                lacking -= over;
            }
        }
        let drawn = [short / f64::from(runs), lacking / f64::from(runs)];
        assert!((drawn[0] - told.short).abs() < 0.005, "{drawn:?} {told:?}");
        assert!(
            (drawn[1] - told.lacking).abs() < 0.0003,
            "{drawn:?} {told:?}"
        );
    }
    assert!((trimmed(0.0, 1.0).short - 0.5).abs() < 1e-7);
}

/// Half-square units of a size whose cut size is rounded up are trimmed after sewing.
#[test]
fn half_square_units_are_trimmed() {
    let two = square_block("halves", Surd::int(6), grid(&["A/B A/B", "B A/B"]));
    let (_, sewing) = alone(clothed(two, &[("A", 0), ("B", 1)]));
    let trims = &sewing.handling[0].forecast.trims;
    assert_eq!(trims.len(), 1);
    // 7/8 in added to the leg, where s (2 + √2) would do.
    assert!((trims[0].reserve - (0.875 - 0.25 * (2.0 + 2.0_f64.sqrt()))).abs() < 1e-9);
    assert!(trims[0].chance.short > 0.0 && trims[0].chance.short < 0.5);
}

/// The published seam tests, sewn as blocks: with no error each measures what it should,
/// and a wider seam takes off what it must.
#[test]
fn published_seam_tests_hold() {
    let mut seen = 0;
    for row in handbook::rows(SEAM_TESTS) {
        let strips: usize = row.text("strips").parse().unwrap();
        let cut = row.size("strip_width").unwrap();
        let finished = &cut - &Surd::ratio(1, 2);
        let cells = (0..strips)
            .map(|i| ["A", "B"][i % 2])
            .collect::<Vec<_>>()
            .join(" ");
        let block = sized_block(
            "strips",
            finished.times(strips as i64),
            Surd::int(20),
            grid(&[&cells]),
        );
        let (_, sewing) = alone(block.clone());
        let join = sewing.blocks[0].joins.last().unwrap();
        let published = row.size("published").unwrap();
        match row.text("measured") {
            "whole" => assert_eq!(join.unit_height, published, "{}", row.why()),
            _ => assert_eq!(finished, published, "{}", row.why()),
        }
        let wide = forecast_of(block, &errors(0.0, 0.0, 0.01));
        let seams = strips as f64 - 1.0;
        assert!(
            (wide.width.mean + 0.02 * seams).abs() < 1e-9,
            "{}",
            row.why()
        );
        seen += 1;
    }
    assert_eq!(seen, 7);
}

#[test]
fn the_makers_own_strips_say_what_seam_to_sew() {
    let mut plan: Plan = set(rows_of(4, 1), 1, plans::one(0));
    assert_eq!(advice(&plan, &Errors::of(&plan)), None, "nothing measured");
    assert_eq!(Errors::of(&plan).bias, 0.0);
    plan.sewing.three_strips = vec![Surd::ratio(31, 32)];
    let found = Errors::of(&plan);
    assert!((found.bias - 1.0 / 64.0).abs() < 1e-12 && found.measured);
    let said = advice(&plan, &found).unwrap();
    assert!(
        said.contains("scant 1/4 in") && said.contains("0.016 in narrower"),
        "{said}"
    );
    plan.sewing.three_strips = [30, 31, 32, 33, 34].map(|n| Surd::ratio(n, 32)).to_vec();
    let found = Errors::of(&plan);
    assert!(found.bias.abs() < 1e-12);
    // The middles vary by 2.5 / 32²; one cut width and two allowances do that.
    let seam = ((2.5 / 1024.0 - 1.0 / 4096.0) / 2.0_f64).sqrt();
    assert!((found.seam - seam).abs() < 1e-12);
    assert!(advice(&plan, &found).unwrap().contains("leave it as it is"));
}

/// Blocks of four squares in rows are stacks of squares: the top follows the same formula
/// as one row of as many patches, and squared blocks as one row of as many blocks.
#[test]
fn the_whole_top_adds_up_like_one_long_row() {
    let mut plan = set(rows_of(2, 2), 4, plans::one(0));
    plan.sewing.cut_error = Surd::ratio(1, 50);
    plan.sewing.seam_error = Surd::ratio(3, 100);
    let (cut, seam) = (0.02, 0.03);
    let stack = |n: f64| (n * cut * cut + 4.0 * (n - 1.0) * seam * seam).sqrt();
    let found = worked(&plan).2.forecast.unwrap();
    for (as_sewn, squared) in found.size.iter().zip(&found.squared) {
        assert!((as_sewn.sigma - stack(8.0)).abs() < 1e-9, "{as_sewn:?}");
        assert!((squared.sigma - stack(4.0)).abs() < 1e-9, "{squared:?}");
        assert_eq!((as_sewn.mean, squared.mean), (0.0, 0.0));
    }
    assert_eq!(found.points, 9);
    assert!(found.showing_squared < found.showing);
    // Seams 1/64 in too wide: seven across as sewn, three between squared blocks.
    plan.sewing.three_strips = vec![Surd::ratio(31, 32)];
    let biased = worked(&plan).2.forecast.unwrap();
    assert!((biased.size[0].mean + 2.0 * 7.0 / 64.0).abs() < 1e-9);
    assert!((biased.squared[0].mean + 2.0 * 3.0 / 64.0).abs() < 1e-9);
    // A border adds two strips and four allowances on either side.
    plan.sewing.three_strips.clear();
    plan.borders = vec![plans::border(Surd::int(3), quilt::plan::Corner::Butted)];
    let bordered = worked(&plan).2.forecast.unwrap();
    let variance = stack(8.0).powi(2) + 2.0 * cut * cut + 8.0 * seam * seam;
    assert!((bordered.size[0].sigma - variance.sqrt()).abs() < 1e-9);
}

/// The points of two rows that miss by more than 1/16 in, drawn with a fixed start.
#[test]
fn points_between_rows_miss_as_often_as_a_simulation_says() {
    let mut plan = set(rows_of(2, 2), 6, plans::one(0));
    plan.sewing.cut_error = Surd::ratio(1, 64);
    plan.sewing.seam_error = Surd::ratio(1, 64);
    let found = worked(&plan).2.forecast.unwrap();
    let sigma = 1.0 / 64.0;
    let mut chance = Chance(9);
    let (mut showing, runs) = (0, 4_000);
    for _ in 0..runs {
        // Where the seams between the six blocks of a row lie, from its raw end.
        let mut row = || {
            let (mut at, mut lines) = (0.0, Vec::new());
            for block in 0..6 {
                at += sigma * (chance.normal() + chance.normal() - 2.0 * chance.normal());
                let allowance = sigma * chance.normal();
                lines.push(at - allowance);
                at -= 2.0 * allowance;
                if block == 5 {
                    lines.pop();
                }
            }
            lines
        };
        let rows: Vec<Vec<f64>> = (0..6).map(|_| row()).collect();
        for pair in rows.windows(2) {
            let missed = pair[0].iter().zip(&pair[1]);
            showing += missed
                .filter(|(a, b)| (**a - **b).abs() > 1.0 / 16.0)
                .count();
        }
    }
    let drawn = showing as f64 / f64::from(runs);
    assert_eq!(found.points, 25);
    assert!(
        (drawn - found.showing).abs() < 0.03 * found.showing,
        "{drawn} drawn, {} told",
        found.showing
    );
}
