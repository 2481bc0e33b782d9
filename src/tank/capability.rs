//! How much a tank can give: for ever at a given ambient, or once for a given time.

use super::TankError;
use super::chilling::{RunOptions, run};
use super::contents::Solver;
use super::schedule::{Drawn, Schedule, Step};
use super::vessel::{Charge, Tank};
use crate::eos::Equilibrium;
use crate::numerics::effort::{self, Allowance};
use crate::numerics::root;
use crate::quantity::range::in_range_of;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, MassRate, Power, ThermodynamicTemperature, Time,
    joules_per_kilogram, kelvin, kilograms_per_second, watts,
};

/// Change of temperature at which the search for the steady state is done, K.
const SETTLED_K: f64 = 1e-7;
const MOST_ROUNDS: usize = 50;
/// Step of the walk to the bracket, K.
const WALK_K: f64 = 5.0;
/// Share of the moles that is drawn to find the heat a kilogram takes.
const SMALL_DRAW: f64 = 1e-4;
/// Largest short draw: relative resolution.
const DRAW_TOLERANCE: f64 = 1e-6;
/// Steps of all iterations that its search may take.
const MOST_EFFORT: u64 = 300_000;

/// A draw that the heat from the surroundings keeps up with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sustainable {
    /// Mass flow.
    pub draw: MassRate,
    /// Temperature the tank settles at: the coldest that still gives the pressure.
    pub temperature: ThermodynamicTemperature,
    /// Heat coming in there.
    pub heat: Power,
    /// Heat a kilogram drawn takes from the tank.
    pub heat_per_mass: AvailableEnergy,
}

/// Steady draw at which the tank settles just warm enough for the pressure needed:
/// `w = Q(T_min) / q`, where `T_min` is the temperature at which the contents have the lowest pressure and
/// `q` the heat that a kilogram of vapour takes at constant temperature, `q = ρ_L h_fg / (ρ_L - ρ_V)` for a
/// pure fluid.
///
/// **Valid:** at the filling given. As the level falls less wall is wetted, and a blend loses its light end:
/// repeat with the last tenth for what holds to the end.
/// **Errors:** [`TankError`]: no liquid, bad input, properties out of range.
/// **Source:** energy balance of the open system at constant temperature.
///
/// # Errors
/// As above.
pub fn sustainable_draw(
    tank: &Tank,
    charge: &Charge,
    lowest: AbsolutePressure,
) -> Result<Sustainable, TankError> {
    let (solver, _, point) = tank.start(charge)?;
    let no_liquid = || TankError::gas_alone(tank.backend.as_ref(), point.t_k);
    if point.liquid.is_none() {
        return Err(no_liquid());
    }
    let mass_kg = charge.mass.value;
    let rho = mass_kg / tank.volume.value;
    let t_k = settling_temperature_k(tank, rho, point.t_k, lowest.pascals())?;
    let state = tank.backend.state_rho_t(rho, t_k)?;
    let e = state.equilibrium.ok_or_else(no_liquid)?;
    let liquid_kg = mass_kg * (1.0 - state.vapour_mass_fraction);
    let share = liquid_kg / e.liquid.density_kg_m3 / tank.volume.value;
    let heat_w = tank.heat_gain.heat_w(t_k, share, true)?.max(0.0);
    let q_j_kg = heat_per_mass(tank, &solver, mass_kg, &e)?;
    Ok(Sustainable {
        draw: kilograms_per_second(heat_w / q_j_kg),
        temperature: kelvin(t_k),
        heat: watts(heat_w),
        heat_per_mass: joules_per_kilogram(q_j_kg),
    })
}

/// Temperature at which a mean density has a pressure: walked to from the start, then bracketed.
fn settling_temperature_k(
    tank: &Tank,
    rho: f64,
    start_k: f64,
    lowest_pa: f64,
) -> Result<f64, TankError> {
    if tank.backend.composition().parts().len() == 1 {
        return Ok(tank.backend.bubble_p(lowest_pa)?.temperature_k);
    }
    let off = |t_k: f64| -> Result<f64, TankError> {
        Ok(tank.backend.state_rho_t(rho, t_k)?.pressure_pa / lowest_pa - 1.0)
    };
    let (mut t_k, mut f) = (start_k, off(start_k)?);
    let direction = if f > 0.0 { -WALK_K } else { WALK_K };
    for _ in 0..MOST_ROUNDS {
        let (next_k, next) = (t_k + direction, off(t_k + direction)?);
        if (next > 0.0) != (f > 0.0) {
            return root::brent_from(
                |t| off(t).map_err(root::RootError::Function),
                (t_k, f),
                (next_k, next),
                SETTLED_K,
            )
            .map_err(|e| e.or_from(|_| not_found()));
        }
        (t_k, f) = (next_k, next);
    }
    Err(not_found())
}

fn not_found() -> TankError {
    TankError::Nothing {
        what: "no temperature at which the contents have the pressure needed",
    }
}

/// Heat that keeps the temperature while a kilogram of vapour leaves, J/kg.
fn heat_per_mass(
    tank: &Tank,
    solver: &Solver,
    mass_kg: f64,
    e: &Equilibrium,
) -> Result<f64, TankError> {
    let (l, v) = (&e.liquid, &e.vapour);
    if solver.count() == 1 {
        let (rho_l, rho_v) = (l.density_kg_m3, v.density_kg_m3);
        return Ok(e.latent_heat_j_kg() * rho_l / (rho_l - rho_v));
    }
    // a blend's split shifts: energy before and after a small draw of its vapour, same volume
    let moles = mass_kg / tank.backend.molar_mass_kg_mol();
    let z = tank.backend.composition().mole_fractions();
    let drawn_mol = SMALL_DRAW * moles;
    let rest: Vec<f64> = z
        .iter()
        .zip(v.mole_fractions.iter())
        .map(|(z, y)| (z - SMALL_DRAW * y) / (1.0 - SMALL_DRAW))
        .collect();
    let after = tank.backend.recomposed(&rest)?;
    let drawn_kg = drawn_mol * v.molar_mass_kg_mol;
    let energy_j = |b: &dyn crate::eos::Backend, m: f64| {
        b.state_rho_t(m / tank.volume.value, e.temperature_k)
            .map(|s| m * s.internal_energy_j_kg())
    };
    let change_j =
        energy_j(after.as_ref(), mass_kg - drawn_kg)? - energy_j(tank.backend.as_ref(), mass_kg)?;
    Ok(v.enthalpy_j_kg + change_j / drawn_kg)
}

/// Largest steady draw that a charge feeds for a given time before its pressure falls below the lowest.
///
/// **Valid:** as [`run`].
/// **Errors:** [`TankError::Nothing`] if the pressure is too low from the start; otherwise as [`run`].
///
/// # Errors
/// As above.
pub fn largest_short_draw(
    tank: &Tank,
    charge: &Charge,
    phase: Drawn,
    duration: Time,
    lowest: AbsolutePressure,
) -> Result<MassRate, TankError> {
    in_range_of("duration of the draw", duration.value, 1e-3..=1e9, "s")?;
    let start = tank.contents(charge)?;
    if start.pressure.pascals() <= lowest.pascals() {
        return Err(TankError::Nothing {
            what: "the tank pressure is too low before anything is drawn",
        });
    }
    let allowance = Allowance::of(MOST_EFFORT);
    // above zero if the draw holds out: how far the last pressure is above the lowest, or how early it fails
    let margin = |w_kg_s: f64| -> Result<f64, TankError> {
        if allowance.is_spent() {
            return Err(TankError::Spent {
                what: "the search for the largest draw",
                steps: allowance.most(),
                last: None,
            });
        }
        let step = Step {
            phase,
            ..Step::vapour("draw", kilograms_per_second(w_kg_s), duration)
        };
        let done = run(
            tank,
            charge,
            &Schedule::once(step.needing(lowest)),
            &RunOptions::default(),
        )?;
        effort::add(done.effort());
        Ok(if done.complete {
            done.last().contents.pressure.pascals() / lowest.pascals().max(1.0) - 1.0
        } else {
            done.end.value / duration.value - 1.0
        })
    };
    // more than everything cannot be drawn
    let all_kg_s = charge.mass.value / duration.value;
    let draw_kg_s = root::brent(margin, 1e-6 * all_kg_s, all_kg_s, DRAW_TOLERANCE * all_kg_s)
        .map_err(|e| {
            e.or_from(|_| TankError::Nothing {
                what: "even a trickle cannot be fed for that long",
            })
        })?;
    Ok(kilograms_per_second(draw_kg_s))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eos::fluid;
    use crate::quantity::{
        cubic_metres, joules_per_kelvin, kilograms, pascals_absolute, seconds, watts_per_kelvin,
    };
    use crate::tank::heat_gain::HeatGain;

    fn tank(name: &str) -> Tank {
        Tank {
            backend: fluid(name),
            volume: cubic_metres(0.0272),
            wall: joules_per_kelvin(5500.0),
            heat_gain: HeatGain::Conductance {
                conductance: watts_per_kelvin(5.0),
                ambient: kelvin(288.15),
            },
        }
    }

    fn charge(t_k: f64) -> Charge {
        Charge {
            mass: kilograms(8.0),
            temperature: kelvin(t_k),
        }
    }

    const LOWEST_PA: f64 = 2.5e5;

    // Definition: at its settling temperature the sustainable draw leaves the temperature alone
    #[test]
    fn a_tank_settled_at_its_sustainable_draw_stays_there() {
        for fluid in ["propane", "propane:60,n-butane:40"] {
            let tank = tank(fluid);
            let lowest = pascals_absolute(LOWEST_PA);
            let s = sustainable_draw(&tank, &charge(288.15), lowest).expect("it feeds");
            let settled = charge(s.temperature.value);
            let p = tank.contents(&settled).expect("two phases").pressure;
            assert!(
                (p.pascals() / LOWEST_PA - 1.0).abs() < 1e-6,
                "{fluid} {p:?}"
            );
            let change_k = |factor: f64| {
                let step = Step::vapour("draw", s.draw * factor, seconds(10.0));
                let done = run(
                    &tank,
                    &settled,
                    &Schedule::once(step),
                    &RunOptions::default(),
                )
                .expect("a short draw");
                done.last().contents.temperature.value - s.temperature.value
            };
            // 10 s of twice the draw would chill by 0.06 K
            assert!(change_k(1.0).abs() < 1e-4, "{fluid} {}", change_k(1.0));
            assert!(change_k(2.0) < -0.01, "{fluid} {}", change_k(2.0));
        }
    }

    #[test]
    fn the_largest_short_draw_ends_at_the_lowest_pressure() {
        let tank = tank("propane");
        let (lowest, hour) = (pascals_absolute(LOWEST_PA), seconds(3600.0));
        let w = largest_short_draw(&tank, &charge(288.15), Drawn::Vapour, hour, lowest)
            .expect("it feeds");
        let step = Step::vapour("draw", w, hour);
        let done = run(
            &tank,
            &charge(288.15),
            &Schedule::once(step),
            &RunOptions::default(),
        )
        .expect("runs");
        let p = done.last().contents.pressure.pascals();
        assert!((p / LOWEST_PA - 1.0).abs() < 1e-4, "{p}");
        // a short draw lives on what the tank holds: far above what can be kept up
        let steady = sustainable_draw(&tank, &charge(288.15), lowest)
            .expect("it feeds")
            .draw;
        assert!(w > 1.5 * steady, "{w:?} {steady:?}");
        let shorter = seconds(600.0);
        let more = largest_short_draw(&tank, &charge(288.15), Drawn::Vapour, shorter, lowest)
            .expect("feeds");
        assert!(more > 2.0 * w);
    }

    #[test]
    fn nothing_is_kept_up_where_the_surroundings_are_too_cold() {
        let mut cold = tank("n-butane");
        cold.heat_gain = cold.heat_gain.with_ambient(kelvin(260.0));
        let air = pascals_absolute(101_325.0);
        let s = sustainable_draw(&cold, &charge(288.15), air).expect("a number");
        assert!(s.draw.value.abs() < 1e-15 && s.temperature.value > 272.0);
        let none = largest_short_draw(&cold, &charge(260.0), Drawn::Vapour, seconds(60.0), air);
        assert!(matches!(none, Err(TankError::Nothing { .. })), "{none:?}");
        let gas = Charge {
            mass: kilograms(0.02),
            temperature: kelvin(288.15),
        };
        assert!(matches!(
            sustainable_draw(&cold, &gas, air),
            Err(TankError::GasAlone { .. })
        ));
    }
}
