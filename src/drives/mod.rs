//! What moves the blades: which drive can be worked by which control, in which circuit pattern,
//! from which supply, and with what sort of contact for the frog.
//!
//! ```text
//! Document ─ pairing ─ plan ─ runs (lengths) ─ sizing ─ Plan, Sizing
//! ```

mod changeovers;
mod outline;
mod pairing;
mod plan;
mod routes;
mod runs;
pub mod servo;
pub mod sizing;
pub mod slow_motion;
pub mod solenoid;

pub use changeovers::{Changeover, ChangeoverId, Decider, Feeds, Selector, SelectorId, SelectorKind};
pub use outline::{DRIVE_SIZE, drive_outline, fouled_member, members, overlap, tie_bar};
pub use pairing::{Pairing, Refusal, pair};
pub use plan::{BarPlan, Plan, SupplyPlan, UsePlan, fed, plan};
pub use routes::{Line, Matrix, RoutePlan};
pub use runs::{BOARD_LINK, DROPPER, Runs, SLACK, SUPPLY_LEAD, StripPlace, WITHIN_PANEL};
pub use sizing::{Figure, Sizing, WireClass};

/// Channels of one servo controller (common practice, no source).
pub const SERVO_CHANNELS: usize = 8;
