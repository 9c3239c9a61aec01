//! A page that answers: *does this printer print true?*
//!
//! One square, one strip and a table of what a ruler should read on them.
//! Printed before the templates, measured once, and then forgotten.
//!
//! **Units.** Inches; the strip is read in sixteenths. Scales are rounded to
//! the nearest tenth of a percent, the finest step printers offer.
//!
//! **What always holds.** The square measures 72 points and the strip 432, to a
//! hundredth of a point, on either paper.

use std::collections::BTreeMap;
use std::fmt::Write;

use quilt::plan::Paper;
use serde_json::{Value, json};

use crate::engine::{Imprint, SANS, Trouble, typeset};
use crate::pages;
use crate::room::Room;

/// The length of the strip, in whole inches.
const STRIP_INCHES: u32 = 6;

/// White left around the strip's marks in its drawing, in hundredths of an
/// inch: a drawing is cut off at its edge, and half of the end marks with it.
const STRIP_MARGIN: u32 = 10;

/// How high the strip's drawing is, in hundredths of an inch.
const STRIP_HEIGHT: u32 = 55;

/// What home printers that shrink or stretch a page make of the strip, in
/// sixteenths of an inch (common practice: "fit to page" costs 2 to 6 percent).
const READINGS: [u32; 7] = [90, 91, 92, 93, 94, 95, 97];

/// One page with a check square and a ruler strip, as a tagged PDF.
///
/// # Errors
///
/// [`Trouble`] if `imprint` names no day of the calendar.
pub fn check_sheet(paper: Paper, imprint: &Imprint) -> Result<Vec<u8>, Trouble> {
    let files = BTreeMap::from([
        (pages::BASE.0.to_owned(), pages::BASE.1.into()),
        (pages::CHECK_SHEET.0.to_owned(), pages::CHECK_SHEET.1.into()),
        ("data.json".to_owned(), data(paper).to_string().into_bytes()),
        ("strip.svg".to_owned(), strip().into_bytes()),
    ]);
    typeset(pages::CHECK_SHEET.0, files)?.pdf(imprint)
}

fn data(paper: Paper) -> Value {
    let readings: Vec<Value> = READINGS
        .iter()
        .map(|&read| json!({ "reads": sixteenths(read), "scale": scale(read) }))
        .collect();
    json!({
        "title": "Does your printer print true?",
        "lang": "en",
        "paper": Room::of(paper).paper,
        "strip": {
            "width": f64::from(STRIP_INCHES * 100 + 2 * STRIP_MARGIN) / 100.0,
            "height": f64::from(STRIP_HEIGHT) / 100.0,
            "reading": STRIP_INCHES.to_string(),
        },
        "measures": [
            { "what": "The square, across and down", "inches": "1", "millimetres": "25.4" },
            { "what": "The strip, from 0 to the last mark before 5", "inches": "4 7/8", "millimetres": "123.8" },
            { "what": "The strip, from the first mark to the last", "inches": "6", "millimetres": "152.4" },
        ],
        "readings": readings,
    })
}

/// The scale that makes a strip that reads `read` sixteenths read true.
fn scale(read: u32) -> String {
    let tenths = (STRIP_INCHES * 16 * 1000 + read / 2) / read;
    format!("{}.{} %", tenths / 10, tenths % 10)
}

/// A count of sixteenths as a ruler shows it, in lowest terms.
fn sixteenths(count: u32) -> String {
    let (whole, mut top, mut bottom) = (count / 16, count % 16, 16);
    while top != 0 && top % 2 == 0 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    match (whole, top) {
        (whole, 0) => whole.to_string(),
        (0, top) => format!("{top}/{bottom}"),
        (whole, top) => format!("{whole} {top}/{bottom}"),
    }
}

/// The ruler strip as SVG, its own units being hundredths of an inch.
fn strip() -> String {
    let (width, last) = (STRIP_INCHES * 100 + 2 * STRIP_MARGIN, STRIP_INCHES * 8);
    let mut marks = String::new();
    let mut names = String::new();
    for eighth in 0..=last {
        let x = f64::from(eighth) * 12.5;
        let length = match eighth % 8 {
            0 => 26,
            4 => 18,
            2 | 6 => 13,
            _ => 9,
        };
        // Writing to a String cannot fail.
        let _ = write!(marks, "M{x} 0V{length}");
        if eighth % 8 == 0 {
            let _ = write!(names, r#"<text x="{x}" y="40">{}</text>"#, eighth / 8);
        }
    }
    let end = STRIP_INCHES * 100;
    format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{}in" height="{}in" viewBox="-{STRIP_MARGIN} -5 {width} {STRIP_HEIGHT}">
<path d="M0 0H{end}" fill="none" stroke="#23262b" stroke-width="0.9"/>
<path d="{marks}" fill="none" stroke="#23262b" stroke-width="0.7"/>
<g font-family="{SANS}" font-size="11" text-anchor="middle" fill="#23262b">{names}</g>
</svg>"##,
        f64::from(width) / 100.0,
        f64::from(STRIP_HEIGHT) / 100.0,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_and_scales() {
        for (count, reading, percent) in [
            (96, "6", "100.0 %"),
            (97, "6 1/16", "99.0 %"),
            (94, "5 7/8", "102.1 %"),
            (92, "5 3/4", "104.3 %"),
            (90, "5 5/8", "106.7 %"),
            (8, "1/2", "1200.0 %"),
        ] {
            assert_eq!(sixteenths(count), reading);
            assert_eq!(scale(count), percent, "{reading}");
        }
    }
}
