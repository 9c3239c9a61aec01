//! The ruler itself is checked: pages written by hand, whose measures are known.

mod support;

use lopdf::{Document, Object, Stream, dictionary};
use support::{Page, Pdf, Point};

/// One page of 200 by 100 points with this content, and one nested drawing
/// `/D` that has its own matrix and box.
fn page(content: &str, drawing: &str, matrix: [i32; 6]) -> Page {
    let mut document = Document::with_version("1.7");
    let matrix: Vec<Object> = matrix.into_iter().map(Object::from).collect();
    let drawing = document.add_object(Stream::new(
        dictionary! {
            "Type" => "XObject", "Subtype" => "Form", "Matrix" => matrix,
            "BBox" => vec![0.into(), 0.into(), 10.into(), 10.into()],
        },
        drawing.as_bytes().to_vec(),
    ));
    let content = document.add_object(Stream::new(dictionary! {}, content.as_bytes().to_vec()));
    let pages = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => pages, "Contents" => content,
        "Resources" => dictionary! { "XObject" => dictionary! { "D" => drawing } },
    });
    // The paper's own size is inherited, and does not start at zero.
    document.objects.insert(
        pages,
        Object::Dictionary(dictionary! {
            "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1,
            "MediaBox" => vec![10.into(), 20.into(), 210.into(), 120.into()],
        }),
    );
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document
        .save_to(&mut bytes)
        .expect("a file in memory can be written");
    let mut pages = Pdf::read(&bytes).pages();
    assert_eq!(pages.len(), 1);
    pages.remove(0)
}

const PLAIN: [i32; 6] = [1, 0, 0, 1, 0, 0];

#[test]
fn places_count_from_the_top_left_corner_down() {
    let page = page("10 120 m 210 20 l S", "", PLAIN);
    assert_eq!(page.size, (200.0, 100.0));
    let ends = &page.painted[0].runs()[0];
    assert_eq!(
        *ends,
        [Point { x: 0.0, y: 0.0 }, Point { x: 200.0, y: 100.0 }]
    );
    assert_eq!(ends[1].inches(), (200.0 / 72.0, 100.0 / 72.0));
}

#[test]
fn scales_nest_and_are_given_back() {
    let content = "2 w q 3 0 0 3 10 20 cm [1 2] 0 d 0 0 4 5 re S q 2 0 0 2 0 0 cm 0 0 1 1 re f Q Q \
                   10 20 8 9 re B";
    let page = page(content, "", PLAIN);
    let found: Vec<(f64, f64)> = page
        .painted
        .iter()
        .map(|path| (path.bounds().width(), path.bounds().height()))
        .collect();
    assert_eq!(found, [(12.0, 15.0), (6.0, 6.0), (8.0, 9.0)]);
    let stroke = page.painted[0].stroke.as_ref().unwrap();
    assert_eq!(
        (stroke.width, stroke.dash.as_slice()),
        (6.0, &[3.0, 6.0][..])
    );
    assert!(page.painted[1].stroke.is_none() && page.painted[1].fill.is_some());
    let both = &page.painted[2];
    assert!(both.fill.is_some() && both.stroke.as_ref().unwrap().dash.is_empty());
}

#[test]
fn a_nested_drawing_is_followed_and_cut_at_its_box() {
    // A quarter turn inside, doubled outside: (x, y) lands at (-2y, 2x).
    let quarter = [0, 1, -1, 0, 0, 0];
    let content = "/Span<</Alt(A star)>>BDC q 2 0 0 2 100 50 cm /D Do Q EMC 0 0 m 1 1 l S";
    let page = page(content, "0 0 m 6 0 l S 0 0 12 1 re f", quarter);
    let star = page.drawing("A star");
    let [line, bar] = star.as_slice() else {
        panic!("two paths in the star")
    };
    let ends = &line.runs()[0];
    assert_eq!((ends[0].x, ends[0].y), (90.0, 70.0));
    assert_eq!((ends[1].x, ends[1].y), (90.0, 58.0));
    assert!(line.shows_whole());
    assert!(!bar.shows_whole(), "twelve long in a box of ten");
    assert!(page.painted[2].drawing.is_none() && page.painted[2].clip.is_none());
}

#[test]
fn curves_keep_their_controls() {
    let page = page("10 20 m 1 2 3 4 v 5 6 7 8 y 9 9 9 9 20 30 c h S", "", PLAIN);
    let run = &page.painted[0].runs()[0];
    assert_eq!(run.len(), 4, "a start and three ends: {run:?}");
    assert_eq!((run[3].x, run[3].y), (10.0, 90.0));
}

#[test]
fn clips_narrow_and_are_given_back() {
    let content = "q 10 20 50 50 re W n 10 20 60 5 re f 20 30 5 5 re f Q 10 20 60 5 re f";
    let page = page(content, "", PLAIN);
    let shows: Vec<bool> = page
        .painted
        .iter()
        .map(support::Painted::shows_whole)
        .collect();
    assert_eq!(shows, [false, true, true]);
}

#[test]
#[should_panic(expected = "operator sh is not understood")]
fn what_is_not_understood_is_said() {
    page("/S sh", "", PLAIN);
}
