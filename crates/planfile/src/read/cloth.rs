//! The cloths: `[cloth.key]`.
//!
//! **Units.** Scale and width are exact inches.

use geometry::Surd;
use quilt::plan::{Cloth, Colour, Direction, Motif, Print, Value};

use super::{record, supply};
use crate::defaults;
use crate::desk::{Desk, Field, Limits, Section};

/// Most cloths in a plan.
const MOST: usize = 1000;

const FIELDS: [&str; 19] = [
    "name",
    "colour",
    "second",
    "print",
    "scale",
    "direction",
    "width",
    "value",
    "motif",
    "owned",
    "sold",
    "price",
    "widths",
    "photo",
    "shows",
    "shop",
    "washed",
    "tags",
    "measured",
];

pub(crate) const PRINTS: [(&str, Print); 6] = [
    ("plain", Print::Plain),
    ("stripe", Print::Stripe),
    ("plaid", Print::Plaid),
    ("dot", Print::Dot),
    ("tonal", Print::Tonal),
    ("leafy", Print::Leafy),
];

pub(crate) const DIRECTIONS: [(&str, Direction); 3] = [
    ("free", Direction::Free),
    ("two-way", Direction::TwoWay),
    ("one-way", Direction::OneWay),
];

pub(crate) const VALUES: [(&str, Value); 3] = [
    ("dark", Value::Dark),
    ("medium", Value::Medium),
    ("light", Value::Light),
];

/// Reads all cloths, and tells the desk their keys so that others can name them.
pub(super) fn cloths(desk: &mut Desk, root: &Section, usual: &Surd) -> Option<Vec<Cloth>> {
    let mend = "A cloth begins with a heading: [cloth.navy].";
    let all = root.get("cloth");
    let fields = match &all {
        None => Vec::new(),
        Some(field) => desk.section(field, mend)?.fields(),
    };
    if fields.is_empty() {
        desk.absent("cloth", root.span.clone(), "The plan has no cloth.", mend);
        return None;
    }
    if fields.len() > MOST {
        let text = format!("There are more than {MOST} cloths.");
        return desk.fault(all.as_ref()?, text, "Take out those that are not used.");
    }
    desk.cloths = fields.iter().map(|(key, _)| (*key).to_owned()).collect();
    let read: Vec<Option<Cloth>> = fields
        .iter()
        .map(|(key, field)| cloth(desk, key, field, usual))
        .collect();
    read.into_iter().collect()
}

fn cloth(desk: &mut Desk, key: &str, field: &Field, usual: &Surd) -> Option<Cloth> {
    let key = desk.good_key(field, key, "The short name of this cloth");
    let section = desk.section(field, "Give the cloth its own heading: [cloth.navy].")?;
    desk.only(&section, &FIELDS);
    let unit = desk.measure;
    let name = desk.maybe(&section, "name", |d, f| d.name(f, "The cloth's name"));
    let colour = desk
        .need(
            &section,
            "colour",
            "Give its colour as six figures: colour = \"#1b2a3a\".",
        )
        .and_then(|f| colour(desk, &f));
    let second = desk.maybe(&section, "second", self::colour);
    let print = desk.or(&section, "print", Print::Plain, |d, f| d.choice(f, &PRINTS));
    let scale = desk.or(&section, "scale", defaults::scale(unit), |d, f| {
        d.length(f, &Limits::above_nought(60))
    });
    let direction = desk.maybe(&section, "direction", |d, f| d.choice(f, &DIRECTIONS));
    let width = desk.or(&section, "width", usual.clone(), |d, f| {
        d.length(f, &Limits::above_nought(200))
    });
    let value = desk.maybe(&section, "value", |d, f| d.choice(f, &VALUES));
    let motif = desk.maybe(&section, "motif", self::motif);
    let supply = supply::supply(desk, &section);
    let record = record::record(desk, &section);
    let (key, colour, print) = (key?, colour?, print?);
    Some(Cloth {
        name: name?.unwrap_or_else(|| key.clone()),
        key,
        colour,
        second: second?.unwrap_or_else(|| mate(colour, print)),
        print,
        scale: scale?,
        direction: direction?.unwrap_or_else(|| defaults::direction(print)),
        width: width?,
        value: value?,
        motif: motif?,
        supply: supply?,
        record: record?,
    })
}

/// How far apart the motifs lie, and where one of them does.
fn motif(desk: &mut Desk, field: &Field) -> Option<Motif> {
    let mend = "Write both distances: motif = { across = \"4\", along = \"6\" }.";
    let section = desk.section(field, mend)?;
    desk.only(
        &section,
        &["across", "along", "offset", "from_edge", "from_end"],
    );
    let across = desk.need(&section, "across", mend);
    let across = across.and_then(|f| apart(desk, &f));
    let along = desk.need(&section, "along", mend);
    let along = along.and_then(|f| apart(desk, &f));
    let from = Limits::from_nought(60);
    let offset = desk.or(&section, "offset", Surd::ZERO, |d, f| d.length(f, &from));
    let from_edge = desk.maybe(&section, "from_edge", |d, f| d.length(f, &from));
    let from_end = desk.maybe(&section, "from_end", |d, f| d.length(f, &from));
    Some(Motif {
        across: across?,
        along: along?,
        offset: offset?,
        from_edge: from_edge?,
        from_end: from_end?,
    })
}

/// How far one motif lies from the next.
fn apart(desk: &mut Desk, field: &Field) -> Option<Surd> {
    let length = desk.length(field, &Limits::above_nought(60))?;
    if length < Surd::ratio(1, 4) {
        let text = "Motifs so close cannot be told apart at the table.";
        let mend = "Measure from the middle of one motif to the middle of the next; a quarter inch or more.";
        return desk.fault(field, text, mend);
    }
    Some(length)
}

/// A colour as six hexadecimal figures.
fn colour(desk: &mut Desk, field: &Field) -> Option<Colour> {
    let text = desk.text(field)?.trim();
    let figures = text
        .strip_prefix('#')
        .filter(|f| f.len() == 6 && f.is_ascii());
    let part = |from: usize| {
        let two = figures?.get(from..from + 2)?;
        // `from_str_radix` would let a sign pass.
        let fits = two.bytes().all(|b| b.is_ascii_hexdigit());
        fits.then(|| u8::from_str_radix(two, 16).ok()).flatten()
    };
    match (part(0), part(2), part(4)) {
        (Some(red), Some(green), Some(blue)) => Some(Colour { red, green, blue }),
        _ => {
            let mend = "Write # and six figures from 0 to 9 and a to f, two each for red, green \
                        and blue: \"#1b2a3a\".";
            desk.fault(field, "This is no colour.", mend)
        }
    }
}

/// The colour a print's figure has when the maker gives none: the ground mixed with a
/// quarter of black if it is light, or of white if it is dark; for a plain cloth the
/// ground itself. Worked in whole numbers, so that it is the same everywhere.
pub(crate) fn mate(colour: Colour, print: Print) -> Colour {
    if print == Print::Plain {
        return colour;
    }
    let Colour { red, green, blue } = colour;
    // Rec. 709 weights in thousandths, on the coded values: good enough to tell light
    // from dark.
    let light = u32::from(red) * 213 + u32::from(green) * 715 + u32::from(blue) * 72;
    let towards: u16 = if light >= 128_000 { 0 } else { 255 };
    let mix = |c: u8| u8::try_from((u16::from(c) * 3 + towards + 2) / 4).unwrap_or(u8::MAX);
    Colour {
        red: mix(red),
        green: mix(green),
        blue: mix(blue),
    }
}
