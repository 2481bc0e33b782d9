//! Rigs for the rules of the group flame.

use super::{Case, FROST, KILN, SOAK};

const FULL: &str = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";

const OPTICAL: &str = "flame_detection = \"optical\"";
const IONISATION: &str = "flame_detection = \"ionisation\"";

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
            "max_temperature = \"831 degC\"",
        )],
        // 782 degC in `full` with 98 % of the heat set free, and 50 K of margin
        just_not: &[
            (
                "max_temperature = \"870 degC\"",
                "max_temperature = \"833 degC\"",
            ),
            // the liner: the gas of the primary zone is hotter than it stands, and how it is cooled is not known
            (
                "max_temperature = \"1050 degC\"",
                "max_temperature = \"1050 degC\"\nsees = \"exit\"",
            ),
        ],
    },
    Case {
        rig: KILN,
        rule: "FLM004",
        trips: &[
            (
                "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2",
                "hydrogen:49,methane:47,nitrogen:4",
            ),
            (OPTICAL, IONISATION),
        ],
        // a share of what burns, not of the whole
        just_not: &[
            (
                "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2",
                "hydrogen:49,methane:50,nitrogen:1",
            ),
            (OPTICAL, IONISATION),
        ],
    },
    Case {
        rig: SOAK,
        rule: "FLM007",
        trips: &[(
            "combustion_efficiency = \"98 %\"",
            "combustion_efficiency = \"94.9 %\"",
        )],
        just_not: &[(
            "combustion_efficiency = \"98 %\"",
            "combustion_efficiency = \"95 %\"",
        )],
    },
    Case {
        rig: FROST,
        rule: "FLM008",
        trips: &[("hole_diameter = \"0.35 mm\"", "hole_diameter = \"1.2 mm\"")],
        just_not: &[("hole_diameter = \"0.35 mm\"", "hole_diameter = \"1.1 mm\"")],
    },
    // twice 10.9 %, the upper limit of propane
    Case {
        rig: KILN,
        rule: "FLM014",
        trips: &[(
            "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2",
            "propane:21.7,air:78.3",
        )],
        just_not: &[(
            "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2",
            "propane:21.9,air:78.1",
        )],
    },
];
