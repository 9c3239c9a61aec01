//! The one executable; everything is in the library beside it, where benchmarks reach it.

use std::process::ExitCode;

fn main() -> ExitCode {
    piecewright::run()
}
