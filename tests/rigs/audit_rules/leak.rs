//! Rigs for the rules of the group leak.

use super::{Case, FROST, SOAK, SOAPED};

/// An excess-flow valve that the break of the pigtail does not close.
const OPEN_BREAK: (&str, &str) = ("closing_flow = \"12 kg/h\"", "closing_flow = \"1200 kg/h\"");

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "LEK001",
        // accepted 21.7 mbar, band 6.7 mbar, and 1.6 mbar are the cooling
        trips: &[("drop = \"3 mbar\"", "drop = \"31 mbar\"")],
        just_not: &[("drop = \"3 mbar\"", "drop = \"29 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK002",
        trips: &[("drop = \"3 mbar\"", "drop = \"17.5 mbar\"")],
        just_not: &[("drop = \"3 mbar\"", "drop = \"15.5 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK003",
        // the gauge is made for 6 bar(g)
        trips: &[("\npressure = \"3.5 bar(g)\"", "\npressure = \"6.1 bar(g)\"")],
        just_not: &[("\npressure = \"3.5 bar(g)\"", "\npressure = \"5.9 bar(g)\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK004",
        trips: &[(SOAPED, "")],
        just_not: &[],
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
    Case {
        rig: SOAK,
        rule: "LEK008",
        // the pigtail torn off: half the lower limit at 4.2 m
        trips: &[("people_distance = \"12 m\"", "people_distance = \"4.1 m\"")],
        just_not: &[("people_distance = \"12 m\"", "people_distance = \"4.3 m\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK009",
        // the pigtail torn off lets out 27.8 g/s; the closing flow is stated at 15 kg/m3, and less is left
        // behind the cylinder valve at that flow
        trips: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"120 kg/h\"")],
        just_not: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"115 kg/h\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK010",
        // 116 s and 122 s to a quarter of the lower limit
        trips: &[
            OPEN_BREAK,
            ("room_volume = \"240 m3\"", "room_volume = \"380 m3\""),
        ],
        just_not: &[
            OPEN_BREAK,
            ("room_volume = \"240 m3\"", "room_volume = \"400 m3\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK011",
        // 0.0517 m3/s hold a quarter of the lower limit
        trips: &[("ventilation = \"1800 m3/h\"", "ventilation = \"182 m3/h\"")],
        just_not: &[("ventilation = \"1800 m3/h\"", "ventilation = \"190 m3/h\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK012",
        trips: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"4.1 m\"",
        )],
        just_not: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"4.3 m\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "LEK013",
        // 1.58 kW/m2 at 6.3 m
        trips: &[
            OPEN_BREAK,
            (
                "operator_distance = \"4 m\"",
                "operator_distance = \"6.2 m\"",
            ),
        ],
        just_not: &[
            OPEN_BREAK,
            (
                "operator_distance = \"4 m\"",
                "operator_distance = \"6.3 m\"",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK014",
        trips: &[
            OPEN_BREAK,
            ("people_distance = \"12 m\"", "people_distance = \"6.2 m\""),
        ],
        just_not: &[
            OPEN_BREAK,
            ("people_distance = \"12 m\"", "people_distance = \"6.3 m\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK015",
        // without air 0.28 % come in a second, up to 1.7 %
        trips: &[
            ("proved = true", "proved = false"),
            ("ignition_time = \"3 s\"", "ignition_time = \"6.3 s\""),
        ],
        just_not: &[
            ("proved = true", "proved = false"),
            ("ignition_time = \"3 s\"", "ignition_time = \"6.2 s\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK016",
        // 15 % in a minute without air: 3.6 volumes of 1.85 s to a quarter of the lower limit, and half
        // as many again
        trips: &[
            ("ignition_time = \"3 s\"", "ignition_time = \"60 s\""),
            ("purge_time = \"45 s\"", "purge_time = \"9.5 s\""),
        ],
        just_not: &[
            ("ignition_time = \"3 s\"", "ignition_time = \"60 s\""),
            ("purge_time = \"45 s\"", "purge_time = \"10 s\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK017",
        trips: &[("tank_to_fire = \"6 m\"", "tank_to_fire = \"2.9 m\"")],
        just_not: &[("tank_to_fire = \"6 m\"", "tank_to_fire = \"3.0 m\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK018",
        trips: &[
            ("high_fuel_cutoff = true", "high_fuel_cutoff = false"),
            ("wide_open = \"0.45 Kv\"", "wide_open = \"0.05 Kv\""),
        ],
        // a seat that passes just under 1.5 times the largest duty
        just_not: &[
            ("high_fuel_cutoff = true", "high_fuel_cutoff = false"),
            ("wide_open = \"0.45 Kv\"", "wide_open = \"0.045 Kv\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK019",
        // 3.8 kg are 2.05 m3 of vapour in half of 240 m3: 1.69 %, against 1.7 % (IEC 60079-20-1, propane)
        trips: &[
            ("setting = \"outdoor\"", "setting = \"indoor\""),
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"3.85 kg\""),
        ],
        just_not: &[
            ("setting = \"outdoor\"", "setting = \"indoor\""),
            ("fuel_mass = \"38 kg\"", "fuel_mass = \"3.8 kg\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "LEK020",
        // what 33.8 m of it hold, with the ring, feeds the flame for 3 s
        trips: &[("length = \"2.2 m\"", "length = \"34 m\"")],
        just_not: &[("length = \"2.2 m\"", "length = \"33.5 m\"")],
    },
    Case {
        rig: SOAK,
        rule: "LEK022",
        trips: &[(
            "joints = { hose-crimp = 2, parallel-thread = 1 }",
            "joints = { hose-crimp = 2, quick-coupling = 1 }\nself_closing = false",
        )],
        just_not: &[(
            "joints = { hose-crimp = 2, parallel-thread = 1 }",
            "joints = { hose-crimp = 2, quick-coupling = 1 }\nself_closing = true",
        )],
    },
    Case {
        rig: SOAK,
        rule: "LEK021",
        trips: &[("volume = \"0.31 L\"", "volume = \"31 L\"")],
        just_not: &[("volume = \"0.31 L\"\n", "")],
    },
];
