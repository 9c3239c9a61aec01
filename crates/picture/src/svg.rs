//! Drawings as SVG (W3C, Scalable Vector Graphics 2), written to be small and the same
//! on every machine.
//!
//! One unit of the view box is a point on the paper, so that every line width and letter
//! height in the file is the one it has in print. Patches that share a cloth and a turn
//! of it are one path, with one pattern: a quilt of thousands of patches needs a few
//! dozen. Coordinates are written to a hundredth of a point (⅓ of a thousandth of an
//! inch… well below what a printer can place).

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::colour::Rgb;
use crate::drawing::{
    Arrow, ClothShape, Dash, Dot, Drawing, Ink, Item, Label, Path, Shape, Stroke,
};
use crate::flat::{self, P};
use crate::letters;
use crate::palette::Palette;
use crate::placing::{Placed, Sheet, placed};
use crate::prints;

/// Writes a drawing so wide on paper, its margin included, as one SVG document.
///
/// The width and height of the document are given in inches; draw it at that width and
/// every line and letter has its true size. A pattern's identifier tells its cloth, turn
/// and size, so several drawings of one plan may stand in one page.
#[must_use]
pub fn svg(drawing: &Drawing, palette: &Palette, width_in: f64) -> String {
    let mut writer = Writer {
        palette,
        sheet: Sheet::of(drawing, width_in),
        body: String::new(),
        patterns: BTreeMap::new(),
        tiles: BTreeMap::new(),
    };
    writer.items(drawing, &placed(drawing, width_in));
    writer.document(drawing, width_in)
}

/// A number to a hundredth, as short as SVG allows.
pub(crate) fn number(x: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "drawings are a few thousand points wide"
    )]
    let hundredths = (x * 100.0).round() as i64;
    let sign = if hundredths < 0 { "-" } else { "" };
    let (whole, part) = (
        hundredths.unsigned_abs() / 100,
        hundredths.unsigned_abs() % 100,
    );
    match (whole, part) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, part) if part % 10 == 0 => format!("{sign}.{}", part / 10),
        (0, part) => format!("{sign}.{part:02}"),
        (whole, part) if part % 10 == 0 => format!("{sign}{whole}.{}", part / 10),
        (whole, part) => format!("{sign}{whole}.{part:02}"),
    }
}

/// Which pattern: cloth, turn in hundredths of a degree, and where it starts, in
/// hundredths of a point.
type Lie = (usize, i64, [i64; 2]);

struct Writer<'a> {
    palette: &'a Palette,
    sheet: Sheet,
    body: String,
    /// Identifiers of the patterns used.
    patterns: BTreeMap<Lie, String>,
    /// One tile a cloth, which its patterns refer to.
    tiles: BTreeMap<usize, f64>,
}

impl Writer<'_> {
    fn document(self, drawing: &Drawing, width_in: f64) -> String {
        let height_in = drawing.height_at(width_in);
        let (w, h) = (number(width_in * 72.0), number(height_in * 72.0));
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}in\" height=\"{}in\" viewBox=\"0 0 {w} {h}\" font-family=\"{}\">",
            decimals(width_in),
            decimals(height_in),
            escaped(&self.palette.font),
        );
        let _ = write!(out, "<title>{}</title>", escaped(&drawing.says));
        let mut defs = self.defs();
        let mut body = self.body;
        if self.palette.blur > 0.0 {
            let by = decimals(self.palette.blur * width_in * 72.0);
            let _ = write!(
                defs,
                "<filter id=\"blur\" filterUnits=\"userSpaceOnUse\" x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\"><feGaussianBlur stdDeviation=\"{by}\"/></filter>"
            );
            body = format!("<g filter=\"url(#blur)\">{body}</g>");
        }
        if !defs.is_empty() {
            let _ = write!(out, "<defs>{defs}</defs>");
        }
        if drawing.clipped {
            let id = format!("edge-{w}-{h}");
            let _ = write!(
                out,
                "<clipPath id=\"{id}\"><path d=\"M0 0H{w}V{h}H0z\"/></clipPath><g clip-path=\"url(#{id})\">{body}</g>",
            );
        } else {
            out.push_str(&body);
        }
        out.push_str("</svg>\n");
        out
    }

    fn defs(&self) -> String {
        let mut out = String::new();
        for (&cloth, &repeat) in &self.tiles {
            let tile = prints::tile(&self.palette.cloth(cloth));
            let _ = write!(
                out,
                "<pattern id=\"{}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" height=\"{}\">",
                tile_name(cloth, repeat),
                tile.width,
                tile.height
            );
            for figure in tile.figures {
                let _ = write!(
                    out,
                    "<path fill=\"{}\" d=\"{}\"/>",
                    figure.colour.hex(),
                    figure.d
                );
            }
            out.push_str("</pattern>");
        }
        for (&(cloth, turn, at), id) in &self.patterns {
            let repeat = self.tiles.get(&cloth).copied().unwrap_or(1.0);
            #[expect(
                clippy::cast_precision_loss,
                reason = "hundredths of points and degrees"
            )]
            let [x, y, turn] = [at[0], at[1], turn].map(|n| n as f64 / 100.0);
            let mut how = String::new();
            if at != [0, 0] {
                let _ = write!(how, "translate({} {})", number(x), number(y));
            }
            if turn != 0.0 {
                let _ = write!(how, "rotate({})", number(turn));
            }
            let _ = write!(
                out,
                "<pattern id=\"{id}\" href=\"#{}\" patternTransform=\"{how}scale({})\"/>",
                tile_name(cloth, repeat),
                decimals(repeat / 100.0)
            );
        }
        out
    }

    fn items(&mut self, drawing: &Drawing, labels: &[Placed]) {
        let mut i = 0;
        while i < drawing.items.len() {
            match &drawing.items[i] {
                Item::Cloth(_) => {
                    let run: Vec<&ClothShape> = drawing.items[i..]
                        .iter()
                        .map_while(|item| {
                            if let Item::Cloth(c) = item {
                                Some(c)
                            } else {
                                None
                            }
                        })
                        .collect();
                    i += run.len() - 1;
                    self.cloth(&run);
                }
                Item::Shape(shape) => self.shape(shape),
                Item::Dot(dot) => self.dot(dot),
                Item::Arrow(arrow) => self.arrow(arrow),
                Item::Label(label) => {
                    if let Some(place) = labels.iter().find(|p| p.item == i) {
                        self.label(label, place);
                    }
                }
            }
            i += 1;
        }
    }

    /// A run of cloth shapes: one path for each cloth and way it lies.
    fn cloth(&mut self, run: &[&ClothShape]) {
        let mut order: Vec<(Lie, String)> = Vec::new();
        let mut at: BTreeMap<Lie, usize> = BTreeMap::new();
        for shape in run {
            let lie = self.lie(shape);
            let index = *at.entry(lie).or_insert_with(|| {
                order.push((lie, String::new()));
                order.len() - 1
            });
            self.ring(&mut order[index].1, &shape.outline, true);
        }
        for (lie, d) in order {
            let cloth = self.palette.cloth(lie.0);
            let drawn = self.repeat(lie.0);
            let ground = if drawn.is_some() {
                cloth.ground
            } else {
                prints::mean(&cloth)
            }
            .hex();
            // The hairline of its own colour closes the gap that renderers leave
            // between shapes that merely touch.
            let _ = write!(
                self.body,
                "<path fill=\"{ground}\" stroke=\"{ground}\" stroke-width=\".2\" d=\"{d}\"/>"
            );
            if let Some(repeat) = drawn {
                self.tiles.insert(lie.0, repeat);
                let id = format!("{}{}", tile_name(lie.0, repeat), lie_name(lie));
                let _ = write!(self.body, "<path fill=\"url(#{id})\" d=\"{d}\"/>");
                self.patterns.insert(lie, id);
            }
        }
    }

    /// Size of the cloth's repeat on the paper, if its print is drawn at all.
    fn repeat(&self, cloth: usize) -> Option<f64> {
        let ink = self.palette.cloth(cloth);
        let drawn = prints::drawn_repeat(ink.print, ink.repeat * self.sheet.scale)?;
        (ink.print != quilt::plan::Print::Plain && ink.ground != ink.figure).then_some(drawn)
    }

    /// How a shape's cloth lies, with turns that look the same made the same.
    fn lie(&self, shape: &ClothShape) -> Lie {
        use quilt::plan::Print;
        if self.repeat(shape.cloth).is_none() {
            return (shape.cloth, 0, [0; 2]);
        }
        let again = match self.palette.cloth(shape.cloth).print {
            Print::Plaid => 9_000,
            Print::Stripe | Print::Dot => 18_000,
            _ => 36_000,
        };
        let at = self.sheet.point(shape.lay.at);
        (
            shape.cloth,
            hundredths(shape.lay.turn).rem_euclid(again),
            at.map(hundredths),
        )
    }

    fn shape(&mut self, shape: &Shape) {
        let mut d = String::new();
        for Path { points, closed } in &shape.paths {
            self.ring(&mut d, points, *closed);
        }
        if d.is_empty() {
            return;
        }
        let fill = shape
            .fill
            .map_or("none".into(), |ink| self.palette.ink(ink).hex());
        let _ = write!(self.body, "<path fill=\"{fill}\"");
        if shape.fill.is_some() && shape.paths.len() > 1 {
            self.body.push_str(" fill-rule=\"evenodd\"");
        }
        if let Some(stroke) = shape.stroke {
            self.stroke(stroke);
        }
        let _ = write!(self.body, " d=\"{d}\"/>");
    }

    fn stroke(&mut self, stroke: Stroke) {
        let width = stroke.width_at(self.sheet.scale / 72.0);
        let colour = self.palette.ink(stroke.ink).hex();
        let _ = write!(
            self.body,
            " stroke=\"{colour}\" stroke-width=\"{}\"",
            number(width)
        );
        let (dash, cap) = match stroke.dash {
            Dash::Solid => ("", ""),
            Dash::Stitches => ("4 2.6", ""),
            Dash::Dots => ("0 2.4", "round"),
            Dash::Fold => ("9 2.4 1 2.4", ""),
        };
        if !dash.is_empty() {
            let _ = write!(self.body, " stroke-dasharray=\"{dash}\"");
        }
        if !cap.is_empty() {
            let _ = write!(self.body, " stroke-linecap=\"{cap}\"");
        }
        self.body.push_str(" stroke-linejoin=\"round\"");
    }

    fn dot(&mut self, dot: &Dot) {
        if dot.fill.is_none() && dot.stroke.is_none() {
            return;
        }
        let [x, y] = self.sheet.point(dot.at).map(number);
        let fill = dot
            .fill
            .map_or("none".into(), |ink| self.palette.ink(ink).hex());
        let _ = write!(
            self.body,
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\" fill=\"{fill}\"",
            number(dot.radius)
        );
        if let Some(stroke) = dot.stroke {
            self.stroke(stroke);
        }
        self.body.push_str("/>");
    }

    fn arrow(&mut self, arrow: &Arrow) {
        let (from, to) = (self.sheet.point(arrow.from), self.sheet.point(arrow.to));
        let along = flat::unit(flat::sub(to, from));
        // An arrow shorter than its heads gets smaller ones.
        let head = arrow
            .head
            .min(flat::length(flat::sub(to, from)) * if arrow.both { 0.45 } else { 0.8 });
        let back = |tip: P, way: f64| flat::sub(tip, flat::scaled(along, way * head));
        let (start, end) = (
            if arrow.both { back(from, -0.8) } else { from },
            back(to, 0.8),
        );
        let mut heads = triangle(to, back(to, 1.0), head * 0.36);
        if arrow.both {
            heads += &triangle(from, back(from, -1.0), head * 0.36);
        }
        let shaft = format!("M{}L{}", pair(start), pair(end));
        let (ink, paper) = (
            self.palette.ink(Ink::Ink).hex(),
            self.palette.ink(Ink::Paper).hex(),
        );
        let _ = write!(
            self.body,
            "<path fill=\"none\" stroke=\"{paper}\" stroke-width=\"2.6\" stroke-linejoin=\"round\" d=\"{shaft}{heads}\"/>\
             <path fill=\"none\" stroke=\"{ink}\" stroke-width=\".9\" d=\"{shaft}\"/>\
             <path fill=\"{ink}\" d=\"{heads}\"/>"
        );
    }

    fn label(&mut self, label: &Label, place: &Placed) {
        if let Some([from, to]) = place.leader {
            let ink = self.palette.ink(Ink::Ink).hex();
            let [x, y] = from.map(number);
            let _ = write!(
                self.body,
                "<path stroke=\"{ink}\" stroke-width=\".5\" d=\"M{}L{}\"/><circle cx=\"{x}\" cy=\"{y}\" r=\"1.1\" fill=\"{ink}\"/>",
                pair(from),
                pair(to)
            );
        }
        if label.plate && place.leader.is_none() {
            self.plate(place);
        }
        let fill = self.palette.ink(label.ink).hex();
        let middle = flat::middle(place.area.low, place.area.high);
        for line in letters::set(label, place.size).0 {
            let at = if label.upwards {
                [middle[0] + line.down, middle[1]]
            } else {
                [middle[0], middle[1] + line.down]
            };
            let (x, y) = (number(at[0]), number(at[1]));
            let _ = write!(
                self.body,
                "<text text-anchor=\"middle\" font-size=\"{}\" fill=\"{fill}\"",
                number(line.size)
            );
            if line.bold {
                self.body.push_str(" font-weight=\"bold\"");
            }
            if label.upwards {
                let _ = write!(self.body, " transform=\"translate({x} {y})rotate(-90)\">");
            } else {
                let _ = write!(self.body, " x=\"{x}\" y=\"{y}\">");
            }
            let _ = write!(self.body, "{}</text>", escaped(line.text));
        }
    }

    fn plate(&mut self, place: &Placed) {
        let area = place.area.grown(0.6);
        let [x, y] = area.low.map(number);
        let [w, h] = flat::sub(area.high, area.low).map(number);
        let paper = self.palette.ink(Ink::Paper).hex();
        let _ = write!(
            self.body,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" rx=\"2\" fill=\"{paper}\"/>"
        );
    }

    /// Adds a path through the points, in steps from one to the next.
    fn ring(&self, d: &mut String, points: &[P], closed: bool) {
        let mut before: Option<[i64; 2]> = None;
        for &p in points {
            let now = self.sheet.point(p).map(hundredths);
            match before {
                None => {
                    let _ = write!(d, "M{}", pair_of(now));
                }
                Some(last) => step(d, [0, 1].map(|i| now[i].saturating_sub(last[i]))),
            }
            before = Some(now);
        }
        if closed && before.is_some() {
            d.push('z');
        }
    }
}

/// One step of a path, along an axis where it can be.
fn step(d: &mut String, [dx, dy]: [i64; 2]) {
    let _ = match (dx, dy) {
        (0, 0) => Ok(()),
        (_, 0) => write!(d, "h{}", short(dx)),
        (0, _) => write!(d, "v{}", short(dy)),
        _ => write!(d, "l{}", pair_of([dx, dy])),
    };
}

fn triangle(tip: P, base: P, half: f64) -> String {
    let side = flat::scaled(flat::quarter(flat::unit(flat::sub(tip, base))), half);
    format!(
        "M{}L{}L{}z",
        pair(tip),
        pair(flat::add(base, side)),
        pair(flat::sub(base, side))
    )
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "drawings are a few thousand points wide"
)]
fn hundredths(x: f64) -> i64 {
    (x * 100.0).round() as i64
}

#[expect(
    clippy::cast_precision_loss,
    reason = "drawings are a few thousand points wide"
)]
fn short(hundredths: i64) -> String {
    number(hundredths as f64 / 100.0)
}

/// Two numbers with no more between them than SVG needs.
fn pair_of([x, y]: [i64; 2]) -> String {
    let gap = if y < 0 { "" } else { " " };
    format!("{}{gap}{}", short(x), short(y))
}

fn pair(p: P) -> String {
    pair_of(p.map(hundredths))
}

/// A length to four decimals, for sizes in inches.
fn decimals(x: f64) -> String {
    let text = format!("{x:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn tile_name(cloth: usize, repeat: f64) -> String {
    format!("cloth{cloth}r{}", hundredths(repeat))
}

fn lie_name((_, turn, at): Lie) -> String {
    format!("t{turn}x{}y{}", at[0], at[1])
}

fn escaped(text: &str) -> String {
    text.chars()
        .fold(String::with_capacity(text.len()), |mut out, c| {
            match c {
                '&' => out.push_str("&amp;"),
                '<' => out.push_str("&lt;"),
                '>' => out.push_str("&gt;"),
                '"' => out.push_str("&quot;"),
                // Control characters have no place in XML.
                c if c.is_control() => out.push(' '),
                c => out.push(c),
            }
            out
        })
}

/// The colour a cloth is drawn in where its print is too fine to show.
#[must_use]
pub fn flat_colour(palette: &Palette, cloth: usize) -> Rgb {
    prints::mean(&palette.cloth(cloth))
}
