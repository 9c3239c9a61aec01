//! Sets pages: template and data in, a laid-out document and PDF bytes or page pictures out.
//!
//! The only module that knows the typesetting library. Everything a template
//! reads (other templates, JSON, SVG) is handed over as one map of named files;
//! there is no disk, no network, no clock and no system font behind it.
//!
//! ```text
//!   files ──▶ typeset ──▶ TypesetDocument ──▶ pdf ──▶ bytes
//!               └──────────── Trouble ─────────┘
//! ```
//!
//! **Fonts.** Loaded once a process and kept: [`SANS`], [`SERIF`] and a
//! monospaced DejaVu. The layout memory is kept too, so a second booklet in the
//! same process takes a fraction of the first one's time.
//!
//! **What always holds.** The same files and the same [`Imprint`] give the same
//! bytes. The PDF is tagged and holds to PDF/UA-1 (a title, a language, a
//! description for every picture) or is not made at all.
//!
//! **Characters.** A maker may name her quilt in letters no face here has. Such
//! a letter is set as [`STAND_IN`], and [`TypesetDocument::warnings`] says so: a
//! PDF for every reader must not hold a glyph that is not there.
//!
//! **Trap.** The library keeps every file *name* it has ever seen for the life
//! of the process and stops at 65,535 of them. Name files by their role
//! (`picture-3.svg`), never by a number that grows from booklet to booklet.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::OnceLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic, Warned};
use typst::foundations::{
    Bytes, Content, Datetime, Duration, NativeElement, Smart, StyleChain, Value,
};
use typst::introspection::Introspector;
use typst::model::{Document, HeadingElem};
use typst::syntax::{DiagSpan, FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::{LazyHash, Scalar};
use typst::{Library, LibraryExt, World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use typst_render::RenderOptions;

/// The family of labels, tables and figures: has true fractions (`frac`) and
/// figures of one width (`tnum`), weights 100 to 900 and no italic.
pub(crate) const SANS: &str = "Inter V";

/// The family of titles and running text: has true fractions and tabular
/// figures too, in regular, semibold and bold, each with its italic.
#[cfg_attr(not(test), expect(dead_code, reason = "only templates name it so far"))]
pub(crate) const SERIF: &str = "Libertinus Serif";

/// What stands in for a character that no face has.
const STAND_IN: char = '\u{25a1}';

/// How many runs an unused piece of layout is remembered for. Enough that
/// a booklet set again after an edit finds its unchanged pages, small enough
/// that a long session does not grow without end.
const RUNS_REMEMBERED: usize = 10;

/// A day of the calendar, as printed in a document's properties.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Day {
    /// Year of the common era.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

/// What a PDF says of itself. Given from outside, so that the same plan gives
/// the same bytes on any day and any machine.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Imprint {
    /// Names the work the document belongs to. Two printings of one plan share
    /// it; it goes into the PDF hashed, never as it stands.
    pub ident: String,
    /// The day the document is dated; undated without one.
    pub day: Option<Day>,
}

/// One thing that kept a document from being made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fault {
    /// What is wrong, and what would put it right where that is known.
    pub message: String,
    /// The file it was found in, if it was found in one.
    pub file: Option<String>,
    /// The line in that file, counted from 1.
    pub line: Option<usize>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.file, self.line) {
            (Some(file), Some(line)) => write!(f, "{file}, line {line}: {}", self.message),
            (Some(file), None) => write!(f, "{file}: {}", self.message),
            _ => f.write_str(&self.message),
        }
    }
}

/// Why a document could not be made: every fault that was found, in order.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Trouble {
    /// At least one.
    pub faults: Vec<Fault>,
}

impl Trouble {
    fn of(message: impl Into<String>) -> Self {
        Self {
            faults: vec![Fault {
                message: message.into(),
                file: None,
                line: None,
            }],
        }
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the pages could not be set")?;
        self.faults
            .iter()
            .try_for_each(|fault| write!(f, "\n  {fault}"))
    }
}

impl std::error::Error for Trouble {}

/// Pages set in type, ready to be written out.
pub(crate) struct TypesetDocument {
    pages: PagedDocument,
    shelf: Shelf,
    /// What someone should look at, though the pages could be set: a character
    /// or a family there is no face for, a layout that does not settle.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "tests hold the booklet to none")
    )]
    pub(crate) warnings: Vec<Fault>,
}

/// A heading, and where it stands.
pub(crate) struct Head {
    /// The page, from 0.
    pub(crate) page: usize,
    /// 1 for a chapter's.
    pub(crate) level: usize,
    /// What the template marked it with (`supplement`).
    pub(crate) mark: String,
    /// What it says.
    pub(crate) text: String,
}

/// Sets the template `main`, which is one of `files`.
///
/// `files` maps the names that templates use (`"data.json"`, `"parts/a.svg"`)
/// to their bytes; names ending in `.typ` are templates.
///
/// # Errors
///
/// [`Trouble`] with every fault found: a file that is not there, bytes that are
/// not text or not JSON, a mistake in a template, or a check written into a
/// template (`assert`) that does not hold.
pub(crate) fn typeset(
    main: &str,
    files: BTreeMap<String, Vec<u8>>,
) -> Result<TypesetDocument, Trouble> {
    let mut files = files;
    let mut warnings = stand_in_for_missing(&mut files);
    let shelf = Shelf::stock(main, files)?;
    let Warned {
        output,
        warnings: doubts,
    } = typst::compile::<PagedDocument>(&shelf);
    typst::comemo::evict(RUNS_REMEMBERED);
    let pages = output.map_err(|faults| shelf.trouble(&faults))?;
    warnings.extend(doubts.iter().map(|doubt| shelf.fault(doubt)));
    Ok(TypesetDocument {
        pages,
        shelf,
        warnings,
    })
}

impl TypesetDocument {
    /// How many pages there are.
    pub(crate) fn page_count(&self) -> usize {
        self.pages.pages().len()
    }

    /// The headings, in order.
    pub(crate) fn heads(&self) -> Vec<Head> {
        let pages = self.pages.introspector();
        let headings = pages.query(&HeadingElem::ELEM.select());
        let text = |heading: &Content, field: &str| match heading.get_by_name(field) {
            Ok(Value::Content(content)) => content.plain_text().to_string(),
            Ok(Value::Str(text)) => text.to_string(),
            _ => String::new(),
        };
        let heads = headings.iter().filter_map(|heading| {
            Some(Head {
                page: pages.page(heading.location()?)?.get() - 1,
                level: heading
                    .to_packed::<HeadingElem>()?
                    .resolve_level(StyleChain::default())
                    .get(),
                mark: text(heading, "supplement"),
                text: text(heading, "body"),
            })
        });
        heads.collect()
    }

    /// A page, counted from 0, as a picture with so many pixels an inch.
    pub(crate) fn png(&self, page: usize, pixels: f64) -> Result<Option<Vec<u8>>, Trouble> {
        let Some(page) = self.pages.pages().get(page) else {
            return Ok(None);
        };
        let options = RenderOptions {
            pixel_per_pt: Scalar::new(pixels / 72.0),
            ..RenderOptions::default()
        };
        let picture = typst_render::render(page, &options);
        let bytes = picture.encode_png();
        bytes
            .map(Some)
            .map_err(|error| Trouble::of(error.to_string()))
    }

    /// The document as the bytes of a tagged PDF that holds to PDF/UA-1.
    ///
    /// # Errors
    ///
    /// [`Trouble`] if the template sets no document title, a picture has no
    /// description, headings skip a level, or `imprint.day` is no day.
    pub(crate) fn pdf(&self, imprint: &Imprint) -> Result<Vec<u8>, Trouble> {
        if self.pages.info().title.is_none() {
            return Err(Trouble::of("the template sets no document title"));
        }
        let timestamp = imprint.day.map(midnight).transpose()?;
        let standards = PdfStandards::new(&[PdfStandard::V_1_7, PdfStandard::Ua_1])
            .map_err(|refusal| Trouble::of(refusal.message().as_str()))?;
        let options = PdfOptions {
            ident: Smart::Custom(imprint.ident.clone()),
            creator: Smart::Custom(Some("Piecewright".into())),
            timestamp,
            standards,
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&self.pages, &options).map_err(|faults| self.shelf.trouble(&faults))
    }
}

/// The first moment of a day, as the library wants it.
fn midnight(Day { year, month, day }: Day) -> Result<Timestamp, Trouble> {
    let moment = Datetime::from_ymd_hms(year.into(), month, day, 0, 0, 0);
    moment.map(Timestamp::new_utc).ok_or_else(|| {
        Trouble::of(format!(
            "the booklet is dated {year}-{month}-{day}, which is no day"
        ))
    })
}

/// Puts [`STAND_IN`] for every character of data and drawings that no face has,
/// and says which they were.
///
/// Works on the files as text: both JSON and SVG are written in characters that
/// every face has, so what is replaced is always a maker's own word.
fn stand_in_for_missing(files: &mut BTreeMap<String, Vec<u8>>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (name, bytes) in files {
        let Ok(text) = std::str::from_utf8(bytes) else {
            continue;
        };
        let data = name.ends_with(".json") || name.ends_with(".svg");
        let missing: BTreeSet<char> = text.chars().filter(|&c| data && !can_be_set(c)).collect();
        if missing.is_empty() {
            continue;
        }
        let list: Vec<String> = missing
            .iter()
            .map(|&c| format!("{c} (U+{:04X})", u32::from(c)))
            .collect();
        let message = format!(
            "no typeface here has {}; {STAND_IN} is printed instead",
            list.join(", ")
        );
        faults.push(Fault {
            message,
            file: Some(name.clone()),
            line: None,
        });
        *bytes = text
            .replace(|c| missing.contains(&c), &STAND_IN.to_string())
            .into_bytes();
    }
    faults
}

/// Whether a character has a glyph in some face, or needs none.
fn can_be_set(c: char) -> bool {
    // Line ends, soft hyphen, joiners, direction marks, variation selectors.
    let unseen = c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}');
    unseen
        || type_case()
            .fonts
            .iter()
            .any(|font| font.info().coverage.contains(u32::from(c)))
}

/// The files of one document, and the library's window on them.
struct Shelf {
    main: FileId,
    templates: BTreeMap<String, Source>,
    files: BTreeMap<String, Bytes>,
}

impl Shelf {
    fn stock(main: &str, files: BTreeMap<String, Vec<u8>>) -> Result<Self, Trouble> {
        let mut templates = BTreeMap::new();
        for (name, bytes) in &files {
            if !name.ends_with(".typ") {
                continue;
            }
            let text = std::str::from_utf8(bytes)
                .map_err(|_| Trouble::of(format!("the template {name} is not UTF-8 text")))?;
            templates.insert(name.clone(), Source::new(name_id(name)?, text.to_owned()));
        }
        let files = files
            .into_iter()
            .map(|(name, bytes)| (name, Bytes::new(bytes)))
            .collect();
        Ok(Self {
            main: name_id(main)?,
            templates,
            files,
        })
    }

    fn trouble(&self, faults: &[SourceDiagnostic]) -> Trouble {
        Trouble {
            faults: faults.iter().map(|fault| self.fault(fault)).collect(),
        }
    }

    fn fault(&self, found: &SourceDiagnostic) -> Fault {
        let mut message = found.message.to_string();
        for hint in &found.hints {
            message.push_str("; ");
            message.push_str(&hint.v);
        }
        // A mistake inside a shared template is mostly made by the one who uses
        // it: say where it was called from.
        let place = self.place(found.span);
        for point in &found.trace {
            if let (Some(file), Some(line)) = self.place(DiagSpan::from(point.span)) {
                message.push_str(&format!("; used in {file}, line {line}"));
            }
        }
        Fault {
            message,
            file: place.0,
            line: place.1,
        }
    }

    fn place(&self, span: DiagSpan) -> (Option<String>, Option<usize>) {
        let Some(id) = span.id() else {
            return (None, None);
        };
        let name = id.get().vpath().get_without_slash();
        let line = self.range(span).and_then(|range| {
            let before = self.files.get(name)?.get(..range.start)?;
            Some(1 + before.iter().filter(|&&byte| byte == b'\n').count())
        });
        (Some(name.to_owned()), line)
    }
}

/// The library's key for a file name.
fn name_id(name: &str) -> Result<FileId, Trouble> {
    let path = VirtualPath::new(name)
        .map_err(|fault| Trouble::of(format!("\"{name}\" is no file name: {fault}")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

/// The name of a file on the shelf, or why there is none.
fn shelf_name(id: FileId) -> FileResult<&'static str> {
    match id.get().root() {
        VirtualRoot::Project => Ok(id.get().vpath().get_without_slash()),
        VirtualRoot::Package(_) => Err(FileError::Other(Some(
            "templates here use no packages".into(),
        ))),
    }
}

impl World for Shelf {
    fn library(&self) -> &LazyHash<Library> {
        static LIBRARY: OnceLock<LazyHash<Library>> = OnceLock::new();
        LIBRARY.get_or_init(|| LazyHash::new(Library::default()))
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &type_case().book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let name = shelf_name(id)?;
        self.templates
            .get(name)
            .cloned()
            .ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = shelf_name(id)?;
        self.files
            .get(name)
            .cloned()
            .ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        type_case().fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        // A page that knows what day it is would print differently tomorrow.
        None
    }
}

/// Every face there is to set with.
struct TypeCase {
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

fn type_case() -> &'static TypeCase {
    static CASE: OnceLock<TypeCase> = OnceLock::new();
    CASE.get_or_init(|| {
        let fonts: Vec<Font> = std::iter::once(ttf_inter::REGULAR)
            .chain(typst_assets::fonts())
            .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
            .collect();
        TypeCase {
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const IMPRINT: fn() -> Imprint = || Imprint {
        ident: "test".into(),
        day: Some(Day {
            year: 2026,
            month: 3,
            day: 14,
        }),
    };

    fn files(list: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
        list.iter()
            .map(|&(name, text)| (name.into(), text.as_bytes().to_vec()))
            .collect()
    }

    fn trouble(list: &[(&str, &str)]) -> String {
        match typeset("main.typ", files(list)).and_then(|set| set.pdf(&IMPRINT())) {
            Ok(_) => "no trouble".into(),
            Err(trouble) => trouble.to_string(),
        }
    }

    /// What is tried, the files, and what is said about them.
    type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a [&'a str]);

    const TITLE: &str = "#set document(title: \"T\")\n";
    const SQUARE: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"
        viewBox="0 0 1 1"><path d="M0 0h1v1z"/></svg>"#;

    #[test]
    fn trouble_names_the_file_and_the_line() {
        let cases: [Case; 8] = [
            (
                "a clean page",
                &[("main.typ", "#set document(title: \"T\")\nHello")],
                &["no trouble"],
            ),
            (
                "unknown word",
                &[("main.typ", "one\n\n#nosuch")],
                &["main.typ, line 3", "nosuch"],
            ),
            (
                "missing data",
                &[("main.typ", "#json(\"data.json\")")],
                &["main.typ, line 1", "data.json"],
            ),
            (
                "broken data",
                &[
                    ("main.typ", "#json(\"data.json\")"),
                    ("data.json", "{\n\"a\": 1,\n}"),
                ],
                &["data.json, line 3"],
            ),
            (
                "a check in a shared template",
                &[
                    ("main.typ", "\n#import \"base.typ\": f\n#f(9)"),
                    (
                        "base.typ",
                        "#let f(n) = assert(n < 8, message: \"9 in is wider than 8 in\")",
                    ),
                ],
                &[
                    "base.typ, line 1",
                    "9 in is wider than 8 in",
                    "used in main.typ, line 3",
                ],
            ),
            ("no title", &[("main.typ", "Hello")], &["no document title"]),
            (
                "a picture with no description",
                &[
                    ("main.typ", &format!("{TITLE}#image(\"a.svg\", width: 1in)")),
                    ("a.svg", SQUARE),
                ],
                &["main.typ, line 2", "alt"],
            ),
            (
                "a package",
                &[("main.typ", "#import \"@preview/x:0.1.0\": y")],
                &["main.typ, line 1", "no packages"],
            ),
        ];
        for (why, list, wanted) in cases {
            let said = trouble(list);
            for piece in wanted {
                assert!(said.contains(piece), "{why}: wanted {piece:?} in:\n{said}");
            }
        }
    }

    #[test]
    fn main_must_be_on_the_shelf_and_the_day_a_day() {
        assert!(trouble(&[]).contains("main.typ"));
        let set = typeset("main.typ", files(&[("main.typ", TITLE)])).unwrap();
        let day = Day {
            year: 2026,
            month: 2,
            day: 30,
        };
        let refused = set
            .pdf(&Imprint {
                day: Some(day),
                ..IMPRINT()
            })
            .unwrap_err()
            .to_string();
        assert!(refused.contains("2026-2-30"), "{refused}");
    }

    #[test]
    fn the_named_families_are_in_the_case() {
        let book = &type_case().book;
        let families: Vec<&str> = book.families().map(|(name, _)| name).collect();
        for family in [SANS, SERIF, "DejaVu Sans Mono"] {
            assert!(
                book.contains_family(&family.to_lowercase()),
                "{family} not in {families:?}"
            );
        }
    }

    #[test]
    fn letters_without_a_face_are_stood_in_for() {
        let main = format!("{TITLE}#json(\"data.json\").name");
        let list = [
            ("main.typ", main.as_str()),
            ("data.json", "{\"name\": \"Łąka 雪 ★ 🧵 4″\"}"),
        ];
        let set = typeset("main.typ", files(&list)).unwrap();
        set.pdf(&IMPRINT()).unwrap();
        let [warning] = set.warnings.as_slice() else {
            panic!("one warning: {:?}", set.warnings)
        };
        assert_eq!(warning.file.as_deref(), Some("data.json"));
        for (c, missing) in [
            ('雪', true),
            ('🧵', true),
            ('Ł', false),
            ('″', false),
            ('★', false),
        ] {
            assert_eq!(
                warning.message.contains(c),
                missing,
                "{c} in {}",
                warning.message
            );
        }
    }

    #[test]
    fn an_unknown_family_is_a_warning() {
        let text = format!("{TITLE}#set text(font: \"No Such\")\nHi");
        let set = typeset("main.typ", files(&[("main.typ", &text)])).unwrap();
        assert_eq!(set.page_count(), 1);
        assert_eq!(set.warnings.len(), 1);
        assert_eq!(set.warnings[0].line, Some(2));
    }
}
