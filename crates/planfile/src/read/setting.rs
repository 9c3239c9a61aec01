//! The setting: `[setting]`, its key, sashing and target.
//!
//! **Units.** Exact inches.

use std::collections::BTreeMap;

use geometry::Surd;
use quilt::plan::{
    Bed, BlockId, CellPlan, Ends, Kind, Pinned, Repeat, Sashing, SettingPlan, Target,
};

use super::draft::same_count;
use crate::beds;
use crate::defaults;
use crate::desk::{Body, Desk, Field, Limits, Section};
use crate::near;

/// Most rows and columns of a setting and of its repeat.
const MOST: u32 = 200;
/// Most letters in a key.
const MOST_LETTERS: usize = 1000;
/// Widest sashing and border, inches.
pub(super) const WIDEST: i64 = 100;

const FIELDS: [&str; 13] = [
    "kind", "rows", "columns", "cells", "pinned", "between", "edge", "float", "ends", "key",
    "strips", "sashing", "target",
];

/// Most cells with something of their own.
const MOST_PINS: usize = 2000;

/// What each letter stands for; `None` where that could not be read.
pub(super) type Letters = BTreeMap<String, Option<(BlockId, Option<usize>)>>;

/// Reads the setting, and the letters of its key for the borders.
pub(super) fn setting(desk: &mut Desk, root: &Section) -> (Option<SettingPlan>, Option<Letters>) {
    let mend =
        "Say which block each letter stands for: [setting.key] and below it H = \"Harbour\".";
    let section = root
        .get("setting")
        .and_then(|field| desk.section(&field, mend));
    let letters = section.as_ref().and_then(|section| key(desk, section));
    (whole(desk, root, letters.as_ref()), letters)
}

fn whole(desk: &mut Desk, root: &Section, letters: Option<&Letters>) -> Option<SettingPlan> {
    let mend = "Say how the blocks are set under a heading: [setting].";
    let field = desk.need(root, "setting", mend)?;
    let section = desk.section(&field, mend)?;
    desk.only(&section, &FIELDS);
    let mut count = |key: &str, what: &str| {
        let mend = format!("Say how many blocks go {what}: {key} = 6.");
        desk.need(&section, key, &mend)
            .and_then(|f| desk.count(&f, 1..=MOST))
    };
    let (rows, columns) = (count("rows", "down"), count("columns", "across"));
    let mend = "Write the repeat row by row: cells = [\"H0 H1\", \"H3 H2\"].";
    let cells = desk
        .need(&section, "cells", mend)
        .and_then(|f| repeat(desk, &f, letters));
    let pinned = desk.maybe(&section, "pinned", |d, f| pins(d, f, letters));
    let kind = kind(desk, &section, letters);
    let sashing = desk.maybe(&section, "sashing", sashing);
    let target = desk.maybe(&section, "target", target);
    Some(SettingPlan {
        kind: kind?,
        rows: rows?,
        columns: columns?,
        cells: cells?,
        pinned: pinned?.unwrap_or_default(),
        sashing: sashing?,
        target: target?,
    })
}

/// The kinds of setting as the file names them, and the fields that belong to each alone.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Straight,
    Strips,
    HalfDrop,
    Brick,
    OnPoint,
}

const WAYS: [(&str, Way); 5] = [
    ("straight", Way::Straight),
    ("strips", Way::Strips),
    ("half-drop", Way::HalfDrop),
    ("brick", Way::Brick),
    ("on point", Way::OnPoint),
];

impl Way {
    /// How a message calls it, and its own fields.
    fn own(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Way::Straight => ("A straight set", &[]),
            Way::Strips => ("A setting in strips", &["strips"]),
            Way::HalfDrop => ("A half-drop", &["ends"]),
            Way::Brick => ("A brick setting", &["ends"]),
            Way::OnPoint => ("A setting on point", &["between", "edge", "float"]),
        }
    }
}

fn kind(desk: &mut Desk, section: &Section, letters: Option<&Letters>) -> Option<Kind> {
    let way = desk.or(section, "kind", Way::Straight, |d, f| d.choice(f, &WAYS))?;
    let (name, own) = way.own();
    for key in ["between", "edge", "float", "ends", "strips"] {
        let Some(field) = section.get(key).filter(|_| !own.contains(&key)) else {
            continue;
        };
        let owner = match key {
            "ends" => "half-drop",
            "strips" => "strips",
            _ => "on point",
        };
        let mend = format!("Take it out, or write: kind = \"{owner}\".");
        desk.fault::<()>(&field, format!("{name} has no “{key}”."), mend);
    }
    match way {
        Way::Straight => Some(Kind::Straight),
        Way::Strips => strips(desk, section),
        Way::HalfDrop => Some(Kind::HalfDrop {
            ends: ends(desk, section)?,
        }),
        Way::Brick => Some(Kind::Brick {
            ends: ends(desk, section)?,
        }),
        Way::OnPoint => on_point(desk, section, letters),
    }
}

/// The cloth of plain ends; without it the ends are halves of the blocks.
fn ends(desk: &mut Desk, section: &Section) -> Option<Ends> {
    let cloth = desk.maybe(section, "ends", |d, f| d.cloth(f))?;
    Some(cloth.map_or(Ends::Halves, Ends::Plain))
}

fn strips(desk: &mut Desk, setting: &Section) -> Option<Kind> {
    let mend = "Give the strips their own heading: [setting.strips].";
    let field = desk.need(setting, "strips", mend)?;
    let section = desk.section(&field, mend)?;
    desk.only(&section, &["width", "cloth", "outside"]);
    let width = desk
        .need(
            &section,
            "width",
            "Give their finished width: width = \"4\".",
        )
        .and_then(|f| desk.length(&f, &Limits::above_nought(WIDEST)));
    let cloth = desk
        .need(&section, "cloth", "Give their cloth: cloth = \"navy\".")
        .and_then(|f| desk.cloth(&f));
    let outside = desk.or(&section, "outside", true, |d, f| d.flag(f));
    Some(Kind::Strips {
        width: width?,
        cloth: cloth?,
        outside: outside?,
    })
}

/// `"3 4 P1"`: row, column and what lies there.
fn pins(desk: &mut Desk, field: &Field, letters: Option<&Letters>) -> Option<Vec<Pinned>> {
    let entries = desk.list(field);
    if entries.len() > MOST_PINS {
        let text = format!("There are more than {MOST_PINS} pinned cells.");
        return desk.fault(field, text, "Write a larger repeat instead.");
    }
    let read: Vec<Option<Pinned>> = entries.iter().map(|f| pin(desk, f, letters)).collect();
    let pins: Vec<Pinned> = read.into_iter().collect::<Option<_>>()?;
    for (index, pin) in pins.iter().enumerate() {
        let place = (pin.row, pin.column);
        if pins[..index].iter().any(|p| (p.row, p.column) == place) {
            let text = "This cell is pinned already.";
            return desk.fault(&entries[index], text, "Take one of the two out.");
        }
    }
    Some(pins)
}

fn pin(desk: &mut Desk, field: &Field, letters: Option<&Letters>) -> Option<Pinned> {
    let text = desk.text(field)?;
    let mend = "Write its row, its column and what lies there: \"3 4 P1\".";
    let words: Vec<&str> = text.split_whitespace().collect();
    let count = |word: &str| word.parse().ok().filter(|n| (1..=MOST).contains(n));
    let [row, column, token] = words.as_slice() else {
        return desk.fault(field, "A pinned cell is a row, a column and a cell.", mend);
    };
    let (Some(row), Some(column)) = (count(row), count(column)) else {
        let text = format!("Row and column are whole numbers from 1 to {MOST}.");
        return desk.fault(field, text, mend);
    };
    match cell(token, letters) {
        Ok(cell) => Some(Pinned {
            row: row - 1,
            column: column - 1,
            cell,
        }),
        Err(Odd::Cell(what, mend) | Odd::Letter(what, mend)) => desk.fault(field, what, mend),
        Err(Odd::Told) => None,
    }
}

fn on_point(desk: &mut Desk, section: &Section, letters: Option<&Letters>) -> Option<Kind> {
    let between = desk
        .need(
            section,
            "between",
            "Give the cells between the main ones: between = [\"P\"].",
        )
        .and_then(|f| repeat(desk, &f, letters));
    let edge = desk
        .need(
            section,
            "edge",
            "Give the cloth of the setting triangles: edge = \"navy\".",
        )
        .and_then(|f| desk.cloth(&f));
    let float = desk.or(section, "float", Surd::ZERO, |d, f| {
        d.length(f, &Limits::from_nought(WIDEST))
    });
    Some(Kind::OnPoint {
        between: between?,
        edge: edge?,
        float: float?,
    })
}

/// `[setting.key]`: which block, in which colourway, a letter stands for.
fn key(desk: &mut Desk, setting: &Section) -> Option<Letters> {
    let mend =
        "Say which block each letter stands for: [setting.key] and below it H = \"Harbour\".";
    let field = desk.need(setting, "key", mend)?;
    let section = desk.section(&field, mend)?;
    let fields = section.fields();
    if fields.len() > MOST_LETTERS {
        return desk.fault(
            &field,
            format!("There are more than {MOST_LETTERS} letters."),
            mend,
        );
    }
    let mut letters = Letters::new();
    for (name, field) in fields {
        if name.is_empty() || name.len() > 20 || !name.chars().all(char::is_alphabetic) {
            let text = "A letter of the key is made of letters only.";
            let mend = "Figures behind a letter are its quarter turns. Call it H or Pl.";
            desk.fault::<()>(&field, text, mend);
        }
        letters.insert(name.to_owned(), block(desk, &field));
    }
    Some(letters)
}

/// `Harbour`, or `Harbour / dusk` for one of its colourways.
fn block(desk: &mut Desk, field: &Field) -> Option<(BlockId, Option<usize>)> {
    let text = desk.text(field)?;
    let (name, colourway) = match text.split_once('/') {
        Some((name, colourway)) => (name.trim(), Some(colourway.trim())),
        None => (text.trim(), None),
    };
    let shorter: String = name.chars().take(60).collect();
    let Some(id) = desk.blocks.iter().position(|block| block.name == name) else {
        let known: Vec<String> = desk.blocks.iter().map(|b| b.name.clone()).collect();
        let text = format!("There is no block “{shorter}” in this plan.");
        return desk.fault(field, text, near::advice(name, &known, "blocks"));
    };
    let Some(colourway) = colourway else {
        return Some((BlockId(id), None));
    };
    let known = desk.blocks[id].colourways.clone();
    if let Some(index) = known.iter().position(|c| c == colourway) {
        return Some((BlockId(id), Some(index)));
    }
    let short: String = colourway.chars().take(60).collect();
    let text = format!("The block “{shorter}” has no colourway “{short}”.");
    desk.fault(
        field,
        text,
        near::advice(colourway, &known, "colourways of this block"),
    )
}

pub(super) fn repeat(desk: &mut Desk, field: &Field, letters: Option<&Letters>) -> Option<Repeat> {
    let rows = desk.list(field);
    let most = MOST as usize;
    if rows.is_empty() || rows.len() > most {
        let text = format!(
            "A repeat has from 1 to {most} rows; this one has {}.",
            rows.len()
        );
        return desk.fault(field, text, "Write one text for each row, like \"H0 H1\".");
    }
    let (mut cells, mut seen, mut columns, mut sound) = (Vec::new(), 0, None, true);
    for row in &rows {
        let Some(text) = desk.text(row) else {
            sound = false;
            continue;
        };
        let tokens: Vec<&str> = text.split_whitespace().take(most + 1).collect();
        if tokens.is_empty() || tokens.len() > most {
            let what = format!("A row of a repeat has from 1 to {most} cells.");
            desk.fault::<()>(
                row,
                what,
                "Write the cells with blanks between them: \"H0 H1\".",
            );
            sound = false;
            continue;
        }
        sound &= same_count(desk, row, tokens.len(), &mut columns, "cell");
        for token in tokens {
            let start = token.as_ptr() as usize - text.as_ptr() as usize;
            let span = desk.inside(row, start..start + token.len());
            match cell(token, letters) {
                Ok(cell) => cells.push(cell),
                Err(Odd::Cell(what, mend)) => desk.complain(&row.path, span, what, mend),
                Err(Odd::Letter(what, mend)) => desk.absent(&row.path, span, what, mend),
                Err(Odd::Told) => {}
            }
            seen += 1;
        }
    }
    let columns = columns?;
    (sound && cells.len() == seen).then_some(Repeat {
        rows: rows.len(),
        columns,
        cells,
    })
}

/// Why a cell of a repeat cannot be read: what is wrong and what would put it right.
enum Odd {
    /// It is written wrong.
    Cell(String, String),
    /// Its letter is not in the key.
    Letter(String, String),
    /// The key is at fault, and that has been told.
    Told,
}

/// `H2`: the block `H` stands for, turned twice.
fn cell(token: &str, letters: Option<&Letters>) -> Result<CellPlan, Odd> {
    let figures = token
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(token.len());
    let (letter, turn) = token.split_at(figures);
    let (turn, mirrored) = match turn.strip_suffix('m') {
        Some(turn) => (turn, true),
        None => (turn, false),
    };
    let short: String = token.chars().take(40).collect();
    let turns = "Quarter turns clockwise are 0, 1, 2 and 3: H0, H1, H2, H3.".to_owned();
    let turn = match turn {
        "" | "0" => 0,
        "1" => 1,
        "2" => 2,
        "3" => 3,
        _ if turn.bytes().all(|b| b.is_ascii_digit()) => {
            return Err(Odd::Cell(
                format!("“{short}” is turned {turn} times."),
                turns,
            ));
        }
        _ => {
            let text = format!("“{short}” is no cell: it is a letter of the key and its turns.");
            return Err(Odd::Cell(text, turns));
        }
    };
    let letters = letters.ok_or(Odd::Told)?;
    match letters.get(letter) {
        Some(None) => Err(Odd::Told),
        Some(&Some((block, colourway))) => Ok(CellPlan {
            block,
            colourway,
            turn,
            mirrored,
        }),
        None => {
            let known: Vec<&String> = letters.keys().collect();
            let text = format!("“{short}” begins with a letter that is not in [setting.key].");
            Err(Odd::Letter(
                text,
                near::advice(letter, &known, "letters of the key"),
            ))
        }
    }
}

/// The letters of a file's key, as they stand: letter, block, colourway. For writing
/// changes with the maker's own letters.
pub(crate) fn letters(root: &toml_edit::Table) -> Vec<(String, String, Option<String>)> {
    let key = root
        .get("setting")
        .and_then(|s| s.as_table_like())
        .and_then(|s| s.get("key"));
    let Some(key) = key.and_then(|k| k.as_table_like()) else {
        return Vec::new();
    };
    key.iter()
        .filter_map(|(letter, item)| {
            let text = item.as_str()?;
            let (name, colourway) = match text.split_once('/') {
                Some((name, colourway)) => (name, Some(colourway.trim().to_owned())),
                None => (text, None),
            };
            Some((letter.to_owned(), name.trim().to_owned(), colourway))
        })
        .collect()
}

fn sashing(desk: &mut Desk, field: &Field) -> Option<Sashing> {
    let section = desk.section(
        field,
        "Give the sashing its own heading: [setting.sashing].",
    )?;
    desk.only(&section, &["width", "cloth", "posts", "outside"]);
    let width = desk
        .need(&section, "width", "Give its finished width: width = \"2\".")
        .and_then(|f| desk.length(&f, &Limits::above_nought(WIDEST)));
    let cloth = desk
        .need(&section, "cloth", "Give its cloth: cloth = \"navy\".")
        .and_then(|f| desk.cloth(&f));
    let posts = desk.maybe(&section, "posts", |d, f| d.cloth(f));
    let outside = desk.or(&section, "outside", true, |d, f| d.flag(f));
    Some(Sashing {
        width: width?,
        cloth: cloth?,
        posts: posts?,
        outside: outside?,
    })
}

fn target(desk: &mut Desk, field: &Field) -> Option<Target> {
    let mend = "Give the size aimed at: size = \"60 x 72\", or a bed: bed = \"queen\".";
    let section = desk.section(field, mend)?;
    desk.only(&section, &["size", "bed", "drop", "tuck"]);
    match (section.get("size"), section.get("bed")) {
        (Some(size), None) => {
            for key in ["drop", "tuck"] {
                if let Some(field) = section.get(key) {
                    let mend = "Take it out, or give a bed instead of a size.";
                    desk.fault::<()>(&field, format!("“{key}” belongs to a bed."), mend);
                }
            }
            let (width, height) = desk.size(&size, &Limits::above_nought(1000))?;
            Some(Target::Size { width, height })
        }
        (None, Some(bed)) => {
            let bed = self::bed(desk, &bed);
            let drop = desk.or(&section, "drop", defaults::drop(desk.measure), |d, f| {
                d.length(f, &Limits::from_nought(60))
            });
            let tuck = desk.or(&section, "tuck", Surd::ZERO, |d, f| {
                d.length(f, &Limits::from_nought(60))
            });
            Some(Target::Bed {
                bed: bed?,
                drop: drop?,
                tuck: tuck?,
            })
        }
        (Some(_), Some(bed)) => desk.fault(&bed, "Both a size and a bed are given.", mend),
        (None, None) => {
            desk.absent(&section.path, section.span, "No size is given.", mend);
            None
        }
    }
}

/// A standard mattress by name, or one with a size of its own.
fn bed(desk: &mut Desk, field: &Field) -> Option<Bed> {
    if let Body::Table(table) = field.body {
        let section = Section {
            path: field.path.clone(),
            span: field.span.clone(),
            table,
        };
        desk.only(&section, &["name", "size"]);
        let name = desk
            .need(&section, "name", "Call it something: name = \"box bed\".")
            .and_then(|f| desk.name(&f, "The name of this bed"));
        let size = desk
            .need(&section, "size", "Give the mattress: size = \"48 x 72\".")
            .and_then(|f| desk.size(&f, &Limits::above_nought(1000)));
        let (width, length) = size?;
        return Some(Bed {
            name: name?,
            width,
            length,
        });
    }
    let name = desk.text(field)?;
    beds::bed(name).or_else(|| {
        let known = beds::bed_names();
        let word = name.trim().to_lowercase();
        let usual = [("double", "full"), ("single", "twin")];
        let alike: Vec<&str> = usual
            .iter()
            .filter_map(|&(said, name)| (said == word).then_some(name))
            .chain(
                known
                    .iter()
                    .copied()
                    .filter(|k| k.to_lowercase().contains(&word)),
            )
            .filter(|_| !word.is_empty())
            .collect();
        let own = "a bed of your own is { name = \"box bed\", size = \"48 x 72\" }";
        let mend = match near::nearest(name, &known) {
            _ if !alike.is_empty() => format!("Do you mean {}? Or {own}.", near::list(&alike)),
            Some(near) => format!("Did you mean “{near}”? Or {own}."),
            None => format!("The beds are: {}; {own}.", near::list(&known)),
        };
        let short: String = name.chars().take(60).collect();
        desk.fault(
            field,
            format!("No standard mattress is called “{short}”."),
            mend,
        )
    })
}
