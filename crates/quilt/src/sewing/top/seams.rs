//! Every seam of the top outside its blocks, in the order of the work.
//!
//! Answers: where each of these seams runs, which way it is pressed when its choice is yes,
//! and what lies on either side when it is sewn. Seams that are pressed as one share a
//! choice: those within a row, the two long sides of a border, its four corner squares.
//!
//! **Always holds.** Groups come in the order in which they are sewn, so where two of them
//! meet end to end at a third, the third comes later.

use std::collections::BTreeMap;

use geometry::{Point, Polygon, Segment, Surd};

use super::super::press::{Group, TopSeam, TopSeams};
use super::{Piece, Run, Work, rows};
use crate::plan::{BorderKind, Corner};
use crate::setting::{PartKind, RingSide};

/// All of them.
pub(in crate::sewing) fn seams(work: &Work<'_>) -> TopSeams {
    let sorted = rows::sorted(work);
    let mut all = TopSeams {
        seams: rows::row_seams(work, &sorted),
        alike: Vec::new(),
        rows: sorted.rows.len(),
        row_of: BTreeMap::new(),
    };
    for (row, of) in sorted.rows.iter().enumerate() {
        for &piece in &of.pieces {
            all.row_of.insert(piece.key(), row);
        }
    }
    for row in 0..sorted.rows.len().saturating_sub(1) {
        let pair = [&sorted.rows[row], &sorted.rows[row + 1]];
        if let Some(seam) = between(work, &pair[0].pieces, &pair[1].pieces) {
            all.seams.push(TopSeam {
                group: Group::Between(row),
                seam,
                towards: work.run().across(),
                sash: match pair.map(|row| row.of_blocks) {
                    [true, false] => Some(true),
                    [false, true] => Some(false),
                    _ => None,
                },
            });
            if row > 0 {
                // Long seams like to go one way; with sashing between, to the sashing.
                let equal = sorted.rows.iter().all(|row| row.of_blocks);
                all.alike
                    .push((Group::Between(row - 1), Group::Between(row), equal));
            }
        }
    }
    outside(work, &sorted.outside, &mut all.seams);
    for (ring, of) in work.top.rings.iter().enumerate() {
        border(work, ring, &of.before, &of.after, &mut all.seams);
    }
    all
}

/// The seam between two rows: as far as both reach along the line where the first ends.
fn between(work: &Work<'_>, first: &[Piece], second: &[Piece]) -> Option<Segment> {
    let (along, across) = (work.run().along(), work.run().across());
    let points = |pieces: &[Piece]| -> Vec<Point> {
        let outlines = pieces.iter().map(|&piece| work.outline(piece));
        outlines.flat_map(|o| o.points().iter().cloned()).collect()
    };
    // Triangles at the ends may reach out to a floating edge; blocks and sashes do not.
    let square = |piece: &&Piece| match piece {
        Piece::Block(_) => true,
        Piece::Part(index) => !matches!(
            work.top.parts[*index].kind,
            PartKind::SideTriangle | PartKind::EdgePost
        ),
    };
    let plain: Vec<Piece> = first.iter().filter(square).copied().collect();
    let depth = points(&plain).iter().map(|p| across.dot(p)).max()?;
    let reach = |pieces: &[Piece]| {
        let on = points(pieces)
            .into_iter()
            .filter(|p| across.dot(p) == depth);
        let at: Vec<Surd> = on.map(|p| along.dot(&p)).collect();
        Some((at.iter().min()?.clone(), at.iter().max()?.clone()))
    };
    let ((a, b), (c, d)) = (reach(first)?, reach(second)?);
    let (from, to) = (a.max(c), b.min(d));
    let over = across.length_squared().recip()?;
    let point = |reach: &Surd| {
        let (here, there) = (
            along.scaled(&(reach * &over)),
            across.scaled(&(&depth * &over)),
        );
        here + there
    };
    (from < to).then(|| Segment {
        a: point(&from),
        b: point(&to),
    })
}

/// Long upright sashes and corner triangles, sewn to the joined rows.
fn outside(work: &Work<'_>, pieces: &[Piece], seams: &mut Vec<TopSeam>) {
    let middle = inner_middle(work);
    for (number, &piece) in pieces.iter().enumerate() {
        let outline = work.outline(piece);
        let Some(seam) = inner_side(outline, &middle) else {
            continue;
        };
        let out = out_of(&seam, &middle);
        seams.push(TopSeam {
            group: Group::Outside(number),
            seam,
            towards: out,
            sash: Some(true),
        });
    }
}

/// The middle of the top.
fn inner_middle(work: &Work<'_>) -> Point {
    Point::new(work.top.width.half(), work.top.height.half())
}

/// The longest side of a piece that has the piece on its far side from the middle.
fn inner_side(outline: &Polygon, middle: &Point) -> Option<Segment> {
    let own = super::middle(outline);
    let between = |edge: &Segment| {
        let run = edge.vector();
        let [here, there] = [&own, middle].map(|p| run.cross(&(p - &edge.a)).sign());
        here != there
    };
    let sides = outline.edges().filter(between);
    sides.max_by_key(|edge| edge.vector().length_squared())
}

/// Square to a seam, away from the middle.
fn out_of(seam: &Segment, middle: &Point) -> Point {
    let run = seam.vector();
    let square = Point::new(-&run.y, run.x.clone());
    if square.dot(&(&seam.a - middle)).is_positive() {
        square
    } else {
        -&square
    }
}

/// The seams of one border.
fn border(
    work: &Work<'_>,
    ring: usize,
    before: &(Surd, Surd),
    after: &(Surd, Surd),
    seams: &mut Vec<TopSeam>,
) {
    let Some(plan) = work.plan.borders.get(ring) else {
        return;
    };
    let middle = inner_middle(work);
    let at = |x: Surd, y: Surd| Point::new(&middle.x + &x, &middle.y + &y);
    let (inner, outer) = (
        (before.0.half(), before.1.half()),
        (after.0.half(), after.1.half()),
    );
    let pieced = matches!(plan.kind, BorderKind::Pieced(_));
    let mitred = !pieced && plan.corner == Corner::Mitred;
    let squares = pieced || matches!(plan.corner, Corner::Squares(_));
    let mut add = |group: Group, [a, b]: [Point; 2], towards: Point, sash: Option<bool>| {
        if a != b {
            seams.push(TopSeam {
                group,
                seam: Segment { a, b },
                towards,
                sash,
            });
        }
    };
    if pieced {
        strips(work, ring, &mut add);
    }
    for sign in [-1, 1] {
        let x = inner.0.times(sign);
        if outer.0 > inner.0 {
            let ends = [at(x.clone(), -&inner.1), at(x.clone(), inner.1.clone())];
            add(
                Group::Sides(ring),
                ends,
                Point::ints(sign, 0),
                (!pieced).then_some(true),
            );
        }
        if outer.1 > inner.1 {
            let reach = if mitred { &inner.0 } else { &outer.0 };
            let y = inner.1.times(sign);
            let ends = [at(-reach, y.clone()), at(reach.clone(), y)];
            add(
                Group::Ends(ring),
                ends,
                Point::ints(0, sign),
                (!pieced).then_some(true),
            );
        }
        if squares && outer.0 > inner.0 && outer.1 > inner.1 {
            for end in [-1, 1] {
                let y = [&inner.1, &outer.1].map(|y| y.times(end));
                let ends = y.map(|y| at(x.clone(), y));
                // Towards the strip.
                add(Group::Squares(ring), ends, Point::ints(-sign, 0), None);
            }
        }
    }
}

/// The seams between the units of a pieced border, pressed clockwise round the top or the
/// other way.
fn strips(
    work: &Work<'_>,
    ring: usize,
    add: &mut impl FnMut(Group, [Point; 2], Point, Option<bool>),
) {
    let mut sides: BTreeMap<RingSide, Vec<(u32, usize)>> = BTreeMap::new();
    for (index, placed) in work.top.blocks.iter().enumerate() {
        if let Some(spot) = placed.border.filter(|spot| spot.ring == ring) {
            let side = sides.entry(spot.side).or_default();
            side.push((placed.column, index));
        }
    }
    for (side, mut units) in sides {
        let (clockwise, upright) = match side {
            RingSide::Top => (Point::ints(1, 0), false),
            RingSide::Right => (Point::ints(0, 1), true),
            RingSide::Bottom => (Point::ints(-1, 0), false),
            RingSide::Left => (Point::ints(0, -1), true),
            RingSide::Corner => continue,
        };
        units.sort_unstable();
        for pair in units.windows(2) {
            let outlines = [pair[0].1, pair[1].1].map(|index| &work.blocks[index]);
            if let Some(seam) = rows::shared(outlines[0], outlines[1]) {
                let group = Group::Strips(ring, upright);
                add(group, [seam.a, seam.b], clockwise.clone(), None);
            }
        }
    }
}

impl Piece {
    /// Blocks and parts by number, for tables outside this room.
    pub(super) fn key(self) -> (bool, usize) {
        match self {
            Self::Block(index) => (false, index),
            Self::Part(index) => (true, index),
        }
    }
}

/// Which way rows run, in words: what `yes` and `no` mean for the seam between two rows.
pub(super) fn across_words(run: Run) -> [&'static str; 2] {
    match run {
        Run::Level => ["down", "up"],
        Run::Upright => ["to the right", "to the left"],
        Run::Diagonal => [
            "towards the bottom right corner",
            "towards the top left corner",
        ],
    }
}
