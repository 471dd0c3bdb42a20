//! The discharge over time in the worst corner: bank voltage, one coil's current, its threshold.

use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::text::lettering;
use crate::firing::Unit;
use crate::geom::{Point, Rect, point};
use crate::units::{Amps, Seconds, Volts};

const RED: Ink = Ink(200, 16, 46);
const BLUE: Ink = Ink(20, 82, 180);

pub(super) fn draw(page: &mut Page, unit: &Unit, top: f64) {
    let right = page.inner.max.x;
    let frame = Rect::new(right - 97.5, top + 12.5, 80.0, 62.5);
    let (shot, curves) = (unit.worst(), &unit.curves);
    let Some(coil) = shot.worst_coil() else { return };
    let Some(mine) = shot.coils.iter().position(|c| c == coil) else { return };
    let Some(end) = curves.times.last().copied().filter(|t| t.seconds() > 0.0) else { return };
    let v0 = shot.start;
    let highest = shot.coils.iter().map(|c| c.peak).fold(coil.needs.current, Amps::max);
    let (peak_time, peak) = (coil.peak_at, coil.peak);
    let (v_top, i_top) = (Volts::new(nice(v0.volts())), Amps::new(nice(highest.amps())));
    page.scene.bold(
        point(frame.min.x - 7.0, top + 5.0),
        lettering::BODY,
        Anchor::Start,
        format!("Discharge into {}, weakest corner", coils(shot.coils.len())),
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
    let voltage: Vec<Point> =
        curves.times.iter().zip(&curves.bank).map(|(t, v)| place(*t, *v / v_top)).collect();
    let chained = Stroke { dash: Dash::ChainDotted, ..Stroke::solid(0.5, BLUE) };
    page.scene.polyline(voltage, chained, Role::Decoration);
    for (n, curve) in curves.coils.iter().enumerate() {
        let current: Vec<Point> =
            curves.times.iter().zip(curve).map(|(t, i)| place(*t, *i / i_top)).collect();
        let width = if n == mine { 0.5 } else { 0.25 };
        page.scene.polyline(current, Stroke::solid(width, RED), Role::Decoration);
    }
    let need = frame.max.y - frame.height() * (coil.needs.current / i_top).clamp(0.0, 1.0);
    let dashed = Stroke { dash: Dash::Dashed, ..Stroke::solid(0.35, RED) };
    page.scene.line(point(frame.min.x, need), point(frame.max.x, need), dashed, Role::Decoration);
    let above = coil.above;
    let words = [
        (BLUE, format!("chain-dotted: capacitor voltage, from {v0}, scale at the left")),
        (
            RED,
            format!(
                "full: current in the coil that has least, peak {peak} after {peak_time}, scale at the right"
            ),
        ),
        (RED, format!("dashed: {} that the drive needs, exceeded for {above}", coil.needs.current)),
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
