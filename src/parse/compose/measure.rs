//! Where the members of a composition lie, and how long the tracks between them are.
//!
//! Turnouts are taken for the standard ones with which the sheets draw them (common practice, no
//! source): ten gauges long, roads parting by 12 degrees, the heel of the diverging road 1.38 gauges
//! off the straight one. A scissors has a diamond of twice the angle, its ends three gauges from its
//! middle.

use super::outline::Spot;
use crate::diag::Diagnostic;
use crate::parse::reader::{Found, Table};
use crate::parse::standard::{ANGLE, ARC_END, LENGTH, TIE_BAR};
use crate::units::Length;

/// Having bent evenly from the tie bar on, a diverging road has come as far sideways as if it had been
/// straight from the middle of the arc. In turnout lengths.
const MIDDLE_OF_ARC: f64 = (TIE_BAR + ARC_END) / 2.0;
/// From a diamond's middle to its ends, along its axis, in gauges.
const DIAMOND: f64 = 3.04;

fn angle() -> f64 {
    ANGLE.to_radians()
}

/// How far the heel of the diverging road lies off the straight road, in gauges.
fn rise() -> f64 {
    LENGTH * (1.0 - MIDDLE_OF_ARC) * angle().tan()
}

/// The sizes of one composition in millimetres.
#[derive(Clone, Copy)]
pub struct Measure {
    pub gauge: f64,
    pub spacing: f64,
}

impl Measure {
    /// `usual` and `least` spacing in gauges. Less is a warning: such track exists, cut to fit.
    pub fn of(table: &Table<'_>, gauge: f64, usual: f64, least: f64, found: &mut Found) -> Measure {
        let given = table.quantity::<Length>("spacing", found);
        let spacing = given.as_ref().map_or(usual * gauge, |at| at.mm());
        if let Some(at) = given.filter(|at| at.mm() < least * gauge) {
            let message = format!("standard turnouts do not fit into {}", table.what);
            found.push(
                Diagnostic::warning("spacing-tight", message)
                    .label(at.span, format!("they need {:.0} mm", (least * gauge).ceil()))
                    .help("measure the spacing again; if the track is made so, the places on the drawings are only about right"),
            );
        }
        Measure { gauge, spacing }
    }

    pub fn length(&self) -> f64 {
        LENGTH * self.gauge
    }

    /// Sideways way that is left between two diverging heels that face each other.
    fn gap(&self) -> f64 {
        self.spacing - 2.0 * rise() * self.gauge
    }

    /// From toe to toe of a crossover, along the track.
    pub fn crossover(&self) -> f64 {
        2.0 * self.length() + self.gap() / angle().tan()
    }

    /// The track between the diverging roads of a crossover.
    pub fn crossover_link(&self) -> Option<Length> {
        positive(self.gap() / angle().sin())
    }

    /// From each turnout of a scissors to its diamond.
    pub fn scissors_link(&self) -> Option<Length> {
        positive(self.gap() / 2.0 / angle().sin() - DIAMOND * self.gauge / angle().cos())
    }

    /// Between the straight heels that face each other on either line of a scissors.
    pub fn scissors_line(&self) -> Option<Length> {
        positive(self.crossover() - 2.0 * self.length())
    }

    /// From toe to toe of a ladder.
    pub fn rung(&self) -> f64 {
        self.spacing / angle().sin()
    }

    pub fn rung_link(&self) -> Option<Length> {
        positive(self.rung() - self.length())
    }

    /// The loop beside a straight track of this length.
    pub fn around(&self, straight: Length) -> Length {
        let aside = (self.spacing - rise() * self.gauge).max(0.0);
        // Two slopes instead of two levels.
        rounded(straight.mm() + 2.0 * aside * (angle() / 2.0).tan())
    }

    pub fn spot(&self, along: f64, left: f64, turned: bool) -> Option<Spot> {
        Some(Spot { along, left, turned })
    }
}

/// Spacings below which standard turnouts do not fit, in gauges.
pub fn least_crossover() -> f64 {
    2.0 * rise()
}

pub fn least_scissors() -> f64 {
    2.0 * (rise() + DIAMOND * angle().tan())
}

pub fn least_ladder() -> f64 {
    LENGTH * angle().sin()
}

pub fn least_loop() -> f64 {
    rise()
}

fn rounded(mm: f64) -> Length {
    Length::from_mm((mm * 10.0).round() / 10.0)
}

/// A length worth a piece of track.
fn positive(mm: f64) -> Option<Length> {
    Some(rounded(mm)).filter(|l| l.mm() > 0.0)
}
