//! The firing station against the closed form, against laws that hold for any such circuit, and
//! against itself: what the search chose is what the finished circuit then shows.

use proptest::prelude::*;

use super::banks::banks;
use super::corner::Corner;
use super::mesh::{Edge, Mesh, What};
use super::shot::{Fireable, Trial, worst};
use super::{MARGIN, Shot};
use crate::Design;
use crate::circuit::PartKind;
use crate::diag::Diagnostic;
use crate::drives::WireClass;
use crate::drives::sizing::{BankChoice, BankSizing, Fired, Trigger, hot_coils};
use crate::electrics::bank::{Bank, Coil};
use crate::electrics::conductor;
use crate::hardware::End;
use crate::parse::SupplyUse;
use crate::source::SourceFile;
use crate::units::{Farads, Ohms, WireSize};

/// A motor, with the control that throws it.
#[derive(Clone, Copy, Debug)]
struct Motor {
    ohms: f64,
    millihenries: f64,
    millijoules: f64,
    amps: f64,
    control: usize,
}

/// A strong motor, all of whose figures are given.
const STRONG: Motor = Motor { ohms: 4.0, millihenries: 6.0, millijoules: 400.0, amps: 1.5, control: 0 };

/// Turnouts on one board, each on a track of its own.
fn layout(motors: &[Motor], cable_mm: u32, rest: &str) -> String {
    let mut text =
        "format = 1\n[layout]\nname = \"Bench\"\ncontrol = \"dc\"\n[defaults]\nfrog = \"insulated\"\n"
            .to_owned();
    for (n, m) in motors.iter().enumerate() {
        text += &format!(
            "[turnout.T{n}]\nkind = \"left\"\ndrive = \"d{n}\"\n\
             [track.a{n}]\nfrom = \"buffer\"\nto = \"T{n}.toe\"\n\
             [track.b{n}]\nfrom = \"T{n}.straight\"\nto = \"buffer\"\n\
             [track.c{n}]\nfrom = \"T{n}.diverging\"\nto = \"buffer\"\n\
             [drive.d{n}]\nkind = \"solenoid\"\ncoil = \"{} ohm\"\ninductance = \"{} mH\"\n\
             energy = \"{} mJ\"\ncurrent = \"{} A\"\npulse = \"5 ms\"\n",
            m.ohms, m.millihenries, m.millijoules, m.amps
        );
    }
    for control in 0..2 {
        let throws: Vec<String> = (0..motors.len())
            .filter(|n| motors[*n].control == control)
            .map(|n| format!("\"T{n}\""))
            .collect();
        if !throws.is_empty() {
            let throws = throws.join(", ");
            text += &format!("[control.S{control}]\nthrows = [{throws}]\nwith = \"momentary toggle\"\n");
        }
    }
    text + &format!("[panel]\ncable = \"{cable_mm} mm\"\n{rest}")
}

const SUPPLY: &str = "[supply.s]\nvoltage = \"16 V AC\"\ncurrent = \"2 A\"\n";

fn work_out(text: &str) -> (Design, Vec<Diagnostic>) {
    let (design, found) = crate::design(&SourceFile::new("bench.toml", text));
    (design.unwrap_or_else(|| panic!("{found:#?}\n{text}")), found)
}

fn fired(design: &Design) -> &Fired {
    design.sizing.fired().expect("a discharge unit that was fired")
}

fn is(found: &[Diagnostic], code: &str) -> bool {
    found.iter().any(|d| d.code == code)
}

/// A bank in place of the one that was chosen, as the search makes it.
fn bank(design: &Design, choice: BankChoice) -> BankSizing {
    let use_plan = design.plan.use_of(SupplyUse::Solenoids).expect("solenoids");
    BankSizing::of(
        (&use_plan.supply).into(),
        choice,
        &hot_coils(&design.document, use_plan.members.iter().copied()),
    )
}

/// Every control in both positions, weakest corner.
fn shots(range: &Fireable, trial: &Trial) -> Vec<Shot> {
    range.triggers().collect::<Vec<Trigger>>().into_iter().map(|t| range.weak(t, trial)).collect()
}

fn margin(shots: &[Shot]) -> f64 {
    worst(shots).map_or(f64::INFINITY, |at| shots[at].margin())
}

/// One to four motors, weak and strong ones under the same controls.
fn motors() -> impl Strategy<Value = Vec<Motor>> {
    let motor = (2.0..16.0f64, 1.0..15.0f64, 50.0..500.0f64, 0.2..1.5f64, 0usize..2);
    let motor = motor.prop_map(|(ohms, millihenries, millijoules, amps, control)| Motor {
        ohms: (ohms * 10.0).round() / 10.0,
        millihenries: (millihenries * 10.0).round() / 10.0,
        millijoules: millijoules.round(),
        amps: (amps * 100.0).round() / 100.0,
        control,
    });
    prop::collection::vec(motor, 1..=4)
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(cases) }
}

proptest! {
    #![proptest_config(config(10))]

    /// Of a passive circuit that starts from the same voltage. The time for which a current flows is left
    /// out on purpose where copper is added: less resistance drains the bank sooner, and a coil that had
    /// current in plenty has it for a shorter while.
    #[test]
    fn a_larger_bank_and_thicker_wire_never_leave_a_coil_with_less(
        motors in motors(),
        cable in 300u32..8000,
        micro in 470.0..10_000.0f64,
        larger in 1.05..6.0f64,
    ) {
        let (design, _) = work_out(&layout(&motors, cable, SUPPLY));
        let mesh = Mesh::of(&design.document, &design.plan, &design.circuit, &design.wiring).unwrap();
        let range = Fireable::new(&design.document, &mesh);
        let sized = bank(&design, BankChoice { each: Farads::new(micro * 1e-6), count: 1 });
        let thin = |size| [(WireClass::Return, size), (WireClass::Command, WireSize::mm2(0.5))];
        let trial = range.trial(&sized, &thin(WireSize::mm2(0.5)));
        let more = Trial { capacitance: trial.capacitance * larger, ..trial.clone() };
        let thicker = Trial { sizes: thin(WireSize::mm2(1.5)).to_vec(), ..trial.clone() };
        for trigger in range.triggers().collect::<Vec<_>>() {
            let [plain, more, thicker] = [&trial, &more, &thicker].map(|t| range.weak(trigger, t).coils);
            prop_assert_eq!(plain.len(), range.fired(trigger).len());
            for ((coil, more), thicker) in plain.iter().zip(&more).zip(&thicker) {
                // The solver keeps to a millionth or so.
                let no_less = |a: f64, b: f64| a >= b * (1.0 - 1e-5);
                prop_assert!(no_less(more.energy.joules(), coil.energy.joules()), "{coil:?} {more:?}");
                prop_assert!(no_less(more.peak.amps(), coil.peak.amps()), "{coil:?} {more:?}");
                prop_assert!(no_less(more.above.seconds(), coil.above.seconds()), "{coil:?} {more:?}");
                prop_assert!(no_less(more.margin(), coil.margin()), "{coil:?} {more:?}");
                prop_assert!(no_less(thicker.energy.joules(), coil.energy.joules()), "{coil:?} {thicker:?}");
                prop_assert!(no_less(thicker.peak.amps(), coil.peak.amps()), "{coil:?} {thicker:?}");
            }
        }
    }

    #[test]
    fn the_bank_is_the_smallest_that_does_and_the_finished_circuit_shows_what_the_search_found(
        motors in motors(),
        cable in 300u32..6000,
    ) {
        let (design, found) = work_out(&layout(&motors, cable, SUPPLY));
        let fired = fired(&design);
        prop_assert_eq!(fired.enough(), !is(&found, "bank-too-weak"));

        // Fired as it was built.
        let unit = &design.firing.units[0];
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs().max(1e-9);
        prop_assert_eq!(unit.worst().trigger, fired.worst.trigger);
        prop_assert!(close(unit.worst().margin(), fired.coil.margin()));
        let margins = unit.margins();
        prop_assert_eq!(margins.len(), motors.len());
        for ((bar, after), (known, before)) in margins.iter().zip(&fired.margins) {
            prop_assert_eq!(bar, known);
            prop_assert!(close(*after, *before), "{after} {before}");
        }
        let surge = unit.shots.iter().map(|s| s.surge.amps()).fold(0.0, f64::max);
        prop_assert!(close(surge, fired.surge.amps()));
        let least = unit.least_of_each_bar();
        prop_assert_eq!(least.iter().map(|l| (l.coil.bar, l.coil.margin())).collect::<Vec<_>>(), margins);

        // The next smaller one does not do.
        let mesh = Mesh::of(&design.document, &design.plan, &design.circuit, &design.wiring).unwrap();
        let range = Fireable::new(&design.document, &mesh);
        let all = banks(&design.document, bank(&design, fired.bank).highest);
        let at = all.iter().position(|b| *b == fired.bank).expect("one of those on offer");
        let with = |choice| margin(&shots(&range, &range.trial(&bank(&design, choice), &fired.wires)));
        prop_assert!(close(with(all[at]), fired.coil.margin()));
        if fired.enough() {
            prop_assert!(with(all[at]) >= MARGIN);
            prop_assert!(at == 0 || with(all[at - 1]) < MARGIN, "{:?} would do", all[at - 1]);
        } else {
            prop_assert_eq!(at, all.len() - 1);
        }
    }
}

/// Resistance of an edge in the weakest corner, from the laws of conductors and the figures of joints
/// and contacts.
fn ohms(design: &Design, edge: &Edge) -> Ohms {
    let weak = Corner::Weak;
    match edge.what {
        What::Wire(id) => {
            let wire = &design.wiring.wires[id.0];
            let hot = weak.temperature(design.document.layout.ambient);
            let metre = conductor::at_temperature(conductor::resistance_at_20(wire.size), hot);
            metre * wire.length + weak.joint() * 2.0
        }
        What::Jumper => weak.joint() * 2.0,
        What::Contact(_) => weak.contact(),
        _ => Ohms::new(0.0),
    }
}

/// Whether an edge is a wire to a part of a kind.
fn leads_to(design: &Design, edge: &Edge, kind: impl Fn(PartKind) -> bool) -> bool {
    let What::Wire(id) = edge.what else { return false };
    let wire = &design.wiring.wires[id.0];
    [wire.from, wire.to].into_iter().any(|end| match end {
        End::Pin(pin) => kind(design.circuit[pin.part].kind),
        End::Terminal(_) => false,
    })
}

#[test]
fn a_crossover_of_like_coils_agrees_with_the_closed_form() {
    // By symmetry N like coils are one coil with N times what they share (`electrics::bank`).
    let text = layout(&[STRONG, STRONG], 4000, SUPPLY);
    let (design, _) = work_out(&text);
    let mesh = Mesh::of(&design.document, &design.plan, &design.circuit, &design.wiring).unwrap();
    let shot = design.firing.units[0].worst();
    let live = mesh.live(shot.trigger);
    let sum = |keep: &dyn Fn(&Edge) -> bool| -> Ohms {
        live.iter().filter(|e| keep(e)).map(|e| ohms(&design, e)).sum()
    };
    let coils = live.iter().filter(|e| matches!(e.what, What::Coil { .. })).count();
    assert_eq!(coils, 2);
    // What leads to a motor carries the current of one coil, what leads to bleed and limiter that of none.
    let to_motor = |e: &Edge| leads_to(&design, e, |k| matches!(k, PartKind::Drive { .. }));
    let to_charger = |e: &Edge| leads_to(&design, e, |k| k == PartKind::Resistor);
    let own = sum(&to_motor);
    let jumpers = sum(&|e| e.what == What::Jumper);
    let shared = sum(&|e| !to_motor(e) && !to_charger(e) && e.what != What::Jumper);
    assert!(own.ohms() > 0.05 && shared.ohms() > 0.2, "{own} {shared}");

    let sized = design.sizing.bank().unwrap();
    let weak = Corner::Weak;
    let esr = crate::electrics::bank::electrolytic_esr(sized.choice.each, sized.capacitor_voltage)
        / sized.choice.count as f64;
    let bank = Bank {
        voltage: sized.lowest,
        capacitance: weak.capacitance(sized.capacitor),
        esr: weak.esr(esr),
        common_return: shared,
    };
    let bar = shot.coils[0].bar;
    let (resistance, inductance) = weak.coil(
        &design.document.drive_of(bar).typical,
        &crate::drives::sizing::solenoid(&design.document, bar),
        design.document.layout.ambient,
    );
    // A jumper leads on to the second motor only: half of it for each on the average.
    let coil = Coil { resistance, inductance, feed: (own + jumpers) * 0.5 };
    let closed = bank.discharge_per_coil(coil, 2).unwrap();
    for pulse in &shot.coils {
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 0.01;
        assert!(near(pulse.peak.amps(), closed.peak().1.amps()), "{} {}", pulse.peak, closed.peak().1);
        let energy = closed.energy_in(resistance);
        assert!(near(pulse.energy.joules(), energy.joules()), "{} {energy}", pulse.energy);
        let above = closed.time_above(pulse.needs.current);
        assert!(near(pulse.above.seconds(), above.seconds()), "{} {above}", pulse.above);
    }
}

#[test]
fn what_two_motors_have_alone_they_do_not_have_together() {
    let alone = work_out(&layout(&[STRONG, Motor { control: 1, ..STRONG }], 4000, SUPPLY)).0;
    let together = work_out(&layout(&[STRONG, STRONG], 4000, SUPPLY)).0;
    assert!(fired(&together).bank.total() > fired(&alone).bank.total());
    assert_eq!((fired(&alone).worst.coils.len(), fired(&together).worst.coils.len()), (1, 2));
}

#[test]
fn capacitors_of_the_stock_are_used_and_put_in_parallel() {
    let text = |stock: &str| layout(&[STRONG, STRONG], 1500, &format!("{SUPPLY}[capacitor]\n{stock}\n"));
    let free = work_out(&layout(&[STRONG, STRONG], 1500, SUPPLY)).0;
    let (design, found) = work_out(&text("stock = [\"2200 uF\"]\nvoltage = \"50 V\""));
    let choice = fired(&design).bank;
    let is_of = |c: Farads, micro: f64| (c.farads() * 1e6 / micro - 1.0).abs() < 1e-9;
    assert!(is_of(choice.each, 2200.0), "{choice:?}");
    assert!((2..=6).contains(&choice.count), "{choice:?}");
    assert!(fired(&design).enough() && !is(&found, "bank-too-weak"));
    assert!(choice.total() >= fired(&free).bank.total() * 0.8, "{choice:?} {:?}", fired(&free).bank);
    let sized = design.sizing.bank().unwrap();
    assert_eq!(sized.capacitor_voltage.volts(), 50.0);
    assert!((sized.capacitor / choice.total() - 1.0).abs() < 1e-12);
    // Of two values the one that makes the smaller bank.
    let (design, _) = work_out(&text("stock = [\"2200 uF\", \"10000 uF\"]"));
    assert!(fired(&design).bank.total() <= choice.total());
    // Never another value than those, even if that means that it is too weak.
    let (design, found) = work_out(&text("stock = [\"100 uF\"]"));
    let weak = fired(&design).bank;
    assert!(is_of(weak.each, 100.0) && weak.count == 6, "{weak:?}");
    assert!(!fired(&design).enough() && is(&found, "bank-too-weak"));
}

#[test]
fn no_capacitor_is_enough_and_the_error_says_what_would_help() {
    let text = layout(&[STRONG; 4], 8000, &format!("{SUPPLY}[capacitor]\nstock = [\"1000 uF\"]\n"));
    let (design, found) = work_out(&text);
    let errors: Vec<_> = found.iter().filter(|d| d.code == "bank-too-weak").collect();
    assert_eq!(errors.len(), 1, "{found:#?}");
    let error = errors[0];
    assert_eq!(error.severity, crate::diag::Severity::Error);
    // The control stands where the label points.
    let place = error.labels[0].span;
    assert!(text[place.start..place.end].contains("S0"), "{}", &text[place.start..place.end]);
    let fired = fired(&design);
    assert!(!fired.enough() && !fired.remedies.is_empty());
    assert!(fired.remedies.windows(2).all(|r| r[0].margin >= r[1].margin));
    assert!(fired.remedies.iter().all(|r| r.margin > fired.coil.margin()));
    assert!(error.help.as_ref().is_some_and(|h| h.contains(&fired.remedies[0].words)), "{error:?}");
    // The shares of the losses are shares of a whole.
    let whole: f64 = fired.worst.losses.iter().map(|l| l.share).sum();
    assert!((whole - 1.0).abs() < 1e-9, "{whole}");
}

#[test]
fn energy_is_kept() {
    // What the bank gives up, ½·C·(V² − v²), is what coils and losses have; the bleed has the rest,
    // which is little. Textbook.
    let (design, _) = work_out(&layout(&[STRONG, Motor { ohms: 8.0, ..STRONG }], 3000, SUPPLY));
    let shot = design.firing.units[0].worst();
    let sized = design.sizing.bank().unwrap();
    let c = Corner::Weak.capacitance(sized.capacitor).farads();
    let given = 0.5 * c * (shot.start.volts().powi(2) - shot.left.volts().powi(2));
    let coils: f64 = shot.coils.iter().map(|c| c.energy.joules()).sum();
    let lost: f64 = shot.losses.iter().map(|l| l.energy.joules()).sum();
    assert!((1.0..1.01).contains(&(given / (coils + lost))), "{given} {coils} {lost}");
}

#[test]
fn a_bank_above_60_volts_is_refused() {
    // IEC 61140 as the book quotes it: 60 V DC may be touched.
    let supply = |volts: u32| format!("[supply.s]\nvoltage = \"{volts} V DC\"\ncurrent = \"2 A\"\n");
    let (_, found) = work_out(&layout(&[STRONG], 1500, &supply(58)));
    let error = found.iter().find(|d| d.code == "unsafe-voltage").expect("58 V may rise to 64 V");
    assert!(error.help.as_ref().is_some_and(|h| h.contains("lower voltage")));
    let (_, found) = work_out(&layout(&[STRONG], 1500, &supply(24)));
    assert!(!is(&found, "unsafe-voltage"), "{found:#?}");
}
