//! Joints: how parts are held together, and how many of them a part brings.

/// A kind of joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum JointKind {
    /// Sealing taper thread (R/Rc or NPT).
    TaperThread,
    /// Parallel thread sealed by a washer or bonded seal (G).
    ParallelThread,
    /// Flared tube, 45° or 37°.
    Flare,
    /// Twin-ferrule or olive compression.
    Compression,
    /// O-ring face or radial seal.
    ORing,
    /// Flange with gasket.
    Flange,
    /// Brazed.
    Brazed,
    /// Welded.
    Welded,
    /// Push-on hose tail with clip.
    HoseClip,
    /// Hose end crimped by a maker.
    HoseCrimp,
    /// Cylinder valve connection.
    Cylinder,
    /// Quick coupling.
    QuickCoupling,
    /// Stem or shaft seal of a valve or pump.
    StemSeal,
}

const NAMED: [(JointKind, &str); 13] = [
    (JointKind::TaperThread, "taper-thread"),
    (JointKind::ParallelThread, "parallel-thread"),
    (JointKind::Flare, "flare"),
    (JointKind::Compression, "compression"),
    (JointKind::ORing, "o-ring"),
    (JointKind::Flange, "flange"),
    (JointKind::Brazed, "brazed"),
    (JointKind::Welded, "welded"),
    (JointKind::HoseClip, "hose-clip"),
    (JointKind::HoseCrimp, "hose-crimp"),
    (JointKind::Cylinder, "cylinder"),
    (JointKind::QuickCoupling, "quick-coupling"),
    (JointKind::StemSeal, "stem-seal"),
];

/// Most gauge pressure a hose held by a clip is for, Pa. Our choice: push-on ends are made for household pressures.
const CLIP_PA: f64 = 15_000.0;

impl JointKind {
    /// Gauge pressure above which no joint of the kind belongs, Pa, whatever the part it is on is rated for; `None`
    /// where the rating of the part tells.
    pub fn most_gauge_pa(self) -> Option<f64> {
        (self == Self::HoseClip).then_some(CLIP_PA)
    }
    /// The word used in files and tables.
    pub fn name(self) -> &'static str {
        NAMED
            .iter()
            .find(|(k, _)| *k == self)
            .map_or("", |(_, n)| n)
    }
    /// From the word used in files.
    pub fn from_name(name: &str) -> Option<Self> {
        NAMED.iter().find(|(_, n)| *n == name).map(|(k, _)| *k)
    }
    /// All words.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMED.iter().map(|(_, n)| *n)
    }
}

/// Some joints of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joints {
    /// Kind.
    pub kind: JointKind,
    /// Number. A joint between two parts is counted once, with the part downstream.
    pub count: u32,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_joint_kind_comes_back_from_its_name() {
        for name in JointKind::names() {
            assert_eq!(JointKind::from_name(name).expect("listed").name(), name);
        }
    }
}
