//! Rigs for the rules of the group injector.

use super::{Case, SOAK};

const FULL: &str = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "INJ001",
        trips: &[],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"3.0 bar(g)\"\nring",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ002",
        trips: &[],
        // 14 holes of 0.502 mm, and there is a drill of 0.50 mm
        just_not: &[("holes = 16", "holes = 14")],
    },
    Case {
        rig: SOAK,
        rule: "INJ003",
        // n-butane at 2 bar(a) condenses at 18.8 °C
        trips: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"21 degC\"",
            ),
        ],
        just_not: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"25 degC\"",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "INJ004",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"0.15 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"0.30 mm\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ005",
        trips: &[],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"0.6 bar(g)\"\nring",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ006",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"1.8 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"1.6 mm\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ007",
        trips: &[("tube_bore = \"6 mm\"", "tube_bore = \"1.1 mm\"")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "INJ008",
        trips: &[("heat_release = \"32 kW\"", "heat_release = \"5.5 kW\"")],
        just_not: &[("heat_release = \"32 kW\"", "heat_release = \"6.0 kW\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ009",
        // the duty `soak` needs 0.29 bar(g)
        trips: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.37 bar(g)\"",
        )],
        just_not: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.33 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ010",
        trips: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.75",
        )],
        just_not: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.60",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ011",
        trips: &[(
            "edge = \"sharp\"",
            "edge = \"sharp\"\ntemperature = \"14 degC\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "INJ012",
        // n-butane is liquid at 9 bar(g) and 12 °C, and the tank gives vapour
        trips: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "pressure = \"1.0 bar(g)\"\nring",
                "pressure = \"9.0 bar(g)\"\nring",
            ),
        ],
        just_not: &[],
    },
];
