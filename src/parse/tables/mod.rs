//! One file for each table of the layout file, or for a few small ones that belong together.

pub mod control;
pub mod drive;
pub mod layout;
pub mod route;
pub mod section;
pub mod site;
pub mod stock;
pub mod supply;
pub mod track;
pub mod turnout;
