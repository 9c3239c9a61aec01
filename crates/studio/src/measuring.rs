//! What a maker says about a photograph of cloth, and what is then read off it.
//!
//! The marks are points tapped on the picture and a few words beside them; they are kept
//! with the photograph. The measuring itself is the work of `photo`; what it found is held
//! for as long as the marks stay the same.

use std::sync::{Arc, Mutex, PoisonError};

use photo::{Asked, Card, Crop, Kept, Measured, Photo, Rect, Scale};
use quilt::measure::Measure;
use serde_json::{Map, Value, json};

use crate::quilts::Trouble;
use crate::store::Store;

/// Longest length a maker types here, letters.
const LONGEST: usize = 40;

/// What the maker says: points are pixels of the whole picture, x and y in turn.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Marks {
    /// Two points and how far apart they are.
    pub(crate) ruler: Vec<f64>,
    pub(crate) length: String,
    /// Four corners of a rectangle of cloth, clockwise from the upper left, how wide it is
    /// and how high.
    pub(crate) corners: Vec<f64>,
    pub(crate) wide: String,
    pub(crate) high: String,
    /// Two corners of the part that is cloth.
    pub(crate) part: Vec<f64>,
    /// Two corners of a part that shows only a card, and which it is.
    pub(crate) card: Vec<f64>,
    pub(crate) white: bool,
}

impl Marks {
    /// From what the store has or a page sent; what makes no sense is left out.
    pub(crate) fn of(fields: &Map<String, Value>) -> Self {
        let points = |name: &str, many: usize| {
            let text = fields.get(name).and_then(Value::as_str).unwrap_or_default();
            let read: Option<Vec<f64>> = text
                .split_whitespace()
                .map(|part| part.parse::<f64>().ok().filter(|x| x.is_finite()))
                .collect();
            read.filter(|all| all.len() == 2 * many).unwrap_or_default()
        };
        let words = |name: &str| {
            let text = fields.get(name).and_then(Value::as_str).unwrap_or_default();
            text.trim().chars().take(LONGEST).collect::<String>()
        };
        Self {
            ruler: points("ruler", 2),
            length: words("length"),
            corners: points("corners", 4),
            wide: words("wide"),
            high: words("high"),
            part: points("part", 2),
            card: points("card", 2),
            white: words("white") == "white",
        }
    }

    pub(crate) fn read(text: &str) -> Self {
        match serde_json::from_str(text) {
            Ok(Value::Object(fields)) => Self::of(&fields),
            _ => Self::default(),
        }
    }

    pub(crate) fn written(&self) -> String {
        json!({
            "ruler": said(&self.ruler), "length": self.length,
            "corners": said(&self.corners), "wide": self.wide, "high": self.high,
            "part": said(&self.part), "card": said(&self.card),
            "white": if self.white { "white" } else { "grey" },
        })
        .to_string()
    }

    /// The same as the measuring asks for it; lengths without a unit are in `measure`.
    pub(crate) fn asked(&self, measure: Measure) -> Result<Asked, String> {
        let crop = match (self.corners.as_slice(), self.part.as_slice()) {
            ([a, b, c, d, e, f, g, h], _) => {
                Crop::Corners([[*a, *b], [*c, *d], [*e, *f], [*g, *h]])
            }
            (_, [x, y, to_x, to_y]) => Crop::Rect(rect([*x, *y], [*to_x, *to_y])),
            _ => Crop::Whole,
        };
        let long = |text: &str| length(text, measure);
        let scale = match (&crop, self.ruler.as_slice()) {
            (Crop::Corners(_), _) => match (self.wide.as_str(), self.high.as_str()) {
                ("", _) => None,
                (wide, "") => Some(Scale::Width(long(wide)?)),
                (wide, high) => Some(Scale::Size(long(wide)?, long(high)?)),
            },
            (_, [x, y, to_x, to_y]) if !self.length.is_empty() => Some(Scale::Ruler {
                from: [*x, *y],
                to: [*to_x, *to_y],
                inches: long(&self.length)?,
            }),
            _ => None,
        };
        let card = match self.card.as_slice() {
            [x, y, to_x, to_y] => Some(Card {
                area: rect([*x, *y], [*to_x, *to_y]),
                lightness: if self.white { Card::WHITE } else { Card::GREY },
            }),
            _ => None,
        };
        Ok(Asked { crop, scale, card })
    }
}

/// Points as a page holds them: numbers with spaces between them.
pub(crate) fn said(points: &[f64]) -> String {
    let all: Vec<String> = points.iter().map(|x| format!("{x:.0}")).collect();
    all.join(" ")
}

fn rect(from: [f64; 2], to: [f64; 2]) -> Rect {
    let side = |axis: usize| {
        let (low, high) = (from[axis].min(to[axis]), from[axis].max(to[axis]));
        let start = low.clamp(0.0, 1e6).round() as usize;
        (
            start,
            (high.clamp(0.0, 1e6).round() as usize).max(start) - start,
        )
    };
    let ((x, width), (y, height)) = (side(0), side(1));
    Rect {
        x,
        y,
        width,
        height,
    }
}

/// A length as a maker writes it, inches.
fn length(text: &str, measure: Measure) -> Result<f64, String> {
    let wrong = || format!("“{text}” is no length; write it like “6 in” or “15 cm”.");
    let read = planfile::quantity(text).map_err(|_| wrong())?;
    let inches = match read.unit {
        None => measure.inches(&read.value),
        Some(unit) => unit
            .in_inches()
            .map(|inch| &read.value * &inch)
            .ok_or_else(wrong)?,
    };
    Ok(inches.to_f64())
}

/// What was read off a photograph, or why not, in a whole sentence.
pub(crate) type Found = Result<Measured, String>;

/// What was found lately: quilt, photograph, its marks and the measure they were read in.
#[derive(Debug, Default)]
pub(crate) struct Lately(Mutex<Vec<(Key, Arc<Found>)>>);

type Key = (i64, i64, String, bool);

/// So many are held.
const HELD: usize = 64;

impl Lately {
    /// What is read off a photograph with its marks as they stand. Takes up to a second;
    /// whoever asks waits for their turn at unpacking first.
    pub(crate) fn found(
        &self,
        store: &Store,
        id: i64,
        number: i64,
        measure: Measure,
    ) -> Result<Arc<Found>, Trouble> {
        let gone = || Trouble::Deed("That photograph is not there any more.".into());
        let (line, bytes) = store.photo(id, number, false)?.ok_or_else(gone)?;
        let key = (id, number, line.marks, measure == Measure::Inch);
        let held = |all: &[(Key, Arc<Found>)]| {
            let mut all = all.iter();
            all.find(|(known, _)| *known == key)
                .map(|(_, found)| Arc::clone(found))
        };
        if let Some(found) = held(&self.0.lock().unwrap_or_else(PoisonError::into_inner)) {
            return Ok(found);
        }
        let found = Arc::new(look(&bytes, &Marks::read(&key.2), measure));
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= HELD {
            all.remove(0);
        }
        all.push((key, Arc::clone(&found)));
        Ok(found)
    }
}

fn look(bytes: &[u8], marks: &Marks, measure: Measure) -> Found {
    let asked = marks.asked(measure)?;
    let photo = photo::read(bytes).map_err(|fault| format!("This picture: {fault}."))?;
    photo::measure(&photo, &asked).map_err(|fault| format!("This picture: {fault}."))
}

/// The cloth alone, upright and in true light, where the marks say that the picture is not
/// that already.
pub(crate) fn alone(bytes: &[u8], marks: &Marks, measure: Measure) -> Result<Option<Kept>, String> {
    let asked = marks.asked(measure)?;
    if asked.crop == Crop::Whole && asked.card.is_none() {
        return Ok(None);
    }
    let trouble = |why: String| format!("This picture: {why}.");
    let photo = photo::read(bytes).map_err(|fault| trouble(fault.to_string()))?;
    let cut: Photo = photo::swatch(&photo, &asked).map_err(|fault| trouble(fault.to_string()))?;
    photo::packed(cut)
        .map(Some)
        .map_err(|fault| trouble(fault.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_come_back_as_they_were_kept() {
        let text =
            "{\"ruler\":\"10 20 310 20\",\"length\":\"15\",\"card\":\"1 2 3\",\"white\":\"white\"}";
        let marks = Marks::read(text);
        assert_eq!(marks.ruler, [10.0, 20.0, 310.0, 20.0]);
        assert!(marks.card.is_empty() && marks.white);
        assert_eq!(Marks::read(&marks.written()), marks);
        let asked = marks.asked(Measure::Centimetre).unwrap();
        let Some(Scale::Ruler { inches, .. }) = asked.scale else {
            panic!("no ruler");
        };
        assert!((inches - 15.0 / 2.54).abs() < 1e-9);
        assert_eq!(Marks::read("[1]"), Marks::default());
    }

    #[test]
    fn a_length_that_is_none_is_told() {
        let marks = Marks {
            ruler: vec![0.0, 0.0, 100.0, 0.0],
            length: "six".into(),
            ..Marks::default()
        };
        let words = marks.asked(Measure::Inch).unwrap_err();
        assert!(words.contains("“six” is no length"), "{words}");
    }

    #[test]
    fn a_rectangle_may_be_tapped_from_any_corner() {
        let rect = rect([50.0, 10.0], [20.0, 40.0]);
        assert_eq!((rect.x, rect.y, rect.width, rect.height), (20, 10, 30, 30));
    }
}
