//! The drawings of one booklet: each made at the size it is printed, once.
//!
//! A chapter hangs a drawing and gets back what a template needs to set it: the
//! file, its width and height in inches, and what it shows in words. The same
//! drawing hung twice is one file.
//!
//! **What always holds.** Files are named `picture-1.svg`, `picture-2.svg` … in
//! the order they are hung; see the trap in `engine` about file names.

use std::collections::BTreeMap;

use picture::{Drawing, Item, Palette, Rgb, View, svg};
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
        let text = svg(&with_fractions(drawing), &self.palette, width);
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
            ..with_fractions(drawing)
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

/// The drawing with the fractions of its labels as one sign each: `2 5/8` becomes `2⅝`.
fn with_fractions(drawing: &Drawing) -> Drawing {
    let mut drawing = drawing.clone();
    for item in &mut drawing.items {
        if let Item::Label(label) = item {
            label.text = fractions(&label.text);
            label.under = fractions(&label.under);
        }
    }
    drawing
}

fn fractions(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for (i, word) in words.split(' ').enumerate() {
        let sign = fraction(word);
        // The whole number before a fraction stands close to it.
        let joins = sign.is_some() && out.ends_with(|c: char| c.is_ascii_digit());
        if i > 0 && !joins {
            out.push(' ');
        }
        out.push_str(sign.as_deref().unwrap_or(word));
    }
    out
}

/// `5/8` as one sign, or as raised and lowered figures where there is none.
fn fraction(word: &str) -> Option<String> {
    let (top, bottom) = word.split_once('/')?;
    let digits = |s: &str| !s.is_empty() && s.chars().all(|c| c.is_ascii_digit());
    if !digits(top) || !digits(bottom) {
        return None;
    }
    let sign = match (top, bottom) {
        ("1", "2") => "½",
        ("1", "4") => "¼",
        ("3", "4") => "¾",
        ("1", "8") => "⅛",
        ("3", "8") => "⅜",
        ("5", "8") => "⅝",
        ("7", "8") => "⅞",
        ("1", "3") => "⅓",
        ("2", "3") => "⅔",
        _ => {
            let set = |digits: &str, from: &[char; 10]| -> String {
                digits
                    .bytes()
                    .map(|d| from[usize::from(d - b'0')])
                    .collect()
            };
            return Some(format!(
                "{}\u{2044}{}",
                set(top, &RAISED),
                set(bottom, &LOWERED)
            ));
        }
    };
    Some(sign.to_owned())
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
const LOWERED: [char; 10] = ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉'];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_in_labels_are_one_sign() {
        for (plain, set) in [
            ("2 5/8", "2⅝"),
            ("6 × 4 1/2 in", "6 × 4½ in"),
            ("3/16", "³⁄₁₆"),
            ("15 15/16 in", "15¹⁵⁄₁₆ in"),
            ("FS A", "FS A"),
            ("and/or 1/ /2", "and/or 1/ /2"),
        ] {
            assert_eq!(fractions(plain), set);
        }
    }
}
