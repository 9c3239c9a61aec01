//! Every way to divide a small grid into rectangles: how it is sewn, what it takes to sew
//! it in straight seams alone, and on how many foundation sections.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use geometry::{Arrangement, Polygon, Surd};
use quilt::block::Drafted;
use quilt::block::joining::{JoinNode, foundation, joining, repair};

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
#[ignore = "2,398 blocks out of 70,878; the output is kept in docs/measurements.md"]
fn grids_of_four_by_four_are_repaired_with_the_fewest_cuts() {
    let mut taking = [0; 4];
    partitions(4, 4, &mut |tiles| {
        if !is_straight((4, 4), tiles) {
            taking[least((4, 4), tiles)] += 1;
        }
    });
    println!("4 × 4, by cuts: {taking:?}");
    assert_eq!(taking.iter().sum::<usize>(), 2_398);
}

/// `cargo test --release -p quilt --test partitions -- --ignored`
#[test]
#[ignore = "70,878 blocks; the output is kept in docs/measurements.md"]
fn grids_of_four_by_four_take_at_most_one_partial_seam() {
    let found = counted(4, 4);
    println!("4 × 4: {found:?}");
    assert_eq!(found, [68_480, 2_398]);
}

/// Every division that comes of one more cut of a tile on a line where tiles meet.
fn cut_once(tiles: &[Tile]) -> Vec<Vec<Tile>> {
    let mut cut = Vec::new();
    for (index, &[x, y, w, h]) in tiles.iter().enumerate() {
        let mut with = |parts: [Tile; 2]| {
            let mut next = tiles.to_vec();
            next[index] = parts[0];
            next.push(parts[1]);
            cut.push(next);
        };
        for at in x + 1..x + w {
            if tiles.iter().any(|&[x, _, w, _]| x == at || x + w == at) {
                with([[x, y, at - x, h], [at, y, x + w - at, h]]);
            }
        }
        for at in y + 1..y + h {
            if tiles.iter().any(|&[_, y, _, h]| y == at || y + h == at) {
                with([[x, y, w, at - y], [x, at, w, y + h - at]]);
            }
        }
    }
    cut
}

fn is_straight(size: (usize, usize), tiles: &[Tile]) -> bool {
    joining(&tiled(size.0, size.1, tiles))
        .obstructions
        .is_empty()
}

/// Whether some way to cut tiles `cuts` times lets straight seams sew it: all are tried.
fn some_way(size: (usize, usize), tiles: &[Tile], cuts: usize) -> bool {
    is_straight(size, tiles)
        || cuts > 0
            && cut_once(tiles)
                .iter()
                .any(|more| some_way(size, more, cuts - 1))
}

/// The repair found is the least there is: with one cut fewer no way does it, and with its
/// own cuts straight seams do.
fn least(size: (usize, usize), tiles: &[Tile]) -> usize {
    let drafted = tiled(size.0, size.1, tiles);
    let obstructions = joining(&drafted).obstructions;
    let found = repair(&drafted, &obstructions).expect("few lines");
    assert_eq!(found.cuts.len(), found.at_least, "{tiles:?}: proved");
    let mut outlines: Vec<Polygon> = Vec::new();
    for (index, face) in drafted.arrangement.faces.iter().enumerate() {
        match found.parts.iter().find(|(patch, _)| *patch == index) {
            Some((_, parts)) => outlines.extend(parts.iter().cloned()),
            None => outlines.push(face.polygon.clone()),
        }
    }
    assert_eq!(outlines.len(), tiles.len() + found.cuts.len(), "{tiles:?}");
    let arrangement = Arrangement::from_tiles(&drafted.outline, &outlines).unwrap();
    let repaired = Drafted {
        spots: vec![String::new(); outlines.len()],
        arrangement,
        ..drafted
    };
    assert!(joining(&repaired).obstructions.is_empty(), "{tiles:?}");
    assert!(
        !some_way(size, tiles, found.cuts.len() - 1),
        "{tiles:?}: fewer would do"
    );
    found.cuts.len()
}

/// Every division that is not straight, against a trial of all cuts.
#[test]
fn the_fewest_cuts_make_small_grids_straight() {
    let mut taking = [0; 3];
    for size in [(3, 3), (4, 3), (3, 4)] {
        partitions(size.0, size.1, &mut |tiles| {
            if !is_straight(size, tiles) {
                taking[least(size, tiles)] += 1;
            }
        });
    }
    assert_eq!(taking, [0, 2 + 46 + 46, 0], "one cut opens a ring of four");
    // A ring round a ring takes two.
    let rings = [
        [0, 0, 4, 1],
        [4, 0, 1, 4],
        [1, 4, 4, 1],
        [0, 1, 1, 4],
        [1, 1, 2, 1],
        [3, 1, 1, 2],
        [2, 3, 2, 1],
        [1, 2, 1, 2],
        [2, 2, 1, 1],
    ];
    assert_eq!(least((5, 5), &rings), 2);
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
