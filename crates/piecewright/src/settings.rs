//! The other settings of a plan's block: as a list to read and a wall to look at.

use std::fmt::Write as _;

use picture::{Hung, Manner, Palette};
use quilt::arranging::Reach;
use quilt::arranging::choice::{self, Question, Setting, in_plan};
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::Motif;
use quilt::arranging::says::number;
use quilt::plan::{BlockId, Plan};
use quilt::results::Results;
use quilt::setting;

/// What may be asked of a setting.
#[derive(Clone, Copy, PartialEq, Eq, Debug, clap::ValueEnum)]
pub(crate) enum Ask {
    /// As much of one family of colour as can be in whole figures
    Whole,
    /// The fewest separate shapes
    Calm,
    /// Alike from most sides if it goes on
    Alike,
    /// The top itself alike from most sides
    Centre,
}

/// The question and how much to show.
pub(crate) struct Asked {
    pub(crate) ask: Ask,
    pub(crate) of: Option<String>,
    pub(crate) repeat: usize,
    pub(crate) show: usize,
}

/// The answer.
pub(crate) struct Shown {
    /// To read.
    pub(crate) text: String,
    /// An SVG document: four in a row.
    pub(crate) picture: String,
}

/// How wide the wall is drawn: a tablet held across, inches.
const WALL: f64 = 10.6;

/// Tries the settings of the plan's first block.
pub(crate) fn settings(plan: &Plan, results: &Results, asked: &Asked) -> Result<Shown, String> {
    let id = plan
        .setting
        .cells
        .cells
        .first()
        .map_or(BlockId(0), |cell| cell.block);
    let classes = Classes::of(plan, Likeness::Family);
    let block = results.blocks[id.0].as_deref();
    let motif = block
        .and_then(|block| Motif::of(plan, id, block, &classes, false))
        .ok_or("The block has no patches to try.")?;
    let question = question(asked, &classes)?;
    let size = (plan.setting.rows as usize, plan.setting.columns as usize);
    let found = choice::settings(&motif, asked.repeat, size, question);
    let all: usize = found.iter().map(|s| 1 + s.alike).sum();
    let name = &plan.block(id).name;
    let mut text = format!(
        "{all} distinct settings of “{name}” in a repeat of {0} × {0}, by turning alone; {1} differ in what they show.\n\
         On the plan's {2} × {3} blocks:\n",
        asked.repeat,
        found.len(),
        size.1,
        size.0,
    );
    let counts: Vec<usize> = results
        .blocks
        .iter()
        .map(|b| b.as_ref().map_or(0, |b| b.patches.len()))
        .collect();
    let mut hung = Vec::new();
    for (place, one) in found.iter().take(asked.show).enumerate() {
        let Some(other) = in_plan(plan, id, &motif.turns, one) else {
            continue;
        };
        let says = told(one, &classes);
        let turns = rows(&other);
        // Writing to a String cannot fail.
        let _ = write!(text, "\n{}. {}", place + 1, one.symmetry.says());
        if one.alike > 0 {
            let _ = write!(text, " (and {} more with the same counts)", one.alike);
        }
        let _ = writeln!(text, "\n   turns {turns}\n   {}", says.join("; "));
        if let Ok(top) = setting::work_out(&other, &counts) {
            hung.push(Hung {
                plan: other,
                top,
                title: format!("{}.  {turns}", place + 1),
                says: says.join("\n"),
            });
        }
    }
    let drawing = picture::wall(&results.blocks, &hung, 4, Manner::Cloth);
    Ok(Shown {
        text,
        picture: picture::svg(&drawing, &Palette::of(plan, "sans-serif"), WALL),
    })
}

fn question(asked: &Asked, classes: &Classes) -> Result<Question, String> {
    Ok(match asked.ask {
        Ask::Calm => Question::Calmest,
        Ask::Alike => Question::MostAlike,
        Ask::Centre => Question::AboutCentre,
        Ask::Whole => {
            let known = classes.names.join(", ");
            let name = asked.of.as_ref().ok_or_else(|| {
                format!("Say with --of which family shall come out whole: {known}.")
            })?;
            let class = classes.names.iter().position(|n| n == name);
            Question::MostWhole(class.ok_or_else(|| {
                format!("There is no family “{name}” in this plan; there are {known}.")
            })?)
        }
    })
}

/// The turns of the repeat, row by row: `0 1 / 3 2`.
fn rows(plan: &Plan) -> String {
    let repeat = &plan.setting.cells;
    let row = |cells: &[quilt::plan::CellPlan]| {
        let turns: Vec<String> = cells.iter().map(|c| c.turn.to_string()).collect();
        turns.join(" ")
    };
    let rows: Vec<String> = repeat.cells.chunks(repeat.columns).map(row).collect();
    rows.join(" / ")
}

/// What shows of each family: the most striking first, three of them.
fn told(one: &Setting, classes: &Classes) -> Vec<String> {
    let mut shown: Vec<usize> = (0..one.scores.len())
        .filter(|&c| one.scores[c].whole + one.scores[c].clipped > 0)
        .collect();
    shown.sort_by(|&a, &b| one.scores[b].largest.total_cmp(&one.scores[a].largest));
    shown
        .into_iter()
        .take(4)
        .map(|class| {
            let (score, name) = (one.scores[class], &classes.names[class]);
            let runs = match one.reach[class] {
                Some(Reach::Band) => " (bands)",
                Some(Reach::Net) => " (a net)",
                _ => "",
            };
            let clipped = if score.clipped > 0 {
                format!(", {} clipped", number(score.clipped))
            } else {
                String::new()
            };
            format!("{name}: {} whole{clipped}{runs}", number(score.whole))
        })
        .collect()
}
