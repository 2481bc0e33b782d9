//! Every rule, once.

use super::rule::Rule;
use super::rules as r;

/// Every rule, in the order of the manual: by group, then by id.
pub static RULES: &[&dyn Rule] = &[
    &r::supply_below_need::SupplyBelowNeed,
    &r::cylinder_not_upright::CylinderNotUpright,
    &r::soft_injector::SoftInjector,
    &r::drill_error::DrillError,
    &r::condensation_in_injector::CondensationInInjector,
    &r::duty_not_fed::DutyNotFed,
    &r::choking_changes::ChokingChanges,
    &r::hole_above_quenching::HoleAboveQuenching,
    &r::uneven_holes::UnevenHoles,
    &r::wide_turndown::WideTurndown,
    &r::off_target::OffTarget,
    &r::wide_band::WideBand,
    &r::rich_mixture::RichMixture,
    &r::primary_zone_limits::PrimaryZoneLimits,
    &r::hotter_than_material::HotterThanMaterial,
    &r::no_fail_closed::NoFailClosed,
    &r::single_shut_off::SingleShutOff,
    &r::no_flame_detection::NoFlameDetection,
    &r::short_purge::ShortPurge,
    &r::hand_ignition::HandIgnition,
    &r::no_extinguisher::NoExtinguisher,
    &r::low_point_near::LowPointNear,
    &r::no_carbon_monoxide_alarm::NoCarbonMonoxideAlarm,
    &r::no_gas_warning::NoGasWarning,
    &r::no_leak_test::NoLeakTest,
    &r::old_leak_test::OldLeakTest,
    &r::old_hose::OldHose,
    &r::not_reviewed::NotReviewed,
    &r::fittings_outweigh::FittingsOutweigh,
    &r::train_outweighs_fuel::TrainOutweighsFuel,
];

/// The rule of this id or name.
pub fn find(id_or_name: &str) -> Option<&'static dyn Rule> {
    RULES
        .iter()
        .copied()
        .find(|r| r.about().id.eq_ignore_ascii_case(id_or_name) || r.about().name == id_or_name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_id_or_name_is_used_twice() {
        let ids: BTreeSet<_> = RULES.iter().map(|r| r.about().id).collect();
        let names: BTreeSet<_> = RULES.iter().map(|r| r.about().name).collect();
        assert_eq!(ids.len(), RULES.len());
        assert_eq!(names.len(), RULES.len());
    }

    #[test]
    fn rules_stand_in_the_order_of_the_manual() {
        let keys: Vec<_> = RULES
            .iter()
            .map(|r| (r.about().group, r.about().id))
            .collect();
        let mut sorted = keys.clone();
        sorted.sort_unstable();
        assert_eq!(keys, sorted);
    }

    #[test]
    fn every_rule_has_its_whole_page() {
        for rule in RULES {
            let about = rule.about();
            for heading in ["What it checks", "Why it matters", "What to do"] {
                let text = about.paragraph(heading);
                assert!(text.len() > 20, "{}: {heading}: {text}", about.id);
            }
            let letters = about.id[..3].chars().all(|c| c.is_ascii_uppercase());
            let digits = about.id[3..].chars().all(|c| c.is_ascii_digit());
            assert!(about.id.len() == 6 && letters && digits, "{}", about.id);
        }
    }
}
