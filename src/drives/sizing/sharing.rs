//! Which circuits of the layout may take their power from one supply.

use crate::drives::Plan;
use crate::parse::{Document, SupplyKind, SupplyUse, TrainControl};

/// A circuit with a supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feeding {
    Drives(SupplyUse, SupplyKind),
    Track(TrainControl),
}

impl Feeding {
    pub fn name(self) -> &'static str {
        match self {
            Feeding::Drives(SupplyUse::Solenoids, _) => "solenoids",
            Feeding::Drives(SupplyUse::SlowMotion, _) => "slow-motion motors",
            Feeding::Drives(SupplyUse::Servos, _) => "servos and their logic",
            Feeding::Track(_) => "track",
        }
    }
}

/// Whether two circuits may have one supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    May,
    WithCare,
    MustNot,
}

impl Verdict {
    pub fn word(self) -> &'static str {
        match self {
            Verdict::May => "may",
            Verdict::WithCare => "with care",
            Verdict::MustNot => "must not",
        }
    }
}

/// A pair of circuits, or of supplies, with what holds for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sharing {
    pub one: &'static str,
    pub other: &'static str,
    pub verdict: Verdict,
    pub why: &'static str,
    pub source: &'static str,
}

const NEM_609: &str = "NEM 609 (2010)";
const SEEN: &str = "seen in the trade; common practice";

/// The pairs of the layout's own circuits, then what holds between supplies.
pub(super) fn table(document: &Document, plan: &Plan) -> Vec<Sharing> {
    let mut circuits: Vec<Feeding> =
        plan.uses.iter().map(|u| Feeding::Drives(u.kind, u.supply.kind)).collect();
    circuits.push(Feeding::Track(*document.layout.control));
    let mut rows = Vec::new();
    for (n, one) in circuits.iter().enumerate() {
        for other in &circuits[n + 1..] {
            let (verdict, why, source) = rule(*one, *other);
            rows.push(Sharing { one: one.name(), other: other.name(), verdict, why, source });
        }
    }
    rows.extend(between_supplies(document, plan));
    rows
}

/// What holds for two circuits, the drives in the order solenoids, slow-motion, servos, then the track.
fn rule(one: Feeding, other: Feeding) -> (Verdict, &'static str, &'static str) {
    use SupplyUse::{Servos, SlowMotion, Solenoids};
    match (one, other) {
        (Feeding::Drives(..), Feeding::Track(TrainControl::Dcc)) => (
            Verdict::MustNot,
            "a train that runs through a turnout set against it shorts the track, and then the turnout cannot \
             be thrown to clear it; data may come from the track, power not",
            SEEN,
        ),
        (Feeding::Drives(..), Feeding::Track(TrainControl::Dc)) => (
            Verdict::MustNot,
            "a controller's output follows the train's speed and direction; its auxiliary output may serve if \
             that is an isolated winding",
            "NEM 609 (2010): outputs isolated from one another; practice",
        ),
        (Feeding::Drives(_, SupplyKind::SplitDc), Feeding::Drives(..))
        | (_, Feeding::Drives(_, SupplyKind::SplitDc)) => (
            Verdict::MustNot,
            "the middle of a split supply is the motors' return: another circuit's return there joins the two, \
             and a load on one half alone shifts it",
            SEEN,
        ),
        (Feeding::Drives(Solenoids, a), Feeding::Drives(SlowMotion, b)) if a == b => (
            Verdict::WithCare,
            "only with a discharge unit behind its limiter, and a supply for both together; the motors hesitate \
             while the unit charges",
            "common practice, no source",
        ),
        (Feeding::Drives(Solenoids, _), Feeding::Drives(SlowMotion, _)) => {
            (Verdict::MustNot, "one takes AC, the other DC", "the drives' data")
        }
        (Feeding::Drives(Solenoids, _), _) | (_, Feeding::Drives(Solenoids, _)) => (
            Verdict::MustNot,
            "the surge of the coils pulls the logic's voltage down, and the servos jump; the voltages differ too",
            "seen in the trade: logic at 3 V on a supply of 16 V when all started",
        ),
        (Feeding::Drives(SlowMotion, _), Feeding::Drives(Servos, _)) => (
            Verdict::WithCare,
            "only through a regulator of their own for the servos, rated for their stall: the voltages differ",
            "common practice, no source",
        ),
        _ => (Verdict::May, "one kind of drive, one supply for the sum of both", "addition"),
    }
}

fn between_supplies(document: &Document, plan: &Plan) -> Vec<Sharing> {
    let mut rows = vec![
        Sharing {
            one: "output of one supply",
            other: "output of another, in parallel or in series",
            verdict: Verdict::MustNot,
            why: "unplug one, and its mains plug is live from the other, backwards through the transformer",
            source: NEM_609,
        },
        Sharing {
            one: "return of one supply",
            other: "return of another, as one wire",
            verdict: Verdict::WithCare,
            why: "only between isolated outputs, joined at one point, the wire sized for the sum of the currents; \
                  the book does not do it",
            source: SEEN,
        },
    ];
    if plan.uses.iter().any(|u| u.supply.kind == SupplyKind::SplitDc) {
        rows.push(Sharing {
            one: "one half of a split supply",
            other: "the other half",
            verdict: Verdict::May,
            why: "they are made for it: two isolated outputs in one case, joined in the middle by its maker, not \
                  by you",
            source: NEM_609,
        });
    }
    if document.track_power.cabs > 1 {
        rows.push(Sharing {
            one: "one controller",
            other: "another, from the same winding",
            verdict: Verdict::MustNot,
            why: "with one in each direction and a common rail they short each other: each needs an isolated \
                  winding",
            source: SEEN,
        });
    }
    if plan.uses.iter().any(|u| u.kind == SupplyUse::Servos) {
        rows.push(Sharing {
            one: "servo controller or decoder",
            other: "an unregulated supply",
            verdict: Verdict::WithCare,
            why: "without load it gives 20 to 40 % more than its plate says, and the module is gone at once: measure \
                  first, or regulate",
            source: "seen in the trade; percentage a judgement",
        });
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use SupplyKind::{Ac, Dc, SplitDc};
    use SupplyUse::{Servos, SlowMotion, Solenoids};

    /// Published warnings: accessories off the district they clear, surges and logic apart (trade pages
    /// and club norms), outputs isolated (NEM 609).
    #[test]
    fn what_must_not_share() {
        let verdict = |a, b| rule(a, b).0;
        for drives in
            [Feeding::Drives(Solenoids, Ac), Feeding::Drives(SlowMotion, Dc), Feeding::Drives(Servos, Dc)]
        {
            for control in [TrainControl::Dc, TrainControl::Dcc] {
                assert_eq!(verdict(drives, Feeding::Track(control)), Verdict::MustNot);
            }
        }
        assert_eq!(verdict(Feeding::Drives(Solenoids, Ac), Feeding::Drives(Servos, Dc)), Verdict::MustNot);
        assert_eq!(verdict(Feeding::Drives(Solenoids, Dc), Feeding::Drives(Servos, Dc)), Verdict::MustNot);
        assert_eq!(
            verdict(Feeding::Drives(Solenoids, Ac), Feeding::Drives(SlowMotion, Dc)),
            Verdict::MustNot
        );
        assert_eq!(
            verdict(Feeding::Drives(Solenoids, Dc), Feeding::Drives(SlowMotion, SplitDc)),
            Verdict::MustNot
        );
        assert_eq!(
            verdict(Feeding::Drives(SlowMotion, SplitDc), Feeding::Drives(Servos, Dc)),
            Verdict::MustNot
        );
        assert_eq!(
            verdict(Feeding::Drives(Solenoids, Dc), Feeding::Drives(SlowMotion, Dc)),
            Verdict::WithCare
        );
        assert_eq!(verdict(Feeding::Drives(SlowMotion, Dc), Feeding::Drives(Servos, Dc)), Verdict::WithCare);
    }
}
