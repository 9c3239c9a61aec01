//! Templates at true size, and a drawing spread over several pages.
//!
//! ```text
//!     ___________
//!    ╱ ┌ ─ ─ ─ ┐ ╲      solid: cut here, ears trimmed;  dashes: the seam
//!   ╱  • ↕  B  •  ╲     dots: corners to match;  dotted: the ears, before trimming
//! ```

use quilt::block::Template;

use crate::drawing::{
    Anchor, Arrow, Dash, Dot, Drawing, Ink, Item, Label, Path, Room, Shape, Stroke,
};
use crate::flat::{self, P};
use crate::letters;
use crate::placing::placed;

/// Longest grain arrow, inches.
const ARROW: f64 = 3.0;
/// How far the grain arrow keeps from the seam lines beside it, inches.
const CLEAR: f64 = 0.14;
/// Size of the notes, points.
const NOTES: f64 = 8.0;

/// A template at true size: write it `true_width()` wide.
///
/// `notes` are the lines printed with it: what it is cut from, how many, and whether it
/// is turned over. They stand inside the shape where there is room, else beside it.
#[must_use]
pub fn template(template: &Template, notes: &[String]) -> Drawing {
    drawn(template, notes, false)
}

/// The same with fine lines through the middle of the patch, to lay it on a motif.
#[must_use]
pub fn centred_template(template: &Template, notes: &[String]) -> Drawing {
    drawn(template, notes, true)
}

fn drawn(template: &Template, notes: &[String], centred: bool) -> Drawing {
    let [low, high] = flat::bounds(template.cut.iter().chain(&template.trimmed));
    let to_corner = |p: P| flat::sub(p, low);
    let moved = |ring: &[P]| -> Vec<P> { ring.iter().map(|&p| to_corner(p)).collect() };
    let finished: Vec<P> = template
        .finished
        .points()
        .iter()
        .map(|p| to_corner(p.to_f64()))
        .collect();
    let says = format!(
        "Template {} at true size, with seam allowance.",
        template.letter
    );
    let mut drawing = Drawing::new(says, high[0] - low[0], high[1] - low[1]).with_margin([3.0; 4]);

    let ears = ears(&moved(&template.cut), &moved(&template.trimmed));
    drawing.push(Shape::drawn(
        ears,
        Stroke::new(Ink::Quiet, 0.9).dashed(Dash::Dots),
    ));
    let edge = vec![Path::ring(moved(&template.trimmed))];
    drawing.push(Shape::drawn(edge, Stroke::new(Ink::Ink, 1.0)));
    let seam = vec![Path::ring(finished.clone())];
    drawing.push(Shape::drawn(
        seam,
        Stroke::new(Ink::Quiet, 0.7).dashed(Dash::Stitches),
    ));
    if centred {
        // The same point the cutting is worked out from.
        let middle = to_corner(template.finished.centroid().to_f64());
        let way = flat::towards(template.grain);
        let lines = [way, flat::quarter(way)];
        let lines = lines
            .into_iter()
            .filter_map(|way| chord(&finished, middle, way));
        let lines = lines.map(|[a, b]| Path::line(a, b)).collect();
        drawing.push(Shape::drawn(
            lines,
            Stroke::new(Ink::Quiet, 0.5).dashed(Dash::Dots),
        ));
    }
    for &corner in &finished {
        drawing.push(Dot {
            at: corner,
            radius: 1.5,
            fill: Some(Ink::Ink),
            stroke: None,
        });
    }
    drawing
        .items
        .extend(grain_arrow(&finished, template.grain).map(Item::from));
    words(&mut drawing, template, notes, &finished);
    drawing
}

/// The letter with the notes under it; the notes beside the shape if it has no room.
fn words(drawing: &mut Drawing, template: &Template, notes: &[String], finished: &[P]) {
    let letter = Label::new(template.letter.clone(), [0.0; 2], 22.0).bold();
    let together = Label {
        under: notes.join("\n"),
        ..letter.clone()
    };
    let mut inside = drawing.clone();
    inside.push(together.within(Room::IfFits(finished.to_vec())));
    let item = inside.items.len() - 1;
    let width = inside.true_width();
    if placed(&inside, width)
        .iter()
        .any(|p| p.item == item && p.size >= 11.0)
    {
        *drawing = inside;
        return;
    }
    let beside = Label::new(
        notes.join("\n"),
        [drawing.width, drawing.height / 2.0],
        NOTES,
    );
    let [wide, tall] = letters::extent(&beside.text, NOTES, false);
    drawing.margin[1] = 14.0 + if notes.is_empty() { 12.0 } else { wide };
    let over = ((tall - drawing.height * 72.0) / 2.0).max(0.0) + 3.0;
    (drawing.margin[0], drawing.margin[2]) = (over, over);
    drawing.push(letter.within(Room::Within(finished.to_vec())));
    if !notes.is_empty() {
        drawing.push(beside.shifted([9.0, 0.0], Anchor::Start));
    }
}

/// An arrow along the grain through the widest part of the shape.
fn grain_arrow(finished: &[P], grain: f64) -> Option<Arrow> {
    let way = flat::towards(grain);
    let middle = flat::centroid(finished);
    // Of lines along the grain near the middle, one a little aside leaves room for words
    // where the shape is wide; the longest serves where it is not.
    let [low, high] = flat::bounds(finished);
    let across = flat::quarter(way);
    let reach = flat::length(flat::sub(high, low));
    let chords = (-6..=6).filter_map(|i| {
        let off = f64::from(i) / 6.0 * 0.22 * reach;
        let chord = chord(finished, flat::add(middle, flat::scaled(across, off)), way)?;
        let long = flat::length(flat::sub(chord[1], chord[0]));
        let aside = 1.0 + 0.25 * off.abs() / reach;
        // Too near a seam line the arrow could be taken for part of it.
        let clear = (beside(finished, chord, way) / CLEAR).min(1.0);
        Some((long.min(ARROW / 0.7) * aside * clear, chord))
    });
    let (_, [a, b]) = chords.fold(None, |best: Option<(f64, [P; 2])>, new| match best {
        Some(old) if old.0 + 1e-9 >= new.0 => Some(old),
        _ => Some(new),
    })?;
    let half = (0.7 * flat::length(flat::sub(b, a))).min(ARROW) / 2.0;
    let centre = flat::middle(a, b);
    let at = |way_on: f64| flat::add(centre, flat::scaled(way, way_on * half));
    Some(Arrow {
        from: at(-1.0),
        to: at(1.0),
        both: true,
        head: 6.5,
    })
}

/// How far the middle half of a chord is from the shape's edge.
fn beside(ring: &[P], [a, b]: [P; 2], way: P) -> f64 {
    let quarter = flat::length(flat::sub(b, a)) / 4.0;
    let centre = flat::middle(a, b);
    [-1.0, 0.0, 1.0]
        .map(|t| flat::add(centre, flat::scaled(way, t * quarter)))
        .iter()
        .flat_map(|&p| flat::edges(ring).map(move |e| flat::distance(p, e)))
        .fold(f64::INFINITY, f64::min)
}

/// The stretch of the line through `at` along `way` that lies in the shape around `at`.
fn chord(ring: &[P], at: P, way: P) -> Option<[P; 2]> {
    let crossings: Vec<f64> = flat::edges(ring)
        .filter_map(|[a, b]| {
            let edge = flat::sub(b, a);
            let steep = flat::cross(way, edge);
            if steep.abs() < 1e-12 {
                return None;
            }
            let from = flat::sub(a, at);
            let along_edge = flat::cross(from, way) / steep;
            (0.0..1.0)
                .contains(&along_edge)
                .then(|| flat::cross(from, edge) / steep)
        })
        .collect();
    let before = crossings
        .iter()
        .copied()
        .filter(|&t| t < 0.0)
        .fold(f64::NEG_INFINITY, f64::max);
    let after = crossings
        .iter()
        .copied()
        .filter(|&t| t > 0.0)
        .fold(f64::INFINITY, f64::min);
    let on = |t: f64| flat::add(at, flat::scaled(way, t));
    (flat::inside(ring, at) && before.is_finite() && after.is_finite())
        .then(|| [on(before), on(after)])
}

/// What trimming takes off each corner: from the trimmed outline round the full corner
/// and back.
fn ears(cut: &[P], trimmed: &[P]) -> Vec<Path> {
    let near = |p: P, q: P| flat::length(flat::sub(p, q)) < 1e-6;
    let n = cut.len();
    // The point of the trimmed outline on the edge from a corner that is nearest to it.
    let nearest = |corner: P, other: P| {
        trimmed
            .iter()
            .copied()
            .filter(|&p| flat::distance(p, [corner, other]) < 1e-6)
            .min_by(|&p, &q| {
                flat::length(flat::sub(p, corner)).total_cmp(&flat::length(flat::sub(q, corner)))
            })
    };
    (0..n)
        .filter(|&i| !trimmed.iter().any(|&p| near(p, cut[i])))
        .filter_map(|i| {
            let before = nearest(cut[i], cut[(i + n - 1) % n])?;
            let after = nearest(cut[i], cut[(i + 1) % n])?;
            Some(Path {
                points: vec![before, cut[i], after],
                closed: false,
            })
        })
        .collect()
}
