//! The plan of the accessory side: who throws what, in which pattern, from which supply, and by
//! which contact each frog is fed.

use super::{Pairing, pair};
use crate::diag::Diagnostic;
use crate::parse::{
    ControlId, ControlKind, Document, DriveModel, FrogFeedBy, FrogKind, SupplyId, SupplyKind, SupplyUse,
    TrainControl, TurnoutId,
};
use crate::units::{Amps, Volts};

/// The product: whoever holds it need not worry any more whether a drive and its control fit.
#[derive(Clone, Debug)]
pub struct Plan {
    /// In the order in which they are drawn: board by board, those thrown together side by side.
    pub turnouts: Vec<TurnoutPlan>,
    pub uses: Vec<UsePlan>,
}

#[derive(Clone, Debug)]
pub struct TurnoutPlan {
    pub turnout: TurnoutId,
    pub control: ControlId,
    pub pairing: Pairing,
    /// `None`: the frog is insulated.
    pub frog_feed: Option<FrogFeedBy>,
    /// The number its drive, relay and microswitch bear: that of its name, if all have one.
    pub number: usize,
}

/// One kind of drive with the supply that feeds all of it.
#[derive(Clone, Debug)]
pub struct UsePlan {
    pub kind: SupplyUse,
    pub supply: SupplyPlan,
    pub members: Vec<TurnoutId>,
    /// Turnouts by control, the largest group first (ties in the order of the file).
    pub groups: Vec<(ControlId, Vec<TurnoutId>)>,
}

#[derive(Clone, Debug)]
pub struct SupplyPlan {
    /// `None`: recommended, the builder owns none that fits.
    pub owned: Option<SupplyId>,
    pub kind: SupplyKind,
    pub voltage: Volts,
    /// Measured without load, if the builder gave it.
    pub unloaded: Option<Volts>,
    /// What it can give; `None` when it is still to be bought.
    pub current: Option<Amps>,
}

impl Plan {
    pub fn of(&self, turnout: TurnoutId) -> Option<&TurnoutPlan> {
        self.turnouts.iter().find(|t| t.turnout == turnout)
    }

    pub fn use_of(&self, kind: SupplyUse) -> Option<&UsePlan> {
        self.uses.iter().find(|u| u.kind == kind)
    }

    /// Controls in the order in which they are drawn.
    pub fn controls(&self) -> Vec<ControlId> {
        let mut seen = Vec::new();
        for t in &self.turnouts {
            if !seen.contains(&t.control) {
                seen.push(t.control);
            }
        }
        seen
    }
}

pub fn use_of(model: &DriveModel) -> SupplyUse {
    match model {
        DriveModel::Solenoid(_) => SupplyUse::Solenoids,
        DriveModel::SlowMotion(_) => SupplyUse::SlowMotion,
        DriveModel::Servo(_) => SupplyUse::Servos,
    }
}

/// Pairs every turnout with its control. Turnouts without a control are left out (a rule of the
/// checks reports them); pairings that would harm are refused with their reason.
pub fn plan(document: &Document) -> (Plan, Vec<Diagnostic>) {
    let mut diagnostics = Vec::new();
    let (supplies, spare) = assign_supplies(document);
    diagnostics.extend(supplies_unused(document, &supplies, &spare));
    let numbers = numbers(document);
    let mut turnouts = Vec::new();
    for (c, control) in document.controls.iter().enumerate() {
        for thrown in &control.throws {
            let turnout = &document[thrown.value];
            let drive = &document[*turnout.drive];
            let supply = &supplies.iter().find(|(k, _)| *k == use_of(&drive.model));
            let kind = supply.map_or(SupplyKind::Dc, |(_, s)| s.kind);
            if *control.with == ControlKind::AccessoryDecoder && *document.layout.control == TrainControl::Dc
            {
                diagnostics.push(
                    Diagnostic::error(
                        "control-does-not-fit",
                        format!(
                            "{} is an accessory decoder output, but the layout is run on DC",
                            *control.name
                        ),
                    )
                    .label(control.with.span, "needs a layout with control = \"dcc\"")
                    .help("give it a toggle or buttons, or set control = \"dcc\" under [layout]"),
                );
                continue; // a controller has no accessory data to wire it to
            }
            match pair(drive, *control.with, kind) {
                Ok(pairing) => turnouts.push(TurnoutPlan {
                    turnout: thrown.value,
                    control: ControlId(c),
                    pairing,
                    frog_feed: frog_feed(document, thrown.value, pairing),
                    number: numbers[thrown.value.0],
                }),
                Err(refusal) => diagnostics.push(
                    Diagnostic::error(
                        "control-does-not-fit",
                        format!("{} cannot work {}: {}", *control.name, *turnout.name, refusal.reason),
                    )
                    .label(control.with.span, "this control")
                    .label(turnout.drive.span, format!("this drive moves {}", *turnout.name))
                    .help(refusal.mend),
                ),
            }
        }
    }
    diagnostics.extend(frog_feed_findings(document, &turnouts));
    let first_of =
        |t: &TurnoutPlan| document[t.control].throws.iter().map(|x| x.value.0).min().unwrap_or(usize::MAX);
    turnouts.sort_by_key(|t| (document[t.turnout].board, t.pairing, first_of(t), t.turnout));
    let uses = supplies
        .into_iter()
        .filter_map(|(kind, supply)| use_plan(document, &turnouts, kind, supply))
        .collect();
    (Plan { turnouts, uses }, diagnostics)
}

fn use_plan(
    document: &Document,
    turnouts: &[TurnoutPlan],
    kind: SupplyUse,
    supply: SupplyPlan,
) -> Option<UsePlan> {
    let mine: Vec<&TurnoutPlan> =
        turnouts.iter().filter(|t| use_of(&document[*document[t.turnout].drive].model) == kind).collect();
    if mine.is_empty() {
        return None;
    }
    let mut groups: Vec<(ControlId, Vec<TurnoutId>)> = Vec::new();
    for t in &mine {
        match groups.iter_mut().find(|(c, _)| *c == t.control) {
            Some((_, members)) => members.push(t.turnout),
            None => groups.push((t.control, vec![t.turnout])),
        }
    }
    groups.sort_by_key(|(c, members)| (std::cmp::Reverse(members.len()), *c));
    Some(UsePlan { kind, supply, members: mine.iter().map(|t| t.turnout).collect(), groups })
}

/// Each kind of drive gets a supply of its own: the builder's that says so, else the first that
/// fits and is still free, else one to buy. The supplies that are left over come second.
fn assign_supplies(document: &Document) -> (Vec<(SupplyUse, SupplyPlan)>, Vec<SupplyId>) {
    let mut free: Vec<SupplyId> = (0..document.supplies.len()).map(SupplyId).collect();
    let mut plans = Vec::new();
    for kind in [SupplyUse::Solenoids, SupplyUse::SlowMotion, SupplyUse::Servos] {
        let models: Vec<&DriveModel> = document
            .turnouts
            .iter()
            .map(|t| &document[*t.drive].model)
            .filter(|m| use_of(m) == kind)
            .collect();
        let Some(model) = models.first() else { continue };
        let named = free.iter().position(|s| {
            document[*s].feeds.as_ref().is_some_and(|f| **f == kind) && bears(&document[*s], model)
        });
        let fitting = || free.iter().position(|s| document[*s].feeds.is_none() && fits(&document[*s], model));
        let plan = match named.or_else(fitting) {
            Some(at) => {
                let id = free.remove(at);
                let supply = &document[id];
                SupplyPlan {
                    owned: Some(id),
                    kind: *supply.kind,
                    voltage: *supply.voltage,
                    unloaded: supply.unloaded,
                    current: Some(*supply.current),
                }
            }
            None => recommended(model),
        };
        plans.push((kind, plan));
    }
    (plans, free)
}

/// A warning for each of the builder's supplies that nothing takes its power from.
fn supplies_unused(
    document: &Document,
    plans: &[(SupplyUse, SupplyPlan)],
    spare: &[SupplyId],
) -> Vec<Diagnostic> {
    let tell = |id: &SupplyId| {
        let supply = &document[*id];
        let name = supply.name.as_str();
        let kept_for = supply.feeds.as_ref();
        let lacking: Vec<String> = plans
            .iter()
            .filter(|(kind, plan)| plan.owned.is_none() && kept_for.is_none_or(|f| **f == *kind))
            .map(|(kind, plan)| format!("{} need {} {}", drives(*kind), plan.voltage, current(plan.kind)))
            .collect();
        let unmoved = kept_for.filter(|f| plans.iter().all(|(kind, _)| kind != &f.value));
        let (why, help) = match unmoved {
            _ if !lacking.is_empty() => (
                format!("the {}, so one is recommended", lacking.join(", the ")),
                "leave it out, or correct its voltage if that is not what its plate says",
            ),
            Some(of) => (
                format!("no turnout is moved by {}", drives(**of)),
                "leave it out, or correct what it `feeds`",
            ),
            None => ("the drives have other supplies".into(), "leave it out, or say what it `feeds`"),
        };
        let d = Diagnostic::warning("supply-unused", format!("supply `{name}` feeds nothing; {why}"));
        let gives = format!("gives {} {}", *supply.voltage, current(*supply.kind));
        let d = d.label(supply.span, gives);
        match kept_for {
            Some(f) => d.label(f.span, format!("kept for the {}", drives(**f))).help(help),
            None => d.help(help),
        }
    };
    spare.iter().map(tell).collect()
}

/// "slow-motion motors"
fn drives(kind: SupplyUse) -> &'static str {
    match kind {
        SupplyUse::Solenoids => "solenoids",
        SupplyUse::SlowMotion => "slow-motion motors",
        SupplyUse::Servos => "servos",
    }
}

fn current(kind: SupplyKind) -> &'static str {
    match kind {
        SupplyKind::Ac => "AC",
        SupplyKind::Dc => "DC",
        SupplyKind::SplitDc => "DC in two halves",
    }
}

/// Whether a supply that the builder keeps for these drives can be used for them. Solenoids may
/// have less than what fits best: whether it is enough, their sizing tells.
fn bears(supply: &crate::parse::Supply, model: &DriveModel) -> bool {
    match model {
        DriveModel::Solenoid(_) => *supply.kind != SupplyKind::SplitDc && supply.voltage.volts() >= 6.0,
        DriveModel::SlowMotion(_) | DriveModel::Servo(_) => fits(supply, model),
    }
}

fn fits(supply: &crate::parse::Supply, model: &DriveModel) -> bool {
    let volts = supply.voltage.volts();
    match model {
        // A discharge unit takes AC or DC; below 12 V it stores too little (common practice).
        DriveModel::Solenoid(_) => *supply.kind != SupplyKind::SplitDc && volts >= 12.0,
        DriveModel::SlowMotion(m) => {
            *supply.kind != SupplyKind::Ac && (volts / m.voltage.volts() - 1.0).abs() <= 0.26
        }
        DriveModel::Servo(s) => {
            *supply.kind == SupplyKind::Dc && volts >= s.lowest.volts() && volts <= 1.25 * s.voltage.volts()
        }
    }
}

/// 16 V AC for solenoids and the drive's own voltage in DC for the others: NEM 611 names 14–16 V AC
/// and 12 V DC for fixed equipment between 6.5 and 45 mm gauge.
fn recommended(model: &DriveModel) -> SupplyPlan {
    let (kind, voltage) = match model {
        DriveModel::Solenoid(_) => (SupplyKind::Ac, Volts::new(16.0)),
        DriveModel::SlowMotion(m) => (SupplyKind::Dc, m.voltage),
        DriveModel::Servo(s) => (SupplyKind::Dc, s.voltage),
    };
    SupplyPlan { owned: None, kind, voltage, unloaded: None, current: None }
}

/// The drive's own contact if it has one; otherwise a bistable relay that follows the command.
///
/// A relay changes when the command is given, while the blades still lie in their old position. A
/// live frog is one metal with its blades, so for it, and where no command line can work a relay,
/// a microswitch on the tie bar is chosen: it changes at mid-travel.
fn frog_feed(document: &Document, turnout: TurnoutId, pairing: Pairing) -> Option<FrogFeedBy> {
    let spec = &document[turnout];
    if *spec.frog == FrogKind::Insulated {
        return None;
    }
    Some(match &spec.frog_feed {
        Some(given) => **given,
        None if document[*spec.drive].contacts > 0 => FrogFeedBy::Contact,
        None if *spec.frog == FrogKind::Live => FrogFeedBy::Microswitch,
        None if matches!(pairing, Pairing::ServoDecoder | Pairing::MotorSplit) => FrogFeedBy::Microswitch,
        None => FrogFeedBy::Relay,
    })
}

fn frog_feed_findings(document: &Document, turnouts: &[TurnoutPlan]) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for t in turnouts {
        let spec = &document[t.turnout];
        let Some(given) = &spec.frog_feed else { continue };
        if *spec.frog == FrogKind::Insulated {
            found.push(
                Diagnostic::warning(
                    "frog-feed-unused",
                    format!("{} has an insulated frog, which needs no feed", *spec.name),
                )
                .label(given.span, "not used")
                .help("leave out frog-feed, or say that the frog is live or isolated-with-wire"),
            );
        } else if **given == FrogFeedBy::Contact && document[*spec.drive].contacts == 0 {
            found.push(
                Diagnostic::error(
                    "contact-missing",
                    format!("the frog of {} is to be fed by its drive's contact, but {} carries none", *spec.name, *document[*spec.drive].name),
                )
                .label(given.span, "needs a contact on the drive")
                .label(document[*spec.drive].span, "this drive has contacts = 0")
                .help("give the number of changeover contacts on the drive, or use frog-feed = \"microswitch\" or \"relay\""),
            );
        } else if **given == FrogFeedBy::Relay
            && matches!(t.pairing, Pairing::ServoDecoder | Pairing::MotorSplit)
        {
            found.push(
                Diagnostic::error(
                    "contact-missing",
                    format!("no line of {} can work a bistable relay ({})", *spec.name, t.pairing.describe()),
                )
                .label(given.span, "cannot be worked here")
                .help("use frog-feed = \"microswitch\""),
            );
        }
    }
    found
}

/// The number in a turnout's name ("T12" is 12) if every name ends in one of its own, so that T12
/// is moved by M12; otherwise the place in the file.
fn numbers(document: &Document) -> Vec<usize> {
    let tail = |name: &str| -> Option<usize> {
        let digits: String = name
            .chars()
            .rev()
            .take_while(char::is_ascii_digit)
            .collect::<Vec<_>>()
            .into_iter()
            .rev()
            .collect();
        digits.parse().ok().filter(|n| (1..=9999).contains(n))
    };
    let named: Option<Vec<usize>> = document.turnouts.iter().map(|t| tail(&t.name)).collect();
    if let Some(named) = named {
        let mut unique = named.clone();
        unique.sort_unstable();
        unique.dedup();
        if unique.len() == named.len() {
            return named;
        }
    }
    (1..=document.turnouts.len()).collect()
}
