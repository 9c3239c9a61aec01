//! Sizes to cut against published figures (`fixtures/handbook`, sources beside each row)
//! and against a chart of our own for what nobody printed.

use geometry::Surd;
use quilt::making::{Batch, Grain};
use quilt::plan::{UnitKind, Way, Wish};

use super::bench::{block, goose, half_square, hourglass, inches, only, quilt, unit, way, worked};
use super::support::handbook::rows;

/// The sizes cut for a way, as the ruler shows them, in the order they are taken.
fn sizes(batch: &Batch, made: Way) -> Vec<Surd> {
    let takes = way(batch, made).takes;
    takes
        .into_iter()
        .map(|(_, take)| take.height.size)
        .collect()
}

/// Finished side, squares for two at a time, for eight, for four. Worked out by hand from
/// F + ⅞, 2(F + ⅞) and √2(F + ½) + ½ rounded up to ⅛ (our own sums, nobody's chart).
const HALF_SQUARES: [(&str, &str, &str, &str); 12] = [
    ("1", "1 7/8", "3 3/4", "2 5/8"),
    ("1 1/2", "2 3/8", "4 3/4", "3 3/8"),
    ("2", "2 7/8", "5 3/4", "4 1/8"),
    ("2 1/2", "3 3/8", "6 3/4", "4 3/4"),
    ("3", "3 7/8", "7 3/4", "5 1/2"),
    ("3 1/2", "4 3/8", "8 3/4", "6 1/4"),
    ("4", "4 7/8", "9 3/4", "6 7/8"),
    ("5", "5 7/8", "11 3/4", "8 3/8"),
    ("6", "6 7/8", "13 3/4", "9 3/4"),
    ("8", "8 7/8", "17 3/4", "12 5/8"),
    ("10", "10 7/8", "21 3/4", "15 3/8"),
    ("12", "12 7/8", "25 3/4", "18 1/4"),
];

#[test]
fn half_squares_of_every_usual_size() {
    for (finished, two, eight, four) in HALF_SQUARES {
        let batch = half_square(&inches(finished));
        for (made, size) in [
            (Way::TwoAtATime, two),
            (Way::EightAtATime, eight),
            (Way::FourAtATime, four),
        ] {
            let cut = sizes(&batch, made);
            assert_eq!(cut, vec![inches(size); 2], "{finished} {made:?}");
        }
    }
}

#[test]
fn half_squares_are_cut_as_published() {
    let table = rows(include_str!(
        "../../../../fixtures/handbook/half-square.csv"
    ));
    let mut seen = 0;
    for row in &table {
        let made = match row.text("method") {
            "loose" => Way::TwoAtATime,
            "eight" => Way::EightAtATime,
            _ => continue,
        };
        if row.text("given") != "finished" || row.text("asked") != "start" {
            continue;
        }
        let (Some(finished), Some(published)) = (row.size("size"), row.size("published")) else {
            continue;
        };
        let cut = sizes(&half_square(&finished), made).swap_remove(0);
        match row.status() {
            "AGREE" => assert_eq!(cut, published, "{}", row.why()),
            "OVERSIZE" => assert!(cut < published, "{}", row.why()),
            _ => continue,
        }
        seen += 1;
    }
    assert!(seen >= 6, "{seen} rows");
}

#[test]
fn geese_are_cut_as_published() {
    let table = rows(include_str!("../../../../fixtures/handbook/geese.csv"));
    let mut seen = 0;
    for row in &table {
        let made = match row.text("method") {
            "four from squares" => Way::FourAtATime,
            "rectangle with corners" => Way::StitchAndFlip,
            _ => continue,
        };
        let (Some(width), Some(height)) = (row.size("width"), row.size("height")) else {
            continue;
        };
        if row.status() != "AGREE" || width != height.times(2) {
            continue;
        }
        let recipe = way(&goose(&height), made);
        let large = &recipe.takes[0].1;
        assert_eq!(
            Some(large.width.size.clone()),
            row.size("large_width"),
            "{}",
            row.why()
        );
        assert_eq!(
            Some(large.height.size.clone()),
            row.size("large_height"),
            "{}",
            row.why()
        );
        for (_, small) in &recipe.takes[1..] {
            assert_eq!(
                Some(small.height.size.clone()),
                row.size("small"),
                "{}",
                row.why()
            );
        }
        seen += 1;
    }
    assert!(seen >= 11, "{seen} rows");
}

#[test]
fn hourglasses_begin_with_the_square_of_their_quarters() {
    let table = rows(include_str!(
        "../../../../fixtures/handbook/quarter-square.csv"
    ));
    for row in &table {
        let side = row.size("long_side").unwrap();
        let cut = sizes(&hourglass(&side), Way::TwoAtATime);
        assert_eq!(cut, vec![row.size("square").unwrap(); 2], "{}", row.why());
    }
    assert!(!table.is_empty());
}

#[test]
fn one_go_gives_two_four_or_eight() {
    let batch = half_square(&Surd::int(3));
    let counts = |made| {
        let recipe = way(&batch, made);
        let cut: Vec<u32> = recipe.takes.iter().map(|(_, take)| take.count).collect();
        (recipe.goes, cut, recipe.made)
    };
    assert_eq!(batch.needed, 10);
    assert_eq!(counts(Way::TwoAtATime), (5, vec![5, 5], 10));
    assert_eq!(counts(Way::FourAtATime), (3, vec![3, 3], 12));
    assert_eq!(counts(Way::EightAtATime), (2, vec![2, 2], 16));
    let four = way(&goose(&Surd::int(2)), Way::FourAtATime);
    assert_eq!((four.goes, four.made), (3, 12));
    let small: u32 = four.takes[1..].iter().map(|(_, take)| take.count).sum();
    assert_eq!(small, 12, "four small squares for each large one");
    assert_eq!(way(&hourglass(&Surd::int(4)), Way::TwoAtATime).made, 10);
}

#[test]
fn four_at_a_time_leaves_bias_outside_and_the_others_do_not() {
    let batch = half_square(&Surd::int(3));
    assert_eq!(way(&batch, Way::FourAtATime).grain, Grain::BiasOutside);
    for straight in [Way::TwoAtATime, Way::EightAtATime] {
        assert_eq!(way(&batch, straight).grain, Grain::AsPlanned);
    }
    assert_eq!(
        way(&goose(&Surd::int(2)), Way::FourAtATime).grain,
        Grain::AsPlanned
    );
    assert_eq!(
        way(&hourglass(&Surd::int(4)), Way::TwoAtATime).grain,
        Grain::AsPlanned
    );
}

#[test]
fn a_rail_comes_from_a_strip_set() {
    // Four rails 1 in wide and 4 in long are strips 1½ in wide, crosscut at 4½ in: 8 from 40 in.
    let rows = ["A B C D", "^ ^ ^ ^", "^ ^ ^ ^", "^ ^ ^ ^"];
    let batch = unit(&Surd::int(4), &Surd::int(4), &rows, &["A", "B", "C", "D"]);
    assert_eq!((batch.kind, batch.needed), (UnitKind::Row, 10));
    let set = way(&batch, Way::StripSet);
    assert_eq!(
        (set.goes, set.made),
        (2, 10),
        "eight from one, two from another"
    );
    assert_eq!(set.takes.len(), 8);
    for (index, (_, take)) in set.takes.iter().enumerate() {
        assert_eq!(take.height.size, inches("1 1/2"));
        // Eight crosscuts take 36 in, two 9 in; half an inch to square the ends.
        let long = if index < 4 { "36 1/2" } else { "9 1/2" };
        assert_eq!(take.width.size, inches(long));
    }
    // Two sets of four strips, ten crosscuts; three seams a set.
    assert_eq!((set.work.cuts, set.work.lines, set.work.seams), (18, 0, 6));
    assert_eq!(way(&batch, Way::Singly).work.seams, 30);
}

#[test]
fn strip_sets_are_as_many_as_the_width_asks_for() {
    // Rows of two squares finished f, N of them: ⌈N(f + 2s) ⁄ W⌉ strips of each where the
    // crosscuts divide the width (16 × 2½ = 40, 20 × 2 = 40).
    for (finished, copies) in [("2", 40), ("2", 33), ("1 1/2", 40), ("1 1/2", 10)] {
        let side = inches(finished).times(2);
        let plan = quilt(
            block(side.clone(), side.half(), &["A B"], &["A", "B"]),
            copies,
            Wish::TruestGrain,
        );
        let batch = only(&worked(&plan));
        let set = way(&batch, Way::StripSet);
        let crosscut = &inches(finished) + &inches("1/2");
        let strips = crosscut
            .times(i64::from(batch.needed))
            .checked_div(&Surd::int(40))
            .unwrap()
            .ceil();
        assert_eq!(i64::from(set.goes), strips, "{finished} × {}", batch.needed);
    }
}

#[test]
fn corners_are_stitched_and_flipped() {
    // A 6 in square with 2 in corners: a square 6½ in and four of 2½ in. Each corner is a
    // half-square cell, the rest of the block one patch.
    let side = Surd::int(6);
    let piece = |corners: &[(i64, i64)]| {
        let points = corners.iter().map(|&(x, y)| geometry::Point::ints(x, y));
        geometry::Polygon::new(points.collect()).unwrap()
    };
    let mut made = block(side.clone(), side, &["A"], &["A", "B"]);
    made.draft = quilt::plan::Draft::Pieces {
        pieces: vec![
            (
                "A".into(),
                piece(&[
                    (2, 0),
                    (4, 0),
                    (6, 2),
                    (6, 4),
                    (4, 6),
                    (2, 6),
                    (0, 4),
                    (0, 2),
                ]),
            ),
            ("B".into(), piece(&[(0, 0), (2, 0), (0, 2)])),
            ("B".into(), piece(&[(4, 0), (6, 0), (6, 2)])),
            ("B".into(), piece(&[(6, 4), (6, 6), (4, 6)])),
            ("B".into(), piece(&[(0, 4), (2, 6), (0, 6)])),
        ],
    };
    let batch = only(&worked(&quilt(made, 10, Wish::LeastWork)));
    assert_eq!(
        (batch.kind, batch.recipe().way),
        (UnitKind::Corners, Way::StitchAndFlip)
    );
    let takes = &batch.recipe().takes;
    let sizes: Vec<(Surd, u32)> = takes
        .iter()
        .map(|(_, take)| (take.height.size.clone(), take.count))
        .collect();
    let corner = (inches("2 1/2"), 10);
    let mut wanted = vec![(inches("6 1/2"), 10)];
    wanted.extend(vec![corner; 4]);
    assert_eq!(sizes, wanted);
}
