//! Jumpers of the board strip, drawn as verticals in channels left of it.

use super::super::{Book, Thing};
use super::band::{Row, Work};
use crate::circuit::NetId;
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::lettering;
use crate::geom::point;

/// Channels are this far apart, the first this far from the strip.
const PITCH: f64 = 5.0;

pub(super) fn draw(book: &mut Book, page: &mut Page, work: &Work) {
    let mut nets: Vec<NetId> = work.rows.iter().map(|r| r.net).collect();
    nets.sort_unstable();
    nets.dedup();
    // Each channel holds the lowest point it is taken to.
    let mut channels: Vec<f64> = Vec::new();
    let mut spans: Vec<(f64, f64, NetId)> = Vec::new();
    for net in nets {
        let rows: Vec<&Row> = work.rows.iter().filter(|r| r.net == net).collect();
        let joined = rows.iter().any(|r| book.design.wiring.jumpers_at(r.terminal).next().is_some());
        if !joined {
            continue;
        }
        let low = rows.iter().map(|r| r.y).fold(f64::INFINITY, f64::min);
        let high = rows.iter().map(|r| r.y).fold(0.0, f64::max);
        spans.push((low, high, net));
    }
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    for (low, high, net) in spans {
        let free = channels.iter().position(|end| *end < low - 2.5);
        let channel = free.unwrap_or_else(|| {
            channels.push(0.0);
            channels.len() - 1
        });
        channels[channel] = high + 5.0;
        let x = work.cols.board_strip - PITCH - PITCH * channel as f64;
        let mut rows: Vec<&Row> = work.rows.iter().filter(|r| r.net == net).collect();
        rows.sort_by(|a, b| a.y.total_cmp(&b.y));
        column(book, page, work, net, x, &rows);
    }
}

fn column(book: &mut Book, page: &mut Page, work: &Work, net: NetId, x: f64, rows: &[&Row]) {
    let xb = work.cols.board_strip;
    for pair in rows.windows(2) {
        let points = vec![point(x, pair[0].y), point(x, pair[1].y)];
        book.draw_net(&mut page.scene, net, points, false);
    }
    let above = elsewhere(book, rows);
    for (i, row) in rows.iter().enumerate() {
        let at = point(x, row.y);
        if !row.incoming {
            book.draw_net(&mut page.scene, net, vec![at, point(xb, row.y)], false);
        }
        let interior = i > 0 && i + 1 < rows.len();
        if (row.incoming && rows.len() > 1) || interior {
            book.draw_dot(&mut page.scene, net, at);
        }
    }
    // A net that comes in by a jumper from a terminal of another sheet says from which.
    let Some(first) = rows.first() else { return };
    if rows.iter().any(|r| r.incoming) {
        return;
    }
    if let Some(words) = above {
        let start = point(x, first.y);
        if rows.len() == 1 {
            // The stub's free end is the reference itself.
            page.scene.pin(start, words.clone(), book.net_name(net).to_owned());
        } else {
            page.scene.pin(start, words.clone(), book.net_name(net).to_owned());
        }
        page.scene.text(point(x - 1.2, first.y + 0.9), lettering::SMALL, Anchor::End, words);
    }
}

/// "jumper to XB1:3 4/C2": the nearest terminal of the net on another sheet.
fn elsewhere(book: &Book, rows: &[&Row]) -> Option<String> {
    let wiring = &book.design.wiring;
    let here = |t| rows.iter().any(|r| r.terminal == t);
    rows.iter()
        .flat_map(|r| wiring.jumpers_at(r.terminal))
        .flat_map(|j| [j.from, j.to])
        .find(|t| !here(*t))
        .map(|t| {
            let place = book.reference(Thing::Terminal(t));
            format!("jumper to {} {place}", wiring.terminal_name(t)).trim_end().to_owned()
        })
}
