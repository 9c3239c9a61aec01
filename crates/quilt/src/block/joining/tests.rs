//! Straight seams found and missed: blocks of the trade, every small grid, random cuts.

use std::collections::BTreeSet;

use geometry::{Arrangement, Point, Polygon, Segment, Surd, turn_of};
use proptest::prelude::*;

use super::*;
use crate::block::drafted;
use crate::plan::{Arm, BlockPlan, Cell, Centre, Draft, HexagonParts, LogStyle, Pointing};

fn block(width: Surd, height: Surd, draft: Draft) -> Drafted {
    let plan = BlockPlan {
        name: "test".into(),
        width,
        height,
        draft,
        places: Vec::new(),
        colourways: Vec::new(),
        foundation: false,
    };
    drafted(&plan).expect("the test's block can be drafted")
}

fn square(side: i64, draft: Draft) -> Drafted {
    block(Surd::int(side), Surd::int(side), draft)
}

/// A grid of square cells in rows of signs: `.` and `#` whole, `/` and `\` cut once, `x`
/// cut twice, `^ > v <` geese, `-` joined to the left, `|` joined upwards.
pub(crate) fn grid(rows: &[&str]) -> Draft {
    let cell = |sign: char| match sign {
        '/' => Cell::Rising("one".into(), "two".into()),
        '\\' => Cell::Falling("one".into(), "two".into()),
        'x' => Cell::Hourglass(["one", "two", "one", "two"].map(String::from)),
        '-' => Cell::JoinedLeft,
        '|' => Cell::JoinedUp,
        '^' => goose(Pointing::Up),
        '>' => goose(Pointing::Right),
        'v' => goose(Pointing::Down),
        '<' => goose(Pointing::Left),
        other => Cell::Whole(other.to_string()),
    };
    let columns = rows.first().map_or(0, |row| row.chars().count());
    Draft::Grid {
        columns: vec![Surd::ONE; columns],
        rows: vec![Surd::ONE; rows.len()],
        cells: rows.iter().flat_map(|row| row.chars()).map(cell).collect(),
    }
}

fn goose(pointing: Pointing) -> Cell {
    Cell::Goose {
        pointing,
        goose: "goose".into(),
        sky: "sky".into(),
    }
}

fn lines(side: i64, ends: &[[i64; 4]]) -> Drafted {
    let line = |&[ax, ay, bx, by]: &[i64; 4]| {
        Segment::new(Point::ints(ax, ay), Point::ints(bx, by)).expect("a line has two ends")
    };
    square(
        side,
        Draft::Lines {
            lines: ends.iter().map(line).collect(),
        },
    )
}

fn log(rounds: u32, style: LogStyle) -> Draft {
    Draft::Log {
        rounds,
        centre: Surd::ratio(1, i64::from(2 * rounds + 1)),
        style,
    }
}

fn nested(rounds: u32) -> Draft {
    Draft::Nested {
        rounds,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    }
}

fn hexagon(parts: HexagonParts) -> Drafted {
    block(
        Surd::int(8),
        Surd::root3().times(4),
        Draft::Hexagon { parts },
    )
}

/// Patches, points no line goes through, and the longest ring of each obstruction.
fn check(why: &str, drafted: &Drafted, patches: usize, cores: &[(usize, usize, usize)]) {
    assert_eq!(drafted.arrangement.faces.len(), patches, "{why}: patches");
    let joining = joining(drafted);
    let found: Vec<(usize, usize, usize)> = joining
        .obstructions
        .iter()
        .map(|o| (o.patches.len(), o.corners.len(), o.ring.len()))
        .collect();
    assert_eq!(found, cores, "{why}: cores (patches, corners, ring)");
    if cores.is_empty() {
        assert_eq!(joining.at_least, 0, "{why}");
        sound(why, drafted, &joining.tree);
    } else {
        assert!(joining.at_least > 0, "{why}");
    }
}

/// Everything a tree promises.
fn sound(why: &str, drafted: &Drafted, tree: &JoinNode) {
    let drawing = &drafted.arrangement;
    let all: Vec<usize> = (0..drawing.faces.len()).collect();
    assert_eq!(tree.patches(), all, "{why}: every patch once");
    let convex = drafted.outline.is_convex();
    let mut sewn: BTreeSet<usize> = BTreeSet::new();
    let mut joins = 0;
    let mut stack = vec![tree];
    while let Some(node) = stack.pop() {
        let outline = outline_of(drawing, node.patches()).expect("a unit has an outline");
        assert!(
            !convex || outline.is_convex(),
            "{why}: a unit of a convex block is convex"
        );
        let JoinNode::Join {
            seam,
            ends,
            left,
            right,
            patches,
        } = node
        else {
            continue;
        };
        joins += 1;
        assert_eq!(*ends, [SeamEnd::Through; 2], "{why}: a straight seam");
        let mut both = [left.patches(), right.patches()].concat();
        both.sort_unstable();
        assert_eq!(&both, patches, "{why}: a unit is its two parts");
        for end in [&seam.a, &seam.b] {
            assert!(
                outline.edges().any(|edge| edge.contains(end)),
                "{why}: a seam ends outside"
            );
        }
        for (index, edge) in drawing.edges.iter().enumerate() {
            let across = [edge.left, edge.right].map(|face| {
                face.map_or((false, false), |face| {
                    let on = |node: &JoinNode| node.patches().binary_search(&face).is_ok();
                    (on(left), on(right))
                })
            });
            if across != [(true, false), (false, true)] && across != [(false, true), (true, false)]
            {
                continue;
            }
            assert!(sewn.insert(index), "{why}: an edge is sewn twice");
            let [a, b] = [edge.from, edge.to].map(|v| &drawing.vertices[v]);
            assert!(
                seam.contains(a) && seam.contains(b),
                "{why}: the seam is not straight"
            );
            // `right` is on the right hand: the side of a positive turn.
            let right_face = if across[0].1 { edge.left } else { edge.right };
            let inner = drawing.faces[right_face.expect("inner edge")]
                .polygon
                .inner_point();
            if convex {
                let turn = turn_of(&seam.a, &seam.b, &inner);
                assert_eq!(turn, std::cmp::Ordering::Greater, "{why}: left and right");
            }
        }
        stack.extend([left.as_ref(), right.as_ref()]);
    }
    assert_eq!(
        joins + 1,
        drawing.faces.len(),
        "{why}: joins are patches less one"
    );
    let inner = drawing
        .edges
        .iter()
        .filter(|e| e.left.is_some() && e.right.is_some())
        .count();
    assert_eq!(sewn.len(), inner, "{why}: every inner edge is sewn once");
}

/// Piece counts of the plainest version and the kind of seam are common practice.
#[test]
fn blocks_of_the_trade() {
    check("four patch", &square(4, grid(&[".#", "#."])), 4, &[]);
    check(
        "nine patch",
        &square(6, grid(&[".#.", "#.#", ".#."])),
        9,
        &[],
    );
    check("hourglass", &square(4, grid(&["x"])), 4, &[]);
    check("pinwheel", &square(4, grid(&["\\/", "/\\"])), 8, &[]);
    check(
        "broken dishes",
        &square(8, grid(&["/\\/\\", "\\/\\/", "/\\/\\", "\\/\\/"])),
        32,
        &[],
    );
    check(
        "shoo fly",
        &square(6, grid(&["/.\\", ".#.", "\\./"])),
        13,
        &[],
    );
    check(
        "friendship star",
        &square(6, grid(&[".\\.", "/#/", ".\\."])),
        13,
        &[],
    );
    check(
        "Ohio star",
        &square(6, grid(&[".x.", "x#x", ".x."])),
        21,
        &[],
    );
    check("sawtooth star", &square(8, sawtooth()), 17, &[]);
    check("log cabin", &square(7, log(3, LogStyle::Around)), 13, &[]);
    check(
        "courthouse steps",
        &square(7, log(3, LogStyle::Pairs)),
        13,
        &[],
    );
    check("square in a square", &square(8, nested(1)), 5, &[]);
    check("nested squares", &square(8, nested(5)), 21, &[]);
    check("hexagon of halves", &hexagon(HexagonParts::Halves), 6, &[]);
    check(
        "hexagon of triangles",
        &hexagon(HexagonParts::Triangles),
        10,
        &[],
    );
    let rows = Draft::Triangles { rows: 2, across: 4 };
    check(
        "60° triangles",
        &block(Surd::int(8), Surd::root3().times(2), rows),
        18,
        &[],
    );
    check(
        "split star",
        &square(8, Draft::Star { split: true }),
        24,
        &[],
    );
}

/// A block that cannot be sewn straight: what is left over, its points and its ring.
#[test]
fn blocks_with_set_in_or_partial_seams() {
    // Eight inset points for the eight-pointed star: common practice.
    check(
        "star",
        &square(8, Draft::Star { split: false }),
        16,
        &[(16, 8, 0)],
    );
    // Four rectangles round a square.
    check(
        "framed in the round",
        &square(3, grid(&["a-b", "d#|", "|c-"])),
        5,
        &[(5, 0, 4)],
    );
    let mitred = lines(
        6,
        &[
            [2, 2, 4, 2],
            [4, 2, 4, 4],
            [4, 4, 2, 4],
            [2, 4, 2, 2],
            [0, 0, 2, 2],
            [6, 0, 4, 2],
            [6, 6, 4, 4],
            [0, 6, 2, 4],
        ],
    );
    check("mitred frame", &mitred, 5, &[(5, 4, 0)]);
    check(
        "attic window",
        &lines(6, &[[2, 0, 2, 4], [2, 4, 6, 4], [2, 4, 0, 6]]),
        3,
        &[(3, 1, 0)],
    );
    check(
        "hexagon of diamonds",
        &hexagon(HexagonParts::Diamonds),
        7,
        &[(3, 1, 0)],
    );
    // Two frames with a straight seam between them are two cores.
    let two = block(
        Surd::int(6),
        Surd::int(3),
        grid(&["a-be-f", "d#|h#|", "|c-|g-"]),
    );
    check("two frames", &two, 10, &[(5, 0, 4), (5, 0, 4)]);
}

#[test]
fn the_ring_goes_round_from_seam_to_seam() {
    let joining = joining(&square(3, grid(&["a-b", "d#|", "|c-"])));
    let ring = &joining.obstructions[0].ring;
    for (i, seam) in ring.iter().enumerate() {
        let next = &ring[(i + 1) % ring.len()];
        let stops = [&seam.a, &seam.b]
            .into_iter()
            .any(|end| next.contains(end) && *end != next.a && *end != next.b);
        assert!(stops, "{seam:?} does not end on {next:?}");
    }
}

fn sawtooth() -> Draft {
    // A goose over two cells: the wide columns and rows are in the middle.
    let whole = |name: &str| Cell::Whole(name.into());
    Draft::Grid {
        columns: vec![Surd::ONE, Surd::TWO, Surd::ONE],
        rows: vec![Surd::ONE, Surd::TWO, Surd::ONE],
        cells: vec![
            whole("corner"),
            goose(Pointing::Down),
            whole("corner"),
            goose(Pointing::Right),
            whole("centre"),
            goose(Pointing::Left),
            whole("corner"),
            goose(Pointing::Up),
            whole("corner"),
        ],
    }
}

/// The seams from the last to the first, down to a depth, as sentences.
fn told(node: &JoinNode, depth: usize) -> String {
    match node {
        JoinNode::Join {
            left, right, seam, ..
        } if depth > 0 => {
            let (v, mark) = (seam.vector(), if depth > 1 { " " } else { "" });
            let way = match (v.x.is_zero(), v.y.is_zero()) {
                (true, _) => "|",
                (_, true) => "-",
                _ => "/",
            };
            let (one, other) = (told(left, depth - 1), told(right, depth - 1));
            // Top or left first.
            let first = left.patches().iter().min() < right.patches().iter().min();
            let (one, other) = if first { (one, other) } else { (other, one) };
            format!("({one}{mark}{way}{mark}{other})")
        }
        _ => node.patches().len().to_string(),
    }
}

/// How an experienced maker would put it together.
#[test]
fn the_order_reads_like_a_makers() {
    let tree = |drafted: &Drafted| joining(drafted).tree;
    let table = [
        (
            "rows, two and one",
            square(6, grid(&[".#.", "#.#", ".#."])),
            2,
            "((3-3) - (2|1))",
        ),
        (
            "half-square units before the diagonal",
            square(4, grid(&["\\/", "/\\"])),
            2,
            "((2|2) - (2|2))",
        ),
        (
            "pairs, then pairs of pairs",
            square(8, grid(&["abab", "baba", "abab", "baba"])),
            3,
            "(((2|2) - (2|2)) - ((2|2) - (2|2)))",
        ),
        (
            "opposite corners before the others",
            square(8, nested(1)),
            2,
            "((3/1) / 1)",
        ),
        (
            "quarters of a star",
            square(8, Draft::Star { split: true }),
            2,
            "((6|6) - (6|6))",
        ),
    ];
    for (why, drafted, depth, wanted) in table {
        assert_eq!(told(&tree(&drafted), depth), wanted, "{why}");
    }
}

/// Five nine patches and four plain squares come apart into those, not into columns.
#[test]
fn the_great_lines_are_sewn_last() {
    let rows = [
        "aba.--aba",
        "bab|--bab",
        "aba|--aba",
        ".--aba.--",
        "|--bab|--",
        "|--aba|--",
        "aba.--aba",
        "bab|--bab",
        "aba|--aba",
    ];
    let double = square(9, grid(&rows));
    assert_eq!(double.arrangement.faces.len(), 49);
    let mut sizes: Vec<usize> = Vec::new();
    let root = joining(&double).tree;
    let mut stack = vec![&root];
    while let Some(node) = stack.pop() {
        if let JoinNode::Join {
            left,
            right,
            patches,
            ..
        } = node
        {
            sizes.push(patches.len());
            stack.extend([left.as_ref(), right.as_ref()]);
        }
    }
    assert_eq!(
        sizes.iter().filter(|&&n| n == 9).count(),
        5,
        "five nine patches: {sizes:?}"
    );
}

/// A log block of a hundred rounds makes a tree four hundred deep.
#[test]
fn a_long_round_does_not_exhaust_the_stack() {
    let drafted = square(201, log(100, LogStyle::Around));
    let tree = joining(&drafted).tree;
    assert_eq!(tree.patches().len(), 401);
    let mut depth = 0;
    let mut node = &tree;
    while let JoinNode::Join { left, right, .. } = node {
        depth += 1;
        node = if left.patches().len() > right.patches().len() {
            left
        } else {
            right
        };
    }
    assert_eq!(depth, 400);
}

/// All ways to divide an n × n grid of squares into rectangles, as lists of cells
/// `[x, y, width, height]`.
fn partitions(n: usize, each: &mut dyn FnMut(&[[usize; 4]])) {
    fn place(
        n: usize,
        taken: u64,
        tiles: &mut Vec<[usize; 4]>,
        each: &mut dyn FnMut(&[[usize; 4]]),
    ) {
        let Some(free) = (0..n * n).find(|cell| taken >> cell & 1 == 0) else {
            each(tiles);
            return;
        };
        let (x, y) = (free % n, free / n);
        for width in 1..=n - x {
            for height in 1..=n - y {
                let cells = (0..height).flat_map(|j| (0..width).map(move |i| (y + j) * n + x + i));
                let mask = cells.fold(0_u64, |mask, cell| mask | 1 << cell);
                if taken & mask != 0 {
                    break;
                }
                tiles.push([x, y, width, height]);
                place(n, taken | mask, tiles, each);
                tiles.pop();
            }
        }
    }
    place(n, 0, &mut Vec::new(), each);
}

fn tiled(n: usize, tiles: &[[usize; 4]]) -> Drafted {
    let int = |k: usize| Surd::int(i64::try_from(k).unwrap());
    let outline = Polygon::rectangle(int(n), int(n)).unwrap();
    let tiles: Vec<Polygon> = tiles
        .iter()
        .map(|&[x, y, w, h]| {
            let corner = |x, y| Point::new(int(x), int(y));
            Polygon::new(vec![
                corner(x, y),
                corner(x + w, y),
                corner(x + w, y + h),
                corner(x, y + h),
            ])
            .unwrap()
        })
        .collect();
    let arrangement = Arrangement::from_tiles(&outline, &tiles).unwrap();
    Drafted {
        outline,
        spots: vec![String::new(); tiles.len()],
        arrangement,
    }
}

/// Counts partitions of an n × n grid into rectangles: in all, and those that cannot be
/// sewn straight; of those, the ones with a point no line goes through.
fn counted(n: usize) -> (usize, usize, usize) {
    let (mut all, mut stuck, mut pointed) = (0, 0, 0);
    partitions(n, &mut |tiles| {
        all += 1;
        let joining = joining(&tiled(n, tiles));
        stuck += usize::from(!joining.obstructions.is_empty());
        pointed += usize::from(joining.obstructions.iter().any(|o| !o.corners.is_empty()));
        assert_eq!(
            !joining.obstructions.is_empty(),
            joining.obstructions.iter().any(|o| o.ring.len() >= 4)
        );
    });
    (all, stuck, pointed)
}

/// Whether rectangles on a grid come apart by straight cuts: the plain definition, in
/// whole numbers, as an independent judge.
fn comes_apart(tiles: &[[usize; 4]]) -> bool {
    if tiles.len() < 2 {
        return true;
    }
    [0, 1].into_iter().any(|axis| {
        tiles.iter().map(|tile| tile[axis]).any(|cut| {
            let before = |tile: &&[usize; 4]| tile[axis] + tile[axis + 2] <= cut;
            let after = |tile: &&[usize; 4]| tile[axis] >= cut;
            let low: Vec<[usize; 4]> = tiles.iter().filter(before).copied().collect();
            let high: Vec<[usize; 4]> = tiles.iter().filter(after).copied().collect();
            let clean = low.len() + high.len() == tiles.len();
            clean && !low.is_empty() && !high.is_empty() && comes_apart(&low) && comes_apart(&high)
        })
    })
}

/// The whole count by the judge; every 64th partition also by joining.
#[test]
fn partitions_of_a_four_by_four_grid_agree_with_whole_numbers() {
    let (mut all, mut apart) = (0, 0);
    partitions(4, &mut |tiles| {
        let judged = comes_apart(tiles);
        if all % 64 == 0 || (!judged && all % 4 == 0) {
            assert_eq!(
                joining(&tiled(4, tiles)).obstructions.is_empty(),
                judged,
                "{tiles:?}"
            );
        }
        all += 1;
        apart += usize::from(judged);
    });
    assert_eq!((all, apart), (70_878, 68_480));
}

/// Totals: A182275 (partitions of an n × n grid into rectangles); those that come apart
/// by straight cuts: A222659. The On-Line Encyclopedia of Integer Sequences, The OEIS
/// Foundation.
#[test]
fn partitions_of_a_grid_that_sew_straight() {
    assert_eq!(counted(1), (1, 0, 0));
    assert_eq!(counted(2), (8, 0, 0));
    assert_eq!(counted(3), (322, 322 - 320, 0));
}

#[test]
#[ignore = "takes half a minute in the dev profile"]
fn partitions_of_a_four_by_four_grid_that_sew_straight() {
    assert_eq!(counted(4), (70_878, 70_878 - 68_480, 0));
}

/// Cuts one tile of a convex block from one of its sides to another.
#[derive(Clone, Debug)]
struct Slash {
    tile: usize,
    sides: (usize, usize),
    at: (i64, i64),
}

fn slash() -> impl Strategy<Value = Slash> {
    (
        any::<usize>(),
        any::<usize>(),
        any::<usize>(),
        1..8_i64,
        1..8_i64,
    )
        .prop_map(|(tile, one, other, a, b)| Slash {
            tile,
            sides: (one, other),
            at: (a, b),
        })
}

fn slashed(slashes: &[Slash]) -> Drafted {
    let outline = Polygon::rectangle(Surd::int(12), Surd::int(9)).unwrap();
    let mut tiles = vec![outline.points().to_vec()];
    for slash in slashes {
        let index = slash.tile % tiles.len();
        let tile = tiles[index].clone();
        let n = tile.len();
        let one = slash.sides.0 % n;
        let other = (one + 1 + slash.sides.1 % (n - 1)) % n;
        let (one, other) = (one.min(other), one.max(other));
        let point = |side: usize, eighths: i64| {
            let along = &tile[(side + 1) % n] - &tile[side];
            &tile[side] + &along.scaled(&Surd::ratio(eighths, 8))
        };
        let (p, q) = (point(one, slash.at.0), point(other, slash.at.1));
        let mut between = vec![p.clone()];
        between.extend_from_slice(&tile[one + 1..=other]);
        between.push(q.clone());
        let mut rest = vec![q];
        rest.extend_from_slice(&tile[other + 1..]);
        rest.extend_from_slice(&tile[..=one]);
        rest.push(p);
        tiles[index] = between;
        tiles.push(rest);
    }
    let tiles: Vec<Polygon> = tiles
        .into_iter()
        .map(|t| Polygon::new(t).unwrap())
        .collect();
    let arrangement = Arrangement::from_tiles(&outline, &tiles).unwrap();
    Drafted {
        outline,
        spots: vec![String::new(); tiles.len()],
        arrangement,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// What was cut straight again and again can be sewn straight.
    #[test]
    fn whatever_was_cut_straight_sews_straight(slashes in prop::collection::vec(slash(), 0..14)) {
        let drafted = slashed(&slashes);
        let joining = joining(&drafted);
        prop_assert!(joining.obstructions.is_empty());
        sound("slashed", &drafted, &joining.tree);
    }
}
