//! Finished pictures and tables to bytes. Nothing is decided here: every place, word and colour
//! comes with the scene, every cell with the table. SVG and PDF share [`number`] and [`look`], so that they show the same picture.

pub mod csv;
pub mod discharge_deck;
pub mod json;
pub mod look;
mod margins_report;
pub mod markdown;
pub mod number;
pub mod pdf;
pub mod png;
pub mod sizing_report;
mod sizing_tables;
pub mod spice;
pub mod svg;

#[cfg(test)]
mod gallery;
#[cfg(test)]
mod tests;
