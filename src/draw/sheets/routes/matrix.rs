//! The matrix: a row for each button, a column for each line, and where a button works a line a
//! diode or a wire link. A column ends at the line's terminal of the panel strip.

use super::super::pen::{Label, pin_name};
use super::super::{Book, Thing};
use crate::circuit::{NetId, NetKind, PartId, PartKind, PinRef, Place};
use crate::draw::page::{Page, PageFormat, caution_strip};
use crate::draw::scene::Anchor;
use crate::draw::symbols::matrix_link::{ACROSS, DOWN, diode, wire_link};
use crate::draw::symbols::push_button::push_button;
use crate::draw::text::{self, lettering};
use crate::geom::{Point, point};
use crate::hardware::{End, TerminalRef};

/// From row to row, and from column to column: room for the label of a wire between.
const ROW: f64 = 25.0;
const COLUMN: f64 = 20.0;
/// From the left edge to the button's first pin, and to the first anode.
const BUTTON: f64 = 25.0;
const FIRST_COLUMN: f64 = 57.5;
/// From the upper edge to the first row: the heads of the columns.
const FIRST_ROW: f64 = 30.0;
/// From the last row to the terminals, and what stands below these.
const TO_TERMINALS: f64 = 25.0;
const BELOW: f64 = 10.0;
/// Right of the last column: where a row goes on.
const BESIDE: f64 = 35.0;
/// How far a wire runs on beyond the last column.
const ON: f64 = 15.0;

/// A button or a line with its links, in the order in which wires join them.
struct Strand {
    links: Vec<PartId>,
}

struct Row {
    button: PartId,
    strand: Strand,
}

struct Column {
    net: NetId,
    strand: Strand,
}

/// The whole matrix, from the circuit.
struct Grid {
    rows: Vec<Row>,
    columns: Vec<Column>,
}

impl Grid {
    fn of(book: &Book) -> Grid {
        let circuit = &book.design.circuit;
        let is_link =
            |p: &PinRef| matches!(circuit[p.part].kind, PartKind::Diode { .. } | PartKind::Link { .. });
        let links = |net: NetId| Strand {
            links: circuit[net].pins.iter().filter(|p| is_link(p)).map(|p| p.part).collect(),
        };
        let rows = circuit.parts().filter(|(_, p)| matches!(p.kind, PartKind::RouteButton { .. }));
        let rows = rows.filter_map(|(button, p)| Some(Row { button, strand: links(p.pins[1].net?) }));
        let columns = circuit.nets().filter(|(_, n)| matches!(n.kind, NetKind::Command(_)));
        let columns = columns.map(|(net, _)| Column { net, strand: links(net) });
        Grid { rows: rows.collect(), columns: columns.filter(|c| !c.strand.links.is_empty()).collect() }
    }

    fn column_of(&self, link: PartId) -> Option<usize> {
        self.columns.iter().position(|c| c.strand.links.contains(&link))
    }

    /// Rows and columns of each sheet: so many rows, and of the columns that they need so many.
    fn sheets(&self, format: PageFormat) -> Vec<(Vec<usize>, Vec<usize>)> {
        let (width, height) = (format.frame().width() - 5.0, format.frame().height() - 22.5);
        let most = |room: f64, pitch: f64| ((room / pitch).floor() as usize + 1).max(1);
        let most_rows = most(height - FIRST_ROW - TO_TERMINALS - BELOW, ROW);
        let most_columns = most(width - FIRST_COLUMN - ACROSS - BESIDE, COLUMN);
        let all: Vec<usize> = (0..self.rows.len()).collect();
        let mut sheets = Vec::new();
        for rows in all.chunks(evenly(all.len(), most_rows)) {
            let needed = |r: usize| self.rows[r].strand.links.iter().filter_map(|l| self.column_of(*l));
            let mut columns: Vec<usize> = rows.iter().flat_map(|r| needed(*r)).collect();
            columns.sort_unstable();
            columns.dedup();
            for columns in columns.chunks(evenly(columns.len(), most_columns)) {
                let meets = |r: &&usize| needed(**r).any(|c| columns.contains(&c));
                sheets.push((rows.iter().filter(meets).copied().collect(), columns.to_vec()));
            }
        }
        sheets
    }
}

/// How many of them to each sheet, so that none is left with a few.
fn evenly(all: usize, most: usize) -> usize {
    all.div_ceil(all.div_ceil(most).max(1)).max(1)
}

pub(super) fn draw(book: &mut Book) {
    let grid = Grid::of(book);
    for (i, (rows, columns)) in grid.sheets(book.format()).into_iter().enumerate() {
        let title = if i == 0 { "Route matrix".to_owned() } else { format!("Route matrix {}", i + 1) };
        let mut page = book.page(format!("route-matrix-{}", i + 1), title, "none");
        Sheet { book, page: &mut page, grid: &grid, rows, columns, taps: Vec::new() }.draw();
        notes(&mut page);
        book.add(page);
    }
}

fn notes(page: &mut Page) {
    let area = page.note_area;
    let notes = [
        "A diode lets a button drive a line, and keeps the line from driving the button. Its ring is the end K, at \
         the line. Two circles are a wire link: no diode is needed there.",
        "A dot joins; where a row only crosses a column, nothing is joined.",
    ];
    let caution = "Stored charge: switch off, wait a minute, measure the capacitor, then work.";
    let _ = caution_strip(&mut page.scene, area, &[caution], &notes);
}

struct Sheet<'b, 'd> {
    book: &'b mut Book<'d>,
    page: &'b mut Page,
    grid: &'b Grid,
    rows: Vec<usize>,
    columns: Vec<usize>,
    /// Where buttons tap the positive bus.
    taps: Vec<(PinRef, f64)>,
}

impl Sheet<'_, '_> {
    fn draw(&mut self) {
        for column in 0..self.columns.len() {
            self.head(column);
        }
        for row in 0..self.rows.len() {
            self.row(row);
        }
        for column in 0..self.columns.len() {
            self.column(column);
        }
        self.bus();
    }

    fn y(&self, row: usize) -> f64 {
        self.page.inner.min.y + FIRST_ROW + ROW * row as f64
    }

    /// Where the links of a column leave the rows.
    fn x(&self, column: usize) -> f64 {
        self.page.inner.min.x + FIRST_COLUMN + COLUMN * column as f64
    }

    fn terminals(&self) -> f64 {
        self.y(self.rows.len() - 1) + TO_TERMINALS
    }

    /// Where a link of this sheet leaves its row.
    fn anode(&self, link: PartId) -> Option<Point> {
        let row = self.rows.iter().position(|r| self.grid.rows[*r].strand.links.contains(&link))?;
        let column = self.grid.column_of(link)?;
        let column = self.columns.iter().position(|c| *c == column)?;
        Some(point(self.x(column), self.y(row)))
    }

    fn cathode(&self, link: PartId) -> Option<Point> {
        self.anode(link).map(|at| point(at.x + ACROSS, at.y + DOWN))
    }

    fn reference(&self, end: End) -> String {
        let wiring = &self.book.design.wiring;
        let (name, thing) = match end {
            End::Pin(pin) => (self.book.design.circuit.pin_name(pin), Thing::Part(pin.part)),
            End::Terminal(t) => (wiring.terminal_name(t), Thing::Terminal(t)),
        };
        format!("{name} {}", self.book.reference(thing)).trim_end().to_owned()
    }

    /// The line's control, position and turnouts, over its column.
    fn head(&mut self, column: usize) {
        let net = self.grid.columns[self.columns[column]].net;
        let design = self.book.design;
        let NetKind::Command(position) = design.circuit[net].kind else { return };
        let bars = design.circuit[net].pins.iter().filter_map(|p| match design.circuit[p.part].kind {
            PartKind::Drive { bar, .. } => Some(bar),
            _ => None,
        });
        let bars: Vec<_> = bars.collect();
        let names: Vec<&str> = bars.iter().map(|b| design.document[*b].name.as_str()).collect();
        let control = bars.first().and_then(|b| design.plan.of(*b)).map(|p| &design.document[p.control]);
        let (x, top) = (self.x(column) + ACROSS, self.page.inner.min.y);
        let Some(control) = control else { return };
        let width = COLUMN - 0.8;
        let bold = text::fit(&control.name, lettering::BODY, true, width).into_owned();
        self.page.scene.bold(point(x, top + 4.5), lettering::BODY, Anchor::Middle, bold);
        let small = |page: &mut Page, y: f64, words: &str| {
            let words = text::fit(words, lettering::SMALL, false, width).into_owned();
            page.scene.text(point(x, top + y), lettering::SMALL, Anchor::Middle, words);
        };
        small(self.page, 8.0, position.word());
        small(self.page, 11.2, &names.join(", "));
    }

    fn row(&mut self, row: usize) {
        let grid = self.grid;
        let Row { button, strand } = &grid.rows[self.rows[row]];
        let mut before = PinRef { part: *button, pin: 1 };
        let mut start = None;
        let y = self.y(row);
        if strand.links.first().is_some_and(|l| self.anode(*l).is_some()) {
            start = Some(self.button(*button, y));
        }
        for link in &strand.links {
            let pin = PinRef { part: *link, pin: 0 };
            match (start, self.anode(*link)) {
                (from, Some(at)) => {
                    let from = from.unwrap_or_else(|| self.comes_from(before, y));
                    self.horizontal(before, pin, from, at);
                    self.link(*link, at);
                    start = Some(at);
                }
                // Goes on on another sheet.
                (Some(from), None) => {
                    let to = point(self.x(self.columns.len() - 1) + ACROSS + ON, y);
                    self.horizontal(before, pin, from, to);
                    let words = format!("to {}", self.reference(End::Pin(pin)));
                    self.aside(pin, to, Anchor::Start, words);
                    start = None;
                }
                (None, None) => {}
            }
            before = pin;
        }
    }

    /// A pin that stands on another sheet, where the button would be.
    fn comes_from(&mut self, pin: PinRef, y: f64) -> Point {
        let at = point(self.page.inner.min.x + BUTTON + 12.5, y);
        let words = format!("from {}", self.reference(End::Pin(pin)));
        self.aside(pin, at, Anchor::End, words);
        at
    }

    fn aside(&mut self, pin: PinRef, at: Point, anchor: Anchor, words: String) {
        self.book.draw_pin(&mut self.page.scene, pin, at);
        let x = at.x + if anchor == Anchor::End { -1.2 } else { 1.2 };
        self.page.scene.text(point(x, at.y + 0.9), lettering::SMALL, anchor, words);
    }

    fn horizontal(&mut self, a: PinRef, b: PinRef, from: Point, to: Point) {
        let Some((id, _)) = self.book.wire_between(End::Pin(a), End::Pin(b)) else { return };
        // Clear of the column that starts right of the link it comes from.
        let clear = if self.x(0) <= from.x { ACROSS } else { 0.0 };
        let x = from.x + clear + 1.2;
        // Further on other columns cross: the label ends before the next.
        let width = (to.x - x).min(COLUMN - ACROSS - 1.0) - 0.7;
        self.book.draw_wire(&mut self.page.scene, id, vec![from, to], Some(Label { x, y: from.y, width }));
    }

    /// The button with its tap of the positive bus; returns where its second pin is.
    fn button(&mut self, button: PartId, y: f64) -> Point {
        let x = self.page.inner.min.x + BUTTON;
        let ends = push_button(&mut self.page.scene, point(x, y));
        let [one, two] = [0, 1].map(|pin| PinRef { part: button, pin });
        self.book.draw_pin(&mut self.page.scene, one, ends.a);
        self.book.draw_pin(&mut self.page.scene, two, ends.b);
        pin_name(&mut self.page.scene, point(ends.a.x + 0.3, y + 2.5), Anchor::Start, "1");
        pin_name(&mut self.page.scene, point(ends.b.x - 0.3, y + 2.5), Anchor::End, "2");
        let part = &self.book.design.circuit[button];
        let left = self.page.inner.min.x + 7.5;
        let room = FIRST_COLUMN - 12.5;
        let name = text::fit(&part.designation, lettering::HEADING, true, room).into_owned();
        self.page.scene.bold(point(left, y - 8.5), lettering::HEADING, Anchor::Start, name);
        // Left of the name of the first link, and above the next button.
        let lines = text::wrap(&part.reason, lettering::SMALL, false, room - 7.0);
        let more = lines.len() > 2;
        for (i, line) in lines.into_iter().take(2).enumerate() {
            let at = point(left, y + 6.2 + 2.9 * i as f64);
            let line = if more && i == 1 { format!("{} …", line.trim_end_matches(',')) } else { line };
            self.page.scene.text(at, lettering::SMALL, Anchor::Start, line);
        }
        self.book.place(Thing::Part(button), self.page, ends.a);
        let circuit = &self.book.design.circuit;
        let wires = self.book.design.wiring.at_pin(one);
        let bus = wires.flat_map(|w| [w.from, w.to]).find_map(|end| match end {
            End::Pin(p) if circuit[p.part].kind == PartKind::Bus && circuit[p.part].place == Place::Panel => {
                Some(p)
            }
            _ => None,
        });
        if let Some(bus) = bus
            && let Some((id, _)) = self.book.wire_between(End::Pin(bus), End::Pin(one))
        {
            let from = point(self.page.inner.min.x + 2.5, y);
            let label = Label { x: from.x + 1.5, y, width: ends.a.x - from.x - 1.8 };
            self.book.draw_wire(&mut self.page.scene, id, vec![from, ends.a], Some(label));
            self.taps.push((bus, y));
        }
        ends.b
    }

    fn link(&mut self, link: PartId, at: Point) {
        let part = &self.book.design.circuit[link];
        let draw = if matches!(part.kind, PartKind::Diode { .. }) { diode } else { wire_link };
        let ends = draw(&mut self.page.scene, at);
        let names = [0, 1].map(|pin| part.pins[pin].name);
        let name = part.designation.clone();
        for (pin, at) in [(0, ends.a), (1, ends.b)] {
            self.book.draw_pin(&mut self.page.scene, PinRef { part: link, pin }, at);
        }
        pin_name(&mut self.page.scene, point(at.x + 1.0, at.y + 2.7), Anchor::Start, names[0]);
        pin_name(&mut self.page.scene, point(ends.b.x - 0.6, ends.b.y - 0.6), Anchor::End, names[1]);
        self.page.scene.text(point(at.x - 2.4, at.y + 5.6), lettering::BODY, Anchor::End, name);
        self.book.place(Thing::Part(link), self.page, at);
        // A dot where a wire comes and another goes.
        let net = self.book.design.circuit.pin(PinRef { part: link, pin: 0 }).net;
        let pin = End::Pin(PinRef { part: link, pin: 0 });
        if let (Some(net), true) = (net, self.wires_at(pin) > 1) {
            self.book.draw_dot(&mut self.page.scene, net, ends.a);
        }
    }

    fn wires_at(&self, end: End) -> usize {
        self.book.design.wiring.wires.iter().filter(|w| w.from == end || w.to == end).count()
    }

    fn column(&mut self, column: usize) {
        let grid = self.grid;
        let Column { net, strand } = &grid.columns[self.columns[column]];
        let x = self.x(column) + ACROSS;
        let mut before: Option<(PinRef, Option<Point>)> = None;
        for link in &strand.links {
            let pin = PinRef { part: *link, pin: 1 };
            let here = self.cathode(*link);
            if let Some((last, from)) = before {
                match (from, here) {
                    (Some(from), Some(to)) => self.vertical(End::Pin(last), End::Pin(pin), from, to),
                    (None, Some(to)) => {
                        let from = point(x, self.page.inner.min.y + 15.0);
                        let words = self.reference(End::Pin(last));
                        self.book.draw_pin(&mut self.page.scene, last, from);
                        let at = point(x, from.y - 0.8);
                        self.page.scene.text(at, lettering::SMALL, Anchor::Middle, words);
                        self.vertical(End::Pin(last), End::Pin(pin), from, to);
                    }
                    (Some(from), None) => {
                        let to = point(x, self.terminals());
                        self.vertical(End::Pin(last), End::Pin(pin), from, to);
                        self.book.draw_pin(&mut self.page.scene, pin, to);
                        let words = self.reference(End::Pin(pin));
                        self.below(to, ["to".to_owned(), words]);
                    }
                    (None, None) => {}
                }
            }
            if let Some(at) = here.filter(|_| self.wires_at(End::Pin(pin)) > 1) {
                self.book.draw_dot(&mut self.page.scene, *net, at);
            }
            before = Some((pin, here));
        }
        if let Some((last, Some(from))) = before {
            self.terminal(last, from);
        }
    }

    /// Two lines of words under the end of a column.
    fn below(&mut self, at: Point, words: [String; 2]) {
        for (i, words) in words.into_iter().enumerate() {
            let words = text::fit(&words, lettering::SMALL, false, COLUMN - 0.8).into_owned();
            let at = point(at.x, at.y + 5.0 + 2.8 * i as f64);
            self.page.scene.text(at, lettering::SMALL, Anchor::Middle, words);
        }
    }

    /// The end of a line on the panel strip, and how it goes on from there.
    fn terminal(&mut self, last: PinRef, from: Point) {
        let Some((_, terminal)) = self.book.terminal_of(End::Pin(last)) else { return };
        let at = point(from.x, self.terminals());
        self.vertical(End::Pin(last), End::Terminal(terminal), from, at);
        self.book.draw_terminal(&mut self.page.scene, at, terminal);
        self.book.place(Thing::Terminal(terminal), self.page, at);
        let wiring = &self.book.design.wiring;
        let strip = &wiring.strips[terminal.strip.0].designation;
        let beside = point(at.x - 2.3, at.y + 0.9);
        self.page.scene.text(beside, lettering::SMALL, Anchor::End, strip.clone());
        let other =
            |t: TerminalRef| wiring.jumpers_at(t).map(|j| if j.from == t { j.to } else { j.from }).next();
        let outward = wiring.at_terminal(terminal).flat_map(|w| [w.from, w.to]);
        let outward = outward.into_iter().find(|e| *e != End::Terminal(terminal) && *e != End::Pin(last));
        let words = match (outward, other(terminal)) {
            (Some(end), _) => ["cable to".to_owned(), self.reference(end)],
            (None, Some(t)) => ["jumper to".to_owned(), self.reference(End::Terminal(t))],
            (None, None) => return,
        };
        self.below(at, words);
    }

    fn vertical(&mut self, a: End, b: End, from: Point, to: Point) {
        let Some((id, wire)) = self.book.wire_between(a, b) else { return };
        self.book.draw_wire(&mut self.page.scene, id, vec![from, to], None);
        self.upright(&wire.label(), from, to);
    }

    /// The label of a vertical wire, left of it, in the first stretch that no row crosses.
    fn upright(&mut self, label: &str, from: Point, to: Point) {
        let next = (0..self.rows.len()).map(|r| self.y(r)).find(|y| *y > from.y + 1.0);
        let end = next.unwrap_or(to.y).min(to.y);
        // Clear of the link's lead above, and of what stands at the terminal.
        let (top, bottom) = (from.y + 0.8, end - if next.is_some_and(|y| y < to.y) { 0.8 } else { 2.5 });
        let room = bottom - top;
        let size = lettering::SMALL;
        let words = text::fit(label, size, false, room).into_owned();
        let middle = point(from.x - 0.8, (top + bottom) / 2.0);
        self.page.scene.upright(middle, size, Anchor::Middle, words);
    }

    /// The positive bus of the panel, left of the buttons.
    fn bus(&mut self) {
        let Some((pin, _)) = self.taps.first().copied() else { return };
        let Some(net) = self.book.design.circuit.pin(pin).net else { return };
        let x = self.page.inner.min.x + 2.5;
        let top = point(x, self.y(0) - 15.0);
        let last = self.taps.iter().map(|(_, y)| *y).fold(top.y, f64::max);
        self.book.draw_net(&mut self.page.scene, net, vec![top, point(x, last)], true);
        self.book.draw_pin(&mut self.page.scene, pin, top);
        self.page.scene.bold(point(x, top.y - 0.9), lettering::BODY, Anchor::Middle, "+");
        let words = self.reference(End::Pin(pin));
        let words = words.replacen(":bus", "", 1);
        self.page.scene.text(point(x + 3.0, top.y - 0.9), lettering::SMALL, Anchor::Start, words);
        for (_, y) in self.taps.clone() {
            self.book.draw_dot(&mut self.page.scene, net, point(x, y));
        }
    }
}
