//! Layers of cloth, held against counts computed once by an independent simulation.

use geometry::Surd;
use quilt::block::Block;
use quilt::sewing::layers::{counted, folded};
use quilt::sewing::{Join, Press};

use super::support::{grid, sized_block, square_block};
use super::{alone, chequers};

const QUARTER: f64 = 0.25;

/// The most layers within the finished outline, and the area of each number of them.
fn layers(block: &Block, joins: &[Join], ways: &[Press]) -> (usize, Vec<f64>) {
    let pieces = folded(block, joins, ways, QUARTER).concat();
    let (low, high) = block.drafted.outline.bounds();
    let cells = counted(&pieces, [low.to_f64(), high.to_f64()]);
    let mut areas = vec![0.0; 40];
    for cell in cells {
        areas[cell.layers] += cell.area;
    }
    let most = areas.iter().rposition(|&area| area > 1e-4).unwrap();
    (most, areas)
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} instead of {wanted}");
}

#[test]
fn one_seam_is_three_thick_or_two() {
    let pair = sized_block("pair", Surd::int(4), Surd::int(2), grid(&["A B"]));
    let (block, sewing) = alone(pair);
    let joins = &sewing.blocks[0].joins;
    for (way, most) in [(Press::Left, 3), (Press::Right, 3), (Press::Open, 2)] {
        assert_eq!(layers(&block, joins, &[way]).0, most);
    }
}

#[test]
fn a_four_patch_is_as_thick_as_it_is_pressed() {
    use Press::{Left, Open, Right};
    let (block, sewing) = alone(square_block("four", Surd::int(4), grid(&["A B", "B A"])));
    let joins = &sewing.blocks[0].joins;
    let ways = |first: Press, second: Press, last: Press| {
        // Two pairs whose seams may run either way up the page.
        let same = joins[0]
            .seam
            .vector()
            .dot(&joins[1].seam.vector())
            .is_positive();
        let second = match (same, second) {
            (false, Left) => Right,
            (false, Right) => Left,
            (_, way) => way,
        };
        layers(&block, joins, &[first, second, last])
    };
    let (most, areas) = ways(Left, Right, Left);
    assert_eq!(most, 7, "nested");
    for (layers, area) in [(1, 14.0625), (3, 1.8125), (5, 0.0625), (7, 0.0625)] {
        near(areas[layers], area);
    }
    assert_eq!(ways(Left, Left, Left).0, 9, "not nested");
    assert_eq!(ways(Open, Open, Open).0, 4, "all apart");
    assert_eq!(
        ways(Open, Open, Left).0,
        6,
        "rows apart, the last to one side"
    );
    assert_eq!(ways(Left, Right, Open).0, 6, "rows nested, the last apart");
    // Whatever the pressing, (9/8)² layers on average.
    for last in [Left, Right, Open] {
        let (_, areas) = ways(Left, Left, last);
        let sum: f64 = areas
            .iter()
            .enumerate()
            .map(|(n, area)| n as f64 * area)
            .sum();
        near(sum / 16.0, 81.0 / 64.0);
    }
}

#[test]
fn a_pinwheel_is_thirteen_thick_at_best_without_an_open_seam() {
    let pinwheel = square_block("pinwheel", Surd::int(8), grid(&["A\\B B/A", "A/B B\\A"]));
    let (block, sewing) = alone(pinwheel);
    let joins = &sewing.blocks[0].joins;
    assert_eq!(joins.len(), 7);
    assert_eq!(layers(&block, joins, &[Press::Open; 7]).0, 8);
    let all: Vec<usize> = (0..1_u32 << 7)
        .map(|bits| {
            let way = |i: usize| {
                if bits >> i & 1 == 1 {
                    Press::Right
                } else {
                    Press::Left
                }
            };
            let ways: Vec<Press> = (0..7).map(way).collect();
            layers(&block, joins, &ways).0
        })
        .collect();
    assert_eq!((all.iter().min(), all.iter().max()), (Some(&13), Some(&21)));
    let map = &sewing.handling[0].layers;
    let said = map.say(&block).unwrap();
    assert!(
        said.starts_with("Thickest: ") && said.contains("8 patches meet in the middle"),
        "{said}"
    );
}

#[test]
fn the_plan_of_a_nine_patch_keeps_to_seven() {
    let (block, sewing) = alone(chequers(3, [0, 1]));
    let map = &sewing.handling[0].layers;
    assert_eq!(
        (map.most, map.thickest().len()),
        (7, 4),
        "{:?}",
        map.say(&block)
    );
}
