//! The printed booklet: pages set in type, pictures at their true size.
//!
//! Everything a maker holds in her hands at the cutting table comes from here
//! as a PDF. The pages are written as templates (in `src/pages`), filled with
//! data as JSON and with drawings as SVG, and set by one small module that
//! hides the typesetting library.
//!
//! - [`pdf`] sets the whole booklet of a plan; [`Booklet`] the parts a maker wants
//!   ([`Parts`]), to look through as pictures before they are printed.
//! - [`cautions`] says what to take care of, for the booklet and the report.
//! - [`check_sheet()`] sets one page that shows whether a printer prints true.
//! - [`Imprint`] is what a PDF says of itself: whose, when, which.
//! - [`Trouble`] is what went wrong, with the file and line in the template.
//!
//! **Units.** Inches and strings already written for the ruler ("4 7/8");
//! this crate rounds nothing.
//!
//! **Knows nothing of** how anything is worked out, and draws nothing itself: results
//! come from `quilt`, drawings from `picture`.
//!
//! **Invariants.** The same data gives the same bytes. Every PDF is tagged and
//! holds to PDF/UA-1, so a picture without a description is an error here.

mod cautions;
mod chapters;
mod check_sheet;
mod compose;
mod engine;
mod gallery;
mod lengths;
mod pages;
mod parts;
mod room;
mod shelves;
mod words;

pub use cautions::cautions;
pub use check_sheet::check_sheet;
pub use compose::{Booklet, Leaf, pdf};
pub use engine::{Day, Fault, Imprint, Trouble};
pub use parts::{Part, Parts};
