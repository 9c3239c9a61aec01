//! Units made in several ways: sizes, folding and cutting, counts, wishes.
#![allow(
    clippy::unwrap_used,
    dead_code,
    unreachable_pub,
    reason = "everything here is a test or helps one"
)]

mod bench;
mod folding;
#[path = "../support/plans.rs"]
mod plans;
#[path = "../support/mod.rs"]
mod support;
mod tables;
mod whole;
