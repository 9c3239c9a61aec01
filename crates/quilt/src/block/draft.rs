//! From what the maker drew to exact patches.
//!
//! Every kind of draft but [`Draft::Lines`] is worked out as a list of tiles, each with
//! its spot name; the geometry then checks that they cover the block exactly once.
//! Lines go through the arrangement of segments, which reports every line that dangles,
//! floats or leaves the block.
//!
//! **Units.** Inches, exact; block coordinates, y down.

use geometry::{Arrangement, Fault, Point, Polygon, Surd};

use super::tiles::{self, Tile};
use super::{Drafted, taken};
use crate::measure::Measure;
use crate::plan::{BlockPlan, Draft};

/// What is wrong with a drawing.
#[derive(Clone, PartialEq, Debug)]
pub enum DraftFault {
    /// The block must be square for this draft.
    NotSquare,
    /// The block must have this height for its width.
    Proportion {
        /// The height that would do, inches.
        height: Surd,
    },
    /// Joined cells of a grid do not make a rectangle. Row and column from 1.
    RaggedJoin {
        /// Row of the cell the others are joined to.
        row: usize,
        /// Its column.
        column: usize,
    },
    /// A cell says it is joined to one that is not there. Row and column from 1.
    JoinedToNothing {
        /// Row of the cell.
        row: usize,
        /// Its column.
        column: usize,
    },
    /// The lines or tiles do not make patches.
    Drawing(Fault),
    /// The block it is taken from cannot be drafted.
    Source {
        /// That block's name.
        from: String,
    },
    /// The part taken from another block reaches beyond that.
    PartBeyond {
        /// That block's name.
        from: String,
        /// Its finished width, inches.
        width: Surd,
        /// Its finished height, inches.
        height: Surd,
    },
}

impl DraftFault {
    /// The sentence for the maker: what, where, and what would put it right.
    #[must_use]
    pub fn text(&self, plan: &BlockPlan, measure: Measure) -> String {
        let name = &plan.name;
        let at = |p: &Point| {
            format!(
                "{} across and {} down",
                measure.say(&p.x),
                measure.say(&p.y)
            )
        };
        match self {
            Self::NotSquare => format!(
                "“{name}” is {}, but this draft needs a square block. Make width and height the same.",
                measure.size(&plan.width, &plan.height)
            ),
            Self::Proportion { height } => format!(
                "“{name}” is {}; its 60° shapes need a height of exactly {} for that width. Write the height as an exact number with √3.",
                measure.size(&plan.width, &plan.height),
                exact_words(height, measure)
            ),
            Self::RaggedJoin { row, column } => format!(
                "In “{name}” the cells joined to row {row}, column {column} do not make a rectangle. Join whole rows or columns of cells."
            ),
            Self::JoinedToNothing { row, column } => format!(
                "In “{name}” the cell in row {row}, column {column} is joined to a neighbour that is not there. Give it a place of its own."
            ),
            Self::Drawing(fault) => drawing_fault(name, fault, &at),
            Self::Source { from } => format!(
                "“{name}” is taken from “{from}”, which cannot be drafted. Put “{from}” right first."
            ),
            Self::PartBeyond {
                from,
                width,
                height,
            } => format!(
                "“{name}” takes a part of “{from}” that reaches beyond it: “{from}” is {}. Keep the part within that.",
                measure.size(width, height)
            ),
        }
    }
}

/// A length as an exact number where it is one with roots.
fn exact_words(length: &Surd, measure: Measure) -> String {
    let in_unit = length.checked_div(&measure.in_inches()).unwrap_or_default();
    format!("{in_unit} {} ({})", measure.sign(), measure.say(length))
}

fn drawing_fault(name: &str, fault: &Fault, at: &dyn Fn(&Point) -> String) -> String {
    match fault {
        Fault::Dangling {
            segment,
            at: end,
            short_by,
        } => {
            let line = segment + 1;
            let short = match short_by {
                Some(gap) => format!(", {gap:.3} in short of the next line"),
                None => String::new(),
            };
            format!(
                "In “{name}” line {line} stops in the open at {}{short}. Draw it on to the next line, or take it out.",
                at(end)
            )
        }
        Fault::Island { around } => format!(
            "In “{name}” the figure around {} touches no other line, so the patch round it would have a hole. Draw a line from it to its surroundings.",
            at(around)
        ),
        Fault::Overrun {
            segment,
            at: end,
            past_by,
        } => format!(
            "In “{name}” line {} runs {past_by:.3} in past the line it crosses and stops at {}. End it on that line, or draw it on to the next.",
            segment + 1,
            at(end)
        ),
        Fault::Outside { segment } => format!(
            "In “{name}” line {} leaves the block. End it on the block's edge.",
            segment + 1
        ),
        Fault::TileOutside { tile, around } => format!(
            "In “{name}” patch {} reaches outside the block around {}. Keep its corners within the block's edges.",
            tile + 1,
            at(around)
        ),
        Fault::Pinched { at: point } => format!(
            "In “{name}” a patch touches itself at {}. Draw a line on from there so that it becomes two patches.",
            at(point)
        ),
        Fault::Uncovered { around, area } => format!(
            "In “{name}” no patch covers the part around {} ({} square inches). Add a patch there or move the corners together.",
            at(around),
            Measure::Inch.number(area)
        ),
        Fault::Overlap {
            a: first,
            b: second,
            around,
        } => format!(
            "In “{name}” patches {} and {} lie over each other around {}. Let them meet at an edge instead.",
            first + 1,
            second + 1,
            at(around)
        ),
    }
}

/// Drafts a block: its outline, its patches and their spot names.
///
/// # Errors
///
/// Every fault of the drawing, not only the first.
pub fn drafted(plan: &BlockPlan) -> Result<Drafted, Vec<DraftFault>> {
    let outline = Polygon::rectangle(plan.width.clone(), plan.height.clone())
        .ok_or_else(|| vec![DraftFault::NotSquare])?;
    let wrapped = |faults: Vec<Fault>| {
        faults
            .into_iter()
            .map(DraftFault::Drawing)
            .collect::<Vec<_>>()
    };
    if let Draft::Lines { lines } = &plan.draft {
        let arrangement = Arrangement::of(&outline, lines).map_err(wrapped)?;
        let spots = (1..=arrangement.faces.len())
            .map(|n| format!("patch {n}"))
            .collect();
        return Ok(Drafted {
            outline,
            arrangement,
            spots,
        });
    }
    if let Draft::Taken(taken) = &plan.draft {
        return taken::drafted(plan, taken, outline);
    }
    let tiles = laid(plan)?;
    let (spots, outlines): (Vec<_>, Vec<_>) =
        tiles.into_iter().map(|t| (t.spot, t.outline)).unzip();
    let arrangement = Arrangement::from_tiles(&outline, &outlines).map_err(wrapped)?;
    Ok(Drafted {
        outline,
        arrangement,
        spots,
    })
}

fn laid(plan: &BlockPlan) -> Result<Vec<Tile>, Vec<DraftFault>> {
    let (w, h) = (&plan.width, &plan.height);
    let square = || {
        if w == h {
            Ok(())
        } else {
            Err(vec![DraftFault::NotSquare])
        }
    };
    // The 60° drafts fix the height by the width: √3⁄2 of some share of it.
    let proportion = |height: Surd| {
        if *h == height {
            Ok(())
        } else {
            Err(vec![DraftFault::Proportion { height }])
        }
    };
    let half_root3 = Surd::root3().half();
    match &plan.draft {
        Draft::Grid {
            columns,
            rows,
            cells,
        } => tiles::grid(w, h, columns, rows, cells),
        Draft::Nested {
            rounds,
            centre,
            twist,
        } => {
            square()?;
            Ok(tiles::nested(w, *rounds, *centre, *twist))
        }
        Draft::Log {
            rounds,
            centre,
            style,
        } => Ok(tiles::log(w, h, *rounds, centre, *style)),
        Draft::Star { split } => {
            square()?;
            Ok(tiles::star(w, *split))
        }
        Draft::Hexagon { parts } => {
            proportion(w * &half_root3)?;
            Ok(tiles::hexagon(w, h, *parts))
        }
        Draft::Triangles { rows, across } => {
            let rows_share = Surd::ratio(i64::from(*rows), i64::from((*across).max(1)));
            proportion(&(w * &half_root3) * &rows_share)?;
            Ok(tiles::triangles(w, h, *rows, *across))
        }
        Draft::Hexagons { rows, across } => {
            let shares = Surd::ratio(i64::from(*rows), 3 * i64::from((*across).max(1)));
            proportion(&(w * &Surd::root3()) * &shares)?;
            Ok(tiles::hexagons(w, h, *rows, *across))
        }
        Draft::Pieces { pieces } => Ok(pieces
            .iter()
            .map(|(spot, outline)| Tile {
                spot: spot.clone(),
                outline: outline.clone(),
            })
            .collect()),
        Draft::Lines { .. } | Draft::Taken(_) => Ok(Vec::new()),
    }
}
