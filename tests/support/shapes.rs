//! The shapes that every book on wiring has, with the number of reversing sections each one needs.

use super::grow::DRIVE_TABLES;
use std::fmt::Write;

pub struct Shape {
    pub name: &'static str,
    pub reversing: usize,
    turnouts: &'static [(&'static str, &'static str)],
    tracks: &'static [(&'static str, &'static str)],
}

const BUFFER: &str = "buffer";

/// Two turnouts on an oval with a siding each: the oval alone has nothing to prove.
const OVAL: Shape = Shape {
    name: "oval",
    reversing: 0,
    turnouts: &[("T1", "left"), ("T2", "curved-right")],
    tracks: &[
        ("T1.straight", "T2.toe"),
        ("T2.outer", "T1.toe"),
        ("T1.diverging", BUFFER),
        ("T2.inner", BUFFER),
    ],
};

/// A line that crosses itself on the level, and goes round both ways.
const FIGURE_OF_EIGHT: Shape = Shape {
    name: "figure of eight",
    reversing: 0,
    turnouts: &[("X1", "diamond"), ("T1", "left")],
    tracks: &[("X1.b", "X1.d"), ("X1.c", "T1.toe"), ("T1.straight", "X1.a"), ("T1.diverging", BUFFER)],
};

const TRIANGLE: Shape = Shape {
    name: "triangle",
    reversing: 1,
    turnouts: &[("T1", "wye"), ("T2", "wye"), ("T3", "wye")],
    tracks: &[
        ("T1.toe", BUFFER),
        ("T2.toe", "off the layout"),
        ("T3.toe", BUFFER),
        ("T1.left", "T2.right"),
        ("T2.left", "T3.right"),
        ("T3.left", "T1.right"),
    ],
};

const REVERSING_LOOP: Shape = Shape {
    name: "reversing loop",
    reversing: 1,
    turnouts: &[("T1", "left")],
    tracks: &[("off the layout", "T1.toe"), ("T1.straight", "T1.diverging")],
};

const DOUBLE_ENDED_YARD: Shape = Shape {
    name: "double-ended yard",
    reversing: 0,
    turnouts: &[
        ("T1", "left"),
        ("T2", "left"),
        ("T3", "left"),
        ("T4", "right"),
        ("T5", "right"),
        ("T6", "right"),
    ],
    tracks: &[
        ("off the layout", "T1.toe"),
        ("T1.diverging", "T2.toe"),
        ("T2.diverging", "T3.toe"),
        ("off the layout", "T4.toe"),
        ("T4.diverging", "T5.toe"),
        ("T5.diverging", "T6.toe"),
        ("T1.straight", "T4.straight"),
        ("T2.straight", "T5.straight"),
        ("T3.straight", "T6.straight"),
        ("T3.diverging", "T6.diverging"),
    ],
};

/// Two parallel lines with both crossovers, which cross each other. Front line T1 to T2, back line
/// T3 to T4; T1 and T4 lie on the one diagonal, T3 and T2 on the other.
const SCISSORS: Shape = Shape {
    name: "scissors",
    reversing: 0,
    turnouts: &[("T1", "left"), ("T2", "right"), ("T3", "right"), ("T4", "left"), ("X1", "diamond")],
    tracks: &[
        ("off the layout", "T1.toe"),
        ("T2.toe", "off the layout"),
        ("off the layout", "T3.toe"),
        ("T4.toe", "off the layout"),
        ("T1.straight", "T2.straight"),
        ("T3.straight", "T4.straight"),
        ("T1.diverging", "X1.c"),
        ("X1.d", "T4.diverging"),
        ("T3.diverging", "X1.a"),
        ("X1.b", "T2.diverging"),
    ],
};

const LADDER: Shape = Shape {
    name: "ladder",
    reversing: 0,
    turnouts: &[("T1", "right"), ("T2", "right"), ("T3", "right"), ("T4", "right"), ("T5", "three-way")],
    tracks: &[
        ("off the layout", "T1.toe"),
        ("T1.diverging", "T2.toe"),
        ("T2.diverging", "T3.toe"),
        ("T3.diverging", "T4.toe"),
        ("T4.diverging", "T5.toe"),
        ("T1.straight", BUFFER),
        ("T2.straight", BUFFER),
        ("T3.straight", BUFFER),
        ("T4.straight", BUFFER),
        ("T5.left", BUFFER),
        ("T5.straight", BUFFER),
        ("T5.right", BUFFER),
    ],
};

/// Up and down line into three platforms and a bay, over a double slip.
const THROAT: Shape = Shape {
    name: "station throat",
    reversing: 0,
    turnouts: &[
        ("T1", "left"),
        ("T2", "right"),
        ("X1", "double-slip"),
        ("T3", "right"),
        ("T4", "left"),
        ("T5", "single-slip"),
    ],
    tracks: &[
        ("off the layout", "T1.toe"),
        ("off the layout", "T2.toe"),
        ("T2.diverging", "X1.c"),
        ("T1.diverging", "X1.a"),
        ("X1.d", "T3.toe"),
        ("X1.b", "T5.a"),
        ("T2.straight", "T5.c"),
        ("T1.straight", BUFFER),
        ("T3.straight", BUFFER),
        ("T3.diverging", BUFFER),
        ("T5.d", "T4.toe"),
        ("T5.b", BUFFER),
        ("T4.straight", BUFFER),
        ("T4.diverging", BUFFER),
    ],
};

pub const ALL: [&Shape; 8] =
    [&OVAL, &FIGURE_OF_EIGHT, &TRIANGLE, &REVERSING_LOOP, &DOUBLE_ENDED_YARD, &SCISSORS, &LADDER, &THROAT];

pub const CONTROLS: [&str; 2] = ["dc", "dcc"];
pub const FROGS: [&str; 3] = ["live", "isolated-with-wire", "insulated"];

impl Shape {
    /// Its layout file; every tie bar has a control of its own.
    pub fn text(&self, control: &str, frog: &str) -> String {
        let (mut turnouts, mut tracks, mut controls) = (String::new(), String::new(), String::new());
        for (name, kind) in self.turnouts {
            let bars: &[&str] = match *kind {
                "diamond" => &[],
                "three-way" => &[".left", ".right"],
                "single-slip" | "double-slip" => &[".ac", ".bd"],
                _ => &[""],
            };
            let drive = if bars.is_empty() { "" } else { ", drive = \"motor\"" };
            let normal = if *kind == "wye" { ", normal = \"left\"" } else { "" };
            writeln!(turnouts, "{name} = {{ kind = \"{kind}\", frog = \"{frog}\"{drive}{normal} }}").unwrap();
            for bar in bars {
                let sign = format!("S-{name}{}", bar.replace('.', "-"));
                writeln!(
                    controls,
                    "[control.{sign}]\nthrows = \"{name}{bar}\"\nwith = \"maintained toggle\""
                )
                .unwrap();
            }
        }
        for (i, (from, to)) in self.tracks.iter().enumerate() {
            writeln!(tracks, "k{i} = {{ from = \"{from}\", to = \"{to}\", length = \"1500 mm\" }}").unwrap();
        }
        format!(
            "format = 1\n[layout]\nname = \"{}\"\ncontrol = \"{control}\"\nlongest-train = \"1200 mm\"\n\
             [turnout]\n{turnouts}[track]\n{tracks}{DRIVE_TABLES}{controls}",
            self.name
        )
    }
}
