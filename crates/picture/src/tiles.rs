//! A drawing too large for its page, spread over several.
//!
//! Neighbouring pages share a strip; in the middle of it runs a joining line with lettered
//! crosses that lie on the same spot of both pages, so that the sheets can be laid one
//! over the other against a window and taped. Words that belong to the inside of a shape
//! are printed on every page that has room for them.

use crate::drawing::{Dash, Dot, Drawing, Ink, Item, Label, Path, Room, Shape, Stroke};
use crate::flat::{self, Area, P};
use crate::placing::{Placed, Sheet, placed};

/// Most pages along one side; a drawing so large is not printed.
const MOST: usize = 100;

/// One page of a drawing at true size.
#[derive(Clone, PartialEq, Debug)]
pub struct Tile {
    /// Row of the page, from 0 at the top.
    pub row: usize,
    /// Column, from 0 at the left.
    pub column: usize,
    /// Rows and columns in all.
    pub of: (usize, usize),
    /// What is on it; write it `true_width()` wide.
    pub drawing: Drawing,
}

/// Spreads a drawing at true size over pages of this size that share `overlap`; all
/// inches. One page is one tile, just as it was.
///
/// `overlap` is taken as a quarter of the page where it is more.
#[must_use]
pub fn tiles(drawing: &Drawing, page_w: f64, page_h: f64, overlap: f64) -> Vec<Tile> {
    let whole = flattened(drawing);
    let overlap = overlap.min(page_w / 4.0).min(page_h / 4.0).max(0.0);
    let columns = windows(whole.width, page_w, overlap);
    let rows = windows(whole.height, page_h, overlap);
    let of = (rows.len(), columns.len());
    if of == (1, 1) {
        return vec![Tile {
            row: 0,
            column: 0,
            of,
            drawing: drawing.clone(),
        }];
    }
    let (words, marked) = apart(with_joins(whole, &rows, &columns));
    let mut tiles = Vec::new();
    for (row, y) in rows.iter().enumerate() {
        for (column, x) in columns.iter().enumerate() {
            let area = Area {
                low: [x[0], y[0]],
                high: [x[1], y[1]],
            };
            let mut drawing = window(&marked, area);
            drawing.items.extend(
                words
                    .iter()
                    .filter_map(|label| page_label(label, area))
                    .map(Item::from),
            );
            drawing.says = format!(
                "{} Page {} of {}.",
                drawing.says,
                row * of.1 + column + 1,
                of.0 * of.1
            );
            tiles.push(Tile {
                row,
                column,
                of,
                drawing,
            });
        }
    }
    tiles
}

/// From where to where each page reaches along one side: as few pages as will do, all of
/// one size.
fn windows(length: f64, page: f64, overlap: f64) -> Vec<[f64; 2]> {
    let (mut count, mut pages) = (1.0, 1);
    while count * page - (count - 1.0) * overlap < length - 1e-9 && pages < MOST {
        count += 1.0;
        pages += 1;
    }
    let size = (length + (count - 1.0) * overlap) / count;
    let mut start = -(size - overlap);
    std::iter::repeat_with(|| {
        start += size - overlap;
        [start, start + size]
    })
    .take(pages)
    .collect()
}

/// The drawing at true size with its margin made part of the figure and its labels
/// where they were placed.
fn flattened(drawing: &Drawing) -> Drawing {
    let width = drawing.true_width();
    let [_, _, _, left] = drawing.margin;
    let shift = [left / 72.0, drawing.margin[0] / 72.0];
    let labels = placed(drawing, width);
    let mut flat = Drawing::new(drawing.says.clone(), width, drawing.height_at(width));
    for (i, item) in drawing.items.iter().enumerate() {
        if let Item::Label(label) = item {
            if room_of(label).is_some() && labels.iter().any(|p| p.item == i && p.leader.is_none())
            {
                flat.items.push(moved(item, shift));
            } else if let Some(place) = labels.iter().find(|p| p.item == i) {
                fix(&mut flat, label, place);
            }
        } else {
            flat.items.push(moved(item, shift));
        }
    }
    debug_assert!(
        (Sheet::of(&flat, width).scale - 72.0).abs() < 1e-6,
        "true size"
    );
    flat
}

/// A placed label as a fixed one, with its leader as a line.
fn fix(flat: &mut Drawing, label: &Label, place: &Placed) {
    let inches = |p: P| flat::scaled(p, 1.0 / 72.0);
    if let Some([from, to]) = place.leader {
        let line = vec![Path::line(inches(from), inches(to))];
        flat.push(Shape::drawn(line, Stroke::new(Ink::Ink, 0.5)));
    }
    let at = inches(flat::middle(place.area.low, place.area.high));
    let fixed = Label {
        at,
        shift: [0.0; 2],
        size: place.size,
        room: Room::Fixed,
        ..label.clone()
    };
    flat.push(Label {
        anchor: crate::drawing::Anchor::Middle,
        ..fixed
    });
}

/// The labels that stay inside a shape, and the drawing without them.
fn apart(mut drawing: Drawing) -> (Vec<Label>, Drawing) {
    let mut words = Vec::new();
    drawing.items.retain(|item| match item {
        Item::Label(label) if room_of(label).is_some() => {
            words.push(label.clone());
            false
        }
        _ => true,
    });
    (words, drawing)
}

fn room_of(label: &Label) -> Option<&[P]> {
    match &label.room {
        Room::Fixed => None,
        Room::Within(room) | Room::IfFits(room) | Room::Once(room, _) => Some(room),
    }
}

/// The label for one page, in what of its room lies on the page.
fn page_label(label: &Label, area: Area) -> Option<Label> {
    let inner = area.grown(-0.12);
    let room = clipped(room_of(label)?, inner);
    let room = room.into_iter().map(|p| flat::sub(p, area.low)).collect();
    Some(Label {
        room: Room::IfFits(room),
        ..label.clone()
    })
}

/// The part of an outline inside a box, one side of the box after another (Sutherland and
/// Hodgman 1974).
fn clipped(ring: &[P], area: Area) -> Vec<P> {
    let sides: [(usize, f64, f64); 4] = [
        (0, 1.0, area.low[0]),
        (0, -1.0, -area.high[0]),
        (1, 1.0, area.low[1]),
        (1, -1.0, -area.high[1]),
    ];
    sides
        .iter()
        .fold(ring.to_vec(), |ring, &(axis, sign, bound)| {
            let depth = |p: P| sign * p[axis] - bound;
            let mut kept = Vec::new();
            for [a, b] in flat::edges(&ring) {
                let (from, to) = (depth(a), depth(b));
                if from >= 0.0 {
                    kept.push(a);
                }
                if (from >= 0.0) != (to >= 0.0) {
                    kept.push(flat::add(
                        a,
                        flat::scaled(flat::sub(b, a), from / (from - to)),
                    ));
                }
            }
            kept
        })
}

/// Adds a joining line in the middle of every shared strip, with lettered crosses.
fn with_joins(mut whole: Drawing, rows: &[[f64; 2]], columns: &[[f64; 2]]) -> Drawing {
    let middle = |pair: &[[f64; 2]]| f64::midpoint(pair[0][1], pair[1][0]);
    let mut lines = Vec::new();
    let mut crosses = Vec::new();
    let halfway = |w: &[f64; 2]| f64::midpoint(w[0], w[1]);
    for pair in columns.windows(2) {
        let x = middle(pair);
        lines.push(Path::line([x, 0.0], [x, whole.height]));
        crosses.extend(rows.iter().map(|w| [x, halfway(w)]));
    }
    for pair in rows.windows(2) {
        let y = middle(pair);
        lines.push(Path::line([0.0, y], [whole.width, y]));
        crosses.extend(columns.iter().map(|w| [halfway(w), y]));
    }
    whole.push(Shape::drawn(
        lines,
        Stroke::new(Ink::Pale, 0.6).dashed(Dash::Fold),
    ));
    let arm = 0.14;
    for (i, &[x, y]) in crosses.iter().enumerate() {
        let cross = vec![
            Path::line([x - arm, y], [x + arm, y]),
            Path::line([x, y - arm], [x, y + arm]),
        ];
        whole.push(Shape::drawn(cross, Stroke::new(Ink::Ink, 0.8)));
        // Keeps words off the cross.
        whole.push(Dot {
            at: [x, y],
            radius: 10.0,
            fill: None,
            stroke: None,
        });
        let letter =
            char::from_u32(u32::from('a') + u32::try_from(i % 26).unwrap_or(0)).unwrap_or('a');
        whole.push(Label::new(letter.to_string(), [x + 0.09, y - 0.09], 8.0).bold());
    }
    whole
}

/// What shows through a window on the drawing.
fn window(whole: &Drawing, area: Area) -> Drawing {
    let size = flat::sub(area.high, area.low);
    let mut drawing = Drawing::new(whole.says.clone(), size[0], size[1]);
    drawing.clipped = true;
    let shift = flat::scaled(area.low, -1.0);
    drawing.items = whole
        .items
        .iter()
        .filter(|item| shows(item, area))
        .map(|item| moved(item, shift))
        .collect();
    drawing
}

/// Whether any of the item may lie in the window: what surely does not is left out.
fn shows(item: &Item, area: Area) -> bool {
    let points: Vec<P> = match item {
        Item::Cloth(c) => c.outline.clone(),
        Item::Shape(s) => s
            .paths
            .iter()
            .flat_map(|p| p.points.iter().copied())
            .collect(),
        Item::Dot(d) => vec![d.at],
        Item::Arrow(a) => vec![a.from, a.to],
        Item::Label(l) => vec![l.at],
    };
    let [low, high] = flat::bounds(&points);
    Area { low, high }.grown(0.2).overlaps(area)
}

fn moved(item: &Item, by: P) -> Item {
    let on = |p: P| flat::add(p, by);
    match item.clone() {
        Item::Cloth(mut c) => {
            c.outline = c.outline.into_iter().map(on).collect();
            c.lay.at = on(c.lay.at);
            c.into()
        }
        Item::Shape(mut s) => {
            for path in &mut s.paths {
                path.points = path.points.iter().map(|&p| on(p)).collect();
            }
            s.into()
        }
        Item::Dot(mut d) => {
            d.at = on(d.at);
            d.into()
        }
        Item::Arrow(mut a) => {
            (a.from, a.to) = (on(a.from), on(a.to));
            a.into()
        }
        Item::Label(mut l) => {
            l.at = on(l.at);
            l.into()
        }
    }
}
