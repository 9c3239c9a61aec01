//! Booklets of the demo plans, read back from their PDFs with a ruler in hand.

mod support;

use std::path::PathBuf;

use booklet::pdf;
use geometry::Surd;
use quilt::block::Template;
use quilt::plan::{Paper, Plan};
use quilt::results::{Results, work_out};
use support::{Page, Painted, Pdf, Point};

/// A tenth of a millimetre, in points: thinner than a pencil line.
const TENTH: f64 = 0.1 / 25.4 * 72.0;

/// A demo plan, worked out and printed.
struct Printed {
    plan: Plan,
    results: Results,
    bytes: Vec<u8>,
}

const DEMOS: [&str; 5] = [
    "harbour-lights",
    "night-ferry",
    "orchard-at-dusk",
    "whirligig-pier",
    "honeycomb-steps",
];

fn printed(demo: &str, paper: Paper) -> Printed {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../examples")
        .join(demo)
        .with_extension("toml");
    let (_, mut plan) = planfile::load(&path).expect("the demo plans are sound");
    plan.paper = paper;
    of_plan(plan, demo)
}

fn of_plan(plan: Plan, name: &str) -> Printed {
    let results = work_out(&plan, None);
    let bytes = pdf(&plan, &results).unwrap_or_else(|trouble| panic!("{name}: {trouble}"));
    Printed {
        plan,
        results,
        bytes,
    }
}

/// Spaces of every kind as one.
fn spaced(text: &str) -> String {
    text.replace(['\u{202f}', '\u{a0}'], " ")
}

#[test]
fn templates_measure_true() {
    for demo in DEMOS {
        for paper in [Paper::Letter, Paper::A4] {
            let printed = printed(demo, paper);
            let pages = Pdf::read(&printed.bytes).pages();
            let mut measured = 0;
            for (of, block) in printed.plan.blocks.iter().zip(&printed.results.blocks) {
                let block = block.as_ref().expect("the demo drafts are sound");
                for (_, template) in block.cutting_templates() {
                    let start =
                        format!("Template {} of “{}”, true size.", template.letter, of.name);
                    measure(&pages, &start, template);
                    measured += 1;
                }
            }
            assert!(measured >= 3, "{demo}: only {measured} templates");
        }
    }
}

/// Lays the template's cut and seam lines on every drawing of it.
fn measure(pages: &[Page], start: &str, template: &Template) {
    let finished: Vec<[f64; 2]> = template
        .finished
        .points()
        .iter()
        .map(|p| p.to_f64())
        .collect();
    let drawings: Vec<Vec<&Painted>> = pages
        .iter()
        .map(|page| page.drawing(start))
        .filter(|drawn| !drawn.is_empty())
        .collect();
    assert!(!drawings.is_empty(), "no drawing of {start}");
    for drawn in drawings {
        for (outline, dashed, what) in
            [(&template.trimmed, false, "cut"), (&finished, true, "seam")]
        {
            let found = drawn.iter().any(|path| {
                path.stroke
                    .as_ref()
                    .is_some_and(|stroke| stroke.dash.is_empty() != dashed)
                    && path.runs().iter().any(|run| same_shape(run, outline))
            });
            assert!(found, "{start} the {what} line is not to size");
        }
    }
}

#[test]
fn foundations_measure_true_and_lie_mirrored() {
    let lamps = printed("whirligig-pier", Paper::Letter);
    // Log strips in one section, larger than a page: spread over several.
    let mut plan = printed("orchard-at-dusk", Paper::A4).plan;
    plan.blocks[0].foundation = true;
    plan.blocks[0].width = Surd::int(12);
    plan.blocks[0].height = Surd::int(12);
    let strips = of_plan(plan, "orchard on foundations");
    for (printed, block, pieces, sheets) in [(lamps, 1, 3, 1), (strips, 0, 13, 4)] {
        let pages = Pdf::read(&printed.bytes).pages();
        let name = &printed.plan.blocks[block].name;
        let worked = printed.results.blocks[block].as_ref().unwrap();
        let founded = worked.foundation.as_ref().expect("it is on foundations");
        let [kind] = founded.kinds.as_slice() else {
            panic!("{name}: one kind of section")
        };
        assert!(kind.pieces.len() >= pieces, "{name}: {}", kind.pieces.len());
        let start = format!("Foundation {} of “{name}”, true size", kind.letter);
        let drawings: Vec<Vec<&Painted>> = pages
            .iter()
            .map(|page| page.drawing(&start))
            .filter(|drawn| !drawn.is_empty())
            .collect();
        assert_eq!(drawings.len(), sheets, "{name}: sheets");
        let seams = &founded.division.sections[kind.shown].seams;
        let finished: Vec<[f64; 2]> = kind.outline.points().iter().map(|p| p.to_f64()).collect();
        for drawn in drawings {
            let solid = |path: &&&Painted| {
                let stroke = path.stroke.as_ref();
                stroke.is_some_and(|stroke| stroke.dash.is_empty())
            };
            let runs = |wanted: bool| -> Vec<Vec<Point>> {
                let some = drawn.iter().filter(|path| solid(path) == wanted);
                some.flat_map(|path| path.runs()).collect()
            };
            let (lines, dashes) = (runs(true), runs(false));
            let cut = lines.iter().find(|run| same_shape(run, &kind.cut));
            let cut = cut.unwrap_or_else(|| panic!("{name}: the outer line is not to size"));
            assert!(
                dashes.iter().any(|run| same_shape(run, &finished)),
                "{name}"
            );
            // Outlines run clockwise on the block, so against the clock on its mirror image.
            let twice: f64 = (0..cut.len())
                .map(|i| {
                    let (a, b) = (cut[i], cut[(i + 1) % cut.len()]);
                    a.x * b.y - a.y * b.x
                })
                .sum();
            assert!(twice < 0.0, "{name}: the page must be a mirror image");
            for seam in seams {
                let ends = [seam.a.to_f64(), seam.b.to_f64()];
                // As far from every corner of the outer line as on the block.
                let lies = |run: &Vec<Point>| {
                    (0..cut.len()).any(|shift| {
                        run.len() == 2
                            && (0..2).all(|end| {
                                kind.cut.iter().enumerate().all(|(i, corner)| {
                                    let far = (corner[0] - ends[end][0])
                                        .hypot(corner[1] - ends[end][1])
                                        * 72.0;
                                    let printed = cut[(i + shift) % cut.len()].distance(run[end]);
                                    (printed - far).abs() <= TENTH
                                })
                            })
                    })
                };
                assert!(lines.iter().any(lies), "{name}: a seam is missing");
            }
        }
        let page = pages.iter().find(|page| !page.drawing(&start).is_empty());
        let page = page.expect("there is one");
        assert_eq!(
            page.stroked_boxes(72.0, 72.0, 0.01).len(),
            1,
            "an inch square"
        );
        let all: String = pages.iter().map(Page::text).collect();
        assert!(
            spaced(&all).contains("Piece 1: lay it right side up"),
            "{name}"
        );
    }
}

/// Whether the run is this outline (inches), wherever it lies and however it is turned:
/// every distance between two corners agrees within a tenth of a millimetre.
fn same_shape(run: &[Point], outline: &[[f64; 2]]) -> bool {
    let n = outline.len();
    let apart = |i: usize, j: usize| {
        let ([ax, ay], [bx, by]) = (outline[i], outline[j]);
        (bx - ax).hypot(by - ay) * 72.0
    };
    run.len() == n
        && (0..n).any(|shift| {
            (0..n).all(|i| {
                (0..i).all(|j| {
                    let printed = run[(i + shift) % n].distance(run[(j + shift) % n]);
                    (printed - apart(i, j)).abs() <= TENTH
                })
            })
        })
}

#[test]
fn the_shape_test_tells_a_print_that_is_one_percent_off() {
    let outline = [[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]];
    let run = |scale: f64| -> Vec<Point> {
        outline
            .iter()
            .map(|&[x, y]| Point {
                x: -y * scale * 72.0,
                y: x * scale * 72.0,
            })
            .collect()
    };
    assert!(same_shape(&run(1.0), &outline));
    assert!(!same_shape(&run(0.99), &outline));
}

#[test]
fn every_template_page_has_a_true_square_and_bar() {
    for paper in [Paper::Letter, Paper::A4] {
        let pages = Pdf::read(&printed("orchard-at-dusk", paper).bytes).pages();
        let with_templates: Vec<&Page> = pages
            .iter()
            .filter(|page| !page.drawing("Template ").is_empty())
            .collect();
        assert!(with_templates.len() >= 2);
        for page in with_templates {
            assert_eq!(
                page.stroked_boxes(72.0, 72.0, 0.01).len(),
                1,
                "one square of one inch"
            );
            let bar = 2.0 / 2.54 * 72.0;
            assert_eq!(
                page.stroked_boxes(bar, 0.0, 0.01).len(),
                1,
                "one bar of two centimetres"
            );
            assert!(spaced(&page.text()).contains("Print at 100 %"));
        }
    }
}

#[test]
fn nothing_that_is_printed_leaves_the_paper() {
    for demo in DEMOS {
        for page in Pdf::read(&printed(demo, Paper::Letter).bytes).pages() {
            // Tiles show a part of a larger drawing; what shows of it counts.
            for path in &page.painted {
                let bounds = path.bounds();
                let shown = path.clip.map_or(bounds, |clip| clip.within(bounds));
                assert!(
                    shown.left >= 0.39 * 72.0
                        && shown.top >= 0.39 * 72.0
                        && shown.right <= page.size.0 - 0.39 * 72.0
                        && shown.bottom <= page.size.1 - 0.39 * 72.0,
                    "{demo}: {shown:?} lies where home printers do not print"
                );
            }
        }
    }
}

#[test]
fn the_words_can_be_read_back() {
    for demo in DEMOS {
        let Printed {
            plan,
            results,
            bytes,
        } = printed(demo, Paper::Letter);
        let pages = Pdf::read(&bytes).pages();
        let text: String = pages
            .iter()
            .map(|page| spaced(&page.text()) + "\n")
            .collect();
        assert!(!text.contains('\u{fffd}'), "a glyph that says nothing");
        assert!(text.starts_with(&plan.title), "the title comes first");
        for cut in results
            .cutting
            .as_deref()
            .expect("the demo tops can be laid out")
        {
            let cloth = plan.cloth(cut.cloth);
            assert!(
                text.contains(&cloth.name),
                "{demo}: no cloth {}",
                cloth.name
            );
            let buy = plan.measure.shop(&cut.buy);
            assert!(
                text.contains(&buy),
                "{demo}: {} without its {buy}",
                cloth.name
            );
        }
        let on_templates: Vec<&str> = pages
            .iter()
            .flat_map(|page| &page.words)
            .filter(|word| {
                word.drawing
                    .as_ref()
                    .is_some_and(|alt| alt.starts_with("Template "))
            })
            .map(|word| word.text.as_str())
            .collect();
        for template in results
            .blocks
            .iter()
            .flatten()
            .flat_map(|block| &block.templates)
        {
            assert!(
                on_templates.contains(&template.letter.as_str()),
                "{demo}: no {}",
                template.letter
            );
        }
        for caution in booklet::cautions(&plan, &results) {
            let words: Vec<&str> = caution.split_whitespace().take(4).collect();
            assert!(
                text.contains(&words.join(" ")),
                "{demo}: not cautioned: {caution}"
            );
        }
        let count = pages.len();
        assert!(
            text.contains(&format!("Page {count} of {count}")),
            "{demo}: pages are numbered"
        );
    }
}

#[test]
fn type_is_large_enough_to_read() {
    for demo in DEMOS {
        for page in Pdf::read(&printed(demo, Paper::Letter).bytes).pages() {
            for word in page
                .words
                .iter()
                .filter(|word| !word.text.trim().is_empty())
            {
                let least = if word.drawing.is_some() { 6.5 } else { 8.0 };
                // Space between a whole number and its fraction is set small on purpose.
                let narrow = word.text == "\u{202f}";
                assert!(
                    narrow || word.size >= least - 0.01,
                    "{demo}: {:?} at {}",
                    word.text,
                    word.size
                );
            }
        }
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes_in_a_small_file() {
    for demo in DEMOS {
        let first = printed(demo, Paper::Letter).bytes;
        assert!(
            first == printed(demo, Paper::Letter).bytes,
            "{demo}: two printings differ"
        );
        assert!(first.len() < 3_000_000, "{demo}: {} bytes", first.len());
    }
}

#[test]
fn the_booklet_is_tagged_and_its_fonts_are_inside() {
    for (paper, size) in [
        (Paper::Letter, (612.0, 792.0)),
        (Paper::A4, (595.2756, 841.8898)),
    ] {
        let pdf = Pdf::read(&printed("night-ferry", paper).bytes);
        for page in pdf.pages() {
            assert!((page.size.0 - size.0).abs() < 0.01 && (page.size.1 - size.1).abs() < 0.01);
        }
        assert!(pdf.follow(pdf.catalog(), b"StructTreeRoot").is_some());
        for font in pdf.fonts() {
            assert!(
                pdf.follow(font, b"ToUnicode").is_some(),
                "no ToUnicode: {font:?}"
            );
        }
        for descriptor in pdf
            .dictionaries()
            .filter(|dict| dict.has_type(b"FontDescriptor"))
        {
            let file = [&b"FontFile2"[..], b"FontFile3"]
                .iter()
                .find_map(|key| pdf.follow(descriptor, key));
            assert!(file.is_some(), "not embedded: {descriptor:?}");
        }
        let kinds: Vec<String> = pdf
            .dictionaries()
            .filter_map(|dict| dict.get(b"S").ok()?.as_name().ok())
            .map(|name| String::from_utf8_lossy(name).into_owned())
            .collect();
        for kind in ["H1", "H2", "Table", "TH", "TD", "Figure", "L"] {
            assert!(
                kinds.iter().any(|found| found == kind),
                "no {kind} among the tags"
            );
        }
        // A document that says no date is the same on any day.
        let metadata = pdf
            .follow(pdf.catalog(), b"Metadata")
            .unwrap()
            .as_stream()
            .unwrap();
        let xmp = String::from_utf8(metadata.get_plain_content().unwrap()).unwrap();
        assert!(
            xmp.contains("pdfuaid:part") && xmp.contains("Night Ferry"),
            "{xmp}"
        );
        assert!(!xmp.contains("CreateDate"), "{xmp}");
    }
}
