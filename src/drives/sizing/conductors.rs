//! Choosing a wire from what the builder has, or from the usual sizes.

use super::{Figure, Load, WireClass, Work};
use crate::diag::Diagnostic;
use crate::drives::{SUPPLY_LEAD, UsePlan};
use crate::electrics::conductor;
use crate::units::{Amps, Length, Ohms, Volts, WireSize};

/// One demand on a class of wires.
#[derive(Clone, Copy)]
pub(super) struct Demand {
    pub part: &'static str,
    pub class: WireClass,
    pub current: Amps,
    /// Current that heats the wire: less than `current` for pulses.
    pub lasting: Amps,
    /// Of conductor, there and back if both count.
    pub length: Length,
    pub allowed_drop: Volts,
    pub least: WireSize,
}

impl Work<'_> {
    /// Resistance of a conductor at the highest ambient temperature.
    pub fn resistance(&self, size: WireSize, length: Length) -> Ohms {
        let per_metre =
            conductor::at_temperature(conductor::resistance_at_20(size), self.document.layout.ambient.1);
        per_metre * length
    }

    /// The wire from a plug-in supply to its fuse and what follows: it must bear whatever the fuse
    /// lets through.
    pub fn supply_wire(&mut self, part: &'static str, current: Amps, fuse: Amps, voltage: Volts) {
        self.choose(Demand {
            part,
            class: WireClass::Supply,
            current,
            lasting: fuse,
            length: SUPPLY_LEAD * 2.0,
            allowed_drop: voltage * 0.02,
            least: WireSize::mm2(0.5),
        });
    }

    /// What the builder's own supply of a use must bear, each with its name.
    pub fn supply_bears(&mut self, use_plan: &UsePlan, loads: [(&str, Amps); 2]) {
        let Some(limit) = use_plan.supply.current else { return };
        self.sizing.loads.extend(loads.map(|(what, current)| Load {
            what: what.into(),
            current,
            limit,
            pulse: false,
            belongs_to: Some(use_plan.kind),
        }));
    }

    /// Wires of one class are all of one size, the thickest that any of them needs: figures of the
    /// others say so.
    pub fn say_what_is_wired(&mut self) {
        for class in WireClass::ALL {
            let Some(wired) = self.sizing.wires.get(&class).map(|s| s.label()) else { continue };
            let name = format!("wire for the {}", class.word());
            for figure in self.sizing.figures.iter_mut().filter(|f| f.name == name) {
                if figure.value != wired {
                    figure.value = format!("{wired} ({} would do)", figure.value);
                }
            }
        }
    }

    /// Chooses, records and returns the wire for a demand; what was chosen for the class before is
    /// kept if it is thicker.
    pub fn choose(&mut self, demand: Demand) -> WireSize {
        let hot = self.document.layout.ambient.1;
        let usual = conductor::usual_sizes();
        let stock = if self.document.wire_stock.is_empty() { &usual } else { &self.document.wire_stock };
        let fits = |sizes: &[WireSize]| {
            let thick: Vec<WireSize> = sizes
                .iter()
                .copied()
                // A little tolerance lets 16/0.2 (0.503 mm²) and AWG 20 (0.518) count as 0.5 mm².
                .filter(|s| s.area().mm2() >= 0.99 * demand.least.area().mm2())
                .filter(|s| conductor::ampacity(*s) >= demand.lasting)
                .collect();
            // The drop is for the full current, the heat for the lasting one: ask for them apart.
            thick
                .iter()
                .copied()
                .filter(|s| self.resistance(*s, demand.length) * demand.current <= demand.allowed_drop)
                .min_by(|a, b| a.area().total_cmp(&b.area()))
        };
        let (in_stock, better) = (fits(stock), fits(&usual));
        let thickest = stock.iter().copied().max_by(|a, b| a.area().total_cmp(&b.area()));
        if in_stock.is_none() {
            self.diagnostics.push(too_thin(&demand, self.document.wire_stock.is_empty(), better));
        }
        let chosen = in_stock.or(better).or(thickest);
        let chosen = chosen.unwrap_or(demand.least);
        let before = self.sizing.wires.get(&demand.class).copied();
        let size = match before {
            Some(b) if b.area().total_cmp(&chosen.area()).is_ge() => b,
            _ => chosen,
        };
        self.sizing.wires.insert(demand.class, size);
        let drop = self.resistance(chosen, demand.length) * demand.current;
        self.sizing.figures.push(
            Figure::new(demand.part, format!("wire for the {}", demand.class.word()), chosen.label())
                .input("current, at most", demand.current)
                .input("conductor, shared parts counted for each", demand.length)
                .input("allowed loss", demand.allowed_drop)
                .input("conductor temperature", hot)
                .input("loss in this wire", drop)
                .by(
                    "smallest size with I·r(θ)·l ≤ allowed loss and lasting current ≤ what the wire may \
                     carry; r(θ) = r20·(1 + 0.00393·(θ − 20 °C))",
                    "IEC 60228 class 5 (second-hand tables) and ASTM B258 for resistance; current by \
                     domain tables, from memory",
                ),
        );
        size
    }
}

fn too_thin(demand: &Demand, usual: bool, better: Option<WireSize>) -> Diagnostic {
    let whence = if usual { "of the usual sizes" } else { "in stock" };
    let wanted = better.map_or("a thicker wire or a shorter run".to_owned(), WireSize::label);
    Diagnostic::warning(
        "wire-too-thin",
        format!(
            "no wire {whence} is thick enough for the {}: {} over {} of wire may lose {}",
            demand.class.word(),
            demand.current,
            demand.length,
            demand.allowed_drop,
        ),
    )
    .help(format!("use {wanted}"))
}
