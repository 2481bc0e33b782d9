//! Generic parts by size: what a part without a data sheet is taken to be.
//!
//! The table is `catalogue.toml`, in the keys and units of a rig file. Every value names its basis: a
//! source, or our choice and why.

use crate::quantity::FlowCoefficient;
use crate::quantity::parse::parse;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

const TEXT: &str = include_str!("catalogue.toml");

/// A generic part.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GenericPart {
    /// Name, by which a rig file asks for it.
    pub name: String,
    /// Kind of part.
    pub kind: String,
    /// What it is, in a few words.
    pub about: String,
    /// Values by the keys of a rig file.
    pub values: toml::Table,
    /// Basis of each value: a source key and what was done with it, or `choice: why`.
    pub basis: BTreeMap<String, String>,
}

impl GenericPart {
    /// Flow coefficient when open, where it has one.
    pub fn flow_coefficient(&self) -> Option<FlowCoefficient> {
        parse(self.values.get("flow_coefficient")?.as_str()?).ok()
    }
    /// The values as lines of a rig file.
    pub fn lines(&self) -> String {
        self.values.to_string()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    part: Vec<GenericPart>,
}

/// All generic parts, in the order of the table.
///
/// # Panics
/// Never: the table is part of the program, and a test reads it.
pub fn generic_parts() -> &'static [GenericPart] {
    static PARTS: OnceLock<Vec<GenericPart>> = OnceLock::new();
    PARTS.get_or_init(|| {
        toml::from_str::<File>(TEXT)
            .expect("the catalogue is read by a test")
            .part
    })
}

/// The generic part of this name.
pub fn generic_part(name: &str) -> Option<&'static GenericPart> {
    generic_parts().iter().find(|p| p.name == name)
}

/// Generic metering valves by rising flow coefficient.
pub fn metering_valves() -> Vec<(&'static GenericPart, FlowCoefficient)> {
    let mut all: Vec<_> = generic_parts()
        .iter()
        .filter(|p| p.kind == "metering-valve")
        .filter_map(|p| Some((p, p.flow_coefficient()?)))
        .collect();
    all.sort_by(|a, b| a.1.kv().total_cmp(&b.1.kv()));
    all
}

/// A generic valve with its full-open coefficient.
pub type GenericSize = (&'static GenericPart, FlowCoefficient);

/// The generic metering valves next below and next above a flow coefficient.
pub fn neighbours(full_open: FlowCoefficient) -> (Option<GenericSize>, Option<GenericSize>) {
    let all = metering_valves();
    let own = full_open.kv();
    (
        all.iter()
            .rev()
            .find(|(_, k)| k.kv() < own * (1.0 - 1e-6))
            .copied(),
        all.iter()
            .find(|(_, k)| k.kv() > own * (1.0 + 1e-6))
            .copied(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::fittings::{Tp410Fitting, kv_of_loss, tp410};
    use crate::flow::friction::darcy_factor;
    use crate::fuel::Library;
    use crate::quantity::{Length, metres};
    use crate::train::{JointKind, Material};
    use std::collections::BTreeSet;

    #[test]
    fn every_value_of_every_part_has_a_basis_that_exists() {
        let library = Library::embedded();
        let mut names = BTreeSet::new();
        for part in generic_parts() {
            assert!(names.insert(&part.name), "{} twice", part.name);
            let keys: BTreeSet<&String> = part.values.keys().collect();
            let based: BTreeSet<&String> = part.basis.keys().collect();
            assert_eq!(keys, based, "{}", part.name);
            for (key, basis) in &part.basis {
                let word = basis.split([':', ' ']).next().unwrap_or_default();
                assert!(
                    word == "choice" || library.source(word).is_some(),
                    "{} {key}: {basis}",
                    part.name
                );
                assert!(
                    word != "choice" || basis.len() > 12,
                    "{} {key}: why?",
                    part.name
                );
            }
        }
        assert!(names.len() > 60);
    }

    #[test]
    fn materials_and_joints_are_words_of_the_rig_file() {
        for part in generic_parts() {
            if let Some(wetted) = part.values.get("wetted").and_then(|w| w.as_array()) {
                for m in wetted {
                    let word = m.as_str().expect("a word");
                    assert!(Material::from_name(word).is_some(), "{}: {word}", part.name);
                }
            }
            if let Some(joints) = part.values.get("joints").and_then(|j| j.as_table()) {
                for word in joints.keys() {
                    assert!(
                        JointKind::from_name(word).is_some(),
                        "{}: {word}",
                        part.name
                    );
                }
            }
        }
    }

    #[test]
    fn flow_coefficients_follow_from_the_formula_they_name() {
        // TP-410: K as a multiple of the friction factor of clean steel (0.0018 in) in the rough region
        for (prefix, fitting) in [
            ("ball-valve", Tp410Fitting::BallValve),
            ("solenoid-valve", Tp410Fitting::GlobeValve),
            ("check-valve", Tp410Fitting::LiftCheckValve),
        ] {
            let parts = generic_parts()
                .iter()
                .filter(|p| p.name.starts_with(prefix));
            let mut n = 0;
            for part in parts {
                let bore: Length =
                    parse(part.values["bore"].as_str().expect("text")).expect("a length");
                let f = darcy_factor(1e9, 4.572e-5 / bore.value);
                let want = kv_of_loss(tp410(fitting, f), metres(bore.value)).kv();
                let got = part.flow_coefficient().expect("has one").kv();
                // three digits are written
                assert!(
                    (got / want - 1.0).abs() < 6e-3,
                    "{}: {got} {want}",
                    part.name
                );
                n += 1;
            }
            assert!(n >= 4, "{prefix}");
        }
    }

    #[test]
    fn copper_ratings_follow_from_the_pipe_formula() {
        // ASME B31 with C = 0, P = 2 S t/(D - 0.8 t); checked against WE-44 (1406 psi at 6000 psi stress)
        let psi = |s: f64, t: f64, d: f64| 2.0 * s * t / (d - 0.8 * t);
        assert!((psi(6000.0, 0.027, 0.252) - 1406.0).abs() < 1.0);
        let tube = generic_part("tube-8x1-copper").expect("there");
        let text = tube.values["max_pressure"].as_str().expect("text");
        let bar: f64 = text.trim_end_matches(" bar(g)").parse().expect("a number");
        assert!(
            (bar / (psi(33.8e6, 0.9, 8.0) / 1e5) - 1.0).abs() < 5e-3,
            "{bar}"
        );
    }

    #[test]
    fn neighbours_bracket_a_valve() {
        let (below, above) = neighbours(FlowCoefficient::from_kv(0.12));
        assert_eq!(below.expect("there").0.name, "metering-valve-kv0.1");
        assert_eq!(above.expect("there").0.name, "metering-valve-kv0.16");
        assert!(neighbours(FlowCoefficient::from_kv(0.0016)).0.is_none());
        assert!(neighbours(FlowCoefficient::from_kv(1.0)).1.is_none());
    }
}
