//! One mistake at a time in every example and every classic shape: two wires of a contact swapped, an
//! insulated joint left out, a dropper reversed. The proof must see it and name what was done.

#[path = "support/grow.rs"]
#[allow(dead_code)]
mod grow;
#[path = "support/plane.rs"]
#[allow(dead_code)]
mod plane;
#[path = "support/shapes.rs"]
#[allow(dead_code)]
mod shapes;
#[path = "support/spoil.rs"]
mod spoil;

use spoil::Mistake;
use underboard::Design;
use underboard::drives::{Changeover, Decider, Feeds};
use underboard::parse::FrogKind;
use underboard::proof::{Culprit, Fault, RailProof, Via, prove};
use underboard::source::SourceFile;
use underboard::track::{FrogId, RailPlace};

fn design(name: &str, text: &str) -> Design {
    let (design, found) = underboard::design(&SourceFile::new(name, text));
    design.unwrap_or_else(|| panic!("{name}: {found:#?}"))
}

fn culprits(fault: &Fault) -> &[Culprit] {
    match fault {
        Fault::Short { culprits, .. }
        | Fault::WrongFeed { culprits, .. }
        | Fault::FrogWrong { culprits, .. }
        | Fault::Broken { culprits, .. } => culprits,
        Fault::Dead { .. } => &[],
    }
}

/// Whether a fault of the right sort names the mistake.
fn named(d: &Design, mistake: &Mistake, proof: &RailProof) -> bool {
    proof.faults.iter().any(|fault| {
        let mut blamed = culprits(fault).iter();
        match mistake {
            Mistake::Swapped { contact, .. } => {
                // Contacts of one part that share the wires are wrong together.
                let part = d.circuit.contacts[*contact].part;
                let of = |c: usize| c == *contact || d.circuit.contacts[c].part == part;
                matches!(fault, Fault::Short { .. } | Fault::FrogWrong { .. } | Fault::Broken { .. })
                    && blamed.any(|c| matches!(c, Culprit::Contact { contact, .. } if of(*contact)))
            }
            Mistake::DropperReversed(wire) => {
                matches!(fault, Fault::Short { .. } | Fault::WrongFeed { .. } | Fault::Broken { .. })
                    && blamed.any(|c| matches!(c, Culprit::Dropper { pin, .. } if pin == wire))
            }
            Mistake::JointLeftOut(joint) => {
                let joint = &d.rails.joints[*joint];
                let sides = [joint.inside, joint.outside];
                let Fault::Short { path, .. } = fault else { return false };
                blamed.any(|c| matches!(c, Culprit::Metal { a, b } if sides == [*a, *b] || sides == [*b, *a]))
                    && path.iter().any(|s| s.via == Some(Via::Metal))
            }
        }
    })
}

/// Mistakes that do no harm, each with the rule that says so.
fn harmless(d: &Design, mistake: &Mistake) -> Option<&'static str> {
    let Mistake::JointLeftOut(joint) = mistake else { return None };
    let joint = &d.rails.joints[*joint];
    let (inside, outside) = (&d.rails[joint.inside], &d.rails[joint.outside]);
    // What feeds either side: the turnout's own bar gives both the same in both positions.
    let section = |zone| {
        d.plan.changeovers.iter().filter(move |c| matches!(c.feeds, Feeds::Zone(pole) if pole.zone == zone))
    };
    let follows = |c: &Changeover| match c.decider {
        Decider::Bar(bar) => d.document[bar].turnout == joint.turnout,
        Decider::Selector(_) => false,
    };
    let loops = section(outside.zone)
        .find(|c| follows(c) && matches!(c.feeds, Feeds::Zone(pole) if Some(pole) == outside.pole))?;
    match d.rails.frogs.iter().position(|f| f.rail == joint.inside) {
        Some(frog) => d
            .plan
            .changeovers
            .iter()
            .any(|c| {
                let own = matches!(&c.feeds, Feeds::Frogs(frogs) if frogs.contains(&FrogId(frog)));
                own && c.decider == loops.decider && c.at == loops.at
            })
            .then_some("the frog and this rail of the section follow the same bar to the same feeds"),
        // Behind an insulated frog the rail begins with a blade, which parts when the road is not set.
        None => (matches!(inside.place, RailPlace::Inner(..))
            && *d.document[joint.turnout].frog == FrogKind::Insulated)
            .then_some("the blade of this road and the section follow the same bar to the same feed"),
    }
}

/// Tries everything that can be done wrong; returns how many mistakes that were.
fn try_all(name: &str, d: &Design) -> usize {
    let mistakes = spoil::all(d);
    let mut wrong = Vec::new();
    for mistake in &mistakes {
        let mut spoilt = d.clone();
        spoil::spoil(&mut spoilt, mistake);
        let proof = prove(&spoilt.document, &spoilt.rails, &spoilt.plan, &spoilt.circuit);
        let verdict = plane::judge(&spoilt);
        let words = spoil::words(d, mistake);
        // A module whose inputs are swapped finds the right polarity all the same.
        let suits_itself = spoil::inputs_of_a_module(d, mistake);
        match harmless(d, mistake) {
            Some(why) if !verdict.fine() || !spoil::holds(d, &proof) => {
                wrong.push(format!("{words}: not harmless, although {why}; {verdict:?} {:#?}", proof.faults));
            }
            Some(_) => {}
            None if spoil::holds(d, &proof) => wrong.push(format!("{words}: the proof holds; {verdict:?}")),
            None if verdict.fine() && !suits_itself => {
                wrong.push(format!("{words}: the wheels run; {:#?}", proof.faults));
            }
            None if !named(d, mistake, &proof) => {
                wrong.push(format!("{words}: not named by {:#?}", proof.faults));
            }
            None => {}
        }
    }
    assert!(wrong.is_empty(), "{name}: {} of {} mistakes\n{}", wrong.len(), mistakes.len(), wrong.join("\n"));
    mistakes.len()
}

#[test]
fn every_mistake_in_every_example() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let mut tried = 0;
    for path in paths.iter().map(|p| p.join("layout.toml")).filter(|p| p.exists()) {
        let name = path.display().to_string();
        tried += try_all(&name, &design(&name, &std::fs::read_to_string(&path).unwrap()));
    }
    assert!(tried > 200, "only {tried}");
}

#[test]
fn every_mistake_in_every_classic_shape() {
    let mut failed = Vec::new();
    for shape in shapes::ALL {
        for control in shapes::CONTROLS {
            for frog in shapes::FROGS {
                let name = format!("{}, {control}, {frog}", shape.name);
                let d = design(&name, &shape.text(control, frog));
                if let Err(e) = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| try_all(&name, &d)))
                {
                    failed.push(e.downcast_ref::<String>().cloned().unwrap_or_default());
                }
            }
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
