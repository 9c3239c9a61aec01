//! Every way to divide a small grid into rectangles: how it is sewn, and on how many
//! foundation sections.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use geometry::{Arrangement, Polygon, Surd};
use quilt::block::Drafted;
use quilt::block::joining::{JoinNode, foundation, joining};

/// A rectangle of whole cells: x, y, width, height.
type Tile = [usize; 4];

fn partitions(columns: usize, rows: usize, each: &mut dyn FnMut(&[Tile])) {
    fn place(
        size: (usize, usize),
        taken: u64,
        tiles: &mut Vec<Tile>,
        each: &mut dyn FnMut(&[Tile]),
    ) {
        let (columns, rows) = size;
        let Some(free) = (0..columns * rows).find(|cell| taken >> cell & 1 == 0) else {
            each(tiles);
            return;
        };
        let (x, y) = (free % columns, free / columns);
        for width in 1..=columns - x {
            for height in 1..=rows - y {
                let cells =
                    (0..height).flat_map(|j| (0..width).map(move |i| (y + j) * columns + x + i));
                let mask = cells.fold(0_u64, |mask, cell| mask | 1 << cell);
                if taken & mask != 0 {
                    break;
                }
                tiles.push([x, y, width, height]);
                place(size, taken | mask, tiles, each);
                tiles.pop();
            }
        }
    }
    place((columns, rows), 0, &mut Vec::new(), each);
}

fn tiled(columns: usize, rows: usize, tiles: &[Tile]) -> Drafted {
    let int = |n: usize| Surd::int(i64::try_from(n).unwrap());
    let outline = Polygon::rectangle(int(columns), int(rows)).unwrap();
    let tile = |&[x, y, w, h]: &Tile| {
        let rectangle = Polygon::rectangle(int(w), int(h)).unwrap();
        rectangle.moved(&geometry::Motion::shift(geometry::Point::new(
            int(x),
            int(y),
        )))
    };
    let tiles: Vec<Polygon> = tiles.iter().map(tile).collect();
    let arrangement = Arrangement::from_tiles(&outline, &tiles).unwrap();
    Drafted {
        outline,
        spots: vec![String::new(); tiles.len()],
        arrangement,
    }
}

/// Seams of a tree that close a slit.
fn closings(tree: &JoinNode) -> usize {
    let (mut stack, mut closings) = (vec![tree], 0);
    while let Some(node) = stack.pop() {
        match node {
            JoinNode::Patch(_) => {}
            JoinNode::Close { unit, .. } => {
                closings += 1;
                stack.push(unit);
            }
            JoinNode::Join { left, right, .. } => stack.extend([left.as_ref(), right.as_ref()]),
        }
    }
    closings
}

/// For each number of partial and set-in seams, how many partitions take so many.
fn counted(columns: usize, rows: usize) -> Vec<usize> {
    let mut taking = Vec::new();
    partitions(columns, rows, &mut |tiles| {
        let joining = joining(&tiled(columns, rows, tiles));
        let takes = closings(&joining.tree);
        assert_eq!(takes, joining.at_least, "{tiles:?}: proved");
        taking.resize(taking.len().max(takes + 1), 0);
        taking[takes] += 1;
    });
    taking
}

/// Totals: A116694 (partitions of an m × n grid into rectangles), of which A182275 holds the
/// squares; those that come apart by straight cuts: A222659. The On-Line Encyclopedia of
/// Integer Sequences, The OEIS Foundation.
#[test]
fn small_grids_take_at_most_one_partial_seam() {
    assert_eq!(counted(3, 3), [320, 2]);
    assert_eq!(counted(4, 3), [3118, 3164 - 3118]);
}

/// `cargo test --release -p quilt --test partitions -- --ignored`
#[test]
#[ignore = "70,878 blocks; the output is kept in docs/measurements.md"]
fn grids_of_four_by_four_take_at_most_one_partial_seam() {
    let found = counted(4, 4);
    println!("4 × 4: {found:?}");
    assert_eq!(found, [68_480, 2_398]);
}

/// Computed once by a search over all divisions.
#[test]
fn sections_of_small_grids() {
    let mut taking = vec![0; 4];
    let mut none = 0;
    partitions(3, 3, &mut |tiles| match foundation(&tiled(3, 3, tiles)) {
        Some(found) => {
            assert_eq!(found.at_least, found.sections.len());
            taking[found.sections.len()] += 1;
        }
        None => none += 1,
    });
    assert_eq!(taking, [0, 93, 174, 53]);
    assert_eq!(none, 2, "the two that need a partial seam");
}
