//! Rigs for the rules of the group supply.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[Case {
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
}];
