//! Gas through a control valve: expansion factor, choking at `Fγ xT`, fittings, small flows.

use super::{Diameters, MAX_KV, Mounting, N1, Passage, Style, TOLERANCE, ValveError, WATER_KG_M3};
use crate::eos::{Backend, EosError, State};
use crate::numerics::root::{RootError, brent};
use crate::quantity::range::in_range;
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, FlowCoefficient, MassDensity, MassRate, MolarMass,
    kilograms_per_cubic_metre, kilograms_per_mole, kilograms_per_second, pascal_seconds,
    pascals_absolute,
};

/// Normal molar volume of an ideal gas, m³/mol at 273.15 K and 101 325 Pa (`codata2018`).
const NORMAL_MOLAR_VOLUME: f64 = crate::quantity::GAS_CONSTANT_J_MOL_K * 273.15 / 101_325.0;

/// Gas at the inlet of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasFeed {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Density, of the real gas.
    pub density: MassDensity,
    /// Heat-capacity ratio cp/cv, of the real gas.
    pub gamma: f64,
    /// Molar mass.
    pub molar_mass: MolarMass,
    /// Viscosity; used for small flows only.
    pub viscosity: DynamicViscosity,
}

impl GasFeed {
    /// The gas in a state of a backend.
    ///
    /// # Errors
    /// Two-phase state, or no viscosity model.
    pub fn of(backend: &dyn Backend, state: &State) -> Result<Self, EosError> {
        let r = state.response()?;
        Ok(Self {
            pressure: pascals_absolute(state.pressure_pa),
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            gamma: r.cp_j_kg_k / r.cv_j_kg_k,
            molar_mass: kilograms_per_mole(backend.molar_mass_kg_mol()),
            viscosity: pascal_seconds(backend.viscosity_pa_s(state)?),
        })
    }
}

/// A valve of known Kv with gas at its inlet; plain SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GasLaw {
    c: f64,
    p1_pa: f64,
    rho1: f64,
    /// `Fγ xT`, which sets the expansion factor.
    x_t: f64,
    /// `Fγ xTP`, where flow chokes.
    x_choke: f64,
    fp: f64,
    small: Option<Small>,
}

/// What the Reynolds number needs.
#[derive(Debug, Clone, Copy)]
struct Small {
    diameters: Diameters,
    style: Style,
    /// Normal volume flow over mass flow, (m³/h)/(kg/s).
    normal_m3_h_per_kg_s: f64,
    nu_m2_s: f64,
}

impl GasLaw {
    pub(crate) fn new(
        feed: &GasFeed,
        kv_m3_h: f64,
        style: &Style,
        mounting: Option<&Mounting>,
    ) -> Result<Self, ValveError> {
        style.check()?;
        in_range("inlet pressure in Pa", feed.pressure.pascals(), 1.0..=1e9)?;
        in_range("inlet density in kg/m³", feed.density.value, 1e-9..=5e3)?;
        in_range("heat-capacity ratio", feed.gamma, 1.0..=20.0)?;
        in_range("molar mass in kg/mol", feed.molar_mass.value, 1e-3..=2.0)?;
        in_range("Kv in m³/h", kv_m3_h, 1e-12..=MAX_KV)?;
        let diameters = mounting.map(Diameters::of).transpose()?;
        let f_gamma = feed.gamma / 1.4;
        let small = diameters
            .map(|diameters| {
                in_range("viscosity in Pa s", feed.viscosity.value, 1e-9..=1e3)?;
                Ok::<_, ValveError>(Small {
                    diameters,
                    style: *style,
                    normal_m3_h_per_kg_s: 3600.0 * NORMAL_MOLAR_VOLUME / feed.molar_mass.value,
                    nu_m2_s: feed.viscosity.value / feed.density.value,
                })
            })
            .transpose()?;
        Ok(Self {
            c: kv_m3_h,
            p1_pa: feed.pressure.pascals(),
            rho1: feed.density.value,
            x_t: f_gamma * style.xt,
            x_choke: f_gamma * diameters.map_or(style.xt, |d| d.xtp(style.xt, kv_m3_h)),
            fp: diameters.map_or(1.0, |d| d.piping_factor(kv_m3_h)),
            small,
        }
        .capped())
    }

    /// A drop larger than the inlet pressure there is not.
    fn capped(mut self) -> Self {
        self.x_choke = self.x_choke.min(1.0);
        self
    }

    /// `Y = 1 - x/(3 Fγ xT)`, not below 2/3.
    fn expansion(&self, x: f64) -> f64 {
        (1.0 - x.min(self.x_choke) / (3.0 * self.x_t)).max(2.0 / 3.0)
    }

    /// Mass flow without the Reynolds factor, kg/s: `N6 FP C Y √(x p1 ρ1)`.
    fn turbulent(&self, x: f64) -> f64 {
        let n6 = N1 * WATER_KG_M3.sqrt();
        let root = (x.min(self.x_choke) * self.p1_pa / 1e3 * self.rho1).sqrt();
        n6 * self.fp * self.c * self.expansion(x) * root / 3600.0
    }

    fn reynolds(&self, m_kg_s: f64) -> Option<f64> {
        self.small.map(|s| {
            let q = m_kg_s * s.normal_m3_h_per_kg_s;
            s.diameters.reynolds(q, s.nu_m2_s, &s.style, self.c)
        })
    }

    fn reynolds_factor(&self, m_kg_s: f64) -> f64 {
        match (self.small, self.reynolds(m_kg_s)) {
            (Some(s), Some(re)) => s.diameters.reynolds_factor(&s.style, self.c, re),
            _ => 1.0,
        }
    }

    /// Pressure below which flow no longer rises, Pa.
    pub(crate) fn choke_pressure_pa(&self) -> f64 {
        self.p1_pa * (1.0 - self.x_choke)
    }

    /// Largest flow, kg/s.
    pub(crate) fn choked_flow_kg_s(&self) -> Result<f64, ValveError> {
        self.flow_kg_s(self.choke_pressure_pa())
    }

    /// Flow to an outlet pressure, kg/s; zero where there is no drop.
    pub(crate) fn flow_kg_s(&self, p2_pa: f64) -> Result<f64, ValveError> {
        let x = ((self.p1_pa - p2_pa) / self.p1_pa).max(0.0);
        let full = self.turbulent(x);
        if full <= 0.0 || self.reynolds_factor(full) >= 1.0 {
            return Ok(full);
        }
        // the factor goes with the root of the flow where it is small, so the flow is not below this:
        let low = full * self.reynolds_factor(full).powi(2) * 0.5;
        let error = |m: f64| Ok::<f64, ValveError>(full * self.reynolds_factor(m) - m);
        brent(error, low, full, TOLERANCE * full).map_err(not_converged)
    }

    /// Outlet pressure of a flow, Pa.
    pub(crate) fn outlet_pa(&self, m_kg_s: f64) -> Result<f64, ValveError> {
        if m_kg_s <= 0.0 {
            return Ok(self.p1_pa);
        }
        let wanted = m_kg_s / self.reynolds_factor(m_kg_s);
        let limit = self.turbulent(self.x_choke);
        if wanted > limit {
            return Err(ValveError::Choked {
                kv_m3_h: self.c,
                limit_kg_s: self.choked_flow_kg_s()?,
                flow_kg_s: m_kg_s,
                p1_pa: self.p1_pa,
            });
        }
        Ok(self.p1_pa * (1.0 - self.drop_ratio(wanted / limit)))
    }

    /// The `x` at a share of the choked flow.
    fn drop_ratio(&self, share: f64) -> f64 {
        let limit = self.expansion(self.x_choke) * self.x_choke.sqrt();
        let target = share * limit;
        if self.x_choke > self.x_t && target > 2.0 / 3.0 * self.x_t.sqrt() {
            // beyond Fγ xT the expansion factor stays at 2/3
            return (1.5 * target).powi(2).min(self.x_choke);
        }
        // s (1 - s²/a) = target with s = √x: the root of s³ - a s + a target = 0 below √(a/3)
        let a = 3.0 * self.x_t;
        let angle = (-1.5 * target * (3.0 / a).sqrt()).clamp(-1.0, 1.0).acos();
        let s = 2.0 * (a / 3.0).sqrt() * ((angle + 4.0 * std::f64::consts::PI) / 3.0).cos();
        let mut x = (s * s).clamp(0.0, self.x_choke.min(self.x_t));
        // the closed form loses digits near zero; two Newton steps put them back
        for _ in 0..2 {
            let s = x.sqrt();
            let slope = 1.0 - 3.0 * x / a;
            if slope < 1e-6 || s <= 0.0 {
                break;
            }
            let next = s - (s * (1.0 - x / a) - target) / slope;
            x = (next * next).clamp(0.0, self.x_choke);
        }
        x
    }

    fn passage(&self, m_kg_s: f64, p2_pa: f64) -> Passage {
        let x = (self.p1_pa - p2_pa) / self.p1_pa;
        Passage {
            kv: FlowCoefficient::from_kv(self.c),
            flow: kilograms_per_second(m_kg_s),
            outlet: pascals_absolute(p2_pa),
            choked: x >= self.x_choke * (1.0 - 1e-12),
            expansion_factor: self.expansion(x),
            piping_factor: self.fp,
            reynolds_factor: self.reynolds_factor(m_kg_s),
            reynolds: self.reynolds(m_kg_s),
        }
    }
}

fn not_converged(e: RootError<ValveError>) -> ValveError {
    e.or_from(|why| ValveError::NotConverged { why })
}

fn check_drop(feed: &GasFeed, outlet: AbsolutePressure) -> Result<(f64, f64), ValveError> {
    let (p1_pa, p2_pa) = (feed.pressure.pascals(), outlet.pascals());
    in_range("outlet pressure in Pa", p2_pa, 0.0..=1e9)?;
    if p2_pa >= p1_pa {
        return Err(ValveError::NoPressureDrop { p1_pa, p2_pa });
    }
    Ok((p1_pa, p2_pa))
}

/// Gas flow through a valve of known Kv.
///
/// `W = N6 FP FR C Y √(x p1 ρ1)`, `Y = 1 − x/(3 Fγ xT) ≥ 2/3`, `Fγ = γ/1.4`, `x = Δp/p1` not above
/// `Fγ xTP`. With diameters, FP and the Reynolds factor FR (Rev below 10 000) multiply; the standard
/// gives each alone. FR takes the normal volume flow, as the standard's example does.
///
/// **Valid:** `xT` up to 0.84, Kv/d² up to 0.047 (mm), single-phase gas.
/// **Errors:** [`ValveError`].
/// **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError`] for a value out of range or an outlet that is not below the inlet.
///
/// ```
/// use fuelwright::flow::valve::{gas_flow, GasFeed, Style};
/// use fuelwright::quantity::*;
/// let propane = GasFeed {
///     pressure: pascals_absolute(4e5),
///     density: kilograms_per_cubic_metre(7.789),
///     gamma: 1.173,
///     molar_mass: kilograms_per_mole(0.044_096),
///     viscosity: pascal_seconds(8.0e-6),
/// };
/// let style = Style { xt: 0.7, ..Style::GLOBE };
/// let through = gas_flow(&propane, pascals_absolute(3.3e5), kv(0.03), &style, None)?;
/// assert!((through.flow.value - 5.54e-4).abs() < 1e-6);
/// assert!(!through.choked);
/// # Ok::<(), fuelwright::flow::valve::ValveError>(())
/// ```
pub fn gas_flow(
    feed: &GasFeed,
    outlet: AbsolutePressure,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let (_, p2_pa) = check_drop(feed, outlet)?;
    let law = GasLaw::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(law.flow_kg_s(p2_pa)?, p2_pa))
}

/// Outlet pressure of a gas flow through a valve of known Kv; the equation of [`gas_flow`].
///
/// **Valid:** as [`gas_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::Choked`] if the valve cannot pass that much.
pub fn gas_outlet_pressure(
    feed: &GasFeed,
    flow: MassRate,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    in_range("mass flow in kg/s", flow.value, 0.0..=1e6)?;
    let law = GasLaw::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(flow.value, law.outlet_pa(flow.value)?))
}

/// Kv that passes a gas flow; the equation of [`gas_flow`], solved for C in one bracketed search
/// (the standard steps C and stops within 1 %).
///
/// **Valid:** as [`gas_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::FittingsTooTight`] if the fittings alone lose all the pressure there is.
pub fn gas_coefficient(
    feed: &GasFeed,
    outlet: AbsolutePressure,
    flow: MassRate,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let (p1_pa, p2_pa) = check_drop(feed, outlet)?;
    in_range("mass flow in kg/s", flow.value, 1e-15..=1e6)?;
    let x = (p1_pa - p2_pa) / p1_pa;
    let m = flow.value;
    let plain = m / GasLaw::new(feed, 1.0, style, None)?.turbulent(x);
    in_range("Kv in m³/h", plain, 1e-12..=MAX_KV)?;
    let Some(mounting) = mounting else {
        let law = GasLaw::new(feed, plain, style, None)?;
        return Ok(law.passage(m, p2_pa));
    };
    let excess = |log_c: f64| {
        let law = GasLaw::new(feed, log_c.exp(), style, Some(mounting))?;
        Ok::<f64, ValveError>((law.turbulent(x) * law.reynolds_factor(m) / m).ln())
    };
    let low = (plain * 0.1).max(1e-12).ln();
    let high = super::bracket_above(excess, low)?.ok_or(ValveError::FittingsTooTight {
        bore_mm: mounting.bore.value * 1e3,
        flow_kg_s: m,
        drop_pa: p1_pa - p2_pa,
    })?;
    let log_c = brent(excess, low, high, TOLERANCE).map_err(not_converged)?;
    let law = GasLaw::new(feed, log_c.exp(), style, Some(mounting))?;
    Ok(law.passage(m, p2_pa))
}
