//! Columns or rows shifted by half a block: half-drop and brick.
//!
//! ```text
//!   half-drop                     brick
//!   ┌────┐┌╌╌╌╌┐┌────┐            ┌────┐┌────┐┌────┐
//!   │    │├────┤│    │            └────┘└────┘└────┘
//!   └────┘│    │└────┘            ┌╌╌┐┌────┐┌────┐┌╌╌┐
//!   ┌────┐└────┘┌────┐            └╌╌┘└────┘└────┘└╌╌┘
//!   │    │├────┤│    │
//!   └────┘└╌╌╌╌┘└────┘            dashed: the ends, half a block long
//! ```
//!
//! Every second column (row) has one block fewer and an end at either side. An end is a
//! half block pieced for itself, with a seam allowance along the cut, or a plain
//! rectangle. The half before the first block is that of the block the repeat would put
//! there; the half after the last that of the cell's own block.

use geometry::{Motion, Point, Surd};

use super::straight::in_cell;
use super::{Inner, Part, PartKind, PlacedBlock, fit, upright};
use crate::findings::Finding;
use crate::plan::{BlockId, CellPlan, Ends, Plan, Side};

/// Lays the blocks out: columns shifted downward (`drop`), or rows to the right.
pub(super) fn laid_out(plan: &Plan, drop: bool, ends: Ends) -> Result<Inner, Vec<Finding>> {
    let name = if drop {
        "a half-drop"
    } else {
        "a brick setting"
    };
    fit::no_sashing(plan, name)?;
    let lines = fit::straight(plan)?;
    let lengths = if drop { &lines.heights } else { &lines.widths };
    let step = fit::even(plan, drop, lengths)?;
    let mut laying = Laying {
        plan,
        drop,
        ends,
        step,
        blocks: Vec::new(),
        parts: Vec::new(),
    };
    let across = if drop { &lines.widths } else { &lines.heights };
    let mut at = Surd::ZERO;
    for (line, thick) in (0u32..).zip(across) {
        laying.line(line, &at, thick, lengths.len());
        at += thick;
    }
    let along: Surd = lengths.iter().cloned().sum();
    let (width, height) = if drop { (at, along) } else { (along, at) };
    laying
        .blocks
        .sort_by_key(|placed| (placed.row, placed.column));
    Ok(Inner {
        width,
        height,
        blocks: laying.blocks,
        parts: laying.parts,
    })
}

/// What is being laid.
struct Laying<'a> {
    plan: &'a Plan,
    drop: bool,
    ends: Ends,
    /// What a block takes along its line.
    step: Surd,
    blocks: Vec<PlacedBlock>,
    parts: Vec<Part>,
}

impl Laying<'_> {
    /// One column or row of `count` blocks beginning at `at` and `thick` across.
    fn line(&mut self, line: u32, at: &Surd, thick: &Surd, count: usize) {
        let count = u32::try_from(count).unwrap_or(u32::MAX);
        let plan = self.plan;
        let cell = |index: u32| {
            if self.drop {
                plan.setting.cell(index, line)
            } else {
                plan.setting.cell(line, index)
            }
        };
        let cells: Vec<CellPlan> = (0..count).map(|index| *cell(index)).collect();
        let shifted = line % 2 == 1;
        let whole = &cells[..cells.len() - usize::from(shifted)];
        let half = self.step.half();
        let first = if shifted { half.clone() } else { Surd::ZERO };
        for (index, cell) in (0u32..).zip(whole) {
            let along = &first + &self.step.times(i64::from(index));
            let number = index + u32::from(shifted);
            if let Some(id) = plan.laid(cell) {
                self.block(id, cell, (line, number), (at, &along));
            }
        }
        let (Some(last), true) = (cells.last(), shifted) else {
            return;
        };
        let [before, after] = if self.drop {
            [Side::Lower, Side::Upper]
        } else {
            [Side::Right, Side::Left]
        };
        let end = self.step.times(i64::from(count)) - &half;
        let start = *plan.cell_before(line);
        self.end(&start, before, (line, 0), (at, &Surd::ZERO), thick);
        self.end(last, after, (line, count), (at, &end), thick);
    }

    fn end(
        &mut self,
        cell: &CellPlan,
        side: Side,
        number: (u32, u32),
        at: (&Surd, &Surd),
        thick: &Surd,
    ) {
        match self.ends {
            Ends::Halves => {
                if let Some(id) = self.plan.half_of(cell, side) {
                    self.block(id, cell, number, at);
                }
            }
            Ends::Plain(cloth) => {
                let half = self.step.half();
                let (corner, size) = if self.drop {
                    (at, (thick, &half))
                } else {
                    ((at.1, at.0), (&half, thick))
                };
                self.parts
                    .extend(upright(PartKind::PlainEnd, cloth, corner, size));
            }
        }
    }

    /// Lays `id` as its cell is turned; `number` and `at` across and along the lines.
    fn block(&mut self, id: BlockId, cell: &CellPlan, number: (u32, u32), at: (&Surd, &Surd)) {
        let block = self.plan.block(id);
        let ((x, y), (row, column)) = if self.drop {
            (at, (number.1, number.0))
        } else {
            ((at.1, at.0), number)
        };
        let turn = cell.turn % 4;
        let shift = Motion::shift(Point::new(x.clone(), y.clone()));
        let motion = in_cell(&block.width, &block.height, turn.into()).then(&shift);
        self.blocks.push(PlacedBlock {
            row,
            column,
            between: false,
            diagonal: None,
            border: None,
            block: id,
            colourway: cell.colourway,
            turn,
            copy: 0,
            scraps: std::collections::BTreeMap::new(),
            motion,
        });
    }
}
