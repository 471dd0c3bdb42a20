//! From placed things to finished pictures. [`scene`] holds the result, [`text`] knows how wide
//! words are, [`page`] frames a sheet, [`symbols`] has one file per symbol, and [`overlap`] proves
//! that a sheet can be read.

pub mod ink;
pub mod overlap;
pub mod page;
pub mod place;
pub mod scene;
pub mod sheets;
pub mod symbols;
pub mod text;

/// The module of IEC 60617 symbols in millimetres: pins and wires lie on multiples of it.
pub const M: f64 = 2.5;

/// Line widths of ISO 128 in millimetres.
pub mod line {
    /// Symbols, table rules, leaders.
    pub const THIN: f64 = 0.25;
    /// Wires.
    pub const WIRE: f64 = 0.35;
    /// Buses, rails, the frame of the page.
    pub const HEAVY: f64 = 0.7;
}

/// `v` rounded down to the module.
pub fn floor_to_module(v: f64) -> f64 {
    (v / M + 1e-9).floor() * M
}
