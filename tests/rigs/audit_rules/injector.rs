//! Rigs for the rules of the group injector.

use super::{Case, SOAK};

const FULL: &str = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";

/// Of the holes that are there, and of wider ones.
const TESTED: &str = "\n[[flow_test]]\ndate = 2026-03-20\ngas = \"nitrogen\"\nholes = 16\nhole_diameter = \"0.80 mm\"\nupstream = \"0.1 bar(g)\"\nflow = \"1 g/s\"\n\n[tank]\n";
const TESTED_WIDER: &str = "\n[[flow_test]]\ndate = 2026-03-20\ngas = \"nitrogen\"\nholes = 16\nhole_diameter = \"0.81 mm\"\nupstream = \"0.1 bar(g)\"\nflow = \"1 g/s\"\n\n[tank]\n";

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "INJ001",
        // 14.8 % of chamber pressure in `light-up`
        trips: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"2.3 bar(g)\"\nring",
        )],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"2.35 bar(g)\"\nring",
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
        // n-butane at 2 bar(a) condenses at 18.8 °C, less at the pressure of the site; 5 K are wanted
        trips: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"23 degC\"",
            ),
        ],
        just_not: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"23.5 degC\"",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "INJ004",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"0.20 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"0.25 mm\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ005",
        trips: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"0.77 bar(g)\"\nring",
        )],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"0.76 bar(g)\"\nring",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ006",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"1.75 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"1.70 mm\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ007",
        // 3.7 % between the holes, and less than the 3 % wanted
        trips: &[("tube_bore = \"6 mm\"", "tube_bore = \"1.4 mm\"")],
        just_not: &[("tube_bore = \"6 mm\"", "tube_bore = \"1.5 mm\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ008",
        trips: &[("heat_release = \"32 kW\"", "heat_release = \"5.7 kW\"")],
        just_not: &[("heat_release = \"32 kW\"", "heat_release = \"5.8 kW\"")],
    },
    Case {
        rig: SOAK,
        rule: "INJ009",
        // the duty `soak` needs 0.29 bar(g)
        trips: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.36 bar(g)\"",
        )],
        just_not: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.35 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ010",
        trips: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.73",
        )],
        just_not: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.71",
        )],
    },
    Case {
        rig: SOAK,
        rule: "INJ011",
        trips: &[(
            "edge = \"sharp\"",
            "edge = \"sharp\"\ntemperature = \"13.1 degC\"",
        )],
        just_not: &[(
            "edge = \"sharp\"",
            "edge = \"sharp\"\ntemperature = \"13 degC\"",
        )],
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
    Case {
        rig: SOAK,
        rule: "INJ013",
        trips: &[
            ("sized_at = \"full\"", "hole_diameter = \"0.80 mm\""),
            ("\n[tank]\n", TESTED_WIDER),
        ],
        just_not: &[
            ("sized_at = \"full\"", "hole_diameter = \"0.80 mm\""),
            ("\n[tank]\n", TESTED),
        ],
    },
];
