//! Checks of tank and mains.

use super::{Checker, choice};
use crate::input::raw::{self, RigFile, value};
use crate::input::section::Place;
use crate::quantity::{SpecificHeatCapacity, joules_per_kilogram_kelvin};
use crate::tank::shell::outside_volume;
use crate::train::rig::supply::Charge;
use crate::train::rig::{Mains, PressureRead, Supply, TankSpec, WallMaterial};

/// Specific heat near 20 °C, J/(kg K): textbook figures, common practice, no source; 3 %.
fn specific_heat(wall: WallMaterial) -> SpecificHeatCapacity {
    joules_per_kilogram_kelvin(match wall {
        WallMaterial::Steel => 470.0,
        WallMaterial::Aluminium => 900.0,
        WallMaterial::Composite => 1000.0,
    })
}

impl Checker<'_> {
    pub(super) fn supply(&mut self, file: &RigFile) -> Option<Supply> {
        let tank_at = file.tank.as_ref().map(|t| t.stands.clone());
        let mains_at = file.mains.as_ref().map(|m| m.stands.clone());
        let which = self.exactly_one(
            &[
                ("tank", tank_at.as_ref().map(|p| &p.span)),
                ("mains", mains_at.as_ref().map(|p| &p.span)),
            ],
            &Place::default(),
            "where the fuel comes from",
        )?;
        if which == 0 {
            let tank = file.tank.as_ref()?;
            return self.tank(tank, &tank_at?).map(Supply::Tank);
        }
        let mains = file.mains.as_ref()?;
        let pressure = mains.pressure.as_ref().and_then(|p| self.absolute(p));
        let read = value(mains.pressure_read.as_ref()).unwrap_or_else(|| {
            self.assume("The pressure of the main is taken as that of the gas moving through the first part: the file does not say that it is read at rest.");
            PressureRead::Moving
        });
        Some(Supply::Mains(Mains {
            pressure: pressure?,
            read,
            temperature: value(mains.temperature.as_ref()),
            max_flow: value(mains.max_flow.as_ref()),
        }))
    }

    fn tank(&mut self, raw: &raw::Tank, at: &Place) -> Option<TankSpec> {
        let charge = self.exactly_one(
            &[
                choice("fuel_mass", raw.fuel_mass.as_ref()),
                choice("fill", raw.fill.as_ref()),
            ],
            at,
            "what is in the tank",
        );
        let relief_pressure = self.maybe_absolute(raw.relief_pressure.as_ref());
        let rating = self.maybe_absolute(raw.rating.as_ref());
        let pressure = self.maybe_absolute(raw.pressure.as_ref());
        self.sizes_agree(raw);
        self.frost_agrees(raw, at);
        let wall_specific_heat = value(raw.wall_specific_heat.as_ref())
            .or_else(|| raw.wall_material.as_ref().map(|m| specific_heat(m.value)));
        Some(TankSpec {
            volume: raw.volume.as_ref()?.value,
            charge: if charge? == 0 {
                Charge::Mass(raw.fuel_mass.as_ref()?.value)
            } else {
                Charge::LiquidShare(raw.fill.as_ref()?.value)
            },
            temperature: value(raw.temperature.as_ref()),
            wall_mass: value(raw.wall_mass.as_ref()),
            wall_specific_heat,
            wall_material: value(raw.wall_material.as_ref()),
            empty_mass: value(raw.empty_mass.as_ref()),
            diameter: value(raw.diameter.as_ref()),
            length: value(raw.length.as_ref()),
            setting: value(raw.setting.as_ref()),
            in_sun: value(raw.in_sun.as_ref()),
            below_ground: value(raw.below_ground.as_ref()),
            position: raw.position.as_ref()?.value,
            draw: raw.draw.as_ref()?.value,
            relief_pressure: relief_pressure?,
            rating: rating?,
            pressure: pressure?,
            number: raw.number.as_ref().map_or(1, |n| n.value),
            change_over: value(raw.change_over.as_ref()),
            conductance: value(raw.conductance.as_ref()),
            water_bath: value(raw.water_bath.as_ref()),
            frost: value(raw.frost_thickness.as_ref())
                .map(|thickness| (thickness, value(raw.frost_conductivity.as_ref()))),
            emissivity: value(raw.emissivity.as_ref()),
            wall_thickness: value(raw.wall_thickness.as_ref()),
        })
    }

    fn sizes_agree(&mut self, raw: &raw::Tank) {
        if let (Some(wall), Some(empty)) = (&raw.wall_mass, &raw.empty_mass)
            && wall.value > empty.value
        {
            self.disagree(
                "the wall weighs more than the whole empty tank",
                (&wall.span, "wall"),
                (&empty.span, "whole"),
                None,
            );
        }
        if let (Some(volume), Some(diameter), Some(length)) =
            (&raw.volume, &raw.diameter, &raw.length)
        {
            let outside_m3 = outside_volume(diameter.value, length.value).value;
            if volume.value.value > outside_m3 {
                self.disagree(
                    format!(
                        "a tank of this diameter and length holds less than {:.1} L",
                        outside_m3 * 1e3
                    ),
                    (&volume.span, "holds this"),
                    (&diameter.span, "by its size outside"),
                    None,
                );
            }
        }
        if raw.water_bath.is_some() {
            let bath = ("water_bath", raw.water_bath.as_ref());
            self.out_of_place("conductance", raw.conductance.as_ref(), bath);
        }
        if let (Some(wall), Some(diameter)) = (&raw.wall_thickness, &raw.diameter)
            && 2.0 * wall.value.value >= diameter.value.value
        {
            self.disagree(
                "the wall is as thick as the tank",
                (&wall.span, "on both sides"),
                (&diameter.span, "outside"),
                None,
            );
        }
    }

    /// Frost is a resistance between air and a wall of known size.
    fn frost_agrees(&mut self, raw: &raw::Tank, at: &Place) {
        let frost = raw.frost_thickness.as_ref();
        let bath = ("water_bath", raw.water_bath.as_ref());
        self.out_of_place("frost_thickness", frost, bath);
        let conductance = ("conductance", raw.conductance.as_ref());
        self.out_of_place("frost_thickness", frost, conductance);
        if raw.frost_conductivity.is_some() && frost.is_none() {
            self.missing(
                "frost_thickness",
                at,
                "`frost_conductivity` is that of a layer",
                "\"3 mm\"",
            );
        }
    }
}
