//! A drawing of a block from a file of the SVG kind, read as a stranger's.
//!
//! The file itself is never shown. Only straight lines are taken from it: `line`,
//! `polyline`, `polygon`, `rect`, and the straight parts of `path`, each through the
//! transforms round it. Everything else is passed over: curves (counted and told),
//! pictures, text, styles, references of any kind. Nothing is looked up, so no file and no
//! address is ever asked for anything.
//!
//! **Limits.** [`MOST_BYTES`], [`MOST_NODES`], [`DEEPEST`], [`MOST_LINES`]. Document type
//! declarations are refused, with them every entity; packed files are refused.
//!
//! **Units.** The drawing's own, y down; see `quilt::block::drafting::traced` for what
//! becomes of them.

use quilt::block::drafting::traced::Measured;
use roxmltree::{Document, Node, ParsingOptions};

/// Most bytes of a drawing.
pub(crate) const MOST_BYTES: usize = 200_000;
/// Most elements and texts in it.
const MOST_NODES: u32 = 20_000;
/// Elements within one another.
const DEEPEST: usize = 60;
/// Most lines, those drawn twice counted once.
const MOST_LINES: usize = 400;
/// Most lines before that.
const MOST_DRAWN: usize = 4_000;

/// What was found in a drawing.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Drawing {
    pub(crate) lines: Vec<Measured>,
    /// Curves passed over.
    pub(crate) curves: usize,
}

/// Reads a drawing.
///
/// # Errors
///
/// A whole sentence for the maker.
pub(crate) fn read(text: &str) -> Result<Drawing, String> {
    if text.starts_with('\u{1f}') {
        return Err(
            "This drawing is packed together (SVGZ). Save it unpacked, as plain SVG.".into(),
        );
    }
    if text.len() > MOST_BYTES {
        return Err(format!(
            "This drawing is larger than {} kB, which is the most. A block’s lines take far less: take pictures and text out of it.",
            MOST_BYTES / 1000
        ));
    }
    let options = ParsingOptions {
        allow_dtd: false,
        nodes_limit: MOST_NODES,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options).map_err(|error| match error {
        roxmltree::Error::DtdDetected => {
            "This drawing declares a document type, which could name other files; it is not read. Save it as plain SVG.".to_owned()
        }
        roxmltree::Error::NodesLimitReached => {
            format!("This drawing has more than {MOST_NODES} parts, which is the most.")
        }
        _ => "This is no whole SVG drawing. Choose a file that was saved as plain SVG.".to_owned(),
    })?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err("This is no SVG drawing. Choose a file that was saved as plain SVG.".into());
    }
    let mut pen = Pen {
        lines: Vec::new(),
        curves: 0,
    };
    pen.group(root, Matrix::STILL, 0)?;
    let lines = once(pen.lines);
    if lines.len() > MOST_LINES {
        return Err(format!(
            "This drawing has {} lines; the most is {MOST_LINES}. A block has far fewer.",
            lines.len()
        ));
    }
    Ok(Drawing {
        lines,
        curves: pen.curves,
    })
}

/// Lines drawn twice, as where two outlines touch, taken once.
fn once(lines: Vec<Measured>) -> Vec<Measured> {
    let size = lines
        .iter()
        .flatten()
        .flatten()
        .fold(0.0_f64, |a, b| a.max(b.abs()));
    let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).abs() + (a[1] - b[1]).abs() <= 1e-7 * size;
    let mut kept: Vec<Measured> = Vec::new();
    for line in lines {
        let [a, b] = line;
        let same = |other: &Measured| {
            (near(other[0], a) && near(other[1], b)) || (near(other[0], b) && near(other[1], a))
        };
        if !near(a, b) && !kept.iter().any(same) {
            kept.push(line);
        }
    }
    kept
}

/// `x' = a·x + c·y + e`, `y' = b·x + d·y + f`, as SVG has it.
#[derive(Clone, Copy, Debug)]
struct Matrix([f64; 6]);

impl Matrix {
    const STILL: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);

    fn then_within(self, inner: Self) -> Self {
        let ([a, b, c, d, e, f], [p, q, r, s, t, u]) = (self.0, inner.0);
        Self([
            a * p + c * q,
            b * p + d * q,
            a * r + c * s,
            b * r + d * s,
            a * t + c * u + e,
            b * t + d * u + f,
        ])
    }

    fn at(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [a, b, c, d, e, f] = self.0;
        [a * x + c * y + e, b * x + d * y + f]
    }

    /// A list of transforms; `None` where it makes no sense.
    fn read(text: &str) -> Option<Self> {
        let mut whole = Self::STILL;
        let mut rest = text.trim();
        while !rest.is_empty() {
            let (name, after) = rest.split_once('(')?;
            let (inside, after) = after.split_once(')')?;
            let n = numbers(inside)?;
            let one = match (name.trim(), n.as_slice()) {
                ("matrix", &[a, b, c, d, e, f]) => Self([a, b, c, d, e, f]),
                ("translate", &[x]) => Self([1.0, 0.0, 0.0, 1.0, x, 0.0]),
                ("translate", &[x, y]) => Self([1.0, 0.0, 0.0, 1.0, x, y]),
                ("scale", &[k]) => Self([k, 0.0, 0.0, k, 0.0, 0.0]),
                ("scale", &[x, y]) => Self([x, 0.0, 0.0, y, 0.0, 0.0]),
                ("rotate", &[turn]) => Self::turned(turn),
                ("rotate", &[turn, x, y]) => Self([1.0, 0.0, 0.0, 1.0, x, y])
                    .then_within(Self::turned(turn))
                    .then_within(Self([1.0, 0.0, 0.0, 1.0, -x, -y])),
                ("skewX", &[turn]) => Self([1.0, 0.0, turn.to_radians().tan(), 1.0, 0.0, 0.0]),
                ("skewY", &[turn]) => Self([1.0, turn.to_radians().tan(), 0.0, 1.0, 0.0, 0.0]),
                _ => return None,
            };
            whole = whole.then_within(one);
            rest = after.trim_start_matches([' ', ',', '\n', '\t', '\r']);
        }
        whole.0.iter().all(|x| x.is_finite()).then_some(whole)
    }

    fn turned(degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Self([cos, sin, -sin, cos, 0.0, 0.0])
    }
}

/// Numbers divided by blanks and commas, or by nothing but a sign or a second point.
fn numbers(text: &str) -> Option<Vec<f64>> {
    let mut found = Vec::new();
    let mut rest = text;
    loop {
        rest = rest.trim_start_matches([' ', ',', '\n', '\t', '\r']);
        if rest.is_empty() {
            return Some(found);
        }
        let (number, after) = number(rest)?;
        found.push(number);
        if found.len() > 2 * MOST_DRAWN + 2 {
            return None;
        }
        rest = after;
    }
}

/// The number a text begins with, and what follows it.
fn number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let mut at = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    at = digits(at);
    if bytes.get(at) == Some(&b'.') {
        at = digits(at + 1);
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let end = digits(at + 1 + sign);
        if end > at + 1 + sign {
            at = end;
        }
    }
    let (number, rest) = text.split_at_checked(at)?;
    let number: f64 = number.parse().ok()?;
    number.is_finite().then_some((number, rest))
}

/// A length as an attribute gives it, in pixels (CSS: 96 to the inch).
fn length(node: Node<'_, '_>, name: &str) -> Option<f64> {
    let Some(text) = node.attribute(name) else {
        return Some(0.0);
    };
    let (number, unit) = number(text.trim())?;
    let pixels = match unit.trim() {
        "" | "px" => 1.0,
        "in" => 96.0,
        "cm" => 96.0 / 2.54,
        "mm" => 96.0 / 25.4,
        "pt" => 96.0 / 72.0,
        "pc" => 16.0,
        _ => return None,
    };
    Some(number * pixels)
}

struct Pen {
    lines: Vec<Measured>,
    curves: usize,
}

impl Pen {
    fn group(&mut self, node: Node<'_, '_>, around: Matrix, depth: usize) -> Result<(), String> {
        if depth > DEEPEST {
            return Err("The parts of this drawing lie too deep within one another.".into());
        }
        for child in node.children().filter(Node::is_element) {
            let style = child
                .attribute("style")
                .unwrap_or_default()
                .replace(' ', "");
            if child.attribute("display") == Some("none") || style.contains("display:none") {
                continue;
            }
            let own = match child.attribute("transform") {
                None => Some(Matrix::STILL),
                Some(text) => Matrix::read(text),
            };
            let Some(own) = own else { continue };
            let matrix = around.then_within(own);
            match child.tag_name().name() {
                "g" | "a" => self.group(child, matrix, depth + 1)?,
                "line" | "polyline" | "polygon" | "rect" | "path" => {
                    for ring in self.shape(child) {
                        for pair in ring.windows(2) {
                            self.lines.push([matrix.at(pair[0]), matrix.at(pair[1])]);
                        }
                    }
                }
                "circle" | "ellipse" => self.curves += 1,
                _ => {}
            }
            if self.lines.len() > MOST_DRAWN {
                return Err(format!(
                    "This drawing has more than {MOST_DRAWN} lines. A block has far fewer."
                ));
            }
        }
        Ok(())
    }

    /// The straight runs of one shape.
    fn shape(&mut self, node: Node<'_, '_>) -> Vec<Vec<[f64; 2]>> {
        let attribute = |name: &str| node.attribute(name).unwrap_or_default();
        match node.tag_name().name() {
            "line" => {
                let ends = ["x1", "y1", "x2", "y2"].map(|name| length(node, name));
                let [Some(x1), Some(y1), Some(x2), Some(y2)] = ends else {
                    return Vec::new();
                };
                vec![vec![[x1, y1], [x2, y2]]]
            }
            "rect" => {
                let sides = ["x", "y", "width", "height"].map(|name| length(node, name));
                let [Some(x), Some(y), Some(w), Some(h)] = sides else {
                    return Vec::new();
                };
                let corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]];
                vec![corners.to_vec()]
            }
            "path" => self.path(attribute("d")),
            name => {
                let Some(all) = numbers(attribute("points")) else {
                    return Vec::new();
                };
                let mut ring: Vec<[f64; 2]> = all.chunks_exact(2).map(|p| [p[0], p[1]]).collect();
                if name == "polygon" {
                    ring.extend(ring.first().copied());
                }
                vec![ring]
            }
        }
    }

    /// The straight runs of a path; curves only carry the pen on. What cannot be read ends
    /// the path there, as SVG 2 (9.5.4) has it.
    fn path(&mut self, text: &str) -> Vec<Vec<[f64; 2]>> {
        let mut runs: Vec<Vec<[f64; 2]>> = Vec::new();
        let (mut at, mut first) = ([0.0, 0.0], [0.0, 0.0]);
        let mut rest = text;
        let mut steps = 0;
        let mut command = ' ';
        loop {
            rest = rest.trim_start_matches([' ', ',', '\n', '\t', '\r']);
            let Some(next) = rest.chars().next() else {
                return runs;
            };
            if next.is_ascii_alphabetic() {
                command = next;
                rest = &rest[1..];
            } else if matches!(command, ' ' | 'z' | 'Z') {
                return runs;
            }
            let takes = match command.to_ascii_uppercase() {
                'M' | 'L' | 'T' => 2,
                'H' | 'V' => 1,
                'Z' => 0,
                'S' | 'Q' => 4,
                'C' => 6,
                'A' => 7,
                _ => return runs,
            };
            let mut n = Vec::with_capacity(takes);
            while n.len() < takes {
                rest = rest.trim_start_matches([' ', ',', '\n', '\t', '\r']);
                // The two flags of an arc need no blank between them.
                let flag = takes == 7 && matches!(n.len(), 3 | 4);
                let found = if flag {
                    let flag = rest.strip_prefix('0').map(|after| (0.0, after));
                    flag.or_else(|| rest.strip_prefix('1').map(|after| (1.0, after)))
                } else {
                    number(rest)
                };
                let Some((value, after)) = found else {
                    return runs;
                };
                n.push(value);
                rest = after;
            }
            steps += 1;
            if steps > MOST_DRAWN {
                return runs;
            }
            let from = if command.is_ascii_lowercase() {
                at
            } else {
                [0.0, 0.0]
            };
            let to = match command.to_ascii_uppercase() {
                'H' => [from[0] + n[0], at[1]],
                'V' => [at[0], from[1] + n[0]],
                'Z' => first,
                _ => [from[0] + n[takes - 2], from[1] + n[takes - 1]],
            };
            match command.to_ascii_uppercase() {
                'M' => {
                    first = to;
                    runs.push(vec![to]);
                    // Further pairs are lines.
                    command = if command == 'm' { 'l' } else { 'L' };
                }
                'L' | 'H' | 'V' | 'Z' => match runs.last_mut() {
                    Some(run) => run.push(to),
                    None => return runs,
                },
                _ => {
                    self.curves += 1;
                    runs.push(vec![to]);
                }
            }
            at = to;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(inside: &str) -> Vec<Measured> {
        let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\">{inside}</svg>");
        read(&text).unwrap().lines
    }

    #[test]
    fn straight_lines_of_every_kind_are_read() {
        for (inside, wanted) in [
            ("<line x1='1' y1='2' x2='3' y2='2'/>", 1),
            ("<polyline points='0,0 1,0 1,1'/>", 2),
            ("<polygon points='0 0 1 0 1 1'/>", 3),
            ("<rect x='1' y='1' width='2' height='3'/>", 4),
            ("<path d='M0 0h4v4H0z'/>", 4),
            ("<path d='M0,0 1-1 1.5.5L4 4'/>", 3),
            ("<path d='m1 1 2 0 0 2z'/>", 3),
            ("<path d='M0 0C1 1 2 2 3 3L5 5'/>", 1),
            ("<path d='M0 0a1 1 0 011 1l2 0'/>", 1),
            ("<g transform='translate(3)'><g><line x2='4'/></g></g>", 1),
            (
                "<defs><line x2='4'/></defs><line display='none' x2='3'/>",
                0,
            ),
            (
                "<rect width='4' height='4'/><rect x='4' width='4' height='4'/>",
                7,
            ),
            (
                "<path d='M0 0 L'/><path d='nonsense'/><polygon points='1 2 x'/>",
                0,
            ),
        ] {
            assert_eq!(lines(inside).len(), wanted, "{inside}");
        }
    }

    #[test]
    fn transforms_are_applied_from_the_outside_in() {
        let found = lines(
            "<g transform='translate(10,0) scale(2)'><line x1='1' y1='0' x2='3' y2='0' transform='rotate(90)'/></g>",
        );
        let wanted = [[10.0, 2.0], [10.0, 6.0]];
        for (end, want) in found[0].iter().zip(wanted) {
            for (a, b) in end.iter().zip(want) {
                assert!((a - b).abs() < 1e-9, "{found:?}");
            }
        }
        assert_eq!(lines("<line x2='1in'/>")[0][1], [96.0, 0.0]);
    }

    #[test]
    fn curves_are_counted() {
        let text = "<svg><circle r='3'/><path d='M0 0Q1 1 2 2T3 3'/></svg>";
        let found = read(text).unwrap();
        assert_eq!((found.lines.len(), found.curves), (0, 3));
    }
}
