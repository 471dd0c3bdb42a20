//! A supply, fuse or contact has to bear more than it may.
//!
//! Bad: nine motors of 18 mA on a supply of 100 mA. Or a frog contact for 1 A behind a booster that
//! cuts off at 5 A.
//!
//! Good: a supply with half as much again as the load; a relay between a weak contact and the frog.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::drives::sizing::Load;
use crate::drives::{Decider, Feeds};
use crate::parse::{BarId, DriveId, FrogFeedBy, SupplyUse};
use crate::units::Amps;

pub const RULE: Rule = Rule {
    code: "overloaded",
    title: "A supply, fuse or contact has to bear more current than it may.",
    why: "A supply that is overloaded sags or switches off, a contact pits or welds. What lasts only a moment, \
          until the booster cuts off, is a warning.",
    mend: "Use a stronger supply or contact; for a frog, a relay or a microswitch with a \
           higher rating.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let uses = [SupplyUse::Solenoids, SupplyUse::SlowMotion, SupplyUse::Servos];
    let supplies = uses.into_iter().filter_map(|kind| supply(view, kind));
    let contacts = (0..view.document.drives.len()).filter_map(|d| contacts(view, DriveId(d)));
    supplies.chain(contacts).collect()
}

/// The supply of one kind of drive: one finding, by the largest of the currents it must bear.
fn supply(view: &View, kind: SupplyUse) -> Option<Diagnostic> {
    let over = |l: &&Load| !l.pulse && l.belongs_to == Some(kind) && l.current > l.limit;
    let over: Vec<&Load> = view.sizing.loads.iter().filter(over).collect();
    let limit = over.first()?.limit;
    let needed = over.iter().map(|l| l.current).fold(Amps::new(0.0), Amps::max);
    let owned = view.plan.use_of(kind).and_then(|u| u.supply.owned);
    let name = owned.map_or("the supply".into(), |s| format!("supply `{}`", *view.document[s].name));
    let message = format!("{name} gives {limit}, but {needed} is needed");
    // A fuse blows only if the supply can give more than its rating.
    let by_fuse = over.iter().all(|l| l.current < needed || l.what.starts_with("fuse"));
    let reason = if by_fuse { ", so that its fuse can blow" } else { "" };
    let diagnostic =
        Diagnostic::error(RULE.code, message).help(format!("use a supply of {needed} or more{reason}"));
    Some(match owned {
        Some(supply) => diagnostic.label(view.document[supply].current.span, "too little"),
        None => diagnostic,
    })
}

/// The frog contacts of one kind of drive: a short on the track passes through them.
fn contacts(view: &View, drive: DriveId) -> Option<Diagnostic> {
    let (spec, power) = (&view.document[drive], &view.document.track_power);
    if spec.contact_rating >= power.trip {
        return None;
    }
    let carries =
        |bar: BarId| *view.document[bar].drive == drive && view.plan.carried(bar, FrogFeedBy::Contact) > 0;
    let bars: Vec<BarId> = view.plan.bars.iter().map(|b| b.bar).filter(|b| carries(*b)).collect();
    if bars.is_empty() || spec.contacts == 0 {
        return None;
    }
    let names: Vec<&str> = bars.iter().map(|b| view.document[*b].name.as_str()).collect();
    let fed = bars.iter().flat_map(|b| view.plan.following(Decider::Bar(*b)));
    let fed: Vec<_> = fed.map(|c| view.plan.changeover(c)).filter(|c| c.by == FrogFeedBy::Contact).collect();
    let frogs = fed.iter().all(|c| matches!(c.feeds, Feeds::Frogs(_)));
    let (rating, trip) = (spec.contact_rating, power.trip);
    let whose = match (frogs, fed.len()) {
        (true, 1) => "the frog contact",
        (true, _) => "the frog contacts",
        (false, 1) => "the contact",
        (false, _) => "the contacts",
    };
    let message = format!(
        "a short on the track sends {trip} through {whose} of {}, good for {rating}, until the supply cuts off",
        list(&names)
    );
    let typical = if spec.typical.contains(&"contact-rating") { ", a typical figure" } else { "" };
    Some(
        Diagnostic::warning(RULE.code, message)
            .label(spec.span, format!("`contact-rating` is {rating}{typical}"))
            .label(power.span, format!("`trip` is {trip}"))
            .help(
                "feed these frogs by a relay or a microswitch with a higher rating, set a lower trip current, or \
                 give the drive's own `contact-rating` if it is higher",
            ),
    )
}
