//! Rigs for the rules of the group liquid.

use super::{Case, KEROSENE};

/// Liquid propane under gas: it flashes in the throttle.
pub(crate) const FLASHING: &[(&str, &str)] = &[
    (
        "edge = \"sharp\"",
        "edge = \"sharp\"\ndischarge_coefficient = 0.8",
    ),
    ("hole_diameter = \"0.20 mm\"", "hole_diameter = \"0.3 mm\""),
    ("composition = \"kerosene\"", "composition = \"propane\""),
    (
        "pressure = \"0 bar(g)\"\nposition",
        "pressure = \"20 bar(g)\"\nposition",
    ),
    (
        "kind = \"pump\"\noutlet_pressure = \"6 bar(g)\"\nmax_flow = \"0.2 L/min\"\nefficiency = \"25 %\"\nnpsh = \"0.3 bar\"\nmax_power = \"20 W\"\n",
        "kind = \"tapping\"\n",
    ),
];
/// The same with holes that hold the pressure behind the throttle up.
pub(crate) const NOT_FLASHING: &[(&str, &str)] = &[
    (
        "edge = \"sharp\"",
        "edge = \"sharp\"\ndischarge_coefficient = 0.8",
    ),
    ("hole_diameter = \"0.20 mm\"", "hole_diameter = \"0.25 mm\""),
    ("composition = \"kerosene\"", "composition = \"propane\""),
    (
        "pressure = \"0 bar(g)\"\nposition",
        "pressure = \"20 bar(g)\"\nposition",
    ),
    (
        "kind = \"pump\"\noutlet_pressure = \"6 bar(g)\"\nmax_flow = \"0.2 L/min\"\nefficiency = \"25 %\"\nnpsh = \"0.3 bar\"\nmax_power = \"20 W\"\n",
        "kind = \"tapping\"\n",
    ),
];

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: KEROSENE,
        rule: "LIQ001",
        trips: FLASHING,
        just_not: NOT_FLASHING,
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ002",
        trips: &[("hole_diameter = \"0.20 mm\"", "hole_diameter = \"0.21 mm\"")],
        just_not: &[],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ003",
        // 1.013 bar of air over a liquid of next to no vapour pressure
        trips: &[("npsh = \"0.3 bar\"", "npsh = \"1.02 bar\"")],
        just_not: &[("npsh = \"0.3 bar\"", "npsh = \"1.0 bar\"")],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ004",
        // 0.6 g/s over 6 bar with 25 %: 1.8 W
        trips: &[("max_power = \"20 W\"", "max_power = \"1.75 W\"")],
        just_not: &[("max_power = \"20 W\"", "max_power = \"1.8 W\"")],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ005",
        // flash point 38 degC
        trips: &[("hottest = \"30 degC\"", "hottest = \"38.1 degC\"")],
        just_not: &[("hottest = \"30 degC\"", "hottest = \"37.9 degC\"")],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ006",
        // a suction line that drops on its way to the pump
        trips: &[(
            "[[train]]\nname = \"strainer\"\n",
            "[[train]]\nname = \"suction\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"1 m\"\nrise = \"-0.1 m\"\n\n[[train]]\nname = \"strainer\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"strainer\"\n",
            "[[train]]\nname = \"suction\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"1 m\"\nrise = \"0.1 m\"\n\n[[train]]\nname = \"strainer\"\n",
        )],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ007",
        // 0.4 bar are 5.1 m of kerosene
        trips: &[(
            "[[train]]\nname = \"strainer\"\n",
            "[[train]]\nname = \"suction\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"6 m\"\nrise = \"5.2 m\"\n\n[[train]]\nname = \"strainer\"\n",
        )],
        just_not: &[(
            "[[train]]\nname = \"strainer\"\n",
            "[[train]]\nname = \"suction\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"6 m\"\nrise = \"4.8 m\"\n\n[[train]]\nname = \"strainer\"\n",
        )],
    },
    Case {
        rig: KEROSENE,
        rule: "LIQ008",
        trips: &[],
        just_not: &[(
            "[[train]]\nname = \"shut-off\"\n",
            "[[train]]\nname = \"pump-relief\"\nkind = \"relief-valve\"\nset_pressure = \"8 bar(g)\"\n\n[[train]]\nname = \"shut-off\"\n",
        )],
    },
];
