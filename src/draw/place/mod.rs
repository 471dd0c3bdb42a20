//! Where things go: words beside what they name ([`labels`], placed by [`placer`]), lines beside a
//! line ([`offset`]), and what of a shape lies within a window ([`clip`]).

pub mod clip;
pub mod labels;
pub mod offset;
pub mod placer;

pub use labels::{Label, Placed};
pub use placer::Placer;
