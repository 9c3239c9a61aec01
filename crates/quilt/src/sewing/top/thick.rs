//! How many layers lie on each other where blocks, sashes and borders meet.
//!
//! The layers of a block are those of its own map (`layers`), pressed as its copy is; the
//! seams of the top are then folded over them in the order of the work. Looked at are the
//! points where two seams meet end to end on a third: at a corner of four blocks, at a
//! post, where a seam of one block runs on in the next.
//!
//! ```text
//!   block ┃ block        the row seams fold first, each over its own row;
//!   ──────╋──────        then the long seam over both rows;
//!   block ┃ block        then sashes, triangles and borders over all of it
//! ```
//!
//! Junctions that look alike are folded once.
//!
//! **Units.** Inches; floating point, as for the layers of a block.
//!
//! **Assumes** ears left on, no twirled seams, and allowances flat at the outer edge.

use std::collections::BTreeMap;

use geometry::{Motion, Point, Polygon, offset_outline};

use super::super::layers::{Line, counted, folded};
use super::super::press::{Group, PressPlan, TopSeams};
use super::super::{BlockSewing, Press};
use super::{Run, Work};
use crate::results::Blocks;
use crate::setting::{PartKind, PlacedBlock, RingSide};

type Spot = [f64; 2];
type Ring = Vec<Spot>;

/// From this many layers on the maker is told: a pinwheel pressed to one side has 13, a
/// four-patch that does not nest 9 (our count). Our choice; no published limit was found.
pub const TOO_THICK: usize = 12;
/// A parting of the top into squares of this side, inches, to find what lies near a point.
const SQUARE: f64 = 4.0;

/// Where how many layers lie.
#[derive(Clone, PartialEq, Debug)]
pub struct TopThick {
    /// The point of the finished top.
    pub at: Point,
    /// The most layers near it.
    pub layers: usize,
}

/// The thick places of the top, outside the blocks.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TopLayers {
    /// The points where seams of blocks, sashes or borders meet, thickest first, otherwise
    /// in reading order.
    pub points: Vec<TopThick>,
    /// The most layers at the thickest if the last seam over it is pressed apart; `None`
    /// where it is, or where no seam lies over it.
    pub thickest_apart: Option<usize>,
    /// The thickest in words: how many layers, where, and what would thin it. `None` where
    /// nothing meets.
    pub in_words: Option<String>,
}

impl TopLayers {
    /// The most layers at any of the points; 0 where nothing meets.
    #[must_use]
    pub fn most(&self) -> usize {
        self.points.first().map_or(0, |point| point.layers)
    }

    /// The thickest points, all of one thickness.
    #[must_use]
    pub fn thickest(&self) -> &[TopThick] {
        let end = self
            .points
            .partition_point(|point| point.layers == self.most());
        &self.points[..end]
    }
}

/// The layers at every junction.
pub(in crate::sewing) fn layers(
    work: &Work<'_>,
    blocks: &Blocks,
    sewn: &[BlockSewing],
    pressing: &PressPlan,
    seams: &TopSeams,
) -> TopLayers {
    let seam = work.plan.seam.to_f64();
    if seam <= 0.0 {
        return TopLayers::default();
    }
    let table = Table::of(work, blocks, sewn, pressing, seams);
    let mut known: BTreeMap<Vec<i64>, usize> = BTreeMap::new();
    let mut points: Vec<TopThick> = pressing
        .meeting
        .iter()
        .map(|at| {
            let near = table.near(at.to_f64());
            let layers = known
                .entry(table.sight(&near))
                .or_insert_with(|| table.count(&near, None));
            TopThick {
                at: at.clone(),
                layers: *layers,
            }
        })
        .collect();
    points.sort_by(|one, other| {
        let key = |thick: &TopThick| {
            (
                std::cmp::Reverse(thick.layers),
                thick.at.y.clone(),
                thick.at.x.clone(),
            )
        };
        key(one).cmp(&key(other))
    });
    let mut found = TopLayers {
        points,
        thickest_apart: None,
        in_words: None,
    };
    let Some(first) = found.points.first() else {
        return found;
    };
    let near = table.near(first.at.to_f64());
    let last = table.last_over(&near);
    found.thickest_apart = last
        .filter(|&seam| table.seams[seam].way.is_some())
        .map(|seam| table.count(&near, Some(seam)));
    found.in_words = Some(in_words(
        work,
        &found,
        last.map(|seam| table.seams[seam].group),
    ));
    found
}

/// A piece of the top: a block or a part.
struct Laid {
    /// Its cloth as folded so far, in its own coordinates.
    shape: usize,
    frame: Frame,
    middle: Spot,
    low: Spot,
    high: Spot,
    row: Option<usize>,
    border: Option<(usize, Strip)>,
}

/// Which strip of a border a piece belongs to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Strip {
    Side,
    End,
    Corner,
}

/// A motion in floats.
#[derive(Clone, Copy)]
struct Frame {
    x: Spot,
    y: Spot,
    at: Spot,
}

impl Frame {
    fn of(motion: &Motion) -> Self {
        let vector = |x, y| motion.apply_vector(&Point::ints(x, y)).to_f64();
        Self {
            x: vector(1, 0),
            y: vector(0, 1),
            at: motion.origin().to_f64(),
        }
    }

    fn apply(&self, [x, y]: Spot) -> Spot {
        [0, 1].map(|i| self.at[i] + x * self.x[i] + y * self.y[i])
    }
}

/// A seam of the top in floats.
struct Stretch {
    group: Group,
    ends: [Spot; 2],
    line: Line,
    /// Towards its right hand, towards its left, or apart.
    way: Option<bool>,
}

/// What lies near a point.
struct Near {
    at: Spot,
    pieces: Vec<usize>,
    /// In the order of the work.
    seams: Vec<usize>,
}

struct Table {
    seam: f64,
    /// The folded cloth of each block and variant, and of each part.
    shapes: Vec<Vec<Ring>>,
    pieces: Vec<Laid>,
    seams: Vec<Stretch>,
    pieces_in: BTreeMap<(i64, i64), Vec<usize>>,
    seams_in: BTreeMap<(i64, i64), Vec<usize>>,
}

impl Table {
    fn of(
        work: &Work<'_>,
        blocks: &Blocks,
        sewn: &[BlockSewing],
        pressing: &PressPlan,
        seams: &TopSeams,
    ) -> Self {
        let seam = work.plan.seam.to_f64();
        let mut table = Self {
            seam,
            shapes: Vec::new(),
            pieces: Vec::new(),
            seams: Vec::new(),
            pieces_in: BTreeMap::new(),
            seams_in: BTreeMap::new(),
        };
        let mut shape_of: BTreeMap<(usize, u8), usize> = BTreeMap::new();
        for (index, placed) in work.top.blocks.iter().enumerate() {
            let variant = pressing.variant.get(index).copied().unwrap_or(0);
            let shape = *shape_of
                .entry((placed.block.0, variant))
                .or_insert_with(|| {
                    let at = sewn.iter().position(|sewing| sewing.block == placed.block);
                    let block = blocks.get(placed.block.0).and_then(Option::as_deref);
                    let rings = at.zip(block).map(|(at, block)| {
                        let ways = pressing.blocks[at].ways.iter();
                        let ways: Vec<Press> = ways.map(|way| way[usize::from(variant)]).collect();
                        folded(block, &sewn[at].joins, &ways, seam).concat()
                    });
                    table.shapes.push(rings.unwrap_or_default());
                    table.shapes.len() - 1
                });
            table.pieces.push(Laid {
                row: seams.row_of.get(&(false, index)).copied(),
                border: placed.border.map(|spot| (spot.ring, strip(spot.side))),
                ..Laid::of(shape, Frame::of(&placed.motion), &work.blocks[index])
            });
        }
        for (index, part) in work.top.parts.iter().enumerate() {
            let ring: Ring = part.outline.points().iter().map(Point::to_f64).collect();
            let shape = table.shapes.len();
            table
                .shapes
                .push(vec![offset_outline(&ring, &vec![seam; ring.len()])]);
            table.pieces.push(Laid {
                row: seams.row_of.get(&(true, index)).copied(),
                border: match part.kind {
                    PartKind::BorderSide(ring) => Some((ring, Strip::Side)),
                    PartKind::BorderEnd(ring) => Some((ring, Strip::End)),
                    PartKind::BorderSquare(ring) => Some((ring, Strip::Corner)),
                    _ => None,
                },
                ..Laid::of(shape, Frame::of(&Motion::identity()), &part.outline)
            });
        }
        let mut order: Vec<&_> = seams.seams.iter().collect();
        order.sort_by_key(|seam| (seam.group.order(), seam.group));
        for seam in order {
            let Some(press) = pressing.of(seam.group) else {
                continue;
            };
            let run = seam.seam.vector();
            let right = Point::new(-&run.y, run.x.clone());
            let yes_is_right = seam.towards.dot(&right).is_positive();
            table.seams.push(Stretch {
                group: seam.group,
                ends: [seam.seam.a.to_f64(), seam.seam.b.to_f64()],
                line: Line::of(&seam.seam),
                way: (!press.apart).then_some(press.yes == yes_is_right),
            });
        }
        let reach = 4.0 * seam;
        for (index, piece) in table.pieces.iter().enumerate() {
            for square in squares([piece.low, piece.high], reach) {
                table.pieces_in.entry(square).or_default().push(index);
            }
        }
        for (index, Stretch { ends: [a, b], .. }) in table.seams.iter().enumerate() {
            let low = [a[0].min(b[0]), a[1].min(b[1])];
            let high = [a[0].max(b[0]), a[1].max(b[1])];
            for square in squares([low, high], reach) {
                table.seams_in.entry(square).or_default().push(index);
            }
        }
        table
    }

    /// The pieces and seams near a point.
    fn near(&self, at: Spot) -> Near {
        let square = at.map(|x| (x / SQUARE).floor() as i64);
        let square = (square[0], square[1]);
        let reach = 4.0 * self.seam;
        let within = |low: Spot, high: Spot| {
            (0..2).all(|i| low[i] - reach < at[i] && at[i] < high[i] + reach)
        };
        let pieces = self.pieces_in.get(&square).into_iter().flatten().copied();
        let seams = self.seams_in.get(&square).into_iter().flatten().copied();
        Near {
            at,
            pieces: pieces
                .filter(|&piece| within(self.pieces[piece].low, self.pieces[piece].high))
                .collect(),
            seams: seams
                .filter(|&seam| {
                    let [a, b] = self.seams[seam].ends;
                    let low = [a[0].min(b[0]), a[1].min(b[1])];
                    within(low, [a[0].max(b[0]), a[1].max(b[1])])
                })
                .collect(),
        }
    }

    /// What a junction looks like, for telling which are alike.
    fn sight(&self, near: &Near) -> Vec<i64> {
        let thousandths = |x: f64| (x * 1000.0).round() as i64;
        let from_here = |spot: Spot| [0, 1].map(|i| thousandths(spot[i] - near.at[i]));
        let mut pieces: Vec<Vec<i64>> = near
            .pieces
            .iter()
            .map(|&index| {
                let piece = &self.pieces[index];
                // Parts differ in shape only, and their corners tell it.
                let part = self.shapes[piece.shape].len() == 1 && piece.frame.at == [0.0; 2];
                let mut own: Vec<i64> = if part {
                    let ring = self.shapes[piece.shape].iter().flatten();
                    [-1].into_iter()
                        .chain(ring.flat_map(|&spot| from_here(spot)))
                        .collect()
                } else {
                    let axes = [piece.frame.x, piece.frame.y].concat();
                    let axes = axes.into_iter().map(thousandths);
                    let at = from_here(piece.frame.at);
                    [piece.shape as i64]
                        .into_iter()
                        .chain(axes)
                        .chain(at)
                        .collect()
                };
                let takes = near.seams.iter();
                own.extend(takes.map(|&seam| i64::from(takes_part(self.seams[seam].group, piece))));
                own
            })
            .collect();
        pieces.sort_unstable();
        let seams = near.seams.iter().flat_map(|&seam| {
            let run = &self.seams[seam];
            let way = run.way.map_or(2, i64::from);
            let [a, b] = run.ends.map(from_here);
            // Far ends do not matter, only whether it goes on.
            let far = thousandths(4.0 * self.seam);
            let near = |spot: [i64; 2]| spot.map(|x| x.clamp(-far, far));
            let ([ax, ay], [bx, by]) = (near(a), near(b));
            [-2, way, ax, ay, bx, by]
        });
        let seams: Vec<i64> = seams.collect();
        let mut sight = pieces.concat();
        sight.extend(seams);
        sight
    }

    /// The most layers near a point; one seam may be pressed apart instead.
    fn count(&self, near: &Near, apart: Option<usize>) -> usize {
        let window = 3.0 * self.seam;
        let box_ = [near.at.map(|x| x - window), near.at.map(|x| x + window)];
        let mut lying: Vec<(usize, Vec<Ring>)> = near
            .pieces
            .iter()
            .map(|&index| {
                let piece = &self.pieces[index];
                let rings = self.shapes[piece.shape].iter();
                let placed = rings.map(|ring| {
                    let spots = ring.iter().map(|&spot| piece.frame.apply(spot));
                    spots.collect::<Ring>()
                });
                let here = |ring: &Ring| {
                    (0..2).all(|i| {
                        ring.iter().any(|spot| spot[i] > box_[0][i] - window)
                            && ring.iter().any(|spot| spot[i] < box_[1][i] + window)
                    })
                };
                (index, placed.filter(here).collect())
            })
            .collect();
        for &seam in &near.seams {
            let run = &self.seams[seam];
            let way = if apart == Some(seam) { None } else { run.way };
            for (index, rings) in &mut lying {
                let piece = &self.pieces[*index];
                if !takes_part(run.group, piece) {
                    continue;
                }
                let right = run.line.beyond(piece.middle) > 0.0;
                if way.is_none_or(|way| way == right) {
                    let side = if right { 1.0 } else { -1.0 };
                    *rings = rings
                        .iter()
                        .flat_map(|ring| run.line.folded(ring, side))
                        .collect();
                }
            }
        }
        let all: Vec<Ring> = lying.into_iter().flat_map(|(_, rings)| rings).collect();
        let cells = counted(&all, box_);
        cells.into_iter().map(|cell| cell.layers).max().unwrap_or(0)
    }

    /// The seam sewn last of those that pass over a point.
    fn last_over(&self, near: &Near) -> Option<usize> {
        let over = |&&seam: &&usize| {
            let Stretch {
                ends: [a, b], line, ..
            } = &self.seams[seam];
            let (low, high) = (
                [0, 1].map(|i| a[i].min(b[i])),
                [0, 1].map(|i| a[i].max(b[i])),
            );
            let inside =
                (0..2).all(|i| low[i] - 1e-6 <= near.at[i] && near.at[i] <= high[i] + 1e-6);
            inside && line.beyond(near.at).abs() < 1e-6
        };
        near.seams.iter().rev().find(over).copied()
    }
}

impl Laid {
    fn of(shape: usize, frame: Frame, outline: &Polygon) -> Self {
        let (low, high) = outline.bounds();
        let (low, high) = (low.to_f64(), high.to_f64());
        Self {
            shape,
            frame,
            middle: [0, 1].map(|i| f64::midpoint(low[i], high[i])),
            low,
            high,
            row: None,
            border: None,
        }
    }
}

fn strip(side: RingSide) -> Strip {
    match side {
        RingSide::Left | RingSide::Right => Strip::Side,
        RingSide::Top | RingSide::Bottom => Strip::End,
        RingSide::Corner => Strip::Corner,
    }
}

/// The squares of the parting a box and some room round it touch.
fn squares([low, high]: [Spot; 2], room: f64) -> impl Iterator<Item = (i64, i64)> {
    let from = low.map(|x| ((x - room) / SQUARE).floor() as i64);
    let to = high.map(|x| ((x + room) / SQUARE).floor() as i64);
    (from[0]..=to[0]).flat_map(move |x| (from[1]..=to[1]).map(move |y| (x, y)))
}

/// Whether a piece is there when a seam is sewn, in one of the two units it joins.
fn takes_part(group: Group, piece: &Laid) -> bool {
    let inside = |ring: usize| piece.border.is_none_or(|(own, _)| own < ring);
    let of = |ring: usize, strips: &[Strip]| {
        piece
            .border
            .is_some_and(|(own, strip)| own == ring && strips.contains(&strip))
    };
    match group {
        Group::Row(row) => piece.row == Some(row),
        Group::Between(row) => piece.row.is_some_and(|own| own <= row + 1),
        Group::Outside(_) => piece.border.is_none(),
        Group::Strips(ring, upright) => of(ring, &[if upright { Strip::Side } else { Strip::End }]),
        Group::Sides(ring) => inside(ring) || of(ring, &[Strip::Side]),
        Group::Squares(ring) => of(ring, &[Strip::End, Strip::Corner]),
        Group::Ends(ring) => inside(ring + 1),
    }
}

fn in_words(work: &Work<'_>, found: &TopLayers, last: Option<Group>) -> String {
    let thickest = found.thickest();
    let most = found.most();
    let place = thickest
        .first()
        .map_or_else(String::new, |thick| place(work, &thick.at));
    let others = match thickest.len() {
        0 | 1 => String::new(),
        2 => "; one more point is as thick".into(),
        n => format!("; {} more points are as thick", n - 1),
    };
    let seam = match last {
        Some(Group::Row(_)) => format!("the seams of the {}", work.run().word()),
        Some(Group::Between(_)) => format!("the long seams between the {}s", work.run().word()),
        Some(Group::Outside(_)) => "the seams of what is sewn on last".into(),
        Some(Group::Strips(..)) => "the seams within the border".into(),
        Some(Group::Sides(_) | Group::Ends(_)) => "the seams of the border".into(),
        Some(Group::Squares(_)) => "the seams of the border’s corners".into(),
        None => String::new(),
    };
    let thinner = match found.thickest_apart {
        Some(apart) if apart < most => {
            format!(" With {seam} pressed open it would be {apart}.")
        }
        Some(_) => format!(
            " Pressing {seam} open would not make it thinner; trim the allowances there to different widths if it stands up."
        ),
        None if !seam.is_empty() => " The last seam over it is pressed open already.".into(),
        None => String::new(),
    };
    format!("Thickest where blocks meet: {most} layers {place}{others}.{thinner}")
}

/// A point of the top in the maker's words: which corner or edge of which block.
fn place(work: &Work<'_>, at: &Point) -> String {
    let [x, y] = at.to_f64();
    let far = |placed: usize| {
        let (low, high) = work.blocks[placed].bounds();
        let (low, high) = (low.to_f64(), high.to_f64());
        (low[0] - x).max(x - high[0]).max(0.0) + (low[1] - y).max(y - high[1]).max(0.0)
    };
    let nearest = work
        .inner_blocks()
        .min_by(|&one, &other| far(one).total_cmp(&far(other)));
    let Some(index) = nearest else {
        return "on the border".into();
    };
    let outline = &work.blocks[index];
    let (low, high) = outline.bounds();
    let (low, high) = (low.to_f64(), high.to_f64());
    let sort = |at: f64, low: f64, high: f64| {
        let third = (high - low) / 3.0;
        i8::from(at > high - third) - i8::from(at < low + third)
    };
    let spot = [sort(x, low[0], high[0]), sort(y, low[1], high[1])];
    let touching = outline.edges().any(|edge| edge.contains(at));
    let corner = match spot {
        [-1, -1] => "top left corner",
        [1, -1] => "top right corner",
        [-1, 1] => "bottom left corner",
        [1, 1] => "bottom right corner",
        [0, -1] => "top edge",
        [0, 1] => "bottom edge",
        [-1, 0] => "left edge",
        [1, 0] => "right edge",
        _ => "middle",
    };
    // On point a block's corners point up, down and to the sides.
    let corner = match (work.run(), spot) {
        (Run::Diagonal, [0, -1]) => "top corner",
        (Run::Diagonal, [0, 1]) => "bottom corner",
        (Run::Diagonal, [-1, 0]) => "left corner",
        (Run::Diagonal, [1, 0]) => "right corner",
        (Run::Diagonal, [-1, -1]) => "upper left side",
        (Run::Diagonal, [1, -1]) => "upper right side",
        (Run::Diagonal, [-1, 1]) => "lower left side",
        (Run::Diagonal, [1, 1]) => "lower right side",
        _ => corner,
    };
    let joint = if touching { "at" } else { "beside" };
    format!(
        "{joint} the {corner} of {}",
        block_words(work, &work.top.blocks[index])
    )
}

/// `block 2 of row 1`, counted as they are sewn.
fn block_words(work: &Work<'_>, placed: &PlacedBlock) -> String {
    let (row, block) = match (work.run(), placed.diagonal) {
        (_, Some(diagonal)) => diagonal,
        (Run::Upright, None) => (placed.column, placed.row),
        (_, None) => (placed.row, placed.column),
    };
    format!("block {} of {} {}", block + 1, work.run().word(), row + 1)
}
