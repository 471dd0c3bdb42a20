//! Where things go: words beside what they name ([`labels`]), and the lines beside a line
//! ([`offset`]).

pub mod labels;
pub mod offset;

pub use labels::{Label, Placed, Placer};
