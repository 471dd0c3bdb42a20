//! Layouts that grow from numbers: trees of turnouts, with crossovers, loops and ovals closed where
//! that makes no reversing connection.

use std::fmt::Write;

/// What decides one turnout.
pub type Gene = [u8; 8];

struct Open {
    end: String,
    /// The conductor on the left, looking outward.
    left: u8,
}

pub fn layout(genes: &[Gene], closings: &[[u8; 2]], each_section: bool) -> String {
    let mut turnouts = String::new();
    let mut tracks: Vec<String> = Vec::new();
    let mut controls = String::new();
    let mut open: Vec<Open> = Vec::new();
    let mut pair: Option<usize> = None;
    for (i, gene) in genes.iter().enumerate() {
        let n = i + 1;
        let (kind, ports) = match gene[0] % 3 {
            0 => ("left", ["toe", "straight", "diverging"]),
            1 => ("right", ["toe", "straight", "diverging"]),
            _ => ("wye", ["toe", "left", "right"]),
        };
        let frog = ["live", "isolated-with-wire", "insulated", "live"][usize::from(gene[1] % 4)];
        let normal = ports[1 + usize::from(gene[2] % 2)];
        let drive = ["motor", "motor-plain", "servo", "coil"][usize::from(gene[3] % 4)];
        let feed = if gene[4] % 4 == 0 && frog != "insulated" { ", frog-feed = \"microswitch\"" } else { "" };
        writeln!(
            turnouts,
            "T{n} = {{ kind = \"{kind}\", frog = \"{frog}\", normal = \"{normal}\", drive = \"{drive}\"{feed} }}"
        )
        .unwrap();

        // Joined by one of its ports to one that is still open.
        let port = usize::from(gene[5] % 3);
        let mut inward_left = 0;
        if !open.is_empty() {
            let there = open.remove(usize::from(gene[6]) % open.len());
            // A train comes out there with this conductor on its left.
            inward_left = if port == 0 { there.left } else { 1 - there.left };
            tracks.push(track(tracks.len(), &there.end, &format!("T{n}.{}", ports[port]), gene[7] % 2 == 0));
        }
        for (p, name) in ports.iter().enumerate() {
            if p != port || tracks.is_empty() {
                let left = if p == 0 { 1 - inward_left } else { inward_left };
                open.push(Open { end: format!("T{n}.{name}"), left });
            }
        }
        // Some are thrown in pairs; only alike drives are.
        let alike = |other: usize| genes[other][3] % 4 == gene[3] % 4;
        match pair.take() {
            Some(other) if alike(other) => control(&mut controls, &[other + 1, n], drive),
            waiting => {
                if let Some(other) = waiting {
                    let drive = ["motor", "motor-plain", "servo", "coil"][usize::from(genes[other][3] % 4)];
                    control(&mut controls, &[other + 1], drive);
                }
                if gene[4] % 3 == 0 && n < genes.len() {
                    pair = Some(i);
                } else {
                    control(&mut controls, &[n], drive);
                }
            }
        }
    }
    for [a, b] in closings {
        if open.len() < 2 {
            break;
        }
        let one = open.remove(usize::from(*a) % open.len());
        // Whoever comes out of one end with its left wheels on a conductor must find that conductor
        // on the right of who comes out of the other.
        let fit: Vec<usize> = (0..open.len()).filter(|i| open[*i].left != one.left).collect();
        if fit.is_empty() {
            open.push(one);
            continue;
        }
        let other = open.remove(fit[usize::from(*b) % fit.len()]);
        tracks.push(track(tracks.len(), &one.end, &other.end, a % 2 == 0));
    }
    for (i, end) in open.iter().enumerate() {
        let far = if i % 2 == 0 { "buffer" } else { "off the layout" };
        tracks.push(track(tracks.len(), &end.end, far, i % 3 == 0));
    }
    let droppers = if each_section { "each-section" } else { "each-piece" };
    format!(
        "format = 1\n[layout]\nname = \"Grown\"\ncontrol = \"dcc\"\ndroppers = \"{droppers}\"\n\
         [turnout]\n{turnouts}[track]\n{}{DRIVES}{controls}",
        tracks.concat()
    )
}

fn track(number: usize, a: &str, b: &str, turned: bool) -> String {
    let (from, to) = if turned { (b, a) } else { (a, b) };
    format!("k{number} = {{ from = \"{from}\", to = \"{to}\" }}\n")
}

fn control(text: &mut String, throws: &[usize], drive: &str) {
    let with = if drive == "coil" { "momentary toggle" } else { "maintained toggle" };
    let names: Vec<String> = throws.iter().map(|t| format!("\"T{t}\"")).collect();
    writeln!(text, "[control.S{}]\nthrows = [{}]\nwith = \"{with}\"", throws[0], names.join(", ")).unwrap();
}

const DRIVES: &str = r#"[drive.motor]
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
