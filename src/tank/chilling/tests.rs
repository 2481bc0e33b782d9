//! Runs against analytic limits, and what a run does at its ends.
use super::*;
use crate::eos::fluid;
use crate::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms, kilograms_per_second, pascals_absolute,
    seconds, watts_per_kelvin,
};
use crate::tank::heat_gain::HeatGain;
use crate::tank::schedule::{Drawn, Step};

fn tank(name: &str, ua_w_k: f64, ambient_k: f64) -> Tank {
    Tank {
        backend: fluid(name),
        volume: cubic_metres(0.0272),
        wall: joules_per_kelvin(5500.0),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(ua_w_k),
            ambient: kelvin(ambient_k),
        },
    }
}

fn charge(mass_kg: f64, t_k: f64) -> Charge {
    Charge {
        mass: kilograms(mass_kg),
        temperature: kelvin(t_k),
    }
}

fn draw(w_kg_s: f64, t_s: f64) -> Step {
    Step::vapour("draw", kilograms_per_second(w_kg_s), seconds(t_s))
}

fn carry_on() -> RunOptions {
    RunOptions {
        stop_at_failure: false,
        ..RunOptions::default()
    }
}

/// Energy of fluid and wall by a fresh flash of the whole at mean density, J; independent of the run's own
/// iteration. `z` is the composition of the whole.
fn energy_j(tank: &Tank, z: &[f64], mass_kg: f64, t_k: f64) -> f64 {
    let fluid = tank.backend.recomposed(z).expect("a composition");
    let state = fluid
        .state_rho_t(mass_kg / tank.volume.value, t_k)
        .expect("inside the equation");
    mass_kg * state.internal_energy_j_kg() + tank.wall.value * t_k
}

// Analytic: adiabatic, draw dm so small that nothing else changes: dT = dm h_fg / (m cp + C), cp along
// saturation, liquid fills nearly the whole tank. First by this textbook form (2 %: vapour space and
// cp against c_sat), then exactly: dT (dE/dT)_V = dm h_fg rho_L / (rho_L - rho_V).
#[test]
fn a_small_draw_chills_by_the_latent_heat() {
    let tank = tank("n-butane", 0.0, 270.0);
    let (m_kg, t_k, dm_kg) = (15.0, 270.0, 1e-3);
    let done = run(
        &tank,
        &charge(m_kg, t_k),
        &Schedule::once(draw(dm_kg / 10.0, 10.0)),
        &RunOptions::default(),
    )
    .expect("a small draw");
    let fall_k = t_k - done.last().contents.temperature.value;
    let e = tank.backend.bubble_t(t_k).expect("boils");
    let cp = tank
        .backend
        .state_pt_in(e.pressure_pa, t_k, crate::eos::Phase::Liquid)
        .and_then(|s| s.response())
        .expect("liquid")
        .cp_j_kg_k;
    let textbook_k = dm_kg * e.latent_heat_j_kg() / (m_kg * cp + tank.wall.value);
    assert!(
        (fall_k / textbook_k - 1.0).abs() < 0.02,
        "{fall_k} {textbook_k}"
    );
    let capacity = (energy_j(&tank, &[1.0], m_kg, t_k + 0.01)
        - energy_j(&tank, &[1.0], m_kg, t_k - 0.01))
        / 0.02;
    let (rho_l, rho_v) = (e.liquid.density_kg_m3, e.vapour.density_kg_m3);
    let exact_k = dm_kg * e.latent_heat_j_kg() * rho_l / (rho_l - rho_v) / capacity;
    // second order in the draw: 1e-3 kg of 15 kg
    assert!((fall_k / exact_k - 1.0).abs() < 1e-4, "{fall_k} {exact_k}");
}

#[test]
fn a_closed_tank_at_rest_stays_put() {
    for fluid in ["propane", "propane:60,n-butane:40", "methane"] {
        let tank = tank(fluid, 8.0, 288.15);
        let mass_kg = if fluid == "methane" { 2.0 } else { 8.0 };
        let rest = Schedule::once(Step::rest(seconds(1e5)));
        let options = RunOptions {
            every: Some(seconds(1e4)),
            ..RunOptions::default()
        };
        let done = run(&tank, &charge(mass_kg, 288.15), &rest, &options).expect("at rest");
        assert_eq!(done.rows.len(), 11);
        let first = done.rows[0].contents;
        for row in &done.rows {
            let c = &row.contents;
            assert!(
                (c.temperature.value - 288.15).abs() < 1e-7,
                "{fluid} {row:?}"
            );
            let p = c.pressure.pascals() / first.pressure.pascals();
            assert!((p - 1.0).abs() < 1e-8, "{fluid} {row:?}");
            assert!(
                (c.mass().value / mass_kg - 1.0).abs() < 1e-12,
                "{fluid} {row:?}"
            );
        }
        assert!(done.events.is_empty() && done.complete);
    }
}

// Conservation of every species and of energy over a run with draws and rests. The end state is flashed
// anew as a whole, which shares nothing with the run but the backend.
#[test]
fn balances_close_over_a_run() {
    for fluid in [
        "propane",
        "propane:60,n-butane:40",
        "propane:40,isobutane:25,n-butane:35",
    ] {
        let tank = tank(fluid, 6.0, 288.15);
        let schedule = Schedule {
            steps: vec![draw(6e-4, 1500.0), Step::rest(seconds(500.0))],
            repeats: 3,
        };
        let m0_kg = 9.0;
        let done = run(
            &tank,
            &charge(m0_kg, 288.15),
            &schedule,
            &RunOptions::default(),
        )
        .expect("the tank holds out");
        assert!(done.balance.species < 1e-8, "{fluid} {:?}", done.balance);
        assert!(done.balance.energy < 1e-8, "{fluid} {:?}", done.balance);
        let drawn_kg = 6e-4 * 4500.0;
        assert!((done.drawn.value / drawn_kg - 1.0).abs() < 1e-9, "{fluid}");
        // species and energy of the whole from liquid and vapour of the last row
        let c = &done.last().contents;
        let parts = tank.backend.composition().parts();
        let mut moles = vec![0.0; parts.len()];
        for (mass, x) in [
            (
                c.liquid.value,
                c.liquid_composition.expect("liquid is left"),
            ),
            (c.vapour.value, c.vapour_composition),
        ] {
            let molar: f64 = parts
                .iter()
                .zip(x.iter())
                .map(|(p, x)| p.fuel.molar_mass_kg_mol * x)
                .sum();
            for (n, x) in moles.iter_mut().zip(x.iter()) {
                *n += mass / molar * x;
            }
        }
        let all: f64 = moles.iter().sum();
        let z: Vec<f64> = moles.iter().map(|n| n / all).collect();
        let whole_kg: f64 = parts
            .iter()
            .zip(&moles)
            .map(|(p, n)| p.fuel.molar_mass_kg_mol * n)
            .sum();
        assert!(
            (whole_kg / (m0_kg - drawn_kg) - 1.0).abs() < 1e-8,
            "{fluid}"
        );
        // the fresh flash of the whole finds the same split and the same energy
        let t_k = c.temperature.value;
        let fresh = tank
            .backend
            .recomposed(&z)
            .and_then(|b| b.state_rho_t(whole_kg / tank.volume.value, t_k))
            .expect("two phases");
        let p = fresh.pressure_pa / c.pressure.pascals();
        assert!((p - 1.0).abs() < 1e-8, "{fluid} {p}");
        let vapour = fresh.vapour_mass_fraction * whole_kg;
        assert!((vapour - c.vapour.value).abs() < 1e-8 * whole_kg, "{fluid}");
        // energy found in it anew, less that at the start, is what came in less what went out, to 1e-8 of that
        let z0 = tank.backend.composition().mole_fractions();
        let gained_j = energy_j(&tank, &z, whole_kg, t_k) - energy_j(&tank, &z0, m0_kg, 288.15);
        let crossed_j = done.heat.value - done.enthalpy_drawn.value;
        let scale_j = done.heat.value.abs() + done.enthalpy_drawn.value.abs();
        assert!(
            (gained_j - crossed_j).abs() < 1e-8 * scale_j,
            "{fluid} {gained_j} {crossed_j}"
        );
    }
}

#[test]
fn halving_the_tolerance_would_not_matter() {
    // the same two hours in one step and in 24 restarted steps: differences are integration errors
    let tank = tank("propane:60,n-butane:40", 5.0, 288.15);
    let whole = Schedule::once(draw(4e-4, 7200.0));
    let pieces = Schedule {
        steps: vec![draw(4e-4, 300.0)],
        repeats: 24,
    };
    let end = |s: &Schedule| {
        run(&tank, &charge(10.0, 288.15), s, &RunOptions::default())
            .expect("the tank holds out")
            .last()
            .contents
    };
    let (a, b) = (end(&whole), end(&pieces));
    assert!(
        (a.temperature.value - b.temperature.value).abs() < 2e-3,
        "{a:?} {b:?}"
    );
    assert!((a.vapour_composition[0] - b.vapour_composition[0]).abs() < 1e-5);
}

#[test]
fn pressure_event_is_where_the_pressure_is() {
    let tank = tank("propane", 0.0, 288.15);
    let needed = pascals_absolute(5e5);
    let schedule = Schedule::once(draw(4e-4, 7200.0).needing(needed));
    let stopped = run(
        &tank,
        &charge(11.0, 288.15),
        &schedule,
        &RunOptions::default(),
    )
    .expect("runs");
    let event = *stopped.first_failure().expect("it fails");
    assert_eq!(event.what, Happening::PressureTooLow { needed });
    // states are solved to 1e-6 K where events are looked for: 3e-8 of the pressure
    assert!(
        (event.contents.pressure.pascals() / 5e5 - 1.0).abs() < 1e-7,
        "{event:?}"
    );
    assert!(!stopped.complete && (stopped.end - event.time).value.abs() < 1e-9);
    // told to carry on it tells the same and runs to the end
    let on = run(&tank, &charge(11.0, 288.15), &schedule, &carry_on()).expect("runs");
    assert!(on.complete && on.events.len() == 1);
    assert!((on.events[0].time - event.time).value.abs() < 1e-6 * event.time.value);
    // already too low at the start
    let hopeless = Schedule::once(draw(4e-4, 60.0).needing(pascals_absolute(9e5)));
    let none = run(
        &tank,
        &charge(11.0, 288.15),
        &hopeless,
        &RunOptions::default(),
    )
    .expect("runs");
    assert!(none.end.value.abs() < 1e-12 && none.first_failure().is_some());
}

#[test]
fn gas_alone_is_blown_down_after_the_last_liquid() {
    for fluid in ["propane", "propane:60,n-butane:40"] {
        let tank = tank(fluid, 20.0, 288.15);
        let schedule = Schedule::once(draw(1e-3, 4000.0));
        let options = RunOptions {
            every: Some(seconds(50.0)),
            ..carry_on()
        };
        let done = run(&tank, &charge(2.0, 288.15), &schedule, &options).expect("runs");
        let names: Vec<Happening> = done.events.iter().map(|e| e.what).collect();
        assert_eq!(names, [Happening::LiquidGone, Happening::Empty], "{fluid}");
        let gone_s = done.events[0].time.value;
        assert!(done.events[0].contents.liquid.value.abs() < 1e-6, "{fluid}");
        assert!(!done.complete && done.end.value > gone_s + 50.0, "{fluid}");
        assert!(
            done.balance.species < 1e-8 && done.balance.energy < 1e-8,
            "{fluid}"
        );
        let mut last_pa = f64::INFINITY;
        for row in done.rows.iter().filter(|r| r.time.value > gone_s) {
            let c = &row.contents;
            assert!(c.liquid_composition.is_none(), "{fluid} {row:?}");
            assert!(c.pressure.pascals() < last_pa, "{fluid} {row:?}");
            assert!(
                (c.mass().value - (2.0 - 1e-3 * row.time.value)).abs() < 1e-9,
                "{fluid}"
            );
            last_pa = c.pressure.pascals();
        }
    }
}

// Analytic: an ideal gas of constant cv drawn from an insulated vessel without wall heat expands along
// its isentrope, T/T0 = (m/m0)^(gamma - 1). Nitrogen at low pressure, gamma 1.400, within 0.5 %: real gas.
#[test]
fn gas_left_in_an_insulated_vessel_expands_isentropically() {
    let tank = Tank {
        wall: joules_per_kelvin(0.0),
        heat_gain: HeatGain::Insulated,
        ..tank("nitrogen", 0.0, 300.0)
    };
    let m0_kg = 0.06; // about 2 bar
    let done = run(
        &tank,
        &charge(m0_kg, 300.0),
        &Schedule::once(draw(1e-4, 300.0)),
        &carry_on(),
    )
    .expect("runs");
    let c = &done.last().contents;
    let ideal_k = 300.0 * (c.mass().value / m0_kg).powf(0.4);
    assert!((c.mass().value - 0.03).abs() < 1e-9);
    assert!(
        (c.temperature.value / ideal_k - 1.0).abs() < 5e-3,
        "{c:?} {ideal_k}"
    );
}

#[test]
fn liquid_draw_hardly_chills() {
    let tank = tank("propane", 0.0, 288.15);
    let liquid = Step {
        phase: Drawn::Liquid,
        ..draw(4e-4, 3600.0)
    };
    let options = RunOptions::default();
    let by_liquid = run(
        &tank,
        &charge(11.0, 288.15),
        &Schedule::once(liquid.clone()),
        &options,
    )
    .expect("runs");
    let by_vapour = run(
        &tank,
        &charge(11.0, 288.15),
        &Schedule::once(draw(4e-4, 3600.0)),
        &options,
    )
    .expect("runs");
    let fall = |r: &Run| 288.15 - r.last().contents.temperature.value;
    assert!(fall(&by_liquid) > 0.0, "vapour must fill the room");
    assert!(fall(&by_liquid) < 0.05 * fall(&by_vapour));
    // to the last drop and beyond
    let longer = Step {
        duration: seconds(1e5),
        ..liquid
    };
    let dry = run(
        &tank,
        &charge(11.0, 288.15),
        &Schedule::once(longer),
        &carry_on(),
    )
    .expect("runs");
    let names: Vec<Happening> = dry.events.iter().map(|e| e.what).collect();
    assert_eq!(names, [Happening::LiquidGone, Happening::NoLiquid]);
    assert!(!dry.complete);
}

#[test]
fn floor_and_liquid_full_end_a_run() {
    let cold = tank("propane", 0.0, 288.15);
    let options = RunOptions {
        lowest_temperature: Some(kelvin(263.15)),
        ..carry_on()
    };
    let done = run(
        &cold,
        &charge(5.0, 288.15),
        &Schedule::once(draw(1e-3, 4000.0)),
        &options,
    )
    .expect("runs");
    assert_eq!(
        done.first_failure().expect("too cold").what,
        Happening::TooCold
    );
    assert!((done.last().contents.temperature.value - 263.15).abs() < 1e-6);
    // 90 % full at 15 °C, left in air of 60 °C
    let hot = tank("propane", 8.0, 333.15);
    let rest = Schedule::once(Step::rest(seconds(1e6)));
    let full = run(
        &hot,
        &charge(0.0272 * 507.5 * 0.9, 288.15),
        &rest,
        &carry_on(),
    )
    .expect("runs");
    let event = full.first_failure().expect("liquid-full");
    assert_eq!(event.what, Happening::LiquidFull);
    // found to the 1e-8 that events are solved to
    assert!((event.contents.liquid_volume.value - 1.0).abs() < 1e-7);
}

#[test]
fn what_cannot_be_run_is_refused() {
    let t = tank("propane", 5.0, 288.15);
    let once = Schedule::once(draw(4e-4, 60.0));
    let options = RunOptions::default();
    let refused = |tank: &Tank, c: Charge, s: &Schedule, o: &RunOptions| {
        run(tank, &c, s, o).expect_err("refused")
    };
    let empty = refused(&t, charge(0.0, 288.15), &once, &options);
    assert_eq!(empty, TankError::Empty);
    let over = refused(&t, charge(14.0, 288.15), &once, &options);
    assert!(matches!(over, TankError::LiquidFull { .. }), "{over}");
    let gas = Step {
        phase: Drawn::Liquid,
        ..draw(1e-4, 60.0)
    };
    let none = refused(&t, charge(0.1, 288.15), &Schedule::once(gas), &options);
    assert_eq!(
        none.to_string(),
        "step `draw` draws liquid, but at 288.15 K the tank holds gas alone"
    );
    let arctic = refused(
        &tank("propane", 5.0, 50.0),
        charge(5.0, 288.15),
        &once,
        &options,
    );
    assert!(
        arctic.to_string().contains("ambient temperature is 50 K"),
        "{arctic}"
    );
    let frozen = refused(&t, charge(5.0, 60.0), &once, &options);
    assert!(matches!(frozen, TankError::Eos(_)), "{frozen}");
    let million = Schedule {
        repeats: 1_000_000,
        ..once.clone()
    };
    let many = refused(&t, charge(5.0, 288.15), &million, &options);
    assert_eq!(
        many.to_string(),
        "steps of the schedule would be 1000000, more than the limit of 100000"
    );
    let fine = RunOptions {
        every: Some(seconds(1e-6)),
        ..options
    };
    let rows = refused(&t, charge(5.0, 288.15), &once, &fine);
    assert!(
        matches!(
            rows,
            TankError::TooMany {
                limit: MOST_ROWS,
                ..
            }
        ),
        "{rows}"
    );
    let nothing = Schedule {
        steps: Vec::new(),
        repeats: 1,
    };
    assert!(matches!(
        refused(&t, charge(5.0, 288.15), &nothing, &options),
        TankError::Nothing { .. }
    ));
    let negative = Schedule::once(draw(-1e-4, 60.0));
    assert!(matches!(
        refused(&t, charge(5.0, 288.15), &negative, &options),
        TankError::OutOfRange { .. }
    ));
}

// A hundred thousand steps are run; memory holds no more than the rows asked for.
#[test]
fn a_long_schedule_keeps_few_rows() {
    let t = tank("propane", 5.0, 288.15);
    let schedule = Schedule {
        steps: vec![draw(1e-5, 1.0), Step::rest(seconds(1.0))],
        repeats: 2_000,
    };
    let done = run(&t, &charge(10.0, 288.15), &schedule, &RunOptions::default()).expect("runs");
    assert!(done.complete && done.rows.len() == 2 && done.events.is_empty());
    assert!((done.drawn.value - 0.02).abs() < 1e-9);
}
