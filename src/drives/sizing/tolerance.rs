//! How far supplies stray from their plates.

/// A regulated supply, by its tolerance (from memory).
pub(super) const REGULATED_LOW: f64 = 0.97;
/// A winding under load with the mains low (from memory); a bank is charged no higher than from one.
pub(super) const WINDING_LOW: f64 = 0.9;
/// Mains tolerance (from memory), on top of the rise without load.
pub(super) const MAINS_HIGH: f64 = 1.1;
/// Rise without load where the builder did not measure it: small windings 10 to 25 % (from memory), and
/// DC.
pub(super) const UNLOADED_AC: f64 = 1.25;
pub(super) const UNLOADED_DC: f64 = 1.1;
