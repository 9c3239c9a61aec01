//! Tops tried quickly equal tops looked at exactly; settings come in the order asked.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::ops::ControlFlow;

use quilt::arranging::Reach;
use quilt::arranging::catalogue::every;
use quilt::arranging::choice::{
    Question, Setting, in_plan, own_setting, settings, settings_watched, tried,
};
use quilt::arranging::figures::figures;
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::{Motif, Score};
use quilt::arranging::named::trade_name;
use quilt::arranging::repeat::Turns;
use quilt::arranging::sizes::{advice, around, whole_everywhere};
use quilt::plan::Plan;
use quilt::results::{Results, work_out};

use crate::counts::{slanting_mirror, with_mirrors};
use crate::seen::demo;

fn motif(plan: &Plan, results: &Results) -> (Classes, Motif) {
    let classes = Classes::of(plan, Likeness::Family);
    let motif = Motif::of(plan, &results.blocks, &classes, false).unwrap();
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
        let other = in_plan(&plan, &motif, one).unwrap();
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
    let own = own_setting(&plan, &motif).unwrap();
    assert_eq!((own.scores[rust].whole, own.scores[rust].clipped), (9, 0));
    assert_eq!(first.reach[rust], Some(Reach::Figure));
    // One row more cuts three of them; only even sizes keep all whole.
    let sizes = around(&motif, first, (6, 6), rust);
    let taller = sizes
        .iter()
        .find(|s| (s.rows, s.columns, s.start) == (7, 6, (0, 0)))
        .unwrap();
    assert_eq!((taller.score.whole, taller.score.clipped), (9, 3));
    let whole = whole_everywhere(&sizes, (6, 6)).unwrap();
    assert_eq!((whole.rows, whole.columns, whole.start), (6, 6, (0, 0)));
}

#[test]
fn questions_put_their_own_answers_first() {
    let (plan, results) = demo("harbour-lights");
    let (_, motif) = motif(&plan, &results);
    let alike = settings(&motif, 2, (6, 6), Question::MostAlike);
    assert_eq!(alike[0].symmetry.name(), "p4");
    let centre = settings(&motif, 2, (6, 6), Question::AboutCentre);
    assert_eq!(centre[0].centred, 4);
    let shapes = |s: &Setting| s.scores.iter().map(|s| s.whole + s.clipped).sum::<usize>();
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

/// The middle by looking: the area of the largest figure of the class that does not
/// touch the edge and has its extent about the middle of the top. Patches hang together
/// where a stretch of an edge of one lies on an edge of the other; in floats, patch by
/// patch.
fn in_the_middle(plan: &Plan, classes: &Classes, class: usize) -> f64 {
    let results = work_out(plan, None);
    let top = results.top.as_ref().unwrap();
    let mut patches: Vec<Vec<[f64; 2]>> = Vec::new();
    for placed in &top.blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        for patch in &block.patches {
            let place = patch.place.unwrap();
            let cloth = plan.block(placed.block).places[place].cloths[0];
            if classes.class(placed.block, place, cloth) == class {
                let moved = patch.outline.moved(&placed.motion);
                patches.push(moved.points().iter().map(|p| p.to_f64()).collect());
            }
        }
    }
    let mut set: Vec<usize> = (0..patches.len()).collect();
    for a in 0..patches.len() {
        for b in 0..a {
            let (one, other) = (set[a], set[b]);
            if one != other && touch(&patches[a], &patches[b]) {
                set.iter_mut()
                    .filter(|s| **s == one)
                    .for_each(|s| *s = other);
            }
        }
    }
    let size = [top.width.to_f64(), top.height.to_f64()];
    let mut largest = 0.0_f64;
    for of in 0..patches.len() {
        let members = || {
            (0..patches.len())
                .filter(|&i| set[i] == of)
                .map(|i| &patches[i])
        };
        let ends = |axis: usize| {
            let along = members().flatten().map(|p| p[axis]);
            along.fold((f64::MAX, f64::MIN), |(low, high), x| {
                (low.min(x), high.max(x))
            })
        };
        let whole_and_about = |axis: usize| {
            let (low, high) = ends(axis);
            low > 1e-6 && high < size[axis] - 1e-6 && (low + high - size[axis]).abs() < 1e-6
        };
        if members().next().is_some() && whole_and_about(0) && whole_and_about(1) {
            largest = largest.max(members().map(|ring| area(ring)).sum());
        }
    }
    largest
}

fn area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    let twice: f64 = ring
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - a[1] * b[0])
        .sum();
    twice.abs() / 2.0
}

fn touch(one: &[[f64; 2]], other: &[[f64; 2]]) -> bool {
    let edges = |ring: &[[f64; 2]]| -> Vec<([f64; 2], [f64; 2])> {
        let next = ring.iter().cycle().skip(1);
        ring.iter().copied().zip(next.copied()).collect()
    };
    let others = edges(other);
    edges(one).into_iter().any(|(a, b)| {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy);
        let off = |p: [f64; 2]| ((p[0] - a[0]) * dy - (p[1] - a[1]) * dx).abs() / long;
        let along = |p: [f64; 2]| ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long;
        others.iter().any(|&(c, d)| {
            let (low, high) = (along(c).min(along(d)), along(c).max(along(d)));
            off(c) < 1e-6 && off(d) < 1e-6 && high.min(long) - low.max(0.0) > 1e-6
        })
    })
}

#[test]
fn figures_about_the_middle_are_those_seen_there() {
    let (mut plan, _) = demo("harbour-lights");
    for (rows, columns) in [(6, 6), (5, 5), (4, 6)] {
        (plan.setting.rows, plan.setting.columns) = (rows, columns);
        let results = work_out(&plan, None);
        let (classes, motif) = motif(&plan, &results);
        let size = (rows as usize, columns as usize);
        let mut seen = 0;
        for class in 0..classes.names.len() {
            let found = settings(&motif, 2, size, Question::InMiddle(class));
            for one in found.iter().take(2) {
                let other = in_plan(&plan, &motif, one).unwrap();
                let exact = in_the_middle(&other, &classes, class);
                assert!((one.middle[class] - exact).abs() < 1e-6, "{one:?}: {exact}");
                seen += usize::from(exact > 0.0);
            }
        }
        assert!(
            seen > 0,
            "some figure lies in the middle of {rows} × {columns}"
        );
    }
}

#[test]
fn several_blocks_are_tried_together_each_as_often_as_planned() {
    let (mut plan, _) = demo("harbour-lights");
    // A second block of the same draft, its places in other cloths.
    let mut second = plan.blocks[0].clone();
    second.name = "Second".into();
    let cloths: Vec<_> = second.places.iter().map(|p| p.cloths.clone()).collect();
    let count = cloths.len();
    for (i, place) in second.places.iter_mut().enumerate() {
        place.cloths = cloths[(i + 1) % count].clone();
    }
    plan.blocks.push(second);
    let mut cell = plan.setting.cells.cells[0];
    cell.block = quilt::plan::BlockId(1);
    (plan.setting.cells.rows, plan.setting.cells.columns) = (1, 2);
    plan.setting.cells.cells = vec![plan.setting.cells.cells[0], cell];
    (plan.setting.rows, plan.setting.columns) = (4, 4);
    plan.borders.clear();
    let results = work_out(&plan, None);
    let (classes, motif) = motif(&plan, &results);
    assert_eq!(motif.turns.len(), 8);
    let found = settings(&motif, 2, (4, 4), Question::Calmest);
    assert_eq!(found.iter().map(|s| 1 + s.alike).sum::<usize>(), kinds());
    for one in found.iter().step_by(37) {
        let other = in_plan(&plan, &motif, one).unwrap();
        let of = |id: usize| {
            let cells = &other.setting.cells.cells;
            cells.iter().filter(|c| c.block.0 == id).count()
        };
        assert_eq!((of(0), of(1)), (2, 2));
        for (quick, exact) in one.scores.iter().zip(looked_at(&other, &classes)) {
            assert_eq!((quick.whole, quick.clipped), (exact.whole, exact.clipped));
        }
    }
}

/// Repeats of 2 × 2 of two blocks without symmetry, two of each, up to turning and
/// shifting: counted by marking.
fn kinds() -> usize {
    type Cells = [(u8, u8); 4];
    let turned = |c: Cells| -> Cells {
        // A quarter turn clockwise: left column from the bottom becomes the top row.
        [c[2], c[0], c[3], c[1]].map(|(block, turn)| (block, (turn + 1) % 4))
    };
    let mut seen = BTreeSet::new();
    let mut kinds = 0;
    for code in 0..8_u32.pow(4) {
        let cell = |i: u32| {
            let digit = code / 8_u32.pow(i) % 8;
            (
                u8::try_from(digit / 4).unwrap(),
                u8::try_from(digit % 4).unwrap(),
            )
        };
        let mut cells: Cells = [cell(0), cell(1), cell(2), cell(3)];
        if cells.iter().filter(|c| c.0 == 0).count() != 2 || seen.contains(&cells) {
            continue;
        }
        kinds += 1;
        for _ in 0..4 {
            cells = turned(cells);
            for [a, b, c, d] in [[0, 1, 2, 3], [1, 0, 3, 2], [2, 3, 0, 1], [3, 2, 1, 0]] {
                seen.insert([cells[a], cells[b], cells[c], cells[d]]);
            }
        }
    }
    kinds
}

#[test]
fn a_stopped_search_keeps_the_best_so_far() {
    let (plan, results) = demo("harbour-lights");
    let (_, motif) = motif(&plan, &results);
    let rust = Question::MostWhole(0);
    let all = tried(&motif, 2, (6, 6)).in_order(rust);
    let told = Cell::new((0, 0));
    let until = |last: usize| {
        let told = &told;
        move |done: usize, of: usize| {
            told.set((done, of));
            if done < last {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        }
    };
    let whole = settings_watched(&motif, 2, (6, 6), rust, &until(usize::MAX));
    assert_eq!(whole, (all.clone(), None));
    let (last, of) = told.get();
    assert_eq!(last, of, "the last repeat was told");
    let (some, stopped) = settings_watched(&motif, 2, (6, 6), rust, &until(5));
    assert_eq!(stopped, Some((5, of)));
    assert_eq!(some.iter().map(|s| 1 + s.alike).sum::<usize>(), 5);
    assert!(
        some.iter()
            .all(|one| all.iter().any(|s| s.scores == one.scores))
    );
    // Stopped at its very end it is whole.
    assert_eq!(
        settings_watched(&motif, 2, (6, 6), rust, &until(of)),
        (all, None)
    );
}

#[test]
fn a_surprise_is_the_same_for_the_same_number() {
    let (plan, results) = demo("harbour-lights");
    let (_, motif) = motif(&plan, &results);
    let drawn = |number| settings(&motif, 2, (6, 6), Question::Surprise(number));
    assert_eq!(drawn(3), drawn(3));
    let firsts: BTreeSet<Vec<u8>> = (0..12).map(|n| drawn(n)[0].cells.clone()).collect();
    assert!(
        firsts.len() > 3,
        "different numbers draw different settings"
    );
}

#[test]
fn advice_names_a_size_or_a_start_and_it_is_true() {
    let (plan, results) = demo("harbour-lights");
    let (classes, motif) = motif(&plan, &results);
    let own = own_setting(&plan, &motif).unwrap();
    let straw = classes.names.iter().position(|n| n == "straw").unwrap();
    assert_eq!(
        (own.scores[straw].whole, own.scores[straw].clipped),
        (4, 12)
    );
    let said = advice(&motif, &own, (6, 6), &classes, straw);
    assert_eq!(
        said,
        [
            "Begun one row further on and one column further on, every straw figure is whole and one lies in the middle."
        ]
    );
    let sizes = around(&motif, &own, (6, 6), straw);
    let found = whole_everywhere(&sizes, (6, 6)).unwrap();
    assert_eq!((found.start, found.score.whole), ((1, 1), 9));
}

/// Log cabin blocks: the named settings come out among the others of the plan.
#[test]
fn the_others_of_a_block_with_two_halves_carry_their_names() {
    let (mut plan, _) = demo("orchard-at-dusk");
    plan.setting.sashing = None;
    let results = work_out(&plan, None);
    let seen = results.arranging.as_ref().unwrap();
    let others = seen.others.as_ref().unwrap();
    let names: BTreeSet<&str> = others
        .others
        .iter()
        .chain([&others.own])
        .filter_map(|o| o.name)
        .collect();
    assert_eq!(
        names,
        BTreeSet::from([
            "barn raising",
            "straight furrow",
            "streak of lightning",
            "sunshine and shadow"
        ])
    );
    for other in &others.others {
        let (plan, top) = other.laid_out(&plan, &results.blocks).unwrap();
        assert_eq!(
            top.blocks.len() as u32,
            plan.setting.rows * plan.setting.columns
        );
    }
}
