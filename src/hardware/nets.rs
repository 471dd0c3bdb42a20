//! Turns each net into a tree of wires.

use super::strips::{Strip, StripId, Terminal, TerminalRef};
use super::wires::{End, Jumper, Wire};
use super::{Palette, Wiring};
use crate::circuit::{Circuit, NetId, NetKind, PartKind, PinRef, Place};
use crate::drives::{Runs, Sizing, WireClass};
use crate::parse::{BarId, BoardId, Document, TrainControl};
use crate::track::{Position, RailPlace, Rails};
use crate::units::Length;

pub(super) struct Wirer<'a> {
    document: &'a Document,
    rails: &'a Rails,
    circuit: &'a Circuit,
    sizing: &'a Sizing,
    runs: &'a Runs,
    palette: Palette,
    strips: Vec<Strip>,
    wires: Vec<Wire>,
    jumpers: Vec<Jumper>,
}

/// A bus on a board, with its net.
#[derive(Clone, Copy)]
struct Tap {
    board: BoardId,
    net: NetId,
    bus: PinRef,
}

impl<'a> Wirer<'a> {
    pub fn new(
        document: &'a Document,
        rails: &'a Rails,
        circuit: &'a Circuit,
        sizing: &'a Sizing,
        runs: &'a Runs,
    ) -> Self {
        let mut strips = vec![Strip {
            designation: "XP".into(),
            place: Place::Panel,
            title: "panel".into(),
            terminals: Vec::new(),
        }];
        for (letters, what) in [("XB", "drives"), ("XT", "track")] {
            for (i, board) in document.boards.iter().enumerate() {
                strips.push(Strip {
                    designation: format!("{letters}{}", i + 1),
                    place: Place::Board(BoardId(i)),
                    title: format!("{what}, board {} {}", i + 1, *board.name),
                    terminals: Vec::new(),
                });
            }
        }
        Wirer {
            document,
            rails,
            circuit,
            sizing,
            runs,
            palette: Palette::of(document),
            strips,
            wires: Vec::new(),
            jumpers: Vec::new(),
        }
    }

    fn panel_strip(&self) -> StripId {
        StripId(0)
    }

    fn drive_strip(&self, board: BoardId) -> StripId {
        StripId(1 + board.0)
    }

    fn track_strip(&self, board: BoardId) -> StripId {
        StripId(1 + self.document.boards.len() + board.0)
    }

    /// Nets of the accessory side: what many share first, then in the order of the circuit.
    pub fn accessory_side(&mut self) {
        let circuit = self.circuit;
        let mut nets: Vec<NetId> =
            circuit.nets().map(|(id, _)| id).filter(|n| !circuit.is_track_side(*n)).collect();
        let shared = |n: &NetId| {
            let kind = circuit[*n].kind;
            !matches!(
                kind,
                NetKind::Return
                    | NetKind::CommonPositive
                    | NetKind::CommonNegative
                    | NetKind::ServoPositive
                    | NetKind::ServoReturn
            ) || self.is_lead(*n)
        };
        nets.sort_by_key(|n| (shared(n), *n));
        for net in nets {
            self.accessory_net(net);
        }
    }

    /// A net between two parts of one board that come with a plug lead of their own.
    fn is_lead(&self, net: NetId) -> bool {
        let net = &self.circuit[net];
        net.pins.len() == 2
            && matches!(net.kind, NetKind::Signal | NetKind::ServoPositive | NetKind::ServoReturn)
            && net.pins.iter().all(|p| matches!(self.circuit[p.part].place, Place::Board(_)))
    }

    fn pins_at(&self, net: NetId, place: Place) -> Vec<PinRef> {
        let pins = &self.circuit[net].pins;
        pins.iter().copied().filter(|p| self.circuit[p.part].place == place).collect()
    }

    fn accessory_net(&mut self, net: NetId) {
        let circuit = self.circuit;
        if self.is_lead(net) {
            let pins = &self.circuit[net].pins;
            let length = self.lead_length(net);
            self.wire_as(net, End::Pin(pins[0]), End::Pin(pins[1]), length, WireClass::ServoLead);
            return;
        }
        let (links, mut panel): (Vec<PinRef>, Vec<PinRef>) = self
            .pins_at(net, Place::Panel)
            .into_iter()
            .partition(|p| matches!(circuit[p.part].kind, PartKind::Diode { .. } | PartKind::Link { .. }));
        // A line without a control of its own begins at its links, and so does nothing but a line.
        let joins_line = matches!(circuit[net].kind, NetKind::Command(_)) && !panel.is_empty();
        if !joins_line {
            panel.extend(&links);
        }
        let boards: Vec<(BoardId, Vec<PinRef>)> = (0..self.document.boards.len())
            .map(BoardId)
            .map(|b| (b, self.pins_at(net, Place::Board(b))))
            .filter(|(_, pins)| !pins.is_empty())
            .collect();
        let out = self.panel_tree(net, &panel);
        if boards.is_empty() {
            return;
        }
        let Some(out) = out else {
            // The net lives on boards alone: its first pin (a decoder's) drives the rest.
            for (board, pins) in boards {
                let entry = self.board_tree(net, board, &pins[1..]);
                let length = self.lead_length(net);
                if let Some(entry) = entry {
                    self.wire(net, End::Pin(pins[0]), End::Terminal(entry), length);
                }
            }
            return;
        };
        let mut previous: Option<TerminalRef> = None;
        for (board, pins) in boards {
            let leaving = self.terminal(net, self.panel_strip());
            match previous {
                None => self.wire(net, out, End::Terminal(leaving), crate::drives::WITHIN_PANEL),
                Some(before) => self.jumpers.push(Jumper { net, from: before, to: leaving }),
            }
            previous = Some(leaving);
            if let Some(entry) = self.board_tree(net, board, &pins) {
                let length = self.runs.panel_to_board[board.0];
                self.wire(net, End::Terminal(leaving), End::Terminal(entry), length);
            }
        }
        if let (true, Some(beside)) = (joins_line, previous) {
            self.join_links(net, &links, beside);
        }
    }

    /// The links of the route buttons meet the line of a control at a terminal of their own, beside
    /// the one by which it leaves the panel.
    fn join_links(&mut self, net: NetId, links: &[PinRef], beside: TerminalRef) {
        if let Some(last) = self.panel_tree(net, links) {
            let own = self.terminal(net, self.panel_strip());
            self.jumpers.push(Jumper { net, from: beside, to: own });
            self.wire(net, last, End::Terminal(own), crate::drives::WITHIN_PANEL);
        }
    }

    /// Wires the pins of the panel together; returns where the net leaves from.
    fn panel_tree(&mut self, net: NetId, pins: &[PinRef]) -> Option<End> {
        let circuit = self.circuit;
        let is_bus = |p: &PinRef| circuit[p.part].kind == PartKind::Bus;
        let bus = pins.iter().copied().find(is_bus);
        let (unit, worked): (Vec<PinRef>, Vec<PinRef>) =
            pins.iter().copied().filter(|p| !is_bus(p)).partition(|p| {
                bus.is_none()
                    || !matches!(
                        circuit[p.part].kind,
                        PartKind::Control { .. } | PartKind::Probe | PartKind::RouteButton { .. }
                    )
            });
        for pair in unit.windows(2) {
            let length = self.panel_length(pair[0], pair[1]);
            self.wire(net, End::Pin(pair[0]), End::Pin(pair[1]), length);
        }
        if let (Some(bus), Some(last)) = (bus, unit.last()) {
            self.wire(net, End::Pin(*last), End::Pin(bus), crate::drives::WITHIN_PANEL);
        }
        if let Some(bus) = bus {
            for pin in worked {
                self.wire(net, End::Pin(bus), End::Pin(pin), crate::drives::WITHIN_PANEL);
            }
        }
        bus.or(unit.last().copied()).map(End::Pin)
    }

    fn panel_length(&self, a: PinRef, b: PinRef) -> Length {
        let supply = |p: PinRef| self.circuit[p.part].kind == PartKind::PlugInSupply;
        if supply(a) || supply(b) { crate::drives::SUPPLY_LEAD } else { crate::drives::WITHIN_PANEL }
    }

    /// A terminal for every pin, joined by jumpers; returns the first, where the net comes in.
    fn board_tree(&mut self, net: NetId, board: BoardId, pins: &[PinRef]) -> Option<TerminalRef> {
        let strip = self.drive_strip(board);
        let mut first: Option<TerminalRef> = None;
        let mut previous: Option<TerminalRef> = None;
        for pin in pins {
            let terminal = self.terminal(net, strip);
            if let Some(before) = previous {
                self.jumpers.push(Jumper { net, from: before, to: terminal });
            }
            previous = Some(terminal);
            first = first.or(previous);
            let length = self.board_length(*pin);
            self.wire(net, End::Terminal(terminal), End::Pin(*pin), length);
        }
        first
    }

    fn bar_of(&self, pin: PinRef) -> Option<BarId> {
        match self.circuit[pin.part].kind {
            PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } | PartKind::Relay { bar, .. } => {
                Some(bar)
            }
            _ => None,
        }
    }

    fn board_length(&self, pin: PinRef) -> Length {
        match (self.circuit[pin.part].kind, self.bar_of(pin)) {
            // Relays, decoders and controllers stand beside the strip.
            (PartKind::Relay { .. }, _) | (_, None) => crate::drives::WITHIN_PANEL,
            (_, Some(bar)) => self.runs.strip_to_drive[bar.0],
        }
    }

    fn lead_length(&self, net: NetId) -> Length {
        let bar = self.circuit[net].pins.iter().find_map(|p| self.bar_of(*p));
        bar.map_or(crate::drives::WITHIN_PANEL, |b| self.runs.strip_to_drive[b.0])
    }

    fn terminal(&mut self, net: NetId, strip: StripId) -> TerminalRef {
        let terminals = &mut self.strips[strip.0].terminals;
        terminals.push(Terminal { number: terminals.len() + 1, net });
        TerminalRef { strip, index: terminals.len() - 1 }
    }

    fn wire(&mut self, net: NetId, from: End, to: End, length: Length) {
        let class = self.circuit[net].kind.wire_class();
        self.wire_as(net, from, to, length, class);
    }

    fn wire_as(&mut self, net: NetId, from: End, to: End, length: Length, class: WireClass) {
        let dcc = *self.document.layout.control == TrainControl::Dcc;
        let kind = self.circuit[net].kind;
        self.wires.push(Wire {
            number: self.wires.len() + 1,
            net,
            from,
            to,
            class,
            colour: self.palette.colour(kind.function(dcc)),
            size: self.sizing.wire(class),
            length,
        });
    }

    /// Booster or controllers to the switches of the sections, from there to the track strip of the
    /// panel's board and on from board to board; buses, droppers, contacts and frogs.
    pub fn track_side(&mut self) {
        let circuit = self.circuit;
        for net in circuit.nets().filter(|(_, n)| matches!(n.kind, NetKind::Cab(..))).map(|(id, _)| id) {
            self.panel_chain(net);
        }
        let buses: Vec<Tap> = circuit
            .parts()
            .filter(|(_, p)| p.kind == PartKind::Bus)
            .filter_map(|(id, p)| {
                let net = p.pins.first()?.net?;
                match (p.place, circuit[net].kind) {
                    (Place::Board(board), NetKind::Track(_)) => {
                        Some(Tap { board, net, bus: PinRef { part: id, pin: 0 } })
                    }
                    _ => None,
                }
            })
            .collect();
        self.bus_feeds(&buses);
        for board in (0..self.document.boards.len()).map(BoardId) {
            self.contact_outers(board, &buses);
        }
        for net in circuit.nets().filter(|(_, n)| matches!(n.kind, NetKind::Frog(_))).map(|(id, _)| id) {
            self.frog_net(net);
        }
        for Tap { board, net, bus } in &buses {
            for pin in self.pins_at(*net, Place::Board(*board)) {
                if let PartKind::Rail { rail } = circuit[pin.part].kind {
                    let dropper = self.runs.dropper(self.document, self.rails.rails[rail.0].place);
                    self.wire_as(*net, End::Pin(*bus), End::Pin(pin), dropper, WireClass::Dropper);
                }
            }
        }
    }

    /// Joins the pins that a track net has on the panel, one to the next; the first feeds the rest.
    fn panel_chain(&mut self, net: NetId) -> Option<PinRef> {
        let pins = self.pins_at(net, Place::Panel);
        for pair in pins.windows(2) {
            self.wire(net, End::Pin(pair[0]), End::Pin(pair[1]), crate::drives::WITHIN_PANEL);
        }
        pins.first().copied()
    }

    /// From its source to the bus of every board, outward from the first.
    fn bus_feeds(&mut self, buses: &[Tap]) {
        let circuit = self.circuit;
        for net in circuit.nets().filter(|(_, n)| matches!(n.kind, NetKind::Track(_))).map(|(id, _)| id) {
            let source = match self.panel_chain(net) {
                Some(pin) => Some(pin),
                // The conductor of a reversing section comes from a contact on a board.
                None => {
                    circuit.contacts.iter().map(|c| c.common()).find(|p| circuit.pin(*p).net == Some(net))
                }
            };
            let Some(source) = source else { continue };
            let home = match circuit[source.part].place {
                Place::Panel => self.document.panel.board,
                Place::Board(board) => board,
            };
            let mut order: Vec<BoardId> = (0..self.document.boards.len()).map(BoardId).collect();
            order.sort_by_key(|b| (b.0.abs_diff(home.0), b.0));
            let mut last: [Option<TerminalRef>; 2] = [None, None];
            for board in order {
                let Some(bus) = buses.iter().find(|t| t.board == board && t.net == net).map(|t| t.bus) else {
                    continue;
                };
                let entry = self.terminal(net, self.track_strip(board));
                let side = usize::from(board.0 > home.0);
                match last[side].or(last[1 - side]) {
                    None => {
                        let length = self.source_length(source, board);
                        self.wire(net, End::Pin(source), End::Terminal(entry), length);
                    }
                    Some(before) => {
                        let leaving = self.terminal_beside(net, before);
                        let length = crate::drives::BOARD_LINK;
                        self.wire(net, End::Terminal(leaving), End::Terminal(entry), length);
                    }
                }
                let length = crate::drives::WITHIN_PANEL;
                self.wire(net, End::Terminal(entry), End::Pin(bus), length);
                if board == home {
                    last = [Some(entry), Some(entry)];
                } else {
                    last[side] = Some(entry);
                }
            }
        }
    }

    /// From where a track net begins to the strip of the first board that has it.
    fn source_length(&self, source: PinRef, board: BoardId) -> Length {
        match self.circuit[source.part].place {
            Place::Panel => self.runs.panel_to_board[board.0],
            Place::Board(_) => self.contact_length(source),
        }
    }

    /// From the track strip to a contact on its board: relays and modules stand beside the strip.
    fn contact_length(&self, pin: PinRef) -> Length {
        match self.circuit[pin.part].kind {
            PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } => {
                self.runs.strip_to_frog[self.document[bar].turnout.0]
            }
            _ => crate::drives::WITHIN_PANEL,
        }
    }

    /// One more terminal of a net on the strip of `beside`, joined to it by a jumper.
    fn terminal_beside(&mut self, net: NetId, beside: TerminalRef) -> TerminalRef {
        let new = self.terminal(net, beside.strip);
        self.jumpers.push(Jumper { net, from: beside, to: new });
        new
    }

    /// The outers of the contacts on a board, each by a terminal to the bus.
    fn contact_outers(&mut self, board: BoardId, buses: &[Tap]) {
        let circuit = self.circuit;
        let strip = self.track_strip(board);
        let mut done: Vec<PinRef> = Vec::new();
        for contact in circuit.contacts.iter().filter(|c| circuit[c.part].place == Place::Board(board)) {
            for position in Position::ALL {
                let pin = contact.outer(position);
                let Some(net) = circuit.pin(pin).net else { continue };
                let Some(tap) = buses.iter().find(|t| t.board == board && t.net == net) else { continue };
                if done.contains(&pin) {
                    continue; // the outputs of a module share its inputs
                }
                done.push(pin);
                let bus = tap.bus;
                let length = self.contact_length(pin);
                let terminal = self.terminal(net, strip);
                self.wire_as(net, End::Pin(pin), End::Terminal(terminal), length, WireClass::FrogFeed);
                let short = crate::drives::WITHIN_PANEL;
                self.wire_as(net, End::Terminal(terminal), End::Pin(bus), short, WireClass::FrogFeed);
            }
        }
    }

    /// From the common of a contact, or of a panel switch, to the frogs it feeds: a terminal for each
    /// frog on its board's strip.
    fn frog_net(&mut self, net: NetId) {
        let circuit = self.circuit;
        let (rails, commons): (Vec<PinRef>, Vec<PinRef>) = circuit[net]
            .pins
            .iter()
            .copied()
            .partition(|p| matches!(circuit[p.part].kind, PartKind::Rail { .. }));
        let mut last: Option<TerminalRef> = None;
        for rail in rails {
            let Place::Board(board) = circuit[rail.part].place else { continue };
            let terminal = match last {
                Some(before) if before.strip == self.track_strip(board) => self.terminal_beside(net, before),
                _ => self.frog_entry(net, board, &commons, last),
            };
            last = Some(terminal);
            let length = self.frog_length(rail);
            self.wire(net, End::Terminal(terminal), End::Pin(rail), length);
        }
    }

    /// The terminal by which a frog's net comes to a board.
    fn frog_entry(
        &mut self,
        net: NetId,
        board: BoardId,
        commons: &[PinRef],
        before: Option<TerminalRef>,
    ) -> TerminalRef {
        let entry = self.terminal(net, self.track_strip(board));
        if let Some(before) = before {
            let leaving = self.terminal_beside(net, before);
            self.wire(net, End::Terminal(leaving), End::Terminal(entry), crate::drives::BOARD_LINK);
            return entry;
        }
        for common in commons {
            match self.circuit[common.part].place {
                Place::Panel => {
                    let length = self.runs.panel_to_board[board.0];
                    self.wire(net, End::Pin(*common), End::Terminal(entry), length);
                }
                Place::Board(home) if home == board => {
                    let length = self.contact_length(*common);
                    self.wire(net, End::Pin(*common), End::Terminal(entry), length);
                }
                Place::Board(home) => {
                    let leaving = self.terminal(net, self.track_strip(home));
                    let length = self.contact_length(*common);
                    self.wire(net, End::Pin(*common), End::Terminal(leaving), length);
                    let length = crate::drives::BOARD_LINK;
                    self.wire(net, End::Terminal(leaving), End::Terminal(entry), length);
                }
            }
        }
        entry
    }

    fn frog_length(&self, pin: PinRef) -> Length {
        let PartKind::Rail { rail } = self.circuit[pin.part].kind else { return crate::drives::WITHIN_PANEL };
        match self.rails[rail].place {
            RailPlace::Frog(t, _) | RailPlace::Stock(t, _) | RailPlace::Inner(t, ..) => {
                self.runs.strip_to_frog[t.0]
            }
            RailPlace::Track(..) => crate::drives::DROPPER,
        }
    }

    /// Drops strips that nothing is wired to.
    pub fn finish(self) -> Wiring {
        let mut map = vec![None; self.strips.len()];
        let mut strips = Vec::new();
        for (i, strip) in self.strips.into_iter().enumerate() {
            if !strip.terminals.is_empty() {
                map[i] = Some(StripId(strips.len()));
                strips.push(strip);
            }
        }
        let moved = |t: TerminalRef| TerminalRef { strip: map[t.strip.0].unwrap_or(t.strip), ..t };
        let end = |e: End| match e {
            End::Terminal(t) => End::Terminal(moved(t)),
            End::Pin(p) => End::Pin(p),
        };
        let mut wires = self.wires;
        for w in &mut wires {
            (w.from, w.to) = (end(w.from), end(w.to));
        }
        let jumpers = self.jumpers.into_iter().map(|j| Jumper { from: moved(j.from), to: moved(j.to), ..j });
        Wiring { strips, wires, jumpers: jumpers.collect(), palette: self.palette }
    }
}
