//! The symmetry of repeats, against published histograms and against looking at points.

use std::collections::{BTreeMap, BTreeSet};

use quilt::arranging::catalogue::every;
use quilt::arranging::pose::Pose;
use quilt::arranging::repeat::Turns;
use quilt::arranging::wallpaper::{squared, symmetry};

use crate::counts::{half_turn, none, side_mirror, slanting_mirror, turns_only, with_mirrors};

fn name(side: usize, cells: &[u8], own: &[Pose], turns: &Turns) -> &'static str {
    // Compared over all eight poses, whatever the maker allows.
    let eight = Turns::of_block(own, true, true);
    let looks: Vec<u8> = cells
        .iter()
        .map(|&c| eight.placement(0, turns.poses[usize::from(c)]).unwrap())
        .collect();
    symmetry(side, &looks, false, |pose, &p| eight.turned(pose, p)).name()
}

fn histogram(own: &[Pose], turns: &Turns) -> BTreeMap<&'static str, usize> {
    let mut out = BTreeMap::new();
    for cells in every(2, 2, turns, true).unwrap() {
        *out.entry(name(2, &cells, own, turns)).or_default() += 1;
    }
    out
}

/// Computed independently for this project, by trying all motions of the repeat.
#[test]
fn two_by_two_repeats_fall_into_the_known_groups() {
    let check = |own: &[Pose], turns: &Turns, wanted: &[(&'static str, usize)]| {
        assert_eq!(histogram(own, turns), wanted.iter().copied().collect());
    };
    check(
        &none(),
        &turns_only(&none()),
        &[("p1", 16), ("p2", 5), ("p4", 2)],
    );
    let eight = [
        ("p1", 118),
        ("pg", 12),
        ("p2", 8),
        ("pm", 6),
        ("pgg", 3),
        ("cm", 2),
        ("p4", 2),
        ("pmg", 2),
        ("pmm", 1),
    ];
    check(&none(), &with_mirrors(&none()), &eight);
    let half_square = [
        ("p1", 5),
        ("cm", 4),
        ("pmg", 2),
        ("pm", 1),
        ("pg", 1),
        ("p2", 1),
        ("pgg", 1),
        ("p4m", 1),
        ("p4g", 1),
    ];
    check(
        &slanting_mirror(),
        &with_mirrors(&slanting_mirror()),
        &half_square,
    );
    let side = [
        ("p1", 5),
        ("pm", 3),
        ("pg", 3),
        ("p2", 1),
        ("cmm", 1),
        ("p4", 1),
        ("pmg", 1),
        ("pmm", 1),
    ];
    check(&side_mirror(), &with_mirrors(&side_mirror()), &side);
    let half = [("p2", 15), ("pmg", 4), ("pgg", 2), ("cmm", 1), ("p4", 1)];
    check(&half_turn(), &with_mirrors(&half_turn()), &half);
}

type P = (i64, i64);

/// One block is 8 wide and bears three marks that no turn or mirror brings onto one
/// another; its own symmetry copies them.
fn marks(side: i64, cells: &[Pose], own: &[Pose]) -> BTreeSet<P> {
    let around = 8 * side;
    let mut out = BTreeSet::new();
    for (i, pose) in (0..).zip(cells) {
        for own in own {
            for mark in [(1, 3), (2, -1), (-3, 1)] {
                let (x, y) = pose.after(*own).vector(mark);
                let at = (8 * (i % side) + 4 + x, 8 * (i / side) + 4 + y);
                out.insert((at.0.rem_euclid(around), at.1.rem_euclid(around)));
            }
        }
    }
    out
}

/// The group by looking: turning points, mirror lines, glide lines, and whether turning
/// points lie off the mirrors or glide lines off the mirrors.
fn looked_at(around: i64, marks: &BTreeSet<P>) -> &'static str {
    let holds = |f: &dyn Fn(P) -> P| {
        marks.iter().all(|&p| {
            let (x, y) = f(p);
            marks.contains(&(x.rem_euclid(around), y.rem_euclid(around)))
        })
    };
    let all = || (0..around).flat_map(|a| (0..around).map(move |b| (a, b)));
    // (x, y) → (a − y, b + x) turns about ((a − b)/2, (a + b)/2).
    let quarters: Vec<P> = all()
        .filter(|&(a, b)| holds(&|(x, y)| (a - y, b + x)))
        .collect();
    let halves: Vec<P> = all()
        .filter(|&(a, b)| holds(&|(x, y)| (a - x, b - y)))
        .collect();
    // Lines x = a/2, y = a/2, x + y = a, x − y = a, with a glide g along them.
    type Line = fn(P, i64, i64) -> P;
    let lines: [Line; 4] = [
        |(x, y), a, g| (a - x, y + g),
        |(x, y), a, g| (x + g, a - y),
        |(x, y), a, g| (a - y + g, a - x - g),
        |(x, y), a, g| (a + y + g, x - a + g),
    ];
    let places = |line: Line| -> (BTreeSet<i64>, BTreeSet<i64>) {
        let at = |glides: &dyn Fn(i64) -> bool| {
            (0..around)
                .filter(|&a| (0..around).any(|g| glides(g) && holds(&|p| line(p, a, g))))
                .collect()
        };
        (at(&|g| g == 0), at(&|_| true))
    };
    let found = lines.map(places);
    let mirrors = found.iter().filter(|(m, _)| !m.is_empty()).count();
    let any = found.iter().filter(|(_, g)| !g.is_empty()).count();
    // A glide line that is no mirror line, beside mirror lines of its direction.
    let between = found
        .iter()
        .any(|(m, g)| !m.is_empty() && g.len() > m.len());
    if !quarters.is_empty() {
        let centred = quarters.iter().any(|&(a, b)| {
            // The turning point doubled is (a − b, a + b); mirrors x = a/2 double to a.
            let (x, y) = ((a - b).rem_euclid(around), (a + b).rem_euclid(around));
            found[0].0.contains(&x) && found[1].0.contains(&y)
        });
        return match (any, centred) {
            (0, _) => "p4",
            (_, true) => "p4m",
            _ => "p4g",
        };
    }
    match (!halves.is_empty(), any, mirrors) {
        (true, 0, _) => "p2",
        (true, _, 0) => "pgg",
        (true, _, 1) => "pmg",
        (true, ..) if between => "cmm",
        (true, ..) => "pmm",
        (_, 0, _) => "p1",
        (_, _, 0) => "pg",
        _ if between => "cm",
        _ => "pm",
    }
}

#[test]
fn verdicts_equal_those_of_looking_at_every_two_by_two_repeat() {
    for own in [none(), half_turn(), side_mirror(), slanting_mirror()] {
        let turns = with_mirrors(&own);
        let count = turns.len();
        for code in 0..count.pow(4) {
            let cells: Vec<u8> = (0..4)
                .map(|i| u8::try_from(code / count.pow(i) % count).unwrap())
                .collect();
            let poses: Vec<Pose> = cells.iter().map(|&c| turns.poses[usize::from(c)]).collect();
            let seen = looked_at(16, &marks(2, &poses, &own));
            assert_eq!(name(2, &cells, &own, &turns), seen, "{poses:?} of {own:?}");
        }
    }
}

#[test]
fn an_oblong_repeat_is_judged_as_a_square_one() {
    let turns = turns_only(&none());
    let (side, cells) = squared(1, 2, &[0_u8, 2]);
    assert_eq!((side, cells.len()), (2, 4));
    assert_eq!(name(side, &cells, &none(), &turns), "p2");
}
