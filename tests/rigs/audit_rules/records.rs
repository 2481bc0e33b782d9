//! Rigs for the rules of the group records.

use super::{Case, LEAK_TEST, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "REC001",
        trips: &[
            (LEAK_TEST, ""),
            ("[rig]\n", "leak_test = \"none\"\n\n[rig]\n"),
        ],
        just_not: &[("drop = \"3 mbar\"", "drop = \"299 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "REC002",
        trips: &[("date = 2026-03-28", "date = 2026-03-11")],
        just_not: &[("date = 2026-03-28", "date = 2026-03-12")],
    },
    Case {
        rig: SOAK,
        rule: "REC003",
        trips: &[("hose_made = 2024-09-01", "hose_made = 2021-04-10")],
        just_not: &[("hose_made = 2024-09-01", "hose_made = 2021-04-11")],
    },
    Case {
        rig: SOAK,
        rule: "REC004",
        trips: &[("reviewed = true", "reviewed = false")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "REC005",
        trips: &[("regulator_made = 2023-05-01", "regulator_made = 2016-04-10")],
        just_not: &[("regulator_made = 2023-05-01", "regulator_made = 2016-04-12")],
    },
    Case {
        rig: SOAK,
        rule: "REC006",
        trips: &[(
            "cylinder_inspected = 2022-11-15",
            "cylinder_inspected = 2016-04-10",
        )],
        just_not: &[(
            "cylinder_inspected = 2022-11-15",
            "cylinder_inspected = 2016-04-12",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REC007",
        trips: &[(
            "extinguisher_inspected = 2025-10-02",
            "extinguisher_inspected = 2025-04-10",
        )],
        just_not: &[(
            "extinguisher_inspected = 2025-10-02",
            "extinguisher_inspected = 2025-04-11",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REC008",
        trips: &[(
            "device = \"air-switch\"\ndate = 2026-03-28",
            "device = \"air-switch\"\ndate = 2025-04-10",
        )],
        just_not: &[(
            "device = \"air-switch\"\ndate = 2026-03-28",
            "device = \"air-switch\"\ndate = 2025-04-12",
        )],
    },
];
