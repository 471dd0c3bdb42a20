//! Miniature fuse links of 5×20 mm, IEC 60127.

use crate::units::{Amps, JouleIntegral, Ohms, Seconds, Volts};

/// Rated currents of IEC 60127 (series R10; list second-hand from a data sheet).
pub const RATED_CURRENTS: [Amps; 26] = [
    Amps::new(0.032),
    Amps::new(0.040),
    Amps::new(0.050),
    Amps::new(0.063),
    Amps::new(0.080),
    Amps::new(0.100),
    Amps::new(0.125),
    Amps::new(0.160),
    Amps::new(0.200),
    Amps::new(0.250),
    Amps::new(0.315),
    Amps::new(0.400),
    Amps::new(0.500),
    Amps::new(0.630),
    Amps::new(0.800),
    Amps::new(1.0),
    Amps::new(1.25),
    Amps::new(1.6),
    Amps::new(2.0),
    Amps::new(2.5),
    Amps::new(3.15),
    Amps::new(4.0),
    Amps::new(5.0),
    Amps::new(6.3),
    Amps::new(8.0),
    Amps::new(10.0),
];

/// The smallest rated current not below `current`; `None` above 10 A.
pub fn rating_at_least(current: Amps) -> Option<Amps> {
    // Arithmetic noise must not jump to the next rating.
    RATED_CURRENTS.into_iter().find(|rated| *rated >= current * (1.0 - 1e-9))
}

/// The two characteristics in use on layouts, both of low breaking capacity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Characteristic {
    /// Quick acting, F/L: IEC 60127-2 sheet 2.
    QuickActing,
    /// Time-lag, T/L: IEC 60127-2 sheet 3.
    TimeLag,
}

impl Characteristic {
    /// The mark on the cap before the rating: "F" or "T".
    pub fn mark(self) -> &'static str {
        match self {
            Characteristic::QuickActing => "F",
            Characteristic::TimeLag => "T",
        }
    }
}

/// Between which times a fuse link opens at a multiple of its rated current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gate {
    pub multiple: f64,
    /// Zero where the standard sets no least time.
    pub least: Seconds,
    pub most: Seconds,
}

/// The gates of a fuse link's pre-arcing time at 2.1, 2.75, 4 and 10 times its rated current
/// (IEC 60127-2 sheets 2 and 3, second-hand from data sheets). `None` outside 32 mA to 6.3 A.
pub fn gates(characteristic: Characteristic, rating: Amps) -> Option<[Gate; 4]> {
    if !(0.032..=6.3).contains(&rating.amps()) {
        return None;
    }
    let small = rating.amps() <= 0.1;
    // Least and most seconds at each multiple.
    let times: [(f64, f64); 4] = match (characteristic, small) {
        (Characteristic::QuickActing, true) => [(0.0, 1800.0), (0.01, 0.5), (0.003, 0.1), (0.0, 0.02)],
        (Characteristic::QuickActing, false) => [(0.0, 1800.0), (0.05, 2.0), (0.01, 0.3), (0.0, 0.02)],
        (Characteristic::TimeLag, true) => [(0.0, 120.0), (0.2, 10.0), (0.04, 3.0), (0.01, 0.3)],
        (Characteristic::TimeLag, false) => [(0.0, 120.0), (0.6, 10.0), (0.15, 3.0), (0.02, 0.3)],
    };
    let multiples = [2.1, SURE, 4.0, 10.0];
    Some(std::array::from_fn(|n| Gate {
        multiple: multiples[n],
        least: Seconds::new(times[n].0),
        most: Seconds::new(times[n].1),
    }))
}

/// The longest a fuse link may take at `current`, by the highest gate the current reaches; `None` if
/// it reaches none, so that opening is not assured.
pub fn opens_within(characteristic: Characteristic, rating: Amps, current: Amps) -> Option<Seconds> {
    let gates = gates(characteristic, rating)?;
    gates.iter().rfind(|gate| current >= rating * gate.multiple).map(|gate| gate.most)
}

/// The multiple of its rating at which a link opens for sure within seconds: the second gate.
pub const SURE: f64 = 2.75;

/// The largest loop from the supply to a short and back that still opens a link within the time of its
/// gate at 2.75 times its rating (10 s time-lag, 2 s quick acting): R = U/(2.75·I_n). `None` outside
/// 32 mA to 6.3 A.
pub fn largest_loop(characteristic: Characteristic, rating: Amps, voltage: Volts) -> Option<Ohms> {
    gates(characteristic, rating)?.iter().find(|gate| gate.multiple == SURE)?;
    Some(voltage / (rating * SURE))
}

/// The largest part of its rating that a link of IEC 60127 should carry for good: 0.8 (common
/// practice: 0.8 to 0.9 at 25 °C; no source).
pub const LASTING_SHARE: f64 = 0.8;

/// The smallest rating of which a load is no more than [`LASTING_SHARE`]; `None` above 8 A.
pub fn rating_for(load: Amps) -> Option<Amps> {
    rating_at_least(load / LASTING_SHARE)
}

/// Typical Joule integral at which a link melts (second-hand from data sheets), for the ratings the
/// sheets give; `None` for others.
pub fn typical_melting(characteristic: Characteristic, rating: Amps) -> Option<JouleIntegral> {
    let table: [(f64, f64); 4] = match characteristic {
        Characteristic::QuickActing => [(1.0, 0.60), (2.0, 4.2), (3.15, 13.0), (5.0, 42.0)],
        Characteristic::TimeLag => [(1.0, 19.2), (2.0, 92.7), (2.5, 138.0), (3.15, 202.0)],
    };
    let row = table.iter().find(|(rated, _)| (rated - rating.amps()).abs() < 1e-9);
    row.map(|(_, melting)| JouleIntegral::new(*melting))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::discharge::Discharge;
    use crate::units::{Farads, Henries, Ohms, Volts};

    #[test]
    fn ratings() {
        assert_eq!(rating_at_least(Amps::new(0.9)), Some(Amps::new(1.0)));
        assert_eq!(rating_at_least(Amps::new(1.0)), Some(Amps::new(1.0)));
        assert_eq!(rating_at_least(Amps::new(0.1 + 0.2 + 0.015)), Some(Amps::new(0.315)));
        assert_eq!(rating_at_least(Amps::new(11.0)), None);
        assert!(RATED_CURRENTS.is_sorted());
    }

    #[test]
    fn time_lag_gates_by_sheet_3() {
        // dtsheet.com/doc/2027983: T/L 1 A.
        let gates = gates(Characteristic::TimeLag, Amps::new(1.0)).unwrap();
        let as_numbers = gates.map(|gate| (gate.multiple, gate.least.seconds(), gate.most.seconds()));
        assert_eq!(as_numbers, [(2.1, 0.0, 120.0), (2.75, 0.6, 10.0), (4.0, 0.15, 3.0), (10.0, 0.02, 0.3)]);
    }

    #[test]
    fn quick_acting_gates_by_sheet_2() {
        // eeworld.com data sheet 47047916: F/L.
        let small = gates(Characteristic::QuickActing, Amps::new(0.1)).unwrap();
        assert_eq!((small[1].least, small[1].most), (Seconds::new(0.01), Seconds::new(0.5)));
        let large = gates(Characteristic::QuickActing, Amps::new(2.0)).unwrap();
        assert_eq!((large[2].least, large[2].most), (Seconds::new(0.01), Seconds::new(0.3)));
        assert_eq!(gates(Characteristic::QuickActing, Amps::new(10.0)), None);
    }

    #[test]
    fn opening_time_by_the_gate_reached() {
        let within = |amps| opens_within(Characteristic::TimeLag, Amps::new(2.0), Amps::new(amps));
        assert_eq!(within(4.0), None);
        assert_eq!(within(5.5), Some(Seconds::new(10.0)));
        assert_eq!(within(19.9), Some(Seconds::new(3.0)));
        assert_eq!(within(20.0), Some(Seconds::new(0.3)));
    }

    #[test]
    fn a_loop_that_just_opens_the_link() {
        // IEC 60127-2 sheet 3: 1 A, 2.75 A, 10 s. By hand 12 V/2.75 A = 4.36 Ω.
        let (lag, one) = (Characteristic::TimeLag, Amps::new(1.0));
        let largest = largest_loop(lag, one, Volts::new(12.0)).unwrap();
        assert!((largest.ohms() - 4.364).abs() < 1e-3);
        assert_eq!(opens_within(lag, one, Volts::new(12.0) / largest), Some(Seconds::new(10.0)));
        // A little more, and only the gate at 2.1 times is reached: two minutes.
        assert_eq!(opens_within(lag, one, Volts::new(12.0) / (largest * 1.001)), Some(Seconds::new(120.0)));
        assert_eq!(largest_loop(lag, Amps::new(8.0), Volts::new(12.0)), None);
    }

    #[test]
    fn load_within_the_lasting_share() {
        // Common practice: IEC links carry up to 80 to 90 % of their rating.
        assert_eq!(rating_for(Amps::new(0.384)), Some(Amps::new(0.5)));
        assert_eq!(rating_for(Amps::new(0.4)), Some(Amps::new(0.5)));
        assert_eq!(rating_for(Amps::new(0.41)), Some(Amps::new(0.63)));
        assert_eq!(rating_for(Amps::new(9.0)), None);
    }

    #[test]
    fn a_bank_does_not_melt_a_quick_1_amp_link() {
        // 4700 µF at 24 V into 4.5 Ω: 0.3008 A²s (W/R) against typically 0.60 A²s.
        let pulse =
            Discharge::new(Volts::new(24.0), Ohms::new(4.5), Henries::new(0.01), Farads::new(4700e-6))
                .unwrap();
        assert!((pulse.joule_integral().amps_squared_seconds() - 0.3008).abs() < 1e-6);
        let melting = typical_melting(Characteristic::QuickActing, Amps::new(1.0)).unwrap();
        assert!(pulse.joule_integral() < melting);
        assert_eq!(typical_melting(Characteristic::TimeLag, Amps::new(1.6)), None);
    }
}
