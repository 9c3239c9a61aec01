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

pub use beds::{bed, bed_names, bed_source};
pub use disk::{LoadFault, load, save_whole};
pub use number::{NumberFault, Quantity, Unit, number, quantity};
pub use read::read;
pub use trouble::{Trouble, render};
