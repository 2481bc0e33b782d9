//! Monte-Carlo over the bands of a rig: fuel flow, equivalence ratio, heat and exit temperature at each duty.

use super::air::RigAir;
use super::bands::Band;
use super::burning::Burns;
use super::drivers::Share;
use super::exit::{ExitTable, Fire};
use super::inputs::{Input, InputKind, inputs};
use super::sampling::{Draws, Sampling};
use super::surface::Surface;
use super::tally::{Drawn, DutyTally, Outcome, Tallied};

pub use super::tally::Quantity;
use super::whole::{DutyModel, Route};
use crate::audit::solution::needs;
use crate::audit::{DutySolution, Solution};
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::numerics::effort;
use crate::quantity::ratio;
use crate::quantity::told::errors;
use crate::train::{TrainNeed, TrainPlan};
use rayon::prelude::*;

/// Points at which a surface is held against the sums it stands for.
const CHECKS: u64 = 16;
/// Seed of these points.
const CHECK_SEED: u64 = 0x05ee_d0fc_4ec5;
/// A surface stands for the sums if its worst error is below this share of the standard deviation...
const ERROR_OF_DEVIATION: f64 = 0.03;
/// ...or below this, relative.
const ERROR_NOTHING: f64 = 1e-5;

/// Inputs that are paired before all are.
const FEW_PAIRED: usize = 6;

/// Samples whose steps of iteration are counted, to tell what all of them will take.
const COUNTED: u64 = 4;
/// Steps of iteration that all samples may take where no surface stands for the flow: some ten minutes.
const MOST_EFFORT: u64 = 50_000_000;

/// What bands make of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// Samples and seed.
    pub sampling: Sampling,
    /// What varies.
    pub inputs: Vec<Input>,
    /// What the rig file gives no band for: taken as exact.
    pub without: Vec<&'static str>,
    /// Duties that have a fuel flow.
    pub duties: Vec<DutyTolerance>,
}

/// One duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyTolerance {
    /// Name.
    pub name: String,
    /// How its fuel flow was found.
    pub path: Path,
    /// Spreads of the results.
    pub spreads: Vec<Spread>,
    /// Samples in which the duty gets no fuel, or no answer.
    pub not_fed: usize,
    /// Why, in the first of them.
    pub why_not: Option<String>,
    /// For each material limit of the rig: its place, and the share of samples whose exit is hotter.
    pub hotter: Vec<(String, f64)>,
}

impl DutyTolerance {
    /// The spread of a result.
    pub fn spread(&self, of: Quantity) -> Option<&Spread> {
        self.spreads.iter().find(|s| s.of == of)
    }
}

/// How a fuel flow was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Path {
    /// A smooth surface fitted to the whole train, or to the holes alone.
    Fitted {
        /// Largest relative error at check points.
        worst: f64,
        /// Whether the train is in it.
        train: bool,
    },
    /// The sums themselves, for every sample.
    Whole {
        /// Whether the train is in them.
        train: bool,
    },
}

impl Path {
    /// Whether the train is part of it; else the holes alone, from a pressure before them.
    pub fn has_train(&self) -> bool {
        match self {
            Self::Fitted { train, .. } | Self::Whole { train } => *train,
        }
    }
}

/// Spread of one result, and what drives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Which.
    pub of: Quantity,
    /// With every input at the value given.
    pub nominal: Option<f64>,
    /// The band.
    pub band: Band,
    /// Share of variance of each input, in their order; `None` where the result does not vary.
    pub drivers: Vec<Option<Share>>,
}

errors! {
    /// Why there is no answer.
    pub enum ToleranceError {
        NoInjector { why: String } => "the holes of the injector are not known: {why}";
        NoFire { why: String } => "{why}";
        NoDuty => "no duty has a fuel flow whose spread could be had";
        TooLong { steps: u64, most: u64, samples: u64 } =>
            "the train is solved for every sample, which takes some {steps} steps of iteration each, {most} in all at most: take no more than {samples} samples";
    }
}

/// A duty with all that a sample asks.
struct Case<'a> {
    model: DutyModel<'a>,
    surface: Option<(Surface, f64)>,
    duty: &'a crate::injector::duty::Duty,
}

/// What all samples share.
struct Shared<'a> {
    inputs: &'a [Input],
    /// Places of the inputs that move the fuel flow.
    fuel: Vec<usize>,
    burns: Burns,
    efficiency: f64,
    solution: &'a Solution<'a>,
}

/// Runs the samples.
///
/// In each, every input is drawn from its band; the throttle stays where the rig as given needs it. Fuel flow
/// comes from a quadratic surface fitted to the sums of the whole train where 16 random points show it to be
/// off by less than 3 % of the standard deviation, else from the sums themselves (also with `whole`).
///
/// A duty that the train does not feed: the holes alone, from the pressure given before them.
///
/// * `progress` — told how many samples are done
///
/// **Valid:** independent inputs; steady state. **Errors:** [`ToleranceError`].
/// **Source:** `jcgm101` for the propagation of distributions by Monte-Carlo.
///
/// # Errors
/// No holes, no fire, no duty, or too many samples to solve each.
pub fn tolerance(
    solution: &Solution<'_>,
    sampling: Sampling,
    whole: bool,
    progress: &mut dyn FnMut(usize),
) -> Result<Tolerance, ToleranceError> {
    let fire = solution.stoichiometry.as_ref();
    let fire = fire.map_err(|why| ToleranceError::NoFire { why: why.clone() })?;
    let base = Base::new(solution)?;
    let inputs = &base.inputs;
    let rig = solution.rig;
    let shared = Shared {
        fuel: (0..inputs.len())
            .filter(|&j| inputs[j].moves_fuel())
            .collect(),
        inputs,
        burns: Burns::new(&rig.fuel.composition, fire),
        efficiency: rig.burner.efficiency().value,
        solution,
    };
    let mut cases = Vec::new();
    for need in &base.needs {
        let (Some(duty), Some(model)) = (rig.duty(&need.name), base.model(need)) else {
            continue;
        };
        let surface = if whole { None } else { shared.surface(&model) };
        cases.push(Case {
            model,
            surface,
            duty,
        });
    }
    if cases.is_empty() {
        return Err(ToleranceError::NoDuty);
    }
    shared.afford(&cases, &sampling)?;
    let duties = shared.duties(&cases, &sampling, progress);
    Ok(Tolerance {
        sampling,
        inputs: base.inputs,
        without: base.without,
        duties,
    })
}

/// A rig with what varies of it, to be asked for the flow of its duties.
pub(super) struct Base<'a> {
    pub(super) solution: &'a Solution<'a>,
    plan: &'a InjectorPlan,
    train: Option<&'a TrainPlan>,
    /// What varies.
    pub(super) inputs: Vec<Input>,
    /// What has no band.
    without: Vec<&'static str>,
    /// Duties that have a fuel flow.
    pub(super) needs: Vec<TrainNeed>,
}

impl<'a> Base<'a> {
    pub(super) fn new(solution: &'a Solution<'a>) -> Result<Self, ToleranceError> {
        let plan = solution.injector.as_ref();
        let plan = plan.map_err(|why| ToleranceError::NoInjector { why: why.clone() })?;
        // without parts there is no train to draw from: the holes alone, from the pressure before them
        let train = (solution.train().as_ref().ok()).filter(|_| !solution.main_parts().is_empty());
        let (inputs, without) = inputs(solution, plan, train);
        Ok(Self {
            solution,
            plan,
            train,
            inputs,
            without,
            needs: needs(solution),
        })
    }

    /// The holes at a duty, where they can feed it.
    pub(super) fn injection(&self, name: &str) -> Option<&'a DutyInjection> {
        let planned = self.plan.duties.iter().find(|d| d.name == name)?;
        planned.injection.as_ref().ok()
    }

    /// The throttle's opening at a duty.
    pub(super) fn opening(&self, name: &str) -> Option<f64> {
        let duty = self.train?.duties.iter().find(|d| d.name == name)?;
        Some(duty.setting.as_ref()?.opening)
    }

    /// A duty to be asked for its flow.
    pub(super) fn model(&self, need: &TrainNeed) -> Option<DutyModel<'_>> {
        let duties = self.train.map(|t| &t.duties);
        let solved = duties.and_then(|all| all.iter().find(|d| d.name == need.name));
        Some(DutyModel::new(
            self.solution.rig,
            &self.solution.fluid,
            &self.inputs,
            self.plan,
            need.clone(),
            self.injection(&need.name)?,
            solved,
        ))
    }
}

impl Shared<'_> {
    /// Draws of the inputs that move the fuel, in their order, among draws of all.
    fn spread_out(&self, fuel: &[f64]) -> Vec<f64> {
        let mut all = vec![0.5; self.inputs.len()];
        for (&j, &u) in self.fuel.iter().zip(fuel) {
            all[j] = u;
        }
        all
    }

    fn of_fuel(&self, all: &[f64]) -> Vec<f64> {
        self.fuel.iter().map(|&j| all[j]).collect()
    }

    /// A surface for the flow of a duty and its worst error, with as few pairs as make it true enough; `None` if none is.
    fn surface(&self, model: &DutyModel<'_>) -> Option<(Surface, f64)> {
        let flow = |u: &[f64]| model.flow(&self.spread_out(u));
        let checks: Vec<(Vec<f64>, f64)> = (0..CHECKS)
            .into_par_iter()
            .map(|i| {
                let mut draws = Draws::new(CHECK_SEED, i);
                let u: Vec<f64> = self.fuel.iter().map(|_| draws.next()).collect();
                let want = flow(&u).ok()?;
                Some((u, want))
            })
            .collect::<Option<_>>()?;
        let n = CHECKS as f64;
        let mean = checks.iter().map(|(_, y)| y.ln()).sum::<f64>() / n;
        let squares: f64 = checks.iter().map(|(_, y)| (y.ln() - mean).powi(2)).sum();
        let deviation = (squares / (n - 1.0)).sqrt();
        let alone = Surface::fit(self.fuel.len(), flow).ok()?;
        [0, FEW_PAIRED, self.fuel.len()].into_iter().find_map(|n| {
            let surface = alone.clone().with_pairs(n, flow).ok()?;
            let errors = checks.iter().map(|(u, y)| (surface.at(u) / y - 1.0).abs());
            let worst = errors.fold(0.0, f64::max);
            (worst <= ERROR_NOTHING.max(ERROR_OF_DEVIATION * deviation)).then_some((surface, worst))
        })
    }

    /// Refuses more samples than their steps of iteration allow.
    fn afford(&self, cases: &[Case<'_>], sampling: &Sampling) -> Result<(), ToleranceError> {
        let before = effort::done();
        for i in 0..COUNTED {
            self.sample(cases, &mut Draws::new(CHECK_SEED, i));
        }
        let steps = (effort::done() - before) / COUNTED;
        let samples = MOST_EFFORT / steps.max(1);
        if sampling.samples() as u64 > samples {
            return Err(ToleranceError::TooLong {
                steps,
                most: MOST_EFFORT,
                samples,
            });
        }
        Ok(())
    }

    fn sample(&self, cases: &[Case<'_>], draws: &mut Draws) -> Drawn {
        let draws = self.all_of(draws);
        let outcomes = self.outcomes(cases, &draws, |case| match &case.surface {
            Some((surface, _)) => Some(surface.at(&self.of_fuel(&draws))),
            None => case.model.flow(&draws).ok(),
        });
        Drawn { draws, outcomes }
    }

    fn all_of(&self, draws: &mut Draws) -> Vec<f64> {
        self.inputs.iter().map(|_| draws.next()).collect()
    }

    /// Runs the samples round by round. Exits need the ranges of all samples first: where there is more than one
    /// round, the samples are run again for them.
    fn duties(
        &self,
        cases: &[Case<'_>],
        sampling: &Sampling,
        progress: &mut dyn FnMut(usize),
    ) -> Vec<DutyTolerance> {
        let limits = &self.solution.rig.limits;
        let limits_k: Vec<f64> = limits.iter().map(|l| l.max_temperature.value).collect();
        let mut tallies: Vec<DutyTally> = (0..cases.len())
            .map(|i| DutyTally::new(i, self.inputs.len(), sampling.samples(), &limits_k))
            .collect();
        let run = |round, progress: &mut dyn FnMut(usize)| {
            sampling.part(round, &|draws| self.sample(cases, draws), progress)
        };
        let mut last = Vec::new();
        for round in sampling.rounds() {
            let first = round.start;
            last = run(round, progress);
            tallies.par_iter_mut().for_each(|t| t.add(first, &last));
        }
        let mut exits: Vec<(&mut DutyTally, ExitTable)> = cases
            .iter()
            .zip(&mut tallies)
            .filter_map(|(case, tally)| {
                let table = self.exits(case, tally)?;
                Some((tally, table))
            })
            .collect();
        for round in sampling.rounds() {
            let first = round.start;
            if first > 0 || round.len() < sampling.samples() {
                last = run(round, &mut |_| {});
            }
            exits
                .par_iter_mut()
                .for_each(|(tally, table)| tally.add_exits(first, &last, table));
        }
        let each = cases.iter().zip(&tallies);
        each.map(|(case, tally)| self.duty(case, tally, sampling))
            .collect()
    }

    fn outcomes(
        &self,
        cases: &[Case<'_>],
        u: &[f64],
        flow: impl Fn(&Case<'_>) -> Option<f64>,
    ) -> Box<[Option<Outcome>]> {
        let departure = |kind: &InputKind| {
            let found = self.inputs.iter().zip(u).find(|(i, _)| i.kind == *kind);
            found.map_or(0.0, |(i, u)| i.departure(*u))
        };
        let air = RigAir::new(self.solution.rig, departure(&InputKind::Ambient));
        let flow_by = departure(&InputKind::AirFlow);
        let (air_fuel_ratio, heat_j_kg) = self.burns.with(self.inputs, u);
        cases
            .iter()
            .map(|case| {
                let air = air.as_ref()?;
                let of = air.of(case.duty, flow_by)?;
                let flow_kg_s = flow(case)?;
                let phi = flow_kg_s * air_fuel_ratio / (of.flow_kg_s * air.dry_share);
                let heat_w = flow_kg_s * heat_j_kg * self.efficiency / phi.max(1.0);
                Some(Outcome {
                    flow_kg_s,
                    phi,
                    heat_w,
                    air_k: of.temperature_k,
                })
            })
            .collect()
    }

    fn duty(&self, case: &Case<'_>, tally: &DutyTally, sampling: &Sampling) -> DutyTolerance {
        let name = &case.duty.name;
        let nominal = self.solution.duties.iter().find(|d| d.name == *name);
        let demand = nominal.and_then(|d| d.demand.as_ref().ok());
        let spread = |(of, result): (Quantity, &Tallied)| {
            Some(Spread {
                of,
                nominal: match of {
                    Quantity::Flow => demand.map(|d| d.fuel.value),
                    Quantity::EquivalenceRatio => demand.map(|d| d.equivalence_ratio.value),
                    Quantity::Heat => demand.map(|d| d.heat_release.value),
                    Quantity::Exit => nominal
                        .and_then(DutySolution::exit_temperature)
                        .map(|t| t.value),
                },
                band: result.values.band()?,
                drivers: (0..self.inputs.len())
                    .map(|j| result.shares.of(j))
                    .collect(),
            })
        };
        let spreads: Vec<Spread> = Quantity::ALL
            .into_iter()
            .zip(&tally.results)
            .filter_map(spread)
            .collect();
        let exits = spreads.iter().find(|s| s.of == Quantity::Exit);
        let hotter = exits.map_or(Vec::new(), |exits| {
            let limits = self.solution.rig.limits.iter().zip(&tally.hotter);
            limits
                .map(|(l, (_, over))| (l.place.clone(), *over as f64 / exits.band.count as f64))
                .collect()
        });
        let train = matches!(case.model.route, Route::Train { .. });
        DutyTolerance {
            name: name.clone(),
            path: match case.surface {
                Some((_, worst)) => Path::Fitted { worst, train },
                None => Path::Whole { train },
            },
            spreads,
            not_fed: tally.not_fed,
            why_not: tally.first_bad.map(|s| {
                let draws = self.all_of(&mut Draws::new(sampling.seed(), s as u64));
                match case.model.flow(&draws) {
                    Err(why) => why,
                    Ok(_) => "its air flow is not known".to_owned(),
                }
            }),
            hotter,
        }
    }

    /// Exit temperatures over the ranges of the samples.
    fn exits(&self, case: &Case<'_>, tally: &DutyTally) -> Option<ExitTable> {
        if !(tally.phi.0 < f64::INFINITY) {
            return None;
        }
        let rig = self.solution.rig;
        let humidity = RigAir::new(rig, 0.0).map_or(ratio(0.0), |a| a.humidity_ratio);
        let fluid = self.solution.fluid.as_ref();
        let fire = Fire::new(rig, fluid, humidity, case.duty.chamber)?;
        ExitTable::new(&fire, tally.phi, tally.air_k)
    }
}
