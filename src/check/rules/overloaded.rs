//! A supply, fuse or contact has to bear more than it may.
//!
//! Bad: nine motors of 18 mA on a supply of 100 mA. Or a frog contact for 1 A behind a booster that
//! cuts off at 5 A.
//!
//! Good: a supply with half as much again as the load; a relay between a weak contact and the frog.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "overloaded",
    title: "A supply, fuse or contact has to bear more current than it may.",
    why: "A supply that is overloaded sags or switches off, a contact pits or welds. What lasts only a moment, \
          until the booster cuts off, is a warning.",
    mend: "Use a stronger supply or contact, or spread the load; for a frog, a relay or a microswitch with a \
           higher rating.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for load in &view.sizing.loads {
        if load.current <= load.limit {
            continue;
        }
        let message = format!("{}: {} where {} is the most", load.what, load.current, load.limit);
        let (diagnostic, text, help) = if load.pulse {
            (
                Diagnostic::warning(RULE.code, message),
                "bears this until the track supply cuts off",
                "feed the frog by a relay or a microswitch with a higher rating, or set a lower trip current",
            )
        } else {
            (
                Diagnostic::error(RULE.code, message),
                "too weak",
                "use a supply of a higher current, or let a second one feed part of the drives",
            )
        };
        let span = match load.belongs_to {
            None => Some(view.document.track_power.span),
            Some(kind) => view.plan.use_of(kind).and_then(|u| u.supply.owned).map(|s| view.document[s].span),
        };
        let diagnostic = diagnostic.help(help);
        found.push(match span {
            Some(span) => diagnostic.label(span, text),
            None => diagnostic,
        });
    }
    found
}
