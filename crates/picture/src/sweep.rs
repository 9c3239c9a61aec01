//! Checks swept over every drawing of the kit, each at a size it has in print.

use quilt::plan::{BlockId, ClothId, Plan};
use quilt::setting::Top;
use resvg::usvg;

use crate::drawing::{Drawing, Item, Room, SMALLEST};
use crate::flat::{self, P};
use crate::placing::{Sheet, placed};
use crate::{Palette, kit, svg};

/// Every drawing of the kit, with a name and its width in print.
fn all(plan: &Plan) -> Vec<(String, Drawing, f64)> {
    let blocks = kit::blocks(plan);
    let top = kit::top(plan, &blocks);
    let mut all = vec![
        ("quilt".to_owned(), crate::quilt(plan, &blocks, &top), 5.0),
        ("quilt small".into(), crate::quilt(plan, &blocks, &top), 1.5),
        ("lines".into(), crate::quilt_lines(plan, &blocks, &top), 6.5),
        (
            "chart".into(),
            crate::setting_chart(plan, &blocks, &top),
            5.0,
        ),
        (
            "values".into(),
            crate::value_strip(plan, &quilt::cloth::Values::of(&plan.cloths, 3)),
            5.0,
        ),
    ];
    let check = crate::check_square();
    let width = check.true_width();
    all.push(("check".into(), check, width));
    for i in 0..plan.cloths.len() {
        all.push((format!("swatch {i}"), crate::swatch(plan, ClothId(i)), 0.8));
    }
    for (i, block) in blocks.iter().enumerate() {
        let (id, block) = (BlockId(i), block.as_deref().unwrap());
        all.push((
            format!("block {i}"),
            crate::block(plan, id, block, None, 0),
            2.5,
        ));
        all.push((
            format!("letters {i}"),
            crate::block_letters(plan, id, block),
            2.8,
        ));
        all.push((
            format!("numbers {i}"),
            crate::block_numbered(plan, id, block, None, 0),
            2.8,
        ));
        all.push((
            format!("apart {i}"),
            crate::block_exploded(plan, id, block, None),
            2.8,
        ));
        all.push((
            format!("stuck {i}"),
            crate::obstruction(plan, id, block),
            2.5,
        ));
        for t in &block.templates {
            let drawing = crate::template(t, &[format!("{} of {}", t.count, plan.blocks[i].name)]);
            let width = drawing.true_width();
            all.push((format!("template {i} {}", t.letter), drawing, width));
        }
        let sewing = kit::sewing(id, block);
        for step in 0..sewing.steps.len() {
            let drawing = crate::step(plan, block, &sewing, step, None).unwrap();
            all.push((format!("step {i} {step}"), drawing, 2.0));
        }
    }
    // Seams as they are truly sewn, set-in and partial ones among them.
    let sewing = quilt::sewing::work_out(plan, &blocks, &top);
    for (sewn, handling) in sewing.blocks.iter().zip(&sewing.handling) {
        let (i, block) = (sewn.block.0, blocks[sewn.block.0].as_deref().unwrap());
        for step in 0..sewn.steps.len() {
            let drawing = crate::step(plan, block, sewn, step, None).unwrap();
            all.push((format!("sewn {i} {step}"), drawing, 2.0));
            let drawing = crate::back(plan, block, sewn, handling, step).unwrap();
            all.push((format!("back {i} {step}"), drawing, 2.0));
        }
        let drawing = crate::block_exploded_as_sewn(plan, block, sewn, None);
        all.push((format!("apart as sewn {i}"), drawing, 2.8));
        if let Some(drawing) = crate::straightened(plan, sewn.block, block) {
            all.push((format!("straightened {i}"), drawing, 2.5));
        }
    }
    for cutting in quilt::cutting::work_out(plan, &blocks, &top, &kit::finishing(plan, &top)) {
        for (i, sheet) in cutting.sheets.iter().enumerate() {
            let drawing = crate::cloth_layout(plan, &blocks, &cutting, sheet);
            all.push((format!("layout {} {i}", cutting.cloth.0), drawing, 6.0));
        }
    }
    all
}

#[test]
fn every_drawing_reads_back_at_its_size() {
    let plan = kit::plan();
    let palette = Palette::of(&plan, "serif");
    for (name, drawing, width) in all(&plan) {
        let text = svg(&drawing, &palette, width);
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default())
            .unwrap_or_else(|e| panic!("{name}: {e}"));
        // Inches come back as 96ths (CSS pixels).
        let size = [tree.size().width(), tree.size().height()].map(|s| f64::from(s) / 96.0);
        assert!(
            (size[0] - width).abs() < 1e-3,
            "{name}: {} in wide, not {width}",
            size[0]
        );
        assert!(
            (size[1] - drawing.height_at(width)).abs() < 1e-3,
            "{name}: {} in high",
            size[1]
        );
        assert!(
            !drawing.says.is_empty() && text.contains("<title>"),
            "{name} says what it shows"
        );
        assert!(tree.root().has_children(), "{name} shows something");
    }
}

#[test]
fn words_are_large_enough_and_apart() {
    let plan = kit::plan();
    for (name, drawing, width) in all(&plan) {
        let labels = placed(&drawing, width);
        for (i, a) in labels.iter().enumerate() {
            assert!(a.size >= SMALLEST, "{name}: text of {} pt", a.size);
            for b in &labels[i + 1..] {
                assert!(
                    !a.area.overlaps(b.area),
                    "{name}: {:?} over {:?}",
                    drawing.items[a.item],
                    drawing.items[b.item]
                );
            }
        }
    }
}

#[test]
fn words_stay_on_the_paper_and_in_their_patch() {
    let plan = kit::plan();
    for (name, drawing, width) in all(&plan) {
        let sheet = Sheet::of(&drawing, width);
        let paper = [width * 72.0, drawing.height_at(width) * 72.0];
        for place in placed(&drawing, width) {
            let Item::Label(label) = &drawing.items[place.item] else {
                panic!("only labels are placed")
            };
            let on_paper =
                (0..2).all(|i| place.area.low[i] > -0.5 && place.area.high[i] < paper[i] + 0.5);
            assert!(on_paper, "{name}: “{}” leaves the paper", label.text);
            let (Room::Within(room) | Room::IfFits(room) | Room::Once(room, _)) = &label.room
            else {
                continue;
            };
            let room: Vec<P> = room.iter().map(|&p| sheet.point(p)).collect();
            assert!(
                place.leader.is_some() || place.area.within(&room),
                "{name}: “{}” leaves its patch",
                label.text
            );
        }
    }
}

#[test]
fn every_template_has_its_letter_on_the_block() {
    let plan = kit::plan();
    for (i, block) in kit::blocks(&plan).iter().flatten().enumerate() {
        let drawing = crate::block_letters(&plan, BlockId(i), block);
        let drawn: Vec<&str> = placed(&drawing, 2.8)
            .iter()
            .filter_map(|p| {
                if let Item::Label(l) = &drawing.items[p.item] {
                    Some(l.text.as_str())
                } else {
                    None
                }
            })
            .collect();
        for template in &block.templates {
            assert!(
                drawn.contains(&template.letter.as_str()),
                "no {} on block {i}",
                template.letter
            );
        }
    }
}

fn cloth_area(drawing: &Drawing) -> f64 {
    let area = |item: &Item| {
        if let Item::Cloth(c) = item {
            flat::area(&c.outline).abs()
        } else {
            0.0
        }
    };
    drawing.items.iter().map(area).sum()
}

#[test]
fn the_cloth_drawn_covers_the_top_and_its_binding() {
    let plan = kit::plan();
    let blocks = kit::blocks(&plan);
    let top = kit::top(&plan, &blocks);
    let drawing = crate::quilt(&plan, &blocks, &top);
    let whole = drawing.width * drawing.height;
    assert!(
        (cloth_area(&drawing) - whole).abs() < 1e-6,
        "{} of {whole}",
        cloth_area(&drawing)
    );
    for (i, block) in blocks.iter().flatten().enumerate() {
        let drawing = crate::block(&plan, BlockId(i), block, None, 0);
        let whole = drawing.width * drawing.height;
        assert!((cloth_area(&drawing) - whole).abs() < 1e-9, "block {i}");
    }
}

#[test]
fn units_apart_keep_all_their_cloth() {
    let plan = kit::plan();
    for (i, block) in kit::blocks(&plan).iter().flatten().enumerate() {
        let whole = crate::block(&plan, BlockId(i), block, None, 0);
        let apart = crate::block_exploded(&plan, BlockId(i), block, None);
        assert!(
            (cloth_area(&whole) - cloth_area(&apart)).abs() < 1e-9,
            "block {i}"
        );
        let sewing = kit::sewing(BlockId(i), block);
        if let Some(last) = sewing.steps.len().checked_sub(1) {
            let step = crate::step(&plan, block, &sewing, last, None).unwrap();
            let twice = 2.0 * cloth_area(&whole);
            assert!(
                (cloth_area(&step) - twice).abs() < 1e-9,
                "two units and what they make"
            );
        }
    }
}

/// The top of a quilt of more than 5,000 patches.
fn large(plan: &mut Plan) -> (Vec<Option<std::sync::Arc<quilt::block::Block>>>, Top) {
    (plan.setting.rows, plan.setting.columns) = (kit::MANY, kit::MANY);
    let blocks = kit::blocks(plan);
    let top = kit::top(plan, &blocks);
    (blocks, top)
}

#[test]
fn a_large_quilt_stays_light() {
    let mut plan = kit::plan();
    let (blocks, top) = large(&mut plan);
    assert!(top.patches > 5_000, "{} patches", top.patches);
    let text = svg(
        &crate::quilt(&plan, &blocks, &top),
        &Palette::of(&plan, "serif"),
        5.0,
    );
    assert!(text.len() < 700_000, "{} bytes", text.len());
    let paths = text.matches("<path").count();
    assert!(paths < 250, "{paths} paths for {} patches", top.patches);
}

#[test]
fn drawings_are_the_same_every_time() {
    let plan = kit::plan();
    let palette = Palette::of(&plan, "serif");
    let text = |all: Vec<(String, Drawing, f64)>| -> Vec<String> {
        all.iter().map(|(_, d, w)| svg(d, &palette, *w)).collect()
    };
    assert!(text(all(&plan)) == text(all(&plan)));
}

#[test]
fn a_large_template_is_whole_over_its_pages() {
    let plan = kit::plan();
    let blocks = kit::blocks(&plan);
    let template = &blocks[4].as_deref().unwrap().templates[1];
    let whole = crate::template(template, &[]);
    let (page, overlap) = ([3.4, 2.5], 0.5);
    let tiles = crate::tiles(&whole, page[0], page[1], overlap);
    let (rows, columns) = tiles[0].of;
    assert_eq!(tiles.len(), rows * columns);
    let size = [whole.true_width(), whole.height_at(whole.true_width())];
    let along = |count: usize, one: f64| one * count as f64 - overlap * (count - 1) as f64;
    for tile in &tiles {
        let d = &tile.drawing;
        assert!(
            d.width <= page[0] + 1e-9 && d.height <= page[1] + 1e-9,
            "fits the page"
        );
        assert!(
            (d.scale_at(d.true_width()) - 1.0).abs() < 1e-12,
            "true size"
        );
        assert!(
            (along(columns, d.width) - size[0]).abs() < 1e-9,
            "no strip is missing across"
        );
        assert!((along(rows, d.height) - size[1]).abs() < 1e-9, "nor down");
    }
    let one = crate::tiles(&whole, 20.0, 20.0, overlap);
    assert_eq!(
        (one.len(), &one[0].drawing),
        (1, &whole),
        "what fits is left alone"
    );
}

#[test]
fn the_same_small_drawing_as_ever() {
    let plan = kit::plan();
    let mut drawing = Drawing::new("A < test.", 2.0, 1.0);
    let triangle = vec![[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]];
    drawing.push(crate::ClothShape {
        outline: triangle.clone(),
        cloth: 2,
        lay: crate::Lay {
            turn: 225.0,
            at: [0.0; 2],
        },
    });
    let stroke = crate::Stroke::new(crate::Ink::Quiet, 0.7).dashed(crate::Dash::Stitches);
    drawing.push(crate::Shape::drawn(
        vec![crate::Path::ring(triangle)],
        stroke,
    ));
    drawing.push(crate::Arrow {
        from: [1.0, 0.5],
        to: [2.0, 0.5],
        both: false,
        head: 6.0,
    });
    drawing.push(crate::Label::new("A", [1.5, 0.25], 9.0).bold());
    let expected = concat!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="0.5in" viewBox="0 0 72 36" font-family="serif">"##,
        r##"<title>A &lt; test.</title>"##,
        r##"<defs><pattern id="cloth2r1800" patternUnits="userSpaceOnUse" width="100" height="2400">"##,
        r##"<path fill="#a9c4c4" d="M12 0h28v2400h-28zM58 0h4v2400h-4zM74 0h4v2400h-4z"/></pattern>"##,
        r##"<pattern id="cloth2r1800t4500x0y0" href="#cloth2r1800" patternTransform="rotate(45)scale(0.18)"/></defs>"##,
        r##"<path fill="#2f5d6b" stroke="#2f5d6b" stroke-width=".2" d="M0 0h36l-36 36z"/>"##,
        r##"<path fill="url(#cloth2r1800t4500x0y0)" d="M0 0h36l-36 36z"/>"##,
        r##"<path fill="none" stroke="#4a4a4a" stroke-width=".7" stroke-dasharray="4 2.6" stroke-linejoin="round" d="M0 0h36l-36 36z"/>"##,
        r##"<path fill="none" stroke="#fbfaf7" stroke-width="2.6" stroke-linejoin="round" d="M36 18L67.2 18M72 18L66 20.16L66 15.84z"/>"##,
        r##"<path fill="none" stroke="#1b1b1b" stroke-width=".9" d="M36 18L67.2 18"/>"##,
        r##"<path fill="#1b1b1b" d="M72 18L66 20.16L66 15.84z"/>"##,
        r##"<text text-anchor="middle" font-size="9" fill="#1b1b1b" font-weight="bold" x="54" y="12.24">A</text></svg>"##,
        "\n",
    );
    assert_eq!(svg(&drawing, &Palette::of(&plan, "serif"), 1.0), expected);
}

/// The kit's star and its whirl need set-in and partial seams; their drawings, from the
/// front and from the wrong side, are among those above.
#[test]
fn seams_that_stop_are_drawn_too() {
    let plan = kit::plan();
    let blocks = kit::blocks(&plan);
    let sewing = quilt::sewing::work_out(&plan, &blocks, &kit::top(&plan, &blocks));
    let closing = sewing.blocks.iter().flat_map(|sewn| &sewn.joins);
    assert!(closing.filter(|join| join.closes).count() >= 2);
    let straightened = all(&plan).into_iter();
    let straightened = straightened.filter(|(name, ..)| name.starts_with("straightened"));
    assert!(straightened.count() >= 2);
}
