//! Numbers as makers write them, read exactly.
//!
//! `3 1/2`, `3½`, `2.5`, `√2`, `(2+√2)/4`, `12 in`: whole numbers, fractions, mixed
//! numbers, decimals, the roots that stay exact, sums and products of these, and a unit
//! after them. Nothing is rounded: `0.1` is one tenth.
//!
//! ```text
//!   number  = term { (+|-) term }
//!   term    = factor { (*|/) factor | root or bracket right behind a number }
//!   factor  = - factor | whole [fraction] | decimal | ½ | √ factor | ( number )
//! ```
//!
//! **What always holds.** Any text is answered in bounded time: its length, the depth
//! of brackets, the digits of a number and the size of the result are all capped.

use std::ops::Range;

use geometry::Surd;

/// Longest text read as a number, bytes.
const LONGEST: usize = 200;
/// Deepest brackets, signs and roots within each other.
const DEEPEST: usize = 20;
/// Most digits in one written number; keeps every literal within 64 bits.
const DIGITS: usize = 15;
/// Largest result, either side of zero.
const LARGEST: i64 = 1_000_000;
/// Longest result when written out exactly; longer means a number no ruler knows.
const FINEST: usize = 80;

/// A unit written behind a number.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unit {
    /// `in`, `″`.
    Inch,
    /// `ft`.
    Foot,
    /// `yd`.
    Yard,
    /// `mm`.
    Millimetre,
    /// `cm`.
    Centimetre,
    /// `m`.
    Metre,
    /// `%`.
    Percent,
}

impl Unit {
    /// One of it in inches; `None` for [`Unit::Percent`], which is no length.
    #[must_use]
    pub fn in_inches(self) -> Option<Surd> {
        Some(match self {
            Self::Inch => Surd::ONE,
            Self::Foot => Surd::int(12),
            Self::Yard => Surd::int(36),
            Self::Millimetre => Surd::ratio(5, 127),
            Self::Centimetre => Surd::ratio(50, 127),
            Self::Metre => Surd::ratio(5000, 127),
            Self::Percent => return None,
        })
    }

    fn named(word: &str) -> Option<Self> {
        Some(match word {
            "in" | "inch" | "inches" | "\"" | "″" => Self::Inch,
            "ft" | "foot" | "feet" => Self::Foot,
            "yd" | "yard" | "yards" => Self::Yard,
            "mm" => Self::Millimetre,
            "cm" => Self::Centimetre,
            "m" => Self::Metre,
            "%" => Self::Percent,
            _ => return None,
        })
    }
}

/// A number and the unit behind it, if one was written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Quantity {
    /// The number as written, in its own unit.
    pub value: Surd,
    /// The unit, if one was written.
    pub unit: Option<Unit>,
}

/// Why a text is no number.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NumberFault {
    /// The bytes of the text that stand in the way.
    pub at: Range<usize>,
    /// What is wrong.
    pub text: String,
    /// What would put it right.
    pub mend: String,
}

const EXAMPLES: &str = "Write it like 3 1/2, 7/8, 2.5 or (2+√2)/4.";

/// Reads a number, with or without a unit.
///
/// # Errors
///
/// A [`NumberFault`] that says which part of the text cannot be read and what may stand
/// there instead.
///
/// ```
/// use geometry::Surd;
/// use planfile::{Unit, quantity};
/// let read = quantity("3 1/2 cm").unwrap();
/// assert_eq!((read.value, read.unit), (Surd::ratio(7, 2), Some(Unit::Centimetre)));
/// assert!(quantity("√5").is_err());
/// ```
pub fn quantity(text: &str) -> Result<Quantity, NumberFault> {
    if text.len() > LONGEST {
        return Err(fault(
            0..text.len(),
            "This is too long for a number.",
            EXAMPLES,
        ));
    }
    if text.trim().is_empty() {
        return Err(fault(0..text.len(), "There is no number here.", EXAMPLES));
    }
    let mut reader = Reader {
        tokens: tokens(text)?,
        next: 0,
        end: text.len(),
    };
    let value = reader.sum(0)?;
    let unit = reader.unit();
    if let Some(token) = reader.peek() {
        return Err(reader.unexpected(token));
    }
    let whole = 0..text.len();
    if value.abs() > Surd::int(LARGEST) {
        let text = "This number is too large.";
        return Err(fault(
            whole,
            text,
            "Nothing in a quilt is more than a million.",
        ));
    }
    if value.to_string().len() > FINEST {
        return Err(fault(
            whole,
            "This number is too fine.",
            "Use a simpler fraction.",
        ));
    }
    Ok(Quantity { value, unit })
}

/// Reads a number that may not have a unit.
///
/// # Errors
///
/// As [`quantity`], and if there is a unit.
pub fn number(text: &str) -> Result<Surd, NumberFault> {
    let read = quantity(text)?;
    match read.unit {
        None => Ok(read.value),
        Some(_) => Err(fault(
            0..text.len(),
            "No unit belongs here.",
            "Leave the unit out.",
        )),
    }
}

/// The parts of a list of numbers: split at commas, or at blanks outside brackets.
/// Each part comes with the byte it begins at.
pub(crate) fn parts(text: &str) -> Vec<(usize, &str)> {
    let commas = text.contains(',');
    let (mut parts, mut depth, mut start) = (Vec::new(), 0_i32, 0);
    for (i, c) in text.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        let splits = if commas {
            c == ','
        } else {
            c.is_whitespace() && depth <= 0
        };
        if splits {
            parts.push((start, &text[start..i]));
            start = i + c.len_utf8();
        }
    }
    parts.push((start, &text[start..]));
    parts.retain(|(_, part)| commas || !part.trim().is_empty());
    parts
}

fn fault(at: Range<usize>, text: impl Into<String>, mend: impl Into<String>) -> NumberFault {
    NumberFault {
        at,
        text: text.into(),
        mend: mend.into(),
    }
}

#[derive(Clone, PartialEq, Debug)]
enum Kind {
    /// Digits only.
    Whole(i64),
    /// Digits with a decimal point, or a fraction character.
    Exact(Surd),
    /// One fraction character.
    Vulgar(Surd),
    Root,
    Plus,
    Minus,
    Times,
    Over,
    Open,
    Close,
    Unit(Unit),
}

#[derive(Clone, Debug)]
struct Token {
    kind: Kind,
    at: Range<usize>,
    /// Whether a blank stands before it.
    apart: bool,
}

fn tokens(text: &str) -> Result<Vec<Token>, NumberFault> {
    let (mut out, mut i, mut apart) = (Vec::new(), 0, false);
    while let Some(c) = text[i..].chars().next() {
        if c.is_whitespace() {
            apart = true;
            i += c.len_utf8();
            continue;
        }
        let (kind, length) = token(text, i, c)?;
        out.push(Token {
            kind,
            at: i..i + length,
            apart,
        });
        apart = false;
        i += length;
    }
    Ok(out)
}

/// The token that begins at byte `i` with the character `c`, and its length in bytes.
fn token(text: &str, i: usize, c: char) -> Result<(Kind, usize), NumberFault> {
    let run = |keep: fn(char) -> bool| {
        let rest = &text[i..];
        rest.find(|c| !keep(c)).unwrap_or(rest.len())
    };
    let single = |kind| Ok((kind, c.len_utf8()));
    match c {
        '0'..='9' | '.' => {
            let length = run(|c| c.is_ascii_digit() || c == '.');
            Ok((digits(&text[i..i + length], i)?, length))
        }
        '√' => single(Kind::Root),
        '+' => single(Kind::Plus),
        '-' | '−' => single(Kind::Minus),
        '*' | '×' | '·' => single(Kind::Times),
        '/' | '÷' | '⁄' => single(Kind::Over),
        '(' => single(Kind::Open),
        ')' => single(Kind::Close),
        '%' => single(Kind::Unit(Unit::Percent)),
        '"' | '″' => single(Kind::Unit(Unit::Inch)),
        _ if c.is_ascii_alphabetic() => {
            let length = run(|c| c.is_ascii_alphabetic());
            let word = &text[i..i + length];
            let kind = match word {
                "r" | "sqrt" => Some(Kind::Root),
                _ => Unit::named(word).map(Kind::Unit),
            };
            let unknown = || {
                let mend = "Numbers are written in figures, like 3 1/2; the units are in, ft, yd, \
                            mm, cm and m; a root is √2 or sqrt(2).";
                fault(
                    i..i + length,
                    format!("“{word}” is not part of a number."),
                    mend,
                )
            };
            Ok((kind.ok_or_else(unknown)?, length))
        }
        _ => match vulgar(c) {
            Some((n, d)) => single(Kind::Vulgar(Surd::ratio(n, d))),
            None => {
                let what = format!("“{c}” is not part of a number.");
                Err(fault(i..i + c.len_utf8(), what, EXAMPLES))
            }
        },
    }
}

/// A run of digits, with at most one decimal point.
fn digits(run: &str, at: usize) -> Result<Kind, NumberFault> {
    let range = at..at + run.len();
    let (whole, part) = run.split_once('.').unwrap_or((run, ""));
    if part.contains('.') {
        return Err(fault(range, "There are two decimal points here.", EXAMPLES));
    }
    if whole.len() + part.len() > DIGITS {
        let mend = "At most fifteen digits can be read.";
        return Err(fault(range, "This number has too many digits.", mend));
    }
    let all = format!("{whole}{part}");
    let Ok(n) = all.parse::<i64>() else {
        return Err(fault(range, "A point alone is no number.", EXAMPLES));
    };
    if run.contains('.') {
        // At most fifteen decimals, so the power of ten fits.
        let tenth = 10_i64.pow(u32::try_from(part.len()).unwrap_or(0));
        Ok(Kind::Exact(Surd::ratio(n, tenth)))
    } else {
        Ok(Kind::Whole(n))
    }
}

fn vulgar(c: char) -> Option<(i64, i64)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}

struct Reader {
    tokens: Vec<Token>,
    next: usize,
    end: usize,
}

impl Reader {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.next)
    }

    fn kind(&self, ahead: usize) -> Option<&Kind> {
        self.tokens.get(self.next + ahead).map(|t| &t.kind)
    }

    fn take(&mut self, kind: &Kind) -> bool {
        let taken = self.kind(0) == Some(kind);
        self.next += usize::from(taken);
        taken
    }

    fn unit(&mut self) -> Option<Unit> {
        let Some(&Kind::Unit(unit)) = self.kind(0) else {
            return None;
        };
        self.next += 1;
        Some(unit)
    }

    fn unexpected(&self, token: &Token) -> NumberFault {
        let (text, mend) = match token.kind {
            Kind::Whole(_) | Kind::Exact(_) | Kind::Vulgar(_) => {
                ("There are two numbers here where one is wanted.", EXAMPLES)
            }
            Kind::Close => ("A bracket is closed that was not opened.", "Take it out."),
            Kind::Unit(_) => ("There are two units here.", "Write one unit, at the end."),
            _ => ("This part of the number cannot be read.", EXAMPLES),
        };
        fault(token.at.clone(), text, mend)
    }

    fn sum(&mut self, depth: usize) -> Result<Surd, NumberFault> {
        let mut total = self.product(depth)?;
        loop {
            if self.take(&Kind::Plus) {
                total += self.product(depth)?;
            } else if self.take(&Kind::Minus) {
                self.refuse_dashed_fraction()?;
                total -= self.product(depth)?;
            } else {
                return Ok(total);
            }
        }
    }

    /// `3-1/2` means three and a half to many makers, and two and a half to the rest.
    /// Looks at the tokens round the minus sign just taken.
    fn refuse_dashed_fraction(&self) -> Result<(), NumberFault> {
        let whole = |i: usize| match self.tokens.get(i) {
            Some(Token {
                kind: Kind::Whole(n),
                at,
                apart,
            }) => Some((*n, at.clone(), *apart)),
            _ => None,
        };
        let (Some(before), Some(n), Some(d)) = (
            self.next.checked_sub(2).and_then(whole),
            whole(self.next),
            whole(self.next + 2),
        ) else {
            return Ok(());
        };
        let dash_apart = self.tokens[self.next - 1].apart;
        let over = self.kind(1) == Some(&Kind::Over);
        let divisor = self.next >= 3 && self.tokens[self.next - 3].kind == Kind::Over;
        if !over || divisor || dash_apart || n.2 || n.0 >= d.0 {
            return Ok(());
        }
        let (whole, top, bottom) = (before.0, n.0, d.0);
        let text = format!("Does “{whole}-{top}/{bottom}” mean “and” or “less”?");
        let mend = format!(
            "Write “{whole} {top}/{bottom}” for {whole} and {top}/{bottom}, or \
             “{whole} - {top}/{bottom}” with blanks for {whole} less {top}/{bottom}."
        );
        Err(fault(before.1.start..d.1.end, text, mend))
    }

    fn product(&mut self, depth: usize) -> Result<Surd, NumberFault> {
        let start = self.next;
        let (mut total, mut divided) = self.factor(depth)?;
        loop {
            if self.take(&Kind::Times) {
                let (factor, slash) = self.factor(depth)?;
                total = &total * &factor;
                divided |= slash;
            } else if self.take(&Kind::Over) {
                let at = self.peek().map_or(self.end..self.end, |t| t.at.clone());
                let (by, _) = self.factor(depth)?;
                let nought = || fault(at, "Nothing can be divided by nought.", EXAMPLES);
                total = total.checked_div(&by).ok_or_else(nought)?;
                divided = true;
            } else if matches!(self.kind(0), Some(Kind::Root | Kind::Open)) {
                if divided {
                    let from = self.tokens[start].at.start;
                    let to = self.tokens[self.next].at.end;
                    let mend = "Put brackets: (1/2)√2 is half of √2, 1/(2√2) is one over 2√2.";
                    return Err(fault(from..to, "What is divided by what here?", mend));
                }
                let (factor, slash) = self.factor(depth)?;
                total = &total * &factor;
                divided |= slash;
            } else {
                return Ok(total);
            }
        }
    }

    /// A factor, and whether it was written with a stroke outside brackets.
    fn factor(&mut self, depth: usize) -> Result<(Surd, bool), NumberFault> {
        let Some(token) = self.peek().cloned() else {
            let text = "The number breaks off here.";
            return Err(fault(self.end..self.end, text, EXAMPLES));
        };
        if depth >= DEEPEST {
            let text = "There are too many brackets within brackets.";
            return Err(fault(token.at, text, "Use a simpler number."));
        }
        self.next += 1;
        match token.kind {
            Kind::Minus => {
                let (value, slash) = self.factor(depth + 1)?;
                Ok((-value, slash))
            }
            Kind::Whole(n) => self.mixed(n),
            Kind::Exact(value) => Ok((value, false)),
            Kind::Vulgar(value) => Ok((value, false)),
            Kind::Root => {
                let (value, _) = self.factor(depth + 1)?;
                let end = self.tokens[self.next - 1].at.end;
                Ok((root(&value, token.at.start..end)?, false))
            }
            Kind::Open => {
                let value = self.sum(depth + 1)?;
                if self.take(&Kind::Close) {
                    return Ok((value, false));
                }
                Err(fault(
                    token.at,
                    "This bracket is not closed.",
                    "Put “)” where it ends.",
                ))
            }
            _ => Err(self.unexpected(&token)),
        }
    }

    /// What may follow a whole number: a fraction that belongs to it.
    fn mixed(&mut self, whole: i64) -> Result<(Surd, bool), NumberFault> {
        let whole = Surd::int(whole);
        if let Some(Kind::Vulgar(part)) = self.kind(0).cloned() {
            self.next += 1;
            return Ok((whole + part, false));
        }
        let apart = self.peek().is_some_and(|t| t.apart);
        match (apart, self.kind(0), self.kind(1), self.kind(2)) {
            (true, Some(&Kind::Whole(n)), Some(Kind::Over), Some(&Kind::Whole(d))) => {
                let at = self.tokens[self.next + 2].at.clone();
                self.next += 3;
                let part = Surd::try_ratio(n, d)
                    .ok_or_else(|| fault(at, "Nothing can be divided by nought.", EXAMPLES))?;
                Ok((whole + part, true))
            }
            _ => Ok((whole, false)),
        }
    }
}

/// The exact root of a fraction, if it is a multiple of 1, √2, √3 or √6.
fn root(value: &Surd, at: Range<usize>) -> Result<Surd, NumberFault> {
    let outside = |text: String| {
        let mend = "Only √2, √3 and √6 are exact here, and what is made from them: the lines of \
                    a pieced block need no others.";
        fault(at.clone(), text, mend)
    };
    let Some((n, d)) = value.as_ratio().filter(|&(n, _)| n >= 0) else {
        return Err(outside("This root cannot be kept exact.".into()));
    };
    // √(n/d) = √(n·d) / d. Large numbers are refused before their factors are looked for.
    let Some(product) = n.checked_mul(d).filter(|&p| p <= LARGEST) else {
        return Err(outside("This root is too large.".into()));
    };
    let (mut square, mut rest) = (1, product);
    for f in 2..=1_000 {
        while rest >= f * f && rest % (f * f) == 0 {
            rest /= f * f;
            square *= f;
        }
    }
    let unit = match rest {
        0 => Surd::ZERO,
        1 => Surd::ONE,
        2 => Surd::root2(),
        3 => Surd::root3(),
        6 => Surd::root6(),
        _ => return Err(outside(format!("√{rest} cannot be kept exact."))),
    };
    Ok(unit * Surd::ratio(square, d))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_exactly() {
        let r = Surd::ratio;
        for (text, value) in [
            ("3", r(3, 1)),
            ("3 1/2", r(7, 2)),
            ("3½", r(7, 2)),
            ("3 ½", r(7, 2)),
            ("7/8", r(7, 8)),
            ("2.5", r(5, 2)),
            (".25", r(1, 4)),
            ("0.1", r(1, 10)),
            ("-1/2", r(-1, 2)),
            ("−3 1/2", r(-7, 2)),
            ("1 + 2*3", r(7, 1)),
            ("(1 + 2) × 3", r(9, 1)),
            ("4 - 1/2", r(7, 2)),
            ("1/2/2", r(1, 4)),
            ("1/3-1/4", r(1, 12)),
            ("√2", Surd::root2()),
            ("r3", Surd::root3()),
            ("sqrt(6)", Surd::root6()),
            ("√8", Surd::root2().times(2)),
            ("√(3/4)", Surd::root3().half()),
            ("√2*√3", Surd::root6()),
            ("4-2√2", Surd::int(4) - Surd::root2().times(2)),
            ("(2+√2)/4", (Surd::int(2) + Surd::root2()).over(4)),
            ("1/(2+√2)", Surd::ONE - Surd::root2().half()),
            ("3√2/4", Surd::root2() * r(3, 4)),
            ("½√2", Surd::root2().half()),
        ] {
            assert_eq!(number(text).as_ref(), Ok(&value), "{text}");
        }
    }

    #[test]
    fn units_stand_behind() {
        let read = |text| quantity(text).map(|q| (q.value, q.unit));
        assert_eq!(read("12 in"), Ok((Surd::int(12), Some(Unit::Inch))));
        assert_eq!(read("30cm"), Ok((Surd::int(30), Some(Unit::Centimetre))));
        assert_eq!(read("1/8 yd"), Ok((Surd::ratio(1, 8), Some(Unit::Yard))));
        assert_eq!(read("6%"), Ok((Surd::int(6), Some(Unit::Percent))));
        assert_eq!(read("3½\""), Ok((Surd::ratio(7, 2), Some(Unit::Inch))));
        assert!(number("3 in").is_err());
    }

    #[test]
    fn what_is_no_number_is_refused_with_a_reason() {
        let deep = "(".repeat(100);
        for (text, part) in [
            ("", "no number"),
            ("√5", "√5 cannot be kept exact"),
            ("√-2", "cannot be kept exact"),
            ("√√2", "cannot be kept exact"),
            ("1/0", "divided by nought"),
            ("3 1/0", "divided by nought"),
            ("1/(√2-√2)", "divided by nought"),
            ("1/2√2", "What is divided by what"),
            ("3-1/2", "mean “and” or “less”"),
            ("1 2", "two numbers"),
            ("(1+2", "not closed"),
            ("1)", "not opened"),
            ("1+", "breaks off"),
            ("1..2", "two decimal points"),
            (".", "no number"),
            ("five", "“five”"),
            ("3 in in", "two units"),
            ("99999999999999999999", "too many digits"),
            ("1000001", "too large"),
            ("999999*999999*999999*999999", "too large"),
            (
                "1/999999999999999/999999999999998/999999999999997/999999999999991/999999999999989/999999999999947",
                "too fine",
            ),
            (&deep, "too many brackets"),
            ("3#", "“#”"),
        ] {
            let fault = quantity(text).expect_err(text);
            assert!(fault.text.contains(part), "{text}: {}", fault.text);
            assert!(
                !fault.mend.is_empty() && fault.at.end <= text.len(),
                "{text}"
            );
        }
    }

    #[test]
    fn every_exact_number_can_be_written_and_read_again() {
        for a in -3..=3_i64 {
            for b in -3..=3_i64 {
                for d in 1..=6_i64 {
                    let x = Surd::ratio(a, d) + Surd::root2() * Surd::ratio(b, 2)
                        - Surd::root6() * Surd::ratio(a, 5)
                        + Surd::root3().times(b);
                    assert_eq!(number(&x.to_string()), Ok(x.clone()), "{x}");
                }
            }
        }
    }
}
