//! Rigs for the rules of the group trapped.

use super::{Case, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "TRP001",
        // the relief valve stands in the one section that two valves can shut off
        trips: &[("draw = \"vapour\"", "draw = \"liquid\"")],
        just_not: &[(
            "[[train]]\nname = \"regulator\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"18 bar(g)\"\n\n[[train]]\nname = \"regulator\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRP002",
        // the pigtail is made for 20 bar(g)
        trips: &[(
            "[[train]]\nname = \"regulator\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"20.1 bar(g)\"\n\n[[train]]\nname = \"regulator\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"regulator\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"19.9 bar(g)\"\n\n[[train]]\nname = \"regulator\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRP003",
        // propane at 12 °C: 5.76 bar(g)
        trips: &[(
            "[[train]]\nname = \"regulator\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"5.7 bar(g)\"\n\n[[train]]\nname = \"regulator\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"regulator\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"5.8 bar(g)\"\n\n[[train]]\nname = \"regulator\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRP004",
        trips: &[("draw = \"vapour\"", "draw = \"liquid\"")],
        just_not: &[
            ("draw = \"vapour\"", "draw = \"liquid\""),
            (
                "[[train]]\nname = \"regulator\"\n",
                "[[train]]\nname = \"bleed\"\nkind = \"tapping\"\nbleed = true\n\n[[train]]\nname = \"regulator\"\n",
            ),
            (
                "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\n",
                "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\nbleed = true\n",
            ),
        ],
    },
];
