//! Pieces centred on motifs: against everything that can be tried on small cloths, centres
//! looked at one by one, and what is said about it.

use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{self, Action, ClothCutting, Method, Sheet, Source};
use quilt::plan::{Cell, CuttingHand, Direction, Motif, Owned, OwnedKind};

use super::checks::sound;
use super::plans::{Bench, bench_of, block, cloth, one_cell, plain};

/// Eighths of an inch, as everywhere here.
type Marks = i64;

/// Rows of motifs, in marks.
#[derive(Clone, Copy, Debug)]
struct Rows {
    across: Marks,
    along: Marks,
    offset: Marks,
    edge: Marks,
    end: Option<Marks>,
}

impl Rows {
    fn motif(&self) -> Motif {
        let inches = |marks: Marks| Surd::ratio(marks, 8);
        Motif {
            across: inches(self.across),
            along: inches(self.along),
            offset: inches(self.offset),
            from_edge: Some(inches(self.edge)),
            from_end: self.end.map(inches),
        }
    }

    /// The middles on cloth so wide and long, if a row that is not set over lies so far from
    /// the end.
    fn on(&self, end: Marks, width: Marks, length: Marks) -> Vec<[Marks; 2]> {
        let mut all = Vec::new();
        for row in -20..60 {
            let y = end + row * self.along;
            if !(0..=length).contains(&y) {
                continue;
            }
            let over = if row.rem_euclid(2) == 1 {
                self.offset
            } else {
                0
            };
            let columns = (-60..60).map(|column| self.edge + over + column * self.across);
            all.extend(columns.filter(|x| (0..=width).contains(x)).map(|x| [x, y]));
        }
        all.sort_by_key(|[x, y]| (*y, *x));
        all
    }

    /// Where a row may lie: where it is said to, or anywhere.
    fn ends(&self) -> Vec<Marks> {
        match self.end {
            Some(end) => vec![end],
            None => (0..2 * self.along).collect(),
        }
    }
}

/// Pieces of these sizes (height, width, count), each centred on a motif.
fn centred(rows: &Rows, width: Marks, sizes: &[(Marks, Marks, u32)]) -> Bench {
    let half = Surd::ratio(1, 2);
    let mut sand = cloth(Surd::ratio(width, 8), Direction::OneWay);
    sand.motif = Some(rows.motif());
    let blocks = sizes.iter().enumerate().map(|(index, &(h, w, count))| {
        let [w, h] = [w, h].map(|marks| Surd::ratio(marks, 8) - &half);
        (plain(&format!("b{index}"), w, h), count)
    });
    let mut bench = bench_of(vec![sand], blocks.collect());
    for block in &mut bench.plan.blocks {
        block.places[0].centred = true;
    }
    bench
}

/// The rectangle of a piece of this height and width around a middle.
fn around([h, w]: [Marks; 2], [x, y]: [Marks; 2]) -> [Marks; 4] {
    let (left, top) = (x - w / 2, y - h / 2);
    [left, top, left + w, top + h]
}

fn apart(a: [Marks; 4], b: [Marks; 4]) -> bool {
    a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1]
}

/// Whether all pieces find a motif: everything is tried. `strips`: rows of motifs that are
/// used do not reach into each other.
fn fits(
    middles: &[[Marks; 2]],
    (width, length): (Marks, Marks),
    left: &mut Vec<([Marks; 2], u32)>,
    laid: &mut Vec<([Marks; 4], Marks)>,
    strips: bool,
) -> bool {
    if left.iter().all(|(_, count)| *count == 0) {
        return true;
    }
    let Some((&middle, rest)) = middles.split_first() else {
        return false;
    };
    let room: u32 = left.iter().map(|(_, count)| count).sum();
    if room as usize > middles.len() {
        return false;
    }
    for kind in 0..left.len() {
        if left[kind].1 == 0 {
            continue;
        }
        let piece = around(left[kind].0, middle);
        let inside = piece[0] >= 0 && piece[1] >= 0 && piece[2] <= width && piece[3] <= length;
        let free = |&(other, y): &([Marks; 4], Marks)| {
            let strip = |p: [Marks; 4]| {
                if strips && y != middle[1] {
                    [0, p[1], width, p[3]]
                } else {
                    p
                }
            };
            apart(strip(piece), strip(other))
        };
        if inside && laid.iter().all(free) {
            left[kind].1 -= 1;
            laid.push((piece, middle[1]));
            let done = fits(rest, (width, length), left, laid, strips);
            laid.pop();
            left[kind].1 += 1;
            if done {
                return true;
            }
        }
    }
    fits(rest, (width, length), left, laid, strips)
}

/// The least length that is enough, wherever the shop cuts; everything is tried.
fn least(rows: &Rows, width: Marks, sizes: &[(Marks, Marks, u32)], strips: bool) -> Option<Marks> {
    let each = rows.ends().into_iter().map(|end| {
        (1..400).find(|&length| {
            let middles = rows.on(end, width, length);
            let mut left: Vec<_> = sizes.iter().map(|&(h, w, n)| ([h, w], n)).collect();
            fits(
                &middles,
                (width, length),
                &mut left,
                &mut Vec::new(),
                strips,
            )
        })
    });
    each.collect::<Option<Vec<Marks>>>()?.into_iter().max()
}

/// Every piece has a motif in its middle, to the mark on which the middle is read.
fn on_motifs(rows: &Rows, cutting: &ClothCutting) {
    for sheet in &cutting.sheets {
        let mut pieces = sheet.pieces.iter();
        for strip in &sheet.strips {
            let here: u32 = strip.slabs.iter().map(|slab| slab.pieces).sum();
            let here: Vec<_> = pieces.by_ref().take(here as usize).collect();
            let Some(middle) = strip.centred else {
                continue;
            };
            for piece in here {
                let (low, high) = bounds(&piece.outline);
                let near = |motif: &&[Marks; 2]| {
                    let off = |axis: usize| {
                        ((low[axis] + high[axis]) / 2.0 - motif[axis] as f64 / 8.0).abs()
                    };
                    motif[1] == middle && off(0) <= 1.0 / 16.0 && off(1) <= 1.0 / 16.0
                };
                let motif = sheet.motifs.iter().find(near);
                let motif = motif.unwrap_or_else(|| panic!("{:?} shows no motif", piece.outline));
                // And it is where the maker says motifs are.
                let place = |x: Marks, over: Marks| (x - rows.edge - over).rem_euclid(rows.across);
                assert!(place(motif[0], 0) == 0 || place(motif[0], rows.offset) == 0);
                if let Some(end) = rows.end {
                    assert_eq!((motif[1] - end).rem_euclid(rows.along), 0);
                    let over = (motif[1] - end).div_euclid(rows.along).rem_euclid(2) * rows.offset;
                    assert_eq!(place(motif[0], over), 0);
                }
            }
        }
    }
}

fn bounds(outline: &[[f64; 2]]) -> ([f64; 2], [f64; 2]) {
    let fold = |of: fn(f64, f64) -> f64, axis: usize, from: f64| {
        outline.iter().map(|p| p[axis]).fold(from, of)
    };
    (
        [0, 1].map(|axis| fold(f64::min, axis, f64::INFINITY)),
        [0, 1].map(|axis| fold(f64::max, axis, f64::NEG_INFINITY)),
    )
}

fn rows() -> impl Strategy<Value = Rows> {
    let distances = (4..20_i64, 4..20_i64, 0..3_i64);
    let from = (0..20_i64, prop::option::of(0..20_i64));
    (distances, from).prop_map(|((across, along, offset), (edge, end))| Rows {
        across,
        along,
        offset: offset * across / 4,
        edge,
        end,
    })
}

/// A side that can be cut: more than two seam allowances.
fn side() -> impl Strategy<Value = Marks> {
    5..26_i64
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 120,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// One size: no plan of strips takes less, and where rows are all alike or do not reach
    /// into each other, no way of laying the pieces at all does.
    #[test]
    fn one_size_takes_the_least_there_is(
        rows in rows(),
        (height, width) in (side(), side()),
        count in 1..6_u32,
        across in 24..44_i64,
    ) {
        let sizes = [(height, width, count)];
        let bench = centred(&rows, across, &sizes);
        let cutting = bench.only();
        let known = least(&rows, across, &sizes, true);
        match known {
            None => prop_assert!(!cutting.too_large.is_empty()),
            Some(known) => {
                sound(&bench, &cutting);
                on_motifs(&rows, &cutting);
                prop_assert_eq!(cutting.needs, known);
                prop_assert_eq!(cutting.at_least, known as f64);
            }
        }
        if rows.offset == 0 || height <= rows.along {
            prop_assert_eq!(least(&rows, across, &sizes, false), known);
        }
    }

    /// Several sizes: everything lies right, and the bound is one.
    #[test]
    fn several_sizes_lie_right_and_the_bound_holds(
        rows in rows(),
        first in (side(), side(), 1..3_u32),
        second in (side(), side(), 1..3_u32),
        across in 24..40_i64,
    ) {
        let sizes = [first, second];
        let bench = centred(&rows, across, &sizes);
        let cutting = bench.only();
        if cutting.too_large.is_empty() {
            sound(&bench, &cutting);
            on_motifs(&rows, &cutting);
            let strips = least(&rows, across, &sizes, true).unwrap();
            prop_assert!(cutting.at_least <= strips as f64);
            prop_assert!(cutting.needs >= strips);
        }
    }
}

/// Motifs 4 in apart each way, 40 in of cloth, squares of 4 1/2 in: every second motif of
/// every second row.
#[test]
fn a_spacing_that_is_too_tight() {
    let rows = Rows {
        across: 32,
        along: 32,
        offset: 0,
        edge: 18,
        end: Some(18),
    };
    let bench = centred(&rows, 320, &[(36, 36, 12)]);
    let cutting = bench.only();
    // Middles at 2 1/4, 10 1/4, …, 34 1/4: five in a row, so three rows 8 in apart.
    assert_eq!(cutting.needs, 18 + 2 * 64 + 18);
    assert_eq!(cutting.at_least, cutting.needs as f64);
    let tight = cutting::tight(&bench.plan, &cutting);
    assert_eq!((tight[0].motif, tight[0].row), (2, 2));
    // Pieces as wide as the motifs lie apart lose none.
    let bench = centred(&rows, 320, &[(32, 32, 12)]);
    assert!(cutting::tight(&bench.plan, &bench.only()).is_empty());
}

/// What is centred is a band before everything else, and both are bought.
#[test]
fn the_rest_lies_below_the_band() {
    let rows = Rows {
        across: 40,
        along: 40,
        offset: 20,
        edge: 20,
        end: None,
    };
    let mut bench = centred(&rows, 320, &[(32, 32, 10), (20, 20, 40)]);
    bench.plan.blocks[1].places[0].centred = false;
    let cutting = bench.only();
    sound(&bench, &cutting);
    on_motifs(&rows, &cutting);
    let sheet = &cutting.sheets[0];
    let band = sheet.strips.iter().filter(|strip| strip.centred.is_some());
    let end = band.map(|strip| strip.y + strip.height).max().unwrap();
    // A row may begin at 5 in less a mark beyond the 2 in a piece needs above its middle.
    assert_eq!(end, 16 + 39 + 40 + 16);
    assert_eq!(cutting.needs, end + 3 * 20);
    assert!(
        sheet
            .strips
            .iter()
            .all(|s| s.centred.is_some() || s.y >= end)
    );
    // The rest could lie between the rows, so nothing is proved by adding up.
    assert!(cutting.at_least < cutting.needs as f64);
    let table = cutting::table(&bench.plan, &bench.blocks, std::slice::from_ref(&cutting));
    let steps = &table.stations[0].steps;
    assert_eq!(steps[0].action, Action::Spread);
    assert!(
        steps[0]
            .text
            .contains("has 2 in of cloth or more above its middles")
    );
    assert_eq!(steps[1].action, Action::Centred { by_template: false });
    assert_eq!(
        (steps[1].count, steps[1].passes, steps[1].layers),
        (10, 40, 1)
    );
    assert_eq!(steps[2].action, Action::CutOff);
    assert!(matches!(steps[3].action, Action::Square { .. }));
    // For the left hand the motifs stay where they are.
    bench.plan.cutting.hand = CuttingHand::Left;
    let other = sheet.from_the_other_side(1.0 / 8.0);
    let shown = |sheet: &Sheet| sheet.pieces[..10].to_vec();
    assert_eq!(shown(&other), shown(sheet));
    assert_ne!(other.pieces, sheet.pieces);
}

/// A length the maker has gives what it can; the rest is bought, and what is left of the
/// length is used for other things.
#[test]
fn owned_lengths_are_cut_first() {
    let rows = Rows {
        across: 40,
        along: 40,
        offset: 0,
        edge: 20,
        end: Some(20),
    };
    let mut bench = centred(&rows, 320, &[(32, 32, 20), (20, 20, 32)]);
    bench.plan.blocks[1].places[0].centred = false;
    let all = bench.only().needs;
    bench.plan.cloths[0].supply.owned = vec![Owned {
        kind: OwnedKind::Length,
        count: 1,
        across: None,
        along: Surd::int(12),
    }];
    let cutting = bench.only();
    sound(&bench, &cutting);
    on_motifs(&rows, &cutting);
    assert_eq!(cutting.sheets[0].source, Source::Owned(0));
    // Two rows of eight lie on it, and one strip of small squares; four pieces are bought.
    let kinds = cutting.sheets.iter().map(|sheet| {
        let shown = |piece: &&cutting::Laid| {
            matches!(cutting.demands[piece.demand].method, Method::Centred { .. })
        };
        (
            sheet.pieces.len(),
            sheet.pieces.iter().filter(shown).count(),
        )
    });
    assert_eq!(kinds.collect::<Vec<_>>(), [(32, 16), (20, 4)]);
    assert!(cutting.needs < all);
    bench.plan.cloths[0].supply.sold = false;
    let missing = bench.only().missing.unwrap();
    let short: u32 = missing.pieces.iter().map(|(_, served)| served.count).sum();
    assert_eq!(short, 20);
}

/// Triangles are cut by template, the centre of the patch on the motif; on a cloth that may
/// lie any way the better way of lying is taken.
#[test]
fn triangles_are_cut_by_template() {
    let rows = Rows {
        across: 48,
        along: 80,
        offset: 0,
        edge: 24,
        end: Some(40),
    };
    for direction in [Direction::Free, Direction::OneWay] {
        let mut sand = cloth(Surd::int(40), direction);
        sand.motif = Some(rows.motif());
        let halves = Cell::Rising("one".into(), "two".into());
        let side = Surd::int(5);
        let plan = block(
            "half",
            side.clone(),
            side,
            one_cell(halves),
            &["one", "two"],
        );
        let mut bench = bench_of(vec![sand], vec![(plan, 7)]);
        bench.plan.blocks[0].places[0].centred = true;
        let cutting = bench.only();
        sound(&bench, &cutting);
        let centred = cutting
            .demands
            .iter()
            .position(|demand| matches!(demand.method, Method::Centred { by_template: true }));
        let shown = cutting.pieces().filter(|p| Some(p.demand) == centred);
        let mut seen = 0;
        for piece in shown {
            // A right triangle's centre of area: the third point between its corners; of the
            // seam lines, which lie a quarter inch inside two sides and more on the third.
            let sheet = &cutting.sheets[0];
            let square = piece
                .outline
                .iter()
                .copied()
                .fold(piece.outline[0], |best, p| {
                    let far = |p: [f64; 2]| {
                        piece
                            .outline
                            .iter()
                            .map(|q| (p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2))
                            .fold(0.0, f64::max)
                    };
                    if far(p) < far(best) { p } else { best }
                });
            let (low, high) = bounds(&piece.outline);
            let middle = [0, 1].map(|axis| {
                let inward = if (square[axis] - low[axis]).abs() < 1e-6 {
                    1.0
                } else {
                    -1.0
                };
                let from = if inward > 0.0 { low[axis] } else { high[axis] };
                from + inward * (0.25 + 5.0 / 3.0)
            });
            let near = |m: &&[Marks; 2]| {
                (0..2).all(|axis| (m[axis] as f64 / 8.0 - middle[axis]).abs() < 1e-6)
            };
            assert!(sheet.motifs.iter().any(|m| near(&m)), "{middle:?}");
            seen += 1;
        }
        assert_eq!(seen, 7);
    }
}
