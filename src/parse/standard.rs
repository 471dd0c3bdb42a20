//! The turnout that stands in for what the file does not say of one: how long it is and how its roads
//! part. Compositions are measured by it, drives stand and sheets are drawn by it, so that all agree
//! (common practice, no source).

/// From toe to heel, in gauges.
pub const LENGTH: f64 = 10.0;
/// Between its roads, in degrees.
pub const ANGLE: f64 = 12.0;
/// From the toe to the tie bar, in lengths: one gauge. The diverging road begins to bend here.
pub const TIE_BAR: f64 = 0.1;
/// From the toe to where it has bent enough and goes on straight, in lengths.
pub const ARC_END: f64 = 0.6;
/// From the middle of a slip to the tips of its blades and its tie bars, in gauges (a slip of 1 in 6
/// is some nine gauges long).
pub const SLIP_BLADES: f64 = 3.0;
