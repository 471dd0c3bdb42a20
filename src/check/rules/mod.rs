//! One rule, one file: what it finds, why that matters, a bad and a good example, the finder.
//! Rules do not know of one another.

pub mod accessory_supply_on_track;
pub mod capacitor_over_rating;
pub mod colours_clash;
pub mod contact_timing;
pub mod contact_used_twice;
pub mod control_without_turnout;
pub mod dead_rail;
pub mod drive_on_member;
pub mod frog_without_feed;
pub mod frog_wrong_feed;
pub mod fuse_above_wire;
pub mod name_like_a_part;
pub mod net_with_one_pin;
pub mod not_examined;
pub mod overloaded;
pub mod pin_left_open;
pub mod polarity_breaks;
pub mod rail_short;
pub mod rail_wrong_feed;
pub mod route_dead;
pub mod route_sneak;
pub mod sides_joined;
pub mod terminal_overfilled;
pub mod turnout_without_control;
pub mod wire_overloaded;
pub mod wiring_differs;
