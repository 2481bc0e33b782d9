//! A tank drawn down: mass, species and energy over time.
//!
//! Vapour (or liquid) leaves at a given mass flow `w`, heat comes in through the wall, and liquid,
//! vapour and wall stay at one temperature in equilibrium:
//!
//! `dn_i/dt = -(w/M) y_i`, `dE/dt = Q - w h`, `E = n_L u_L + n_V u_V + C T`,
//! `V = n_L v_L + n_V v_V`, `n_i = n_L x_i + n_V y_i`.
//!
//! What the integrator carries is what has left and come in (moles of each species, enthalpy, heat), so
//! the balances close by construction; the state follows from them (`contents`).

mod draining;

use super::TankError;
pub use super::record::{Balance, Event, Happening, Row, Run, RunOptions, dew_point_of_drawn};
use super::schedule::Schedule;
use super::vessel::{Charge, Tank};
use crate::quantity::range::in_range_of;

/// Most rows of a series.
pub const MOST_ROWS: u64 = 100_000;

/// Runs a schedule on a charge.
///
/// **Valid:** rigid tank, contents well mixed and in equilibrium, wall at their temperature, gravity and
/// kinetic energy left out. A real vapour space is drawn from a liquid that is coldest at its surface, so
/// the true pressure sags a little faster.
/// **Errors:** [`TankError`]: bad input, properties out of range, or an iteration that gave up.
/// **Source:** balances of mass, species and energy; properties from the backend.
///
/// # Errors
/// As above.
pub fn run(
    tank: &Tank,
    charge: &Charge,
    schedule: &Schedule,
    options: &RunOptions,
) -> Result<Run, TankError> {
    schedule.check()?;
    check_rows(schedule, options)?;
    let (solver, inventory, point) = tank.start(charge)?;
    let mut d = draining::Draining::new(tank, schedule, options, solver, inventory, &point);
    d.push_row(0.0, &point, 0, 0)?;
    let complete = d.run_all()?;
    d.finish(complete)
}

fn check_rows(schedule: &Schedule, options: &RunOptions) -> Result<(), TankError> {
    let Some(every) = options.every else {
        return Ok(());
    };
    in_range_of("time between rows", every.value, 1e-9..=1e12, "s")?;
    let count = schedule.duration_s() / every.value;
    // bounded by the check against MOST_ROWS; saturates above
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss
    )]
    if count > MOST_ROWS as f64 {
        return Err(TankError::TooMany {
            what: "rows of the series",
            count: count as u64,
            limit: MOST_ROWS,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
