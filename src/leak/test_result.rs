//! A leak test that was made, judged: corrected for temperature, with the band of gauge and thermometer.

use super::pressure_decay::{corrected_drop, drop_band, drop_of_leak, leak_of_drop};
use super::test_plan::{THERMOMETER_K, TestPlan, ZoneTest};
use crate::quantity::{
    PressureDifference, TemperatureInterval, ThermodynamicTemperature, VolumeRate,
    kelvin_difference, pascals_difference,
};
use crate::train::rig::{LeakTest, Rig};

/// How far the gas may have warmed or cooled between readings where no temperature was read, K. Our
/// choice: a workshop in half an hour.
const DRIFT_K: f64 = 1.0;

/// What a test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeakVerdict {
    /// The accepted leak would have shown, and did not.
    Within,
    /// The band of the readings is too wide to tell.
    CannotTell,
    /// The pressure rose by more than its band: gas came in, or a reading is wrong.
    Rose,
    /// It leaks more than is accepted, whatever the readings were off by.
    Leaks,
}

impl LeakVerdict {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Within => "within what is accepted",
            Self::CannotTell => "cannot tell",
            Self::Rose => "nothing: the pressure rose",
            Self::Leaks => "leaks",
        }
    }
}

/// A test, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct LeakJudgement {
    /// Fall corrected for temperature.
    pub corrected: PressureDifference,
    /// Half-width of the band on it.
    pub band: PressureDifference,
    /// Uncertainty of each temperature counted with.
    pub temperature_band: TemperatureInterval,
    /// Fall that the accepted leak makes in the time of the test.
    pub accepted: PressureDifference,
    /// Leak at the lower end of the band, as the corrected fall means, and at the upper end.
    pub leak: (VolumeRate, VolumeRate, VolumeRate),
    /// Smallest leak that the test could see.
    pub smallest: VolumeRate,
    /// What it says.
    pub verdict: LeakVerdict,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// The zone that a test is taken to have covered: the last one, behind every regulator.
pub fn tested_zone(plan: &TestPlan) -> Option<&ZoneTest> {
    plan.zones.last()
}

/// Judges a test against what its plan accepts.
///
/// The test is taken as one of the last zone, at the volume given or summed from its parts. The gas leaks
/// `Δp = p₁ − p₂ T₁/T₂` plus or minus its band; it is within what is accepted only if the upper end is. A
/// pressure that rose by more than its band proves nothing.
///
/// **Valid:** as `pressure_decay`. Without a gauge resolution or a volume there is no judgement.
/// **Source:** `cfr1065` for the decay; the verdict is our choice.
///
/// # Errors
/// In words: what the record leaves out.
pub fn judge(rig: &Rig, test: &LeakTest, plan: &TestPlan) -> Result<LeakJudgement, String> {
    let zone = tested_zone(plan).ok_or("the rig file gives no train")?;
    let resolution = test
        .gauge_resolution
        .ok_or("the record does not say what step the gauge shows")?;
    let mut assumptions = Vec::new();
    let volume = match test.volume {
        Some(v) => v,
        None if zone.zone.volume.value <= 0.0 => {
            return Err("neither the record nor the parts give the volume under test".to_owned());
        }
        None => {
            if !zone.zone.volume_unknown.is_empty() {
                assumptions.push(format!(
                    "The volume under test is summed from the parts and leaves out {}: the leak may be larger.",
                    zone.zone.volume_unknown.join(", ")
                ));
            }
            zone.zone.volume
        }
    };
    let air = rig.site.air_pressure;
    let p1 = test.pressure.absolute(air).map_err(|e| e.to_string())?;
    let p2 = p1 - test.drop;
    let (t1, t2, u) = temperatures(rig, test, &mut assumptions);
    let corrected = corrected_drop((p1, t1), (p2, t2));
    let band = drop_band(p1, t1, resolution, u);
    let accepted_leak = super::closure_rate::burner_valve_leakage(zone.zone.bore);
    let accepted = drop_of_leak(accepted_leak, volume, t1, test.hold_time);
    let (low, high) = (
        corrected.pascals() - band.pascals(),
        corrected.pascals() + band.pascals(),
    );
    let verdict = if low > accepted.pascals() {
        LeakVerdict::Leaks
    } else if high < 0.0 {
        LeakVerdict::Rose
    } else if high <= accepted.pascals() {
        LeakVerdict::Within
    } else {
        LeakVerdict::CannotTell
    };
    let leak = |drop: f64| leak_of_drop(pascals_difference(drop), volume, t1, test.hold_time);
    Ok(LeakJudgement {
        corrected,
        band,
        temperature_band: u,
        accepted,
        leak: (
            leak(low.max(0.0)),
            leak(corrected.pascals()),
            leak(high.max(0.0)),
        ),
        smallest: leak(band.pascals()),
        verdict,
        assumptions,
    })
}

/// Temperatures at start and end with the uncertainty of each.
fn temperatures(
    rig: &Rig,
    test: &LeakTest,
    assumptions: &mut Vec<String>,
) -> (
    ThermodynamicTemperature,
    ThermodynamicTemperature,
    TemperatureInterval,
) {
    if let (Some(a), Some(b)) = (test.start_temperature, test.end_temperature) {
        return (a, b, kelvin_difference(THERMOMETER_K));
    }
    assumptions.push(format!(
        "The leak test gives no temperatures: the gas may have warmed or cooled by {DRIFT_K} K between the readings."
    ));
    let t = test.start_temperature.unwrap_or(rig.site.ambient);
    // one drift between two readings: the band takes two independent errors
    (t, t, kelvin_difference(DRIFT_K / 2.0_f64.sqrt()))
}
