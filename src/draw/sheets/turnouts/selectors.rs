//! Switches and modules that set the polarity of frogs or reversing sections where no tie bar can
//! tell: a band each.

use super::super::pen::{Label, pin_name, thin};
use super::super::{Book, Thing};
use super::band::Work;
use super::columns::Columns;
use super::control::{linkage, mirrored};
use super::storeys::{self, Rows, Storey, Subject};
use super::{buses, header, notes, zones_of};
use crate::circuit::{Contact, PartId, PartKind, PinRef};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role};
use crate::draw::symbols::changeover::{Actuator, Changeover, Pins};
use crate::draw::text::{self, lettering};
use crate::drives::{Decider, SelectorId, SelectorKind};
use crate::geom::{Point, Rect, point};
use crate::hardware::{End, WireId};
use crate::parse::BoardId;
use crate::track::{Position, ZoneId};

/// Room for the words under a band.
const WORDS: f64 = 10.0;

struct Band {
    selector: SelectorId,
    part: PartId,
    storeys: Vec<Storey>,
    height: f64,
}

pub(super) fn draw(book: &mut Book) {
    let space = book.format().frame().height() - 17.5 - 2.0 * crate::draw::M - 10.0;
    let mut pages: Vec<(BoardId, Vec<Band>, Vec<ZoneId>)> = Vec::new();
    let mut used = 0.0;
    for id in (0..book.design.plan.selectors.len()).map(SelectorId) {
        let board = book.design.plan.selector(id).board;
        let found = book.design.circuit.find(|k| match k {
            PartKind::PolaritySwitch { selector } | PartKind::ReverserModule { selector } => selector == id,
            _ => false,
        });
        let Some(part) = found else { continue };
        let storeys = storeys::of(book, Decider::Selector(id), None);
        let height = storeys.iter().map(|s| s.height).sum::<f64>() + WORDS;
        let mut zones = zones_of(book, Decider::Selector(id));
        let fits = pages.last().is_some_and(|(b, _, z)| {
            *b == board && used + height <= space + 0.01 && super::together(z, &zones).len() <= 2
        });
        let band = Band { selector: id, part, storeys, height };
        match pages.last_mut().filter(|_| fits) {
            Some((_, bands, all)) => {
                bands.push(band);
                zones = super::together(all, &zones);
                *all = zones;
                used += height;
            }
            None => {
                pages.push((board, vec![band], zones));
                used = height;
            }
        }
    }
    for (i, (board, bands, zones)) in pages.iter().enumerate() {
        sheet(book, i, *board, bands, zones);
    }
}

fn sheet(book: &mut Book, index: usize, board: BoardId, bands: &[Band], zones: &[ZoneId]) {
    let plan = &book.design.plan;
    let mut names: Vec<&str> = bands.iter().map(|b| plan.selector(b.selector).name.as_str()).collect();
    names.dedup();
    let title = format!("Polarity of {}", names.join(", "));
    let mut page = book.page(format!("polarity-{}", index + 1), title, "none");
    let mut cols = Columns::for_page(&page, book, board, zones);
    // There is neither a panel strip nor a board strip between.
    cols.titles.retain(|(_, _, words)| !words.starts_with("Strip XP") && !words.starts_with("Strip XB"));
    header(&mut page, &cols);
    let mut work = Work::new(cols);
    let mut top = page.inner.min.y + 10.0;
    for (i, band) in bands.iter().enumerate() {
        draw_band(book, &mut page, &mut work, band, top);
        top += band.height;
        if i + 1 < bands.len() {
            let (a, b) = (point(page.inner.min.x, top), point(page.inner.max.x, top));
            page.scene.line(a, b, super::super::pen::light(), Role::Decoration);
        }
    }
    buses(book, &mut page, &work);
    let selectors: Vec<_> = bands.iter().map(|b| plan.selector(b.selector)).collect();
    notes::of_selectors(&mut page, &selectors);
    book.add(page);
}

fn draw_band(book: &mut Book, page: &mut Page, work: &mut Work, band: &Band, top: f64) {
    let selector = book.design.plan.selector(band.selector);
    let is_switch = selector.kind == SelectorKind::Switch;
    let designation = book.design.circuit[band.part].designation.clone();
    let mut at = top;
    for storey in &band.storeys {
        let pins = if is_switch {
            switch(book, page, band.part, storey, at)
        } else {
            module(book, page, &work.cols, band.part, storey, at)
        };
        let caption = match storey.subject {
            Subject::Turnout(t) => (book.design.document[t].name.value.clone(), None),
            Subject::Zone(_) => (String::new(), None),
        };
        storeys::draw(book, page, work, storey, (at, &pins), caption, !is_switch);
        at += storey.height;
    }
    let x = page.inner.min.x + 2.5;
    page.scene.bold(point(x, top + 5.2), lettering::HEADING, Anchor::Start, designation);
    book.place(Thing::Part(band.part), page, point(x, top + 5.2));
    let [normal, reverse] = &selector.positions;
    let positions =
        format!("{}: {}. Normal: {normal}; reverse: {reverse}.", selector.name, value(book, band.part));
    let reason = book
        .design
        .plan
        .following(Decider::Selector(band.selector))
        .next()
        .map_or(String::new(), |c| format!("Why: {}.", book.design.plan.changeover(c).reason));
    let width = work.cols.track_strip - x - 10.0;
    for (i, words) in [positions, reason].into_iter().enumerate() {
        let words = text::fit(&words, lettering::SMALL, false, width).into_owned();
        let y = top + band.height - 5.5 + 3.2 * i as f64;
        page.scene.text(point(x, y), lettering::SMALL, Anchor::Start, words);
    }
}

fn value<'a>(book: &Book<'a>, part: PartId) -> &'a str {
    &book.design.circuit[part].value
}

/// A pole for each contact: outers at the left, fed by a wire from pin to pin on the panel.
fn switch(book: &mut Book, page: &mut Page, part: PartId, storey: &Storey, top: f64) -> Vec<Pins> {
    let left = page.inner.min.x + 65.0;
    let right = left + 12.5;
    let mut pins = Vec::new();
    let mut outers: Vec<(PinRef, Point)> = Vec::new();
    for (i, (contact, rows)) in storey.contacts.iter().enumerate() {
        let y = top + rows.hinge;
        let actuator = if i == 0 { Actuator::Manual } else { Actuator::None };
        let drawn =
            mirrored(&mut page.scene, left, right, y, &Changeover { actuator, ..Changeover::default() });
        book.draw_pin(&mut page.scene, contact.common(), drawn.common);
        let name = book.design.circuit.pin(contact.common()).name;
        pin_name(&mut page.scene, point(right - 0.3, y - 0.7), Anchor::End, name);
        for (position, at) in [(Position::Normal, drawn.normal), (Position::Reverse, drawn.reverse)] {
            outers.push((contact.outer(position), at));
            let name = book.design.circuit.pin(contact.outer(position)).name;
            let dy = if at.y > y { 2.5 } else { -0.7 };
            pin_name(&mut page.scene, point(left + 0.3, at.y + dy), Anchor::Start, name);
        }
        pins.push(drawn);
    }
    if let [(_, first), .., (_, last)] = storey.contacts.as_slice() {
        linkage(&mut page.scene, left + 6.25, top + first.hinge - 0.6, top + last.hinge - 0.6);
    }
    feeds(book, page, part, &outers);
    pins
}

/// The wires that feed the outers of a switch: from pin to pin of the switch in channels beside it,
/// the outermost pair furthest out; from elsewhere by a line with the name of the other end.
fn feeds(book: &mut Book, page: &mut Page, part: PartId, outers: &[(PinRef, Point)]) {
    let wiring = &book.design.wiring;
    let mut inner: Vec<(f64, WireId, usize, usize)> = Vec::new();
    for (i, w) in wiring.wires.iter().enumerate() {
        let place = |e: End| outers.iter().position(|(p, _)| e == End::Pin(*p));
        if let (Some(a), Some(b)) = (place(w.from), place(w.to)) {
            inner.push(((outers[a].1.y - outers[b].1.y).abs(), WireId(i), a, b));
        }
    }
    inner.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut ends: Vec<Point> = outers.iter().map(|(_, at)| *at).collect();
    for (channel, (_, id, a, b)) in inner.into_iter().enumerate() {
        let x = outers[a].1.x - 2.5 - 5.0 * channel as f64;
        for i in [a, b] {
            let end = point(x, outers[i].1.y);
            page.scene.line(end, outers[i].1, thin(), Role::Symbol);
            ends[i] = end;
        }
        book.draw_wire(&mut page.scene, id, vec![ends[a], ends[b]], None);
        let label = book.design.wiring.wires[id.0].label();
        if (ends[a].y - ends[b].y).abs() > text::width(&label, lettering::SMALL, false) + 2.0 {
            let middle = point(x - 0.8, (ends[a].y + ends[b].y) / 2.0);
            page.scene.upright(middle, lettering::SMALL, Anchor::Middle, label);
        }
    }
    for ((pin, _), end) in outers.iter().zip(ends) {
        book.draw_pin(&mut page.scene, *pin, end);
        let Some((id, far)) = incoming(book, part, *pin) else { continue };
        let start = point(page.inner.min.x + 27.5, end.y);
        let reference = book.reference(Thing::Part(far.part));
        let words = format!("{} {reference}", book.design.circuit.pin_name(far));
        page.scene.text(point(start.x - 1.2, end.y + 0.9), lettering::SMALL, Anchor::End, words.trim_end());
        book.draw_pin(&mut page.scene, far, start);
        let label = Label { x: start.x + 1.2, y: end.y, width: 24.0 };
        book.draw_wire(&mut page.scene, id, vec![start, end], Some(label));
    }
}

/// The wire by which a pin is fed from another part of the panel, and where it comes from.
fn incoming(book: &Book, part: PartId, pin: PinRef) -> Option<(WireId, PinRef)> {
    let circuit = &book.design.circuit;
    let net = circuit.pin(pin).net?;
    let place = |p: PinRef| circuit[net].pins.iter().position(|o| *o == p);
    book.design.wiring.wires.iter().enumerate().find_map(|(i, w)| match (w.from, w.to) {
        (End::Pin(a), End::Pin(b)) if a == pin || b == pin => {
            let far = if a == pin { b } else { a };
            (far.part != part && place(far) < place(pin)).then_some((WireId(i), far))
        }
        _ => None,
    })
}

/// A box with its outputs on the rows of the commons and its inputs on those of the contacts.
fn module(
    book: &mut Book,
    page: &mut Page,
    cols: &Columns,
    part: PartId,
    storey: &Storey,
    top: f64,
) -> Vec<Pins> {
    let right = cols.contact[1];
    let mut pins = Vec::new();
    let mut inputs: Vec<(usize, Point)> = Vec::new();
    let mut rows_used: Vec<f64> = Vec::new();
    let names = |c: &Contact, p: usize| book.design.circuit[c.part].pins[p].name;
    let mut words: Vec<(Point, &'static str)> = Vec::new();
    let several = storey.contacts.len() > 1;
    for (i, (contact, rows)) in storey.contacts.iter().enumerate() {
        let Rows { hinge, common, .. } = *rows;
        let mut input = |pin: usize, y: f64| match inputs.iter().find(|(p, _)| *p == pin) {
            Some((_, at)) => *at,
            None => {
                let at = point(right, top + y);
                inputs.push((pin, at));
                words.push((at, names(contact, pin)));
                rows_used.push(at.y);
                at
            }
        };
        // The two inputs of a module with both outputs in use lie either side of the middle.
        let (one, other) = match (several, i) {
            (false, _) => (hinge - 2.5, hinge + 2.5),
            (true, 0) if common < hinge => (hinge + 2.5, hinge + 7.5),
            (true, 0) => (hinge - 2.5, hinge + 2.5),
            (true, _) => (hinge, hinge + 2.5),
        };
        let (normal, reverse) = (input(contact.normal, one), input(contact.reverse, other));
        let common_at = point(right, top + common);
        words.push((common_at, names(contact, contact.common)));
        rows_used.push(common_at.y);
        pins.push(Pins { common: common_at, normal, reverse });
        book.draw_pin(&mut page.scene, contact.common(), common_at);
    }
    for (pin, at) in &inputs {
        book.draw_pin(&mut page.scene, PinRef { part, pin: *pin }, *at);
    }
    let (low, high) =
        rows_used.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), y| (low.min(*y), high.max(*y)));
    let outline = Rect::new(right - 22.5, low - 2.5, 20.0, high - low + 5.0);
    page.scene.rect(outline, Some(thin()), None, Role::Symbol);
    for (at, name) in words {
        page.scene.line(point(right - 2.5, at.y), at, thin(), Role::Symbol);
        page.scene.text(point(right - 3.5, at.y + 0.9), lettering::SMALL, Anchor::End, name);
    }
    let name = book.design.circuit[part].designation.clone();
    let middle = point(outline.min.x + 2.0, (low + high) / 2.0);
    page.scene.bold(middle, lettering::HEADING, Anchor::Start, name);
    page.scene.text(point(middle.x, middle.y + 3.4), lettering::SMALL, Anchor::Start, "module");
    pins
}
