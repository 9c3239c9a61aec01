//! Each finding on a plan that deserves it and on one that does not.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

use quilt::findings::{Finding, Weight};
use quilt::results;

/// What is wrong, the change that makes it so, its weight, and words of the finding.
type Case = (
    &'static str,
    (&'static str, &'static str),
    Weight,
    &'static [&'static str],
);

const PLAN: &str = r##"
piecewright = 1
title = "A small top"

[cloth.a]
name = "Harbour blue"
colour = "#334466"
[cloth.b]
name = "Straw"
colour = "#ddccaa"

[block.One]
size = "6"
draft = "grid"
cells = ["A B", "B A"]
[block.One.places]
A = "a"
B = "b"

[setting]
kind = "straight"
rows = 2
columns = 2
cells = ["O"]
[setting.key]
O = "One"

[finishing.backing]
cloth = "a"
[finishing.binding]
cloth = "b"
"##;

/// The findings of the small plan after replacing one piece of its text by another.
fn findings(change: (&str, &str)) -> Vec<Finding> {
    assert!(PLAN.contains(change.0), "{} is not in the plan", change.0);
    let text = PLAN.replacen(change.0, change.1, 1);
    let plan = planfile::read("plan.toml", &text).unwrap_or_else(|troubles| {
        panic!("{}", planfile::render("plan.toml", &text, &troubles, false))
    });
    results::work_out(&plan, None).findings
}

#[test]
fn a_good_plan_has_nothing_weighty() {
    let found = findings(("", ""));
    assert!(found.iter().all(|f| f.weight == Weight::Note), "{found:?}");
}

#[test]
fn each_finding_says_what_and_where() {
    let cases: [Case; 10] = [
        (
            "a patch larger than its cloth",
            ("size = \"6\"", "size = \"90\""),
            Weight::Stop,
            &[
                "Template A of “One”",
                "45 1/2 × 45 1/2 in cut",
                "40 in wide",
            ],
        ),
        (
            "a patch no place claims",
            ("B = \"b\"\n\n[setting]", "\n[setting]"),
            Weight::Stop,
            &["2 patches of “One” have no cloth", "“B”"],
        ),
        (
            "a drawing with a loose end",
            (
                "draft = \"grid\"\ncells = [\"A B\", \"B A\"]",
                "draft = \"lines\"\nlines = [\"0 3 - 4 3\"]",
            ),
            Weight::Stop,
            &["line 1 stops in the open", "“One”"],
        ),
        (
            "a block with a set-in corner",
            (
                "draft = \"grid\"\ncells = [\"A B\", \"B A\"]",
                "draft = \"star\"\nsplit = false",
            ),
            Weight::Mind,
            &["does not sew in straight seams alone", "8 "],
        ),
        (
            "bias outside",
            (
                "draft = \"grid\"\ncells = [\"A B\", \"B A\"]",
                "draft = \"lines\"\nlines = [\"0 2 - 6 6\"]",
            ),
            Weight::Note,
            &["Bias inside “One”"],
        ),
        (
            "a corner under 30°",
            (
                "draft = \"grid\"\ncells = [\"A B\", \"B A\"]",
                "draft = \"lines\"\nlines = [\"0 0 - 6 2\"]",
            ),
            Weight::Mind,
            &["18.4°", "ears trimmed"],
        ),
        (
            "a patch narrower than its allowances",
            ("size = \"6\"", "size = \"3/4\""),
            Weight::Mind,
            &["finishes only 0.38 in across", "1/2 in"],
        ),
        (
            "a block that lies nowhere",
            (
                "[setting]\n",
                "[block.Spare]\nsize = \"6\"\ndraft = \"grid\"\ncells = [\"A\"]\n[block.Spare.places]\nA = \"a\"\n\n[setting]\n",
            ),
            Weight::Note,
            &["“Spare” is drafted but lies nowhere"],
        ),
        (
            "a cloth nothing is cut from",
            (
                "[block.One]",
                "[cloth.c]\nname = \"Rust\"\ncolour = \"#aa4422\"\n\n[block.One]",
            ),
            Weight::Note,
            &["“Rust” is on the list but nothing is cut from it"],
        ),
        (
            "a place that claims nothing",
            (
                "B = \"b\"\n\n[setting]",
                "B = \"b\"\nCorner = \"a\"\n\n[setting]",
            ),
            Weight::Note,
            &["The place “Corner” of “One” claims no patch"],
        ),
    ];
    for (what, change, weight, words) in cases {
        let found = findings(change);
        let hit = found
            .iter()
            .find(|f| words.iter().all(|word| f.text.contains(word)));
        let hit = hit.unwrap_or_else(|| panic!("{what}: {found:#?}"));
        assert_eq!(hit.weight, weight, "{what}");
    }
}

#[test]
fn rounding_to_the_nearest_mark_can_come_out_short() {
    // Legs of 2 need 2.854 in: on a ruler in quarters the nearest mark is 2 3/4.
    let text = PLAN
        .replace(
            "title = \"A small top\"",
            "title = \"A small top\"\nruler = \"1/4\"\nrounding = \"nearest\"",
        )
        .replace("size = \"6\"", "size = \"4\"")
        .replace("\"A B\", \"B A\"", "\"A/B B\", \"B A\"");
    let plan = planfile::read("plan.toml", &text).unwrap();
    let found = results::work_out(&plan, None).findings;
    assert!(
        found
            .iter()
            .any(|f| f.weight == Weight::Mind && f.text.contains("0.104 in too small")),
        "{found:#?}"
    );
    let up = text.replace("rounding = \"nearest\"", "rounding = \"up\"");
    let plan = planfile::read("plan.toml", &up).unwrap();
    let found = results::work_out(&plan, None).findings;
    assert!(
        !found.iter().any(|f| f.text.contains("too small")),
        "{found:#?}"
    );
}

#[test]
fn a_one_way_print_is_minded_only_where_blocks_are_turned() {
    let one_way = PLAN.replace(
        "colour = \"#334466\"",
        "colour = \"#334466\"\ndirection = \"one-way\"",
    );
    let turned = one_way.replace("cells = [\"O\"]", "cells = [\"O O1\"]");
    let minded = |text: &str| {
        let plan = planfile::read("plan.toml", text).unwrap();
        let found = results::work_out(&plan, None).findings;
        found.iter().any(|f| {
            f.text
                .contains("The print of “Harbour blue” has a direction")
        })
    };
    assert!(minded(&turned) && !minded(&one_way));
}

#[test]
fn findings_come_weightiest_first() {
    let found = findings(("B = \"b\"\n\n[setting]", "Corner = \"a\"\n\n[setting]"));
    assert!(found.is_sorted_by_key(|f| f.weight), "{found:?}");
    assert_eq!(found[0].weight, Weight::Stop);
}
