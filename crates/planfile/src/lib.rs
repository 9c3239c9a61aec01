//! Plans as files: the only promise of compatibility.
//!
//! A plan file is one text that a maker can read and write without this program; its
//! format is described in `docs/plan-format.md`. In the order of a day's work:
//!
//! 1. [`starter`] is a first plan to begin from.
//! 2. [`read`] turns the text of a file into a [`Plan`](quilt::plan::Plan), or tells
//!    everything that is wrong with it as [`Trouble`]s; [`render`] shows those in the
//!    text.
//! 3. [`write_change`] carries a change of plan back into the maker's own text and
//!    leaves their remarks alone; [`write()`] makes a fresh file.
//! 4. [`load`] and [`save_whole`] are the only functions here that touch the disk.
//!
//! [`quantity`] reads one number as makers write them, [`bed`] knows the standard
//! mattresses; both are of use wherever a maker types.
//!
//! **Units.** A file is in inches or centimetres, a plan in exact inches.
//!
//! **What always holds.** No text brings the reader down or keeps it long: sizes, counts,
//! depths and digits are capped. A plan that is given back makes sense (every reference
//! points at something, nothing is of no or negative size); whether it can be built is
//! not asked here. Reading what was written gives the same plan.
//!
mod beds;
mod defaults;
mod desk;
mod disk;
mod near;
mod number;
mod read;
mod syntax;
mod trouble;
mod write;

pub use beds::{bed, bed_names, bed_source};
pub use disk::{LoadFault, load, save_new, save_whole};
pub use number::{NumberFault, Quantity, Unit, number, quantity};
pub use read::read;
pub use trouble::{Trouble, render};
pub use write::{write, write_change};

/// A complete small plan with a remark on every field, to begin from.
#[must_use]
pub fn starter() -> &'static str {
    include_str!("starter.toml")
}
