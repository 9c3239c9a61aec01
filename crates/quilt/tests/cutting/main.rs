//! Cutting, tested through the real stages.
#![allow(
    clippy::unwrap_used,
    dead_code,
    unreachable_pub,
    reason = "everything here is a test or helps one"
)]

mod at_table;
mod checks;
mod folding;
mod motifs;
mod optimum;
mod plainer;
mod plans;
mod properties;
mod quilts;
mod shapes;
mod steps;
mod supplies;
mod tables;
