//! The other settings of a plan's blocks: as a list to read and a wall to look at.

use std::fmt::Write as _;

use picture::{Hung, Manner, Palette};
use quilt::arranging::choice::{Question, in_plan, own_setting, tried};
use quilt::arranging::likeness::{Classes, Likeness};
use quilt::arranging::motif::Motif;
use quilt::arranging::others::shows;
use quilt::arranging::sizes::advice;
use quilt::plan::{CellPlan, Kind, Plan};
use quilt::results::{self, Results};
use quilt::setting;

/// What may be asked of a setting.
#[derive(Clone, Copy, PartialEq, Eq, Debug, clap::ValueEnum)]
pub(crate) enum Ask {
    /// As much of one family of colour as can be in whole figures
    Whole,
    /// A whole figure of one family in the middle, as large as can be
    Middle,
    /// The fewest separate shapes
    Calm,
    /// Alike from most sides if it goes on
    Alike,
    /// The top itself alike from most sides
    Centre,
    /// Any of them, by a number of your choice
    Surprise,
}

/// How the wall is drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug, clap::ValueEnum)]
pub(crate) enum Drawn {
    /// In cloth
    Cloth,
    /// In greys: only light and dark
    Grey,
    /// As line drawings
    Lines,
}

/// The question and how much to show.
pub(crate) struct Asked {
    pub(crate) ask: Ask,
    pub(crate) of: Option<String>,
    pub(crate) number: u64,
    pub(crate) repeat: usize,
    pub(crate) show: usize,
    pub(crate) drawn: Drawn,
    pub(crate) mirrored: bool,
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

/// Tries the settings of the plan's blocks.
pub(crate) fn settings(plan: &Plan, results: &Results, asked: &Asked) -> Result<Shown, String> {
    let classes = Classes::of(plan, Likeness::Family);
    let motif = Motif::of(plan, &results.blocks, &classes, asked.mirrored)
        .ok_or("The settings can only be compared for blocks of one size that can be drafted.")?;
    let question = question(asked, &classes)?;
    let size = (plan.setting.rows as usize, plan.setting.columns as usize);
    if size == (1, 1) {
        return Err("The top is one block, so there is nothing to turn against another.".into());
    }
    let all = tried(&motif, asked.repeat, size);
    let count = all.len();
    let found = all.in_order(question);
    let mut text = format!(
        "{count} distinct settings of {} in a repeat of {1} × {1}, {3}; {2} differ in what they show.\n",
        names(plan, &motif),
        asked.repeat,
        found.len(),
        if asked.mirrored {
            "by turning and mirroring"
        } else {
            "by turning alone"
        },
    );
    if asked.mirrored {
        text.push_str("A mirrored block (m) is another block to sew.\n");
    }
    if motif.worn.len() > 1 {
        text.push_str("Each block is taken as often as the plan takes it.\n");
    }
    if let Ask::Surprise = asked.ask {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "Drawn by the number {}.", asked.number);
    }
    let _ = writeln!(text, "On the plan's {} × {} blocks:", size.1, size.0);
    if plan.setting.kind != Kind::Straight || plan.setting.sashing.is_some() {
        text.push_str("The plan sets its blocks another way; here they are set straight, without sashing or strips.\n");
    }
    if motif.worn.len() > 1 {
        let named = motif.worn.iter().enumerate().map(|(at, (id, way))| {
            let block = plan.block(*id);
            let way = way.and_then(|way| block.colourways.get(way));
            let way = way.map_or(String::new(), |way| format!(" in “{}”", way.name));
            format!("{} is “{}”{way}", letters(at), block.name)
        });
        let _ = writeln!(text, "{}.", named.collect::<Vec<_>>().join(", "));
    }
    let mut hung = Vec::new();
    for (place, one) in found.iter().take(asked.show).enumerate() {
        let Some(other) = in_plan(plan, &motif, one) else {
            continue;
        };
        let says = shows(one, &classes);
        let turns = rows(&other, &motif);
        let _ = write!(text, "\n{}. {}", place + 1, one.symmetry.says());
        if let Some(name) = one.name {
            let _ = write!(text, "; the trade calls it {name}");
        }
        if one.alike > 0 {
            let _ = write!(text, " (and {} more with the same counts)", one.alike);
        }
        let _ = writeln!(text, "\n   turns {turns}\n   {}", says.join("; "));
        let title = one.name.map_or(turns, str::to_owned);
        // A mirrored block has seams of its own.
        let blocks = if asked.mirrored {
            results::work_out(&other, None).blocks
        } else {
            results.blocks.clone()
        };
        let counts: Vec<usize> = blocks
            .iter()
            .map(|b| b.as_ref().map_or(0, |b| b.patches.len()))
            .collect();
        if let Ok(top) = setting::work_out(&other, &counts) {
            hung.push(Hung {
                plan: other,
                blocks,
                top,
                title: format!("{}.  {title}", place + 1),
                says: says.join("\n"),
            });
        }
    }
    if let (Some(own), Question::MostWhole(class) | Question::InMiddle(class)) =
        (own_setting(plan, &motif), question)
    {
        let advice = advice(&motif, &own, size, &classes, class);
        if !advice.is_empty() {
            let _ = writeln!(text, "\nYour own setting: {}", advice.join(" "));
        }
    }
    let (manner, palette) = match (asked.drawn, Palette::of(plan, "sans-serif")) {
        (Drawn::Cloth, palette) => (Manner::Cloth, palette),
        (Drawn::Grey, palette) => (Manner::Cloth, palette.in_greys()),
        (Drawn::Lines, palette) => (Manner::Lines, palette),
    };
    let drawing = picture::wall(&hung, 4, manner);
    Ok(Shown {
        text,
        picture: picture::svg(&drawing, &palette, WALL),
    })
}

/// “Four arms” and “Plain”.
fn names(plan: &Plan, motif: &Motif) -> String {
    let mut names: Vec<String> = motif
        .worn
        .iter()
        .map(|(id, _)| format!("“{}”", plan.block(*id).name))
        .collect();
    names.dedup();
    names.join(" and ")
}

fn question(asked: &Asked, classes: &Classes) -> Result<Question, String> {
    let class = |what: &str| {
        let known = classes.names.join(", ");
        let name = asked
            .of
            .as_ref()
            .ok_or_else(|| format!("Say with --of which family shall {what}: {known}."))?;
        let class = classes.names.iter().position(|n| n == name);
        class.ok_or_else(|| format!("There is no family “{name}” in this plan; there are {known}."))
    };
    Ok(match asked.ask {
        Ask::Calm => Question::Calmest,
        Ask::Alike => Question::MostAlike,
        Ask::Centre => Question::AboutCentre,
        Ask::Surprise => Question::Surprise(asked.number),
        Ask::Whole => Question::MostWhole(class("come out whole")?),
        Ask::Middle => Question::InMiddle(class("lie in the middle")?),
    })
}

/// The turns of the repeat, row by row: `0 1 / 3 2`; of several blocks with the letter
/// of each.
fn rows(plan: &Plan, motif: &Motif) -> String {
    let repeat = &plan.setting.cells;
    let cell = |cell: &CellPlan| {
        let worn = (cell.block, cell.colourway);
        let letter = motif.worn.iter().position(|w| *w == worn);
        let turn = format!("{}{}", cell.turn, if cell.mirrored { "m" } else { "" });
        match letter.filter(|_| motif.worn.len() > 1) {
            Some(letter) => format!("{}{turn}", letters(letter)),
            None => turn,
        }
    };
    let row = |cells: &[CellPlan]| cells.iter().map(cell).collect::<Vec<_>>().join(" ");
    let rows: Vec<String> = repeat.cells.chunks(repeat.columns).map(row).collect();
    rows.join(" / ")
}

fn letters(index: usize) -> char {
    char::from(b'A' + u8::try_from(index % 26).unwrap_or(0))
}
