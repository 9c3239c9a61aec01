//! From text to a table of fields, with faults of writing in a maker's words.
//!
//! All faults of writing are told at once. If every one of them is on a line that stands
//! for itself (one field on one line), those lines are blanked out and the rest is read
//! all the same, so that faults of other kinds are told with them; what then follows
//! from the missing lines is not told.
//!
//! **Knows nothing of** which fields a plan has.

use std::borrow::Cow;
use std::ops::Range;

use toml_edit::Document;
use toml_parser::decoder::ScalarKind;
use toml_parser::parser::{Event, EventKind, RecursionGuard, ValidateWhitespace, parse_document};
use toml_parser::{ParseError, Source};

use crate::trouble::Trouble;

/// A plan file may not be larger than this, bytes.
const LARGEST_FILE: usize = 4 << 20;

/// How many faults of writing are told at most.
const MOST_FAULTS: usize = 20;

/// How deep lists may lie within each other before the parser gives up.
const DEEPEST: u32 = 80;

/// A text that could be read, perhaps after some of its lines were left out.
pub(crate) struct Parsed {
    /// The fields. Spans are those of the text that was given.
    pub(crate) document: Document<String>,
    /// Faults of writing; if there are any, lines are missing from `document`.
    pub(crate) troubles: Vec<Trouble>,
}

/// Reads the text as a table of fields.
pub(crate) fn parse(file: &str, text: &str) -> Result<Parsed, Vec<Trouble>> {
    if text.len() > LARGEST_FILE {
        let mend = "A plan is a few thousand letters long. Is this the right file?";
        let trouble = Trouble::at(file, text, 0..0, "");
        return Err(vec![trouble.saying("The file is larger than 4 MB.", mend)]);
    }
    let (mut left, mut troubles) = (text.to_owned(), Vec::new());
    loop {
        let error = match Document::parse(left.clone()) {
            Ok(document) => return Ok(Parsed { document, troubles }),
            Err(error) => error,
        };
        let mut faults = faults(&left);
        if faults.is_empty() {
            // Only names given twice, or too deep a nest: the parser tells the first.
            let span = error.span().unwrap_or(0..0);
            faults.push(Fault {
                says: error.message().to_owned(),
                span,
            });
        }
        let mut sound = true;
        for fault in faults {
            if troubles.len() >= MOST_FAULTS {
                return Err(troubles);
            }
            let line = line_at(&left, fault.span.start);
            sound &= stands_alone(&left[line.clone()]);
            troubles.push(worded(file, text, &left, &fault));
            if sound {
                let blank = " ".repeat(line.len());
                left.replace_range(line, &blank);
            }
        }
        if !sound {
            return Err(troubles);
        }
    }
}

/// What the parser says, and where.
struct Fault {
    says: String,
    span: Range<usize>,
}

/// All faults of writing in the order of the text, one a line; those that only follow
/// from a list or text that is never closed are left out.
fn faults(text: &str) -> Vec<Fault> {
    let errors = errors(text);
    let mut faults: Vec<Fault> = errors.iter().map(|error| fault(error, text)).collect();
    faults.sort_by_key(|fault| fault.span.start);
    faults.dedup_by_key(|fault| line_at(text, fault.span.start).start);
    without_followers(text, faults)
}

/// Everything the parser stumbles over.
fn errors(text: &str) -> Vec<ParseError> {
    let mut errors: Vec<ParseError> = Vec::new();
    let source = Source::new(text);
    let tokens = source.lex().into_vec();
    let mut events: Vec<Event> = Vec::new();
    let mut checked = ValidateWhitespace::new(&mut events, source);
    let mut guarded = RecursionGuard::new(&mut checked, DEEPEST);
    parse_document(&tokens, &mut guarded, &mut errors);
    for event in &events {
        let mut decoded = Cow::Borrowed("");
        let Some(raw) = source.get(event) else {
            continue;
        };
        match event.kind() {
            EventKind::Scalar => {
                let kind = raw.decode_scalar(&mut decoded, &mut errors);
                // No field of a plan is a date: this is a number without quotes.
                let date = ParseError::new(DATE).with_unexpected(event.span());
                errors.extend((kind == ScalarKind::DateTime).then_some(date));
            }
            EventKind::SimpleKey => raw.decode_key(&mut decoded, &mut errors),
            _ => {}
        }
    }
    errors
}

/// Moves the fault of a list or text that is never closed to where it begins, and takes
/// out the faults that only follow from it.
fn without_followers(text: &str, mut faults: Vec<Fault>) -> Vec<Fault> {
    let open = faults.iter().position(|fault| {
        let long = fault.says.contains("array") || fault.says.contains("multi-line");
        let line = &text[line_at(text, fault.span.start)];
        let runs_into = fault.says.contains("unclosed")
            || line.contains('=')
            || fault.says.contains("multi-line");
        let begins = line_at(text, opening(text, fault).start);
        long && runs_into && begins != line_at(text, fault.span.start)
    });
    if let Some(open) = open {
        let mut fault = faults.swap_remove(open);
        fault.span = opening(text, &fault);
        faults.retain(|other| other.span.start < fault.span.start);
        faults.sort_by_key(|fault| fault.span.start);
        faults.push(fault);
    }
    faults
}

fn fault(error: &ParseError, text: &str) -> Fault {
    let span = error
        .unexpected()
        .map_or(0..0, |span| span.start()..span.end());
    let start = span.start.min(text.len());
    Fault {
        says: error.description().to_owned(),
        span: start..span.end.clamp(start, text.len()),
    }
}

/// Where a list or a text that is never closed begins: the last line up to the fault
/// that opens one and does not close it.
fn opening(text: &str, fault: &Fault) -> Range<usize> {
    let end = line_at(text, fault.span.start).end;
    let mut start = 0;
    let mut found = fault.span.clone();
    for line in text[..end].split_inclusive('\n') {
        let value = line.find('=').map_or(line.len(), |i| i + 1);
        let opens = |mark: &str| {
            let open = line[value..].trim_start().starts_with(mark);
            open && !stands_alone(line.trim_end())
        };
        if opens("[") || opens("\"\"\"") || opens("'''") {
            let skip = line[value..].len() - line[value..].trim_start().len();
            found = start + value + skip..start + line.trim_end().len();
        }
        start += line.len();
    }
    found
}

/// The line that holds this byte, without its end. A place just behind a line's end
/// belongs to the line before.
fn line_at(text: &str, at: usize) -> Range<usize> {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let end = text[at..].find('\n').map_or(text.len(), |i| at + i);
    start..end
}

/// Whether a line is one field with its whole value, so that the others do not depend
/// on it.
fn stands_alone(line: &str) -> bool {
    let Some((key, value)) = line.split_once('=') else {
        return false;
    };
    let key = key.trim();
    let plain = !key.is_empty() && !key.starts_with(['[', '{', '}', ']', '#', ',']);
    let many_lines = value.contains("\"\"\"") || value.contains("'''");
    let balanced = |open, close| value.matches(open).count() == value.matches(close).count();
    let quoted_key = key.starts_with(['"', '\'']) == key.ends_with(['"', '\'']);
    plain && quoted_key && !many_lines && balanced('[', ']') && balanced('{', '}')
}

/// The field a byte of the text belongs to, judged by the lines above it alone.
fn field_at(text: &str, at: usize) -> String {
    let end = line_at(text, at).end;
    let (mut table, mut key) = ("", "");
    for line in text[..end].lines() {
        let line = line.trim();
        if let Some(header) = line.strip_prefix('[') {
            let name = header
                .trim_start_matches('[')
                .split(']')
                .next()
                .unwrap_or("")
                .trim();
            if !line.contains(['"', '\'']) || name.matches('"').count() % 2 == 0 {
                (table, key) = (name, "");
            }
        } else if let Some((name, _)) = line.split_once('=') {
            let name = name.trim();
            if !name.is_empty() && !name.starts_with(['#', '"', '{']) || name.ends_with('"') {
                key = name;
            }
        }
    }
    let parts: Vec<&str> = [table, key].into_iter().filter(|p| !p.is_empty()).collect();
    let field: String = parts.join(".").chars().take(80).collect();
    if field.is_empty() {
        "the file".into()
    } else {
        field
    }
}

/// What the parser says, in a maker's words.
fn worded(file: &str, text: &str, left: &str, fault: &Fault) -> Trouble {
    let span = fault.span.clone();
    let field = field_at(left, span.start);
    let part = left.get(span.clone()).unwrap_or("").trim();
    let trouble = Trouble::at(file, text, span.clone(), &field);
    let says = &fault.says;
    let about = |needles: &[&str]| needles.iter().any(|n| says.contains(n));
    let line = &left[line_at(left, span.start)];
    if about(&["duplicate key"]) {
        let what = format!("“{part}” is given twice.");
        return trouble.saying(what, "Keep one of the two and take the other out.");
    }
    if about(&VALUES) {
        let whole = line.split_once('=').map_or("", |(_, value)| value);
        let whole = whole.split('#').next().unwrap_or("").trim();
        let remark = line.split_once('=').map_or("", |(_, value)| value.trim());
        return match whole {
            "" if remark.starts_with('#') => {
                let mend =
                    format!("What begins with “#” is a remark. Write it in quotes: \"{remark}\".");
                trouble.saying("There is no value behind “=”.", mend)
            }
            "" => trouble.saying(
                "There is no value behind “=”.",
                "Write it as: name = \"value\".",
            ),
            _ if whole.starts_with(['[', '{']) => {
                let mend = "Put quotes round each text, and a comma between the entries.";
                trouble.saying("An entry of this list cannot be read.", mend)
            }
            _ => {
                let mend = format!("Put the value in quotes: \"{}\".", whole.replace('"', ""));
                trouble.saying(
                    "A value that is not a plain number must stand in quotes.",
                    mend,
                )
            }
        };
    }
    let known = WORDS.iter().find(|(needles, _, _)| about(needles));
    let (what, mend) = known.map_or(ANYTHING, |&(_, what, mend)| (what, mend));
    trouble.saying(what, mend)
}

/// Said of a number with strokes or dashes in it, which looks like a date.
const DATE: &str = "invalid date";

/// What the parser says of a value that should have stood in quotes.
const VALUES: [&str; 8] = [
    "string values must be quoted",
    DATE,
    "invalid boolean",
    "invalid mantissa",
    "invalid fraction",
    "leading zero",
    "between digits",
    "extra `=`",
];

/// What to say when the parser says something else.
const ANYTHING: (&str, &str) = (
    "This cannot be read as a field of the plan.",
    "A line is a heading like [setting], a field like name = \"value\", or a remark that begins \
     with “#”.",
);

/// For what the parser says: what a maker is told, and what would put it right. The
/// first that fits is taken.
const WORDS: [(&[&str], &str, &str); 11] = [
    (
        &["escape"],
        "A backslash stands in a text in double quotes.",
        "Inside \"…\" a backslash has a meaning of its own. Use '…' instead, as in 'D\\L', or \
         write the backslash twice.",
    ),
    (
        &["unclosed array table", "unclosed table"],
        "This heading cannot be read.",
        "A name with blanks stands in quotes, as in [block.\"Night star\"], and a heading ends \
         with as many brackets as it began with.",
    ),
    (
        &["array"],
        "A list in square brackets is not finished.",
        "End the list with “]”, and put a comma between its entries.",
    ),
    (
        &["inline table", "key-value pairs"],
        "A group in curly brackets is not finished.",
        "End the group with “}”, and put a comma between its fields.",
    ),
    (
        &["string"],
        "A text in quotes is not finished on its line.",
        "Put the closing quote where the text ends, of the same kind as the opening one.",
    ),
    (
        &["key with no value"],
        "This line has a name but no value.",
        "Write it as: name = \"value\". A remark begins with “#”.",
    ),
    (
        &["keys cannot be empty", "unquoted key", "invalid key"],
        "There is no name here that a field or a heading could have.",
        "A name is made of letters from a to z, figures, “-” and “_”; put any other in quotes.",
    ),
    (
        &["unexpected key or value"],
        "There is more on this line than one field.",
        "Give every field and every heading a line of its own.",
    ),
    (
        &["recursion limit"],
        "Lists or names lie too deep within each other.",
        "No field of a plan lies deeper than five levels.",
    ),
    (
        &["overflowed"],
        "This number is too large.",
        "Nothing in a quilt is more than a million.",
    ),
    (
        &["carriage return", "comment character", "newline"],
        "There is a letter here that cannot be printed.",
        "Take it out, and save the file with ordinary line ends.",
    ),
];
