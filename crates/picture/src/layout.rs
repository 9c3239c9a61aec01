//! The cutting of one cloth, to scale: strips, cuts and lettered pieces, what is left.
//!
//! ```text
//!           ┆        fold         ┆
//!    3 at   ┆┌───┬───┬───┬───┬─╱╱╱┆     strips of one kind are drawn once, with their
//!    2 7/8  ┆│A╱A│A╱A│A╱A│A╱A│╱╱╱╱┆     number and height beside them
//!           ┆└───┴───┴───┴───┴╱╱╱╱┆     hatched: not used
//! ```

use std::collections::{BTreeMap, BTreeSet};

use quilt::cutting::{ClothCutting, Laid, Method, Strip, Use, use_name};
use quilt::plan::{BlockId, Plan};
use quilt::results::Blocks;
use quilt::setting::PartKind;

use crate::drawing::{Anchor, Dash, Drawing, Ink, Label, Path, Room, Shape, Stroke};
use crate::flat::{self, P};
use crate::quilt::{block_marks, rectangle};

/// Width of the drawn selvage, as a share of the cloth's width.
const SELVAGE: f64 = 0.016;
/// Width kept on the left for numbers and heights, as a share of the cloth's width.
const NUMBERS: f64 = 0.19;

/// Strips that are drawn once for all of their kind.
struct Band<'a> {
    strip: &'a Strip,
    count: usize,
    /// Where the first of them begins on the cloth, inches.
    from: f64,
    /// Where it is drawn, inches down.
    at: f64,
    height: f64,
}

/// How one cloth is cut, to scale. Strips that are cut alike are drawn once, with their
/// number, height and the length they take beside them.
#[must_use]
pub fn cloth_layout(plan: &Plan, blocks: &Blocks, cutting: &ClothCutting) -> Drawing {
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let (bands, length) = bands(plan, cutting);
    let width = inches(cutting.width);
    let rest = plan_rest(plan, cutting).clamp(0.02 * width, 0.12 * width);
    let left = (NUMBERS + SELVAGE) * width;
    let name = &plan.cloth(cutting.cloth).name;
    let says = format!(
        "Cutting “{name}”: {} strips over {} of cloth.",
        cutting.strips.len(),
        plan.measure.say(&plan.ruler.length(cutting.needs))
    );
    let mut drawing = Drawing::new(says, left + width + SELVAGE * width, length + rest)
        .with_margin([15.0, 16.0, 3.0, 2.0]);
    let at = |p: P| [left + p[0], p[1]];
    ground(&mut drawing, at, width, length, rest);
    for band in &bands {
        band_lines(&mut drawing, plan, band, at, inches);
    }
    let names = Names {
        blocks,
        cutting,
        marks: block_marks(plan),
    };
    for (piece, shift) in shown(cutting, &bands) {
        draw_piece(&mut drawing, piece, &names, |p| {
            at(flat::sub(p, [0.0, shift]))
        });
    }
    drawing
}

/// Cloth bought beyond what the strips take, inches.
fn plan_rest(plan: &Plan, cutting: &ClothCutting) -> f64 {
    cutting.buy.to_f64() - plan.ruler.length(cutting.needs).to_f64()
}

/// The strips, like ones below each other taken together, and the length they are drawn on.
fn bands<'a>(plan: &Plan, cutting: &'a ClothCutting) -> (Vec<Band<'a>>, f64) {
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    // Beside strips cut along the selvage others lie, so there nothing is left out.
    let free = cutting
        .strips
        .iter()
        .filter(|s| s.lengthwise)
        .map(|s| s.y + s.height)
        .max()
        .unwrap_or(0);
    let mut bands: Vec<Band> = Vec::new();
    let mut saved = 0.0;
    let mut end = 0.0_f64;
    for strip in &cutting.strips {
        if strip.y >= free
            && let Some(band) = bands.last_mut()
            && band.strip.y >= free
            && alike(band.strip, strip)
        {
            band.count += 1;
            saved += inches(strip.height);
            continue;
        }
        let (from, height) = (inches(strip.y), inches(strip.height));
        end = end.max(from - saved + height);
        bands.push(Band {
            strip,
            count: 1,
            from,
            at: from - saved,
            height,
        });
    }
    (bands, end)
}

fn alike(a: &Strip, b: &Strip) -> bool {
    (a.x, a.height, a.width, a.lengthwise, &a.slabs)
        == (b.x, b.height, b.width, b.lengthwise, &b.slabs)
}

/// The pieces of the strips that are drawn, each with how far up it is moved.
fn shown<'a>(cutting: &'a ClothCutting, bands: &[Band]) -> Vec<(&'a Laid, f64)> {
    let mut all = Vec::new();
    for piece in &cutting.pieces {
        let [low, high] = flat::bounds(&piece.outline);
        let middle = flat::middle(low, high);
        // A piece lies in the strip that holds its middle; lengthwise strips are as long
        // as their pieces.
        let band = bands
            .iter()
            .find(|b| (b.from..b.from + b.height).contains(&middle[1]));
        if let Some(band) = band {
            all.push((piece, band.from - band.at));
        }
    }
    all
}

/// Hatched cloth between its selvages, with the fold marked.
fn ground(drawing: &mut Drawing, at: impl Fn(P) -> P, width: f64, length: f64, rest: f64) {
    let down = length + rest;
    let hatch = hatching(width, down, width / 34.0);
    let hatch = hatch
        .into_iter()
        .map(|[a, b]| Path::line(at(a), at(b)))
        .collect();
    drawing.push(Shape::drawn(hatch, Stroke::new(Ink::Pale, 0.35)));
    let edge = SELVAGE * width;
    for x in [-edge, width] {
        let band = rectangle(at([x, 0.0]), at([x + edge, down]));
        drawing.push(Shape {
            paths: vec![Path::ring(band)],
            fill: Some(Ink::Tint),
            stroke: Some(Stroke::new(Ink::Quiet, 0.4)),
        });
        let middle = x + edge / 2.0;
        let dots = vec![Path::line(at([middle, 0.0]), at([middle, down]))];
        drawing.push(Shape::drawn(
            dots,
            Stroke::new(Ink::Quiet, 0.8).dashed(Dash::Dots),
        ));
    }
    let ends = vec![
        Path::line(at([0.0, 0.0]), at([width, 0.0])),
        Path::line(at([0.0, down]), at([width, down])),
    ];
    drawing.push(Shape::drawn(ends, Stroke::new(Ink::Ink, 0.8)));
    let fold = vec![Path::line(at([width / 2.0, 0.0]), at([width / 2.0, down]))];
    drawing.push(Shape::drawn(
        fold,
        Stroke::new(Ink::Quiet, 0.7).dashed(Dash::Fold),
    ));
    drawing
        .push(Label::new("fold", at([width / 2.0, 0.0]), 7.0).shifted([0.0, -8.0], Anchor::Middle));
    let mut selvage = Label::new("selvage", at([width + edge, down / 2.0]), 7.0)
        .shifted([8.0, 0.0], Anchor::Middle);
    selvage.upwards = true;
    drawing.push(selvage);
}

/// Lines rising to the right over a rectangle, so far apart along its sides.
fn hatching(width: f64, height: f64, step: f64) -> Vec<[P; 2]> {
    let mut lines = Vec::new();
    let mut sum = step;
    while sum < width + height {
        let a = [(sum - height).max(0.0), sum.min(height)];
        let b = [sum.min(width), (sum - width).max(0.0)];
        lines.push([a, b]);
        sum += step;
    }
    lines
}

/// A strip's cuts, and beside it how many there are and how high.
fn band_lines(
    drawing: &mut Drawing,
    plan: &Plan,
    band: &Band,
    at: impl Fn(P) -> P,
    inches: impl Fn(i64) -> f64,
) {
    let x = [
        inches(band.strip.x),
        inches(band.strip.x + band.strip.width),
    ];
    let y = [band.at, band.at + band.height];
    let ring = Path::ring(rectangle(at([x[0], y[0]]), at([x[1], y[1]])));
    drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.7)));
    if band.strip.lengthwise {
        return;
    }
    let height = plan.measure.say(&plan.ruler.length(band.strip.height));
    let text = if band.count > 1 {
        format!("{} at {height}", band.count)
    } else {
        height
    };
    let room = vec![
        [0.0, y[0]],
        at([-SELVAGE, y[0]]),
        at([-SELVAGE, y[1]]),
        [0.0, y[1]],
    ];
    drawing.push(Label::new(text, [0.0; 2], 7.5).within(Room::IfFits(room)));
}

/// What pieces are called on the layout.
struct Names<'a> {
    blocks: &'a Blocks,
    cutting: &'a ClothCutting,
    marks: Vec<String>,
}

impl Names<'_> {
    /// Whether patches of several blocks lie on this cloth, so that letters need the
    /// block's mark.
    fn several(&self) -> bool {
        let block = |p: &Laid| {
            if let Use::Patch(block, _) = p.usage {
                Some(block)
            } else {
                None
            }
        };
        let blocks: BTreeSet<BlockId> = self.cutting.pieces.iter().filter_map(block).collect();
        blocks.len() > 1
    }

    fn border_of(&self, piece: &Laid) -> Option<String> {
        let border = |usage: Use| match usage {
            Use::Part(PartKind::BorderSide(i) | PartKind::BorderEnd(i)) => Some(i),
            _ => None,
        };
        let of = border(piece.usage)?;
        let serves = &self.cutting.demands.get(piece.demand)?.serves;
        let both = matches!(
            self.cutting.demands[piece.demand].method,
            Method::JoinedStrips { .. }
        ) && serves
            .iter()
            .filter(|s| border(s.usage) == Some(of))
            .count()
            > 1;
        both.then(|| format!("border {}", of + 1))
    }

    /// What a piece is called. Strips of which all sides of a border are cut are the
    /// border's.
    fn of(&self, piece: &Laid) -> String {
        let Use::Patch(block, template) = &piece.usage else {
            return self
                .border_of(piece)
                .unwrap_or_else(|| use_name(&piece.usage));
        };
        let of = self.blocks.get(block.0).and_then(Option::as_deref);
        let letter = of
            .and_then(|b| b.templates.get(*template))
            .map_or("", |t| &t.letter);
        if self.several() {
            format!("{} {letter}", self.marks[block.0])
        } else {
            letter.to_owned()
        }
    }
}

fn draw_piece(drawing: &mut Drawing, piece: &Laid, names: &Names, at: impl Fn(P) -> P) {
    let outline: Vec<P> = piece.outline.iter().map(|&p| at(p)).collect();
    let paths = vec![Path::ring(outline.clone())];
    drawing.push(Shape {
        paths,
        fill: Some(Ink::Paper),
        stroke: Some(Stroke::new(Ink::Ink, 0.5)),
    });
    let [low, high] = flat::bounds(&outline);
    let [w, h] = flat::sub(high, low);
    let room = Room::Once(outline, number_of(piece.usage));
    let mut label = Label::new(names.of(piece), [0.0; 2], 9.0).within(room);
    label.upwards = h > 2.0 * w && label.text.len() > 2;
    drawing.push(label);
}

/// A number that is the same for pieces of the same use.
fn number_of(usage: Use) -> usize {
    match usage {
        Use::Patch(block, template) => 1_000 + 10_000 * block.0 + template,
        Use::Part(kind) => kinds(kind),
        Use::Binding => 1,
        Use::Backing => 2,
        Use::Sleeve => 3,
        Use::Unit(block, step) => 5_000 + 10_000 * block.0 + step,
    }
}

fn kinds(kind: PartKind) -> usize {
    match kind {
        PartKind::Sash => 10,
        PartKind::LongSash => 11,
        PartKind::Post => 12,
        PartKind::EdgePost => 13,
        PartKind::SideTriangle => 14,
        PartKind::CornerTriangle => 15,
        PartKind::BorderSide(i) => 100 + 3 * i,
        PartKind::BorderEnd(i) => 101 + 3 * i,
        PartKind::BorderSquare(i) => 102 + 3 * i,
    }
}

/// What the letters and names on a layout mean, in the order they are met: the name drawn
/// and what it is for.
#[must_use]
pub fn layout_key(plan: &Plan, blocks: &Blocks, cutting: &ClothCutting) -> Vec<(String, Use)> {
    let names = Names {
        blocks,
        cutting,
        marks: block_marks(plan),
    };
    let mut key: BTreeMap<usize, (usize, String, Use)> = BTreeMap::new();
    for (i, piece) in cutting.pieces.iter().enumerate() {
        key.entry(number_of(piece.usage))
            .or_insert_with(|| (i, names.of(piece), piece.usage));
    }
    let mut key: Vec<_> = key.into_values().collect();
    key.sort_by_key(|(i, ..)| *i);
    key.into_iter()
        .map(|(_, name, usage)| (name, usage))
        .collect()
}
