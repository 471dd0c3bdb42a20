//! Oval, figure of eight, triangle and the like: sound in both opinions, with as many reversing
//! sections as books say.

#[path = "support/grow.rs"]
#[allow(dead_code)]
mod grow;
#[path = "support/plane.rs"]
#[allow(dead_code)]
mod plane;
#[path = "support/shapes.rs"]
mod shapes;
#[path = "support/spoil.rs"]
#[allow(dead_code)]
mod spoil;

use underboard::proof::prove;
use underboard::source::SourceFile;

#[test]
fn every_classic_shape_is_sound() {
    for shape in shapes::ALL {
        for control in shapes::CONTROLS {
            for frog in shapes::FROGS {
                let text = shape.text(control, frog);
                let (design, found) = underboard::design(&SourceFile::new(shape.name, text.as_str()));
                let d = design.unwrap_or_else(|| panic!("{found:#?}\n{text}"));
                let of = format!("{}, {control}, {frog}", shape.name);
                assert_eq!(d.rails.reversing.len(), shape.reversing, "{of}");
                let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
                assert!(proof.sampled.is_empty(), "{of}");
                assert!(spoil::holds(&d, &proof), "{of}: {:#?}", proof.faults);
                let verdict = plane::judge(&d);
                assert_eq!(verdict.misused.is_empty(), proof.misused.is_empty(), "{of}");
                assert!(verdict.fine(), "{of}: {verdict:#?}");
            }
        }
    }
}
