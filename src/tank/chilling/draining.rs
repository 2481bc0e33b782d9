//! A run as an integration problem: what has left the tank and come in, and what happens on the way.

use crate::eos::{MAX_COMPONENTS, Side};
use crate::numerics::ode::{self, OdeError, Outcome, Problem, Segment, Stopped};
use crate::quantity::sentence::Told;
use crate::quantity::{joules, kilograms, pascals_absolute, seconds, watts};
use crate::tank::TankError;
use crate::tank::contents::{Inventory, LOOSE, Mode, Point, Solver, TIGHT};
use crate::tank::record::{Balance, Event, Happening, Row, Run, RunOptions};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::vessel::{Contents, Tank};

/// Error allowed a step: energy, as a temperature of the whole, K.
const STEP_ERROR_K: f64 = 1e-4;
/// Error allowed a step: species, relative to all moles. So small because a light end that runs out must
/// not be overdrawn by more than the balances allow.
const STEP_ERROR_MOLES: f64 = 1e-9;
/// First step: the draw that would chill the whole by this, K.
const FIRST_STEP_K: f64 = 1.0;
/// Differences of the Jacobian of a stiff run: species, relative to the moles that are left, and energy, as a
/// temperature of the whole, K. The state is found to 1e-8 and 1e-6 K.
const DIFFERENCE_MOLES: f64 = 1e-5;
const DIFFERENCE_K: f64 = 0.02;
/// Steps of the integrator from one event to the next: a hundred are usual, of a stiff run too.
const MOST_ODE_STEPS: usize = 5_000;
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

/// Event functions, by place in the solver's list.
const TOO_LOW: usize = 0;
const GONE: usize = 1;
const COLD: usize = 2;
const FULL: usize = 3;
const WET_AGAIN: usize = 4;
const LEFT: usize = 5;
const EVENTS: usize = 6;

/// A state with its place in the run.
struct Found {
    t_s: f64,
    y: Vec<f64>,
    point: Point,
}

/// The run as an integration problem. Its variables: moles drawn of each species, enthalpy drawn, heat.
pub(super) struct Draining<'a> {
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
    stopped_by: Option<String>,
    /// The last state that was found on the way, and the heat that came in.
    latest: Found,
    latest_heat_w: f64,
    steps: usize,
    slopes: usize,
}

impl<'a> Draining<'a> {
    pub(super) fn new(
        tank: &'a Tank,
        schedule: &'a Schedule,
        options: &'a RunOptions,
        solver: Solver,
        first: Inventory,
        point: &Point,
    ) -> Self {
        let range_k = *tank.backend.validity().temperature_k.start() + RANGE_MARGIN_K;
        let mass_kg = point.liquid_kg() + point.vapour_kg();
        let start_y = vec![0.0; solver.count() + 2];
        Self {
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
            stopped_by: None,
            latest: Found {
                t_s: 0.0,
                y: start_y.clone(),
                point: *point,
            },
            y: start_y,
            latest_heat_w: 0.0,
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

    /// State for results. At the very edge of a model the run goes back to the last state that was found
    /// on the way there.
    fn result_point(&mut self) -> Result<Point, TankError> {
        let y = self.y.clone();
        match self.point(&y, TIGHT) {
            Err(e) if e.is_out_of_range() => {
                self.t_s = self.latest.t_s;
                self.y.clone_from(&self.latest.y);
                Ok(self.latest.point)
            }
            other => other,
        }
    }
    fn remember(&mut self, t_s: f64, y: &[f64], point: Point) {
        self.latest.t_s = t_s;
        self.latest.y.copy_from_slice(y);
        self.latest.point = point;
    }

    fn heat_w(&self, p: &Point) -> Result<f64, TankError> {
        let share = p.liquid_m3() / self.solver.vessel().volume_m3;
        let has_liquid = p.liquid.is_some();
        self.tank.heat_gain.heat_w(p.t_k, share, has_liquid)
    }

    // ---- schedule ---------------------------------------------------------------------------

    /// Whether the whole schedule was run.
    pub(super) fn run_all(&mut self) -> Result<bool, TankError> {
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
            let Some(outcome) = self.integrate(end_s, first_step)? else {
                return Ok(false);
            };
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
        // a trace of liquid that comes and goes: neither phase rule holds for long
        let p = self.result_point()?;
        self.stopped_by = Some("a last trace of liquid comes and goes".to_owned());
        self.tell(Happening::OutOfRange, &p);
        Ok(false)
    }

    /// A step may fail before it begins.
    fn check_start(&mut self) -> Result<bool, TankError> {
        let p = self.result_point()?;
        let step = self.step();
        if !step.draws() {
            return Ok(true);
        }
        if step.phase == Drawn::Liquid && p.liquid.is_none() {
            if self.t_s <= 0.0 {
                return Err(TankError::NoLiquid {
                    step: step.name.clone(),
                    t_k: p.t_k,
                });
            }
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

    /// One stretch up to an event; `None` if the contents left the range of a model.
    fn integrate(&mut self, end_s: f64, first_step: f64) -> Result<Option<Outcome>, TankError> {
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
        match ode::integrate(self, t_s, &y, end_s, &options) {
            Ok(outcome) => Ok(Some(outcome)),
            // past the start the last good state is an answer, and so is what lies beyond it
            Err(OdeError::Slope { t, y, source }) if t > 0.0 && source.is_out_of_range() => {
                self.t_s = t;
                self.y.copy_from_slice(&y);
                let p = self.result_point()?;
                self.stopped_by = Some(source.to_string());
                self.tell(Happening::OutOfRange, &p);
                Ok(None)
            }
            Err(OdeError::Slope { t, source, .. }) => Err(TankError::Integration {
                t_s: t,
                why: source.told(),
            }),
            Err(other) => Err(TankError::Integration {
                t_s,
                why: other.to_string().into(),
            }),
        }
    }

    /// Acts on an event; `false` if the run is over.
    fn handle(&mut self, index: usize) -> Result<bool, TankError> {
        let p = self.result_point()?;
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

    pub(super) fn push_row(
        &mut self,
        t_s: f64,
        p: &Point,
        step: usize,
        repeat: u32,
    ) -> Result<(), TankError> {
        self.at = (step, repeat);
        // at the very edge of a correlation: as it was found on the way there
        let heat_w = match self.heat_w(p) {
            Err(e) if t_s > 0.0 && e.is_out_of_range() => self.latest_heat_w,
            other => other?,
        };
        let step = self.step();
        let side = match (step.phase, &p.liquid) {
            (Drawn::Liquid, Some(l)) => l,
            _ => &p.vapour,
        };
        let drawn = step.draws().then_some(side.mole_fractions);
        self.rows.push(Row {
            time: seconds(t_s),
            contents: Contents::new(p, self.solver.vessel().volume_m3),
            heat: watts(heat_w),
            drawn,
            step: self.at.0,
        });
        Ok(())
    }

    pub(super) fn finish(mut self, complete: bool) -> Result<Run, TankError> {
        let p = self.result_point()?;
        let y = self.y.clone();
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
            stopped_by: self.stopped_by,
            drawn: kilograms(drawn_kg),
            heat: joules(y[n + 1]),
            enthalpy_drawn: joules(y[n]),
            steps: self.steps,
            slopes: self.slopes,
        })
    }

    fn balance(&self, p: &Point, y: &[f64]) -> Balance {
        let n = self.solver.count();
        let side = |moles: f64, s: &Side| {
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
        self.latest_heat_w = dy[n + 1];
        Ok(())
    }

    fn events(&mut self, t: f64, y: &[f64], g: &mut [f64]) -> Result<(), TankError> {
        let p = self.point(y, LOOSE)?;
        self.remember(t, y, p);
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

    fn differences(&self, y: &[f64]) -> Option<Vec<f64>> {
        let n = self.solver.count();
        let moles = self.inventory(y).moles();
        let capacity_j_k = self.solver.vessel().wall_j_k
            + (self.capacity_j_k - self.solver.vessel().wall_j_k) * moles / self.first_moles;
        let mut differences = vec![DIFFERENCE_MOLES * moles; n];
        differences.extend([DIFFERENCE_K * capacity_j_k; 2]);
        Some(differences)
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
