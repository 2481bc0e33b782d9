//! What a switch is planned from: the rig, its duties as they are, and what is wished of the new fuel.

use super::error::ConvertError;
use crate::eos::Backend;
use crate::fuel::{Composition, Library};
use crate::injector::hole::HoleMake;
use crate::quantity::range::in_range;
use crate::quantity::show::Units;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, Length, MassRate, Power, Ratio, ThermodynamicTemperature,
    Time,
};
use crate::train::rig::{Rig, SwitchPlan};

/// What stays the same at every duty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Heat set free.
    HeatRelease,
    /// Equivalence ratio.
    EquivalenceRatio,
}

impl Keep {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::HeatRelease => "heat release",
            Self::EquivalenceRatio => "equivalence ratio",
        }
    }
}

/// What is wished of the new fuel; what is left out is chosen and said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wishes {
    /// What stays the same.
    pub keep: Keep,
    /// Running time on one fill.
    pub endurance: Option<Time>,
    /// Pressure of the liquid before the nozzle at the largest duty, or of the gas before the holes.
    pub feed_pressure: Option<AbsolutePressure>,
    /// Hydraulic over electric power of the pump.
    pub pump_efficiency: Option<Ratio>,
    /// Specific energy of the battery.
    pub battery_energy: Option<AvailableEnergy>,
    /// Height of the pump above the lowest fuel level (negative: below it).
    pub pump_lift: Option<Length>,
    /// Net positive suction head required by the pump.
    pub suction_head: Option<Length>,
    /// Number of nozzles.
    pub nozzles: Option<u32>,
    /// Length of line from tank to nozzle.
    pub line_length: Option<Length>,
}

impl Wishes {
    /// No wishes but what to keep.
    pub fn keeping(keep: Keep) -> Self {
        Self {
            keep,
            endurance: None,
            feed_pressure: None,
            pump_efficiency: None,
            battery_energy: None,
            pump_lift: None,
            suction_head: None,
            nozzles: None,
            line_length: None,
        }
    }

    /// Those of a rig's plan, for the fuel it is to run on. A pressure written down for another fuel says
    /// nothing about this one.
    pub fn of_rig(keep: Keep, plan: Option<&SwitchPlan>, to: &Composition) -> Self {
        let none = Self::keeping(keep);
        plan.map_or(none, |p| Self {
            endurance: p.endurance,
            feed_pressure: p.feed_pressure.filter(|_| p.to.label() == to.label()),
            pump_efficiency: p.pump_efficiency,
            battery_energy: p.battery_energy,
            pump_lift: p.pump_lift,
            suction_head: p.suction_head,
            nozzles: p.nozzles,
            line_length: p.line_length,
            ..none
        })
    }

    /// Refuses what makes no pump, battery or nozzle.
    ///
    /// # Errors
    /// [`ConvertError::OutOfRange`].
    pub fn check(&self) -> Result<(), ConvertError> {
        if let Some(t) = self.endurance {
            in_range("endurance in s", t.value, 1.0..=1e8)?;
        }
        if let Some(p) = self.feed_pressure {
            in_range("feed pressure in Pa", p.pascals(), 1e3..=1e8)?;
        }
        if let Some(e) = self.pump_efficiency {
            in_range("pump efficiency", e.value, 1e-3..=1.0)?;
        }
        if let Some(e) = self.battery_energy {
            in_range("battery energy in J/kg", e.value, 1e3..=1e8)?;
        }
        if let Some(h) = self.pump_lift {
            in_range("pump lift in m", h.value, -100.0..=100.0)?;
        }
        if let Some(h) = self.suction_head {
            in_range("suction head in m", h.value, 1e-3..=100.0)?;
        }
        if let Some(n) = self.nozzles {
            in_range("number of nozzles", f64::from(n), 1.0..=1000.0)?;
        }
        if let Some(l) = self.line_length {
            in_range("line length in m", l.value, 1e-3..=1e4)?;
        }
        Ok(())
    }
}

/// A duty as it runs on the old fuel.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyNow {
    /// Name.
    pub name: String,
    /// Air flow, moist.
    pub air: MassRate,
    /// Share of it that is dry air.
    pub dry_share: Ratio,
    /// Temperature of the air at the fire.
    pub air_temperature: ThermodynamicTemperature,
    /// Pressure of the chamber.
    pub chamber: AbsolutePressure,
    /// Fuel flow.
    pub fuel: MassRate,
    /// Equivalence ratio.
    pub equivalence_ratio: Ratio,
    /// Heat set free.
    pub heat_release: Power,
    /// Temperature of the gas that leaves, where known.
    pub exit_temperature: Option<ThermodynamicTemperature>,
    /// Pressure before the holes that this flow needs, where known.
    pub injector_pressure: Option<AbsolutePressure>,
}

/// The injector's holes as they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HolesNow {
    /// Number.
    pub number: u32,
    /// Diameter.
    pub diameter: Length,
}

/// All that a switch is planned from.
#[derive(Debug, Clone, Copy)]
pub struct ConvertInput<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Fuels, for surrogates.
    pub library: &'a Library,
    /// Old fuel.
    pub from: &'a dyn Backend,
    /// New fuel.
    pub to: &'a dyn Backend,
    /// Duties that have a fuel flow now.
    pub duties: &'a [DutyNow],
    /// Holes, where known.
    pub holes: Option<HolesNow>,
    /// Wishes.
    pub wishes: Wishes,
    /// Units of texts.
    pub units: Units,
}

impl ConvertInput<'_> {
    /// Temperature that the liquid has on the test day.
    pub fn day(&self) -> ThermodynamicTemperature {
        self.rig.site.ambient
    }

    /// Coldest and hottest temperature of the site, the test day where none is given.
    pub fn extremes(&self) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
        let site = &self.rig.site;
        (
            site.coldest.unwrap_or(site.ambient),
            site.hottest.unwrap_or(site.ambient),
        )
    }

    /// How holes of this number and diameter are made: a flow test holds for the injector's own.
    pub fn make_of(&self, number: u32, diameter: Length) -> HoleMake {
        let own = |h: &HolesNow| {
            h.number == number && (h.diameter.value / diameter.value - 1.0).abs() < 1e-9
        };
        let make = self.make();
        HoleMake {
            tested: make.tested.filter(|_| self.holes.as_ref().is_some_and(own)),
            ..make
        }
    }

    /// How the injector's holes are made.
    pub fn make(&self) -> HoleMake {
        let bands = &self.rig.tolerances;
        let discharge = bands.discharge_coefficient.map(|r| r.value);
        (self.rig.injector).make(discharge, bands.hole_tolerance())
    }
}
