//! The rest of a supply's own nets: to controllers, decoders and bulk capacitors on the boards.

use super::super::{Book, connections};
use crate::circuit::{PartId, PartKind};
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::lettering;
use crate::geom::{Point, point};
use crate::hardware::{End, WireId};

const PITCH: f64 = 5.0;

/// Its wires in the order of the way. What leads to drives and relays is drawn with their turnouts.
pub(super) fn rows(book: &Book, source: PartId) -> Vec<WireId> {
    let design = book.design;
    let circuit = &design.circuit;
    // Nets of the supply, and those behind its fuses.
    let mut nets: Vec<_> = circuit[source].pins.iter().filter_map(|p| p.net).collect();
    let fuses: Vec<PartId> = circuit
        .parts()
        .filter(|(_, p)| {
            p.kind == PartKind::Fuse && p.pins.iter().any(|x| x.net.is_some_and(|n| nets.contains(&n)))
        })
        .map(|(id, _)| id)
        .collect();
    nets.extend(fuses.iter().flat_map(|f| circuit[*f].pins.iter().filter_map(|p| p.net)));
    let leads_on = |end: End| match end {
        End::Terminal(_) => true,
        End::Pin(p) => matches!(
            circuit[p.part].kind,
            PartKind::Bus | PartKind::ServoController { .. } | PartKind::Capacitor | PartKind::Decoder { .. }
        ),
    };
    let rows: Vec<WireId> = design
        .wiring
        .wires
        .iter()
        .enumerate()
        .filter(|(i, w)| {
            nets.contains(&w.net)
                && !book.drawn.contains(&WireId(*i))
                && leads_on(w.from)
                && leads_on(w.to)
                // Terminals that only serve a turnout are drawn with it.
                && serves_the_supply(book, w.from)
                && serves_the_supply(book, w.to)
        })
        .map(|(i, _)| WireId(i))
        .collect();
    // In the order of the way: from the bus, along the cable, to the part.
    let mut rows = rows;
    rows.sort_by_key(|id| {
        let w = &design.wiring.wires[id.0];
        let rank = match (w.from, w.to) {
            (End::Terminal(_), End::Terminal(_)) => 1,
            (End::Pin(p), _) if circuit[p.part].kind == PartKind::Bus => 0,
            _ => 2,
        };
        (w.net, rank, *id)
    });
    rows
}

/// A line for each wire, under a heading.
pub(super) fn draw(book: &mut Book, page: &mut Page, rows: &[WireId], at: Point) {
    if rows.is_empty() {
        return;
    }
    page.scene.bold(point(at.x - 22.5, at.y), lettering::BODY, Anchor::Start, "From here to the boards");
    let first = at.y + 7.5;
    let most = ((page.inner.max.y - first + 2.5) / PITCH) as usize;
    for (n, id) in rows.iter().take(most).enumerate() {
        let y = first + PITCH * n as f64;
        connections::straight(book, page, *id, point(at.x, y), point(at.x + 37.5, y));
    }
}

/// Not a terminal whose only other wire goes to a drive or relay.
fn serves_the_supply(book: &Book, end: End) -> bool {
    let End::Terminal(t) = end else { return true };
    let circuit = &book.design.circuit;
    !book.design.wiring.at_terminal(t).any(|w| {
        [w.from, w.to].into_iter().any(|e| match e {
            End::Pin(p) => matches!(circuit[p.part].kind, PartKind::Relay { .. } | PartKind::Drive { .. }),
            End::Terminal(_) => false,
        })
    })
}
