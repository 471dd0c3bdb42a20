//! The file a builder starts from.

/// A small layout of our own, with comments: it is right as it stands.
pub const STARTER: &str = include_str!("starter.toml");
