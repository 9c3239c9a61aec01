//! The setting in the report.

use quilt::plan::{Kind, Plan};
use quilt::setting::Top;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Setting {
    kind: &'static str,
    rows: u32,
    columns: u32,
    cells: Vec<Cell>,
    symmetry: Option<&'static str>,
    figures: [(); 0],
}

#[derive(Serialize)]
struct Cell {
    row: u32,
    column: u32,
    /// On point: whether it lies between the main blocks.
    between: bool,
    block: String,
    colourway: Option<String>,
    turn: u8,
}

pub(super) fn setting(plan: &Plan, top: &Top) -> Setting {
    let cells = top.blocks.iter().map(|placed| {
        let block = plan.block(placed.block);
        Cell {
            row: placed.row,
            column: placed.column,
            between: placed.between,
            block: block.name.clone(),
            colourway: placed
                .colourway
                .map(|way| block.colourways[way].name.clone()),
            turn: placed.turn,
        }
    });
    Setting {
        kind: match plan.setting.kind {
            Kind::Straight => "straight",
            Kind::OnPoint { .. } => "on point",
        },
        rows: plan.setting.rows,
        columns: plan.setting.columns,
        cells: cells.collect(),
        symmetry: None,
        figures: [],
    }
}
