//! Symbols of IEC 60617, one file each (shapes from memory of the standard; domain notes 7.5). The
//! point given is the first pin: the left one, or the upper one of an upright symbol. If it lies on
//! the module, all pins do. Leads are part of the symbol and end at its pins; the caller names the
//! pins and draws designation and value beside them.
//!
//! Turnout rails, drives, studs and probes have no symbol in the standard: they are drawn as what
//! they are.

pub mod bridge_rectifier;
pub mod bus_dot;
pub mod capacitor;
pub mod changeover;
pub mod coil;
pub mod connector;
pub mod diode;
pub mod fuse;
pub mod lamp;
pub mod latching_relay;
pub mod matrix_link;
pub mod motor;
pub mod plug_in_supply;
pub mod push_button;
pub mod resistor;
pub mod servo;
mod sketch;
pub mod stud_and_probe;
pub mod terminal;
pub mod zero_volts;

pub use sketch::Axis;

use super::scene::Scene;
use crate::geom::{Point, Vector, vector};

/// The pins of a part with two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// The left or upper one.
    pub a: Point,
    pub b: Point,
}

/// A symbol as it stands in the legend of the contents sheet.
pub struct Entry {
    /// What the legend says.
    pub name: &'static str,
    /// Draws an example in a cell [`CELL`] large; the point is the middle of its left side.
    pub draw: fn(&mut Scene, Point),
}

/// Width and height of the cell every legend example fits into, in millimetres.
pub const CELL: Vector = vector(20.0, 17.5);

/// Every symbol there is, in the order of the legend.
pub const SYMBOLS: &[Entry] = &[
    Entry { name: "Plug-in supply", draw: plug_in_supply::example },
    Entry { name: "Fuse", draw: fuse::example },
    Entry { name: "Bridge rectifier", draw: bridge_rectifier::example },
    Entry { name: "Diode", draw: diode::example },
    Entry { name: "Wire link", draw: matrix_link::example_wire_link },
    Entry { name: "Light-emitting diode", draw: diode::example_light_emitting },
    Entry { name: "Resistor", draw: resistor::example },
    Entry { name: "Capacitor, polarised", draw: capacitor::example },
    Entry { name: "Lamp", draw: lamp::example },
    Entry { name: "Coil", draw: coil::example },
    Entry { name: "Motor", draw: motor::example },
    Entry { name: "Servo", draw: servo::example },
    Entry { name: "Relay, latching, two coils", draw: latching_relay::example },
    Entry { name: "Contact, changeover", draw: changeover::example },
    Entry { name: "Switch, changeover", draw: changeover::example_switch },
    Entry { name: "Switch, centre off", draw: changeover::example_centre_off },
    Entry { name: "Switch, sprung to centre", draw: changeover::example_sprung },
    Entry { name: "Push-button", draw: push_button::example },
    Entry { name: "Stud", draw: stud_and_probe::example_stud },
    Entry { name: "Probe", draw: stud_and_probe::example_probe },
    Entry { name: "Terminal", draw: terminal::example },
    Entry { name: "Socket and plug contact", draw: connector::example },
    Entry { name: "Wires joined", draw: bus_dot::example },
    Entry { name: "0 V", draw: zero_volts::example },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::scene::Item;
    use crate::draw::{M, text};
    use crate::geom::{Rect, point};

    fn extent(scene: &Scene) -> Rect {
        let boxes = scene.items.iter().flat_map(|i| match i {
            Item::Path(p) => p.points.iter().map(|q| Rect::around(*q, *q)).collect(),
            Item::Circle { centre, radius, .. } => vec![Rect::around(*centre, *centre).inflate(*radius)],
            Item::Text(t) => vec![text::bounds(t)],
        });
        boxes.reduce(|a, b| a.union(&b)).unwrap()
    }

    #[test]
    fn every_legend_example_fits_its_cell_and_has_no_fault() {
        let cell = Rect::new(10.0, 20.0, CELL.x, CELL.y);
        for entry in SYMBOLS {
            let mut scene = Scene::new("s", entry.name, 100.0, 100.0);
            (entry.draw)(&mut scene, point(10.0, 20.0 + CELL.y / 2.0));
            assert!(cell.inflate(0.2).holds(&extent(&scene)), "{}: {:?}", entry.name, extent(&scene));
            let faults = crate::draw::overlap::check(&scene).faults;
            assert!(faults.is_empty(), "{}: {faults:?}", entry.name);
        }
    }

    #[test]
    fn pins_lie_on_the_module() {
        let mut s = Scene::new("s", "S", 100.0, 100.0);
        let at = point(25.0, 50.0);
        let mut pins = Vec::new();
        for e in [
            resistor::resistor(&mut s, at, Axis::Horizontal),
            resistor::resistor(&mut s, at, Axis::Vertical),
            capacitor::capacitor(&mut s, at, Axis::Horizontal),
            capacitor::capacitor(&mut s, at, Axis::Vertical),
            fuse::fuse(&mut s, at, Axis::Vertical),
            diode::diode(&mut s, at),
            diode::light_emitting_diode(&mut s, at),
            matrix_link::diode(&mut s, at),
            matrix_link::wire_link(&mut s, at),
            coil::coil(&mut s, at),
            motor::motor(&mut s, at),
            lamp::lamp(&mut s, at),
            push_button::push_button(&mut s, at),
            connector::connector(&mut s, at),
        ] {
            pins.extend([e.a, e.b]);
        }
        let b = bridge_rectifier::bridge_rectifier(&mut s, at);
        pins.extend([b.ac1, b.ac2, b.plus, b.minus]);
        let r = latching_relay::latching_relay(&mut s, at);
        pins.extend([r.set.a, r.set.b, r.reset.a, r.reset.b]);
        let c = changeover::changeover(&mut s, at, &changeover::Changeover::default());
        pins.extend([c.common, c.normal, c.reverse]);
        let v = servo::servo(&mut s, at);
        pins.extend([v.plus, v.signal, v.minus]);
        let p = plug_in_supply::plug_in_supply(&mut s, at, plug_in_supply::Output::Direct);
        pins.extend([p.a, p.b]);
        for p in pins {
            let off = |v: f64| (v / M - (v / M).round()).abs();
            assert!(off(p.x) < 1e-9 && off(p.y) < 1e-9, "{p:?}");
        }
    }
}
