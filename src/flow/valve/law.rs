//! The flow of gas or liquid through a valve: choking, fittings, small flows.

use super::{
    Diameters, Feed, GasFeed, LiquidFeed, MAX_KV, Mounting, N1, Passage, Style, TOLERANCE,
    ValveError, WATER_KG_M3,
};
use crate::numerics::root::{RootError, brent};
use crate::quantity::range::in_range;
use crate::quantity::{
    AbsolutePressure, FlowCoefficient, MassRate, kilograms_per_second, pascals_absolute,
};

/// Normal molar volume of an ideal gas, m³/mol at 273.15 K and 101 325 Pa (`codata2018`).
const NORMAL_MOLAR_VOLUME: f64 = crate::quantity::GAS_CONSTANT_J_MOL_K * 273.15 / 101_325.0;

/// A valve of known Kv with one phase at its inlet; plain SI.
///
/// The drop is over the inlet pressure for gas, `x`, and in Pa for liquid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Law {
    c: f64,
    p1_pa: f64,
    rho: f64,
    /// Largest drop that still raises the flow; of gas `Fγ xTP`.
    choke: f64,
    fp: f64,
    /// What the Reynolds number needs: diameters, style and kinematic viscosity, m²/s.
    small: Option<(Diameters, Style, f64)>,
    /// What gas alone has.
    gas: Option<Gas>,
}

#[derive(Debug, Clone, Copy)]
struct Gas {
    /// `Fγ xT`, which sets the expansion factor.
    x_t: f64,
    /// Normal volume flow over mass flow, (m³/h)/(kg/s).
    normal_m3_h_per_kg_s: f64,
}

impl Law {
    pub(crate) fn new(
        feed: impl Into<Feed>,
        kv_m3_h: f64,
        style: &Style,
        mounting: Option<&Mounting>,
    ) -> Result<Self, ValveError> {
        style.check()?;
        in_range("Kv in m³/h", kv_m3_h, 1e-12..=MAX_KV)?;
        let pressure =
            |p: AbsolutePressure| in_range("inlet pressure in Pa", p.pascals(), 1.0..=1e9);
        let diameters = mounting.map(Diameters::of).transpose()?;
        let fp = diameters.map_or(1.0, |d| d.piping_factor(kv_m3_h));
        let (p1_pa, rho, viscosity, choke, gas) = match feed.into() {
            Feed::Gas(feed) => {
                let p1_pa = pressure(feed.pressure)?;
                let rho = in_range("inlet density in kg/m³", feed.density.value, 1e-9..=5e3)?;
                let f_gamma = in_range("heat-capacity ratio", feed.gamma, 1.0..=20.0)? / 1.4;
                let molar = in_range("molar mass in kg/mol", feed.molar_mass.value, 1e-3..=2.0)?;
                let x_tp = diameters.map_or(style.xt, |d| d.xtp(style.xt, kv_m3_h));
                let gas = Gas {
                    x_t: f_gamma * style.xt,
                    normal_m3_h_per_kg_s: 3600.0 * NORMAL_MOLAR_VOLUME / molar,
                };
                // a drop larger than the inlet pressure there is not
                (
                    p1_pa,
                    rho,
                    feed.viscosity,
                    (f_gamma * x_tp).min(1.0),
                    Some(gas),
                )
            }
            Feed::Liquid(feed) => {
                let p1_pa = pressure(feed.pressure)?;
                let rho = in_range("liquid density in kg/m³", feed.density.value, 1.0..=2e4)?;
                let limit_pa = in_range(
                    "inlet pressure above FF times the vapour pressure, in Pa",
                    p1_pa - feed.critical_ratio_factor() * feed.vapour_pressure.pascals(),
                    1e-3..=1e9,
                )?;
                let flp = diameters.map_or(style.fl, |d| d.flp(style.fl, kv_m3_h));
                let choke_pa = ((flp / fp).powi(2) * limit_pa).min(p1_pa);
                (p1_pa, rho, feed.viscosity, choke_pa, None)
            }
        };
        let small = |diameters| {
            let mu = in_range("viscosity in Pa s", viscosity.value, 1e-9..=1e3)?;
            Ok::<_, ValveError>((diameters, *style, mu / rho))
        };
        Ok(Self {
            c: kv_m3_h,
            p1_pa,
            rho,
            choke,
            fp,
            small: diameters.map(small).transpose()?,
            gas,
        })
    }

    fn drop_to(&self, p2_pa: f64) -> f64 {
        match self.gas {
            Some(_) => (self.p1_pa - p2_pa) / self.p1_pa,
            None => self.p1_pa - p2_pa,
        }
    }

    fn after_pa(&self, drop: f64) -> f64 {
        match self.gas {
            Some(_) => self.p1_pa * (1.0 - drop),
            None => self.p1_pa - drop,
        }
    }

    /// `Y = 1 - x/(3 Fγ xT)`, not below 2/3; 1 for liquid.
    fn expansion(&self, drop: f64) -> f64 {
        self.gas.map_or(1.0, |gas| {
            (1.0 - drop.min(self.choke) / (3.0 * gas.x_t)).max(2.0 / 3.0)
        })
    }

    /// Mass flow without the Reynolds factor, kg/s: `N6 FP C Y √(x p1 ρ1)` of gas,
    /// `ρ N1 FP C √(Δp/(ρ/ρ0))` of liquid.
    fn turbulent(&self, drop: f64) -> f64 {
        let drop_or_choke = drop.min(self.choke);
        if self.gas.is_some() {
            let n6 = N1 * WATER_KG_M3.sqrt();
            let root = (drop_or_choke * self.p1_pa / 1e3 * self.rho).sqrt();
            n6 * self.fp * self.c * self.expansion(drop) * root / 3600.0
        } else {
            let root = (drop_or_choke / 1e3 * WATER_KG_M3 * self.rho).sqrt();
            N1 * self.fp * self.c * root / 3600.0
        }
    }

    fn reynolds(&self, m_kg_s: f64) -> Option<f64> {
        let q_m3_h = match self.gas {
            Some(gas) => m_kg_s * gas.normal_m3_h_per_kg_s,
            None => m_kg_s * 3600.0 / self.rho,
        };
        self.small
            .map(|(d, style, nu)| d.reynolds(q_m3_h, nu, &style, self.c))
    }

    fn reynolds_factor(&self, m_kg_s: f64) -> f64 {
        match (self.small, self.reynolds(m_kg_s)) {
            (Some((d, style, _)), Some(re)) => d.reynolds_factor(&style, self.c, re),
            _ => 1.0,
        }
    }

    /// Flow to an outlet pressure, kg/s; zero where there is no drop.
    pub(crate) fn flow_kg_s(&self, p2_pa: f64) -> Result<f64, ValveError> {
        let full = self.turbulent(self.drop_to(p2_pa).max(0.0));
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
        let limit = self.turbulent(self.choke);
        if wanted > limit {
            return Err(ValveError::Choked {
                kv_m3_h: self.c,
                limit_kg_s: self.flow_kg_s(self.after_pa(self.choke))?,
                flow_kg_s: m_kg_s,
                p1_pa: self.p1_pa,
            });
        }
        let share = wanted / limit;
        Ok(self.after_pa(match &self.gas {
            Some(gas) => self.drop_ratio(gas, share),
            None => self.choke * share * share,
        }))
    }

    /// The `x` at a share of the choked flow.
    fn drop_ratio(&self, gas: &Gas, share: f64) -> f64 {
        let choke = self.choke;
        let limit = self.expansion(choke) * choke.sqrt();
        let target = share * limit;
        if choke > gas.x_t && target > 2.0 / 3.0 * gas.x_t.sqrt() {
            // beyond Fγ xT the expansion factor stays at 2/3
            return (1.5 * target).powi(2).min(choke);
        }
        // s (1 - s²/a) = target with s = √x: the root of s³ - a s + a target = 0 below √(a/3)
        let a = 3.0 * gas.x_t;
        let angle = (-1.5 * target * (3.0 / a).sqrt()).clamp(-1.0, 1.0).acos();
        let s = 2.0 * (a / 3.0).sqrt() * ((angle + 4.0 * std::f64::consts::PI) / 3.0).cos();
        let mut x = (s * s).clamp(0.0, choke.min(gas.x_t));
        // the closed form loses digits near zero; two Newton steps put them back
        for _ in 0..2 {
            let s = x.sqrt();
            let slope = 1.0 - 3.0 * x / a;
            if slope < 1e-6 || s <= 0.0 {
                break;
            }
            let next = s - (s * (1.0 - x / a) - target) / slope;
            x = (next * next).clamp(0.0, choke);
        }
        x
    }

    fn passage(&self, m_kg_s: f64, p2_pa: f64) -> Passage {
        let drop = self.drop_to(p2_pa);
        Passage {
            kv: FlowCoefficient::from_kv(self.c),
            flow: kilograms_per_second(m_kg_s),
            outlet: pascals_absolute(p2_pa),
            choked: drop >= self.choke * (1.0 - 1e-12),
            expansion_factor: self.expansion(drop),
            piping_factor: self.fp,
            reynolds_factor: self.reynolds_factor(m_kg_s),
            reynolds: self.reynolds(m_kg_s),
        }
    }
}

fn not_converged(e: RootError<ValveError>) -> ValveError {
    e.or_from(|why| ValveError::NotConverged { why })
}

fn check_drop(feed: &Feed, outlet: AbsolutePressure) -> Result<(f64, f64), ValveError> {
    let (Feed::Gas(GasFeed { pressure, .. }) | Feed::Liquid(LiquidFeed { pressure, .. })) = feed;
    let (p1_pa, p2_pa) = (pressure.pascals(), outlet.pascals());
    in_range("outlet pressure in Pa", p2_pa, 0.0..=1e9)?;
    if p2_pa >= p1_pa {
        return Err(ValveError::NoPressureDrop { p1_pa, p2_pa });
    }
    Ok((p1_pa, p2_pa))
}

/// Flow through a valve of known Kv.
///
/// Gas: `W = N6 FP FR C Y √(x p1 ρ1)`, `Y = 1 − x/(3 Fγ xT) ≥ 2/3`, `Fγ = γ/1.4`, `x = Δp/p1` not above
/// `Fγ xTP`. With diameters, FP and the Reynolds factor FR (Rev below 10 000) multiply; the standard
/// gives each alone. FR takes the normal volume flow, as the standard's example does.
///
/// Liquid: `Q = N1 FP FR C √(Δp/(ρ/ρ0))`, Δp not above `(FLP/FP)² (p1 − FF pv)`, `FF = 0.96 − 0.28 √(pv/pc)`.
///
/// **Valid:** `xT` up to 0.84, Kv/d² up to 0.047 (mm); single-phase gas, or Newtonian liquid below its
/// bubble temperature at the inlet.
/// **Errors:** [`ValveError`].
/// **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError`] for a value out of range or an outlet that is not below the inlet.
///
/// ```
/// use fuelwright::flow::valve::{valve_flow, GasFeed, Style};
/// use fuelwright::quantity::*;
/// let propane = GasFeed {
///     pressure: pascals_absolute(4e5),
///     density: kilograms_per_cubic_metre(7.789),
///     gamma: 1.173,
///     molar_mass: kilograms_per_mole(0.044_096),
///     viscosity: pascal_seconds(8.0e-6),
/// };
/// let style = Style { xt: 0.7, ..Style::GLOBE };
/// let through = valve_flow(propane, pascals_absolute(3.3e5), kv(0.03), &style, None)?;
/// assert!((through.flow.value - 5.54e-4).abs() < 1e-6);
/// assert!(!through.choked);
/// # Ok::<(), fuelwright::flow::valve::ValveError>(())
/// ```
pub fn valve_flow(
    feed: impl Into<Feed>,
    outlet: AbsolutePressure,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let feed = feed.into();
    let (_, p2_pa) = check_drop(&feed, outlet)?;
    let law = Law::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(law.flow_kg_s(p2_pa)?, p2_pa))
}

/// Outlet pressure of a flow through a valve of known Kv; the equation of [`valve_flow`].
///
/// **Valid:** as [`valve_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::Choked`] if the valve cannot pass that much.
pub fn valve_outlet_pressure(
    feed: impl Into<Feed>,
    flow: MassRate,
    kv: FlowCoefficient,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    in_range("mass flow in kg/s", flow.value, 0.0..=1e6)?;
    let law = Law::new(feed, kv.kv(), style, mounting)?;
    Ok(law.passage(flow.value, law.outlet_pa(flow.value)?))
}

/// Kv that passes a flow; the equation of [`valve_flow`], solved for C in one bracketed search
/// (the standard steps C and stops within 1 %).
///
/// **Valid:** as [`valve_flow`]. **Errors:** [`ValveError`]. **Source:** `iec60534-2-1`.
///
/// # Errors
/// [`ValveError::FittingsTooTight`] if the fittings alone lose all the pressure there is.
///
/// ```
/// use fuelwright::flow::valve::{valve_coefficient, LiquidFeed, Style};
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
/// let sized = valve_coefficient(water, pascals_absolute(220e3), flow, &Style::GLOBE, None)?;
/// assert!((sized.kv.kv() - 165.0).abs() < 0.05);
/// # Ok::<(), fuelwright::flow::valve::ValveError>(())
/// ```
pub fn valve_coefficient(
    feed: impl Into<Feed>,
    outlet: AbsolutePressure,
    flow: MassRate,
    style: &Style,
    mounting: Option<&Mounting>,
) -> Result<Passage, ValveError> {
    let feed = feed.into();
    let (p1_pa, p2_pa) = check_drop(&feed, outlet)?;
    let m = in_range("mass flow in kg/s", flow.value, 1e-15..=1e6)?;
    let one = Law::new(feed, 1.0, style, None)?;
    let drop = one.drop_to(p2_pa);
    let plain = in_range("Kv in m³/h", m / one.turbulent(drop), 1e-12..=MAX_KV)?;
    let Some(mounting) = mounting else {
        let law = Law::new(feed, plain, style, None)?;
        return Ok(law.passage(m, p2_pa));
    };
    let excess = |log_c: f64| {
        let law = Law::new(feed, log_c.exp(), style, Some(mounting))?;
        Ok::<f64, ValveError>((law.turbulent(drop) * law.reynolds_factor(m) / m).ln())
    };
    let low = (plain * 0.1).max(1e-12).ln();
    let high = super::bracket_above(excess, low)?.ok_or(ValveError::FittingsTooTight {
        bore_mm: mounting.bore.value * 1e3,
        flow_kg_s: m,
        drop_pa: p1_pa - p2_pa,
    })?;
    let log_c = brent(excess, low, high, TOLERANCE).map_err(not_converged)?;
    let law = Law::new(feed, log_c.exp(), style, Some(mounting))?;
    Ok(law.passage(m, p2_pa))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kilograms_per_cubic_metre, kv, metres, pascal_seconds};

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
            let out = valve_flow(
                kerosene,
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
