//! The setting in the report.

use quilt::arranging::{Arranging, others};
use quilt::plan::{CellPlan, Kind, Plan};
use quilt::setting::Top;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Setting {
    kind: &'static str,
    rows: u32,
    columns: u32,
    cells: Vec<Cell>,
    symmetry: Option<&'static str>,
    figures: Vec<Figure>,
    stands_out: Vec<StandsOut>,
    others: Option<Others>,
}

/// What other turns of the blocks would have shown.
#[derive(Serialize)]
struct Others {
    tried: usize,
    repeat: usize,
    own: Other,
    best: Vec<Other>,
    advice: Vec<String>,
}

#[derive(Serialize)]
struct Other {
    best_at: Vec<String>,
    trade_name: Option<&'static str>,
    symmetry: &'static str,
    shows: Vec<String>,
    /// Rows of cells.
    cells: Vec<Vec<OtherCell>>,
}

#[derive(Serialize)]
struct OtherCell {
    block: String,
    colourway: Option<String>,
    turn: u8,
}

fn compared(plan: &Plan, seen: &others::Others) -> Others {
    let cell = |cell: &CellPlan| {
        let block = plan.block(cell.block);
        OtherCell {
            block: block.name.clone(),
            colourway: cell.colourway.map(|way| block.colourways[way].name.clone()),
            turn: cell.turn,
        }
    };
    let one = |other: &others::Other| Other {
        best_at: other.best_at.clone(),
        trade_name: other.name,
        symmetry: other.symmetry,
        shows: other.shows.clone(),
        cells: other
            .repeat
            .cells
            .chunks(other.repeat.columns)
            .map(|row| row.iter().map(&cell).collect())
            .collect(),
    };
    Others {
        tried: seen.tried,
        repeat: seen.side,
        own: one(&seen.own),
        best: seen.others.iter().map(one).collect(),
        advice: seen.advice.clone(),
    }
}

#[derive(Serialize)]
struct Figure {
    /// What counted as like: `cloth` or `family`.
    like: &'static str,
    name: String,
    places: Vec<String>,
    shape: usize,
    whole: usize,
    clipped: usize,
    area: f64,
    kind: &'static str,
}

#[derive(Serialize)]
struct StandsOut {
    family: String,
    area: f64,
    contrast: f64,
    largest: f64,
    whole: f64,
}

/// Figures, cloth by cloth and then family by family.
fn figures(seen: &Arranging) -> Vec<Figure> {
    let figure = |tally: &quilt::arranging::says::Tally| Figure {
        like: tally.like.word(),
        name: tally.name.clone(),
        places: tally.places.clone(),
        shape: tally.shape,
        whole: tally.whole,
        clipped: tally.clipped,
        area: tally.area.to_f64(),
        kind: tally.reach.word(),
    };
    seen.figures.iter().map(figure).collect()
}

/// The families by how much they stand out, each measure from 0 to 1.
fn stands_out(seen: &Arranging) -> Vec<StandsOut> {
    let one = |weight: &quilt::arranging::weight::Weight| StandsOut {
        family: weight.name.clone(),
        area: weight.area,
        contrast: weight.contrast,
        largest: weight.largest,
        whole: weight.whole,
    };
    seen.weights.iter().map(one).collect()
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

pub(super) fn setting(plan: &Plan, top: &Top, seen: Option<&Arranging>) -> Setting {
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
        symmetry: seen.map(|seen| seen.symmetry.name()),
        figures: seen.map_or_else(Vec::new, figures),
        stands_out: seen.map_or_else(Vec::new, stands_out),
        others: seen
            .and_then(|seen| seen.others.as_ref())
            .map(|found| compared(plan, found)),
    }
}
