//! What must hold of every cutting, looked at from outside.

use quilt::cutting::{ClothCutting, Method, Sheet, Source};
use quilt::plan::Plan;

use super::plans::Bench;

/// Pieces may share an edge; they overlap when they reach into one another by more, inches.
const TOUCH: f64 = 1e-9;

/// Every piece on its cloth exactly once, inside, apart from its neighbours, grain along
/// or across, and the bound below the length.
pub fn sound(bench: &Bench, cutting: &ClothCutting) {
    sound_in(&bench.plan, cutting);
}

/// The same for a cutting of this plan.
pub fn sound_in(plan: &Plan, cutting: &ClothCutting) {
    let mark = plan.ruler.mark().to_f64();
    assert!(
        cutting.at_least <= cutting.needs as f64,
        "{} > {}",
        cutting.at_least,
        cutting.needs
    );
    let bought = |s: &&Sheet| s.source == Source::Bought;
    let lengths = cutting.sheets.iter().filter(bought).map(|s| s.length);
    assert_eq!(lengths.sum::<i64>(), cutting.needs);
    for sheet in &cutting.sheets {
        sheet_sound(sheet, mark);
    }
    for (index, demand) in cutting.demands.iter().enumerate() {
        let laid = cutting
            .pieces()
            .filter(|piece| piece.demand == index)
            .count();
        let missing: u32 = missing(cutting, index);
        let wanted = if cutting.too_large.contains(&index) {
            0
        } else {
            (demand.count - missing) as usize
        };
        assert_eq!(laid, wanted, "{:?}", demand.usage);
        let served: u32 = demand.serves.iter().map(|served| served.count).sum();
        if !matches!(demand.method, Method::JoinedStrips { .. }) {
            assert_eq!(served, demand.count, "{:?}", demand.usage);
            for served in &demand.serves {
                let here = |p: &&quilt::cutting::Laid| p.demand == index && p.usage == served.usage;
                let laid = cutting.pieces().filter(here).count();
                assert!(
                    laid == served.count as usize || wanted == 0 || missing > 0,
                    "{:?}",
                    served.usage
                );
            }
        }
    }
    let slabs = cutting.strips().flat_map(|strip| &strip.slabs);
    assert_eq!(
        slabs.map(|s| s.pieces as usize).sum::<usize>(),
        cutting.pieces().count()
    );
}

/// How many pieces of a demand cannot be cut because the cloth is not sold any more.
fn missing(cutting: &ClothCutting, demand: usize) -> u32 {
    let missing = cutting.missing.iter().flat_map(|missing| &missing.pieces);
    let here = missing.filter(|(of, _)| *of == demand);
    here.map(|(_, served)| served.count).sum()
}

/// Everything on one sheet lies inside it and apart, grain along or across.
fn sheet_sound(sheet: &Sheet, mark: f64) {
    let (width, length) = (sheet.width as f64 * mark, sheet.length as f64 * mark);
    strips_apart(sheet);
    for piece in &sheet.pieces {
        for [x, y] in &piece.outline {
            let inside =
                *x >= -TOUCH && *x <= width + TOUCH && *y >= -TOUCH && *y <= length + TOUCH;
            assert!(inside, "({x}, {y}) lies off {width} × {length}");
        }
        let off = piece.grain.rem_euclid(90.0);
        assert!(off.min(90.0 - off) < 1e-6, "grain at {}°", piece.grain);
    }
    pieces_apart(sheet, mark);
}

/// In whole marks: strips inside the cloth and apart, slabs inside their strip and apart.
fn strips_apart(sheet: &Sheet) {
    let strips = &sheet.strips;
    for (i, a) in strips.iter().enumerate() {
        assert!(a.x >= 0 && a.x + a.width <= sheet.width);
        assert!(a.y >= 0 && a.y + a.height <= sheet.length);
        for b in &strips[i + 1..] {
            let apart = a.x + a.width <= b.x
                || b.x + b.width <= a.x
                || a.y + a.height <= b.y
                || b.y + b.height <= a.y;
            assert!(apart, "{a:?} and {b:?} overlap");
        }
        let mut x = a.x;
        for slab in &a.slabs {
            assert!(slab.x >= x && slab.height <= a.height, "{slab:?} in {a:?}");
            x = slab.x + slab.width;
        }
        assert!(x <= a.x + a.width, "{a:?} is overfull");
    }
}

/// Every piece lies in its own slab, and pieces of one slab do not overlap.
fn pieces_apart(sheet: &Sheet, mark: f64) {
    let mut pieces = sheet.pieces.iter();
    for strip in &sheet.strips {
        for slab in &strip.slabs {
            let here: Vec<_> = pieces.by_ref().take(slab.pieces as usize).collect();
            for piece in &here {
                assert_eq!(piece.demand, slab.demand);
                for [x, y] in &piece.outline {
                    let (left, top) = (slab.x as f64 * mark, strip.y as f64 * mark);
                    let (right, bottom) = (
                        left + slab.width as f64 * mark,
                        top + slab.height as f64 * mark,
                    );
                    let inside = *x >= left - TOUCH
                        && *x <= right + TOUCH
                        && *y >= top - TOUCH
                        && *y <= bottom + TOUCH;
                    assert!(inside, "({x}, {y}) outside {slab:?} of {strip:?}");
                }
            }
            for (i, a) in here.iter().enumerate() {
                // Only near neighbours can touch.
                for b in here[i + 1..].iter().take(4) {
                    assert!(
                        apart(&a.outline, &b.outline),
                        "{:?} and {:?}",
                        a.outline,
                        b.outline
                    );
                }
            }
        }
    }
}

/// Whether two simple polygons do not reach into one another: no edges cross, and no
/// corner or middle of an edge of one lies inside the other.
fn apart(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    if convex(a) && convex(b) {
        return separated(a, b) || separated(b, a);
    }
    !crossing(a, b) && !reaches_in(a, b) && !reaches_in(b, a)
}

fn edges(p: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
    (0..p.len()).map(|i| (p[i], p[(i + 1) % p.len()]))
}

fn side(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> f64 {
    ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]))
        / (b[0] - a[0]).hypot(b[1] - a[1])
}

fn convex(p: &[[f64; 2]]) -> bool {
    edges(p).all(|(a, b)| p.iter().all(|&q| side(a, b, q) >= -TOUCH))
}

/// Whether an edge of `a` has all of `b` on its outer side.
fn separated(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    edges(a).any(|(from, to)| b.iter().all(|&q| side(from, to, q) <= TOUCH))
}

fn crossing(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    edges(a).any(|(p, q)| {
        edges(b).any(|(r, s)| {
            let (x, y) = (side(p, q, r), side(p, q, s));
            let (z, w) = (side(r, s, p), side(r, s, q));
            x.abs().min(y.abs()).min(z.abs()).min(w.abs()) > TOUCH && x * y < 0.0 && z * w < 0.0
        })
    })
}

fn reaches_in(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    edges(a).any(|(p, q)| {
        let middle = [(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0];
        inside(p, b) || inside(middle, b)
    })
}

fn inside(p: [f64; 2], ring: &[[f64; 2]]) -> bool {
    let near = edges(ring).any(|(a, b)| {
        let along = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1]))
            / ((b[0] - a[0]).powi(2) + (b[1] - a[1]).powi(2));
        let at = along.clamp(0.0, 1.0);
        (a[0] + at * (b[0] - a[0]) - p[0]).hypot(a[1] + at * (b[1] - a[1]) - p[1]) < TOUCH
    });
    let crossings = edges(ring).filter(|(a, b)| {
        (a[1] > p[1]) != (b[1] > p[1])
            && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    !near && crossings.count() % 2 == 1
}
