//! How much paper words take.
//!
//! The typeface is chosen by whoever sets the page, so the widths here are an upper
//! estimate over common upright text faces: a label may come out a little narrower than
//! the room kept for it, not wider.

use crate::drawing::Label;

/// Height of a capital in ems; words are centred on half of it.
pub(crate) const CAPITAL: f64 = 0.72;
/// From one line's base to the next, in ems.
pub(crate) const LEADING: f64 = 1.22;

/// Width and height of words set at this size, points; line feeds begin new lines.
pub(crate) fn extent(text: &str, size: f64, bold: bool) -> [f64; 2] {
    let widest = text.lines().map(width).fold(0.0, f64::max);
    let lines = text.lines().count().max(1);
    #[expect(clippy::cast_precision_loss, reason = "a label has a handful of lines")]
    let height = (lines - 1) as f64 * LEADING + 1.0;
    [widest * size * if bold { 1.13 } else { 1.0 }, height * size]
}

/// One line of a label as it is set.
pub(crate) struct Line<'a> {
    pub(crate) text: &'a str,
    pub(crate) size: f64,
    pub(crate) bold: bool,
    /// Of its base, below the middle of the label; points.
    pub(crate) down: f64,
}

/// The lines of a label at this size, and the width and height they take.
pub(crate) fn set(label: &Label, size: f64) -> (Vec<Line<'_>>, [f64; 2]) {
    let small = Label::under_size(size);
    let main = extent(&label.text, size, label.bold);
    let under = if label.under.is_empty() {
        [0.0; 2]
    } else {
        extent(&label.under, small, false)
    };
    let height = main[1] + under[1];
    let mut lines = Vec::new();
    for (text, size, bold, from) in [
        (&label.text, size, label.bold, 0.0),
        (&label.under, small, false, main[1]),
    ] {
        let mut down = from - height / 2.0 + size * (1.0 + CAPITAL) / 2.0;
        for text in text.lines() {
            lines.push(Line {
                text,
                size,
                bold,
                down,
            });
            down += LEADING * size;
        }
    }
    (lines, [main[0].max(under[0]), height])
}

/// Width of one line in ems.
fn width(line: &str) -> f64 {
    line.chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '·' => 0.32,
            '⅛' | '¼' | '⅜' | '½' | '⅝' | '¾' | '⅞' | '⅓' | '⅔' => 0.95,
            'f' | 't' | 'r' | 'I' | '(' | ')' | '/' | '-' | '\u{2009}' => 0.42,
            'm' | 'w' | 'M' | 'W' | '—' => 0.95,
            'A'..='Z' | '×' | '=' | '+' | '&' => 0.74,
            _ => 0.61,
        })
        .sum()
}
