//! Plan of a leak test: what to pressurise, how far, for how long, and what the test can and cannot see.

use super::closure_rate::burner_valve_leakage;
use super::pressure_decay::{drop_band, drop_of_leak, leak_of_drop};
use super::pressures_at_rest;
use super::trapped::supply_at_rest;
use super::zones::{Zone, zones};
use crate::eos::{Backend, EosError, Phase};
use crate::flow::orifice::{Stagnation, isentropic_flux};
use crate::quantity::{
    AbsolutePressure, MassRate, PressureDifference, ThermodynamicTemperature, Time, Volume,
    VolumeRate, kelvin_difference, kilograms_per_second, pascals_absolute, pascals_difference,
    seconds,
};
use crate::train::rig::{Rig, Supply};

/// Test pressure over working pressure, both gauge: International Fuel Gas Code 2015, 406.4.1, as quoted in public.
pub const FACTOR: f64 = 1.5;
/// Lowest test pressure, gauge, Pa: the same code, 3 psi.
pub const LEAST_PA: f64 = 20_700.0;
/// Uncertainty of each temperature reading, K. Our choice: a thermometer taped to the metal, lagged.
pub const THERMOMETER_K: f64 = 0.3;
/// Step of the gauge over test pressure, where none is given. Our choice: a digital gauge.
const USUAL_RESOLUTION: f64 = 1e-3;
/// Fall accepted over the step of the gauge: resolution ten times finer than the limit, as a published
/// decay practice asks (quoted on a public summary).
const STEPS: f64 = 10.0;
/// Fall accepted over the band of the temperature. Our choice.
const BANDS: f64 = 2.0;
/// Shortest and longest hold, s. Our choice; codes name 10 minutes and more.
const HOLD_S: (f64, f64) = (600.0, 14_400.0);
/// Holds are rounded up to this, s.
const HOLD_STEP_S: f64 = 300.0;
/// Density of nitrogen at 15 °C and 101 325 Pa by the ideal-gas law, kg/m³.
const NITROGEN_KG_M3: f64 = 101_325.0 * 28.0134e-3 / (8.314_462_618 * 288.15);

/// What a test of one zone needs.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneTest {
    /// What is tested together.
    pub zone: Zone,
    /// Highest pressure with the flow stopped, on the hottest day where the site gives one.
    pub working: AbsolutePressure,
    /// Test pressure; `None`: the weakest part does not stand the working pressure.
    pub pressure: Option<AbsolutePressure>,
    /// The weakest part keeps the test pressure below what the factor asks.
    pub limited: bool,
    /// The sums of the hold; `None` without a test pressure or a known volume.
    pub hold: Option<Hold>,
}

/// How long, and what it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Volume counted with.
    pub volume: Volume,
    /// Leak accepted, at 15 °C and 101 325 Pa.
    pub accepted: VolumeRate,
    /// How long.
    pub time: Time,
    /// The longest hold does not tell the accepted leak from the band.
    pub too_long: bool,
    /// Fall accepted in that time, corrected for temperature.
    pub drop: PressureDifference,
    /// Step of the gauge counted with.
    pub resolution: PressureDifference,
    /// Band on the corrected fall.
    pub band: PressureDifference,
    /// Smallest leak that gauge, thermometer and time can see.
    pub smallest: VolumeRate,
    /// Fuel that the accepted leak passes at working pressure, as gas.
    pub fuel: Option<MassRate>,
}

/// Plan of a test.
#[derive(Debug, Clone, PartialEq)]
pub struct TestPlan {
    /// Zones, from the supply on.
    pub zones: Vec<ZoneTest>,
    /// Temperature the sums hold for.
    pub temperature: ThermodynamicTemperature,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// What a test that passes does not prove.
pub const NOT_PROVED: [&str; 6] = [
    "that closed seats hold: each valve is between two pressures only if the line behind it is vented",
    "that parts left out of the test, blanked off or behind a closed valve, are tight",
    "that joints hold while the rig is hot, shaking or moved: soap them again after a run, once they have cooled",
    "that leaks smaller than the smallest seen are not there: soap shows them where it is put",
    "that nitrogen finds what the fuel finds: liquid fuel softens seals and leaks more mass from the same hole",
    "anything about the next time a spanner has been on the rig",
];

/// How the test is made, in order.
pub const STEPS_OF_TEST: [&str; 8] = [
    "fuel off at the supply, line vented outdoors, ignition off",
    "take out, blank off or bypass what does not stand the test pressure: regulators pressed from their outlet, gauges, burner valves",
    "nitrogen through a regulator with a relief valve that opens at the rating of the weakest part at most; raise the pressure in steps, nobody over the joints",
    "shut the nitrogen off and take its hose away: a supply that leaks in hides a leak",
    "wait until gas and metal have one temperature, a quarter of an hour and more, out of the sun",
    "read pressure and temperature, hold, read both again",
    "soap every joint in the order of the table while the pressure stands",
    "vent, put back what was taken out, and soap those joints, and the cylinder's own, at working pressure",
];

/// Plans the leak test of a rig.
///
/// Each zone is tested at 1.5 times its highest working pressure by the gauge, at least 207 mbar, and never
/// above the rating of its weakest part or what its joints are for. The whole zone may leak no more than a single burner shut-off
/// valve may to outside. It is held until that leak makes a fall of ten steps of the gauge and of twice
/// the band that the thermometers leave, for ten minutes at least.
///
/// * `nitrogen` — the test gas
///
/// **Valid:** nitrogen or air, rigid lines. **Errors:** no state of the fuel in the tank.
/// **Source:** `cfr1065` for the decay, `en161` for the leak; factors of the fuel-gas code or our choice, as said.
///
/// # Errors
/// As [`crate::train::plan::tank_supply`].
pub fn test_plan(
    rig: &Rig,
    fuel: &dyn Backend,
    nitrogen: Option<&dyn Backend>,
) -> Result<TestPlan, EosError> {
    let (supply, drawn) = supply_at_rest(rig, fuel)?;
    let hot = hottest_supply(rig, fuel, supply);
    let rest = pressures_at_rest(&rig.train, supply);
    let hot_rest = pressures_at_rest(&rig.train, hot);
    let cool_zones = zones(&rig.train, &rest, rig.site.air_pressure);
    let last = cool_zones.len().saturating_sub(1);
    let mut assumptions = vec![
        format!(
            "The test pressure is {FACTOR} times the highest working pressure by the gauge, at least 207 mbar: what fuel-gas codes ask of new piping, from memory; the local code decides."
        ),
        "A whole zone may leak what one burner shut-off valve may leak to outside ([en161], from memory: not confirmed): our choice."
            .to_owned(),
        format!("Each temperature is read within {THERMOMETER_K} K: our choice."),
    ];
    let planner = Planner {
        rig,
        drawn: drawn.as_ref(),
        nitrogen,
    };
    let mut tests = Vec::new();
    for (i, (zone, hot_zone)) in cool_zones
        .into_iter()
        .zip(zones(&rig.train, &hot_rest, rig.site.air_pressure))
        .enumerate()
    {
        let given = rig.leak_test.as_ref().and_then(|t| t.volume);
        let volume = given.filter(|_| i == last).unwrap_or(zone.volume);
        if i != last || given.is_none() {
            let unknown = &zone.volume_unknown;
            if !unknown.is_empty() {
                assumptions.push(format!(
                    "{}: the volume leaves out {}; the more volume, the longer the hold.",
                    zone.label(),
                    unknown.join(", ")
                ));
            }
        }
        let working = if hot_zone.at_rest > zone.at_rest {
            hot_zone.at_rest
        } else {
            zone.at_rest
        };
        tests.push(planner.test(zone, working, volume));
    }
    Ok(TestPlan {
        zones: tests,
        temperature: rig.site.ambient,
        assumptions,
    })
}

/// Pressure of the supply on the hottest day, where the site gives one and it is higher.
fn hottest_supply(rig: &Rig, fuel: &dyn Backend, supply: AbsolutePressure) -> AbsolutePressure {
    let (Supply::Tank(_), Some(hot)) = (&rig.supply, rig.site.hottest) else {
        return supply;
    };
    match fuel.bubble_t(hot.value) {
        Ok(bubble) => pascals_absolute(bubble.pressure_pa.max(supply.pascals())),
        Err(_) => supply,
    }
}

struct Planner<'a> {
    rig: &'a Rig,
    drawn: &'a dyn Backend,
    nitrogen: Option<&'a dyn Backend>,
}

impl Planner<'_> {
    fn test(&self, zone: Zone, working: AbsolutePressure, volume: Volume) -> ZoneTest {
        let ambient = self.rig.site.air_pressure.pascals();
        let gauge = working.pascals() - ambient;
        let wanted = (FACTOR * gauge).max(LEAST_PA) + ambient;
        let rating = zone
            .weakest
            .as_ref()
            .map_or(f64::INFINITY, |w| w.1.pascals());
        let pressure = (rating >= working.pascals()).then(|| pascals_absolute(wanted.min(rating)));
        let hold = pressure
            .filter(|_| volume.value > 0.0)
            .map(|p| self.hold(&zone, p, working, volume));
        ZoneTest {
            zone,
            working,
            pressure,
            limited: rating < wanted,
            hold,
        }
    }

    fn hold(
        &self,
        zone: &Zone,
        p: AbsolutePressure,
        working: AbsolutePressure,
        volume: Volume,
    ) -> Hold {
        let t = self.rig.site.ambient;
        let gauge_pa = p.pascals() - self.rig.site.air_pressure.pascals();
        let resolution = self
            .rig
            .leak_test
            .as_ref()
            .and_then(|test| test.gauge_resolution)
            .unwrap_or(pascals_difference(USUAL_RESOLUTION * gauge_pa));
        let band = drop_band(p, t, resolution, kelvin_difference(THERMOMETER_K));
        let accepted = burner_valve_leakage(zone.bore);
        let a_second = drop_of_leak(accepted, volume, t, seconds(1.0)).pascals();
        let needed_s = (STEPS * resolution.pascals()).max(BANDS * band.pascals()) / a_second;
        let rounded_s = (needed_s / HOLD_STEP_S).ceil() * HOLD_STEP_S;
        let time = seconds(rounded_s.clamp(HOLD_S.0, HOLD_S.1));
        Hold {
            volume,
            accepted,
            time,
            too_long: needed_s > HOLD_S.1,
            drop: drop_of_leak(accepted, volume, t, time),
            resolution,
            band,
            smallest: leak_of_drop(band, volume, t, time),
            fuel: self.fuel_of(accepted, p, working),
        }
    }

    /// Fuel that passes, at working pressure, the hole that leaks so much nitrogen at test pressure.
    fn fuel_of(
        &self,
        leak: VolumeRate,
        test: AbsolutePressure,
        working: AbsolutePressure,
    ) -> Option<MassRate> {
        let (t, air) = (self.rig.site.ambient, self.rig.site.air_pressure);
        let nitrogen = Stagnation::at(self.nitrogen?, test, t).ok()?;
        let per_area = isentropic_flux(&nitrogen, air).ok()?.flux.value;
        let area_m2 = leak.value * NITROGEN_KG_M3 / per_area;
        // gas at the temperature of the site, at its dew pressure at most
        let most_pa = match self.drawn.state_pt(working.pascals(), t.value) {
            // no dew point to look for
            Ok(state) if state.phase == Phase::Gas => f64::INFINITY,
            _ => self
                .drawn
                .dew_t(t.value)
                .map_or(f64::INFINITY, |d| d.pressure_pa),
        };
        let p_pa = working.pascals().min(most_pa);
        let state = self.drawn.state_pt_in(p_pa, t.value, Phase::Gas).ok()?;
        let flux = isentropic_flux(&Stagnation::of(self.drawn, state), air).ok()?;
        Some(kilograms_per_second(area_m2 * flux.flux.value))
    }
}
