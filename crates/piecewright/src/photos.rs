//! Photographs of cloth on the command line: what the maker says about them, and what was
//! read, to read and as JSON.

use std::fmt::Write as _;
use std::path::Path;

use photo::{Asked, Card, Crop, Measured, Rect, Scale};
use quilt::plan::{Direction, Print};
use serde::Serialize;

/// What is said about the pictures, as typed.
#[derive(clap::Args)]
pub(crate) struct Said {
    /// The part that is cloth: its left and upper edge, width and height, pixels
    #[arg(long, value_name = "X,Y,W,H", conflicts_with = "corners")]
    crop: Option<String>,
    /// The corners of a rectangle of cloth seen aslant: upper left, upper right, lower
    /// right, lower left, pixels
    #[arg(long, value_name = "X,Y", num_args = 4)]
    corners: Option<Vec<String>>,
    /// The cloth shown is so wide ("18 in", "45 cm")
    #[arg(long, value_name = "LENGTH", group = "size")]
    wide: Option<String>,
    /// Beside --wide: it is so high
    #[arg(long, value_name = "LENGTH", requires = "wide")]
    high: Option<String>,
    /// Two marks of a ruler and how far apart they are: "120,80,1320,84,6 in"
    #[arg(long, value_name = "X,Y,X,Y,LENGTH", group = "size")]
    ruler: Option<String>,
    /// A rectangle drawn about a coin, and how wide the coin is: "300,200,180,180,0.955 in"
    #[arg(long, value_name = "X,Y,W,H,LENGTH", group = "size")]
    coin: Option<String>,
    /// A part that shows only a grey card (18 %)
    #[arg(long, value_name = "X,Y,W,H", group = "card")]
    grey: Option<String>,
    /// A part that shows only white paper
    #[arg(long, value_name = "X,Y,W,H", group = "card")]
    white: Option<String>,
    /// The lightness L* of the card, where it is known better
    #[arg(long, value_name = "L", requires = "card")]
    lightness: Option<f64>,
}

impl Said {
    /// What the photographs are asked, or what was not understood.
    pub(crate) fn asked(&self) -> Result<Asked, String> {
        let crop = match (&self.crop, &self.corners) {
            (Some(text), _) => Crop::Rect(rect("--crop", text)?),
            (_, Some(corners)) => {
                let mut all = [[0.0; 2]; 4];
                for (place, text) in all.iter_mut().zip(corners) {
                    *place = numbers("--corners", text)?;
                }
                Crop::Corners(all)
            }
            _ => Crop::Whole,
        };
        Ok(Asked {
            crop,
            scale: self.scale()?,
            card: self.card()?,
        })
    }

    fn scale(&self) -> Result<Option<Scale>, String> {
        if let Some(wide) = &self.wide {
            let wide = inches("--wide", wide)?;
            return Ok(Some(match &self.high {
                Some(high) => Scale::Size(wide, inches("--high", high)?),
                None => Scale::Width(wide),
            }));
        }
        if let Some(text) = &self.ruler {
            let ([x, y, to_x, to_y], inches) = placed("--ruler", text)?;
            return Ok(Some(Scale::Ruler {
                from: [x, y],
                to: [to_x, to_y],
                inches,
            }));
        }
        self.coin
            .as_ref()
            .map(|text| {
                let (place, inches) = placed("--coin", text)?;
                let within = whole("--coin", place)?;
                Ok(Scale::Coin { within, inches })
            })
            .transpose()
    }

    fn card(&self) -> Result<Option<Card>, String> {
        let said = match (&self.grey, &self.white) {
            (Some(text), _) => Some(("--grey", text, Card::GREY)),
            (_, Some(text)) => Some(("--white", text, Card::WHITE)),
            _ => None,
        };
        said.map(|(option, text, lightness)| {
            Ok(Card {
                area: rect(option, text)?,
                lightness: self.lightness.unwrap_or(lightness),
            })
        })
        .transpose()
    }
}

fn numbers<const N: usize>(option: &str, text: &str) -> Result<[f64; N], String> {
    let wrong = || format!("{option} takes {N} numbers with commas between them, not “{text}”.");
    let parts: Vec<&str> = text.split(',').collect();
    if parts.len() != N {
        return Err(wrong());
    }
    let mut all = [0.0; N];
    for (number, part) in all.iter_mut().zip(parts) {
        let read: f64 = part.trim().parse().map_err(|_| wrong())?;
        if !read.is_finite() {
            return Err(wrong());
        }
        *number = read;
    }
    Ok(all)
}

fn whole(option: &str, numbers: [f64; 4]) -> Result<Rect, String> {
    let mut parts = [0; 4];
    for (part, number) in parts.iter_mut().zip(numbers) {
        if !(0.0..1e9).contains(&number) {
            return Err(format!("{option} takes pixels from 0, not {number}."));
        }
        *part = number.round() as usize;
    }
    let [x, y, width, height] = parts;
    Ok(Rect {
        x,
        y,
        width,
        height,
    })
}

fn rect(option: &str, text: &str) -> Result<Rect, String> {
    whole(option, numbers(option, text)?)
}

/// Four numbers and a length.
fn placed(option: &str, text: &str) -> Result<([f64; 4], f64), String> {
    let (place, length) = text.rsplit_once(',').ok_or_else(|| {
        format!("{option} takes four numbers and a length with commas between them.")
    })?;
    Ok((numbers(option, place)?, inches(option, length)?))
}

pub(crate) fn inches(option: &str, text: &str) -> Result<f64, String> {
    let wrong = || format!("{option} takes a length like “18 in” or “45 cm”, not “{text}”.");
    let quantity = planfile::quantity(text.trim()).map_err(|_| wrong())?;
    let inches = match quantity.unit {
        None => quantity.value,
        Some(unit) => unit
            .in_inches()
            .map(|one| &quantity.value * &one)
            .ok_or_else(wrong)?,
    };
    Ok(inches.to_f64())
}

/// One photograph that was read.
pub(crate) struct Read<'a> {
    pub(crate) path: &'a Path,
    pub(crate) found: Measured,
}

fn print(print: Print) -> &'static str {
    match print {
        Print::Plain => "plain",
        Print::Stripe => "stripe",
        Print::Plaid => "plaid",
        Print::Dot => "dot",
        Print::Tonal => "tonal",
        Print::Leafy => "leafy",
    }
}

fn direction(direction: Direction) -> &'static str {
    match direction {
        Direction::Free => "free",
        Direction::TwoWay => "two-way",
        Direction::OneWay => "one-way",
    }
}

/// How busy a cloth is in a word: by the change within an eighth of an inch, ΔE; our
/// choice.
fn busy_word(busy: f64) -> &'static str {
    match busy {
        b if b < 4.0 => "calm",
        b if b < 14.0 => "lively",
        _ => "busy",
    }
}

fn sure(sure: f64) -> &'static str {
    match sure {
        s if s < 0.65 => "a guess",
        s if s < 0.85 => "likely",
        _ => "sure",
    }
}

/// Two figures after the point, without noughts at the end.
fn short(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What was read of some photographs, to read.
pub(crate) fn text(all: &[Read]) -> String {
    let mut out = String::new();
    for (place, read) in all.iter().enumerate() {
        if place > 0 {
            out.push('\n');
        }
        one(read, &mut out);
    }
    out
}

// Writing to a String cannot fail.
fn one(read: &Read, out: &mut String) {
    let found = &read.found;
    let _ = writeln!(out, "{}", read.path.display());
    let value = &found.value;
    let kept = if value.absolute { "" } else { " (relative)" };
    let _ = writeln!(
        out,
        "  value      L* {:.1}{kept}; inside the print from {:.0} to {:.0}",
        value.mean, value.low, value.high
    );
    let shades: Vec<String> = found
        .shades
        .iter()
        .map(|shade| format!("{} {:.0} %", hex(shade.colour), shade.share * 100.0))
        .collect();
    let _ = writeln!(out, "  colours    {}", shades.join(", "));
    let _ = writeln!(
        out,
        "  print      {} ({})",
        print(found.print),
        sure(found.print_sure)
    );
    if let Some(figure) = found.figure {
        let scale = figure.inches.map_or_else(
            || {
                format!(
                    "{:.0} pixels; type a width, or name a ruler or coin, for inches",
                    figure.pixels
                )
            },
            |inches| format!("{} in from one figure to the next", short(inches)),
        );
        let _ = writeln!(out, "  scale      {scale}");
    }
    if let Some(busy) = found.busy {
        let word = busy_word(busy);
        let _ = writeln!(out, "  stir       {word} (ΔE {busy:.0} within 1/8 in)");
    }
    if !found.repeat.is_empty() {
        let _ = writeln!(out, "  repeat     {}", repeat_words(found));
    }
    if let Some(rows) = found.rows() {
        let set_over = if rows.offset > 0.0 {
            format!(", every other row set over {} in", short(rows.offset))
        } else {
            String::new()
        };
        let (across, along) = (short(rows.across), short(rows.along));
        let _ = writeln!(
            out,
            "  rows       {across} in across, {along} in down{set_over}"
        );
        let [beside, below] = [WIDTH / rows.across, YARD / rows.along].map(f64::floor);
        let _ = writeln!(
            out,
            "  motifs     about {} in a yard of cloth 40 in wide ({beside} × {below})",
            beside * below
        );
    }
    match found.direction {
        Some(way) => {
            let certain = sure(found.direction_sure);
            let _ = writeln!(out, "  direction  {} ({certain})", direction(way));
        }
        None => {
            let _ = writeln!(out, "  direction  too little of the print shows to tell");
        }
    }
    for note in &found.notes {
        let _ = writeln!(out, "  {note}");
    }
    let _ = writeln!(out, "  In a plan:\n{}", in_a_plan(found));
}

/// The fields of a plan's cloth that follow, ready to be copied.
/// Usable width of most cloth, and a yard, inches.
const WIDTH: f64 = 40.0;
const YARD: f64 = 36.0;

fn in_a_plan(found: &Measured) -> String {
    let mut lines = vec![format!("colour = \"{}\"", hex(found.colour))];
    let apart = |shade: &&photo::Shade| {
        quilt::colour::difference(shade.lab, quilt::colour::lab(found.colour))
    };
    let second = found
        .shades
        .iter()
        .max_by(|a, b| apart(a).total_cmp(&apart(b)));
    if let Some(second) = second.filter(|_| found.print != Print::Plain) {
        lines.push(format!("second = \"{}\"", hex(second.colour)));
    }
    lines.push(format!("print = \"{}\"", print(found.print)));
    if let Some(inches) = found.figure.and_then(|figure| figure.inches) {
        lines.push(format!("scale = \"{} in\"", short(inches)));
    }
    if let Some(way) = found.direction {
        lines.push(format!("direction = \"{}\"", direction(way)));
    }
    if found.value.absolute {
        let [_, a, b] = quilt::colour::lab(found.colour);
        lines.push(format!(
            "measured = {{ lab = [{:.1}, {a:.1}, {b:.1}], spread = {:.1} }}",
            found.value.mean,
            found.value.high - found.value.low
        ));
    }
    if let Some(rows) = found.rows() {
        let offset = if rows.offset > 0.0 {
            format!(", offset = \"{} in\"", short(rows.offset))
        } else {
            String::new()
        };
        lines.push(format!(
            "motif = {{ across = \"{} in\", along = \"{} in\"{offset} }}",
            short(rows.across),
            short(rows.along)
        ));
    }
    lines
        .iter()
        .map(|line| format!("    {line}\n"))
        .collect::<String>()
        .trim_end()
        .to_owned()
}

fn repeat_words(found: &Measured) -> String {
    let steps: Vec<String> = found
        .repeat
        .iter()
        .map(|step| {
            let (unit, [x, y]) = step.inches.map_or(("pixels", step.pixels), |s| ("in", s));
            let length = x.hypot(y);
            match (x.abs() > 0.05 * length, y.abs() > 0.05 * length) {
                (true, false) => format!("{} {unit} across", short(length)),
                (false, true) => format!("{} {unit} down", short(length)),
                _ => {
                    let side = if x < 0.0 { "left" } else { "right" };
                    format!(
                        "{} {unit} aslant ({} {side}, {} down)",
                        short(length),
                        short(x.abs()),
                        short(y)
                    )
                }
            }
        })
        .collect();
    steps.join(", ")
}

fn hex(colour: quilt::plan::Colour) -> String {
    format!("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue)
}

#[derive(Serialize)]
struct Report {
    photos: Vec<OnePhoto>,
}

#[derive(Serialize)]
struct OnePhoto {
    file: String,
    pixels_per_inch: Option<f64>,
    size: Option<[f64; 2]>,
    value: OneValue,
    colour: String,
    colours: Vec<OneShade>,
    print: &'static str,
    print_sure: f64,
    scale: Option<f64>,
    scale_pixels: Option<f64>,
    busy: Option<f64>,
    repeat: Option<Vec<[f64; 2]>>,
    repeat_pixels: Vec<[f64; 2]>,
    rows: Option<OneRows>,
    direction: Option<&'static str>,
    direction_sure: f64,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct OneRows {
    across: f64,
    along: f64,
    offset: f64,
}

#[derive(Serialize)]
struct OneValue {
    lightness: f64,
    low: f64,
    high: f64,
    absolute: bool,
}

#[derive(Serialize)]
struct OneShade {
    colour: String,
    lab: [f64; 3],
    share: f64,
}

/// The same as one JSON object.
///
/// # Errors
///
/// What the writer says; there is no case known.
pub(crate) fn json(all: &[Read]) -> Result<String, serde_json::Error> {
    let photos = all.iter().map(one_photo).collect();
    serde_json::to_string_pretty(&Report { photos }).map(|text| text + "\n")
}

fn one_photo(read: &Read) -> OnePhoto {
    let found = &read.found;
    let shades = found.shades.iter();
    OnePhoto {
        file: read.path.display().to_string(),
        pixels_per_inch: found.per_inch,
        size: found.size,
        value: OneValue {
            lightness: found.value.mean,
            low: found.value.low,
            high: found.value.high,
            absolute: found.value.absolute,
        },
        colour: hex(found.colour),
        colours: shades
            .map(|shade| OneShade {
                colour: hex(shade.colour),
                lab: shade.lab,
                share: shade.share,
            })
            .collect(),
        print: print(found.print),
        print_sure: found.print_sure,
        scale: found.figure.and_then(|figure| figure.inches),
        scale_pixels: found.figure.map(|figure| figure.pixels),
        busy: found.busy,
        repeat: found.repeat.iter().map(|step| step.inches).collect(),
        repeat_pixels: found.repeat.iter().map(|step| step.pixels).collect(),
        rows: found.rows().map(|rows| OneRows {
            across: rows.across,
            along: rows.along,
            offset: rows.offset,
        }),
        direction: found.direction.map(direction),
        direction_sure: found.direction_sure,
        notes: found.notes.clone(),
    }
}
