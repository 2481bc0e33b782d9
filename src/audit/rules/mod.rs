//! The rules, one file each. A rule is listed once, in `registry`.

pub mod choking_changes;
pub mod condensation_in_injector;
pub mod cylinder_not_upright;
pub mod drill_error;
pub mod duty_not_fed;
pub mod fittings_outweigh;
pub mod hand_ignition;
pub mod hole_above_quenching;
pub mod hotter_than_material;
pub mod low_point_near;
pub mod no_carbon_monoxide_alarm;
pub mod no_extinguisher;
pub mod no_fail_closed;
pub mod no_flame_detection;
pub mod no_gas_warning;
pub mod no_leak_test;
pub mod not_reviewed;
pub mod off_target;
pub mod old_hose;
pub mod old_leak_test;
pub mod primary_zone_limits;
pub mod rich_mixture;
pub mod short_purge;
pub mod single_shut_off;
pub mod soft_injector;
pub mod supply_below_need;
pub mod train_outweighs_fuel;
pub mod uneven_holes;
pub mod wide_band;
pub mod wide_turndown;

use super::{Solution, Verdict};
use crate::injector::plan::DutyInjection;

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

/// Path of a duty.
fn duty_path(name: &str) -> String {
    format!("duties.{name}")
}
