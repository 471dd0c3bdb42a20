//! Jumpers of the board strip, drawn as verticals in channels left of it.

use super::super::{Book, Thing};
use super::band::{Row, Work};
use crate::circuit::NetId;
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::{self, lettering};
use crate::geom::point;

/// Channels are this far apart, the first this far from the strip.
const PITCH: f64 = 5.0;
/// How far below or above a terminal its bar turns aside.
const STEP: f64 = 2.5;

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

/// From the foot of one terminal round to the head of the next, as the bars stand on the strip.
fn column(book: &mut Book, page: &mut Page, work: &Work, net: NetId, x: f64, rows: &[&Row]) {
    let xb = work.cols.board_strip;
    for pair in rows.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (leave, enter) = (a.y + STEP, b.y - STEP);
        let points = vec![
            point(xb, a.y),
            point(xb, leave),
            point(x, leave),
            point(x, enter),
            point(xb, enter),
            point(xb, b.y),
        ];
        book.draw_jumper(&mut page.scene, net, points);
        label(book, page, work, (a, b), x);
    }
    // A net that comes in by a jumper from a terminal of another sheet says from which.
    let Some(first) = rows.first() else { return };
    if rows.iter().any(|r| r.incoming) {
        return;
    }
    if let Some(words) = elsewhere(book, rows) {
        let y = first.y - STEP;
        let points = vec![point(x, y), point(xb, y), point(xb, first.y)];
        book.draw_jumper(&mut page.scene, net, points);
        page.scene.pin(point(x, y), words.clone(), book.net_name(net).to_owned());
        page.scene.text(point(x - 1.2, y + 0.9), lettering::SMALL, Anchor::End, words);
    }
}

/// "jumper 5–6" beside the bar, where no row of the sheet crosses it.
fn label(book: &Book, page: &mut Page, work: &Work, (a, b): (&Row, &Row), x: f64) {
    let wiring = &book.design.wiring;
    let numbers = [a, b].map(|r| wiring.terminal(r.terminal).number);
    let words = format!("jumper {}–{}", numbers[0], numbers[1]);
    let needed = text::width(&words, lettering::SMALL, false) + 1.0;
    // Other rows may send a bar across a little above and below their own height.
    let mut cuts = vec![a.y + STEP, b.y - STEP];
    for row in &work.rows {
        cuts.extend([row.y - STEP, row.y, row.y + STEP]);
    }
    cuts.extend(&work.tops);
    cuts.retain(|y| (a.y + STEP..=b.y - STEP).contains(y));
    cuts.sort_by(f64::total_cmp);
    let widest = cuts.windows(2).max_by(|p, q| (p[1] - p[0]).total_cmp(&(q[1] - q[0])));
    if let Some(gap) = widest.filter(|g| g[1] - g[0] >= needed) {
        let at = point(x + 2.5, (gap[0] + gap[1]) / 2.0);
        page.scene.upright(at, lettering::SMALL, Anchor::Middle, words);
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
