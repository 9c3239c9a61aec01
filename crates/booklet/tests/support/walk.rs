//! Follows the operators of a page (ISO 32000-1, annex A).

use std::collections::BTreeMap;

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};

use super::paint::{Painted, Segment, Stroke, Word};
use super::{Matrix, Page, Point, Rect};

/// Walks the page `id` of `document`.
pub fn page(document: &Document, id: ObjectId) -> Page {
    let dict = document.get_dictionary(id).expect("a page is a dictionary");
    let media = numbers(inherited(document, dict, b"MediaBox"));
    let (width, height) = (media[2] - media[0], media[3] - media[1]);
    let top_left_down = Matrix([1.0, 0.0, 0.0, -1.0, -media[0], media[3]]);
    let resources = inherited(document, dict, b"Resources")
        .as_dict()
        .expect("a dictionary");
    let mut walker = Walker {
        document,
        painted: vec![],
        words: vec![],
        marks: vec![],
    };
    walker.run(
        &document.get_page_content(id),
        resources,
        State::new(top_left_down),
    );
    Page {
        size: (width, height),
        painted: walker.painted,
        words: walker.words,
    }
}

fn inherited<'a>(document: &'a Document, page: &'a Dictionary, key: &[u8]) -> &'a Object {
    let mut at = page;
    loop {
        if let Ok(found) = at.get_deref(key, document) {
            return found;
        }
        at = at
            .get_deref(b"Parent", document)
            .and_then(Object::as_dict)
            .unwrap_or_else(|_| panic!("no {} on the page", String::from_utf8_lossy(key)));
    }
}

fn numbers(array: &Object) -> Vec<f64> {
    array
        .as_array()
        .expect("an array")
        .iter()
        .map(number)
        .collect()
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().expect("a number"))
}

/// What `q` keeps and `Q` brings back.
#[derive(Clone)]
struct State {
    ctm: Matrix,
    clip: Option<Rect>,
    line_width: f64,
    dash: Vec<f64>,
    stroke_color: Vec<f64>,
    fill_color: Vec<f64>,
    font: Vec<u8>,
    font_size: f64,
    leading: f64,
    rise: f64,
}

impl State {
    fn new(ctm: Matrix) -> Self {
        Self {
            ctm,
            clip: None,
            line_width: 1.0,
            dash: vec![],
            stroke_color: vec![0.0],
            fill_color: vec![0.0],
            font: vec![],
            font_size: 0.0,
            leading: 0.0,
            rise: 0.0,
        }
    }

    fn stroke(&self) -> Stroke {
        let growth = self.ctm.growth();
        Stroke {
            width: self.line_width * growth,
            dash: self.dash.iter().map(|length| length * growth).collect(),
            color: self.stroke_color.clone(),
        }
    }
}

struct Walker<'a> {
    document: &'a Document,
    painted: Vec<Painted>,
    words: Vec<Word>,
    /// The marks that are open, each with its description if it has one. They
    /// may be opened on the page and closed in it only, so one list will do.
    marks: Vec<Option<String>>,
}

/// A path being built, and the text position.
struct Pen {
    path: Vec<Segment>,
    at: (f64, f64),
    clip_next: bool,
    text: Matrix,
    line: Matrix,
}

impl<'a> Walker<'a> {
    fn run(&mut self, bytes: &[u8], resources: &'a Dictionary, start: State) {
        let fonts = self.fonts(resources);
        let mut state = start;
        let mut kept: Vec<State> = vec![];
        let mut pen = Pen {
            path: vec![],
            at: (0.0, 0.0),
            clip_next: false,
            text: Matrix::IDENTITY,
            line: Matrix::IDENTITY,
        };
        let content = Content::decode(bytes).expect("page content can be read");
        for Operation { operator, operands } in &content.operations {
            let n = |i: usize| number(&operands[i]);
            match operator.as_str() {
                "q" => kept.push(state.clone()),
                "Q" => state = kept.pop().expect("every Q has its q"),
                "cm" => state.ctm = Matrix([n(0), n(1), n(2), n(3), n(4), n(5)]).then(state.ctm),
                "w" => state.line_width = n(0),
                "d" => state.dash = numbers(&operands[0]),
                "gs" => self.graphics_state(resources, &operands[0], &mut state),
                "CS" | "cs" => {}
                "G" | "RG" | "K" | "SC" | "SCN" => state.stroke_color = components(operands),
                "g" | "rg" | "k" | "sc" | "scn" => state.fill_color = components(operands),
                "Do" => self.draw(resources, &operands[0], &state),
                "m" | "l" | "c" | "v" | "y" | "h" | "re" => {
                    let values: Vec<f64> = operands.iter().map(number).collect();
                    pen.build(operator, &values, state.ctm);
                }
                "W" | "W*" => pen.clip_next = true,
                "S" | "s" | "f" | "F" | "f*" | "B" | "B*" | "b" | "b*" | "n" => {
                    self.paint(operator, &mut pen, &mut state);
                }
                "BT" => (pen.text, pen.line) = (Matrix::IDENTITY, Matrix::IDENTITY),
                "Tf" => {
                    state.font = operands[0].as_name().expect("a font name").to_vec();
                    state.font_size = n(1);
                }
                "TL" => state.leading = n(0),
                "Ts" => state.rise = n(0),
                "Tm" => pen.set_line(Matrix([n(0), n(1), n(2), n(3), n(4), n(5)])),
                "Td" => pen.next_line(n(0), n(1)),
                "TD" => {
                    state.leading = -n(1);
                    pen.next_line(n(0), n(1));
                }
                "T*" => pen.next_line(0.0, -state.leading),
                "Tj" | "TJ" => self.write(&fonts, &operands[0], &pen, &state),
                "BMC" => self.marks.push(None),
                "BDC" => self.marks.push(self.description(resources, &operands[1])),
                "EMC" => drop(self.marks.pop().expect("every EMC has its start")),
                // Marks of a point, and how lines join: nothing moves.
                "MP" | "DP" | "ET" | "J" | "j" | "M" | "i" | "ri" | "Tr" | "Tc" | "Tw" | "Tz" => {}
                other => panic!("the content operator {other} is not understood"),
            }
        }
    }

    fn description(&self, resources: &'a Dictionary, properties: &Object) -> Option<String> {
        let properties = match properties {
            Object::Name(_) => self.resource(resources, b"Properties", properties),
            inline => inline,
        };
        let alt = properties
            .as_dict()
            .ok()?
            .get_deref(b"Alt", self.document)
            .ok()?;
        Some(lopdf::decode_text_string(alt).expect("a description is text"))
    }

    fn drawing(&self) -> Option<String> {
        self.marks.iter().rev().flatten().next().cloned()
    }

    fn resource(&self, resources: &'a Dictionary, kind: &[u8], name: &Object) -> &'a Object {
        let name = name.as_name().expect("resources go by name");
        resources
            .get_deref(kind, self.document)
            .and_then(Object::as_dict)
            .and_then(|named| named.get_deref(name, self.document))
            .unwrap_or_else(|_| panic!("no resource {}", String::from_utf8_lossy(name)))
    }

    fn graphics_state(&self, resources: &'a Dictionary, name: &Object, state: &mut State) {
        let dict = self
            .resource(resources, b"ExtGState", name)
            .as_dict()
            .expect("a dictionary");
        if let Ok(width) = dict.get_deref(b"LW", self.document) {
            state.line_width = number(width);
        }
    }

    fn draw(&mut self, resources: &'a Dictionary, name: &Object, state: &State) {
        let stream = self
            .resource(resources, b"XObject", name)
            .as_stream()
            .expect("a stream");
        if stream.dict.get(b"Subtype").and_then(Object::as_name).ok() != Some(b"Form") {
            return;
        }
        let mut inner = state.clone();
        if let Ok(matrix) = stream.dict.get_deref(b"Matrix", self.document) {
            let six: [f64; 6] = numbers(matrix).try_into().expect("six numbers");
            inner.ctm = Matrix(six).then(inner.ctm);
        }
        if let Ok(bbox) = stream.dict.get_deref(b"BBox", self.document) {
            let b = numbers(bbox);
            let corners = [(b[0], b[1]), (b[2], b[1]), (b[2], b[3]), (b[0], b[3])];
            let bounds = Rect::around(corners.map(|(x, y)| inner.ctm.apply(x, y)));
            inner.clip = Some(inner.clip.map_or(bounds, |clip| clip.within(bounds)));
        }
        let own = stream
            .dict
            .get_deref(b"Resources", self.document)
            .and_then(Object::as_dict);
        let bytes = stream
            .get_plain_content()
            .expect("the drawing can be unpacked");
        self.run(&bytes, own.unwrap_or(resources), inner);
    }

    fn paint(&mut self, operator: &str, pen: &mut Pen, state: &mut State) {
        if matches!(operator, "s" | "b" | "b*") {
            pen.path.push(Segment::Close);
        }
        let path = std::mem::take(&mut pen.path);
        let strokes = matches!(operator, "S" | "s" | "B" | "B*" | "b" | "b*");
        let fills = matches!(operator, "f" | "F" | "f*" | "B" | "B*" | "b" | "b*");
        let painted = Painted {
            path,
            stroke: strokes.then(|| state.stroke()),
            fill: fills.then(|| state.fill_color.clone()),
            clip: state.clip,
            drawing: self.drawing(),
        };
        if std::mem::take(&mut pen.clip_next) {
            let bounds = painted.bounds();
            state.clip = Some(state.clip.map_or(bounds, |clip| clip.within(bounds)));
        }
        if strokes || fills {
            self.painted.push(painted);
        }
    }

    fn write(
        &mut self,
        fonts: &BTreeMap<Vec<u8>, ToUnicode>,
        shown: &Object,
        pen: &Pen,
        state: &State,
    ) {
        let font = fonts
            .get(&state.font)
            .expect("text is set in a font of the page");
        let mut text = String::new();
        match shown {
            Object::Array(pieces) => {
                for piece in pieces {
                    if let Object::String(bytes, _) = piece {
                        font.read(bytes, &mut text);
                    }
                }
            }
            Object::String(bytes, _) => font.read(bytes, &mut text),
            other => panic!("text cannot be shown from {other:?}"),
        }
        let place = pen.text.then(state.ctm);
        self.words.push(Word {
            text,
            at: place.apply(0.0, state.rise),
            size: state.font_size * place.growth(),
            drawing: self.drawing(),
        });
    }

    fn fonts(&self, resources: &'a Dictionary) -> BTreeMap<Vec<u8>, ToUnicode> {
        let Ok(fonts) = resources
            .get_deref(b"Font", self.document)
            .and_then(Object::as_dict)
        else {
            return BTreeMap::new();
        };
        fonts
            .iter()
            .filter_map(|(name, font)| {
                let font = self.document.dereference(font).ok()?.1.as_dict().ok()?;
                let map = font
                    .get_deref(b"ToUnicode", self.document)
                    .ok()?
                    .as_stream()
                    .ok()?;
                let bytes = map.get_plain_content().expect("the map can be unpacked");
                let composite =
                    font.get(b"Subtype").and_then(Object::as_name).ok() == Some(b"Type0");
                Some((name.clone(), ToUnicode::parse(&bytes, composite)))
            })
            .collect()
    }
}

fn components(operands: &[Object]) -> Vec<f64> {
    operands
        .iter()
        .filter_map(|operand| operand.as_float().ok())
        .map(f64::from)
        .collect()
}

impl Pen {
    fn build(&mut self, operator: &str, v: &[f64], ctm: Matrix) {
        let at = |x: f64, y: f64| -> Point { ctm.apply(x, y) };
        match operator {
            "m" => self.path.push(Segment::Move(at(v[0], v[1]))),
            "l" => self.path.push(Segment::Line(at(v[0], v[1]))),
            "c" => self.path.push(Segment::Curve(
                at(v[0], v[1]),
                at(v[2], v[3]),
                at(v[4], v[5]),
            )),
            "v" => {
                let here = at(self.at.0, self.at.1);
                self.path
                    .push(Segment::Curve(here, at(v[0], v[1]), at(v[2], v[3])));
            }
            "y" => {
                let end = at(v[2], v[3]);
                self.path.push(Segment::Curve(at(v[0], v[1]), end, end));
            }
            "re" => {
                let (x, y, w, h) = (v[0], v[1], v[2], v[3]);
                self.path.extend([
                    Segment::Move(at(x, y)),
                    Segment::Line(at(x + w, y)),
                    Segment::Line(at(x + w, y + h)),
                    Segment::Line(at(x, y + h)),
                    Segment::Close,
                ]);
            }
            _ => self.path.push(Segment::Close),
        }
        match v {
            [x, y, _, _] if operator == "re" => self.at = (*x, *y),
            [.., x, y] => self.at = (*x, *y),
            _ => {}
        }
    }

    fn set_line(&mut self, matrix: Matrix) {
        (self.text, self.line) = (matrix, matrix);
    }

    fn next_line(&mut self, x: f64, y: f64) {
        self.set_line(Matrix([1.0, 0.0, 0.0, 1.0, x, y]).then(self.line));
    }
}

/// A font's own table from codes to text (ISO 32000-1, 9.10.3).
struct ToUnicode {
    bytes_a_code: usize,
    text: BTreeMap<u32, String>,
}

impl ToUnicode {
    fn parse(bytes: &[u8], composite: bool) -> Self {
        let source = String::from_utf8_lossy(bytes)
            .replace('<', " <")
            .replace('>', "> ");
        let mut text = BTreeMap::new();
        let mut inside = "";
        let mut hex: Vec<&str> = vec![];
        for token in source.split_whitespace() {
            match token {
                "beginbfchar" => (inside, hex) = ("char", vec![]),
                "beginbfrange" => (inside, hex) = ("range", vec![]),
                "endbfchar" | "endbfrange" => inside = "",
                _ if inside.is_empty() => continue,
                token => hex.push(token.trim_matches(['<', '>'])),
            }
            match (inside, hex.as_slice()) {
                ("char", [code, to]) => {
                    text.insert(code_of(code), utf16(to));
                    hex.clear();
                }
                ("range", [first, last, to]) => {
                    assert!(!to.starts_with('['), "lists in ranges are not read");
                    for (step, code) in (0..).zip(code_of(first)..=code_of(last)) {
                        let start = char::from_u32(code_of(to) + step);
                        text.insert(code, start.expect("a character").to_string());
                    }
                    hex.clear();
                }
                _ => {}
            }
        }
        Self {
            bytes_a_code: if composite { 2 } else { 1 },
            text,
        }
    }

    fn read(&self, bytes: &[u8], into: &mut String) {
        for code in bytes.chunks(self.bytes_a_code) {
            let code = code.iter().fold(0, |sum, &byte| sum << 8 | u32::from(byte));
            into.push_str(self.text.get(&code).map_or("\u{fffd}", String::as_str));
        }
    }
}

fn code_of(hex: &str) -> u32 {
    u32::from_str_radix(hex, 16).expect("hexadecimal digits")
}

fn utf16(hex: &str) -> String {
    let units: Vec<u16> = hex
        .as_bytes()
        .chunks(4)
        .map(|four| {
            four.iter()
                .fold(0, |sum, &digit| sum << 4 | digit_value(digit))
        })
        .collect();
    String::from_utf16(&units).expect("text")
}

fn digit_value(digit: u8) -> u16 {
    let value = char::from(digit).to_digit(16).expect("a hexadecimal digit");
    u16::try_from(value).expect("below sixteen")
}
