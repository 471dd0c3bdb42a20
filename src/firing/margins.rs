//! What each bar is left with: of everything that can throw it, whatever serves it worst.

use super::{Shot, Unit};
use crate::drives::sizing::CoilPulse;

/// A bar's coil that comes off worst, and the shot in which it does.
#[derive(Clone, Copy, Debug)]
pub struct Least<'a> {
    pub shot: &'a Shot,
    pub coil: &'a CoilPulse,
}

impl Unit {
    /// For each bar that the unit throws, in the order of the bars; of equals the first shot.
    pub fn least_of_each_bar(&self) -> Vec<Least<'_>> {
        let mut found: Vec<Least<'_>> = Vec::new();
        let all = self.shots.iter().flat_map(|shot| shot.coils.iter().map(move |coil| Least { shot, coil }));
        for one in all {
            match found.iter_mut().find(|l| l.coil.bar == one.coil.bar) {
                Some(least) if one.coil.margin() < least.coil.margin() => *least = one,
                Some(_) => {}
                None => found.push(one),
            }
        }
        found.sort_by_key(|l| l.coil.bar);
        found
    }
}
