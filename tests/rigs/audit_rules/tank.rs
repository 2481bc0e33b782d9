//! Rigs for the rules of the group tank.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "TNK001",
        trips: &[("position = \"upright\"", "position = \"lying\"")],
        just_not: &[
            ("position = \"upright\"", "position = \"lying\""),
            ("draw = \"vapour\"", "draw = \"liquid\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "TNK002",
        // 42 % of the water weight of 108 L is 45.3 kg; a scale is given a hundredth
        trips: &[("fuel_mass = \"38 kg\"", "fuel_mass = \"45.8 kg\"")],
        just_not: &[("fuel_mass = \"38 kg\"", "fuel_mass = \"45.7 kg\"")],
    },
    Case {
        rig: SOAK,
        rule: "TNK003",
        // 45.5 kg in 108 L, within its limit: saturated propane has these 421.3 kg/m3 at 62.9 degC
        trips: &[
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"45.5 kg\""),
            ("hottest = \"33 degC\"", "hottest = \"43 degC\""),
        ],
        just_not: &[
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"45.5 kg\""),
            ("hottest = \"33 degC\"", "hottest = \"42 degC\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "TNK004",
        // propane at 33 degC: 11.62 bar(a), the air has 0.97
        trips: &[("rating = \"30 bar(g)\"", "rating = \"10.6 bar(g)\"")],
        just_not: &[("rating = \"30 bar(g)\"", "rating = \"10.7 bar(g)\"")],
    },
    Case {
        rig: SOAK,
        rule: "TNK005",
        trips: &[(
            "relief_pressure = \"26 bar(g)\"",
            "relief_pressure = \"10.6 bar(g)\"",
        )],
        just_not: &[(
            "relief_pressure = \"26 bar(g)\"",
            "relief_pressure = \"10.7 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TNK006",
        trips: &[(
            "relief_pressure = \"26 bar(g)\"",
            "relief_pressure = \"30.1 bar(g)\"",
        )],
        just_not: &[(
            "relief_pressure = \"26 bar(g)\"",
            "relief_pressure = \"30 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TNK007",
        // within its limit, and warm
        trips: &[
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"45.5 kg\""),
            (
                "temperature = \"12 degC\"\nwall",
                "temperature = \"36 degC\"\nwall",
            ),
        ],
        just_not: &[
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"45.5 kg\""),
            (
                "temperature = \"12 degC\"\nwall",
                "temperature = \"35 degC\"\nwall",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "TNK008",
        trips: &[(
            "diameter = \"375 mm\"\nlength = \"1290 mm\"\n",
            "conductance = \"12 W/K\"\n",
        )],
        just_not: &[(
            "diameter = \"375 mm\"\nlength = \"1290 mm\"\n",
            "conductance = \"13 W/K\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TNK009",
        trips: &[("hottest = \"33 degC\"", "hottest = \"51 degC\"")],
        just_not: &[("hottest = \"33 degC\"", "hottest = \"49 degC\"")],
    },
    Case {
        rig: SOAK,
        rule: "TNK010",
        // n-butane boils at -0.5 degC at sea level
        trips: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "temperature = \"12 degC\"\nwall",
                "temperature = \"-1.6 degC\"\nwall",
            ),
        ],
        // and a bar at -1.6 degC at the 0.973 bar of the site
        just_not: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "temperature = \"12 degC\"\nwall",
                "temperature = \"-1.5 degC\"\nwall",
            ),
        ],
    },
];
