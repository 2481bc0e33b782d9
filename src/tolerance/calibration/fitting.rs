//! How a run is fitted: what varies, in standard uncertainties; what it makes of readings and duties.

use super::{
    Against, COVERAGE, Calibrated, CalibrationError, Known, Narrowed, READ_K, RING_K, Run, Told,
};
use crate::numerics::least_squares::{Derivatives, Prior, Problem, propagated};
use crate::quantity::{AbsolutePressure, Kind};
use crate::tolerance::inputs::{Input, InputKind};
use crate::tolerance::study::Base;
use crate::tolerance::whole::{DutyModel, Route};

/// Standard uncertainty of the laws of flow themselves, relative. Our choice.
const OF_LAWS: f64 = 0.003;
/// Step of a difference, in standard uncertainties of what varies: the flow is solved to 1e-9.
const STEP: f64 = 0.1;

/// Inputs that are of the day, not of the rig.
fn of_the_day(kind: &InputKind) -> bool {
    matches!(
        kind,
        InputKind::Opening | InputKind::Ambient | InputKind::Source | InputKind::SupplyDrop
    )
}

/// What varies, in standard uncertainties from the middle of its band.
pub(super) struct Varied<'a> {
    pub(super) inputs: &'a [Input],
    /// Places of those that move the fuel.
    pub(super) fuel: Vec<usize>,
}

impl Varied<'_> {
    /// Draws of all inputs: a rectangle's standard uncertainty is its width over √12.
    fn draws(&self, x: &[f64]) -> Vec<f64> {
        let mut all = vec![0.5; self.inputs.len()];
        for (&j, x) in self.fuel.iter().zip(x) {
            all[j] = 0.5 + x / 12.0_f64.sqrt();
        }
        all
    }

    fn departure(&self, k: usize, x: f64) -> f64 {
        self.inputs[self.fuel[k]].departure(0.5 + x / 12.0_f64.sqrt())
    }

    /// Natural logarithm of coefficient times area, over that of the file.
    fn area(&self, x: &[f64]) -> f64 {
        let of = |kind: &InputKind| {
            let k = self.fuel.iter().position(|&j| self.inputs[j].kind == *kind);
            k.map_or(0.0, |k| self.departure(k, x[k]).ln_1p())
        };
        of(&InputKind::DischargeCoefficient) + 2.0 * of(&InputKind::HoleDiameter)
    }
}

/// Central differences of something.
fn gradient(x: &[f64], of: &dyn Fn(&[f64]) -> Result<f64, String>) -> Result<Vec<f64>, String> {
    let one = |k: usize| {
        let at = |by: f64| {
            let mut x = x.to_vec();
            x[k] += by;
            of(&x)
        };
        Ok((at(STEP)? - at(-STEP)?) / (2.0 * STEP))
    };
    (0..x.len()).map(one).collect()
}

fn length(g: &[f64]) -> f64 {
    g.iter().map(|g| g * g).sum::<f64>().sqrt()
}

/// A run on its way to an answer.
pub(super) struct Fitting<'a> {
    pub(super) base: &'a Base<'a>,
    pub(super) run: &'a Run,
    pub(super) of_run: DutyModel<'a>,
    /// The holes fed from the pressure that was read, and how far it is off over their drop.
    pub(super) at_ring: Option<(DutyModel<'a>, f64)>,
    /// How warm the train brings the fuel to the holes, K.
    pub(super) brought_k: f64,
    pub(super) varied: Varied<'a>,
}

impl Fitting<'_> {
    /// Logarithm of the flow of a model.
    fn ln_flow(&self, model: &DutyModel<'_>, x: &[f64]) -> Result<f64, String> {
        model.flow(&self.varied.draws(x)).map(f64::ln)
    }

    /// Logarithm of the flow of the holes at the pressure that was read.
    fn holes(&self, x: &[f64]) -> Result<f64, String> {
        let (alone, _) = self.at_ring.as_ref().ok_or("no pressure was read")?;
        self.ln_flow(alone, x)
    }

    fn ring(&self, x: &[f64]) -> Result<f64, String> {
        let found = self.of_run.before_holes(&self.varied.draws(x))?;
        Ok(found.1)
    }

    /// Uncertainty of the flow that the holes pass at the pressure read, by that reading alone; relative.
    fn of_reading(&self) -> Result<f64, String> {
        let Some((alone, off)) = &self.at_ring else {
            return Ok(0.0);
        };
        let Route::Holes {
            pressure,
            temperature,
        } = &alone.route
        else {
            return Ok(0.0);
        };
        let chamber_pa = alone.need.chamber.pascals();
        let drop_pa = pressure.pascals() - chamber_pa;
        let at = |share: f64| {
            let p = AbsolutePressure::from_pascals(chamber_pa + share * drop_pa);
            let flux = alone.flux(alone.fluid.as_ref(), p, 1.0, *temperature);
            flux.map(f64::ln).map_err(|e| e.to_string())
        };
        Ok(0.5 * (at(1.0 + off)? - at(1.0 - off)?).abs())
    }

    /// Uncertainty of a flow by how warm the fuel is before the holes, relative: it goes with the root of the temperature.
    fn by_warmth(&self) -> f64 {
        let read = self.run.ring_temperature.is_some() || self.run.caught;
        let half_k = if read { READ_K } else { RING_K };
        0.5 * half_k / 3.0_f64.sqrt() / self.brought_k
    }

    /// What the flow of the train is off by where the fuel before the holes was read to be warmer than the train brings
    /// it, as a logarithm.
    fn warmer(&self) -> f64 {
        let read = self.run.ring_temperature;
        read.map_or(0.0, |t| 0.5 * (self.brought_k / t.value).ln())
    }

    /// Whether the holes are asked at the pressure that was read, the train left out.
    fn holes_alone(&self) -> bool {
        self.run.caught || matches!(self.of_run.route, Route::Holes { .. })
    }

    pub(super) fn found(
        &self,
        duty: String,
        coefficient: f64,
    ) -> Result<Calibrated, CalibrationError> {
        let model = |why: String| CalibrationError::Model { why };
        let n = self.varied.fuel.len();
        let before = vec![0.0; n];
        let u_flow = self.run.flow_error.hypot(OF_LAWS).hypot(self.by_warmth());
        let by_ring = u_flow.hypot(self.of_reading().map_err(model)?);
        let ln_read = self.run.flow.value.ln();
        let alone = self.holes_alone() && self.at_ring.is_some();
        let predicted = |x: &[f64]| {
            if alone {
                self.holes(x)
            } else {
                Ok(self.ln_flow(&self.of_run, x)? + self.warmer())
            }
        };
        let u = if alone { by_ring } else { u_flow };
        let residuals = |x: &[f64]| {
            let mut all = vec![(predicted(x).ok()? - ln_read) / u];
            if let (Some((read, u)), false) = (self.run.ring, alone) {
                all.push((self.ring(x).ok()? - read.pascals()) / u);
            }
            Some(all)
        };
        let priors = vec![
            Some(Prior {
                value: 0.0,
                deviation: 1.0
            });
            n
        ];
        let problem = Problem {
            residuals: &residuals,
            derivatives: Derivatives::Over(&vec![STEP; n]),
            priors: &priors,
        };
        // what is wrong with the rig itself is told first
        predicted(&before).map_err(model)?;
        let fit = problem.fit(&before).map_err(|e| model(e.to_string()))?;
        let against = |of: &dyn Fn(&[f64]) -> Result<f64, String>, u: f64| {
            let g = gradient(&before, of).map_err(model)?;
            let flow = of(&before).map_err(model)?.exp();
            let (read, e) = (self.run.flow.value, self.run.flow_error);
            // what is not of the scale is of the prediction
            let rest = (u * u - e * e).max(0.0).sqrt();
            let predicted = (flow, flow * length(&g).hypot(rest));
            Ok::<_, CalibrationError>(Against::new((read, read * e), predicted))
        };
        let ring = match self.run.ring {
            Some((read, u)) if !alone => {
                let of = |x: &[f64]| self.ring(x);
                let g = gradient(&before, &of).map_err(model)?;
                let predicted = (of(&before).map_err(model)?, length(&g));
                Some(Against::new((read.pascals(), u), predicted))
            }
            _ => None,
        };
        let at_ring = match self.at_ring {
            Some(_) => Some(against(&|x| self.holes(x), by_ring)?),
            None => None,
        };
        Ok(Calibrated {
            duty,
            opening: self.run.opening.map(|o| o.0),
            flow: against(&predicted, u)?,
            ring,
            at_ring,
            known: self.known(&fit.parameters, &fit.covariance),
            coefficient,
            duties: self.duties(&fit.parameters, &fit.covariance),
        })
    }

    /// Everything that varies and is of the rig, before and after; the holes as one.
    fn known(&self, x: &[f64], covariance: &[Vec<f64>]) -> Vec<Known> {
        let v = &self.varied;
        let area = |x: &[f64]| Ok(v.area(x));
        let (zero, nothing) = (vec![0.0; x.len()], Vec::new());
        let g = gradient(&zero, &area).unwrap_or(nothing);
        let (u0, u) = (length(&g), propagated(covariance, &g, &g).sqrt());
        let ends = |low: bool| {
            let of = |kind: InputKind| {
                let input = v.inputs.iter().find(|i| i.kind == kind);
                input.map_or(0.0, |i| if low { i.low } else { i.high })
            };
            (1.0 + of(InputKind::DischargeCoefficient))
                * (1.0 + of(InputKind::HoleDiameter)).powi(2)
                - 1.0
        };
        let left = if u0 > 0.0 { u / u0 } else { 1.0 };
        let mut all = vec![Known {
            name: "holes, coefficient times area".to_owned(),
            unit: Kind::Ratio,
            before: (ends(true), ends(false)),
            value: v.area(x).exp_m1(),
            half: COVERAGE * u,
            left,
            told: Told::of(left),
        }];
        let mut rest: Vec<Known> = Vec::new();
        for (k, &j) in v.fuel.iter().enumerate() {
            let input = &v.inputs[j];
            let of_holes = matches!(
                input.kind,
                InputKind::HoleDiameter | InputKind::DischargeCoefficient
            );
            if of_holes || of_the_day(&input.kind) {
                continue;
            }
            let left = covariance[k][k].sqrt();
            rest.push(Known {
                name: input.name.clone(),
                unit: input.unit(),
                before: (input.low, input.high),
                value: v.departure(k, x[k]),
                half: COVERAGE * left * (input.high - input.low) / 12.0_f64.sqrt(),
                left,
                told: Told::of(left),
            });
        }
        rest.sort_by(|a, b| a.left.total_cmp(&b.left));
        all.extend(rest);
        all
    }

    /// The duties before and after, each with what is of the day anew.
    fn duties(&self, x: &[f64], covariance: &[Vec<f64>]) -> Vec<Narrowed> {
        let v = &self.varied;
        let n = x.len();
        let day = |k: usize| of_the_day(&v.inputs[v.fuel[k]].kind);
        let after: Vec<f64> = (0..n).map(|k| if day(k) { 0.0 } else { x[k] }).collect();
        let mut c = covariance.to_vec();
        for k in (0..n).filter(|k| day(*k)) {
            c[k].fill(0.0);
            for row in &mut c {
                row[k] = 0.0;
            }
            c[k][k] = 1.0;
        }
        let band = |middle: f64, u: f64| {
            let half = COVERAGE * u.hypot(OF_LAWS);
            ((middle - half).exp(), (middle + half).exp())
        };
        let narrowed = |need: &crate::train::TrainNeed| {
            let model = self.base.model(need)?;
            let of = |x: &[f64]| self.ln_flow(&model, x);
            let zero = vec![0.0; n];
            let g0 = gradient(&zero, &of).ok()?;
            let g = gradient(&after, &of).ok()?;
            let variance = propagated(&c, &g, &g);
            let share = |k: usize| g[k] * (0..n).map(|j| c[k][j] * g[j]).sum::<f64>() / variance;
            let most = (0..n).max_by(|a, b| share(*a).total_cmp(&share(*b)));
            let duty = self
                .base
                .solution
                .duties
                .iter()
                .find(|d| d.name == need.name)?;
            let demand = duty.demand.as_ref().ok()?;
            Some(Narrowed {
                name: need.name.clone(),
                before: band(of(&zero).ok()?, length(&g0)),
                after: band(of(&after).ok()?, variance.sqrt()),
                ratio_per_flow: demand.equivalence_ratio.value / demand.fuel.value,
                most: most.map(|k| (v.inputs[v.fuel[k]].name.clone(), share(k))),
            })
        };
        self.base.needs.iter().filter_map(narrowed).collect()
    }
}
