//! (Being laid out.)
