//! The discharge over time by the control that has the lowest margin, in the weakest corner: the bank's
//! voltage above, the currents of all coils that are fired below, and beneath them for how long the coil
//! that comes off worst has the current that it needs.

use super::super::{Book, pen};
use super::axis::Ticks;
use crate::draw::line::{HEAVY, THIN};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::draw::text::{self, lettering};
use crate::drives::sizing::{CoilPulse, trigger_words};
use crate::firing::{Curves, Unit};
use crate::geom::{Point, Rect, point};
use crate::units::{Amps, Seconds, Volts};

const RED: Ink = Ink(200, 16, 46);
const BLUE: Ink = Ink(20, 82, 180);

/// Width of the panels in millimetres, and what their numbers need at the left.
const WIDTH: f64 = 95.0;
const NUMBERS: f64 = 10.0;
const VOLTAGE: f64 = 15.0;
const CURRENT: f64 = 30.0;
/// Between the two panels: the caption of the lower one.
const GAP: f64 = 7.5;
/// The strip below with the two spans.
const STRIP: f64 = 7.5;
const LINE: f64 = 3.4;

pub(super) fn draw(book: &Book, page: &mut Page, unit: &Unit, top: f64) {
    let curves = &unit.curves;
    let Some(coil) = unit.worst().worst_coil() else { return };
    let Some(mine) = unit.worst().coils.iter().position(|c| c == coil) else { return };
    let Some(end) = curves.times.last().filter(|t| t.seconds() > 0.0) else { return };
    let left = page.inner.max.x - WIDTH - 5.0;
    let upper = Rect::new(left, top + 12.5, WIDTH, VOLTAGE);
    let lower = Rect::new(left, upper.max.y + GAP, WIDTH, CURRENT);
    let strip = Rect::new(left, lower.max.y + 1.25, WIDTH, STRIP);
    let plot = Plot { scene: &mut page.scene, time: Time::up_to(*end), left: left - NUMBERS + 2.5 };
    plot.all(book, unit, (coil, mine), [upper, lower, strip], top);
}

/// The axis of time, in the unit that suits it.
#[derive(Clone, Copy)]
struct Time {
    ticks: Ticks,
    unit: (f64, &'static str),
}

impl Time {
    fn up_to(end: Seconds) -> Time {
        let unit = if end.seconds() < 1.0 { (1e3, "ms") } else { (1.0, "s") };
        Time { ticks: Ticks::up_to(end.seconds() * unit.0, 6), unit }
    }

    /// As a share of the axis.
    fn share(self, time: Seconds) -> f64 {
        time.seconds() * self.unit.0 / self.ticks.end()
    }
}

struct Plot<'s> {
    scene: &'s mut Scene,
    time: Time,
    /// Of heading and legend.
    left: f64,
}

impl Plot<'_> {
    fn all(
        mut self,
        book: &Book,
        unit: &Unit,
        (coil, mine): (&CoilPulse, usize),
        panels: [Rect; 3],
        top: f64,
    ) {
        let [upper, lower, strip] = panels;
        let (shot, curves) = (unit.worst(), &unit.curves);
        let design = book.design;
        let control = trigger_words(&design.document, shot.trigger);
        let heading = format!("Discharge into {} by {control}, weakest corner", coils(shot.coils.len()));
        let heading = text::fit(&heading, lettering::BODY, true, WIDTH + NUMBERS).into_owned();
        self.scene.bold(point(self.left, top + 5.0), lettering::BODY, Anchor::Start, heading);

        let bank = &design.circuit[unit.capacitor].designation;
        let volts = Ticks::up_to(shot.start.volts(), 4);
        self.panel(upper, volts, &format!("Voltage on {bank} in V"));
        let v_top = Volts::new(volts.end());
        let shares: Vec<f64> = curves.bank.iter().map(|v| *v / v_top).collect();
        self.curve(upper, curves, &shares, Stroke::solid(0.5, BLUE));

        let highest = shot.coils.iter().map(|c| c.peak).fold(coil.needs.current, Amps::max);
        let amps = Ticks::up_to(highest.amps(), 6);
        self.panel(lower, amps, "Current in the coils in A");
        let i_top = Amps::new(amps.end());
        let others = (0..curves.coils.len()).filter(|n| *n != mine);
        for n in others.chain([mine]) {
            let shares: Vec<f64> = curves.coils[n].iter().map(|i| *i / i_top).collect();
            self.curve(lower, curves, &shares, if n == mine { bold() } else { faint() });
        }
        let need = at(lower, 0.0, coil.needs.current / i_top).y;
        self.scene.line(point(lower.min.x, need), point(lower.max.x, need), dashed(), Role::Decoration);
        let span = above(curves, &curves.coils[mine], coil.needs.current);
        self.spans(strip, coil, span, need);
        self.times(strip);
        self.legend(book, unit, coil, strip.max.y + 9.5);
    }

    /// The frame with its grid, the numbers at the left and a caption above.
    fn panel(&mut self, frame: Rect, ticks: Ticks, caption: &str) {
        let light = pen::light();
        for (share, number) in ticks.marks() {
            let y = at(frame, 0.0, share).y;
            self.scene.line(point(frame.min.x, y), point(frame.max.x, y), light, Role::Decoration);
            let place = point(frame.min.x - 1.2, y + lettering::SMALL / 2.0);
            self.scene.text(place, lettering::SMALL, Anchor::End, number);
        }
        for (share, _) in self.time.ticks.marks() {
            let x = at(frame, share, 0.0).x;
            self.scene.line(point(x, frame.min.y), point(x, frame.max.y), light, Role::Decoration);
        }
        self.scene.rect(frame, Some(pen::thin()), None, Role::Decoration);
        let place = point(frame.min.x, frame.min.y - 2.0);
        self.scene.text(place, lettering::SMALL, Anchor::Start, caption);
    }

    fn curve(&mut self, frame: Rect, curves: &Curves, shares: &[f64], stroke: Stroke) {
        let points = curves.times.iter().zip(shares);
        let points: Vec<Point> = points.map(|(t, share)| at(frame, self.time.share(*t), *share)).collect();
        self.scene.polyline(points, stroke, Role::Decoration);
    }

    /// How long the current is there, and how long it has to be.
    fn spans(&mut self, strip: Rect, coil: &CoilPulse, (from, to): (Seconds, Seconds), need: f64) {
        self.scene.rect(strip, Some(pen::thin()), None, Role::Decoration);
        let x = |t: Seconds| at(strip, self.time.share(t).min(1.0), 0.0).x;
        let (start, stop) = (x(from), x(to));
        let needed = x(from + coil.needs.time);
        if stop > start {
            let dotted = Stroke { dash: Dash::Dashed, ..Stroke::solid(THIN, Ink::BLACK) };
            for x in [start, stop] {
                self.scene.line(point(x, need), point(x, strip.min.y), dotted, Role::Decoration);
            }
        }
        let bars =
            [("gets", coil.above, start, stop, Some(RED)), ("needs", coil.needs.time, start, needed, None)];
        for (row, (word, time, from, to, fill)) in bars.into_iter().enumerate() {
            let y = strip.min.y + 0.95 + 3.3 * row as f64;
            if to > from {
                let bar = Rect::new(from, y, to - from, 2.3);
                self.scene.rect(bar, Some(Stroke::solid(THIN, Ink::BLACK)), fill, Role::Decoration);
            }
            let baseline = y + 2.05;
            let left = point(strip.min.x - 1.2, baseline);
            self.scene.text(left, lettering::SMALL, Anchor::End, word);
            let words = time.to_string();
            let wide = text::width(&words, lettering::SMALL, false);
            if to + 1.5 + wide < strip.max.x {
                self.scene.text(point(to + 1.0, baseline), lettering::SMALL, Anchor::Start, words);
            } else if from - 1.5 - wide > strip.min.x {
                self.scene.text(point(from - 1.0, baseline), lettering::SMALL, Anchor::End, words);
            }
        }
    }

    /// The numbers of the axis of time.
    fn times(&mut self, strip: Rect) {
        let y = strip.max.y + 1.2 + lettering::SMALL;
        for (share, number) in self.time.ticks.marks() {
            let x = at(strip, share, 0.0).x;
            self.scene.line(
                point(x, strip.max.y),
                point(x, strip.max.y + 0.8),
                pen::thin(),
                Role::Decoration,
            );
            self.scene.text(point(x, y), lettering::SMALL, Anchor::Middle, number);
        }
        let words = format!("Time in {}", self.time.unit.1);
        self.scene.text(point(strip.max.x, y + LINE), lettering::SMALL, Anchor::End, words);
    }

    /// What each line is, with a piece of it.
    fn legend(&mut self, book: &Book, unit: &Unit, coil: &CoilPulse, top: f64) {
        let design = book.design;
        let name = |c: &CoilPulse| {
            format!("{} of {}", design.circuit.drive_name(c.bar), design.document[c.bar].name)
        };
        let mut lines = vec![(
            bold(),
            format!("{}, which has least: at most {} after {}", name(coil), coil.peak, coil.peak_at),
        )];
        let others: Vec<String> = unit.worst().coils.iter().filter(|c| *c != coil).map(name).collect();
        if !others.is_empty() {
            lines.push((faint(), others.join(", ")));
        }
        let typical = design.document.drive_of(coil.bar).typical.contains(&"current");
        let measured = if typical { " (typical + 10 %)" } else { "" };
        let dashed_words =
            format!("{} that it needs{measured}; the strip shows for how long", coil.needs.current);
        lines.push((dashed(), dashed_words));
        let left = self.left;
        for (row, (stroke, words)) in lines.into_iter().enumerate() {
            let y = top + LINE * row as f64;
            let sample = [point(left, y - 0.9), point(left + 8.0, y - 0.9)];
            self.scene.line(sample[0], sample[1], stroke, Role::Decoration);
            let words = text::fit(&words, lettering::SMALL, false, WIDTH + NUMBERS - 13.0).into_owned();
            self.scene.text(point(left + 10.0, y), lettering::SMALL, Anchor::Start, words);
        }
    }
}

/// A place in a panel, by shares of its axes.
fn at(frame: Rect, across: f64, up: f64) -> Point {
    point(frame.min.x + frame.width() * across, frame.max.y - frame.height() * up.clamp(0.0, 1.0))
}

fn bold() -> Stroke {
    Stroke::solid(HEAVY, RED)
}

fn faint() -> Stroke {
    Stroke::solid(THIN, RED)
}

fn dashed() -> Stroke {
    Stroke { dash: Dash::Dashed, ..Stroke::solid(0.35, Ink::BLACK) }
}

fn coils(n: usize) -> String {
    match n {
        1 => "a coil".to_owned(),
        n => format!("{n} coils"),
    }
}

/// When a curve first comes to a current and when it last falls below it; twice the beginning if it
/// never comes to it.
fn above(curves: &Curves, currents: &[Amps], need: Amps) -> (Seconds, Seconds) {
    let samples: Vec<(Seconds, Amps)> = curves.times.iter().copied().zip(currents.iter().copied()).collect();
    let crossing = |pair: &[(Seconds, Amps)]| {
        let ((t0, i0), (t1, i1)) = (pair[0], pair[1]);
        t0 + (t1 - t0) * ((need - i0) / (i1 - i0)).clamp(0.0, 1.0)
    };
    let (Some(first), Some(last)) =
        (samples.iter().position(|(_, i)| *i >= need), samples.iter().rposition(|(_, i)| *i >= need))
    else {
        return Default::default();
    };
    let from = if first == 0 { samples[0].0 } else { crossing(&samples[first - 1..=first]) };
    let to = samples.get(last..last + 2).map_or(samples[last].0, crossing);
    (from, to)
}
