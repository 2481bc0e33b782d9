//! Rigs for the rules of the group leak.

use super::{Case, FROST, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "LEK001",
        // accepted 21.7 mbar, band 6.0 mbar, and 1.4 mbar are the cooling
        trips: &[("drop = \"3 mbar\"", "drop = \"30 mbar\"")],
        just_not: &[("drop = \"3 mbar\"", "drop = \"28 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK002",
        trips: &[("drop = \"3 mbar\"", "drop = \"17.5 mbar\"")],
        just_not: &[("drop = \"3 mbar\"", "drop = \"16.5 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK003",
        // the gauge is made for 6 bar(g)
        trips: &[("\npressure = \"3.0 bar(g)\"", "\npressure = \"6.1 bar(g)\"")],
        just_not: &[("\npressure = \"3.0 bar(g)\"", "\npressure = \"5.9 bar(g)\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK004",
        // propane at 12 °C: 5.76 bar(g)
        trips: &[],
        just_not: &[("\npressure = \"3.0 bar(g)\"", "\npressure = \"5.8 bar(g)\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK005",
        trips: &[("gas = \"nitrogen\"", "gas = \"oxygen\"")],
        just_not: &[("gas = \"nitrogen\"", "gas = \"dry air\"")],
    },
    Case {
        rig: FROST,
        rule: "LEK006",
        // a clip at tank pressure, and one behind the regulator
        trips: &[("{ hose-crimp = 2 }", "{ hose-clip = 2 }")],
        just_not: &[(
            "loss_coefficient = 3.0\njoints = { compression = 4 }",
            "loss_coefficient = 3.0\njoints = { hose-clip = 4 }",
        )],
    },
    Case {
        rig: SOAK,
        rule: "LEK007",
        trips: &[("joints = { compression = 1 }\n", "")],
        just_not: &[],
    },
];
