//! How a block is drafted: the fields that belong to each kind of draft.
//!
//! **Units.** Coordinates are in the file's unit, or count divisions where the block
//! gives `divide`; they leave here as exact inches.

use geometry::{Point, Polygon, Segment, Surd};
use quilt::plan::{
    Arm, BlockPlan, Cell, Centre, Draft, HexagonParts, LogStyle, Part, Pointing, Role, Taken,
};

use super::block::scale;
use crate::desk::{Body, Desk, Field, Section};
use crate::{near, number};

/// Most rounds of a draft.
const MOST_ROUNDS: u32 = 40;
/// Most rows and columns of a grid and of triangles.
const MOST_CELLS: usize = 60;
/// Most drawn lines, pieces, and corners of a piece.
const MOST_LINES: usize = 500;
const MOST_PIECES: usize = 1000;
const MOST_CORNERS: usize = 60;
/// Furthest a coordinate may lie, inches.
const FURTHEST: i64 = 2000;

/// The kinds of draft.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Grid,
    Nested,
    Log,
    Star,
    Hexagon,
    Triangles,
    Hexagons,
    Lines,
    Pieces,
    Taken,
}

/// Each kind's word in the file and the fields that belong to it.
const KINDS: [(&str, Kind, &[&str]); 10] = [
    ("grid", Kind::Grid, &["cells", "columns", "rows"]),
    ("nested", Kind::Nested, &["rounds", "centre", "twist"]),
    ("log", Kind::Log, &["rounds", "centre", "style"]),
    ("star", Kind::Star, &["split"]),
    ("hexagon", Kind::Hexagon, &["parts"]),
    ("triangles", Kind::Triangles, &["rows", "across"]),
    ("hexagons", Kind::Hexagons, &["rows", "across"]),
    ("lines", Kind::Lines, &["divide", "lines"]),
    ("pieces", Kind::Pieces, &["divide", "pieces"]),
    ("taken", Kind::Taken, &["from", "part", "mirrored"]),
];

pub(crate) const CENTRES: [(&str, Centre); 2] =
    [("plain", Centre::Plain), ("four-patch", Centre::FourPatch)];
pub(crate) const TWISTS: [(&str, Arm); 2] = [
    ("clockwise", Arm::Clockwise),
    ("counterclockwise", Arm::Counterclockwise),
];
pub(crate) const STYLES: [(&str, LogStyle); 2] =
    [("around", LogStyle::Around), ("pairs", LogStyle::Pairs)];
pub(crate) const PARTS: [(&str, HexagonParts); 5] = [
    ("whole", HexagonParts::Whole),
    ("halves", HexagonParts::Halves),
    ("diamonds", HexagonParts::Diamonds),
    ("triangles", HexagonParts::Triangles),
    ("star", HexagonParts::Star),
];

/// Words that ask for curved seams.
const CURVES: [&str; 6] = ["arc", "arcs", "curve", "curves", "curved", "circle"];

/// One division of the block, inches.
pub(super) struct Divide {
    pub(super) across: Surd,
    pub(super) down: Surd,
}

/// The kind of draft; also notes the block's fields that do not belong to it.
pub(super) fn kind(desk: &mut Desk, block: &Section, common: &[&str]) -> Option<Kind> {
    let words: Vec<&str> = KINDS.iter().map(|k| k.0).collect();
    let mend = format!(
        "Say how it is drafted: draft = \"grid\", or one of {}.",
        words.join(", ")
    );
    let field = desk.need(block, "draft", &mend);
    if let Some(curve) = CURVES.iter().find_map(|word| block.get(word)) {
        return no_curves(desk, &curve);
    }
    let known: Vec<(&str, usize)> = words
        .iter()
        .enumerate()
        .map(|(i, word)| (*word, i))
        .collect();
    let index = field.and_then(|f| match f.as_str() {
        Some(word) if CURVES.contains(&word) => no_curves(desk, &f),
        _ => desk.choice(&f, &known),
    });
    match index {
        Some(i) => {
            let (_, kind, fields) = KINDS[i];
            desk.only(block, &[common, fields].concat());
            Some(kind)
        }
        None => {
            let every: Vec<&str> = KINDS.iter().flat_map(|k| k.2).copied().collect();
            desk.only(block, &[common, &every].concat());
            None
        }
    }
}

fn no_curves<T>(desk: &mut Desk, field: &Field) -> Option<T> {
    let mend = "Come near the curve with a few straight lines, or leave it for appliqué.";
    desk.fault(
        field,
        "Curved seams cannot be drafted yet, only straight ones.",
        mend,
    )
}

/// `divide = "4 x 4"`: how many divisions across and down.
pub(super) fn divide(
    desk: &mut Desk,
    block: &Section,
    size: Option<&(Surd, Surd)>,
) -> Option<Divide> {
    let field = block.get("divide")?;
    let mend = "Write how many divisions across and down: divide = \"4 x 4\".";
    let text = desk.text(&field)?;
    let count = |text: &str| {
        text.trim()
            .parse::<i64>()
            .ok()
            .filter(|n| (1..=1000).contains(n))
    };
    let halves = text
        .split_once(['x', 'X', '×'])
        .map(|(a, b)| (count(a), count(b)));
    let Some((Some(across), Some(down))) = halves else {
        return desk.fault(
            &field,
            "These are not two whole numbers from 1 to 1000.",
            mend,
        );
    };
    let (width, height) = size?;
    Some(Divide {
        across: width.over(across),
        down: height.over(down),
    })
}

/// Reads the fields of a draft of this kind.
pub(super) fn draft(
    desk: &mut Desk,
    block: &Section,
    kind: Kind,
    divide: Option<&Divide>,
) -> Option<Draft> {
    match kind {
        Kind::Grid => grid(desk, block),
        Kind::Nested => {
            let rounds = rounds(desk, block);
            let centre = desk.or(block, "centre", Centre::Plain, |d, f| d.choice(f, &CENTRES));
            let twist = desk.or(block, "twist", Arm::Clockwise, |d, f| d.choice(f, &TWISTS));
            Some(Draft::Nested {
                rounds: rounds?,
                centre: centre?,
                twist: twist?,
            })
        }
        Kind::Log => {
            let rounds = rounds(desk, block);
            let mend = "Give the centre's share of the block's width: centre = \"1/7\".";
            let centre = desk
                .need(block, "centre", mend)
                .and_then(|f| desk.share(&f, false, &Surd::ONE));
            let style = desk.or(block, "style", LogStyle::Around, |d, f| {
                d.choice(f, &STYLES)
            });
            Some(Draft::Log {
                rounds: rounds?,
                centre: centre?,
                style: style?,
            })
        }
        Kind::Star => {
            let split = desk.or(block, "split", false, |d, f| d.flag(f));
            Some(Draft::Star { split: split? })
        }
        Kind::Hexagon => {
            let parts = desk.or(block, "parts", HexagonParts::Whole, |d, f| {
                d.choice(f, &PARTS)
            });
            Some(Draft::Hexagon { parts: parts? })
        }
        Kind::Triangles => {
            let (rows, across) = field_of(desk, block, "of triangles", "triangle sides")?;
            Some(Draft::Triangles { rows, across })
        }
        Kind::Hexagons => {
            let (rows, across) = field_of(desk, block, "of half hexagons", "columns")?;
            Some(Draft::Hexagons { rows, across })
        }
        Kind::Lines => lines(desk, block, divide),
        Kind::Pieces => pieces(desk, block, divide),
        // It needs the blocks above, see `taken`.
        Kind::Taken => None,
    }
}

/// Rows and columns of a field of 60° shapes.
fn field_of(desk: &mut Desk, block: &Section, rows: &str, across: &str) -> Option<(u32, u32)> {
    let most = u32::try_from(MOST_CELLS).unwrap_or(u32::MAX);
    let mut count = |key, mend: &str| {
        desk.need(block, key, mend)
            .and_then(|f| desk.count(&f, 1..=most))
    };
    let rows = count("rows", &format!("Say how many rows {rows}: rows = 4."));
    let across = count(
        "across",
        &format!("Say how many whole {across} across: across = 3."),
    );
    Some((rows?, across?))
}

fn rounds(desk: &mut Desk, block: &Section) -> Option<u32> {
    let field = desk.need(block, "rounds", "Say how many rounds: rounds = 4.")?;
    desk.count(&field, 1..=MOST_ROUNDS)
}

fn grid(desk: &mut Desk, block: &Section) -> Option<Draft> {
    let mend = "Give the cells row by row: cells = [\"D L\", \"L D\"].";
    let field = desk.need(block, "cells", mend)?;
    let cells = cells(desk, &field)?;
    let columns = shares(desk, block, "columns", cells.columns);
    let rows = shares(desk, block, "rows", cells.rows);
    Some(Draft::Grid {
        columns: columns?,
        rows: rows?,
        cells: cells.cells,
    })
}

struct Cells {
    rows: usize,
    columns: usize,
    cells: Vec<Cell>,
}

fn cells(desk: &mut Desk, field: &Field) -> Option<Cells> {
    let rows = desk.list(field);
    let mut read = Vec::new();
    let mut sound = true;
    let mut columns = None;
    if rows.is_empty() || rows.len() > MOST_CELLS {
        let text = format!(
            "A grid has from 1 to {MOST_CELLS} rows; this one has {}.",
            rows.len()
        );
        return desk.fault(field, text, "Write one text for each row.");
    }
    for row in &rows {
        let Some(text) = desk.text(row) else {
            sound = false;
            continue;
        };
        let tokens: Vec<&str> = text.split_whitespace().take(MOST_CELLS + 1).collect();
        if tokens.is_empty() || tokens.len() > MOST_CELLS {
            let what = format!("A row has from 1 to {MOST_CELLS} cells.");
            desk.fault::<()>(
                row,
                what,
                "Write the cells with blanks between them: \"D L D\".",
            );
            sound = false;
            continue;
        }
        sound &= same_count(desk, row, tokens.len(), &mut columns, "cell");
        for token in tokens {
            let cell = cell(desk, row, text, token);
            sound &= cell.is_some();
            read.extend(cell);
        }
    }
    let columns = columns?;
    sound.then_some(Cells {
        rows: rows.len(),
        columns,
        cells: read,
    })
}

/// Notes a row that is not as long as the first.
pub(super) fn same_count(
    desk: &mut Desk,
    row: &Field,
    found: usize,
    wanted: &mut Option<usize>,
    what: &str,
) -> bool {
    let wanted = *wanted.get_or_insert(found);
    if found != wanted {
        let s = if found == 1 { "" } else { "s" };
        let text = format!("This row has {found} {what}{s}, but the first row has {wanted}.");
        desk.fault::<()>(row, text, "Give every row as many as the first.");
    }
    found == wanted
}

/// The marks of a goose by the way it points.
pub(crate) fn goose_marks() -> [(char, Pointing); 4] {
    [
        ('^', Pointing::Up),
        ('>', Pointing::Right),
        ('_', Pointing::Down),
        ('<', Pointing::Left),
    ]
}

const CELL_HELP: &str = "A cell is one name (D), two names cut by a diagonal (D/L or D\\L), four \
    round an hourglass (A|B|C|D), a goose and its sky (G^S, G>S, G_S, G<S), “<” to join the cell \
    on the left or “^” to join the one above.";

fn cell(desk: &mut Desk, row: &Field, line: &str, token: &str) -> Option<Cell> {
    let mut refuse = |what: String| {
        let start = token.as_ptr() as usize - line.as_ptr() as usize;
        let span = desk.inside(row, start..start + token.len());
        desk.complain(&row.path, span, what, CELL_HELP);
        None
    };
    match token {
        "<" => return Some(Cell::JoinedLeft),
        "^" => return Some(Cell::JoinedUp),
        _ => {}
    }
    let marks: Vec<char> = token.chars().filter(|c| "/\\|^><_".contains(*c)).collect();
    let names: Vec<&str> = token.split(['/', '\\', '|', '^', '>', '<', '_']).collect();
    if names.iter().any(|name| name.is_empty()) {
        return refuse(format!("A name is missing in the cell “{token}”."));
    }
    if names
        .iter()
        .any(|name| name.chars().count() > 40 || name.chars().any(char::is_control))
    {
        return refuse("A name in this cell is too long.".into());
    }
    let name = |i: usize| names[i].to_owned();
    match marks.as_slice() {
        [] => Some(Cell::Whole(name(0))),
        ['/'] => Some(Cell::Rising(name(0), name(1))),
        ['\\'] => Some(Cell::Falling(name(0), name(1))),
        ['|', '|', '|'] => Some(Cell::Hourglass([name(0), name(1), name(2), name(3)])),
        [mark] if goose_marks().iter().any(|(m, _)| m == mark) => {
            let pointing = goose_marks().into_iter().find(|(m, _)| m == mark)?.1;
            Some(Cell::Goose {
                pointing,
                goose: name(0),
                sky: name(1),
            })
        }
        _ => refuse(format!(
            "The cell “{token}” is made in no way that is known."
        )),
    }
}

/// Shares of columns or rows; equal ones if none are given.
fn shares(desk: &mut Desk, block: &Section, key: &str, wanted: usize) -> Option<Vec<Surd>> {
    let Some(field) = block.get(key) else {
        return Some(vec![Surd::ONE; wanted]);
    };
    let mend = format!("Give {wanted} numbers above 0, like \"1 2 1\".");
    let shares: Vec<Option<Surd>> = match (field.body, field.as_str()) {
        (Body::List(_), _) => {
            let entries = desk.list(&field);
            entries.iter().map(|f| share(desk, f, &mend)).collect()
        }
        (_, Some(text)) => number::parts(text)
            .into_iter()
            .map(|(start, part)| match number::number(part) {
                Ok(share) => positive(desk, &field, share, &mend),
                Err(fault) => {
                    desk.bad_number(&field, start, &fault);
                    None
                }
            })
            .collect(),
        _ => vec![share(desk, &field, &mend)],
    };
    if shares.len() != wanted {
        let text = format!("There are {} shares for {wanted} {key}.", shares.len());
        return desk.fault(&field, text, mend);
    }
    shares.into_iter().collect()
}

fn share(desk: &mut Desk, field: &Field, mend: &str) -> Option<Surd> {
    let quantity = desk.quantity(field)?;
    if quantity.unit.is_some() {
        return desk.fault(field, "A share has no unit.", mend);
    }
    positive(desk, field, quantity.value, mend)
}

fn positive(desk: &mut Desk, field: &Field, share: Surd, mend: &str) -> Option<Surd> {
    if share.is_positive() {
        return Some(share);
    }
    desk.fault(field, "A share must be more than 0.", mend)
}

fn lines(desk: &mut Desk, block: &Section, divide: Option<&Divide>) -> Option<Draft> {
    let mend = "Give the lines: lines = [\"0 0 - 4 4\", \"2 0 - 2 4\"].";
    let field = desk.need(block, "lines", mend)?;
    let entries = desk.list(&field);
    if entries.len() > MOST_LINES {
        let text = format!("There are more than {MOST_LINES} lines.");
        return desk.fault(&field, text, "Draw fewer lines.");
    }
    let lines: Vec<Option<Segment>> = entries
        .iter()
        .map(|entry| segment(desk, entry, divide))
        .collect();
    let lines: Option<Vec<Segment>> = lines.into_iter().collect();
    Some(Draft::Lines { lines: lines? })
}

/// `0 0 - 4 4`: from here to there.
fn segment(desk: &mut Desk, field: &Field, divide: Option<&Divide>) -> Option<Segment> {
    let text = desk.text(field)?;
    let first = text.split_whitespace().next().unwrap_or("");
    if CURVES.contains(&first) {
        return no_curves(desk, field);
    }
    let dash = [" - ", " – ", " to "]
        .iter()
        .find_map(|d| Some((text.find(d)?, d.len())));
    let Some((at, length)) = dash else {
        let mend = "Write both ends with “ - ” between them: \"0 0 - 4 4\".";
        return desk.fault(field, "A line has two ends.", mend);
    };
    let a = point_in(desk, field, &text[..at], 0, divide);
    let b = point_in(desk, field, &text[at + length..], at + length, divide);
    Segment::new(a?, b?).or_else(|| {
        desk.fault(
            field,
            "This line begins and ends at the same point.",
            "Move one of its ends.",
        )
    })
}

fn pieces(desk: &mut Desk, block: &Section, divide: Option<&Divide>) -> Option<Draft> {
    let mend =
        "Give the pieces: pieces = [{ place = \"sky\", corners = [\"0 0\", \"4 0\", \"0 4\"] }].";
    let field = desk.need(block, "pieces", mend)?;
    let sections = desk.sections(&field, mend);
    if sections.is_empty() || sections.len() > MOST_PIECES {
        let text = format!("A block has from 1 to {MOST_PIECES} pieces.");
        return desk.fault(&field, text, mend);
    }
    let pieces: Vec<Option<(String, Polygon)>> = sections
        .iter()
        .map(|section| piece(desk, section, divide))
        .collect();
    let pieces: Option<Vec<_>> = pieces.into_iter().collect();
    Some(Draft::Pieces { pieces: pieces? })
}

fn piece(desk: &mut Desk, section: &Section, divide: Option<&Divide>) -> Option<(String, Polygon)> {
    desk.only(section, &["place", "corners"]);
    let place = desk
        .need(section, "place", "Name it: place = \"sky\".")
        .and_then(|f| desk.name(&f, "The name of this piece"));
    let mend = "Give its corners in order: corners = [\"0 0\", \"4 0\", \"0 4\"].";
    let field = desk.need(section, "corners", mend)?;
    let corners = desk.list(&field);
    if !(3..=MOST_CORNERS).contains(&corners.len()) {
        let text = format!("A piece has from 3 to {MOST_CORNERS} corners.");
        return desk.fault(&field, text, mend);
    }
    let corners: Vec<Option<Point>> = corners
        .iter()
        .map(|corner| point(desk, corner, divide))
        .collect();
    let corners: Option<Vec<Point>> = corners.into_iter().collect();
    let polygon = match Polygon::new(corners?) {
        Ok(polygon) => Some(polygon),
        Err(fault) => desk.fault(
            &field,
            format!("This piece {fault}."),
            "Give its corners in order round its edge, each once.",
        ),
    };
    Some((place?, polygon?))
}

/// `1/2 3`: across and down.
pub(super) fn point(desk: &mut Desk, field: &Field, divide: Option<&Divide>) -> Option<Point> {
    if let Body::List(_) = field.body {
        return pair(desk, field, divide);
    }
    let text = desk.text(field)?;
    point_in(desk, field, text, 0, divide)
}

/// `["1/2", 3]`: across and down as two entries.
fn pair(desk: &mut Desk, field: &Field, divide: Option<&Divide>) -> Option<Point> {
    let entries = desk.list(field);
    let [x, y] = entries.as_slice() else {
        return desk.fault(
            field,
            "A point is two numbers: across and down.",
            POINT_HELP,
        );
    };
    let (x, y) = (desk.quantity(x), desk.quantity(y));
    let (x, y) = (x?, y?);
    if x.unit.is_some() || y.unit.is_some() {
        return desk.fault(field, "A point has no unit.", POINT_HELP);
    }
    placed(desk, field, (x.value, y.value), divide)
}

const POINT_HELP: &str = "Write how far across and how far down from the top left corner, with a \
    blank between: \"1/2 3\". Where a whole number and a fraction belong together, a comma is \
    clearer: \"1 1/2, 3\".";

/// A point in a part of a field's text that begins at byte `offset`.
fn point_in(
    desk: &mut Desk,
    field: &Field,
    text: &str,
    offset: usize,
    divide: Option<&Divide>,
) -> Option<Point> {
    let parts = number::parts(text);
    // Three or four parts are a whole number and a fraction that belong together.
    let join = |i: usize, j: usize| {
        let end = parts[j].0 + parts[j].1.len();
        (parts[i].0, &text[parts[i].0..end])
    };
    let whole = |i: usize| parts[i].1.bytes().all(|b| b.is_ascii_digit());
    let (x, y) = match parts.len() {
        2 => (join(0, 0), join(1, 1)),
        3 if whole(0) && !whole(1) => (join(0, 1), join(2, 2)),
        3 => (join(0, 0), join(1, 2)),
        4 => (join(0, 1), join(2, 3)),
        _ => {
            return desk.fault(
                field,
                "A point is two numbers: across and down.",
                POINT_HELP,
            );
        }
    };
    let mut one = |(start, part): (usize, &str)| {
        number::number(part)
            .map_err(|f| desk.bad_number(field, offset + start, &f))
            .ok()
    };
    let (x, y) = (one(x), one(y));
    placed(desk, field, (x?, y?), divide)
}

fn placed(
    desk: &mut Desk,
    field: &Field,
    (x, y): (Surd, Surd),
    divide: Option<&Divide>,
) -> Option<Point> {
    let (across, down) = scale(desk, divide);
    let point = Point::new(&x * &across, &y * &down);
    let most = Surd::int(FURTHEST);
    if point.x.abs() > most || point.y.abs() > most {
        let mend = "Points are counted from the block's top left corner.";
        return desk.fault(field, "This point lies far outside any block.", mend);
    }
    Some(point)
}

/// Reads how a block is taken from one of the blocks above it.
pub(super) fn taken(
    desk: &mut Desk,
    block: &Section,
    above: &[Option<BlockPlan>],
) -> Option<(Taken, BlockPlan)> {
    let mend = "Name the block it is taken from: from = \"Star\".";
    let source = desk
        .need(block, "from", mend)
        .and_then(|field| source(desk, &field, above));
    let part = desk.maybe(block, "part", part);
    let mirrored = desk.or(block, "mirrored", false, |d, f| d.flag(f));
    let source = source?;
    let taken = Taken {
        source: source.bare(),
        part: part?,
        mirrored: mirrored?,
        own_cloths: block.get("places").is_some(),
        role: Role::Own,
    };
    Some((taken, source))
}

/// The block of this name, which must stand above.
fn source(desk: &mut Desk, field: &Field, above: &[Option<BlockPlan>]) -> Option<BlockPlan> {
    let name = desk.text(field)?.trim();
    let place = desk.blocks.iter().position(|block| block.name == name);
    match place.and_then(|place| above.get(place)) {
        Some(block) => block.clone(),
        None if place.is_some() => {
            let short: String = name.chars().take(60).collect();
            let text = format!("“{short}” stands below this block in the file.");
            desk.fault(
                field,
                text,
                "Move it above: a block is taken from one above it.",
            )
        }
        None => {
            let count = above.len();
            let known: Vec<String> = desk.blocks[..count]
                .iter()
                .map(|b| b.name.clone())
                .collect();
            let short: String = name.chars().take(60).collect();
            let text = format!("There is no block “{short}” in this plan.");
            desk.fault(field, text, near::advice(name, &known, "blocks above"))
        }
    }
}

/// `["0 0", "6 3"]`: the upper left and the lower right corner.
fn part(desk: &mut Desk, field: &Field) -> Option<Part> {
    let mend = "Give its upper left and lower right corners: part = [\"0 0\", \"6 3\"].";
    let corners = desk.list(field);
    let [low, high] = corners.as_slice() else {
        return desk.fault(field, "A part is given by two corners.", mend);
    };
    let (low, high) = (point(desk, low, None), point(desk, high, None));
    let (low, high) = (low?, high?);
    let size = &high - &low;
    if !size.x.is_positive() || !size.y.is_positive() {
        let text = "The second corner does not lie to the right of the first and below it.";
        return desk.fault(field, text, mend);
    }
    Some(Part {
        corner: low,
        width: size.x,
        height: size.y,
    })
}
