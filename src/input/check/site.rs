//! Checks of site, air, burner, controls and heat limits.

use super::Checker;
use crate::flow::air::{BAROMETER_PA, MoistAir, standard_pressure};
use crate::flow::blower::Blower;
use crate::input::key::AnyKey;
use crate::input::raw;
use crate::input::reader::Entry;
use crate::quantity::printable::cut_name;
use crate::quantity::sentence::{pressure, sentence};
use crate::quantity::show::number;
use crate::quantity::{AbsolutePressure, MassRate, Power, STANDARD_ATMOSPHERE_PA, ratio};
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
        if raw.setting.says(&Setting::Outdoor) {
            let setting = &raw.setting;
            self.out_of_place(&raw.room_volume, setting);
            self.out_of_place(&raw.ventilation, setting);
            self.out_of_place(&raw.combustion_air, setting);
            self.out_of_place(&raw.flue, setting);
        }
        if raw.low_points.says(&false) {
            self.out_of_place(&raw.low_point_distance, &raw.low_points);
        }
        if raw.extinguisher.says(&Extinguisher::None) {
            self.out_of_place(&raw.extinguisher_charge, &raw.extinguisher);
        }
        self.air_outside = (
            raw.ambient_temperature.value(),
            raw.relative_humidity.value().unwrap_or(ratio(0.0)),
        );
        let (air_pressure, air_pressure_from) = air_pressure?;
        Some(Site {
            air_pressure,
            air_pressure_from,
            ambient: raw.ambient_temperature.value()?,
            coldest: raw.coldest.value(),
            hottest: raw.hottest.value(),
            relative_humidity: raw.relative_humidity.value(),
            wind: raw.wind.value(),
            setting: raw.setting.value()?,
            room_volume: raw.room_volume.value(),
            ventilation: raw.ventilation.value_or_nothing(),
            combustion_air: raw.combustion_air.value(),
            flue: raw.flue.value(),
            low_points: raw.low_points.value(),
            low_point_distance: raw.low_point_distance.value(),
            operator_distance: raw.operator_distance.value(),
            people_distance: raw.people_distance.value(),
            tank_to_fire: raw.tank_to_fire.value(),
            shutoff_distance: raw.shutoff_distance.value(),
            extinguisher: raw.extinguisher.value(),
            extinguisher_charge: raw.extinguisher_charge.value(),
            gas_detector: raw.gas_detector.value(),
            carbon_monoxide_alarm: raw.carbon_monoxide_alarm.value(),
        })
    }

    fn air_pressure(&mut self, raw: &raw::Site) -> Option<(AbsolutePressure, AirPressureFrom)> {
        let by_altitude = match &raw.altitude.entry {
            None => None,
            // the bounds of the key are those of the model
            Some(altitude) => Some((standard_pressure(altitude.value).ok()?, altitude)),
        };
        match (&raw.air_pressure.entry, by_altitude) {
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
                            "an air pressure of {} mbar does not belong to this altitude, where it is about {} mbar",
                            number(p.pascals() / 100.0),
                            number(standard.pascals() / 100.0)
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
        let (coldest, ambient, hottest) = (&raw.coldest, &raw.ambient_temperature, &raw.hottest);
        for (low, high) in [(coldest, ambient), (ambient, hottest), (coldest, hottest)] {
            let names = (low.field().key, high.field().key);
            if let (Some(low), Some(high)) = (&low.entry, &high.entry)
                && low.value.value > high.value.value
            {
                self.disagree(
                    format!("`{}` is above `{}`", names.0, names.1),
                    (&low.span, names.0),
                    (&high.span, names.1),
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
        if !raw.flow.is_given() && !raw.shaft_power.is_given() {
            self.exactly_one(&[&raw.flow, &raw.shaft_power], "air at full throttle");
            return None;
        }
        // a flow alone is air from anywhere; with a pressure it is that of a blower
        let told = raw.shaft_power.is_given() || raw.pressure_ratio.is_given();
        if !told {
            self.out_of_place(&raw.efficiency, &raw.flow);
        }
        let blower = if told { Some(self.blower(raw)?) } else { None };
        let source = match (&raw.flow.entry, &raw.shaft_power.entry, blower) {
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
            inlet: raw.inlet_temperature.value(),
            proved: raw.proved.value(),
        })
    }

    fn blower(&mut self, raw: &raw::Air) -> Option<Blower> {
        let because = if raw.shaft_power.is_given() {
            "a blower's flow follows from power, pressure ratio and efficiency"
        } else {
            "how warm the air leaves a blower follows from pressure ratio and efficiency"
        };
        let ratio = self.need(&raw.pressure_ratio, because);
        let efficiency = self.need(&raw.efficiency, because);
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
        let t = raw.inlet_temperature.value().or(t)?;
        let inlet = MoistAir::new(self.ambient, t, humidity).ok()?;
        let moved = blower.air_flow(shaft.value, &inlet).ok()?;
        if (flow.value.value / moved.value - 1.0).abs() <= SAME_FLOW {
            return Some(());
        }
        let power = blower.shaft_power(flow.value, &inlet);
        self.disagree(
            format!(
                "the blower's power moves {} g/s of air at this pressure and efficiency, and `flow` says {} g/s, which takes {} W",
                number(moved.value * 1e3),
                number(flow.value.value * 1e3),
                number(power.value)
            ),
            (&flow.span, "flow"),
            (&shaft.span, "power at the shaft"),
            Some("leave out the one that is not measured"),
        );
        None
    }

    pub(super) fn burner(&mut self, raw: Option<&raw::Burner>) -> Option<Burner> {
        let Some(raw) = raw else {
            return Some(Burner::default());
        };
        self.hold_against(
            (&raw.flame_distance, "distance of the flame"),
            (&raw.can_length, "length of the can"),
            |distance, length| distance > length,
            "the flame stands outside the can",
        );
        raw.model()
    }

    pub(super) fn controls(&mut self, raw: Option<&raw::Controls>) -> Option<Controls> {
        use crate::train::rig::FlameDetection;
        let Some(raw) = raw else {
            return Some(Controls::default());
        };
        if raw.flame_detection.says(&FlameDetection::None) {
            self.out_of_place(&raw.flame_failure_time, &raw.flame_detection);
        }
        Some(Controls {
            purge_time: raw.purge_time.value_or_nothing(),
            ..raw.model()?
        })
    }
}

/// Heat limits.
pub(super) fn limits(raw: &[raw::Limit]) -> Option<Vec<HeatLimit>> {
    raw.iter()
        .map(|limit| {
            let place = cut_name(&limit.place.value()?);
            Some(HeatLimit {
                material: cut_name(&limit.material.value()?),
                max_temperature: limit.max_temperature.value()?,
                sees: limit.sees.value().or_else(|| Sees::of_place(&place)),
                place,
            })
        })
        .collect()
}
