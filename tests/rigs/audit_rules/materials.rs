//! Rigs for the rules of the group materials.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "MAT001",
        trips: &[(
            "wetted = [\"stainless-steel\", \"ptfe\"]",
            "wetted = [\"stainless-steel\", \"epdm\"]",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "MAT002",
        trips: &[
            (
                "wetted = [\"stainless-steel\", \"ptfe\"]",
                "wetted = [\"stainless-steel\", \"fkm\"]",
            ),
            ("coldest = \"-5 degC\"", "coldest = \"-15.1 degC\""),
        ],
        just_not: &[
            (
                "wetted = [\"stainless-steel\", \"ptfe\"]",
                "wetted = [\"stainless-steel\", \"fkm\"]",
            ),
            ("coldest = \"-5 degC\"", "coldest = \"-14.9 degC\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "MAT003",
        trips: &[(
            "wetted = [\"stainless-steel\"]",
            "wetted = [\"copper\", \"soft-solder\"]",
        )],
        just_not: &[(
            "wetted = [\"stainless-steel\"]",
            "wetted = [\"copper\", \"silver-braze\"]",
        )],
    },
];
