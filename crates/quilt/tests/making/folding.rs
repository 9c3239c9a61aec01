//! Squares sewn together, cut apart and unfolded, on paper of our own: does what comes out
//! finish at the right size, each cloth in its right place?
//!
//! Nothing here knows the formulas. Cloth lies in layers of convex shapes; cutting keeps
//! the part of every layer on one side of a line, and opening along a line of stitching
//! drops what is seam allowance and lays the upper layer over to the other side.

use geometry::Surd;
use proptest::prelude::*;
use quilt::plan::Way;

use super::bench::{goose, half_square, hourglass, way};

type P = [f64; 2];

/// A point on a line and the direction of the line; the left hand of it is kept.
type Line = (P, P);

const SEAM: f64 = 0.25;
const NEAR: f64 = 1e-9;

/// Cloths by number, each with its shape; what lies later lies on top.
type Layer = Vec<(usize, Vec<P>)>;

fn height((at, along): Line, p: P) -> f64 {
    (along[0] * (p[1] - at[1]) - along[1] * (p[0] - at[0])) / along[0].hypot(along[1])
}

/// The part of a convex shape on the kept hand of a line.
fn clipped(shape: &[P], line: Line) -> Vec<P> {
    let mut kept = Vec::new();
    for (i, &a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        let (ha, hb) = (height(line, a), height(line, b));
        if ha >= -NEAR {
            kept.push(a);
        }
        if (ha > NEAR && hb < -NEAR) || (ha < -NEAR && hb > NEAR) {
            let t = ha / (ha - hb);
            kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
        }
    }
    kept
}

fn area(shape: &[P]) -> f64 {
    let edges = (0..shape.len()).map(|i| (shape[i], shape[(i + 1) % shape.len()]));
    edges.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
}

fn cut(layer: &Layer, line: Line) -> Layer {
    let cut = layer
        .iter()
        .map(|(cloth, shape)| (*cloth, clipped(shape, line)));
    cut.filter(|(_, shape)| area(shape).abs() > NEAR).collect()
}

fn mirrored(layer: &Layer, line: Line) -> Layer {
    let (at, along) = line;
    let square = along[0] * along[0] + along[1] * along[1];
    let over = |p: &P| {
        let rel = [p[0] - at[0], p[1] - at[1]];
        let t = (rel[0] * along[0] + rel[1] * along[1]) / square;
        [
            2.0 * (at[0] + t * along[0]) - p[0],
            2.0 * (at[1] + t * along[1]) - p[1],
        ]
    };
    let all = layer.iter();
    all.map(|(cloth, shape)| (*cloth, shape.iter().rev().map(over).collect()))
        .collect()
}

/// Two layers sewn along a line and opened: the lower stays where it is, the upper is laid
/// over to the other side of the stitching. The seam allowance is on the hand not kept.
fn opened(lower: &Layer, upper: &Layer, stitching: Line) -> Layer {
    let mut open = cut(lower, stitching);
    open.extend(mirrored(&cut(upper, stitching), stitching));
    open
}

fn square(side: f64) -> Vec<P> {
    rectangle([0.0, 0.0], [side, side])
}

fn rectangle(low: P, high: P) -> Vec<P> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

/// A line moved to its kept hand by so much.
fn moved((at, along): Line, by: f64) -> Line {
    let long = along[0].hypot(along[1]);
    (
        [at[0] - by * along[1] / long, at[1] + by * along[0] / long],
        along,
    )
}

fn turned((at, along): Line) -> Line {
    (at, [-along[0], -along[1]])
}

/// The cloth that shows at a point.
fn showing(layer: &Layer, at: P) -> Option<usize> {
    let holds = |shape: &[P]| {
        let side = area(shape).signum();
        (0..shape.len()).all(|i| {
            let (a, b) = (shape[i], shape[(i + 1) % shape.len()]);
            side * height((a, [b[0] - a[0], b[1] - a[1]]), at) > -NEAR
        })
    };
    layer
        .iter()
        .rev()
        .find(|(_, shape)| holds(shape))
        .map(|(cloth, _)| *cloth)
}

/// Where a unit lies: a corner of it, seams included, and the directions of its sides.
struct Place {
    corner: P,
    along: P,
    across: P,
}

impl Place {
    fn point(&self, x: f64, y: f64) -> P {
        [
            self.corner[0] + x * self.along[0] + y * self.across[0],
            self.corner[1] + x * self.along[1] + y * self.across[1],
        ]
    }
}

/// Whether a layer is exactly the unit of this finished size with a seam all round, and
/// shows inside the seams what `wanted` says of finished places. Points nearer to a seam
/// than a hair are passed over.
fn is_unit(
    layer: &Layer,
    place: &Place,
    size: [f64; 2],
    wanted: impl Fn(f64, f64) -> Option<usize>,
) {
    let [width, height] = size;
    let hair = 1e-6;
    // Raw edges: cloth just inside, none just outside, all along each side.
    for i in 1..40 {
        let t = f64::from(i) / 40.0;
        let (w, h) = (width + 2.0 * SEAM, height + 2.0 * SEAM);
        for (inner, outer) in [
            ([t * w, hair], [t * w, -hair]),
            ([t * w, h - hair], [t * w, h + hair]),
            ([hair, t * h], [-hair, t * h]),
            ([w - hair, t * h], [w + hair, t * h]),
        ] {
            assert!(
                showing(layer, place.point(inner[0], inner[1])).is_some(),
                "{inner:?}"
            );
            assert!(
                showing(layer, place.point(outer[0], outer[1])).is_none(),
                "{outer:?}"
            );
        }
    }
    for i in 0..61 {
        for j in 0..61 {
            let (x, y) = (
                width * (f64::from(i) + 0.37) / 61.0,
                height * (f64::from(j) + 0.41) / 61.0,
            );
            if let Some(cloth) = wanted(x, y) {
                let shown = showing(layer, place.point(SEAM + x, SEAM + y));
                assert_eq!(shown, Some(cloth), "at {x}, {y} of {width} × {height}");
            }
        }
    }
}

/// The larger of two, unless they are as good as equal.
fn whichever(a: f64, b: f64, first: usize, second: usize) -> Option<usize> {
    ((a - b).abs() > 1e-6).then_some(if a > b { first } else { second })
}

/// The exact size of the first piece that is cut for a way.
fn start(batch: &quilt::making::Batch, made: Way) -> f64 {
    way(batch, made).takes[0].1.height.exact.to_f64()
}

fn half_squares(side: &Surd) {
    let finished = side.to_f64();
    let batch = half_square(side);
    let diagonal = |l: f64| ([0.0, l], [l, -l]);
    // Two at a time: the diagonal is the cut, the stitching a seam away from it.
    let l = start(&batch, Way::TwoAtATime);
    let whole = vec![(0, square(l))];
    let other = vec![(1, square(l))];
    let keep = diagonal(l);
    let half = |layer: &Layer| cut(layer, keep);
    let unit = opened(&half(&whole), &half(&other), moved(keep, SEAM));
    two_coloured(&unit, [l, l], [-1.0, 0.0], [0.0, -1.0], finished);
    // Eight: the pieces are halves of the quarters.
    let l = start(&batch, Way::EightAtATime);
    let (whole, other) = (vec![(0, square(l))], vec![(1, square(l))]);
    let quarter = |layer: &Layer| {
        let right = cut(layer, ([l / 2.0, l], [0.0, -l]));
        cut(&right, ([0.0, l / 2.0], [l, 0.0]))
    };
    let keep = ([0.0, 0.0], [l, l]);
    let keep = if height(keep, [l / 2.0, l]) > 0.0 {
        keep
    } else {
        turned(keep)
    };
    let piece = |layer: &Layer| cut(&quarter(layer), keep);
    assert!(!piece(&whole).is_empty());
    let unit = opened(&piece(&whole), &piece(&other), moved(keep, SEAM));
    let corner = square_corner(&piece(&whole));
    let out = [
        if corner[0] < 0.75 * l { 1.0 } else { -1.0 },
        if corner[1] < 0.75 * l { 1.0 } else { -1.0 },
    ];
    two_coloured(&unit, corner, [out[0], 0.0], [0.0, out[1]], finished);
    // Four: the stitching runs a seam inside the edge, and the diagonals are the cuts.
    let l = start(&batch, Way::FourAtATime);
    let (whole, other) = (vec![(0, square(l))], vec![(1, square(l))]);
    let piece = |layer: &Layer| {
        let below = cut(layer, ([l, l], [-l, -l]));
        let line = ([0.0, l], [l, -l]);
        cut(&below, line)
    };
    let quarter = piece(&whole);
    let edge = outer_edge(&quarter, l);
    let unit = opened(&quarter, &piece(&other), moved(edge, SEAM));
    let root = std::f64::consts::FRAC_1_SQRT_2;
    let inward = [
        l / 2.0 - edge.0[0] - edge.1[0] / 2.0,
        l / 2.0 - edge.0[1] - edge.1[1] / 2.0,
    ];
    let long = inward[0].hypot(inward[1]);
    let n = [inward[0] / long, inward[1] / long];
    // From the middle of the square the two sides of the unit run along the diagonals.
    let (a, b) = (
        [-root * (n[0] + n[1]), -root * (n[1] - n[0])],
        [-root * (n[0] - n[1]), -root * (n[1] + n[0])],
    );
    two_coloured(&unit, [l / 2.0, l / 2.0], a, b, finished);
}

/// The corner of a right triangle that is square.
fn square_corner(layer: &Layer) -> P {
    let shape = &layer[0].1;
    let n = shape.len();
    let right = (0..n).find(|&i| {
        let (a, b, c) = (shape[(i + n - 1) % n], shape[i], shape[(i + 1) % n]);
        ((a[0] - b[0]) * (c[0] - b[0]) + (a[1] - b[1]) * (c[1] - b[1])).abs() < 1e-6
    });
    shape[right.unwrap()]
}

/// The side of a quarter that lies on the edge of its square, the quarter on its kept hand.
fn outer_edge(layer: &Layer, l: f64) -> Line {
    let shape = &layer[0].1;
    let on_edge = |p: P| p.iter().any(|&c| c.abs() < NEAR || (c - l).abs() < NEAR);
    let n = shape.len();
    let (a, b) = (0..n)
        .map(|i| (shape[i], shape[(i + 1) % n]))
        .find(|&(a, b)| on_edge(a) && on_edge(b))
        .unwrap();
    let line = (a, [b[0] - a[0], b[1] - a[1]]);
    if height(line, [l / 2.0, l / 2.0]) > 0.0 {
        line
    } else {
        turned(line)
    }
}

/// A half-square unit whose first cloth keeps the corner.
fn two_coloured(layer: &Layer, corner: P, along: P, across: P, side: f64) {
    let place = Place {
        corner,
        along,
        across,
    };
    is_unit(layer, &place, [side, side], |x, y| {
        whichever(side, x + y, 0, 1)
    });
}

fn hourglasses(side: &Surd) {
    let l = start(&hourglass(side), Way::TwoAtATime);
    let (whole, other) = (vec![(0, square(l))], vec![(1, square(l))]);
    let keep = ([0.0, l], [l, -l]);
    let half = |layer: &Layer| cut(layer, keep);
    // The half keeps the corner (l, l); opened it is a square from there, a seam smaller
    // along its diagonal.
    let unit = opened(&half(&whole), &half(&other), moved(keep, SEAM));
    let stitching = moved(keep, SEAM);
    let small = l - SEAM * std::f64::consts::SQRT_2;
    // Cloth on the other cloth: the second half lies mirrored over its own seam.
    let upper = mirrored(&unit, stitching);
    // The cut crosses the seam, through (l, l).
    let across = ([l, l], [-1.0, -1.0]);
    let keep = if height(across, [l, l - small]) > 0.0 {
        across
    } else {
        turned(across)
    };
    let made = opened(&cut(&unit, keep), &cut(&upper, keep), moved(keep, SEAM));
    let finished = side.to_f64();
    let place = Place {
        corner: [l, l - small],
        along: [-1.0, 0.0],
        across: [0.0, 1.0],
    };
    // Triangles on opposite sides are of one cloth.
    let horizontal = showing(&made, place.point(SEAM + finished / 2.0, SEAM + 0.01)).unwrap();
    is_unit(&made, &place, [finished, finished], |x, y| {
        let to_level = y.min(finished - y);
        let to_upright = x.min(finished - x);
        whichever(to_upright, to_level, horizontal, 1 - horizontal)
    });
}

fn geese(height_of: &Surd) {
    let recipe = way(&goose(height_of), Way::FourAtATime);
    let large = recipe.takes[0].1.height.exact.to_f64();
    let small = recipe.takes[1].1.height.exact.to_f64();
    let h = height_of.to_f64();
    // Small squares in the corners at (0, large) and (large, 0); their lines meet in one.
    let goose = vec![(0, square(large))];
    let sky = vec![
        (1, rectangle([0.0, large - small], [small, large])),
        (1, rectangle([large - small, 0.0], [large, small])),
    ];
    let keep = ([0.0, large], [large, -large]);
    let half = opened(&cut(&goose, keep), &cut(&sky, keep), moved(keep, SEAM));
    // The third square goes in the corner that is left, its line from corner to corner.
    let third = vec![(1, rectangle([large - small, large - small], [large, large]))];
    let line = ([large, large], [-1.0, -1.0]);
    for keep in [line, turned(line)] {
        let made = opened(&cut(&half, keep), &cut(&third, keep), moved(keep, SEAM));
        // The goose's long side is a side of the large square.
        let right = height(keep, [large, 0.0]) > 0.0;
        let place = if right {
            Place {
                corner: [large, 0.0],
                along: [0.0, 1.0],
                across: [-1.0, 0.0],
            }
        } else {
            Place {
                corner: [0.0, large],
                along: [1.0, 0.0],
                across: [0.0, -1.0],
            }
        };
        let place = settled(&made, place);
        is_unit(&made, &place, [2.0 * h, h], |x, y| {
            // Under the roof from the ends of the long side to the middle of the other.
            let roof = x.min(2.0 * h - x);
            whichever(roof, y, 0, 1)
        });
    }
}

/// The place with its corner moved along the long side to where the unit begins.
fn settled(layer: &Layer, place: Place) -> Place {
    let reach = layer.iter().flat_map(|(_, shape)| shape);
    let least = reach
        .map(|p| {
            let rel = [p[0] - place.corner[0], p[1] - place.corner[1]];
            rel[0] * place.along[0] + rel[1] * place.along[1]
        })
        .fold(f64::INFINITY, f64::min);
    assert!(
        (0.0..1.0).contains(&least),
        "only the seams are lost: {least}"
    );
    Place {
        corner: place.point(least, 0.0),
        ..place
    }
}

fn flips(height_of: &Surd) {
    let recipe = way(&goose(height_of), Way::StitchAndFlip);
    let (h, main) = (height_of.to_f64(), &recipe.takes[0].1);
    let (tall, wide) = (main.height.exact.to_f64(), main.width.exact.to_f64());
    let small = recipe.takes[1].1.height.exact.to_f64();
    let mut unit: Layer = vec![(0, rectangle([0.0, 0.0], [wide, tall]))];
    for (low, line) in [
        ([0.0, 0.0], ([0.0, small], [small, -small])),
        ([wide - small, 0.0], ([wide - small, 0.0], [small, small])),
    ] {
        let square: Layer = vec![(1, rectangle(low, [low[0] + small, low[1] + small]))];
        // Sewn on the line and folded back: the half towards the middle is laid outwards.
        let middle = [wide / 2.0, tall];
        let inner = if height(line, middle) > 0.0 {
            line
        } else {
            turned(line)
        };
        unit = opened(&unit, &square, inner);
    }
    let place = Place {
        corner: [0.0, 0.0],
        along: [1.0, 0.0],
        across: [0.0, 1.0],
    };
    is_unit(&unit, &place, [2.0 * h, h], |x, y| {
        let roof = x.min(2.0 * h - x);
        whichever(roof + y, h, 0, 1)
    });
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_sewn_and_cut_apart_finishes_at_its_size(eighths in 6_i64..100) {
        let side = Surd::ratio(eighths, 8);
        half_squares(&side);
        hourglasses(&side);
        let height = side.half();
        geese(&height);
        flips(&height);
    }
}
