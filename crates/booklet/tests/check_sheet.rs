//! Lays a ruler on the check sheet, as read back from its PDF.

mod support;

use booklet::{Day, Imprint, check_sheet};
use quilt::plan::Paper;
use support::{Page, Painted, Pdf};

/// A hundredth of a point: far below what a printer can show.
const SLACK: f64 = 0.01;

fn imprint() -> Imprint {
    Imprint {
        ident: "check sheet".into(),
        day: Some(Day {
            year: 2026,
            month: 3,
            day: 14,
        }),
    }
}

fn sheet(paper: Paper) -> Vec<u8> {
    check_sheet(paper, &imprint()).expect("the check sheet can be set")
}

fn only_page(pdf: &Pdf) -> Page {
    let mut pages = pdf.pages();
    assert_eq!(pages.len(), 1, "the check sheet is one page");
    pages.remove(0)
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!(
        (found - wanted).abs() <= SLACK,
        "{what}: {found} points, wanted {wanted}"
    );
}

#[test]
fn both_papers_measure_true() {
    for (paper, width, height) in [
        (Paper::Letter, 8.5 * 72.0, 11.0 * 72.0),
        (Paper::A4, 210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
    ] {
        let pdf = Pdf::read(&sheet(paper));
        let page = only_page(&pdf);
        near(page.size.0, width, "page width");
        near(page.size.1, height, "page height");
        measure_square(&page);
        measure_strip(&page);
        nothing_is_cut_off(&page);
    }
}

fn measure_square(page: &Page) {
    let squares = page.stroked_boxes(72.0, 72.0, SLACK);
    let [square] = squares.as_slice() else {
        panic!("one check square, found {}", squares.len())
    };
    let runs = square.runs();
    let [corners] = runs.as_slice() else {
        panic!("the square is one run")
    };
    assert_eq!(corners.len(), 4, "a square has four corners: {corners:?}");
    for i in 0..4 {
        near(
            corners[i].distance(corners[(i + 1) % 4]),
            72.0,
            "a side of the square",
        );
        near(
            corners[i].distance(corners[(i + 2) % 4]),
            72.0 * 2f64.sqrt(),
            "a diagonal",
        );
    }
    assert!(
        square
            .stroke
            .as_ref()
            .is_some_and(|stroke| stroke.dash.is_empty())
    );
}

fn measure_strip(page: &Page) {
    let mut strip = page.drawing("A ruler strip");
    strip.retain(|path: &&Painted| path.runs().len() == 49);
    let [marks] = strip.as_slice() else {
        panic!("one strip with 49 marks")
    };
    let mut xs: Vec<f64> = marks.runs().iter().map(|run| run[0].x).collect();
    xs.sort_by(f64::total_cmp);
    near(xs[48] - xs[0], 432.0, "the strip");
    near(xs[39] - xs[0], 4.875 * 72.0, "4 7/8 on the strip");
    for (i, pair) in xs.windows(2).enumerate() {
        near(pair[1] - pair[0], 9.0, &format!("eighth {i}"));
    }
}

fn nothing_is_cut_off(page: &Page) {
    for path in &page.painted {
        let bounds = path.bounds();
        assert!(path.shows_whole(), "cut off by its drawing: {path:?}");
        assert!(
            bounds.left >= 0.0
                && bounds.top >= 0.0
                && bounds.right <= page.size.0
                && bounds.bottom <= page.size.1,
            "off the page: {bounds:?}"
        );
    }
}

#[test]
fn the_words_can_be_read_back() {
    let pdf = Pdf::read(&sheet(Paper::Letter));
    let page = only_page(&pdf);
    let text = page.text().replace('\u{202f}', " ");
    for wanted in [
        "Does your printer print true?",
        "Print, then measure",
        "4 7/8",
        "5 15/16″",
        "102.1 %",
        "Page 1 of 1",
    ] {
        assert!(text.contains(wanted), "{wanted:?} not in: {text}");
    }
    assert!(
        !text.contains('\u{fffd}'),
        "a glyph that says nothing in: {text}"
    );
    // The numbers on the strip stand where its whole inches are.
    let strip_numbers: String = page
        .words
        .iter()
        .filter(|word| word.drawing.is_some())
        .map(|word| word.text.as_str())
        .collect();
    assert_eq!(strip_numbers, "0123456");
}

#[test]
fn every_font_is_embedded_and_says_what_it_writes() {
    let pdf = Pdf::read(&sheet(Paper::Letter));
    let fonts = pdf.fonts();
    assert!(
        fonts.len() >= 2,
        "a sans and a serif at least, found {}",
        fonts.len()
    );
    for font in fonts {
        assert!(
            pdf.follow(font, b"ToUnicode").is_some(),
            "no ToUnicode: {font:?}"
        );
    }
    let descriptors: Vec<_> = pdf
        .dictionaries()
        .filter(|dict| dict.has_type(b"FontDescriptor"))
        .collect();
    assert!(descriptors.len() >= 2);
    for descriptor in descriptors {
        let file = [&b"FontFile2"[..], b"FontFile3"]
            .iter()
            .find_map(|key| pdf.follow(descriptor, key));
        assert!(file.is_some(), "not embedded: {descriptor:?}");
    }
}

#[test]
fn the_document_is_tagged_and_says_so() {
    let pdf = Pdf::read(&sheet(Paper::A4));
    let catalog = pdf.catalog();
    assert!(pdf.follow(catalog, b"StructTreeRoot").is_some());
    let marks = pdf.follow(catalog, b"MarkInfo").unwrap().as_dict().unwrap();
    assert!(marks.get(b"Marked").unwrap().as_bool().unwrap());
    assert!(
        catalog
            .get(b"Lang")
            .unwrap()
            .as_str()
            .unwrap()
            .starts_with(b"en")
    );
    let metadata = pdf
        .follow(catalog, b"Metadata")
        .unwrap()
        .as_stream()
        .unwrap();
    let xmp = String::from_utf8(metadata.get_plain_content().unwrap()).unwrap();
    assert!(
        xmp.contains("pdfuaid:part"),
        "says it holds to PDF/UA: {xmp}"
    );
    assert!(
        xmp.contains("Does your printer print true?"),
        "carries its title: {xmp}"
    );
    assert!(xmp.contains("2026-03-14"), "carries its date: {xmp}");

    let kinds: Vec<String> = pdf
        .dictionaries()
        .filter_map(|dict| dict.get(b"S").ok()?.as_name().ok())
        .map(|name| String::from_utf8_lossy(name).into_owned())
        .collect();
    for kind in ["H1", "Table", "TH", "TD", "Figure", "L"] {
        assert!(
            kinds.iter().any(|found| found == kind),
            "no {kind} among the tags: {kinds:?}"
        );
    }
    let described = pdf.dictionaries().any(|dict| {
        dict.get(b"Alt")
            .and_then(|alt| alt.as_str())
            .is_ok_and(|alt| alt.starts_with(b"A ruler strip"))
    });
    assert!(described, "the strip is described in words");
}

#[test]
fn the_same_data_gives_the_same_bytes() {
    assert_eq!(sheet(Paper::Letter), sheet(Paper::Letter));
    assert_ne!(sheet(Paper::Letter), sheet(Paper::A4));
    let other_day = Imprint {
        day: Some(Day {
            year: 2026,
            month: 3,
            day: 15,
        }),
        ..imprint()
    };
    assert_ne!(
        sheet(Paper::Letter),
        check_sheet(Paper::Letter, &other_day).unwrap()
    );
}
