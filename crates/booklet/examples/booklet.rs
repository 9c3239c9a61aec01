//! Writes the booklet of a plan and tells how long the pages took to set, first
//! and again: `booklet PLAN.toml FILE.pdf`.

use std::error::Error;
use std::time::Instant;

#[expect(clippy::disallowed_methods, reason = "it is here to tell the time")]
fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [name, file] = &arguments[..] else {
        return Err("say the plan to read and the file to write".into());
    };
    let (_, plan) = planfile::load(name.as_ref())?;
    let start = Instant::now();
    let results = quilt::results::work_out(&plan, None);
    let worked = start.elapsed();
    let mut pdf = Vec::new();
    let mut taken = Vec::new();
    for _ in 0..2 {
        let start = Instant::now();
        pdf = booklet::pdf(&plan, &results)?;
        taken.push(start.elapsed().as_millis());
    }
    std::fs::write(file, &pdf)?;
    println!(
        "{file}: {} KB; worked out in {} ms, set in {} ms, again in {} ms",
        pdf.len() / 1024,
        worked.as_millis(),
        taken[0],
        taken[1]
    );
    Ok(())
}
