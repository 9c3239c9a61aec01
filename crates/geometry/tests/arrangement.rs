//! Dividing polygons by segments and putting them together from tiles.

use geometry::{Arrangement, Fault, Point, Polygon, Segment, Surd};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn p(x: i64, y: i64) -> Point {
    Point::ints(x, y)
}

fn seg(a: (i64, i64), b: (i64, i64)) -> Segment {
    Segment::new(p(a.0, a.1), p(b.0, b.1)).expect("two different points")
}

fn square(side: i64) -> Polygon {
    Polygon::rectangle(Surd::int(side), Surd::int(side)).expect("a positive side")
}

fn tile(corners: &[(i64, i64)]) -> Polygon {
    Polygon::new(corners.iter().map(|&(x, y)| p(x, y)).collect()).expect("simple")
}

fn upright(x: i64, y: i64, right: i64, bottom: i64) -> Polygon {
    tile(&[(x, y), (right, y), (right, bottom), (x, bottom)])
}

/// Everything an arrangement promises, worked out from its public parts.
fn sweep(outline: &Polygon, found: &Arrangement) {
    let Arrangement {
        vertices,
        edges,
        faces,
    } = found;
    assert_eq!(vertices.len() + faces.len(), edges.len() + 1, "Euler");
    let whole: Surd = faces.iter().map(|face| face.polygon.area()).sum();
    assert_eq!(whole, outline.area(), "areas");
    let mut walked = vec![0; edges.len()];
    for (index, face) in faces.iter().enumerate() {
        let ring: Vec<Point> = face.ring.iter().map(|&v| vertices[v].clone()).collect();
        let ring = Polygon::new(ring).expect("rings are simple");
        assert_eq!(ring.points()[0], vertices[face.ring[0]]);
        let bare = ring.without_straight_corners();
        assert_eq!(bare.area(), face.polygon.area());
        assert_eq!(bare.points().len(), face.polygon.points().len());
        assert_eq!(found.locate(&face.polygon.inner_point()), Some(index));
        for (k, &from) in face.ring.iter().enumerate() {
            let to = face.ring[(k + 1) % face.ring.len()];
            let along = |e: &geometry::Edge| e.from == from && e.to == to && e.right == Some(index);
            let against =
                |e: &geometry::Edge| e.from == to && e.to == from && e.left == Some(index);
            let edge = edges.iter().position(|e| along(e) || against(e));
            walked[edge.expect("each step of a ring is an edge with the face beside it")] += 1;
        }
    }
    for (edge, steps) in edges.iter().zip(walked) {
        let sides = usize::from(edge.left.is_some()) + usize::from(edge.right.is_some());
        assert_eq!(sides, steps);
        assert_ne!(edge.left, edge.right);
    }
}

fn divided(outline: &Polygon, drawn: &[Segment]) -> Arrangement {
    let found = Arrangement::of(outline, drawn).expect("a clean drawing");
    sweep(outline, &found);
    found
}

#[test]
fn nothing_drawn() {
    let found = divided(&square(2), &[]);
    assert_eq!(
        (found.faces.len(), found.vertices.len(), found.edges.len()),
        (1, 4, 4)
    );
    let edge = &found.edges[0];
    assert_eq!(
        (edge.right, edge.left),
        (Some(0), None),
        "inside is on the right hand"
    );
    assert_eq!(found.locate(&p(1, 1)), Some(0));
    assert_eq!(found.locate(&p(3, 1)), None);
}

#[test]
fn a_vertex_on_a_long_edge_is_in_both_rings() {
    let found = divided(&square(4), &[seg((0, 2), (4, 2)), seg((2, 2), (2, 4))]);
    assert_eq!(found.faces.len(), 3);
    let vertex = found
        .vertices
        .iter()
        .position(|v| *v == p(2, 2))
        .expect("it was drawn");
    assert!(found.faces.iter().all(|face| face.ring.contains(&vertex)));
    assert_eq!(
        found.faces[0].polygon,
        upright(0, 0, 4, 2),
        "the top face has four corners"
    );
    // Top to bottom, then left to right.
    assert_eq!(found.faces[1].polygon.bounds().0, p(0, 2));
    assert_eq!(found.faces[2].polygon.bounds().0, p(2, 2));
}

#[test]
fn overlapping_segments_are_one() {
    let once = divided(&square(4), &[seg((0, 2), (4, 2)), seg((2, 0), (2, 4))]);
    let often = divided(
        &square(4),
        &[
            seg((0, 2), (3, 2)),
            seg((4, 2), (1, 2)),
            seg((2, 4), (2, 0)),
            seg((2, 0), (2, 4)),
            seg((1, 0), (3, 0)),
        ],
    );
    assert_eq!(once.faces.len(), 4);
    assert_eq!(often.faces.len(), 4);
    // The piece on the outline leaves its two ends as vertices.
    assert_eq!(often.edges.len(), once.edges.len() + 4);
}

#[test]
fn dented_outlines() {
    let outline = tile(&[
        (0, 0),
        (6, 0),
        (6, 6),
        (4, 6),
        (4, 2),
        (2, 2),
        (2, 6),
        (0, 6),
    ]);
    let found = divided(&outline, &[seg((0, 2), (2, 2)), seg((4, 2), (6, 2))]);
    assert_eq!(found.faces.len(), 3);
    let faults = Arrangement::of(&outline, &[seg((0, 4), (6, 4))]);
    assert_eq!(
        faults,
        Err(vec![Fault::Outside { segment: 0 }]),
        "it leaves and comes back"
    );
}

#[test]
fn what_is_wrong_with_a_drawing() {
    let short = |segment, x, y, short_by| Fault::Dangling {
        segment,
        at: p(x, y),
        short_by,
    };
    for (drawn, faults, why) in [
        (
            vec![seg((0, 8), (8, 8))],
            vec![short(0, 8, 8, None)],
            "stops in the open",
        ),
        (
            vec![seg((0, 8), (31, 8))],
            vec![short(0, 31, 8, Some(1.0))],
            "nearly there",
        ),
        (
            vec![seg((0, 8), (31, 8)), seg((0, 9), (31, 9))],
            vec![short(0, 31, 8, Some(1.0)), short(1, 31, 9, Some(1.0))],
            "all of them",
        ),
        (
            vec![seg((16, 0), (16, 32)), seg((0, 8), (17, 8))],
            vec![Fault::Overrun {
                segment: 1,
                at: p(17, 8),
                past_by: 1.0,
            }],
            "a little too far",
        ),
        (
            vec![seg((16, 0), (16, 32)), seg((0, 8), (24, 8))],
            vec![short(1, 24, 8, None)],
            "much too far",
        ),
        (
            vec![seg((0, 8), (40, 8))],
            vec![Fault::Outside { segment: 0 }],
            "leaves the outline",
        ),
        (
            vec![seg((40, 0), (40, 8))],
            vec![Fault::Outside { segment: 0 }],
            "wholly outside",
        ),
        (
            vec![seg((8, 8), (24, 24))],
            vec![short(0, 8, 8, None), short(0, 24, 24, None)],
            "both ends, and no island",
        ),
        (
            vec![
                seg((8, 8), (20, 8)),
                seg((20, 8), (20, 20)),
                seg((20, 20), (8, 8)),
            ],
            vec![Fault::Island { around: p(14, 14) }],
            "unconnected",
        ),
        (
            vec![
                seg((8, 0), (12, 8)),
                seg((12, 8), (4, 8)),
                seg((4, 8), (8, 0)),
            ],
            vec![Fault::Pinched { at: p(8, 0) }],
            "hangs on one vertex",
        ),
        (
            vec![
                seg((8, 0), (8, 4)),
                seg((8, 4), (12, 12)),
                seg((12, 12), (4, 12)),
                seg((4, 12), (8, 4)),
            ],
            vec![
                Fault::Pinched { at: p(8, 0) },
                Fault::Pinched { at: p(8, 4) },
            ],
            "hangs on one line",
        ),
        (
            vec![
                seg((0, 16), (8, 16)),
                seg((8, 16), (8, 24)),
                seg((40, 40), (50, 50)),
            ],
            vec![Fault::Outside { segment: 2 }, short(1, 8, 24, None)],
            "only the last end of a chain",
        ),
    ] {
        let mut found = Arrangement::of(&square(32), &drawn).expect_err(why);
        let mut expected = faults;
        let order = |fault: &Fault| format!("{fault:?}");
        found.sort_by_key(order);
        expected.sort_by_key(order);
        assert_eq!(found, expected, "{why}");
    }
}

#[test]
fn what_is_wrong_with_tiles() {
    let (left, right) = (upright(0, 0, 2, 4), upright(2, 0, 4, 4));
    let ring = |around, area| Fault::Uncovered {
        around,
        area: Surd::int(area),
    };
    let whole = square(4);
    let faults = |tiles: &[Polygon]| Arrangement::from_tiles(&whole, tiles).expect_err("faulty");

    assert_eq!(faults(&[]), [ring(p(2, 2), 16)]);
    assert_eq!(faults(std::slice::from_ref(&left)), [ring(p(3, 2), 8)]);
    assert_eq!(
        faults(&[left.clone(), right.clone(), left.clone()]),
        [Fault::Overlap {
            a: 0,
            b: 2,
            around: p(1, 2)
        }]
    );
    // Around a tile in the middle: the area, and a point that is not in the tile.
    let [Fault::Uncovered { around, area }] = &faults(&[upright(1, 1, 3, 3)])[..] else {
        panic!("one gap");
    };
    assert_eq!(*area, Surd::int(12));
    assert_eq!(upright(1, 1, 3, 3).locate(around), geometry::Place::Outside);
    assert_eq!(whole.locate(around), geometry::Place::Inside);
    // A wide right half: over the left one and out of the square.
    let found = faults(&[left, upright(1, 0, 5, 4)]);
    let half = |n: i64| Point::new(Surd::ratio(n, 2), Surd::int(2));
    assert_eq!(
        found,
        [
            Fault::TileOutside {
                tile: 1,
                around: half(9)
            },
            Fault::Overlap {
                a: 0,
                b: 1,
                around: half(3)
            }
        ]
    );
}

#[test]
fn tiles_keep_their_order() {
    let tiles = [
        upright(2, 2, 4, 4),
        upright(0, 0, 4, 2),
        upright(0, 2, 2, 4),
    ];
    let found = Arrangement::from_tiles(&square(4), &tiles).expect("they fit");
    sweep(&square(4), &found);
    for (face, tile) in found.faces.iter().zip(&tiles) {
        assert_eq!(&face.polygon, tile);
    }
    let vertex = found
        .vertices
        .iter()
        .position(|v| *v == p(2, 2))
        .expect("a corner of two tiles");
    assert!(
        found.faces[1].ring.contains(&vertex),
        "a corner of others on its long side"
    );
}

/// Cuts a convex polygon along the line through two points: a second way to the faces.
fn halves(polygon: &Polygon, line: &Segment) -> Vec<Polygon> {
    let side = |q: &Point| line.vector().cross(&(q - &line.a)).sign() as i8;
    let part = |keep: i8| -> Option<Polygon> {
        let mut points = Vec::new();
        for edge in polygon.edges() {
            let (from, to) = (side(&edge.a) * keep, side(&edge.b) * keep);
            if from >= 0 {
                points.push(edge.a.clone());
            }
            if from * to < 0 {
                let height = |q: &Point| line.vector().cross(&(q - &line.a));
                let (h, k) = (height(&edge.a), height(&edge.b));
                let t = h
                    .checked_div(&(&h - &k))
                    .expect("the ends are on different sides");
                points.push(&edge.a + &edge.vector().scaled(&t));
            }
        }
        Polygon::new(points).ok()
    };
    [1, -1].into_iter().filter_map(part).collect()
}

/// A point on the boundary of a square of side 12, by its place along the boundary.
fn on_boundary(place: i64) -> Point {
    let (side, along) = (place / 12 % 4, place % 12);
    match side {
        0 => p(along, 0),
        1 => p(12, along),
        2 => p(12 - along, 12),
        _ => p(0, 12 - along),
    }
}

/// Chords that run through the inside.
fn chords() -> impl Strategy<Value = Vec<Segment>> {
    prop::collection::vec((0_i64..48, 0_i64..48), 0..9).prop_map(|ends| {
        ends.into_iter()
            .filter(|(a, b)| a / 12 != b / 12)
            .filter_map(|(a, b)| Segment::new(on_boundary(a), on_boundary(b)))
            .filter(|line| square(12).locate(&line.middle()) == geometry::Place::Inside)
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 150, rng_seed: RngSeed::Fixed(3), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn chords_divide_a_square(drawn in chords(), turn in 0_i64..24, mirrored in any::<bool>()) {
        // Turned by multiples of 15° to leave the rational numbers.
        let by = geometry::Motion::turn_degrees(15 * turn).expect("a multiple of 15");
        let by = if mirrored { geometry::Motion::mirror_x().then(&by) } else { by };
        let outline = square(12).moved(&by);
        let moved = |s: &Segment| Segment::new(by.apply(&s.a), by.apply(&s.b));
        let drawn: Vec<Segment> = drawn.iter().filter_map(moved).collect();
        let found = divided(&outline, &drawn);
        // Cut one line after another instead.
        let mut parts = vec![outline.clone()];
        for line in &drawn {
            parts = parts.iter().flat_map(|part| halves(part, line)).collect();
        }
        let areas = |parts: &[Polygon]| {
            let mut areas: Vec<Surd> = parts.iter().map(Polygon::area).collect();
            areas.sort();
            areas
        };
        let faces: Vec<Polygon> = found.faces.iter().map(|face| face.polygon.clone()).collect();
        prop_assert_eq!(areas(&faces), areas(&parts));
        // The faces as tiles give the same again, in the order they are handed over.
        let mut tiles = faces.clone();
        tiles.reverse();
        let again = Arrangement::from_tiles(&outline, &tiles).expect("faces cover the outline");
        sweep(&outline, &again);
        for (face, tile) in again.faces.iter().zip(&tiles) {
            prop_assert_eq!(&face.polygon, tile);
        }
        // One face missing, or twice there, or shifted, is noticed and measured.
        let lost = tiles.remove(turn as usize % tiles.len());
        let gap = Arrangement::from_tiles(&outline, &tiles).expect_err("a gap");
        prop_assert!(
            matches!(&gap[..], [Fault::Uncovered { around, area }]
                if *area == lost.area() && lost.locate(around) == geometry::Place::Inside),
            "{:?}", gap
        );
        let end = tiles.len();
        tiles.extend([lost.clone(), lost.clone()]);
        let double = Arrangement::from_tiles(&outline, &tiles).expect_err("an overlap");
        prop_assert!(
            matches!(&double[..], [Fault::Overlap { a, b, around }]
                if (*a, *b) == (end, end + 1) && lost.locate(around) == geometry::Place::Inside),
            "{:?}", double
        );
        tiles.pop();
        tiles[end] = lost.moved(&geometry::Motion::shift(Point::new(Surd::ONE, Surd::ratio(1, 3))));
        let shifted = Arrangement::from_tiles(&outline, &tiles).expect_err("a shifted tile");
        let missing: Surd = shifted
            .iter()
            .filter_map(|fault| match fault {
                Fault::Uncovered { area, .. } => Some(area),
                _ => None,
            })
            .sum();
        prop_assert!(missing.is_positive() && missing <= lost.area());
    }
}
