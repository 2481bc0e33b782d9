//! Rigs for the rules of the group flame.

use super::{Case, SOAK};

const FULL: &str = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "FLM001",
        trips: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 1.01",
        )],
        just_not: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 1.00",
        )],
    },
    Case {
        rig: SOAK,
        rule: "FLM002",
        trips: &[(
            "primary_air_share = \"38 %\"",
            "primary_air_share = \"57.5 %\"",
        )],
        just_not: &[(
            "primary_air_share = \"38 %\"",
            "primary_air_share = \"57 %\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "FLM003",
        trips: &[(
            "max_temperature = \"870 degC\"",
            "max_temperature = \"846 degC\"",
        )],
        // 796 degC in `full`, and 50 K of margin
        just_not: &[(
            "max_temperature = \"870 degC\"",
            "max_temperature = \"848 degC\"",
        )],
    },
];
