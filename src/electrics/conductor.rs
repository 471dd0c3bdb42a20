//! Copper wires: resistance, the current they may carry, the smallest that will do.

use crate::electrics::drop::conductor_drop;
use crate::units::{Amps, Area, Celsius, Length, OhmsPerMetre, Volts, WireSize};

/// Resistance of annealed copper at 20 °C, 1/58 Ω·mm²/m (IEC 60028), as ohms per metre of 1 mm².
pub const COPPER_OF_1_MM2: OhmsPerMetre = OhmsPerMetre::new(1.0 / 58.0);

/// Temperature coefficient of copper at 20 °C, per kelvin (IEC 60028).
pub const COPPER_PER_KELVIN: f64 = 0.003_93;

/// Nominal mm² and maximum Ω/km at 20 °C of plain stranded wire.
///
/// From 0.5 mm² IEC 60228 class 5 (second-hand, three copies agree); below, where IEC 60228 has
/// nothing, an extract of VDE 0295 (second-hand), with 0.22 mm² from memory.
const STRANDED: [(f64, f64); 12] = [
    (0.08, 243.0),
    (0.14, 138.0),
    (0.22, 88.0),
    (0.25, 79.0),
    (0.34, 57.0),
    (0.5, 39.0),
    (0.75, 26.0),
    (1.0, 19.5),
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.30),
];

/// Copper's cross-section in mm² and amperes for equipment wire in a bundle, the cautious column.
///
/// - 7/0.2 (0.22 mm²), 0.75 and 1.0 mm²: UK equipment-wire practice, from memory; 0.5 mm²: the same
///   practice, second-hand. All are close to 6 A/mm².
/// - below 0.22, 0.25 and 0.34 mm²: the same 6 A/mm², no source of their own. Half the second-hand
///   free-air figures (0.08 mm² 1.5 A, 0.14 mm² 2 A, 0.34 mm² 6 A) is more.
/// - 1.5 and 2.5 mm²: second-hand free-air figures 18 A and 26 A, times 0.50 for nine circuits in a
///   bundle (VDE 0298-4, from memory).
/// - 4 and 6 mm²: cord figures 34 A and 44 A times the same 0.50, from memory.
const BUNDLED: [(f64, f64); 12] = [
    (0.08, 0.5),
    (0.14, 0.8),
    (0.2199, 1.4), // 7 strands of 0.2 mm exactly
    (0.25, 1.5),
    (0.34, 2.0),
    (0.5, 3.0),
    (0.75, 4.5),
    (1.0, 6.0),
    (1.5, 9.0),
    (2.5, 13.0),
    (4.0, 17.0),
    (6.0, 22.0),
];

/// The stranded sizes a builder can usually buy, smallest first (common practice, no source).
pub fn usual_sizes() -> Vec<WireSize> {
    [0.14, 0.25, 0.34, 0.5, 0.75, 1.0, 1.5, 2.5].map(WireSize::mm2).to_vec()
}

/// Resistance per length at 20 °C.
///
/// Metric sizes are nominal, so theirs is the maximum their standard allows: the table's value, and
/// between the table's sizes copper's resistivity over the area times the excess (about 1.13, for
/// stranding and tolerance) interpolated from the neighbours. AWG sizes (as solid wire) and counted
/// strands are exact sizes: copper's resistivity over the area.
pub fn resistance_at_20(size: WireSize) -> OhmsPerMetre {
    let area = size.area().mm2();
    let ideal = COPPER_OF_1_MM2 / area;
    match size {
        WireSize::Metric(_) => ideal * excess(area),
        WireSize::Awg(_) | WireSize::Strands { .. } => ideal,
    }
}

/// How far a nominal size's resistance exceeds that of solid copper of the same area.
fn excess(area: f64) -> f64 {
    let rows = STRANDED.map(|(mm2, per_km)| (mm2, per_km / 1000.0 * mm2 / COPPER_OF_1_MM2.ohms_per_metre()));
    interpolate(&rows, area)
}

/// The resistance of copper at another temperature: R = R20·(1 + 0.00393·(θ - 20)) (IEC 60028).
pub fn at_temperature(at_20: OhmsPerMetre, at: Celsius) -> OhmsPerMetre {
    at_20 * (1.0 + COPPER_PER_KELVIN * (at.degrees() - 20.0))
}

/// The steady current a wire may carry in a bundle under a board. See the table's comment for its
/// sources; none is a standard read at the source.
///
/// Between the table's sizes interpolated by area, below them in proportion to the area; above the
/// largest the largest's current, for nothing vouches for more.
pub fn ampacity(size: WireSize) -> Amps {
    let area = size.area().mm2();
    let (smallest, amps) = BUNDLED[0];
    Amps::new(if area < smallest { amps * area / smallest } else { interpolate(&BUNDLED, area) })
}

/// The smallest wire of `stock` that carries `current` and drops no more than `allowed_drop` over a
/// conductor of `length` (there and back, if both are meant) at the conductor temperature `at`.
///
/// `None` if no size of the stock will do.
pub fn smallest_size(
    stock: &[WireSize],
    current: Amps,
    length: Length,
    allowed_drop: Volts,
    at: Celsius,
) -> Option<WireSize> {
    let will_do = |size: &WireSize| {
        let drop = conductor_drop(current, at_temperature(resistance_at_20(*size), at), length);
        ampacity(*size) >= current && drop <= allowed_drop
    };
    let area = |size: &WireSize| -> Area { size.area() };
    stock.iter().copied().filter(will_do).min_by(|a, b| area(a).total_cmp(&area(b)))
}

/// Linear between the rows, constant beyond both ends. Rows are sorted by their first number.
fn interpolate(rows: &[(f64, f64)], x: f64) -> f64 {
    let above = rows.partition_point(|(row, _)| *row < x);
    match (above.checked_sub(1).map(|below| rows[below]), rows.get(above)) {
        (None, Some((_, y))) => *y,
        (Some((_, y)), None) => y,
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (None, None) => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn milliohms_per_metre(size: WireSize) -> f64 {
        resistance_at_20(size).ohms_per_metre() * 1000.0
    }

    fn strands(count: u16) -> WireSize {
        WireSize::Strands { count, diameter: Length::from_mm(0.2) }
    }

    fn assert_near(actual: f64, expected: f64, relative: f64) {
        assert!((actual / expected - 1.0).abs() <= relative, "{actual} is not near {expected}");
    }

    #[test]
    fn metric_sizes_by_iec_60228_and_vde_0295() {
        // IEC 60228 class 5 plain; VDE 0295 extract (plain, stranded) for the small ones.
        for (mm2, per_km) in
            [(0.14, 138.0), (0.25, 79.0), (0.34, 57.0), (0.5, 39.0), (0.75, 26.0), (1.5, 13.3), (2.5, 7.98)]
        {
            assert_near(milliohms_per_metre(WireSize::mm2(mm2)), per_km, 1e-12);
        }
    }

    #[test]
    fn awg_sizes_by_astm_b258() {
        // ASTM B258 with IEC 60028 copper; published AWG tables agree within 0.1 %.
        for (gauge, per_km) in [
            (10, 3.277),
            (12, 5.211),
            (14, 8.285),
            (16, 13.17),
            (18, 20.95),
            (20, 33.31),
            (24, 84.21),
            (30, 338.6),
        ] {
            assert_near(milliohms_per_metre(WireSize::Awg(gauge)), per_km, 1e-3);
        }
        let ten_sizes = milliohms_per_metre(WireSize::Awg(20)) / milliohms_per_metre(WireSize::Awg(10));
        assert_near(ten_sizes, 10.16, 1e-3);
    }

    #[test]
    fn counted_strands() {
        // Derived from resistivity; a forum post finds that 16/0.2 has half the resistance of 7/0.2.
        for (count, per_km) in [(7, 78.4), (16, 34.3), (24, 22.9), (32, 17.1)] {
            assert_near(milliohms_per_metre(strands(count)), per_km, 3e-3);
        }
    }

    #[test]
    fn temperature_by_iec_60228() {
        // The standard corrects to 20 °C with 250/(230 + θ), which is 0.4 % off IEC 60028 at 80 °C.
        for (degrees, to_20) in [(5.0, 1.064), (15.0, 1.020), (30.0, 0.962), (50.0, 0.893), (80.0, 0.806)] {
            let hot = at_temperature(OhmsPerMetre::new(1.0), Celsius::new(degrees));
            assert_near(1.0 / hot.ohms_per_metre(), to_20, 5e-3);
        }
    }

    #[test]
    fn bundled_current() {
        // UK equipment-wire practice: 7/0.2 1.4 A, 16/0.2 3 A, 24/0.2 4.5 A, 32/0.2 6 A.
        for (count, amps) in [(7, 1.4), (16, 3.0), (24, 4.5), (32, 6.0)] {
            assert_near(ampacity(strands(count)).amps(), amps, 6e-3);
            assert!(ampacity(strands(count)).amps() >= amps, "{count}/0.2");
        }
        // Never above the free-air figures of a university table after a cable maker's VDE list.
        for (mm2, free) in [(0.08, 1.5), (0.14, 2.0), (0.25, 4.0), (0.34, 6.0), (0.5, 9.0), (1.5, 18.0)] {
            assert!(ampacity(WireSize::mm2(mm2)).amps() <= free, "{mm2}");
        }
    }

    #[test]
    fn more_copper_never_resists_more_nor_carries_less() {
        let sizes: Vec<_> = (1..1000).map(|n| WireSize::mm2(f64::from(n) * 0.008)).collect();
        for pair in sizes.windows(2) {
            assert!(resistance_at_20(pair[1]) < resistance_at_20(pair[0]), "{}", pair[1]);
            assert!(ampacity(pair[1]) >= ampacity(pair[0]), "{}", pair[1]);
        }
    }

    #[test]
    fn smallest_size_meets_current_and_drop() {
        let find = |current, length, drop| {
            smallest_size(
                &usual_sizes(),
                Amps::new(current),
                Length::new(length),
                Volts::new(drop),
                Celsius::new(20.0),
            )
        };
        // The current decides: 0.34 mm² carries 2 A.
        assert_eq!(find(2.5, 0.3, 1.0), Some(WireSize::mm2(0.5)));
        // The drop decides: 10 m at 3 A within 0.7 V needs 23.3 Ω/km or less.
        assert_eq!(find(3.0, 10.0, 0.7), Some(WireSize::mm2(1.0)));
        assert_eq!(find(50.0, 1.0, 1.0), None);
        assert_eq!(find(1.0, 100.0, 0.01), None);
        // The order of the stock does not matter.
        let stock = [WireSize::mm2(2.5), WireSize::Awg(14), WireSize::mm2(0.5), strands(7)];
        let found =
            smallest_size(&stock, Amps::new(1.0), Length::new(1.0), Volts::new(0.2), Celsius::new(20.0));
        assert_eq!(found, Some(strands(7)));
    }
}
