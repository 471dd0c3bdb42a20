//! The sheets of the wiring book, one file per kind.

pub mod track_plan;
pub mod underside;
