//! Where fields are read and troubles collected.
//!
//! A [`Section`] is a heading with its fields; a [`Field`] is one of them with its path
//! and its place in the text. Every reading function answers `None` after it has noted
//! a trouble, so that reading goes on and all troubles are told at once.
//!
//! **Units.** [`Desk::length`] gives exact inches whatever unit the file is in.

use std::ops::{Range, RangeInclusive};

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::{BlockId, ClothId};
use toml_edit::{Array, ArrayOfTables, Item, Table, TableLike, Value};

use crate::near;
use crate::number::{self, NumberFault, Quantity, Unit};
use crate::trouble::Trouble;

/// How many troubles are told at most.
const MOST_TROUBLES: usize = 100;

/// Longest name, characters.
const LONGEST_NAME: usize = 100;

/// What stands in a field.
#[derive(Clone, Copy)]
pub(crate) enum Body<'a> {
    Scalar(&'a Value),
    List(&'a Array),
    Table(&'a dyn TableLike),
    Tables(&'a ArrayOfTables),
}

/// One field: where it is and what stands in it.
#[derive(Clone)]
pub(crate) struct Field<'a> {
    pub(crate) path: String,
    pub(crate) span: Range<usize>,
    pub(crate) body: Body<'a>,
}

impl<'a> Field<'a> {
    fn of_value(path: String, value: &'a Value) -> Self {
        let body = match value {
            Value::Array(list) => Body::List(list),
            Value::InlineTable(table) => Body::Table(table),
            _ => Body::Scalar(value),
        };
        Self {
            path,
            span: value.span().unwrap_or(0..0),
            body,
        }
    }

    fn of_item(path: String, item: &'a Item) -> Option<Self> {
        let body = match item {
            Item::None => return None,
            Item::Value(value) => return Some(Self::of_value(path, value)),
            Item::Table(table) => Body::Table(table),
            Item::ArrayOfTables(tables) => Body::Tables(tables),
        };
        Some(Self {
            path,
            span: item.span().unwrap_or(0..0),
            body,
        })
    }

    /// The text in it, if it is a text.
    pub(crate) fn as_str(&self) -> Option<&'a str> {
        match self.body {
            Body::Scalar(value) => value.as_str(),
            _ => None,
        }
    }

    /// What stands in it, in a maker's words.
    fn kind(&self) -> &'static str {
        match self.body {
            Body::Scalar(Value::String(_)) => "a text",
            Body::Scalar(Value::Integer(_) | Value::Float(_)) => "a number",
            Body::Scalar(Value::Boolean(_)) => "yes or no (true or false)",
            Body::Scalar(_) => "a date",
            Body::List(_) => "a list",
            Body::Table(_) => "a group of fields",
            Body::Tables(_) => "several groups of fields",
        }
    }
}

/// A heading and its fields.
#[derive(Clone)]
pub(crate) struct Section<'a> {
    pub(crate) path: String,
    pub(crate) span: Range<usize>,
    pub(crate) table: &'a dyn TableLike,
}

impl<'a> Section<'a> {
    /// The whole file.
    pub(crate) fn root(table: &'a Table) -> Self {
        Self {
            path: String::new(),
            span: 0..0,
            table,
        }
    }

    /// One field, if it is there.
    pub(crate) fn get(&self, key: &str) -> Option<Field<'a>> {
        let (name, item) = self.table.get_key_value(key)?;
        let mut field = Field::of_item(join(&self.path, key), item)?;
        if field.span == (0..0) {
            field.span = name.span().unwrap_or_else(|| self.span.clone());
        }
        Some(field)
    }

    /// All fields in the order of the file.
    pub(crate) fn fields(&self) -> Vec<(&'a str, Field<'a>)> {
        self.table
            .iter()
            .filter_map(|(key, _)| Some((key, self.get(key)?)))
            .collect()
    }
}

/// The path of a field in a section; names with blanks or points are quoted.
pub(crate) fn join(path: &str, key: &str) -> String {
    let bare = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let short: String = key.chars().take(LONGEST_NAME).collect();
    let key = if key.chars().all(bare) && !key.is_empty() {
        short
    } else {
        format!("\"{short}\"")
    };
    if path.is_empty() {
        key
    } else {
        format!("{path}.{key}")
    }
}

/// What a length may be, inches.
#[derive(Clone)]
pub(crate) struct Limits {
    nought: bool,
    most: i64,
}

impl Limits {
    /// More than nothing, at most so many inches.
    pub(crate) fn above_nought(most: i64) -> Self {
        Self {
            nought: false,
            most,
        }
    }

    /// Nothing or more, at most so many inches.
    pub(crate) fn from_nought(most: i64) -> Self {
        Self { nought: true, most }
    }
}

/// A block's name and its colourways' names.
pub(crate) struct BlockNames {
    pub(crate) name: String,
    pub(crate) colourways: Vec<String>,
}

/// The reader's desk: the text, what is known of it so far, and the troubles found.
pub(crate) struct Desk<'t> {
    file: &'t str,
    text: &'t str,
    /// Lines were left out, so what seems to be missing may have stood there.
    broken: bool,
    /// The unit of the file.
    pub(crate) measure: Measure,
    /// Keys of the cloths, in the file's order.
    pub(crate) cloths: Vec<String>,
    /// Names of the blocks, in the file's order.
    pub(crate) blocks: Vec<BlockNames>,
    /// Names of the pools, in the file's order.
    pub(crate) pools: Vec<String>,
    /// Which pool fills which place of which block, as far as blocks have been read.
    pub(crate) fills: Vec<(usize, BlockId, usize)>,
    troubles: Vec<Trouble>,
}

impl<'t> Desk<'t> {
    pub(crate) fn new(file: &'t str, text: &'t str, broken: Vec<Trouble>) -> Self {
        Self {
            file,
            text,
            broken: !broken.is_empty(),
            measure: Measure::Inch,
            cloths: Vec::new(),
            blocks: Vec::new(),
            pools: Vec::new(),
            fills: Vec::new(),
            troubles: broken,
        }
    }

    /// All troubles in the order of the file.
    pub(crate) fn into_troubles(mut self) -> Vec<Trouble> {
        self.troubles.sort_by_key(|t| (t.span.start, t.span.end));
        self.troubles
    }

    pub(crate) fn complain(
        &mut self,
        path: &str,
        span: Range<usize>,
        text: impl Into<String>,
        mend: impl Into<String>,
    ) {
        if self.troubles.len() < MOST_TROUBLES {
            let trouble = Trouble::at(self.file, self.text, span, path);
            self.troubles.push(trouble.saying(text, mend));
        }
    }

    /// Notes a trouble about this field.
    pub(crate) fn fault<T>(
        &mut self,
        field: &Field,
        text: impl Into<String>,
        mend: impl Into<String>,
    ) -> Option<T> {
        self.complain(&field.path, field.span.clone(), text, mend);
        None
    }

    /// Notes that something is missing, unless it may have stood on a line left out.
    pub(crate) fn absent(
        &mut self,
        path: &str,
        span: Range<usize>,
        text: impl Into<String>,
        mend: impl Into<String>,
    ) {
        if !self.broken {
            self.complain(path, span, text, mend);
        }
    }

    /// Notes every field that this section cannot have.
    pub(crate) fn only(&mut self, section: &Section, allowed: &[&str]) {
        for (key, item) in section.table.iter() {
            if allowed.contains(&key) || item.is_none() {
                continue;
            }
            let span = section.table.key(key).and_then(toml_edit::Key::span);
            let span = span.or_else(|| item.span()).unwrap_or(0..0);
            let place = if section.path.is_empty() {
                "a plan".into()
            } else {
                format!("[{}]", section.path)
            };
            let short: String = key.chars().take(LONGEST_NAME).collect();
            let text = format!("“{short}” is not a field of {place}.");
            self.complain(
                &join(&section.path, key),
                span,
                text,
                near::advice(key, allowed, "fields"),
            );
        }
    }

    /// A field that must be there.
    pub(crate) fn need<'a>(
        &mut self,
        section: &Section<'a>,
        key: &str,
        mend: &str,
    ) -> Option<Field<'a>> {
        let field = section.get(key);
        if field.is_none() {
            let text = format!("“{key}” is missing.");
            self.absent(&join(&section.path, key), section.span.clone(), text, mend);
        }
        field
    }

    /// Reads a field, or takes `default` if it is not there.
    pub(crate) fn or<'a, T>(
        &mut self,
        section: &Section<'a>,
        key: &str,
        default: T,
        read: impl FnOnce(&mut Self, &Field<'a>) -> Option<T>,
    ) -> Option<T> {
        match section.get(key) {
            None => Some(default),
            Some(field) => read(self, &field),
        }
    }

    /// Reads a field that may be left out.
    pub(crate) fn maybe<'a, T>(
        &mut self,
        section: &Section<'a>,
        key: &str,
        read: impl FnOnce(&mut Self, &Field<'a>) -> Option<T>,
    ) -> Option<Option<T>> {
        self.or(section, key, None, |desk, field| {
            read(desk, field).map(Some)
        })
    }

    fn wrong_kind<T>(&mut self, field: &Field, wanted: &str, mend: &str) -> Option<T> {
        let text = format!("Here stands {}, but {wanted} is wanted.", field.kind());
        self.fault(field, text, mend)
    }

    /// A text.
    pub(crate) fn text<'a>(&mut self, field: &Field<'a>) -> Option<&'a str> {
        match field.as_str() {
            Some(text) => Some(text),
            None => self.wrong_kind(field, "a text", "Write it in quotes, like \"this\"."),
        }
    }

    /// A text of one line that names something.
    pub(crate) fn name(&mut self, field: &Field, what: &str) -> Option<String> {
        let text = self.text(field)?;
        self.good_name(&field.path, field.span.clone(), text, what)
    }

    /// Whether a text can name something; it is given back without blanks at its ends.
    pub(crate) fn good_name(
        &mut self,
        path: &str,
        span: Range<usize>,
        text: &str,
        what: &str,
    ) -> Option<String> {
        let name = text.trim();
        let fits = name.chars().count() <= LONGEST_NAME && !name.chars().any(char::is_control);
        if name.is_empty() {
            self.complain(path, span, format!("{what} is empty."), "Write a name.");
        } else if !fits {
            let mend = format!("Keep to one line of at most {LONGEST_NAME} letters.");
            self.complain(
                path,
                span,
                format!("{what} is too long or has line ends in it."),
                mend,
            );
        } else {
            return Some(name.to_owned());
        }
        None
    }

    /// Whether the key of a section names something: not empty, not too long, and
    /// without blanks at its ends.
    pub(crate) fn good_key(&mut self, field: &Field, key: &str, what: &str) -> Option<String> {
        let name = self.good_name(&field.path, field.span.clone(), key, what)?;
        if name != key {
            let text = format!("{what} begins or ends with a blank.");
            return self.fault(field, text, format!("Write it \"{name}\"."));
        }
        Some(name)
    }

    /// One of a few words.
    pub(crate) fn choice<T: Copy>(&mut self, field: &Field, known: &[(&str, T)]) -> Option<T> {
        let words: Vec<&str> = known.iter().map(|k| k.0).collect();
        let Some(word) = field.as_str() else {
            let mend = format!("Write one of these in quotes: {}.", near::list(&words));
            return self.wrong_kind(field, "one of a few words", &mend);
        };
        let found = known.iter().find(|k| k.0.eq_ignore_ascii_case(word.trim()));
        if let Some(&(_, value)) = found {
            return Some(value);
        }
        let short: String = word.chars().take(LONGEST_NAME).collect();
        let advice = match near::nearest(word, &words) {
            Some(k) => format!("Did you mean “{k}”? It can be: {}.", near::list(&words)),
            None => format!("It can be: {}.", near::list(&words)),
        };
        self.fault(field, format!("“{short}” is not known here."), advice)
    }

    /// Yes or no.
    pub(crate) fn flag(&mut self, field: &Field) -> Option<bool> {
        match field.body {
            Body::Scalar(Value::Boolean(flag)) => Some(*flag.value()),
            _ => self.wrong_kind(field, "yes or no", "Write true or false, without quotes."),
        }
    }

    /// A whole number between two ends.
    pub(crate) fn count(&mut self, field: &Field, range: RangeInclusive<u32>) -> Option<u32> {
        let Quantity { value, unit } = self.quantity(field)?;
        let (low, high) = (*range.start(), *range.end());
        let whole = value.as_ratio().filter(|&(_, d)| d == 1 && unit.is_none());
        let count = whole.and_then(|(n, _)| u32::try_from(n).ok());
        match count.filter(|n| range.contains(n)) {
            Some(n) => Some(n),
            None => {
                let text = format!("This must be a whole number from {low} to {high}.");
                self.fault(
                    field,
                    text,
                    format!("Write a number like {low} or {}.", high.min(6)),
                )
            }
        }
    }

    /// A number with or without a unit, written as a number or as a text.
    pub(crate) fn quantity(&mut self, field: &Field) -> Option<Quantity> {
        let read = match field.body {
            Body::Scalar(Value::String(text)) => number::quantity(text.value()),
            // The number as it is written, so that 0.1 is one tenth.
            Body::Scalar(Value::Integer(_) | Value::Float(_)) => {
                number::quantity(self.text.get(field.span.clone()).unwrap_or(""))
            }
            _ => {
                let mend = "Write it like 10 or \"3 1/2\".";
                return self.wrong_kind(field, "a number", mend);
            }
        };
        read.map_err(|fault| self.bad_number(field, 0, &fault)).ok()
    }

    /// Notes a fault in a number that begins `offset` bytes into the field's text.
    pub(crate) fn bad_number(&mut self, field: &Field, offset: usize, fault: &NumberFault) {
        let at = fault.at.start + offset..fault.at.end + offset;
        let span = self.inside(field, at);
        self.complain(&field.path, span, fault.text.clone(), fault.mend.clone());
    }

    /// The bytes of the file for bytes of the field's text, where they can be told.
    pub(crate) fn inside(&self, field: &Field, part: Range<usize>) -> Range<usize> {
        let raw = self.text.get(field.span.clone()).unwrap_or("");
        let content = field.as_str().unwrap_or(raw);
        let skip = match raw
            .strip_prefix(['"', '\''])
            .and_then(|r| r.strip_suffix(['"', '\'']))
        {
            Some(within) if within == content => 1,
            None if raw == content => 0,
            _ => return field.span.clone(),
        };
        let from = field.span.start + skip;
        from + part.start..from + part.end
    }

    /// A length in inches.
    pub(crate) fn length(&mut self, field: &Field, limits: &Limits) -> Option<Surd> {
        let quantity = self.quantity(field)?;
        self.length_of(field, &quantity, limits)
    }

    /// A quantity read from a field, as a length in inches.
    pub(crate) fn length_of(
        &mut self,
        field: &Field,
        quantity: &Quantity,
        limits: &Limits,
    ) -> Option<Surd> {
        let unit = match quantity.unit {
            None => Some(self.measure.in_inches()),
            Some(unit) => unit.in_inches(),
        };
        let Some(unit) = unit else {
            return self.fault(field, "A length is wanted, not a share.", "Leave “%” out.");
        };
        let inches = &quantity.value * &unit;
        let most = Surd::int(limits.most);
        let said = self.measure.say(&inches);
        if inches.sign().is_lt() || inches.is_zero() && !limits.nought {
            let least = if limits.nought {
                "less than nothing"
            } else {
                "nothing or less"
            };
            let text = format!("This is {least}: {said}.");
            let mend = if limits.nought {
                "Write 0 or more."
            } else {
                "Write a length above 0."
            };
            return self.fault(field, text, mend);
        }
        if inches > most {
            let text = format!("{said} is more than a quilt can use here.");
            let mend = format!("The most that can be given is {}.", self.measure.say(&most));
            return self.fault(field, text, mend);
        }
        Some(inches)
    }

    /// A width and a height in inches: `12 x 9`, or one number for a square.
    pub(crate) fn size(&mut self, field: &Field, limits: &Limits) -> Option<(Surd, Surd)> {
        let halves = field.as_str().and_then(|text| {
            text.split_once(['x', 'X', '×'])
                .or_else(|| text.split_once(" by "))
                .map(|h| (text, h))
        });
        let Some((text, (width, height))) = halves else {
            let side = self.length(field, limits)?;
            return Some((side.clone(), side));
        };
        let start = text.len() - height.len();
        let width = number::quantity(width)
            .map_err(|f| self.bad_number(field, 0, &f))
            .ok();
        let height = number::quantity(height)
            .map_err(|f| self.bad_number(field, start, &f))
            .ok();
        let (mut width, height) = (width?, height?);
        // `30 x 40 cm` means centimetres both ways.
        width.unit = width.unit.or(height.unit);
        let width = self.length_of(field, &width, limits);
        let height = self.length_of(field, &height, limits);
        Some((width?, height?))
    }

    /// A share of a whole: more than nothing, or nothing where `nought` allows it, and
    /// less than `below`; `6%` and `0.06` are the same.
    pub(crate) fn share(&mut self, field: &Field, nought: bool, below: &Surd) -> Option<Surd> {
        let quantity = self.quantity(field)?;
        let share = match quantity.unit {
            None => quantity.value,
            Some(Unit::Percent) => quantity.value.over(100),
            Some(_) => {
                let mend = "Write it like 1/7 or 6%.";
                return self.fault(field, "A share is wanted here, not a length.", mend);
            }
        };
        let fits = (share.is_positive() || nought && share.is_zero()) && share < *below;
        if fits {
            return Some(share);
        }
        let least = if nought { "0 or more" } else { "more than 0" };
        let text = format!("This share must be {least} and less than {below}.");
        self.fault(field, text, "Write it like 1/7 or 6%.")
    }

    /// The cloth a field names.
    pub(crate) fn cloth(&mut self, field: &Field) -> Option<ClothId> {
        let key = self.text(field)?;
        self.cloth_called(field, key)
    }

    /// The cloth of this short name; the field is where it is told that there is none.
    pub(crate) fn cloth_called(&mut self, field: &Field, key: &str) -> Option<ClothId> {
        if let Some(index) = self.cloths.iter().position(|c| c == key) {
            return Some(ClothId(index));
        }
        let short: String = key.chars().take(LONGEST_NAME).collect();
        let text = format!("There is no cloth “{short}” in this plan.");
        let mend = match near::nearest(key, &self.cloths) {
            Some(near) => format!("Did you mean “{near}”? Or add [{}].", join("cloth", key)),
            None if self.cloths.is_empty() => format!("Add it: [{}].", join("cloth", key)),
            None => format!("The cloths are: {}.", near::list(&self.cloths)),
        };
        self.fault(field, text, mend)
    }

    /// A list; one thing alone counts as a list of one.
    pub(crate) fn list<'a>(&mut self, field: &Field<'a>) -> Vec<Field<'a>> {
        match field.body {
            Body::List(list) => list
                .iter()
                .enumerate()
                .map(|(i, value)| Field::of_value(format!("{}.{}", field.path, i + 1), value))
                .collect(),
            _ => vec![field.clone()],
        }
    }

    /// A group of fields.
    pub(crate) fn section<'a>(&mut self, field: &Field<'a>, mend: &str) -> Option<Section<'a>> {
        match field.body {
            Body::Table(table) => Some(Section {
                path: field.path.clone(),
                span: field.span.clone(),
                table,
            }),
            _ => self.wrong_kind(field, "a group of fields", mend),
        }
    }

    /// Several groups of fields: `[[border]]` again and again.
    pub(crate) fn sections<'a>(&mut self, field: &Field<'a>, mend: &str) -> Vec<Section<'a>> {
        match field.body {
            Body::Tables(tables) => tables
                .iter()
                .enumerate()
                .map(|(i, table)| Section {
                    path: format!("{}.{}", field.path, i + 1),
                    span: table.span().unwrap_or_else(|| field.span.clone()),
                    table,
                })
                .collect(),
            Body::List(_) => {
                let entries = self.list(field);
                entries
                    .iter()
                    .filter_map(|entry| self.section(entry, mend))
                    .collect()
            }
            _ => {
                self.wrong_kind::<()>(field, "a heading in double brackets", mend);
                Vec::new()
            }
        }
    }
}
