//! Every layout looked at from outside, with geometry of its own (the `geo` crate): pieces
//! inside their sheet and apart, cut edge to edge in the stages that are claimed, the
//! right number with the right hand, grain along or across, and no more owned cloth than
//! there is. For the demos, as they are and with cloth on the shelf.
#![allow(clippy::unwrap_used, reason = "everything here is a test")]

use std::collections::BTreeMap;
use std::path::Path;

use geo::{Area, BooleanOps, BoundingRect, Coord, LineString, Polygon, Rect};
use geometry::Surd;
use proptest::prelude::*;
use quilt::cutting::{ClothCutting, Laid, Method, Sheet, Source, Use};
use quilt::plan::{ClothId, Owned, OwnedKind, Plan};
use quilt::results::{self, Results};
use quilt::setting::cloth_of;

/// A thousandth of an inch: far below what any blade can do, far above a float's error.
const NEAR: f64 = 1e-3;

/// Rounding to the ruler bends no angle by more, degrees, and no side by more, inches.
const BENT: f64 = 1.5;
const LONGER: f64 = 0.4;

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

fn check(plan: &Plan) {
    let results = results::work_out(plan, None);
    let all = results.cutting.as_ref().expect("the plan is cut");
    rough(plan, &results);
    let mut hands = patches(plan, &results);
    for cutting in all.iter() {
        let mark = plan.ruler.mark().to_f64();
        for sheet in &cutting.sheets {
            inside_and_apart(sheet, mark);
            stages(cutting, sheet, mark);
        }
        owned_enough(plan, cutting, mark);
        for sheet in &cutting.sheets {
            for piece in &sheet.pieces {
                patch(&results, cutting, piece, &mut hands);
            }
        }
        for (_, served) in cutting.missing.iter().flat_map(|missing| &missing.pieces) {
            if let Use::Patch(block, template) = served.usage {
                let (left, _) = hands.get_mut(&(cutting.cloth, block.0, template)).unwrap();
                *left -= i64::from(served.count);
            }
        }
    }
    for ((cloth, block, template), (left, mirrored)) in hands {
        let too_large = results
            .findings
            .iter()
            .any(|f| f.text.contains("larger than"));
        let name = format!("cloth {} block {block} template {template}", cloth.0);
        assert!(left == 0 || too_large, "{name}: {left} not cut");
        let run_out = all.iter().any(|cutting| cutting.missing.is_some());
        assert!(
            mirrored == 0 || too_large || run_out,
            "{name}: {mirrored} of the wrong hand"
        );
    }
}

/// How many patches of each template a cloth must give, and how many of them mirrored (of
/// those that tell left from right).
fn patches(plan: &Plan, results: &Results) -> BTreeMap<(ClothId, usize, usize), (i64, i64)> {
    let mut counts = BTreeMap::new();
    for placed in &results.top.as_ref().unwrap().blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        for (index, patch) in block.patches.iter().enumerate() {
            let Some(place) = patch.place else { continue };
            let cloth = cloth_of(plan, placed, place, index);
            let rough = block.foundation.as_ref().map(|f| f.piece(index));
            if rough.flatten().is_some() {
                continue;
            }
            let of: &mut (i64, i64) = counts
                .entry((cloth, placed.block.0, patch.template))
                .or_default();
            of.0 += 1;
            let chiral = chiral(&exact(results, placed.block.0, patch.template));
            of.1 += i64::from(chiral && patch.from_template.is_mirrored());
        }
    }
    counts
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

/// The template's exact cut outline.
fn exact(results: &Results, block: usize, template: usize) -> Vec<[f64; 2]> {
    results.blocks[block].as_ref().unwrap().templates[template]
        .cut
        .clone()
}

/// Sides and turns of an outline, from each of its corners on.
fn corners(outline: &[[f64; 2]]) -> Vec<(f64, f64)> {
    let n = outline.len();
    let edge = |i: usize| {
        let (a, b) = (outline[i % n], outline[(i + 1) % n]);
        [b[0] - a[0], b[1] - a[1]]
    };
    let corner = |i: usize| {
        let (u, v) = (edge(i), edge(i + 1));
        let turn = (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]);
        (u[0].hypot(u[1]), turn.to_degrees())
    };
    (0..n).map(corner).collect()
}

fn flipped(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    outline.iter().rev().map(|p| [-p[0], p[1]]).collect()
}

/// The angles by which `exact` must be turned to lie like `laid`.
fn turns(exact: &[[f64; 2]], laid: &[[f64; 2]], (bent, longer): (f64, f64)) -> Vec<f64> {
    let (a, b) = (corners(exact), corners(laid));
    if a.len() != b.len() {
        return Vec::new();
    }
    let n = a.len();
    let like = |shift: &usize| {
        (0..n).all(|i| {
            let ((side, turn), (cut, cut_turn)) = (a[i], b[(i + shift) % n]);
            (turn - cut_turn).abs() < bent && (side - cut).abs() < longer
        })
    };
    let angle = |p: &[[f64; 2]], i: usize| {
        let (u, v) = (p[i % n], p[(i + 1) % n]);
        (v[1] - u[1]).atan2(v[0] - u[0]).to_degrees()
    };
    (0..n)
        .filter(like)
        .map(|shift| angle(laid, shift) - angle(exact, 0))
        .collect()
}

fn chiral(exact: &[[f64; 2]]) -> bool {
    turns(exact, &flipped(exact), (BENT, LONGER)).is_empty()
}

/// The piece is its template, with grain along or across, and of the hand that is needed.
fn patch(
    results: &Results,
    cutting: &ClothCutting,
    piece: &Laid,
    hands: &mut BTreeMap<(ClothId, usize, usize), (i64, i64)>,
) {
    let Use::Patch(block, template) = piece.usage else {
        return;
    };
    let drafted = results.blocks[block.0].as_ref().unwrap();
    let known = &drafted.templates[template];
    let by_template = matches!(cutting.demands[piece.demand].method, Method::Template);
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
    let straight = turns(&shape, &piece.outline, loose);
    let over = turns(&flipped(&shape), &piece.outline, loose);
    assert!(
        !straight.is_empty() || !over.is_empty(),
        "{:?} is no {} of {}",
        piece.outline,
        known.letter,
        block.0
    );
    let true_grain = |turn: f64, grain: f64| {
        let off = (turn + grain).rem_euclid(90.0);
        off.min(90.0 - off) < BENT
    };
    let along = straight.iter().any(|&turn| true_grain(turn, known.grain))
        || over
            .iter()
            .any(|&turn| true_grain(turn, 180.0 - known.grain));
    assert!(along, "grain of {} at {straight:?} {over:?}", known.letter);
    let (left, mirrored) = hands
        .get_mut(&(cutting.cloth, block.0, template))
        .expect("what is cut is needed");
    *left -= 1;
    if chiral(&known.cut) {
        *mirrored -= i64::from(straight.is_empty());
    }
}

fn inside_and_apart(sheet: &Sheet, mark: f64) {
    let (width, length) = (sheet.width as f64 * mark, sheet.length as f64 * mark);
    let mut pieces: Vec<(Rect, Polygon)> = Vec::new();
    for piece in &sheet.pieces {
        let shape = polygon(piece);
        let bounds = shape.bounding_rect().unwrap();
        let (least, most) = (bounds.min(), bounds.max());
        assert!(
            least.x > -NEAR && least.y > -NEAR && most.x < width + NEAR && most.y < length + NEAR
        );
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
            assert!(
                apart || shape.intersection(beside).unsigned_area() < NEAR,
                "{shape:?} and {beside:?} overlap"
            );
        }
    }
}

/// Left, top, right, bottom.
type Frame = [i64; 4];

/// Strips come apart by cuts from edge to edge, their slabs by cross-cuts, and what is cut
/// by ruler in a slab by straight cuts again.
fn stages(cutting: &ClothCutting, sheet: &Sheet, mark: f64) {
    let strips: Vec<Frame> = (sheet.strips.iter())
        .map(|s| [s.x, s.y, s.x + s.width, s.y + s.height])
        .collect();
    for s in &strips {
        assert!(s[0] >= 0 && s[1] >= 0 && s[2] <= sheet.width && s[3] <= sheet.length);
    }
    assert!(comes_apart(&strips), "strips need cuts from edge to edge");
    let mut pieces = sheet.pieces.iter();
    for strip in &sheet.strips {
        let mut x = strip.x;
        for slab in &strip.slabs {
            assert!(slab.x >= x && slab.height <= strip.height);
            x = slab.x + slab.width;
            let here: Vec<&Laid> = pieces.by_ref().take(slab.pieces as usize).collect();
            for piece in &here {
                let bounds = polygon(piece).bounding_rect().unwrap();
                let [left, top] = [slab.x, strip.y].map(|m| m as f64 * mark - NEAR);
                let [right, bottom] =
                    [slab.x + slab.width, strip.y + slab.height].map(|m| m as f64 * mark + NEAR);
                assert!(bounds.min().x > left && bounds.min().y > top);
                assert!(bounds.max().x < right && bounds.max().y < bottom);
            }
            if !matches!(cutting.demands[slab.demand].method, Method::Template) {
                let shapes: Vec<&[[f64; 2]]> = here.iter().map(|p| &p.outline[..]).collect();
                assert!(cut_by_ruler(&shapes), "{shapes:?}");
            }
        }
        assert!(x <= strip.x + strip.width);
    }
    assert_eq!(pieces.count(), 0, "every piece lies in a slab");
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
fn owned_enough(plan: &Plan, cutting: &ClothCutting, mark: f64) {
    let cloth = plan.cloth(cutting.cloth);
    let mut used = vec![0; cloth.supply.owned.len()];
    for sheet in &cutting.sheets {
        let Source::Owned(index) = sheet.source else {
            assert!(cloth.supply.sold, "what is not sold is not bought");
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
        assert!(width as f64 * mark <= across + NEAR);
        assert!(length as f64 * mark <= owned.along.to_f64() + NEAR);
    }
    for (used, owned) in used.iter().zip(&cloth.supply.owned) {
        assert!(*used <= owned.count);
    }
}

#[test]
fn the_demos_as_they_are() {
    for name in DEMOS {
        check(&demo(name));
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
    ) {
        let mut plan = demo(DEMOS[which]);
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
