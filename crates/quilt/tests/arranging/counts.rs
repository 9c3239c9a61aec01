//! How many settings there are.
//!
//! Sources: OEIS Foundation, *The On-Line Encyclopedia of Integer Sequences*, A368145,
//! A368138, A367536, A302484; Kagey and Keehn, "Counting tilings of the n × m grid,
//! cylinder, and torus", Journal of Integer Sequences 27 (2024), 24.6.1, whose formulas
//! also give the tables of other symmetries.

use quilt::arranging::catalogue::{by_symmetry, count, every, least};
use quilt::arranging::pose::Pose;
use quilt::arranging::repeat::{Turns, moves};

/// The block's own symmetry: poses besides lying as drafted.
pub(crate) fn own(others: &[(u8, bool)]) -> Vec<Pose> {
    let mut all = vec![Pose::UPRIGHT];
    all.extend(
        others
            .iter()
            .map(|&(turn, mirrored)| Pose::new(turn, mirrored)),
    );
    all
}

pub(crate) fn none() -> Vec<Pose> {
    own(&[])
}
pub(crate) fn half_turn() -> Vec<Pose> {
    own(&[(2, false)])
}
pub(crate) fn quarter_turn() -> Vec<Pose> {
    own(&[(1, false), (2, false), (3, false)])
}
pub(crate) fn side_mirror() -> Vec<Pose> {
    own(&[(0, true)])
}
pub(crate) fn slanting_mirror() -> Vec<Pose> {
    own(&[(1, true)])
}
pub(crate) fn two_side_mirrors() -> Vec<Pose> {
    own(&[(2, false), (0, true), (2, true)])
}
pub(crate) fn two_slanting_mirrors() -> Vec<Pose> {
    own(&[(2, false), (1, true), (3, true)])
}

pub(crate) fn turns_only(own: &[Pose]) -> Turns {
    Turns::of_block(own, false, true)
}
pub(crate) fn with_mirrors(own: &[Pose]) -> Turns {
    Turns::of_block(own, true, true)
}

#[test]
fn repeats_number_as_published() {
    let table: [(&str, Turns, [u128; 4]); 9] = [
        (
            "A368145: no symmetry, turns only",
            turns_only(&none()),
            [1, 23, 7_296, 67_124_336],
        ),
        (
            "half turn, turns only",
            turns_only(&half_turn()),
            [1, 4, 24, 1_155],
        ),
        (
            "A368138: no symmetry, mirrored too",
            with_mirrors(&none()),
            [1, 154, 1_864_192, 2_199_026_796_168],
        ),
        (
            "A367536: slanting mirror",
            with_mirrors(&slanting_mirror()),
            [1, 17, 3_692, 33_572_458],
        ),
        (
            "side mirror",
            with_mirrors(&side_mirror()),
            [1, 16, 3_692, 33_570_410],
        ),
        (
            "half turn",
            with_mirrors(&half_turn()),
            [1, 23, 3_776, 33_601_130],
        ),
        (
            "quarter turn",
            with_mirrors(&quarter_turn()),
            [1, 4, 14, 613],
        ),
        (
            "two side mirrors",
            with_mirrors(&two_side_mirrors()),
            [1, 4, 18, 733],
        ),
        (
            "two slanting mirrors",
            with_mirrors(&two_slanting_mirrors()),
            [1, 4, 18, 669],
        ),
    ];
    for (what, turns, wanted) in table {
        for (side, wanted) in (1..).zip(wanted) {
            assert_eq!(
                count(side, side, &turns, true),
                Some(wanted),
                "{what}, {side}"
            );
        }
    }
}

#[test]
fn whole_tops_number_as_published() {
    let sizes = [(1, 1), (1, 2), (2, 2), (2, 3), (3, 3), (3, 4), (4, 4)];
    let table: [(&str, Turns, [u128; 7]); 9] = [
        (
            "no symmetry, turns only",
            turns_only(&none()),
            [1, 10, 70, 2_080, 65_536, 8_390_656, 1_073_758_336],
        ),
        (
            "half turn, turns only",
            turns_only(&half_turn()),
            [1, 3, 6, 36, 136, 2_080, 16_456],
        ),
        (
            "no symmetry",
            with_mirrors(&none()),
            [
                1,
                20,
                538,
                65_792,
                16_777_216,
                17_180_000_256,
                35_184_378_381_312,
            ],
        ),
        (
            "half turn",
            with_mirrors(&half_turn()),
            [1, 6, 39, 1_056, 32_896, 4_196_352, 536_895_552],
        ),
        (
            "quarter turn",
            with_mirrors(&quarter_turn()),
            [1, 2, 4, 20, 70, 1_056, 8_292],
        ),
        (
            "side mirror",
            with_mirrors(&side_mirror()),
            [1, 7, 39, 1_072, 32_896, 4_197_376, 536_895_552],
        ),
        (
            "A302484: slanting mirror",
            with_mirrors(&slanting_mirror()),
            [1, 6, 43, 1_056, 32_896, 4_196_352, 536_911_936],
        ),
        (
            "two side mirrors",
            with_mirrors(&two_side_mirrors()),
            [1, 3, 4, 24, 84, 1_120, 8_292],
        ),
        (
            "two slanting mirrors",
            with_mirrors(&two_slanting_mirrors()),
            [1, 2, 6, 20, 84, 1_056, 8_548],
        ),
    ];
    for (what, turns, wanted) in table {
        for ((rows, columns), wanted) in sizes.into_iter().zip(wanted) {
            let found = count(rows, columns, &turns, false);
            assert_eq!(found, Some(wanted), "{what}, {rows} × {columns}");
        }
    }
}

#[test]
fn the_catalogue_is_as_long_as_the_formula_says() {
    let blocks = [
        none(),
        half_turn(),
        quarter_turn(),
        side_mirror(),
        slanting_mirror(),
    ];
    for own in &blocks {
        for turns in [turns_only(own), with_mirrors(own)] {
            for (rows, columns) in [(1, 1), (1, 2), (2, 1), (2, 2), (2, 3), (3, 3)] {
                for repeats in [true, false] {
                    let wanted = count(rows, columns, &turns, repeats).unwrap();
                    // The longest lists are left to the formula.
                    if wanted < 40_000 {
                        let list = every(rows, columns, &turns, repeats).unwrap();
                        assert_eq!(list.len() as u128, wanted, "{turns:?} {rows} × {columns}");
                    }
                }
            }
        }
    }
}

#[test]
fn no_setting_comes_twice_and_each_is_its_least_form() {
    let turns = turns_only(&none());
    let all = moves(3, 3, &turns, true);
    let list = every(3, 3, &turns, true).unwrap();
    assert!(list.windows(2).all(|pair| pair[0] < pair[1]));
    assert!(
        list.iter()
            .all(|cells| least(cells, &all, &turns) == *cells)
    );
}

/// Built by symmetry, the list holds just those of the exhaustive list whose symmetry
/// joins their cells into so few sets.
#[test]
fn by_symmetry_finds_what_going_through_all_finds() {
    for (side, turns) in [
        (2, turns_only(&none())),
        (2, with_mirrors(&none())),
        (3, turns_only(&none())),
        (3, with_mirrors(&slanting_mirror())),
    ] {
        let all = moves(side, side, &turns, true);
        for free in 1..=3 {
            let wanted: Vec<Vec<u8>> = every(side, side, &turns, true)
                .unwrap()
                .into_iter()
                .filter(|cells| {
                    let keeps = all.iter().filter(|m| m.applied(&turns, cells) == *cells);
                    let mut sets: Vec<usize> = (0..cells.len()).collect();
                    for one in keeps {
                        for (from, &to) in one.to.iter().enumerate() {
                            let (a, b) = (sets[from], sets[usize::from(to)]);
                            sets.iter_mut().filter(|s| **s == b).for_each(|s| *s = a);
                        }
                    }
                    sets.sort_unstable();
                    sets.dedup();
                    sets.len() <= free
                })
                .collect();
            assert_eq!(
                by_symmetry(side, &turns, free),
                wanted,
                "side {side}, {free} free"
            );
        }
    }
}

#[test]
fn four_by_four_by_symmetry_holds_the_smaller_repeats() {
    let turns = turns_only(&none());
    let list = by_symmetry(4, &turns, 4);
    let all = moves(4, 4, &turns, true);
    for small in every(2, 2, &turns, true).unwrap() {
        let large: Vec<u8> = (0..16).map(|i| small[(i / 4 % 2) * 2 + i % 2]).collect();
        assert!(list.contains(&least(&large, &all, &turns)), "{small:?}");
    }
    assert!(list.windows(2).all(|pair| pair[0] < pair[1]));
}
