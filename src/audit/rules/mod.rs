//! The rules, one file each. A rule is listed once, in `registry`.

pub mod above_sustainable;
pub mod air_not_proved;
pub mod below_air_pressure;
mod between;
pub mod beyond_differential;
pub mod blows_off_amiss;
pub mod break_fills_room;
pub mod break_not_stopped;
pub mod break_reaches_people;
pub mod cavitation;
pub mod check_valve_backwards;
pub mod choked_elsewhere;
pub mod choking_changes;
pub mod clip_under_pressure;
pub mod coarse_throttle;
pub mod cold_tank;
pub mod cold_wall;
pub mod colder_than_part;
pub mod common_drive;
pub mod condensation_in_injector;
pub mod condensation_in_line;
pub mod cylinder_indoors;
pub mod cylinder_inspection_due;
pub mod cylinder_not_upright;
pub mod deep_suction;
pub mod drill_error;
pub mod droop_moves_mixture;
pub mod duty_not_fed;
pub mod excess_flow_closes;
pub mod excess_flow_idle;
pub mod exhaust_into_room;
pub mod extinguisher_inspection_due;
pub mod failed_open_unprotected;
pub mod fast_line;
pub mod fittings_outweigh;
pub mod flash_point;
pub mod flashing;
pub mod flow_not_as_wanted;
pub mod fuel_behind_last_valve;
pub mod fuel_not_as_warm;
pub mod fuel_runs_on;
pub mod gauge_does_not_show;
pub mod hand_ignition;
pub mod hard_seal;
pub mod heavy_part;
pub mod hole_above_quenching;
pub mod hot_above_rating;
pub mod hotter_than_material;
pub mod hotter_than_part;
pub mod joints_not_listed;
pub mod leak_test_above_rating;
pub mod leak_test_cannot_tell;
pub mod leak_test_volume;
pub mod leaks_on_record;
pub mod light_up_at_full_rate;
pub mod liquid_carry_over;
pub mod liquid_full;
pub mod long_hose;
pub mod long_ignition;
pub mod low_point_near;
pub mod low_point_within_reach;
pub mod main_too_small;
pub mod many_joints;
pub mod mass_not_given;
pub mod melting_joint;
pub mod no_carbon_monoxide_alarm;
pub mod no_emergency_stop;
pub mod no_extinguisher;
pub mod no_fail_closed;
pub mod no_filter;
pub mod no_flame_detection;
pub mod no_gas_warning;
pub mod no_ions;
pub mod no_isolation_at_supply;
pub mod no_leak_test;
pub mod no_lockout;
pub mod no_non_return;
pub mod no_over_temperature_cutoff;
pub mod no_pressure_switch;
pub mod no_regulator;
pub mod no_reserve;
pub mod no_way_to_empty;
pub mod not_reviewed;
pub mod not_worked_out;
pub mod off_target;
pub mod old_hose;
pub mod old_leak_test;
pub mod old_regulator;
pub mod open_coupling;
pub mod opens_without_power;
pub mod overfilled;
pub mod part_below_freezing;
pub mod pilot_too_large;
pub mod poor_burnout;
pub mod primary_zone_limits;
pub mod proof_test_due;
pub mod pump_power;
pub mod pump_without_relief;
pub mod purge_after_failed_start;
pub mod radiation_at_operator;
pub mod radiation_at_people;
pub mod rating_exceeded;
pub mod regulator_icing;
pub mod regulator_inlet_high;
pub mod regulator_overloaded;
pub mod regulator_starved;
pub mod relief_above_rating;
pub mod relief_behind_regulator;
pub mod relief_opens_at_work;
pub mod relief_opens_when_hot;
pub mod restarts_by_itself;
pub mod rich_mixture;
pub mod room_short_of_air;
pub mod run_not_fed;
pub mod section_relief_above_rating;
pub mod short_purge;
pub mod shut_off_out_of_reach;
pub mod single_point_of_failure;
pub mod single_shut_off;
pub mod slam_shut_amiss;
pub mod slow_shut_off;
pub mod small_extinguisher;
pub mod soft_injector;
mod solved;
pub mod stuck_regulator_overfeeds;
pub mod supply_below_need;
pub mod tank_above_burner;
mod tank_contradicts;
pub mod tank_could_fill_room;
pub mod tank_near_fire;
pub mod tank_too_warm;
pub mod throttle_travel;
pub mod train_does_not_feed;
pub mod train_outweighs_fuel;
pub mod trapped_without_relief;
pub mod two_phase_line;
pub mod unattended_without_protection;
pub mod uneven_holes;
pub mod unlit_fuel_fills_duct;
pub mod unseen_flame;
pub mod unusable_rest;
pub mod unusual_value;
pub mod values_contradict;
pub mod valve_proving_amiss;
pub mod vapour_lock;
pub mod ventilation_below_leak;
pub mod weak_throttle;
pub mod wide_band;
pub mod wide_turndown;
pub mod wrong_material;
pub mod wrong_test_gas;
pub mod zone_untested;

use super::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::injector::plan::DutyInjection;
use crate::leak::rig::{Effect, LeakPlan, UnlitDuty};
use crate::leak::{LeakJudgement, TestPlan, TrappedSection};
use crate::quantity::{HeatFluxDensity, Kind, Length};
use crate::train::Part;
use crate::train::rig::Date;

/// A figure that is found by search, or comes back from another, may be off by this and still be at its limit.
const ROUNDING: f64 = 1.0 + 1e-6;

/// The injection of every duty that has one; says why for the rest.
fn injections<'s>(
    solution: &'s Solution<'_>,
    verdict: &mut Verdict,
) -> Vec<(&'s str, &'s DutyInjection)> {
    let plan = match &solution.injector {
        Ok(plan) => plan,
        Err(why) => {
            verdict.not_checked(format!("the injector is not solved: {why}"));
            return Vec::new();
        }
    };
    for duty in &solution.duties {
        if let Err(why) = &duty.demand {
            verdict.not_checked(format!("the duty {} has no fuel flow: {why}", duty.name));
        }
    }
    let mut fed = Vec::new();
    for duty in &plan.duties {
        if let Ok(injection) = &duty.injection {
            fed.push((duty.name.as_str(), injection));
        } else {
            verdict.not_checked(format!("the holes cannot feed the duty {}", duty.name));
        }
    }
    fed
}

/// Parts of the train; says so if there are none.
fn train_parts<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> Option<Vec<&'s Part>> {
    let parts = solution.rig.train.parts();
    if parts.is_empty() {
        verdict.not_checked("the rig file gives no train");
        return None;
    }
    Some(parts)
}

/// Path of a duty.
fn duty_path(name: &str) -> String {
    format!("duties.{name}")
}

/// The sections that closures can isolate; says why if there are none to look at.
fn trapped_sections<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> &'s [TrappedSection] {
    if train_parts(solution, verdict).is_none() {
        return &[];
    }
    match solution.trapped() {
        Ok(sections) => sections,
        Err(why) => {
            verdict.not_checked(format!("the state of the supply is not known: {why}"));
            &[]
        }
    }
}

/// Every release of the rig; says why if there is none.
fn leak_plan<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> Option<&'s LeakPlan> {
    match solution.leaks() {
        Ok(plan) => Some(plan),
        Err(why) => {
            verdict.not_checked(format!("the releases are not known: {why}"));
            None
        }
    }
}

/// The line whose break lets out most, and the distance at which its jet is thinned to half the lower
/// limit; says why if there is none.
fn worst_break<'s>(plan: &'s LeakPlan, verdict: &mut Verdict) -> Option<(&'s str, Length)> {
    let Some((broken, effect)) = plan.worst_break() else {
        verdict.not_checked("no break of a hose or tube could be computed");
        return None;
    };
    let Some(jet) = &effect.consequences.jet else {
        verdict.not_checked(
            "the fuel makes a pool, or has no flammability limits: a jet has no reach",
        );
        return None;
    };
    Some((&broken.part, jet.half_limit.value))
}

/// The first duty of the rig fed and not lit: what light-up is; says why if it is not known.
fn light_up<'s>(
    solution: &Solution<'_>,
    plan: &'s LeakPlan,
    verdict: &mut Verdict,
) -> Option<&'s UnlitDuty> {
    let first = solution.duties.first()?;
    let found = plan.unlit.iter().find(|u| u.duty == first.name);
    if found.is_none() {
        verdict.not_checked(format!(
            "the duty {} has no fuel flow, or the holes are not known",
            first.name
        ));
    }
    found
}

/// The largest release that nothing closes by itself, in words; says why if there is none.
fn worst_lasting<'s>(plan: &'s LeakPlan, verdict: &mut Verdict) -> Option<(String, &'s Effect)> {
    let worst = plan.worst_lasting();
    if worst.is_none() {
        verdict.not_checked("no release could be computed");
    }
    worst
}

/// That release, and its radiation at a distance, once lit; says why if it is not known.
fn worst_radiation(
    plan: &LeakPlan,
    distance: Length,
    verdict: &mut Verdict,
) -> Option<(String, HeatFluxDensity)> {
    let (what, effect) = worst_lasting(plan, verdict)?;
    let Some(fire) = &effect.consequences.fire else {
        verdict.not_checked("the fuel has no heat of burning in the library");
        return None;
    };
    Some((what, fire.radiation_at(distance)))
}

/// The plan of the leak test; says why if there is none.
fn leak_test_plan<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> Option<&'s TestPlan> {
    match solution.leak_test_plan() {
        Ok(plan) if plan.zones.is_empty() => {
            verdict.not_checked("the rig file gives no train");
            None
        }
        Ok(plan) => Some(plan),
        Err(why) => {
            verdict.not_checked(format!("the state of the supply is not known: {why}"));
            None
        }
    }
}

/// The leak tests on record, judged; says why if there is none, or they cannot be.
fn judged_leak_tests<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> &'s [LeakJudgement] {
    if solution.rig.leak_tests.is_empty() {
        verdict.not_checked("there is no leak test on record");
        return &[];
    }
    match solution.judged_leak_tests() {
        Ok(judged) => judged,
        Err(why) => {
            verdict.not_checked(why.clone());
            &[]
        }
    }
}

/// Name and mass in kg of every part of the train, where all give one; says which do not.
fn weighed_train(solution: &Solution<'_>, verdict: &mut Verdict) -> Option<Vec<(String, f64)>> {
    let parts = train_parts(solution, verdict)?;
    let without: Vec<&str> = parts
        .iter()
        .filter(|p| p.mass.is_none())
        .map(|p| p.name.as_str())
        .collect();
    if !without.is_empty() {
        verdict.not_checked(format!("no mass is given for {}", without.join(", ")));
        return None;
    }
    let weighed = |p: &&Part| Some((p.name.clone(), p.mass?.value));
    Some(parts.iter().filter_map(weighed).collect())
}

const DAYS_PER_YEAR: f64 = 365.25;
const SECONDS_PER_DAY: f64 = 86_400.0;

/// Holds the age of a dated thing on the test day against a number of years.
fn older_than(
    solution: &Solution<'_>,
    verdict: &mut Verdict,
    signal: Signal,
    (at, date): (&str, Option<Date>),
    years: f64,
    source: Source,
    advice: &str,
) {
    if solution.rig.says_none(at) {
        verdict.find(
            signal,
            at,
            "no date on it",
            Limit::Should("a date that can be read"),
            source,
            advice,
        );
        return;
    }
    let Some(day) = solution.rig.records.test_day else {
        verdict.not_checked("the rig file gives no test day");
        return;
    };
    let Some(date) = date else {
        verdict.not_checked(format!("the rig file does not give `{at}`"));
        return;
    };
    let age = f64::from(day.days_since(date)) / DAYS_PER_YEAR;
    let worded =
        |age: f64, text| Measured::Worded(Kind::Time, age * DAYS_PER_YEAR * SECONDS_PER_DAY, text);
    if age > years {
        let limit = if years > 1.0 {
            format!("{years} years")
        } else {
            "1 year".to_owned()
        };
        verdict.find(
            signal,
            at,
            worded(age, format!("{age:.1} years")),
            Limit::AtMost(worded(years, limit)),
            source,
            advice,
        );
    }
}
