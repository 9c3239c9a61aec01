//! The pictures beside the demo plans are the ones the program draws now.
//!
//! `cargo xtask bless` writes them afresh.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

use std::fs;
use std::path::Path;

use picture::Palette;
use quilt::results;

/// Width of the pictures on paper, inches.
const WIDTH: f64 = 6.0;

#[test]
fn demo_pictures_are_up_to_date() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    for name in [
        "harbour-lights",
        "orchard-at-dusk",
        "night-ferry",
        "saltmarsh",
        "whirligig-pier",
        "honeycomb-steps",
    ] {
        let (_, plan) = planfile::load(&examples.join(format!("{name}.toml"))).unwrap();
        let results = results::work_out(&plan, None);
        let top = results.top.as_ref().unwrap();
        let drawing = picture::quilt(&plan, &results.blocks, top);
        let svg = picture::svg(&drawing, &Palette::of(&plan, "sans-serif"), WIDTH);
        let path = examples.join(format!("{name}.svg"));
        if std::env::var_os("PIECEWRIGHT_BLESS").is_some() {
            fs::write(&path, &svg).unwrap();
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        assert!(
            kept == svg,
            "{name}.svg is out of date: cargo xtask bless, then look at it"
        );
    }
}
