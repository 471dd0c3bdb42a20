//! placeholder
pub mod units;
pub mod geom;
pub mod source;
pub mod diag;
pub mod parse;
pub mod track;
pub mod electrics;
pub mod drives;
pub mod circuit;
pub mod hardware;
pub mod draw;
pub mod export;
