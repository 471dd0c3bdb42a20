//! The tables of the sizing report: schemes, branches, supplies, track, servos.

use super::markdown::pipe_table;
use crate::drives::sizing::{Branch, MotorSizing, Protection, ServoSizing, Sizing};

/// Title, words below it, headings, which of them are over numbers, rows.
pub struct SizingTable {
    pub title: &'static str,
    pub words: &'static str,
    pub headings: &'static [&'static str],
    pub numbers: &'static [bool],
    pub rows: Vec<Vec<String>>,
}

impl SizingTable {
    /// Nothing at all for an empty table.
    pub fn text(&self) -> String {
        if self.rows.is_empty() {
            return String::new();
        }
        let words = if self.words.is_empty() { String::new() } else { format!("{}\n\n", self.words) };
        format!("\n## {}\n\n{words}{}", self.title, pipe_table(self.headings, self.numbers, &self.rows))
    }
}

/// All of them, in the order of the report.
pub fn all(sizing: &Sizing) -> Vec<SizingTable> {
    let mut tables = vec![branches(sizing), sharing(sizing), track(sizing)];
    tables.extend(sizing.slow_motion.as_ref().map(schemes));
    if let Some(servos) = &sizing.servos {
        tables.extend([voltages(servos), leads(servos), controllers(servos)]);
    }
    tables
}

fn branches(sizing: &Sizing) -> SizingTable {
    let or_none = |text: Option<String>| text.unwrap_or_else(|| "none".into());
    let row = |b: &Branch| {
        vec![
            b.what.to_owned(),
            b.load.to_string(),
            protection(b),
            or_none(
                b.resettable.zip(b.resettable_holds).map(|(part, hot)| format!("{}, hot {hot}", part.hold)),
            ),
            b.wire.label(),
            b.permitted.to_string(),
            b.loop_resistance.to_string(),
            b.short.to_string(),
            b.opens_from.to_string(),
            b.opens_within.map_or("not for sure".into(), |t| format!("{t}")),
            b.note.to_owned(),
        ]
    };
    SizingTable {
        title: "Branches and what protects them",
        words: "A short at the far end must draw 2.75 times the rating of a time-lag link, so that it opens within \
                10 s (IEC 60127-2, gates of sheet 3, second-hand). The times \
                hold for a supply that lets such a current pass. One that limits itself to less than the current in \
                \"Acts from\" ends the short instead of the fuse: then its limit must not exceed what the wire may \
                carry. The resettable part is \
                the other choice: what it holds at 23 °C, and at the highest ambient temperature (a series for \
                60 V, second-hand); it opens within seconds.",
        headings: &[
            "Branch",
            "Load",
            "Protection",
            "Or resettable, holds",
            "Thinnest wire",
            "It may carry",
            "Loop",
            "Short at the end",
            "Acts from",
            "Opens within",
            "The end",
        ],
        numbers: &[false, true, false, false, false, true, true, true, true, true, false],
        rows: sizing.branches.iter().map(row).collect(),
    }
}

fn protection(branch: &Branch) -> String {
    match branch.protection {
        Protection::Fuse { characteristic, rating } => format!("fuse {} {rating}", characteristic.mark()),
        Protection::SupplyTrips(current) => format!("the supply, at {current}"),
    }
}

fn sharing(sizing: &Sizing) -> SizingTable {
    SizingTable {
        title: "What may share a supply",
        words: "The book gives each kind of drive a supply of its own, with isolated outputs.",
        headings: &["One", "The other", "Verdict", "Why", "Source"],
        numbers: &[false; 5],
        rows: sizing
            .sharing
            .iter()
            .map(|s| [s.one, s.other, s.verdict.word(), s.why, s.source].map(str::to_owned).to_vec())
            .collect(),
    }
}

fn track(sizing: &Sizing) -> SizingTable {
    SizingTable {
        title: "Track feed, board by board",
        words: "To the far end of each board's bus and on to the rail farthest from a dropper, and back. The rails' \
                share is an allowance. A coin across the rails must trip the supply: the short must draw 1.5 times \
                the current at which it cuts off (common practice).",
        headings: &["Board", "Run", "Wires", "Rails", "Loop", "Drop at full current", "Short draws", "Trips"],
        numbers: &[false, true, true, true, true, true, true, false],
        rows: sizing
            .track
            .iter()
            .map(|t| {
                vec![
                    t.board.clone(),
                    t.run.to_string(),
                    t.wires.to_string(),
                    t.rails.to_string(),
                    t.loop_resistance().to_string(),
                    t.drop.to_string(),
                    t.short.to_string(),
                    if t.trips { "yes" } else { "not for sure" }.to_owned(),
                ]
            })
            .collect(),
    }
}

fn schemes(motors: &MotorSizing) -> SizingTable {
    SizingTable {
        title: "Ways to reverse the slow-motion motors",
        words: "Voltages are those on the stalled motor, for a half wave the mean: Vp/π less the diode's share. Lines \
                go from switches to motors; returns are shared. Diodes are two antiparallel light-emitting ones in \
                series with the motor, 2 V; the resistor besides is 470 Ω.",
        headings: &[
            "Scheme",
            "In use",
            "Switch poles",
            "Wires for a motor",
            "Lines",
            "Returns",
            "Supply to buy",
            "At the motor",
            "Behind diodes",
            "And 470 Ω",
            "Current then",
        ],
        numbers: &[false, false, true, true, true, true, false, true, true, true, true],
        rows: motors
            .schemes
            .iter()
            .map(|s| {
                vec![
                    s.name().to_owned(),
                    if s.in_use { "yes" } else { "" }.to_owned(),
                    s.reversal.switch_poles().to_string(),
                    s.reversal.own_wires().to_string(),
                    s.lines.to_string(),
                    s.reversal.shared_returns().to_string(),
                    s.to_buy(),
                    s.motor.to_string(),
                    s.behind_diodes.to_string(),
                    s.behind_resistor.to_string(),
                    s.slowed_current.to_string(),
                ]
            })
            .collect(),
    }
}

fn voltages(servos: &ServoSizing) -> SizingTable {
    SizingTable {
        title: "Voltage at each servo",
        words: "Supply low, wires hot, this servo stalled: with the stated number moving, and if all start at once.",
        headings: &["Servo of", "Board", "Moving", "All start", "Needs"],
        numbers: &[false, false, true, true, true],
        rows: servos
            .voltages
            .iter()
            .map(|v| {
                let volts = [v.moving, v.switch_on, v.lowest].map(|v| v.to_string());
                [vec![v.name.clone(), v.board.clone()], volts.to_vec()].concat()
            })
            .collect(),
    }
}

fn leads(servos: &ServoSizing) -> SizingTable {
    SizingTable {
        title: "Longest lead of a servo",
        words: "From the strip farthest from the supply, one way, one servo stalled at its end.",
        headings: &["Wire", "Longest"],
        numbers: &[false, true],
        rows: servos.leads.iter().map(|l| vec![l.size.label(), l.longest.to_string()]).collect(),
    }
}

fn controllers(servos: &ServoSizing) -> SizingTable {
    SizingTable {
        title: "Servo controllers",
        words: "",
        headings: &["Board", "Controllers", "Channels used", "Spare"],
        numbers: &[false, true, true, true],
        rows: servos
            .controllers
            .iter()
            .map(|c| {
                let numbers = [c.count, c.used, c.spare].map(|n| n.to_string());
                [vec![c.board.clone()], numbers.to_vec()].concat()
            })
            .collect(),
    }
}
