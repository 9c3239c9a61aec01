//! Where the needle passes. The two figures of a first and a second triangle on a square
//! follow from the geometry and are what the trade teaches (*common practice*).

use geometry::Surd;
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
