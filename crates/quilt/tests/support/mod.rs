//! Small plans built by hand, for tests of the craft.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "each test file uses its own part of this"
)]

pub mod handbook;

use geometry::Surd;
use quilt::block::{self, Block};
use quilt::measure::Ruler;
use quilt::plan::{BlockPlan, Cell, ClothId, Draft, PlacePlan};

/// A quarter of an inch.
pub fn quarter() -> Surd {
    Surd::ratio(1, 4)
}

/// A square block of this side, every spot in one place.
pub fn square_block(name: &str, side: Surd, draft: Draft) -> BlockPlan {
    sized_block(name, side.clone(), side, draft)
}

/// A block of this size, every spot in one place called `all`.
pub fn sized_block(name: &str, width: Surd, height: Surd, draft: Draft) -> BlockPlan {
    BlockPlan {
        name: name.into(),
        width,
        height,
        draft,
        places: vec![PlacePlan {
            name: "all".into(),
            cloths: vec![ClothId(0)],
            claims: Vec::new(),
            centred: false,
        }],
        colourways: Vec::new(),
        foundation: false,
    }
}

/// Works a block out with a quarter-inch seam and a ruler in eighths.
pub fn worked(plan: &BlockPlan) -> Block {
    block::work_out(plan, &quarter(), &Ruler::eighths())
        .unwrap_or_else(|faults| panic!("{}: {faults:?}", plan.name))
}

/// A grid from words: `A`, `A/B`, `A\B`, `A|B|C|D`, `G^S`, `<` and `^`, one row a string.
pub fn grid(rows: &[&str]) -> Draft {
    let cells: Vec<Vec<Cell>> = rows
        .iter()
        .map(|row| row.split_whitespace().map(cell).collect())
        .collect();
    let columns = cells[0].len();
    Draft::Grid {
        columns: vec![Surd::ONE; columns],
        rows: vec![Surd::ONE; cells.len()],
        cells: cells.into_iter().flatten().collect(),
    }
}

fn cell(word: &str) -> Cell {
    let own = |part: &str| part.to_string();
    if word == "<" {
        return Cell::JoinedLeft;
    }
    if word == "^" {
        return Cell::JoinedUp;
    }
    if let Some((a, b)) = word.split_once('/') {
        return Cell::Rising(own(a), own(b));
    }
    if let Some((a, b)) = word.split_once('\\') {
        return Cell::Falling(own(a), own(b));
    }
    if let Some((goose, sky)) = word.split_once('^') {
        let pointing = quilt::plan::Pointing::Up;
        return Cell::Goose {
            pointing,
            goose: own(goose),
            sky: own(sky),
        };
    }
    match word.split('|').map(own).collect::<Vec<_>>().try_into() {
        Ok(four) => Cell::Hourglass(four),
        Err(one) => Cell::Whole(one[0].clone()),
    }
}

/// Blocks of the trade that sew in straight seams, with how many patches they have.
pub fn straight_blocks() -> Vec<(BlockPlan, usize)> {
    let block = |name: &str, side: i64, rows: &[&str], patches| {
        (square_block(name, Surd::int(side), grid(rows)), patches)
    };
    use quilt::plan::{Arm, Centre, LogStyle};
    vec![
        block("four patch", 4, &["A B", "B A"], 4),
        block("nine patch", 9, &["A B A", "B A B", "A B A"], 9),
        block("pinwheel", 8, &["A\\B B/A", "A/B B\\A"], 8),
        block("hourglass", 4, &["A|B|A|B"], 4),
        block("shoo fly", 9, &["B/A A A\\B", "A B A", "B\\A A A/B"], 13),
        block(
            "friendship star",
            9,
            &["B A\\B B", "A/B A B/A", "B B\\A B"],
            13,
        ),
        block(
            "star of hourglasses",
            9,
            &["B A|B|A|B B", "B|A|B|A A B|A|B|A", "B A|B|A|B B"],
            21,
        ),
        block("rail", 4, &["A B C D", "^ ^ ^ ^", "^ ^ ^ ^", "^ ^ ^ ^"], 4),
        (
            sized_block(
                "geese",
                Surd::int(4),
                Surd::int(6),
                grid(&["G^S", "G^S", "G^S"]),
            ),
            9,
        ),
        (
            square_block(
                "nested squares",
                Surd::int(10),
                Draft::Nested {
                    rounds: 4,
                    centre: Centre::FourPatch,
                    twist: Arm::Clockwise,
                },
            ),
            20,
        ),
        (
            square_block(
                "log strips",
                Surd::ratio(21, 2),
                Draft::Log {
                    rounds: 3,
                    centre: Surd::ratio(1, 7),
                    style: LogStyle::Around,
                },
            ),
            13,
        ),
        (
            square_block(
                "log strips in pairs",
                Surd::int(10),
                Draft::Log {
                    rounds: 2,
                    centre: Surd::ratio(1, 5),
                    style: LogStyle::Pairs,
                },
            ),
            9,
        ),
        (
            square_block("split star", Surd::int(12), Draft::Star { split: true }),
            24,
        ),
        (
            sized_block(
                "60° triangles",
                Surd::int(6),
                Surd::root3().times(4),
                Draft::Triangles { rows: 4, across: 3 },
            ),
            28,
        ),
    ]
}
