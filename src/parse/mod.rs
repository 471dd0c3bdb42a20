//! From the text of a layout file to a [`Document`].
//!
//! The TOML parser gives a tree in which every key and value knows its place, along with every
//! syntax error it met. The tree is then read by hand, table by table: derived deserialisation stops
//! at the first value that does not fit, and a builder wants to hear everything in one go.
//!
//! `keys` is the one list of what a file may say. `reader` and `value` read by it, `bind`
//! resolves names, `tables` knows what belongs together, and `schema` shows the list to editors.

mod belief;
mod bind;
mod compose;
pub mod document;
mod form;
mod keys;
mod lettering;
pub(crate) mod near;
mod reader;
mod root;
mod schema;
pub mod standard;
mod starter;
mod syntax;
mod tables;
mod value;
mod words;

#[cfg(test)]
mod tests;

pub use belief::Belief;
pub use document::*;
pub use schema::json_schema;
pub use starter::STARTER;
pub use tables::layout::AMBIENT;
pub use tables::supply::{MOST_AC, MOST_AC_UNLOADED, MOST_DC};
pub use words::Word;

use toml::de::DeTable;

use crate::diag::{self, Diagnostic, Severity};
use crate::source::{SourceFile, Span};
use crate::units::Length;
use bind::Names;
use reader::Found;
use root::Root;

/// Reads a layout file. Everything that is wrong with it is in the list, in the order of the file;
/// there is a document exactly if none of it is an error.
pub fn parse(source: &SourceFile) -> (Option<Document>, Vec<Diagnostic>) {
    let (tree, errors) = DeTable::parse_recoverable(&source.text);
    if errors.is_empty() && tree.get_ref().is_empty() {
        return (None, vec![empty_file()]);
    }
    let mut found = Found::new();
    let root = Root::open(tree.get_ref(), &source.text, &mut found);
    let document = read(&root, &mut found);
    if !errors.is_empty() {
        found = syntax::explain(&errors, tree.get_ref(), found, &source.text);
    }
    diag::sort(&mut found);
    let right = found.iter().all(|d| d.severity != Severity::Error);
    (document.filter(|_| right), found)
}

/// A file without a word in it misses everything; one message is enough.
fn empty_file() -> Diagnostic {
    Diagnostic::error("empty-file", "the file describes nothing yet")
        .label(Span::default(), "no line of a layout in this file")
        .help("`underboard new` writes a small layout to begin with")
}

/// The gauge where the file's own is wrong, so that the rest can be looked at.
const USUAL_GAUGE: Length = Length::from_mm(16.5);

/// Every table is read, whatever is wrong with the others; only then does it show whether they make
/// a document.
fn read(root: &Root<'_>, found: &mut Found) -> Option<Document> {
    let board_tables = root.named(&keys::BOARD, found);
    let turnout_tables = root.named(&keys::TURNOUT, found);
    let track_tables = root.named(&keys::TRACK, found);
    let drive_tables = root.named(&keys::DRIVE, found);
    let control_tables = root.named(&keys::CONTROL, found);
    let route_tables = root.named(&keys::ROUTE, found);
    let supply_tables = root.named(&keys::SUPPLY, found);
    let board_names = Names::of(&keys::BOARD, &board_tables, root);
    let mut turnout_names = Names::of(&keys::TURNOUT, &turnout_tables, root);
    let section_tables = root.named(&keys::SECTION, found);
    let section_names = Names::of(&keys::SECTION, &section_tables, root);
    let drive_names = Names::of(&keys::DRIVE, &drive_tables, root);

    let layout_table = root.table(&keys::LAYOUT, found);
    let layout = tables::layout::layout(&layout_table, found);
    let power_table = root.table(&keys::TRACK_POWER, found);
    let power = tables::layout::track_power(
        &power_table,
        layout.as_ref().map(|(layout, _)| layout),
        layout_table.name.span,
        found,
    );

    // What compositions stand for comes after what is written one by one.
    let gauge = layout.as_ref().map_or(USUAL_GAUGE, |(layout, _)| layout.gauge);
    let compositions = compose::read(root, gauge, turnout_tables.len(), found);
    for composition in &compositions {
        turnout_names.compose(composition.members().map(|(name, _)| name), composition.composed());
    }
    if !keys::COMPOSITIONS.iter().all(|section| root.is_readable(section)) {
        turnout_names.forget();
    }
    compose::clashes(&compositions, &turnout_tables, &track_tables, &control_tables, found);

    let mut boards: Vec<_> = board_tables.iter().map(|t| tables::site::board(t, found)).collect();
    if !root.has(&keys::BOARD) {
        boards.push(Some(tables::site::nameless_board()));
    }
    let drives: Vec<_> = drive_tables.iter().map(|t| tables::drive::drive(t, found)).collect();

    let defaults_table = root.table(&keys::DEFAULTS, found);
    let defaults =
        tables::turnout::defaults(&defaults_table, &drive_names, &board_names, &section_names, found);
    let kinds: Vec<_> = turnout_tables.iter().map(|t| tables::turnout::kind(t, found)).collect();
    let with_defaults: Vec<_> = turnout_tables.iter().chain(compositions.iter().map(|c| &c.table)).collect();
    tables::turnout::gaps(&with_defaults, &defaults, &drive_names, found);
    let mut plain_kinds: Vec<_> = kinds.iter().map(|kind| kind.as_ref().map(|k| k.value)).collect();
    plain_kinds.extend(compositions.iter().flat_map(|c| c.members()).map(|(_, kind)| Some(kind)));
    let around = tables::turnout::Surroundings {
        defaults: &defaults,
        drives: &drive_names,
        board_names: &board_names,
        sections: &section_names,
        turnouts: &turnout_names,
        kinds: &plain_kinds,
        boards: &boards,
    };
    let mut turnouts: Vec<_> = turnout_tables
        .iter()
        .zip(&kinds)
        .map(|(table, kind)| tables::turnout::turnout(table, kind.clone(), &around, found))
        .collect();

    let mut bars: Vec<_> = turnout_tables
        .iter()
        .zip(&plain_kinds)
        .enumerate()
        .map(|(i, (table, kind))| tables::turnout::bars(table, TurnoutId(i), *kind, &around, found))
        .collect();
    let mut inner_tracks = Vec::new();
    let mut inner_controls = Vec::new();
    let mut exclusive = Vec::new();
    for composition in &compositions {
        let parts = composition.expand(&plain_kinds, &around, found);
        turnouts.extend(parts.turnouts);
        bars.extend(parts.bars);
        inner_tracks.extend(parts.tracks);
        inner_controls.extend(parts.controls);
        exclusive.extend(parts.exclusive);
    }
    let kinds = plain_kinds.clone();
    let around = tables::track::Surroundings {
        defaults: &defaults,
        board_names: &board_names,
        sections: &section_names,
        turnouts: &turnouts,
    };
    let ends: Vec<_> =
        track_tables.iter().map(|t| tables::track::ends(t, &turnout_names, &kinds, found)).collect();
    let mut tracks: Vec<_> =
        track_tables.iter().zip(&ends).map(|(t, e)| tables::track::track(t, e, &around, found)).collect();
    let before = found.len();
    let inner = compositions.iter().flat_map(|c| c.tracks().flat_map(|t| t.ends.map(|e| (e, c.name().span))));
    let joins = tables::track::joins(&track_tables, &ends, inner.collect(), &turnout_names, found);
    tables::track::ways_back(&track_tables, &ends, &turnout_names, gauge, found);
    tracks.extend(inner_tracks);
    // A track that is wrong may be the one that should join a port.
    let joins_are_right = found.len() == before && ends.iter().flatten().all(Option::is_some);
    let whole = compositions.iter().all(|c| c.outline.whole);
    if joins_are_right && whole && root.is_readable(&keys::TRACK) {
        tables::track::open_ports(&joins, &turnout_names, &kinds, found);
    }

    let together: Vec<bool> = turnouts
        .iter()
        .map(|t| t.as_ref().is_some_and(|t: &Turnout| t.blades == SlipBlades::BothAgree))
        .collect();
    let throws: Vec<_> = control_tables
        .iter()
        .map(|t| tables::control::throws(t, &turnout_names, &kinds, &together, found))
        .collect();
    let written = control_tables
        .iter()
        .zip(&throws)
        .filter_map(|(table, throws)| Some((table.name.value.as_str(), throws.as_deref()?)));
    let inner =
        inner_controls.iter().flatten().map(|c: &Control| (c.name.value.as_str(), c.throws.as_slice()));
    let levers: Vec<_> = inner.chain(written).collect();
    tables::control::rivals(&levers, found);
    tables::control::forbidden(&levers, &turnout_names, &kinds, &exclusive, found);
    let mut controls: Vec<_> = control_tables
        .iter()
        .zip(throws)
        .map(|(table, throws)| tables::control::control(table, throws, found))
        .collect();
    controls.extend(inner_controls);
    let routes: Vec<_> = route_tables
        .iter()
        .map(|t| tables::route::route(t, &turnout_names, &kinds, &together, found))
        .collect();
    tables::route::names(&routes, &controls, found);
    let supplies: Vec<_> = supply_tables.iter().map(|t| tables::supply::supply(t, found)).collect();

    let servo_controller =
        tables::supply::servo_controller(&root.table(&keys::SERVO_CONTROLLER, found), found);
    let wire_stock = tables::stock::wire(&root.table(&keys::WIRE, found), found);
    let capacitor_stock = tables::stock::capacitors(&root.table(&keys::CAPACITOR, found), found);
    let colours = tables::stock::colours(&root.table(&keys::COLOURS, found), found);
    let panel = tables::site::panel(&root.table(&keys::PANEL, found), &board_names, found);
    nothing_to_do(root, &turnout_names, &drive_names, found);

    let (layout, droppers) = layout?;
    let sections = tables::section::sections(&section_tables, &layout, found)?;
    Some(Document {
        layout,
        track_power: power?,
        boards: all(boards)?,
        turnouts: all(turnouts)?,
        bars: all(bars)?.into_iter().flatten().collect(),
        sections,
        tracks: all(tracks)?,
        drives: all(drives)?,
        controls: all(controls)?,
        routes: all(routes)?,
        exclusive,
        supplies: all(supplies)?,
        servo_controller: servo_controller?,
        wire_stock: wire_stock?,
        capacitor_stock: capacitor_stock?,
        colours,
        panel: panel?,
        droppers,
    })
}

/// Ids are places in these lists, so either all of a list is right or there is no list.
fn all<T>(list: Vec<Option<T>>) -> Option<Vec<T>> {
    list.into_iter().collect()
}

/// Reports a file without turnouts, and turnouts without any drive.
fn nothing_to_do(root: &Root<'_>, turnouts: &Names, drives: &Names, found: &mut Found) {
    let composed = keys::COMPOSITIONS.iter().any(|section| root.has(section));
    if composed && turnouts.len() == 0 {
        return;
    }
    if turnouts.len() == 0 && !root.has(&keys::TURNOUT) {
        found.push(
            Diagnostic::error("missing-table", "the layout has no turnout")
                .label(Span::default(), "nothing to wire in this file")
                .help("describe a turnout, as in `[turnout.T1]` and under it `kind = \"left\"`"),
        );
    } else if turnouts.len() == 0 && root.is_readable(&keys::TURNOUT) {
        found.push(
            Diagnostic::error("missing-table", "the layout has no turnout")
                .label(root.place(&keys::TURNOUT), "nothing follows this header")
                .help("describe a turnout, as in `[turnout.T1]` and under it `kind = \"left\"`"),
        );
    }
    if turnouts.len() > 0 && drives.len() == 0 && !root.has(&keys::DRIVE) {
        let place = if root.has(&keys::TURNOUT) { root.place(&keys::TURNOUT) } else { turnouts.span(0) };
        found.push(
            Diagnostic::error("missing-table", "nothing throws the turnouts: the file has no [drive]")
                .label(place, "these need a drive")
                .help("describe the drive, as in `[drive.coil]` and under it `kind = \"solenoid\"`"),
        );
    }
}
