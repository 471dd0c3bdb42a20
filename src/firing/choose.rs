//! The smallest bank, and the wires, with which everything throws in the weakest corner.

use super::banks::banks;
use super::margins::margins;
use super::mesh::Mesh;
use super::remedy;
use super::shot::{Fireable, worst};
use crate::circuit::Circuit;
use crate::diag::Diagnostic;
use crate::drives::sizing::{
    BankChoice, BankSizing, Fired, Loss, MARGIN, Remedy, Shot, Sizing, Trigger, hot_coils, trigger_words,
};
use crate::drives::{Plan, UsePlan, WireClass};
use crate::electrics::conductor;
use crate::hardware::Wiring;
use crate::parse::{Document, SupplyUse};
use crate::units::{Amps, Ohms, Volts, WireSize};

/// Wires of the pulse's path that may be made thicker.
const PATH: [WireClass; 3] = [WireClass::Return, WireClass::Command, WireClass::Common];
/// No thicker wire than this goes under the usual clamps of a strip (common practice, no source).
const THICKEST: WireSize = WireSize::mm2(2.5);
/// So many shots decide; the rest are looked at when a bank is found.
const LEADERS: usize = 4;

/// A bank with what came of firing it.
type Tried = (BankChoice, Vec<Shot>);

/// What is searched over.
pub(super) struct Search<'a> {
    pub document: &'a Document,
    pub use_plan: &'a UsePlan,
    pub range: Fireable<'a>,
    pub banks: Vec<BankChoice>,
    /// Of the capacitors, if the builder's own stock says so.
    rated: Option<Volts>,
    coils: Vec<Ohms>,
}

/// `None` if the circuit has no discharge unit; the diagnostics say what is not enough.
pub fn choose(
    document: &Document,
    plan: &Plan,
    draft: &Sizing,
    circuit: &Circuit,
    wiring: &Wiring,
) -> (Option<Fired>, Vec<Diagnostic>) {
    let nothing = (None, Vec::new());
    let Some(bank) = draft.bank() else { return nothing };
    let Some(use_plan) = plan.use_of(SupplyUse::Solenoids) else { return nothing };
    let Some(mesh) = Mesh::of(document, plan, circuit, wiring) else { return nothing };
    let range = Fireable::new(document, &mesh);
    let fired_bars = range.triggers().flat_map(|t| range.fired(t)).map(|(bar, _)| bar);
    let coils = hot_coils(document, fired_bars);
    let banks = banks(document, bank.highest);
    let rated = document.capacitor_stock.as_ref().and_then(|s| s.voltage);
    let search = Search { document, use_plan, range, banks, rated, coils };
    let mut sizes: Vec<(WireClass, WireSize)> = PATH.map(|class| (class, draft.wire(class))).to_vec();
    let (choice, shots) = loop {
        match search.smallest(&sizes) {
            Ok(found) => break found,
            Err(Some((choice, shots))) => match search.thicker(&shots, &sizes) {
                Some(better) => sizes = better,
                None => break (choice, shots),
            },
            Err(None) => return (None, vec![search.no_bank()]),
        }
    };
    let Some(fired) = search.fired(choice, &shots, sizes) else { return nothing };
    let found = if fired.enough() { Vec::new() } else { vec![too_weak(document, &fired)] };
    (Some(fired), found)
}

impl Search<'_> {
    pub fn bank(&self, choice: BankChoice) -> BankSizing {
        let mut bank = BankSizing::of((&self.use_plan.supply).into(), choice, &self.coils);
        if let Some(rated) = self.rated {
            bank.capacitor_voltage = rated;
        }
        bank
    }

    pub fn weak(
        &self,
        triggers: &[Trigger],
        choice: BankChoice,
        sizes: &[(WireClass, WireSize)],
    ) -> Vec<Shot> {
        let trial = self.range.trial(&self.bank(choice), sizes);
        triggers.iter().map(|t| self.range.weak(*t, &trial)).collect()
    }

    /// The smallest bank that does, with all its shots; else the largest, with its shots; nothing if
    /// there is none at all.
    fn smallest(&self, sizes: &[(WireClass, WireSize)]) -> Result<Tried, Option<Tried>> {
        let Some(largest) = self.banks.last().copied() else { return Err(None) };
        let all: Vec<Trigger> = self.range.triggers().collect();
        let shots = self.weak(&all, largest, sizes);
        let Some(at) = worst(&shots) else { return Ok((self.banks[0], shots)) };
        if shots[at].margin() < MARGIN {
            return Err(Some((largest, shots)));
        }
        let mut leaders = ranked(&shots);
        leaders.truncate(LEADERS);
        loop {
            let does =
                |n: usize| self.weak(&leaders, self.banks[n], sizes).iter().all(|s| s.margin() >= MARGIN);
            let mut n = self.lowest_that(does);
            // Rounding to preferred values of limiter and bleed may make a smaller bank do as well.
            while n > 0 && does(n - 1) {
                n -= 1;
            }
            let shots = self.weak(&all, self.banks[n], sizes);
            let failing: Vec<Trigger> = ranked(&shots)
                .into_iter()
                .filter(|t| shots.iter().any(|s| s.trigger == *t && s.margin() < MARGIN))
                .collect();
            if failing.is_empty() || failing.iter().all(|t| leaders.contains(t)) {
                return Ok((self.banks[n], shots));
            }
            leaders.extend(failing);
        }
    }

    /// By halving; the last is known to do.
    fn lowest_that(&self, does: impl Fn(usize) -> bool) -> usize {
        let (mut low, mut high) = (0, self.banks.len() - 1);
        while low < high {
            let middle = usize::midpoint(low, high);
            if does(middle) { high = middle } else { low = middle + 1 }
        }
        high
    }

    /// The lowest margin of a trigger's coils if only so many are fired at a time.
    pub fn in_parts(
        &self,
        trigger: Trigger,
        choice: BankChoice,
        sizes: &[(WireClass, WireSize)],
        together: usize,
    ) -> f64 {
        let trial = self.range.trial(&self.bank(choice), sizes);
        self.range.in_parts(trigger, &trial, together)
    }

    /// The next size of wire, from the builder's stock or the usual ones.
    pub fn next_size(&self, size: WireSize) -> Option<WireSize> {
        let usual = conductor::usual_sizes();
        let stock = if self.document.wire_stock.is_empty() { &usual } else { &self.document.wire_stock };
        let area = |s: &WireSize| s.area().mm2();
        let thicker = stock
            .iter()
            .copied()
            .filter(|s| area(s) > area(&size) * 1.05 && area(s) <= area(&THICKEST) * 1.05);
        thicker.min_by(|a, b| a.area().total_cmp(&b.area()))
    }

    /// Sizes with the wire made thicker that loses most in the worst shot.
    fn thicker(&self, shots: &[Shot], sizes: &[(WireClass, WireSize)]) -> Option<Vec<(WireClass, WireSize)>> {
        let losses = &shots[worst(shots)?].losses;
        let lost = |class: WireClass| -> f64 {
            losses.iter().filter(|l: &&Loss| l.class == Some(class)).map(|l| l.energy.joules()).sum()
        };
        let mut order: Vec<WireClass> = PATH.to_vec();
        order.sort_by(|a, b| lost(*b).total_cmp(&lost(*a)));
        order.into_iter().find_map(|class| {
            let at = sizes.iter().position(|(c, _)| *c == class)?;
            let mut better = sizes.to_vec();
            better[at].1 = self.next_size(sizes[at].1)?;
            Some(better)
        })
    }

    fn fired(&self, choice: BankChoice, weak: &[Shot], sizes: Vec<(WireClass, WireSize)>) -> Option<Fired> {
        let bank = self.bank(choice);
        let trial = self.range.trial(&bank, &sizes);
        let shot = &weak[worst(weak)?];
        let coil = *shot.worst_coil()?;
        let strong: Vec<Shot> = weak.iter().map(|s| self.range.fire(s.trigger, &trial)).collect();
        let diode_surge = strong.iter().filter_map(|s| s.diode_surge).reduce(Amps::max);
        let most = strong.into_iter().max_by(|a, b| a.surge.total_cmp(&b.surge))?;
        let margins = margins(weak);
        let remedies =
            if coil.margin() >= MARGIN { Vec::new() } else { remedy::ranked(self, shot, choice, &sizes) };
        Some(Fired {
            bank: choice,
            rated: bank.capacitor_voltage,
            wires: sizes,
            worst: shot.clone(),
            coil,
            surge: most.surge,
            surge_integral: most.surge_integral,
            diode_surge,
            margins,
            remedies,
        })
    }

    /// Every capacitor on offer would hold too much.
    fn no_bank(&self) -> Diagnostic {
        let d = Diagnostic::error(
            "bank-too-weak",
            "every capacitor on offer could hold 20 J or more, which counts as hazardous",
        )
        .help("use smaller capacitors, or a supply of a lower voltage");
        match &self.document.capacitor_stock {
            Some(stock) => d.label(stock.span, "these"),
            None => d,
        }
    }
}

/// Triggers of shots that have coils, the worst first.
fn ranked(shots: &[Shot]) -> Vec<Trigger> {
    let mut with_coils: Vec<&Shot> = shots.iter().filter(|s| !s.coils.is_empty()).collect();
    with_coils.sort_by(|a, b| a.rank().total_cmp(&b.rank()));
    with_coils.into_iter().map(|s| s.trigger).collect()
}

fn too_weak(document: &Document, fired: &Fired) -> Diagnostic {
    let coil = &fired.coil;
    let words = trigger_words(document, fired.worst.trigger);
    let fires = match fired.worst.coils.len() {
        1 => "fires it alone".to_owned(),
        n => format!("fires {n} at once"),
    };
    let mut d = Diagnostic::error(
        "bank-too-weak",
        format!(
            "no capacitor on offer throws {} for sure: when {words} {fires}, its coil gets {}, {} at \
             the peak and {} above what it needs, and needs {}, {} and {}, each {MARGIN} times over",
            document[coil.bar].name,
            coil.energy,
            coil.peak,
            coil.above,
            coil.needs.energy,
            coil.needs.current,
            coil.needs.time,
        ),
    );
    d = d.label(fired.worst.trigger.span(document), fires);
    if let Some(loss) = fired.worst.losses.first() {
        let share = (loss.share * 100.0).round();
        d = d.label(document.drive_of(coil.bar).span, format!("{share} % of the loss is in {}", loss.place));
    }
    let tell = |r: &Remedy| match r.margin >= MARGIN {
        true => format!("{} (enough: margin {:.2})", r.words, r.margin),
        false => format!("{} (not enough by itself)", r.words),
    };
    let best: Vec<String> = fired.remedies.iter().take(3).map(tell).collect();
    let others = "a supply of a higher voltage (up to 24 V AC), or a drive whose `energy`, `current` and `pulse` \
                  were measured";
    match best.is_empty() {
        true => d.help(format!("use {others}")),
        false => d.help(format!("what would help, the best first: {}; besides, {others}", best.join("; "))),
    }
}
