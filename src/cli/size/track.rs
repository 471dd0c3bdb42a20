//! `underboard size track`

use clap::Args;

use super::answer::{Answer, Grid};
use super::asked::{Share, as_key, run, share, within};
use super::wire::{Wires, metres};
use crate::cli::report::Failure;
use crate::drives::sizing::{COIN, Figure};
use crate::electrics::conductor;
use crate::electrics::drop::{self, Leg};
use crate::units::{Amps, Length, Ohms, Volts, WireSize};

/// The bus under the track: whether a short at its far end trips the booster, and what it loses
#[derive(Args)]
#[command(after_help = "Example:\n  \
    underboard size track --voltage \"14 V\" --trip \"5 A\" --length \"13 m\"")]
pub struct Arguments {
    /// The voltage on the rails
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", default_value = "14 V",
        value_parser = as_key::<Volts>("track-power", "", "voltage"))]
    voltage: Volts,

    /// The current at which booster or controller cuts off
    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", default_value = "3 A",
        value_parser = as_key::<Amps>("track-power", "", "trip"))]
    trip: Amps,

    /// From the booster to the far end of the bus, one way
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", value_parser = within::<Length>("10 mm", "500 m"))]
    length: Length,

    /// The share of the voltage that may be lost at the full current
    #[arg(long, allow_hyphen_values = true, value_name = "SHARE", default_value = "5 %", value_parser = share)]
    loss: Share,

    #[command(flatten)]
    wires: Wires,
}

/// One size as a bus.
struct Bus {
    size: WireSize,
    loop_resistance: Ohms,
    lost: Volts,
    short: Amps,
    trips: bool,
    carries: Amps,
    /// The longest it may be, for the short and for the loss.
    longest: (Length, Length),
}

impl Bus {
    fn of(size: WireSize, asked: &Arguments) -> Bus {
        let Arguments { voltage, trip, length, loss, wires: Wires { temperature, .. } } = asked;
        let resistance = conductor::at_temperature(conductor::resistance_at_20(size), *temperature);
        let loop_resistance = drop::loop_resistance(&[Leg { resistance, length: *length }]);
        let longest = |allowed: Volts, current: Amps| drop::longest_run(allowed, current, resistance);
        Bus {
            size,
            loop_resistance,
            lost: drop::run_drop(*trip, resistance, *length),
            short: drop::fault_current(*voltage, loop_resistance),
            trips: drop::coin_trips(*voltage, loop_resistance, *trip, COIN),
            carries: conductor::ampacity(size),
            longest: (longest(*voltage, *trip * COIN), longest(*voltage * loss.0, *trip)),
        }
    }

    fn will_do(&self, asked: &Arguments) -> bool {
        self.trips && self.carries >= asked.trip && self.lost <= asked.voltage * asked.loss.0
    }

    fn row(&self, asked: &Arguments) -> Vec<String> {
        let verdict = if !self.trips {
            "a short may not trip"
        } else if self.carries < asked.trip {
            "gets too hot"
        } else if self.lost > asked.voltage * asked.loss.0 {
            "loses too much"
        } else {
            "will do"
        };
        vec![
            self.size.label(),
            self.loop_resistance.to_string(),
            match self.lost < asked.voltage {
                true => format!("{} ({})", self.lost, Share(self.lost / asked.voltage)),
                false => "all of it".into(),
            },
            self.short.to_string(),
            if self.trips { "yes" } else { "no" }.into(),
            self.carries.to_string(),
            metres(self.longest.0),
            metres(self.longest.1),
            verdict.into(),
        ]
    }
}

/// Thinner wire is no bus; 4 mm² is sold for buses too (common practice, no source).
fn bus_sizes() -> Vec<WireSize> {
    let thick = |size: &WireSize| size.area().mm2() >= 0.5;
    conductor::usual_sizes().into_iter().filter(thick).chain([WireSize::mm2(4.0)]).collect()
}

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let buses: Vec<Bus> =
        asked.wires.sizes(bus_sizes()).into_iter().map(|size| Bus::of(size, asked)).collect();
    let best = buses.iter().position(|bus| bus.will_do(asked));
    let thickest = &buses[buses.len() - 1];
    let shown = best.map_or(thickest, |n| &buses[n]);
    let Arguments { voltage, trip, length, .. } = asked;
    let result = match best {
        Some(_) => format!(
            "Bus for {trip} over {}: {}. A short at its end draws {}, {:.1} times what trips the booster.",
            run(*length),
            shown.size.label(),
            shown.short,
            shown.short / *trip
        ),
        None => {
            let longest = thickest.longest.0.min(thickest.longest.1);
            let why = match thickest.carries < *trip {
                true => format!("{} may carry {}", thickest.size.label(), thickest.carries),
                false => format!("with {} it may be {}", thickest.size.label(), metres(longest)),
            };
            format!(
                "No bus of these does for {trip} over {}: {why}. Put the booster in the middle, feed from several \
                 sides, or divide the track between boosters.",
                run(*length)
            )
        }
    };
    Ok(Answer {
        result,
        enough: best.is_some(),
        table: Some(Grid {
            heads: vec![
"wire", "loop", "lost", "short", "trips", "may carry", "run: short", "run: loss", "verdict",
],
            rows: buses.iter().map(|bus| bus.row(asked)).collect(),
            marked: best,
        }),
        figures: vec![
            Figure::new("track", format!("a short at the end of {}", shown.size.label()), shown.short)
                .input("voltage", voltage)
                .input("loop, there and back", format!("{} ({})", shown.loop_resistance, run(*length * 2.0)))
                .input("trips at", trip)
                .input("loop at most", drop::coin_loop_limit(*voltage, *trip, COIN))
                .by("I = U/R_loop ≥ 1.5 · I_trip", "coin test: common practice, no source"),
            Figure::new("track", "lost at full current", shown.lost)
                .input("may be lost", format!("{}, {}", *voltage * asked.loss.0, asked.loss))
                .input("temperature", asked.wires.temperature)
                .by("U = 2·I·r(θ)·l", "IEC 60228 class 5 (second-hand tables), ASTM B258 for AWG, IEC 60028"),
            Figure::new("track", format!("longest run with {}", shown.size.label()), metres(shown.longest.0.min(shown.longest.1)))
                .input("for the short", metres(shown.longest.0))
                .input("for the loss", metres(shown.longest.1))
                .by("l = U/(1.5·I_trip)/(2·r) and l = U_loss/(2·I_trip·r); the lesser", "Ohm's law"),
        ],
        cautions: vec![
            "try it: lay a coin across the rails at every place; the booster must cut off at once, each time.".into(),
        ],
        leaves_out: "rails, droppers, fishplates, plugs and the booster's own resistance, all of which lower the \
            short's current",
        look_first: "rails that hang on fishplates alone, droppers that are missing or too long, and a poor joint in \
            the bus",
    })
}
