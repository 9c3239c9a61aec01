//! Cutting, tested through the real stages.
#![allow(dead_code, unreachable_pub, reason = "helpers of one test binary")]

mod checks;
mod plans;
mod properties;
mod shapes;
mod steps;
mod tables;
