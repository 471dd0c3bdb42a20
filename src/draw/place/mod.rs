//! Where things go: words beside what they name ([`labels`]), lines beside a line ([`offset`]),
//! and what of a shape lies within a window ([`clip`]).

pub mod clip;
pub mod labels;
pub mod offset;

pub use labels::{Label, Placed, Placer};
