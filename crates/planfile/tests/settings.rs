//! Settings of the trade and blocks taken from others: read, written, changed, refused.
#![allow(clippy::unwrap_used, reason = "everything here is a test")]

use planfile::{read, write, write_change};
use quilt::plan::{BlockId, ClothId, Edit, Ends, Kind, Plan, Reach, Spot};

const HEAD: &str = r##"# a maker's own remark
piecewright = 1
title = "Saltmarsh"

[cloth.reed]
colour = "#7a8450"
[cloth.mud]
colour = "#5b4a3a"

[block.Gull]
size = "6"
draft = "grid"
cells = ["a/b c", "d e"]
[block.Gull.places]
a = "reed"
b = "mud"
c = "reed"
d = "mud"
e = "reed"

[block.Wing] # only one corner of it
draft = "taken"
from = "Gull"
part = ["0 0", "3 3"]
mirrored = true
size = "4"

[block.Dusk]
draft = "taken"
from = "Wing"
[block.Dusk.places]
a = "mud"
b = "reed"
"##;

const KEY: &str = "[setting.key]\nG = \"Gull\"\nW = \"Wing\"\n";

fn with(setting: &str) -> String {
    format!("{HEAD}\n[setting]\n{setting}\n{KEY}")
}

fn texts() -> Vec<String> {
    vec![
        with("rows = 2\ncolumns = 3\ncells = [\"G0 G2m\"]\npinned = [\"1 2 G1m\", \"2 3 G\"]"),
        with("kind = \"half-drop\"\nrows = 2\ncolumns = 3\ncells = [\"G0 G1\"]"),
        with("kind = \"brick\"\nrows = 4\ncolumns = 3\ncells = [\"G0m\"]\nends = \"mud\""),
        with("kind = \"strips\"\nrows = 4\ncolumns = 3\ncells = [\"W0 W1\"]")
            + "[setting.strips]\nwidth = \"3 1/2\" # as wide as the print\ncloth = \"mud\"\noutside = false\n",
    ]
}

fn plan(text: &str) -> Plan {
    read("a plan", text)
        .unwrap_or_else(|troubles| panic!("{}", planfile::render("a plan", text, &troubles, false)))
}

#[test]
fn what_is_written_reads_the_same_and_no_change_changes_nothing() {
    for text in texts() {
        let plan = plan(&text);
        let written = write(&plan);
        assert_eq!(self::plan(&written), plan, "{written}");
        assert_eq!(write(&plan), written);
        assert_eq!(write_change(&text, &plan, &plan).unwrap(), text);
    }
}

#[test]
fn an_edit_goes_into_the_makers_text_and_what_hangs_on_it_follows() {
    let spot = Spot { row: 0, column: 1 };
    let edits = [
        Edit::Turn {
            at: spot,
            quarters: 1,
            reach: Reach::Here,
        },
        Edit::Turn {
            at: spot,
            quarters: 3,
            reach: Reach::Alike,
        },
        Edit::SetCount {
            rows: 3,
            columns: 5,
        },
        Edit::SetKind(Kind::Brick { ends: Ends::Halves }),
        Edit::SetKind(Kind::HalfDrop {
            ends: Ends::Plain(ClothId(0)),
        }),
        Edit::SetKind(Kind::Straight),
        Edit::LayCloth {
            block: BlockId(0),
            place: 0,
            cloths: vec![ClothId(1)],
        },
        Edit::LayCloth {
            block: BlockId(1),
            place: 0,
            cloths: vec![ClothId(1)],
        },
        Edit::Exchange(spot, Spot { row: 1, column: 2 }),
    ];
    for text in texts() {
        let before = plan(&text);
        let mut renamed = before.blocks[0].clone();
        renamed.name = "Tern".into();
        let more = [Edit::SetBlock(BlockId(0), renamed)];
        for edit in edits.iter().chain(&more) {
            let after = before.with(edit).unwrap();
            let changed = write_change(&text, &before, &after).unwrap();
            assert_eq!(plan(&changed), after, "{edit:?}\n{changed}");
            assert!(changed.starts_with("# a maker's own remark"));
        }
    }
}

/// What a reader says of a setting: its first sentence and the way out.
fn said(setting: &str) -> String {
    told(&with(setting))
}

fn told(text: &str) -> String {
    let troubles = read("a plan", text).unwrap_err();
    planfile::render("a plan", text, &troubles, false)
}

#[test]
fn what_is_wrong_is_told_with_a_way_out() {
    let rest = "rows = 2\ncolumns = 2\ncells = [\"G\"]\n";
    for (setting, what, mend) in [
        ("kind = \"half drop\"", "half drop", "half-drop"),
        (
            "ends = \"mud\"",
            "A straight set has no “ends”",
            "kind = \"half-drop\"",
        ),
        (
            "kind = \"brick\"\nbetween = [\"G\"]",
            "A brick setting has no “between”",
            "kind = \"on point\"",
        ),
        (
            "kind = \"strips\"",
            "“strips” is missing",
            "[setting.strips]",
        ),
        (
            "pinned = [\"2 G\"]",
            "A pinned cell is a row, a column and a cell",
            "\"3 4 P1\"",
        ),
        ("pinned = [\"0 1 G\"]", "whole numbers from 1", "\"3 4 P1\""),
        (
            "pinned = [\"1 1 Q\"]",
            "not in [setting.key]",
            "letters of the key",
        ),
        ("pinned = [\"1 1 G4m\"]", "turned 4 times", "H0, H1, H2, H3"),
    ] {
        let text = said(&format!("{setting}\n{rest}"));
        assert!(text.contains(what), "{text}");
        assert!(text.contains(mend), "{text}");
    }
    let text = with(rest);
    for (good, bad, what) in [
        (
            "from = \"Gull\"",
            "from = \"Gul\"",
            "There is no block “Gul”",
        ),
        (
            "from = \"Gull\"",
            "from = \"Dusk\"",
            "“Dusk” stands below this block",
        ),
        (
            "from = \"Gull\"",
            "from = \"Wing\"",
            "“Wing” stands below this block",
        ),
        (
            "part = [\"0 0\", \"3 3\"]",
            "part = [\"3 3\", \"0 0\"]",
            "to the right of the first and below it",
        ),
        (
            "part = [\"0 0\", \"3 3\"]",
            "part = [\"0 0\"]",
            "given by two corners",
        ),
        (
            "from = \"Wing\"\n[block.Dusk.places]",
            "from = \"Wing\"\n[block.Dusk.colourway.x]",
            "takes its cloths and colourways from the other",
        ),
    ] {
        let told = told(&text.replacen(good, bad, 1));
        assert!(told.contains(what), "{told}");
    }
}

/// Borders of every kind and small pieces, with the texts around them.
const RINGS: &str = r##"
[[border]]
width = "1/2" # a first one
cloth = "mud"

[[border]]
spacer = true
width = "1"
cloth = "reed"

[[border]]
units = "W0 W1m"
corner_block = "G2"

[[border]]
units = "G3"
from_middle = true
cloth = "reed"

[[border]]
up_to = "90 x 96"
cloth = "mud"

[small.Cushion]
size = "18"
cloth = "reed"

[small.Runner]
size = "15 x 40"
cloth = "mud"
border = "1 1/2"
"##;

#[test]
fn borders_of_every_kind_and_small_pieces_are_kept() {
    let text = with("rows = 4\ncolumns = 3\ncells = [\"G0\"]") + RINGS;
    let before = plan(&text);
    let written = write(&before);
    assert_eq!(plan(&written), before, "{written}");
    assert_eq!(write_change(&text, &before, &before).unwrap(), text);
    let mut fewer = before.small.clone();
    fewer.swap(0, 1);
    fewer[0].border = geometry::Surd::ZERO;
    let mut plainer = before.borders[3].clone();
    plainer.kind = quilt::plan::BorderKind::Plain;
    plainer.width = geometry::Surd::TWO;
    let mut renamed = before.blocks[0].clone();
    renamed.name = "Tern".into();
    let edits = [
        Edit::SetSmall(fewer),
        Edit::SetSmall(Vec::new()),
        Edit::SetBorder(3, plainer),
        Edit::RemoveBorder(0),
        Edit::AddBorder(before.borders[2].clone()),
        Edit::Replace(ClothId(0), ClothId(1)),
        Edit::SetBlock(BlockId(0), renamed),
    ];
    for edit in &edits {
        let after = before.with(edit).unwrap();
        let changed = write_change(&text, &before, &after).unwrap();
        assert_eq!(plan(&changed), after, "{edit:?}\n{changed}");
    }
    let lies = before.with(&Edit::RemoveCloth(ClothId(0)));
    assert!(lies.is_err());
}

#[test]
fn what_is_wrong_with_a_border_is_told_with_a_way_out() {
    let text = with("rows = 4\ncolumns = 3\ncells = [\"G0\"]");
    for (border, what, mend) in [
        (
            "width = \"1\"\nunits = \"G0\"\ncloth = \"mud\"",
            "pieced and has no strips",
            "as wide as its units",
        ),
        (
            "width = \"1\"\ncloth = \"mud\"\nfrom_middle = true",
            "not pieced",
            "units = \"F0\"",
        ),
        (
            "units = \"G0\"",
            "“cloth” is missing",
            "corner_block = \"C0\"",
        ),
        (
            "units = \"G0\"\ncorner_block = \"G0\"\ncloth = \"mud\"",
            "corners are blocks",
            "Take one of the two out",
        ),
        (
            "units = \"G0\"\ncorner_block = \"G0 G1\"",
            "The corners are one block",
            "corner_block = \"C0\"",
        ),
        (
            "units = [\"G0\", \"G1\"]\ncloth = \"mud\"",
            "one row of units",
            "units = \"F0 P\"",
        ),
        (
            "units = \"Q0\"\ncloth = \"mud\"",
            "not in [setting.key]",
            "letters of the key",
        ),
        (
            "spacer = true\nup_to = \"60\"\ncloth = \"mud\"",
            "next pieced border asks",
            "Take one of the two out",
        ),
        (
            "width = \"2\"\nup_to = \"60\"\ncloth = \"mud\"",
            "Both a width and a size",
            "Take one of the two out",
        ),
        ("cloth = \"mud\"", "“width” is missing", "width = \"4 1/2\""),
    ] {
        let told = told(&format!("{text}\n[[border]]\n{border}\n"));
        assert!(told.contains(what), "{told}");
        assert!(told.contains(mend), "{told}");
    }
}
