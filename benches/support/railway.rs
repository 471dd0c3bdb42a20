//! A railway of any number of boards, twenty turnouts on each: four loops, thrown at both ends by
//! one control, and a ladder of twelve. Boards hang one behind the other on the main line; drives
//! and frogs change from loop to loop and from rung to rung.

use std::fmt::Write;

pub const TURNOUTS_ON_A_BOARD: usize = 20;
const LOOPS: usize = 4;
const RUNGS: usize = 12;

/// What throws a turnout, and with which control.
const DRIVES: [(&str, &str); 3] =
    [("coil", "momentary toggle"), ("motor", "maintained toggle"), ("servo", "maintained toggle")];
const FROGS: [&str; 3] = ["live", "isolated-with-wire", "insulated"];

#[derive(Default)]
struct Railway {
    boards: String,
    turnouts: String,
    tracks: String,
    controls: String,
    count: usize,
    track_count: usize,
}

/// The layout file of a railway.
pub fn railway(boards: usize) -> String {
    let mut r = Railway::default();
    let mut end = "off the layout".to_owned();
    for board in 1..=boards {
        r.board(board);
        end = r.loops(board, end);
        end = r.ladder(board, end);
    }
    r.track(&end, "off the layout", boards);
    format!(
        "format = 1\n[layout]\nname = \"Long Line\"\ncontrol = \"dcc\"\ndate = 2026-11-25\npage = \"A3\"\n{}\
         [turnout]\n{}[track]\n{}{FIXED}{}",
        r.boards, r.turnouts, r.tracks, r.controls
    )
}

impl Railway {
    fn board(&mut self, board: usize) {
        let left = (board - 1) * 2400;
        writeln!(
            self.boards,
            "[board.b{board}]\nsize = [\"2400 mm\", \"700 mm\"]\nstands-at = [\"{left} mm\", \"0 mm\"]"
        )
        .unwrap();
    }

    /// Four loops in a row; gives back the end at which the line goes on.
    fn loops(&mut self, board: usize, from: String) -> String {
        let mut end = from;
        for i in 0..LOOPS {
            let kind = (board + i) % DRIVES.len();
            let frog = FROGS[i % FROGS.len()];
            let x = 150 + 560 * i;
            let a = self.turnout(board, "left", frog, kind, (x, 150), 0);
            let b = self.turnout(board, "right", frog, kind, (x + 420, 150), 180);
            self.track(&end, &format!("T{a}.toe"), board);
            self.track(&format!("T{a}.straight"), &format!("T{b}.straight"), board);
            self.track(&format!("T{a}.diverging"), &format!("T{b}.diverging"), board);
            self.control(&[a, b], kind);
            end = format!("T{b}.toe");
        }
        end
    }

    /// A ladder of sidings; the first rung's straight road is the main line.
    fn ladder(&mut self, board: usize, from: String) -> String {
        let mut main = from.clone();
        let mut end = from;
        for i in 0..RUNGS {
            let kind = i % DRIVES.len();
            let x = 150 + 370 * (i % 6);
            let y = 380 + 180 * (i / 6);
            let t = self.turnout(board, "right", FROGS[(i / 3) % FROGS.len()], kind, (x, y), 0);
            self.track(&end, &format!("T{t}.toe"), board);
            if i == 0 {
                main = format!("T{t}.straight");
            } else {
                self.track(&format!("T{t}.straight"), "buffer", board);
            }
            end = format!("T{t}.diverging");
            self.control(&[t], kind);
        }
        self.track(&end, "buffer", board);
        main
    }

    fn turnout(
        &mut self,
        board: usize,
        kind: &str,
        frog: &str,
        drive: usize,
        (x, y): (usize, usize),
        heading: usize,
    ) -> usize {
        self.count += 1;
        let (n, drive) = (self.count, DRIVES[drive].0);
        writeln!(
            self.turnouts,
            "T{n} = {{ kind = \"{kind}\", frog = \"{frog}\", drive = \"{drive}\", board = \"b{board}\", \
             toe = [\"{x} mm\", \"{y} mm\"], heading = \"{heading} deg\" }}"
        )
        .unwrap();
        n
    }

    fn track(&mut self, from: &str, to: &str, board: usize) {
        self.track_count += 1;
        let n = self.track_count;
        writeln!(self.tracks, "k{n} = {{ from = \"{from}\", to = \"{to}\", board = \"b{board}\" }}").unwrap();
    }

    fn control(&mut self, throws: &[usize], drive: usize) {
        let names: Vec<String> = throws.iter().map(|t| format!("\"T{t}\"")).collect();
        let (first, with) = (throws[0], DRIVES[drive].1);
        writeln!(self.controls, "[control.S{first}]\nthrows = [{}]\nwith = \"{with}\"", names.join(", "))
            .unwrap();
    }
}

const FIXED: &str = r#"[drive.coil]
kind = "solenoid"
contacts = 1
contact-rating = "5 A"
[drive.motor]
kind = "slow-motion"
contacts = 2
contact-rating = "5 A"
[drive.servo]
kind = "servo"
lowest = "4 V"
"#;
