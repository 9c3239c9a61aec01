//! The settings in the order of the maker's question, those that look alike folded.
//!
//! Each distinct repeat is tried on the maker's own size of top, beginning at whatever
//! place of the repeat answers best. Settings with the same counts and the same symmetry
//! are told once; how many there are is said with it.

use std::collections::BTreeMap;

use super::catalogue::{by_symmetry, every};
use super::joined::Reach;
use super::motif::{Motif, Score, Trying};
use super::pose::Pose;
use super::repeat::Turns;
use super::wallpaper::{Wallpaper, squared};
use crate::plan::{BlockId, CellPlan, Kind, Plan, Repeat};

/// What the maker asks of a setting.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Question {
    /// As much of this class as can be in whole figures, and those as large as can be.
    MostWhole(usize),
    /// The fewest separate shapes.
    Calmest,
    /// The most turns and mirrorings that leave it the same if it goes on.
    MostAlike,
    /// The top itself is the same from most sides.
    AboutCentre,
}

/// One distinct setting.
#[derive(Clone, PartialEq, Debug)]
pub struct Setting {
    /// Side of the square repeat.
    pub side: usize,
    /// Placements of its blocks row by row, from the corner of the top.
    pub cells: Vec<u8>,
    /// Its symmetry, by class.
    pub symmetry: Wallpaper,
    /// What the top shows of each class.
    pub scores: Vec<Score>,
    /// How far the farthest-reaching shape of each class reaches.
    pub reach: Vec<Option<Reach>>,
    /// How many poses leave the top itself the same, 1 to 8.
    pub centred: usize,
    /// How many more have the same counts and symmetry.
    pub alike: usize,
}

impl Setting {
    /// The placement in a row and column of the top.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> u8 {
        self.cells[row % self.side * self.side + column % self.side]
    }
}

/// What makes two settings near enough to fold together: their symmetry, how many blocks
/// lie centred, and each class's whole, clipped and largest figures (in bits).
type Alike = (Wallpaper, usize, Vec<(usize, usize, u64)>);

/// Every distinct repeat up to `side × side` cells (to 3 × 3 all there are; larger ones
/// with a symmetry joining their cells into at most four sets), tried on a top of
/// `rows × columns` blocks, in the order of the question.
#[must_use]
pub fn settings(
    motif: &Motif,
    side: usize,
    (rows, columns): (usize, usize),
    question: Question,
) -> Vec<Setting> {
    let mut trying = Trying::new(motif);
    let mut found: Vec<Setting> = repeats(&motif.turns, side)
        .into_iter()
        .map(|cells| best_start(motif, &mut trying, side, &cells, (rows, columns), question))
        .collect();
    found.sort_by(|a, b| rank(a, question).total_cmp(&rank(b, question)).reverse());
    let mut kept: Vec<Setting> = Vec::new();
    let mut known: BTreeMap<Alike, usize> = BTreeMap::new();
    for setting in found {
        let counts = setting.scores.iter();
        let counts = counts
            .map(|s| (s.whole, s.clipped, (s.largest * 1e6).round().to_bits()))
            .collect();
        let key = (setting.symmetry, setting.centred, counts);
        if let Some(&first) = known.get(&key) {
            kept[first].alike += 1;
        } else {
            known.insert(key, kept.len());
            kept.push(setting);
        }
    }
    kept
}

fn repeats(turns: &Turns, side: usize) -> Vec<Vec<u8>> {
    match every(side, side, turns, true) {
        Some(all) if side <= 3 => all,
        _ => by_symmetry(side, turns, 4),
    }
}

/// The repeat begun where it answers the question best on this top.
fn best_start(
    motif: &Motif,
    trying: &mut Trying,
    side: usize,
    cells: &[u8],
    size: (usize, usize),
    question: Question,
) -> Setting {
    let mut best: Option<Setting> = None;
    let look = motif.symmetry(side, cells);
    let reach = motif.reach(side, side, cells);
    for start in 0..side * side {
        let shifted = shifted(side, cells, start);
        let at = |row: usize, column: usize| shifted[row % side * side + column % side];
        let scores = trying.top(size.0, size.1, at).to_vec();
        let setting = Setting {
            centred: centred(&motif.turns, size, at),
            side,
            cells: shifted,
            symmetry: look,
            scores,
            reach: reach.clone(),
            alike: 0,
        };
        let better = |b: &Setting| rank(&setting, question) > rank(b, question);
        if best.as_ref().is_none_or(better) {
            best = Some(setting);
        }
    }
    // There is always a first start.
    best.unwrap_or_else(|| Setting {
        side,
        cells: cells.to_vec(),
        symmetry: look,
        scores: Vec::new(),
        reach,
        centred: 1,
        alike: 0,
    })
}

/// The repeat begun at another of its cells.
#[must_use]
pub fn shifted(side: usize, cells: &[u8], start: usize) -> Vec<u8> {
    let (down, right) = (start / side, start % side);
    (0..side * side)
        .map(|i| cells[(i / side + down) % side * side + (i % side + right) % side])
        .collect()
}

/// How many poses of the top leave every block as it was.
fn centred(
    turns: &Turns,
    (rows, columns): (usize, usize),
    at: impl Fn(usize, usize) -> u8,
) -> usize {
    let poses = turns.quilt.iter();
    let fits = poses.filter(|pose| rows == columns || pose.keeps_oblongs());
    fits.filter(|pose| {
        (0..rows).all(|row| {
            (0..columns).all(|column| {
                let (r, c) = landed(**pose, (rows, columns), (row, column));
                at(r, c) == turns.turned(**pose, at(row, column))
            })
        })
    })
    .count()
}

fn landed(
    pose: Pose,
    (rows, columns): (usize, usize),
    (row, column): (usize, usize),
) -> (usize, usize) {
    let signed = |n: usize| i64::try_from(n).unwrap_or(0);
    let (x, y) = pose.vector((
        2 * signed(column) + 1 - signed(columns),
        2 * signed(row) + 1 - signed(rows),
    ));
    let back = |v: i64, n: usize| usize::try_from((v + signed(n) - 1) / 2).unwrap_or(0);
    (back(y, rows), back(x, columns))
}

/// Greater is better.
fn rank(setting: &Setting, question: Question) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts of figures are small")]
    let number = |n: usize| n as f64;
    let all: usize = setting.scores.iter().map(|s| s.whole + s.clipped).sum();
    match question {
        Question::MostWhole(class) => setting.scores.get(class).map_or(0.0, |s| {
            s.whole_area - number(s.whole + s.clipped) * 1e-3 - number(all) * 1e-6
        }),
        Question::Calmest => -number(all),
        Question::MostAlike => {
            let mirrors = match setting.symmetry {
                Wallpaper::P1 | Wallpaper::P2 | Wallpaper::P4 => 0.0,
                Wallpaper::Pm | Wallpaper::Pg | Wallpaper::Cm => 1.0,
                Wallpaper::Pmm | Wallpaper::Pmg | Wallpaper::Pgg | Wallpaper::Cmm => 2.0,
                Wallpaper::P4m | Wallpaper::P4g => 4.0,
            };
            10.0 * f64::from(setting.symmetry.turns()) + mirrors - number(all) * 1e-6
        }
        Question::AboutCentre => number(setting.centred) - number(all) * 1e-6,
    }
}

/// A size of top, and what it does to one class.
#[derive(Clone, PartialEq, Debug)]
pub struct Size {
    /// Blocks down and across.
    pub rows: usize,
    /// Blocks across.
    pub columns: usize,
    /// The cell of the repeat in the corner of the top.
    pub start: usize,
    /// What the top shows of the class.
    pub score: Score,
}

/// What one row or column more or less, and every other start, make of a class: sizes
/// from one less to one more both ways.
#[must_use]
pub fn around(motif: &Motif, setting: &Setting, size: (usize, usize), class: usize) -> Vec<Size> {
    let mut trying = Trying::new(motif);
    let mut out = Vec::new();
    for rows in size.0.saturating_sub(1).max(1)..=size.0 + 1 {
        for columns in size.1.saturating_sub(1).max(1)..=size.1 + 1 {
            for start in 0..setting.side * setting.side {
                let cells = shifted(setting.side, &setting.cells, start);
                let side = setting.side;
                let scores = trying.top(rows, columns, |r, c| cells[r % side * side + c % side]);
                if let Some(&score) = scores.get(class) {
                    out.push(Size {
                        rows,
                        columns,
                        start,
                        score,
                    });
                }
            }
        }
    }
    out
}

/// Of [`around`], the nearest size and start in which every figure of the class is whole.
#[must_use]
pub fn whole_everywhere(sizes: &[Size], size: (usize, usize)) -> Option<&Size> {
    let away =
        |s: &&Size| s.rows.abs_diff(size.0) + s.columns.abs_diff(size.1) + usize::from(s.start > 0);
    sizes
        .iter()
        .filter(|s| s.score.clipped == 0 && s.score.whole > 0)
        .min_by_key(away)
}

/// The trade's name for a setting of a block with two halves, light and dark.
///
/// `dark` gives the dark corner of the block in each row and column of the top: 0 top
/// left, 1 top right, 2 bottom right, 3 bottom left. The names are those of log cabin
/// quilts (common practice): straight furrow, sunshine and shadow, streak of lightning,
/// barn raising.
#[must_use]
pub fn trade_name(
    rows: usize,
    columns: usize,
    dark: impl Fn(usize, usize) -> u8,
) -> Option<&'static str> {
    let fits = |pattern: &dyn Fn(usize, usize) -> u8| {
        (0..rows).all(|r| (0..columns).all(|c| pattern(r, c) == dark(r, c)))
    };
    let turned = |repeat: [u8; 4]| {
        // Begun at any cell, turned any way, light for dark.
        (0..16).any(|way| {
            let (down, right, turn) = (way & 1, way >> 1 & 1, (way >> 2) as u8);
            fits(&|r, c| {
                let (y, x) = ((r + down) % 2, (c + right) % 2);
                let (y, x) = if turn % 2 == 1 { (x, 1 - y) } else { (y, x) };
                (repeat[2 * y + x] + 4 - turn) % 4
            })
        })
    };
    if rows < 2 || columns < 2 {
        return None;
    }
    let barn = |flip: usize| {
        rows.is_multiple_of(2)
            && columns.is_multiple_of(2)
            && rows >= 4
            && columns >= 4
            && fits(&|r, c| {
                let (y, x) = (r.min(rows - 1 - r), c.min(columns - 1 - c));
                let inward = (x + y + flip).is_multiple_of(2);
                match (2 * r < rows, 2 * c < columns, inward) {
                    (true, true, true) | (false, false, false) => 2,
                    (true, true, false) | (false, false, true) => 0,
                    (true, false, true) | (false, true, false) => 3,
                    (true, false, false) | (false, true, true) => 1,
                }
            })
    };
    if turned([0, 2, 2, 0]) {
        Some("straight furrow")
    } else if turned([2, 3, 1, 0]) {
        Some("sunshine and shadow")
    } else if turned([2, 3, 0, 1]) {
        Some("streak of lightning")
    } else if barn(0) || barn(1) {
        Some("barn raising")
    } else {
        None
    }
}

/// The plan with this setting of its block, without sashing and borders, so that only
/// the blocks are seen. The size stays. `None` if the setting needs mirrored blocks.
#[must_use]
pub fn in_plan(plan: &Plan, block: BlockId, turns: &Turns, setting: &Setting) -> Option<Plan> {
    let cell = |&placement: &u8| {
        let pose = turns.poses.get(usize::from(placement))?;
        (!pose.mirrored()).then_some(CellPlan {
            block,
            colourway: None,
            turn: pose.turn(),
            mirrored: false,
        })
    };
    let cells = setting.cells.iter().map(cell).collect::<Option<Vec<_>>>()?;
    let mut other = plan.clone();
    other.borders.clear();
    other.setting.kind = Kind::Straight;
    other.setting.sashing = None;
    other.setting.pinned.clear();
    other.setting.cells = Repeat {
        rows: setting.side,
        columns: setting.side,
        cells,
    };
    Some(other)
}

/// The plan's own setting among those of one block: its cells by placement. `None` on
/// point, with several blocks or colourways, or with a repeat that is not of this block.
#[must_use]
pub fn own_setting(plan: &Plan, block: BlockId, turns: &Turns) -> Option<(usize, Vec<u8>)> {
    if plan.setting.kind != Kind::Straight || !plan.setting.pinned.is_empty() {
        return None;
    }
    let repeat = &plan.setting.cells;
    let placement = |cell: &CellPlan| {
        let this = cell.block == block && cell.colourway.is_none();
        turns
            .placement(Pose::new(cell.turn, cell.mirrored))
            .filter(|_| this)
    };
    let cells = repeat
        .cells
        .iter()
        .map(placement)
        .collect::<Option<Vec<_>>>()?;
    Some(squared(repeat.rows, repeat.columns, &cells))
}
