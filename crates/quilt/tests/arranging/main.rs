//! Settings counted, named and looked at, against published tables and independent ways.
#![allow(clippy::unwrap_used, reason = "tests may stop at once")]

mod choosing;
mod counts;
mod seen;
mod symmetries;
