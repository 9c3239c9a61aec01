//! Tops tried quickly equal tops looked at exactly; settings come in the order asked.

use std::collections::BTreeSet;

use quilt::arranging::Reach;
use quilt::arranging::catalogue::every;
use quilt::arranging::choice::{
    Question, around, in_plan, own_setting, settings, trade_name, whole_everywhere,
};
use quilt::arranging::figures::figures;
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::{Motif, Score, Trying};
use quilt::arranging::repeat::Turns;
use quilt::plan::{BlockId, Plan};
use quilt::results::{Results, work_out};

use crate::counts::{slanting_mirror, with_mirrors};
use crate::seen::demo;

fn motif(plan: &Plan, results: &Results) -> (Classes, Motif) {
    let classes = Classes::of(plan, Likeness::Family);
    let block = results.blocks[0].as_deref().unwrap();
    let motif = Motif::of(plan, BlockId(0), block, &classes, false).unwrap();
    (classes, motif)
}

/// The exact way: whole, clipped and largest of each class on the plan's own top.
fn looked_at(plan: &Plan, classes: &Classes) -> Vec<Score> {
    let results = work_out(plan, None);
    let top = results.top.as_ref().unwrap();
    let mut scores = vec![Score::default(); classes.names.len()];
    for figure in figures(plan, &results.blocks, top, classes.clone()).figures {
        let score = &mut scores[figure.class];
        if figure.clipped {
            score.clipped += 1;
        } else {
            score.whole_area += figure.area.to_f64();
            score.whole += 1;
        }
        score.largest = score.largest.max(figure.area.to_f64());
    }
    scores
}

#[test]
fn tried_tops_equal_tops_looked_at() {
    let (plan, results) = demo("harbour-lights");
    let (classes, motif) = motif(&plan, &results);
    assert_eq!(motif.turns.len(), 4, "the block has no symmetry of its own");
    let found = settings(&motif, 2, (6, 6), Question::Calmest);
    assert_eq!(found.iter().map(|s| 1 + s.alike).sum::<usize>(), 23);
    for one in &found {
        let other = in_plan(&plan, BlockId(0), &motif.turns, one).unwrap();
        for (quick, exact) in one.scores.iter().zip(looked_at(&other, &classes)) {
            assert_eq!(
                (quick.whole, quick.clipped),
                (exact.whole, exact.clipped),
                "{one:?}"
            );
            assert!((quick.largest - exact.largest).abs() < 1e-9);
            assert!((quick.whole_area - exact.whole_area).abs() < 1e-9);
        }
    }
}

#[test]
fn asked_for_most_whole_rust_figures_the_plans_own_kind_comes_first() {
    let (plan, results) = demo("harbour-lights");
    let (classes, motif) = motif(&plan, &results);
    let rust = classes.names.iter().position(|n| n == "rust").unwrap();
    let found = settings(&motif, 2, (6, 6), Question::MostWhole(rust));
    let first = &found[0];
    assert_eq!(
        (first.scores[rust].whole, first.scores[rust].clipped),
        (9, 0)
    );
    let (side, own) = own_setting(&plan, BlockId(0), &motif.turns).unwrap();
    let mut trying = Trying::new(&motif);
    let scores = trying.top(6, 6, |r, c| own[r % side * side + c % side]);
    assert_eq!((scores[rust].whole, scores[rust].clipped), (9, 0));
    assert_eq!(first.reach[rust], Some(Reach::Figure));
    // One row more cuts three of them; only even sizes keep all whole.
    let sizes = around(&motif, first, (6, 6), rust);
    let taller = sizes
        .iter()
        .find(|s| (s.rows, s.columns, s.start) == (7, 6, 0))
        .unwrap();
    assert_eq!((taller.score.whole, taller.score.clipped), (9, 3));
    let whole = whole_everywhere(&sizes, (6, 6)).unwrap();
    assert_eq!((whole.rows, whole.columns, whole.start), (6, 6, 0));
}

#[test]
fn questions_put_their_own_answers_first() {
    let (plan, results) = demo("harbour-lights");
    let (_, motif) = motif(&plan, &results);
    let alike = settings(&motif, 2, (6, 6), Question::MostAlike);
    assert_eq!(alike[0].symmetry.name(), "p4");
    let centre = settings(&motif, 2, (6, 6), Question::AboutCentre);
    assert_eq!(centre[0].centred, 4);
    let shapes = |s: &quilt::arranging::choice::Setting| {
        s.scores.iter().map(|s| s.whole + s.clipped).sum::<usize>()
    };
    let calm = settings(&motif, 2, (6, 6), Question::Calmest);
    assert!(
        calm.windows(2)
            .all(|pair| shapes(&pair[0]) <= shapes(&pair[1]))
    );
}

/// Common practice: the four settings of log cabin quilts. Three have a repeat of two by
/// two; barn raising grows from the middle and has none.
#[test]
fn the_named_settings_of_two_halves_are_in_the_catalogue() {
    let turns: Turns = with_mirrors(&slanting_mirror());
    let names: Vec<&str> = every(2, 2, &turns, true)
        .unwrap()
        .iter()
        .filter_map(|cells| {
            // Its mirror line runs up to the right: one half is top right as drafted.
            trade_name(6, 6, |r, c| {
                turns.poses[usize::from(cells[r % 2 * 2 + c % 2])]
                    .turn()
                    .wrapping_add(1)
                    % 4
            })
        })
        .collect();
    let different: BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(names.len(), different.len(), "each once: {names:?}");
    assert_eq!(
        different,
        BTreeSet::from([
            "straight furrow",
            "sunshine and shadow",
            "streak of lightning"
        ])
    );
    let barn = |r: usize, c: usize| {
        let ring = (r.min(5 - r) + c.min(5 - c)).is_multiple_of(2);
        let inward = match (r < 3, c < 3) {
            (true, true) => 2,
            (true, false) => 3,
            (false, false) => 0,
            (false, true) => 1,
        };
        if ring { inward } else { (inward + 2) % 4 }
    };
    assert_eq!(trade_name(6, 6, barn), Some("barn raising"));
    assert_eq!(trade_name(6, 6, |_, _| 0), None);
}
