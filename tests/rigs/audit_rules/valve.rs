//! Rigs for the rules of the group valve.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "VLV001",
        // 0.88 % of the flow for one step of 400
        trips: &[("steps = 400", "steps = 170")],
        just_not: &[("steps = 400", "steps = 180")],
    },
    Case {
        rig: SOAK,
        rule: "VLV002",
        // 23.5 % of the drop
        trips: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.12 Kv\"",
        )],
        just_not: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.11 Kv\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "VLV003",
        // usable from 0.110 to 0.365 m3/h
        trips: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.37 Kv\"",
        )],
        just_not: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.36 Kv\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "VLV004",
        // 0.0785 m3/h in `full`, 0.087 with the reserve
        trips: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.086 Kv\"",
        )],
        just_not: &[(
            "flow_coefficient = \"0.30 Kv\"",
            "flow_coefficient = \"0.088 Kv\"",
        )],
    },
];
