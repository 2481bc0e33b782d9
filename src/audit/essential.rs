//! Facts that danger hangs on: what a rig file has to say before an audit says anything.

use super::Solution;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::fuel::FedAs;
use crate::train::rig::supply::VENTED_PA;
use crate::train::rig::{FlameDetection, Setting, TankSpec};
use crate::train::{Part, PartKind, ways};

/// What is asked, in the order of asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Question {
    ShutsOff,
    Fire,
    Pressure,
    Room,
    Near,
    Tight,
}

use Question::{Fire, Near, Pressure, Room, ShutsOff, Tight};

impl Question {
    /// As a person asks it of a rig of this kind.
    fn of(self, s: &Solution<'_>) -> &'static str {
        match self {
            ShutsOff => "What shuts the fuel off?",
            Fire => "What lights and watches the fire?",
            Pressure if holds_pressure(s).is_some() => "What holds and relieves pressure?",
            Pressure => "What do the parts withstand?",
            Room if !indoors(s) => "What gives a leak away?",
            Room if holds_pressure(s).is_some() => "Where do cylinder and fire stand?",
            Room => "What room does the fire stand in?",
            Near => "Who and what is near the fire?",
            Tight => "Is it tight, and how old is it?",
        }
    }
}

/// A fact that danger hangs on and the file does not state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Path of the key or table.
    pub key: String,
    /// What is asked.
    pub question: &'static str,
    /// Lines to write: in place of each value a `"?"` that is to be filled in, and that no file is read with.
    pub example: String,
    /// What goes in place of the `"?"`; empty for a table.
    pub takes: &'static str,
    /// Whether `"none"` is an answer.
    pub none: bool,
    /// Rules that wait for it.
    pub rules: &'static [&'static str],
}

/// An essential fact: its question, what is written for it, what goes in place of the `"?"`, whether `"none"` is an
/// answer, and the rules that wait for it.
struct Asked {
    question: Question,
    lines: &'static str,
    takes: &'static str,
    none: bool,
    rules: &'static [&'static str],
}

/// Whether a rig has to state a fact and does not; `"none"` counts as stated.
type Lacks = fn(&Solution<'_>) -> bool;

/// A fact whose key takes `"none"` where there is no such thing.
const fn or_none(
    question: Question,
    lines: &'static str,
    takes: &'static str,
    rules: &'static [&'static str],
) -> Asked {
    Asked {
        none: true,
        ..always(question, lines, takes, rules)
    }
}

/// A fact that every such rig has: `"none"` says nothing.
const fn always(
    question: Question,
    lines: &'static str,
    takes: &'static str,
    rules: &'static [&'static str],
) -> Asked {
    Asked {
        question,
        lines,
        takes,
        none: false,
        rules,
    }
}

/// What goes in place of the `"?"` of a key that says whether a thing is there: `false` says no more than `"none"`.
pub const YES_OR_NO: &str = "true or false, without quotes";

/// A pressure that was held, as it has to be written to tell a leak: without the step of the gauge and both temperatures
/// it cannot (LEK002).
const LEAK_TEST: &str = r#"[[leak_test]]
# one a zone, with from, to and gas
date = "?"
pressure = "? bar(g)"
gauge_resolution = "? mbar"
hold_time = "? min"
drop = "? mbar"
start_temperature = "? degC"
end_temperature = "? degC""#;

/// Keys of the rig as a whole; those of parts are in [`OF_PARTS`].
#[rustfmt::skip] // a table: one fact, one line or three
static ESSENTIALS: &[(&str, Asked, Lacks)] = &[
    ("train",
        or_none(ShutsOff, "[[train]]\nname = \"?\"\nkind = \"?\"\nbore = \"? mm\"", "",
            &["SHU001", "SHU002", "SHU006", "SHU014", "TRN005"]),
        |s| s.rig.train.parts().is_empty()),
    ("controls.emergency_stop",
        or_none(ShutsOff, "emergency_stop = \"?\"", YES_OR_NO, &["SHU010"]),
        |s| s.rig.controls.emergency_stop.is_none()),
    ("controls.high_fuel_cutoff",
        or_none(ShutsOff, "high_fuel_cutoff = \"?\"", YES_OR_NO, &["SHU012"]),
        |s| s.rig.controls.high_fuel_cutoff.is_none()),
    ("controls.low_fuel_cutoff",
        or_none(ShutsOff, "low_fuel_cutoff = \"?\"", YES_OR_NO, &["SHU012"]),
        |s| s.rig.controls.low_fuel_cutoff.is_none()),
    ("air.proved",
        or_none(ShutsOff, "proved = \"?\"", YES_OR_NO, &["SHU011"]),
        |s| s.rig.air.proved.is_none()),
    ("controls.ignition",
        or_none(Fire, "ignition = \"?\"", "spark, hot-surface, pilot or hand", &["SHU005"]),
        |s| s.rig.controls.ignition.is_none()),
    ("controls.flame_detection",
        or_none(Fire, "flame_detection = \"?\"", "eye, thermocouple, ionisation or optical", &["SHU003"]),
        |s| s.rig.controls.flame_detection.is_none()),
    ("controls.flame_failure_time",
        or_none(Fire, "flame_failure_time = \"? s\"", "a time", &["SHU003"]),
        |s| watched(s) && s.rig.controls.flame_failure_time.is_none()),
    ("controls.ignition_time",
        or_none(Fire, "ignition_time = \"? s\"", "a time", &["SHU015", "LEK015"]),
        |s| s.rig.controls.ignition_time.is_none()),
    ("controls.lockout",
        or_none(Fire, "lockout = \"?\"", YES_OR_NO, &["SHU009"]),
        |s| s.rig.controls.lockout.is_none()),
    ("controls.purge_time",
        or_none(Fire, "purge_time = \"? s\"", "a time", &["SHU004", "LEK016"]),
        |s| s.rig.controls.purge_time.is_none()),
    ("controls.purge_air_flow",
        always(Fire, "purge_air_flow = \"? g/s\"", "a mass flow", &["SHU004", "LEK016"]),
        |s| purges(s) && s.rig.controls.purge_air_flow.is_none()),
    ("burner.can_volume",
        always(Fire, "can_volume = \"? L\"", "a volume", &["SHU004", "LEK015", "LEK016"]),
        |s| purges(s) && s.rig.burner.can_volume.is_none()),
    ("burner.duct_volume",
        always(Fire, "duct_volume = \"? L\"", "a volume", &["SHU004", "LEK015", "LEK016"]),
        |s| purges(s) && s.rig.burner.duct_volume.is_none()),
    ("tank.rating",
        or_none(Pressure, "rating = \"? bar(g)\"", "a pressure", &["TNK004", "TNK006"]),
        |s| holds_pressure(s).is_some_and(|t| t.rating.is_none())),
    ("tank.relief_pressure",
        or_none(Pressure, "relief_pressure = \"? bar(g)\"", "a pressure", &["TNK005", "TNK006"]),
        |s| holds_pressure(s).is_some_and(|t| t.relief_pressure.is_none())),
    ("site.hottest",
        always(Pressure, "hottest = \"? degC\"", "a temperature", &["TNK003", "TNK004", "TNK005", "TRN005"]),
        |s| s.rig.supply.tank().is_some() && s.rig.site.hottest.is_none()),
    ("tank.setting",
        always(Room, "setting = \"?\"", "indoor or outdoor", &["LEK019", "LEK010"]),
        |s| indoors(s) && holds_pressure(s).is_some_and(|t| t.setting.is_none())),
    ("site.room_volume",
        always(Room, "room_volume = \"? m3\"", "a volume", &["LEK010", "LEK011", "LEK019"]),
        |s| indoors(s) && s.rig.site.room_volume.is_none()),
    ("site.ventilation",
        or_none(Room, "ventilation = \"? m3/h\"", "a volume flow", &["LEK010", "LEK011"]),
        |s| indoors(s) && s.rig.site.ventilation.is_none()),
    ("site.carbon_monoxide_alarm",
        or_none(Room, "carbon_monoxide_alarm = \"?\"", YES_OR_NO, &["SIT003"]),
        |s| indoors(s) && s.rig.site.carbon_monoxide_alarm.is_none()),
    ("site.gas_detector",
        or_none(Room, "gas_detector = \"?\"", YES_OR_NO, &["SIT004"]),
        |s| indoors(s) && burns_gas(s) && s.rig.site.gas_detector.is_none()),
    ("fuel.odorised",
        or_none(Room, "odorised = \"?\"", YES_OR_NO, &["SIT004"]),
        |s| burns_gas(s) && s.rig.fuel.odorised.is_none()),
    ("site.people_distance",
        or_none(Near, "people_distance = \"? m\"", "a length", &["LEK008", "LEK014"]),
        |s| s.rig.site.people_distance.is_none()),
    ("site.operator_distance",
        always(Near, "operator_distance = \"? m\"", "a length", &["LEK013"]),
        |s| s.rig.site.operator_distance.is_none()),
    ("site.shutoff_distance",
        or_none(Near, "shutoff_distance = \"? m\"", "a length", &["SIT008"]),
        |s| s.rig.site.shutoff_distance.is_none()),
    ("site.tank_to_fire",
        always(Near, "tank_to_fire = \"? m\"", "a length", &["LEK017"]),
        |s| s.rig.supply.tank().is_some() && s.rig.site.tank_to_fire.is_none()),
    ("site.low_points",
        or_none(Near, "low_points = \"?\"", YES_OR_NO, &["SIT002", "LEK012"]),
        |s| s.fluid.molar_mass_kg_mol() > DRY_AIR_KG_MOL
            && s.rig.site.low_points.is_none() && s.rig.site.low_point_distance.is_none()),
    ("site.extinguisher",
        or_none(Near, "extinguisher = \"?\"", "dry-powder, carbon-dioxide, foam or water", &["SIT001"]),
        |s| s.rig.site.extinguisher.is_none()),
    ("leak_test",
        or_none(Tight, LEAK_TEST, "", &["REC001", "REC002", "LEK001", "LEK002"]),
        |s| !s.rig.train.parts().is_empty() && s.rig.leak_tests.is_empty()),
    ("records.test_day",
        always(Tight, "test_day = \"?\"", "a date, without quotes", &["REC002", "REC003"]),
        |s| s.rig.records.test_day.is_none()),
    ("records.cylinder_inspected",
        or_none(Tight, "cylinder_inspected = \"?\"", "a date, without quotes", &["REC006"]),
        |s| holds_pressure(s).is_some() && s.rig.records.cylinder_inspected.is_none()),
    ("records.hose_made",
        or_none(Tight, "hose_made = \"?\"", "a date, without quotes", &["REC003"]),
        |s| s.rig.records.hose_made.is_none()
            && s.rig.train.parts().iter().any(|p| matches!(p.kind, PartKind::Hose(_)))),
];

/// Facts about single parts: ratings, seals, and how fast shut-off valves close.
static OF_PARTS: &[(&str, Asked)] = &[
    (
        "closing_time",
        always(ShutsOff, "closing_time = \"? s\"", "a time", &["SHU008"]),
    ),
    (
        "max_pressure",
        or_none(
            Pressure,
            "max_pressure = \"? bar(g)\"",
            "a pressure",
            &["TRN005"],
        ),
    ),
    (
        "max_inlet",
        or_none(
            Pressure,
            "max_inlet = \"? bar(g)\"",
            "a pressure",
            &["REG003"],
        ),
    ),
    (
        "bore",
        always(Pressure, "bore = \"? mm\"", "a length", &["REG008"]),
    ),
    (
        "wetted",
        always(Tight, "wetted = \"?\"", "a list of materials", &["MAT001"]),
    ),
];

/// Whether a part has to state the fact of a key and does not.
fn lacks(part: &Part, key: &str, at_supply: &[&Part]) -> bool {
    match (key, &part.kind) {
        ("max_pressure", PartKind::Fitting(_)) => false,
        ("max_pressure", _) => part.rating.max_pressure.is_none(),
        ("max_inlet", PartKind::Regulator(r)) => {
            r.max_inlet.is_none() && at_supply.iter().any(|p| p.name == part.name)
        }
        ("bore", PartKind::ReliefValve(relief)) => relief.bore.is_none(),
        ("wetted", PartKind::Hose(_) | PartKind::SolenoidValve(_)) => part.wetted.is_empty(),
        ("closing_time", _) => {
            let law = part.closure.as_ref();
            part.shuts_without_power() && law.is_some_and(|c| c.closing_time.is_none())
        }
        _ => false,
    }
}

/// What this rig has to state and does not, in the order of the questions.
pub fn missing(s: &Solution<'_>) -> Vec<Missing> {
    let whole = ESSENTIALS.iter().filter(|(.., lacks)| lacks(s));
    let mut all: Vec<(String, &Asked)> = whole.map(|(k, a, _)| ((*k).to_owned(), a)).collect();
    let at_supply = ways::at_supply_pressure(&s.rig.train);
    let parts = s.rig.train.parts();
    for (key, asked) in OF_PARTS {
        let lacking = parts.iter().filter(|p| lacks(p, key, &at_supply));
        all.extend(lacking.map(|p| (format!("train.{}.{key}", p.name), asked)));
    }
    all.retain(|(key, _)| !s.rig.says_none(key));
    all.sort_by_key(|(_, asked)| asked.question);
    let told = all.into_iter().map(|(key, asked)| Missing {
        key,
        question: asked.question.of(s),
        example: asked.lines.to_owned(),
        takes: asked.takes,
        none: asked.none,
        rules: asked.rules,
    });
    told.collect()
}

/// Whether an instrument watches the flame, as far as the file says.
fn watched(s: &Solution<'_>) -> bool {
    !matches!(
        s.rig.controls.flame_detection,
        Some(FlameDetection::None | FlameDetection::Eye)
    ) && !s.rig.says_none("controls.flame_detection")
}

/// Whether the rig stands under a roof with walls.
fn indoors(s: &Solution<'_>) -> bool {
    s.rig.site.setting == Setting::Indoor
}

/// Whether a leak is a gas that can be smelt or detected.
fn burns_gas(s: &Solution<'_>) -> bool {
    usual_phase(&s.rig.fuel.composition) == FedAs::Gas
}

/// Whether the duct is blown through before light-up, as far as the file says.
fn purges(s: &Solution<'_>) -> bool {
    let none = s.rig.controls.purge_time.is_some_and(|t| t.value <= 0.0);
    !none && !s.rig.says_none("controls.purge_time")
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
