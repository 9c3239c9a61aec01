//! Blocks with their sides along the quilt's sides.
//!
//! Column widths and row heights come from the blocks in them, so blocks of different
//! sizes can share a top as long as every column and every row agrees. Sashing lies
//! between columns and rows, and round the outside if wanted; with posts every sash is as
//! long as a block, without them long sashes run the whole width between the rows.

use geometry::{Motion, Point, Surd};

use super::{Inner, Part, PartKind, PlacedBlock, fit, sums, upright};
use crate::findings::Finding;
use crate::plan::{Plan, Sashing};

/// Lays the blocks and sashing out.
pub(super) fn laid_out(plan: &Plan) -> Result<Inner, Vec<Finding>> {
    let lines = fit::straight(plan)?;
    let sashing = plan.setting.sashing.as_ref();
    let grid = Grid::new(&lines.widths, &lines.heights, sashing);
    let length = |sizes: &[Surd]| match sashing {
        Some(s) => sums::row_length(sizes.iter(), &s.width, s.outside),
        None => sizes.iter().cloned().sum(),
    };
    Ok(Inner {
        width: length(&lines.widths),
        height: length(&lines.heights),
        blocks: blocks_in(plan, &grid.columns, &grid.rows),
        parts: sashing.map_or_else(Vec::new, |s| sashes(s, &grid)),
    })
}

/// One band of columns or rows: where it begins, how long it is.
pub(super) struct Band {
    pub(super) at: Surd,
    pub(super) size: Surd,
}

/// The bands of both directions: those of the blocks and those of the sashing.
struct Grid {
    columns: Vec<Band>,
    rows: Vec<Band>,
    /// Sashing columns: number `i` lies to the left of block column `i + first`.
    sash_columns: Vec<Band>,
    sash_rows: Vec<Band>,
}

impl Grid {
    fn new(widths: &[Surd], heights: &[Surd], sashing: Option<&Sashing>) -> Self {
        let strips = sashing.map(|s| (&s.width, s.outside));
        let (columns, sash_columns) = bands(widths, strips, &Surd::ZERO);
        let (rows, sash_rows) = bands(heights, strips, &Surd::ZERO);
        Self {
            columns,
            rows,
            sash_columns,
            sash_rows,
        }
    }
}

/// Block bands along one direction, and the bands of the strips between them: how wide,
/// and whether outside too.
pub(super) fn bands(
    sizes: &[Surd],
    strips: Option<(&Surd, bool)>,
    start: &Surd,
) -> (Vec<Band>, Vec<Band>) {
    let mut at = start.clone();
    let (mut blocks, mut sashes) = (Vec::new(), Vec::new());
    for (index, size) in sizes.iter().enumerate() {
        if let Some((width, _)) = strips.filter(|(_, outside)| index > 0 || *outside) {
            let size = width.clone();
            let next = &at + &size;
            sashes.push(Band { at, size });
            at = next;
        }
        let next = &at + size;
        let size = size.clone();
        blocks.push(Band { at, size });
        at = next;
    }
    if let Some((width, true)) = strips {
        let size = width.clone();
        sashes.push(Band { at, size });
    }
    (blocks, sashes)
}

/// The blocks of the setting's cells in these columns and rows.
pub(super) fn blocks_in(plan: &Plan, columns: &[Band], rows: &[Band]) -> Vec<PlacedBlock> {
    // A block turned about its own corner leaves its cell; these bring it back.
    let turned: Vec<[Motion; 4]> = plan
        .blocks
        .iter()
        .map(|block| [0, 1, 2, 3].map(|turn| in_cell(&block.width, &block.height, turn)))
        .collect();
    let mut placed = Vec::with_capacity(rows.len() * columns.len());
    for (row, row_band) in (0u32..).zip(rows) {
        for (column, column_band) in (0u32..).zip(columns) {
            let cell = plan.setting.cell(row, column);
            let Some(block) = plan.laid(cell) else {
                continue;
            };
            let at = Point::new(column_band.at.clone(), row_band.at.clone());
            let turn = cell.turn % 4;
            placed.push(PlacedBlock {
                row,
                column,
                between: false,
                diagonal: None,
                border: None,
                block,
                colourway: cell.colourway,
                turn,
                copy: 0,
                motion: turned[block.0][usize::from(turn)].then(&Motion::shift(at)),
                scraps: std::collections::BTreeMap::new(),
            });
        }
    }
    placed
}

/// Turns a block by quarter turns and brings its top left corner back to the origin.
pub(super) fn in_cell(width: &Surd, height: &Surd, turn: i64) -> Motion {
    let back = match turn {
        0 => Point::ORIGIN,
        1 => Point::new(height.clone(), Surd::ZERO),
        2 => Point::new(width.clone(), height.clone()),
        _ => Point::new(Surd::ZERO, width.clone()),
    };
    Motion::quarter_turns(turn).then(&Motion::shift(back))
}

/// Sashes and posts, band by band from the top.
fn sashes(sashing: &Sashing, grid: &Grid) -> Vec<Part> {
    let mut parts = Vec::new();
    let before_row = usize::from(sashing.outside);
    for (index, row) in grid.rows.iter().enumerate() {
        if let Some(band) = (index + before_row)
            .checked_sub(1)
            .and_then(|i| grid.sash_rows.get(i))
        {
            sash_row(sashing, grid, band, &mut parts);
        }
        parts.extend(grid.sash_columns.iter().filter_map(|column| {
            let size = (&column.size, &row.size);
            upright(PartKind::Sash, sashing.cloth, (&column.at, &row.at), size)
        }));
    }
    if let Some(last) = grid.sash_rows.last().filter(|_| sashing.outside) {
        sash_row(sashing, grid, last, &mut parts);
    }
    parts
}

/// One band of sashing between two rows: sashes and posts in turn, or one long sash.
fn sash_row(sashing: &Sashing, grid: &Grid, band: &Band, parts: &mut Vec<Part>) {
    let Some(posts) = sashing.posts else {
        let all = || grid.columns.iter().chain(&grid.sash_columns);
        let whole: Surd = all().map(|b| b.size.clone()).sum();
        if let Some(left) = all().map(|b| &b.at).min() {
            let size = (&whole, &band.size);
            parts.extend(upright(
                PartKind::LongSash,
                sashing.cloth,
                (left, &band.at),
                size,
            ));
        }
        return;
    };
    let sash = |column: &Band| {
        let size = (&column.size, &band.size);
        upright(PartKind::Sash, sashing.cloth, (&column.at, &band.at), size)
    };
    let post = |column: &Band| {
        let size = (&column.size, &band.size);
        upright(PartKind::Post, posts, (&column.at, &band.at), size)
    };
    if sashing.outside {
        parts.extend(grid.sash_columns.first().and_then(post));
    }
    let after = grid
        .sash_columns
        .iter()
        .skip(usize::from(sashing.outside))
        .map(Some)
        .chain(std::iter::repeat(None));
    for (column, next) in grid.columns.iter().zip(after) {
        parts.extend(sash(column));
        parts.extend(next.and_then(post));
    }
}
