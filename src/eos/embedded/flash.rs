//! States at pressure and temperature, entropy or enthalpy.

use super::one_phase::{DENSE, THIN};
use super::search::{Search, alike};
use super::{ANCILLARY_BAND, Caloric, Embedded, MAX_BRACKETED_STEPS, NEAR_CRITICAL, Root};
use crate::eos::blend_flash::start_from;
use crate::eos::blend_split::{self, Stable};
use crate::eos::mixture::MixIsotherm;
use crate::eos::{EosError, Equilibrium, Phase, Side, State, pure_saturation};
use crate::numerics::effort::Allowance;
use crate::quantity::sentence::{in_kelvin, pressure, sentence};

/// Share of the lowest critical pressure below which bubble and dew point tell the phase of a blend.
const WELL_BELOW: f64 = 0.5;
/// Heat capacity in units of the gas constant by which what a state lacks is measured.
pub(super) const HEAT: f64 = 10.0;
/// Closeness, relative, to what was asked for.
const MET: f64 = 1e-8;
/// Steps that a search at a pressure may take: some hundreds are usual, near a critical point some thousands.
const MOST_STEPS: u64 = 10_000;
/// Share of a density that rounding leaves open.
const LAST_DIGITS: f64 = 1e-12;

impl Embedded {
    /// A state at pressure and entropy or enthalpy that lies clear of the phase lines; `None` if it
    /// does not, or if that cannot be told.
    pub(super) fn px_clear(&self, p_pa: f64, value: f64, caloric: Caloric) -> Option<State> {
        let lines = self.lines()?;
        let gas_above = lines.gas_above_k(p_pa)?;
        let (t_low, t_high) = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        if let Some(state) = self.clear_gas_px(p_pa, value, caloric, gas_above) {
            return Some(state);
        }
        let iso = self.isotherm(gas_above);
        let rho = self.root(&iso, p_pa, Root::Gas, None)?;
        let (side, _, response) = self.caloric(&self.mixed, &iso, rho);
        let off = value - caloric.of_side(&side);
        if off > 0.0 {
            let start = match caloric {
                Caloric::Entropy => gas_above * (off / response.cp_j_kg_k).exp(),
                Caloric::Enthalpy => gas_above + off / response.cp_j_kg_k,
            };
            let guess = rho * gas_above / start;
            let (iso, rho) = self.single_px(
                p_pa,
                value,
                caloric,
                Root::Gas,
                (gas_above, t_high),
                (start.min(t_high), Some(guess)),
            )?;
            let phase = if self.model.is_pure() {
                self.critical_phase(p_pa, iso.t_k, rho)
            } else {
                self.blend_phase(iso.t_k, rho)
            };
            return self.clear(&iso, p_pa, rho, phase);
        }
        let liquid_below = lines.liquid_below_k(p_pa);
        let liquid_below = liquid_below.filter(|t| !self.model.may_split(*t))?;
        let iso = self.isotherm(liquid_below);
        let rho = self.root(&iso, p_pa, Root::Liquid, None)?;
        let (side, _, response) = self.caloric(&self.mixed, &iso, rho);
        let off = value - caloric.of_side(&side);
        if off > 0.0 {
            return None;
        }
        let start = match caloric {
            Caloric::Entropy => liquid_below * (off / response.cp_j_kg_k).exp(),
            Caloric::Enthalpy => liquid_below + off / response.cp_j_kg_k,
        };
        let (iso, rho) = self.single_px(
            p_pa,
            value,
            caloric,
            Root::Liquid,
            (t_low, liquid_below),
            (start.max(t_low), Some(rho)),
        )?;
        self.clear(&iso, p_pa, rho, Phase::Liquid)
    }

    /// One phase that lies clear of the phase lines, where those can be relied upon.
    fn clear(&self, iso: &MixIsotherm, p_pa: f64, rho: f64, phase: Phase) -> Option<State> {
        if !self.is_far_from_critical(rho) {
            return None;
        }
        self.single(iso, p_pa, rho, phase).ok()
    }

    /// Stable state of a pure fluid: which root follows from the saturation pressure.
    pub(super) fn pure_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        let e = self.equation();
        let iso = self.isotherm(t_k);
        let fail = || {
            self.stuck(
                "density",
                sentence!("{}, {}", pressure(p_pa).digits(7), in_kelvin(t_k)),
            )
        };
        if t_k >= e.t_critical_k * (1.0 - NEAR_CRITICAL) {
            let rho = self.root(&iso, p_pa, Root::Only, None).ok_or_else(fail)?;
            return self.single(&iso, p_pa, rho, self.critical_phase(p_pa, t_k, rho));
        }
        let start = pure_saturation::ancillary(&e.ancillary.vapour_pressure, t_k);
        let liquid = if p_pa > start * (1.0 + ANCILLARY_BAND) {
            true
        } else if p_pa < start * (1.0 - ANCILLARY_BAND) {
            false
        } else {
            p_pa >= self.pure_saturation(&iso)?.p_pa
        };
        let (root, phase) = if liquid {
            (Root::Liquid, Phase::Liquid)
        } else {
            (Root::Gas, Phase::Gas)
        };
        let rho = self
            .root(&iso, p_pa, root, None)
            .or_else(|| self.root(&iso, p_pa, Root::Only, None));
        self.single(&iso, p_pa, rho.ok_or_else(fail)?, phase)
    }

    /// Which phase a blend is, where that is plain.
    fn clear_root(&self, p_pa: f64, t_k: f64) -> Option<Root> {
        if self.is_far_from_dew(p_pa, t_k) {
            return Some(Root::Gas);
        }
        let lines = self.lines()?;
        if lines.gas_above_k(p_pa).is_some_and(|t| t_k > t) {
            return Some(Root::Gas);
        }
        let liquid = lines.liquid_below_k(p_pa).is_some_and(|t| t_k < t);
        (liquid && !self.model.may_split(t_k)).then_some(Root::Liquid)
    }

    pub(super) fn blend_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        if let Some(root) = self.clear_root(p_pa, t_k) {
            let iso = self.isotherm(t_k);
            if let Some(rho) = self.root(&iso, p_pa, root, None)
                && self.is_far_from_critical(rho)
            {
                return self.single(&iso, p_pa, rho, self.blend_phase(t_k, rho));
            }
        }
        match blend_split::stable_state(&self.model, &self.mixed.x, p_pa, t_k) {
            Some(Stable::Single(rho)) => {
                let phase = self.blend_phase(t_k, rho);
                self.single(&self.isotherm(t_k), p_pa, rho, phase)
            }
            Some(Stable::Two(s)) => Ok(State::two_phase(
                &self.blend_equilibrium(&s),
                s.vapour_fraction,
            )),
            None if !self.model.has_water_with_oil() => Err(self.stuck(
                "stable state",
                sentence!("{}, {}", pressure(p_pa).digits(7), in_kelvin(t_k)),
            )),
            Some(Stable::Liquids) | None => Err(EosError::LiquidSplits {
                fuel: self.label(),
                t_k,
            }),
        }
    }

    /// Single phase at pressure and entropy or enthalpy: Newton in temperature, slope cp (or cp/T),
    /// kept in a bracket; the density goes along as its own start.
    pub(super) fn single_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
        root: Root,
        (mut low, mut high): (f64, f64),
        start: (f64, Option<f64>),
    ) -> Option<(MixIsotherm, f64)> {
        let (mut t_k, mut rho) = (start.0.clamp(low, high), start.1);
        let mut iso = self.isotherm(t_k);
        // Newton alone cycles around the spike of cp near the critical point
        let (mut step_before_last, mut last_step) = (high - low, high - low);
        for _ in 0..MAX_BRACKETED_STEPS {
            // a start from another temperature may be a poor one
            let density = self
                .root(&iso, p_pa, root, rho)
                .or_else(|| rho.and_then(|_| self.root(&iso, p_pa, root, None)));
            let Some(density) = density else {
                // no such root at this temperature: back towards where there is one
                match root {
                    Root::Gas => low = t_k,
                    Root::Liquid => high = t_k,
                    Root::Only => return None,
                }
                rho = None;
                t_k = 0.5 * (low + high);
                if high - low < 1e-9 * high {
                    return None;
                }
                self.model.isotherm_into(&self.mixed, t_k, &mut iso);
                continue;
            };
            rho = Some(density);
            let (side, _, response) = self.caloric(&self.mixed, &iso, density);
            let (off, slope) = match caloric {
                Caloric::Entropy => (value - side.entropy_j_kg_k, response.cp_j_kg_k / t_k),
                Caloric::Enthalpy => (value - side.enthalpy_j_kg, response.cp_j_kg_k),
            };
            if off > 0.0 {
                low = low.max(t_k);
            } else {
                high = high.min(t_k);
            }
            let change = off / slope;
            if change.abs() <= 1e-13 * t_k {
                return Some((iso, density));
            }
            let next = t_k + change;
            let shrinks = 2.0 * change.abs() < step_before_last;
            let next = if next >= low && next <= high && slope > 0.0 && shrinks {
                next
            } else {
                0.5 * (low + high)
            };
            step_before_last = last_step;
            last_step = (next - t_k).abs();
            if (next - t_k).abs() <= 2e-16 * t_k {
                return ((off / slope).abs() <= 1e-6 * t_k).then_some((iso, density));
            }
            t_k = next;
            self.model.isotherm_into(&self.mixed, t_k, &mut iso);
        }
        None
    }

    /// State at pressure and entropy or enthalpy.
    pub(super) fn px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        if !value.is_finite() {
            return Err(EosError::NotFinite {
                name: caloric.name(),
            });
        }
        let dry = self.dry_gas_px(p_pa, value, caloric);
        if let Some(state) = dry.or_else(|| self.px_clear(p_pa, value, caloric)) {
            return Ok(state);
        }
        if self.model.is_pure() {
            self.pure_px(p_pa, value, caloric)
        } else {
            self.blend_px(p_pa, value, caloric)
        }
    }

    /// Lowest and highest temperature of the model, K.
    pub(super) fn range(&self) -> (f64, f64) {
        (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        )
    }

    /// [`Embedded::single_px`] as a state; the phase is found where it is not given.
    fn one_phase_px(
        &self,
        (p_pa, value, caloric): (f64, f64, Caloric),
        (root, phase): (Root, Option<Phase>),
        bracket: (f64, f64),
        start: (f64, Option<f64>),
    ) -> Result<State, EosError> {
        let (iso, rho) = self
            .single_px(p_pa, value, caloric, root, bracket, start)
            .ok_or_else(|| self.beyond(p_pa, value, caloric))?;
        let phase = phase.unwrap_or_else(|| self.critical_phase(p_pa, iso.t_k, rho));
        let state = self.single(&iso, p_pa, rho, phase)?;
        if self.meets(&state, p_pa, value, caloric) {
            Ok(state)
        } else {
            Err(self.beyond(p_pa, value, caloric))
        }
    }

    pub(super) fn pure_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
    ) -> Result<State, EosError> {
        let asked = (p_pa, value, caloric);
        let start = (self.only_start(p_pa), None);
        if self.below_triple(p_pa) {
            return self.one_phase_px(asked, (Root::Gas, Some(Phase::Gas)), self.range(), start);
        }
        if p_pa >= self.equation().p_critical_pa * (1.0 - 1e-6) {
            return self.one_phase_px(asked, (Root::Only, None), self.range(), start);
        }
        let e = self.pure_equilibrium_p(p_pa)?;
        self.across(asked, &e, &e)
    }

    fn blend_px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        // well below the critical region: from bubble and dew point, where they can be relied upon
        if p_pa <= WELL_BELOW * self.lowest_critical_pressure()
            && let Some(state) = self.blend_px_by_lines(p_pa, value, caloric)
        {
            return Ok(state);
        }
        self.blend_px_surely(p_pa, value, caloric)
    }

    /// A state of a blend by its bubble and dew point; `None` where those do not tell it for certain.
    fn blend_px_by_lines(&self, p_pa: f64, value: f64, caloric: Caloric) -> Option<State> {
        let asked = (p_pa, value, caloric);
        let dew = self.incipient_p(p_pa, false).ok()?;
        if !self.are_apart(&dew) {
            return None;
        }
        if value >= caloric.of_side(&dew.vapour) {
            return self.across(asked, &dew, &dew).ok();
        }
        let bubble = self.incipient_p(p_pa, true).ok()?;
        if !self.are_apart(&bubble) {
            return None;
        }
        self.across(asked, &bubble, &dew).ok()
    }

    /// Whether liquid and vapour are so far from one another that no critical point is near, and the liquid is one.
    pub(super) fn are_apart(&self, e: &Equilibrium) -> bool {
        let share = |side: &Side| {
            let rho = side.density_kg_m3 / side.molar_mass_kg_mol;
            rho / self.model.mixed(&side.mole_fractions).rho_r_mol_m3
        };
        !self.model.may_split(e.temperature_k)
            && share(&e.vapour) < THIN
            && share(&e.liquid) > DENSE
    }

    /// A state of a blend by stable states at its pressure.
    fn blend_px_surely(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        let molar_heat = HEAT * self.model.r() / self.mixed.molar_mass_kg_mol;
        let at = |t_k: f64, guess: Option<&State>| {
            let state = self.blend_pt(p_pa, t_k)?;
            Ok(guess.filter(|g| alike(g, &state)).copied().unwrap_or(state))
        };
        let lacks = |s: &State| {
            let off = value - caloric.of(s);
            match caloric {
                Caloric::Entropy => off / molar_heat,
                Caloric::Enthalpy => off / (molar_heat * s.temperature_k),
            }
        };
        let guess = |s: &State| {
            if let Some(e) = &s.equilibrium {
                let start = start_from(e, s.vapour_mole_fraction, p_pa, self.model.r());
                self.two_phase_near(p_pa, value, caloric, &start)
            } else {
                let rho = s.density_kg_m3 / self.mixed.molar_mass_kg_mol;
                let asked = (value, caloric, 0.0);
                self.newton_px(p_pa, asked, (s.temperature_k, rho), s.phase)
            }
        };
        // as if it were one phase
        let start = self.only_start(p_pa);
        let one = self.single_px(
            p_pa,
            value,
            caloric,
            Root::Only,
            self.range(),
            (start, None),
        );
        let search = Search {
            range: self.range(),
            start: one.map_or(start, |(iso, _)| iso.t_k),
            place: |s| s.temperature_k,
            at: &at,
            lacks: &lacks,
            guess: &guess,
            allowance: Allowance::of(MOST_STEPS),
            spent: &|| {
                let at = sentence!(
                    "{} and {} {}: {} steps did not suffice",
                    pressure(p_pa).digits(7),
                    caloric.name(),
                    &value,
                    &MOST_STEPS
                );
                self.stuck("state", at)
            },
        };
        let state = search
            .run()?
            .ok_or_else(|| self.beyond(p_pa, value, caloric))?;
        Ok(match state.phase {
            Phase::TwoPhase => state,
            _ => State {
                phase: self.blend_phase(
                    state.temperature_k,
                    state.density_kg_m3 / self.mixed.molar_mass_kg_mol,
                ),
                ..state
            },
        })
    }

    /// Whether a state has the pressure and the entropy or enthalpy asked for: all worked out anew from its
    /// temperature and density.
    pub(super) fn meets(&self, s: &State, p_pa: f64, value: f64, caloric: Caloric) -> bool {
        let iso = self.isotherm(s.temperature_k);
        let rho = s.density_kg_m3 / self.mixed.molar_mass_kg_mol;
        let (side, p, r) = self.caloric(&self.mixed, &iso, rho);
        let molar_heat = HEAT * self.model.r() / self.mixed.molar_mass_kg_mol;
        let size = match caloric {
            Caloric::Entropy => molar_heat,
            Caloric::Enthalpy => molar_heat * s.temperature_k,
        };
        // a stiff liquid has its pressure from the last digits of its density
        let stiff = side.density_kg_m3 * r.dp_drho_pa_m3_kg;
        (p - p_pa).abs() <= MET * p_pa + LAST_DIGITS * stiff
            && (caloric.of_side(&side) - value).abs() <= MET * (size + value.abs())
    }

    /// State at a pressure whose bubble and dew points are known.
    fn across(
        &self,
        (p_pa, value, caloric): (f64, f64, Caloric),
        bubble: &Equilibrium,
        dew: &Equilibrium,
    ) -> Result<State, EosError> {
        let asked = (p_pa, value, caloric);
        let (t_low, t_high) = self.range();
        let (at_bubble, at_dew) = (
            caloric.of_side(&bubble.liquid),
            caloric.of_side(&dew.vapour),
        );
        let m = self.mixed.molar_mass_kg_mol;
        if value >= at_dew {
            let start =
                self.extrapolate(dew, value - at_dew, caloric, dew.vapour.density_kg_m3 / m);
            let phase = (!self.model.is_pure()).then_some(Phase::Gas);
            let how = (Root::Gas, phase);
            return self.one_phase_px(asked, how, (dew.temperature_k, t_high), (start, None));
        }
        if value <= at_bubble {
            let start = (bubble.temperature_k, Some(bubble.liquid.density_kg_m3 / m));
            let how = (Root::Liquid, Some(Phase::Liquid));
            return self.one_phase_px(asked, how, (t_low, bubble.temperature_k), start);
        }
        if self.model.is_pure() {
            let q = (value - at_bubble) / (at_dew - at_bubble);
            return Ok(State::two_phase(bubble, q));
        }
        // a blend boils over a range of temperatures
        self.two_phase_between((value, caloric), bubble, dew)
            .ok_or_else(|| self.beyond(p_pa, value, caloric))
    }

    /// Start temperature of a gas state beyond the dew point: constant heat capacity.
    pub(super) fn extrapolate(
        &self,
        dew: &Equilibrium,
        off: f64,
        caloric: Caloric,
        rho_mol: f64,
    ) -> f64 {
        let iso = self.isotherm(dew.temperature_k);
        let cp = self.caloric(&self.mixed, &iso, rho_mol).2.cp_j_kg_k;
        let t_k = match caloric {
            Caloric::Entropy => dew.temperature_k * (off / cp).exp(),
            Caloric::Enthalpy => dew.temperature_k + off / cp,
        };
        t_k.min(*self.validity.temperature_k.end())
    }

    pub(super) fn only_start(&self, p_pa: f64) -> f64 {
        let t_k = self.mixed.t_r_k * if p_pa > 1e6 { 1.1 } else { 0.8 };
        t_k.clamp(
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        )
    }

    pub(super) fn beyond(&self, p_pa: f64, value: f64, caloric: Caloric) -> EosError {
        let range = &self.validity.temperature_k;
        EosError::NotConverged {
            what: "state",
            fuel: self.label(),
            at: sentence!(
                "{} and {} {} (searched {} to {})",
                pressure(p_pa).digits(7),
                caloric.name(),
                &value,
                in_kelvin(*range.start()),
                in_kelvin(*range.end())
            ),
        }
    }
}
