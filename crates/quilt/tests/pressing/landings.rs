//! Where the needle passes. The two figures of a first and a second triangle on a square
//! follow from the geometry and are what the trade teaches (*common practice*).

use geometry::{Segment, Surd};
use quilt::block::{Block, SeamEnd};
use quilt::measure::Measure;
use quilt::plan::{Arm, Centre, Draft};
use quilt::sewing::{Join, Landing};

use super::alone;
use super::support::{grid, square_block, straight_blocks};

fn quarter() -> Surd {
    Surd::ratio(1, 4)
}

/// ¼ (√2 − 1).
fn onto_the_triangle() -> Surd {
    &quarter() * &(Surd::root2() - Surd::ONE)
}

/// The joins and landings of a square in a square.
fn in_square() -> (Vec<Join>, Vec<Landing>) {
    let draft = Draft::Nested {
        rounds: 1,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    };
    let (_, sewing) = alone(square_block("in square", Surd::int(8), draft));
    (
        sewing.blocks[0].joins.clone(),
        sewing.handling[0].landings.clone(),
    )
}

#[test]
fn a_first_triangle_lets_the_needle_run_on_and_a_second_catches_it_in_the_notch() {
    let (joins, landings) = in_square();
    assert_eq!(landings.len(), 4);
    for (join, landing) in joins.iter().zip(&landings) {
        let first =
            join.left.len() + join.right.len() == 2 || join.left.len() + join.right.len() == 3;
        for end in &landing.ends {
            // A triangle's 45° tip sticks out of a square's corner by ¼ (√2 + 1 − 1), out
            // of the straight corner of square and triangle by ¼ (√2 + 1 − (√2 − 1)).
            let ear = if first {
                &Surd::root2() * &quarter()
            } else {
                Surd::ratio(1, 2)
            };
            assert_eq!(end.ear_by.exact, Some(ear));
            if first {
                assert_eq!(end.by.exact, Some(onto_the_triangle()));
                assert!((end.by.value - 0.1036).abs() < 5e-5, "0.104 in");
                assert!(!end.notch);
                let triangle = end.runs_onto.unwrap();
                let alone = if join.left.len() == 1 {
                    &join.left
                } else {
                    &join.right
                };
                assert!(alone.contains(&triangle) || join.left.len() == join.right.len());
                assert_eq!(
                    (end.trimmed_ear, end.trimmed_by),
                    (0.0, 0.0),
                    "trimmed to the square"
                );
            } else {
                assert_eq!(end.by.exact, Some(Surd::ZERO));
                assert!(end.notch && end.runs_onto.is_none(), "in the notch");
            }
        }
        assert!(landing.equal_ears());
    }
    let said = landings[0].say(["A", "B"], Measure::Inch);
    assert!(
        said.contains("onto the tip") && said.contains("3/32"),
        "{said}"
    );
    let said = landings[3].say(["A", "B"], Measure::Inch);
    assert!(said.contains("notches"), "{said}");
}

#[test]
fn the_next_round_passes_over_the_crossings_of_the_last() {
    let draft = Draft::Nested {
        rounds: 2,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    };
    let (_, sewing) = alone(square_block("two rounds", Surd::int(8), draft));
    let (joins, landings) = (&sewing.blocks[0].joins, &sewing.handling[0].landings);
    for (join, landing) in joins.iter().zip(landings).skip(4) {
        // The corner of the inner square lies in the middle of each outer seam.
        let over: Vec<_> = landing
            .passes
            .iter()
            .filter_map(|pass| pass.over())
            .collect();
        assert_eq!(over.len(), 1, "{:?}", landing.passes);
        assert!(join.patches(over[0]).len() > 1);
        let at = &landing.passes[0].at;
        assert_eq!(*at, join.seam.middle());
    }
}

#[test]
fn square_corners_leave_nothing_over() {
    let (_, sewing) = alone(square_block("four", Surd::int(4), grid(&["A B", "B A"])));
    for landing in &sewing.handling[0].landings {
        for end in &landing.ends {
            assert!(end.runs_onto.is_none() && end.ear.is_none() && !end.notch);
        }
    }
    let last = sewing.handling[0].landings.last().unwrap();
    assert_eq!(last.passes.len(), 1);
    assert!(last.passes[0].meets() && last.passes[0].over().is_none());
}

/// A triangle's long side cut on the bias lies on the feed, under a straight edge.
#[test]
fn the_bias_lies_underneath() {
    let draft = Draft::Nested {
        rounds: 1,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    };
    let (block, sewing) = alone(square_block("in square", Surd::int(8), draft));
    let mut seen = 0;
    for (join, landing) in sewing.blocks[0]
        .joins
        .iter()
        .zip(&sewing.handling[0].landings)
    {
        let bias = |patches: &[usize]| -> bool {
            patches.iter().any(|&p| {
                let patch = &block.patches[p];
                patch.outline.edges().enumerate().any(|(i, edge)| {
                    patch.bias.contains(&i)
                        && join.seam.contains(&edge.a)
                        && join.seam.contains(&edge.b)
                })
            })
        };
        if let Some(under) = landing
            .under
            .filter(|_| bias(&join.left) != bias(&join.right))
        {
            assert!(bias(join.patches(under)));
            seen += 1;
        }
    }
    assert!(seen > 0);
}

/// The formulas against the cut shapes themselves: walk along the stitching line out of
/// each template outline, full corners and all.
#[test]
fn landings_are_those_of_the_cut_shapes() {
    let mut seen = 0;
    for (plan, _) in straight_blocks() {
        let name = plan.name.clone();
        let (block, sewing) = alone(plan);
        for (join, landing) in sewing.blocks[0]
            .joins
            .iter()
            .zip(&sewing.handling[0].landings)
        {
            if join.left.len() != 1 || join.right.len() != 1 {
                continue;
            }
            for (end, other) in landing.ends.iter().zip([&join.seam.b, &join.seam.a]) {
                let exits = [join.left[0], join.right[0]]
                    .map(|patch| walked_out(&block, patch, end.at.to_f64(), other.to_f64()));
                let by = (exits[0] - exits[1]).abs();
                assert!(
                    (by - end.by.value).abs() < 1e-6,
                    "{name}: {by} {:?}",
                    end.by
                );
                seen += 1;
            }
        }
    }
    assert!(seen > 40, "{seen}");
}

/// How far the line from `other` through `at` goes on before it leaves the cut patch,
/// by walking in steps and halving.
fn walked_out(block: &quilt::block::Block, patch: usize, at: [f64; 2], other: [f64; 2]) -> f64 {
    let patch = &block.patches[patch];
    let by = 0.25;
    let ring: Vec<[f64; 2]> = patch
        .outline
        .points()
        .iter()
        .map(geometry::Point::to_f64)
        .collect();
    let cut = geometry::offset_outline(&ring, &vec![by; ring.len()]);
    let inside = |p: [f64; 2]| {
        (0..cut.len()).all(|i| {
            let (a, b) = (cut[i], cut[(i + 1) % cut.len()]);
            (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= 0.0
        })
    };
    let (dx, dy) = (at[0] - other[0], at[1] - other[1]);
    let long = dx.hypot(dy);
    let (mut low, mut high) = (0.0, 20.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        let p = [at[0] + dx / long * middle, at[1] + dy / long * middle];
        if inside(p) {
            low = middle
        } else {
            high = middle
        }
    }
    low
}

/// Corner of a patch at a point, degrees.
fn corner(block: &Block, patch: usize, at: &geometry::Point) -> f64 {
    let outline = &block.patches[patch].outline;
    let index = outline.points().iter().position(|p| p == at);
    index.map_or(180.0, |index| outline.corner_angle_degrees(index))
}

/// At the end where a closing seam runs out, the angle on one side: the patch along the
/// seam and every patch round the point that was sewn to it before.
fn fan(block: &Block, joins: &[Join], index: usize, along: &[usize]) -> f64 {
    let at = &joins[index].seam.b;
    let touches = |patch: &usize| block.patches[*patch].outline.points().contains(at);
    let mut own: Vec<usize> = along.iter().copied().filter(touches).collect();
    loop {
        let before = own.len();
        for earlier in joins[..index].iter().filter(|join| join.seam.contains(at)) {
            for patch in 0..block.patches.len() {
                let other_side = |a: &[usize], b: &[usize]| {
                    a.contains(&patch)
                        && b.iter()
                            .any(|p| own.contains(p) && beside(block, *p, patch, &earlier.seam, at))
                };
                let joined = other_side(&earlier.left, &earlier.right)
                    || other_side(&earlier.right, &earlier.left);
                if joined && touches(&patch) && !own.contains(&patch) {
                    own.push(patch);
                }
            }
        }
        if own.len() == before {
            return own.iter().map(|&patch| corner(block, patch, at)).sum();
        }
    }
}

/// Whether two patches have an edge at a point in common, on a seam.
fn beside(block: &Block, one: usize, other: usize, seam: &Segment, at: &geometry::Point) -> bool {
    let edges = |patch: usize| {
        let edges: Vec<Segment> = block.patches[patch].outline.edges().collect();
        edges.into_iter().filter(|edge| {
            edge.contains(at) && edge.is_parallel(seam) && seam.contains(&edge.middle())
        })
    };
    edges(one).any(|a| edges(other).any(|b| a.a == b.b && a.b == b.a || a.contains(&b.middle())))
}

/// A closing seam lands like any other where it runs out, by the angles of what is sewn on
/// either side by then; where it begins, on the dot, nothing runs over and nothing sticks
/// out.
#[test]
fn closing_seams_land_where_they_run_out() {
    let star = square_block("star", Surd::int(12), Draft::Star { split: false });
    let framed = square_block("framed", Surd::int(9), grid(&["a < b", "d c ^", "^ e <"]));
    let (mut seen, mut notches, mut onto, mut dots) = (0, 0, 0, 0);
    for plan in [star, framed] {
        let (block, sewing) = alone(plan);
        let joins = &sewing.blocks[0].joins;
        for (index, join) in joins.iter().enumerate().filter(|(_, join)| join.closes) {
            let landing = &sewing.handling[0].landings[index];
            let [begin, out] = &landing.ends;
            assert!(landing.closes && begin.stops != SeamEnd::Through);
            assert!(begin.runs_onto.is_none() && begin.ear.is_none() && !begin.notch);
            if out.stops == SeamEnd::Corner {
                // Across the middle of the star, from dot to dot.
                assert!(out.runs_onto.is_none() && out.ear.is_none() && !out.notch);
                dots += 1;
                continue;
            }
            assert_eq!(out.stops, SeamEnd::Through);
            let [a, b] = [&join.left, &join.right].map(|along| fan(&block, joins, index, along));
            let by = (1.0 / a.to_radians().sin() - 1.0 / b.to_radians().sin()).abs() * 0.25;
            let half = |angle: f64| 1.0 / (angle.to_radians() / 2.0).tan();
            let ear = (half(a) - half(b)).abs() * 0.25;
            assert!((out.by.value - by).abs() < 1e-9, "{a}° and {b}°: {out:?}");
            assert!(
                (out.ear_by.value - ear).abs() < 1e-9,
                "{a}° and {b}°: {out:?}"
            );
            let straight = (a + b - 180.0).abs() < 1e-6 && (a - b).abs() > 1e-6;
            assert_eq!(out.notch, straight);
            notches += usize::from(out.notch);
            onto += usize::from(out.runs_onto.is_some());
            seen += 1;
        }
        // Stitching that stops on a dot runs over nothing either.
        for (join, landing) in joins.iter().zip(&sewing.handling[0].landings) {
            for (stop, end) in join.ends.iter().zip(&landing.ends) {
                assert_eq!(end.stops, *stop);
                let nothing = end.runs_onto.is_none() && !end.notch && end.trimmed_by == 0.0;
                assert!(*stop == SeamEnd::Through || nothing);
            }
        }
    }
    assert_eq!(seen, 8, "seven corners of the star and one partial seam");
    assert_eq!(dots, 1, "the eighth of the star runs from dot to dot");
    assert!(
        notches + onto > 0,
        "{notches} in notches, {onto} onto a tip"
    );
}
