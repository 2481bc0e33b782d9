//! What a viscosity model gives: thin gas and boiling liquid against rules of corresponding states.

use super::{Asked, Findings, at, temperatures, times};
use crate::eos::EosError;
use crate::eos::mixture::Model;
use crate::eos::pure_saturation::at_temperature;
use crate::eos::transport::{PureViscosity, dilute_by_critical_constants};
use crate::fuel::{Composition, Equation, FedAs, Fuel, Library, Mistake, Problem};
use crate::quantity::show::{Units, short};
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Viscosity of the thin gas over that by critical constants alone.
const THIN: RangeInclusive<f64> = 0.75..=1.35;
/// What density adds to it, over the rule of corresponding states, and the same below [`COLD`] of the critical
/// temperature; cold alcohols are 4 off.
const DENSE: RangeInclusive<f64> = 0.4..=2.5;
const DENSE_AND_COLD: RangeInclusive<f64> = 0.4..=6.0;
const COLD: f64 = 0.6;
/// Densities of that rule over the critical one; a denser liquid is more viscous.
const RULE: RangeInclusive<f64> = 0.1..=3.0;
/// Share that numbers repeated from the rest of the file may be off.
const REPEATED: f64 = 0.06;

const LOOK: &str = "look for a wrong digit, sign or exponent in its lists";

/// Whether it is liquid water, which has a third of what the rule for liquids gives.
fn is_water(fuel: &Fuel) -> bool {
    fuel.combustion.is_none() && fuel.fed_as == FedAs::Liquid
}

/// What is wrong with a fuel's viscosity.
pub(super) fn mistakes(library: &Library, fuel: &Fuel) -> Vec<Mistake> {
    let mut f = Findings::default();
    let asked = Asked {
        key: "viscosity",
        unit: "Pa s",
        look_at: LOOK,
    };
    let (Some(e), composition) = (&fuel.equation, Composition::pure(&Arc::new(fuel.clone())))
    else {
        return f.0;
    };
    let viscosity = match PureViscosity::new(library, fuel) {
        Ok(viscosity) => viscosity,
        Err(EosError::NotAvailable { why, .. }) => {
            let message = why.show(Units::Si);
            f.0.push(Mistake::new("viscosity", Problem::Shape { message }));
            return f.0;
        }
        Err(_) => return f.0,
    };
    for name in viscosity.unread() {
        let key = format!("viscosity.coefficients.{name}");
        f.0.push(Mistake::new(key, Problem::UnknownKey { suggestion: None }));
    }
    let (low, high) = (*viscosity.range_k().start(), *viscosity.range_k().end());
    let wide = low < 0.95 * e.t_critical_k && high > e.t_critical_k && low >= 1.0 && high <= 5000.0;
    let want = "two temperatures in kelvin that include the critical one";
    let key = "viscosity.coefficients.range_k";
    let range = Asked {
        key,
        unit: "K",
        look_at: "the range of the correlation, lowest first",
    };
    if !f.need(wide, range, "a lowest temperature", low, want) {
        return f.0;
    }
    for t_k in temperatures(low, high, 16) {
        let thin = viscosity.at(t_k, 0.0).unwrap_or(f64::NAN);
        let rule = dilute_by_critical_constants(t_k, e, fuel.molar_mass_kg_mol);
        let what = format!("a viscosity of the thin gas {}", at(t_k));
        let want = format!("{}, which the critical constants give", times(&THIN, rule));
        if !f.need(THIN.contains(&(thin / rule)), asked, what, thin, want) {
            return f.0;
        }
    }
    repeated(&mut f, fuel, e);
    let (Ok(model), false) = (Model::new(library, &composition), is_water(fuel)) else {
        return f.0;
    };
    let mixed = model.mixed(&[1.0]);
    let rule = Rule::of(fuel, e);
    let dense = |f: &mut Findings, t_k: f64, rho: f64| {
        let (thin, eta) = (viscosity.at(t_k, 0.0), viscosity.at(t_k, rho));
        let (thin, eta) = (thin.unwrap_or(f64::NAN), eta.unwrap_or(f64::NAN));
        let what = format!("a viscosity {} and {} mol/m³", at(t_k), short(rho));
        let rho_r = rho / e.rho_critical_mol_m3;
        let band = if t_k < COLD * e.t_critical_k {
            DENSE_AND_COLD
        } else {
            DENSE
        };
        let added = rule.added(rho_r.min(*RULE.end()));
        let (low, high) = (
            0.9 * thin + band.start() * added,
            1.1 * thin + band.end() * added,
        );
        let (low, high) = match rho_r {
            _ if rho_r < *RULE.start() => (0.8 * thin, 2.0 * thin),
            _ if rho_r > *RULE.end() => (low, f64::INFINITY),
            _ => (low, high),
        };
        let want = format!(
            "from {} to {}, by the rule of corresponding states",
            short(low),
            short(high)
        );
        f.need((low..=high).contains(&eta), asked, what, eta, want)
    };
    let mut last = f64::INFINITY;
    for t_k in temperatures(low.max(e.t_triple_k), 0.97 * e.t_critical_k, 16) {
        let iso = model.isotherm(&mixed, t_k);
        let Some(s) = at_temperature(&model, &mixed, &iso, None) else {
            break;
        };
        let liquid = viscosity.at(t_k, s.liquid_mol_m3).unwrap_or(f64::NAN);
        let what = format!("a viscosity of the boiling liquid {}", at(t_k));
        let colder = f.need(liquid < last, asked, what, liquid, "less the warmer it is");
        let both = [s.vapour_mol_m3, s.liquid_mol_m3];
        if !(colder && both.into_iter().all(|rho| dense(&mut f, t_k, rho))) {
            return f.0;
        }
        last = liquid;
    }
    for t_k in temperatures(1.05 * e.t_critical_k, high.min(e.t_max_k), 6) {
        for rho_r in [0.3, 0.6, 1.0, 1.5, 2.0] {
            if !dense(&mut f, t_k, rho_r * e.rho_critical_mol_m3) {
                return f.0;
            }
        }
    }
    f.0
}

/// Numbers of the correlation that stand elsewhere in the file too.
fn repeated(f: &mut Findings, fuel: &Fuel, e: &Equation) {
    let lists = fuel.viscosity.as_ref().map(|v| &v.coefficients);
    let m = fuel.molar_mass_kg_mol;
    for (key, unit, want) in [
        ("t_reducing_k", "K", e.t_critical_k),
        ("rho_reducing_mol_m3", "mol/m³", e.rho_critical_mol_m3),
        ("dilute_molar_mass_kg_mol", "kg/mol", m),
    ] {
        let Some(&[value]) = lists.and_then(|l| l.get(key)).map(Vec::as_slice) else {
            continue;
        };
        let asked = Asked {
            key: "viscosity.coefficients",
            unit,
            look_at: "it must belong to the critical point and the molar mass of the file",
        };
        let percent = short(100.0 * REPEATED);
        let near = (value / want - 1.0).abs() <= REPEATED;
        let want = format!("within {percent} % of {} {unit}", short(want));
        f.need(near, asked, format!("a {key}"), value, want);
    }
}

/// What density adds to the viscosity of a thin gas, by the rule of Jossi, Stiel and Thodos (`jossi1962`).
struct Rule {
    /// Pa s.
    unit: f64,
}

impl Rule {
    fn of(fuel: &Fuel, e: &Equation) -> Self {
        let (m_g_mol, p_c_atm) = (1e3 * fuel.molar_mass_kg_mol, e.p_critical_pa / 101_325.0);
        let per_micropoise = (e.t_critical_k / (m_g_mol.powi(3) * p_c_atm.powi(4))).powf(1.0 / 6.0);
        Self {
            unit: 1e-7 / per_micropoise,
        }
    }
    /// Pa s at a density over the critical one from 0.1 to 3.
    fn added(&self, rho_r: f64) -> f64 {
        let coefficients = [0.093324, -0.40758, 0.58533, 0.23364, 1.0230];
        let root = coefficients.into_iter().fold(0.0, |sum, c| sum * rho_r + c);
        self.unit * (f64::powi(root, 4) - 1.0)
    }
}
