//! Viscosity of a composition: Wilke's rule for the dilute gas, corresponding states for what density
//! adds.

use super::PureViscosity;
use crate::eos::EosError;
use crate::fuel::{Composition, Library};
use crate::quantity::sentence::{in_kelvin_2, sentence};
use crate::quantity::show::number;

/// Sources of the blend rules.
pub const BLEND_RULES: [&str; 3] = ["ely1981", "teja1981", "wilke1950"];

/// Band of the blend rule itself on top of the components', gas of hydrocarbons.
const BLEND_BAND_GAS: f64 = 0.03;
/// The same for liquids of hydrocarbons.
const BLEND_BAND_LIQUID: f64 = 0.10;
/// The same for liquids in which a polar component or one far above its critical temperature takes part.
const BLEND_BAND_UNLIKE_LIQUID: f64 = 0.30;
/// A component is unlike the rest where the critical temperatures differ by more than this factor.
const UNLIKE_CRITICAL_RATIO: f64 = 2.0;
/// Band of a liquid of water with something else: up to a quarter of water by mole, and with more. Measured, ethanol with
/// water is up to 1.4 and 2.5 times thicker than the rule makes it; from memory.
const BLEND_BAND_WET_LIQUID: f64 = 0.4;
const BLEND_BAND_WATERY_LIQUID: f64 = 1.0;
const WET: f64 = 0.25;
/// Components whose liquids associate or are polar.
const POLAR: [&str; 4] = ["dimethyl-ether", "ethanol", "methanol", "isopropanol"];

/// One component with what its reduced viscosity needs.
#[derive(Debug, Clone)]
struct Component {
    viscosity: PureViscosity,
    t_critical_k: f64,
    v_critical_m3_mol: f64,
    v_critical_cbrt: f64,
    molar_mass_kg_mol: f64,
    polar: bool,
    is_water: bool,
}

impl Component {
    /// Unit of viscosity by corresponding states, `√(M Tc) / Vc^⅔` (in SI; only ratios are used).
    fn unit(&self) -> f64 {
        viscosity_unit(
            self.molar_mass_kg_mol,
            self.t_critical_k,
            self.v_critical_m3_mol,
        )
    }
}

fn viscosity_unit(molar_mass: f64, t_critical: f64, v_critical: f64) -> f64 {
    (molar_mass * t_critical).sqrt() / v_critical.cbrt().powi(2)
}

/// Viscosity models of all components of a composition.
#[derive(Debug, Clone)]
pub struct Transport {
    components: Vec<Component>,
    label: String,
}

impl Transport {
    /// Reads the models of all components.
    ///
    /// # Errors
    /// As [`PureViscosity::new`], for the first component that has none.
    pub fn new(library: &Library, composition: &Composition) -> Result<Self, EosError> {
        let components = composition
            .parts()
            .iter()
            .map(|part| {
                let viscosity = PureViscosity::new(library, &part.fuel)?;
                let e = &viscosity.fluid.equation;
                Ok(Component {
                    t_critical_k: e.t_critical_k,
                    v_critical_m3_mol: 1.0 / e.rho_critical_mol_m3,
                    v_critical_cbrt: (1.0 / e.rho_critical_mol_m3).cbrt(),
                    molar_mass_kg_mol: part.fuel.molar_mass_kg_mol,
                    polar: POLAR.contains(&part.fuel.name.as_str()),
                    is_water: part.fuel.name == "water",
                    viscosity,
                })
            })
            .collect::<Result<_, EosError>>()?;
        Ok(Self {
            components,
            label: composition.label().to_owned(),
        })
    }

    /// Dynamic viscosity of one phase of the components in proportions `x`, Pa s.
    ///
    /// One component: its own correlation. Blend: `η = η0(T) + u Σ x_i Δη_i(T_i, ρ_i) / u_i` where
    /// * `η0 = Σ x_i η0_i / Σ_j x_j φ_ij`,
    ///   `φ_ij = (1 + √(η0_i/η0_j) (M_j/M_i)^¼)² / √(8 (1 + M_i/M_j))` (`wilke1950`);
    /// * `Δη_i` is what density adds to component i at the blend's reduced state,
    ///   `T_i = T Tc_i / Tc`, `ρ_i = ρ Vc / Vc_i`, as in `teja1981`;
    /// * `Vc = ΣΣ x_i x_j Vc_ij`, `Tc Vc = ΣΣ x_i x_j √(Tc_i Tc_j) Vc_ij`,
    ///   `Vc_ij = (Vc_i^⅓ + Vc_j^⅓)³ / 8`, and the unit `u = √(M Tc) / Vc^⅔` (`ely1981`).
    ///
    /// It passes through each pure fluid and through the dilute gas, and needs no saturation state. A
    /// component whose own correlation is not defined at the conformal state (inside its spinodal, or
    /// past close packing) is left out of the second sum, and the rest share its weight.
    ///
    /// * `x` — mole fractions of this phase, in the order of the components
    /// * `t_k` — temperature, K
    /// * `rho_mol_m3` — molar density of this phase, mol/m³
    ///
    /// **Valid:** inside the temperature range of every component's correlation; see
    /// [`Transport::uncertainty`] for the band.
    /// **Errors:** out of range, or a density no correlation reaches.
    /// **Source:** each component's own; `wilke1950`, `teja1981`, `ely1981`.
    ///
    /// # Errors
    /// As [`PureViscosity::at`].
    pub fn viscosity_pa_s(&self, x: &[f64], t_k: f64, rho_mol_m3: f64) -> Result<f64, EosError> {
        let present: Vec<(f64, &Component)> = self.present(x).collect();
        if let [(_, only)] = present[..] {
            return only.viscosity.at(t_k, rho_mol_m3);
        }
        let dilute = wilke(&present, t_k)?;
        let whole = PseudoCritical::of(&present);
        let (mut dense, mut weight) = (0.0, 0.0);
        for (x, c) in &present {
            let t_i_k = t_k * c.t_critical_k / whole.t_k;
            let rho_i_mol_m3 = rho_mol_m3 * whole.v_m3_mol / c.v_critical_m3_mol;
            if let Some(part) = c.viscosity.dense_part_if_defined(t_i_k, rho_i_mol_m3) {
                dense += x * part / c.unit();
                weight += x;
            }
        }
        // no component defined: 0/0, refused below
        dense /= weight;
        let eta = dilute + whole.unit() * dense;
        if eta.is_finite() && eta > 0.0 {
            return Ok(eta);
        }
        Err(EosError::NotAvailable {
            what: "viscosity",
            fuel: self.label.clone(),
            why: sentence!(
                "the blend rule does not reach {} mol/m³ at {}",
                &number(rho_mol_m3),
                in_kelvin_2(t_k)
            ),
        })
    }

    /// Relative uncertainty of [`Transport::viscosity_pa_s`], as a fraction: the worst of the
    /// components', plus the band of the blend rule (our choice, from the spread between this rule and
    /// logarithmic mixing: no measured blend was at hand).
    pub fn uncertainty(&self, x: &[f64], rho_mol_m3: f64) -> f64 {
        let present: Vec<(f64, &Component)> = self.present(x).collect();
        if let [(_, only)] = present[..] {
            return only.viscosity.uncertainty(rho_mol_m3);
        }
        let whole = PseudoCritical::of(&present);
        let rho_r = rho_mol_m3 * whole.v_m3_mol;
        let worst = present
            .iter()
            .map(|(_, c)| c.viscosity.uncertainty(rho_r / c.v_critical_m3_mol))
            .fold(0.0, f64::max);
        let (low, high) = present
            .iter()
            .fold((f64::MAX, 0.0_f64), |(low, high), (_, c)| {
                (low.min(c.t_critical_k), high.max(c.t_critical_k))
            });
        let unlike = high > UNLIKE_CRITICAL_RATIO * low || present.iter().any(|(_, c)| c.polar);
        let dry = !present.iter().any(|(_, c)| c.is_water);
        let water: f64 = present
            .iter()
            .filter(|(_, c)| c.is_water)
            .map(|(x, _)| x)
            .sum();
        let band = worst
            + match (rho_r < 1.0, unlike) {
                (true, _) => BLEND_BAND_GAS,
                (false, false) if dry => BLEND_BAND_LIQUID,
                (false, true) if dry => BLEND_BAND_UNLIKE_LIQUID,
                (false, _) if water <= WET => BLEND_BAND_WET_LIQUID,
                (false, _) => BLEND_BAND_WATERY_LIQUID,
            };
        band.min(1.0)
    }

    fn present(&self, x: &[f64]) -> impl Iterator<Item = (f64, &Component)> {
        x.iter()
            .copied()
            .zip(&self.components)
            .filter(|(x, _)| *x > 0.0)
    }
}

/// Wilke's rule for the dilute gas, Pa s.
fn wilke(present: &[(f64, &Component)], t_k: f64) -> Result<f64, EosError> {
    let eta = present
        .iter()
        .map(|(_, c)| c.viscosity.dilute(t_k))
        .collect::<Result<Vec<_>, _>>()?;
    let mut sum = 0.0;
    for (i, (x_i, c_i)) in present.iter().enumerate() {
        let mut bottom = 0.0;
        for (j, (x_j, c_j)) in present.iter().enumerate() {
            let m = c_i.molar_mass_kg_mol / c_j.molar_mass_kg_mol;
            let phi =
                (1.0 + (eta[i] / eta[j]).sqrt() * m.powf(-0.25)).powi(2) / (8.0 * (1.0 + m)).sqrt();
            bottom += x_j * phi;
        }
        sum += x_i * eta[i] / bottom;
    }
    Ok(sum)
}

/// The single fluid that stands for a blend.
struct PseudoCritical {
    t_k: f64,
    v_m3_mol: f64,
    molar_mass_kg_mol: f64,
}

impl PseudoCritical {
    fn of(present: &[(f64, &Component)]) -> Self {
        let (mut v, mut tv, mut molar_mass_kg_mol) = (0.0, 0.0, 0.0);
        for (x_i, i) in present {
            molar_mass_kg_mol += x_i * i.molar_mass_kg_mol;
            for (x_j, j) in present {
                let v_ij = (i.v_critical_cbrt + j.v_critical_cbrt).powi(3) / 8.0;
                v += x_i * x_j * v_ij;
                tv += x_i * x_j * v_ij * (i.t_critical_k * j.t_critical_k).sqrt();
            }
        }
        Self {
            t_k: tv / v,
            v_m3_mol: v,
            molar_mass_kg_mol,
        }
    }

    fn unit(&self) -> f64 {
        viscosity_unit(self.molar_mass_kg_mol, self.t_k, self.v_m3_mol)
    }
}
