//! Reads a PDF back, so that tests can lay a ruler on what was printed.
//!
//! A small interpreter of page content: it follows the coordinate system
//! through every nested drawing and yields what a page strokes, fills and
//! writes, where it lands on the paper.
//!
//! **Units.** Points (72 to the inch), x right, y *down*, the page's top-left
//! corner at (0, 0). [`Point::inches`] converts.
//!
//! **Does not know** shadings, patterns, soft masks, optional content, pictures
//! made of pixels, or how wide text runs: a [`Word`] tells where its first glyph
//! starts, not where it ends. Clips are kept as the box around them.
//!
//! **What always holds.** An operator it does not know about and that could
//! move or paint something is a panic, never a silent omission.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses the part it needs"
)]

mod matrix;
mod paint;
mod walk;

pub use matrix::{Matrix, Point, Rect};
pub use paint::{Painted, Word};

use lopdf::{Dictionary, Document, Object};

/// One page, as it comes out of the printer.
pub struct Page {
    /// Width and height in points.
    pub size: (f64, f64),
    /// Everything stroked or filled, in drawing order.
    pub painted: Vec<Painted>,
    /// Everything written, in drawing order.
    pub words: Vec<Word>,
}

impl Page {
    /// Everything written, a space between pieces that start apart.
    pub fn text(&self) -> String {
        let mut text = String::new();
        let mut last: Option<&Word> = None;
        for word in &self.words {
            if last.is_some_and(|last| (last.at.y - word.at.y).abs() > 2.0) {
                text.push(' ');
            }
            text.push_str(&word.text);
            last = Some(word);
        }
        text
    }

    /// What is painted inside the drawing whose description starts with `start`.
    pub fn drawing(&self, start: &str) -> Vec<&Painted> {
        self.painted
            .iter()
            .filter(|path| {
                path.drawing
                    .as_ref()
                    .is_some_and(|alt| alt.starts_with(start))
            })
            .collect()
    }

    /// Stroked paths whose box is `width` by `height` points, give or take
    /// `slack`.
    pub fn stroked_boxes(&self, width: f64, height: f64, slack: f64) -> Vec<&Painted> {
        let near = |a: f64, b: f64| (a - b).abs() <= slack;
        self.painted
            .iter()
            .filter(|path| path.stroke.is_some())
            .filter(|path| {
                near(path.bounds().width(), width) && near(path.bounds().height(), height)
            })
            .collect()
    }
}

/// A PDF that has been read.
pub struct Pdf {
    /// The file's own objects, for tests that look at structure.
    pub document: Document,
}

impl Pdf {
    /// Reads `bytes`.
    pub fn read(bytes: &[u8]) -> Self {
        Self {
            document: Document::load_mem(bytes).expect("the bytes are a PDF"),
        }
    }

    /// Every page, walked.
    pub fn pages(&self) -> Vec<Page> {
        self.document
            .page_iter()
            .map(|id| walk::page(&self.document, id))
            .collect()
    }

    /// The document catalog.
    pub fn catalog(&self) -> &Dictionary {
        self.document.catalog().expect("a PDF has a catalog")
    }

    /// Every font dictionary that text refers to, composite fonts at the top.
    pub fn fonts(&self) -> Vec<&Dictionary> {
        self.dictionaries()
            .filter(|dict| dict.has_type(b"Font") && !dict.has(b"CIDSystemInfo"))
            .collect()
    }

    /// Every dictionary that is an object of its own.
    pub fn dictionaries(&self) -> impl Iterator<Item = &Dictionary> {
        self.document
            .objects
            .values()
            .filter_map(|object| match object {
                Object::Dictionary(dict) => Some(dict),
                Object::Stream(stream) => Some(&stream.dict),
                _ => None,
            })
    }

    /// What `key` of `dict` refers to, if it is there.
    pub fn follow<'a>(&'a self, dict: &'a Dictionary, key: &[u8]) -> Option<&'a Object> {
        dict.get_deref(key, &self.document).ok()
    }
}
