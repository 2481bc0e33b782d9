//! Rigs for the rules of the group values.

use super::{Case, KILN, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "VAL001",
        trips: &[("can_volume = \"2.6 L\"", "can_volume = \"19 mL\"")],
        just_not: &[("can_volume = \"2.6 L\"", "can_volume = \"20 mL\"")],
    },
    Case {
        rig: SOAK,
        rule: "VAL001",
        trips: &[("supply_effect = 0.01", "supply_effect = 0.31")],
        just_not: &[("supply_effect = 0.01", "supply_effect = 0.3")],
    },
    // the hose and the regulator behind it: of other parts 250 bar is nothing unusual
    Case {
        rig: SOAK,
        rule: "VAL001",
        trips: &[("\"20 bar(g)\"", "\"251 bar(g)\"")],
        just_not: &[("\"20 bar(g)\"", "\"250 bar(g)\"")],
    },
    Case {
        rig: KILN,
        rule: "VAL001",
        trips: &[("[air]\n", "[air]\ninlet_temperature = \"61 degC\"\n")],
        just_not: &[("[air]\n", "[air]\ninlet_temperature = \"60 degC\"\n")],
    },
    // the standard atmosphere has 973 mbar at 340 m; 4 % less are 934 mbar
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[("altitude", "air_pressure = \"933 mbar(a)\"\naltitude")],
        just_not: &[("altitude", "air_pressure = \"936 mbar(a)\"\naltitude")],
    },
    // 1.74 m2 of tank at 60 W/(m2 K)
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[(
            "position = \"upright\"",
            "conductance = \"105 W/K\"\nposition = \"upright\"",
        )],
        just_not: &[(
            "position = \"upright\"",
            "conductance = \"104 W/K\"\nposition = \"upright\"",
        )],
    },
    // 355 MPa = 3 MPa x 375 mm / (2 t), t = m / (7850 kg/m3 x 1.74 m2)
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[("wall_mass = \"33 kg\"", "wall_mass = \"21.6 kg\"")],
        just_not: &[("wall_mass = \"33 kg\"", "wall_mass = \"21.7 kg\"")],
    },
    // 355 MPa = 2 x 7850 kg/m3 x 3 MPa x 108 L / m
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[
            ("wall_mass = \"33 kg\"", "wall_mass = \"14.3 kg\""),
            ("diameter = \"375 mm\"\nlength = \"1290 mm\"\n", ""),
        ],
        just_not: &[
            ("wall_mass = \"33 kg\"", "wall_mass = \"14.4 kg\""),
            ("diameter = \"375 mm\"\nlength = \"1290 mm\"\n", ""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[(
            "position = \"upright\"",
            "wall_thickness = \"38 mm\"\nposition = \"upright\"",
        )],
        just_not: &[(
            "position = \"upright\"",
            "wall_thickness = \"37 mm\"\nposition = \"upright\"",
        )],
    },
    Case {
        rig: KILN,
        rule: "VAL002",
        trips: &[("purge_air_flow = \"12 g/s\"", "purge_air_flow = \"17 g/s\"")],
        just_not: &[(
            "purge_air_flow = \"12 g/s\"",
            "purge_air_flow = \"16.7 g/s\"",
        )],
    },
    // 283 mm of ring
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[
            ("holes = 16", "holes = 189"),
            ("sized_at = \"full\"", "hole_diameter = \"1 mm\""),
        ],
        just_not: &[
            ("holes = 16", "holes = 188"),
            ("sized_at = \"full\"", "hole_diameter = \"1 mm\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[
            ("holes = 16", "holes = 120"),
            ("sized_at = \"full\"", "hole_diameter = \"0.17 mm\""),
        ],
        just_not: &[
            ("holes = 16", "holes = 24"),
            ("sized_at = \"full\"", "hole_diameter = \"0.17 mm\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[("ignition = \"spark\"", "ignition = \"pilot\"")],
        just_not: &[("ignition = \"spark\"", "ignition = \"hot-surface\"")],
    },
    Case {
        rig: SOAK,
        rule: "VAL002",
        trips: &[
            ("\"ionisation\"", "\"thermocouple\""),
            ("failure_time = \"1 s\"", "failure_time = \"9.9 s\""),
        ],
        just_not: &[
            ("\"ionisation\"", "\"thermocouple\""),
            ("failure_time = \"1 s\"", "failure_time = \"10 s\""),
        ],
    },
    // 14 g/s of 1.18 kg/m3 in 2 ms
    Case {
        rig: KILN,
        rule: "VAL002",
        trips: &[("can_volume = \"1.2 L\"", "can_volume = \"23.6 mL\"")],
        just_not: &[("can_volume = \"1.2 L\"", "can_volume = \"23.8 mL\"")],
    },
    Case {
        rig: KILN,
        rule: "VAL002",
        trips: &[("air_passage = \"11 cm2\"", "air_passage = \"0.78 cm2\"")],
        just_not: &[("air_passage = \"11 cm2\"", "air_passage = \"0.80 cm2\"")],
    },
    // 160 m3
    Case {
        rig: KILN,
        rule: "VAL002",
        trips: &[("\"900 m3/h\"", "\"24100 m3/h\"")],
        just_not: &[("\"900 m3/h\"", "\"23900 m3/h\"")],
    },
];
