//! What the proof of the rails showed: how much was looked at, how, and with what result.

use super::{Book, heading};
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::{self, lettering};
use crate::geom::point;
use crate::parse::Word;
use crate::proof::{Culprit, Fault, Node, Step};

const LINE: f64 = 3.2;
const WIDTH: f64 = 84.0;
/// What stands below begins this far from the foot of the page.
const BELOW: f64 = 77.5;

pub(super) fn draw(book: &Book, page: &mut Page, x: f64, top: f64) {
    heading(page, x, top + 4.0, "Proof of the rails");
    let mut y = top + 8.5;
    let lowest = page.inner.max.y - BELOW;
    let lines: Vec<String> =
        paragraphs(book).iter().flat_map(|p| text::wrap(p, lettering::SMALL, false, WIDTH)).collect();
    let room = ((lowest - y) / LINE).max(0.0) as usize + 1;
    for (i, line) in lines.iter().enumerate().take(room) {
        let cut = i + 1 == room && lines.len() > room;
        let line = if cut { "More: proof.json.".to_owned() } else { line.clone() };
        page.scene.text(point(x, y), lettering::SMALL, Anchor::Start, line);
        y += LINE;
    }
}

fn paragraphs(book: &Book) -> Vec<String> {
    let design = book.design;
    let proof = &design.proof;
    let mut lines = vec![format!(
        "{} looked at, in {} that hang together; the largest hangs on {}.",
        count(proof.examined, "setting"),
        count(proof.components, "group"),
        count(proof.largest, "bar or switch").replace("switchs", "switches"),
    )];
    lines.push(match proof.sampled.as_slice() {
        [] => "Method: exact, every position of every bar and switch that matters.".to_owned(),
        sampled => format!(
            "Method: exact, but for {}: {} settings drawn by lot, seed {}.",
            count(sampled.len(), "group"),
            sampled.iter().map(|s| s.settings).sum::<usize>(),
            sampled[0].seed
        ),
    });
    let faults: Vec<&Fault> =
        proof.faults.iter().filter(|f| !matches!(f, Fault::Dead { reached: false, .. })).collect();
    if faults.is_empty() {
        lines.push(
            "Result: no short, no dead rail under a train, every frog right, no joint where polarity changes."
                .to_owned(),
        );
    } else {
        lines.push(format!("Result: {}.", count(faults.len(), "fault")));
        lines.extend(faults.into_iter().map(|f| fault(book, f)));
    }
    lines
}

fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// Where, when, and the mend.
fn fault(book: &Book, fault: &Fault) -> String {
    let d = book.design;
    let rail = |id: crate::track::RailId| d.rails[id].name.as_str();
    let first = |rails: &[crate::track::RailId]| rails.first().map_or("", |r| rail(*r));
    let (what, when, culprits): (String, _, &[Culprit]) = match fault {
        Fault::Short { when, path, culprits, .. } => (format!("short, {}", way(book, path)), when, culprits),
        Fault::Dead { rails, when, .. } => (format!("dead rail, {}", first(rails)), when, &[]),
        Fault::WrongFeed { rails, when, culprits, .. } => {
            (format!("wrong feed on {}", first(rails)), when, culprits)
        }
        Fault::FrogWrong { frog, when, culprits, .. } => {
            (format!("wrong feed on {}", rail(d.rails[*frog].rail)), when, culprits)
        }
        Fault::Broken { joint, when, culprits } => {
            let place =
                d.rails.joints.get(*joint).map_or(String::new(), |j| {
                    format!(" at {}.{}", *d.document[j.turnout].name, j.port.word())
                });
            (format!("polarity changes across J{}{place}", joint + 1), when, culprits)
        }
    };
    let mend = culprits.first().map_or(String::new(), |c| format!("; mend: {}", mend(book, c)));
    format!("{what}, {}{mend}.", when.words(&d.document, &d.plan))
}

/// Both ends of the way from the one feed to the other.
fn way(book: &Book, path: &[Step]) -> String {
    let d = book.design;
    let names: Vec<&str> = path
        .iter()
        .filter_map(|step| match step.node {
            Node::Rail(rail) => Some(d.rails[rail].name.as_str()),
            Node::Net(net) => Some(d.circuit[net].name.as_str()),
            Node::Source(_) => None,
        })
        .collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first, .., last] => format!("{first} to {last}"),
    }
}

/// In short; the messages of the checks say it in full.
fn mend(book: &Book, culprit: &Culprit) -> String {
    let d = book.design;
    let wires = |pin| {
        let numbers: Vec<String> = d.wiring.at_pin(pin).map(|w| w.number.to_string()).collect();
        format!("wire {} at {}", numbers.join(" and "), d.circuit.pin_name(pin))
    };
    match culprit {
        Culprit::Contact { contact, positions } => {
            let contact = &d.circuit.contacts[*contact];
            let each: Vec<String> = positions.iter().map(|p| wires(contact.outer(*p))).collect();
            if each.len() == 2 {
                format!("swap {}", each.join(" with "))
            } else {
                format!("move {}", each.join(", "))
            }
        }
        Culprit::Dropper { pin, .. } => format!("move {}", wires(*pin)),
        Culprit::Metal { a, b } => {
            format!("cut the rail between {} and {}", d.rails[*a].name, d.rails[*b].name)
        }
    }
}
