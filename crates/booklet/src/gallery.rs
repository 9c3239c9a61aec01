//! The drawings of one booklet: each made at the size it is printed, once.
//!
//! A chapter hangs a drawing and gets back what a template needs to set it: the
//! file, its width and height in inches, and what it shows in words. The same
//! drawing hung twice is one file.
//!
//! **What always holds.** Files are named `picture-1.svg`, `picture-2.svg` … in
//! the order they are hung; see the trap in `engine` about file names.

use std::collections::BTreeMap;

use picture::{Drawing, Palette, Rgb, View, svg, typeset};
use quilt::cloth::Values;
use serde_json::{Value, json};

/// What plates and bare patches are drawn on: the booklet's paper is left white.
const PAPER: Rgb = Rgb([0xff; 3]);

/// The drawings hung so far, and the cloths they are drawn with.
pub(crate) struct Gallery {
    palette: Palette,
    files: BTreeMap<String, Vec<u8>>,
    /// The file of each drawing, by its SVG.
    hung: BTreeMap<String, String>,
}

impl Gallery {
    /// An empty gallery for drawings in these cloths.
    pub(crate) fn new(palette: Palette) -> Self {
        Self {
            palette: palette.on_paper(PAPER),
            files: BTreeMap::new(),
            hung: BTreeMap::new(),
        }
    }

    /// Hangs a drawing so wide on paper, inches, its margin included.
    pub(crate) fn hang(&mut self, drawing: &Drawing, width: f64) -> Value {
        let text = svg(&typeset(drawing), &self.palette, width);
        self.keep(drawing, text, width)
    }

    /// Hangs a drawing seen in another way, as large as a box allows, inches.
    pub(crate) fn hang_seen(
        &mut self,
        drawing: &Drawing,
        (width, height): (f64, f64),
        (view, values): (View, &Values),
    ) -> Value {
        let width = width.min(drawing.width_for_height(height));
        let seen = Drawing {
            says: format!("{} Seen {}.", drawing.says, view.says()),
            ..typeset(drawing)
        };
        let text = svg(&seen, &self.palette.seen(view, values), width);
        self.keep(&seen, text, width)
    }

    fn keep(&mut self, drawing: &Drawing, text: String, width: f64) -> Value {
        let next = format!("picture-{}.svg", self.hung.len() + 1);
        let file = self.hung.entry(text).or_insert_with_key(|text| {
            self.files.insert(next.clone(), text.clone().into_bytes());
            next
        });
        json!({
            "file": file,
            "width": width,
            "height": drawing.height_at(width),
            "alt": drawing.says,
        })
    }

    /// Hangs a drawing as large as a box of this width and height allows, inches.
    pub(crate) fn hang_within(&mut self, drawing: &Drawing, width: f64, height: f64) -> Value {
        self.hang(drawing, width.min(drawing.width_for_height(height)))
    }

    /// Every file, by name.
    pub(crate) fn into_files(self) -> BTreeMap<String, Vec<u8>> {
        self.files
    }
}
