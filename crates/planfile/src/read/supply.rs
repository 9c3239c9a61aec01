//! What the maker owns of a cloth, and how more of it is sold.
//!
//! ```text
//!   owned  = [count] word [size] | size | length
//!   word   = fat quarter | fat eighth | strips | squares | pieces
//!   widths = width [at price]
//! ```
//!
//! **Units.** Sizes are exact inches, prices are what the maker writes for a yard (a metre
//! where the file is in centimetres).
//!
//! # Sources
//!
//! A fat quarter of 18 × 21 in and a fat eighth of 9 × 21 in: What Are Fat Quarters and Fat
//! Eighths? (All People Quilt). 50 × 55 cm: How to plan a cot sized quilt using metric maths.
//! 5 in squares: Precuts to Yardage, Yardage to Precuts (Annie's). 2 1/2 in strips: Quilt Quest
//! (University of Nebraska-Lincoln Extension). 25 × 55 cm: half of the quarter.

use std::ops::Range;

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::{Owned, OwnedKind, SoldWidth, Supply};

use crate::desk::{Desk, Field, Limits, Section};
use crate::number;

/// Most entries of one cloth's list.
const MOST: usize = 60;

/// Most equal pieces.
const MOST_ALIKE: u32 = 200;

/// Most that a yard may cost, in any money.
const DEAREST: i64 = 100_000;

/// What pieces are called, longest words first so that none is cut short.
const WORDS: [(&str, OwnedKind); 12] = [
    ("fat quarters", OwnedKind::FatQuarter),
    ("fat quarter", OwnedKind::FatQuarter),
    ("fat eighths", OwnedKind::FatEighth),
    ("fat eighth", OwnedKind::FatEighth),
    ("strips", OwnedKind::Strips),
    ("strip", OwnedKind::Strips),
    ("squares", OwnedKind::Squares),
    ("square", OwnedKind::Squares),
    ("pieces", OwnedKind::Piece),
    ("piece", OwnedKind::Piece),
    ("lengths", OwnedKind::Length),
    ("length", OwnedKind::Length),
];

/// The size such a piece has if none is given: across and along the cloth, inches. Across
/// is `None` for the width of the cloth; the whole is `None` where a size must be given.
pub(crate) fn usual_size(measure: Measure, kind: OwnedKind) -> Option<(Option<Surd>, Surd)> {
    let cm = measure == Measure::Centimetre;
    let fat = |inches: i64, centimetres: i64| {
        let n = if cm { centimetres } else { inches };
        measure.inches(&Surd::int(n))
    };
    match kind {
        OwnedKind::FatQuarter => Some((Some(fat(21, 55)), fat(18, 50))),
        OwnedKind::FatEighth => Some((Some(fat(21, 55)), fat(9, 25))),
        // Precuts are made in inches everywhere.
        OwnedKind::Strips => Some((None, Surd::ratio(5, 2))),
        OwnedKind::Squares => Some((Some(Surd::int(5)), Surd::int(5))),
        OwnedKind::Length | OwnedKind::Piece => None,
    }
}

/// Reads the fields of a cloth that tell what there is of it.
pub(super) fn supply(desk: &mut Desk, section: &Section) -> Option<Supply> {
    let owned = desk.or(section, "owned", Vec::new(), |d, f| {
        let entries = d.list(f);
        if entries.len() > MOST {
            let text = format!("There are more than {MOST} entries.");
            return d.fault(f, text, "Put equal pieces together: \"6 strips 2 1/2\".");
        }
        let read: Vec<Option<Owned>> = entries.iter().map(|entry| owned(d, entry)).collect();
        read.into_iter().collect()
    });
    let sold = desk.or(section, "sold", true, Desk::flag);
    let price = desk.maybe(section, "price", |d, f| {
        let quantity = d.quantity(f)?;
        let free = quantity.unit.is_none();
        price(d, f, free.then_some(quantity.value))
    });
    let widths = desk.or(section, "widths", Vec::new(), |d, f| {
        let entries = d.list(f);
        let read: Vec<Option<SoldWidth>> = entries.iter().map(|entry| width(d, entry)).collect();
        read.into_iter().collect()
    });
    Some(Supply {
        owned: owned?,
        sold: sold?,
        price: price?,
        widths: widths?,
    })
}

/// A price that may be one.
fn price(desk: &mut Desk, field: &Field, price: Option<Surd>) -> Option<Surd> {
    let most = Surd::int(DEAREST);
    match price.filter(|p| !p.sign().is_lt() && *p <= most && p.is_rational()) {
        Some(price) => Some(price),
        None => {
            let mend = "Write what a yard or a metre costs, without the money's sign: 12.50.";
            desk.fault(field, "This is no price.", mend)
        }
    }
}

/// `58`, or `58 at 14.50`.
fn width(desk: &mut Desk, field: &Field) -> Option<SoldWidth> {
    let halves = field.as_str().and_then(|text| text.split_once(" at "));
    let limits = Limits::above_nought(200);
    let Some((size, cost)) = halves else {
        let width = desk.length(field, &limits)?;
        return Some(SoldWidth { width, price: None });
    };
    let width = part(desk, field, size, 0, &limits);
    let start = size.len() + " at ".len();
    let cost = match number::quantity(cost) {
        Ok(cost) => {
            let value = cost.unit.is_none().then_some(cost.value);
            price(desk, field, value)
        }
        Err(fault) => {
            desk.bad_number(field, start, &fault);
            None
        }
    };
    let price = Some(cost?);
    Some(SoldWidth {
        width: width?,
        price,
    })
}

/// A length that is a part of a field's text, beginning at this byte of it.
fn part(desk: &mut Desk, field: &Field, text: &str, start: usize, limits: &Limits) -> Option<Surd> {
    match number::quantity(text) {
        Ok(quantity) => desk.length_of(field, &quantity, limits),
        Err(fault) => {
            desk.bad_number(field, start, &fault);
            None
        }
    }
}

/// Where the word for the pieces stands in a text, and what it means.
fn word(text: &str) -> Option<(Range<usize>, OwnedKind)> {
    let lower = text.to_ascii_lowercase();
    let mut found = WORDS.iter().filter_map(|&(word, kind)| {
        let at = lower.find(word)?;
        Some((at..at + word.len(), kind))
    });
    found.next()
}

/// `1/2 yd`, `fat quarter`, `9 x 14`, `6 strips 2 1/2`.
fn owned(desk: &mut Desk, field: &Field) -> Option<Owned> {
    let text = field.as_str().unwrap_or("");
    let Some((at, kind)) = word(text) else {
        if text.trim_start().starts_with(char::is_alphabetic) {
            let told = "This is no piece of cloth that is known here.";
            let mend = "Write a length (1/2 yd), a size (9 x 14), or one of fat quarter, fat eighth, strips, squares, pieces, lengths.";
            return desk.fault(field, told, mend);
        }
        return sizes(desk, field, OwnedKind::Piece);
    };
    let count = match text[..at.start].trim() {
        "" => Some(1),
        count => match count.parse::<u32>() {
            Ok(count) if (1..=MOST_ALIKE).contains(&count) => Some(count),
            _ => {
                let text = format!("“{count}” pieces cannot be.");
                let mend = format!(
                    "Write a whole number up to {MOST_ALIKE} before the word: \"6 strips 2 1/2\"."
                );
                desk.fault(field, text, mend)
            }
        },
    };
    let rest = &text[at.end..];
    let owned = match (rest.trim(), usual_size(desk.measure, kind)) {
        ("", Some((across, along))) => Some(Owned {
            kind,
            count: 1,
            across,
            along,
        }),
        ("", None) => desk.fault(
            field,
            "The size of the pieces is missing.",
            "Write it behind the word: \"2 pieces 9 x 14\".",
        ),
        _ => size(desk, field, kind, rest, at.end),
    };
    let count = count?;
    Some(Owned { count, ..owned? })
}

/// A field that is a size or a length.
fn sizes(desk: &mut Desk, field: &Field, kind: OwnedKind) -> Option<Owned> {
    match field.as_str() {
        Some(text) => size(desk, field, kind, text, 0),
        None => {
            let along = desk.length(field, &Limits::above_nought(4000))?;
            Some(length(along))
        }
    }
}

fn length(along: Surd) -> Owned {
    Owned {
        kind: OwnedKind::Length,
        count: 1,
        across: None,
        along,
    }
}

/// The size in a part of a field's text that begins at this byte.
fn size(
    desk: &mut Desk,
    field: &Field,
    kind: OwnedKind,
    text: &str,
    start: usize,
) -> Option<Owned> {
    let limits = Limits::above_nought(4000);
    let halves = text
        .split_once(['x', 'X', '×'])
        .or_else(|| text.split_once(" by "));
    let owned = |across: Option<Surd>, along: Surd| Owned {
        kind,
        count: 1,
        across,
        along,
    };
    let Some((first, second)) = halves else {
        let side = part(desk, field, text, start, &limits)?;
        return match kind {
            OwnedKind::Squares => Some(owned(Some(side.clone()), side)),
            OwnedKind::Strips => Some(owned(None, side)),
            OwnedKind::Piece | OwnedKind::Length => Some(length(side)),
            _ => desk.fault(
                field,
                "One side of the piece is missing.",
                "Write both: \"fat quarter 18 x 21\".",
            ),
        };
    };
    let behind = start + text.len() - second.len();
    let (first, second) = units(desk, field, [(first, start), (second, behind)], &limits)?;
    Some(match kind {
        // However it is written: its short side runs along the selvage, as it is cut.
        OwnedKind::FatQuarter | OwnedKind::FatEighth if first < second => {
            owned(Some(second), first)
        }
        // Strips and squares: how wide the strip is comes first.
        OwnedKind::Strips => owned(Some(second), first),
        OwnedKind::Length => Owned {
            kind: OwnedKind::Piece,
            ..owned(Some(first), second)
        },
        _ => owned(Some(first), second),
    })
}

/// Two sides; a unit behind the second holds for both.
fn units(
    desk: &mut Desk,
    field: &Field,
    sides: [(&str, usize); 2],
    limits: &Limits,
) -> Option<(Surd, Surd)> {
    let [first, second] = sides.map(|(text, start)| match number::quantity(text) {
        Ok(quantity) => Some(quantity),
        Err(fault) => {
            desk.bad_number(field, start, &fault);
            None
        }
    });
    let (mut first, second) = (first?, second?);
    first.unit = first.unit.or(second.unit);
    let first = desk.length_of(field, &first, limits);
    let second = desk.length_of(field, &second, limits);
    Some((first?, second?))
}
