//! Cloth chosen for whole plans: sorted by value, scattered from pools.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

use std::collections::BTreeMap;

use quilt::cloth::{Lies, contacts};
use quilt::plan::{ClothId, Edit, Plan, Value};
use quilt::results::{Results, work_out};
use quilt::setting::cloth_of;

/// Sixteen blocks of four patches; the light patches come from one pool, the dark ones
/// from another.
const SCRAPS: &str = r##"
piecewright = 1
title = "Orchard scraps"

[cloth.oat]
colour = "#e9dec4"
[cloth.wheat]
colour = "#e4d2a2"
[cloth.linen]
colour = "#f1ead9"
[cloth.bark]
colour = "#47312a"
tags = ["log"]
[cloth.damson]
colour = "#4a2638"
tags = ["log"]
[cloth.hedge]
colour = "#3f6053"
tags = ["log"]
[cloth.russet]
colour = "#a5301f"

[pool.lights]
value = "light"
pins = [{ row = 1, column = 1, patch = 2, cloth = "wheat" }]

[pool.darks]
tag = "log"
each = "block"
counts = { bark = 9 }
seed = 5

[block.Row]
size = "8"
draft = "grid"
cells = ["L D", "D L"]
[block.Row.places]
L = { pool = "lights" }
D = { pool = "darks" }

[setting]
kind = "straight"
rows = 4
columns = 5
cells = ["R"]
[setting.key]
R = "Row"

[[border]]
width = "2"
cloth = "russet"
"##;

fn plan(text: &str) -> Plan {
    planfile::read("scraps", text).unwrap_or_else(|troubles| panic!("{troubles:?}"))
}

/// How often each cloth lies in the blocks of the top.
fn counted(plan: &Plan, results: &Results) -> BTreeMap<ClothId, usize> {
    let mut counts = BTreeMap::new();
    for placed in &results.top.as_ref().unwrap().blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        for (index, patch) in block.patches.iter().enumerate() {
            let cloth = cloth_of(plan, placed, patch.place.unwrap(), index);
            *counts.entry(cloth).or_default() += 1;
        }
    }
    counts
}

#[test]
fn pools_fill_the_top_and_everything_follows() {
    let plan = plan(SCRAPS);
    let results = work_out(&plan, None);
    let counts = counted(&plan, &results);
    // 40 light patches in three cloths; 20 blocks in three dark ones, nine of them bark.
    let lights: Vec<usize> = (0..3).map(|cloth| counts[&ClothId(cloth)]).collect();
    assert_eq!(lights.iter().sum::<usize>(), 40);
    assert!(
        lights.iter().all(|&count| count == 13 || count == 14),
        "{lights:?}"
    );
    assert_eq!(counts[&ClothId(3)], 18);
    assert_eq!(counts[&ClothId(4)] + counts[&ClothId(5)], 22);
    let [lights, darks] = results.scattered.as_slice() else {
        panic!("two pools");
    };
    assert_eq!((lights.spots, darks.spots), (40, 20));
    for pool in [lights, darks] {
        assert_eq!((pool.touching, pool.unavoidable), (0, 0));
        assert!(pool.crowd < pool.blindly, "{pool:?}");
        for lot in &pool.cloths {
            assert!(
                lot.nearest.unwrap() <= lot.at_most.unwrap() + 1e-9,
                "{lot:?}"
            );
        }
    }
    assert_eq!(darks.cloths[0].wanted, Some(9));
    // The pin: the second of the block's patches that the pool fills.
    let top = results.top.as_ref().unwrap();
    let block = results.blocks[0].as_ref().unwrap();
    let of_pool = |place: usize| (0..4).filter(move |&i| block.patches[i].place == Some(place));
    assert_eq!(
        top.blocks[0].scraps[&of_pool(0).nth(1).unwrap()],
        ClothId(1)
    );
    // The cutting cuts what lies in the top.
    for cut in results.cutting.as_ref().unwrap().iter() {
        let patches: u32 = cut
            .demands
            .iter()
            .flat_map(|demand| &demand.serves)
            .filter(|served| matches!(served.usage, quilt::cutting::Use::Patch(..)))
            .map(|served| served.count)
            .sum();
        let wanted = counts.get(&cut.cloth).copied().unwrap_or(0);
        assert_eq!(patches as usize, wanted, "{:?}", cut.cloth);
    }
}

#[test]
fn another_seed_is_another_top_and_the_same_seed_the_same() {
    let first = plan(SCRAPS);
    let again = work_out(&first, None);
    let before = work_out(&first, None);
    assert_eq!(before.top, again.top);
    let other = plan(&SCRAPS.replace("seed = 5", "seed = 6"));
    let after = work_out(&other, Some(&before));
    assert_ne!(before.top, after.top);
    assert_eq!(counted(&first, &before).values().sum::<usize>(), 80);
    // Nothing changed, nothing worked anew.
    let kept = work_out(&first, Some(&before));
    assert!(std::sync::Arc::ptr_eq(
        before.top.as_ref().unwrap(),
        kept.top.as_ref().unwrap()
    ));
}

#[test]
fn a_pool_by_value_follows_the_makers_word() {
    let plan = plan(SCRAPS);
    let mut russet = plan.cloths[6].clone();
    russet.value = Some(Value::Light);
    let changed = plan.with(&Edit::SetCloth(ClothId(6), russet)).unwrap();
    assert_eq!(changed.blocks[0].places[0].cloths.len(), 4);
    let results = work_out(&changed, None);
    assert_eq!(counted(&changed, &results)[&ClothId(6)], 10);
    // A place laid by hand leaves the pool.
    let by_hand = Edit::LayCloth {
        block: quilt::plan::BlockId(0),
        place: 0,
        cloths: vec![ClothId(2)],
    };
    let laid = changed.with(&by_hand).unwrap();
    assert!(laid.choosing.pools[0].fills.is_empty());
    assert_eq!(counted(&laid, &work_out(&laid, None))[&ClothId(2)], 40);
}

#[test]
fn counts_that_do_not_fit_are_told_and_met_as_far_as_can_be() {
    let plan = plan(&SCRAPS.replace("bark = 9", "bark = 9, damson = 9, hedge = 9"));
    let results = work_out(&plan, None);
    let short = results.scattered[1].short.unwrap();
    assert_eq!((short.asked, short.spots), (27, 20));
    assert!(
        results
            .findings
            .iter()
            .any(|f| f.text.contains("27") && f.text.contains("darks"))
    );
}

#[test]
fn every_pair_of_neighbours_is_found_once() {
    let plan = plan(SCRAPS);
    let results = work_out(&plan, None);
    let found = contacts(&results.blocks, results.top.as_ref().unwrap());
    let patches = |lies: Lies| matches!(lies, Lies::Patch(..));
    let inner = found.touching.iter().filter(|contact| {
        let [a, b] = contact.pieces;
        patches(found.pieces[a].lies) && patches(found.pieces[b].lies)
    });
    // A grid of 10 × 8 patches, each 4 in.
    let lengths: Vec<f64> = inner.map(|contact| contact.length).collect();
    assert_eq!(lengths.len(), 9 * 8 + 10 * 7);
    assert!(lengths.iter().all(|length| (length - 4.0).abs() < 1e-9));
}

#[test]
fn pools_and_records_are_written_as_they_are_read() {
    let rich = SCRAPS.replace(
        "[cloth.russet]\ncolour = \"#a5301f\"",
        "[cloth.russet]\ncolour = \"#a5301f\"\nphoto = \"photos/russet.jpg\"\nshop = \"Market stall\"\nwashed = true\ntags = [\"red\", \"apple\"]\nmeasured = { lab = [38.5, 47.25, -3], spread = 12.5, busy = 30, scale = \"3/4\", repeat = \"2 x 3\", direction = \"one-way\", print = \"leafy\" }",
    );
    for text in [SCRAPS, &rich, HARBOUR] {
        let plan = plan(text);
        let written = planfile::write(&plan);
        assert_eq!(
            planfile::read("again", &written).unwrap(),
            plan,
            "{written}"
        );
    }
    let plan = plan(&rich);
    let found = plan.cloths[6].record.measured.as_ref().unwrap();
    assert_eq!(found.lab[2], geometry::Surd::int(-3));
    let mut other = plan.cloths[0].clone();
    other.record.tags = vec!["log".into()];
    let changed = plan.with(&Edit::SetCloth(ClothId(0), other)).unwrap();
    let text = planfile::write_change(&rich, &plan, &changed).unwrap();
    assert_eq!(planfile::read("changed", &text).unwrap(), changed);
    assert!(text.contains("pins = [{ row = 1, column = 1, patch = 2, cloth = \"wheat\" }]"));
}

#[test]
fn what_makes_no_sense_is_told_where_it_stands() {
    for (from, to, wanted) in [
        (
            "pool = \"lights\"",
            "pool = \"light\"",
            "Did you mean “lights”",
        ),
        (
            "tag = \"log\"",
            "tag = \"twig\"",
            "No cloth carries the tag",
        ),
        (
            "value = \"light\"",
            "value = \"light\"\ntag = \"log\"",
            "in two ways",
        ),
        ("row = 1", "row = 0", "whole number from 1"),
        ("bark = 9", "birch = 9", "no cloth “birch”"),
        (
            "[cloth.oat]",
            "[cloth.oat]\nphoto = \"../../elsewhere.jpg\"",
            "lies elsewhere",
        ),
        (
            "[cloth.oat]",
            "[cloth.oat]\nphoto = \"/home/oat.jpg\"",
            "lies elsewhere",
        ),
        (
            "[cloth.oat]",
            "[cloth.oat]\nmeasured = { lab = [120, 0, 0] }",
            "from 0 to 100",
        ),
        (
            "[cloth.oat]",
            "[cloth.oat]\ntags = [\"a\", \"a\"]",
            "here twice",
        ),
        (
            "L = { pool",
            "L = { cloth = \"oat\", pool",
            "or has its own cloth",
        ),
    ] {
        let troubles = planfile::read("odd", &SCRAPS.replacen(from, to, 1)).unwrap_err();
        let told = format!("{troubles:?}");
        assert!(told.contains(wanted), "{to}: {told}");
    }
}

/// A block of four arms and four rounds; every family has five cloths, one of them too
/// many.
const HARBOUR: &str = r##"
piecewright = 1
title = "Harbour"

[cloth.foam]
colour = "#f6f1e4"
[cloth.rust-1]
colour = "#5e1f12"
tags = ["rust"]
[cloth.rust-2]
colour = "#9c4527"
tags = ["rust"]
[cloth.rust-3]
colour = "#a04a2c"
tags = ["rust"]
[cloth.rust-4]
colour = "#c97a4f"
tags = ["rust"]
[cloth.rust-5]
colour = "#e8bd9d"
tags = ["rust"]
[cloth.teal-1]
colour = "#12424a"
tags = ["teal"]
[cloth.teal-2]
colour = "#2b6b70"
tags = ["teal"]
owned = ["4 squares 5"]
sold = false
[cloth.teal-3]
colour = "#6ba3a0"
tags = ["teal"]
[cloth.teal-4]
colour = "#b7d4cb"
tags = ["teal"]

[ramp.arms]
block = "Harbour"
arms = ["arm 1", "arm 2"]
tags = ["rust", "teal"]

[block.Harbour]
size = "10"
draft = "nested"
rounds = 4
[block.Harbour.places]
centre = "foam"
rest = { cloth = "foam", of = ["arm 3", "arm 4"] }
"arm 1 round 1" = "rust-1"
"arm 1 round 2" = "rust-1"
"arm 1 round 3" = "rust-1"
"arm 1 round 4" = "rust-1"
"arm 2 round 1" = "teal-1"
"arm 2 round 2" = "teal-1"
"arm 2 round 3" = "teal-1"
"arm 2 round 4" = "teal-1"

[setting]
rows = 2
columns = 2
cells = ["H"]
[setting.key]
H = "Harbour"
"##;

/// The short names of a ramp's cloths, arm by arm.
fn laid(plan: &Plan, results: &Results) -> Vec<Vec<String>> {
    let arms = results.ramps[0].arms.iter();
    let key = |slot: &quilt::cloth::Slot| {
        slot.cloth
            .map_or_else(String::new, |id| plan.cloth(id).key.clone())
    };
    arms.map(|arm| arm.iter().map(key).collect()).collect()
}

#[test]
fn a_ramp_runs_evenly_and_its_arms_match() {
    let plan = plan(HARBOUR);
    let results = work_out(&plan, None);
    // L* of the rusts: 22, 40, 42, 59, 80; of the teals: 25, 42, 63, 83. The marks lie at
    // 24, 43, 62 and 81.
    let wanted = [
        vec!["rust-1", "rust-3", "rust-4", "rust-5"],
        vec!["teal-1", "teal-2", "teal-3", "teal-4"],
    ];
    assert_eq!(laid(&plan, &results), wanted);
    let came = &results.ramps[0];
    assert!(came.marks.windows(2).all(|m| m[0] < m[1]));
    assert!(came.apart(&results.values).iter().all(|apart| *apart < 6.0));
    assert!(came.look_for.is_empty() && came.trouble.is_none());
}

#[test]
fn a_ramp_takes_no_more_than_there_is_and_says_what_to_look_for() {
    // A small piece of a cloth that is not sold does not reach for forty-nine blocks.
    let many = HARBOUR.replace("rows = 2\ncolumns = 2", "rows = 7\ncolumns = 7");
    let plan = plan(&many);
    let results = work_out(&plan, None);
    let arms = laid(&plan, &results);
    assert!(arms[1].contains(&String::new()), "{arms:?}");
    assert!(!arms[1].contains(&"teal-2".to_owned()), "{arms:?}");
    let wanted = &results.ramps[0].look_for[0];
    assert_eq!((wanted.arm, wanted.round), (1, 1));
    assert_eq!(wanted.family.as_deref(), Some("teal"));
    let told = results
        .findings
        .iter()
        .find(|f| f.text.contains("Look for"));
    assert!(
        told.unwrap().text.contains("a teal cloth of L* 4"),
        "{told:?}"
    );
    // The other way round the same cloths, from outside in.
    let deeper = HARBOUR.replace(
        "tags = [\"rust\", \"teal\"]",
        "tags = [\"rust\", \"teal\"]\noutward = \"deeper\"",
    );
    let turned = self::plan(&deeper);
    let arms = laid(&turned, &work_out(&turned, None));
    assert_eq!(arms[0], ["rust-5", "rust-4", "rust-3", "rust-1"]);
}

#[test]
fn neighbours_that_run_together_are_told() {
    let plan = plan(HARBOUR);
    let results = work_out(&plan, None);
    // The whole of arm 1 is one cloth, so nothing between its rounds is a seam of two.
    assert!(
        results
            .seams
            .iter()
            .all(|seam| seam.cloths[0] != seam.cloths[1])
    );
    assert!(results.seams.iter().all(|seam| seam.length > 0.0));
    let checker = SCRAPS.replace("L = { pool = \"lights\" }", "L = \"bark\"");
    let checker = checker.replace("D = { pool = \"darks\" }", "D = \"damson\"");
    let plan = self::plan(&checker);
    let results = work_out(&plan, None);
    let seam = results.seams.first().expect("bark meets damson");
    assert!(seam.melts(), "{seam:?}");
    // Twenty blocks with four seams of 4 in.
    assert!((seam.length - 20.0 * 16.0).abs() < 1e-6, "{seam:?}");
    assert!(results.findings.iter().any(|f| {
        f.text.contains("“L” in “bark” and “D” in “damson”") && f.text.contains("run together")
    }));
}

#[test]
fn prints_too_large_and_cloths_written_twice_are_told() {
    let text = SCRAPS
        .replace(
            "[cloth.bark]",
            "[cloth.bark]\nprint = \"leafy\"\nscale = \"9\"",
        )
        .replace("colour = \"#e4d2a2\"", "colour = \"#e9dec4\"");
    let plan = plan(&text);
    let results = work_out(&plan, None);
    let told = |words: &[&str]| {
        let mut all = results.findings.iter();
        all.any(|f| words.iter().all(|word| f.text.contains(word)))
    };
    assert!(told(&[
        "“bark” repeats every 9 in",
        "4.00 in across",
        "reads as plain"
    ]));
    assert!(told(&["“oat” and “wheat” look like one cloth"]));
    let fits = plan_with_scale(&text, "8");
    assert!(
        !fits
            .findings
            .iter()
            .any(|f| f.text.contains("reads as plain"))
    );
}

fn plan_with_scale(text: &str, scale: &str) -> Results {
    work_out(
        &plan(&text.replace("scale = \"9\"", &format!("scale = \"{scale}\""))),
        None,
    )
}

#[test]
fn a_print_whose_values_reach_over_the_limit_is_borderline() {
    let text = SCRAPS.replace(
        "[cloth.russet]",
        "[cloth.russet]\nmeasured = { lab = [40, 40, 30], spread = 60 }",
    );
    let calm = SCRAPS.replace(
        "[cloth.russet]",
        "[cloth.russet]\nmeasured = { lab = [40, 40, 30], spread = 2 }",
    );
    let borderline = |text: &str| {
        let results = work_out(&plan(text), None);
        results
            .values
            .borderline(ClothId(6))
            .map(|either| either.straddles)
    };
    assert_eq!(borderline(&text), Some(true));
    assert_ne!(borderline(&calm), Some(true));
}
