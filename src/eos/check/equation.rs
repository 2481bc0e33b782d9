//! What an equation of state gives: critical point, ideal gas, saturation line, liquid and gas.

use super::{Asked, Findings, at, flash_point, temperatures};
use crate::eos::mixture::{Mixed, Model};
use crate::eos::pure_saturation::{PureSaturation, ancillary, at_temperature};
use crate::fuel::{AncillaryCurve, Composition, Equation, FedAs, Fuel, Library, Mistake};
use crate::quantity::show::{number, short};
use std::sync::Arc;

/// Share that the pressure at the critical point may be off `p_critical_pa`.
const CRITICAL_PRESSURE: f64 = 0.005;
/// Largest slope of pressure with density there, over that of the ideal gas.
const CRITICAL_SLOPE: f64 = 0.02;
/// Largest residual part in a gas of a millionth of the critical density.
const RESIDUAL_OF_THIN_GAS: f64 = 1e-4;
/// Share that the ideal gas's heat capacity may be off that of the NASA polynomials.
const IDEAL_HEAT: f64 = 0.04;
/// Least heat capacity of an ideal gas over R: three directions to move in.
const LEAST_IDEAL_HEAT: f64 = 2.49;
/// Shares that the start curves of vapour pressure, liquid and vapour density may be off the equation; methanol's are
/// 0.5, 3 and 5 % off.
const CURVES: [f64; 3] = [0.02, 0.06, 0.1];
/// Highest temperature of the saturation line over the critical one.
const NEAR_CRITICAL: f64 = 0.995;
/// Farthest that the acentric factor may be off the equation's.
const ACENTRIC: f64 = 0.01;
/// Highest pressure of the liquid at which its heat capacity is looked at, Pa: methanol's equation has a negative one
/// at 4.7e8 Pa.
const HEAT_UP_TO_PA: f64 = 2e8;
/// Farthest that the second virial coefficient may be off the rule of corresponding states, over `R T_c/p_c`.
const VIRIAL: f64 = 0.12;
/// Share that the heat of vaporization at 25 °C may be off the difference of both enthalpies of formation.
const VAPORIZATION: f64 = 0.1;

const TERMS: &str = "look for a wrong digit, sign or exponent in the terms";
const CRITICAL: Asked = Asked {
    key: "equation.residual",
    unit: "Pa",
    look_at: "look for a wrong digit, sign or exponent in the terms, or a critical point that is not the equation's own",
};
const IDEAL: Asked = Asked {
    key: "equation.ideal",
    unit: "",
    look_at: TERMS,
};
const RESIDUAL: Asked = Asked {
    key: "equation.residual",
    unit: "",
    look_at: TERMS,
};

/// The equation with what it gives at temperature and density.
struct Probe<'a> {
    model: Model,
    mixed: Mixed,
    e: &'a Equation,
}

/// One state.
struct Probed {
    p_pa: f64,
    /// `∂p/∂ρ` over `RT`.
    slope: f64,
    /// Heat capacities over R.
    cv: f64,
    cp: f64,
}

impl Probed {
    /// Whether it is one that a stable fluid has, as far as pressure goes.
    fn rises(&self) -> bool {
        self.slope > 0.0 && self.p_pa > 0.0 && self.p_pa.is_finite()
    }
    fn is_stable(&self) -> bool {
        self.rises() && self.cv > 0.0 && self.cp > self.cv && self.cp.is_finite()
    }
}

impl Probe<'_> {
    fn at(&self, t_k: f64, rho_mol_m3: f64) -> Probed {
        let iso = self.model.isotherm(&self.mixed, t_k);
        let a = self.model.residual(&self.mixed, &iso, rho_mol_m3);
        let ideal = self.model.ideal(&self.mixed, t_k);
        let slope = 1.0 + 2.0 * a.d + a.dd;
        let cv = -(ideal.tt + a.tt);
        Probed {
            p_pa: rho_mol_m3 * self.model.r() * t_k * (1.0 + a.d),
            slope,
            cv,
            cp: cv + (1.0 + a.d - a.dt).powi(2) / slope,
        }
    }
    fn saturation(&self, t_k: f64) -> Option<PureSaturation> {
        let iso = self.model.isotherm(&self.mixed, t_k);
        at_temperature(&self.model, &self.mixed, &iso, None)
    }
    /// Heat of vaporization by the law of Clausius and Clapeyron, J/mol.
    fn vaporization_j_mol(&self, t_k: f64) -> Option<f64> {
        let dt_k = 1e-3 * t_k;
        let (below, above) = (self.saturation(t_k - dt_k)?, self.saturation(t_k + dt_k)?);
        let middle = self.saturation(t_k)?;
        let slope = (above.p_pa - below.p_pa) / (2.0 * dt_k);
        Some(slope * t_k * (middle.vapour_mol_m3.recip() - middle.liquid_mol_m3.recip()))
    }
}

/// What is wrong with a fuel's equation.
pub(super) fn mistakes(library: &Library, fuel: &Fuel) -> Vec<Mistake> {
    let mut f = Findings::default();
    let composition = Composition::pure(&Arc::new(fuel.clone()));
    let (Some(e), Ok(model)) = (&fuel.equation, Model::new(library, &composition)) else {
        return f.0;
    };
    let mixed = model.mixed(&[1.0]);
    let probe = Probe { model, mixed, e };
    critical(&mut f, &probe);
    ideal_gas(&mut f, &probe, fuel);
    // what follows starts from a critical point
    if f.0.is_empty() && saturation(&mut f, &probe) {
        single_phase(&mut f, &probe);
        virial(&mut f, &probe);
        rest_of_the_file(&mut f, &probe, fuel);
    }
    f.0
}

fn critical(f: &mut Findings, probe: &Probe<'_>) {
    let e = probe.e;
    let (t_c, rho_c) = (e.t_critical_k, e.rho_critical_mol_m3);
    let thin = probe.model.isotherm(&probe.mixed, t_c);
    let a = probe.model.residual(&probe.mixed, &thin, 1e-6 * rho_c).a;
    f.need(
        a.abs() <= RESIDUAL_OF_THIN_GAS,
        RESIDUAL,
        "a residual energy of a very thin gas, over RT,",
        a,
        "close to 0",
    );
    let there = probe.at(t_c, rho_c);
    let what = "a pressure at t_critical_k and rho_critical_mol_m3";
    let near = (there.p_pa / e.p_critical_pa - 1.0).abs() <= CRITICAL_PRESSURE;
    let share = short(100.0 * CRITICAL_PRESSURE);
    let want = format!(
        "within {share} % of p_critical_pa, {} Pa",
        short(e.p_critical_pa)
    );
    let near = f.need(near, CRITICAL, what, there.p_pa, want);
    if near {
        let what = "a slope of pressure with density at the critical point, over RT,";
        let flat = there.slope.abs() <= CRITICAL_SLOPE;
        let asked = Asked {
            unit: "",
            ..CRITICAL
        };
        f.need(
            flat,
            asked,
            what,
            there.slope,
            format!("0 within {CRITICAL_SLOPE}"),
        );
    }
}

fn ideal_gas(f: &mut Findings, probe: &Probe<'_>, fuel: &Fuel) {
    let e = probe.e;
    let atoms = fuel.formula.c + fuel.formula.h + fuel.formula.o + fuel.formula.n;
    // all vibrations, and some electronic heat
    let most = 3.9 * atoms.max(2.0);
    for t_k in temperatures(e.t_triple_k, e.t_max_k, 24) {
        let cp = 1.0 - probe.model.ideal(&probe.mixed, t_k).tt;
        let what = || format!("a heat capacity of the ideal gas {}, over R,", at(t_k));
        let range = format!(
            "from {} to {} for a molecule of its size",
            LEAST_IDEAL_HEAT,
            number(most)
        );
        let inside = (LEAST_IDEAL_HEAT..=most).contains(&cp);
        if !f.need(inside, IDEAL, what(), cp, range) {
            return;
        }
        let Some(n) = fuel
            .nasa
            .as_ref()
            .filter(|n| n.t_k[0] <= t_k && t_k <= n.t_k[2])
        else {
            continue;
        };
        let a = if t_k < n.t_k[1] { &n.low } else { &n.high };
        let of_nasa = a[..5].iter().rev().fold(0.0, |sum, a| sum * t_k + a);
        let near = (cp / of_nasa - 1.0).abs() <= IDEAL_HEAT;
        let want = format!(
            "within {} % of {}, which [nasa] gives",
            short(100.0 * IDEAL_HEAT),
            short(of_nasa)
        );
        let asked = Asked {
            look_at: "one of both has a wrong number",
            ..IDEAL
        };
        if !f.need(near, asked, what(), cp, want) {
            return;
        }
    }
}

/// The saturation line against the start curves; `false` where it is not one.
fn saturation(f: &mut Findings, probe: &Probe<'_>) -> bool {
    let e = probe.e;
    let a = &e.ancillary;
    let curves: [(_, &AncillaryCurve, _, _); 3] = [
        (
            "equation.ancillary.vapour_pressure",
            &a.vapour_pressure,
            "vapour pressure",
            "Pa",
        ),
        (
            "equation.ancillary.liquid_density",
            &a.liquid_density,
            "density of the liquid",
            "mol/m³",
        ),
        (
            "equation.ancillary.vapour_density",
            &a.vapour_density,
            "density of the vapour",
            "mol/m³",
        ),
    ];
    let look_at = "look for a wrong number in the start curve or in the terms of the equation";
    let before = f.0.len();
    let mut last: Option<PureSaturation> = None;
    let mut seen = [false; 3];
    for t_k in temperatures(e.t_triple_k, NEAR_CRITICAL * e.t_critical_k, 24) {
        let Some(s) = probe.saturation(t_k) else {
            let key = "equation.ancillary";
            f.none(
                Asked {
                    key,
                    unit: "",
                    look_at,
                },
                format!("boiling point {}", at(t_k)),
            );
            return false;
        };
        let values = [s.p_pa, s.liquid_mol_m3, s.vapour_mol_m3];
        for (i, (key, curve, what, unit)) in curves.into_iter().enumerate() {
            let start = ancillary(curve, t_k);
            let near = (start / values[i] - 1.0).abs() <= CURVES[i];
            if !near && !seen[i] {
                seen[i] = true;
                let percent = short(100.0 * CURVES[i]);
                let want = format!(
                    "within {percent} % of {} {unit}, which the equation gives",
                    short(values[i])
                );
                f.need(
                    false,
                    Asked { key, unit, look_at },
                    format!("a {what} {}", at(t_k)),
                    start,
                    want,
                );
            }
        }
        if let Some(last) = last {
            let asked = Asked {
                unit: "Pa",
                ..RESIDUAL
            };
            let what = format!("a vapour pressure {}", at(t_k));
            let want = format!("above {} Pa, that at a lower temperature", short(last.p_pa));
            if !f.need(s.p_pa > last.p_pa, asked, what, s.p_pa, want) {
                return false;
            }
        }
        let asked = Asked {
            unit: "mol/m³",
            ..RESIDUAL
        };
        let what = format!("a density of the boiling liquid {}", at(t_k));
        let want = "above that of the vapour and below rho_max_mol_m3";
        let liquid = s.liquid_mol_m3;
        if !f.need(
            s.vapour_mol_m3 < liquid && liquid < e.rho_max_mol_m3,
            asked,
            what,
            liquid,
            want,
        ) {
            return false;
        }
        last = Some(s);
    }
    f.0.len() == before
}

/// Compressed liquid, gas, and everything above the critical temperature.
fn single_phase(f: &mut Findings, probe: &Probe<'_>) {
    let e = probe.e;
    let share = |i: u32, n: u32| f64::from(i) / f64::from(n);
    let mut unstable = |t_k: f64, rho: f64, heat: bool| {
        let s = probe.at(t_k, rho);
        let holds = if heat { s.is_stable() } else { s.rises() };
        if holds {
            return false;
        }
        let place = format!("{} and {} mol/m³", at(t_k), short(rho));
        if s.rises() {
            let what = format!("a heat capacity at constant volume, over R, {place}");
            f.need(
                false,
                RESIDUAL,
                what,
                s.cv,
                "above 0 and below that at constant pressure",
            );
        } else {
            let what = format!("a slope of pressure with density, over RT, {place}");
            f.need(
                false,
                RESIDUAL,
                what,
                s.slope,
                "above 0, with a pressure above 0",
            );
        }
        true
    };
    for t_k in temperatures(e.t_triple_k, 0.99 * e.t_critical_k, 16) {
        let Some(s) = probe.saturation(t_k) else {
            return;
        };
        for i in 1..=10 {
            let rho = s.vapour_mol_m3 * share(i, 10);
            if unstable(t_k, rho, true) {
                return;
            }
        }
        for i in 0..=10 {
            let rho = s.liquid_mol_m3 + (e.rho_max_mol_m3 - s.liquid_mol_m3) * share(i, 10);
            let heat = probe.at(t_k, rho).p_pa <= HEAT_UP_TO_PA;
            if unstable(t_k, rho, heat) {
                return;
            }
        }
    }
    for t_k in temperatures(
        1.01 * e.t_critical_k,
        e.t_max_k.max(1.02 * e.t_critical_k),
        12,
    ) {
        for i in 1..=24 {
            let rho = e.rho_max_mol_m3 * share(i, 24);
            let heat = probe.at(t_k, rho).p_pa <= HEAT_UP_TO_PA;
            if unstable(t_k, rho, heat) {
                return;
            }
        }
    }
}

/// The second virial coefficient against the rule of Tsonopoulos (`tsonopoulos1974`), which alcohols keep to within
/// 0.06 from the critical temperature up.
fn virial(f: &mut Findings, probe: &Probe<'_>) {
    let e = probe.e;
    for t_r in [1.0, 1.2, 1.5, 2.0, 3.0] {
        let t_k = t_r * e.t_critical_k;
        if t_k > e.t_max_k {
            break;
        }
        let iso = probe.model.isotherm(&probe.mixed, t_k);
        let rho = 1e-4 * e.rho_critical_mol_m3;
        let [_, d, _] = probe.model.residual_in_delta(&probe.mixed, &iso, rho);
        let b = d / rho * e.p_critical_pa / (probe.model.r() * e.t_critical_k);
        let inverse = |power: i32| f64::powi(t_r, -power);
        let simple = 0.1445
            - 0.330 * inverse(1)
            - 0.1385 * inverse(2)
            - 0.0121 * inverse(3)
            - 0.000607 * inverse(8);
        let acentric = 0.0637 + 0.331 * inverse(2) - 0.423 * inverse(3) - 0.008 * inverse(8);
        let rule = simple + e.acentric * acentric;
        let what = format!("a second virial coefficient {}, over RT_c/p_c,", at(t_k));
        let want = format!(
            "within {VIRIAL} of {}, the rule of corresponding states",
            short(rule)
        );
        if !f.need((b - rule).abs() <= VIRIAL, RESIDUAL, what, b, want) {
            return;
        }
    }
}

/// The saturation line against acentric factor, flash points and enthalpies of formation.
fn rest_of_the_file(f: &mut Findings, probe: &Probe<'_>, fuel: &Fuel) {
    let e = probe.e;
    if let Some(s) = probe.saturation(0.7 * e.t_critical_k) {
        let acentric = -1.0 - (s.p_pa / e.p_critical_pa).log10();
        let asked = Asked {
            key: "equation.acentric",
            look_at: "the acentric factor is -1 - lg(p/p_critical_pa) at 0.7 of the critical temperature",
            unit: "",
        };
        let near = (e.acentric - acentric).abs() <= ACENTRIC;
        let want = format!(
            "within {} of {}, which the vapour pressure gives",
            ACENTRIC,
            number(acentric)
        );
        f.need(near, asked, "an acentric factor", e.acentric, want);
    }
    if fuel.fed_as == FedAs::Liquid {
        let boiling = |t_k: f64| {
            (t_k > e.t_triple_k)
                .then(|| probe.saturation(t_k))
                .flatten()
        };
        flash_point(f, "equation.residual", fuel, &|t_k| {
            Some(boiling(t_k)?.p_pa)
        });
    }
    if let Some(b) = &fuel.combustion
        && let (Some(gas), Some(liquid)) = (
            b.formation_enthalpy_gas_j_mol,
            b.formation_enthalpy_liquid_j_mol,
        )
        && (e.t_triple_k + 2.0..0.95 * e.t_critical_k).contains(&298.15)
        && (gas - liquid).is_finite()
        && let Some(of_equation) = probe.vaporization_j_mol(298.15)
    {
        let near = ((gas - liquid) / of_equation - 1.0).abs() <= VAPORIZATION;
        let asked = Asked {
            key: "combustion.formation_enthalpy_liquid_j_mol",
            unit: "J/mol",
            look_at: "look at the enthalpies of formation of gas and liquid",
        };
        let percent = short(100.0 * VAPORIZATION);
        let want = format!(
            "within {} % of {} J/mol, which the equation gives",
            percent,
            number(of_equation)
        );
        f.need(
            near,
            asked,
            "a heat of vaporization at 25 °C",
            gas - liquid,
            want,
        );
    }
}
