//! Liquid and vapour of a blend at a pressure and an entropy or enthalpy, from a split near it.
//!
//! K values and temperature are found together by successive substitution with Anderson mixing. The step
//! of the temperature takes all components to have the latent heat of the blend as a whole; the mixing
//! makes up for that.

use super::alpha::Alpha;
use super::blend_equilibrium::{OnePhase, Split, Vector, present};
use super::blend_split::parted;
use super::mixture::{Model, Towards};
use super::{Equilibrium, MAX_COMPONENTS, MoleFractions};
use crate::numerics::fixed_point::{MAX_UNKNOWNS, fixed_point_ahead};

/// Unit of the logarithm of temperature among the unknowns: a step of it is then as large as those of the
/// logarithms of the K values.
const WEIGHT: f64 = 10.0;
/// Farthest that the temperature may go from its start, relative.
const REACH: f64 = 0.3;
/// Shares of vapour that differ by less are the same.
const SAME_SHARE: f64 = 1e-8;
/// Farthest steps of the logarithms of temperature and pressure, where both or the pressure are sought.
const FARTHEST: (f64, f64) = (0.1, 0.5);
/// Least ratio of densities of two phases.
const APART: f64 = 1.05;

/// Entropy, J/(mol K), or enthalpy, J/mol, of the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Whole {
    /// Entropy.
    Entropy(f64),
    /// Enthalpy.
    Enthalpy(f64),
}

/// One phase: `h/(RT)`, `s/R` and `cp/R`.
struct Caloric {
    h: f64,
    s: f64,
    cp: f64,
}

impl Caloric {
    fn of(model: &Model, phase: &OnePhase, towards: &Towards, ideals: &[Alpha]) -> Self {
        let mut ideal = Alpha::default();
        for (x, part) in phase.mixed.x.iter().zip(ideals) {
            if *x > 0.0 {
                ideal.add(*x, part);
            }
        }
        let (a, step) = (&towards.residual, towards.step);
        let before = towards.rho_mol_m3 / (1.0 + step);
        let (q, d) = (1.0 + a.d - a.dt, 1.0 + 2.0 * a.d + a.dd);
        Self {
            // carried along with the density
            h: 1.0 + ideal.t + a.t + a.d + (d - q) * step,
            s: ideal.t + a.t
                - ideal.a
                - a.a
                - model.ideal_logarithms(&phase.mixed, before)
                - q * step,
            cp: q * q / d - (ideal.tt + a.tt),
        }
    }
}

/// Both phases of a split while it is sought.
struct Sought<'a> {
    model: &'a Model,
    z: &'a [f64],
    index: [usize; MAX_COMPONENTS],
    n: usize,
    liquid: OnePhase,
    vapour: OnePhase,
}

impl<'a> Sought<'a> {
    /// From a start, with the logarithms of its K values.
    fn new(model: &'a Model, z: &'a [f64], start: &Split) -> Option<(Self, Vector)> {
        let (index, n) = present(z);
        if n + 1 > MAX_UNKNOWNS {
            return None;
        }
        let mut liquid = OnePhase::new(model, &start.x, start.t_k);
        liquid.rho = start.liquid_mol_m3;
        let mut vapour = OnePhase::new(model, &start.y, start.t_k);
        vapour.rho = start.vapour_mol_m3;
        let mut u = [0.0; MAX_UNKNOWNS];
        for k in 0..n {
            u[k] = (start.y[index[k]] / start.x[index[k]]).ln();
        }
        let sought = Self {
            model,
            z,
            index,
            n,
            liquid,
            vapour,
        };
        Some((sought, u))
    }

    /// Sets both compositions by the K values; the share of vapour.
    fn set(&mut self, u: &Vector, t_k: f64) -> Option<f64> {
        let count = self.z.len();
        let (v, x, y) = parted(self.z, &self.index[..self.n], u)?;
        self.liquid.set(self.model, &x[..count], t_k);
        self.vapour.set(self.model, &y[..count], t_k);
        Some(v)
    }

    /// The K values by the fugacities.
    fn image(&mut self, p_pa: f64, image: &mut Vector) -> Option<(Towards, Towards)> {
        let (mut fl, mut fv) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
        let liquid = self.liquid.ln_f(self.model, p_pa, true, &mut fl)?;
        let vapour = self.vapour.ln_f(self.model, p_pa, false, &mut fv)?;
        if self.liquid.rho < APART * self.vapour.rho {
            return None;
        }
        for (image, &i) in image.iter_mut().zip(&self.index[..self.n]) {
            *image = fl[i] - fv[i];
        }
        Some((liquid, vapour))
    }

    /// Share of vapour by K values.
    fn share(&self, ln_k: &Vector) -> Option<f64> {
        parted(self.z, &self.index[..self.n], &ln_k[..self.n]).map(|parts| parts.0)
    }

    /// `dv/d ln K` if all K values change alike, `Σ z K/(1+v(K−1))² / Σ z ((K−1)/(1+v(K−1)))²`.
    fn vapour_rise(&self, u: &Vector, v: f64) -> f64 {
        let (mut rise, mut fall) = (0.0, 0.0);
        for (&i, u) in self.index[..self.n].iter().zip(u) {
            let value = u.exp();
            let part = 1.0 + v * (value - 1.0);
            rise += self.z[i] * value / (part * part);
            fall += self.z[i] * ((value - 1.0) / part).powi(2);
        }
        rise / fall
    }

    /// The split, densities to the last digit.
    fn found(mut self, p_pa: f64, v: f64) -> Option<Split> {
        self.liquid.liquid(self.model, p_pa)?;
        self.vapour.gas(self.model, p_pa)?;
        let (liquid, vapour) = (&self.liquid, &self.vapour);
        ((0.0..=1.0).contains(&v) && liquid.rho > APART * vapour.rho).then_some(Split {
            t_k: liquid.iso.t_k,
            p_pa,
            x: liquid.mixed.x,
            y: vapour.mixed.x,
            liquid_mol_m3: liquid.rho,
            vapour_mol_m3: vapour.rho,
            vapour_fraction: v,
        })
    }
}

/// Split at a pressure with the entropy or enthalpy asked for, from one near it; `None` where it does not
/// close in on two phases.
pub fn split_near(
    model: &Model,
    z: &[f64],
    p_pa: f64,
    whole: Whole,
    start: &Split,
) -> Option<Split> {
    let (mut sought, mut u) = Sought::new(model, z, start)?;
    let n = sought.n;
    let temperature = |u: &Vector| start.t_k * (u[n] / WEIGHT).exp();
    fixed_point_ahead(n + 1, &mut u, |u, image| {
        if !(u[n].abs() < REACH * WEIGHT) {
            return None;
        }
        let t_k = temperature(u);
        let v = sought.set(u, t_k)?;
        let (of_liquid, of_vapour) = sought.image(p_pa, image)?;
        let ideals = model.ideal_parts(t_k);
        let l = Caloric::of(model, &sought.liquid, &of_liquid, &ideals);
        let g = Caloric::of(model, &sought.vapour, &of_vapour, &ideals);
        let mix = |l: f64, g: f64| l + v * (g - l);
        let off = match whole {
            Whole::Entropy(s) => s / model.r() - mix(l.s, g.s),
            Whole::Enthalpy(h) => h / (model.r() * t_k) - mix(l.h, g.h),
        };
        // d(h/R)/dT = d(s/R)/d(ln T): heat capacity, and latent heat times the vapour that forms
        let latent = g.h - l.h;
        let slope = mix(l.cp, g.cp) + latent * latent * sought.vapour_rise(u, v);
        image[n] = u[n] + WEIGHT * off / slope;
        Some(())
    })?;
    let v = sought.set(&u, temperature(&u))?;
    sought.found(p_pa, v)
}

/// Split of a mean molar density and internal energy, J/mol, from one near it; `None` where it does not close in on
/// two phases.
pub fn split_of_density_and_energy(
    model: &Model,
    z: &[f64],
    (rho_mol_m3, u_j_mol): (f64, f64),
    start: &Split,
) -> Option<Split> {
    let (mut sought, mut u) = Sought::new(model, z, start)?;
    let n = sought.n;
    if n + 2 > MAX_UNKNOWNS {
        return None;
    }
    let wanted = rho_mol_m3.recip();
    let temperature = |u: &Vector| start.t_k * (u[n] / WEIGHT).exp();
    let pressure = |u: &Vector| start.p_pa * u[n + 1].exp();
    fixed_point_ahead(n + 2, &mut u, |u, image| {
        if !(u[n].abs() < REACH * WEIGHT && u[n + 1].abs() < REACH * WEIGHT) {
            return None;
        }
        let (t_k, p_pa) = (temperature(u), pressure(u));
        sought.set(u, t_k)?;
        let (of_liquid, of_vapour) = sought.image(p_pa, image)?;
        let v = sought.share(image)?;
        let ideals = model.ideal_parts(t_k);
        let l = Caloric::of(model, &sought.liquid, &of_liquid, &ideals);
        let g = Caloric::of(model, &sought.vapour, &of_vapour, &ideals);
        let mix = |l: f64, g: f64| l + v * (g - l);
        let (v_l, v_g) = (sought.liquid.rho.recip(), sought.vapour.rho.recip());
        let rt = model.r() * t_k;
        let (u_l, u_g) = (l.h - p_pa * v_l / rt, g.h - p_pa * v_g / rt);
        let off_v = wanted - mix(v_l, v_g);
        let off_u = u_j_mol / rt - mix(u_l, u_g);
        // slopes with ln T and ln p: vapour forms by the latent heat, and is nearly ideal
        let (latent, rise) = (g.h - l.h, sought.vapour_rise(image, v));
        let (dv, du) = (v_g - v_l, u_g - u_l);
        let (v_t, v_p) = (dv * rise * latent + v * v_g, -dv * rise - v * v_g);
        let (u_t, u_p) = (mix(l.cp, g.cp) - v + du * rise * latent, -du * rise);
        let det = v_t * u_p - v_p * u_t;
        let by_t = (off_v * u_p - v_p * off_u) / det;
        let by_p = (v_t * off_u - u_t * off_v) / det;
        let by_t = by_t.clamp(-FARTHEST.0, FARTHEST.0);
        let by_p = by_p.clamp(-FARTHEST.1, FARTHEST.1);
        // the K values go along: one step behind they would circle around the answer
        let along = latent * by_t - by_p;
        image[..n].iter_mut().for_each(|ln_k| *ln_k += along);
        image[n] = u[n] + WEIGHT * by_t;
        image[n + 1] = u[n + 1] + by_p;
        Some(())
    })?;
    let v = sought.set(&u, temperature(&u))?;
    sought.found(pressure(&u), v)?.filled(rho_mol_m3)
}

impl Split {
    /// With little vapour the density hangs on the last digits of pressure and K values: set by the share.
    fn filled(self, rho_mol_m3: f64) -> Option<Self> {
        let (liquid, vapour) = (self.liquid_mol_m3.recip(), self.vapour_mol_m3.recip());
        let share = (rho_mol_m3.recip() - liquid) / (vapour - liquid);
        let same = (share - self.vapour_fraction).abs() <= SAME_SHARE;
        (same && (0.0..=1.0).contains(&share)).then_some(Self {
            vapour_fraction: share,
            ..self
        })
    }
}

/// Split of a mean molar density at the temperature of a split near it; `None` where it does not close in on
/// two phases.
pub fn split_of_density(model: &Model, z: &[f64], rho_mol_m3: f64, start: &Split) -> Option<Split> {
    let (mut sought, mut u) = Sought::new(model, z, start)?;
    let n = sought.n;
    let wanted = rho_mol_m3.recip();
    let pressure = |u: &Vector| start.p_pa * u[n].exp();
    fixed_point_ahead(n + 1, &mut u, |u, image| {
        if !(u[n].abs() < REACH * WEIGHT) {
            return None;
        }
        sought.set(u, start.t_k)?;
        sought.image(pressure(u), image)?;
        let v = sought.share(image)?;
        let (liquid, vapour) = (sought.liquid.rho.recip(), sought.vapour.rho.recip());
        let off = wanted - (liquid + v * (vapour - liquid));
        // less vapour, and denser, with pressure
        let slope = -(vapour - liquid) * sought.vapour_rise(image, v) - v * vapour;
        let by_p = (off / slope).clamp(-FARTHEST.1, FARTHEST.1);
        // the K values go along with the pressure: one step behind it they would circle around the answer
        image[..n].iter_mut().for_each(|ln_k| *ln_k -= by_p);
        image[n] = u[n] + by_p;
        Some(())
    })?;
    let v = sought.set(&u, start.t_k)?;
    sought.found(pressure(&u), v)?.filled(rho_mol_m3)
}

/// Start of [`split_near`] from an equilibrium at another pressure: the K values stay, the temperature goes
/// along as that of saturation does.
pub fn start_from(e: &Equilibrium, vapour_fraction: f64, p_pa: f64, r_j_mol_k: f64) -> Split {
    let (l, g) = (&e.liquid, &e.vapour);
    let latent = g.enthalpy_j_kg * g.molar_mass_kg_mol - l.enthalpy_j_kg * l.molar_mass_kg_mol;
    let t_k = e.temperature_k
        * (p_pa / e.pressure_pa).powf(r_j_mol_k * e.temperature_k / latent.max(r_j_mol_k));
    Split {
        t_k,
        p_pa,
        x: l.mole_fractions,
        y: g.mole_fractions,
        liquid_mol_m3: l.density_kg_m3 / l.molar_mass_kg_mol,
        vapour_mol_m3: g.density_kg_m3 / g.molar_mass_kg_mol
            * (p_pa / e.pressure_pa)
            * (e.temperature_k / t_k),
        vapour_fraction,
    }
}

/// Start between a bubble and a dew point at the same pressure, at a share of the way.
pub fn start_between(bubble: &Equilibrium, dew: &Equilibrium, share: f64, z: &[f64]) -> Split {
    let mut k_value = [0.0; MAX_COMPONENTS];
    let side = |e: &Equilibrium, i: usize| {
        (e.vapour.mole_fractions[i].max(1e-300) / e.liquid.mole_fractions[i].max(1e-300)).ln()
    };
    let (mut x, mut y) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
    for (i, &z) in z.iter().enumerate() {
        if z > 0.0 {
            let (b, d) = (side(bubble, i), side(dew, i));
            k_value[i] = (b + share * (d - b)).exp();
            x[i] = z / (1.0 + share * (k_value[i] - 1.0));
            y[i] = k_value[i] * x[i];
        }
    }
    let between = |b: f64, d: f64| b + share * (d - b);
    let molar = |e: &Equilibrium| {
        (
            e.liquid.density_kg_m3 / e.liquid.molar_mass_kg_mol,
            e.vapour.density_kg_m3 / e.vapour.molar_mass_kg_mol,
        )
    };
    let ((bl, bv), (dl, dv)) = (molar(bubble), molar(dew));
    Split {
        t_k: between(bubble.temperature_k, dew.temperature_k),
        p_pa: bubble.pressure_pa,
        x: MoleFractions::new(&x[..z.len()]),
        y: MoleFractions::new(&y[..z.len()]),
        liquid_mol_m3: between(bl, dl),
        vapour_mol_m3: between(bv, dv),
        vapour_fraction: share,
    }
}
