//! placeholder
pub mod draw;
pub mod export;
pub mod geom;
