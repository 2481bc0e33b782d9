//! Rigs for the rules of the group shutdown.

use super::{Case, FROST, SOAK};

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
        trips: &[("purge_time = \"45 s\"", "purge_time = \"9.8 s\"")],
        just_not: &[("purge_time = \"45 s\"", "purge_time = \"10.6 s\"")],
    },
    Case {
        rig: SOAK,
        rule: "SHU005",
        trips: &[("ignition = \"spark\"", "ignition = \"hand\"")],
        just_not: &[("ignition = \"spark\"", "ignition = \"pilot\"")],
    },
    Case {
        rig: FROST,
        rule: "SHU006",
        // the main valve still closes, and the pilot burns on
        trips: &[(
            "flow_coefficient = \"0.12 Kv\"\nactuation = \"solenoid-spring-closed\"",
            "flow_coefficient = \"0.12 Kv\"\nactuation = \"motor\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU007",
        // one valve left for a lost signal, two for lost power
        trips: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"\non_signal_loss = \"stays\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU008",
        trips: &[("closing_time = \"0.5 s\"", "closing_time = \"1.01 s\"")],
        just_not: &[("closing_time = \"0.5 s\"", "closing_time = \"1 s\"")],
    },
    Case {
        rig: SOAK,
        rule: "SHU009",
        trips: &[("lockout = true", "lockout = false")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU010",
        trips: &[("emergency_stop = true", "emergency_stop = false")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU011",
        trips: &[("proved = true", "proved = false")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU012",
        trips: &[("low_fuel_cutoff = true", "low_fuel_cutoff = false")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU013",
        trips: &[("on_signal_loss = \"stays\"", "on_signal_loss = \"opens\"")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU015",
        trips: &[("ignition_time = \"3 s\"", "ignition_time = \"15.1 s\"")],
        just_not: &[("ignition_time = \"3 s\"", "ignition_time = \"15 s\"")],
    },
    Case {
        rig: SOAK,
        rule: "SHU014",
        trips: &[(
            "actuation = \"manual\"",
            "actuation = \"solenoid-spring-closed\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SHU016",
        // three quarters of the fuel of `full`, with which the burner is then lit
        trips: &[("throttle = \"25 %\"", "throttle = \"78 %\"")],
        just_not: &[("throttle = \"25 %\"", "throttle = \"77 %\"")],
    },
    Case {
        rig: SOAK,
        rule: "SHU017",
        trips: &[(
            "actuation = \"solenoid-spring-closed\"",
            "actuation = \"solenoid-spring-closed\"\ndriven_by = \"k1\"",
        )],
        just_not: &[
            (
                "name = \"shut-off-1\"\nkind = \"solenoid-valve\"",
                "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\ndriven_by = \"k1\"",
            ),
            (
                "name = \"shut-off-2\"\nkind = \"solenoid-valve\"",
                "name = \"shut-off-2\"\nkind = \"solenoid-valve\"\ndriven_by = \"k2\"",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "SHU018",
        trips: &[(
            "lockout = true",
            "lockout = true\nflame_detector_sees = [\"pilot\"]",
        )],
        just_not: &[(
            "lockout = true",
            "lockout = true\nflame_detector_sees = [\"main\"]",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SHU019",
        // one retry after a purge is the most
        trips: &[("lockout = true", "lockout = true\nretries = 2")],
        just_not: &[("lockout = true", "lockout = true\nretries = 1")],
    },
    Case {
        rig: SOAK,
        rule: "SHU020",
        trips: &[("lockout = true", "lockout = true\nunattended = true")],
        just_not: &[(
            "lockout = true",
            "lockout = true\nunattended = true\nover_temperature_cutoff = true",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SHU021",
        trips: &[(
            "lockout = true",
            "lockout = true\nover_temperature_cutoff = false",
        )],
        just_not: &[(
            "lockout = true",
            "lockout = true\nover_temperature_cutoff = true",
        )],
    },
    Case {
        rig: FROST,
        rule: "SHU022",
        // one valve closes by itself on the way to the burner
        trips: &[(
            "ignition = \"pilot\"",
            "ignition = \"pilot\"\nvalve_proving = true",
        )],
        just_not: &[(
            "ignition = \"pilot\"",
            "ignition = \"pilot\"\nvalve_proving = false",
        )],
    },
];
