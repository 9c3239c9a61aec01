//! The page about the format tells the truth.

const PAGE: &str = include_str!("../../../docs/plan-format.md");

/// The text between a mark and the end of the block it opens.
fn block_after<'p>(heading: &str, fence: &str) -> &'p str {
    let (_, rest) = PAGE.split_once(heading).expect("the heading");
    let (_, rest) = rest.split_once(fence).expect("a block");
    rest.split_once("```").expect("its end").0
}

#[test]
fn the_complete_example_reads_and_can_be_drafted() {
    let text = block_after("## A complete example", "```toml\n");
    let plan = planfile::read("the example", text)
        .unwrap_or_else(|t| panic!("{}", planfile::render("the example", text, &t, false)));
    for block in &plan.blocks {
        let worked = quilt::block::work_out(block, &plan.seam, &plan.ruler)
            .unwrap_or_else(|faults| panic!("{}: {faults:?}", block.name));
        assert!(
            worked.patches.iter().all(|p| p.place.is_some()),
            "{}",
            block.name
        );
    }
}

#[test]
fn the_trouble_shown_is_what_a_maker_sees() {
    let shown = block_after("## When something is wrong", "```text\n");
    let sound = include_str!("../../../examples/harbour-lights.toml");
    let text = sound.replacen("centre = \"foam\"", "centre = \"faom\"", 1);
    let troubles = planfile::read("harbour-lights.toml", &text).unwrap_err();
    assert_eq!(
        planfile::render("harbour-lights.toml", &text, &troubles, false).trim(),
        shown.trim()
    );
}

#[test]
fn every_standard_mattress_is_named() {
    let page = PAGE.replace('\n', " ");
    for name in planfile::bed_names() {
        assert!(page.contains(name), "{name}");
    }
}

#[test]
fn the_starter_teaches_with_a_remark_on_every_new_field() {
    let text = planfile::starter();
    let plan = planfile::read("starter", text).unwrap();
    assert!(
        plan.blocks
            .iter()
            .all(|b| quilt::block::work_out(b, &plan.seam, &plan.ruler).is_ok())
    );
    let remarks = text.matches('#').count();
    assert!(remarks > 30, "{remarks}");
}
