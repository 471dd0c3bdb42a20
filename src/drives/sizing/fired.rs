//! What firing the finished circuit in simulation chose and found. The simulation stands further on
//! (`crate::firing`); its results come back here, so that every figure is in one list.

use super::WireClass;
use crate::parse::{BarId, ControlId, Document, RouteId};
use crate::source::Span;
use crate::track::Position;
use crate::units::{Amps, Farads, JouleIntegral, Joules, Seconds, Volts, WireSize};

/// Capacitors in parallel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankChoice {
    pub each: Farads,
    pub count: usize,
}

impl BankChoice {
    pub fn total(self) -> Farads {
        self.each * self.count as f64
    }

    /// "4700 µF", "2 × 4700 µF in parallel"
    pub fn words(self) -> String {
        match self.count {
            1 => self.each.to_string(),
            n => format!("{n} × {} in parallel", self.each),
        }
    }
}

/// What discharges the bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Trigger {
    Control(ControlId, Position),
    Route(RouteId),
}

impl Trigger {
    /// Where the file describes it.
    pub fn span(self, document: &Document) -> Span {
        match self {
            Trigger::Control(control, _) => document[control].span,
            Trigger::Route(route) => document[route].span,
        }
    }
}

/// What one coil needs for a sure throw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needs {
    pub energy: Joules,
    pub current: Amps,
    /// The time for which the current must be at least that.
    pub time: Seconds,
}

impl Needs {
    /// What a pulse gives as a share of what is needed, of whatever it gives least of, and which that
    /// is: "energy", "current" or "time".
    pub fn met(&self, energy: Joules, peak: Amps, above: Seconds) -> (f64, &'static str) {
        let shares =
            [(energy / self.energy, "energy"), (peak / self.current, "current"), (above / self.time, "time")];
        let (first, rest) = (shares[0], &shares[1..]);
        rest.iter().fold(first, |least, share| if share.0 < least.0 { *share } else { least })
    }
}

/// What each coil must have of energy, current and time: this many times what its drive needs (common
/// practice, no source).
pub const MARGIN: f64 = 1.1;

/// What one coil gets in the weakest corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilPulse {
    pub bar: BarId,
    pub position: Position,
    pub energy: Joules,
    pub peak: Amps,
    /// When the peak comes.
    pub peak_at: Seconds,
    /// How long the current is at or above what the drive needs.
    pub above: Seconds,
    pub needs: Needs,
}

impl CoilPulse {
    /// What it gets as a share of what it needs, of whatever it has least of.
    pub fn margin(&self) -> f64 {
        self.needs.met(self.energy, self.peak, self.above).0
    }

    /// For putting coils in order: as the margin, but it still tells them apart where the current does not
    /// come up to the need, so that the time above it, and with it the margin, is nothing.
    pub fn rank(&self) -> f64 {
        let current = self.peak / self.needs.current;
        if current < 1.0 { current - 1.0 } else { self.margin() }
    }

    /// What it has least of: "energy", "current" or "time".
    pub fn least(&self) -> &'static str {
        self.needs.met(self.energy, self.peak, self.above).1
    }
}

/// Energy that does not reach a coil.
#[derive(Clone, Debug, PartialEq)]
pub struct Loss {
    /// "the common return from the panel to board 2"
    pub place: String,
    /// Of the wires, if it is one kind of wire.
    pub class: Option<WireClass>,
    pub energy: Joules,
    /// Of all that is lost.
    pub share: f64,
}

/// What came of working one control.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    pub trigger: Trigger,
    /// In the weakest corner.
    pub coils: Vec<CoilPulse>,
    /// On the bank before and after, weakest corner.
    pub start: Volts,
    pub left: Volts,
    /// Where energy went that no coil had, weakest corner, the largest first.
    pub losses: Vec<Loss>,
    /// Through the contact, strongest corner.
    pub surge: Amps,
    pub surge_integral: JouleIntegral,
    /// Through the diode that bears most, strongest corner; `None` if it needs none.
    pub diode_surge: Option<Amps>,
}

impl Shot {
    /// Of the coil that comes off worst; infinite if it fires none.
    pub fn margin(&self) -> f64 {
        self.coils.iter().map(CoilPulse::margin).fold(f64::INFINITY, f64::min)
    }

    /// As [`CoilPulse::rank`], of the coil that comes off worst.
    pub fn rank(&self) -> f64 {
        self.coils.iter().map(CoilPulse::rank).fold(f64::INFINITY, f64::min)
    }

    pub fn worst_coil(&self) -> Option<&CoilPulse> {
        self.coils.iter().min_by(|a, b| a.rank().total_cmp(&b.rank()))
    }
}

/// A change that would help, and the margin that would come of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    pub words: String,
    pub margin: f64,
}

/// The result of the simulation for one discharge unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fired {
    pub bank: BankChoice,
    pub rated: Volts,
    pub wires: Vec<(WireClass, WireSize)>,
    /// The shot that comes off worst, and in it the coil that does.
    pub worst: Shot,
    pub coil: CoilPulse,
    /// The strongest pulse through any control, in the strongest corner.
    pub surge: Amps,
    /// ∫ i² dt of that pulse.
    pub surge_integral: JouleIntegral,
    /// The strongest pulse through a diode of the routes; `None` without diodes.
    pub diode_surge: Option<Amps>,
    /// The lowest margin of each bar.
    pub margins: Vec<(BarId, f64)>,
    /// What would help, the best first; empty if it is enough.
    pub remedies: Vec<Remedy>,
}

impl Fired {
    /// Whether the margin asked for is reached.
    pub fn enough(&self) -> bool {
        self.coil.margin() >= MARGIN
    }
}
