//! Finding room on paper for the words of a drawing.
//!
//! The scale is known only when a drawing is written, so it is here that a letter is
//! found to fit its patch, shrinks, moves to the margin with a leader, or is left out
//! because another says the same.
//!
//! **Units.** Points on the paper throughout.
//!
//! **Always holds.** No label is drawn smaller than [`SMALLEST`]; no label that this
//! module places overlaps another, an arrow or a mark, and one placed within an outline
//! lies wholly inside it. Fixed labels stand where they are put.

use std::collections::BTreeMap;

use crate::drawing::{Anchor, Drawing, Item, Label, Room, SMALLEST};
use crate::flat::{self, Area, P};
use crate::letters;

/// From inches of the figure to points on the paper.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sheet {
    /// Points an inch.
    pub(crate) scale: f64,
    /// Where the figure's corner lies.
    pub(crate) corner: P,
}

impl Sheet {
    pub(crate) fn of(drawing: &Drawing, width_in: f64) -> Self {
        let [top, _, _, left] = drawing.margin;
        Self {
            scale: drawing.scale_at(width_in) * 72.0,
            corner: [left, top],
        }
    }

    pub(crate) fn point(&self, p: P) -> P {
        flat::add(self.corner, flat::scaled(p, self.scale))
    }
}

/// A label with its place on the paper.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Placed {
    /// Index of its item in the drawing.
    pub(crate) item: usize,
    /// Size of the text.
    pub(crate) size: f64,
    /// The paper it covers.
    pub(crate) area: Area,
    /// A line from the place it speaks of to the label.
    pub(crate) leader: Option<[P; 2]>,
}

/// Least distance between a label and the outline it lies in.
const AIR: f64 = 0.8;
/// Length of the shortest leader.
const REACH: f64 = 5.0;

/// Every label that is drawn, in the order of the items.
pub(crate) fn placed(drawing: &Drawing, width_in: f64) -> Vec<Placed> {
    let sheet = Sheet::of(drawing, width_in);
    let mut page = Page::of(drawing, sheet);
    let labels = || {
        drawing
            .items
            .iter()
            .enumerate()
            .filter_map(|(i, item)| match item {
                Item::Label(label) => Some((i, label)),
                _ => None,
            })
    };
    for (i, label) in labels().filter(|(_, l)| l.room == Room::Fixed) {
        page.put(i, label.size.max(SMALLEST), fixed_area(label, sheet), None);
    }
    let mut homeless: Vec<(usize, &Label)> = Vec::new();
    let mut settled: BTreeMap<usize, bool> = BTreeMap::new();
    for (i, label) in labels() {
        let fitted = match &label.room {
            Room::Fixed => continue,
            Room::Within(room) | Room::IfFits(room) | Room::Once(room, _) => {
                page.fit(i, label, &on_paper(room, sheet))
            }
        };
        match label.room {
            Room::Within(_) if !fitted => homeless.push((i, label)),
            Room::Once(_, number) => {
                let before = settled.entry(number).or_insert(false);
                *before |= fitted;
            }
            _ => {}
        }
    }
    for (number, done) in settled {
        if !done
            && let Some(largest) = labels()
                .filter(|(_, l)| number_of(l) == Some(number))
                .max_by(|a, b| {
                    room_area(a.1)
                        .total_cmp(&room_area(b.1))
                        .then(b.0.cmp(&a.0))
                })
        {
            homeless.push(largest);
        }
    }
    homeless.sort_by_key(|(i, _)| *i);
    for (i, label) in homeless {
        page.lead(i, label, sheet);
    }
    page.placed.sort_by_key(|p| p.item);
    page.placed
}

fn number_of(label: &Label) -> Option<usize> {
    if let Room::Once(_, number) = label.room {
        Some(number)
    } else {
        None
    }
}

fn room_of(label: &Label) -> &[P] {
    match &label.room {
        Room::Fixed => &[],
        Room::Within(room) | Room::IfFits(room) | Room::Once(room, _) => room,
    }
}

fn room_area(label: &Label) -> f64 {
    flat::area(room_of(label)).abs()
}

fn on_paper(room: &[P], sheet: Sheet) -> Vec<P> {
    room.iter().map(|&p| sheet.point(p)).collect()
}

/// Width and height of a label at this size, turned if it reads upwards.
fn extent(label: &Label, size: f64) -> [f64; 2] {
    let (_, [w, h]) = letters::set(label, size);
    if label.upwards { [h, w] } else { [w, h] }
}

fn fixed_area(label: &Label, sheet: Sheet) -> Area {
    let [w, h] = extent(label, label.size.max(SMALLEST));
    let at = flat::add(sheet.point(label.at), label.shift);
    let along = match label.anchor {
        Anchor::Start => 0.5,
        Anchor::Middle => 0.0,
        Anchor::End => -0.5,
    };
    let middle = if label.upwards {
        [at[0], at[1] - along * h]
    } else {
        [at[0] + along * w, at[1]]
    };
    Area::around(middle, w, h)
}

/// What is already on the paper.
struct Page {
    placed: Vec<Placed>,
    lines: Vec<[P; 2]>,
    marks: Vec<Area>,
    figure: Area,
    whole: Area,
}

impl Page {
    fn of(drawing: &Drawing, sheet: Sheet) -> Self {
        let [top, right, bottom, left] = drawing.margin;
        let figure = Area {
            low: sheet.corner,
            high: sheet.point([drawing.width, drawing.height]),
        };
        let whole = Area {
            low: flat::sub(figure.low, [left, top]),
            high: flat::add(figure.high, [right, bottom]),
        };
        let mut page = Self {
            placed: Vec::new(),
            lines: Vec::new(),
            marks: Vec::new(),
            figure,
            whole,
        };
        for item in &drawing.items {
            match item {
                Item::Arrow(a) => page.lines.push([sheet.point(a.from), sheet.point(a.to)]),
                Item::Dot(d) => page.marks.push(Area::around(
                    sheet.point(d.at),
                    2.0 * d.radius,
                    2.0 * d.radius,
                )),
                _ => {}
            }
        }
        page
    }

    fn put(&mut self, item: usize, size: f64, area: Area, leader: Option<[P; 2]>) {
        self.placed.push(Placed {
            item,
            size,
            area,
            leader,
        });
        self.lines.extend(leader);
    }

    fn is_free(&self, area: Area) -> bool {
        let air = area.grown(AIR);
        !self.placed.iter().any(|p| p.area.overlaps(air))
            && !self.marks.iter().any(|m| m.overlaps(area))
            && !self.lines.iter().any(|&l| air.grown(1.5).crossed_by(l))
    }

    /// Puts the label inside the outline at the largest size that fits; says whether it could.
    fn fit(&mut self, item: usize, label: &Label, room: &[P]) -> bool {
        let mut size = label.size.max(SMALLEST);
        loop {
            if let Some(area) = self.roomiest(extent(label, size), room) {
                self.put(item, size, area, None);
                return true;
            }
            if size <= SMALLEST {
                return false;
            }
            size = (size - 0.5).max(SMALLEST);
        }
    }

    /// Where in the outline a box of this size has most air: its middle if it is free,
    /// else the best of a grid.
    fn roomiest(&self, [w, h]: [f64; 2], room: &[P]) -> Option<Area> {
        let [low, high] = flat::bounds(room);
        let fits = |at: P| {
            let area = Area::around(at, w, h);
            let good = area.grown(AIR).within(room) && self.is_free(area);
            // Air counts up to a little more than is needed; beyond that the middle is best.
            let away = flat::length(flat::sub(at, flat::centroid(room)));
            good.then(|| (area.clearance(room).min(4.0 * AIR) - 0.02 * away, area))
        };
        if w > high[0] - low[0] || h > high[1] - low[1] {
            return None;
        }
        if let Some((air, area)) = fits(flat::centroid(room))
            && air > 2.0 * AIR
        {
            return Some(area);
        }
        let steps = 16;
        (0..=steps)
            .flat_map(|i| (0..=steps).map(move |j| [f64::from(i), f64::from(j)]))
            .map(|ij| {
                std::array::from_fn(|k| low[k] + (high[k] - low[k]) * ij[k] / f64::from(steps))
            })
            .filter_map(fits)
            .fold(None, |best: Option<(f64, Area)>, new| match best {
                Some(old) if old.0 + 1e-9 >= new.0 => Some(old),
                _ => Some(new),
            })
            .map(|(_, area)| area)
    }

    /// Puts the label in the margin nearest to its outline, with a leader; leaves it out
    /// when no margin has room.
    fn lead(&mut self, item: usize, label: &Label, sheet: Sheet) {
        let size = SMALLEST.max(label.size.min(8.0));
        let from = heart(&on_paper(room_of(label), sheet));
        let [w, h] = extent(label, size);
        let best = self
            .slots(w, h)
            .into_iter()
            .filter_map(|area| {
                let to = end_of_leader(from, area);
                let free = self.is_free(area)
                    && !self
                        .placed
                        .iter()
                        .any(|p| p.area.grown(AIR).crossed_by([from, to]))
                    && !self.lines.iter().any(|&l| meet(l, [from, to]));
                free.then(|| (flat::length(flat::sub(to, from)), area, to))
            })
            .fold(None, |best: Option<(f64, Area, P)>, new| match best {
                Some(old) if old.0 <= new.0 => Some(old),
                _ => Some(new),
            });
        if let Some((_, area, to)) = best {
            self.put(item, size, area, Some([from, to]));
        }
    }

    /// Places for a box in the margins, outside the figure.
    fn slots(&self, w: f64, h: f64) -> Vec<Area> {
        let (f, p) = (self.figure, self.whole);
        let mut slots = Vec::new();
        let mut add = |middle: P| {
            let area = Area::around(middle, w, h);
            if area.corners().iter().all(|&c| p.grown(0.01).holds(c)) {
                slots.push(area);
            }
        };
        let run = |from: f64, to: f64| {
            let mut at = from;
            std::iter::from_fn(move || {
                at += 3.0;
                (at - 3.0 <= to).then_some(at - 3.0)
            })
        };
        for y in run(f.low[1] + h / 2.0, f.high[1] - h / 2.0) {
            add([f.high[0] + REACH + w / 2.0, y]);
            add([f.low[0] - REACH - w / 2.0, y]);
        }
        for x in run(f.low[0] + w / 2.0, f.high[0] - w / 2.0) {
            add([x, f.high[1] + REACH + h / 2.0]);
            add([x, f.low[1] - REACH - h / 2.0]);
        }
        slots
    }
}

/// A point well inside the outline: its centroid, or the roomiest of a grid.
fn heart(ring: &[P]) -> P {
    let middle = flat::centroid(ring);
    if flat::inside(ring, middle) {
        return middle;
    }
    let [low, high] = flat::bounds(ring);
    let depth = |p: P| {
        flat::edges(ring)
            .map(|e| flat::distance(p, e))
            .fold(f64::INFINITY, f64::min)
    };
    (1..16)
        .flat_map(|i| (1..16).map(move |j| [f64::from(i) / 16.0, f64::from(j) / 16.0]))
        .map(|t| std::array::from_fn(|k| low[k] + (high[k] - low[k]) * t[k]))
        .filter(|&p| flat::inside(ring, p))
        .max_by(|&a, &b| depth(a).total_cmp(&depth(b)))
        .unwrap_or(middle)
}

/// Where a leader from `from` stops short of the label.
fn end_of_leader(from: P, area: Area) -> P {
    let near = std::array::from_fn(|i| from[i].clamp(area.low[i], area.high[i]));
    let back = flat::unit(flat::sub(from, near));
    flat::add(near, flat::scaled(back, 1.2))
}

/// Whether two segments cross properly.
fn meet([a, b]: [P; 2], [c, d]: [P; 2]) -> bool {
    let side = |p: P, q: P, r: P| flat::cross(flat::sub(q, p), flat::sub(r, p));
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Vec<P> {
        vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
    }

    fn drawing(labels: Vec<Label>) -> Drawing {
        let mut d = Drawing::new("a test", 4.0, 4.0).with_margin([16.0; 4]);
        d.items = labels.into_iter().map(Item::from).collect();
        d
    }

    #[test]
    fn a_letter_shrinks_before_it_leaves_its_patch() {
        let label =
            |side| Label::new("A", [0.0; 2], 14.0).within(Room::Within(square(1.0, 1.0, side)));
        // At this width the figure is drawn at a scale of 1: 72 points an inch.
        let width = drawing(vec![]).true_width();
        let sizes: Vec<_> = [1.0, 0.18, 0.06]
            .map(|side| placed(&drawing(vec![label(side)]), width)[0].clone())
            .map(|p| (p.size, p.leader.is_some()))
            .into();
        assert_eq!(sizes[0], (14.0, false), "room enough");
        assert!(
            sizes[1].0 < 14.0 && sizes[1].0 >= SMALLEST && !sizes[1].1,
            "smaller, inside"
        );
        assert!(
            sizes[2].0 >= SMALLEST && sizes[2].1,
            "in the margin with a leader"
        );
    }

    #[test]
    fn labels_never_overlap() {
        let mut labels = vec![Label::new("row 1", [2.0, 2.0], 9.0)];
        for i in 0..14 {
            let at = 0.1 + 0.27 * f64::from(i);
            labels
                .push(Label::new("AA", [0.0; 2], 9.0).within(Room::Within(square(at, 1.8, 0.25))));
        }
        let all = placed(&drawing(labels), 3.0);
        assert!(all.len() >= 12, "{} of 15 found a place", all.len());
        for (i, a) in all.iter().enumerate() {
            for b in &all[i + 1..] {
                assert!(
                    !a.area.overlaps(b.area),
                    "{} and {} overlap",
                    a.item,
                    b.item
                );
            }
        }
    }

    #[test]
    fn one_of_several_speaks_for_all() {
        let tiny = |x| Label::new("B", [0.0; 2], 9.0).within(Room::Once(square(x, 1.0, 0.05), 7));
        let all = placed(&drawing(vec![tiny(1.0), tiny(2.0), tiny(3.0)]), 4.5);
        assert_eq!(all.len(), 1, "one leader, not three");
        let large = Label::new("B", [0.0; 2], 9.0).within(Room::Once(square(0.2, 2.0, 1.0), 7));
        let all = placed(&drawing(vec![tiny(1.0), large]), 4.5);
        assert_eq!(
            (all.len(), all[0].item, all[0].leader),
            (1, 1, None),
            "the one with room"
        );
    }
}
