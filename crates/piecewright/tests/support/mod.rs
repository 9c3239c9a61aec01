//! What the tests of the command line share: the executable, a folder to write in, its
//! words.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A fresh folder of its own for one test.
pub(crate) fn folder(test: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(test);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// Runs the executable.
pub(crate) fn piecewright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_piecewright"))
        .args(arguments)
        .output()
        .unwrap()
}

/// What it wrote.
pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}
