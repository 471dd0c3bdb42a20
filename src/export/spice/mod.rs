//! A network as a SPICE deck, for whoever wants to look at it with another program.
//!
//! `ngspice -b circuit.cir` runs it unchanged and prints the figures that were asked for. The elements
//! are the same as those of [`crate::electrics::transient`]: a diode is its two straight lines as a
//! controlled current source, a switch one that follows a staircase of voltage, a wire without resistance is a
//! voltage source of 0 V. Names are made legal; comments say what each line stands for.

mod lines;
mod names;
#[cfg(test)]
mod tests;

use std::fmt::Write;

use crate::electrics::transient::{ElementId, Network, Node};
use crate::units::{Amps, Seconds, Volts};
use lines::Lines;
use names::Names;

/// What a run of the deck measures and prints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// The largest current either way, in A; NAME_at is its time in s.
    PeakCurrent(ElementId),
    /// What an element turns into heat, in J: R·∫i² dt; of a diode or switch ∫v·i dt.
    Heat(ElementId),
    /// How long the current stays at or above a threshold, in s, from the first time it rises to it until
    /// it falls below. Fails if it starts above or does not fall.
    TimeAbove(ElementId, Amps),
    /// When the voltage on a capacitor first rises to a level, in s.
    ChargedTo(ElementId, Volts),
    /// The voltage on a capacitor at the end, in V.
    ChargeLeft(ElementId),
    /// The voltage of a node over ground at the end, in V.
    EndVoltage(Node),
    /// The current of an element at the end, in A, from its first node to its second.
    EndCurrent(ElementId),
}

/// A network with what is to be done with it.
#[derive(Clone, Copy, Debug)]
pub struct Deck<'a> {
    /// The first line, and no more than one line.
    pub title: &'a str,
    pub network: &'a Network,
    /// The time to simulate.
    pub until: Seconds,
    /// The longest step, and how far apart results are kept. A thousandth of `until` is usual.
    pub step: Seconds,
    /// Each with the name it is printed under.
    pub measures: &'a [(String, Measure)],
}

impl Deck<'_> {
    /// The text of the deck.
    pub fn text(&self) -> String {
        let mut text = format!("{}\n", one_line(self.title));
        text += "* Values in V, A, Ohm, H, F, s. Run with: ngspice -b FILE\n";
        let mut names = Names::default();
        let lines = Lines::of(self.network, &mut names);
        let (mut parts, mut asked) = (String::new(), String::new());
        for (name, measure) in self.measures {
            let name = names.own(name);
            let probe = Probe::of(&name, *measure, self.until, &lines);
            let _ = writeln!(parts, "* for {name}: {}\n{}", probe.what, probe.part);
            asked += &probe.asked;
        }
        text += &lines.text;
        text += &parts;
        text += "* Close tolerances: the figures are for comparison.\n";
        text += ".options reltol=1e-5 abstol=1e-8 vntol=1e-6 itl4=100\n";
        let (step, until) = (number(self.step.seconds()), number(self.until.seconds()));
        // `uic`: from the voltages and currents that the elements say, without looking for rest before.
        let _ = writeln!(text, ".tran {step} {until} 0 {step} uic");
        text += &asked;
        text += ".end\n";
        text
    }
}

/// What one measure takes: a part that makes what is measured the voltage of a node of its own, so that
/// every `.meas` has the same plain form; and the `.meas` itself.
struct Probe {
    what: &'static str,
    part: String,
    asked: String,
}

impl Probe {
    fn of(name: &str, measure: Measure, until: Seconds, lines: &Lines) -> Probe {
        let node = format!("m_{name}");
        let until = number(until.seconds());
        let current = |id| ("current", format!("H{node} {node} 0 {} 1", lines.meter(id)));
        let charge = |id| {
            let (plus, minus) = lines.plates(id);
            ("voltage on the capacitor", format!("E{node} {node} 0 {plus} {minus} 1"))
        };
        let at_the_end = format!("FIND v({node}) AT={until}");
        let ((what, part), asked) = match measure {
            Measure::PeakCurrent(id) => {
                let size = format!("B{node} {node} 0 V=abs(i({}))", lines.meter(id));
                let also = format!("MAX v({node})\n.meas tran {name}_at MAX_AT v({node})");
                (("size of the current", size), also)
            }
            Measure::Heat(id) => {
                let power = format!("B{node} {node} 0 V={}", lines.heat(id));
                (("power", power), format!("INTEG v({node}) FROM=0 TO={until}"))
            }
            Measure::TimeAbove(id, threshold) => {
                let level = number(threshold.amps());
                let asked = format!("TRIG v({node}) VAL={level} RISE=1 TARG v({node}) VAL={level} FALL=1");
                (current(id), asked)
            }
            Measure::ChargedTo(id, level) => {
                (charge(id), format!("WHEN v({node})={} RISE=1", number(level.volts())))
            }
            Measure::ChargeLeft(id) => (charge(id), at_the_end),
            Measure::EndVoltage(at) => {
                (("voltage", format!("E{node} {node} 0 {} 0 1", lines.node(at))), at_the_end)
            }
            Measure::EndCurrent(id) => (current(id), at_the_end),
        };
        Probe { what, part, asked: format!(".meas tran {name} {asked}\n") }
    }
}

/// A number as SPICE reads it: with an exponent and no unit, and so that it reads back the same.
fn number(value: f64) -> String {
    format!("{value:e}")
}

/// A comment may not run over its line; a title that begins like a command would not be one.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect::<String>().trim().to_owned()
}
