//! The cutting of one cloth, to scale: strips, cuts and lettered pieces, what is left.
//!
//! ```text
//!                   fold           selvage
//!    1–3 at ┆┌───┬───┬───╎───┬───┬───┐┆     strips of one kind are drawn once, with
//!    2 7/8  ┆│A╱A│A╱A│╱╱╱╎╱╱╱│A╱A│A╱A│┆     their numbers and height beside them; a fold
//!           ┆└───┴───┴───╎───┴───┴───┘┆     where they stay folded; hatched: not used
//! ```
//!
//! Rows of motifs are drawn with every motif: a ring where none is used, ticks at the edges
//! of a piece towards the one in its middle.
//!
//! For the left hand everything changes sides but keeps its hand: pieces are not turned over.

use std::collections::{BTreeMap, BTreeSet};

use quilt::cutting::{
    ClothCutting, Laid, Method, Sheet, Source, Strip, Use, folded_strips, use_name,
};
use quilt::plan::{BlockId, CuttingHand, Plan};
use quilt::results::Blocks;
use quilt::setting::PartKind;

use crate::drawing::{Anchor, Dash, Dot, Drawing, Ink, Label, Path, Room, Shape, Stroke};
use crate::flat::{self, P};
use crate::quilt::{block_marks, rectangle};

/// Width of the drawn selvage, as a share of the cloth's width.
const SELVAGE: f64 = 0.016;
/// Width kept on the left for numbers and heights, as a share of the cloth's width.
const NUMBERS: f64 = 0.19;

/// Width and height at which layouts are printed at most, inches, and the least a strip
/// may then be high to have words beside it, inches.
const PRINTED: P = [2.8, 3.0];
const NUMBER_HIGH: f64 = 0.13;

/// Strips that are drawn once for all of their kind.
struct Band<'a> {
    strip: &'a Strip,
    /// Number of the first of them, from 1, as the steps call it.
    number: usize,
    count: usize,
    folded: bool,
    /// Where the first of them begins on the cloth, inches.
    from: f64,
    /// Where it is drawn, inches down.
    at: f64,
    height: f64,
}

impl Band<'_> {
    /// Where it ends in the drawing, inches down.
    fn bottom(&self) -> f64 {
        self.at + self.height
    }
}

/// How one sheet of a cloth is cut, to scale; `sheet` is one of the cutting's. Strips that
/// are cut alike are drawn once, with their numbers and height beside them. Drawn for the
/// hand the plan names.
#[must_use]
pub fn cloth_layout(
    plan: &Plan,
    blocks: &Blocks,
    cutting: &ClothCutting,
    sheet: &Sheet,
) -> Drawing {
    let left_hand = plan.cutting.hand == CuttingHand::Left;
    let folded = folded_strips(plan, cutting, sheet);
    let mirrored = left_hand.then(|| sheet.from_the_other_side(plan.ruler.mark().to_f64()));
    let sheet = mirrored.as_ref().unwrap_or(sheet);
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    let (bands, length) = bands(plan, sheet, &folded);
    let width = inches(sheet.width);
    let rest = rest(plan, cutting, sheet).clamp(0.02 * width, 0.12 * width);
    // Numbers stand where the strips begin; those of strips beside long ones across from it.
    let beside = bands
        .iter()
        .any(|b| !b.strip.lengthwise && b.strip.width < sheet.width);
    let mut room = [NUMBERS, if beside { NUMBERS } else { 0.0 }];
    if left_hand {
        room.reverse();
    }
    let left = (room[0] + SELVAGE) * width;
    let name = &plan.cloth(cutting.cloth).name;
    let says = format!(
        "Cutting “{name}”: {} strips over {} of cloth.",
        sheet.strips.len(),
        plan.measure.say(&plan.ruler.length(sheet.length))
    );
    let whole = left + width + (SELVAGE + room[1]) * width;
    let mut drawing = Drawing::new(says, whole, length + rest).with_margin([15.0, 3.0, 3.0, 2.0]);
    let at = |p: P| [left + p[0], p[1]];
    ground(&mut drawing, at, width, length, rest);
    let frame = Frame {
        plan,
        left_hand,
        across: sheet.width,
        whole,
        left,
    };
    for band in &bands {
        band_lines(&mut drawing, &frame, band);
    }
    numbers(&mut drawing, &frame, &bands, length + rest);
    let names = Names {
        blocks,
        cutting,
        marks: block_marks(plan),
    };
    for (piece, shift, number) in shown(sheet, &bands) {
        draw_piece(&mut drawing, piece, number, &names, |p| {
            at(flat::sub(p, [0.0, shift]))
        });
    }
    motifs(&mut drawing, &frame, sheet);
    folds(&mut drawing, &frame, &bands);
    for band in &bands {
        left_over(&mut drawing, &frame, band);
    }
    drawing
}

/// What a band is drawn by.
struct Frame<'a> {
    plan: &'a Plan,
    left_hand: bool,
    /// Width of the cloth, marks.
    across: i64,
    /// Width of the drawing and where the cloth begins in it, inches.
    whole: f64,
    left: f64,
}

impl Frame<'_> {
    fn inches(&self, marks: i64) -> f64 {
        self.plan.ruler.length(marks).to_f64()
    }

    fn at(&self, p: P) -> P {
        [self.left + p[0], p[1]]
    }

    fn number(&self, marks: i64) -> String {
        self.plan.measure.number(&self.plan.ruler.length(marks))
    }
}

/// Cloth below the strips, of bought cloth what is bought beyond them, inches.
fn rest(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet) -> f64 {
    match sheet.source {
        Source::Bought => cutting.buy.to_f64() - plan.ruler.length(cutting.needs).to_f64(),
        Source::Owned(_) => {
            let ends = sheet.strips.iter().map(|strip| strip.y + strip.height);
            let left = sheet.length - ends.max().unwrap_or(0);
            plan.ruler.length(left).to_f64()
        }
    }
}

/// The strips, like ones below each other taken together, and the length they are drawn on.
fn bands<'a>(plan: &Plan, sheet: &'a Sheet, folded: &[bool]) -> (Vec<Band<'a>>, f64) {
    let inches = |marks: i64| plan.ruler.length(marks).to_f64();
    // Beside strips cut along the selvage others lie, and rows of motifs lie where they
    // are, so there nothing is left out.
    let free = sheet
        .strips
        .iter()
        .filter(|s| s.lengthwise || s.centred.is_some())
        .map(|s| s.y + s.height)
        .max()
        .unwrap_or(0);
    let mut bands: Vec<Band> = Vec::new();
    let mut saved = 0.0;
    let mut end = 0.0_f64;
    for (index, strip) in sheet.strips.iter().enumerate() {
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
            number: index + 1,
            count: 1,
            folded: folded.get(index).copied().unwrap_or(false),
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

/// The pieces of the strips that are drawn, each with how far up it is moved and, for
/// strips along the selvage, the strip's number.
fn shown<'a>(sheet: &'a Sheet, bands: &[Band]) -> Vec<(&'a Laid, f64, Option<usize>)> {
    let mut all = Vec::new();
    let mut pieces = sheet.pieces.iter();
    for (index, strip) in sheet.strips.iter().enumerate() {
        let count: u32 = strip.slabs.iter().map(|slab| slab.pieces).sum();
        let here = pieces.by_ref().take(count as usize);
        let band = bands.iter().find(|band| band.number == index + 1);
        match band {
            Some(band) => {
                let number = strip.lengthwise.then_some(index + 1);
                all.extend(here.map(|piece| (piece, band.from - band.at, number)));
            }
            None => here.for_each(drop),
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
    let selvage = Label::new("selvage", at([width + edge, 0.0]), 7.0);
    drawing.push(selvage.shifted([0.0, -8.0], Anchor::End));
}

/// Every motif: a ring where it is not used, and ticks at the edges of a piece towards the
/// one in its middle.
fn motifs(drawing: &mut Drawing, frame: &Frame, sheet: &Sheet) {
    let rows = sheet
        .strips
        .iter()
        .filter_map(|strip| Some((strip, strip.centred?)));
    let mut used: Vec<[i64; 2]> = Vec::new();
    let mut pieces = sheet.pieces.iter();
    let mut ticks = Vec::new();
    for (strip, y) in rows {
        for slab in &strip.slabs {
            let here: Vec<&Laid> = pieces.by_ref().take(slab.pieces as usize).collect();
            let inside = |m: &&[i64; 2]| m[1] == y && m[0] >= slab.x && m[0] <= slab.x + slab.width;
            let middles = sheet.motifs.iter().filter(inside);
            let centre = slab.x + slab.width / 2;
            let Some(&motif) = middles.min_by_key(|m| (m[0] - centre).abs()) else {
                continue;
            };
            used.push(motif);
            let [x, y] = motif.map(|marks| frame.inches(marks));
            for piece in here {
                let [low, high] = flat::bounds(&piece.outline);
                let tick = 0.09 * (high[0] - low[0]).min(high[1] - low[1]);
                ticks.extend([
                    [[x, low[1]], [x, low[1] + tick]],
                    [[x, high[1]], [x, high[1] - tick]],
                    [[low[0], y], [low[0] + tick, y]],
                    [[high[0], y], [high[0] - tick, y]],
                ]);
            }
        }
    }
    let ticks = ticks
        .into_iter()
        .map(|[a, b]| Path::line(frame.at(a), frame.at(b)));
    drawing.push(Shape::drawn(ticks.collect(), Stroke::new(Ink::Ink, 0.6)));
    for &motif in sheet.motifs.iter().filter(|motif| !used.contains(motif)) {
        drawing.push(Dot {
            at: frame.at(motif.map(|marks| frame.inches(marks))),
            radius: 2.0,
            fill: Some(Ink::Paper),
            stroke: Some(Stroke::new(Ink::Ink, 0.6)),
        });
    }
}

/// Where strips stay folded, the fold; over the pieces, since it runs through the middle one.
fn folds(drawing: &mut Drawing, frame: &Frame, bands: &[Band]) {
    let mut top = None;
    let folded = bands.iter().filter(|band| band.folded);
    for band in folded {
        let x = frame.inches(band.strip.x) + frame.inches(band.strip.width) / 2.0;
        let line = [[x, band.at], [x, band.at + band.height]].map(|p| frame.at(p));
        drawing.push(Shape::drawn(
            vec![Path::line(line[0], line[1])],
            Stroke::new(Ink::Ink, 0.9).dashed(Dash::Fold),
        ));
        top = top.or(Some(x));
    }
    if let Some(x) = top {
        let label = Label::new("fold", frame.at([x, 0.0]), 7.0);
        drawing.push(label.shifted([0.0, -8.0], Anchor::Middle));
    }
}

/// The size of what is left of a strip, where there is room to write it.
fn left_over(drawing: &mut Drawing, frame: &Frame, band: &Band) {
    if band.strip.lengthwise || band.strip.centred.is_some() {
        return;
    }
    let end = band.strip.x + band.strip.width;
    let mut slabs: Vec<[i64; 2]> = band
        .strip
        .slabs
        .iter()
        .map(|s| [s.x, s.x + s.width])
        .collect();
    slabs.push([end, end]);
    slabs.sort_unstable();
    let mut from = band.strip.x;
    let mut widest = [0, 0];
    for [begin, stop] in slabs {
        if begin - from > widest[1] - widest[0] {
            widest = [from, begin];
        }
        from = stop;
    }
    let size = format!(
        "{} × {}",
        frame.number(band.strip.height),
        frame.number(widest[1] - widest[0])
    );
    let x = widest.map(|marks| frame.inches(marks));
    let y = [band.at, band.at + band.height];
    let room = rectangle(frame.at([x[0], y[0]]), frame.at([x[1], y[1]]));
    let middle = frame.at([(x[0] + x[1]) / 2.0, (y[0] + y[1]) / 2.0]);
    let label = Label::new(size, middle, 7.0).ink(Ink::Quiet).on_plate();
    drawing.push(label.within(Room::IfFits(room.to_vec())));
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

/// A strip's cuts.
fn band_lines(drawing: &mut Drawing, frame: &Frame, band: &Band) {
    let strip = band.strip;
    let x = [frame.inches(strip.x), frame.inches(strip.x + strip.width)];
    let y = [band.at, band.at + band.height];
    let ring = Path::ring(rectangle(frame.at([x[0], y[0]]), frame.at([x[1], y[1]])));
    drawing.push(Shape::drawn(vec![ring], Stroke::new(Ink::Ink, 0.7)));
    if strip.lengthwise {
        return;
    }
}

/// Which strips they are and how high, beside them. Strips too low on paper for words of
/// their own share theirs, and their heights are in the steps.
fn numbers(drawing: &mut Drawing, frame: &Frame, bands: &[Band], high: f64) {
    let scale = (PRINTED[0] / frame.whole).min(PRINTED[1] / high);
    let tall = |from: f64, to: f64| (to - from) * scale >= NUMBER_HIGH;
    // Beside strips along the selvage, on the side away from those.
    let before = |band: &Band| {
        if band.strip.width == frame.across {
            !frame.left_hand
        } else {
            band.strip.x == 0
        }
    };
    let across = frame.inches(frame.across);
    for side in [true, false] {
        let mine = bands
            .iter()
            .filter(|b| !b.strip.lengthwise && before(b) == side);
        let mut groups: Vec<Vec<&Band>> = Vec::new();
        for band in mine {
            match groups.last_mut() {
                Some(group) if !tall(group[0].at, group[group.len() - 1].bottom()) => {
                    group.push(band);
                }
                _ => groups.push(vec![band]),
            }
        }
        // A last group that stays too low goes with the one before.
        if let [.., _, last] = groups.as_slice()
            && !tall(last[0].at, last[last.len() - 1].bottom())
            && let Some(last) = groups.pop()
            && let Some(before) = groups.last_mut()
        {
            before.extend(last);
        }
        let x = if side {
            [0.0, frame.left - SELVAGE * across]
        } else {
            [frame.left + (1.0 + SELVAGE) * across, frame.whole]
        };
        for group in groups {
            let (first, last) = (group[0], group[group.len() - 1]);
            let end = last.number + last.count - 1;
            let which = if end > first.number {
                format!("{}–{end}", first.number)
            } else {
                first.number.to_string()
            };
            let text = match group.as_slice() {
                [one] => format!("{which} at {}", frame.number(one.strip.height)),
                _ => which,
            };
            let y = [first.at, last.bottom()];
            if group.len() > 1 {
                // A bracket, open towards the words.
                let at = if side { x[1] } else { x[0] };
                let tick = if side { -0.006 } else { 0.006 } * across;
                let path = [[at + tick, y[0]], [at, y[0]], [at, y[1]], [at + tick, y[1]]];
                let lines = path.windows(2).map(|p| Path::line(p[0], p[1])).collect();
                drawing.push(Shape::drawn(lines, Stroke::new(Ink::Quiet, 0.5)));
            }
            let room = rectangle([x[0], y[0]], [x[1], y[1]]).to_vec();
            drawing.push(Label::new(text, [0.0; 2], 7.5).within(Room::Within(room)));
        }
    }
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
            if let Use::Patch(block, _) | Use::Rough(block, ..) = p.usage {
                Some(block)
            } else {
                None
            }
        };
        let blocks: BTreeSet<BlockId> = self.cutting.pieces().filter_map(block).collect();
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
        if let (Use::Rough(block, ..), true) = (&piece.usage, self.several()) {
            return format!("{} {}", self.marks[block.0], use_name(&piece.usage));
        }
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

fn draw_piece(
    drawing: &mut Drawing,
    piece: &Laid,
    number: Option<usize>,
    names: &Names,
    at: impl Fn(P) -> P,
) {
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
    let name = names.of(piece);
    let name = number.map_or(name.clone(), |number| format!("{number}: {name}"));
    let mut label = Label::new(name, [0.0; 2], 9.0).within(room);
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
        Use::Rough(block, section, number) => {
            10_000_000 + 1_000_000 * block.0 + 1_000 * section + number
        }
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
        PartKind::Strip => 16,
        PartKind::PlainEnd => 17,
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
    for (i, piece) in cutting.pieces().enumerate() {
        key.entry(number_of(piece.usage))
            .or_insert_with(|| (i, names.of(piece), piece.usage));
    }
    let mut key: Vec<_> = key.into_values().collect();
    key.sort_by_key(|(i, ..)| *i);
    key.into_iter()
        .map(|(_, name, usage)| (name, usage))
        .collect()
}
