//! Rigs for the rules of the group mass.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "MAS001",
        // two gauges of 0.26 kg with the rest; valves, regulator and filter weigh 3.06 kg, the ring 0.05 kg
        trips: &[("mass = \"0.14 kg\"", "mass = \"3.00 kg\"")],
        just_not: &[("mass = \"0.14 kg\"", "mass = \"2.98 kg\"")],
    },
    Case {
        rig: SOAK,
        rule: "MAS002",
        // the train weighs 4.2 kg
        trips: &[("fuel_mass = \"38 kg\"", "fuel_mass = \"4.19 kg\"")],
        just_not: &[("fuel_mass = \"38 kg\"", "fuel_mass = \"4.21 kg\"")],
    },
    Case {
        rig: SOAK,
        rule: "MAS003",
        trips: &[("mass = \"0.55 kg\"\n", "")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "MAS004",
        // the others weigh 3.44 kg
        trips: &[("mass = \"0.71 kg\"", "mass = \"1.75 kg\"")],
        just_not: &[("mass = \"0.71 kg\"", "mass = \"1.70 kg\"")],
    },
    Case {
        rig: SOAK,
        rule: "MAS005",
        // 20 joints beside those, 12 parts
        trips: &[(
            "mass = \"0.55 kg\"\njoints = { compression = 2 }",
            "mass = \"0.55 kg\"\njoints = { compression = 17 }",
        )],
        just_not: &[(
            "mass = \"0.55 kg\"\njoints = { compression = 2 }",
            "mass = \"0.55 kg\"\njoints = { compression = 16 }",
        )],
    },
];
