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
        just_not: &[("coldest = \"-5 degC\"", "coldest = \"-5.5 degC\"")],
    },
    Case {
        rig: SOAK,
        rule: "SUP003",
        trips: &[(
            "composition = \"propane\"",
            "composition = \"propane:92,n-butane:8\"",
        )],
        just_not: &[(
            "composition = \"propane\"",
            "composition = \"propane:93,n-butane:7\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SUP004",
        // two runs with that much of `full` are all that the tank's own heat allows
        trips: &[(
            "duty = \"full\"\nduration = \"10 min\"",
            "duty = \"full\"\nduration = \"19 min\"",
        )],
        just_not: &[(
            "duty = \"full\"\nduration = \"10 min\"",
            "duty = \"full\"\nduration = \"18 min\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "SUP005",
        // `full` boils 1.274 g/s with 0.36 MJ/kg: 460 W, over the 17.6 K down to the coldest that feeds it
        trips: &[(
            "diameter = \"375 mm\"\nlength = \"1290 mm\"\n",
            "conductance = \"25 W/K\"\n",
        )],
        just_not: &[(
            "diameter = \"375 mm\"\nlength = \"1290 mm\"\n",
            "conductance = \"30 W/K\"\n",
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
