//! Rigs for the rules of the group train.

use super::liquid::{FLASHING, NOT_FLASHING};
use super::{Case, FROST, KEROSENE, SOAK};

pub(crate) const CASES: &[Case] = &[
    Case {
        rig: SOAK,
        rule: "TRN001",
        trips: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"1.22 bar(g)\"",
        )],
        just_not: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"1.25 bar(g)\"",
        )],
    },
    Case {
        rig: FROST,
        rule: "TRN002",
        // the valves as they stand pass 0.369 g/s
        trips: &[
            ("heat_release = \"7 kW\"", "heat_release = \"15.1 kW\""),
            ("heat_release = \"15 kW\"", "heat_release = \"15.1 kW\""),
        ],
        just_not: &[
            ("heat_release = \"7 kW\"", "heat_release = \"15.2 kW\""),
            ("heat_release = \"15 kW\"", "heat_release = \"15.2 kW\""),
        ],
    },
    Case {
        rig: SOAK,
        rule: "TRN003",
        // 12 m/s in 6 mm
        trips: &[(
            "name = \"line\"\nkind = \"tube\"\nbore = \"6 mm\"",
            "name = \"line\"\nkind = \"tube\"\nbore = \"3.65 mm\"",
        )],
        just_not: &[(
            "name = \"line\"\nkind = \"tube\"\nbore = \"6 mm\"",
            "name = \"line\"\nkind = \"tube\"\nbore = \"3.7 mm\"",
        )],
    },
    Case {
        rig: FROST,
        rule: "TRN004",
        trips: &[(
            "flow_coefficient = \"0.6 Kv\"",
            "flow_coefficient = \"0.007 Kv\"",
        )],
        just_not: &[(
            "flow_coefficient = \"0.6 Kv\"",
            "flow_coefficient = \"0.008 Kv\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN005",
        // 2.0 bar(g) set, 0.3 bar lock-up, and a little of the supply effect
        trips: &[(
            "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\nmass = \"0.12 kg\"\njoints = { taper-thread = 1 }\nmax_pressure = \"16 bar(g)\"",
            "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\nmass = \"0.12 kg\"\njoints = { taper-thread = 1 }\nmax_pressure = \"2.3 bar(g)\"",
        )],
        just_not: &[(
            "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\nmass = \"0.12 kg\"\njoints = { taper-thread = 1 }\nmax_pressure = \"16 bar(g)\"",
            "name = \"regulator-gauge\"\nkind = \"tapping\"\ngauge_range = \"4 bar(g)\"\nmass = \"0.12 kg\"\njoints = { taper-thread = 1 }\nmax_pressure = \"2.32 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN006",
        // gas that comes to the regulator at -5 degC on the coldest day, let down to 1.5 bar(g)
        trips: &[(
            "min_temperature = \"-15 degC\"",
            "min_temperature = \"-8 degC\"",
        )],
        just_not: &[(
            "min_temperature = \"-15 degC\"",
            "min_temperature = \"-9 degC\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN007",
        trips: &[("hottest = \"33 degC\"", "hottest = \"61 degC\"")],
        just_not: &[("hottest = \"33 degC\"", "hottest = \"60 degC\"")],
    },
    Case {
        rig: SOAK,
        rule: "TRN008",
        // propane at 2.8 bar(g) has its dew point at -7.7 degC, at 2.7 bar(g) at -8.6; -5 on the coldest day
        trips: &[
            (
                "set_pressure = \"2.0 bar(g)\"",
                "set_pressure = \"2.8 bar(g)\"",
            ),
            ("min_inlet = \"3.0 bar(g)\"", "min_inlet = \"3.4 bar(g)\""),
            (
                "max_pressure = \"6 bar(g)\"",
                "max_pressure = \"10 bar(g)\"",
            ),
            (
                "throttle\"\nkind = \"metering-valve\"",
                "throttle\"\nkind = \"needle-valve\"",
            ),
            (
                "name = \"filter\"\nkind = \"filter\"\nbore = \"6 mm\"\nflow_coefficient = \"0.8 Kv\"",
                "name = \"filter\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"200 mm\"",
            ),
        ],
        just_not: &[
            (
                "set_pressure = \"2.0 bar(g)\"",
                "set_pressure = \"2.7 bar(g)\"",
            ),
            ("min_inlet = \"3.0 bar(g)\"", "min_inlet = \"3.4 bar(g)\""),
            (
                "max_pressure = \"6 bar(g)\"",
                "max_pressure = \"10 bar(g)\"",
            ),
            (
                "throttle\"\nkind = \"metering-valve\"",
                "throttle\"\nkind = \"needle-valve\"",
            ),
            (
                "name = \"filter\"\nkind = \"filter\"\nbore = \"6 mm\"\nflow_coefficient = \"0.8 Kv\"",
                "name = \"filter\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"200 mm\"",
            ),
        ],
    },
    Case {
        rig: KEROSENE,
        rule: "TRN009",
        // liquid propane under gas flashes in the throttle, unless the holes hold the pressure behind it up
        trips: FLASHING,
        just_not: NOT_FLASHING,
    },
    Case {
        rig: SOAK,
        rule: "TRN010",
        trips: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"6.0 kg/h\"")],
        just_not: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"6.1 kg/h\"")],
    },
    Case {
        rig: SOAK,
        rule: "TRN011",
        trips: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"14 kg/h\"")],
        just_not: &[("closing_flow = \"12 kg/h\"", "closing_flow = \"13.5 kg/h\"")],
    },
    Case {
        rig: SOAK,
        rule: "TRN012",
        trips: &[(
            "name = \"filter\"\nkind = \"filter\"",
            "name = \"filter\"\nkind = \"flame-arrestor\"",
        )],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "TRN013",
        trips: &[("draw = \"vapour\"", "draw = \"vapour\"\nnumber = 2")],
        just_not: &[],
    },
    Case {
        rig: SOAK,
        rule: "TRN014",
        trips: &[("length = \"0.75 m\"", "length = \"1.51 m\"")],
        just_not: &[("length = \"0.75 m\"", "length = \"1.5 m\"")],
    },
    Case {
        rig: SOAK,
        rule: "TRN015",
        trips: &[(
            "temperature = \"12 degC\"\nwall",
            "temperature = \"13.5 degC\"\nwall",
        )],
        just_not: &[(
            "temperature = \"12 degC\"\nwall",
            "temperature = \"13.8 degC\"\nwall",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN016",
        // 1 bar(g) before the holes at the largest duty
        trips: &[(
            "gauge_range = \"1.6 bar(g)\"",
            "gauge_range = \"0.9 bar(g)\"",
        )],
        just_not: &[(
            "gauge_range = \"1.6 bar(g)\"",
            "gauge_range = \"1.1 bar(g)\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN018",
        trips: &[(
            "cracking = \"20 mbar\"",
            "cracking = \"20 mbar\"\narrow = \"to-supply\"",
        )],
        just_not: &[(
            "cracking = \"20 mbar\"",
            "cracking = \"20 mbar\"\narrow = \"to-burner\"",
        )],
    },
    Case {
        rig: SOAK,
        rule: "TRN017",
        // the regulator locks up at 2.3 bar(g); stuck open it lets through what the cylinder has on the hottest day
        trips: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nmax_differential = \"5 bar\"",
        )],
        just_not: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nmax_differential = \"16 bar\"",
        )],
    },
];
