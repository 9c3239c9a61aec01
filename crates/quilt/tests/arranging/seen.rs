//! What is seen in the demos.

use quilt::arranging::Reach;
use quilt::arranging::figures::figures;
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::says::tallies;
use quilt::plan::{Plan, Repeat};
use quilt::results::{Results, work_out};

pub(crate) fn demo(name: &str) -> (Plan, Results) {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(format!("../../examples/{name}.toml"));
    let text = std::fs::read_to_string(path).unwrap();
    let plan = planfile::read(name, &text).unwrap();
    let results = work_out(&plan, None);
    (plan, results)
}

/// Whole and clipped figures of a family.
fn counted(plan: &Plan, results: &Results, like: Likeness, name: &str) -> (usize, usize) {
    let top = results.top.as_ref().unwrap();
    let found = figures(plan, &results.blocks, top, Classes::of(plan, like));
    let of = tallies(plan, &found);
    let mine = of.iter().filter(|t| t.name == name);
    mine.fold((0, 0), |(w, c), t| (w + t.whole, c + t.clipped))
}

/// Each group of four turned about its middle (common practice for blocks with arms): one
/// arm makes nine whole figures, the opposite one four, and twelve the edge clips.
#[test]
fn nine_whole_and_four_whole_with_twelve_clipped() {
    let (plan, results) = demo("harbour-lights");
    for like in [Likeness::Family, Likeness::Place] {
        let name = |family: &'static str, place: &'static str| {
            if like == Likeness::Family {
                family
            } else {
                place
            }
        };
        assert_eq!(
            counted(&plan, &results, like, name("rust", "arm 1")),
            (9, 0)
        );
        assert_eq!(
            counted(&plan, &results, like, name("straw", "arm 3")),
            (4, 12)
        );
    }
    let seen = results.arranging.unwrap();
    assert_eq!(seen.symmetry.name(), "p4");
    assert!(
        seen.says.to_lowercase().contains("nine whole rust figures"),
        "{}",
        seen.says
    );
    assert!(
        seen.says
            .contains("four whole straw figures, twelve clipped"),
        "{}",
        seen.says
    );
    assert!(!seen.reason.is_empty());
}

#[test]
fn whole_figures_of_one_arm_are_one_shape_in_every_turn() {
    let (plan, results) = demo("harbour-lights");
    let top = results.top.as_ref().unwrap();
    let found = figures(
        &plan,
        &results.blocks,
        top,
        Classes::of(&plan, Likeness::Place),
    );
    let arm = |name: &str| {
        let class = found.classes.names.iter().position(|n| n == name).unwrap();
        let whole = found
            .figures
            .iter()
            .filter(move |f| f.class == class && !f.clipped);
        whole.collect::<Vec<_>>()
    };
    let (one, three) = (arm("arm 1"), arm("arm 3"));
    assert!(one.iter().chain(&three).all(|f| f.shape == one[0].shape));
    assert!(
        one.iter()
            .all(|f| f.blocks.len() == 4 && f.reach == Reach::Figure)
    );
    // The whole field is covered once.
    let covered: f64 = found.figures.iter().map(|f| f.area.to_f64()).sum();
    assert!((covered - 3600.0).abs() < 1e-9, "{covered}");
}

#[test]
fn all_blocks_alike_show_bands_or_single_figures_only() {
    let (mut plan, _) = demo("harbour-lights");
    plan.setting.cells = Repeat {
        rows: 1,
        columns: 1,
        cells: vec![plan.setting.cells.cells[3]],
    };
    let results = work_out(&plan, None);
    assert_eq!(results.arranging.as_ref().unwrap().symmetry.name(), "p1");
    assert_eq!(
        counted(&plan, &results, Likeness::Family, "rust").0,
        36 - 11
    );
}

#[test]
fn a_change_of_the_border_keeps_and_a_change_of_turns_reworks_what_is_seen() {
    let (plan, before) = demo("harbour-lights");
    let mut other = plan.clone();
    other.setting.cells.cells.swap(0, 3);
    let after = work_out(&other, Some(&before));
    assert_ne!(
        after.arranging.as_ref().unwrap().says,
        before.arranging.as_ref().unwrap().says
    );
    let mut thread = plan.clone();
    thread.finishing.binding.extra = geometry::Surd::int(20);
    let kept = work_out(&thread, Some(&before));
    assert!(std::sync::Arc::ptr_eq(
        kept.arranging.as_ref().unwrap(),
        before.arranging.as_ref().unwrap()
    ));
}
