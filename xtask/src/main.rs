//! The house's own errands: `cargo xtask test` runs everything CI runs.
//!
//! Needs nothing but the Rust toolchain. Every other thing the tests use comes with the
//! build, all but a browser for the tests of the studio: where Chromium is missing it is
//! installed from Debian's packages.

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
        "format, lints (benchmarks included), every test, documentation",
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
    if *name == "test" {
        set_up();
    }
    for arguments in *calls {
        eprintln!("cargo {}", arguments.join(" "));
        let mut cargo = cargo();
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

fn cargo() -> Command {
    Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Fetches the formatter and the linter where the toolchain came without them, and the
/// browser that the studio's tests drive. If that fails, the call that needs them says so.
fn set_up() {
    for (tool, component) in [("fmt", "rustfmt"), ("clippy", "clippy")] {
        let there = cargo().args([tool, "--version"]).output();
        if !there.is_ok_and(|out| out.status.success()) {
            let _ = Command::new("rustup")
                .args(["component", "add", component])
                .status();
        }
    }
    browser();
}

/// Installs Debian's Chromium unless there is one; `CHROMIUM` names another.
fn browser() {
    let name = std::env::var_os("CHROMIUM").unwrap_or_else(|| "chromium".into());
    let there = Command::new(&name).arg("--version").output();
    if there.is_ok_and(|out| out.status.success()) {
        return;
    }
    eprintln!("apt-get install chromium");
    for arguments in [
        &["update", "--quiet"][..],
        &[
            "install",
            "--yes",
            "--quiet",
            "--no-install-recommends",
            "chromium",
        ],
    ] {
        // As root, or as someone who may become root without being asked.
        let plain = Command::new("apt-get").args(arguments).status();
        if !plain.is_ok_and(|status| status.success()) {
            let _ = Command::new("sudo")
                .args(["--non-interactive", "apt-get"])
                .args(arguments)
                .status();
        }
    }
}
