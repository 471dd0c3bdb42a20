//! Insulated joints: where the rails are cut.

use super::{Table, text};
use crate::Design;
use crate::parse::{Port, Word};

/// One insulated joint.
#[derive(Clone, Debug, PartialEq)]
pub struct JointRow {
    /// J1, J2 …
    pub number: String,
    pub turnout: String,
    pub end: Port,
    /// The rail cut off from the turnout: "loop-front left rail".
    pub rail: String,
    /// "left": which rail it is, looking out of the turnout at that end.
    pub side: &'static str,
    pub reason: String,
}

pub fn rows(design: &Design) -> Vec<JointRow> {
    let joints = design.rails.joints.iter().enumerate();
    joints
        .map(|(i, j)| JointRow {
            number: format!("J{}", i + 1),
            turnout: design.document[j.turnout].name.value.clone(),
            end: j.port,
            rail: design.rails.rails[j.outside.0].name.clone(),
            side: j.side.word(),
            reason: j.reason.clone(),
        })
        .collect()
}

pub fn table(design: &Design) -> Table {
    let rows = rows(design)
        .into_iter()
        .map(|r| vec![r.number, r.turnout, r.end.word().into(), r.side.into(), r.rail, r.reason])
        .collect();
    Table {
        slug: "joints",
        title: "Insulated joints",
        note: "Left and right are seen looking out of the turnout at the end named. Of a diamond or slip, ends a and c \
               lie together, a left of c looking towards b and d; roads a-b and c-d lead straight across.",
        columns: vec![
            text("Joint"),
            text("Turnout"),
            text("End"),
            text("Side"),
            text("Rail beyond"),
            text("Reason"),
        ],
        rows,
    }
}
