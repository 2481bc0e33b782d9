//! After a shut-off: fuel left between the closing valve and the flame, and how long it burns on.

use super::rows::effective_area_m2;
use super::solution::{PartProblem, TrainError};
use super::{Conditions, End, Outlet, Part, PartFlow, Run, Solution, Train};
use crate::eos::{Phase, State};
use crate::flow::orifice::{Expansion, OrificeError, Stagnation, isentropic_flux, liquid_flux};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, Energy, Mass, MassRate, ThermodynamicTemperature, Time,
    Volume, cubic_metres, joules, kilograms, kilograms_per_second, pascals_absolute, seconds,
};
use std::f64::consts::PI;

/// Steps of the emptying.
const STEPS: usize = 64;
/// Share of the running flow at which the flame is taken as out, where the caller gives no flow.
/// Our choice: lean blow-off of a bench burner lies above.
const FLAME_OUT_SHARE: f64 = 0.1;
/// The section counts as empty when the pressure above the chamber's has fallen to this share.
const END_SHARE: f64 = 0.01;

/// What is known beside the train.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShutOffSetup {
    /// Pressure of the chamber after the flame has lost its fuel.
    pub chamber: AbsolutePressure,
    /// Temperature that the walls hold the fuel at.
    pub wall: ThermodynamicTemperature,
    /// Lower heating value of the fuel.
    pub heating_value: AvailableEnergy,
    /// Flow at which the flame goes out; `None`: a tenth of the running flow.
    pub flame_out: Option<MassRate>,
    /// Outlet behind a tube with holes, ring or bar, and what that tube holds; `None`: no tube.
    pub header: Option<(&'static str, Volume)>,
}

/// Fuel behind a closing valve and what becomes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShutOff {
    /// Valve that closes.
    pub valve: String,
    /// Volume between it and the outlets.
    pub volume: Volume,
    /// Fuel in it while running.
    pub fuel: Mass,
    /// Heat of that fuel.
    pub energy: Energy,
    /// Fuel that passes while the valve closes, at most: the running flow for its longest closing time.
    pub while_closing: Mass,
    /// Longest closing time; `None`: not known.
    pub closing_time: Option<Time>,
    /// Time from closed until the flow has fallen to where the flame goes out; `None`: it never does while
    /// the section empties (liquid that hangs in the line).
    pub flame_life: Option<Time>,
    /// Time from closed until the section has lost all but a hundredth of its pressure.
    pub empties_in: Option<Time>,
    /// Time, pressure and flow while the section empties.
    pub course: Vec<(Time, AbsolutePressure, MassRate)>,
    /// Fuel that stays in the section at chamber pressure.
    pub stays: Mass,
    /// Parts whose volume is not known, taken as none.
    pub unknown: Vec<String>,
    /// Whether liquid is left behind the valve.
    pub liquid: bool,
}

impl ShutOff {
    /// Fuel that comes out of the holes after the valve has closed, at most: what stays behind as gas is not in it, and
    /// liquid that does not boil away may drip out, all of it.
    pub fn runs_out(&self) -> Mass {
        if self.flame_life.is_none() {
            return self.fuel;
        }
        kilograms((self.fuel.value - self.stays.value).max(0.0))
    }
}

/// Volume of the fuel in a part: given, or from bore and length; `None` if neither is known.
pub fn part_volume(part: &Part) -> Option<Volume> {
    part.internal_volume.or_else(|| {
        part.kind
            .line()
            .map(|l| cubic_metres(PI / 4.0 * l.bore.value.powi(2) * l.length.value))
    })
}

/// Parts and outlets downstream of a part, in its run and the runs that follow.
fn downstream<'a>(train: &'a Train, valve: &str) -> Option<(Vec<&'a Part>, Vec<&'a Outlet>)> {
    let (mut parts, mut outlets) = (Vec::new(), Vec::new());
    for source in &train.sources {
        if let Some(i) = source.parts.iter().position(|p| p.name == valve) {
            parts.extend(&source.parts[i + 1..]);
            collect(&train.run, &mut parts, &mut outlets);
            return Some((parts, outlets));
        }
    }
    in_run(&train.run, valve)
}

fn in_run<'a>(run: &'a Run, valve: &str) -> Option<(Vec<&'a Part>, Vec<&'a Outlet>)> {
    if let Some(i) = run.parts.iter().position(|p| p.name == valve) {
        let mut parts: Vec<&Part> = run.parts[i + 1..].iter().collect();
        let mut outlets = Vec::new();
        collect_end(&run.end, &mut parts, &mut outlets);
        return Some((parts, outlets));
    }
    match &run.end {
        End::Outlet(_) => None,
        End::Split(runs) => runs.iter().find_map(|r| in_run(r, valve)),
    }
}

fn collect<'a>(run: &'a Run, parts: &mut Vec<&'a Part>, outlets: &mut Vec<&'a Outlet>) {
    parts.extend(&run.parts);
    collect_end(&run.end, parts, outlets);
}

fn collect_end<'a>(end: &'a End, parts: &mut Vec<&'a Part>, outlets: &mut Vec<&'a Outlet>) {
    match end {
        End::Outlet(o) => outlets.push(o),
        End::Split(runs) => {
            for run in runs {
                collect(run, parts, outlets);
            }
        }
    }
}

/// Fuel left behind a valve that closes on a running train, and its emptying through the outlets.
///
/// The section is one volume at one pressure and at the temperature of its walls (small bores and metal
/// walls: the slow limit, which gives the flame its longest life). It empties through the outlets' holes,
/// reduced by one factor so that the flow at the moment of closing is the running flow; lines are in that
/// factor; a ring or bar tube counts with its own volume. Liquid boils off at wall temperature as long as it lasts.
///
/// **Valid:** a solved train whose outlets have holes. Non-volatile liquid stays in the line and is
/// reported as such. **Errors:** [`TrainError`]. **Source:** mass balance; `flow::orifice` for the holes.
///
/// # Errors
/// [`TrainError::NoSuch`] if the valve is not in the train.
pub fn after_shut_off(
    train: &Train,
    conditions: &Conditions,
    solution: &Solution,
    valve: &str,
    setup: &ShutOffSetup,
) -> Result<ShutOff, TrainError> {
    after_shut_off_beside(train, conditions, solution, valve, setup, &[])
}

/// The same beside others of the same solution and setup: a section with the same fuel in it that feeds the same
/// flow empties in the same way and is not computed again.
pub(super) fn after_shut_off_beside(
    train: &Train,
    conditions: &Conditions,
    solution: &Solution,
    valve: &str,
    setup: &ShutOffSetup,
    others: &[Result<ShutOff, TrainError>],
) -> Result<ShutOff, TrainError> {
    let (parts, outlets) = downstream(train, valve).ok_or_else(|| TrainError::NoSuch {
        what: "part",
        name: valve.to_owned(),
    })?;
    let closing = train.part(valve).and_then(|p| p.closure.as_ref());
    let closing_time = closing.and_then(|c| c.closing_time);
    let (mut volume, mut fuel, mut held_pa) = (0.0, 0.0, 0.0);
    let mut unknown = Vec::new();
    for part in &parts {
        let Some(v) = part_volume(part).map(|v| v.value) else {
            if part.kind.bore().is_some() {
                unknown.push(part.name.clone());
            }
            continue;
        };
        let Some(flow) = solution.part(&part.name) else {
            continue;
        };
        let (rho, p_pa) = mean(flow);
        volume += v;
        fuel += v * rho;
        held_pa += v * p_pa;
    }
    if let Some((name, v)) = setup.header
        && outlets.iter().any(|o| o.name == name)
        && let Some(outlet) = solution.outlet(name)
    {
        volume += v.value;
        fuel += v.value * outlet.inlet.density.value;
        held_pa += v.value * outlet.inlet.pressure.pascals();
    }
    let running: f64 = outlets
        .iter()
        .filter_map(|o| solution.outlet(&o.name))
        .map(|o| o.flow.value)
        .sum();
    let liquid = parts
        .iter()
        .filter_map(|p| solution.part(&p.name))
        .any(|f| f.outlet.phase != Phase::Gas && f.outlet.phase != Phase::Supercritical);
    let mut result = ShutOff {
        valve: valve.to_owned(),
        volume: cubic_metres(volume),
        fuel: kilograms(fuel),
        energy: joules(fuel * setup.heating_value.value),
        while_closing: kilograms(running * closing_time.map_or(0.0, |t| t.value)),
        closing_time,
        flame_life: Some(seconds(0.0)),
        empties_in: Some(seconds(0.0)),
        course: Vec::new(),
        stays: kilograms(0.0),
        unknown,
        liquid,
    };
    let bits = |s: &ShutOff| {
        let flow = s.course.first().map(|c| c.2.value.to_bits());
        (s.volume.value.to_bits(), s.fuel.value.to_bits(), flow)
    };
    let own = (volume.to_bits(), fuel.to_bits(), Some(running.to_bits()));
    if let Some(alike) = others.iter().flatten().find(|s| bits(s) == own) {
        return Ok(ShutOff {
            valve: result.valve,
            unknown: result.unknown,
            closing_time,
            while_closing: result.while_closing,
            ..alike.clone()
        });
    }
    if volume > 0.0 && running > 0.0 {
        let section = Section {
            conditions,
            outlets: &outlets,
            setup,
            volume,
        };
        section.empty(fuel / volume, held_pa / volume, running, &mut result)?;
    }
    Ok(result)
}

/// Mean density and pressure in a part.
fn mean(flow: &PartFlow) -> (f64, f64) {
    (
        0.5 * (flow.inlet.density.value + flow.outlet.density.value),
        0.5 * (flow.inlet.pressure.pascals() + flow.outlet.pressure.pascals()),
    )
}

struct Section<'a> {
    conditions: &'a Conditions<'a>,
    outlets: &'a [&'a Outlet],
    setup: &'a ShutOffSetup,
    volume: f64,
}

impl Section<'_> {
    fn state(&self, rho: f64) -> Result<State, TrainError> {
        self.conditions
            .fuel
            .state_rho_t(rho, self.setup.wall.value)
            .map_err(|e| self.failed(e.into()))
    }

    fn failed(&self, problem: PartProblem) -> TrainError {
        TrainError::Part {
            part: self
                .outlets
                .first()
                .map_or_else(String::new, |o| o.name.clone()),
            problem,
        }
    }

    /// Flow of all holes together from a state of the section, kg/s.
    fn holes(&self, state: &State) -> Result<f64, TrainError> {
        let up = Stagnation::of(self.conditions.fuel, *state);
        let flux = if state.phase == Phase::Liquid {
            liquid_flux(&up, self.setup.chamber, Expansion::Blend).map(|f| f.flux.value)
        } else {
            isentropic_flux(&up, self.setup.chamber).map(|f| f.flux.value)
        };
        let flux = match flux {
            Ok(flux) => flux,
            Err(OrificeError::BackAboveSupply { .. }) => 0.0,
            Err(e) => return Err(self.failed(e.into())),
        };
        let area: f64 = self.outlets.iter().map(|o| effective_area_m2(o)).sum();
        Ok(area * flux)
    }

    /// Empties the section from its mean density; time by quadrature over the mass that leaves.
    fn empty(
        &self,
        rho_running: f64,
        p_running: f64,
        running: f64,
        result: &mut ShutOff,
    ) -> Result<(), TrainError> {
        let fuel = self.conditions.fuel;
        let (chamber, wall) = (self.setup.chamber.pascals(), self.setup.wall.value);
        let end = fuel
            .state_pt(chamber, wall)
            .map_err(|e| self.failed(e.into()))?;
        result.stays = kilograms(self.volume * end.density_kg_m3);
        // a liquid that does not boil at the chamber's pressure stays where it is
        if end.phase == Phase::Liquid {
            result.flame_life = None;
            result.empties_in = None;
            return Ok(());
        }
        // gas is at wall temperature soon after closing: its density is that of the mean pressure
        let rho0 = if result.liquid {
            rho_running
        } else {
            fuel.state_pt(p_running, wall)
                .map_err(|e| self.failed(e.into()))?
                .density_kg_m3
        };
        let start = self.state(rho0)?;
        let full = self.holes(&start)?;
        if full <= 0.0 || rho0 <= end.density_kg_m3 {
            return Ok(());
        }
        let factor = running / full;
        let out = self
            .setup
            .flame_out
            .map_or(FLAME_OUT_SHARE * running, |m| m.value);
        let ends_pa = chamber + END_SHARE * (start.pressure_pa - chamber);
        result.flame_life = None;
        result.empties_in = None;
        let spare = rho0 - end.density_kg_m3;
        let (mut t, mut before) = (0.0, (rho0, running));
        result.course.push(point(0.0, start.pressure_pa, running));
        for i in 1..=STEPS {
            // finer towards the end, where the flow dies away
            let share = 1.0 - i as f64 / STEPS as f64;
            let rho = end.density_kg_m3 + spare * share.powi(2).max(1e-9);
            let state = self.state(rho)?;
            let flow = factor * self.holes(&state)?;
            let mean = 0.5 * (before.1 + flow);
            if mean <= 0.0 {
                break;
            }
            let dt = self.volume * (before.0 - rho) / mean;
            if result.flame_life.is_none() && flow <= out {
                let part = (before.1 - out) / (before.1 - flow).max(1e-300);
                result.flame_life = Some(seconds(t + dt * part.clamp(0.0, 1.0)));
            }
            t += dt;
            result.course.push(point(t, state.pressure_pa, flow));
            if result.empties_in.is_none() && state.pressure_pa <= ends_pa {
                result.empties_in = Some(seconds(t));
            }
            if result.empties_in.is_some() && result.flame_life.is_some() {
                break;
            }
            before = (rho, flow);
        }
        Ok(())
    }
}

fn point(t_s: f64, p_pa: f64, m_kg_s: f64) -> (Time, AbsolutePressure, MassRate) {
    (
        seconds(t_s),
        pascals_absolute(p_pa),
        kilograms_per_second(m_kg_s),
    )
}
