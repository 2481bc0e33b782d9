//! A first idea of the liquid and vapour that a blend is at a density and an internal energy: Raoult's law with the
//! vapour pressures of the components, an ideal gas, and a liquid of the volumes of its components.

use super::Embedded;
use crate::eos::MAX_COMPONENTS;
use crate::eos::MoleFractions;
use crate::eos::blend_equilibrium::{Split, present, start_liquid_density, start_pressure};
use crate::eos::blend_split::parted;
use crate::numerics::root::brent;
use std::convert::Infallible;

/// How far the idea is computed: temperature, K, and the logarithm of pressure.
const CLOSE_K: f64 = 0.1;
const CLOSE_LN_P: f64 = 1e-4;

impl Embedded {
    /// Liquid and vapour of a mean molar density and an internal energy; `None` where they would be one.
    pub(super) fn first_idea(&self, rho_mol_m3: f64, u_j_kg: f64) -> Option<Split> {
        let (low, high) = self.range();
        let off = |t_k: f64| {
            let idea = self.raoult(rho_mol_m3, t_k).ok_or("no K values")?;
            Ok::<_, &str>(self.energy(&idea) - u_j_kg)
        };
        let t_k = brent(off, low, high, CLOSE_K).ok()?;
        let idea = self.raoult(rho_mol_m3, t_k)?;
        (idea.vapour_fraction > 0.0 && idea.vapour_fraction < 1.0).then_some(idea)
    }

    /// Internal energy of both phases together, J/kg.
    fn energy(&self, s: &Split) -> f64 {
        let part = |x: &MoleFractions, rho: f64, share: f64| {
            if share <= 0.0 {
                return 0.0;
            }
            let mixed = self.model.mixed(x);
            let iso = self.model.isotherm(&mixed, s.t_k);
            let (side, p_pa, _) = self.caloric(&mixed, &iso, rho);
            share * (side.enthalpy_j_kg - p_pa / side.density_kg_m3) * mixed.molar_mass_kg_mol
        };
        let v = s.vapour_fraction;
        (part(&s.x, s.liquid_mol_m3, 1.0 - v) + part(&s.y, s.vapour_mol_m3, v))
            / self.mixed.molar_mass_kg_mol
    }

    /// The same at a temperature; all vapour or all liquid where the density says so.
    fn raoult(&self, rho_mol_m3: f64, t_k: f64) -> Option<Split> {
        let (model, z) = (&self.model, &self.mixed.x);
        let (index, n) = present(z);
        let rt = model.r() * t_k;
        let liquid_mol_m3 = start_liquid_density(model, &self.mixed, t_k);
        let mut ln_p = [0.0; MAX_COMPONENTS];
        let (mut boils_pa, mut dew_per_pa) = (0.0, 0.0);
        for k in 0..n {
            let p_pa = start_pressure(model, index[k], t_k).max(1e-12);
            ln_p[k] = p_pa.ln();
            boils_pa += z[index[k]] * p_pa;
            dew_per_pa += z[index[k]] / p_pa;
        }
        let whole = |v: f64, p_pa: f64, rho: f64| Split {
            t_k,
            p_pa,
            x: *z,
            y: *z,
            liquid_mol_m3: rho,
            vapour_mol_m3: rho,
            vapour_fraction: v,
        };
        if rho_mol_m3 * rt * dew_per_pa <= 1.0 {
            return Some(whole(1.0, rho_mol_m3 * rt, rho_mol_m3));
        }
        if rho_mol_m3 >= liquid_mol_m3 {
            return Some(whole(0.0, boils_pa, rho_mol_m3));
        }
        let split = |ln_p_all: f64| {
            let ln_k = ln_p.map(|own| own - ln_p_all);
            parted(z, &index[..n], &ln_k[..n])
        };
        let off = |ln_p: f64| {
            let v = split(ln_p).map_or(f64::NAN, |s| s.0.clamp(0.0, 1.0));
            let volume = v * rt / ln_p.exp() + (1.0 - v) / liquid_mol_m3;
            Ok::<_, Infallible>((volume * rho_mol_m3).ln())
        };
        let ln_p = brent(off, -dew_per_pa.ln(), boils_pa.ln(), CLOSE_LN_P).ok()?;
        let (v, x, y) = split(ln_p)?;
        let x = MoleFractions::new(&x[..z.len()]);
        Some(Split {
            t_k,
            p_pa: ln_p.exp(),
            liquid_mol_m3: start_liquid_density(model, &model.mixed(&x), t_k),
            vapour_mol_m3: ln_p.exp() / rt,
            x,
            y: MoleFractions::new(&y[..z.len()]),
            vapour_fraction: v.clamp(0.0, 1.0),
        })
    }
}
