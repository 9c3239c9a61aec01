//! Cloth from photographs.
//!
//! 1. A [`Photo`] is [`read`] from the bytes of a picture file, whatever the file claims
//!    about itself.
//! 2. [`measure`] tells how light the cloth in it is, its colours, how large its print is
//!    and how it repeats, and which way up it may lie.
//!
//! **Frame.** Pixels: x right, y down, (0, 0) the upper left corner of the picture as it
//! is looked at, after the camera's own turn. Cloth is taken to be photographed with its
//! selvages left and right, as it lies on the cutting table.
//!
//! **Knows nothing of** plans and files on disk: bytes come in, figures go out. The same
//! bytes give the same figures on every machine; nothing here is drawn by lot.

mod area;
pub mod cut_true;
mod direction;
mod fourier;
mod keeping;
mod kind;
mod lattice;
mod likeness;
mod measure;
mod planes;
mod reading;
mod scale;
mod shades;
mod spectrum;
mod straight;
mod texture;

pub use area::{Crop, Rect, squared};
pub use keeping::{KeepFault, Kept, LONGEST_KEPT, MOST_KEPT, keep, packed};
pub use measure::{Asked, Card, Lightness, MeasureFault, Measured, Spacing, Step, measure, swatch};
pub use reading::{LARGEST_FILE, MOST_PIXELS, Photo, ReadFault, read, size};
pub use scale::{Scale, ScaleFault};
pub use shades::Shade;
pub use straight::Rows;
