//! Fewest foundation sections of blocks of the trade, and the order within them.

mod support;

use std::collections::BTreeSet;

use geometry::Surd;
use quilt::block::drafted;
use quilt::block::joining::{Foundation, foundation};
use quilt::plan::{Arm, BlockPlan, Centre, Draft, LogStyle};
use support::{grid, sized_block, square_block, straight_blocks};

fn of(plan: &BlockPlan) -> Foundation {
    let drafted = drafted(plan).unwrap_or_else(|faults| panic!("{}: {faults:?}", plan.name));
    foundation(&drafted).unwrap_or_else(|| panic!("{} sews straight", plan.name))
}

fn square(name: &str, rows: &[&str]) -> BlockPlan {
    square_block(name, Surd::int(12), grid(rows))
}

/// Computed once by a search over all divisions; each equals its lower bound.
#[test]
fn the_fewest_sections() {
    let nested = Draft::Nested {
        rounds: 2,
        centre: Centre::Plain,
        twist: Arm::Clockwise,
    };
    let log = Draft::Log {
        rounds: 3,
        centre: Surd::ratio(1, 7),
        style: LogStyle::Around,
    };
    let four = ["A B A B", "B A B A", "A B A B", "B A B A"];
    let table = [
        (square("four patch", &["A B", "B A"]), 2),
        (square("nine patch", &["A B A", "B A B", "A B A"]), 3),
        (square("four by four", &four), 4),
        (
            square("pinwheel of half-squares", &["A\\B B/A", "A/B B\\A"]),
            2,
        ),
        (
            square("friendship star", &["B A\\B B", "A/B A B/A", "B B\\A B"]),
            3,
        ),
        (
            square("churn dash type", &["B/A A A\\B", "A B A", "B\\A A A/B"]),
            3,
        ),
        (
            square(
                "Ohio star type",
                &["B A|B|A|B B", "B|A|B|A A B|A|B|A", "B A|B|A|B B"],
            ),
            5,
        ),
        (square_block("log strips", Surd::int(7), log), 1),
        (
            square_block("square in a square twice", Surd::int(8), nested),
            1,
        ),
        (
            sized_block(
                "geese",
                Surd::int(4),
                Surd::int(6),
                grid(&["G^S", "G^S", "G^S"]),
            ),
            1,
        ),
    ];
    for (plan, sections) in table {
        let found = of(&plan);
        assert_eq!(found.sections.len(), sections, "{}", plan.name);
        assert_eq!(found.at_least, sections, "{}: proved", plan.name);
    }
}

/// Every patch is in one section, each patch but the first of a section has its seam, and
/// sections are joined to one.
#[test]
fn sections_hold_every_patch_once() {
    for (plan, patches) in straight_blocks() {
        let found = of(&plan);
        let all: Vec<usize> = found
            .sections
            .iter()
            .flat_map(|section| section.patches.iter().copied())
            .collect();
        let once: BTreeSet<usize> = all.iter().copied().collect();
        assert_eq!((all.len(), once.len()), (patches, patches), "{}", plan.name);
        for section in &found.sections {
            assert_eq!(
                section.seams.len() + 1,
                section.patches.len(),
                "{}",
                plan.name
            );
        }
        assert_eq!(found.joins.len() + 1, found.sections.len(), "{}", plan.name);
        let seams: usize = found.sections.iter().map(|s| s.seams.len()).sum();
        assert_eq!(seams + found.joins.len(), patches - 1, "{}", plan.name);
    }
}

#[test]
fn a_block_with_a_ring_has_no_sections() {
    let framed = square("framed", &["a < b", "d c ^", "^ e <"]);
    let drafted = drafted(&framed).expect("it can be drawn");
    assert_eq!(foundation(&drafted), None);
}
