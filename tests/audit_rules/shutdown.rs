//! Rigs for the rules of the group shutdown.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "SHU001",
        trips: &[(
            "actuation = \"solenoid-spring-closed\"",
            "actuation = \"motor\"",
        )],
        just_not: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"motor\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SHU002",
        trips: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"motor\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU003",
        trips: &[(
            "flame_failure_time = \"1 s\"",
            "flame_failure_time = \"4.1 s\"",
        )],
        just_not: &[(
            "flame_failure_time = \"1 s\"",
            "flame_failure_time = \"4 s\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SHU004",
        trips: &[("purge_time = \"45 s\"", "purge_time = \"7 s\"")],
        just_not: &[("purge_time = \"45 s\"", "purge_time = \"7.5 s\"")],
    },
    Case {
        rig: SOAK,
        rule: "SHU005",
        trips: &[("ignition = \"spark\"", "ignition = \"hand\"")],
        just_not: &[("ignition = \"spark\"", "ignition = \"pilot\"")],
    },
];
