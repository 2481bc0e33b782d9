//! The rules, one file each, listed once: by group, then by id.

mod between;
pub mod holes;
mod solved;
mod tank_contradicts;

/// Declares the files of the rules, and the list of them: files of one rule, then files of several.
macro_rules! rules {
    ($($file:ident),+; $($several:ident: $($rule:ident),+);+) => {
        $(pub(crate) mod $file;)+
        $(pub mod $several;)+

        /// Every rule, in the order of the manual.
        pub static RULES: &[&Rule] = &[$(&$file::RULE,)+ $($(&$several::$rule,)+)+];
    };
}

rules! {
    supply_below_need,
    cold_tank,
    unusable_rest,
    run_not_fed,
    above_sustainable,
    main_too_small,
    cylinder_not_upright,
    overfilled,
    liquid_full,
    hot_above_rating,
    relief_opens_when_hot,
    relief_above_rating,
    liquid_carry_over,
    cold_wall,
    tank_too_warm,
    below_air_pressure,
    regulator_starved,
    regulator_overloaded,
    regulator_inlet_high,
    droop_moves_mixture,
    regulator_icing,
    failed_open_unprotected,
    no_regulator,
    relief_behind_regulator,
    blows_off_amiss,
    slam_shut_amiss,
    train_does_not_feed,
    flow_not_as_wanted,
    fast_line,
    choked_elsewhere,
    rating_exceeded,
    colder_than_part,
    hotter_than_part,
    condensation_in_line,
    two_phase_line,
    excess_flow_closes,
    excess_flow_idle,
    no_filter,
    no_non_return,
    long_hose,
    part_below_freezing,
    gauge_does_not_show,
    beyond_differential,
    check_valve_backwards,
    coarse_throttle,
    weak_throttle,
    throttle_travel,
    no_reserve,
    soft_injector,
    drill_error,
    condensation_in_injector,
    duty_not_fed,
    choking_changes,
    hole_above_quenching,
    uneven_holes,
    wide_turndown,
    off_target,
    wide_band,
    fuel_not_as_warm,
    not_worked_out,
    flow_test_void,
    rich_mixture,
    primary_zone_limits,
    hotter_than_material,
    no_ions,
    poor_burnout,
    pilot_too_large,
    leaner_than_lower_limit,
    richer_than_upper_limit,
    soot_at_equilibrium,
    soot_likely,
    carbon_monoxide,
    burns_alone,
    flashing,
    cavitation,
    vapour_lock,
    pump_power,
    flash_point,
    tank_above_burner,
    deep_suction,
    pump_without_relief,
    wrong_material,
    hard_seal,
    melting_joint,
    leaks_on_record,
    leak_test_cannot_tell,
    leak_test_above_rating,
    zone_untested,
    wrong_test_gas,
    clip_under_pressure,
    joints_not_listed,
    break_reaches_people,
    break_not_stopped,
    break_fills_room,
    ventilation_below_leak,
    low_point_within_reach,
    radiation_at_operator,
    radiation_at_people,
    unlit_fuel_fills_duct,
    purge_after_failed_start,
    tank_near_fire,
    stuck_regulator_overfeeds,
    tank_could_fill_room,
    fuel_behind_last_valve,
    leak_test_volume,
    open_coupling,
    trapped_without_relief,
    section_relief_above_rating,
    relief_opens_at_work,
    no_way_to_empty,
    no_fail_closed,
    single_shut_off,
    no_flame_detection,
    short_purge,
    hand_ignition,
    fuel_runs_on,
    single_point_of_failure,
    slow_shut_off,
    no_lockout,
    no_emergency_stop,
    air_not_proved,
    no_pressure_switch,
    opens_without_power,
    no_isolation_at_supply,
    long_ignition,
    light_up_at_full_rate,
    common_drive,
    unseen_flame,
    restarts_by_itself,
    unattended_without_protection,
    no_over_temperature_cutoff,
    valve_proving_amiss,
    no_extinguisher,
    low_point_near,
    no_carbon_monoxide_alarm,
    no_gas_warning,
    shut_off_out_of_reach,
    small_extinguisher,
    cylinder_indoors,
    exhaust_into_room,
    room_short_of_air,
    no_leak_test,
    old_leak_test,
    old_hose,
    not_reviewed,
    old_regulator,
    cylinder_inspection_due,
    extinguisher_inspection_due,
    proof_test_due,
    fittings_outweigh,
    train_outweighs_fuel,
    mass_not_given,
    heavy_part,
    many_joints,
    unusual_value,
    values_contradict;
    switch:
        DUTY_NOT_RUN, HOTTER_THAN_MATERIAL, MATERIAL, NOZZLE_MAKING, WEAK_SPRAY, DROPS_OUTLIVE_CAN, COLD_LIGHT_OFF,
        ULLAGE_BURNS, SUCTION_HEAD, VAPOUR_LOCK, THICK_WHEN_COLD, OTHER_WOBBE, SUPPLY_TOO_WEAK, TANK_RATING, CONDENSES,
        FASTER_FLAME, HEAVIER_THAN_AIR, PART_RATING, FAILED_OPEN, HOTTEST_NOT_KNOWN;
    run:
        BELOW_NEED, EMPTY, NO_LIQUID, LIQUID_FULL, TOO_COLD, LIQUID_GONE, CONDENSING, WALL_FROSTS, HOT_ABOVE_RATING,
        RELIEF_OPENS, FULL_WHEN_HOT, OUT_OF_RANGE, OVERFILLED, WALL_WET
}

use super::{Limit, Measured, Rule, Solution, Verdict};
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::leak::rig::{Effect, LeakPlan, UnlitDuty};
use crate::leak::{LeakJudgement, TestPlan, TrappedSection};
use crate::quantity::show::fixed;
use crate::quantity::{HeatFluxDensity, Kind, Length};
use crate::train::Part;
use crate::train::plan::INJECTOR;
use crate::train::rig::Date;

/// A figure that is found by search, or comes back from another, may be off by this and still be at its limit.
const ROUNDING: f64 = 1.0 + 1e-6;

/// The holes at all duties; says why they are not solved.
fn injector_plan<'s>(
    solution: &'s Solution<'_>,
    verdict: &mut Verdict,
) -> Option<&'s InjectorPlan> {
    match &solution.injector {
        Ok(plan) => Some(plan),
        Err(why) => {
            verdict.not_checked(format!("the holes cannot be computed: {why}"));
            None
        }
    }
}

/// The injection of every duty that has one; says why for the rest.
fn injections<'s>(
    solution: &'s Solution<'_>,
    verdict: &mut Verdict,
) -> Vec<(&'s str, &'s DutyInjection)> {
    let Some(plan) = injector_plan(solution, verdict) else {
        return Vec::new();
    };
    for duty in &solution.duties {
        if let Err(why) = &duty.demand {
            verdict.not_checked(format!("duty {} has no fuel flow: {why}", duty.name));
        }
    }
    let mut fed = Vec::new();
    for duty in &plan.duties {
        if let Ok(injection) = &duty.injection {
            fed.push((duty.name.as_str(), injection));
        } else {
            verdict.not_checked(format!("the holes cannot feed duty {}", duty.name));
        }
    }
    fed
}

/// Parts of the train; says so if there are none.
fn train_parts<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> Option<Vec<&'s Part>> {
    let parts = solution.rig.train.parts();
    if parts.is_empty() {
        verdict.not_checked("the rig file has no train");
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
            verdict.not_checked(format!("the releases cannot be computed: {why}"));
            None
        }
    }
}

/// The line whose break lets out most, and the distance at which its jet is thinned to half the lower
/// limit; says why if there is none.
fn worst_break<'s>(plan: &'s LeakPlan, verdict: &mut Verdict) -> Option<(&'s str, Length)> {
    let Some((broken, effect)) = plan.worst_break() else {
        verdict.not_checked("no full-bore break of a hose or tube can be computed");
        return None;
    };
    let Some(jet) = &effect.consequences.jet else {
        verdict.not_checked(
            "the fuel makes a pool, or its flammability limits are not known: a jet has no reach",
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
            "duty {} has no fuel flow, or the holes are not known",
            first.name
        ));
    }
    found
}

/// The largest release that nothing closes by itself, in words; says why if there is none.
fn worst_lasting<'s>(plan: &'s LeakPlan, verdict: &mut Verdict) -> Option<(String, &'s Effect)> {
    let worst = plan.worst_lasting();
    if worst.is_none() {
        verdict.not_checked("no release can be computed");
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
        verdict.not_checked("the fuel library has no heating value for this fuel");
        return None;
    };
    Some((what, fire.radiation_at(distance)))
}

/// Distance to other people; none where nobody else is near, and says so if it is not given.
fn people_distance(solution: &Solution<'_>, verdict: &mut Verdict) -> Option<Length> {
    let distance = solution.rig.site.people_distance;
    if distance.is_none() && !solution.rig.says_none("site.people_distance") {
        verdict.not_checked("the rig file does not give `site.people_distance`");
    }
    distance
}

/// The plan of the leak test; says why if there is none.
fn leak_test_plan<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> Option<&'s TestPlan> {
    match solution.leak_test_plan() {
        Ok(plan) if plan.zones.is_empty() => {
            verdict.not_checked("the rig file has no train");
            None
        }
        Ok(plan) => Some(plan),
        Err(why) => {
            verdict.not_checked(format!("the state of the supply is not known: {why}"));
            None
        }
    }
}

/// A leak test in words, to begin a sentence.
fn tested(what: &str, label: &str) -> String {
    format!("The {what} {}", zoned(label))
}

/// Parts of a leak test in words: "behind regulator", "from supply to regulator".
fn zoned(label: &str) -> String {
    let behind = label.is_empty() || label.starts_with("behind ");
    if behind {
        label.to_owned()
    } else {
        format!("from {label}")
    }
}

/// What an outlet of the train feeds, in words.
fn fed(outlet: &str) -> String {
    let what = if outlet == INJECTOR { "burner" } else { outlet };
    format!("the {what}")
}

/// Names in a sentence: four at most, then how many more.
fn few(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] if names.len() <= 4 => format!("{} and {last}", first.join(", ")),
        [first @ .., _] => {
            let told = &first[..3];
            format!("{} and {} more", told.join(", "), names.len() - told.len())
        }
    }
}

/// The leak tests on record, judged; says why if there is none, or they cannot be.
fn judged_leak_tests<'s>(solution: &'s Solution<'_>, verdict: &mut Verdict) -> &'s [LeakJudgement] {
    if solution.rig.leak_tests.is_empty() {
        verdict.not_checked("no leak test is on record");
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
        verdict.not_checked(format!(
            "the rig file gives no mass of {}",
            without.join(", ")
        ));
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
    (at, undated): (&'static str, &'static str),
    date: Option<Date>,
    years: f64,
) {
    if solution.rig.says_none(at) {
        let limit = Limit::Should("a date that can be read");
        verdict.says(undated).find(at, "no date", limit);
        return;
    }
    let Some(day) = solution.rig.records.test_day else {
        verdict.not_checked("the rig file does not give `records.test_day`");
        return;
    };
    let Some(date) = date else {
        verdict.not_checked(format!("the rig file does not give `{at}`"));
        return;
    };
    aged(verdict, at, day, date, years);
}

/// Finds what is older than a number of years on a day.
fn aged(verdict: &mut Verdict, at: &str, day: Date, date: Date, years: f64) {
    let age = f64::from(day.days_since(date)) / DAYS_PER_YEAR;
    let worded =
        |age: f64, text| Measured::Worded(Kind::Time, age * DAYS_PER_YEAR * SECONDS_PER_DAY, text);
    if age > years {
        let limit = if years > 1.0 {
            format!("{years} years")
        } else {
            "1 year".to_owned()
        };
        let limit = Limit::AtMost(worded(years, limit));
        verdict.find(at, worded(age, format!("{} years", fixed(age, 1))), limit);
    }
}
