//! The house's own errands: `cargo xtask test` runs everything CI runs.
//!
//! Needs nothing but the Rust toolchain. Every other thing the tests use comes with the
//! build, all but a browser for the tests of the studio: where Chromium is missing it is
//! installed from Debian's packages. Where npm is there, a second auditor of accessibility
//! is fetched too.

use std::path::{Path, PathBuf};
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

/// The second auditor, by name and version.
const AUDITOR: &str = "axe-core@4.14.1";

fn main() -> ExitCode {
    let asked = std::env::args().nth(1).unwrap_or_default();
    let Some((name, _, calls)) = ERRANDS.iter().find(|(name, ..)| *name == asked) else {
        eprintln!("cargo xtask ERRAND, where ERRAND is one of:");
        for (name, purpose, _) in ERRANDS {
            eprintln!("  {name:6}  {purpose}");
        }
        return ExitCode::from(2);
    };
    let auditor = (*name == "test").then(set_up).flatten();
    for arguments in *calls {
        eprintln!("cargo {}", arguments.join(" "));
        let mut cargo = cargo();
        if *name == "bless" {
            cargo
                .env("PIECEWRIGHT_BLESS", "1")
                .env("INSTA_UPDATE", "always");
        }
        if let Some(auditor) = &auditor {
            cargo.env("AXE_JS", auditor);
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
fn set_up() -> Option<PathBuf> {
    for (tool, component) in [("fmt", "rustfmt"), ("clippy", "clippy")] {
        let there = cargo().args([tool, "--version"]).output();
        if !there.is_ok_and(|out| out.status.success()) {
            let _ = Command::new("rustup")
                .args(["component", "add", component])
                .status();
        }
    }
    browser();
    auditor()
}

/// The auditor of accessibility that the studio's screens also stand before: axe-core, at
/// one version, fetched by npm where npm is there and never shipped. `AXE_JS` names a copy.
fn auditor() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("AXE_JS") {
        return Some(named.into());
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/auditor");
    let script = folder.join("node_modules/axe-core/axe.min.js");
    if !script.is_file() {
        eprintln!("npm install {AUDITOR}");
        let fetched = std::fs::create_dir_all(&folder).and_then(|()| {
            Command::new("npm")
                .args([
                    "install",
                    "--no-save",
                    "--no-audit",
                    "--no-fund",
                    "--fetch-timeout=30000",
                    "--fetch-retries=1",
                    AUDITOR,
                ])
                .arg("--prefix")
                .arg(&folder)
                .status()
        });
        if !fetched.is_ok_and(|status| status.success()) {
            eprintln!("{AUDITOR} could not be fetched; the house's own audit is run alone.");
        }
    }
    script.is_file().then_some(script)
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
