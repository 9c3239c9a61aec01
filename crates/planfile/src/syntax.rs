//! From text to a table of fields, with faults of writing in a maker's words.
//!
//! The parser stops at the first fault of writing. To report the others as well, the
//! faulty line is blanked out and the rest is read again, as long as that line stands
//! for itself (one field on one line); what then follows from the missing line is not
//! reported.
//!
//! **Knows nothing of** which fields a plan has.

use std::ops::Range;

use toml_edit::{Document, TomlError};

use crate::trouble::Trouble;

/// A plan file may not be larger than this, bytes.
const LARGEST_FILE: usize = 4 << 20;

/// How many faults of writing are looked for before the reader gives up.
const MOST_FAULTS: usize = 20;

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
        let span = place(&error, &left);
        let repeats = troubles.iter().any(|t: &Trouble| t.span == span);
        if !repeats {
            troubles.push(worded(file, text, &left, &error, span.clone()));
        }
        let line = line_at(&left, span.start);
        if repeats || troubles.len() >= MOST_FAULTS || !stands_alone(&left[line.clone()]) {
            return Err(troubles);
        }
        let blank = " ".repeat(line.len());
        left.replace_range(line, &blank);
    }
}

/// Where the parser stumbled. An end of text counts as its last line.
fn place(error: &TomlError, text: &str) -> Range<usize> {
    let span = error.span().unwrap_or(0..0);
    let start = span.start.min(text.len());
    start..span.end.clamp(start, text.len())
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
    let Some((key, value)) = line.split_once('=') else { return false };
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
            let name = header.trim_start_matches('[').split(']').next().unwrap_or("").trim();
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
    if field.is_empty() { "the file".into() } else { field }
}

/// What the parser says, in a maker's words.
fn worded(
    file: &str,
    text: &str,
    left: &str,
    error: &TomlError,
    span: Range<usize>,
) -> Trouble {
    let field = field_at(left, span.start);
    let part = left.get(span.clone()).unwrap_or("").trim();
    let trouble = Trouble::at(file, text, span.clone(), &field);
    let says = error.message();
    let about = |needles: &[&str]| needles.iter().any(|n| says.contains(n));
    let line = &left[line_at(left, span.start)];
    if about(&["duplicate key"]) {
        let what = format!("“{part}” is given twice.");
        return trouble.saying(what, "Keep one of the two and take the other out.");
    }
    if about(&["string values must be quoted"]) {
        let example = if part.is_empty() { "10" } else { part };
        let mend = format!("Put the value in quotes: \"{example}\".");
        let what = if line.trim_end().ends_with('=') {
            "There is no value behind “=”."
        } else {
            "A value that is not a plain number must stand in quotes."
        };
        return trouble.saying(what, mend);
    }
    if about(&["escape"]) {
        let mend = "Inside \"…\" a backslash has a meaning of its own. Use '…' instead, as in \
                    'D\\L', or write the backslash twice.";
        return trouble.saying("A backslash stands in a text in double quotes.", mend);
    }
    let (what, mend) = match () {
        () if about(&["unclosed array", "missing comma between array"]) => (
            "A list in square brackets is not finished.",
            "End the list with “]”, and put a comma between its entries.",
        ),
        () if about(&["unclosed inline table", "inline table"]) => (
            "A group in curly brackets is not finished.",
            "End the group with “}”, and put a comma between its fields.",
        ),
        () if about(&["unclosed table", "unclosed array of tables"]) => (
            "The heading in square brackets is not finished.",
            "End it with “]”, or with “]]” if it began with “[[”.",
        ),
        () if about(&["basic string", "literal string", "string"]) => (
            "A text in quotes is not finished on its line.",
            "Put the closing quote where the text ends.",
        ),
        () if about(&["key with no value"]) => (
            "This line has a name but no value.",
            "Write it as: name = \"value\". A remark begins with “#”.",
        ),
        () if about(&["keys cannot be empty", "unquoted key", "invalid key"]) => (
            "There is no name here that a field or a heading could have.",
            "A name is made of letters, figures, “-” and “_”; put any other name in quotes.",
        ),
        () if about(&["unexpected key or value"]) => (
            "There is more on this line than one field.",
            "Give every field a line of its own.",
        ),
        () if about(&["recursion limit"]) => (
            "Lists or names lie too deep within each other.",
            "No field of a plan lies deeper than five levels.",
        ),
        () if about(&["overflowed"]) => {
            ("This number is too large.", "Nothing in a quilt is more than a million.")
        }
        () if about(&["carriage return"]) => (
            "A line ends in a way that cannot be read.",
            "Save the file with ordinary line ends.",
        ),
        () => (
            "This cannot be read as a field of the plan.",
            "A line is a heading like [setting], a field like name = \"value\", or a remark \
             that begins with “#”.",
        ),
    };
    trouble.saying(what, mend)
}
