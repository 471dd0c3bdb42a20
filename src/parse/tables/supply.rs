//! `[supply]`: a plug-in supply the builder owns. `[servo-controller]`: what the servos' supply meets.

use crate::diag::Diagnostic;
use crate::parse::document::{ServoController, Supply, SupplyKind};
use crate::parse::reader::{Found, Table};
use crate::parse::words::Word;
use crate::source::{At, Span};
use crate::units::Volts;

/// IEC 61558-2-7 (from memory): the outputs of a supply for toys are rated for not more than this.
pub const MOST_AC: Volts = Volts::new(24.0);
/// IEC 61558-2-7 (from memory): and give not more than this without load.
pub const MOST_AC_UNLOADED: Volts = Volts::new(33.0);
/// IEC 61140, second-hand: up to this, dry and touched by hand, direct current needs no insulation.
pub const MOST_DC: Volts = Volts::new(60.0);

pub fn supply(table: &Table<'_>, found: &mut Found) -> Option<Supply> {
    let voltage = table.supply_voltage::<Volts>("voltage", found);
    let current = table.quantity("current", found);
    let unloaded = table.quantity::<Volts>("unloaded", found);
    let feeds = table.word("feeds", found);
    let given = table.word::<SupplyKind>("kind", found);
    let (voltage, said) = voltage?;
    let kind = kind(table, given, said.map(|word| At::new(word, voltage.span)), found)?;
    let safe = safe(table, kind.value, &voltage, unloaded.as_ref(), found);
    let right = rises(&voltage, unloaded.as_ref(), table, found);
    (safe && right).then_some(())?;
    Some(Supply {
        name: table.name.clone(),
        kind,
        voltage,
        current: current?,
        unloaded: unloaded.map(|at| at.value),
        feeds,
        span: table.name.span,
    })
}

/// How servo controllers behave; they are not told one from the other.
pub fn servo_controller(table: &Table<'_>, found: &mut Found) -> Option<ServoController> {
    let moves = table.count("moves", found);
    let staggered_start = table.flag("staggered-start", found)?;
    let moves = if table.has("moves") { Some(moves?.max(1)) } else { None };
    Some(ServoController { moves, staggered_start })
}

/// What it gives: by its `kind`, by the word after its voltage, or by both if they agree.
fn kind(
    table: &Table<'_>,
    given: Option<At<SupplyKind>>,
    said: Option<At<&str>>,
    found: &mut Found,
) -> Option<At<SupplyKind>> {
    let said_ac = said.as_ref().map(|word| word.eq_ignore_ascii_case("ac"));
    match (given, said_ac) {
        (Some(given), Some(ac)) if ac != (given.value == SupplyKind::Ac) => {
            let d = Diagnostic::error(
                "kind-mismatch",
                format!("{} is `{}`, but its voltage says otherwise", table.what, given.word()),
            )
            .label(table.place("voltage"), if ac { "says AC" } else { "says DC" })
            .label(given.span, format!("says {}", given.word()))
            .help("look at the plate of the supply and correct one of the two");
            found.push(d);
            None
        }
        (Some(given), _) => Some(given),
        (None, Some(ac)) if !table.means("kind") => {
            let kind = if ac { SupplyKind::Ac } else { SupplyKind::Dc };
            Some(At::new(kind, table.place("voltage")))
        }
        (None, None) if !table.means("kind") => {
            let volts = table.written("voltage");
            found.push(
                Diagnostic::error(
                    "missing-key",
                    format!("{} does not say what it gives, AC or DC", table.what),
                )
                .label(table.place("voltage"), "of which kind?")
                .help(format!("write \"{volts} AC\" or \"{volts} DC\", or give its `kind`")),
            );
            None
        }
        (None, _) => None,
    }
}

/// Whether every voltage of it may be touched. No part of a layout may need more care than this.
fn safe(
    table: &Table<'_>,
    kind: SupplyKind,
    voltage: &At<Volts>,
    unloaded: Option<&At<Volts>>,
    found: &mut Found,
) -> bool {
    let before = found.len();
    let mut check = |at: &At<Volts>, most: Volts, limit: &str| {
        // The outer conductors of a split supply have both halves between them.
        let halves = if kind == SupplyKind::SplitDc { 2.0 } else { 1.0 };
        if at.volts() * halves > most.volts() {
            found.push(unsafe_voltage(table, at.span, limit));
        }
    };
    match kind {
        SupplyKind::Ac => {
            check(voltage, MOST_AC, "24 V AC is the limit for supplies of toys (IEC 61558-2-7)");
            if let Some(at) = unloaded {
                let limit = "33 V AC without load is the limit for supplies of toys (IEC 61558-2-7)";
                check(at, MOST_AC_UNLOADED, limit);
            }
        }
        SupplyKind::Dc | SupplyKind::SplitDc => {
            for at in [Some(voltage), unloaded].into_iter().flatten() {
                let limit = match kind {
                    SupplyKind::SplitDc => {
                        "both halves together exceed 60 V DC, the limit for bare parts (IEC 61140)"
                    }
                    _ => "60 V DC is the limit for parts that may be bare (IEC 61140)",
                };
                check(at, MOST_DC, limit);
            }
        }
    }
    found.len() == before
}

fn unsafe_voltage(table: &Table<'_>, span: Span, limit: &str) -> Diagnostic {
    Diagnostic::error("unsafe-voltage", format!("{} is not safe on a layout", table.what))
        .label(span, limit)
        .help("use an approved plug-in supply for model railways with a lower voltage")
}

fn rises(voltage: &At<Volts>, unloaded: Option<&At<Volts>>, table: &Table<'_>, found: &mut Found) -> bool {
    let Some(unloaded) = unloaded.filter(|u| u.value < voltage.value) else { return true };
    found.push(
        Diagnostic::error("absurd-value", format!("{} gives less without load than with it", table.what))
            .label(unloaded.span, format!("without load {}", table.written("unloaded")))
            .label(voltage.span, format!("rated {}", table.written("voltage")))
            .help("measure `unloaded` with nothing connected, in the same kind of volts as on the plate"),
    );
    false
}
