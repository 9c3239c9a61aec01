//! What is wrong with a plan file, where, and what would put it right.
//!
//! A [`Trouble`] is data; [`render`] words it for a maker who looks at the file in a
//! plain editor. Spans are byte ranges of the text that was read; lines and columns
//! count from 1, columns in characters.
//!
//! **Knows nothing of** quilts.

use std::ops::Range;

use ariadne::{CharSet, Config, IndexType, Label, Report, ReportKind, Source};

/// A line longer than this many bytes is not shown in full.
const LONGEST_SHOWN_LINE: usize = 400;

/// One thing wrong with a plan file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Trouble {
    /// The file's name, as it was given to the reader.
    pub file: String,
    /// The line it is on, from 1.
    pub line: usize,
    /// The character in that line it begins at, from 1.
    pub column: usize,
    /// The bytes of the text it is about.
    pub span: Range<usize>,
    /// The field it is about, dotted, in the file's words: `block.Harbour.size`,
    /// `border.2.width`. Never empty: `the file` if it is about no one field.
    pub field: String,
    /// What is wrong.
    pub text: String,
    /// What would put it right.
    pub mend: String,
}

impl Trouble {
    /// A trouble at these bytes of `text`; line and column are worked out.
    #[must_use]
    pub(crate) fn at(file: &str, text: &str, span: Range<usize>, field: &str) -> Self {
        let start = floor_char(text, span.start);
        let end = floor_char(text, span.end).max(start);
        let before = &text[..start];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        Self {
            file: file.to_owned(),
            line: before.matches('\n').count() + 1,
            column: text[line_start..start].chars().count() + 1,
            span: start..end,
            field: if field.is_empty() {
                "the file".into()
            } else {
                printable(field)
            },
            text: String::new(),
            mend: String::new(),
        }
    }

    /// The same with its sentences.
    #[must_use]
    pub(crate) fn saying(mut self, text: impl Into<String>, mend: impl Into<String>) -> Self {
        self.text = printable(&text.into());
        self.mend = printable(&mend.into());
        self
    }
}

impl std::fmt::Display for Trouble {
    /// One line: file, line, field, what, and the way out.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            file,
            line,
            field,
            text,
            mend,
            ..
        } = self;
        write!(f, "{file}, line {line}, {field}: {text} {mend}")
    }
}

impl std::error::Error for Trouble {}

/// The same words with blanks for whatever would break a line or steer a terminal: the
/// maker's own names stand in these sentences.
fn printable(words: &str) -> String {
    words
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// The nearest place at or before `at` where a character begins.
fn floor_char(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The troubles as a maker reads them, each with the line of the file it is on.
///
/// `text` must be the text the troubles came from. Without `colour` the result is plain
/// text; with it, it carries terminal colour codes.
#[must_use]
pub fn render(name: &str, text: &str, troubles: &[Trouble], colour: bool) -> String {
    let text = &one_line_end(text);
    let mut source = (name.to_owned(), Source::from(text.as_str()));
    let mut out = Vec::new();
    for trouble in troubles {
        if drawn(&mut source, name, text, trouble, colour, &mut out).is_none() {
            let Trouble {
                line,
                column,
                field,
                text,
                mend,
                ..
            } = trouble;
            let plain =
                format!("Trouble: {text}\n  {name}:{line}:{column}  {field}\n  Help: {mend}\n");
            out.extend_from_slice(plain.as_bytes());
        }
        out.push(b'\n');
    }
    let mut drawn = String::from_utf8_lossy(&out).into_owned();
    if !colour {
        // The title of a report is coloured whatever it is told.
        drawn = without_colour(&drawn);
    }
    drawn
        .lines()
        .flat_map(|line| [line.trim_end(), "\n"])
        .collect()
}

/// The text with blanks for everything but `\n` that ends a line somewhere, and for what
/// would steer a terminal; every byte keeps its place.
fn one_line_end(text: &str) -> String {
    let blank =
        |c: char| c.is_control() && c != '\n' && c != '\t' || "\u{2028}\u{2029}".contains(c);
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        if blank(c) {
            plain.extend(std::iter::repeat_n(' ', c.len_utf8()));
        } else {
            plain.push(c);
        }
    }
    plain
}

/// The text without terminal colour codes.
fn without_colour(text: &str) -> String {
    let mut parts = text.split('\u{1b}');
    let first = parts.next().unwrap_or("").to_owned();
    parts.fold(first, |plain, part| {
        plain + part.split_once('m').map_or("", |(_, rest)| rest)
    })
}

/// Draws one trouble under its line; `None` if the line is too long to be shown.
fn drawn(
    source: &mut (String, Source<&str>),
    name: &str,
    text: &str,
    trouble: &Trouble,
    colour: bool,
    out: &mut Vec<u8>,
) -> Option<()> {
    let span = on_one_line(text, &trouble.span)?;
    let id = name.to_owned();
    let kind = ReportKind::Custom("Trouble", ariadne::Color::Red);
    let config = Config::default()
        .with_color(colour)
        .with_index_type(IndexType::Byte)
        .with_char_set(CharSet::Unicode);
    let label = Label::new((id.clone(), span.clone()))
        .with_message(&trouble.field)
        .with_color(ariadne::Color::Red);
    Report::build(kind, (id, span))
        .with_config(config)
        .with_message(&trouble.text)
        .with_label(label)
        .with_help(&trouble.mend)
        .finish()
        .write(source, out)
        .ok()
}

/// The part of the span on its first line, at least one character of it where there is
/// one to show.
fn on_one_line(text: &str, span: &Range<usize>) -> Option<Range<usize>> {
    let start = floor_char(text, span.start);
    let line_start = text[..start].rfind('\n').map_or(0, |i| i + 1);
    let line_end = text[start..]
        .find(['\n', '\r'])
        .map_or(text.len(), |i| start + i);
    if line_end - line_start > LONGEST_SHOWN_LINE {
        return None;
    }
    let end = floor_char(text, span.end).clamp(start, line_end);
    let next = text[start..line_end]
        .chars()
        .next()
        .map_or(start, |c| start + c.len_utf8());
    Some(start..end.max(next))
}
