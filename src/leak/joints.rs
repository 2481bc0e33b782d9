//! Joint inventory: every joint of a train with its pressure, in the order to soap them.

use crate::quantity::AbsolutePressure;
use crate::train::ways::at_rest;
use crate::train::{JointKind, Part, Train};

/// Joints of one kind that a part brings.
#[derive(Debug, Clone, PartialEq)]
pub struct JointRow {
    /// Part that brings them.
    pub part: String,
    /// Kind.
    pub kind: JointKind,
    /// Number, over all parts alike of several tanks.
    pub count: u32,
    /// Pressure before the part with the flow stopped: the joint may see it.
    pub pressure: AbsolutePressure,
    /// How readily such a joint leaks, 1 seldom to 5 often.
    pub readiness: u8,
    /// Leak class as the part's maker states it.
    pub leak_class: Option<String>,
}

/// How readily a joint of a kind leaks, 1 seldom to 5 often.
///
/// Our choice, by what loosens a joint: a clip that relaxes, a seal that moves or is coupled often, a
/// thread whose sealant decides, a joint made with a spanner, a joint made with heat. There is no count of
/// leaks behind it.
pub fn readiness(kind: JointKind) -> u8 {
    match kind {
        JointKind::HoseClip | JointKind::QuickCoupling => 5,
        JointKind::StemSeal | JointKind::Cylinder => 4,
        JointKind::TaperThread | JointKind::ParallelThread | JointKind::Flange => 3,
        JointKind::Flare | JointKind::Compression | JointKind::ORing | JointKind::HoseCrimp => 2,
        JointKind::Brazed | JointKind::Welded => 1,
    }
}

/// Every joint of a train, in the order to soap them: readiness to leak times gauge pressure, largest
/// first; joints alike in both stand in the order of the train.
///
/// * `supply` — pressure of tank or main
/// * `ambient` — air pressure
///
/// **Valid:** counts are those of the parts' data; a part that names no joints brings none.
/// **Source:** our choice of order; [`at_rest`] for the pressures.
pub fn inventory(
    train: &Train,
    supply: AbsolutePressure,
    ambient: AbsolutePressure,
) -> Vec<JointRow> {
    let mut rows: Vec<JointRow> = at_rest(train, supply, Part::holds)
        .into_iter()
        .flat_map(|rest| {
            let part = rest.part;
            part.joints
                .iter()
                .filter(|j| j.count > 0)
                .map(move |joints| JointRow {
                    part: part.name.clone(),
                    kind: joints.kind,
                    count: joints.count * rest.copies,
                    pressure: rest.inlet,
                    readiness: readiness(joints.kind),
                    leak_class: part.closure.as_ref().and_then(|c| c.leak_class.clone()),
                })
                .collect::<Vec<_>>()
        })
        .collect();
    let urgency =
        |r: &JointRow| f64::from(r.readiness) * (r.pressure.pascals() - ambient.pascals());
    // stable: joints alike stay in the order of the train
    rows.sort_by(|a, b| urgency(b).total_cmp(&urgency(a)));
    rows
}

/// Number of joints by kind, the most first.
pub fn by_kind(rows: &[JointRow]) -> Vec<(JointKind, u32)> {
    let mut counts: Vec<(JointKind, u32)> = Vec::new();
    for row in rows {
        match counts.iter_mut().find(|(kind, _)| *kind == row.kind) {
            Some((_, n)) => *n += row.count,
            None => counts.push((row.kind, row.count)),
        }
    }
    counts.sort_by_key(|(kind, n)| (std::cmp::Reverse(*n), *kind));
    counts
}
