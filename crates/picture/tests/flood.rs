//! Figures counted exactly equal figures counted by pouring colour into a picture.
#![allow(clippy::unwrap_used, reason = "tests may stop at once")]

use std::collections::BTreeMap;

use picture::{Item, Palette, Rgb, svg};
use quilt::arranging::figures::figures;
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::plan::{ClothId, Plan, Print};
use quilt::results::work_out;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

/// Dots an inch of the quilt.
const DOTS: f64 = 24.0;

/// Whole and clipped figures, by class.
type Counts = BTreeMap<usize, (usize, usize)>;

fn demo(name: &str) -> Plan {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(format!("../../examples/{name}.toml"));
    planfile::read(name, &std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The class of every dot of the field, row by row; its rows.
fn dots(plan: &Plan, classes: &Classes) -> Vec<Vec<usize>> {
    let mut plain = plan.clone();
    plain.finishing.binding.cloth = None;
    plain.borders.clear();
    let results = work_out(&plain, None);
    let top = results.top.as_ref().unwrap();
    let mut drawing = picture::quilt(&plain, &results.blocks, top).with_margin([0.0; 4]);
    drawing.items.retain(|item| matches!(item, Item::Cloth(_)));
    let mut palette = Palette::of(&plain, "none");
    for (index, ink) in palette.cloths.iter_mut().enumerate() {
        let class = classes.of_part(ClothId(index)).unwrap();
        let level = u8::try_from(class + 1).unwrap();
        (ink.ground, ink.figure, ink.print) =
            (Rgb([level, 0, 0]), Rgb([level, 0, 0]), Print::Plain);
    }
    // Whole dots only: no blending along seams.
    let text = svg(&drawing, &palette, drawing.width).replacen(
        "<svg ",
        "<svg shape-rendering=\"crispEdges\" ",
        1,
    );
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
    let (w, h) = (
        (drawing.width * DOTS).floor() as u32,
        (drawing.height * DOTS).floor() as u32,
    );
    let zoom = (drawing.width * DOTS) as f32 / tree.size().width();
    let mut pixels = Pixmap::new(w, h).unwrap();
    resvg::render(
        &tree,
        Transform::from_scale(zoom, zoom),
        &mut pixels.as_mut(),
    );
    (0..h)
        .map(|y| {
            (0..w)
                .map(|x| usize::from(pixels.pixel(x, y).unwrap().red()))
                .collect()
        })
        .collect()
}

/// So many dots of a tip may lie on the edge.
const TIP: usize = 6;

/// The field without its rims: a dot stays if all around it are of its class. Patches that
/// only meet in a point then lie apart, while those that share an edge hold together.
fn without_rims(field: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let (h, w) = (field.len(), field[0].len());
    let around = |at: usize, end: usize| at.saturating_sub(1)..(at + 2).min(end);
    let inside = |x: usize, y: usize| {
        let mut near = around(y, h).flat_map(|y| around(x, w).map(move |x| (x, y)));
        near.all(|(a, b)| field[b][a] == field[y][x])
    };
    let dot = |x: usize, y: usize| if inside(x, y) { field[y][x] } else { 0 };
    let row = |y: usize| (0..w).map(|x| dot(x, y)).collect();
    (0..h).map(row).collect()
}

fn poured(field: &[Vec<usize>]) -> Counts {
    let field = without_rims(field);
    let (h, w) = (field.len(), field[0].len());
    let mut seen = vec![vec![false; w]; h];
    let mut counts = Counts::new();
    for y in 0..h {
        for x in 0..w {
            if seen[y][x] || field[y][x] == 0 {
                continue;
            }
            let class = field[y][x];
            let (mut todo, mut size, mut edge) = (vec![(x, y)], 0, 0);
            seen[y][x] = true;
            while let Some((x, y)) = todo.pop() {
                size += 1;
                edge += usize::from(x == 0 || y == 0 || x + 1 == w || y + 1 == h);
                let around = [
                    (x.wrapping_sub(1), y),
                    (x + 1, y),
                    (x, y.wrapping_sub(1)),
                    (x, y + 1),
                ];
                for (x, y) in around {
                    if x < w && y < h && !seen[y][x] && field[y][x] == class {
                        seen[y][x] = true;
                        todo.push((x, y));
                    }
                }
            }
            // The tip of a sharp patch may fall apart into single dots.
            if size > 12 {
                let entry = counts.entry(class - 1).or_default();
                // A tip that only touches the edge is not cut off by it.
                if edge > TIP {
                    entry.1 += 1
                } else {
                    entry.0 += 1
                }
            }
        }
    }
    counts
}

fn exact(plan: &Plan, classes: &Classes) -> Counts {
    let results = work_out(plan, None);
    let top = results.top.as_ref().unwrap();
    let mut counts = Counts::new();
    for figure in figures(plan, &results.blocks, top, classes.clone()).figures {
        let entry = counts.entry(figure.class).or_default();
        if figure.clipped {
            entry.1 += 1
        } else {
            entry.0 += 1
        }
    }
    counts
}

#[test]
fn figures_of_the_demos_equal_those_poured_into_pictures() {
    for name in ["harbour-lights", "orchard-at-dusk", "night-ferry"] {
        let plan = demo(name);
        for like in [Likeness::Cloth, Likeness::Family, Likeness::Value] {
            let classes = Classes::of(&plan, like);
            let wanted = poured(&dots(&plan, &classes));
            assert_eq!(exact(&plan, &classes), wanted, "{name} by {}", like.word());
        }
    }
}
