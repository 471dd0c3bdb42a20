//! The plan of the accessory side: who throws what, in which pattern, from which supply, and by
//! which contact each frog is fed.

use super::changeovers::{self, Changeover, ChangeoverId, Decider, Feeds, Selector, SelectorId};
use super::routes::{self, RoutePlan};
use super::{Pairing, pair};
use crate::diag::Diagnostic;
use crate::parse::{
    BarId, ControlId, ControlKind, Document, DriveModel, FrogFeedBy, FrogKind, SupplyId, SupplyKind,
    SupplyUse, TrainControl,
};
use crate::track::{FrogId, Rails, ZoneId};
use crate::units::{Amps, Volts};

/// The product: whoever holds it need not worry any more whether a drive and its control fit.
#[derive(Clone, Debug)]
pub struct Plan {
    /// In the order in which they are drawn: board by board, those thrown together side by side.
    pub bars: Vec<BarPlan>,
    pub uses: Vec<UsePlan>,
    pub changeovers: Vec<Changeover>,
    pub selectors: Vec<Selector>,
    /// Those that can be wired, in the order of the file.
    pub routes: Vec<RoutePlan>,
}

/// A tie bar with what throws it.
#[derive(Clone, Debug)]
pub struct BarPlan {
    pub bar: BarId,
    pub control: ControlId,
    pub pairing: Pairing,
    /// The number its drive, relay and microswitch bear: that of its turnout's name, if all have one.
    pub number: usize,
}

/// One kind of drive with the supply that feeds all of it.
#[derive(Clone, Debug)]
pub struct UsePlan {
    pub kind: SupplyUse,
    pub supply: SupplyPlan,
    pub members: Vec<BarId>,
    /// Tie bars by control, the largest group first (ties in the order of the file).
    pub groups: Vec<(ControlId, Vec<BarId>)>,
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
    pub fn of(&self, bar: BarId) -> Option<&BarPlan> {
        self.bars.iter().find(|b| b.bar == bar)
    }

    pub fn changeover(&self, id: ChangeoverId) -> &Changeover {
        &self.changeovers[id.0]
    }

    pub fn selector(&self, id: SelectorId) -> &Selector {
        &self.selectors[id.0]
    }

    /// The changeovers that follow a decider, in order.
    pub fn following(&self, decider: Decider) -> impl Iterator<Item = ChangeoverId> + '_ {
        (0..self.changeovers.len()).map(ChangeoverId).filter(move |c| self.changeover(*c).decider == decider)
    }

    /// The changeover that feeds a frog.
    pub fn feeding(&self, frog: FrogId) -> Option<ChangeoverId> {
        let feeds = |c: &Changeover| matches!(&c.feeds, Feeds::Frogs(frogs) if frogs.contains(&frog));
        self.changeovers.iter().position(feeds).map(ChangeoverId)
    }

    /// The changeovers that turn a reversing section, one for each conductor.
    pub fn turning(&self, zone: ZoneId) -> impl Iterator<Item = ChangeoverId> + '_ {
        let turns =
            move |c: &ChangeoverId| matches!(self.changeover(*c).feeds, Feeds::Zone(p) if p.zone == zone);
        (0..self.changeovers.len()).map(ChangeoverId).filter(turns)
    }

    /// How many changeovers follow a bar through one kind of carrier.
    pub fn carried(&self, bar: BarId, by: FrogFeedBy) -> usize {
        self.following(Decider::Bar(bar)).filter(|c| self.changeover(*c).by == by).count()
    }

    /// Whether anything follows this bar by a relay.
    pub fn wants_relay(&self, bar: BarId) -> bool {
        self.carried(bar, FrogFeedBy::Relay) > 0
    }

    /// Whether any frog or section follows this bar.
    pub fn feeds_frogs(&self, bar: BarId) -> bool {
        self.following(Decider::Bar(bar)).next().is_some()
    }

    pub fn use_of(&self, kind: SupplyUse) -> Option<&UsePlan> {
        self.uses.iter().find(|u| u.kind == kind)
    }

    /// Controls in the order in which they are drawn.
    pub fn controls(&self) -> Vec<ControlId> {
        let mut seen = Vec::new();
        for t in &self.bars {
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

/// Pairs every tie bar with its control, and every frog with what changes it. Bars without a
/// control are left out (a rule of the checks reports them); pairings that would harm are refused
/// with their reason.
pub fn plan(document: &Document, rails: &Rails) -> (Plan, Vec<Diagnostic>) {
    let mut diagnostics = Vec::new();
    let (supplies, spare) = assign_supplies(document);
    diagnostics.extend(supplies_unused(document, &supplies, &spare));
    let numbers = numbers(document);
    let mut bars: Vec<BarPlan> = Vec::new();
    for (c, control) in document.controls.iter().enumerate() {
        for thrown in &control.throws {
            let bar = &document[thrown.value];
            let drive = document.drive_of(thrown.value);
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
                Ok(pairing) => bars.push(BarPlan {
                    bar: thrown.value,
                    control: ControlId(c),
                    pairing,
                    number: numbers[thrown.value.0],
                }),
                Err(refusal) => diagnostics.push(
                    Diagnostic::error(
                        "control-does-not-fit",
                        format!("{} cannot work {}: {}", *control.name, bar.name, refusal.reason),
                    )
                    .label(control.with.span, "this control")
                    .label(bar.drive.span, format!("this drive moves {}", bar.name))
                    .help(refusal.mend),
                ),
            }
        }
    }
    let first_of =
        |b: &BarPlan| document[b.control].throws.iter().map(|x| x.value.0).min().unwrap_or(usize::MAX);
    bars.sort_by_key(|b| (document.turnout_of(b.bar).board, b.pairing, first_of(b), b.bar));
    let uses =
        supplies.into_iter().filter_map(|(kind, supply)| use_plan(document, &bars, kind, supply)).collect();
    let (changeovers, selectors) = changeovers::of(document, rails, &bars);
    let (routes, found) = routes::of(document, &bars);
    diagnostics.extend(found);
    let plan = Plan { bars, uses, changeovers, selectors, routes };
    diagnostics.extend(frog_feed_findings(document, rails, &plan));
    (plan, diagnostics)
}

fn use_plan(document: &Document, bars: &[BarPlan], kind: SupplyUse, supply: SupplyPlan) -> Option<UsePlan> {
    let mine: Vec<&BarPlan> =
        bars.iter().filter(|b| use_of(&document.drive_of(b.bar).model) == kind).collect();
    if mine.is_empty() {
        return None;
    }
    let mut groups: Vec<(ControlId, Vec<BarId>)> = Vec::new();
    for t in &mine {
        match groups.iter_mut().find(|(c, _)| *c == t.control) {
            Some((_, members)) => members.push(t.bar),
            None => groups.push((t.control, vec![t.bar])),
        }
    }
    groups.sort_by_key(|(c, members)| (std::cmp::Reverse(members.len()), *c));
    Some(UsePlan { kind, supply, members: mine.iter().map(|t| t.bar).collect(), groups })
}

/// Each kind of drive gets a supply of its own: the builder's that says so, else the first that
/// fits and is still free, else one to buy. The supplies that are left over come second.
fn assign_supplies(document: &Document) -> (Vec<(SupplyUse, SupplyPlan)>, Vec<SupplyId>) {
    let mut free: Vec<SupplyId> = (0..document.supplies.len()).map(SupplyId).collect();
    let mut plans = Vec::new();
    for kind in [SupplyUse::Solenoids, SupplyUse::SlowMotion, SupplyUse::Servos] {
        let models: Vec<&DriveModel> =
            document.bars.iter().map(|b| &document[*b.drive].model).filter(|m| use_of(m) == kind).collect();
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

/// What the file asks for and cannot have.
fn frog_feed_findings(document: &Document, rails: &Rails, plan: &Plan) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for spec in &document.turnouts {
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
        }
        if **given == FrogFeedBy::ReverserModule && *document.layout.control == TrainControl::Dc {
            found.push(
                Diagnostic::error("contact-missing", "a reverser module works on DCC only")
                    .label(given.span, "the layout is run on DC")
                    .help("use frog-feed = \"panel switch\""),
            );
        }
    }
    for (turnout, road) in changeovers::unserved(document, rails, &plan.changeovers) {
        let spec = &document[turnout];
        let name = crate::track::Formation::of(spec).roads()[road].name();
        found.push(
            Diagnostic::error(
                "road-not-served",
                format!("nothing can set the frogs of {} for road {name}", *spec.name),
            )
            .label(spec.span, "its frogs follow what contradicts itself on this road")
            .help("write frog-feed = \"reverser module\" (DCC) or \"panel switch\" here"),
        );
    }
    for bar in (0..document.bars.len()).map(BarId) {
        found.extend(contacts_missing(document, rails, plan, bar));
    }
    found
}

fn contacts_missing(document: &Document, rails: &Rails, plan: &Plan, bar: BarId) -> Option<Diagnostic> {
    let mine: Vec<&Changeover> = plan.following(Decider::Bar(bar)).map(|c| plan.changeover(c)).collect();
    let given = mine.iter().find_map(|c| document[c.turnout(rails)?].frog_feed.as_ref())?;
    let drive = document.drive_of(bar);
    let contacts = plan.carried(bar, FrogFeedBy::Contact);
    if contacts > drive.contacts {
        let carries = match drive.contacts {
            0 => "carries none".to_owned(),
            n => format!("carries {n}, and {contacts} are needed"),
        };
        let whose = &document[bar].name;
        return Some(
            Diagnostic::error(
                "contact-missing",
                format!("the frog of {whose} is to be fed by its drive's contact, but {} {carries}", *drive.name),
            )
            .label(given.span, "needs a contact on the drive")
            .label(drive.span, format!("this drive has contacts = {}", drive.contacts))
            .help("give the number of changeover contacts on the drive, or use frog-feed = \"microswitch\" or \"relay\""),
        );
    }
    let pairing = plan.of(bar)?.pairing;
    if plan.wants_relay(bar) && matches!(pairing, Pairing::ServoDecoder | Pairing::MotorSplit) {
        return Some(
            Diagnostic::error(
                "contact-missing",
                format!(
                    "no line of {} can work a bistable relay ({})",
                    document[bar].name,
                    pairing.describe()
                ),
            )
            .label(given.span, "cannot be worked here")
            .help("use frog-feed = \"microswitch\""),
        );
    }
    None
}

/// By tie bar: the number in its turnout's name ("T12" is 12) if every name ends in one of its own,
/// so that T12 is moved by M12; otherwise its place in the file. A second bar gets a number after all
/// of these.
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
    let unique = |named: &Vec<usize>| {
        let mut all = named.clone();
        all.sort_unstable();
        all.dedup();
        all.len() == named.len()
    };
    let by_turnout = named.filter(unique).unwrap_or_else(|| (1..=document.turnouts.len()).collect());
    let mut next = by_turnout.iter().copied().max().unwrap_or(0);
    let number = |bar: &crate::parse::Bar| match bar.index {
        0 => by_turnout[bar.turnout.0],
        _ => {
            next += 1;
            next
        }
    };
    document.bars.iter().map(number).collect()
}

/// What a changeover feeds, in words: "the frog of T1", "the left and centre frogs of T5".
pub fn fed(document: &Document, rails: &Rails, feeds: &Feeds) -> String {
    match feeds {
        Feeds::Frogs(frogs) => {
            let names: Vec<&str> = frogs.iter().map(|f| rails[rails[*f].rail].name.as_str()).collect();
            match (names.as_slice(), frogs.first().map(|f| &document[rails[*f].turnout])) {
                ([_], Some(turnout)) if turnout.kind.bars().len() == 1 => {
                    format!("the frog of {}", *turnout.name)
                }
                _ => format!("the {}", names.join(" and the ")),
            }
        }
        Feeds::Zone(pole) => {
            format!("conductor {} of the reversing section {}", pole.feed.letter(), rails[pole.zone].name)
        }
    }
}
