//! Facts that danger hangs on: what a rig file has to say before an audit says anything.

use super::Solution;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::fuel::FedAs;
use crate::leak::shutdown::{closes_without_power, shuts_off};
use crate::train::rig::supply::VENTED_PA;
use crate::train::rig::{FlameDetection, Setting, TankSpec};
use crate::train::{Part, PartKind, ways};

/// What is asked, in the order of asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Question {
    /// What shuts the fuel off.
    ShutsOff,
    /// What lights and watches the fire.
    Fire,
    /// What holds the pressure.
    Pressure,
    /// The room.
    Room,
    /// Who and what stands near.
    Near,
    /// Whether it is tight.
    Tight,
}

impl Question {
    /// As a person asks it.
    pub fn text(self) -> &'static str {
        match self {
            Self::ShutsOff => "What shuts the fuel off?",
            Self::Fire => "What lights the fire, and what watches it?",
            Self::Pressure => "What pressure are the parts made for, and what relieves it?",
            Self::Room => "Where does the cylinder stand, and what air does the room get?",
            Self::Near => "Who and what is near the fire, and what is there to put it out?",
            Self::Tight => "When was it leak-tested, how old are the hoses, what are the seals?",
        }
    }
}

/// A fact that danger hangs on and the file does not state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Path of the key or table.
    pub key: String,
    /// What is asked.
    pub question: Question,
    /// A line to write, as an example: the value is the owner's to fill in.
    pub example: String,
    /// Rules that wait for it.
    pub rules: &'static [&'static str],
}

/// An essential fact: its key, an example of its value, the rules that wait for it, and whether this rig has to
/// state it and does not.
struct Essential {
    question: Question,
    key: &'static str,
    example: &'static str,
    rules: &'static [&'static str],
    lacks: fn(&Solution<'_>) -> bool,
}

/// A rig-wide key.
const fn essential(
    question: Question,
    key: &'static str,
    example: &'static str,
    rules: &'static [&'static str],
    lacks: fn(&Solution<'_>) -> bool,
) -> Essential {
    Essential {
        question,
        key,
        example,
        rules,
        lacks,
    }
}

use Question::{Fire, Near, Pressure, Room, ShutsOff, Tight};

/// Keys of the rig as a whole; those of parts are in [`of_parts`].
static ESSENTIALS: &[Essential] = &[
    essential(
        ShutsOff,
        "train",
        "[[train]]\nname = \"shut-off\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.9 Kv\"\nactuation = \"solenoid-spring-closed\"",
        &["SHU001", "SHU002", "SHU006", "SHU014", "TRN005"],
        |s| s.rig.train.parts().is_empty() && !s.rig.says_none("train"),
    ),
    essential(
        ShutsOff,
        "controls.emergency_stop",
        "true",
        &["SHU010"],
        |s| s.rig.controls.emergency_stop.is_none(),
    ),
    essential(
        ShutsOff,
        "controls.high_fuel_cutoff",
        "true",
        &["SHU012"],
        |s| s.rig.controls.high_fuel_cutoff.is_none(),
    ),
    essential(
        ShutsOff,
        "controls.low_fuel_cutoff",
        "true",
        &["SHU012"],
        |s| s.rig.controls.low_fuel_cutoff.is_none(),
    ),
    essential(ShutsOff, "air.proved", "true", &["SHU011"], |s| {
        s.rig.air.proved.is_none()
    }),
    essential(Fire, "controls.ignition", "\"spark\"", &["SHU005"], |s| {
        s.rig.controls.ignition.is_none()
    }),
    essential(
        Fire,
        "controls.flame_detection",
        "\"ionisation\"",
        &["SHU003"],
        |s| s.rig.controls.flame_detection.is_none(),
    ),
    essential(
        Fire,
        "controls.flame_failure_time",
        "\"1 s\"",
        &["SHU003"],
        |s| {
            let by_instrument = !matches!(
                s.rig.controls.flame_detection,
                None | Some(FlameDetection::None | FlameDetection::Eye)
            );
            by_instrument && s.rig.controls.flame_failure_time.is_none()
        },
    ),
    essential(
        Fire,
        "controls.ignition_time",
        "\"3 s\"",
        &["SHU015", "LEK015"],
        |s| s.rig.controls.ignition_time.is_none(),
    ),
    essential(Fire, "controls.lockout", "true", &["SHU009"], |s| {
        s.rig.controls.lockout.is_none()
    }),
    essential(
        Fire,
        "controls.purge_time",
        "\"45 s\"",
        &["SHU004", "LEK016"],
        |s| s.rig.controls.purge_time.is_none(),
    ),
    essential(
        Fire,
        "controls.purge_air_flow",
        "\"40 g/s\"",
        &["SHU004", "LEK016"],
        |s| purges(s) && s.rig.controls.purge_air_flow.is_none(),
    ),
    essential(
        Fire,
        "burner.can_volume",
        "\"2.5 L\"",
        &["SHU004", "LEK015", "LEK016"],
        |s| purges(s) && s.rig.burner.can_volume.is_none(),
    ),
    essential(
        Fire,
        "burner.duct_volume",
        "\"60 L\"",
        &["SHU004", "LEK015", "LEK016"],
        |s| purges(s) && s.rig.burner.duct_volume.is_none(),
    ),
    essential(
        Pressure,
        "tank.rating",
        "\"30 bar(g)\"",
        &["TNK004", "TNK006"],
        |s| {
            holds_pressure(s).is_some_and(|t| t.rating.is_none()) && !s.rig.says_none("tank.rating")
        },
    ),
    essential(
        Pressure,
        "tank.relief_pressure",
        "\"26 bar(g)\"",
        &["TNK005", "TNK006"],
        |s| {
            holds_pressure(s).is_some_and(|t| t.relief_pressure.is_none())
                && !s.rig.says_none("tank.relief_pressure")
        },
    ),
    essential(
        Pressure,
        "site.hottest",
        "\"33 degC\"",
        &["TNK003", "TNK004", "TNK005", "TRN005"],
        |s| s.rig.supply.tank().is_some() && s.rig.site.hottest.is_none(),
    ),
    essential(
        Room,
        "tank.setting",
        "\"outdoor\"",
        &["LEK019", "LEK010"],
        |s| indoors(s) && holds_pressure(s).is_some_and(|t| t.setting.is_none()),
    ),
    essential(
        Room,
        "site.room_volume",
        "\"80 m3\"",
        &["LEK010", "LEK011", "LEK019"],
        |s| indoors(s) && s.rig.site.room_volume.is_none(),
    ),
    essential(
        Room,
        "site.ventilation",
        "\"400 m3/h\"",
        &["LEK010", "LEK011"],
        |s| indoors(s) && s.rig.site.ventilation.is_none(),
    ),
    essential(
        Room,
        "site.carbon_monoxide_alarm",
        "true",
        &["SIT003"],
        |s| indoors(s) && s.rig.site.carbon_monoxide_alarm.is_none(),
    ),
    essential(Room, "site.gas_detector", "true", &["SIT004"], |s| {
        indoors(s) && burns_gas(s) && s.rig.site.gas_detector.is_none()
    }),
    essential(Room, "fuel.odorised", "true", &["SIT004"], |s| {
        burns_gas(s) && s.rig.fuel.odorised.is_none()
    }),
    essential(
        Near,
        "site.operator_distance",
        "\"4 m\"",
        &["LEK013"],
        |s| s.rig.site.operator_distance.is_none(),
    ),
    essential(
        Near,
        "site.people_distance",
        "\"10 m\"",
        &["LEK008", "LEK014"],
        |s| s.rig.site.people_distance.is_none() && !s.rig.says_none("site.people_distance"),
    ),
    essential(Near, "site.shutoff_distance", "\"1 m\"", &["SIT008"], |s| {
        s.rig.site.shutoff_distance.is_none()
    }),
    essential(Near, "site.tank_to_fire", "\"6 m\"", &["LEK017"], |s| {
        s.rig.supply.tank().is_some() && s.rig.site.tank_to_fire.is_none()
    }),
    essential(
        Near,
        "site.low_points",
        "false",
        &["SIT002", "LEK012"],
        |s| {
            let site = &s.rig.site;
            let heavy = s.fluid.molar_mass_kg_mol() > DRY_AIR_KG_MOL;
            heavy && site.low_points.is_none() && site.low_point_distance.is_none()
        },
    ),
    essential(
        Near,
        "site.extinguisher",
        "\"dry-powder\"",
        &["SIT001"],
        |s| s.rig.site.extinguisher.is_none(),
    ),
    essential(
        Tight,
        "leak_test",
        "[leak_test]\ndate = 2026-03-28\npressure = \"4.5 bar(g)\"\nhold_time = \"20 min\"\ndrop = \"1 mbar\"",
        &["REC001", "REC002", "LEK001", "LEK002"],
        |s| {
            let train = !s.rig.train.parts().is_empty();
            train && s.rig.leak_test.is_none() && !s.rig.says_none("leak_test")
        },
    ),
    essential(
        Tight,
        "records.test_day",
        "2026-04-11",
        &["REC002", "REC003"],
        |s| s.rig.records.test_day.is_none(),
    ),
    essential(
        Tight,
        "records.cylinder_inspected",
        "2022-11-15",
        &["REC006"],
        |s| {
            holds_pressure(s).is_some()
                && s.rig.records.cylinder_inspected.is_none()
                && !s.rig.says_none("records.cylinder_inspected")
        },
    ),
    essential(Tight, "records.hose_made", "2024-09-01", &["REC003"], |s| {
        let hose = |p: &&Part| matches!(p.kind, PartKind::Hose(_));
        s.rig.train.parts().iter().any(hose)
            && s.rig.records.hose_made.is_none()
            && !s.rig.says_none("records.hose_made")
    }),
];

/// What this rig has to state and does not, in the order of the questions.
pub fn missing(s: &Solution<'_>) -> Vec<Missing> {
    let whole = ESSENTIALS.iter().filter(|e| (e.lacks)(s)).map(|e| Missing {
        key: e.key.to_owned(),
        question: e.question,
        example: if e.example.starts_with('[') {
            e.example.to_owned()
        } else {
            format!("{} = {}", last(e.key), e.example)
        },
        rules: e.rules,
    });
    let mut all: Vec<Missing> = whole.chain(of_parts(s)).collect();
    all.sort_by_key(|m| m.question);
    all
}

/// Facts about single parts: ratings, and how fast shut-off valves close.
fn of_parts(s: &Solution<'_>) -> Vec<Missing> {
    let at_supply = ways::at_supply_pressure(&s.rig.train);
    let mut all = Vec::new();
    for part in s.rig.train.parts() {
        let path = |key: &str| format!("train.{}.{key}", part.name);
        let mut ask = |question, key: &str, example: &str, rules| {
            all.push(Missing {
                key: path(key),
                question,
                example: format!("{key} = {example}"),
                rules,
            });
        };
        let rated = part.rating.max_pressure.is_some() || s.rig.says_none(&path("max_pressure"));
        if !rated && !matches!(part.kind, PartKind::Fitting(_)) {
            ask(Pressure, "max_pressure", "\"20 bar(g)\"", &["TRN005"]);
        }
        let seals = matches!(part.kind, PartKind::Hose(_) | PartKind::SolenoidValve(_));
        if part.wetted.is_empty() && seals {
            ask(Tight, "wetted", "[\"brass\", \"nbr\"]", &["MAT001"]);
        }
        if let PartKind::Regulator(regulator) = &part.kind
            && regulator.max_inlet.is_none()
            && !s.rig.says_none(&path("max_inlet"))
            && at_supply.iter().any(|p| p.name == part.name)
        {
            ask(Pressure, "max_inlet", "\"16 bar(g)\"", &["REG003"]);
        }
        if let PartKind::ReliefValve(relief) = &part.kind
            && relief.bore.is_none()
        {
            ask(Pressure, "bore", "\"6 mm\"", &["REG008"]);
        }
        if let Some(closure) = &part.closure
            && closes_without_power(closure)
            && shuts_off(part)
            && closure.closing_time.is_none()
        {
            ask(ShutsOff, "closing_time", "\"1 s\"", &["SHU008"]);
        }
    }
    all
}

/// The last step of a path.
fn last(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

/// Whether the rig stands under a roof with walls.
fn indoors(s: &Solution<'_>) -> bool {
    s.rig.site.setting == Setting::Indoor
}

/// Whether a leak is a gas that can be smelt or detected.
fn burns_gas(s: &Solution<'_>) -> bool {
    usual_phase(&s.rig.fuel.composition) == FedAs::Gas
}

/// Whether it says that the duct is blown through before light-up.
fn purges(s: &Solution<'_>) -> bool {
    s.rig.controls.purge_time.is_some_and(|t| t.value > 0.0)
}

/// The tank, if it holds a pressure: liquefied gas, or gas over a liquid.
fn holds_pressure<'s>(s: &'s Solution<'_>) -> Option<&'s TankSpec> {
    let tank = s.rig.supply.tank()?;
    let holds = match s.pad() {
        Some(pad) => pad.pascals() > s.rig.site.air_pressure.pascals() + VENTED_PA,
        None => burns_gas(s),
    };
    holds.then_some(tank)
}
