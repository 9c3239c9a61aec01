//! Offset outlines and trimmed corners.
//!
//! The exact amounts follow from the corner reaching s·cot(α/2) along each edge; the roundings in
//! customary use are *common practice*.

use geo::buffer::{BufferStyle, LineJoin};
use geo::{Area, Buffer, LineString};
use geometry::{
    Motion, Point, Polygon, Surd, area, corner_reach, edge_reach, offset_outline, trim_corner,
    trim_ears,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const S: f64 = 0.25;

type Spot = [f64; 2];

fn length(ring: &[Spot], edge: usize) -> f64 {
    let (a, b) = (ring[edge], ring[(edge + 1) % ring.len()]);
    (b[0] - a[0]).hypot(b[1] - a[1])
}

fn around(ring: &[Spot]) -> f64 {
    (0..ring.len()).map(|edge| length(ring, edge)).sum()
}

fn spots(polygon: &Polygon) -> Vec<Spot> {
    polygon.points().iter().map(Point::to_f64).collect()
}

fn even(ring: &[Spot], by: f64) -> Vec<Spot> {
    offset_outline(ring, &vec![by; ring.len()])
}

/// A regular polygon, or part of one, by directions in degrees.
fn at_degrees(reach: f64, degrees: &[f64]) -> Vec<Spot> {
    degrees
        .iter()
        .map(|d| [reach * d.to_radians().cos(), reach * d.to_radians().sin()])
        .collect()
}

#[test]
#[expect(
    clippy::approx_constant,
    reason = "figures as they are printed, to six places"
)]
fn what_is_added_to_an_edge() {
    let (r2, r3, r5) = (2f64.sqrt(), 3f64.sqrt(), 5f64.sqrt());
    let phi = f64::midpoint(1.0, r5);
    let rhombus = |angle: f64| {
        let (sin, cos) = angle.to_radians().sin_cos();
        vec![
            [0.0, 0.0],
            [2.0, 0.0],
            [2.0 + 2.0 * cos, 2.0 * sin],
            [2.0 * cos, 2.0 * sin],
        ]
    };
    let regular = |n: i32| {
        let degrees: Vec<f64> = (0..n)
            .map(|k| 360.0 / f64::from(n) * f64::from(k))
            .collect();
        at_degrees(3.0, &degrees)
    };
    let wedge = vec![[0.0, 0.0], [3.0, 0.0], [3.0 / r2, 3.0 / r2]];
    let trapezoid = vec![[0.0, 0.0], [6.0, 0.0], [4.0, 2.0], [2.0, 2.0]];
    for (ring, edge, exact, figure, name) in [
        (
            vec![[0.0, 0.0], [3.0, 0.0], [3.0, 3.0], [0.0, 3.0]],
            0,
            2.0 * S,
            0.5,
            "square",
        ),
        (
            vec![[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]],
            0,
            S * (2.0 + r2),
            0.853553,
            "half-square, leg",
        ),
        (
            vec![[0.0, 0.0], [4.0, 0.0], [2.0, 2.0]],
            0,
            2.0 * S * (1.0 + r2),
            1.207107,
            "quarter-square, long side",
        ),
        (
            vec![[0.0, 0.0], [2.0, 0.0], [0.0, 4.0]],
            0,
            S * (1.0 + phi),
            0.654508,
            "half-rectangle, short leg",
        ),
        (
            vec![[0.0, 0.0], [2.0, 0.0], [0.0, 4.0]],
            2,
            S * (3.0 + r5),
            1.309017,
            "half-rectangle, long leg",
        ),
        (
            regular(3),
            0,
            2.0 * r3 * S,
            0.866025,
            "equilateral triangle, side",
        ),
        (
            rhombus(45.0),
            0,
            2.0 * S * r2,
            0.707107,
            "rhombus of 45°, side",
        ),
        (
            rhombus(60.0),
            0,
            4.0 * S / r3,
            0.577350,
            "rhombus of 60°, side",
        ),
        (rhombus(30.0), 0, 4.0 * S, 1.0, "rhombus of 30°, side"),
        (regular(6), 0, 2.0 * S / r3, 0.288675, "hexagon, side"),
        (
            regular(8),
            0,
            2.0 * S * (r2 - 1.0),
            0.207107,
            "octagon, side",
        ),
        (
            trapezoid.clone(),
            0,
            2.0 * S * (1.0 + r2),
            1.207107,
            "trapezoid, long side",
        ),
        (
            trapezoid.clone(),
            2,
            2.0 * S * (r2 - 1.0),
            0.207107,
            "trapezoid, short side",
        ),
        (trapezoid, 1, 2.0 * r2 * S, 0.707107, "trapezoid, leg"),
        (
            wedge.clone(),
            0,
            S * (edge_reach(45.0, 1.0) + edge_reach(67.5, 1.0)),
            0.977705,
            "wedge of 45°, side",
        ),
        (
            wedge,
            1,
            2.0 * S * edge_reach(67.5, 1.0),
            0.748303,
            "wedge of 45°, base",
        ),
    ] {
        let cut = even(&ring, S);
        let added = length(&cut, edge) - length(&ring, edge);
        assert!((added - exact).abs() < 1e-12, "{name}: {added}");
        assert!((added - figure).abs() < 5e-7, "{name}: {added}");
    }
    // Height of an equilateral triangle: 3s more.
    let (ring, cut) = (regular(3), even(&regular(3), S));
    let height = |ring: &[Spot]| 2.0 * area(ring) / length(ring, 0);
    assert!((height(&cut) - height(&ring) - 3.0 * S).abs() < 1e-12);
}

#[test]
fn how_far_corners_reach() {
    for (angle, reach) in [
        (90.0, 0.3536),
        (60.0, 0.5),
        (45.0, 0.6533),
        (30.0, 0.9659),
        (22.5, 1.2815),
    ] {
        assert!((corner_reach(angle, S) - reach).abs() < 5e-5, "{angle}");
    }
    assert!((edge_reach(90.0, S) - S).abs() < 1e-15);
    assert!(
        edge_reach(270.0, S) < 0.0,
        "a dent takes away from the edge"
    );
}

#[test]
fn edges_may_have_their_own_widths() {
    let ring = [[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
    let same = offset_outline(&ring, &[1.0, 1.0, 0.5, 0.0, 0.25]);
    assert_eq!(
        same,
        [
            [-0.25, -1.0],
            [2.0, -1.0],
            [4.5, -1.0],
            [4.5, 4.0],
            [-0.25, 4.0]
        ]
    );
    let step = offset_outline(&ring, &[1.0, 0.5, 0.5, 0.0, 0.25]);
    assert_eq!(
        step,
        [
            [-0.25, -1.0],
            [2.0, -1.0],
            [2.0, -0.5],
            [4.5, -0.5],
            [4.5, 4.0],
            [-0.25, 4.0]
        ]
    );
    assert_eq!(offset_outline(&ring, &[]), ring);
}

/// A 45° ear against a square: 0.6036 − 0.25 = 0.3536 comes off along the edge, the customary 3/8.
#[test]
fn an_ear_against_a_square() {
    let triangle = [[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]];
    // At corner 1 (45°), the edge after it is the long side, the edge before it a leg.
    let plain = trim_corner(&triangle, 1, S, [None, None]);
    let reach = 3.0 + edge_reach(45.0, S);
    assert_eq!(plain.len(), 1);
    assert!((plain[0][0] - reach).abs() < 1e-12 && (plain[0][1] + S).abs() < 1e-12);
    let trimmed = trim_corner(&triangle, 1, S, [Some(90.0), None]);
    assert_eq!(trimmed.len(), 2);
    assert!((plain[0][0] - trimmed[0][0] - 0.353_553_390_6).abs() < 1e-9);
    assert!(
        (trimmed[0][0] - 3.25).abs() < 1e-12,
        "level with the square's own corner"
    );
    // Wider neighbours on both edges.
    assert_eq!(
        trim_corner(&triangle, 1, S, [Some(90.0), Some(60.0)]).len(),
        3
    );
    // Both neighbours ask for the same cut: 22.5° off each side of the bisector.
    assert_eq!(
        trim_corner(&triangle, 1, S, [Some(112.5), Some(112.5)]).len(),
        2
    );
    // No cut: narrower, straight or dented neighbours; straight and dented corners.
    for neighbours in [[Some(45.0), Some(30.0)], [Some(180.0), Some(225.0)]] {
        assert_eq!(
            trim_corner(&triangle, 1, S, neighbours).len(),
            1,
            "{neighbours:?}"
        );
    }
    let dented = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [2.0, 2.0], [0.0, 4.0]];
    assert_eq!(
        trim_corner(&dented, 3, S, [Some(90.0), Some(90.0)]).len(),
        1
    );
}

/// Two corners at one vertex, laid face to face on their shared edge: once the narrower one is
/// trimmed, they start at the same point of the cut edge.
#[test]
fn raw_ends_line_up() {
    for narrow in [22.5, 30.0, 45.0, 60.0, 75.0] {
        for wide in [60.0, 90.0, 120.0, 135.0, 165.0] {
            if narrow >= wide {
                continue;
            }
            // Both have the shared edge from the origin to (9, 0), and their inside below it.
            let corner = |angle: f64| {
                let [far] = at_degrees(9.0, &[angle])[..] else {
                    unreachable!("one spot")
                };
                [[0.0, 0.0], [9.0, 0.0], far]
            };
            // In `corner` the shared edge comes after the origin's corner.
            let trimmed = trim_corner(&corner(narrow), 0, S, [None, Some(wide)]);
            let other = trim_corner(&corner(wide), 0, S, [None, None]);
            let (a, b) = (trimmed[trimmed.len() - 1], other[0]);
            assert!(
                (a[0] - b[0]).abs() < 1e-12 && (a[1] - b[1]).abs() < 1e-12,
                "{narrow} {wide}"
            );
            assert_eq!(trimmed.len(), 2);
        }
    }
}

/// Points round a centre, each direction a multiple of 15°: simple, often dented.
fn star() -> impl Strategy<Value = Polygon> {
    (prop::collection::vec(3_i64..9, 24), 4_usize..13).prop_map(|(reach, n)| {
        let corner = |k: usize| {
            let turn = Motion::turn_degrees(15 * (k * 24 / n) as i64).expect("a multiple of 15");
            turn.apply(&Point::new(Surd::int(reach[k]), Surd::ZERO))
        };
        Polygon::new((0..n).map(corner).collect()).expect("corners in order of direction")
    })
}

/// The outline moved out by the outside judge; 0.1 is the least angle (in radians) it leaves pointed.
fn judged(ring: &[Spot], by: f64) -> f64 {
    let line = LineString::from(ring.to_vec());
    let style = BufferStyle::new(by).line_join(LineJoin::Miter(0.1));
    geo::Polygon::new(line, Vec::new())
        .buffer_with_style(style)
        .unsigned_area()
}

fn contains(ring: &[Spot], p: Spot) -> bool {
    let turn = |a: Spot, b: Spot| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    let mut winding = 0;
    for k in 0..ring.len() {
        let (a, b) = (ring[k], ring[(k + 1) % ring.len()]);
        if a[1] <= p[1] && b[1] > p[1] && turn(a, b) > 0.0 {
            winding += 1;
        } else if b[1] <= p[1] && a[1] > p[1] && turn(a, b) < 0.0 {
            winding -= 1;
        }
    }
    winding > 0
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 150, rng_seed: RngSeed::Fixed(5), failure_persistence: None, ..Default::default()
    })]

    #[test]
    fn areas_agree_with_an_outside_judge(shape in star(), by in 0.05_f64..0.3) {
        let ring = spots(&shape);
        prop_assert!((area(&ring) - shape.area().to_f64()).abs() < 1e-9);
        let cut = even(&ring, by);
        // The judge rounds to a grid of its own.
        prop_assert!((area(&cut) - judged(&ring, by)).abs() < 1e-4, "{} {}", area(&cut), judged(&ring, by));
        // A + P·s + s²·Σ cot(α/2).
        let cotangents: f64 =
            (0..ring.len()).map(|k| edge_reach(shape.corner_angle_degrees(k), 1.0)).sum();
        let formula = area(&ring) + around(&ring) * by + by * by * cotangents;
        prop_assert!((area(&cut) - formula).abs() < 1e-9);
        for k in 0..ring.len() {
            let angles = [k, (k + 1) % ring.len()].map(|k| shape.corner_angle_degrees(k));
            let reach: f64 = angles.iter().map(|angle| edge_reach(*angle, by)).sum();
            prop_assert!((length(&cut, k) - length(&ring, k) - reach).abs() < 1e-9);
        }
    }

    /// Whatever the neighbours, the cut shape holds every point within the width, loses nothing but
    /// ears, and keeps at most three points a corner.
    #[test]
    fn trimming_keeps_the_width(
        shape in star(),
        by in 0.05_f64..0.3,
        angles in prop::collection::vec(prop::array::uniform2(prop::option::of(10.0_f64..350.0)), 24),
    ) {
        let ring = spots(&shape);
        let n = ring.len();
        let trimmed = trim_ears(&ring, by, &angles[..n]);
        let plain = even(&ring, by);
        prop_assert!(area(&trimmed) <= area(&plain) + 1e-12);
        prop_assert!(trimmed.len() <= 3 * n);
        for (k, corner) in ring.iter().enumerate() {
            // Just inside the circle of radius `by` about each corner.
            for step in 0..48 {
                let [p] = at_degrees(by * (1.0 - 1e-9), &[7.5 * f64::from(step)])[..] else {
                    unreachable!("one spot")
                };
                prop_assert!(contains(&trimmed, [corner[0] + p[0], corner[1] + p[1]]), "{}", k);
            }
        }
        for p in &trimmed {
            // No trimmed point is outside the plain outline.
            let near = [p[0] * (1.0 - 1e-9), p[1] * (1.0 - 1e-9)];
            prop_assert!(contains(&plain, near));
        }
        prop_assert_eq!(trim_ears(&ring, by, &[]).len(), n);
    }
}
