//! Every layout looked at from outside, with geometry of its own (the `geo` crate): pieces
//! inside their sheet and apart, cut edge to edge in the stages that are claimed, the
//! right number with the right hand, grain along or across and outside edges on the thread,
//! prints with a direction as in the block, folded strips in pairs, motifs in the middle, and
//! no more owned cloth than there is. For the demos, as they are, in prints with a direction
//! and with cloth on the shelf; and the checker is shown cuttings that are spoilt.
#![allow(clippy::unwrap_used, reason = "everything here is a test")]

mod shapes;

use std::collections::BTreeMap;
use std::path::Path;

use geo::{Area, BooleanOps, BoundingRect, Coord, LineString, Polygon, Rect};
use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{ClothCutting, Laid, Method, Sheet, Source, Use};
use quilt::plan::{ClothId, CutAlong, Direction, Motif, Owned, OwnedKind, Plan};
use quilt::results::{self, Results};
use quilt::setting::{PartKind, cloth_of};

use shapes::{BENT, LONGER, chiral, exact, flipped, half, lie, square, turns};

/// A thousandth of an inch: far below what any blade can do, far above a float's error.
const NEAR: f64 = 1e-3;

const DEMOS: [&str; 5] = [
    "harbour-lights",
    "night-ferry",
    "orchard-at-dusk",
    "whirligig-pier",
    "honeycomb-steps",
];

fn demo(name: &str) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    planfile::read(name, &std::fs::read_to_string(path).unwrap()).unwrap()
}

fn polygon(piece: &Laid) -> Polygon {
    let ring = piece.outline.iter().map(|&[x, y]| Coord { x, y });
    Polygon::new(ring.collect::<LineString>(), Vec::new())
}

/// What is wrong with the layouts of a plan, in words.
type Faults = Vec<String>;

/// Adds a fault unless this is true.
macro_rules! must {
    ($faults:expr, $fine:expr, $($words:tt)+) => {
        let fine: bool = $fine;
        if !fine {
            $faults.push(format!($($words)+));
        }
    };
}

fn check(plan: &Plan) {
    let results = results::work_out(plan, None);
    let all = results.cutting.as_ref().expect("the plan is cut");
    rough(plan, &results);
    let faults = faults(plan, &results, all);
    assert!(faults.is_empty(), "{faults:#?}");
}

/// Everything that is looked at.
fn faults(plan: &Plan, results: &Results, all: &[ClothCutting]) -> Faults {
    let mut faults = Faults::new();
    let mut wanted = patches(plan, results);
    for cutting in all {
        let mark = plan.ruler.mark().to_f64();
        for sheet in &cutting.sheets {
            inside_and_apart(sheet, mark, &mut faults);
            stages(cutting, sheet, mark, &mut faults);
            folded(plan, cutting, sheet, &mut faults);
            lengthwise(plan, cutting, sheet, &mut faults);
            motifs(plan, cutting, sheet, mark, &mut faults);
        }
        owned_enough(plan, cutting, mark, &mut faults);
        for sheet in &cutting.sheets {
            for piece in &sheet.pieces {
                patch(
                    (plan, results),
                    (cutting, sheet),
                    piece,
                    &mut wanted,
                    &mut faults,
                );
            }
        }
        for (_, served) in cutting.missing.iter().flat_map(|missing| &missing.pieces) {
            if let Use::Patch(block, template) = served.usage {
                let want = wanted.get_mut(&(cutting.cloth, block.0, template)).unwrap();
                want.count -= i64::from(served.count);
            }
        }
    }
    let too_large = all.iter().any(|cutting| !cutting.too_large.is_empty());
    let run_out = all.iter().any(|cutting| cutting.missing.is_some());
    for ((cloth, block, template), want) in wanted {
        let name = format!("cloth {} block {block} template {template}", cloth.0);
        must!(
            faults,
            want.count == 0 || too_large,
            "{name}: {} not cut",
            want.count
        );
        if too_large || run_out {
            continue;
        }
        must!(
            faults,
            want.mirrored == 0,
            "{name}: {} of the wrong hand",
            want.mirrored
        );
        let askew: Vec<_> = want.lie.iter().filter(|(_, many)| **many != 0).collect();
        must!(
            faults,
            askew.is_empty(),
            "{name}: the print does not run as in the block, {askew:?}"
        );
    }
    faults
}

/// What a cloth must give of one template.
#[derive(Default)]
struct Want {
    count: i64,
    /// How many of those that tell left from right are mirrored.
    mirrored: i64,
    /// On a print with a direction: by how the piece lies to the print, in whole degrees.
    lie: BTreeMap<i64, i64>,
    /// Some of these patches have an edge on the outside of the block: how one of them is
    /// turned there, degrees. Outside edges lie on the thread, so between the block and the
    /// cloth there are only right angles.
    outside: Option<f64>,
}

type Wanted = BTreeMap<(ClothId, usize, usize), Want>;

/// How many patches of each template a cloth must give, with which hand, and how their
/// print is to run.
fn patches(plan: &Plan, results: &Results) -> Wanted {
    let mut wanted = Wanted::new();
    for placed in &results.top.as_ref().unwrap().blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        let size = &plan.blocks[placed.block.0];
        let (width, height) = (size.width.to_f64(), size.height.to_f64());
        for (index, patch) in block.patches.iter().enumerate() {
            let Some(place) = patch.place else { continue };
            let cloth = cloth_of(plan, placed, place, index);
            let rough = block.foundation.as_ref().map(|f| f.piece(index));
            if rough.flatten().is_some() {
                continue;
            }
            let of = wanted
                .entry((cloth, placed.block.0, patch.template))
                .or_default();
            of.count += 1;
            let chiral = chiral(&exact(results, placed.block.0, patch.template));
            of.mirrored += i64::from(chiral && patch.from_template.is_mirrored());
            let outline: Vec<[f64; 2]> =
                patch.outline.points().iter().map(|p| p.to_f64()).collect();
            let drafted = &block.templates[patch.template];
            let template: Vec<[f64; 2]> = drafted
                .finished
                .points()
                .iter()
                .map(|p| p.to_f64())
                .collect();
            let n = outline.len();
            let handed = if patch.from_template.is_mirrored() {
                flipped(&template)
            } else {
                template
            };
            let turns = turns(&handed, &outline, (NEAR, NEAR));
            let outside = (0..n).any(|i| {
                let (a, b) = (outline[i], outline[(i + 1) % n]);
                let on = |axis: usize, at: f64| {
                    (a[axis] - at).abs() < NEAR && (b[axis] - at).abs() < NEAR
                };
                on(0, 0.0) || on(0, width) || on(1, 0.0) || on(1, height)
            });
            if outside && of.outside.is_none() {
                of.outside = turns.first().copied();
            }
            if let Some(half) = half(plan, cloth) {
                // The print runs up the block where the grain is upright or level in it.
                let upright = square(patch.grain) < BENT;
                let lie = if upright { lie(&turns, half) } else { None };
                *of.lie.entry(lie.unwrap_or(-1)).or_default() += 1;
            }
        }
    }
    wanted
}

/// Rectangles for foundations are cut as often as their patches lie in the top, each at
/// least as large as its patch asks for.
fn rough(plan: &Plan, results: &Results) {
    let mut wanted: BTreeMap<(ClothId, Use), u32> = BTreeMap::new();
    for placed in &results.top.as_ref().unwrap().blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        let Some(founded) = &block.foundation else {
            continue;
        };
        for (index, patch) in block.patches.iter().enumerate() {
            let (Some(place), Some((kind, number))) = (patch.place, founded.piece(index)) else {
                continue;
            };
            let cloth = cloth_of(plan, placed, place, index);
            let usage = Use::Rough(placed.block, kind, number);
            *wanted.entry((cloth, usage)).or_default() += 1;
        }
    }
    for cutting in results.cutting.as_ref().unwrap().iter() {
        for piece in cutting.pieces() {
            let Use::Rough(block, kind, number) = piece.usage else {
                continue;
            };
            let left = wanted.get_mut(&(cutting.cloth, piece.usage));
            *left.expect("what is cut is needed") -= 1;
            let founded = results.blocks[block.0].as_ref().unwrap();
            let founded = founded.foundation.as_ref().unwrap();
            let asked = &founded.kinds[kind].pieces[number - 1];
            let bounds = polygon(piece).bounding_rect().unwrap();
            let mut cut = [bounds.width(), bounds.height()];
            let mut sides = [asked.along.exact.to_f64(), asked.across.exact.to_f64()];
            cut.sort_by(f64::total_cmp);
            sides.sort_by(f64::total_cmp);
            assert!(cut[0] > sides[0] - NEAR && cut[1] > sides[1] - NEAR);
        }
        for (_, served) in cutting.missing.iter().flat_map(|missing| &missing.pieces) {
            if let Some(left) = wanted.get_mut(&(cutting.cloth, served.usage)) {
                *left -= served.count;
            }
        }
    }
    assert!(wanted.values().all(|&left| left == 0), "{wanted:?}");
}

/// The piece is its template, with the grain that is asked for, of the hand that is needed,
/// its print as it is to run.
fn patch(
    (plan, results): (&Plan, &Results),
    (cutting, sheet): (&ClothCutting, &Sheet),
    piece: &Laid,
    wanted: &mut Wanted,
    faults: &mut Faults,
) {
    let Use::Patch(block, template) = piece.usage else {
        return;
    };
    let drafted = results.blocks[block.0].as_ref().unwrap();
    let known = &drafted.templates[template];
    let by_template = matches!(
        cutting.demands[piece.demand].method,
        Method::Template | Method::Centred { by_template: true }
    );
    let shape = if by_template && !known.trimmed.is_empty() {
        known.trimmed.clone()
    } else {
        known.cut.clone()
    };
    let loose = if by_template {
        (NEAR, NEAR)
    } else {
        (BENT, LONGER)
    };
    let name = format!("{} of block {}", known.letter, block.0);
    let straight = turns(&shape, &piece.outline, loose);
    let over = turns(&flipped(&shape), &piece.outline, loose);
    if straight.is_empty() && over.is_empty() {
        faults.push(format!("{:?} is no {name}", piece.outline));
        return;
    }
    let along = straight
        .iter()
        .any(|turn| square(turn + known.grain) < BENT)
        || over
            .iter()
            .any(|turn| square(turn + 180.0 - known.grain) < BENT);
    must!(faults, along, "grain of {name} at {straight:?} {over:?}");
    let Some(want) = wanted.get_mut(&(cutting.cloth, block.0, template)) else {
        faults.push(format!("{name} is cut of a cloth that needs none"));
        return;
    };
    if let Some(there) = want.outside {
        let mut turns = straight.iter().chain(&over);
        let level = turns.any(|turn| square(turn - there) < BENT);
        must!(
            faults,
            level,
            "{name}: the edge for the outside of the block is off the thread"
        );
    }
    want.count -= 1;
    if chiral(&known.cut) {
        want.mirrored -= i64::from(straight.is_empty());
    }
    if let Some(half) = half(plan, cutting.cloth) {
        let turns = if straight.is_empty() { over } else { straight };
        // A turned sheet lies a quarter to the left, so its print runs to the right.
        let shift = if sheet.turned { 90.0 } else { 0.0 };
        let turns: Vec<f64> = turns.iter().map(|turn| turn + shift).collect();
        let lie = lie(&turns, half).unwrap_or(-1);
        let asked = want.lie.contains_key(&lie);
        if !asked && want.lie.contains_key(&-1) {
            // The grain slants in the block: the print follows the arrow along the cloth.
            let upright = turns.iter().any(|turn| {
                let off = (turn + known.grain - 90.0).rem_euclid(180.0);
                off.min(180.0 - off) < BENT
            });
            must!(
                faults,
                upright,
                "{name}: the print does not follow the arrow"
            );
            *want.lie.entry(-1).or_default() -= 1;
        } else {
            *want.lie.entry(lie).or_default() -= 1;
        }
    }
}

fn inside_and_apart(sheet: &Sheet, mark: f64, faults: &mut Faults) {
    let (width, length) = (sheet.width as f64 * mark, sheet.length as f64 * mark);
    let mut pieces: Vec<(Rect, Polygon)> = Vec::new();
    for piece in &sheet.pieces {
        let shape = polygon(piece);
        let bounds = shape.bounding_rect().unwrap();
        let (least, most) = (bounds.min(), bounds.max());
        let inside =
            least.x > -NEAR && least.y > -NEAR && most.x < width + NEAR && most.y < length + NEAR;
        must!(faults, inside, "{:?} lies off the cloth", piece.outline);
        pieces.push((bounds, shape));
    }
    pieces.sort_by(|a, b| a.0.min().y.total_cmp(&b.0.min().y));
    for (i, (bounds, shape)) in pieces.iter().enumerate() {
        for (other, beside) in &pieces[i + 1..] {
            if other.min().y > bounds.max().y - NEAR {
                break;
            }
            let apart =
                other.min().x > bounds.max().x - NEAR || other.max().x < bounds.min().x + NEAR;
            let fine = apart || shape.intersection(beside).unsigned_area() < NEAR;
            must!(faults, fine, "{shape:?} and {beside:?} overlap");
        }
    }
}

/// Left, top, right, bottom.
type Frame = [i64; 4];

/// Strips come apart by cuts from edge to edge, their slabs by cross-cuts, and what is cut
/// by ruler in a slab by straight cuts again. Pieces centred on motifs are cut out one by
/// one, so there only the rows must come apart.
fn stages(cutting: &ClothCutting, sheet: &Sheet, mark: f64, faults: &mut Faults) {
    let strips: Vec<Frame> = (sheet.strips.iter())
        .map(|s| [s.x, s.y, s.x + s.width, s.y + s.height])
        .collect();
    for s in &strips {
        let inside = s[0] >= 0 && s[1] >= 0 && s[2] <= sheet.width && s[3] <= sheet.length;
        must!(faults, inside, "strip {s:?} lies off the cloth");
    }
    must!(
        faults,
        comes_apart(&strips),
        "strips need cuts from edge to edge"
    );
    let mut pieces = sheet.pieces.iter();
    for strip in &sheet.strips {
        let mut x = strip.x;
        for slab in &strip.slabs {
            let fine = slab.x >= x && slab.height <= strip.height;
            must!(faults, fine, "{slab:?} does not follow in {strip:?}");
            x = slab.x + slab.width;
            let here: Vec<&Laid> = pieces.by_ref().take(slab.pieces as usize).collect();
            for piece in &here {
                let bounds = polygon(piece).bounding_rect().unwrap();
                let [left, top] = [slab.x, strip.y].map(|m| m as f64 * mark - NEAR);
                let [right, bottom] =
                    [slab.x + slab.width, strip.y + slab.height].map(|m| m as f64 * mark + NEAR);
                let inside = bounds.min().x > left
                    && bounds.min().y > top
                    && bounds.max().x < right
                    && bounds.max().y < bottom;
                must!(faults, inside, "{:?} sticks out of {slab:?}", piece.outline);
            }
            let method = &cutting.demands[slab.demand].method;
            if !matches!(method, Method::Template | Method::Centred { .. }) {
                let shapes: Vec<&[[f64; 2]]> = here.iter().map(|p| &p.outline[..]).collect();
                must!(
                    faults,
                    cut_by_ruler(&shapes),
                    "no straight cuts divide {shapes:?}"
                );
            }
        }
        must!(faults, x <= strip.x + strip.width, "{strip:?} is overfull");
    }
    must!(faults, pieces.count() == 0, "a piece lies in no slab");
}

/// What is cross-cut folded comes in pairs from both ends: the slabs are their own mirror
/// image across the fold, but for one at most in the middle; and nothing that is cut at a
/// slant or by template lies in such a strip, since it would come with both hands.
fn folded(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet, faults: &mut Faults) {
    let folded = quilt::cutting::folded_strips(plan, cutting, sheet);
    for (strip, _) in sheet
        .strips
        .iter()
        .zip(folded)
        .filter(|(_, folded)| *folded)
    {
        let run = strip
            .slabs
            .iter()
            .any(|slab| match &cutting.demands[slab.demand].method {
                Method::Template | Method::Centred { .. } => true,
                Method::Ruler(rotary) => rotary.yields == 1,
                _ => false,
            });
        must!(
            faults,
            !run,
            "{strip:?} is cut folded, and its pieces have a hand"
        );
        let ends: Vec<Frame> = strip
            .slabs
            .iter()
            .map(|s| {
                [
                    s.x - strip.x,
                    s.x - strip.x + s.width,
                    s.height,
                    s.demand as i64,
                ]
            })
            .collect();
        let alone = ends.iter().filter(|s| {
            let [from, to] = [strip.width - s[1], strip.width - s[0]];
            let over = |t: &&Frame| t[0] == from && t[1] == to && t[2] == s[2] && t[3] == s[3];
            !ends.iter().any(|t| over(&t))
        });
        // The odd ones lie next to each other around the middle.
        let mut odd: Vec<&Frame> = alone.collect();
        odd.sort_by_key(|s| s[0]);
        let close = odd.windows(2).all(|two| two[0][1] == two[1][0]);
        // One of each kind and way of lying.
        let kinds: Vec<Frame> = odd.iter().map(|s| [s[1] - s[0], s[2], s[3], 0]).collect();
        let once = (1..kinds.len()).all(|i| !kinds[..i].contains(&kinds[i]));
        must!(
            faults,
            close && once,
            "{strip:?} is cut folded, and {odd:?} have no partner"
        );
    }
}

/// What is to lie along the selvage does.
fn lengthwise(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet, faults: &mut Faults) {
    for piece in &sheet.pieces {
        let border = match piece.usage {
            Use::Part(PartKind::BorderSide(border) | PartKind::BorderEnd(border)) => border,
            _ => continue,
        };
        if plan.borders[border].cut != CutAlong::Length {
            continue;
        }
        let bounds = polygon(piece).bounding_rect().unwrap();
        let (across, along) = if sheet.turned {
            (bounds.height(), bounds.width())
        } else {
            (bounds.width(), bounds.height())
        };
        must!(
            faults,
            along >= across,
            "a strip of border {border} of cloth {} does not lie along the selvage",
            cutting.cloth.0
        );
    }
}

/// What is to show a motif has one in its middle, to within a mark, and the motif is where
/// the maker says motifs are.
fn motifs(plan: &Plan, cutting: &ClothCutting, sheet: &Sheet, mark: f64, faults: &mut Faults) {
    let Some(motif) = &plan.cloth(cutting.cloth).motif else {
        return;
    };
    let [across, along, offset] = [&motif.across, &motif.along, &motif.offset].map(Surd::to_f64);
    let edge = motif.from_edge.as_ref().map_or(across / 2.0, Surd::to_f64);
    let near = |off: f64, step: f64| {
        let off = off.rem_euclid(step);
        off.min(step - off) < mark + NEAR
    };
    let mut rows: Vec<(f64, bool)> = Vec::new();
    for piece in &sheet.pieces {
        let Method::Centred { by_template } = cutting.demands[piece.demand].method else {
            continue;
        };
        let bounds = polygon(piece).bounding_rect().unwrap();
        let middle = bounds.center();
        // Of a template's pieces only the seam lines tell the middle: those are looked at in
        // the tests of the stage.
        if by_template {
            continue;
        }
        let straight = near(middle.x - edge, across);
        let over = near(middle.x - edge - offset, across);
        must!(
            faults,
            straight || over,
            "{:?} shows no motif",
            piece.outline
        );
        if let Some(end) = &motif.from_end {
            let up = middle.y - end.to_f64();
            must!(faults, near(up, along), "{:?} shows no row", piece.outline);
        }
        if straight != over {
            rows.push((middle.y, over));
        }
    }
    for (y, over) in &rows {
        for (other, set) in &rows {
            let steps = ((y - other) / along).round();
            let fine = near(y - other, along) && ((steps.rem_euclid(2.0) == 1.0) == (over != set));
            must!(
                faults,
                fine || offset < NEAR,
                "rows at {y} and {other} are none of motifs"
            );
        }
    }
}

fn comes_apart(frames: &[Frame]) -> bool {
    if frames.len() < 2 {
        return true;
    }
    for axis in [1, 0] {
        let mut ends: Vec<i64> = frames.iter().map(|f| f[axis + 2]).collect();
        ends.sort_unstable();
        ends.dedup();
        for end in ends {
            if frames.iter().any(|f| f[axis] < end && f[axis + 2] > end) {
                continue;
            }
            let (one, other): (Vec<Frame>, Vec<Frame>) =
                frames.iter().partition(|f| f[axis + 2] <= end);
            if !one.is_empty() && !other.is_empty() {
                return comes_apart(&one) && comes_apart(&other);
            }
        }
    }
    false
}

/// Straight cuts along an edge, none through a piece, until each is alone.
fn cut_by_ruler(pieces: &[&[[f64; 2]]]) -> bool {
    if pieces.len() < 2 {
        return true;
    }
    for piece in pieces {
        for i in 0..piece.len() {
            let (a, b) = (piece[i], piece[(i + 1) % piece.len()]);
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            let side = |p: &[f64; 2]| {
                ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / length
            };
            let left = |p: &&[[f64; 2]]| p.iter().all(|q| side(q) > -NEAR);
            let right = |p: &&[[f64; 2]]| p.iter().all(|q| side(q) < NEAR);
            let (one, other): (Vec<&[[f64; 2]]>, Vec<_>) = pieces.iter().partition(|p| left(p));
            if !one.is_empty() && !other.is_empty() && other.iter().all(right) {
                return cut_by_ruler(&one) && cut_by_ruler(&other);
            }
        }
    }
    false
}

/// No more owned cloth is cut than there is, and what is cut has its size.
fn owned_enough(plan: &Plan, cutting: &ClothCutting, mark: f64, faults: &mut Faults) {
    let cloth = plan.cloth(cutting.cloth);
    let mut used = vec![0; cloth.supply.owned.len()];
    for sheet in &cutting.sheets {
        let Source::Owned(index) = sheet.source else {
            must!(faults, cloth.supply.sold, "what is not sold is bought");
            continue;
        };
        used[index] += 1;
        let owned = &cloth.supply.owned[index];
        let across = owned.across.as_ref().unwrap_or(&cloth.width).to_f64();
        let (width, length) = if sheet.turned {
            (sheet.length, sheet.width)
        } else {
            (sheet.width, sheet.length)
        };
        let fits = width as f64 * mark <= across + NEAR
            && length as f64 * mark <= owned.along.to_f64() + NEAR;
        must!(faults, fits, "owned piece {index} is not so large");
    }
    for (used, owned) in used.iter().zip(&cloth.supply.owned) {
        must!(
            faults,
            *used <= owned.count,
            "{used} of {} are cut",
            owned.count
        );
    }
}

#[test]
fn the_demos_as_they_are() {
    for name in DEMOS {
        check(&demo(name));
    }
}

/// The demos with prints that have a direction, and with pieces centred on motifs.
#[test]
fn the_demos_in_prints_with_a_direction_and_with_motifs() {
    for name in DEMOS {
        for direction in [Direction::TwoWay, Direction::OneWay] {
            let mut plan = demo(name);
            for cloth in &mut plan.cloths {
                cloth.direction = direction;
            }
            check(&plan);
            check(&with_motifs(plan, Surd::ratio(9, 2)));
        }
        check(&with_motifs(demo(name), Surd::int(3)));
    }
}

/// The first place of every block centred, on motifs so far apart.
fn with_motifs(mut plan: Plan, apart: Surd) -> Plan {
    for block in &mut plan.blocks {
        block.places[0].centred = true;
    }
    for (index, cloth) in plan.cloths.iter_mut().enumerate() {
        cloth.motif = Some(Motif {
            across: apart.clone(),
            along: &apart + Surd::ratio(index as i64 % 4, 2),
            offset: if index % 2 == 0 {
                Surd::ZERO
            } else {
                apart.half()
            },
            from_edge: (index % 3 == 0).then_some(Surd::ONE),
            from_end: (index % 3 == 1).then_some(Surd::int(2)),
        });
    }
    plan
}

/// A cutting that is not right never passes: the checker sees what it is there to see.
#[test]
fn a_cutting_that_is_spoilt_is_refused() {
    let refused = |plan: &Plan, what: &str, spoil: &dyn Fn(&mut Vec<ClothCutting>)| {
        let results = results::work_out(plan, None);
        let mut all = results.cutting.as_ref().unwrap().to_vec();
        assert_eq!(faults(plan, &results, &all), Faults::new());
        let before = all.clone();
        spoil(&mut all);
        assert_ne!(all, before, "{what}: something is spoilt");
        let found = faults(plan, &results, &all);
        assert!(!found.is_empty(), "{what} passes");
    };
    let plan = demo("night-ferry");
    refused(&plan, "a piece moved a quarter inch", &|all| {
        all[0].sheets[0].pieces[0]
            .outline
            .iter_mut()
            .for_each(|p| p[0] += 0.25);
    });
    refused(&plan, "a piece left out", &|all| {
        all[0].sheets[0].pieces.pop();
    });
    refused(&plan, "a piece cut twice", &|all| {
        let piece = all[0].sheets[0].pieces[0].clone();
        all[0].sheets[0].pieces.insert(0, piece);
    });
    refused(&plan, "a triangle turned off its grain", &|all| {
        let (piece, _) = first(all, 3);
        turn(piece, 45.0);
    });
    refused(&plan, "strips moved into each other", &|all| {
        all[0].sheets[0].strips[0].y += 1;
    });
    refused(&plan, "a slab of a folded strip moved", &|all| {
        for sheet in all.iter_mut().flat_map(|cutting| &mut cutting.sheets) {
            let mut pieces = sheet.pieces.iter_mut();
            for strip in &mut sheet.strips {
                let here: u32 = strip.slabs.iter().map(|s| s.pieces).sum();
                let mut here: Vec<_> = pieces.by_ref().take(here as usize).collect();
                let n = strip.slabs.len();
                // The right ends a mark to the left, where there is room.
                let gap = (1..n)
                    .find(|&i| strip.slabs[i].x > strip.slabs[i - 1].x + strip.slabs[i - 1].width);
                if let Some(from) = gap {
                    let skip: u32 = strip.slabs[..from].iter().map(|s| s.pieces).sum();
                    strip.slabs[from..].iter_mut().for_each(|s| s.x -= 1);
                    for piece in here.iter_mut().skip(skip as usize) {
                        piece.outline.iter_mut().for_each(|p| p[0] -= 0.125);
                    }
                }
            }
        }
    });
    let mut one_way = plan.clone();
    for cloth in &mut one_way.cloths {
        cloth.direction = Direction::OneWay;
    }
    refused(&one_way, "a print upside down", &|all| {
        // Two halves of a square change places.
        for piece in all
            .iter_mut()
            .flat_map(|c| &mut c.sheets)
            .flat_map(|s| &mut s.pieces)
        {
            if piece.outline.len() == 3 {
                turn(piece, 180.0);
            }
        }
    });
    let motifs = with_motifs(demo("harbour-lights"), Surd::ratio(9, 2));
    refused(&motifs, "a motif off the middle", &|all| {
        for cutting in all.iter_mut() {
            let centred = |demand: usize| {
                matches!(
                    cutting.demands[demand].method,
                    Method::Centred { by_template: false }
                )
            };
            for sheet in &mut cutting.sheets {
                let shown = sheet
                    .pieces
                    .iter_mut()
                    .filter(|piece| centred(piece.demand));
                for piece in shown {
                    piece.outline.iter_mut().for_each(|p| p[0] += 0.5);
                }
            }
        }
    });
    let log = demo("orchard-at-dusk");
    refused(&log, "a piece of another length", &|all| {
        let (piece, _) = first(all, 4);
        let most = piece.outline.iter().map(|p| p[0]).fold(0.0, f64::max);
        piece
            .outline
            .iter_mut()
            .filter(|p| p[0] == most)
            .for_each(|p| p[0] -= 0.5);
    });
}

/// The first piece with so many corners, and its cloth.
fn first(all: &mut [ClothCutting], corners: usize) -> (&mut Laid, ClothId) {
    let pieces = all.iter_mut().flat_map(|cutting| {
        let cloth = cutting.cloth;
        let sheets = cutting.sheets.iter_mut();
        sheets
            .flat_map(|sheet| &mut sheet.pieces)
            .map(move |piece| (piece, cloth))
    });
    let mut pieces = pieces.filter(|(piece, _)| piece.outline.len() == corners);
    pieces.next().expect("there is one")
}

/// Turned about its middle.
fn turn(piece: &mut Laid, degrees: f64) {
    let bounds = polygon(piece).bounding_rect().unwrap();
    let (x, y) = bounds.center().x_y();
    let (sine, cosine) = degrees.to_radians().sin_cos();
    for p in &mut piece.outline {
        let [u, v] = [p[0] - x, p[1] - y];
        *p = [x + u * cosine - v * sine, y + u * sine + v * cosine];
    }
}

/// A shape cut through never passes: the checker sees what it is there to see.
#[test]
fn the_checker_refuses_what_is_wrong() {
    let square = |x: f64| vec![[x, 0.0], [x + 1.0, 0.0], [x + 1.0, 1.0], [x, 1.0]];
    assert!(cut_by_ruler(&[&square(0.0), &square(1.0)]));
    assert!(!cut_by_ruler(&[&square(0.0), &square(0.5)]));
    // Four bricks round a hole: no cut from edge to edge.
    assert!(!comes_apart(&[
        [0, 0, 2, 1],
        [2, 0, 3, 2],
        [1, 2, 3, 3],
        [0, 1, 1, 3]
    ]));
    assert!(comes_apart(&[[0, 0, 2, 1], [0, 1, 2, 3], [2, 0, 3, 3]]));
    let leaning = [[0.0, 0.0], [3.0, 0.0], [4.0, 1.0], [1.0, 1.0]];
    assert!(chiral(&leaning) && !chiral(&square(0.0)));
}

fn owned() -> impl Strategy<Value = Owned> {
    let size = (8..88_i64, 16..176_i64);
    let whole = (1..4_u32, any::<bool>(), size);
    whole.prop_map(|(count, full, (along, across))| Owned {
        kind: OwnedKind::Piece,
        count,
        across: (!full).then(|| Surd::ratio(across, 4)),
        along: Surd::ratio(along, 4),
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 6,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_demos_with_cloth_on_the_shelf(
        which in 0..3_usize,
        shelf in prop::collection::vec(prop::collection::vec(owned(), 0..3), 14),
        sold in prop::collection::vec(prop::bool::weighted(0.8), 14),
        motifs in any::<bool>(),
    ) {
        let mut plan = demo(DEMOS[which]);
        if motifs {
            plan = with_motifs(plan, Surd::int(4));
        }
        let bought: Surd = total(&plan);
        for (index, cloth) in plan.cloths.iter_mut().enumerate() {
            cloth.supply.owned.clone_from(&shelf[index % shelf.len()]);
        }
        prop_assert!(total(&plan) <= bought, "owned cloth never makes you buy more");
        for (index, cloth) in plan.cloths.iter_mut().enumerate() {
            cloth.supply.sold = sold[index % sold.len()];
        }
        check(&plan);
    }
}

/// All that is bought, inches.
fn total(plan: &Plan) -> Surd {
    let results = results::work_out(plan, None);
    let mut sum = Surd::ZERO;
    for cutting in results.cutting.as_ref().unwrap().iter() {
        assert!(cutting.at_least <= cutting.needs as f64);
        sum += &cutting.buy;
    }
    sum
}
