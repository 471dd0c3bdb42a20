//! What each bar is left with: of everything that can throw it, whatever serves it worst.

use super::{Shot, Unit};
use crate::drives::sizing::CoilPulse;
use crate::parse::BarId;

/// A bar's coil that comes off worst, and the shot in which it does.
#[derive(Clone, Copy, Debug)]
pub struct Least<'a> {
    pub shot: &'a Shot,
    pub coil: &'a CoilPulse,
}

/// For each bar that some shots throw, in the order of the bars; of equals the first shot.
pub(super) fn least_of_each_bar(shots: &[Shot]) -> Vec<Least<'_>> {
    let mut found: Vec<Least<'_>> = Vec::new();
    let all = shots.iter().flat_map(|shot| shot.coils.iter().map(move |coil| Least { shot, coil }));
    for one in all {
        match found.iter_mut().find(|l| l.coil.bar == one.coil.bar) {
            Some(least) if one.coil.rank() < least.coil.rank() => *least = one,
            Some(_) => {}
            None => found.push(one),
        }
    }
    found.sort_by_key(|l| l.coil.bar);
    found
}

/// The lowest margin of each bar.
pub(super) fn margins(shots: &[Shot]) -> Vec<(BarId, f64)> {
    least_of_each_bar(shots).into_iter().map(|l| (l.coil.bar, l.coil.margin())).collect()
}

impl Unit {
    /// For each bar that the unit throws, in the order of the bars; of equals the first shot.
    pub fn least_of_each_bar(&self) -> Vec<Least<'_>> {
        least_of_each_bar(&self.shots)
    }

    /// The lowest margin of each bar, in the order of the bars.
    pub fn margins(&self) -> Vec<(BarId, f64)> {
        margins(&self.shots)
    }
}
