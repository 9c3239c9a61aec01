//! Temporary: sets the booklet of a plan made by hand.
#[path = "../../picture/tests/kit/mod.rs"]
#[allow(dead_code)]
mod kit;
use std::sync::Arc;
use quilt::results::Results;
fn main() {
    let out = std::env::args().nth(1).unwrap();
    let plan = kit::plan();
    let blocks = kit::blocks(&plan);
    let top = kit::top(&plan, &blocks);
    let results = Results { blocks, faults: vec![], top: Some(Arc::new(top)), sewing: None, finishing: None, cutting: None, findings: vec![] };
    for _ in 0..2 {
        let t = std::time::Instant::now();
        match booklet::pdf(&plan, &results) {
            Ok(pdf) => { println!("{} bytes {:?}", pdf.len(), t.elapsed()); std::fs::write(&out, pdf).unwrap(); }
            Err(e) => { println!("{e}"); std::process::exit(1) }
        }
    }
}
