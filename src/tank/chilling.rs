//! A tank drawn down: mass, species and energy over time.
//!
//! Vapour (or liquid) leaves at a given mass flow `w`, heat comes in through the wall, and liquid,
//! vapour and wall stay at one temperature in equilibrium:
//!
//! `dn_i/dt = -(w/M) y_i`, `dE/dt = Q - w h`, `E = n_L u_L + n_V u_V + C T`,
//! `V = n_L v_L + n_V v_V`, `n_i = n_L x_i + n_V y_i`.
//!
//! What the integrator carries is what has left and come in (moles of each species, enthalpy, heat), so
//! the balances close by construction; the state follows from them ([`super::contents`]).

use super::TankError;
use super::contents::{Inventory, LOOSE, Mode, Point, Solver, TIGHT};
use super::schedule::{Drawn, Schedule, Step};
use super::vessel::{Charge, Contents, Tank};
use crate::eos::{MAX_COMPONENTS, MoleFractions};
use crate::numerics::ode::{self, OdeError, Outcome, Problem, Segment, Stopped};
use crate::quantity::{
    AbsolutePressure, Energy, Mass, Power, ThermodynamicTemperature, Time, joules, kilograms,
    pascals_absolute, seconds, watts,
};

/// Most rows of a series.
pub const MOST_ROWS: u64 = 100_000;
/// Error allowed a step: energy, as a temperature of the whole, K.
const STEP_ERROR_K: f64 = 2e-4;
/// Error allowed a step: species, relative to all moles.
const STEP_ERROR_MOLES: f64 = 1e-6;
/// First step: the draw that would chill the whole by this, K.
const FIRST_STEP_K: f64 = 1.0;
const MOST_ODE_STEPS: usize = 100_000;
/// A step of the schedule takes at least this many steps, so that an event is not stepped over.
const LEAST_STEPS: f64 = 2.0;
/// Liquid share at which gas counts as wet again.
const WET: f64 = 1e-7;
/// Rest of the first moles at which a tank counts as empty.
const EMPTY: f64 = 1e-3;
/// Distance kept from the lower end of the equation of state, K.
const RANGE_MARGIN_K: f64 = 1.0;
/// Switches between two phases and gas alone before a step gives up.
const MOST_SWITCHES: usize = 20;

/// How a run is reported and when it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunOptions {
    /// Time between rows of the series; `None` for the first and last row only.
    pub every: Option<Time>,
    /// Temperature at which the run ends; the equation's own range always counts.
    pub lowest_temperature: Option<ThermodynamicTemperature>,
    /// Whether to stop when a duty can no longer be fed, or to go on as if it could.
    pub stop_at_failure: bool,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            every: None,
            lowest_temperature: None,
            stop_at_failure: true,
        }
    }
}

/// Something that happens in a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happening {
    /// The pressure falls below what the duty needs.
    PressureTooLow {
        /// Needed.
        needed: AbsolutePressure,
    },
    /// The last liquid has boiled off; gas alone from here on.
    LiquidGone,
    /// Gas turns wet again.
    Condensing,
    /// Liquid is to be drawn, but there is none.
    NoLiquid,
    /// The temperature is down to the floor, or to the end of the equation's range.
    TooCold,
    /// Liquid fills the whole tank: the pressure rises steeply from here.
    LiquidFull,
    /// Nothing worth drawing is left.
    Empty,
}

impl Happening {
    /// Whether the duty is not fed from here on.
    pub fn is_failure(self) -> bool {
        !matches!(self, Self::LiquidGone | Self::Condensing)
    }
    fn ends_run(self) -> bool {
        matches!(self, Self::TooCold | Self::LiquidFull | Self::Empty)
    }
    /// One sentence part, for tables and messages.
    pub fn text(self) -> &'static str {
        match self {
            Self::PressureTooLow { .. } => "tank pressure below what the duty needs",
            Self::LiquidGone => "last liquid boiled off, gas alone from here",
            Self::Condensing => "gas turns wet again",
            Self::NoLiquid => "liquid wanted, but none is left",
            Self::TooCold => "temperature down to the floor",
            Self::LiquidFull => "tank liquid-full",
            Self::Empty => "tank empty",
        }
    }
}

/// When and where something happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What.
    pub what: Happening,
    /// When, from the start of the run.
    pub time: Time,
    /// Which step of the schedule, from 0.
    pub step: usize,
    /// Which repeat, from 0.
    pub repeat: u32,
    /// What is in the tank then.
    pub contents: Contents,
}

/// One row of the series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// From the start of the run.
    pub time: Time,
    /// What is in the tank.
    pub contents: Contents,
    /// Heat coming in.
    pub heat: Power,
    /// Composition of what is being drawn; `None` in a rest.
    pub drawn: Option<MoleFractions>,
}

/// Balances over the whole run: what is found in the tank less what should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Largest error of a species, relative to all moles at the start.
    pub species: f64,
    /// Error of the energy, relative to the energy that warms the whole by 1 K, or the heat and
    /// enthalpy that crossed its boundary if that is more.
    pub energy: f64,
}

/// A finished run.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Series; first row at time zero, last row at the end.
    pub rows: Vec<Row>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// When it ended.
    pub end: Time,
    /// Whether the whole schedule was run.
    pub complete: bool,
    /// Mass drawn.
    pub drawn: Mass,
    /// Heat that came in.
    pub heat: Energy,
    /// How well the balances close.
    pub balance: Balance,
    /// Steps of the integrator.
    pub steps: usize,
    /// Slopes computed.
    pub slopes: usize,
}

impl Run {
    /// First event from which on a duty is not fed.
    pub fn first_failure(&self) -> Option<&Event> {
        self.events.iter().find(|e| e.what.is_failure())
    }
    /// Last row.
    pub fn last(&self) -> &Row {
        self.rows.last().expect("a run has a first row")
    }
}

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
    let mut d = Draining::new(tank, schedule, options, solver, inventory, &point);
    d.push_row(0.0, &point, 0, 0)?;
    let complete = d.run_all()?;
    d.finish(complete)
}

fn check_rows(schedule: &Schedule, options: &RunOptions) -> Result<(), TankError> {
    let Some(every) = options.every else {
        return Ok(());
    };
    TankError::check("time between rows", every.value, 1e-9, 1e12, "s")?;
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

/// Event functions, by place in the solver's list.
const TOO_LOW: usize = 0;
const GONE: usize = 1;
const COLD: usize = 2;
const FULL: usize = 3;
const WET_AGAIN: usize = 4;
const LEFT: usize = 5;
const EVENTS: usize = 6;

/// The run as an integration problem. Its variables: moles drawn of each species, enthalpy drawn, heat.
struct Draining<'a> {
    tank: &'a Tank,
    schedule: &'a Schedule,
    options: &'a RunOptions,
    solver: Solver,
    first: Inventory,
    first_moles: f64,
    capacity_j_k: f64,
    floor_k: f64,
    at: (usize, u32),
    /// The limit of this step has been passed and told.
    too_low_told: bool,
    y: Vec<f64>,
    t_s: f64,
    rows: Vec<Row>,
    row_times: u64,
    events: Vec<Event>,
    steps: usize,
    slopes: usize,
}

impl<'a> Draining<'a> {
    fn new(
        tank: &'a Tank,
        schedule: &'a Schedule,
        options: &'a RunOptions,
        solver: Solver,
        first: Inventory,
        point: &Point,
    ) -> Self {
        let range_k = *tank.backend.validity().temperature_k.start() + RANGE_MARGIN_K;
        let mass_kg = point.liquid_kg() + point.vapour_kg();
        Self {
            y: vec![0.0; solver.count() + 2],
            first_moles: first.moles(),
            capacity_j_k: solver.vessel().wall_j_k + 2000.0 * mass_kg,
            floor_k: options
                .lowest_temperature
                .map_or(range_k, |t| t.value.max(range_k)),
            tank,
            schedule,
            options,
            solver,
            first,
            at: (0, 0),
            too_low_told: false,
            t_s: 0.0,
            rows: Vec::new(),
            row_times: 1,
            events: Vec::new(),
            steps: 0,
            slopes: 0,
        }
    }

    fn step(&self) -> &'a Step {
        &self.schedule.steps[self.at.0]
    }

    /// Contents after `y` has left and come in.
    fn inventory(&self, y: &[f64]) -> Inventory {
        let n = self.solver.count();
        let mut i = self.first;
        for (n, drawn) in i.n_mol.iter_mut().zip(&y[..n]) {
            *n = (*n - drawn).max(0.0);
        }
        i.energy_j += y[n + 1] - y[n];
        i
    }

    fn point(&mut self, y: &[f64], tolerance: f64) -> Result<Point, TankError> {
        let i = self.inventory(y);
        self.solver.solve(&i, tolerance)
    }

    fn heat_w(&self, p: &Point) -> Result<f64, TankError> {
        let share = p.liquid_m3() / self.solver.vessel().volume_m3;
        self.tank.heat_gain.heat_w(p.t_k, share)
    }

    // ---- schedule ---------------------------------------------------------------------------

    /// Whether the whole schedule was run.
    fn run_all(&mut self) -> Result<bool, TankError> {
        let mut start_s = 0.0;
        for repeat in 0..self.schedule.repeats {
            for index in 0..self.schedule.steps.len() {
                self.at = (index, repeat);
                let end_s = start_s + self.step().duration.value;
                if !self.run_step(end_s)? {
                    return Ok(false);
                }
                start_s = end_s;
            }
        }
        Ok(true)
    }

    /// Runs the present step to its end; `false` if the run is over.
    fn run_step(&mut self, end_s: f64) -> Result<bool, TankError> {
        self.too_low_told = false;
        if !self.check_start()? {
            return Ok(false);
        }
        let mut first_step = self.first_step_s(end_s);
        for _ in 0..MOST_SWITCHES {
            let outcome = self.integrate(end_s, first_step)?;
            self.steps += outcome.accepted;
            self.t_s = outcome.t;
            self.y.copy_from_slice(&outcome.y);
            let Stopped::Event(index) = outcome.stopped else {
                return Ok(true);
            };
            first_step = outcome.next_step.max(1e-6);
            if !self.handle(index)? {
                return Ok(false);
            }
        }
        Err(TankError::Integration {
            t_s: self.t_s,
            why: "liquid comes and goes without end".to_owned(),
        })
    }

    /// A step may fail before it begins.
    fn check_start(&mut self) -> Result<bool, TankError> {
        let y = self.y.clone();
        let p = self.point(&y, TIGHT)?;
        let step = self.step();
        if !step.draws() {
            return Ok(true);
        }
        if step.phase == Drawn::Liquid && p.liquid.is_none() {
            self.tell(Happening::NoLiquid, &p);
            return Ok(false);
        }
        match step.lowest_pressure {
            Some(needed) if p.p_pa < needed.pascals() => {
                self.too_low_told = true;
                self.tell(Happening::PressureTooLow { needed }, &p);
                Ok(!self.options.stop_at_failure)
            }
            _ => Ok(true),
        }
    }

    fn first_step_s(&mut self, end_s: f64) -> f64 {
        // about 400 kJ/kg of latent heat: only a first guess that the error estimate corrects
        let chill_w = self.step().draw.value * 4e5;
        let left_s = (end_s - self.t_s).max(1e-9);
        (FIRST_STEP_K * self.capacity_j_k / chill_w).min(left_s / LEAST_STEPS)
    }

    fn integrate(&mut self, end_s: f64, first_step: f64) -> Result<Outcome, TankError> {
        let n = self.solver.count();
        let mut absolute = vec![STEP_ERROR_MOLES * self.first_moles; n];
        absolute.extend([STEP_ERROR_K * self.capacity_j_k; 2]);
        let options = ode::Options {
            relative: 0.0,
            absolute,
            first_step: Some(first_step),
            longest_step: ((end_s - self.t_s) / LEAST_STEPS).max(1e-9),
            most_steps: MOST_ODE_STEPS,
            events: EVENTS,
        };
        let (t_s, y) = (self.t_s, self.y.clone());
        ode::integrate(self, t_s, &y, end_s, &options).map_err(|e| match e {
            OdeError::Slope { t, source, .. } => TankError::Integration {
                t_s: t,
                why: source.to_string(),
            },
            other => TankError::Integration {
                t_s,
                why: other.to_string(),
            },
        })
    }

    /// Acts on an event; `false` if the run is over.
    fn handle(&mut self, index: usize) -> Result<bool, TankError> {
        let y = self.y.clone();
        let p = self.point(&y, TIGHT)?;
        let what = match index {
            TOO_LOW => {
                self.too_low_told = true;
                Happening::PressureTooLow {
                    needed: self.step().lowest_pressure.unwrap_or(pascals_absolute(0.0)),
                }
            }
            GONE => {
                self.solver.switch(Mode::Gas)?;
                Happening::LiquidGone
            }
            WET_AGAIN => {
                self.solver.switch(Mode::TwoPhase)?;
                Happening::Condensing
            }
            COLD => Happening::TooCold,
            FULL => Happening::LiquidFull,
            _ => Happening::Empty,
        };
        self.tell(what, &p);
        let liquid_missing = what == Happening::LiquidGone
            && self.step().draws()
            && self.step().phase == Drawn::Liquid;
        if liquid_missing {
            self.tell(Happening::NoLiquid, &p);
        }
        let failed = what.is_failure() && self.options.stop_at_failure;
        Ok(!(failed || what.ends_run() || liquid_missing))
    }

    fn tell(&mut self, what: Happening, p: &Point) {
        self.events.push(Event {
            what,
            time: seconds(self.t_s),
            step: self.at.0,
            repeat: self.at.1,
            contents: Contents::new(p, self.solver.vessel().volume_m3),
        });
    }

    // ---- results ----------------------------------------------------------------------------

    fn push_row(&mut self, t_s: f64, p: &Point, step: usize, repeat: u32) -> Result<(), TankError> {
        self.at = (step, repeat);
        let step = self.step();
        let drawn = step.draws().then(|| match (step.phase, p.liquid) {
            (Drawn::Liquid, Some(l)) => l.mole_fractions,
            _ => p.vapour.mole_fractions,
        });
        self.rows.push(Row {
            time: seconds(t_s),
            contents: Contents::new(p, self.solver.vessel().volume_m3),
            heat: watts(self.heat_w(p)?),
            drawn,
        });
        Ok(())
    }

    fn finish(mut self, complete: bool) -> Result<Run, TankError> {
        let y = self.y.clone();
        let p = self.point(&y, TIGHT)?;
        let last_s = self.rows.last().map_or(0.0, |r| r.time.value);
        if self.t_s > last_s {
            let (step, repeat) = self.at;
            self.push_row(self.t_s, &p, step, repeat)?;
        }
        let n = self.solver.count();
        let parts = self.tank.backend.composition().parts();
        let drawn_kg = parts
            .iter()
            .zip(&y)
            .map(|(part, n)| part.fuel.molar_mass_kg_mol * n)
            .sum();
        Ok(Run {
            balance: self.balance(&p, &y),
            rows: self.rows,
            events: self.events,
            end: seconds(self.t_s),
            complete,
            drawn: kilograms(drawn_kg),
            heat: joules(y[n + 1]),
            steps: self.steps,
            slopes: self.slopes,
        })
    }

    fn balance(&self, p: &Point, y: &[f64]) -> Balance {
        let n = self.solver.count();
        let side = |moles: f64, s: &crate::eos::Side| {
            let mass_kg = moles * s.molar_mass_kg_mol;
            mass_kg * (s.enthalpy_j_kg - p.p_pa / s.density_kg_m3)
        };
        let mut found = [0.0; MAX_COMPONENTS];
        let mut energy_j = self.solver.vessel().wall_j_k * p.t_k + side(p.vapour_mol, &p.vapour);
        for (found, y) in found.iter_mut().zip(p.vapour.mole_fractions.iter()) {
            *found += p.vapour_mol * y;
        }
        if let Some(l) = &p.liquid {
            energy_j += side(p.liquid_mol, l);
            for (found, x) in found.iter_mut().zip(l.mole_fractions.iter()) {
                *found += p.liquid_mol * x;
            }
        }
        let species = (0..n)
            .map(|k| (found[k] + y[k] - self.first.n_mol[k]).abs() / self.first_moles)
            .fold(0.0, f64::max);
        let crossed_j = self.capacity_j_k.max(y[n].abs()).max(y[n + 1].abs());
        Balance {
            species,
            energy: (energy_j + y[n] - y[n + 1] - self.first.energy_j).abs() / crossed_j,
        }
    }
}

impl Problem for Draining<'_> {
    type Error = TankError;

    fn slope(&mut self, _t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), TankError> {
        self.slopes += 1;
        let p = self.point(y, LOOSE)?;
        let n = self.solver.count();
        let side = match (self.step().phase, p.liquid) {
            (Drawn::Liquid, Some(l)) => l,
            _ => p.vapour,
        };
        let w_kg_s = self.step().draw.value;
        let moles_s = w_kg_s / side.molar_mass_kg_mol;
        for (dy, x) in dy.iter_mut().zip(side.mole_fractions.iter()) {
            *dy = moles_s * x;
        }
        dy[n] = w_kg_s * side.enthalpy_j_kg;
        dy[n + 1] = self.heat_w(&p)?;
        Ok(())
    }

    fn events(&mut self, _t: f64, y: &[f64], g: &mut [f64]) -> Result<(), TankError> {
        let p = self.point(y, LOOSE)?;
        let moles = p.liquid_mol + p.vapour_mol;
        g.fill(1.0);
        let step = self.step();
        if let Some(needed) = step.lowest_pressure
            && step.draws()
            && !self.too_low_told
        {
            g[TOO_LOW] = p.p_pa / needed.pascals().max(1.0) - 1.0;
        }
        match self.solver.mode() {
            Mode::TwoPhase => {
                g[GONE] = p.liquid_mol / moles;
                g[FULL] = p.vapour_mol / moles;
            }
            Mode::Gas => g[WET_AGAIN] = WET - p.liquid.map_or(0.0, |_| p.liquid_mol / moles),
        }
        g[COLD] = (p.t_k - self.floor_k) / self.floor_k;
        g[LEFT] = moles / self.first_moles - EMPTY;
        Ok(())
    }

    fn accepted(&mut self, segment: &Segment<'_>) -> Result<(), TankError> {
        let Some(every) = self.options.every else {
            return Ok(());
        };
        let mut y = vec![0.0; self.y.len()];
        loop {
            // a row count below MOST_ROWS is exact in f64
            #[allow(clippy::cast_precision_loss)]
            let t_s = self.row_times as f64 * every.value;
            if t_s > segment.end() * (1.0 + 1e-12) {
                return Ok(());
            }
            segment.at(t_s, &mut y);
            let p = self.point(&y, TIGHT)?;
            let (step, repeat) = self.at;
            self.push_row(t_s, &p, step, repeat)?;
            self.row_times += 1;
        }
    }
}
