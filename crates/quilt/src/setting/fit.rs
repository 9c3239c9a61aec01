//! Whether the blocks fit together, and which do not.
//!
//! In a straight setting the blocks of a column must share a width and those of a row a
//! height; what most of them have is taken as wanted (of equally many, the first met). On
//! point every block must be square and all of one size. Each finding names the block, the
//! cells, the sizes that disagree, and what would put it right.

use geometry::Surd;

use super::size_in;
use crate::findings::Finding;
use crate::measure::Measure;
use crate::plan::{BlockId, CellPlan, Plan, Repeat};

/// Column widths and row heights of a straight setting.
pub(super) struct Lines {
    pub(super) widths: Vec<Surd>,
    pub(super) heights: Vec<Surd>,
}

/// The widths and heights of the columns and rows, if every block fits its own.
pub(super) fn straight(plan: &Plan) -> Result<Lines, Vec<Finding>> {
    let setting = &plan.setting;
    let (rows, columns) = (setting.rows, setting.columns);
    let mut misfits = Vec::new();
    let widths = (0..columns)
        .map(|column| {
            let line = Line {
                plan,
                place: Place::Column(column),
                cells: (0..rows).map(|row| setting.cell(row, column)).collect(),
            };
            line.wanted(&mut misfits)
        })
        .collect();
    let heights = (0..rows)
        .map(|row| {
            let line = Line {
                plan,
                place: Place::Row(row),
                cells: (0..columns)
                    .map(|column| setting.cell(row, column))
                    .collect(),
            };
            line.wanted(&mut misfits)
        })
        .collect();
    if misfits.is_empty() {
        Ok(Lines { widths, heights })
    } else {
        Err(misfits)
    }
}

/// Sashing runs between blocks that lie in rows and columns both; here they do not.
pub(super) fn no_sashing(plan: &Plan, kind: &str) -> Result<(), Vec<Finding>> {
    if plan.setting.sashing.is_none() {
        return Ok(());
    }
    Err(vec![Finding::stop(format!(
        "The setting has {kind} and sashing as well, but the sashes would not meet. Take the sashing out, or set the blocks straight."
    ))])
}

/// The one length all blocks have along shifted lines: height where columns drop, width
/// where rows do.
pub(super) fn even(plan: &Plan, drop: bool, lengths: &[Surd]) -> Result<Surd, Vec<Finding>> {
    let wanted = most_common(lengths.iter().cloned()).unwrap_or(Surd::ZERO);
    let odd: Vec<usize> = (0..lengths.len())
        .filter(|&i| lengths[i] != wanted)
        .collect();
    let Some(&first) = odd.first() else {
        return Ok(wanted);
    };
    let (line, high, way) = if drop {
        ("row", "high", "half-drop")
    } else {
        ("column", "wide", "brick setting")
    };
    Err(vec![Finding::stop(format!(
        "The blocks of {} are {} {high}, the others {}: in a {way} all must be equally {high}, or the ends would not be halves.          Draft them {} {high}, or set the blocks straight.",
        numbered(line, &odd),
        plan.measure.say(&lengths[first]),
        plan.measure.say(&wanted),
        plan.measure.say(&wanted),
    ))])
}

/// The size that occurs most often; of several the one met first.
pub(super) fn most_common(sizes: impl Iterator<Item = Surd>) -> Option<Surd> {
    let mut counts: Vec<(Surd, usize)> = Vec::new();
    for size in sizes {
        match counts.iter_mut().find(|(known, _)| *known == size) {
            Some((_, count)) => *count += 1,
            None => counts.push((size, 1)),
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max()?;
    counts
        .into_iter()
        .find(|(_, count)| *count == most)
        .map(|(size, _)| size)
}

#[derive(Clone, Copy)]
enum Place {
    Column(u32),
    Row(u32),
}

/// The blocks that must agree in one direction.
struct Line<'a> {
    plan: &'a Plan,
    place: Place,
    cells: Vec<&'a CellPlan>,
}

impl Line<'_> {
    /// Width in a column, height in a row.
    fn size(&self, cell: &CellPlan) -> Surd {
        let (width, height) = size_in(self.plan, cell);
        match self.place {
            Place::Column(_) => width,
            Place::Row(_) => height,
        }
    }

    /// The size wanted, and a finding for every block that has another.
    fn wanted(&self, misfits: &mut Vec<Finding>) -> Surd {
        let wanted =
            most_common(self.cells.iter().map(|cell| self.size(cell))).unwrap_or(Surd::ZERO);
        // One finding for the same block lying the same way, naming all its cells.
        let mut groups: Vec<(BlockId, Surd, Vec<usize>)> = Vec::new();
        for (index, cell) in self.cells.iter().enumerate() {
            let size = self.size(cell);
            if size == wanted {
                continue;
            }
            let same =
                |group: &&mut (BlockId, Surd, Vec<usize>)| group.0 == cell.block && group.1 == size;
            match groups.iter_mut().find(same) {
                Some(group) => group.2.push(index),
                None => groups.push((cell.block, size, vec![index])),
            }
        }
        misfits.extend(groups.iter().map(|group| self.misfit(group, &wanted)));
        wanted
    }

    fn misfit(&self, (block, size, at): &(BlockId, Surd, Vec<usize>), wanted: &Surd) -> Finding {
        let measure = self.plan.measure;
        let block = self.plan.block(*block);
        let ((too, dimension, lies), (line, across), number) = match self.place {
            Place::Column(n) if size > wanted => {
                (("too wide", "wide", "across"), ("column", "row"), n + 1)
            }
            Place::Column(n) => (("too narrow", "wide", "across"), ("column", "row"), n + 1),
            Place::Row(n) if size > wanted => {
                (("too high", "high", "upright"), ("row", "column"), n + 1)
            }
            Place::Row(n) => (("too low", "high", "upright"), ("row", "column"), n + 1),
        };
        let turning =
            if block.width != block.height && (block.width == *wanted || block.height == *wanted) {
                format!(
                    ", turn it so that its {} side lies {lies}",
                    measure.say(wanted)
                )
            } else {
                String::new()
            };
        Finding::stop(format!(
            "“{}” is {} {too} for {line} {number} ({}): it finishes {} {dimension} there, most blocks of the {line} {}. \
             Draft it {} {dimension}{turning}, or fill the whole {line} with it.",
            block.name,
            measure.say(&(size - wanted).abs()),
            numbered(across, at),
            measure.say(size),
            measure.say(wanted),
            measure.say(wanted),
        ))
    }
}

/// `row 3`, `rows 1 and 3`, `rows 1, 3 and 5`; the numbers given count from 0.
fn numbered(what: &str, at: &[usize]) -> String {
    let numbers: Vec<String> = at.iter().map(|n| (n + 1).to_string()).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("{what} {one}"),
        [some @ .., last] => format!("{what}s {} and {last}", some.join(", ")),
    }
}

/// The side of the blocks of an on-point setting, if all are square and agree.
pub(super) fn on_point(plan: &Plan, between: &Repeat) -> Result<Surd, Vec<Finding>> {
    let cells = on_point_cells(plan, between);
    let mut misfits = Vec::new();
    let square = |cell: &&Cell| {
        let block = plan.block(cell.block);
        block.width == block.height
    };
    let sides = cells
        .iter()
        .filter(square)
        .map(|cell| plan.block(cell.block).width.clone());
    let wanted = most_common(sides);
    let mut done: Vec<BlockId> = Vec::new();
    for cell in &cells {
        if done.contains(&cell.block) {
            continue;
        }
        done.push(cell.block);
        let block = plan.block(cell.block);
        let at: Vec<&Cell> = cells.iter().filter(|c| c.block == cell.block).collect();
        let size = (&block.width, &block.height);
        if block.width != block.height {
            misfits.push(not_square(plan.measure, &block.name, size, &at));
        } else if let Some(wanted) = wanted.as_ref().filter(|w| **w != block.width) {
            misfits.push(not_equal(plan.measure, &block.name, (size.0, wanted), &at));
        }
    }
    match wanted {
        Some(side) if misfits.is_empty() => Ok(side),
        _ => Err(misfits),
    }
}

/// One cell of an on-point setting: which block, among the main ones or between.
struct Cell {
    block: BlockId,
    between: bool,
    row: u32,
    column: u32,
}

fn on_point_cells(plan: &Plan, between: &Repeat) -> Vec<Cell> {
    let setting = &plan.setting;
    let spots = |rows: u32, columns: u32| {
        (0..rows).flat_map(move |row| (0..columns).map(move |column| (row, column)))
    };
    let cell = |of: &CellPlan, (row, column): (u32, u32), between: bool| Cell {
        block: of.block,
        between,
        row,
        column,
    };
    let mut all: Vec<Cell> = spots(setting.rows, setting.columns)
        .map(|at| cell(setting.cell(at.0, at.1), at, false))
        .collect();
    let (rows, columns) = (
        setting.rows.saturating_sub(1),
        setting.columns.saturating_sub(1),
    );
    all.extend(spots(rows, columns).map(|at| cell(between.at(at.0, at.1), at, true)));
    all
}

/// Where a block lies on point: the first few cells and how many more.
fn where_on_point(at: &[&Cell]) -> String {
    const NAMED: usize = 6;
    let mut words: Vec<String> = at
        .iter()
        .take(NAMED)
        .map(|cell| {
            let kind = if cell.between { "between " } else { "" };
            format!("{kind}row {} column {}", cell.row + 1, cell.column + 1)
        })
        .collect();
    if at.len() > NAMED {
        words.push(format!("and {} more", at.len() - NAMED));
    }
    words.join(", ")
}

fn not_square(measure: Measure, name: &str, size: (&Surd, &Surd), at: &[&Cell]) -> Finding {
    let (more, than) = if size.0 > size.1 {
        ("wider", "high")
    } else {
        ("higher", "wide")
    };
    Finding::stop(format!(
        "“{name}” is {} {more} than {than} ({}): on point every block must be square, and it finishes at {}. \
         Draft it square, or set the blocks straight.",
        measure.say(&(size.0 - size.1).abs()),
        where_on_point(at),
        measure.size(size.0, size.1),
    ))
}

fn not_equal(
    measure: Measure,
    name: &str,
    (side, wanted): (&Surd, &Surd),
    at: &[&Cell],
) -> Finding {
    let larger = if side > wanted { "larger" } else { "smaller" };
    Finding::stop(format!(
        "“{name}” is {} {larger} than most blocks ({}): on point all blocks must be of one size; it finishes at {}, the others at {}. \
         Draft it {} wide and high, or use one size of block throughout.",
        measure.say(&(side - wanted).abs()),
        where_on_point(at),
        measure.size(side, side),
        measure.size(wanted, wanted),
        measure.say(wanted),
    ))
}
