//! Round numbers along an axis.

/// Ticks at 0, step, 2·step and so on; the last one is the end of the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ticks {
    step: f64,
    count: u32,
}

impl Ticks {
    /// As many as there is room for, at most `most`, of a step of 1, 2 or 5 with a power of ten, to an end
    /// that is no less than `highest`.
    pub fn up_to(highest: f64, most: u32) -> Ticks {
        let highest = if highest.is_finite() { highest.max(1e-9) } else { 1.0 };
        let least = highest / f64::from(most.max(1));
        let decade = 10f64.powf(least.log10().floor());
        // A highest that is a tick itself is not pushed beyond it by rounding.
        let fits = |step: &f64| *step >= least * (1.0 - 1e-9);
        let step = [1.0, 2.0, 5.0, 10.0].map(|k| k * decade).into_iter().find(fits).unwrap_or(10.0 * decade);
        Ticks { step, count: (highest / step - 1e-9).ceil().max(1.0) as u32 }
    }

    pub fn end(self) -> f64 {
        self.step * f64::from(self.count)
    }

    /// Each tick as a share of the axis, with its number.
    pub fn marks(self) -> impl Iterator<Item = (f64, String)> {
        let decimals = (-self.step.log10().floor()).max(0.0) as usize;
        (0..=self.count).map(move |k| {
            (f64::from(k) / f64::from(self.count), format!("{:.decimals$}", self.step * f64::from(k)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_reach_the_highest() {
        for (highest, most, marks) in [
            (19.4, 4, "0 5 10 15 20"),
            (20.0, 4, "0 5 10 15 20"),
            (3.3, 5, "0 1 2 3 4"),
            (0.31, 4, "0.0 0.1 0.2 0.3 0.4"),
            (47.0, 6, "0 10 20 30 40 50"),
        ] {
            let ticks = Ticks::up_to(highest, most);
            let shown: Vec<String> = ticks.marks().map(|(_, words)| words).collect();
            assert!(ticks.end() >= highest && shown.len() as u32 <= most + 1, "{highest}: {shown:?}");
            assert_eq!(shown.join(" "), marks);
        }
    }
}
