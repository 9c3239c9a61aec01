//! How much room a page leaves, by its paper.
//!
//! **Units.** Inches. The margins are those of `pages/base.typ`; a drawing that
//! does not fit them is refused there, so a slip between the two is no secret.

use quilt::plan::Paper;

/// Paper, and what its margins leave.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Room {
    /// The name the page templates know the paper by.
    pub(crate) paper: &'static str,
    /// Width of the paper.
    pub(crate) paper_width: f64,
    /// Height of the paper.
    pub(crate) paper_height: f64,
    /// Width between the margins of a page of text.
    pub(crate) width: f64,
    /// Height between them.
    pub(crate) height: f64,
}

/// Left and right margin of a page of text.
const SIDE: f64 = 0.95;
/// Top and bottom margin together.
const ENDS: f64 = 1.85;

impl Room {
    /// The room on this paper.
    pub(crate) fn of(paper: Paper) -> Self {
        let (name, paper_width, paper_height) = match paper {
            Paper::Letter => ("letter", 8.5, 11.0),
            Paper::A4 => ("a4", 210.0 / 25.4, 297.0 / 25.4),
        };
        Self {
            paper: name,
            paper_width,
            paper_height,
            width: paper_width - 2.0 * SIDE,
            height: paper_height - ENDS,
        }
    }
}
