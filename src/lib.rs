//! Underboard: from a layout file to a wiring book.

pub mod diag;
pub mod geom;
pub mod parse;
pub mod source;
pub mod units;
