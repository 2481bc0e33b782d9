//! Rigs for the rules of the group regulator.

use super::{Case, KILN, SOAK};

/// The regulator of the kiln, and a filter that stands in its place.
const KILN_REGULATOR: (&str, &str) = (
    "kind = \"regulator\"\nset_pressure = \"55 mbar(g)\"\nrated_flow = \"2 g/s\"\ndroop = \"3 mbar\"\nlock_up = \"6 mbar\"\nwide_open = \"5 Kv\"\nmin_inlet = \"70 mbar(g)\"\nmax_inlet = \"500 mbar(g)\"\n",
    "kind = \"filter\"\nbore = \"20 mm\"\nflow_coefficient = \"5 Kv\"\n",
);

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "REG001",
        // 3.0 bar(g) at -5.6 degC
        trips: &[(
            "temperature = \"12 degC\"\nwall",
            "temperature = \"-6 degC\"\nwall",
        )],
        just_not: &[(
            "temperature = \"12 degC\"\nwall",
            "temperature = \"-5 degC\"\nwall",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REG002",
        // `full` takes 1.274 g/s, 4.59 kg/h
        trips: &[("rated_flow = \"8 kg/h\"", "rated_flow = \"4.5 kg/h\"")],
        just_not: &[("rated_flow = \"8 kg/h\"", "rated_flow = \"4.6 kg/h\"")],
    },
    Case {
        rig: SOAK,
        rule: "REG003",
        trips: &[("max_inlet = \"18 bar(g)\"", "max_inlet = \"10.6 bar(g)\"")],
        just_not: &[("max_inlet = \"18 bar(g)\"", "max_inlet = \"10.7 bar(g)\"")],
    },
    Case {
        rig: SOAK,
        rule: "REG004",
        trips: &[("droop = \"250 mbar\"", "droop = \"850 mbar\"")],
        just_not: &[("droop = \"250 mbar\"", "droop = \"800 mbar\"")],
    },
    Case {
        rig: SOAK,
        rule: "REG005",
        // today it is not, at 12 degC
        trips: &[("coldest = \"-5 degC\"", "coldest = \"7 degC\"")],
        just_not: &[("coldest = \"-5 degC\"", "coldest = \"9 degC\"")],
    },
    Case {
        rig: SOAK,
        rule: "REG006",
        // propane at 33 degC: 10.64 bar(g); here every part behind the regulator is made for a little more
        trips: &[("high_fuel_cutoff = true", "high_fuel_cutoff = false")],
        just_not: &[
            ("high_fuel_cutoff = true", "high_fuel_cutoff = false"),
            (
                "max_pressure = \"6 bar(g)\"",
                "max_pressure = \"10.7 bar(g)\"",
            ),
            (
                "max_pressure = \"10 bar(g)\"",
                "max_pressure = \"10.7 bar(g)\"",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "REG007",
        trips: &[(
            "kind = \"regulator\"\nset_pressure = \"2.0 bar(g)\"\nrated_flow = \"8 kg/h\"\ndroop = \"250 mbar\"\nlock_up = \"300 mbar\"\nwide_open = \"0.45 Kv\"\nmin_inlet = \"3.0 bar(g)\"\nmax_inlet = \"18 bar(g)\"\nnominal_inlet = \"7 bar(g)\"\nsupply_effect = 0.01\n",
            "kind = \"filter\"\nbore = \"6 mm\"\nflow_coefficient = \"0.45 Kv\"\n",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "REG008",
        // the regulator locks up at 2.3 bar(g)
        trips: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"2.25 bar(g)\"\n\n[[train]]\nname = \"filter\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"2.4 bar(g)\"\n\n[[train]]\nname = \"filter\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REG008",
        // the weakest part behind the regulator is made for 6 bar(g)
        trips: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"6.1 bar(g)\"\n\n[[train]]\nname = \"filter\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"5.9 bar(g)\"\n\n[[train]]\nname = \"filter\"\n",
        )],
    },
    Case {
        rig: KILN,
        rule: "REG007",
        // nothing regulates the 95 mbar of the main, and a relief valve is set for a regulator
        trips: &[
            KILN_REGULATOR,
            (
                "[[train]]\nname = \"shut-off-1\"\n",
                "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"94 mbar(g)\"\n\n[[train]]\nname = \"shut-off-1\"\n",
            ),
        ],
        just_not: &[
            KILN_REGULATOR,
            (
                "[[train]]\nname = \"shut-off-1\"\n",
                "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"96 mbar(g)\"\n\n[[train]]\nname = \"shut-off-1\"\n",
            ),
        ],
    },
    Case {
        rig: SOAK,
        rule: "REG001",
        // a second stage set as high as the first
        trips: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"second\"\nkind = \"regulator\"\nset_pressure = \"2.0 bar(g)\"\nrated_flow = \"8 kg/h\"\nwide_open = \"0.45 Kv\"\n\n[[train]]\nname = \"filter\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"filter\"\n",
            "[[train]]\nname = \"second\"\nkind = \"regulator\"\nset_pressure = \"1.5 bar(g)\"\nrated_flow = \"8 kg/h\"\nwide_open = \"0.45 Kv\"\n\n[[train]]\nname = \"filter\"\n",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REG009",
        // gas does not blow into a cylinder that stands above it
        trips: &[(
            "[[train]]\nname = \"regulator-gauge\"",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"3 bar(g)\"\nbore = \"12 mm\"\nmax_pressure = \"16 bar(g)\"\nvents_to = \"tank\"\n\n[[train]]\nname = \"regulator-gauge\"",
        )],
        just_not: &[(
            "[[train]]\nname = \"regulator-gauge\"",
            "[[train]]\nname = \"relief\"\nkind = \"relief-valve\"\nset_pressure = \"3 bar(g)\"\nbore = \"12 mm\"\nmax_pressure = \"16 bar(g)\"\nvents_to = \"outdoors\"\n\n[[train]]\nname = \"regulator-gauge\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "REG010",
        // it locks up at 2.3 bar(g), and at 2.34 bar(g) before an inlet of 3 bar(g)
        trips: &[(
            "name = \"regulator\"\nkind = \"regulator\"",
            "name = \"regulator\"\nkind = \"regulator\"\nshut_off_pressure = \"2.3 bar(g)\"",
        )],
        just_not: &[(
            "name = \"regulator\"\nkind = \"regulator\"",
            "name = \"regulator\"\nkind = \"regulator\"\nshut_off_pressure = \"2.4 bar(g)\"",
        )],
    },
];
