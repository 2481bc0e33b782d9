//! Rigs for the rules of the group tank.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[Case {
    rig: SOAK,
    rule: "TNK001",
    trips: &[("position = \"upright\"", "position = \"lying\"")],
    just_not: &[
        ("position = \"upright\"", "position = \"lying\""),
        ("draw = \"vapour\"", "draw = \"liquid\""),
    ],
}];
