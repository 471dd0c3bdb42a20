//! The closed forms against numbers from general-purpose solvers, made by `tests/reference/*.py`.

use underboard::electrics::charging::RectifiedCharge;
use underboard::electrics::discharge::{Damping, Discharge};
use underboard::units::{Amps, Farads, Henries, Ohms, Seconds, Volts};

/// The rows of a reference file without its heading.
fn rows(file: &str) -> Vec<Vec<String>> {
    let path = format!("{}/tests/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    reader.records().map(|record| record.unwrap().iter().map(str::to_string).collect()).collect()
}

fn numbers(cells: &[String]) -> Vec<f64> {
    cells.iter().map(|cell| cell.parse().unwrap_or_else(|error| panic!("{cell}: {error}"))).collect()
}

fn assert_near(actual: f64, expected: f64, scale: f64, what: &str, row: &[String]) {
    assert!((actual - expected).abs() <= 1e-6 * scale.abs(), "{what}: {actual}, not {expected}, in {row:?}");
}

/// scipy's DOP853 at a relative tolerance of 3e-14 (`rlc.py`).
#[test]
fn discharge_agrees_with_a_solver() {
    let rows = rows("rlc.csv");
    assert!(rows.len() >= 30);
    for kind in ["under", "critical", "over"] {
        assert!(rows.iter().filter(|row| row[4] == kind).count() >= 3, "{kind}");
    }
    for row in &rows {
        let [volts, ohms, henries, farads] = numbers(&row[..4])[..] else { panic!("{row:?}") };
        let [peak_s, peak_a, half_i, double_i, double_v, above, integral] = numbers(&row[5..])[..] else {
            panic!("{row:?}")
        };
        let discharge =
            Discharge::new(Volts::new(volts), Ohms::new(ohms), Henries::new(henries), Farads::new(farads))
                .unwrap();
        let damping = match discharge.damping() {
            Damping::Under => "under",
            Damping::Critical => "critical",
            Damping::Over => "over",
        };
        assert_eq!(damping, row[4]);
        let (at, peak) = discharge.peak();
        assert_near(at.seconds(), peak_s, peak_s, "time of peak", row);
        assert_near(peak.amps(), peak_a, peak_a, "peak", row);
        let reference = Seconds::new(peak_s);
        assert_near(discharge.current_at(reference * 0.5).amps(), half_i, half_i, "rising current", row);
        assert_near(discharge.current_at(reference * 2.0).amps(), double_i, double_i, "falling current", row);
        // The bank's voltage may pass through zero there, so it is measured against the full one.
        assert_near(discharge.voltage_at(reference * 2.0).volts(), double_v, volts, "voltage", row);
        assert_near(discharge.time_above(Amps::new(peak_a / 2.0)).seconds(), above, above, "time above", row);
        let ours = discharge.joule_integral().amps_squared_seconds();
        assert_near(ours, integral, integral, "Joule integral", row);
    }
}

/// Fine steps through the pulses themselves (`charging.py`): the averaged form is an approximation.
///
/// The real bank climbs in steps of half a cycle, so that is the measure of the error: with RC of ten
/// half cycles and more it stays within 0.2 half cycles of the mean over the supply's phases, and within
/// 0.6 of each single phase.
#[test]
fn rectified_charging_agrees_with_pulses() {
    let rows = rows("charging.csv");
    assert!(rows.len() >= 20);
    for row in &rows {
        let [rms, hertz, ohms, farads, fraction, mean, least, most] = numbers(row)[..] else {
            panic!("{row:?}")
        };
        let charge = RectifiedCharge {
            supply: Volts::new(rms),
            resistance: Ohms::new(ohms),
            capacitance: Farads::new(farads),
        };
        let half_cycle = 0.5 / hertz;
        let ours = charge.time_to(fraction).seconds();
        let half_cycles = |reference: f64| ((ours - reference) / half_cycle).abs();
        assert!(half_cycles(mean) < 0.2, "{ours} s: {row:?}");
        assert!(half_cycles(least) < 0.6 && half_cycles(most) < 0.6, "{ours} s: {row:?}");
    }
}
