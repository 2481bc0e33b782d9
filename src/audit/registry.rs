//! Every rule, once.

use super::rule::Rule;
use super::rules as r;

/// Every rule, in the order of the manual: by group, then by id.
pub static RULES: &[&dyn Rule] = &[
    &r::supply_below_need::SupplyBelowNeed,
    &r::cold_tank::ColdTank,
    &r::unusable_rest::UnusableRest,
    &r::run_not_fed::RunNotFed,
    &r::above_sustainable::AboveSustainable,
    &r::main_too_small::MainTooSmall,
    &r::cylinder_not_upright::CylinderNotUpright,
    &r::overfilled::Overfilled,
    &r::liquid_full::LiquidFull,
    &r::hot_above_rating::HotAboveRating,
    &r::relief_opens_when_hot::ReliefOpensWhenHot,
    &r::relief_above_rating::ReliefAboveRating,
    &r::liquid_carry_over::LiquidCarryOver,
    &r::cold_wall::ColdWall,
    &r::tank_too_warm::TankTooWarm,
    &r::below_air_pressure::BelowAirPressure,
    &r::regulator_starved::RegulatorStarved,
    &r::regulator_overloaded::RegulatorOverloaded,
    &r::regulator_inlet_high::RegulatorInletHigh,
    &r::droop_moves_mixture::DroopMovesMixture,
    &r::regulator_icing::RegulatorIcing,
    &r::failed_open_unprotected::FailedOpenUnprotected,
    &r::no_regulator::NoRegulator,
    &r::relief_behind_regulator::ReliefBehindRegulator,
    &r::blows_off_amiss::BlowsOffAmiss,
    &r::slam_shut_amiss::SlamShutAmiss,
    &r::train_does_not_feed::TrainDoesNotFeed,
    &r::flow_not_as_wanted::FlowNotAsWanted,
    &r::fast_line::FastLine,
    &r::choked_elsewhere::ChokedElsewhere,
    &r::rating_exceeded::RatingExceeded,
    &r::colder_than_part::ColderThanPart,
    &r::hotter_than_part::HotterThanPart,
    &r::condensation_in_line::CondensationInLine,
    &r::two_phase_line::TwoPhaseLine,
    &r::excess_flow_closes::ExcessFlowCloses,
    &r::excess_flow_idle::ExcessFlowIdle,
    &r::no_filter::NoFilter,
    &r::no_non_return::NoNonReturn,
    &r::long_hose::LongHose,
    &r::part_below_freezing::PartBelowFreezing,
    &r::gauge_does_not_show::GaugeDoesNotShow,
    &r::beyond_differential::BeyondDifferential,
    &r::check_valve_backwards::CheckValveBackwards,
    &r::coarse_throttle::CoarseThrottle,
    &r::weak_throttle::WeakThrottle,
    &r::throttle_travel::ThrottleTravel,
    &r::no_reserve::NoReserve,
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
    &r::fuel_not_as_warm::FuelNotAsWarm,
    &r::not_worked_out::NotWorkedOut,
    &r::rich_mixture::RichMixture,
    &r::primary_zone_limits::PrimaryZoneLimits,
    &r::hotter_than_material::HotterThanMaterial,
    &r::no_ions::NoIons,
    &r::poor_burnout::PoorBurnout,
    &r::pilot_too_large::PilotTooLarge,
    &r::flashing::Flashing,
    &r::cavitation::Cavitation,
    &r::vapour_lock::VapourLock,
    &r::pump_power::PumpPower,
    &r::flash_point::FlashPoint,
    &r::tank_above_burner::TankAboveBurner,
    &r::deep_suction::DeepSuction,
    &r::pump_without_relief::PumpWithoutRelief,
    &r::wrong_material::WrongMaterial,
    &r::hard_seal::HardSeal,
    &r::melting_joint::MeltingJoint,
    &r::leaks_on_record::LeaksOnRecord,
    &r::leak_test_cannot_tell::LeakTestCannotTell,
    &r::leak_test_above_rating::LeakTestAboveRating,
    &r::zone_untested::ZoneUntested,
    &r::wrong_test_gas::WrongTestGas,
    &r::clip_under_pressure::ClipUnderPressure,
    &r::joints_not_listed::JointsNotListed,
    &r::break_reaches_people::BreakReachesPeople,
    &r::break_not_stopped::BreakNotStopped,
    &r::break_fills_room::BreakFillsRoom,
    &r::ventilation_below_leak::VentilationBelowLeak,
    &r::low_point_within_reach::LowPointWithinReach,
    &r::radiation_at_operator::RadiationAtOperator,
    &r::radiation_at_people::RadiationAtPeople,
    &r::unlit_fuel_fills_duct::UnlitFuelFillsDuct,
    &r::purge_after_failed_start::PurgeAfterFailedStart,
    &r::tank_near_fire::TankNearFire,
    &r::stuck_regulator_overfeeds::StuckRegulatorOverfeeds,
    &r::tank_could_fill_room::TankCouldFillRoom,
    &r::fuel_behind_last_valve::FuelBehindLastValve,
    &r::leak_test_volume::LeakTestVolume,
    &r::open_coupling::OpenCoupling,
    &r::trapped_without_relief::TrappedWithoutRelief,
    &r::section_relief_above_rating::SectionReliefAboveRating,
    &r::relief_opens_at_work::ReliefOpensAtWork,
    &r::no_way_to_empty::NoWayToEmpty,
    &r::no_fail_closed::NoFailClosed,
    &r::single_shut_off::SingleShutOff,
    &r::no_flame_detection::NoFlameDetection,
    &r::short_purge::ShortPurge,
    &r::hand_ignition::HandIgnition,
    &r::fuel_runs_on::FuelRunsOn,
    &r::single_point_of_failure::SinglePointOfFailure,
    &r::slow_shut_off::SlowShutOff,
    &r::no_lockout::NoLockout,
    &r::no_emergency_stop::NoEmergencyStop,
    &r::air_not_proved::AirNotProved,
    &r::no_pressure_switch::NoPressureSwitch,
    &r::opens_without_power::OpensWithoutPower,
    &r::no_isolation_at_supply::NoIsolationAtSupply,
    &r::long_ignition::LongIgnition,
    &r::light_up_at_full_rate::LightUpAtFullRate,
    &r::common_drive::CommonDrive,
    &r::unseen_flame::UnseenFlame,
    &r::restarts_by_itself::RestartsByItself,
    &r::unattended_without_protection::UnattendedWithoutProtection,
    &r::no_over_temperature_cutoff::NoOverTemperatureCutoff,
    &r::valve_proving_amiss::ValveProvingAmiss,
    &r::no_extinguisher::NoExtinguisher,
    &r::low_point_near::LowPointNear,
    &r::no_carbon_monoxide_alarm::NoCarbonMonoxideAlarm,
    &r::no_gas_warning::NoGasWarning,
    &r::shut_off_out_of_reach::ShutOffOutOfReach,
    &r::small_extinguisher::SmallExtinguisher,
    &r::cylinder_indoors::CylinderIndoors,
    &r::exhaust_into_room::ExhaustIntoRoom,
    &r::room_short_of_air::RoomShortOfAir,
    &r::no_leak_test::NoLeakTest,
    &r::old_leak_test::OldLeakTest,
    &r::old_hose::OldHose,
    &r::not_reviewed::NotReviewed,
    &r::old_regulator::OldRegulator,
    &r::cylinder_inspection_due::CylinderInspectionDue,
    &r::extinguisher_inspection_due::ExtinguisherInspectionDue,
    &r::proof_test_due::ProofTestDue,
    &r::fittings_outweigh::FittingsOutweigh,
    &r::train_outweighs_fuel::TrainOutweighsFuel,
    &r::mass_not_given::MassNotGiven,
    &r::heavy_part::HeavyPart,
    &r::many_joints::ManyJoints,
    &r::unusual_value::UnusualValue,
    &r::values_contradict::ValuesContradict,
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
