//! Random demands, tiny ones against every possible plan, counts against counting.

use std::collections::BTreeMap;

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::Use;
use quilt::plan::{BlockPlan, Cell, ClothId, Direction, Draft, HexagonParts, PlacePlan, Pointing};

use super::checks::sound;
use super::plans::{Bench, bench, bench_of, block, cloth, one_cell, plain};
use super::shapes::{kites, slanted};

fn eighths(n: i64) -> Surd {
    Surd::ratio(n, 8)
}

fn direction() -> impl Strategy<Value = Direction> {
    prop_oneof![
        Just(Direction::Free),
        Just(Direction::TwoWay),
        Just(Direction::OneWay)
    ]
}

/// A block of one of the shapes, everything in it of one cloth.
fn any_block() -> impl Strategy<Value = BlockPlan> {
    let size = || (8..80_i64, 8..80_i64);
    let name = |n: &str| n.to_string();
    prop_oneof![
        (16..400_i64, 8..120_i64).prop_map(|(w, h)| plain("plain", eighths(w), eighths(h))),
        (size(), any::<bool>()).prop_map(move |((w, h), rising)| {
            let (a, b) = (name("a"), name("b"));
            let cell = if rising {
                Cell::Rising(a, b)
            } else {
                Cell::Falling(a, b)
            };
            block("half", eighths(w), eighths(h), one_cell(cell), &["a", "b"])
        }),
        (8..80_i64).prop_map(move |s| {
            let cell = Cell::Hourglass(["a", "b", "c", "d"].map(name));
            block(
                "quarter",
                eighths(s),
                eighths(s),
                one_cell(cell),
                &["a", "b", "d"],
            )
        }),
        (8..60_i64, any::<bool>()).prop_map(move |(s, up)| {
            let (pointing, w, h) = if up {
                (Pointing::Up, 2 * s, s)
            } else {
                (Pointing::Left, s, 2 * s)
            };
            let cell = Cell::Goose {
                pointing,
                goose: name("a"),
                sky: name("b"),
            };
            block("goose", eighths(w), eighths(h), one_cell(cell), &["a", "b"])
        }),
        (16..80_i64, 0..4_usize).prop_map(|(w, parts)| {
            use HexagonParts::{Diamonds, Halves, Triangles, Whole};
            let draft = Draft::Hexagon {
                parts: [Whole, Halves, Diamonds, Triangles][parts],
            };
            let height = eighths(w) * Surd::root3().half();
            block("comb", eighths(w), height, draft, &["hexagon", "corner"])
        }),
        (32..120_i64, any::<bool>()).prop_map(|(s, split)| {
            let draft = Draft::Star { split };
            block(
                "star",
                eighths(s),
                eighths(s),
                draft,
                &["point", "corner", "side"],
            )
        }),
        any::<bool>().prop_map(slanted),
        Just(kites()),
    ]
}

fn any_bench() -> impl Strategy<Value = Bench> {
    let blocks = prop::collection::vec((any_block(), 1..30_u32), 1..5);
    (160..400_i64, direction(), blocks).prop_map(|(width, direction, mut blocks)| {
        for (index, (block, _)) in blocks.iter_mut().enumerate() {
            block.name = format!("{} {index}", block.name);
        }
        bench(eighths(width), direction, blocks)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_cutting_is_sound(bench in any_bench()) {
        for cutting in bench.cut() {
            sound(&bench, &cutting);
            let patches: usize = bench.top.patches;
            let left_out: u32 = cutting.too_large.iter().map(|&d| cutting.demands[d].count).sum();
            let given = bench.top.blocks.iter().map(|placed| {
                let block = bench.blocks[placed.block.0].as_ref().unwrap();
                block.patches.iter().filter(|patch| patch.place.is_some()).count()
            });
            prop_assert_eq!(cutting.pieces().count() + left_out as usize, given.sum::<usize>());
            prop_assert!(patches >= cutting.pieces().count());
        }
        // The same plan gives the same cutting.
        prop_assert_eq!(bench.cut(), bench.cut());
    }

    /// A handful of rectangles: no plan of strips beats the bound, and ours is the shortest.
    #[test]
    fn tiny_demands_against_every_plan(
        sizes in prop::collection::vec((8..200_i64, 8..200_i64), 1..6),
        turns in any::<bool>(),
    ) {
        let blocks = sizes.iter().enumerate().map(|(index, &(w, h))| {
            (plain(&format!("size {index}"), eighths(w), eighths(h)), 1)
        });
        let direction = if turns { Direction::Free } else { Direction::TwoWay };
        let bench = bench(Surd::int(40), direction, blocks.collect());
        let cutting = bench.only();
        sound(&bench, &cutting);
        let cut: Vec<(i64, i64)> = sizes.iter().map(|&(w, h)| (h + 4, w + 4)).collect();
        let best = shortest(&cut, turns, 320);
        prop_assert_eq!(cutting.needs, best, "the shortest of all plans");
        prop_assert!(cutting.at_least <= best as f64, "{} is above {best}", cutting.at_least);
    }
}

/// A limit on the strips of a height can ask for strips that nothing is left for: the
/// search must go on without them, not look at the same rest for ever.
#[test]
fn strips_that_nothing_is_left_for() {
    let sizes = [(159, 65), (8, 170), (92, 80), (81, 133)];
    let blocks = sizes
        .iter()
        .enumerate()
        .map(|(index, &(w, h))| (plain(&format!("size {index}"), eighths(w), eighths(h)), 1));
    let bench = bench(Surd::int(40), Direction::Free, blocks.collect());
    sound(&bench, &bench.only());
}

/// Points cut by template, 12 in a run: two runs must not take less than one.
#[test]
fn stars_on_narrow_cloth() {
    for split in [false, true] {
        let draft = Draft::Star { split };
        let side = eighths(77);
        let star = block(
            "star",
            side.clone(),
            side,
            draft,
            &["point", "corner", "side"],
        );
        for direction in [Direction::Free, Direction::TwoWay, Direction::OneWay] {
            let bench = bench(eighths(271), direction, vec![(star.clone(), 13)]);
            sound(&bench, &bench.only());
        }
    }
}

/// The shortest plan of strips: every way of standing and of sharing strips is tried.
fn shortest(sizes: &[(i64, i64)], turns: bool, across: i64) -> i64 {
    fn place(rest: &[(i64, i64)], strips: &mut Vec<(i64, i64)>, turns: bool, across: i64) -> i64 {
        let Some((&(h, w), rest)) = rest.split_first() else {
            return strips.iter().map(|strip| strip.0).sum();
        };
        let mut best = i64::MAX;
        let stands = if turns {
            vec![(h, w), (w, h)]
        } else {
            vec![(h, w)]
        };
        for (h, w) in stands {
            for index in 0..=strips.len() {
                if index == strips.len() {
                    strips.push((0, 0));
                }
                let before = strips[index];
                if before.1 + w <= across {
                    strips[index] = (before.0.max(h), before.1 + w);
                    best = best.min(place(rest, strips, turns, across));
                }
                strips[index] = before;
                if index + 1 == strips.len() && before == (0, 0) {
                    strips.pop();
                }
            }
        }
        best
    }
    place(sizes, &mut Vec::new(), turns, across)
}

/// A nine-patch whose places take several cloths in turn, against counting patch by patch.
#[test]
fn scraps_are_counted_as_if_one_by_one() {
    let names = ["a", "b"];
    let cells = (0..9).map(|i| Cell::Whole(names[i % 2].into())).collect();
    let three = vec![Surd::ONE; 3];
    let draft = Draft::Grid {
        columns: three.clone(),
        rows: three,
        cells,
    };
    let mut nine = block("nine", Surd::int(6), Surd::int(6), draft, &names);
    let place = |place: &PlacePlan, cloths: &[usize]| PlacePlan {
        cloths: cloths.iter().map(|&c| ClothId(c)).collect(),
        ..place.clone()
    };
    nine.places = vec![
        place(&nine.places[0], &[0, 1, 2]),
        place(&nine.places[1], &[3, 1, 4, 3]),
    ];
    let cloths = (0..5)
        .map(|_| cloth(Surd::int(40), Direction::Free))
        .collect();
    let bench = bench_of(cloths, vec![(nine, 23)]);
    let mut counted: BTreeMap<ClothId, usize> = BTreeMap::new();
    for placed in &bench.top.blocks {
        let block = bench.blocks[placed.block.0].as_ref().unwrap();
        for (index, patch) in block.patches.iter().enumerate() {
            let cloths = &bench.plan.blocks[0].places[patch.place.unwrap()].cloths;
            *counted
                .entry(cloths[(placed.copy as usize + index) % cloths.len()])
                .or_default() += 1;
        }
    }
    let cut: BTreeMap<ClothId, usize> = bench
        .cut()
        .iter()
        .map(|cutting| (cutting.cloth, cutting.pieces().count()))
        .collect();
    assert_eq!(cut, counted);
    for cutting in bench.cut() {
        sound(&bench, &cutting);
        assert!(matches!(cutting.demands[0].usage, Use::Patch(..)));
    }
}

/// Run alone in release to see how long a large top takes: `cargo test --release -p quilt
/// --test cutting -- --ignored --nocapture`.
#[test]
#[ignore = "a stopwatch, not a check"]
#[allow(clippy::disallowed_methods, reason = "a stopwatch reads the clock")]
fn how_long_a_large_top_takes() {
    let cells = |spots: [&str; 3]| -> Vec<Cell> {
        (0..36)
            .map(|i| match i % 5 {
                0 => Cell::Rising(spots[0].into(), spots[1].into()),
                1 => Cell::Hourglass([spots[0], spots[1], spots[2], spots[1]].map(Into::into)),
                _ => Cell::Whole(spots[i % 3].into()),
            })
            .collect()
    };
    let six = vec![Surd::ONE; 6];
    let spots = ["a", "b", "c"];
    let draft = |cells| Draft::Grid {
        columns: six.clone(),
        rows: six.clone(),
        cells,
    };
    let mut blocks = Vec::new();
    for (index, size) in [12, 10, 9, 15].into_iter().enumerate() {
        let mut made = block(
            &format!("b{index}"),
            Surd::int(size),
            Surd::int(size),
            draft(cells(spots)),
            &spots,
        );
        for (place, cloth) in made.places.iter_mut().zip([0, 3, 6]) {
            place.cloths = (0..3).map(|k| ClothId(cloth + k)).collect();
        }
        blocks.push((made, 25));
    }
    let cloths = (0..9)
        .map(|_| cloth(Surd::int(40), Direction::Free))
        .collect();
    let bench = bench_of(cloths, blocks);
    let start = std::time::Instant::now();
    let all = bench.cut();
    let took = start.elapsed();
    println!(
        "{} patches, {} cloths: {took:?}",
        bench.top.patches,
        all.len()
    );
    for cutting in &all {
        println!(
            "  needs {} of at least {}: {}",
            cutting.needs, cutting.at_least, cutting.bound
        );
    }
}
