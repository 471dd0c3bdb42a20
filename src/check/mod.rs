//! Findings: what a look at the finished design shows.
//!
//! Every rule is one file in `rules/` and one line of [`RULES`]. A rule sees the whole design
//! through a [`View`] and edits nothing. What the earlier stages reported while they worked (a
//! reversing section that is too short, a control that does not fit, a wire too thin) is not repeated here.

mod currents;
mod manual;
mod presses;
mod rules;
mod view;
mod words;

#[cfg(test)]
mod messages;
#[cfg(test)]
mod tests;

pub use manual::manual;
pub use view::View;

use crate::diag::{self, Diagnostic};

/// One rule. The texts are for the builder; `docs/checks.md` is made of them.
pub struct Rule {
    /// Stable, in words of the trade.
    pub code: &'static str,
    /// What is found.
    pub title: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// How to mend it.
    pub mend: &'static str,
    pub check: fn(&View) -> Vec<Diagnostic>,
}

/// All rules, in the order in which a builder should mend what they find.
pub const RULES: &[Rule] = &[
    rules::turnout_without_control::RULE,
    rules::control_without_turnout::RULE,
    rules::rail_short::RULE,
    rules::rail_wrong_feed::RULE,
    rules::frog_wrong_feed::RULE,
    rules::frog_without_feed::RULE,
    rules::polarity_breaks::RULE,
    rules::dead_rail::RULE,
    rules::not_examined::RULE,
    rules::contact_used_twice::RULE,
    rules::contact_timing::RULE,
    rules::sides_joined::RULE,
    rules::route_sneak::RULE,
    rules::route_dead::RULE,
    rules::accessory_supply_on_track::RULE,
    rules::overloaded::RULE,
    rules::wire_overloaded::RULE,
    rules::fuse_above_wire::RULE,
    rules::capacitor_over_rating::RULE,
    rules::drive_on_member::RULE,
    rules::pin_left_open::RULE,
    rules::net_with_one_pin::RULE,
    rules::terminal_overfilled::RULE,
    rules::wiring_differs::RULE,
    rules::colours_clash::RULE,
    rules::name_like_a_part::RULE,
];

/// Runs every rule; findings in the order of the layout file.
pub fn check(view: &View) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = RULES.iter().flat_map(|rule| (rule.check)(view)).collect();
    diag::sort(&mut found);
    found
}
