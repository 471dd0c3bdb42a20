//! The discharge over time in the worst corner: bank voltage, one coil's current, its threshold.

use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::text::lettering;
use crate::drives::sizing::BankSizing;
use crate::geom::{Point, Rect, point};
use crate::units::{Amps, Seconds, Volts};

const SAMPLES: usize = 80;
const RED: Ink = Ink(200, 16, 46);
const BLUE: Ink = Ink(20, 82, 180);

pub(super) fn draw(page: &mut Page, bank: &BankSizing, top: f64) {
    let right = page.inner.max.x;
    let frame = Rect::new(right - 97.5, top + 12.5, 80.0, 62.5);
    let d = &bank.worst;
    // As long as it takes the current to fall to a twentieth of its peak.
    let (peak_time, peak) = d.peak();
    let mut end = peak_time * 2.0;
    while d.current_at(end) > peak * 0.05 && end < Seconds::new(2.0) {
        end = end * 1.2;
    }
    let v0 = d.voltage_at(Seconds::new(0.0));
    let (v_top, i_top) = (Volts::new(nice(v0.volts())), Amps::new(nice(peak.amps())));
    page.scene.bold(
        point(frame.min.x - 7.0, top + 5.0),
        lettering::BODY,
        Anchor::Start,
        format!("Discharge into {}, weakest corner", coils(bank.together)),
    );
    let thin = Stroke::solid(0.25, Ink::BLACK);
    let light = Stroke::solid(0.25, Ink::LIGHT);
    for k in 1..4 {
        let y = frame.min.y + frame.height() * f64::from(k) / 4.0;
        page.scene.line(point(frame.min.x, y), point(frame.max.x, y), light, Role::Decoration);
        let x = frame.min.x + frame.width() * f64::from(k) / 4.0;
        page.scene.line(point(x, frame.min.y), point(x, frame.max.y), light, Role::Decoration);
    }
    page.scene.rect(frame, Some(thin), None, Role::Decoration);
    for k in 0..=4 {
        let part = f64::from(k) / 4.0;
        let y = frame.max.y - frame.height() * part + 0.9;
        let volts = v_top * part;
        page.scene.push_text(
            point(frame.min.x - 1.2, y),
            lettering::SMALL,
            Anchor::End,
            false,
            BLUE,
            volts.to_string(),
        );
        let amps = i_top * part;
        page.scene.push_text(
            point(frame.max.x + 1.2, y),
            lettering::SMALL,
            Anchor::Start,
            false,
            RED,
            amps.to_string(),
        );
        let x = frame.min.x + frame.width() * part;
        page.scene.text(
            point(x, frame.max.y + 3.4),
            lettering::SMALL,
            Anchor::Middle,
            (end * part).to_string(),
        );
    }
    let place = |t: Seconds, share: f64| -> Point {
        point(frame.min.x + frame.width() * (t / end), frame.max.y - frame.height() * share.clamp(0.0, 1.0))
    };
    let times = (0..=SAMPLES).map(|k| end * (k as f64 / SAMPLES as f64));
    let voltage: Vec<Point> = times.clone().map(|t| place(t, d.voltage_at(t) / v_top)).collect();
    let current: Vec<Point> = times.map(|t| place(t, d.current_at(t) / i_top)).collect();
    let chained = Stroke { dash: Dash::ChainDotted, ..Stroke::solid(0.5, BLUE) };
    page.scene.polyline(voltage, chained, Role::Decoration);
    page.scene.polyline(current, Stroke::solid(0.5, RED), Role::Decoration);
    let need = frame.max.y - frame.height() * (bank.needs.1 / i_top).clamp(0.0, 1.0);
    let dashed = Stroke { dash: Dash::Dashed, ..Stroke::solid(0.35, RED) };
    page.scene.line(point(frame.min.x, need), point(frame.max.x, need), dashed, Role::Decoration);
    let above = d.time_above(bank.needs.1);
    let words = [
        (BLUE, format!("chain-dotted: capacitor voltage, from {v0}, scale at the left")),
        (RED, format!("full: current in one coil, peak {peak} after {peak_time}, scale at the right")),
        (RED, format!("dashed: {} that the drive needs, exceeded for {above}", bank.needs.1)),
    ];
    for (i, (ink, line)) in words.into_iter().enumerate() {
        let at = point(frame.min.x - 7.0, frame.max.y + 8.5 + 4.0 * i as f64);
        page.scene.push_text(at, lettering::SMALL, Anchor::Start, false, ink, line);
    }
}

fn coils(n: usize) -> String {
    match n {
        1 => "the coil".to_owned(),
        n => format!("{n} coils"),
    }
}

/// The next larger number that divides well into four.
fn nice(v: f64) -> f64 {
    let decade = 10f64.powf(v.max(1e-9).log10().floor());
    [1.0, 1.2, 1.6, 2.0, 2.4, 2.8, 3.2, 4.0, 4.8, 6.0, 8.0, 10.0, 12.0]
        .into_iter()
        .map(|k| k * decade)
        .find(|c| *c >= v * 1.02)
        .unwrap_or(v * 1.2)
}
