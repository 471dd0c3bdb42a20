//! The electrical formulas: pure functions from quantities to quantities.
//!
//! Each function states its formula and where it comes from. Tables read in a standard or in a copy
//! of one say so; tables recalled from memory say that too, so that a book can pass the doubt on.
//! Nothing here knows a turnout, a file or a sheet.

pub mod bank;
pub mod charging;
pub mod conductor;
pub mod discharge;
pub mod drop;
pub mod fuse;
pub mod led;
pub mod matrix;
pub mod motor;
pub mod preferred;
pub mod rail;
pub mod rectifier;
pub mod resettable;
pub mod servo;
pub mod supply;
pub mod transient;
