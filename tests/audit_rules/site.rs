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
];
