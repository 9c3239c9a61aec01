//! The order that is chosen, against every order there is.

use geometry::{Point, Polygon, Surd};

use super::*;
use crate::block::joining::every_tree;
use crate::measure::Ruler;
use crate::plan::{BlockPlan, Cell, Claim, ClothId, Draft, PlacePlan};

/// What an order is judged by, first things first.
type Judged = [u64; 5];

/// A block of these tiles, each with its corners and the number of its cloth.
fn block(width: i64, height: i64, draft: Draft, spots: &[(&str, usize)]) -> (BlockPlan, Block) {
    let place = |&(spot, cloth): &(&str, usize)| PlacePlan {
        name: spot.into(),
        cloths: vec![ClothId(cloth)],
        centred: false,
        claims: vec![Claim::Spot(spot.into())],
    };
    let plan = BlockPlan {
        name: "small".into(),
        width: Surd::int(width),
        height: Surd::int(height),
        draft,
        places: spots.iter().map(place).collect(),
        colourways: Vec::new(),
        foundation: false,
    };
    let worked = crate::block::work_out(&plan, &Surd::ratio(1, 4), &Ruler::eighths()).unwrap();
    (plan, worked)
}

fn grid(rows: &[&str]) -> (BlockPlan, Block) {
    let cells: Vec<Vec<Cell>> = rows
        .iter()
        .map(|row| {
            let words = row.split_whitespace();
            words
                .map(|word| match (word, word.split_once('/')) {
                    ("<", _) => Cell::JoinedLeft,
                    ("^", _) => Cell::JoinedUp,
                    (_, Some((a, b))) => Cell::Rising(a.into(), b.into()),
                    _ => Cell::Whole(word.into()),
                })
                .collect()
        })
        .collect();
    let (across, down) = (cells[0].len(), cells.len());
    let draft = Draft::Grid {
        columns: vec![Surd::ONE; across],
        rows: vec![Surd::ONE; down],
        cells: cells.into_iter().flatten().collect(),
    };
    let spots: Vec<String> = ('A'..='Z').map(String::from).collect();
    let spots: Vec<(&str, usize)> = spots
        .iter()
        .enumerate()
        .map(|(cloth, spot)| (spot.as_str(), cloth))
        .collect();
    block(3 * across as i64, 3 * down as i64, draft, &spots)
}

fn pieces(width: i64, height: i64, tiles: &[&[(i64, i64)]]) -> (BlockPlan, Block) {
    let names: Vec<String> = (0..tiles.len())
        .map(|tile| format!("tile {tile}"))
        .collect();
    let pieces = tiles.iter().zip(&names).map(|(corners, name)| {
        let corners = corners.iter().map(|&(x, y)| Point::ints(x, y)).collect();
        (name.clone(), Polygon::new(corners).unwrap())
    });
    let draft = Draft::Pieces {
        pieces: pieces.collect(),
    };
    let spots: Vec<(&str, usize)> = names
        .iter()
        .enumerate()
        .map(|(cloth, name)| (name.as_str(), cloth))
        .collect();
    block(width, height, draft, &spots)
}

fn judged(different: usize, weight: Weight) -> Judged {
    [
        different as u64,
        weight.batches as u64,
        weight.outside_strips as u64,
        weight.open_bias,
        weight.crossings as u64,
    ]
}

/// Every order of a block as it is judged, and the order that is chosen.
fn all_and_chosen((plan, block): &(BlockPlan, Block)) -> (Vec<Judged>, Judged) {
    let bias = on_the_bias(block);
    let different = |tree: &crate::block::JoinNode| {
        let made = units::bottom_up(tree);
        units::kinds(plan, block, &made).unwrap().different()
    };
    let all = every_tree(&block.drafted, &bias);
    let all: Vec<Judged> = all
        .iter()
        .map(|(tree, weight)| judged(different(tree), *weight))
        .collect();
    let cloths = Cloths {
        same: &units::patch_kinds(plan, block),
        bias: &bias,
    };
    let by_rule = &block.joining.tree;
    let found = fewest(&block.drafted, &cloths, (by_rule, different(by_rule)));
    assert!(found.settled, "small enough to look at everything");
    let chosen = found.tree.as_ref().unwrap_or(by_rule);
    let kinds = different(chosen);
    assert_eq!(kinds, found.at_least);
    (all, judged(kinds, found.weight))
}

/// For each weight a block where those before it leave several orders and it decides.
fn deciding() -> [(&'static str, (BlockPlan, Block)); 5] {
    [
        ("different units", grid(&["A B A B A"])),
        ("batches", grid(&["A B C D"])),
        ("strip sets", grid(&["A B C", "D E F"])),
        (
            "open bias",
            pieces(
                12,
                6,
                &[
                    &[(0, 0), (3, 0), (5, 6), (0, 6)],
                    &[(3, 0), (7, 0), (11, 6), (5, 6)],
                    &[(7, 0), (12, 0), (12, 6), (11, 6)],
                ],
            ),
        ),
        (
            "crossings",
            pieces(
                12,
                12,
                &[
                    &[(0, 0), (3, 6), (0, 6)],
                    &[(0, 0), (6, 0), (6, 6), (3, 6)],
                    &[(6, 0), (12, 0), (12, 6), (6, 6)],
                    &[(0, 6), (6, 6), (6, 12), (0, 12)],
                    &[(6, 6), (12, 6), (12, 12), (6, 12)],
                ],
            ),
        ),
    ]
}

#[test]
fn the_order_chosen_is_the_least_of_all() {
    let small = [
        grid(&["A B", "B A"]),
        grid(&["A B A", "B A B"]),
        grid(&["A/B C", "C B/A"]),
        grid(&["A < B", "C D B", "E E E"]),
        grid(&["A B/C", "D ^"]),
        grid(&["A B < C", "A D E C"]),
    ];
    let deciding = deciding().map(|(_, block)| block);
    for block in small.iter().chain(&deciding) {
        let (all, chosen) = all_and_chosen(block);
        assert_eq!(Some(&chosen), all.iter().min(), "{:?}", block.0.draft);
    }
}

#[test]
fn each_weight_decides_where_those_before_it_do_not() {
    for (index, (what, block)) in deciding().iter().enumerate() {
        let (mut all, chosen) = all_and_chosen(block);
        all.retain(|judged| judged[..index] == chosen[..index]);
        let most = all.iter().map(|judged| judged[index]).max().unwrap();
        assert!(most > chosen[index], "{what}: {all:?}");
    }
}
