//! Rigs for the rules of the group supply.

use super::{Case, KILN, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "SUP001",
        // the duty `full` needs 1.0 bar(g)
        trips: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"0.99 bar(g)\"",
        )],
        just_not: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"1.01 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SUP002",
        // the regulator wants 3.0 bar(g): propane has it at -5.6 degC
        trips: &[("coldest = \"-5 degC\"", "coldest = \"-6 degC\"")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SUP003",
        trips: &[(
            "composition = \"propane\"",
            "composition = \"propane:50,n-butane:50\"",
        )],
        just_not: &[(
            "composition = \"propane\"",
            "composition = \"propane:99.9,n-butane:0.1\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SUP004",
        trips: &[("repeats = 2", "repeats = 12")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "SUP005",
        trips: &[],
        just_not: &[(
            "draw = \"vapour\"",
            "draw = \"vapour\"\nwater_bath = \"30 degC\"",
        )],
    },
    Case {
        rig: KILN,
        rule: "SUP006",
        // `firing` takes 0.789 g/s
        trips: &[("max_flow = \"3 g/s\"", "max_flow = \"0.78 g/s\"")],
        just_not: &[("max_flow = \"3 g/s\"", "max_flow = \"0.79 g/s\"")],
    },
];
