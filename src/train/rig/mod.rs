//! A whole rig as its file tells it: site, fuel, air, duties, supply, train, injector, limits, records.
//!
//! Plain data, checked one value at a time; what follows from it together is for the modules that solve.

pub mod date;
pub mod fire;
pub mod given;
pub mod records;
pub mod site;
pub mod supply;

pub use date::Date;
pub use fire::{
    Air, AirSource, Burner, Controls, Device, Flame, FlameDetection, HeatLimit, Ignition, Sees,
};
pub use given::Given;
pub use records::{
    HoleTest, LeakTest, ProofTest, Records, ScheduleStep, Suppression, SwitchPlan, TestMethod,
    TestWord, Timetable, Tolerances,
};
pub use site::{CombustionAir, Extinguisher, Setting, Site};
pub use supply::{ChangeOver, Mains, PressureRead, Supply, TankPosition, TankSpec, WallMaterial};

use super::Train;
use crate::fuel::Composition;
use crate::injector::duty::Duty;
use crate::injector::spec::InjectorSpec;
use crate::quantity::sentence::Sentence;
use crate::quantity::{ThermodynamicTemperature, kelvin};
use std::collections::BTreeSet;

/// A rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// Name.
    pub name: String,
    /// Remarks of its owner.
    pub notes: Option<String>,
    /// Where it stands.
    pub site: Site,
    /// What it burns.
    pub fuel: FuelSpec,
    /// Where its air comes from.
    pub air: Air,
    /// The can and duct the fire is in.
    pub burner: Burner,
    /// What lights, watches and stops the fire.
    pub controls: Controls,
    /// What it is to do, in the order of the file; at least one.
    pub duties: Vec<Duty>,
    /// The holes the fuel comes through.
    pub injector: InjectorSpec,
    /// Tank or mains.
    pub supply: Supply,
    /// Parts from supply to injector.
    pub train: Train,
    /// What must not get hotter than what.
    pub limits: Vec<HeatLimit>,
    /// Leak tests on record, in the order of the file.
    pub leak_tests: Vec<LeakTest>,
    /// Flow tests of the holes on record, in the order of the file.
    pub flow_tests: Vec<HoleTest>,
    /// Dates and papers.
    pub records: Records,
    /// When the devices that shut the fuel were last tried.
    pub proof_tests: Vec<ProofTest>,
    /// Rules that are set aside, each with a reason.
    pub suppressed: Vec<Suppression>,
    /// Run plan.
    pub timetable: Option<Timetable>,
    /// Plan for another fuel.
    pub switch: Option<SwitchPlan>,
    /// Bands on what was given.
    pub tolerances: Tolerances,
    /// What was taken for granted because the file does not say it, one sentence each.
    pub assumptions: Vec<Sentence>,
    /// Paths of keys and tables that say `"none"`: there is none, and the file says so.
    pub none: BTreeSet<String>,
    /// Day of the calendar on which the file is read; `None`: not asked for.
    pub today: Option<Date>,
    /// Every key with numbers, as the file gives them.
    pub given: Vec<Given>,
}

/// What the rig burns.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelSpec {
    /// Composition by mole.
    pub composition: Composition,
    /// As written in the file.
    pub written: String,
    /// Whether a smell gives a leak away; `None`: not said.
    pub odorised: Option<bool>,
}

impl Rig {
    /// Whether the file says that there is none of what a key or table stands for.
    pub fn says_none(&self, path: &str) -> bool {
        self.none.contains(path)
    }

    /// Warmest that the tank gets: the hottest day of the site, and [`supply::SUN_K`] more where it stands in the sun.
    pub fn hottest_tank(&self) -> Option<ThermodynamicTemperature> {
        let sun = self.supply.tank().is_some_and(|t| t.in_sun == Some(true));
        let sun_k = if sun { supply::SUN_K } else { 0.0 };
        Some(kelvin(self.site.hottest?.value + sun_k))
    }

    /// The number that the file gives at a path, where it is one; a pressure as a gauge at the site reads it.
    pub fn given(&self, path: &str) -> Option<f64> {
        let given = self.given.iter().find(|g| g.path == path)?;
        given.values.first().copied()
    }

    /// Band that `[tolerance]` gives the discharge coefficient in place of its model's, a relative half-width; none for
    /// holes that were flow-tested, whose test has its own.
    pub fn hole_band(&self) -> Option<f64> {
        let given = self.tolerances.discharge_coefficient;
        given
            .filter(|_| self.injector.tested.is_none())
            .map(|r| r.value)
    }

    /// Devices that shut the fuel, as far as the file says.
    pub fn devices(&self) -> Vec<Device> {
        let c = &self.controls;
        let all = [
            (Device::FlameDetector, Some(c.has_flame_detector())),
            (Device::AirSwitch, self.air.proved),
            (Device::LowFuelCutoff, c.low_fuel_cutoff),
            (Device::HighFuelCutoff, c.high_fuel_cutoff),
            (Device::EmergencyStop, c.emergency_stop),
            (Device::OverTemperatureCutoff, c.over_temperature_cutoff),
        ];
        let fitted = all.into_iter().filter(|(_, there)| *there == Some(true));
        fitted.map(|(device, _)| device).collect()
    }

    /// The duty of this name.
    pub fn duty(&self, name: &str) -> Option<&Duty> {
        self.duties.iter().find(|d| d.name == name)
    }
}
