//! Resettable parts (polymer PTC), radial, for 60 V.

use crate::units::{Amps, Celsius, Ohms, Volts};

/// One part of the family.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resettable {
    /// The current it holds at 23 °C.
    pub hold: Amps,
    /// The most it may show before it has ever tripped, as supplied or an hour after.
    pub highest: Ohms,
}

/// Hold current and greatest resistance (second-hand: a distributor's table of a radial 60 V series).
const FAMILY: [(f64, f64); 14] = [
    (0.10, 7.50),
    (0.20, 3.30),
    (0.30, 1.55),
    (0.50, 0.85),
    (0.75, 0.55),
    (0.90, 0.45),
    (1.10, 0.33),
    (1.35, 0.27),
    (1.60, 0.22),
    (1.85, 0.18),
    (2.50, 0.11),
    (3.00, 0.09),
    (3.75, 0.08),
    (5.00, 0.05),
];

/// The fault current such a part stands (the same table), and its voltage.
pub const MOST_FAULT: Amps = Amps::new(40.0);
pub const MOST_VOLTAGE: Volts = Volts::new(60.0);

/// By what the hold current changes with the ambient temperature (from memory, ±0.05).
const DERATING: [(f64, f64); 8] = [
    (-20.0, 1.36),
    (0.0, 1.18),
    (23.0, 1.00),
    (40.0, 0.84),
    (50.0, 0.77),
    (60.0, 0.68),
    (70.0, 0.59),
    (85.0, 0.45),
];

impl Resettable {
    /// What it holds at an ambient temperature; between the table's rows in proportion, beyond them as
    /// at the last row.
    pub fn hold_at(self, ambient: Celsius) -> Amps {
        self.hold * derating(ambient)
    }

    /// The current at which it trips at 23 °C: twice the hold current throughout the family.
    pub fn trip(self) -> Amps {
        self.hold * 2.0
    }
}

fn derating(ambient: Celsius) -> f64 {
    let at = ambient.degrees();
    let after = DERATING.partition_point(|(row, _)| *row < at);
    let (Some((x1, y1)), Some((x0, y0))) =
        (DERATING.get(after), after.checked_sub(1).and_then(|n| DERATING.get(n)))
    else {
        return DERATING[after.min(DERATING.len() - 1)].1;
    };
    y0 + (y1 - y0) * (at - x0) / (x1 - x0)
}

/// The smallest part that holds a load at an ambient temperature; `None` if none does.
pub fn holding(load: Amps, ambient: Celsius) -> Option<Resettable> {
    FAMILY
        .into_iter()
        .map(|(hold, highest)| Resettable { hold: Amps::new(hold), highest: Ohms::new(highest) })
        .find(|part| part.hold_at(ambient) >= load * (1.0 - 1e-9))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hold_falls_with_heat() {
        // Rows of the usual derating table (from memory), and half-way between two of them.
        let part = Resettable { hold: Amps::new(1.0), highest: Ohms::new(0.33) };
        for (degrees, factor) in
            [(-40.0, 1.36), (23.0, 1.0), (40.0, 0.84), (45.0, 0.805), (60.0, 0.68), (99.0, 0.45)]
        {
            let held = part.hold_at(Celsius::new(degrees)).amps();
            assert!((held - factor).abs() < 1e-9, "{degrees} °C: {held}");
        }
        assert_eq!(part.trip(), Amps::new(2.0));
    }

    #[test]
    fn part_for_a_load() {
        let hold = |load, degrees| holding(Amps::new(load), Celsius::new(degrees)).map(|p| p.hold.amps());
        // 1 A at 23 °C takes the 1.10 A part, at 40 °C (1.10·0.84 = 0.924 A) the 1.35 A part.
        assert_eq!(hold(1.0, 23.0), Some(1.10));
        assert_eq!(hold(1.0, 40.0), Some(1.35));
        assert_eq!(hold(0.05, 23.0), Some(0.10));
        assert_eq!(hold(6.0, 23.0), None);
    }

    #[test]
    fn larger_parts_resist_less() {
        // By the table: a 1.10 A part at 1 A loses up to 0.33 V.
        let part = holding(Amps::new(1.0), Celsius::new(23.0)).unwrap();
        assert!(((part.highest * Amps::new(1.0)).volts() - 0.33).abs() < 1e-12);
        assert!(FAMILY.windows(2).all(|p| p[0].0 < p[1].0 && p[0].1 > p[1].1));
    }
}
