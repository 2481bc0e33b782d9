//! Joints: how parts are held together, and how many of them a part brings.

use crate::train::worded::{Worded, worded};

worded! {
    /// A kind of joint.
    #[derive(Hash, PartialOrd, Ord)]
    pub enum JointKind {
        /// Sealing taper thread (R/Rc or NPT).
        TaperThread = "taper-thread",
        /// Parallel thread sealed by a washer or bonded seal (G).
        ParallelThread = "parallel-thread",
        /// Flared tube, 45° or 37°.
        Flare = "flare",
        /// Twin-ferrule or olive compression.
        Compression = "compression",
        /// O-ring face or radial seal.
        ORing = "o-ring",
        /// Flange with gasket.
        Flange = "flange",
        /// Brazed.
        Brazed = "brazed",
        /// Welded.
        Welded = "welded",
        /// Push-on hose tail with clip.
        HoseClip = "hose-clip",
        /// Hose end crimped by a maker.
        HoseCrimp = "hose-crimp",
        /// Cylinder valve connection.
        Cylinder = "cylinder",
        /// Quick coupling.
        QuickCoupling = "quick-coupling",
        /// Stem or shaft seal of a valve or pump.
        StemSeal = "stem-seal",
    }
}

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
        Self::WORDS
            .iter()
            .find(|(k, _)| *k == self)
            .map_or("", |(_, n)| n)
    }
    /// From the word used in files.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::WORDS
            .iter()
            .find(|(_, n)| *n == name)
            .map(|(k, _)| *k)
    }
    /// All words.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Self::WORDS.iter().map(|(_, n)| *n)
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
