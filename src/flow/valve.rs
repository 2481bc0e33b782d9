//! Control valves by IEC 60534-2-1: what gas and liquid have in common.
//!
//! Numerical constants are the standard's for Kv in m³/h, pressure in kPa and diameter in mm, but for
//! two. N1 = 0.1 with water of 999.1 kg/m³ defines Kv; the constant of the mass form follows from it as
//! `N6 = N1 √ρ0 = 3.161` (printed 3.16), so that gas and liquid agree. The standard's volume form,
//! N9 = 24.6, gives 0.12 % less Kv than that.

use crate::quantity::range::{OutOfRange, in_range};
use crate::quantity::sentence::{flow, length, pressure, pressure_drop, temperature};
use crate::quantity::show::number;
use crate::quantity::told::errors;
mod feed;
mod law;

pub use feed::{Feed, GasFeed, LiquidFeed};
pub(crate) use law::Law;
pub use law::{valve_coefficient, valve_flow, valve_outlet_pressure};

use crate::numerics::root::RootFailure;
use crate::quantity::{AbsolutePressure, FlowCoefficient, Length, MassRate};

/// N1, m³/h and kPa.
const N1: f64 = 0.1;
/// N2, mm.
const N2: f64 = 1.6e-3;
/// N4, m³/h and m²/s.
const N4: f64 = 7.07e-2;
/// N5, mm.
const N5: f64 = 1.8e-3;
/// N18, mm.
const N18: f64 = 0.865;
/// N32, mm.
const N32: f64 = 140.0;
/// Density of the water that defines Kv, kg/m³, at 15 °C (`iapws95`).
const WATER_KG_M3: f64 = 999.1;
/// Above this valve Reynolds number flow is turbulent.
const TURBULENT_REYNOLDS: f64 = 1e4;
/// Relative tolerance of the searches here.
const TOLERANCE: f64 = 1e-13;

/// Style factors of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Liquid pressure recovery factor.
    pub fl: f64,
    /// Pressure differential ratio at choked flow.
    pub xt: f64,
    /// Style modifier (hydraulic over actual diameter of the flow passage).
    pub fd: f64,
}

impl Style {
    /// Globe valve with a ported plug (three V-ports): the standard's typical values, and the more cautious
    /// ones among its globe valves.
    pub const GLOBE: Self = Self {
        fl: 0.90,
        xt: 0.70,
        fd: 0.48,
    };
    /// Small-flow globe valve with flat seat (solenoid and cylinder valves resemble it).
    pub const FLAT_SEAT: Self = Self {
        fl: 0.85,
        xt: 0.70,
        fd: 0.30,
    };
    /// Small-flow tapered needle. The standard computes Fd from the seat; 0.09 is our choice, that of its
    /// many-holed cage, for want of the seat's diameter.
    pub const NEEDLE: Self = Self {
        fl: 0.95,
        xt: 0.84,
        fd: 0.09,
    };
    /// Full-bore ball valve, from memory of the same table.
    pub const BALL: Self = Self {
        fl: 0.74,
        xt: 0.42,
        fd: 0.99,
    };
}

/// Diameters around a valve; they switch on the fitting factors and the correction for laminar flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mounting {
    /// Nominal bore of the valve.
    pub bore: Length,
    /// Inside diameter of the line upstream.
    pub inlet: Length,
    /// Inside diameter of the line downstream.
    pub outlet: Length,
}

impl Mounting {
    /// A valve in a line of its own bore.
    pub fn in_line(bore: Length) -> Self {
        Self {
            bore,
            inlet: bore,
            outlet: bore,
        }
    }
}

/// Flow through a valve, with everything that made it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Flow coefficient.
    pub kv: FlowCoefficient,
    /// Mass flow.
    pub flow: MassRate,
    /// Outlet pressure; where choked, the pressure below which flow no longer rises.
    pub outlet: AbsolutePressure,
    /// Flow does not depend on the outlet pressure.
    pub choked: bool,
    /// Expansion factor Y; 1 for liquid.
    pub expansion_factor: f64,
    /// Piping geometry factor FP; 1 without diameters.
    pub piping_factor: f64,
    /// Reynolds number factor FR; 1 without diameters or in turbulent flow.
    pub reynolds_factor: f64,
    /// Valve Reynolds number; `None` without diameters.
    pub reynolds: Option<f64>,
}

errors! {
    /// What is wrong with a valve or what is asked of it.
    pub enum ValveError {
        OutOfRange(OutOfRange);
        TwoPhaseInlet { p_pa: f64, t_k: f64 } =>
            "liquid and vapour together at the inlet ({}, {}): the valve equations hold for one phase",
            temperature(t_k), pressure(p_pa);
        NoPressureDrop { p1_pa: f64, p2_pa: f64 } =>
            "the outlet pressure, {}, is not below the inlet pressure, {}",
            pressure(p2_pa).close(), pressure(p1_pa).close();
        Choked { kv_m3_h: f64, limit_kg_s: f64, flow_kg_s: f64, p1_pa: f64 } =>
            "Kv {} passes {} at most from {}, and {} is asked",
            number(kv_m3_h), flow(limit_kg_s).close(), pressure(p1_pa),
            flow(flow_kg_s).close();
        FittingsTooTight { bore_mm: f64, flow_kg_s: f64, drop_pa: f64 } =>
            "no valve of {} bore passes {} here: the fittings round it lose more than {}",
            length(bore_mm * 1e-3).fixed("mm", 1e-3, 1), flow(flow_kg_s), pressure_drop(drop_pa);
        NotConverged { why: RootFailure } => "the valve equations found no solution: {why}";
    }
}

impl Style {
    /// Refuses factors outside the standard's range.
    ///
    /// # Errors
    /// [`ValveError::OutOfRange`]; the standard holds for `xT ≤ 0.84`; up to 1.5 is let through
    /// for makers who state more, and for thin plates (about 4/3).
    pub fn check(&self) -> Result<(), ValveError> {
        in_range("FL", self.fl, 0.1..=1.0)?;
        in_range("xT", self.xt, 0.05..=1.5)?;
        in_range("Fd", self.fd, 0.01..=2.0)?;
        Ok(())
    }
}

/// Diameters in mm: valve, inlet, outlet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Diameters {
    d: f64,
    d1: f64,
    d2: f64,
}

impl Diameters {
    pub(crate) fn of(m: &Mounting) -> Result<Self, ValveError> {
        let (d, d1, d2) = (
            m.bore.value * 1e3,
            m.inlet.value * 1e3,
            m.outlet.value * 1e3,
        );
        in_range("valve bore in mm", d, 0.1..=2000.0)?;
        in_range("inlet diameter in mm", d1, 0.1..=4000.0)?;
        in_range("outlet diameter in mm", d2, 0.1..=4000.0)?;
        Ok(Self { d, d1, d2 })
    }

    /// Loss coefficients of the reducers: `ζ1 + ζB1` of the inlet and the sum of all four.
    fn losses(self) -> (f64, f64) {
        let step = |pipe: f64| {
            let r2 = (self.d / pipe).powi(2);
            ((1.0 - r2).powi(2), 1.0 - r2 * r2)
        };
        let ((reducer, b1), (expander, b2)) = (step(self.d1), step(self.d2));
        let inlet = 0.5 * reducer + b1;
        (inlet, inlet + expander - b2)
    }

    /// `FP = 1/√(1 + Σζ/N2 (C/d²)²)`.
    fn piping_factor(self, c: f64) -> f64 {
        1.0 / (1.0 + self.losses().1 / N2 * (c / self.d.powi(2)).powi(2))
            .max(1e-6)
            .sqrt()
    }

    /// `xTP = xT/FP² / (1 + xT ζi/N5 (C/d²)²)`.
    fn xtp(self, xt: f64, c: f64) -> f64 {
        xt / self.piping_factor(c).powi(2)
            / (1.0 + xt * self.losses().0 / N5 * (c / self.d.powi(2)).powi(2))
    }

    /// `FLP = FL / √(1 + FL² ζi/N2 (C/d²)²)`.
    fn flp(self, fl: f64, c: f64) -> f64 {
        fl / (1.0 + fl * fl * self.losses().0 / N2 * (c / self.d.powi(2)).powi(2)).sqrt()
    }

    /// `Rev = N4 Fd Q/(ν √(C FL)) (FL² C²/(N2 D⁴) + 1)^¼`.
    fn reynolds(self, q_m3_h: f64, nu_m2_s: f64, style: &Style, c: f64) -> f64 {
        N4 * style.fd * q_m3_h / (nu_m2_s * (c * style.fl).sqrt())
            * ((style.fl * c).powi(2) / (N2 * self.d1.powi(4)) + 1.0).powf(0.25)
    }

    /// Reynolds number factor FR. Full trim where `C/d² ≥ 0.016 N18`, reduced trim below.
    ///
    /// The lesser of `0.026/FL √(n Re)` (laminar) and `1 + a log10(Re/10⁴)`, `a = 0.33 √FL/n^¼`
    /// (transitional). The second falls to nothing below some Re; the standard leaves it out below Re 10,
    /// which for a small trim makes FR double from one side of that number to the other. The two laws
    /// cross twice, on both sides of the point of equal slope, where the laminar factor is `2a/ln 10`; the
    /// transitional one counts above that point only, so that FR rises with Re throughout. Our choice; for
    /// the trims of [`Style`] it differs from the standard's text between Re 10 and the lower crossing, Re 20
    /// or less.
    fn reynolds_factor(self, style: &Style, c: f64, re: f64) -> f64 {
        if re >= TURBULENT_REYNOLDS {
            return 1.0;
        }
        let ratio = c / self.d.powi(2);
        let n = if ratio >= 0.016 * N18 {
            N2 / ratio.min(0.04).powi(2)
        } else {
            1.0 + N32 * ratio.powf(2.0 / 3.0)
        };
        let laminar = (0.026 / style.fl * (n * re).sqrt()).min(1.0);
        let slope = 0.33 * style.fl.sqrt() / n.powf(0.25);
        if laminar <= slope * 2.0 / std::f64::consts::LN_10 {
            return laminar;
        }
        laminar.min(1.0 + slope * (re / TURBULENT_REYNOLDS).log10())
    }
}

/// Largest Kv any search here tries, m³/h.
const MAX_KV: f64 = 1e5;

/// First point above `low` in steps of 0.25 (of ln C) where `f` is not negative; `None` where `f` falls
/// again before that (the fittings then take all there is) or the largest Kv is reached.
fn bracket_above(
    f: impl Fn(f64) -> Result<f64, ValveError>,
    low: f64,
) -> Result<Option<f64>, ValveError> {
    let (mut at, mut best) = (low, f64::NEG_INFINITY);
    loop {
        let value = f(at)?;
        if value >= 0.0 {
            return Ok(Some(at));
        }
        // a small fall can come from the step between reduced and full trim
        if value < best - 0.3 {
            return Ok(None);
        }
        best = best.max(value);
        at += 0.25;
        if at > MAX_KV.ln() {
            return Ok(None);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::metres;

    #[test]
    fn reducer_losses_match_the_example_with_fittings() {
        // IEC 60534-2-1 example 3, sum of loss coefficients as carried by fluids 1.3.1
        let m = Mounting {
            bore: metres(0.05),
            inlet: metres(0.08),
            outlet: metres(0.1),
        };
        let d = Diameters::of(&m).expect("in range");
        assert!((d.losses().1 - 0.658_081_054_687_5).abs() < 1e-12);
    }

    #[test]
    fn reynolds_factor_matches_the_small_flow_example() {
        // IEC 60534-2-1 example 4 as carried by fluids 1.3.1
        let d = Diameters::of(&Mounting::in_line(metres(0.015))).expect("in range");
        let style = Style {
            fl: 0.98,
            xt: 0.8,
            fd: 0.07,
        };
        assert!((d.reynolds_factor(&style, 0.015_483, 1202.0) - 0.714_875).abs() < 1e-6);
    }

    #[test]
    fn reynolds_factor_rises_without_a_step_from_creeping_to_turbulent_flow() {
        for (bore, c) in [
            (0.006, 1e-5),
            (0.006, 1e-3),
            (0.006, 0.2),
            (0.015, 0.015),
            (0.05, 30.0),
        ] {
            let d = Diameters::of(&Mounting::in_line(metres(bore))).expect("in range");
            for style in [Style::GLOBE, Style::FLAT_SEAT, Style::NEEDLE, Style::BALL] {
                let (mut re, mut last) = (0.01_f64, 0.0);
                while re < 2.0 * TURBULENT_REYNOLDS {
                    let fr = d.reynolds_factor(&style, c, re);
                    assert!(fr >= last, "{bore} {c} {re}: {fr} after {last}");
                    // no law rises faster than the root of Re
                    assert!(
                        last <= 0.0 || fr / last < 1.01_f64.sqrt() + 1e-3,
                        "{bore} {c} {re}: {fr} after {last}"
                    );
                    last = fr;
                    re *= 1.01;
                }
                assert!((last - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn reynolds_factor_has_no_step_where_flow_turns_turbulent() {
        let d = Diameters::of(&Mounting::in_line(metres(0.006))).expect("in range");
        for c in [0.01, 0.6] {
            let below = d.reynolds_factor(&Style::NEEDLE, c, TURBULENT_REYNOLDS * (1.0 - 1e-9));
            assert!((below - 1.0).abs() < 1e-9, "{below}");
        }
    }
}
