//! Exact numbers and plane shapes.
//!
//! The tour, in the order things build on one another:
//!
//! 1. [`Surd`]: numbers a + b√2 + c√3 + d√6, exact, so that "on the line" and "the same shape" need
//!    no tolerance;
//! 2. [`Point`], [`Segment`], [`Motion`]: the plane (x right, y down), what segments have in common,
//!    turns by multiples of 15°;
//! 3. [`Polygon`]: simple polygons, their area and what lies inside;
//! 4. [`Arrangement`]: a polygon divided into faces by segments, or put together from tiles, with
//!    everything reported that keeps it from working;
//! 5. [`shape_keys`], [`fit`]: which polygons are the same shape, mirrored or not, and how to lay one
//!    on the other;
//! 6. [`offset_outline`], [`trim_ears`]: outlines moved outwards, in floating point, for drawing and
//!    measuring only.
//!
//! It reads and writes nothing, knows no files, and has no opinion on what shapes are for.

mod arrangement;
mod congruence;
mod motion;
mod offset;
mod plane;
mod polygon;
mod surd;

pub use arrangement::{Arrangement, Edge, Face, Fault};
pub use congruence::{ShapeKey, ShapeKeys, all_fits, fit, is_achiral, shape_keys};
pub use motion::Motion;
pub use offset::{area, corner_reach, edge_reach, offset_outline, trim_corner, trim_ears};
pub use plane::{Meet, Point, Segment, turn_of};
pub use polygon::{Place, Polygon, PolygonFault};
pub use surd::Surd;
