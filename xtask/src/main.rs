//! The house's own errands: `cargo xtask test` runs everything CI runs.
//!
//! Needs nothing but the Rust toolchain; every other thing the tests use comes with the
//! build.

use std::process::{Command, ExitCode};

/// Name, what it is for, and the cargo calls it makes.
type Errand = (
    &'static str,
    &'static str,
    &'static [&'static [&'static str]],
);

const ERRANDS: [Errand; 4] = [
    (
        "test",
        "format, lints, every test, documentation, and that the benchmarks build",
        &[
            &["fmt", "--all", "--check"],
            &[
                "clippy",
                "--workspace",
                "--all-targets",
                "--",
                "--deny",
                "warnings",
            ],
            &["test", "--workspace"],
            &["doc", "--workspace", "--no-deps"],
            &["bench", "--workspace", "--no-run"],
        ],
    ),
    (
        "tidy",
        "the rules of the house alone",
        &[&["test", "--package", "xtask"]],
    ),
    (
        "bless",
        "accept the pictures and snapshots as they are now",
        &[&["test", "--workspace", "--quiet"]],
    ),
    ("bench", "every benchmark", &[&["bench", "--workspace"]]),
];

fn main() -> ExitCode {
    let asked = std::env::args().nth(1).unwrap_or_default();
    let Some((name, _, calls)) = ERRANDS.iter().find(|(name, ..)| *name == asked) else {
        eprintln!("cargo xtask ERRAND, where ERRAND is one of:");
        for (name, purpose, _) in ERRANDS {
            eprintln!("  {name:6}  {purpose}");
        }
        return ExitCode::from(2);
    };
    for arguments in *calls {
        eprintln!("cargo {}", arguments.join(" "));
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        if *name == "bless" {
            cargo
                .env("PIECEWRIGHT_BLESS", "1")
                .env("INSTA_UPDATE", "always");
        }
        if arguments.first() == Some(&"doc") {
            cargo.env("RUSTDOCFLAGS", "--deny warnings");
        }
        match cargo.args(*arguments).status() {
            Ok(status) if status.success() => {}
            Ok(_) => return ExitCode::FAILURE,
            Err(error) => {
                eprintln!("cargo could not be started: {error}");
                return ExitCode::FAILURE;
            }
        }
    }
    ExitCode::SUCCESS
}
