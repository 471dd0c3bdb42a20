//! `[layout]` and `[track-power]`.

use crate::diag::Diagnostic;
use crate::parse::document::{DropperRule, Layout, TrackPower, TrainControl};
use crate::parse::reader::{Found, Table};
use crate::source::Span;
use crate::units::{Amps, Celsius, Quantity, Volts};

/// Room temperatures, where the builder gives none.
pub const AMBIENT: (Celsius, Celsius) = (Celsius::new(10.0), Celsius::new(35.0));

/// The layout, and the rule for droppers, which the file has in the same table.
pub fn layout(table: &Table<'_>, found: &mut Found) -> Option<(Layout, DropperRule)> {
    if !table.written {
        found.push(
            Diagnostic::error("missing-table", "the file has no [layout]")
                .label(Span::default(), "nothing says which layout this is")
                .help("write `[layout]`, and under it `name = \"…\"` and `control = \"dcc\"` or \"dc\""),
        );
        return None;
    }
    let name = table.text("name", found);
    let control = table.word::<TrainControl>("control", found);
    let gauge = table.quantity("gauge", found);
    let revision = table.text("revision", found);
    let date = table.date("date", found);
    let ambient = match table.pair::<Celsius>("ambient", found) {
        Some(pair) => in_order(pair.value, pair.span, found),
        None => Some(AMBIENT),
    };
    let page = table.word("page", found);
    let droppers = table.word::<DropperRule>("droppers", found);
    let longest_train = table.quantity("longest-train", found);
    let layout = Layout {
        name: name?,
        control: control?,
        gauge: gauge?.value,
        revision: revision?.value,
        date: date?,
        ambient: ambient?,
        page: page?.value,
        longest_train,
    };
    Some((layout, droppers?.value))
}

fn in_order(pair: (Celsius, Celsius), span: Span, found: &mut Found) -> Option<(Celsius, Celsius)> {
    if pair.0 <= pair.1 {
        return Some(pair);
    }
    found.push(
        Diagnostic::error("absurd-value", "`ambient` of [layout] is the wrong way round")
            .label(span, "the first is warmer than the second")
            .help("write the lowest temperature first"),
    );
    None
}

/// The track power; what is missing is what is usual with this way of driving trains.
pub fn track_power(
    table: &Table<'_>,
    layout: Option<&Layout>,
    layout_span: Span,
    found: &mut Found,
) -> Option<TrackPower> {
    let voltage = table.quantity::<Volts>("voltage", found);
    let trip = table.quantity::<Amps>("trip", found);
    let cabs = table.count("cabs", found);
    // NMRA S-9.1: 14 V for HO. NEM 630: 12 V for gauges from 6.5 to 32 mm. Currents: from memory.
    let (usual_voltage, usual_trip) = match layout?.control.value {
        TrainControl::Dcc => (Volts::parse("14 V"), Amps::parse("3 A")),
        TrainControl::Dc => (Volts::parse("12 V"), Amps::parse("1 A")),
    };
    let voltage = if table.has("voltage") { voltage?.value } else { usual_voltage.ok()? };
    let trip = if table.has("trip") { trip?.value } else { usual_trip.ok()? };
    let typical = !table.has("voltage") || !table.has("trip");
    let span = if table.written { table.name.span } else { layout_span };
    let cabs = if table.has("cabs") { cabs? } else { 1 };
    Some(TrackPower { voltage, trip, cabs: cabs.max(1), typical, span })
}
