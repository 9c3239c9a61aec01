//! Damaged plans: each either still reads or is told of with its place and a way out,
//! and none brings the reader down.

use planfile::{Trouble, read, render};
use proptest::prelude::*;

const PLANS: [(&str, &str); 5] = [
    (
        "harbour-lights.toml",
        include_str!("../../../examples/harbour-lights.toml"),
    ),
    (
        "orchard-at-dusk.toml",
        include_str!("../../../examples/orchard-at-dusk.toml"),
    ),
    (
        "night-ferry.toml",
        include_str!("../../../examples/night-ferry.toml"),
    ),
    ("odd.toml", include_str!("odd.toml")),
    ("starter.toml", include_str!("../src/starter.toml")),
];

/// Reads a damaged plan. `Ok` if it still reads; every trouble is looked at.
fn outcome(name: &str, text: &str) -> Result<(), Vec<Trouble>> {
    let troubles = match read(name, text) {
        Ok(_) => return Ok(()),
        Err(troubles) => troubles,
    };
    assert!(!troubles.is_empty() && troubles.len() <= 100);
    let lines = text.matches('\n').count() + 1;
    for trouble in &troubles {
        assert!((1..=lines).contains(&trouble.line), "{trouble:?}");
        assert!(
            trouble.column >= 1 && !trouble.field.is_empty(),
            "{trouble:?}"
        );
        assert!(trouble.text.ends_with(['.', '?']), "{trouble:?}");
        assert!(
            !trouble.mend.is_empty() && trouble.file == name,
            "{trouble:?}"
        );
        assert!(text.get(trouble.span.clone()).is_some(), "{trouble:?}");
    }
    let shown = render(name, text, &troubles, false);
    assert!(
        shown.contains(&format!("{name}:{}:", troubles[0].line)),
        "{shown}"
    );
    assert!(!shown.contains('\u{1b}'), "no colour unless asked");
    Err(troubles)
}

/// One line of a plan: where it is, under which heading, and its parts.
struct Line<'t> {
    number: usize,
    heading: &'t str,
    text: &'t str,
    /// Key and value, for a field that stands on this line whole.
    field: Option<(&'t str, &'t str)>,
}

fn lines(text: &str) -> Vec<Line<'_>> {
    let (mut heading, mut open) = ("", false);
    let mut lines = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let code = line.split(" #").next().unwrap_or(line);
        let mut field = None;
        if !open && line.starts_with('[') {
            heading = code.trim();
        } else if let Some((key, value)) = code.split_once(" = ").filter(|_| !open) {
            let whole = value.matches('[').count() == value.matches(']').count();
            let remark = line.trim_start().starts_with('#');
            field = (whole && !remark).then_some((key, value.trim()));
            open = !whole && !remark;
        } else if code.trim() == "]" {
            open = false;
        }
        lines.push(Line {
            number: i + 1,
            heading,
            text: line,
            field,
        });
    }
    lines
}

/// The text with this line exchanged.
fn with(text: &str, number: usize, line: &str) -> String {
    let swap = |(i, old): (usize, &str)| {
        if i + 1 == number {
            line.to_owned()
        } else {
            old.to_owned()
        }
    };
    text.lines()
        .enumerate()
        .map(swap)
        .collect::<Vec<_>>()
        .join("\n")
        + "\n"
}

/// Whether a heading's fields have names of the maker's own.
fn is_free(heading: &str) -> bool {
    [".places", ".colourway", ".key]"]
        .iter()
        .any(|part| heading.contains(part))
}

#[test]
fn plans_are_whole_before_they_are_damaged() {
    for (name, text) in PLANS {
        assert_eq!(outcome(name, text), Ok(()), "{name}");
    }
}

#[test]
fn a_value_of_the_wrong_kind_is_told_on_its_line() {
    let mut tried = 0;
    for (name, text) in PLANS {
        for line in lines(text) {
            let Some((key, _)) = line.field else { continue };
            for wrong in [
                "[[1]]",
                "{ zz = 1 }",
                "1979-05-27",
                "[]",
                "true",
                "\"\"",
                "\"\u{7}\"",
                "nan",
            ] {
                // Empty notes and empty lists of patches mean something.
                let blank = wrong == "\"\"" && key == "note" || wrong == "[]" && key == "lines";
                if blank || wrong == "true" && ["split", "outside"].contains(&key) {
                    continue;
                }
                let damaged = with(text, line.number, &format!("{key} = {wrong}"));
                let troubles = outcome(name, &damaged);
                let what = format!("{name}: {} {key} = {wrong}", line.heading);
                let troubles = troubles.expect_err(&what);
                assert!(
                    troubles.iter().any(|t| t.line == line.number),
                    "{what}: {troubles:#?}"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn a_senseless_number_is_told_on_its_line() {
    const NUMBERS: [&str; 22] = [
        "seam",
        "ruler",
        "step",
        "shrinkage",
        "squaring",
        "width",
        "scale",
        "size",
        "rounds",
        "rows",
        "columns",
        "across",
        "float",
        "drop",
        "tuck",
        "overage",
        "sleeve",
        "extra",
        "divide",
        "piecewright",
        "centre",
        "value",
    ];
    let mut tried = 0;
    for (name, text) in PLANS {
        for line in lines(text) {
            let Some((key, _)) = line.field else { continue };
            if !NUMBERS.contains(&key) || is_free(line.heading) {
                continue;
            }
            for wrong in [
                "-1",
                "\"-1/8\"",
                "1000000000",
                "\"√5\"",
                "\"1/0\"",
                "\"3-1/2\"",
                "\"half\"",
                "1e99",
                "0x10",
                "\"((((((((((((((((((((((((((((((1\"",
                "99999999999999999999",
                "\"1 000 000 in\"",
            ] {
                let damaged = with(text, line.number, &format!("{key} = {wrong}"));
                let what = format!("{name}: {} {key} = {wrong}", line.heading);
                let troubles = outcome(name, &damaged).expect_err(&what);
                assert!(
                    troubles.iter().any(|t| t.line == line.number),
                    "{what}: {troubles:#?}"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn nought_is_told_where_it_makes_no_sense() {
    for (name, text) in PLANS {
        for line in lines(text) {
            let Some((key, _)) = line.field else { continue };
            let sizes = [
                "ruler", "width", "scale", "size", "rounds", "rows", "columns", "step",
            ];
            if sizes.contains(&key) {
                for nought in ["0", "\"0\"", "0.0"] {
                    let damaged = with(text, line.number, &format!("{key} = {nought}"));
                    let troubles = outcome(name, &damaged).expect_err(key);
                    assert!(
                        troubles.iter().all(|t| t.line == line.number),
                        "{troubles:#?}"
                    );
                }
            }
        }
    }
}

#[test]
fn a_misspelt_field_is_told_with_the_right_word() {
    let mut tried = 0;
    for (name, text) in PLANS {
        for line in lines(text) {
            let Some((key, value)) = line.field else {
                continue;
            };
            if is_free(line.heading) || key.contains('.') || key.len() < 3 {
                continue;
            }
            let swapped = format!("{}{}{}", &key[1..2], &key[..1], &key[2..]);
            for wrong in [format!("{key}s"), key[..key.len() - 1].into(), swapped] {
                // A cloth has a width, and may have other widths.
                if wrong == "widths" {
                    continue;
                }
                let damaged = with(text, line.number, &format!("{wrong} = {value}"));
                let troubles = outcome(name, &damaged).expect_err(&wrong);
                let here = troubles
                    .iter()
                    .find(|t| t.line == line.number && t.text.contains(&wrong));
                // Without the version nothing else is looked at.
                if key != "piecewright" {
                    let mend = &here
                        .unwrap_or_else(|| panic!("{wrong}: {troubles:#?}"))
                        .mend;
                    assert!(mend.contains(&format!("“{key}”")), "{wrong}: {mend}");
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 300, "{tried}");
}

#[test]
fn a_misspelt_name_is_told_with_the_right_one() {
    for (damage, mended, field) in [
        (
            ("centre = \"foam\"", "centre = \"faom\""),
            "“foam”",
            "block.Harbour.places.centre",
        ),
        (
            ("cloth = \"ink\"", "cloth = \"inc\""),
            "“ink”",
            "border.2.cloth",
        ),
        (
            ("H = \"Harbour\"", "H = \"Harbor\""),
            "“Harbour”",
            "setting.key.H",
        ),
        (
            ("draft = \"nested\"", "draft = \"nestled\""),
            "“nested”",
            "block.Harbour.draft",
        ),
        (
            ("\"H2 H3\"", "\"H2 H4\""),
            "0, 1, 2 and 3",
            "setting.cells.1",
        ),
        (("\"H2 H3\"", "\"H2 J3\""), "are: H", "setting.cells.1"),
        (("\"H2 H3\"", "\"H2 h3\""), "“H”", "setting.cells.1"),
        (
            ("kind = \"straight\"", "kind = \"strait\""),
            "“straight”",
            "setting.kind",
        ),
        (
            ("units = \"inch\"", "units = \"inches\""),
            "“inch”",
            "units",
        ),
        (("[cloth.plum-4]", "[clot.plum-4]"), "“cloth”", "clot"),
        (
            ("[finishing.backing]", "[finishing.baking]"),
            "“backing”",
            "finishing.baking",
        ),
        (("[[border]]", "[[boarder]]"), "“border”", "boarder"),
        (
            ("[setting.target]", "[setting.targte]"),
            "“target”",
            "setting.targte",
        ),
    ] {
        let (name, text) = PLANS[0];
        assert!(text.contains(damage.0), "{}", damage.0);
        let damaged = text.replacen(damage.0, damage.1, 1);
        let troubles = outcome(name, &damaged).expect_err(damage.1);
        let told = troubles.iter().find(|t| t.field == field);
        let told = told.unwrap_or_else(|| panic!("{}: {troubles:#?}", damage.1));
        assert!(told.mend.contains(mended), "{}: {}", damage.1, told.mend);
    }
    let (name, text) = PLANS[2];
    for (right, wrong, mended) in [
        ("\nlamps = \"moon\"", "\nlamp = \"moon\"", "“lamps”"),
        ("/ far shore\"", "/ fare shore\"", "“far shore”"),
        ("edge = \"midnight\"", "edge = \"midnght\"", "“midnight”"),
    ] {
        let troubles = outcome(name, &text.replacen(right, wrong, 1)).expect_err(wrong);
        assert!(troubles[0].mend.contains(mended), "{}", troubles[0].mend);
    }
}

#[test]
fn a_line_less_still_reads_or_is_told() {
    // What may still read: a remark, a blank line, a field with a default, a whole entry
    // of a list, the heading of a group whose fields then fall to the group above.
    for (name, text) in PLANS {
        let mut read = 0;
        for line in lines(text) {
            let damaged: Vec<&str> = text
                .lines()
                .enumerate()
                .filter(|(i, _)| i + 1 != line.number)
                .map(|l| l.1)
                .collect();
            let kept = outcome(name, &damaged.join("\n"));
            let must = [
                "title",
                "piecewright",
                "size",
                "draft",
                "rounds",
                "colour",
                "cells",
                "kind",
            ];
            let key = line.field.map_or("", |f| f.0);
            if must[..7].contains(&key) && line.heading != "[setting.target]" {
                assert!(kept.is_err(), "{name}: without {}", line.text);
            }
            read += usize::from(kept.is_ok());
        }
        assert!(read > 5, "{name}: remarks can go");
    }
}

#[test]
fn a_line_twice_is_told() {
    for (name, text) in PLANS {
        for line in lines(text) {
            let twice = with(text, line.number, &format!("{0}\n{0}", line.text));
            let result = outcome(name, &twice);
            let Some((key, _)) = line.field else { continue };
            let troubles = result.expect_err(key);
            assert!(
                troubles.iter().any(|t| t.text.contains("twice")),
                "{name} {key}: {troubles:#?}"
            );
        }
    }
}

#[test]
fn a_cut_file_still_reads_or_is_told() {
    for (name, text) in PLANS {
        for cut in (0..text.len())
            .step_by(23)
            .filter(|&cut| text.is_char_boundary(cut))
        {
            let kept = outcome(name, &text[..cut]);
            // The setting stands below the middle of every plan here.
            assert!(cut > text.len() / 2 || kept.is_err(), "{name} cut at {cut}");
        }
    }
}

#[test]
fn stray_letters_still_read_or_are_told() {
    let strays = [
        "@", "\"", "'", "]", "[", "{", "=", "\u{0}", "½", "\\", "\u{feff}", ",", "\r", "#",
    ];
    for (name, text) in PLANS {
        for (i, at) in (0..text.len())
            .step_by(41)
            .filter(|&at| text.is_char_boundary(at))
            .enumerate()
        {
            let stray = strays[i % strays.len()];
            let _ = outcome(name, &format!("{}{stray}{}", &text[..at], &text[at..]));
        }
    }
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "a file that never ends is a fault of its own"
)]
fn huge_and_deep_files_are_told_quickly() {
    let start = std::time::Instant::now();
    let head = "piecewright = 1\ntitle = \"x\"\n";
    let wide = format!("{head}{}", "zz = 1\n".repeat(20_000));
    let many: String = (0..20_000)
        .map(|i| format!("[cloth.c{i}]\ncolour = \"x\"\n"))
        .collect();
    let odd: String = (0..3_000).map(|i| format!("key{i} = 1\n")).collect();
    for text in [
        "x".repeat(5 << 20),
        format!("{head}a = {}", "[".repeat(100_000)),
        format!("{head}{} = 1", vec!["a"; 100_000].join(".")),
        format!("{head}seam = \"{}1\"", "(".repeat(100_000)),
        format!("{head}seam = \"{}\"", "1+".repeat(100_000)),
        format!("{head}[setting]\ncells = [\"{}\"]", "A ".repeat(300_000)),
        format!("{head}title = \"{}\"", "é".repeat(300_000)),
        format!("{head}{many}"),
        format!("{head}{odd}"),
        wide,
    ] {
        assert!(outcome("huge.toml", &text).is_err());
    }
    assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_answered(text in "\\PC{0,80}(\n\\PC{0,40}){0,6}") {
        let _ = outcome("any.toml", &text);
        let _ = outcome("any.toml", &format!("piecewright = 1\n{text}"));
    }

    #[test]
    fn any_number_is_answered(text in "[0-9 ./()+*√r½x-]{0,40}") {
        if let Ok(read) = planfile::quantity(&text) {
            prop_assert!(read.value.to_f64().is_finite());
        }
    }

    #[test]
    fn any_value_is_answered(which in 0..PLANS.len(), at in 0..500_usize, value in "\\PC{0,30}") {
        let (name, text) = PLANS[which];
        let lines = lines(text);
        let fields: Vec<&Line> = lines.iter().filter(|l| l.field.is_some()).collect();
        let line = fields[at % fields.len()];
        let key = line.field.map_or("", |f| f.0);
        let quoted = format!("{key} = '{}'", value.replace('\'', ""));
        let _ = outcome(name, &with(text, line.number, &quoted));
        let _ = outcome(name, &with(text, line.number, &format!("{key} = {value}")));
    }

    #[test]
    fn mixed_up_plans_are_answered(which in 0..PLANS.len(), a in 0..200_usize, b in 0..200_usize) {
        let (name, text) = PLANS[which];
        let mut lines: Vec<&str> = text.lines().collect();
        let (a, b) = (a % lines.len(), b % lines.len());
        lines.swap(a, b);
        if let Ok(()) = outcome(name, &lines.join("\n")) {
            let text = lines.join("\n");
            let plan = read(name, &text).unwrap();
            let again = read(name, &planfile::write(&plan));
            prop_assert_eq!(again, Ok(plan));
        }
    }
}
