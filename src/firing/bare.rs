//! The same shot without a layout: one bank, one contact, like coils each with a wire of its own, and a
//! return that they share.
//!
//! Corners, margins, the bank's derived values and the solver are those of a finished layout. Only the
//! wiring is assumed: every wire in one piece, with a joint at each end.

use super::banks::sold;
use super::corner::{Corner, needs};
use super::shot::long_enough;
use crate::drives::sizing::{BankChoice, BankSizing, BankSupply, Loss, MARGIN, Needs, coil_at};
use crate::electrics::conductor;
use crate::electrics::transient::{Element, ElementId, GROUND, Network, SolveError, Transient, Wave};
use crate::parse::Solenoid;
use crate::units::{
    Amps, Celsius, Farads, Henries, JouleIntegral, Joules, Length, Ohms, Seconds, Volts, WireSize,
};

/// What is to be fired.
#[derive(Clone, Debug)]
pub struct Bare {
    pub supply: BankSupply,
    pub solenoid: Solenoid,
    /// For what typical figures stand in, by the keys of a drive, "feed" and "return".
    pub typical: Vec<&'static str>,
    /// How many are fired at once.
    pub coils: usize,
    /// Of the wire that each coil has to itself, one way.
    pub feed: Length,
    /// Of the wire that carries all their currents back.
    pub back: Length,
    pub wire: WireSize,
    /// The lowest and the highest temperature.
    pub ambient: (Celsius, Celsius),
}

/// Everything in the loop, in one corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Values {
    pub capacitance: Farads,
    pub esr: Ohms,
    /// On the bank at the start.
    pub charged: Volts,
    pub coil: Ohms,
    pub inductance: Henries,
    pub feed: Ohms,
    pub back: Ohms,
    pub contact: Ohms,
}

/// What comes of it.
#[derive(Clone, Debug)]
pub struct BareShot {
    pub bank: BankSizing,
    pub needs: Needs,
    /// In the weakest corner, as all that follows up to `losses`; of each coil, for they are alike.
    pub weak: Values,
    pub energy: Joules,
    pub peak: Amps,
    pub peak_at: Seconds,
    pub above: Seconds,
    pub left: Volts,
    /// The largest first.
    pub losses: Vec<Loss>,
    /// Through the contact, in the strongest corner.
    pub surge: Amps,
    pub surge_integral: JouleIntegral,
}

impl BareShot {
    pub fn margin(&self) -> f64 {
        self.needs.met(self.energy, self.peak, self.above).0
    }

    /// What the coils have least of: "energy", "current" or "time".
    pub fn least(&self) -> &'static str {
        self.needs.met(self.energy, self.peak, self.above).1
    }

    pub fn is_enough(&self) -> bool {
        self.margin() >= MARGIN
    }
}

/// A network with its elements.
struct Built {
    network: Network,
    until: Seconds,
    bank: ElementId,
    contact: ElementId,
    back: ElementId,
    feeds: Vec<ElementId>,
    coils: Vec<ElementId>,
}

impl Bare {
    /// All banks of what is sold, the smallest first, up to the smallest that is enough; if none is, all.
    /// Empty if every capacitor could hold a hazardous energy.
    ///
    /// # Errors
    /// Values that no network can have, such as a coil without resistance.
    pub fn search(&self) -> Result<Vec<BareShot>, SolveError> {
        let mut shots: Vec<BareShot> = Vec::new();
        for choice in sold(self.supply.highest()) {
            shots.push(self.fire(choice)?);
            if shots.last().is_some_and(BareShot::is_enough) {
                break;
            }
        }
        Ok(shots)
    }

    /// Fires one bank in both corners.
    ///
    /// # Errors
    /// As for [`search`](Self::search).
    pub fn fire(&self, choice: BankChoice) -> Result<BareShot, SolveError> {
        let hottest = coil_at(self.solenoid.coil, self.ambient.1);
        let bank = BankSizing::of(self.supply, choice, &[hottest]);
        let needs = needs(&self.typical, &self.solenoid);
        let weak = self.values(&bank, Corner::Weak);
        let built = self.build(&bank, Corner::Weak);
        let transient = built.network.simulate(built.until)?;
        let coil = built.coils[0];
        let (peak_at, peak) = transient.peak_current(coil);
        let strong = self.build(&bank, Corner::Strong);
        let surge = strong.network.simulate(strong.until)?;
        Ok(BareShot {
            needs,
            weak,
            energy: transient.heat_in(coil),
            peak,
            peak_at,
            above: transient.time_above(coil, needs.current),
            left: transient.charge_at(built.bank, transient.end()),
            losses: losses(&built, &transient),
            surge: surge.peak_current(strong.contact).1,
            surge_integral: surge.joule_integral(strong.contact),
            bank,
        })
    }

    /// What the loop is made of in a corner.
    pub fn values(&self, bank: &BankSizing, corner: Corner) -> Values {
        let (coil, inductance) = corner.coil(&self.typical, &self.solenoid, self.ambient);
        let per_metre = conductor::at_temperature(
            conductor::resistance_at_20(self.wire),
            corner.temperature(self.ambient),
        );
        let wire = |length: Length, key: &str| {
            let stretch = if self.typical.contains(&key) { corner.typical_length() } else { 1.0 };
            per_metre * (length * stretch) + corner.joint() * 2.0
        };
        Values {
            capacitance: corner.capacitance(bank.capacitor),
            esr: corner.esr(bank.esr()),
            charged: match corner {
                Corner::Weak => bank.lowest,
                Corner::Strong => bank.highest,
            },
            coil,
            inductance,
            feed: wire(self.feed, "feed"),
            back: wire(self.back, "return"),
            contact: corner.contact(),
        }
    }

    fn build(&self, bank: &BankSizing, corner: Corner) -> Built {
        let v = self.values(bank, corner);
        let mut network = Network::new();
        let [plus, fired, returned] = ["bank +", "contact", "return"].map(|name| network.node(name));
        let capacitor = network.capacitor("C1", plus, GROUND, v.capacitance, v.esr, v.charged);
        // The supply is taken to give nothing while the bank is fired, unless that makes it worse.
        if corner == Corner::Strong {
            network.source("supply", plus, GROUND, Wave::Dc(v.charged), bank.limiter);
        }
        let contact = network.add("S1", plus, fired, Element::Resistor(v.contact));
        let back = network.resistor("return", returned, GROUND, v.back);
        let (mut feeds, mut coils) = (Vec::new(), Vec::new());
        for n in 1..=self.coils {
            let at = network.node(&format!("coil {n}"));
            feeds.push(network.resistor(format!("feed {n}"), fired, at, v.feed));
            coils.push(network.coil(format!("M{n}"), at, returned, v.coil, v.inductance));
        }
        let slow = Seconds::new(v.inductance.henries() / v.coil.ohms());
        let until = long_enough(v.capacitance, &[(v.coil, slow)]);
        Built { network, until, bank: capacitor, contact, back, feeds, coils }
    }
}

fn losses(built: &Built, transient: &Transient) -> Vec<Loss> {
    let feeds: Joules = built.feeds.iter().map(|id| transient.heat_in(*id)).sum();
    let places = [
        ("the coils' own wires", feeds),
        ("the shared return", transient.heat_in(built.back)),
        ("the contact that is worked", transient.heat_in(built.contact)),
        ("the capacitor itself", transient.heat_in(built.bank)),
    ];
    let all: Joules = places.iter().map(|(_, energy)| *energy).sum();
    let mut losses: Vec<Loss> = places
        .into_iter()
        .map(|(place, energy)| Loss { place: place.into(), class: None, energy, share: energy / all })
        .collect();
    losses.sort_by(|a, b| b.energy.total_cmp(&a.energy));
    losses
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::bank::{Bank, Coil};
    use crate::electrics::supply::stored_energy;
    use crate::parse::{AMBIENT, FiredFrom, SupplyKind};

    fn bare(coils: usize) -> Bare {
        Bare {
            supply: BankSupply { kind: SupplyKind::Ac, voltage: Volts::new(16.0), unloaded: None },
            solenoid: Solenoid {
                coil: Ohms::new(4.5),
                inductance: Henries::new(8e-3),
                energy: Joules::new(0.5),
                current: Amps::new(1.0),
                pulse: Seconds::new(10e-3),
                fired_from: FiredFrom::DischargeUnit,
            },
            typical: Vec::new(),
            coils,
            feed: Length::new(3.0),
            back: Length::new(4.0),
            wire: WireSize::mm2(0.5),
            ambient: AMBIENT,
        }
    }

    fn shot(coils: usize) -> BareShot {
        bare(coils).fire(BankChoice { each: Farads::new(4.7e-3), count: 1 }).unwrap()
    }

    /// Like coils fired together are one discharge in closed form (`Bank::discharge_per_coil`), which
    /// itself is checked against a general solver (`tests/reference/rlc.py`).
    #[test]
    fn agrees_with_the_closed_form() {
        for coils in [1, 3, 7] {
            let shot = shot(coils);
            let v = shot.weak;
            let bank = Bank {
                voltage: v.charged,
                capacitance: v.capacitance,
                esr: v.esr,
                common_return: v.back + v.contact,
            };
            let coil = Coil { resistance: v.coil, inductance: v.inductance, feed: v.feed };
            let closed = bank.discharge_per_coil(coil, coils as u32).unwrap();
            let near = |a: f64, b: f64, by: f64| assert!((a / b - 1.0).abs() < by, "{coils}: {a} {b}");
            near(shot.peak.amps(), closed.peak().1.amps(), 2e-4);
            // Flat at the top: the time is less sharp than the height.
            near(shot.peak_at.seconds(), closed.peak().0.seconds(), 1e-2);
            near(shot.energy.joules(), closed.energy_in(v.coil).joules(), 2e-4);
            near(shot.above.seconds(), closed.time_above(shot.needs.current).seconds(), 2e-4);
        }
    }

    #[test]
    fn no_energy_is_lost_from_the_account() {
        for coils in [1, 4] {
            let shot = shot(coils);
            let v = shot.weak;
            let given = stored_energy(v.capacitance, v.charged) - stored_energy(v.capacitance, shot.left);
            let found = shot.energy * coils as f64 + shot.losses.iter().map(|l| l.energy).sum::<Joules>();
            assert!((found / given - 1.0).abs() < 1e-4, "{coils}: {found} of {given}");
        }
    }

    #[test]
    fn the_search_ends_at_the_first_that_is_enough() {
        let shots = bare(3).search().unwrap();
        let (last, before) = shots.split_last().unwrap();
        assert!(last.is_enough() && !before.is_empty());
        assert!(before.iter().all(|s| !s.is_enough()));
        // More at once need more, and what stands in for a measured figure needs more too.
        let of = |bare: Bare| bare.search().unwrap().last().unwrap().bank.capacitor;
        assert!(of(bare(6)) > last.bank.capacitor);
        let guessed = Bare { typical: vec!["coil", "energy", "current", "feed"], ..bare(3) };
        let weaker = guessed.fire(last.bank.choice).unwrap();
        assert!(weaker.margin() < last.margin());
        // The strong corner is the stronger.
        assert!(last.surge > last.peak * 3.0);
    }
}
