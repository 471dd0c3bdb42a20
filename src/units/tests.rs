use super::*;
use proptest::prelude::*;

fn near(actual: f64, expected: f64) -> bool {
    (actual - expected).abs() <= expected.abs() * 1e-12
}

/// Asserts that each text reads as the number in the SI unit.
macro_rules! reads {
    ($type:ident, $reader:ident, $($text:literal => $value:expr),+ $(,)?) => {$(
        match $type::parse($text) {
            Ok(quantity) => assert!(near(quantity.$reader(), $value), "{:?}: {quantity:?}", $text),
            Err(error) => panic!("{:?}: {error:?}", $text),
        }
    )+};
}

#[test]
fn reads_what_people_write() {
    reads!(Volts, volts, "12 V" => 12.0, "12V" => 12.0, " 12 volts " => 12.0, "1,5 v" => 1.5, "-5 V" => -5.0);
    reads!(Amps, amps, "500 mA" => 0.5, "500 ma" => 0.5, "1 amp" => 1.0, "2 Amps" => 2.0, "1.5e-3 A" => 1.5e-3);
    reads!(
        Ohms, ohms, "4.5 ohm" => 4.5, "4.5 Ohms" => 4.5, "4.5 \u{3a9}" => 4.5, "4.5\u{2126}" => 4.5, "1 kΩ" => 1e3,
        "1 Kohm" => 1e3, "2 MΩ" => 2e6, "2 megohm" => 2e6, "2 mΩ" => 2e-3, "1 kilohm" => 1e3,
    );
    reads!(
        Farads, farads, "4700 uF" => 4.7e-3, "4700 \u{b5}F" => 4.7e-3, "4700 \u{3bc}F" => 4.7e-3, "4.7 mF" => 4.7e-3,
        "4,7 mF" => 4.7e-3, "4700 microfarad" => 4.7e-3, "100 NF" => 1e-7, "22pf" => 22e-12, "1 F" => 1.0,
    );
    reads!(Henries, henries, "8 mH" => 8e-3, "8 millihenry" => 8e-3);
    reads!(Joules, joules, "0.5 J" => 0.5, "500 mJ" => 0.5);
    reads!(Watts, watts, "5 W" => 5.0, ".25 watt" => 0.25, "5. W" => 5.0);
    reads!(VoltAmps, volt_amps, "20 VA" => 20.0, "20 va" => 20.0, "1 kVA" => 1e3);
    reads!(Seconds, seconds, "2 s" => 2.0, "20 ms" => 0.02, "2 sec" => 2.0, "2 seconds" => 2.0);
    reads!(
        Length, metres, "350 mm" => 0.35, "35 cm" => 0.35, "1.5 m" => 1.5, "6 in" => 0.1524, "6\"" => 0.1524,
        "6 inches" => 0.1524, "3 ft" => 0.9144, "3'" => 0.9144, "350 MM" => 0.35, "0,250 m" => 0.25,
    );
    reads!(Celsius, degrees, "25 degC" => 25.0, "25 °C" => 25.0, "25 C" => 25.0, "-5 °C" => -5.0, "25 deg C" => 25.0);
    reads!(Angle, degrees, "15 deg" => 15.0, "15 °" => 15.0, "15°" => 15.0, "-22.5 degrees" => -22.5);
    reads!(
        OhmsPerMetre, ohms_per_metre, "39 ohm/km" => 0.039, "0.039 ohm/m" => 0.039, "39 mΩ/m" => 0.039,
        "39 Ω / km" => 0.039,
    );
    reads!(Area, mm2, "0.5 mm2" => 0.5, "0.5 mm²" => 0.5);
    reads!(Coulombs, coulombs, "100 mC" => 0.1);
    reads!(JouleIntegral, amps_squared_seconds, "0.3 A2s" => 0.3, "0.3 A²s" => 0.3);
}

#[test]
fn every_example_reads() {
    fn check<Q: Quantity>() {
        assert!(Q::parse(Q::EXAMPLE).is_ok(), "{}", Q::EXAMPLE);
        assert!(Q::WHAT.starts_with("a"));
    }
    check::<Volts>();
    check::<Amps>();
    check::<Ohms>();
    check::<Farads>();
    check::<Henries>();
    check::<Joules>();
    check::<Watts>();
    check::<VoltAmps>();
    check::<Seconds>();
    check::<Length>();
    check::<Celsius>();
    check::<Angle>();
    check::<OhmsPerMetre>();
    check::<Area>();
    check::<Coulombs>();
    check::<JouleIntegral>();
    check::<WireSize>();
}

#[test]
fn refuses_a_bare_number() {
    for text in ["12", "12.0", "-3", " 7 "] {
        assert_eq!(Volts::parse(text), Err(QuantityError::MissingUnit), "{text}");
    }
}

#[test]
fn refuses_what_is_no_number() {
    let long = format!("{} V", "9".repeat(400));
    for text in [
        "", "V", "twelve V", "+12 V", "NaN V", "inf V", "-inf V", "- 12 V", "--12 V", "1.2.3 V", "1e999 V",
        ". V", "1/2 V", "12 12 V", "4 700 V", "4,700 V", "−12 V", "12-14 V", &long, "1e308 kV",
    ] {
        assert_eq!(Volts::parse(text), Err(QuantityError::NotANumber), "{text}");
    }
}

#[test]
fn refuses_another_unit_and_gives_it_as_written() {
    let wrong = |unit: &str| QuantityError::WrongUnit(unit.to_string());
    assert_eq!(Volts::parse("12 Amps"), Err(wrong("Amps")));
    assert_eq!(Volts::parse("16 V AC"), Err(wrong("V AC")));
    assert_eq!(Watts::parse("5 VA"), Err(wrong("VA")));
    assert_eq!(Length::parse("5 Mm"), Err(wrong("Mm")));
    assert_eq!(Ohms::parse("4.7 k"), Err(wrong("k")));
    assert_eq!(OhmsPerMetre::parse("39 ohm"), Err(wrong("ohm")));
    // Old capacitors say MF for microfarad: refused rather than read as megafarad.
    assert_eq!(Farads::parse("4700 MF"), Err(wrong("MF")));
}

#[test]
fn prints_engineering_form() {
    assert_eq!(Ohms::new(4.5).to_string(), "4.5 Ω");
    assert_eq!(Amps::new(0.5).to_string(), "500 mA");
    assert_eq!(Volts::new(12.0).to_string(), "12 V");
    assert_eq!(Volts::new(0.0).to_string(), "0 V");
    assert_eq!(Volts::new(-0.0).to_string(), "0 V");
    assert_eq!(Volts::new(-1.4).to_string(), "-1.4 V");
    assert_eq!(Joules::new(1.3536).to_string(), "1.35 J");
    assert_eq!(Ohms::new(2200.0).to_string(), "2.2 kΩ");
    assert_eq!(Henries::new(0.008).to_string(), "8 mH");
    assert_eq!(OhmsPerMetre::new(0.039).to_string(), "39 mΩ/m");
    // The last digit carries to the next prefix.
    assert_eq!(Amps::new(0.9996).to_string(), "1 A");
    assert_eq!(Amps::new(0.9994).to_string(), "999 mA");
    assert_eq!(Ohms::new(999_999.0).to_string(), "1 MΩ");
    assert_eq!(Ohms::new(4.7e9).to_string(), "4700 MΩ");
}

#[test]
fn prints_the_other_forms() {
    assert_eq!(Farads::new(4700e-6).to_string(), "4700 µF");
    assert_eq!(Farads::new(22_000e-6).to_string(), "22000 µF");
    assert_eq!(Farads::new(100e-9).to_string(), "100 nF");
    assert_eq!(Farads::new(1e-6).to_string(), "1 µF");
    assert_eq!(Farads::new(999.9e-9).to_string(), "1 µF");
    assert_eq!(Farads::new(0.1).to_string(), "0.1 F");
    assert_eq!(Length::from_mm(350.0).to_string(), "350 mm");
    assert_eq!(Length::from_mm(1234.0).to_string(), "1234 mm");
    assert_eq!(Length::from_mm(0.5).to_string(), "0.5 mm");
    assert_eq!(Length::new(12.0).to_string(), "12 m");
    assert_eq!(Celsius::new(25.0).to_string(), "25 °C");
    assert_eq!(Angle::new(112.5).to_string(), "112.5°");
    assert_eq!(Area::from_mm2(0.75).to_string(), "0.75 mm²");
    assert_eq!(format!("{:>8}|{:<8}|", Volts::new(12.0), Ohms::new(1.0)), "    12 V|1 Ω     |");
}

#[test]
fn arithmetic() {
    let current: Amps = Volts::new(12.0) / Ohms::new(4.0);
    assert_eq!(current, Amps::new(3.0));
    assert_eq!(Volts::new(12.0) / current, Ohms::new(4.0));
    assert_eq!(current * Ohms::new(4.0), Ohms::new(4.0) * current);
    assert_eq!(current * Volts::new(12.0), Watts::new(36.0));
    assert_eq!(OhmsPerMetre::new(0.039) * Length::new(2.0), Ohms::new(0.078));
    assert_eq!(Farads::new(0.01) * Ohms::new(4.0), Seconds::new(0.04));
    assert_eq!([1.0, 2.0, 4.0].map(Volts::new).into_iter().sum::<Volts>(), Volts::new(7.0));
    assert_eq!(-(Volts::new(1.0) - Volts::new(3.0)) * 2.0, 2.0 * Volts::new(2.0));
    assert_eq!(Volts::new(3.0) / Volts::new(2.0), 1.5);
    assert_eq!(Volts::new(-3.0).abs().min(Volts::new(2.0)).max(Volts::new(1.0)), Volts::new(2.0));
}

#[test]
fn published_coil_currents() {
    // newrailwaymodellers.co.uk forum, coil measurements (p=344316): 16 V DC on four coils.
    for (ohms, amps) in [(5.40, 2.962), (5.43, 2.946), (2.80, 5.71), (1.42, 11.26)] {
        let current = Volts::new(16.0) / Ohms::new(ohms);
        assert!((current.amps() / amps - 1.0).abs() < 1e-3, "{current}");
    }
}

/// What is printed reads back within three significant digits.
fn round_trips<Q: Quantity + std::fmt::Display>(quantity: Q, value: f64, read: fn(Q) -> f64) {
    let text = quantity.to_string();
    match Q::parse(&text) {
        // Angles and temperatures are printed to a millionth of a millionth, however small they are.
        Ok(back) => {
            let close = value.abs() * 0.005_001 + 1e-12;
            assert!((read(back) - value).abs() <= close, "{value}: {text}");
        }
        Err(error) => panic!("{text}: {error:?}"),
    }
}

proptest! {
    #[test]
    fn printed_quantities_read_back(mantissa in -9.999..9.999f64, exponent in -9..9i32) {
        let value = mantissa * 10f64.powi(exponent);
        round_trips(Volts::new(value), value, Volts::volts);
        round_trips(Ohms::new(value), value, Ohms::ohms);
        round_trips(Farads::new(value), value, Farads::farads);
        round_trips(Length::new(value), value, Length::metres);
        round_trips(Angle::new(value), value, Angle::degrees);
        round_trips(OhmsPerMetre::new(value), value, OhmsPerMetre::ohms_per_metre);
    }

    #[test]
    fn no_text_panics(text in ".*") {
        let _ = (Volts::parse(&text), Length::parse(&text), OhmsPerMetre::parse(&text), WireSize::parse(&text));
    }

    #[test]
    fn whatever_reads_is_finite(
        text in "-?[0-9]{0,3}[.,]?[0-9]{0,4}[eE]?[-+]?[0-9]{0,3} ?[a-zA-Zµ\u{3bc}\u{3a9}\u{2126}°²/\"'x]{0,6}"
    ) {
        for result in [
            Volts::parse(&text).map(Volts::volts),
            Farads::parse(&text).map(Farads::farads),
            Length::parse(&text).map(Length::metres),
            WireSize::parse(&text).map(|size| size.area().mm2()),
        ] {
            prop_assert!(result.is_err() || result.is_ok_and(f64::is_finite));
        }
    }
}
