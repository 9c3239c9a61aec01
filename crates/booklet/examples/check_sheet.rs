//! Writes the check sheet to a file: `check_sheet letter|a4 FILE.pdf`.

use std::error::Error;

use booklet::{Day, Imprint, check_sheet};
use quilt::plan::Paper;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (paper, file) = match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["letter", file] => (Paper::Letter, file),
        ["a4", file] => (Paper::A4, file),
        _ => return Err("say letter or a4, and the file to write".into()),
    };
    let imprint = Imprint {
        ident: "check sheet".into(),
        day: Some(Day {
            year: 2026,
            month: 1,
            day: 1,
        }),
    };
    std::fs::write(file, check_sheet(paper, &imprint)?)?;
    Ok(())
}
