//! The current that a wire carries for good, as far as it is known.

use super::View;
use crate::circuit::{NetId, NetKind, PartId, PartKind};
use crate::drives::WireClass;
use crate::hardware::Wire;
use crate::parse::{ControlKind, DriveModel, SupplyUse};
use crate::proof::sides;
use crate::units::Amps;
use petgraph::unionfind::UnionFind;

/// Which kind of drive each net serves: that of the drives it leads to. `None` for nets of the
/// track, and where nothing is known.
pub(super) fn uses(view: &View) -> Vec<Option<SupplyUse>> {
    let circuit = view.circuit;
    let mut sets = UnionFind::<usize>::new(circuit.nets.len());
    let mut studs: Option<NetId> = None;
    for (_, part) in circuit.parts() {
        let touched = part.kind == PartKind::Probe
            || matches!(part.kind, PartKind::Control { kind: ControlKind::StudsAndProbe, .. });
        for (i, pin) in part.pins.iter().enumerate() {
            let Some(net) = pin.net else { continue };
            if touched {
                sets.union(net.0, studs.get_or_insert(net).0);
            }
            for (j, other) in part.pins.iter().enumerate().skip(i + 1) {
                let own = sides::group(part, i);
                if let (true, Some(other)) = (own.is_some() && own == sides::group(part, j), other.net) {
                    sets.union(net.0, other.0);
                }
            }
        }
    }
    let label = sets.into_labeling();
    let mut use_of: Vec<Option<SupplyUse>> = vec![None; circuit.nets.len()];
    for (part, _) in circuit.parts() {
        let Some((use_kind, net)) = drive_use(view, part) else { continue };
        use_of[label[net.0]] = Some(use_kind);
    }
    (0..circuit.nets.len()).map(|n| use_of[label[n]].filter(|_| !circuit.is_track_side(NetId(n)))).collect()
}

fn drive_use(view: &View, part: PartId) -> Option<(SupplyUse, NetId)> {
    let PartKind::Drive { bar, .. } = view.circuit[part].kind else { return None };
    let use_plan = view.plan.uses.iter().find(|u| u.members.contains(&bar))?;
    let coil = view.circuit[part].pins.iter().find(|p| !p.is_contact())?;
    Some((use_plan.kind, coil.net?))
}

/// What the wire carries for good; `None` where that is nothing worth a thought, or not known.
/// Pulses into coils do not count: they are over before a wire grows warm.
pub(super) fn lasting(view: &View, use_kind: Option<SupplyUse>, wire: &Wire) -> Option<Amps> {
    let net = &view.circuit[wire.net];
    match (net.kind, use_kind?) {
        (NetKind::Signal | NetKind::Input | NetKind::Data(_), _) => None,
        (kind, SupplyUse::Solenoids) => {
            let sizing = view.sizing.solenoids.as_ref()?;
            match kind {
                // The fuse lets no more than this pass for good.
                NetKind::AcSupply | NetKind::SupplyPositive => Some(sizing.fuse),
                _ => sizing.bank.as_ref().map(|bank| bank.stuck),
            }
        }
        (NetKind::MotorLine, SupplyUse::SlowMotion) => {
            Some(net.pins.iter().map(|p| stall(view, p.part)).sum())
        }
        (_, SupplyUse::SlowMotion) => view.sizing.slow_motion.as_ref().map(|s| s.standing),
        (NetKind::ServoPositive | NetKind::ServoReturn, SupplyUse::Servos) => {
            if wire.class == WireClass::ServoLead {
                Some(net.pins.iter().map(|p| stall(view, p.part)).sum())
            } else {
                view.sizing.servos.as_ref().map(|s| s.worst)
            }
        }
        (_, SupplyUse::Servos) => None,
    }
}

fn stall(view: &View, part: PartId) -> Amps {
    let PartKind::Drive { bar, .. } = view.circuit[part].kind else { return Amps::new(0.0) };
    match &view.document.drive_of(bar).model {
        DriveModel::SlowMotion(m) => m.stall,
        DriveModel::Servo(s) => s.stall,
        DriveModel::Solenoid(_) => Amps::new(0.0),
    }
}
