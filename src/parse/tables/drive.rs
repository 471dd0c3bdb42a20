//! `[drive]`: a kind of turnout motor.

use crate::diag::Diagnostic;
use crate::parse::document::{Drive, DriveModel, Servo, SlowMotion, Solenoid};
use crate::parse::reader::{Found, Table};
use crate::parse::words::DriveKind;
use crate::units::{Amps, Quantity, Volts};

pub fn drive(table: &Table<'_>, found: &mut Found) -> Option<Drive> {
    let kind = table.word::<DriveKind>("kind", found)?;
    let model = match kind.value {
        DriveKind::Solenoid => solenoid(table, found),
        DriveKind::SlowMotion => slow_motion(table, found),
        DriveKind::Servo => servo(table, found),
    };
    let contacts = table.count("contacts", found);
    let contact_rating = table.quantity("contact-rating", found);
    let mut typical = table.typical();
    // Its stand-in depends on the rated voltage, so the list of keys cannot hold it.
    if kind.value == DriveKind::SlowMotion && !table.has("lowest") {
        typical.insert(0, "lowest");
    }
    Some(Drive {
        name: table.name.clone(),
        model: model?,
        contacts: contacts?,
        contact_rating: contact_rating?.value,
        typical,
        span: table.name.span,
    })
}

fn solenoid(table: &Table<'_>, found: &mut Found) -> Option<DriveModel> {
    let coil = table.quantity("coil", found);
    let inductance = table.quantity("inductance", found);
    let energy = table.quantity("energy", found);
    let current = table.quantity("current", found);
    let pulse = table.quantity("pulse", found);
    let fired_from = table.word("fired-from", found);
    Some(DriveModel::Solenoid(Solenoid {
        coil: coil?.value,
        inductance: inductance?.value,
        energy: energy?.value,
        current: current?.value,
        pulse: pulse?.value,
        fired_from: fired_from?.value,
    }))
}

/// The share of its rated voltage at which a slow-motion motor still moves: motors of 12 V are in use
/// from 6 V on (seen in the trade; no data sheet).
const SLOW_MOTION_LOWEST: f64 = 0.5;

fn slow_motion(table: &Table<'_>, found: &mut Found) -> Option<DriveModel> {
    let voltage = table.quantity::<Volts>("voltage", found);
    let lowest = table.quantity::<Volts>("lowest", found);
    let running = table.quantity("running", found);
    let stall = table.quantity("stall", found);
    let throw_time = table.quantity("throw-time", found);
    let voltage = voltage?.value;
    let lowest = if table.has("lowest") { lowest?.value } else { voltage * SLOW_MOTION_LOWEST };
    let model = SlowMotion {
        voltage,
        lowest,
        running: running?.value,
        stall: stall?.value,
        throw_time: throw_time?.value,
    };
    let right = [
        rising::<Volts>(table, "lowest", model.lowest, "voltage", model.voltage, found),
        rising::<Amps>(table, "running", model.running, "stall", model.stall, found),
    ];
    right.iter().all(|right| *right).then_some(DriveModel::SlowMotion(model))
}

fn servo(table: &Table<'_>, found: &mut Found) -> Option<DriveModel> {
    let voltage = table.quantity("voltage", found);
    let lowest = table.quantity("lowest", found);
    let idle = table.quantity("idle", found);
    let moving = table.quantity("moving", found);
    let stall = table.quantity("stall", found);
    let model = Servo {
        voltage: voltage?.value,
        lowest: lowest?.value,
        idle: idle?.value,
        moving: moving?.value,
        stall: stall?.value,
    };
    let right = [
        rising::<Volts>(table, "lowest", model.lowest, "voltage", model.voltage, found),
        rising::<Amps>(table, "idle", model.idle, "moving", model.moving, found),
        rising::<Amps>(table, "moving", model.moving, "stall", model.stall, found),
    ];
    right.iter().all(|right| *right).then_some(DriveModel::Servo(model))
}

/// Two figures of which the first cannot exceed the second.
fn rising<T: Quantity + PartialOrd>(
    table: &Table<'_>,
    low_key: &str,
    low: T,
    high_key: &str,
    high: T,
    found: &mut Found,
) -> bool {
    if low <= high {
        return true;
    }
    // Point at the one the builder wrote; the other may be a typical figure.
    let (given, other) = if table.has(low_key) { (low_key, high_key) } else { (high_key, low_key) };
    let mut d =
        Diagnostic::error("absurd-value", format!("{}: `{low_key}` is more than `{high_key}`", table.what))
            .label(table.place(given), format!("`{given}` is {}", table.written(given)));
    if table.has(other) {
        d = d
            .label(table.place(other), format!("`{other}` is {}", table.written(other)))
            .help(format!("`{low_key}` can be at most `{high_key}`; are they mixed up?"));
    } else {
        d = d.help(format!(
            "{} stands in for `{other}`, as is typical; give yours as well",
            table.written(other)
        ));
    }
    found.push(d);
    false
}
