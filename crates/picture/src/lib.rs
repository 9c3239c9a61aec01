//! Every drawing of a quilt, as flat lists of inked shapes, cloth and labels.
//!
//! The functions here read a [`Plan`](::quilt::plan::Plan) and what was worked out from it
//! and return a [`Drawing`]; a writer turns that into a file. The tour:
//!
//! 1. [`Drawing`]: what a drawing is, in inches of the figure and points of the paper;
//! 2. [`quilt`](fn@quilt), [`quilt_lines`], [`quilt_numbered`], [`setting_chart`]: the whole top;
//! 3. [`block`](fn@block), [`block_letters`], [`block_exploded`], [`obstruction`],
//!    [`straightened`]: one block;
//! 4. [`step`](fn@step), [`top_step`]: the seams of a block, and from blocks to the top;
//! 5. [`template`](fn@template), spread over pages by [`tiles`](fn@tiles); [`swatch`],
//!    [`value_strip`], [`check_square`];
//!    [`foundation`](fn@foundation) is a page to sew on, [`section`] what comes of it;
//! 6. [`cloth_layout`]: how a cloth is cut;
//! 7. [`wall`](fn@wall), [`squares`]: settings to choose from, blocks to shuffle;
//! 8. [`Palette`] and [`svg`](fn@svg): the cloths in print, and the writer; [`View`]:
//!    value alone, half-shut eyes, coloured glass, other eyes.
//!
//! It decides nothing: what a drawing needs to know, a stage of `quilt` has worked out.
//! It reads and writes no files. Floats are at home here, for they only draw.

mod back;
mod bed;
mod block;
mod colour;
mod drawing;
mod flat;
mod foundation;
mod fractions;
mod handout;
mod layout;
mod letters;
mod palette;
mod patches;
mod placing;
mod prints;
mod quilt;
mod small;
mod step;
mod svg;
mod template;
mod tiles;
mod together;
mod view;
mod wall;

#[cfg(test)]
#[path = "../tests/kit/mod.rs"]
#[allow(
    dead_code,
    unreachable_pub,
    reason = "the looking example uses the rest"
)]
mod kit;
#[cfg(test)]
mod sweep;

pub use back::back;
pub use bed::over_bed;
pub use block::{
    block, block_exploded, block_exploded_as_sewn, block_letters, block_numbered, obstruction,
    straightened,
};
pub use colour::{Rgb, colour_of};
pub use drawing::{
    Anchor, Arrow, ClothShape, Dash, Dot, Drawing, Ink, Item, Label, Lay, Path, Room, SMALLEST,
    Shape, Stroke,
};
pub use foundation::{foundation, section};
pub use fractions::typeset;
pub use handout::{backing, block_lines, snug};
pub use layout::{cloth_layout, layout_key};
pub use palette::{ClothInk, Palette};
pub use prints::mean;
pub use quilt::{
    ShortName, block_marks, quilt, quilt_lines, quilt_numbered, setting_chart, short_names,
    thick_places, top_patches,
};
pub use small::{check_square, swatch, value_strip};
pub use step::{made, step, top_step};
pub use svg::{flat_colour, svg};
pub use template::{centred_template, template};
pub use tiles::{Tile, tiles};
pub use together::together;
pub use view::{View, group_grey};
pub use wall::{Hung, Manner, setting_small, squares, wall};
