//! Liquid through a control valve: recovery, choking by flashing, fittings, viscous flow.

use super::{Diameters, MAX_KV, Mounting, N1, Passage, Style, TOLERANCE, ValveError, WATER_KG_M3};
use crate::eos::{Backend, EosError, State};
use crate::numerics::root::{RootError, brent};
use crate::quantity::range::in_range;
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, FlowCoefficient, MassDensity, MassRate,
    kilograms_per_cubic_metre, kilograms_per_second, pascal_seconds, pascals_absolute,
};

/// Liquid at the inlet of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidFeed {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Density.
    pub density: MassDensity,
    /// Vapour pressure at the inlet temperature (of a blend: its bubble pressure).
    pub vapour_pressure: AbsolutePressure,
    /// Critical pressure.
    pub critical_pressure: AbsolutePressure,
    /// Viscosity; used for viscous flow only.
    pub viscosity: DynamicViscosity,
}

impl LiquidFeed {
    /// The liquid in a state of a backend.
    ///
    /// # Errors
    /// No bubble point at its temperature, or no viscosity model.
    pub fn of(backend: &dyn Backend, state: &State) -> Result<Self, EosError> {
        Ok(Self {
            pressure: pascals_absolute(state.pressure_pa),
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            vapour_pressure: pascals_absolute(backend.bubble_t(state.temperature_k)?.pressure_pa),
            critical_pressure: pascals_absolute(backend.critical().1),
            viscosity: pascal_seconds(backend.viscosity_pa_s(state)?),
        })
    }
    /// `FF = 0.96 − 0.28 √(pv/pc)`.
    pub fn critical_ratio_factor(&self) -> f64 {
        0.96 - 0.28
            * (self.vapour_pressure.pascals() / self.critical_pressure.pascals())
                .clamp(0.0, 1.0)
                .sqrt()
    }
}

/// A valve of known Kv with liquid at its inlet; plain SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LiquidLaw {
    c: f64,
    p1_pa: f64,
    rho: f64,
    /// Largest drop that still raises the flow, Pa.
    dp_choke_pa: f64,
    fp: f64,
    small: Option<(Diameters, Style, f64)>,
}

impl LiquidLaw {
    pub(crate) fn new(
        feed: &LiquidFeed,
        kv_m3_h: f64,
        style: &Style,
        mounting: Option<&Mounting>,
    ) -> Result<Self, ValveError> {
        style.check()?;
        let p1_pa = feed.pressure.pascals();
        in_range("inlet pressure in Pa", p1_pa, 1.0..=1e9)?;
        in_range("liquid density in kg/m³", feed.density.value, 1.0..=2e4)?;
        in_range("Kv in m³/h", kv_m3_h, 1e-12..=MAX_KV)?;
        let limit_pa = p1_pa - feed.critical_ratio_factor() * feed.vapour_pressure.pascals();
        in_range(
            "inlet pressure above FF times the vapour pressure, in Pa",
            limit_pa,
            1e-3..=1e9,
        )?;
        let diameters = mounting.map(Diameters::of).transpose()?;
        let (fp, flp) = diameters.map_or((1.0, style.fl), |d| {
            (d.piping_factor(kv_m3_h), d.flp(style.fl, kv_m3_h))
        });
        let small = diameters
            .map(|d| {
                in_range("viscosity in Pa s", feed.viscosity.value, 1e-9..=1e3)?;
                Ok::<_, ValveError>((d, *style, feed.viscosity.value / feed.density.value))
            })
            .transpose()?;
        Ok(Self {
            c: kv_m3_h,
            p1_pa,
            rho: feed.density.value,
            dp_choke_pa: ((flp / fp).powi(2) * limit_pa).min(p1_pa),
            fp,
            small,
        })
    }

    /// Mass flow without the Reynolds factor, kg/s: `ρ N1 FP C √(Δp/(ρ/ρ0))`.
    fn turbulent(&self, dp_pa: f64) -> f64 {
        let root = (dp_pa.min(self.dp_choke_pa) / 1e3 * WATER_KG_M3 * self.rho).sqrt();
        N1 * self.fp * self.c * root / 3600.0
    }

    fn reynolds(&self, m_kg_s: f64) -> Option<f64> {
        self.small
            .map(|(d, style, nu)| d.reynolds(m_kg_s * 3600.0 / self.rho, nu, &style, self.c))
    }

    fn reynolds_factor(&self, m_kg_s: f64) -> f64 {
        match (self.small, self.reynolds(m_kg_s)) {
            (Some((d, style, _)), Some(re)) => d.reynolds_factor(&style, self.c, re),
            _ => 1.0,
        }
    }

    /// Pressure below which flow no longer rises, Pa.
    pub(crate) fn choke_pressure_pa(&self) -> f64 {
        self.p1_pa - self.dp_choke_pa
    }

    /// Largest flow, kg/s.
    pub(crate) fn choked_flow_kg_s(&self) -> Result<f64, ValveError> {
        self.flow_kg_s(self.choke_pressure_pa())
    }

    /// Flow to an outlet pressure, kg/s; zero where there is no drop.
    pub(crate) fn flow_kg_s(&self, p2_pa: f64) -> Result<f64, ValveError> {
        let full = self.turbulent((self.p1_pa - p2_pa).max(0.0));
        if full <= 0.0 || self.reynolds_factor(full) >= 1.0 {
            return Ok(full);
        }
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
        let share = wanted / self.turbulent(self.dp_choke_pa);
        if share > 1.0 {
            return Err(ValveError::Choked {
                kv_m3_h: self.c,
                limit_kg_s: self.choked_flow_kg_s()?,
                flow_kg_s: m_kg_s,
                p1_pa: self.p1_pa,
            });
        }
        Ok(self.p1_pa - self.dp_choke_pa * share * share)
    }

    fn passage(&self, m_kg_s: f64, p2_pa: f64) -> Passage {
        Passage {
            kv: FlowCoefficient::from_kv(self.c),
            flow: kilograms_per_second(m_kg_s),
            outlet: pascals_absolute(p2_pa),
            choked: self.p1_pa - p2_pa >= self.dp_choke_pa * (1.0 - 1e-12),
            expansion_factor: 1.0,
            piping_factor: self.fp,
            reynolds_factor: self.reynolds_factor(m_kg_s),
            reynolds: self.reynolds(m_kg_s),
        }
    }
}

fn not_converged(e: RootError<ValveError>) -> ValveError {
    e.or_from(|why| ValveError::NotConverged { why })
}

fn check_drop(feed: &LiquidFeed, outlet: AbsolutePressure) -> Result<(f64, f64), ValveError> {
    let (p1_pa, p2_pa) = (feed.pressure.pascals(), outlet.pascals());
    in_range("outlet pressure in Pa", p2_pa, 0.0..=1e9)?;
    if p2_pa >= p1_pa {
        return Err(ValveError::NoPressureDrop { p1_pa, p2_pa });
    }
    Ok((p1_pa, p2_pa))
}

/// Liquid flow through a valve of known Kv.
///
/// `Q = N1 FP FR C √(Δp/(ρ/ρ0))`, Δp not above `(FLP/FP)² (p1 − FF pv)`, `FF = 0.96 − 0.28 √(pv/pc)`.
///
/// **Valid:** Newtonian liquid below its bubble temperature at the inlet; Kv/d² up to 0.047 (mm).
/// **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError`] for a value out of range or an outlet that is not below the inlet.
///
/// ```
/// use fuelwright::flow::valve::{liquid_coefficient, LiquidFeed, Style};
/// use fuelwright::quantity::*;
/// // IEC 60534-2-1 example 1: water, 360 m³/h, Kv 165.0
/// let water = LiquidFeed {
///     pressure: pascals_absolute(680e3),
///     density: kilograms_per_cubic_metre(965.4),
///     vapour_pressure: pascals_absolute(70.1e3),
///     critical_pressure: pascals_absolute(22.12e6),
///     viscosity: pascal_seconds(3.1472e-4),
/// };
/// let flow = kilograms_per_second(0.1 * 965.4);
/// let sized = liquid_coefficient(&water, pascals_absolute(220e3), flow, &Style::GLOBE, None)?;
/// assert!((sized.kv.kv() - 165.0).abs() < 0.05);
/// # Ok::<(), fuelwright::flow::valve::ValveError>(())
/// ```
pub fn liquid_flow(
    feed: &LiquidFeed,
    outlet: AbsolutePressure,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let (_, p2_pa) = check_drop(feed, outlet)?;
    let law = LiquidLaw::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(law.flow_kg_s(p2_pa)?, p2_pa))
}

/// Outlet pressure of a liquid flow through a valve of known Kv; the equation of [`liquid_flow`].
///
/// **Valid:** as [`liquid_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::Choked`] if the valve cannot pass that much.
pub fn liquid_outlet_pressure(
    feed: &LiquidFeed,
    flow: MassRate,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    in_range("mass flow in kg/s", flow.value, 0.0..=1e6)?;
    let law = LiquidLaw::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(flow.value, law.outlet_pa(flow.value)?))
}

/// Kv that passes a liquid flow; the equation of [`liquid_flow`] solved for C.
///
/// **Valid:** as [`liquid_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::FittingsTooTight`] if the fittings alone lose all the pressure there is.
pub fn liquid_coefficient(
    feed: &LiquidFeed,
    outlet: AbsolutePressure,
    flow: MassRate,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let (p1_pa, p2_pa) = check_drop(feed, outlet)?;
    in_range("mass flow in kg/s", flow.value, 1e-15..=1e6)?;
    let (dp_pa, m) = (p1_pa - p2_pa, flow.value);
    let plain = m / LiquidLaw::new(feed, 1.0, style, None)?.turbulent(dp_pa);
    in_range("Kv in m³/h", plain, 1e-12..=MAX_KV)?;
    let Some(mounting) = mounting else {
        let law = LiquidLaw::new(feed, plain, style, None)?;
        return Ok(law.passage(m, p2_pa));
    };
    let excess = |log_c: f64| {
        let law = LiquidLaw::new(feed, log_c.exp(), style, Some(mounting))?;
        Ok::<f64, ValveError>((law.turbulent(dp_pa) * law.reynolds_factor(m) / m).ln())
    };
    let low = (plain * 0.1).max(1e-12).ln();
    let high = super::bracket_above(excess, low)?.ok_or(ValveError::FittingsTooTight {
        bore_mm: mounting.bore.value * 1e3,
        flow_kg_s: m,
        drop_pa: dp_pa,
    })?;
    let log_c = brent(excess, low, high, TOLERANCE).map_err(not_converged)?;
    let law = LiquidLaw::new(feed, log_c.exp(), style, Some(mounting))?;
    Ok(law.passage(m, p2_pa))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kv, metres};

    #[test]
    fn viscous_flow_through_a_needle_grows_smoothly_with_its_opening() {
        // The equations by hand: FR = 1 gives Q ~ C; laminar, FR ~ √(n Re) with Re ~ Q/√C, gives
        // Q ~ n C^1.5, and n = 1 + 140 (C/d²)^⅔ below full trim adds two thirds at most. In between the power
        // lies between those two, but for the step between reduced and full trim (0.3 % of the flow here).
        let kerosene = LiquidFeed {
            pressure: pascals_absolute(5e5),
            density: kilograms_per_cubic_metre(800.0),
            vapour_pressure: pascals_absolute(300.0),
            critical_pressure: pascals_absolute(2e6),
            viscosity: pascal_seconds(1.6e-3),
        };
        let mounting = Mounting::in_line(metres(0.004));
        let (mut c, mut last): (f64, Option<f64>) = (1e-6, None);
        while c < 0.5 {
            let out = liquid_flow(
                &kerosene,
                pascals_absolute(3e5),
                kv(c),
                &Style::NEEDLE,
                Some(&mounting),
            )
            .expect("flows");
            let flow = out.flow.value;
            if let Some(before) = last {
                let power = (flow / before).ln() / 1.02_f64.ln();
                assert!((0.8..2.17).contains(&power), "Kv {c}: {power} at {out:?}");
            }
            last = Some(flow);
            c *= 1.02;
        }
    }
}
