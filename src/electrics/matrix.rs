//! The diode matrix: where a link between a button and a line needs a diode.
//!
//! A button drives several lines, a line is driven by several buttons. Without diodes, pressing one
//! button sends current back up a shared line into another button's links, and out by those into
//! lines that nobody asked for. A diode keeps a line from driving a button.

/// Which button drives which lines, and which lines something else drives as well.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Incidence {
    /// The lines of each button, without repeats.
    pub buttons: Vec<Vec<usize>>,
    /// By line: whether it has a contact of its own beside the buttons.
    pub own: Vec<bool>,
}

impl Incidence {
    /// Whether the link of a button to one of its lines must be a diode: exactly if the line can be
    /// driven from elsewhere too, and the button leads on from there to a line that the other driver
    /// is not to drive. Otherwise nothing drives the line backwards, or it does no harm.
    ///
    /// For routes of which none is part of another that is: the line has two drivers or more, and the
    /// button two lines or more. (Derived; the test beside this tries every diode of small matrices.)
    pub fn needs_diode(&self, button: usize, line: usize) -> bool {
        let mine = &self.buttons[button];
        let has_own = self.own.get(line).copied().unwrap_or(false);
        let astray = |other: &[usize]| mine.iter().any(|l| !other.contains(l));
        let others =
            self.buttons.iter().enumerate().filter(|(b, lines)| *b != button && lines.contains(&line));
        (has_own && astray(&[line])) || others.into_iter().any(|(_, lines)| astray(lines))
    }

    /// Button and line of every link, button by button.
    pub fn links(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.buttons.iter().enumerate().flat_map(|(b, lines)| lines.iter().map(move |l| (b, *l)))
    }

    /// How many of the links need a diode.
    pub fn diodes(&self) -> usize {
        self.links().filter(|(b, l)| self.needs_diode(*b, *l)).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    /// The lines that carry voltage when one contact closes, found by walking: a wire both ways, a
    /// diode from button to line only. A start is a button, or a line with a contact of its own.
    fn driven(m: &Incidence, diodes: &BTreeSet<(usize, usize)>, start: Start) -> BTreeSet<usize> {
        let (mut buttons, mut lines) = (BTreeSet::new(), BTreeSet::new());
        match start {
            Start::Button(b) => buttons.insert(b),
            Start::Line(l) => lines.insert(l),
        };
        loop {
            let before = (buttons.len(), lines.len());
            for (b, l) in m.links() {
                if buttons.contains(&b) {
                    lines.insert(l);
                }
                if lines.contains(&l) && !diodes.contains(&(b, l)) {
                    buttons.insert(b);
                }
            }
            if (buttons.len(), lines.len()) == before {
                return lines;
            }
        }
    }

    #[derive(Clone, Copy)]
    enum Start {
        Button(usize),
        Line(usize),
    }

    /// Whether every contact drives its own lines and no other.
    fn is_clean(m: &Incidence, diodes: &BTreeSet<(usize, usize)>) -> bool {
        let own = |b: usize| m.buttons[b].iter().copied().collect::<BTreeSet<_>>();
        (0..m.buttons.len()).all(|b| driven(m, diodes, Start::Button(b)) == own(b))
            && (0..m.own.len())
                .filter(|l| m.own[*l])
                .all(|l| driven(m, diodes, Start::Line(l)) == BTreeSet::from([l]))
    }

    fn by_rule(m: &Incidence) -> BTreeSet<(usize, usize)> {
        m.links().filter(|(b, l)| m.needs_diode(*b, *l)).collect()
    }

    fn incidence() -> impl Strategy<Value = Incidence> {
        (1..=6_usize, 1..=6_usize).prop_flat_map(|(buttons, lines)| {
            let row = prop::collection::btree_set(0..lines, 0..=lines);
            (prop::collection::vec(row, buttons), prop::collection::vec(any::<bool>(), lines)).prop_map(
                |(rows, own)| Incidence {
                    buttons: rows.into_iter().map(|r| r.into_iter().collect()).collect(),
                    own,
                },
            )
        })
    }

    proptest! {
        /// Brute force, against the walk above: the diodes of the rule are enough, and none of them
        /// can be replaced by a wire.
        #[test]
        fn the_diodes_are_enough_and_each_is_needed(m in incidence()) {
            let diodes = by_rule(&m);
            prop_assert!(is_clean(&m, &diodes));
            for one in &diodes {
                let mut fewer = diodes.clone();
                fewer.remove(one);
                prop_assert!(!is_clean(&m, &fewer), "{one:?} of {m:?} is not needed");
            }
        }
    }

    /// Buttons of a chain ladder of so many roads, worked by them alone: road k leaves at turnout k
    /// and needs those before it straight. Line 2t is straight, 2t + 1 diverging, of turnout t.
    fn ladder(roads: usize) -> Incidence {
        let turnouts = roads - 1;
        let button = |road: usize| {
            let before = (0..road.min(turnouts)).map(|t| 2 * t);
            before.chain((road < turnouts).then_some(2 * road + 1)).collect()
        };
        Incidence { buttons: (0..roads).map(button).collect(), own: vec![false; 2 * turnouts] }
    }

    /// Derived, no source: n(n + 1)/2 − 1 links and n(n − 1)/2 − 1 diodes. Three roads with
    /// 5 links and 2 necessary diodes are also a worked example in public (rail.felgall.com/dm.htm).
    #[test]
    fn chain_ladders() {
        for (n, links, diodes) in [(3, 5, 2), (4, 9, 5), (5, 14, 9), (6, 20, 14), (8, 35, 27), (10, 54, 44)] {
            let m = ladder(n);
            assert_eq!((m.links().count(), m.diodes()), (links, diodes), "{n} roads");
            assert_eq!((links, diodes), (n * (n + 1) / 2 - 1, n * (n - 1) / 2 - 1), "{n} roads");
        }
    }

    /// Derived, no source: a short route that is part of a longer one may be driven by that without
    /// harm, so only the longer one needs a diode.
    #[test]
    fn a_route_that_is_part_of_another() {
        let m = Incidence { buttons: vec![vec![0, 1], vec![0, 1, 2]], own: vec![false; 3] };
        assert!(!m.needs_diode(0, 0) && !m.needs_diode(0, 1));
        assert!(m.needs_diode(1, 0) && m.needs_diode(1, 1) && !m.needs_diode(1, 2));
    }

    /// Derived, no source: two straight roads and the crossing one, of turnouts 0 and 1.
    #[test]
    fn a_plain_crossover_needs_none() {
        let m = Incidence { buttons: vec![vec![0], vec![2], vec![1, 3]], own: vec![false; 4] };
        assert_eq!((m.links().count(), m.diodes()), (4, 0));
    }

    /// The route list of a five-road yard is that of a public automation file of a home layout, "thrown"
    /// read as reverse; the count of its links follows from it, that of the diodes is derived.
    #[test]
    fn a_five_road_yard() {
        let line = |turnout: usize, reverse: bool| 2 * (turnout - 5) + usize::from(reverse);
        let (n, r) = (|t| line(t, false), |t| line(t, true));
        let m = Incidence {
            buttons: vec![
                vec![r(5), n(7), n(8)],
                vec![r(5), n(7), r(8)],
                vec![r(5), r(7)],
                vec![n(5), n(6)],
                vec![n(5), r(6)],
            ],
            own: vec![false; 8],
        };
        assert_eq!((m.links().count(), m.diodes()), (12, 7));
        assert_eq!(m.buttons.iter().map(Vec::len).max(), Some(3));
    }
}
