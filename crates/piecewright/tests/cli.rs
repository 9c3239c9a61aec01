//! The executable as a maker meets it: commands, exit codes, files, and the open report
//! held against the plan from outside.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use support::{folder, piecewright, text};

const DEMOS: [&str; 5] = [
    "harbour-lights",
    "orchard-at-dusk",
    "night-ferry",
    "whirligig-pier",
    "honeycomb-steps",
];

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"))
}

fn report(name: &str) -> Value {
    let out = piecewright(&["report", "--json", example(name).to_str().unwrap()]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

fn list<'a>(value: &'a Value, field: &str) -> &'a Vec<Value> {
    value[field]
        .as_array()
        .unwrap_or_else(|| panic!("{field} is no list"))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

/// Twice the signed area of an open ring.
fn ring(value: &Value) -> Vec<[f64; 2]> {
    let points = value.as_array().unwrap();
    points
        .iter()
        .map(|p| [number(&p[0]), number(&p[1])])
        .collect()
}

fn area(points: &[[f64; 2]]) -> f64 {
    let n = points.len();
    let twice: f64 = (0..n)
        .map(|i| {
            let ([ax, ay], [bx, by]) = (points[i], points[(i + 1) % n]);
            ax * by - bx * ay
        })
        .sum();
    twice.abs() / 2.0
}

#[test]
fn the_first_command_of_the_readme_makes_a_booklet_and_says_where() {
    let folder = folder("booklet");
    let plan = folder.join("harbour-lights.toml");
    fs::copy(example("harbour-lights"), &plan).unwrap();
    let out = piecewright(&["booklet", plan.to_str().unwrap()]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let pdf = folder.join("harbour-lights.pdf");
    assert!(text(&out.stdout).contains(pdf.to_str().unwrap()));
    assert!(fs::read(&pdf).unwrap().starts_with(b"%PDF-"));
    let named = folder.join("elsewhere.pdf");
    let out = piecewright(&[
        "booklet",
        plan.to_str().unwrap(),
        "-o",
        named.to_str().unwrap(),
    ]);
    assert!(out.status.success());
    assert_eq!(
        fs::read(&pdf).unwrap(),
        fs::read(&named).unwrap(),
        "the same plan, the same bytes"
    );
    let left: Vec<_> = fs::read_dir(&folder).unwrap().flatten().collect();
    assert_eq!(left.len(), 3, "no half-written file stays behind: {left:?}");
}

#[test]
fn a_booklet_that_cannot_be_written_leaves_nothing() {
    let folder = folder("nowhere");
    let target = folder.join("no such folder").join("out.pdf");
    let plan = example("harbour-lights");
    let out = piecewright(&[
        "booklet",
        plan.to_str().unwrap(),
        "-o",
        target.to_str().unwrap(),
    ]);
    assert_eq!(out.status.code(), Some(3), "{}", text(&out.stderr));
    assert!(!target.exists());
}

#[test]
fn check_speaks_plainly_and_without_colour_when_piped() {
    for name in DEMOS {
        let out = piecewright(&["check", example(name).to_str().unwrap()]);
        assert!(
            out.status.success(),
            "{name}: {}{}",
            text(&out.stdout),
            text(&out.stderr)
        );
        assert!(!out.stdout.contains(&0x1b), "no colour when piped");
        assert!(
            text(&out.stdout).contains("finished"),
            "{}",
            text(&out.stdout)
        );
    }
}

#[test]
fn a_damaged_plan_is_answered_with_the_place() {
    let folder = folder("damaged");
    let plan = folder.join("plan.toml");
    let whole = fs::read_to_string(example("harbour-lights")).unwrap();
    fs::write(
        &plan,
        whole.replace("draft = \"nested\"", "draft = \"nestde\""),
    )
    .unwrap();
    for command in ["check", "report", "booklet"] {
        let out = piecewright(&[command, plan.to_str().unwrap()]);
        assert_eq!(out.status.code(), Some(1));
        let said = text(&out.stderr);
        assert!(
            said.contains("plan.toml") && said.contains("nested"),
            "{said}"
        );
        assert!(!out.stderr.contains(&0x1b), "no colour when piped");
    }
}

#[test]
fn new_writes_a_plan_that_works_and_never_over_another() {
    let folder = folder("new");
    let plan = folder.join("mine.toml");
    assert!(
        piecewright(&["new", plan.to_str().unwrap()])
            .status
            .success()
    );
    let out = piecewright(&["check", plan.to_str().unwrap()]);
    assert!(
        out.status.success(),
        "{}{}",
        text(&out.stdout),
        text(&out.stderr)
    );
    fs::write(&plan, "# mine").unwrap();
    let out = piecewright(&["new", plan.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(3));
    assert_eq!(fs::read_to_string(&plan).unwrap(), "# mine");
}

#[test]
fn what_is_not_there_has_its_own_exit_codes() {
    assert_eq!(
        piecewright(&["check", "no-such-plan.toml"]).status.code(),
        Some(3)
    );
    assert_eq!(piecewright(&["sew"]).status.code(), Some(2));
    assert_eq!(piecewright(&["booklet"]).status.code(), Some(2));
}

#[test]
fn patches_fill_their_block_and_templates_cut_them() {
    for name in DEMOS {
        let report = report(name);
        for block in list(&report, "blocks") {
            let patches = list(block, "patches");
            let sum: f64 = patches.iter().map(|p| area(&ring(&p["outline"]))).sum();
            let whole = number(&block["width"]) * number(&block["height"]);
            assert!((sum - whole).abs() < 1e-9, "{name}: {sum} of {whole}");
            for patch in patches {
                let template = list(block, "templates")
                    .iter()
                    .find(|template| template["id"] == patch["template"])
                    .unwrap();
                let (a, b) = (
                    area(&ring(&patch["outline"])),
                    area(&ring(&template["finished"])),
                );
                assert!((a - b).abs() < 1e-9);
            }
            let sewing = &block["sewing"];
            let closing = number(&sewing["partial"]) + number(&sewing["set_in"]);
            assert_eq!(
                list(sewing, "joins").len() as f64,
                patches.len() as f64 - 1.0 + closing,
                "{name}: joins = patches − 1, and one more for each seam that closes"
            );
        }
    }
}

#[test]
fn every_patch_is_cut_once_and_lies_on_its_cloth() {
    for name in DEMOS {
        let report = report(name);
        let mut cut = std::collections::BTreeMap::new();
        for cloth in list(&report, "cloths") {
            let sheet = &cloth["layout"]["sheets"][0];
            let (width, length) = (number(&sheet["width"]), number(&sheet["length"]));
            let (needs, least) = (number(&cloth["needs"]), number(&cloth["at_least"]));
            assert!(least <= needs + 1e-9, "{name}: {}", cloth["id"]);
            assert!(number(&cloth["buy"]["length"]) >= needs - 1e-9);
            let mut used = 0.0;
            for piece in list(sheet, "pieces") {
                let outline = ring(&piece["outline"]);
                for [x, y] in &outline {
                    assert!(
                        *x >= -1e-9 && *x <= width + 1e-9,
                        "{name}: {} x {x}",
                        cloth["id"]
                    );
                    assert!(
                        *y >= -1e-9 && *y <= length + 1e-9,
                        "{name}: {} y {y}",
                        cloth["id"]
                    );
                }
                used += area(&outline);
                // Pieces for foundations are named `A1 of Lamp`.
                let named = piece["template"]
                    .as_str()
                    .and_then(|t| t.split_once(" of "));
                if let Some((number, block)) = named {
                    *cut.entry((block.to_string(), number.to_string()))
                        .or_insert(0) += 1;
                }
                if let Some(block) = piece["block"].as_str() {
                    *cut.entry((block.to_string(), piece["template"].to_string()))
                        .or_insert(0) += 1;
                }
            }
            assert!(
                used <= width * needs + 1e-6,
                "{name}: more cloth than there is"
            );
        }
        let mut wanted = std::collections::BTreeMap::new();
        for cell in list(&report["setting"], "cells") {
            let block = list(&report, "blocks")
                .iter()
                .find(|b| b["name"] == cell["block"])
                .unwrap();
            for (index, patch) in list(block, "patches").iter().enumerate() {
                let on_paper = &block["foundation"]["patches"][index];
                let rough = on_paper["by_template"] == false;
                let piece = match (rough, on_paper["section"].as_str()) {
                    (true, Some(section)) => format!("{section}{}", on_paper["number"]),
                    _ => patch["template"].to_string(),
                };
                let key = (block["name"].as_str().unwrap().to_string(), piece);
                *wanted.entry(key).or_insert(0) += 1;
            }
        }
        assert_eq!(cut, wanted, "{name}: cut counts equal patches × blocks");
    }
}

#[test]
fn the_report_tells_the_symmetry_and_the_figures_of_the_setting() {
    let report = report("harbour-lights");
    let setting = &report["setting"];
    assert_eq!(setting["symmetry"], "p4");
    let of = |name: &str| {
        let figures = list(setting, "figures");
        let mine = figures
            .iter()
            .filter(|f| f["like"] == "family" && f["name"] == name);
        let mine: Vec<&Value> = mine.collect();
        assert_eq!(mine.len(), 1, "{name}");
        (number(&mine[0]["whole"]), number(&mine[0]["clipped"]))
    };
    assert_eq!((of("rust"), of("straw")), ((9.0, 0.0), (4.0, 12.0)));
    assert!(
        !list(&report, "not_yet")
            .iter()
            .any(|field| field.as_str().unwrap().starts_with("setting"))
    );
    assert!(!list(setting, "stands_out").is_empty());
}

#[test]
fn settings_are_listed_and_hung_side_by_side() {
    let wall = folder("settings").join("wall.svg");
    let plan = example("harbour-lights");
    let out = piecewright(&[
        "settings",
        plan.to_str().unwrap(),
        "--ask",
        "whole",
        "--of",
        "rust",
        "--picture",
        wall.to_str().unwrap(),
    ]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let told = text(&out.stdout);
    assert!(told.contains("23 distinct settings"), "{told}");
    assert!(told.contains("rust: nine whole"), "{told}");
    assert!(fs::read_to_string(wall).unwrap().starts_with("<svg"));
    let unknown = piecewright(&[
        "settings",
        plan.to_str().unwrap(),
        "--ask",
        "whole",
        "--of",
        "mud",
    ]);
    assert_eq!(unknown.status.code(), Some(1));
    assert!(
        text(&unknown.stderr).contains("rust"),
        "{}",
        text(&unknown.stderr)
    );
}

#[test]
fn cloths_are_sorted_by_value_and_the_top_is_drawn_in_greys() {
    let folder = folder("values");
    let picture = folder.join("grey.svg");
    let out = piecewright(&[
        "values",
        example("harbour-lights").to_str().unwrap(),
        "--groups",
        "4",
        "--view",
        "grey-squint",
        "--picture",
        picture.to_str().unwrap(),
    ]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let told = text(&out.stdout);
    assert!(told.contains("19 cloths in 4 groups"), "{told}");
    for name in ["\ndark\n", "medium dark", "medium light", "Harbour ink"] {
        assert!(told.contains(name), "{name}: {told}");
    }
    let drawn = fs::read_to_string(&picture).unwrap();
    assert!(drawn.contains("feGaussianBlur"));
    // Every colour in it is a grey.
    for hex in drawn.split("fill=\"#").skip(1).map(|rest| &rest[..6]) {
        assert!(hex[..2] == hex[2..4] && hex[2..4] == hex[4..], "#{hex}");
    }
    let report = report("harbour-lights");
    let groups = list(&report["choosing"], "groups");
    assert_eq!(groups.len(), 3);
    let cloths: usize = groups.iter().map(|group| list(group, "cloths").len()).sum();
    assert_eq!(cloths, 19);
    // Each group is darker than the next.
    let lightness = |group: &Value| -> Vec<f64> {
        let cloths = list(group, "cloths").iter();
        cloths.map(|cloth| number(&cloth["lab"][0])).collect()
    };
    let all: Vec<f64> = groups.iter().flat_map(lightness).collect();
    assert!(all.windows(2).all(|w| w[0] <= w[1]), "{all:?}");
}

#[test]
fn ramps_are_laid_in_the_plan_file_when_asked() {
    let plan = folder("ramps").join("harbour.toml");
    let written = fs::read_to_string(example("harbour-lights")).unwrap();
    // The families mixed up, and a ramp that knows which cloths belong to which arm.
    let mixed = written
        .replace(
            "\"arm 1 round 1\" = \"rust-1\"",
            "\"arm 1 round 1\" = \"rust-4\"  # to be laid",
        )
        .replace(
            "\"arm 1 round 4\" = \"rust-4\"",
            "\"arm 1 round 4\" = \"rust-1\"",
        )
        + "\n[ramp.families]\nblock = \"Harbour\"\narms = [\"arm 1\", \"arm 2\"]\ncloths = [[\"rust-1\", \"rust-2\", \"rust-3\", \"rust-4\"], [\"teal-1\", \"teal-2\", \"teal-3\", \"teal-4\"]]\n";
    fs::write(&plan, &mixed).unwrap();
    let out = piecewright(&["ramps", plan.to_str().unwrap()]);
    let told = text(&out.stdout);
    assert!(
        out.status.success() && told.contains("arm 1: Rust plaid, deep"),
        "{told}"
    );
    assert_eq!(fs::read_to_string(&plan).unwrap(), mixed, "only shown");
    let out = piecewright(&["ramps", "--lay", plan.to_str().unwrap()]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let after = fs::read_to_string(&plan).unwrap();
    assert!(after.contains("\"arm 1 round 1\" = \"rust-1\""), "{after}");
    assert!(after.contains("# to be laid") && after.contains("\"arm 1 round 4\" = \"rust-4\""));
}
