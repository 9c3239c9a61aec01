//! The settings in the order of the maker's question, those that look alike folded.
//!
//! Each distinct repeat is tried on the maker's own size of top, beginning at whatever
//! place of the repeat answers best. Settings with the same counts and the same symmetry
//! are told once; how many there are is said with it.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use super::catalogue::{by_symmetry, every};
use super::joined::Reach;
use super::motif::{Motif, Score, Trying};
use super::named::{barn_raising, trade_name};
use super::pose::Pose;
use super::repeat::Turns;
use super::wallpaper::{Wallpaper, squared};
use crate::plan::{CellPlan, Kind, Plan, Repeat};

/// What the maker asks of a setting.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Question {
    /// As much of this class as can be in whole figures, and those as large as can be.
    MostWhole(usize),
    /// A whole figure of this class about the middle of the top, as large as can be.
    InMiddle(usize),
    /// The fewest separate shapes.
    Calmest,
    /// The most turns and mirrorings that leave it the same if it goes on.
    MostAlike,
    /// The top itself is the same from most sides.
    AboutCentre,
    /// Any of them: the number decides which, the same each time.
    Surprise(u64),
}

/// One distinct setting.
#[derive(Clone, PartialEq, Debug)]
pub struct Setting {
    /// Rows and columns of the repeat; those of the top where nothing repeats.
    pub repeat: (usize, usize),
    /// Placements of its blocks row by row, from the corner of the top.
    pub cells: Vec<u8>,
    /// Its symmetry, by class.
    pub symmetry: Wallpaper,
    /// What the top shows of each class.
    pub scores: Vec<Score>,
    /// Area of the whole figure of each class that lies about the middle of the top.
    pub middle: Vec<f64>,
    /// How far the farthest-reaching shape of each class reaches.
    pub reach: Vec<Option<Reach>>,
    /// How many poses leave the top itself the same, 1 to 8.
    pub centred: usize,
    /// The trade's name for it, if it has one.
    pub name: Option<&'static str>,
    /// How many more have the same counts and symmetry.
    pub alike: usize,
}

impl Setting {
    /// The placement in a row and column of the top.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> u8 {
        let (rows, columns) = self.repeat;
        self.cells[row % rows * columns + column % columns]
    }
}

/// Distinct repeats, each begun at every one of its places, tried on one size of top.
#[derive(Clone, Debug)]
pub struct Tried(Vec<Vec<Setting>>);

impl Tried {
    /// How many distinct settings there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is nothing to choose from.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The setting that answers best; of equals the first.
    #[must_use]
    pub fn best(&self, question: Question) -> Option<&Setting> {
        first_best(self.0.iter().flatten(), question)
    }

    /// One setting of each trade name.
    pub fn named(&self) -> impl Iterator<Item = &Setting> {
        let mut known = Vec::new();
        self.0.iter().flatten().filter(move |setting| {
            let new = setting.name.is_some() && !known.contains(&setting.name);
            if new {
                known.push(setting.name);
            }
            new
        })
    }

    /// Each begun where it answers best, the best first, those folded that have the same
    /// counts and symmetry.
    #[must_use]
    pub fn in_order(self, question: Question) -> Vec<Setting> {
        let starts = self.0.iter();
        let found = starts
            .filter_map(|starts| first_best(starts.iter(), question))
            .collect();
        in_rank(found, question)
    }
}

/// The best first, those folded that have the same counts and symmetry.
fn in_rank(mut found: Vec<&Setting>, question: Question) -> Vec<Setting> {
    found.sort_by(|a, b| rank(a, question).total_cmp(&rank(b, question)).reverse());
    folded(found)
}

fn first_best<'a>(
    settings: impl Iterator<Item = &'a Setting>,
    question: Question,
) -> Option<&'a Setting> {
    let mut best: Option<(&Setting, f64)> = None;
    for setting in settings {
        let rank = rank(setting, question);
        if best.is_none_or(|(_, so_far)| rank > so_far) {
            best = Some((setting, rank));
        }
    }
    best.map(|(setting, _)| setting)
}

/// What makes two settings near enough to fold together: their symmetry, how many blocks
/// lie centred, their name, and each class's whole, clipped and largest figures (in
/// bits).
type Alike = (
    Wallpaper,
    usize,
    Option<&'static str>,
    Vec<(usize, usize, u64)>,
);

fn folded(found: Vec<&Setting>) -> Vec<Setting> {
    let mut kept: Vec<Setting> = Vec::new();
    let mut known: BTreeMap<Alike, usize> = BTreeMap::new();
    for setting in found {
        let counts = setting.scores.iter();
        let counts = counts
            .map(|s| (s.whole, s.clipped, (s.largest * 1e6).round().to_bits()))
            .collect();
        let key = (setting.symmetry, setting.centred, setting.name, counts);
        if let Some(&first) = known.get(&key) {
            kept[first].alike += 1;
        } else {
            known.insert(key, kept.len());
            kept.push(setting.clone());
        }
    }
    kept
}

/// Every distinct repeat up to `side × side` cells, tried on a top of `rows × columns`
/// blocks: of one block that is only turned all there are to 3 × 3; of larger ones, and
/// where more than a few million would have to be gone through, those with a symmetry
/// joining their cells into at most four sets. Of several blocks, those that take each
/// as often as the plan does, as nearly as the cells allow. Where the trade has a name
/// for a setting that fills the top and repeats nowhere, that is tried too.
#[must_use]
pub fn tried(motif: &Motif, side: usize, size: (usize, usize)) -> Tried {
    let mut all = Vec::new();
    // Nobody stops it.
    let _ = each(motif, side, size, &mut |_, _, starts| {
        all.push(starts);
        ControlFlow::Continue(())
    });
    Tried(all)
}

/// Goes through every repeat as [`tried`] says: each from every start, with how many of
/// how many came before it.
fn each(
    motif: &Motif,
    side: usize,
    size: (usize, usize),
    take: &mut dyn FnMut(usize, usize, Vec<Setting>) -> ControlFlow<()>,
) -> ControlFlow<()> {
    let mut trying = Trying::new(motif);
    let mut repeats = repeats(&motif.turns, side);
    repeats.retain(|cells| motif.as_often(cells));
    let raised: Vec<Vec<u8>> = (0..2)
        .filter_map(|way| barn_raising(motif, size, way))
        .collect();
    let of = repeats.len() + raised.len();
    let before = repeats.len();
    for (done, cells) in repeats.into_iter().enumerate() {
        let symmetry = motif.symmetry(side, &cells);
        let reach = motif.reach(side, side, &cells);
        let starts = (0..side * side).map(|start| {
            let cells = shifted(side, &cells, start);
            let side = (side, side);
            judged(
                motif,
                &mut trying,
                size,
                side,
                cells,
                symmetry,
                reach.clone(),
            )
        });
        let starts = starts.collect();
        take(done, of, starts)?;
    }
    for (done, cells) in raised.into_iter().enumerate() {
        let starts = vec![whole(motif, &mut trying, size, size, cells)];
        take(before + done, of, starts)?;
    }
    ControlFlow::Continue(())
}

/// [`tried`], in the order of the question.
#[must_use]
pub fn settings(
    motif: &Motif,
    side: usize,
    size: (usize, usize),
    question: Question,
) -> Vec<Setting> {
    let go_on = |_, _| ControlFlow::Continue(());
    settings_watched(motif, side, size, question, &go_on).0
}

/// The same for someone who waits: `watch` is told how many repeats of how many have been
/// tried, and may stop the search. Then it is the best of those tried so far, and the two
/// numbers come with it.
#[must_use]
pub fn settings_watched(
    motif: &Motif,
    side: usize,
    size: (usize, usize),
    question: Question,
    watch: &dyn Fn(usize, usize) -> ControlFlow<()>,
) -> (Vec<Setting>, Option<(usize, usize)>) {
    let mut best = Vec::new();
    let mut stopped = None;
    // One start a repeat is kept, so a long list stays small.
    let _ = each(motif, side, size, &mut |done, of, starts| {
        best.extend(first_best(starts.iter(), question).cloned());
        let go_on = watch(done + 1, of);
        if go_on.is_break() && done + 1 < of {
            stopped = Some((done + 1, of));
        }
        go_on
    });
    (in_rank(best.iter().collect(), question), stopped)
}

/// Up to so many raw repeats are gone through one by one.
const PATIENCE: u32 = 1 << 22;

fn repeats(turns: &Turns, side: usize) -> Vec<Vec<u8>> {
    let raw = u32::try_from(side * side)
        .ok()
        .and_then(|cells| u32::try_from(turns.len()).ok()?.checked_pow(cells))
        .filter(|raw| *raw <= PATIENCE);
    match raw.and_then(|_| every(side, side, turns, true)) {
        Some(all) if side <= 3 => all,
        _ => by_symmetry(side, turns, 4),
    }
}

/// A repeat judged on a top, its symmetry and reach worked out with it.
pub(super) fn whole(
    motif: &Motif,
    trying: &mut Trying,
    size: (usize, usize),
    (rows, columns): (usize, usize),
    cells: Vec<u8>,
) -> Setting {
    let (side, square) = squared(rows, columns, &cells);
    let symmetry = motif.symmetry(side, &square);
    let reach = motif.reach(rows, columns, &cells);
    judged(motif, trying, size, (rows, columns), cells, symmetry, reach)
}

fn judged(
    motif: &Motif,
    trying: &mut Trying,
    size: (usize, usize),
    repeat: (usize, usize),
    cells: Vec<u8>,
    symmetry: Wallpaper,
    reach: Vec<Option<Reach>>,
) -> Setting {
    let at = |row: usize, column: usize| cells[row % repeat.0 * repeat.1 + column % repeat.1];
    let scores = trying.top(size.0, size.1, at).to_vec();
    let corner = |row: usize, column: usize| {
        motif
            .dark
            .as_ref()
            .map_or(0, |dark| dark[usize::from(at(row, column))])
    };
    let named = motif.dark.is_some();
    Setting {
        middle: trying.middle(size.1),
        centred: centred(&motif.turns, size, at),
        name: named.then(|| trade_name(size.0, size.1, corner)).flatten(),
        repeat,
        symmetry,
        scores,
        reach,
        alike: 0,
        cells,
    }
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

#[expect(clippy::cast_precision_loss, reason = "counts of figures are small")]
fn real(n: usize) -> f64 {
    n as f64
}

/// Greater is better.
fn rank(setting: &Setting, question: Question) -> f64 {
    let all: usize = setting.scores.iter().map(|s| s.whole + s.clipped).sum();
    match question {
        Question::MostWhole(class) => setting.scores.get(class).map_or(0.0, |s| {
            s.whole_area - real(s.whole + s.clipped) * 1e-3 - real(all) * 1e-6
        }),
        Question::InMiddle(class) => {
            setting.middle.get(class).copied().unwrap_or(0.0) - real(all) * 1e-6
        }
        Question::Calmest => -real(all),
        Question::MostAlike => {
            let mirrors = match setting.symmetry {
                Wallpaper::P1 | Wallpaper::P2 | Wallpaper::P4 => 0.0,
                Wallpaper::Pm | Wallpaper::Pg | Wallpaper::Cm => 1.0,
                Wallpaper::Pmm | Wallpaper::Pmg | Wallpaper::Pgg | Wallpaper::Cmm => 2.0,
                Wallpaper::P4m | Wallpaper::P4g => 4.0,
            };
            10.0 * f64::from(setting.symmetry.turns()) + mirrors - real(all) * 1e-6
        }
        Question::AboutCentre => real(setting.centred) - real(all) * 1e-6,
        Question::Surprise(number) => drawn(number, &setting.cells),
    }
}

/// A share from 0 to 1 that looks like chance and is the same each time.
fn drawn(number: u64, cells: &[u8]) -> f64 {
    // The mixing step of SplitMix64 (Steele, Lea and Flood: Fast splittable pseudorandom
    // number generators, 2014).
    let mix = |sum: u64, next: u64| {
        let z = (sum ^ next).wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    };
    let mixed = cells
        .iter()
        .fold(number, |sum, &cell| mix(sum, cell.into()));
    f64::from(u32::try_from(mixed >> 32).unwrap_or(0)) / f64::from(u32::MAX)
}

/// The plan with this setting of its blocks, without sashing and borders, so that only
/// the blocks are seen. The size stays. `None` if a placement is not one of these blocks'.
#[must_use]
pub fn in_plan(plan: &Plan, motif: &Motif, setting: &Setting) -> Option<Plan> {
    let cell = |&placement: &u8| {
        let at = usize::from(placement);
        let pose = motif.turns.poses.get(at)?;
        let (block, colourway) = motif.worn[motif.turns.blocks[at]];
        Some(CellPlan {
            block,
            colourway,
            turn: pose.turn(),
            mirrored: pose.mirrored(),
        })
    };
    let cells = setting.cells.iter().map(cell).collect::<Option<Vec<_>>>()?;
    let mut other = plan.clone();
    other.borders.clear();
    other.setting.kind = Kind::Straight;
    other.setting.sashing = None;
    other.setting.pinned.clear();
    other.setting.cells = Repeat {
        rows: setting.repeat.0,
        columns: setting.repeat.1,
        cells,
    };
    other.refresh();
    Some(other)
}

/// The plan's own setting, judged on its own size. `None` unless it is straight and
/// every cell follows the repeat.
#[must_use]
pub fn own_setting(plan: &Plan, motif: &Motif) -> Option<Setting> {
    if plan.setting.kind != Kind::Straight || !plan.setting.pinned.is_empty() {
        return None;
    }
    let repeat = &plan.setting.cells;
    let placement = |cell: &CellPlan| {
        let worn = (cell.block, cell.colourway);
        let block = motif.worn.iter().position(|w| *w == worn)?;
        motif
            .turns
            .placement(block, Pose::new(cell.turn, cell.mirrored))
    };
    let cells = repeat
        .cells
        .iter()
        .map(placement)
        .collect::<Option<Vec<_>>>()?;
    let size = (plan.setting.rows as usize, plan.setting.columns as usize);
    let repeat = (repeat.rows, repeat.columns);
    Some(whole(motif, &mut Trying::new(motif), size, repeat, cells))
}
