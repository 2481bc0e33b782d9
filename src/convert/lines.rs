//! Line bores for the liquid: loss on the test day and on the coldest, speed, what it holds, what it weighs.

use super::input::ConvertInput;
use super::liquid::liquid_state;
use crate::eos::EosError;
use crate::flow::line::{Friction, Line, LineFlow, WallHeat, line_outlet};
use crate::quantity::sentence::Told;
use crate::quantity::{
    AbsolutePressure, Length, Mass, MassRate, PressureDifference, ThermodynamicTemperature, Time,
    Velocity, Volume, cubic_metres, kilograms, metres, pascals_difference, seconds,
};
use std::f64::consts::{FRAC_PI_4, PI};

/// Outside diameter and wall of common metric tube, m (`iso1127`).
const TUBES_M: [[f64; 2]; 5] = [
    [4e-3, 1e-3],
    [6e-3, 1e-3],
    [8e-3, 1e-3],
    [10e-3, 1e-3],
    [12e-3, 1e-3],
];
/// Stainless steel, kg/m³.
const STEEL_KG_M3: f64 = 8000.0;
/// Roughness of drawn tube, m.
const ROUGHNESS_M: f64 = 1.5e-6;
/// Bends and joints of the line as a loss coefficient; our choice: six elbows.
const BENDS: f64 = 6.0;
/// Loss of the line on the coldest day over the nozzle's drop that is still accepted; our choice.
pub const LARGEST_LOSS_SHARE: f64 = 0.1;
/// Length taken where neither the rig nor a wish gives one; our choice.
const ASSUMED_LENGTH_M: f64 = 3.0;

/// A line of one bore.
#[derive(Debug, Clone, PartialEq)]
pub struct LineOption {
    /// Outside diameter.
    pub outside: Length,
    /// Bore.
    pub bore: Length,
    /// Loss at the largest duty on the test day.
    pub loss: PressureDifference,
    /// The same on the coldest day, or why it is not known.
    pub cold_loss: Result<PressureDifference, String>,
    /// Speed.
    pub velocity: Velocity,
    /// Reynolds number on the test day.
    pub reynolds: Option<f64>,
    /// What it holds.
    pub holds: Volume,
    /// Time to fill it at the largest duty.
    pub fills_in: Time,
    /// Mass of the dry tube.
    pub mass: Mass,
}

/// Lines to choose from, and the one the plan goes on with.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    /// Length of each.
    pub length: Length,
    /// Where the length is from.
    pub length_from: &'static str,
    /// Options, narrowest first.
    pub options: Vec<LineOption>,
    /// Narrowest whose loss is small; `None`: not even the widest.
    pub chosen: Option<usize>,
}

impl Lines {
    /// The line the plan goes on with; the widest where no loss is small.
    pub fn chosen(&self) -> Option<&LineOption> {
        match self.chosen {
            Some(i) => self.options.get(i),
            None => self.options.last(),
        }
    }
}

/// Length of the line: wished, else that of the rig's own tubes and hoses, else assumed.
fn length(input: &ConvertInput<'_>) -> (Length, &'static str) {
    if let Some(wished) = input.wishes.line_length {
        return (wished, "as given");
    }
    let parts = input.rig.train.parts();
    let lines = parts.iter().filter_map(|p| p.kind.line());
    let sum_m: f64 = lines.map(|l| l.length.value).sum();
    if sum_m > 0.0 {
        (metres(sum_m), "tubes and hoses of the old train together")
    } else {
        (metres(ASSUMED_LENGTH_M), "assumed")
    }
}

/// Lines for a flow from a pressure.
///
/// **Source:** as [`line_outlet`]; sizes `iso1127`.
///
/// # Errors
/// [`EosError`]: no liquid state on the test day.
pub(super) fn lines(
    input: &ConvertInput<'_>,
    flow: MassRate,
    pressure: AbsolutePressure,
    nozzle_drop_pa: f64,
) -> Result<Lines, EosError> {
    let (length, length_from) = length(input);
    // a state on the day at all: fails here, not at every bore
    let state = liquid_state(input.to, pressure, input.day())?;
    let rho = state.density_kg_m3;
    let (coldest, _) = input.extremes();
    let mut options = Vec::new();
    for [outside_m, wall_m] in TUBES_M {
        let bore_m = outside_m - 2.0 * wall_m;
        let loss = |t: ThermodynamicTemperature| {
            walked(input, flow, pressure, metres(bore_m), length, t)
                .map(|w| pascals_difference(pressure.pascals() - w.outlet_pressure.pascals()))
        };
        let Ok(walk) = walked(input, flow, pressure, metres(bore_m), length, input.day()) else {
            continue;
        };
        let holds_m3 = FRAC_PI_4 * bore_m * bore_m * length.value;
        options.push(LineOption {
            outside: metres(outside_m),
            bore: metres(bore_m),
            loss: pascals_difference(pressure.pascals() - walk.outlet_pressure.pascals()),
            cold_loss: loss(coldest),
            velocity: walk.inlet_velocity,
            reynolds: walk.reynolds,
            holds: cubic_metres(holds_m3),
            fills_in: seconds(holds_m3 * rho / flow.value),
            mass: kilograms(PI * STEEL_KG_M3 * wall_m * (outside_m - wall_m) * length.value),
        });
    }
    let small = |o: &LineOption| {
        let cold = o.cold_loss.as_ref().unwrap_or(&o.loss);
        cold.pascals().max(o.loss.pascals()) <= LARGEST_LOSS_SHARE * nozzle_drop_pa
    };
    Ok(Lines {
        length,
        length_from,
        chosen: options.iter().position(small),
        options,
    })
}

fn walked(
    input: &ConvertInput<'_>,
    flow: MassRate,
    pressure: AbsolutePressure,
    bore: Length,
    length: Length,
    t: ThermodynamicTemperature,
) -> Result<LineFlow, String> {
    let state = liquid_state(input.to, pressure, t).map_err(|e| e.told().show(input.units))?;
    let line = Line {
        bore,
        outside_diameter: None,
        length,
        friction: Friction::Roughness(metres(ROUGHNESS_M)),
        loss_coefficient: BENDS,
        rise: metres(0.0),
        heat: WallHeat::Insulated,
    };
    line_outlet(input.to, &state, flow, &line, t).map_err(|e| e.told().show(input.units))
}
