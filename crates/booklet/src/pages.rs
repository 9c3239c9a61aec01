//! The templates that pages are made from, and what they hold to.
//!
//! `base.typ` carries the look and the helpers every page shares; each other
//! template is one kind of page. They compute nothing: a number arrives as it
//! is to be printed.
//!
//! **What always holds.** A drawing is set at the width and height it was given,
//! or the page is refused: the typesetting library alone would shrink one that
//! has no width, and let one that has a width run off the page.

/// The name templates import the shared look by, and its text.
pub(crate) const BASE: (&str, &str) = ("base.typ", include_str!("pages/base.typ"));

/// The page that shows whether a printer prints true.
pub(crate) const CHECK_SHEET: (&str, &str) =
    ("check-sheet.typ", include_str!("pages/check-sheet.typ"));

/// The template the booklet begins with.
pub(crate) const MAIN: &str = "booklet.typ";

/// Every template of the booklet, by the name others import it by.
pub(crate) const BOOKLET: [(&str, &str); 12] = [
    BASE,
    (MAIN, include_str!("pages/booklet.typ")),
    ("cover.typ", include_str!("pages/cover.typ")),
    ("cloths.typ", include_str!("pages/cloths.typ")),
    ("cutting.typ", include_str!("pages/cutting.typ")),
    ("blocks.typ", include_str!("pages/blocks.typ")),
    ("sewing.typ", include_str!("pages/sewing.typ")),
    ("setting.typ", include_str!("pages/setting.typ")),
    ("turns.typ", include_str!("pages/turns.typ")),
    ("finishing.typ", include_str!("pages/finishing.typ")),
    ("colouring.typ", include_str!("pages/colouring.typ")),
    ("templates.typ", include_str!("pages/templates.typ")),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::BASE;
    use crate::engine::typeset;

    /// Sets `body` on Letter paper with the shared look; what went wrong, if
    /// anything did.
    fn said(body: &str) -> String {
        let main = format!(
            "#import \"base.typ\": *\n#show: booklet.with((title: \"T\", lang: \"en\", paper: \"letter\"))\n{body}"
        );
        let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="7in" height="1in"
            viewBox="0 0 7 1"><path d="M0 0h7v1z"/></svg>"#;
        let files = BTreeMap::from([
            (BASE.0.to_owned(), BASE.1.as_bytes().to_vec()),
            ("main.typ".to_owned(), main.into_bytes()),
            ("a.svg".to_owned(), svg.as_bytes().to_vec()),
        ]);
        match typeset("main.typ", files) {
            Ok(set) if set.warnings.is_empty() => String::new(),
            Ok(set) => format!("warnings: {:?}", set.warnings),
            Err(trouble) => trouble.to_string(),
        }
    }

    #[test]
    fn a_drawing_fits_or_is_refused() {
        // Letter less two margins of 0.95 in leaves 6.6 in.
        for (size, wanted) in [
            ("width: 6.6in, height: 1in, alt: \"A\"", ""),
            (
                "width: 6.61in, height: 1in, alt: \"A\"",
                "is 6.61 in wide, and the page holds 6.6 in",
            ),
            (
                "width: 1in, height: 10in, alt: \"A\"",
                "is 10 in high, and the page holds 9.15 in",
            ),
            (
                "height: 1in, alt: \"A\"",
                "needs a width and a height in inches",
            ),
            (
                "width: 100%, height: 1in, alt: \"A\"",
                "needs a width and a height in inches",
            ),
            ("width: 1in, height: 1in", "needs a description in words"),
        ] {
            let said = said(&format!("#drawing(\"a.svg\", {size})"));
            assert!(
                said.contains(wanted) && said.is_empty() == wanted.is_empty(),
                "{size}: {said}"
            );
        }
    }

    #[test]
    fn a_ruler_reading_is_whole_or_fraction_or_both() {
        for (reading, good) in [
            ("4", true),
            ("7/8", true),
            ("4 7/8", true),
            ("12 15/16", true),
            ("4.875", false),
            ("4-7/8", false),
            ("4 7/8 ", false),
            ("", false),
        ] {
            let said = said(&format!("#inches(\"{reading}\")"));
            assert_eq!(said.is_empty(), good, "{reading:?}: {said}");
            assert!(good || said.contains("is not a ruler reading"), "{said}");
        }
    }
}
