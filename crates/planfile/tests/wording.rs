//! How troubles are worded: each picture of the screen is kept to be read by eye.

use planfile::{read, render};

const HARBOUR: &str = include_str!("../../../examples/harbour-lights.toml");
const FERRY: &str = include_str!("../../../examples/night-ferry.toml");
const ODD: &str = include_str!("odd.toml");

/// What a maker sees after these exchanges in a sound plan.
fn shown(name: &str, text: &str, damage: &[(&str, &str)]) -> String {
    let mut damaged = text.to_owned();
    for (right, wrong) in damage {
        assert!(damaged.contains(right), "{right}");
        damaged = damaged.replacen(right, wrong, 1);
    }
    let troubles = read(name, &damaged).expect_err("a damaged plan");
    render(name, &damaged, &troubles, false)
}

#[test]
fn several_slips_at_once() {
    insta::assert_snapshot!(shown(
        "harbour-lights.toml",
        HARBOUR,
        &[
            ("seam = \"1/4\"", "seem = \"1/4\""),
            ("colour = \"#6e2a1b\"", "colour = \"6e2a1b\""),
            ("print = \"plaid\"", "print = \"plad\""),
            ("size = \"10\"", "size = \"√5\""),
            ("rounds = 4", "rounds = 400"),
            ("centre = \"foam\"", "centre = \"faom\""),
            ("\"H2 H3\"", "\"H2 H4\""),
            ("\"H1 H0\"", "\"H1\""),
            ("width = \"1 1/2\"", "width = \"-1 1/2\""),
            ("cloth = \"ink\"", "cloth = \"gold\""),
        ]
    ));
}

#[test]
fn slips_of_writing() {
    insta::assert_snapshot!(shown(
        "harbour-lights.toml",
        HARBOUR,
        &[
            ("seam = \"1/4\"", "seam = 1/4"),
            ("title = \"Harbour Lights\"", "title = \"Harbour Lights"),
            ("colour = \"#6e2a1b\"", "colour = #6e2a1b"),
            ("rounds = 4", "rounds = 4\nrounds = 5"),
            ("width = \"1 1/2\"", "width = \"1-1/2\""),
        ]
    ));
}

#[test]
fn headings_and_lists_left_open() {
    insta::assert_snapshot!(shown(
        "night-ferry.toml",
        FERRY,
        &[
            ("[block.\"Ferry star\"]", "[block.Ferry star]"),
            ("cells = [\"S\"]", "cells = [\"S\","),
        ]
    ));
}

#[test]
fn names_that_are_not_there() {
    insta::assert_snapshot!(shown(
        "night-ferry.toml",
        FERRY,
        &[
            (
                "F = \"Ferry star / far shore\"",
                "F = \"Ferry star / near shore\""
            ),
            ("\nlamps = \"moon\"", "\nlanterns = \"moon\""),
            ("between = [\"F\"]", "between = [\"G\"]"),
            (
                "corner = \"mitred\"",
                "corner = \"mitered\"\nsquares = \"lamp\""
            ),
            ("title = \"Night Ferry\"\n", ""),
            (
                "[setting.sashing]",
                "[setting.target]\nbed = \"double\"\n\n[setting.sashing]"
            ),
        ]
    ));
}

#[test]
fn blocks_that_make_no_sense() {
    insta::assert_snapshot!(shown(
        "odd.toml",
        ODD,
        &[
            ("A B/C x", "A B/C/D x"),
            ("J^K L_M ^", "J^ L_M"),
            ("columns = \"1 2 1\"", "columns = \"1 0\""),
            ("0 0 - 4 4", "0 0 4 4"),
            ("2 0 - 2 2", "2 0 - 2 0"),
            ("[\"4 0\", \"4 4\", \"0 4\"]", "[\"4 0\", \"4 4\"]"),
            ("at = [\"1 3\"]", "at = [\"1\"]"),
            ("shrinkage = 0.05", "shrinkage = \"60%\""),
        ]
    ));
}

#[test]
fn curves_and_other_versions() {
    let mut all = shown(
        "odd.toml",
        ODD,
        &[("draft = \"pieces\"", "draft = \"curve\"")],
    );
    all += &shown("odd.toml", ODD, &[("piecewright = 1", "piecewright = 2")]);
    all += &shown(
        "odd.toml",
        ODD,
        &[("'D\\E F|G|H|I <'", "\"D\\E F|G|H|I <\"")],
    );
    insta::assert_snapshot!(all);
}
