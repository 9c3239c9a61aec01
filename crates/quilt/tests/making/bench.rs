//! Small quilts whose units can be made in several ways.

use geometry::Surd;
use quilt::making::{Batch, Recipe};
use quilt::plan::{BlockPlan, Claim, ClothId, Direction, PlacePlan, Plan, UnitKind, Way, Wish};
use quilt::results::{self, Results};

use super::plans::plain;
use super::support::{grid, sized_block};

/// `4 7/8` in inches.
pub fn inches(text: &str) -> Surd {
    let mut total = Surd::ZERO;
    for word in text.split_whitespace() {
        total += match word.split_once('/') {
            Some((n, d)) => Surd::ratio(n.parse().unwrap(), d.parse().unwrap()),
            None => Surd::int(word.parse().unwrap()),
        };
    }
    total
}

/// A block in a grid; each spot is a place of its own, the first in cloth 0, the next in
/// cloth 1 and so on.
pub fn block(width: Surd, height: Surd, rows: &[&str], spots: &[&str]) -> BlockPlan {
    let mut block = sized_block("Trial", width, height, grid(rows));
    block.places = spots
        .iter()
        .enumerate()
        .map(|(cloth, spot)| PlacePlan {
            name: (*spot).into(),
            cloths: vec![ClothId(cloth)],
            claims: vec![Claim::Spot((*spot).into())],
            centred: false,
        })
        .collect();
    block
}

/// A quilt of so many copies of a block, in rows of ten, made by this wish.
pub fn quilt(block: BlockPlan, copies: u32, wish: Wish) -> Plan {
    let mut plan = plain(Surd::int(9), copies.min(10), copies.div_ceil(10));
    plan.blocks = vec![block];
    plan.making.wish = wish;
    plan
}

/// Worked out, with a top.
pub fn worked(plan: &Plan) -> Results {
    let results = results::work_out(plan, None);
    assert!(results.top.is_some(), "{:?}", results.findings);
    results
}

/// The only batch of a quilt.
pub fn only(results: &Results) -> Batch {
    let making = results.making.as_ref().unwrap();
    assert_eq!(making.batches.len(), 1, "{:?}", making.batches);
    making.batches[0].clone()
}

/// How a batch is made in this way.
pub fn way(batch: &Batch, way: Way) -> Recipe {
    let found = batch.ways.iter().find(|recipe| recipe.way == way);
    found
        .unwrap_or_else(|| panic!("{way:?} of {:?}", batch.kind))
        .clone()
}

/// Ten copies of a block of one unit, as that unit's batch.
pub fn unit(width: &Surd, height: &Surd, rows: &[&str], spots: &[&str]) -> Batch {
    let block = block(width.clone(), height.clone(), rows, spots);
    only(&worked(&quilt(block, 10, Wish::TruestGrain)))
}

/// A half-square unit of this finished side.
pub fn half_square(side: &Surd) -> Batch {
    let batch = unit(side, side, &["A/B"], &["A", "B"]);
    assert_eq!(batch.kind, UnitKind::HalfSquare);
    batch
}

/// A goose of this finished height.
pub fn goose(height: &Surd) -> Batch {
    let batch = unit(&height.times(2), height, &["A^B"], &["A", "B"]);
    assert_eq!(batch.kind, UnitKind::Geese);
    batch
}

/// An hourglass of this finished side.
pub fn hourglass(side: &Surd) -> Batch {
    let batch = unit(side, side, &["A|B|A|B"], &["A", "B"]);
    assert_eq!(batch.kind, UnitKind::Hourglass);
    batch
}

/// Gives one cloth a print with a direction.
pub fn directed(plan: &mut Plan, cloth: usize, direction: Direction) {
    plan.cloths[cloth].direction = direction;
}
