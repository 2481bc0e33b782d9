//! A leak test that was made, judged: corrected for temperature, with the band of gauge and thermometer.

use super::pressure_decay::{corrected_drop, drop_band, leak_of_drop};
use super::test_plan::{MOST_FALL, THERMOMETER_K, TestPlan, accepted_drop};
use super::test_record::Placed;
use crate::quantity::{
    PressureDifference, TemperatureInterval, ThermodynamicTemperature, Time, Volume, VolumeRate,
    kelvin_difference, pascals_difference,
};
use crate::train::rig::{LeakTest, Rig, Setting, TestMethod};

/// How far the gas may have warmed or cooled between readings where no temperature was read, K. Our
/// choice: a workshop in half an hour.
const DRIFT_K: f64 = 1.0;
/// The same outdoors, K. Our choice: the sun comes out, or goes.
const DRIFT_OUTDOORS_K: f64 = 10.0;
/// Step of a gauge that the record does not give, over the test pressure. Our choice: a coarse dial.
const COARSE_STEP: f64 = 0.02;

/// What a test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeakVerdict {
    /// The accepted leak would have shown, and did not.
    Within,
    /// The band of the readings is too wide to tell, or the record leaves out what would tell.
    CannotTell,
    /// The pressure rose by more than its band: gas came in, or a reading is wrong.
    Rose,
    /// Nothing showed, at a pressure below that of the work: it proves nothing of the work.
    TooLow,
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
            Self::TooLow => "too low",
            Self::Leaks => "leaks",
        }
    }
}

/// The sums of a pressure that was held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DecaySums {
    /// Fall corrected for temperature.
    pub corrected: PressureDifference,
    /// Half-width of the band on it.
    pub band: PressureDifference,
    /// Uncertainty of each temperature counted with.
    pub temperature_band: TemperatureInterval,
    /// Fall accepted in the time of the test.
    pub accepted: PressureDifference,
    /// Volume counted with; `None`: neither the record nor the parts give one.
    pub volume: Option<Volume>,
    /// Leak at the lower end of the band, as the corrected fall means, and at the upper end.
    pub leak: Option<(VolumeRate, VolumeRate, VolumeRate)>,
    /// Smallest leak that the test could see.
    pub smallest: Option<VolumeRate>,
}

/// A test, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct LeakJudgement {
    /// The record and what it is of.
    pub record: Placed,
    /// The sums; `None` of soap.
    pub sums: Option<DecaySums>,
    /// The stated volume is not that of the parts: theirs is counted with.
    pub volume_off: bool,
    /// What it says.
    pub verdict: LeakVerdict,
    /// Why it cannot tell.
    pub because: Option<String>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// Every test on record, judged against the zone it was made of, in the order of the file.
///
/// The gas of a pressure that was held leaks `Δp = p₁ − p₂ T₁/T₂` plus or minus its band; it is within what is
/// accepted only if the upper end is, and it leaks only if the lower end is above. A pressure that rose by more than
/// its band proves nothing. Without a step of the gauge, without a volume, or outdoors without temperatures nothing
/// but a gross fall tells. The volume is the stated one, but that of the parts where the two are more than twice apart.
/// Soap says what it showed. What showed nothing at less than the pressure of the work is too low.
///
/// **Valid:** as `pressure_decay`. **Source:** `cfr1065` for the decay; the verdict is our choice.
pub fn judged(rig: &Rig, plan: &TestPlan) -> Vec<LeakJudgement> {
    plan.records
        .iter()
        .map(|record| judge(rig, record))
        .collect()
}

fn judge(rig: &Rig, record: &Placed) -> LeakJudgement {
    let mut judged = at_its_pressure(rig, record);
    if judged.verdict == LeakVerdict::Within && record.short_of(record.least, rig) {
        judged.verdict = LeakVerdict::TooLow;
    }
    judged
}

/// What a record says of the pressure that it was made at.
fn at_its_pressure(rig: &Rig, record: &Placed) -> LeakJudgement {
    let mut assumptions = Vec::new();
    if record.guessed {
        assumptions.push(format!(
            "The leak test of {} is taken as one of {}, which its pressure fits: `from` and `to` would say so.",
            record.test.date, record.label
        ));
    }
    if let Some(why) = &record.nowhere {
        return without_sums(
            record,
            LeakVerdict::CannotTell,
            Some(why.clone()),
            assumptions,
        );
    }
    match record.test.method {
        TestMethod::Decay { hold_time, drop } => decay(rig, record, hold_time, drop, assumptions),
        TestMethod::Soap { leak_found } => {
            let (verdict, because) = match leak_found {
                Some(true) => (LeakVerdict::Leaks, None),
                Some(false) => (LeakVerdict::Within, None),
                None => (
                    LeakVerdict::CannotTell,
                    Some("the record does not say whether the soap showed a leak".to_owned()),
                ),
            };
            without_sums(record, verdict, because, assumptions)
        }
    }
}

/// A record of which there is nothing to sum: soap, or one that belongs nowhere.
fn without_sums(
    record: &Placed,
    verdict: LeakVerdict,
    because: Option<String>,
    assumptions: Vec<String>,
) -> LeakJudgement {
    LeakJudgement {
        record: record.clone(),
        sums: None,
        volume_off: false,
        verdict,
        because,
        assumptions,
    }
}

fn decay(
    rig: &Rig,
    record: &Placed,
    hold_time: Time,
    drop: PressureDifference,
    mut assumptions: Vec<String>,
) -> LeakJudgement {
    let test = &record.test;
    let (volume, volume_off) = volume_of(record, &mut assumptions);
    let gauge_pa = test.pressure.pascals();
    let p1 = rig.site.air_pressure + pascals_difference(gauge_pa);
    let (t1, t2, u, read) = temperatures(rig, test, &mut assumptions);
    let corrected = corrected_drop((p1, t1), (p1 - drop, t2));
    let step = test.gauge_resolution;
    let coarse = pascals_difference(COARSE_STEP * gauge_pa);
    // what a temperature is off by counts at the pressure that is left
    let band = drop_band(p1 - corrected, t2, step.unwrap_or(coarse), u);
    let accepted = match volume {
        Some(v) => accepted_drop(record.bore, v, t1, hold_time, gauge_pa),
        None => pascals_difference(MOST_FALL * gauge_pa),
    };
    let low_pa = corrected.pascals() - band.pascals();
    let high_pa = corrected.pascals() + band.pascals();
    let (verdict, because) = if low_pa > accepted.pascals() {
        (LeakVerdict::Leaks, None)
    } else if high_pa < 0.0 {
        (LeakVerdict::Rose, None)
    } else if step.is_none() {
        (
            LeakVerdict::CannotTell,
            Some("the record does not say what step the gauge shows"),
        )
    } else if !read && rig.site.setting == Setting::Outdoor {
        (
            LeakVerdict::CannotTell,
            Some("it was made outdoors, and no temperatures were read"),
        )
    } else if volume.is_none() {
        (
            LeakVerdict::CannotTell,
            Some("neither the record nor the parts give the volume under test"),
        )
    } else if high_pa <= accepted.pascals() {
        (LeakVerdict::Within, None)
    } else {
        (
            LeakVerdict::CannotTell,
            Some("the error of its readings hides the leak that it should find"),
        )
    };
    let leak = |v: Volume, pa: f64| leak_of_drop(pascals_difference(pa), v, t1, hold_time);
    LeakJudgement {
        record: record.clone(),
        sums: Some(DecaySums {
            corrected,
            band,
            temperature_band: u,
            accepted,
            volume,
            leak: volume.map(|v| {
                (
                    leak(v, low_pa.max(0.0)),
                    leak(v, corrected.pascals()),
                    leak(v, high_pa.max(0.0)),
                )
            }),
            smallest: volume.map(|v| leak(v, band.pascals())),
        }),
        volume_off,
        verdict,
        because: because.map(str::to_owned),
        assumptions,
    }
}

/// Volume that is counted with, and whether the stated one is not that of the parts.
fn volume_of(record: &Placed, assumptions: &mut Vec<String>) -> (Option<Volume>, bool) {
    let stated = record.test.volume;
    if stated.is_some_and(|v| record.volumes.hold(v)) {
        return (stated, false);
    }
    // where a stated volume is off and no part gives its own: the most they hold, as the larger leak
    let most = Some(record.volumes.most).filter(|_| stated.is_some());
    let own = Some(record.volumes.known).filter(|v| v.value > 0.0);
    let own = own.or(most.filter(|v| v.value > 0.0));
    if own.is_some() && !record.volumes.unknown.is_empty() {
        assumptions.push(format!(
            "The volume under test is summed from the parts and leaves out {}: the leak may be larger.",
            record.volumes.unknown.join(", ")
        ));
    }
    (own, stated.is_some())
}

/// Temperatures at start and end with the uncertainty of each, and whether both were read.
fn temperatures(
    rig: &Rig,
    test: &LeakTest,
    assumptions: &mut Vec<String>,
) -> (
    ThermodynamicTemperature,
    ThermodynamicTemperature,
    TemperatureInterval,
    bool,
) {
    if let (Some(a), Some(b)) = (test.start_temperature, test.end_temperature) {
        return (a, b, kelvin_difference(THERMOMETER_K), true);
    }
    let drift_k = match rig.site.setting {
        Setting::Indoor => DRIFT_K,
        Setting::Outdoor => DRIFT_OUTDOORS_K,
    };
    assumptions.push(format!(
        "The leak test gives no temperatures: the gas may have warmed or cooled by {drift_k} K between the readings."
    ));
    let t = test.start_temperature.unwrap_or(rig.site.ambient);
    // one drift between two readings: the band takes two independent errors
    (t, t, kelvin_difference(drift_k / 2.0_f64.sqrt()), false)
}
