//! The top as it will look: every patch shows the very part of its cloth that the cutting
//! plan cuts it from.
//!
//! ```text
//!   results ─▶ where each patch lies on its cloth ─▶ pixels
//!                `placing`, `fitting`                `paint`, `swatch`
//! ```
//!
//! **Frame.** The top's corner is the picture's; x right, y down. Light from edge pixels
//! is shared by area, so that neighbouring patches meet without a gap.

mod fitting;
mod paint;
mod placing;
mod swatch;

pub use fitting::Lay;
pub use paint::{Painted, paint, png};
pub use placing::{From, Shown, shown};
pub use swatch::Swatch;
