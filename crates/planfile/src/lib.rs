//! Plans as files: reading them, telling what is wrong with them, writing them.
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
pub use disk::{LoadFault, load, save_whole};
pub use number::{NumberFault, Quantity, Unit, number, quantity};
pub use read::read;
pub use trouble::{Trouble, render};
pub use write::{write, write_change};

/// A complete small plan with a remark on every field, to begin from.
#[must_use]
pub fn starter() -> &'static str {
    include_str!("starter.toml")
}
