//! Pieces with a motif in their middle: how many a width of cloth gives, and how much cloth
//! they take.
//!
//! The motifs lie in rows ([`Motif`]). Pieces are cut out one by one, each centred on a
//! motif; all that lie on one row of motifs make one strip of the layout, and strips do not
//! overlap. These strips are one band at the beginning of the cloth, cut before everything
//! else.
//!
//! ```text
//!      ┌─────┐     ┌─────┐          l  r    left and right of the middle
//!      │  ✿  │  ✿  │  ✿  │  ✿       u  d    above and below it
//!      └─────┘     └─────┘
//!         ✿     ✿     ✿     ✿       every other row may be set over
//! ```
//!
//! **How many.** In a row, of pieces `l + r` wide every `k`-th motif can be used, where `k` is
//! the least number for which `k · across ≥ l + r`; that is the most a row can give, since
//! of any `k` neighbours only one can be used. Rows that are used lie `m` apart or more, the
//! least number for which `m · along ≥ u + d`. Which rows give most is found row by row:
//! the most from the rows up to one is the most up to the row before it, or what it gives
//! and the most up to the `m`-th before it. So for one kind of piece the length is the least
//! there is. Several kinds are laid in several orders and the shortest taken; the bound is
//! what the most demanding kind takes by itself, or the area of all.
//!
//! **Where the shop cuts.** If the maker does not know how far the first row lies from the
//! end, it may be as far as that a row just misses the room it needs above it. That case is
//! worked out, for both kinds of row; any other needs no more.
//!
//! **Units.** Marks. Distances are exact; a place is rounded down to a mark, so two places
//! lie at least as far apart as their exact distance, rounded down, and that is what is
//! counted with. Pieces are drawn where the motif is to within a mark.

use geometry::Surd;

use super::kinds::{self, Key, Lay, Lie};
use super::{ClothCutting, LaidSlab, Method, Strip};
use crate::block::{RotaryShape, Template};
use crate::measure::Ruler;
use crate::plan::{Motif, Plan};

/// No quilt has pieces on more rows than this.
const MOST_ROWS: usize = 200_000;

/// How the pieces of a template that are centred are cut.
pub(super) fn kind_of(template: &Template, mut lay: Lay) -> (Key, u32, Method) {
    let by_template = !is_plain(template);
    if !by_template {
        // A rectangle is its own mirror image.
        lay.mirrored = false;
    }
    (Key::Centred(lay), 0, Method::Centred { by_template })
}

/// Whether it is cut with the ruler: a square or a rectangle.
fn is_plain(template: &Template) -> bool {
    let shape = template.rotary.as_ref().map(|rotary| rotary.shape);
    matches!(shape, Some(RotaryShape::Square | RotaryShape::Rectangle))
}

/// Every how many motifs of a row, and every how many rows, can be used for pieces of this
/// height and width (marks).
pub(super) fn every(ruler: &Ruler, motif: &Motif, [height, width]: [i64; 2]) -> (usize, usize) {
    (
        steps(ruler, &motif.across, width),
        steps(ruler, &motif.along, height),
    )
}

/// The least number of motifs from one to the next so that so much fits between.
fn steps(ruler: &Ruler, apart: &Surd, marks: i64) -> usize {
    let length = ruler.length(marks);
    let steps = length.checked_div(apart).map_or(1, |steps| steps.ceil());
    usize::try_from(steps).unwrap_or(1).max(1)
}

/// How far a piece reaches from its motif.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Extent {
    pub(super) left: i64,
    pub(super) right: i64,
    pub(super) up: i64,
    pub(super) down: i64,
    /// Around the motif at (0, 0), inches.
    pub(super) outline: Vec<[f64; 2]>,
    /// Direction of the grain arrow, degrees.
    pub(super) grain: f64,
}

impl Extent {
    fn width(&self) -> i64 {
        self.left + self.right
    }

    fn height(&self) -> i64 {
        self.up + self.down
    }

    /// The ways a piece may lie: as it is to, and on a cloth that may lie any way also
    /// with its grain across.
    pub(super) fn of(template: &Template, lay: Lay, ruler: &Ruler) -> Vec<Self> {
        let mut all = vec![Self::turned(template, lay, ruler, 0.0)];
        if lay.lie == Lie::Free {
            let other = Self::turned(template, lay, ruler, 90.0);
            if (other.width(), other.height()) != (all[0].width(), all[0].height()) {
                all.push(other);
            }
        }
        all
    }

    fn turned(template: &Template, lay: Lay, ruler: &Ruler, more: f64) -> Self {
        let mark = ruler.mark().to_f64();
        let laid =
            |outline: &[[f64; 2]]| kinds::turned_by(&lay.laid(template, outline), false, more);
        let own = if lay.mirrored {
            180.0 - template.grain
        } else {
            template.grain
        };
        let grain = (own + lay.turn(template) + more).rem_euclid(180.0);
        if let Some(rotary) = template.rotary.as_ref().filter(|_| is_plain(template)) {
            let finished: Vec<[f64; 2]> = template
                .finished
                .points()
                .iter()
                .map(geometry::Point::to_f64)
                .collect();
            let (least, most) = kinds::bounds(&laid(&finished));
            let wide = most[0] - least[0] >= most[1] - least[1];
            let (height, width) = if wide {
                (rotary.strip.marks, rotary.crosscut.marks)
            } else {
                (rotary.crosscut.marks, rotary.strip.marks)
            };
            // The middle is read on the ruler, so it lies on a mark.
            let (left, up) = (width / 2, height / 2);
            let (right, down) = (width - left, height - up);
            let [l, u, r, d] = [-left, -up, right, down].map(|marks| marks as f64 * mark);
            let outline = vec![[l, u], [r, u], [r, d], [l, d]];
            return Self {
                left,
                right,
                up,
                down,
                outline,
                grain,
            };
        }
        let outline = if template.trimmed.is_empty() {
            &template.cut
        } else {
            &template.trimmed
        };
        let centre = laid(&[template.finished.centroid().to_f64()])[0];
        let outline: Vec<[f64; 2]> = laid(outline)
            .into_iter()
            .map(|[x, y]| [x - centre[0], y - centre[1]])
            .collect();
        let (least, most) = kinds::bounds(&outline);
        // A hair's breadth of float is not worth a mark.
        let marks = |inches: f64| (inches / mark - 1e-9).ceil() as i64;
        Self {
            left: marks(-least[0]),
            right: marks(most[0]),
            up: marks(-least[1]),
            down: marks(most[1]),
            outline,
            grain,
        }
    }
}

/// Pieces cut alike.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Want {
    pub(super) demand: usize,
    pub(super) ways: Vec<Extent>,
    pub(super) count: u32,
    /// Whether the template is turned over.
    pub(super) mirrored: bool,
}

impl Want {
    /// What all of them take at least, marks².
    pub(super) fn area(&self) -> i64 {
        let ways = self.ways.iter();
        let least = ways.map(|way| way.width() * way.height()).min();
        i64::from(self.count) * least.unwrap_or(0)
    }
}

/// A row of motifs that is used.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Row {
    /// Where the middles lie, from the end of the cloth.
    pub(super) y: i64,
    /// Above and below the middles.
    pub(super) up: i64,
    pub(super) down: i64,
    /// From the left: which want, which of its ways, where its middle lies.
    pub(super) laid: Vec<(usize, usize, i64)>,
}

/// All pieces centred on motifs that are cut from one piece of cloth.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Band {
    /// What is laid, each in the one way it lies.
    pub(super) wants: Vec<Want>,
    pub(super) rows: Vec<Row>,
    /// Cloth they take.
    pub(super) length: i64,
    /// No plan that gives each row of motifs a strip of its own takes less.
    pub(super) least: i64,
    /// The middle of every motif in it.
    pub(super) motifs: Vec<[i64; 2]>,
}

/// The motifs of one cloth.
pub(super) struct Lattice<'a> {
    ruler: &'a Ruler,
    motif: &'a Motif,
    /// Usable width.
    across: i64,
    /// Marks from the left edge of the motifs in a row, by whether the row is set over.
    columns: [Vec<i64>; 2],
}

/// Where rows of motifs lie: the first one, and whether it is set over.
#[derive(Clone, Debug)]
struct Start {
    first: Surd,
    set_over: bool,
}

impl<'a> Lattice<'a> {
    pub(super) fn new(ruler: &'a Ruler, motif: &'a Motif, across: i64) -> Self {
        let edge = motif.from_edge.clone();
        let edge = edge.unwrap_or_else(|| motif.across.half());
        let columns = [edge.clone(), edge + &motif.offset].map(|from| {
            let mut at = beyond(&from, &motif.across);
            let mut columns = Vec::new();
            while ruler.down(&at) <= across {
                columns.push(ruler.down(&at));
                at += &motif.across;
            }
            columns
        });
        Self {
            ruler,
            motif,
            across,
            columns,
        }
    }

    /// Every how many motifs of a row can be used for pieces of this extent, and every how
    /// many rows.
    fn every(&self, extent: &Extent) -> (usize, usize) {
        every(self.ruler, self.motif, [extent.height(), extent.width()])
    }

    /// How many pieces of one extent a row gives.
    fn in_row(&self, extent: &Extent, set_over: bool) -> usize {
        let columns = &self.columns[usize::from(set_over)];
        let room = |x: &&i64| **x >= extent.left && **x + extent.right <= self.across;
        let usable = columns.iter().filter(room).count();
        usable.div_ceil(self.every(extent).0)
    }

    /// Whether so many pieces can be laid at all.
    pub(super) fn can_give(&self, extent: &Extent, count: u32) -> bool {
        let give = [false, true].map(|set_over| self.in_row(extent, set_over));
        // Where every other row has no room for it, the rows used may be twice as far apart.
        let each = give.into_iter().filter(|&each| each > 0).min();
        let rows = each.map(|each| (count as usize).div_ceil(each));
        let apart = 2 * self.every(extent).1;
        rows.is_some_and(|rows| rows.saturating_mul(apart) + 2 * apart < MOST_ROWS)
    }

    /// Whether any row has room for such a piece.
    pub(super) fn has_room(&self, extent: &Extent) -> bool {
        self.in_row(extent, false) + self.in_row(extent, true) > 0
    }

    /// The starts there may be, when the first piece reaches so far up.
    fn starts(&self, up: i64) -> Vec<Start> {
        let along = &self.motif.along;
        let offset = !self.motif.offset.is_zero();
        match &self.motif.from_end {
            Some(end) => {
                let rows = end.checked_div(along).map_or(0, |rows| rows.floor());
                vec![Start {
                    first: beyond(end, along),
                    set_over: rows % 2 == 1,
                }]
            }
            // A row lies just too high for this piece.
            None => [false, true]
                .into_iter()
                .filter(|&set_over| offset || !set_over)
                .map(|set_over| Start {
                    first: self.ruler.length(up - 1 + self.ruler.up(along)),
                    set_over,
                })
                .collect(),
        }
    }

    fn row(&self, start: &Start, row: usize) -> (i64, bool) {
        let far = self
            .motif
            .along
            .times(i64::try_from(row).unwrap_or(i64::MAX));
        let offset = !self.motif.offset.is_zero();
        let set_over = offset && (start.set_over ^ (row % 2 == 1));
        (self.ruler.down(&(&start.first + &far)), set_over)
    }

    /// All the wanted pieces on as little cloth as is found.
    pub(super) fn band(&self, wants: &[Want]) -> Band {
        let wants: Vec<Want> = wants.iter().map(|want| self.settled(want)).collect();
        let alone = wants.iter().map(|want| self.length_of(want, want.count));
        let alone = alone.max().unwrap_or(0);
        let area: i64 = wants.iter().map(Want::area).sum();
        let area = area.div_euclid(self.across.max(1))
            + i64::from(area.rem_euclid(self.across.max(1)) > 0);
        let up = wants.iter().map(|want| want.ways[0].up).max().unwrap_or(0);
        // Of the starts there may be the worst counts, with the best arrangement for each.
        let each = self.starts(up).into_iter().filter_map(|start| {
            let all = self.arrangements(&wants, &start);
            let best = all.into_iter().min_by_key(|rows| length(rows));
            best.map(|rows| (start, rows))
        });
        let Some((start, rows)) = each.max_by_key(|(_, rows)| length(rows)) else {
            return Band::default();
        };
        let length = length(&rows);
        Band {
            motifs: self.motifs(&start, length),
            least: alone.max(area).min(length),
            wants,
            rows,
            length,
        }
    }

    /// As many of the wanted pieces as so much cloth gives; `left` says how many are not laid.
    pub(super) fn within(&self, wants: &[Want], length: i64) -> (Band, Vec<u32>) {
        let all = self.band(wants);
        let mut left: Vec<u32> = wants.iter().map(|want| want.count).collect();
        let rows: Vec<Row> = all
            .rows
            .into_iter()
            .take_while(|row| row.y + row.down <= length)
            .collect();
        for (want, ..) in rows.iter().flat_map(|row| &row.laid) {
            left[*want] -= 1;
        }
        let used = self::length(&rows);
        let motifs = all.motifs.into_iter().filter(|[_, y]| *y <= used);
        let band = Band {
            wants: all.wants,
            motifs: motifs.collect(),
            length: used,
            least: 0,
            rows,
        };
        (band, left)
    }

    /// The same with the one way of lying that takes least.
    fn settled(&self, want: &Want) -> Want {
        let best = want
            .ways
            .iter()
            .filter(|way| self.has_room(way))
            .min_by_key(|way| {
                let one = Want {
                    ways: vec![(*way).clone()],
                    ..want.clone()
                };
                self.length_of(&one, want.count)
            });
        Want {
            ways: best.or(want.ways.first()).cloned().into_iter().collect(),
            ..want.clone()
        }
    }

    /// What so many pieces of one kind take by themselves, wherever the first row lies.
    fn length_of(&self, want: &Want, count: u32) -> i64 {
        let Some(extent) = want.ways.first() else {
            return 0;
        };
        let ends = self.starts(extent.up).into_iter().map(|start| {
            let rows = self.alone(extent, &start, count);
            let last = rows.last().map(|&row| self.row(&start, row).0);
            last.map_or(0, |y| y + extent.down)
        });
        ends.max().unwrap_or(0)
    }

    /// The rows that give so many pieces of one kind on the least cloth: the most that the
    /// rows up to each can give, row by row.
    fn alone(&self, extent: &Extent, start: &Start, count: u32) -> Vec<usize> {
        let give = [false, true].map(|set_over| self.in_row(extent, set_over));
        if count == 0 || give == [0, 0] {
            return Vec::new();
        }
        let apart = self.every(extent).1;
        // For each row the most up to it, and whether it is used for that.
        let mut most: Vec<(usize, bool)> = Vec::new();
        for row in 0..MOST_ROWS {
            let (y, set_over) = self.row(start, row);
            let before = row.checked_sub(1).map_or(0, |before| most[before].0);
            let given = if y >= extent.up {
                give[usize::from(set_over)]
            } else {
                0
            };
            let with = given + row.checked_sub(apart).map_or(0, |before| most[before].0);
            let used = given > 0 && with > before;
            most.push((if used { with } else { before }, used));
            if most[row].0 >= count as usize {
                break;
            }
        }
        let mut rows = Vec::new();
        let mut at = most.len();
        while let Some(row) = at.checked_sub(1) {
            if most[row].1 {
                rows.push(row);
                at = (row + 1).saturating_sub(apart);
            } else {
                at = row;
            }
        }
        rows.reverse();
        rows
    }

    /// Arrangements from one start, the wants in several orders.
    fn arrangements(&self, wants: &[Want], start: &Start) -> Vec<Vec<Row>> {
        if let [want] = wants {
            return vec![self.one_kind(want, start)];
        }
        let mut orders: Vec<Vec<usize>> = Vec::new();
        let by = |key: &dyn Fn(usize) -> i64| {
            let mut order: Vec<usize> = (0..wants.len()).collect();
            order.sort_by_key(|&want| (-key(want), want));
            order
        };
        orders.push(by(&|want| wants[want].ways[0].height()));
        orders.push(by(&|want| wants[want].ways[0].width()));
        orders.push(by(&|want| wants[want].ways[0].up));
        orders.push(by(&|want| -wants[want].ways[0].height()));
        let mixed = orders.iter().flat_map(|order| {
            [false, true].map(|between| self.mixed(wants, order, start, between))
        });
        mixed.collect()
    }

    fn one_kind(&self, want: &Want, start: &Start) -> Vec<Row> {
        let extent = &want.ways[0];
        let mut left = want.count as usize;
        let rows = self.alone(extent, start, want.count);
        rows.into_iter()
            .map(|row| {
                let (y, set_over) = self.row(start, row);
                let columns = self.columns[usize::from(set_over)].iter();
                let usable =
                    columns.filter(|x| **x >= extent.left && **x + extent.right <= self.across);
                let every = self.every(extent).0;
                let here = usable.step_by(every).take(left);
                let laid: Vec<(usize, usize, i64)> = here.map(|&x| (0, 0, x)).collect();
                left -= laid.len();
                Row {
                    y,
                    up: extent.up,
                    down: extent.down,
                    laid,
                }
            })
            .filter(|row| !row.laid.is_empty())
            .collect()
    }

    /// Row by row: the first kind that is left opens a row, and kinds that reach no farther
    /// up and down fill it; with `between` also the motifs between its pieces.
    fn mixed(&self, wants: &[Want], order: &[usize], start: &Start, between: bool) -> Vec<Row> {
        let mut left: Vec<u32> = wants.iter().map(|want| want.count).collect();
        let mut rows: Vec<Row> = Vec::new();
        let mut end = 0;
        for index in 0..MOST_ROWS * wants.len() {
            let (y, set_over) = self.row(start, index);
            let fits = |&&want: &&usize| {
                let extent = &wants[want].ways[0];
                left[want] > 0 && self.in_row(extent, set_over) > 0 && y - extent.up >= end
            };
            if left.iter().all(|&left| left == 0) {
                break;
            }
            let Some(&lead) = order.iter().find(fits) else {
                continue;
            };
            let tall = &wants[lead].ways[0];
            let lower = |&&want: &&usize| {
                let extent = &wants[want].ways[0];
                extent.up <= tall.up && extent.down <= tall.down
            };
            let mut here: Vec<usize> = order.iter().filter(lower).copied().collect();
            here.sort_by_key(|&want| want != lead);
            let laid = self.filled(wants, &here, &mut left, (set_over, between));
            let reach = |of: fn(&Extent) -> i64| {
                let all = laid
                    .iter()
                    .map(|&(want, way, _)| of(&wants[want].ways[way]));
                all.max().unwrap_or(0)
            };
            let row = Row {
                y,
                up: reach(|extent| extent.up),
                down: reach(|extent| extent.down),
                laid,
            };
            end = y + row.down;
            rows.push(row);
        }
        rows
    }

    /// The motifs of one row, from the left: the first of these kinds that has room.
    fn filled(
        &self,
        wants: &[Want],
        kinds: &[usize],
        left: &mut [u32],
        (set_over, between): (bool, bool),
    ) -> Vec<(usize, usize, i64)> {
        let columns = &self.columns[usize::from(set_over)];
        let mut laid: Vec<(usize, usize, i64)> = Vec::new();
        // Of the piece before: its column and how far it reaches.
        let mut before: Option<(usize, i64)> = None;
        for (column, &x) in columns.iter().enumerate() {
            for (place, &want) in kinds.iter().enumerate() {
                let extent = &wants[want].ways[0];
                let far = before.is_none_or(|(other, right)| {
                    let steps = steps(self.ruler, &self.motif.across, right + extent.left);
                    column - other >= steps
                });
                let room = x >= extent.left && x + extent.right <= self.across;
                let turn = between || kinds[..place].iter().all(|&earlier| left[earlier] == 0);
                if far && room && turn && left[want] > 0 {
                    left[want] -= 1;
                    laid.push((want, 0, x));
                    before = Some((column, extent.right));
                    break;
                }
            }
        }
        laid
    }

    /// The middles of all motifs on so much cloth.
    fn motifs(&self, start: &Start, length: i64) -> Vec<[i64; 2]> {
        let mut motifs = Vec::new();
        // Rows above the first one that may be used are there, too.
        let mut above = start.first.clone();
        let mut set_over = start.set_over;
        while !(&above - &self.motif.along).sign().is_lt() {
            above = &above - &self.motif.along;
            set_over = !set_over;
        }
        let start = Start {
            first: above,
            set_over,
        };
        for row in 0..MOST_ROWS {
            let (y, set_over) = self.row(&start, row);
            if y > length {
                break;
            }
            let columns = self.columns[usize::from(set_over)].iter();
            motifs.extend(columns.map(|&x| [x, y]));
        }
        motifs
    }
}

impl Band {
    /// The rows as strips of a layout, `across` wide.
    pub(super) fn strips(&self, across: i64) -> Vec<Strip> {
        let strip = |row: &Row| Strip {
            x: 0,
            y: row.y - row.up,
            height: row.up + row.down,
            width: across,
            lengthwise: false,
            centred: Some(row.y),
            slabs: row.laid.iter().map(|laid| self.slab(row, laid)).collect(),
        };
        self.rows.iter().map(strip).collect()
    }

    /// From the top of the row to the lower edge of the piece.
    fn slab(&self, row: &Row, &(want, way, x): &(usize, usize, i64)) -> LaidSlab {
        let want = &self.wants[want];
        let extent = &want.ways[way];
        LaidSlab {
            demand: want.demand,
            x: x - extent.left,
            width: extent.width(),
            height: row.up + extent.down,
            pieces: 1,
        }
    }
}

fn length(rows: &[Row]) -> i64 {
    rows.iter().map(|row| row.y + row.down).max().unwrap_or(0)
}

/// The least length that differs from this by whole steps, not below nought.
fn beyond(from: &Surd, step: &Surd) -> Surd {
    let steps = from.checked_div(step).map_or(0, |steps| steps.floor());
    from - &step.times(steps)
}

/// Pieces for which not every motif can be used.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tight {
    /// Index of the demand.
    pub demand: usize,
    /// Height and width of the piece as it lies, marks.
    pub size: [i64; 2],
    /// Of the motifs in a row every so manyth can be used, when cut side by side.
    pub motif: usize,
    /// Of the rows every so manyth.
    pub row: usize,
}

/// The pieces of this cloth that are larger than its motifs lie apart.
#[must_use]
pub fn tight(plan: &Plan, cutting: &ClothCutting) -> Vec<Tight> {
    let Some(motif) = &plan.cloth(cutting.cloth).motif else {
        return Vec::new();
    };
    let mark = plan.ruler.mark().to_f64();
    let demands = cutting.demands.iter().enumerate();
    let centred = demands.filter(|(_, of)| matches!(of.method, Method::Centred { .. }));
    let sizes = centred.filter_map(|(demand, _)| {
        let piece = cutting.pieces().find(|piece| piece.demand == demand)?;
        let (least, most) = kinds::bounds(&piece.outline);
        let size = [1, 0].map(|axis| ((most[axis] - least[axis]) / mark - 1e-9).ceil() as i64);
        let (motif, row) = every(&plan.ruler, motif, size);
        Some(Tight {
            demand,
            size,
            motif,
            row,
        })
    });
    sizes
        .filter(|tight| tight.motif > 1 || tight.row > 1)
        .collect()
}
