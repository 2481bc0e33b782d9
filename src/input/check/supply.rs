//! Checks of tank and mains.

use super::Checker;
use crate::input::raw::{self, RigFile};
use crate::quantity::show::number;
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
        let tank = ("tank", file.tank.as_ref().map(|t| &t.stands.span));
        let mains = ("mains", file.mains.as_ref().map(|m| &m.stands.span));
        self.one_of(&[tank, mains], &(0..0), "where the fuel comes from")?;
        if let Some(tank) = &file.tank {
            return self.tank(tank).map(Supply::Tank);
        }
        let mains = file.mains.as_ref()?;
        let pressure = self.absolute(&mains.pressure);
        let read = mains.pressure_read.value().unwrap_or_else(|| {
            self.assume("The pressure of the main is taken as that of the gas moving through the first part: the file does not say that it is read at rest.");
            PressureRead::Moving
        });
        Some(Supply::Mains(Mains {
            pressure: pressure?,
            read,
            temperature: mains.temperature.value(),
            max_flow: mains.max_flow.value(),
        }))
    }

    fn tank(&mut self, raw: &raw::Tank) -> Option<TankSpec> {
        let charge = self.exactly_one(&[&raw.fuel_mass, &raw.fill], "what is in the tank");
        let relief_pressure = self.maybe_absolute(&raw.relief_pressure);
        let rating = self.maybe_absolute(&raw.rating);
        let pressure = self.maybe_absolute(&raw.pressure);
        self.sizes_agree(raw);
        self.frost_agrees(raw);
        let wall_specific_heat = raw
            .wall_specific_heat
            .value()
            .or_else(|| raw.wall_material.value().map(specific_heat));
        Some(TankSpec {
            volume: raw.volume.value()?,
            charge: if charge? == 0 {
                Charge::Mass(raw.fuel_mass.value()?)
            } else {
                Charge::LiquidShare(raw.fill.value()?)
            },
            temperature: raw.temperature.value(),
            wall_mass: raw.wall_mass.value(),
            wall_specific_heat,
            wall_material: raw.wall_material.value(),
            empty_mass: raw.empty_mass.value(),
            diameter: raw.diameter.value(),
            length: raw.length.value(),
            setting: raw.setting.value(),
            in_sun: raw.in_sun.value(),
            below_ground: raw.below_ground.value(),
            position: raw.position.value()?,
            draw: raw.draw.value()?,
            relief_pressure: relief_pressure?,
            rating: rating?,
            pressure: pressure?,
            number: raw.number.value().unwrap_or(1),
            change_over: raw.change_over.value(),
            conductance: raw.conductance.value(),
            water_bath: raw.water_bath.value(),
            frost: raw
                .frost_thickness
                .value()
                .map(|thickness| (thickness, raw.frost_conductivity.value())),
            emissivity: raw.emissivity.value(),
            wall_thickness: raw.wall_thickness.value(),
        })
    }

    fn sizes_agree(&mut self, raw: &raw::Tank) {
        self.hold_against(
            (&raw.wall_mass, "wall"),
            (&raw.empty_mass, "whole"),
            |wall, empty| wall > empty,
            "the wall weighs more than the whole empty tank",
        );
        if let (Some(volume), Some(diameter), Some(length)) =
            (&raw.volume.entry, &raw.diameter.entry, &raw.length.entry)
        {
            let outside_m3 = outside_volume(diameter.value, length.value).value;
            if volume.value.value > outside_m3 {
                self.disagree(
                    format!(
                        "a tank of this diameter and length holds less than {} L",
                        number(outside_m3 * 1e3)
                    ),
                    (&volume.span, "holds this"),
                    (&diameter.span, "by its size outside"),
                    None,
                );
            }
        }
        self.out_of_place(&raw.conductance, &raw.water_bath);
        self.hold_against(
            (&raw.wall_thickness, "on both sides"),
            (&raw.diameter, "outside"),
            |wall, diameter| 2.0 * wall.value >= diameter.value,
            "the wall is as thick as the tank",
        );
    }

    /// Frost is a resistance between air and a wall of known size.
    fn frost_agrees(&mut self, raw: &raw::Tank) {
        let frost = &raw.frost_thickness;
        self.out_of_place(frost, &raw.water_bath);
        self.out_of_place(frost, &raw.conductance);
        if raw.frost_conductivity.is_given() && !frost.is_given() {
            self.missing(frost, "`frost_conductivity` is that of a layer");
        }
    }
}
