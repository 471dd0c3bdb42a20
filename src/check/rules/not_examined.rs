//! So much hangs together that not all positions were looked at.
//!
//! Bad: thirty live frogs joined rail to rail without a joint between them.
//!
//! Good: joints that make each frog an island of its own; they are set wherever a frog's rails
//! leave its turnout.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::drives::Decider;

/// Names written out in full.
const SHOWN: usize = 6;

pub const RULE: Rule = Rule {
    code: "not-examined",
    title: "Of rails that hang on very many turnouts not every position was looked at.",
    why: "Every turnout doubles the number of settings; past a limit a good many are drawn by lot and looked at \
          instead of all. A mistake that needs a rare setting to show may have been missed.",
    mend: "Cut the rails between some of these turnouts if you want all their settings looked at.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let sampled = view.proof.sampled.iter();
    sampled
        .map(|group| {
            let message = format!(
                "{} hang together ({}): {} of their settings, drawn by lot, were looked at, not all",
                counted(&group.deciders),
                names(view, &group.deciders),
                group.settings
            );
            let diagnostic = Diagnostic::note(RULE.code, message)
                .help("cut the rails between some of these turnouts, or leave it at that");
            match group.deciders.iter().find_map(|d| view.decider_span(*d)) {
                Some(span) => diagnostic.label(span, "one of them"),
                None => diagnostic,
            }
        })
        .collect()
}

/// "21 tie bars", "20 tie bars and 2 switches or modules"
fn counted(deciders: &[Decider]) -> String {
    let bars = deciders.iter().filter(|d| matches!(d, Decider::Bar(_))).count();
    match deciders.len() - bars {
        0 => format!("{bars} tie bars"),
        1 => format!("{bars} tie bars and a switch or module"),
        others => format!("{bars} tie bars and {others} switches or modules"),
    }
}

fn names(view: &View, deciders: &[Decider]) -> String {
    let mut names: Vec<String> = deciders.iter().take(SHOWN).map(|d| view.decider(*d)).collect();
    if deciders.len() > SHOWN {
        names.push(format!("{} more", deciders.len() - SHOWN));
    }
    list(names)
}
