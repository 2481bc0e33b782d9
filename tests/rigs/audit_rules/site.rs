//! Rigs for the rules of the group site.

use super::{Case, Changes, SOAK};

const OUTDOORS: Changes = &[
    (
        "setting = \"indoor\"\nroom_volume = \"240 m3\"\nventilation = \"1800 m3/h\"\n",
        "setting = \"outdoor\"\n",
    ),
    (
        "carbon_monoxide_alarm = true",
        "carbon_monoxide_alarm = false",
    ),
];

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "SIT001",
        trips: &[("extinguisher = \"dry-powder\"", "extinguisher = \"water\"")],
        just_not: &[(
            "extinguisher = \"dry-powder\"",
            "extinguisher = \"carbon-dioxide\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SIT002",
        trips: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"2.9 m\"",
        )],
        just_not: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"3.0 m\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SIT003",
        trips: &[(
            "carbon_monoxide_alarm = true",
            "carbon_monoxide_alarm = false",
        )],
        just_not: OUTDOORS,
    },
    Case {
        rig: SOAK,
        rule: "SIT004",
        trips: &[("gas_detector = true", "gas_detector = false")],
        just_not: OUTDOORS,
    },
    Case {
        rig: SOAK,
        rule: "SIT008",
        trips: &[(
            "shutoff_distance = \"1.5 m\"",
            "shutoff_distance = \"5.1 m\"",
        )],
        just_not: &[("shutoff_distance = \"1.5 m\"", "shutoff_distance = \"5 m\"")],
    },
    Case {
        rig: SOAK,
        rule: "SIT009",
        trips: &[(
            "extinguisher_charge = \"6 kg\"",
            "extinguisher_charge = \"1.9 kg\"",
        )],
        just_not: &[(
            "extinguisher_charge = \"6 kg\"",
            "extinguisher_charge = \"2 kg\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SIT010",
        trips: &[(
            "position = \"upright\"",
            "position = \"upright\"\nbelow_ground = true",
        )],
        just_not: &[(
            "position = \"upright\"",
            "position = \"upright\"\nbelow_ground = false",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SIT011",
        trips: &[("setting = \"indoor\"", "setting = \"indoor\"\nflue = false")],
        just_not: &[("setting = \"indoor\"", "setting = \"indoor\"\nflue = true")],
    },
    Case {
        rig: SOAK,
        rule: "SIT012",
        // 68 g/s of air of 1.20 kg/m3 are 204 m3/h
        trips: &[
            (
                "setting = \"indoor\"",
                "setting = \"indoor\"\ncombustion_air = \"room\"",
            ),
            ("ventilation = \"1800 m3/h\"", "ventilation = \"200 m3/h\""),
        ],
        just_not: &[
            (
                "setting = \"indoor\"",
                "setting = \"indoor\"\ncombustion_air = \"room\"",
            ),
            ("ventilation = \"1800 m3/h\"", "ventilation = \"207 m3/h\""),
        ],
    },
];
