//! Strips, half-drop, brick, pinned and mirrored cells, parts of blocks: laid out from
//! plan files and held against the same settings worked out point by point.
#![allow(
    clippy::unwrap_used,
    reason = "a test may panic, in its helpers as well"
)]

use geometry::{Arrangement, Place, Point, Polygon, Surd};
use proptest::prelude::*;
use quilt::findings::Weight;
use quilt::plan::{CellPlan, ClothId, Edit, Ends, Kind, Pinned, Plan, Reach, Role, Spot};
use quilt::results::{Results, work_out};
use quilt::setting::{PartKind, RingSide, Top, cloth_of, small_plan, small_size};

/// A block without any symmetry, and one to set between.
const HEAD: &str = r##"
piecewright = 1
title = "Saltmarsh"

[cloth.reed]
colour = "#7a8450"
[cloth.mud]
colour = "#5b4a3a"
[cloth.sky]
colour = "#a9c4d6"
[cloth.foam]
colour = "#f2efe6"
[cloth.rust]
colour = "#a8482c"

[block.Gull]
size = "6"
draft = "grid"
cells = ["a/b c", "d e\\f"]
[block.Gull.places]
a = "reed"
b = "mud"
c = "sky"
d = "foam"
e = "rust"
f = "sky"

[block.Plain]
size = "6"
draft = "grid"
cells = ["all"]
[block.Plain.places]
all = "mud"
"##;

fn plan(rest: &str) -> Plan {
    let text = format!("{HEAD}{rest}");
    planfile::read("a plan", &text).unwrap_or_else(|troubles| {
        panic!("{}", planfile::render("a plan", &text, &troubles, false))
    })
}

fn setting(kind: &str, rows: u32, columns: u32, cells: &str, more: &str) -> Plan {
    plan(&format!(
        "[setting]\nkind = \"{kind}\"\nrows = {rows}\ncolumns = {columns}\ncells = {cells}\n{more}\n[setting.key]\nG = \"Gull\"\nP = \"Plain\"\n"
    ))
}

fn worked(plan: &Plan) -> (Results, Top) {
    let results = work_out(plan, None);
    let top = results
        .top
        .clone()
        .unwrap_or_else(|| panic!("{:?}", results.findings));
    (results, Top::clone(&top))
}

/// The exact partition check of `geometry`: no gap, no overlap.
fn fills(plan: &Plan, top: &Top) {
    let blocks = top.blocks.iter().map(|placed| {
        let block = plan.block(placed.block);
        Polygon::rectangle(block.width.clone(), block.height.clone())
            .unwrap()
            .moved(&placed.motion)
    });
    let parts = top.parts.iter().map(|part| part.outline.clone());
    let tiles: Vec<Polygon> = blocks.chain(parts).collect();
    let outline = Polygon::rectangle(top.width.clone(), top.height.clone()).unwrap();
    if let Err(faults) = Arrangement::from_tiles(&outline, &tiles) {
        panic!("{faults:?}");
    }
    let area: Surd = tiles.iter().map(Polygon::area).sum();
    assert_eq!(area, &top.width * &top.height);
}

/// Sewing joins everything: one seam fewer than pieces, every piece met.
fn sews(results: &Results, top: &Top) {
    let sewing = results.sewing.as_ref().unwrap();
    let seams: u32 = sewing.top.iter().map(|step| step.seams).sum();
    assert_eq!(seams as usize, top.blocks.len() + top.parts.len() - 1);
    let Some(last) = sewing.top.last() else {
        return; // One block alone.
    };
    assert_eq!(last.blocks.len(), top.blocks.len());
    assert_eq!(last.parts.len(), top.parts.len());
}

/// The cloth that lies at a point of the top; `None` on a seam.
fn cloth_at(plan: &Plan, results: &Results, top: &Top, at: &Point) -> Option<ClothId> {
    for part in &top.parts {
        if part.outline.locate(at) == Place::Inside {
            return Some(part.cloth);
        }
    }
    for placed in &top.blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        for (index, patch) in block.patches.iter().enumerate() {
            if patch.outline.moved(&placed.motion).locate(at) == Place::Inside {
                return Some(cloth_of(plan, placed, patch.place.unwrap(), index));
            }
        }
    }
    None
}

/// The cloth at a point of a whole block of 6 in, laid as a cell says: the point is taken
/// back into the block as drafted and its patch looked up there.
fn in_cell(plan: &Plan, results: &Results, cell: &CellPlan, x: &Surd, y: &Surd) -> Option<ClothId> {
    let six = Surd::int(6);
    let (mut x, mut y) = (x.clone(), y.clone());
    for _ in 0..cell.turn {
        // Back by a quarter turn: what lies at the top came from the left.
        (x, y) = (y.clone(), &six - &x);
    }
    if cell.mirrored {
        x = &six - &x;
    }
    let at = Point::new(x, y);
    let block = results.blocks[cell.block.0].as_ref().unwrap();
    let mut patches = block.patches.iter();
    let patch = patches.find(|patch| patch.outline.locate(&at) == Place::Inside)?;
    Some(plan.block(cell.block).places[patch.place.unwrap()].cloths[0])
}

fn any_cell() -> impl Strategy<Value = CellPlan> {
    (0usize..2, 0u8..4, any::<bool>()).prop_map(|(block, turn, mirrored)| CellPlan {
        block: quilt::plan::BlockId(block),
        colourway: None,
        turn,
        mirrored: mirrored && block == 0,
    })
}

prop_compose! {
    fn shifted()(
        drop in any::<bool>(),
        plain in any::<bool>(),
        rows in 1u32..4,
        columns in 1u32..5,
        (high, wide) in (1usize..3, 1usize..3),
    )(
        cells in prop::collection::vec(any_cell(), high * wide),
        pin in prop::option::of((0..rows, 0..columns, any_cell())),
        (drop, plain, rows, columns, high, wide) in Just((drop, plain, rows, columns, high, wide)),
    ) -> Plan {
        let mut plan = setting("straight", rows, columns, "[\"G\"]", "");
        let ends = if plain { Ends::Plain(ClothId(4)) } else { Ends::Halves };
        plan.setting.kind = if drop { Kind::HalfDrop { ends } } else { Kind::Brick { ends } };
        plan.setting.cells = quilt::plan::Repeat { rows: high, columns: wide, cells };
        plan.setting.pinned = pin
            .map(|(row, column, cell)| Pinned { row, column, cell })
            .into_iter()
            .collect();
        plan.refresh();
        plan
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn a_shifted_setting_shows_at_every_point_what_the_endless_one_shows(plan in shifted()) {
        let (results, top) = worked(&plan);
        fills(&plan, &top);
        sews(&results, &top);
        let s = &plan.setting;
        let (drop, ends) = match s.kind {
            Kind::HalfDrop { ends } => (true, ends),
            Kind::Brick { ends } => (false, ends),
            _ => unreachable!(),
        };
        let six = Surd::int(6);
        prop_assert_eq!(&top.width, &six.times(s.columns.into()));
        prop_assert_eq!(&top.height, &six.times(s.rows.into()));
        let (lines, along) = if drop { (s.columns, s.rows) } else { (s.rows, s.columns) };
        let shifted = lines / 2;
        let whole = lines * along - shifted;
        let ended = match ends { Ends::Halves => 2 * shifted, Ends::Plain(_) => 0 };
        prop_assert_eq!(top.blocks.len() as u32, whole + ended);
        // A lattice of points that lies on no seam of these blocks.
        let step = Surd::ratio(13, 10);
        let first = Surd::ratio(17, 100);
        let mut compared = 0;
        for i in 0..i64::from(s.columns * 5) {
            for j in 0..i64::from(s.rows * 5) {
                let (x, y) = (&first + &step.times(i), &Surd::ratio(29, 100) + &step.times(j));
                if x >= top.width || y >= top.height {
                    continue;
                }
                let at = Point::new(x.clone(), y.clone());
                let found = cloth_at(&plan, &results, &top, &at);
                // Point by point: which line, how far along it, in which cell.
                let (across, run) = if drop { (&x, &y) } else { (&y, &x) };
                let line = across.checked_div(&six).unwrap().floor();
                let across = across - &six.times(line);
                let shift = if line % 2 == 1 { Surd::int(3) } else { Surd::ZERO };
                let run = run - &shift;
                let index = run.checked_div(&six).unwrap().floor();
                let run = &run - &six.times(index);
                let line = line as u32;
                let end = line % 2 == 1 && (index < 0 || index == i64::from(along) - 1);
                let cell = match (drop, u32::try_from(index)) {
                    (true, Ok(index)) => *s.cell(index, line),
                    (false, Ok(index)) => *s.cell(line, index),
                    (true, Err(_)) => *s.cells.at(s.cells.rows as u32 - 1, line),
                    (false, Err(_)) => *s.cells.at(line, s.cells.columns as u32 - 1),
                };
                let (x, y) = if drop { (across, run) } else { (run, across) };
                let expected = match ends {
                    Ends::Plain(cloth) if end => Some(cloth),
                    _ => in_cell(&plan, &results, &cell, &x, &y),
                };
                if found.is_some() && expected.is_some() {
                    prop_assert_eq!(found, expected, "at {:?} in {:?}", at.to_f64(), cell);
                    compared += 1;
                }
            }
        }
        prop_assert!(compared > 5 * s.rows * s.columns, "{}", compared);
    }
}

#[test]
fn strips_part_the_columns_and_are_as_long_as_they() {
    for (outside, strips, width) in [(true, 4, "34"), (false, 2, "26")] {
        let more =
            format!("[setting.strips]\nwidth = \"4\"\ncloth = \"sky\"\noutside = {outside}\n");
        let plan = plan(&format!(
            "[setting]\nkind = \"strips\"\nrows = 5\ncolumns = 3\ncells = [\"G0 G1 P\"]\n{more}[setting.key]\nG = \"Gull\"\nP = \"Plain\"\n"
        ));
        let (results, top) = worked(&plan);
        fills(&plan, &top);
        sews(&results, &top);
        assert_eq!(plan.measure.say(&top.width), format!("{width} in"));
        let of = |kind| top.parts.iter().filter(move |part| part.kind == kind);
        assert_eq!(of(PartKind::Strip).count(), strips);
        assert!(of(PartKind::Strip).all(|strip| strip.length == top.height));
        let steps = &results.sewing.as_ref().unwrap().top;
        let said: Vec<&str> = steps.iter().map(|step| step.text.as_str()).collect();
        assert!(
            said[0].starts_with("Each of the 3 columns") || said[0].starts_with("Column"),
            "{said:?}"
        );
        assert!(
            said.last()
                .unwrap()
                .contains("Cut every strip to that length"),
            "{said:?}"
        );
    }
}

#[test]
fn a_half_block_is_pieced_with_its_own_seams() {
    let plan = setting("half-drop", 3, 3, "[\"G0\"]", "");
    let halves: Vec<(&str, Option<Role>)> = plan.blocks[2..]
        .iter()
        .map(|block| (block.name.as_str(), block.draft.taken().map(|t| t.role)))
        .collect();
    let names: Vec<&str> = halves.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["Gull, lower half", "Gull, upper half"]);
    let (results, top) = worked(&plan);
    fills(&plan, &top);
    assert!(results.findings.iter().all(|f| f.weight != Weight::Stop));
    for index in [2, 3] {
        let half = results.blocks[index].as_ref().unwrap();
        assert_eq!(half.drafted.outline.area(), Surd::int(18));
        assert_eq!(half.patches.len(), 3, "the same lines, cut at the middle");
        let sewing = results.sewing.as_ref().unwrap();
        let sewn = sewing.blocks.iter().find(|s| s.block.0 == index).unwrap();
        assert_eq!(sewn.copies, 1);
        assert_eq!(sewn.joins.len(), 2);
    }
}

#[test]
fn a_part_through_patches_makes_smaller_patches_and_keeps_their_places() {
    let plan = plan(
        "[block.Slice]\ndraft = \"taken\"\nfrom = \"Gull\"\npart = [\"1 0\", \"4 6\"]\nmirrored = true\nsize = \"6 x 12\"\n\
         [setting]\nrows = 1\ncolumns = 1\ncells = [\"S\"]\n[setting.key]\nS = \"Slice\"\n",
    );
    let slice = &plan.blocks[2];
    let (results, top) = worked(&plan);
    let drafted = results.blocks[2].as_ref().unwrap();
    // Twice as large, so four times the area: of a and b what lies right of the line.
    let area = |place: &str| -> Surd {
        let of = drafted.patches.iter();
        let of = of.filter(|p| slice.places[p.place.unwrap()].name == place);
        of.map(|p| p.outline.area()).sum()
    };
    assert_eq!(top.width, Surd::int(6));
    // a is the upper left half of a 3 in square: 2 × 2 ÷ 2 of it is left.
    assert_eq!(area("a"), Surd::int(8));
    assert_eq!(area("b"), Surd::int(16));
    assert_eq!(area("c"), Surd::int(12));
    assert_eq!(area("d"), Surd::int(24));
    assert_eq!(area("e") + area("f"), Surd::int(12));
}

#[test]
fn taken_blocks_follow_the_block_they_come_from() {
    let before = plan(
        "[block.Luff]\ndraft = \"taken\"\nfrom = \"Gull\"\nmirrored = true\n\
         [setting]\nkind = \"brick\"\nrows = 2\ncolumns = 2\ncells = [\"G0 G1m\"]\n[setting.key]\nG = \"Gull\"\n",
    );
    let names =
        |plan: &Plan| -> Vec<String> { plan.blocks.iter().map(|b| b.name.clone()).collect() };
    assert_eq!(
        names(&before)[3..],
        [
            "Gull, mirrored",
            "Gull, mirrored, upper half",
            "Gull, mirrored, lower half"
        ]
    );
    // The cloth of a place of the source goes on to all that is taken from it.
    let lay = Edit::LayCloth {
        block: quilt::plan::BlockId(0),
        place: 0,
        cloths: vec![ClothId(4)],
    };
    let after = before.with(&lay).unwrap();
    for block in &after.blocks {
        let place = block.places.iter().find(|place| place.name == "a");
        assert!(
            place.is_none_or(|place| place.cloths == [ClothId(4)]),
            "{}",
            block.name
        );
    }
    // A new name does not cut the thread.
    let mut renamed = before.blocks[0].clone();
    renamed.name = "Tern".into();
    let set = Edit::SetBlock(quilt::plan::BlockId(0), renamed);
    let after = before.with(&set).unwrap();
    assert_eq!(after.blocks[2].draft.taken().unwrap().from(), "Tern");
    assert_eq!(names(&after)[3], "Tern, mirrored");
    // What the setting no longer needs goes.
    let kind = Edit::SetKind(Kind::Straight);
    assert_eq!(names(&before.with(&kind).unwrap()).len(), 4);
    // A turn asks for other halves.
    let turn = Edit::Turn {
        at: Spot { row: 0, column: 1 },
        quarters: 1,
        reach: Reach::Repeat,
    };
    let turned = names(&before.with(&turn).unwrap());
    assert_eq!(
        turned[4..],
        ["Gull, mirrored, left half", "Gull, mirrored, right half"]
    );
}

#[test]
fn what_cannot_go_together_is_refused_with_a_way_out() {
    let sashing = "[setting.sashing]\nwidth = \"2\"\ncloth = \"sky\"\n";
    let oblong = "[block.Low]\nsize = \"6 x 3\"\ndraft = \"grid\"\ncells = [\"all\"]\n[block.Low.places]\nall = \"reed\"\n";
    let said = |rest: &str| -> String {
        let plan = plan(rest);
        let results = work_out(&plan, None);
        assert!(results.top.is_none());
        results.findings[0].text.clone()
    };
    let key = "[setting.key]\nG = \"Gull\"\nL = \"Low\"\n";
    let text = said(&format!(
        "{oblong}[setting]\nkind = \"half-drop\"\nrows = 2\ncolumns = 2\ncells = [\"G\"]\n{key}{sashing}"
    ));
    assert!(
        text.contains("Take the sashing out, or set the blocks straight"),
        "{text}"
    );
    let text = said(&format!(
        "{oblong}[setting]\nkind = \"half-drop\"\nrows = 2\ncolumns = 2\ncells = [\"G G\", \"L L\"]\n{key}"
    ));
    assert!(
        text.contains("row 2 are 3 in high, the others 6 in"),
        "{text}"
    );
    assert!(
        text.contains("Draft them 6 in high, or set the blocks straight"),
        "{text}"
    );
}

#[test]
fn a_pin_changes_one_cell_and_nothing_else() {
    let without = setting("straight", 3, 4, "[\"G0 G1\", \"G3 G2\"]", "");
    let with = setting(
        "straight",
        3,
        4,
        "[\"G0 G1\", \"G3 G2\"]",
        "pinned = [\"2 3 P\", \"3 1 G2m\"]",
    );
    let (_, before) = worked(&without);
    let (results, after) = worked(&with);
    fills(&with, &after);
    sews(&results, &after);
    let differing: Vec<(u32, u32, &str)> = before
        .blocks
        .iter()
        .zip(&after.blocks)
        .filter(|(a, b)| (a.block, a.turn) != (b.block, b.turn))
        .map(|(_, b)| (b.row + 1, b.column + 1, with.block(b.block).name.as_str()))
        .collect();
    assert_eq!(differing, [(2, 3, "Plain"), (3, 1, "Gull, mirrored")]);
}

const UNITS: &str = r##"
[block.Corner]
draft = "taken"
from = "Gull"
part = ["0 0", "3 3"]

[block.Long]
size = "4 x 3"
draft = "grid"
cells = ["p<q"]
[block.Long.places]
p = "reed"
q = "foam"
"##;

/// A top of Gulls with these borders.
fn bordered(rows: u32, columns: u32, borders: &str) -> Plan {
    plan(&format!(
        "{UNITS}[setting]\nrows = {rows}\ncolumns = {columns}\ncells = [\"G0 G1\"]\n[setting.key]\nG = \"Gull\"\nC = \"Corner\"\nL = \"Long\"\n{borders}"
    ))
}

fn on_side(top: &Top, ring: usize, side: RingSide) -> Vec<&quilt::setting::PlacedBlock> {
    let is = |placed: &&quilt::setting::PlacedBlock| {
        placed
            .border
            .is_some_and(|spot| (spot.ring, spot.side) == (ring, side))
    };
    top.blocks.iter().filter(is).collect()
}

#[test]
fn units_that_fit_go_round_with_corners_that_turn() {
    let plan = bordered(3, 4, "[[border]]\nunits = \"C0\"\ncorner_block = \"C1\"\n");
    let (results, top) = worked(&plan);
    fills(&plan, &top);
    sews(&results, &top);
    assert_eq!(top.rings[0].units, Some((8, 6)));
    assert_eq!((&top.width, &top.height), (&Surd::int(30), &Surd::int(24)));
    // Every side is a quarter turn on: turned about the middle, the first unit of the top
    // lies as the first of each other side does at its own corner.
    for (side, count, turn) in [
        (RingSide::Top, 8, 0),
        (RingSide::Right, 6, 1),
        (RingSide::Bottom, 8, 2),
        (RingSide::Left, 6, 3),
    ] {
        let units = on_side(&top, 0, side);
        assert_eq!(units.len(), count);
        assert!(units.iter().all(|unit| unit.turn == turn));
    }
    let turns: Vec<u8> = on_side(&top, 0, RingSide::Corner)
        .iter()
        .map(|c| c.turn)
        .collect();
    assert_eq!(turns, [1, 2, 3, 0]);
    let said = &results.sewing.as_ref().unwrap().top;
    assert!(
        said.iter().any(|s| s
            .text
            .contains("24 in wide and 18 in long up to here: 8 × 3 in and 6 × 3 in")),
        "{said:?}"
    );
}

#[test]
fn a_spacer_makes_the_units_fit_and_says_the_sum() {
    // 18 × 24 and units of 4: 20 and 24 do, so only the sides need strips.
    let plan = bordered(
        4,
        3,
        "[[border]]\nspacer = true\ncloth = \"mud\"\n[[border]]\nunits = \"L0\"\ncloth = \"sky\"\n",
    );
    let (results, top) = worked(&plan);
    fills(&plan, &top);
    sews(&results, &top);
    assert_eq!(
        (&top.rings[0].side, &top.rings[0].end),
        (&Surd::ONE, &Surd::ZERO)
    );
    assert_eq!(top.rings[1].units, Some((5, 6)));
    assert_eq!(
        top.rings[0].sum.as_deref(),
        Some(
            "It makes the units of border 2 fit: width 18 in + 2 × 1 in = 20 in = 5 × 4 in, length 24 in + 2 × 0 in = 24 in = 6 × 4 in."
        )
    );
    // At least 2 in, with a plain border of 1/2 in between: the next size up.
    let plan = bordered(
        4,
        3,
        "[[border]]\nspacer = true\nwidth = \"2\"\ncloth = \"mud\"\n[[border]]\nwidth = \"1/2\"\ncloth = \"rust\"\n\
         [[border]]\nunits = \"L0\"\nfrom_middle = true\ncloth = \"sky\"\n",
    );
    let (results, top) = worked(&plan);
    fills(&plan, &top);
    sews(&results, &top);
    // 24 = 18 + 2 × 2 1/2 + 1 and 32 = 24 + 2 × 3 1/2 + 1, both in pairs.
    assert_eq!(top.rings[0].side, Surd::ratio(5, 2));
    assert_eq!(top.rings[0].end, Surd::ratio(7, 2));
    assert_eq!(top.rings[2].units, Some((6, 8)));
    // The second half of a side is the mirror image of the first.
    for side in [
        RingSide::Top,
        RingSide::Right,
        RingSide::Bottom,
        RingSide::Left,
    ] {
        let names: Vec<&str> = on_side(&top, 2, side)
            .iter()
            .map(|unit| plan.block(unit.block).name.as_str())
            .collect();
        let (first, second) = names.split_at(names.len() / 2);
        assert!(first.iter().all(|name| *name == "Long"), "{names:?}");
        assert!(
            second.iter().all(|name| *name == "Long, mirrored"),
            "{names:?}"
        );
    }
}

#[test]
fn a_border_from_the_middle_is_its_own_mirror_image() {
    for units in ["C0", "C1", "C2m", "C0 L0"] {
        let plan = bordered(
            2,
            2,
            &format!(
                "[[border]]\nspacer = true\ncloth = \"mud\"\n[[border]]\nunits = \"{units}\"\nfrom_middle = true\ncloth = \"sky\"\n"
            ),
        );
        let (results, top) = worked(&plan);
        fills(&plan, &top);
        let y = Surd::ratio(7, 10);
        let mut compared = 0;
        for step in 0..40 {
            let x = Surd::ratio(37 * step + 11, 100);
            let mirrored = Point::new(&top.width - &x, y.clone());
            let here = cloth_at(&plan, &results, &top, &Point::new(x, y.clone()));
            let there = cloth_at(&plan, &results, &top, &mirrored);
            if let (Some(here), Some(there)) = (here, there) {
                assert_eq!(here, there, "{units} at {step}");
                compared += 1;
            }
        }
        assert!(compared > 20, "{units}: {compared}");
    }
}

#[test]
fn a_border_that_does_not_fit_says_by_how_much_and_what_would() {
    let said = |borders: &str| -> String {
        let results = work_out(&bordered(4, 3, borders), None);
        assert!(results.top.is_none());
        results.findings[0].text.clone()
    };
    let text = said("[[border]]\nunits = \"L0\"\ncloth = \"sky\"\n");
    for part in [
        "its repeat of 4 in goes 4 times into 16 in, the top is 18 in wide",
        "2 in is left over",
        "here it would be 1 in wide",
        "a repeat is 4 1/2 in long",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let text = said("[[border]]\nspacer = true\ncloth = \"sky\"\n");
    assert!(text.contains("no pieced border follows"), "{text}");
    let text = said("[[border]]\nunits = \"C0 L1\"\ncloth = \"sky\"\n");
    assert!(text.contains("3 in and 4 in high"), "{text}");
    let text = said("[[border]]\nunits = \"C0\"\ncorner_block = \"L0\"\n");
    assert!(
        text.contains("corner block of border 1 is 4 × 3 in"),
        "{text}"
    );
    // A sliver is told, not refused.
    let plan = bordered(
        4,
        3,
        "[[border]]\nwidth = \"9/16\"\ncloth = \"mud\"\n[[border]]\nspacer = true\ncloth = \"sky\"\n[[border]]\nunits = \"L0\"\ncloth = \"sky\"\n",
    );
    let (results, top) = worked(&plan);
    assert_eq!(top.rings[1].side, Surd::ratio(7, 16));
    assert!(
        results
            .findings
            .iter()
            .all(|f| !f.text.contains("too narrow"))
    );
    let mut plan = plan;
    plan.borders[0].width = Surd::ratio(15, 16);
    let (results, _) = worked(&plan);
    assert!(
        results
            .findings
            .iter()
            .any(|f| f.text.contains("too narrow to sew well"))
    );
}

/// A medallion is one block with rounds of borders.
#[test]
fn rounds_of_a_medallion_grow_as_the_sum_says() {
    let round = "[[border]]\nspacer = true\nwidth = \"1/2\"\ncloth = \"mud\"\n[[border]]\nunits = \"C0\"\ncorner_block = \"C0\"\n";
    let plan = bordered(1, 1, &round.repeat(4));
    let (results, top) = worked(&plan);
    fills(&plan, &top);
    sews(&results, &top);
    let mut side = Surd::int(6);
    for (index, ring) in top.rings.iter().enumerate() {
        assert_eq!(ring.before, (side.clone(), side.clone()));
        if index % 2 == 1 {
            let count = i64::from(ring.units.unwrap().0);
            assert_eq!(side, Surd::int(3).times(count), "round {index}");
        }
        side = ring.after.0.clone();
    }
    assert_eq!(top.width, side);
}

#[test]
fn small_pieces_take_the_blocks_that_go_in_and_a_border_for_the_rest() {
    let all = "[small.Cushion]\nsize = \"18 x 18\"\ncloth = \"rust\"\n\
               [small.Runner]\nsize = \"15 x 40\"\ncloth = \"mud\"\nborder = \"1\"\n\
               [small.\"Pot holder\"]\nsize = \"8\"\ncloth = \"sky\"\n\
               [small.\"Bag panel\"]\nsize = \"13 x 14\"\ncloth = \"sky\"\nborder = \"4\"\n";
    let plan = bordered(
        4,
        3,
        &format!("[[border]]\nwidth = \"5\"\ncloth = \"mud\"\n{all}"),
    );
    let words: Vec<String> = plan
        .small
        .iter()
        .map(|piece| match small_size(&plan, piece).unwrap() {
            Ok(size) => size.words,
            Err(finding) => finding.text,
        })
        .collect();
    assert_eq!(
        words,
        [
            "Cushion, 18 × 18 in: 3 across and 3 down finish at 18 × 18 in; they fill it, without a border.",
            "Runner, 15 × 40 in: 2 across and 6 down finish at 12 × 36 in; a border of 1 1/2 in at the sides and 2 in at top and bottom makes up the rest.",
            "Pot holder, 8 × 8 in: one block finishes at 6 × 6 in; a border of 1 in all round makes up the rest.",
            "“Bag panel” is 13 × 14 in, and not even one block goes in: that takes 14 × 14 in with its border. Make it that large, or draft the block smaller.",
        ]
    );
    for piece in &plan.small[..3] {
        let small = small_plan(&plan, piece).unwrap();
        let (results, top) = worked(&small);
        fills(&small, &top);
        sews(&results, &top);
        assert_eq!((&top.width, &top.height), (&piece.width, &piece.height));
    }
    let results = work_out(&plan, None);
    assert!(
        results
            .findings
            .iter()
            .any(|f| f.text.starts_with("“Bag panel”"))
    );
}

/// Fields of 60° shapes are designs of one block, sewn in straight rows.
#[test]
fn fields_of_hexagons_and_triangles_sew_in_straight_rows() {
    for (draft, share, patches) in [("hexagons", 3, 4 * 7), ("triangles", 2, 4 * 13)] {
        // 12 in across six columns, four rows: 2 × 4 × √3 ÷ 3, or ÷ 2.
        let height = Surd::root3().times(8).over(share);
        let text = format!(
            "[block.Field]\nsize = \"12 x 1\"\ndraft = \"{draft}\"\nrows = 4\nacross = 6\n[block.Field.places]\nall = {{ cloth = [\"reed\", \"mud\", \"sky\"], of = [\"column\", \"up\", \"down\", \"end\"] }}\n\
             [setting]\nrows = 1\ncolumns = 1\ncells = [\"F\"]\n[setting.key]\nF = \"Field\"\n"
        );
        let mut plan = plan(&text);
        let wrong = work_out(&plan, None);
        assert!(
            wrong.findings[0].text.contains("height of exactly"),
            "{:?}",
            wrong.findings
        );
        plan.blocks[2].height = height;
        let (results, top) = worked(&plan);
        fills(&plan, &top);
        let block = results.blocks[2].as_ref().unwrap();
        assert_eq!(block.patches.len(), patches);
        assert!(block.patches.iter().all(|patch| patch.place == Some(0)));
        assert!(block.joining.obstructions.is_empty());
        let sewn = results.sewing.as_ref().unwrap();
        let field = sewn.blocks.iter().find(|s| s.block.0 == 2).unwrap();
        assert_eq!((field.partial, field.set_in), (0, 0));
        // One kind of whole piece and its edge pieces, which come in two hands.
        assert!(block.templates.len() <= 3, "{}", block.templates.len());
    }
}

#[test]
fn the_halves_of_each_hexagon_lie_on_each_other() {
    let plan = plan(
        "[block.Field]\nsize = \"9 x 9\"\ndraft = \"hexagons\"\nrows = 6\nacross = 4\n\
         [setting]\nrows = 1\ncolumns = 1\ncells = [\"F\"]\n[setting.key]\nF = \"Field\"\n",
    );
    let mut field = plan.blocks[2].clone();
    field.height = Surd::root3().times(9).times(6).over(12);
    let drafted = quilt::block::drafted(&field).unwrap();
    let mut met = 0;
    for (face, spot) in drafted.arrangement.faces.iter().zip(&drafted.spots) {
        let Some(stem) = spot.strip_suffix(" upper") else {
            continue;
        };
        let lower = format!("{stem} lower");
        let other = drafted.spots.iter().position(|spot| *spot == lower);
        let Some(other) = other else { continue };
        let (low, high) = face.polygon.bounds();
        let (below, bottom) = drafted.arrangement.faces[other].polygon.bounds();
        assert_eq!(
            (&low.x, &high.x, &high.y),
            (&below.x, &bottom.x, &below.y),
            "{stem}"
        );
        met += 1;
    }
    assert_eq!(met, 3 * 3 + 2 * 2);
}
