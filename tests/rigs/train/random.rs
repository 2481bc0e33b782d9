//! Random trains: they solve, with all balances, or the failure names a part and a reason; never a panic,
//! never a search without end.

use crate::times::cases;
use crate::train::balances;
use crate::train::parts::{ball, conditions, fuel, holes, part, regulator, single, tube, valve};
use fuelwright::flow::valve::Style;
use fuelwright::quantity::{
    kilograms_per_cubic_metre, kilograms_per_second, kv, metres, pascals_difference,
};
use fuelwright::train::{
    Characteristic, CheckValve, ExcessFlowValve, Fitting, FittingLoss, OrificePlate, Part,
    PartKind, Restriction, Target, Train, TrainError, flow_for_openings, openings_for_flows,
};
use proptest::prelude::*;

fn kind() -> impl Strategy<Value = PartKind> {
    let bore = 0.002..0.012_f64;
    let kv_range = (-2.5..1.0_f64).prop_map(|e| 10_f64.powf(e));
    prop_oneof![
        (0.05..5.0_f64, bore.clone()).prop_map(|(l, d)| PartKind::Tube(tube(l, d))),
        (0.05..5.0_f64, bore.clone(), -2.0..2.0_f64).prop_map(|(l, d, rise)| {
            let mut line = tube(l, d);
            line.rise = metres(rise);
            PartKind::Hose(line)
        }),
        (kv_range.clone(), 0.05..1.0_f64).prop_map(|(k, h)| PartKind::MeteringValve(valve(
            k,
            h,
            Characteristic::EqualPercentage { rangeability: 50.0 },
            Style::NEEDLE
        ))),
        kv_range.clone().prop_map(|k| PartKind::SolenoidValve(valve(
            k,
            1.0,
            Characteristic::OnOff,
            Style::FLAT_SEAT
        ))),
        Just(ball()),
        (1.5e5..6e5_f64).prop_map(|p| PartKind::Regulator(regulator(p))),
        (kv_range.clone(), bore.clone()).prop_map(|(k, d)| PartKind::Filter(Restriction {
            bore: metres(d),
            clean: kv(k)
        })),
        (bore.clone(), 0.0..20.0_f64, 1..5_u32).prop_map(|(d, k, n)| PartKind::Fitting(Fitting {
            bore: metres(d),
            loss: FittingLoss::Coefficient(k),
            count: n
        })),
        (kv_range.clone(), 0.0..2e4_f64).prop_map(|(k, p)| PartKind::CheckValve(CheckValve {
            bore: metres(0.006),
            open: kv(k),
            cracking: pascals_difference(p)
        })),
        (bore, 0.2..0.9_f64).prop_map(|(d, beta)| PartKind::OrificePlate(OrificePlate {
            pipe_bore: metres(d),
            bore: metres(d * beta),
            discharge_coefficient: None
        })),
        (kv_range, 1e-4..1e-2_f64).prop_map(|(k, m)| PartKind::ExcessFlowValve(ExcessFlowValve {
            bore: metres(0.008),
            open: kv(k),
            closing_flow: kilograms_per_second(m),
            closing_density: kilograms_per_cubic_metre(8.0)
        })),
    ]
}

fn train() -> impl Strategy<Value = Train> {
    let parts = prop::collection::vec(kind(), 2..=30);
    (parts, 1..60_u32, 0.3e-3..2.5e-3_f64).prop_map(|(kinds, number, diameter)| {
        let parts: Vec<Part> = kinds
            .into_iter()
            .enumerate()
            .map(|(i, k)| part(&format!("part {i}"), k))
            .collect();
        single(parts, holes("ring", number, diameter))
    })
}

/// Failures that say which part cannot do what, or that pressure is used up.
fn names_its_reason(error: &TrainError) -> bool {
    matches!(
        error,
        TrainError::Part { .. } | TrainError::NotEnoughPressure { .. }
    )
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn random_trains_solve_or_say_why_not(train in train(), tank_k in 243.0..313.0_f64, chamber in 0.9e5..2e5_f64) {
        let gas = fuel("propane");
        let c = conditions(gas.as_ref(), tank_k, chamber);
        match flow_for_openings(&train, &c) {
            Ok(solved) => {
                balances::check(&train, &solved);
                prop_assert!(solved.flow.value >= 0.0);
            }
            Err(error) => prop_assert!(names_its_reason(&error), "{error}"),
        }
    }

    #[test]
    fn random_trains_reverse(train in train(), tank_k in 263.0..313.0_f64) {
        let gas = fuel("propane");
        let c = conditions(gas.as_ref(), tank_k, 1.02e5);
        let throttle = train.run.parts.iter().find(|p| matches!(p.kind, PartKind::MeteringValve(_)));
        if let (Some(throttle), Ok(solved)) = (throttle, flow_for_openings(&train, &c))
            && solved.flow.value > 0.0
        {
            // a flow a little below the solved one: above, a choked part elsewhere may forbid it
            let target = Target {
                outlet: "ring".to_owned(),
                flow: kilograms_per_second(solved.flow.value * 0.999),
                throttle: throttle.name.clone(),
            };
            match openings_for_flows(&train, &c, std::slice::from_ref(&target)) {
                Ok((settings, _)) => {
                    let mut set = train.clone();
                    set.part_mut(&throttle.name).and_then(|p| p.kind.valve_mut()).expect("a valve").opening =
                        settings[0].opening;
                    let back = flow_for_openings(&set, &c).expect("solves as before");
                    let off = back.flow.value / target.flow.value - 1.0;
                    prop_assert!(off.abs() < 1e-8, "{off:e}");
                }
                Err(error) => prop_assert!(names_its_reason(&error), "{error}"),
            }
        }
    }
}
