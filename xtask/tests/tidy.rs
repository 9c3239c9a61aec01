//! The rules of the house that a compiler does not know.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Files longer than this ask whether they are still one room.
const LONGEST: usize = 900;

/// The stages of `quilt` in the order of the work; each may use those before it.
const STAGES: [&str; 9] = [
    "block",
    "setting",
    "cloth",
    "arranging",
    "sewing",
    "finishing",
    "cutting",
    "making",
    "findings",
];

fn house() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the house")
        .to_path_buf()
}

/// Every file below a folder with this ending, sorted.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        let Ok(entries) = fs::read_dir(&folder) else {
            continue;
        };
        for path in entries.flatten().map(|entry| entry.path()) {
            let name = path
                .file_name()
                .and_then(|name| name.to_str())
                .unwrap_or_default();
            if path.is_dir() && name != "target" && !name.starts_with('.') {
                folders.push(path);
            } else if name.ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

#[test]
fn every_rust_file_says_what_it_is_for() {
    for path in files(&house(), ".rs") {
        let text = read(&path);
        assert!(
            text.starts_with("//!"),
            "{} has no //! header",
            path.display()
        );
        assert!(
            text.ends_with('\n'),
            "{} has no last line break",
            path.display()
        );
    }
}

#[test]
fn no_file_outgrows_its_room() {
    for path in files(&house(), ".rs") {
        let lines = read(&path).lines().count();
        assert!(lines <= LONGEST, "{} has {lines} lines", path.display());
    }
}

#[test]
fn a_stage_uses_only_those_before_it() {
    let quilt = house().join("crates/quilt/src");
    for (place, stage) in STAGES.iter().enumerate() {
        for path in files(&quilt.join(stage), ".rs") {
            let text = read(&path);
            // Findings look at everything; that is what they are for.
            for later in STAGES
                .iter()
                .skip(place + 1)
                .filter(|later| **later != "findings")
            {
                let call = format!("crate::{later}::");
                assert!(
                    !text.contains(&call),
                    "{} reaches forward to {later}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn the_craft_does_no_io_and_has_no_file_format() {
    let banned = [
        "std::fs",
        "std::net",
        "std::env",
        "std::time",
        "std::io",
        "serde",
        "println!",
    ];
    for part in ["crates/geometry/src", "crates/quilt/src"] {
        for path in files(&house().join(part), ".rs") {
            let text = read(&path);
            for word in banned {
                assert!(!text.contains(word), "{} uses {word}", path.display());
            }
        }
    }
}

#[test]
fn geometry_has_no_craft_words() {
    let craft = ["quilt", "cloth", "seam", "fabric", "block", "patch"];
    for path in files(&house().join("crates/geometry/src"), ".rs") {
        let text = read(&path).to_lowercase();
        for word in craft {
            let whole = |part: &str| {
                part.split(|c: char| !c.is_alphanumeric())
                    .any(|w| w == word)
            };
            assert!(!text.lines().any(whole), "{} says {word}", path.display());
        }
    }
}

#[test]
fn the_tests_read_nothing_outside_the_house() {
    let outside = format!("..{}shared", '/');
    for path in files(&house(), ".rs") {
        assert!(
            !read(&path).contains(&outside),
            "{} reads outside",
            path.display()
        );
    }
}

/// `cargo run --release -- …`, as the README has it, must find one program and not two.
#[test]
fn a_plain_run_runs_the_program() {
    assert!(read(&house().join("README.md")).contains("cargo run --release -- booklet"));
    let said = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--no-deps",
            "--offline",
            "--format-version",
            "1",
        ])
        .current_dir(house())
        .output()
        .expect("cargo runs");
    let said = String::from_utf8(said.stdout).expect("cargo writes text");
    let (_, rest) = said
        .split_once("\"workspace_default_members\":[")
        .expect("cargo tells what is run");
    let (members, _) = rest.split_once(']').expect("a list ends");
    assert!(
        members.contains("crates/piecewright#") && !members.contains("/xtask#"),
        "{members}"
    );
}
