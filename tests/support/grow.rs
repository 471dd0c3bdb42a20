//! Layouts that grow from numbers: turnouts of all kinds, joined end to end, and closed to rings at
//! random, so that ovals, loops, triangles and reversing connections arise.

use std::fmt::Write;

/// What decides one turnout.
pub type Gene = [u8; 8];

/// What holds for the whole layout.
#[derive(Clone, Copy, Debug)]
pub struct Soil {
    pub dcc: bool,
    pub each_section: bool,
}

const TOE: [&str; 3] = ["toe", "straight", "diverging"];
const CURVED: [&str; 3] = ["toe", "outer", "inner"];
const CROSS: [&str; 4] = ["a", "b", "c", "d"];
const KINDS: [(&str, &[&str], &[&str]); 10] = [
    ("left", &TOE, &[""]),
    ("right", &TOE, &[""]),
    ("wye", &["toe", "left", "right"], &[""]),
    ("curved-left", &CURVED, &[""]),
    ("curved-right", &CURVED, &[""]),
    ("diamond", &CROSS, &[]),
    ("three-way", &["toe", "left", "straight", "right"], &[".left", ".right"]),
    ("single-slip", &CROSS, &[".ac", ".bd"]),
    ("double-slip", &CROSS, &[".ac", ".bd"]),
    ("double-slip", &CROSS, &[".ac", ".bd"]),
];
const DRIVES: [&str; 4] = ["motor", "motor-plain", "servo", "coil"];

/// "T4" of "T4.left".
fn turnout_of(bar: &str) -> &str {
    bar.split('.').next().unwrap_or(bar)
}

pub fn layout(genes: &[Gene], closings: &[[u8; 2]], soil: Soil) -> String {
    let mut turnouts = String::new();
    let mut tracks: Vec<String> = Vec::new();
    let mut controls = String::new();
    let mut open: Vec<String> = Vec::new();
    let mut bars: Vec<(String, usize)> = Vec::new();
    for (i, gene) in genes.iter().enumerate() {
        let n = i + 1;
        // No more tie bars than can all be tried in every position.
        let kinds = if bars.len() + genes.len() - i < 14 { KINDS.len() } else { 6 };
        let at = usize::from(gene[0]) % kinds;
        let (kind, ports, names) = KINDS[at];
        let frog = ["live", "isolated-with-wire", "insulated"][usize::from(gene[1] % 3)];
        let drive = usize::from(gene[3] % 4);
        write!(turnouts, "T{n} = {{ kind = \"{kind}\", frog = \"{frog}\"").unwrap();
        if !names.is_empty() {
            write!(turnouts, ", drive = \"{}\"", DRIVES[drive]).unwrap();
        }
        if names.len() == 1 {
            write!(turnouts, ", normal = \"{}\"", ports[1 + usize::from(gene[2] % 2)]).unwrap();
        }
        if at == 9 {
            turnouts.push_str(", blades = \"both-agree\"");
        }
        match gene[4] % 16 {
            _ if frog == "insulated" => {}
            0..3 if names.len() == 1 => turnouts.push_str(", frog-feed = \"microswitch\""),
            3 if frog != "live" => turnouts.push_str(", frog-feed = \"panel switch\""),
            4 if frog != "live" && soil.dcc => turnouts.push_str(", frog-feed = \"reverser module\""),
            _ => {}
        }
        turnouts.push_str(" }\n");

        // Joined by one of its ports to one that is still open.
        let port = usize::from(gene[5]) % ports.len();
        let joined = !open.is_empty();
        if joined {
            let there = open.remove(usize::from(gene[6]) % open.len());
            tracks.push(track(tracks.len(), &there, &format!("T{n}.{}", ports[port]), gene[7]));
        }
        let free = ports.iter().enumerate().filter(|(p, _)| *p != port || !joined);
        open.extend(free.map(|(_, name)| format!("T{n}.{name}")));
        // The bars of a slip that must agree hang on one control, under the turnout's name.
        match at {
            9 => bars.push((format!("T{n}"), drive)),
            _ => bars.extend(names.iter().map(|b| (format!("T{n}{b}"), drive))),
        }
    }
    // Some are thrown in pairs; only alike drives are.
    let mut left = bars.as_slice();
    while let Some(((first, drive), rest)) = left.split_first() {
        let pair = rest
            .first()
            .filter(|(other, d)| d == drive && rest.len() % 3 == 0 && turnout_of(other) != turnout_of(first));
        let names = match pair {
            Some((second, _)) => format!("\"{first}\", \"{second}\""),
            None => format!("\"{first}\""),
        };
        left = if pair.is_some() { &rest[1..] } else { rest };
        let with = if *drive == 3 { "momentary toggle" } else { "maintained toggle" };
        writeln!(controls, "[control.S{}]\nthrows = [{names}]\nwith = \"{with}\"", rest.len()).unwrap();
    }
    for [a, b] in closings {
        if open.len() < 2 {
            break;
        }
        let one = open.remove(usize::from(*a) % open.len());
        let other = open.remove(usize::from(*b) % open.len());
        tracks.push(track(tracks.len(), &one, &other, *a));
    }
    for (i, end) in open.iter().enumerate() {
        let far = if i % 2 == 0 { "buffer" } else { "off the layout" };
        tracks.push(track(tracks.len(), end, far, i as u8));
    }
    let droppers = if soil.each_section { "each-section" } else { "each-piece" };
    let control = if soil.dcc { "dcc" } else { "dc" };
    format!(
        "format = 1\n[layout]\nname = \"Grown\"\ncontrol = \"{control}\"\ndroppers = \"{droppers}\"\n\
         [turnout]\n{turnouts}[track]\n{}{DRIVE_TABLES}{controls}",
        tracks.concat()
    )
}

fn track(number: usize, a: &str, b: &str, turn: u8) -> String {
    let (from, to) = if turn.is_multiple_of(2) { (b, a) } else { (a, b) };
    format!("k{number} = {{ from = \"{from}\", to = \"{to}\" }}\n")
}

pub const DRIVE_TABLES: &str = r#"[drive.motor]
kind = "slow-motion"
contacts = 2
[drive.motor-plain]
kind = "slow-motion"
contacts = 0
[drive.servo]
kind = "servo"
[drive.coil]
kind = "solenoid"
contacts = 1
"#;
