//! Checks of site, air, burner, controls and heat limits.

use super::Checker;
use crate::flow::air::{BAROMETER_PA, MoistAir, standard_pressure};
use crate::flow::blower::Blower;
use crate::input::raw::{self, value};
use crate::input::reader::Entry;
use crate::input::section::Place;
use crate::quantity::printable::cut_name;
use crate::quantity::sentence::{pressure, sentence};
use crate::quantity::{
    AbsolutePressure, MassRate, Power, STANDARD_ATMOSPHERE_PA, ThermodynamicTemperature, ratio,
};
use crate::train::rig::site::AirPressureFrom;
use crate::train::rig::{
    Air, AirSource, Burner, Controls, Extinguisher, HeatLimit, Sees, Setting, Site,
};

/// Largest part by which weather moves the air pressure from that of the standard atmosphere. Between
/// the records of high and low at sea level lie −14 % and +7 %: common knowledge, no source.
const WEATHER: f64 = 0.15;

/// Relative difference of a blower's flow from what its power moves that is none. Our choice.
const SAME_FLOW: f64 = 0.05;

impl Checker<'_> {
    pub(super) fn site(&mut self, raw: &raw::Site) -> Option<Site> {
        let air_pressure = self.air_pressure(raw);
        if let Some((p, _)) = air_pressure {
            self.ambient = p;
        }
        self.temperatures_in_order(raw);
        if raw
            .setting
            .as_ref()
            .is_some_and(|s| s.value == Setting::Outdoor)
        {
            let setting = ("setting", raw.setting.as_ref());
            self.out_of_place("room_volume", raw.room_volume.as_ref(), setting);
            self.out_of_place("ventilation", raw.ventilation.as_ref(), setting);
            self.out_of_place("combustion_air", raw.combustion_air.as_ref(), setting);
            self.out_of_place("flue", raw.flue.as_ref(), setting);
        }
        if raw.low_points.as_ref().is_some_and(|l| !l.value) {
            let low_points = ("low_points", raw.low_points.as_ref());
            self.out_of_place(
                "low_point_distance",
                raw.low_point_distance.as_ref(),
                low_points,
            );
        }
        if raw
            .extinguisher
            .as_ref()
            .is_some_and(|e| e.value == Extinguisher::None)
        {
            let extinguisher = ("extinguisher", raw.extinguisher.as_ref());
            let charge = raw.extinguisher_charge.as_ref();
            self.out_of_place("extinguisher_charge", charge, extinguisher);
        }
        let v = |e: &Option<Entry<bool>>| e.as_ref().map(|e| e.value);
        self.air_outside = (
            value(raw.ambient_temperature.as_ref()),
            value(raw.relative_humidity.as_ref()).unwrap_or(ratio(0.0)),
        );
        let (air_pressure, air_pressure_from) = air_pressure?;
        Some(Site {
            air_pressure,
            air_pressure_from,
            ambient: raw.ambient_temperature.as_ref()?.value,
            coldest: value(raw.coldest.as_ref()),
            hottest: value(raw.hottest.as_ref()),
            relative_humidity: value(raw.relative_humidity.as_ref()),
            wind: value(raw.wind.as_ref()),
            setting: raw.setting.as_ref()?.value,
            room_volume: value(raw.room_volume.as_ref()),
            ventilation: value(raw.ventilation.as_ref())
                .or_else(|| nothing(&raw.stands, "ventilation")),
            combustion_air: value(raw.combustion_air.as_ref()),
            flue: v(&raw.flue),
            low_points: v(&raw.low_points),
            low_point_distance: value(raw.low_point_distance.as_ref()),
            operator_distance: value(raw.operator_distance.as_ref()),
            people_distance: value(raw.people_distance.as_ref()),
            tank_to_fire: value(raw.tank_to_fire.as_ref()),
            shutoff_distance: value(raw.shutoff_distance.as_ref()),
            extinguisher: value(raw.extinguisher.as_ref()),
            extinguisher_charge: value(raw.extinguisher_charge.as_ref()),
            gas_detector: v(&raw.gas_detector),
            carbon_monoxide_alarm: v(&raw.carbon_monoxide_alarm),
        })
    }

    fn air_pressure(&mut self, raw: &raw::Site) -> Option<(AbsolutePressure, AirPressureFrom)> {
        let by_altitude = match &raw.altitude {
            None => None,
            // the bounds of the key are those of the model
            Some(altitude) => Some((standard_pressure(altitude.value).ok()?, altitude)),
        };
        match (&raw.air_pressure, by_altitude) {
            (None, None) => {
                self.assume(sentence!(
                    "The air is taken at {}: the site gives neither altitude nor air pressure.",
                    pressure(STANDARD_ATMOSPHERE_PA).close()
                ));
                Some((
                    AbsolutePressure::STANDARD_ATMOSPHERE,
                    AirPressureFrom::Assumed,
                ))
            }
            (None, Some((p, altitude))) => Some((p, AirPressureFrom::Altitude(altitude.value))),
            (Some(given), by_altitude) => {
                let p = given
                    .value
                    .absolute(AbsolutePressure::STANDARD_ATMOSPHERE)
                    .ok()?;
                let plausible = BAROMETER_PA.contains(&p.pascals());
                if !plausible || matches!(given.value, crate::quantity::PressureLevel::Gauge(_)) {
                    self.wrong(
                        "E206",
                        "`air_pressure` must be absolute and 300 to 1200 mbar(a)",
                        &given.span,
                        "air pressure read on a barometer",
                        Some("for example `air_pressure = \"975 mbar(a)\"`".to_owned()),
                    );
                    return None;
                }
                if let Some((standard, altitude)) = by_altitude
                    && (p.pascals() / standard.pascals() - 1.0).abs() > WEATHER
                {
                    self.disagree(
                        format!(
                            "an air pressure of {:.0} mbar does not belong to this altitude, where it is about {:.0} mbar",
                            p.pascals() / 100.0,
                            standard.pascals() / 100.0
                        ),
                        (&given.span, "air pressure"),
                        (&altitude.span, "altitude"),
                        Some("barometers of weather services are reduced to sea level: give the pressure at the site"),
                    );
                    return None;
                }
                Some((p, AirPressureFrom::Given))
            }
        }
    }

    fn temperatures_in_order(&mut self, raw: &raw::Site) {
        let in_order = [
            (
                "coldest",
                raw.coldest.as_ref(),
                "ambient_temperature",
                raw.ambient_temperature.as_ref(),
            ),
            (
                "ambient_temperature",
                raw.ambient_temperature.as_ref(),
                "hottest",
                raw.hottest.as_ref(),
            ),
            (
                "coldest",
                raw.coldest.as_ref(),
                "hottest",
                raw.hottest.as_ref(),
            ),
        ];
        for (low_key, low, high_key, high) in in_order {
            let (Some(low), Some(high)) = (low, high) else {
                continue;
            };
            if low.value.value > high.value.value {
                self.disagree(
                    format!("`{low_key}` is above `{high_key}`"),
                    (&low.span, low_key),
                    (&high.span, high_key),
                    None,
                );
                return;
            }
        }
    }

    pub(super) fn air(&mut self, raw: Option<&raw::Air>) -> Option<Air> {
        let Some(raw) = raw else {
            return Some(Air {
                source: None,
                inlet: None,
                proved: None,
            });
        };
        let at = raw.stands.clone();
        if raw.flow.is_none() && raw.shaft_power.is_none() {
            self.exactly_one(
                &[("flow", None), ("shaft_power", None)],
                &at,
                "air at full throttle",
            );
            return None;
        }
        // a flow alone is air from anywhere; with a pressure it is that of a blower
        let told = raw.shaft_power.is_some() || raw.pressure_ratio.is_some();
        if !told {
            let flow = ("flow", raw.flow.as_ref());
            self.out_of_place("efficiency", raw.efficiency.as_ref(), flow);
        }
        let blower = if told {
            Some(self.blower(raw, &at)?)
        } else {
            None
        };
        let source = match (&raw.flow, &raw.shaft_power, blower) {
            (Some(flow), None, blower) => AirSource::Flow(flow.value, blower),
            (flow, Some(shaft), Some(blower)) => {
                if let Some(flow) = flow {
                    self.flow_and_power_agree(raw, flow, shaft, &blower)?;
                }
                AirSource::Blower {
                    blower,
                    shaft: shaft.value,
                }
            }
            (None, ..) | (_, Some(_), None) => return None,
        };
        Some(Air {
            source: Some(source),
            inlet: value::<ThermodynamicTemperature>(raw.inlet_temperature.as_ref()),
            proved: value(raw.proved.as_ref()),
        })
    }

    fn blower(&mut self, raw: &raw::Air, at: &Place) -> Option<Blower> {
        let because = if raw.shaft_power.is_some() {
            "a blower's flow follows from power, pressure ratio and efficiency"
        } else {
            "how warm the air leaves a blower follows from pressure ratio and efficiency"
        };
        let ratio = raw.pressure_ratio.as_ref();
        let ratio = self.need(ratio, "pressure_ratio", at, because, "1.04");
        let efficiency = raw.efficiency.as_ref();
        let efficiency = self.need(efficiency, "efficiency", at, because, "\"55 %\"");
        let (ratio, efficiency) = (ratio?, efficiency?);
        Blower::new(ratio.value, efficiency.value)
            .map_err(|e| self.wrong("E206", e.to_string(), &ratio.span, "pressure ratio", None))
            .ok()
    }

    /// Holds a flow against what the power moves at the pressure given.
    fn flow_and_power_agree(
        &mut self,
        raw: &raw::Air,
        flow: &Entry<MassRate>,
        shaft: &Entry<Power>,
        blower: &Blower,
    ) -> Option<()> {
        let (t, humidity) = self.air_outside;
        let t = value(raw.inlet_temperature.as_ref()).or(t)?;
        let inlet = MoistAir::new(self.ambient, t, humidity).ok()?;
        let moved = blower.air_flow(shaft.value, &inlet).ok()?;
        if (flow.value.value / moved.value - 1.0).abs() <= SAME_FLOW {
            return Some(());
        }
        let power = blower.shaft_power(flow.value, &inlet);
        self.disagree(
            format!(
                "the blower's power moves {:.3} g/s of air at this pressure and efficiency, and `flow` says {:.3} g/s, which takes {:.0} W",
                moved.value * 1e3,
                flow.value.value * 1e3,
                power.value
            ),
            (&flow.span, "flow"),
            (&shaft.span, "power at the shaft"),
            Some("leave out the one that is not measured"),
        );
        None
    }

    pub(super) fn burner(&mut self, raw: Option<&raw::Burner>) -> Burner {
        let Some(raw) = raw else {
            return Burner::default();
        };
        if let (Some(distance), Some(length)) = (&raw.flame_distance, &raw.can_length)
            && distance.value > length.value
        {
            self.disagree(
                "the flame stands outside the can",
                (&distance.span, "distance of the flame"),
                (&length.span, "length of the can"),
                None,
            );
        }
        Burner {
            can_volume: value(raw.can_volume.as_ref()),
            duct_volume: value(raw.duct_volume.as_ref()),
            can_length: value(raw.can_length.as_ref()),
            air_passage: value(raw.air_passage.as_ref()),
            flame_distance: value(raw.flame_distance.as_ref()),
            primary_air_share: value(raw.primary_air_share.as_ref()),
            primary_volume: value(raw.primary_volume.as_ref()),
            heat_loss: value(raw.heat_loss.as_ref()),
            combustion_efficiency: value(raw.combustion_efficiency.as_ref()),
            burn_on_limit: value(raw.burn_on_limit.as_ref()),
        }
    }

    pub(super) fn controls(&mut self, raw: Option<&raw::Controls>) -> Controls {
        use crate::train::rig::FlameDetection;
        let Some(raw) = raw else {
            return Controls::default();
        };
        if raw
            .flame_detection
            .as_ref()
            .is_some_and(|d| d.value == FlameDetection::None)
        {
            let detection = ("flame_detection", raw.flame_detection.as_ref());
            let time = raw.flame_failure_time.as_ref();
            self.out_of_place("flame_failure_time", time, detection);
        }
        Controls {
            ignition: value(raw.ignition.as_ref()),
            flame_detection: value(raw.flame_detection.as_ref()),
            flame_failure_time: value(raw.flame_failure_time.as_ref()),
            ignition_time: value(raw.ignition_time.as_ref()),
            purge_time: value(raw.purge_time.as_ref())
                .or_else(|| nothing(&raw.stands, "purge_time")),
            purge_air_flow: value(raw.purge_air_flow.as_ref()),
            lockout: value(raw.lockout.as_ref()),
            low_fuel_cutoff: value(raw.low_fuel_cutoff.as_ref()),
            high_fuel_cutoff: value(raw.high_fuel_cutoff.as_ref()),
            emergency_stop: value(raw.emergency_stop.as_ref()),
            flame_detector_sees: value(raw.flame_detector_sees.as_ref()),
            retries: value(raw.retries.as_ref()),
            valve_proving: value(raw.valve_proving.as_ref()),
            unattended: value(raw.unattended.as_ref()),
            over_temperature_cutoff: value(raw.over_temperature_cutoff.as_ref()),
        }
    }
}

/// Zero, where a key says that there is none of what it counts.
fn nothing<T: Default>(place: &Place, key: &str) -> Option<T> {
    place.none.contains(&key).then(T::default)
}

/// Heat limits.
pub(super) fn limits(raw: &[raw::Limit]) -> Option<Vec<HeatLimit>> {
    raw.iter()
        .map(|limit| {
            let place = cut_name(&limit.place.as_ref()?.value);
            Some(HeatLimit {
                material: cut_name(&limit.material.as_ref()?.value),
                max_temperature: limit.max_temperature.as_ref()?.value,
                sees: value(limit.sees.as_ref()).or_else(|| Sees::of_place(&place)),
                place,
            })
        })
        .collect()
}
