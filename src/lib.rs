//! Underboard: from a layout file to a wiring book.

pub mod electrics;
pub mod geom;
pub mod units;
