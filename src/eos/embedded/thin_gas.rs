//! A thin gas of one composition: its Helmholtz energy as a polynomial in density whose coefficients are Chebyshev series in
//! temperature, made once from the equations.
//!
//! A train or a nozzle asks for thousands of states of the same gas. The sums over all components and their terms
//! are then the same few smooth functions of temperature, read here at a tenth of the cost. All properties still come from one
//! Helmholtz energy, so they agree with one another; they agree with the equations to [`AGREED`].

use super::Embedded;
use crate::eos::EosError;
use crate::eos::alpha::Alpha;
use crate::eos::blend_equilibrium::start_pressure;
use crate::eos::mixture::{Mixed, Model};
use crate::numerics::chebyshev::Chebyshev;
use crate::numerics::polynomial;
use crate::quantity::GAS_CONSTANT_J_MOL_K;
use std::array;
use std::f64::consts::PI;
use std::sync::OnceLock;

/// Temperatures of the pieces, K: from, width, number.
const FROM_K: f64 = 200.0;
const WIDTH_K: f64 = 40.0;
const PIECES: usize = 6;
/// Powers of density.
const POWERS: usize = 8;
/// Functions of temperature: three for each power, three of the ideal gas.
const FUNCTIONS: usize = 3 * (POWERS + 1);
/// Powers of density of the viscosity, from none.
const VISCOSITIES: usize = 6;
const LAST_VISCOSITY: f64 = 5.0;
/// Difference from the correlations that is none, relative.
const AGREED_VISCOSITY: f64 = 1e-8;
/// Most density over the reducing density.
const MOST_DELTA: f64 = 0.14;
/// The same over the density of an ideal gas at the highest vapour pressure of the piece.
const BEYOND_SATURATION: f64 = 1.6;
/// Difference from the equations that is none, in `α` and each derivative in `τ`.
const AGREED: f64 = 1e-9;

/// The gas in pieces of temperature, each made when it is first asked for.
#[derive(Debug, Default)]
pub(super) struct ThinGas([OnceLock<Piece>; PIECES]);

/// A range of temperature.
#[derive(Debug)]
struct Piece {
    from_k: f64,
    most_delta: f64,
    series: Chebyshev<FUNCTIONS>,
    /// Viscosity in powers of density, Pa s, made when it is first asked for.
    viscosity: OnceLock<Chebyshev<VISCOSITIES>>,
}

impl ThinGas {
    /// Residual and ideal part (as [`Model::residual`] and [`Model::ideal`]), where the gas is thin enough.
    pub(super) fn alpha(
        &self,
        model: &Model,
        mixed: &Mixed,
        t_k: f64,
        rho_mol_m3: f64,
    ) -> Option<(Alpha, Alpha)> {
        let piece = self.piece(model, mixed, t_k)?;
        piece.alpha(t_k, rho_mol_m3 / mixed.rho_r_mol_m3)
    }

    fn piece(&self, model: &Model, mixed: &Mixed, t_k: f64) -> Option<&Piece> {
        let place = (t_k - FROM_K) / WIDTH_K;
        if !(place >= 0.0 && place < PIECES as f64) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between zero and the number of pieces, as just seen"
        )]
        let i = place as usize;
        Some(self.0[i].get_or_init(|| Piece::new(model, mixed, FROM_K + i as f64 * WIDTH_K)))
    }
}

impl Piece {
    fn new(model: &Model, mixed: &Mixed, from_k: f64) -> Self {
        let to_k = from_k + WIDTH_K;
        let part = |(i, x): (usize, &f64)| x * start_pressure(model, i, to_k);
        let bubble_pa: f64 = mixed.x.iter().enumerate().map(part).sum();
        let saturated = bubble_pa / (GAS_CONSTANT_J_MOL_K * to_k * mixed.rho_r_mol_m3);
        let most_delta = MOST_DELTA.min(BEYOND_SATURATION * saturated);
        let shares: [f64; POWERS] =
            array::from_fn(|k| 0.5 + 0.5 * (PI * (k as f64 + 0.5) / POWERS as f64).cos());
        let at = |t_k: f64| -> Option<[f64; FUNCTIONS]> {
            let iso = model.isotherm(mixed, t_k);
            let points = shares.map(|w| {
                let delta = w * most_delta;
                let a = model.residual(mixed, &iso, delta * mixed.rho_r_mol_m3);
                [a.a / delta, a.t / delta, a.tt / delta]
            });
            let powers = |l: usize| polynomial::through(&shares, points.map(|p| p[l]));
            let ideal = model.ideal(mixed, t_k);
            let (parts, ideal) = (
                [powers(0), powers(1), powers(2)],
                [ideal.a, ideal.t, ideal.tt],
            );
            let all = parts.iter().flatten().chain(&ideal);
            let mut functions = [0.0; FUNCTIONS];
            functions
                .iter_mut()
                .zip(all)
                .for_each(|(to, from)| *to = *from);
            functions.iter().all(|v| v.is_finite()).then_some(functions)
        };
        let tolerance = |_: usize, _: &[f64; FUNCTIONS]| AGREED;
        Self {
            from_k,
            most_delta,
            series: Chebyshev::fit((from_k, to_k), 1, tolerance, at),
            viscosity: OnceLock::new(),
        }
    }

    /// Viscosity as a table; `of` gives it from temperature and reduced density.
    fn viscosity(
        &self,
        t_k: f64,
        delta: f64,
        of: impl Fn(f64, f64) -> Result<f64, EosError>,
    ) -> Option<f64> {
        if !(delta > 0.0 && delta <= self.most_delta) {
            return None;
        }
        let series = self.viscosity.get_or_init(|| {
            let ends = (self.from_k, self.from_k + WIDTH_K);
            let shares: [f64; VISCOSITIES] = array::from_fn(|k| k as f64 / LAST_VISCOSITY);
            let at = |t_k: f64| {
                let mut values = [0.0; VISCOSITIES];
                for (value, w) in values.iter_mut().zip(shares) {
                    *value = of(t_k, w * self.most_delta).ok()?;
                }
                Some(polynomial::through(&shares, values))
            };
            Chebyshev::fit(ends, 1, |_, want| AGREED_VISCOSITY * want[0], at)
        });
        let powers = series.values(t_k)?;
        let w = delta / self.most_delta;
        Some(powers.iter().rev().fold(0.0, |sum, c| sum * w + c))
    }

    fn alpha(&self, t_k: f64, delta: f64) -> Option<(Alpha, Alpha)> {
        if !(delta > 0.0 && delta <= self.most_delta) {
            return None;
        }
        let c = self.series.values(t_k)?;
        let w = delta / self.most_delta;
        let mut a = Alpha::default();
        let mut power = delta;
        for j in 0..POWERS {
            let n = j as f64 + 1.0;
            let [value, t, tt] = [c[j], c[POWERS + j], c[2 * POWERS + j]].map(|v| v * power);
            a.a += value;
            a.d += n * value;
            a.dd += n * (n - 1.0) * value;
            a.t += t;
            a.dt += n * t;
            a.tt += tt;
            power *= w;
        }
        let ideal = Alpha {
            a: c[3 * POWERS],
            t: c[3 * POWERS + 1],
            tt: c[3 * POWERS + 2],
            ..Alpha::default()
        };
        Some((a, ideal))
    }
}

impl Embedded {
    /// The gas as a table, for a composition that is asked often.
    pub(super) fn thin_gas(&self, t_k: f64, rho_mol_m3: f64) -> Option<(Alpha, Alpha)> {
        let asked_often = self.known.stays || self.model.is_pure();
        let table = asked_often.then_some(&self.known.thin_gas)?;
        table.alpha(&self.model, &self.mixed, t_k, rho_mol_m3)
    }

    /// Its viscosity, Pa s, in the same way; `of` gives it from temperature and density, mol/m³.
    pub(super) fn thin_viscosity(
        &self,
        t_k: f64,
        rho_mol_m3: f64,
        of: impl Fn(f64, f64) -> Result<f64, EosError>,
    ) -> Option<f64> {
        let asked_often = self.known.stays || self.model.is_pure();
        let table = asked_often.then_some(&self.known.thin_gas)?;
        let piece = table.piece(&self.model, &self.mixed, t_k)?;
        let r = self.mixed.rho_r_mol_m3;
        piece.viscosity(t_k, rho_mol_m3 / r, |t_k, delta| of(t_k, delta * r))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fuel::{Composition, Library};

    /// `α` decides pressure, its slope and all caloric properties: each part of it is the equations'.
    #[test]
    fn the_table_is_the_equations_in_every_derivative() {
        let library = Library::embedded();
        for text in [
            "propane",
            "n-butane",
            "propane:60,n-butane:25,isobutane:10,propylene:5",
            "methane:92,ethane:5,nitrogen:3",
            "methane:60,carbon-dioxide:40",
        ] {
            let composition = Composition::parse(text, &library).expect("a fuel");
            let fluid = Embedded::new(&library, &composition).expect("equations");
            let (model, mixed, table) = (&fluid.model, &fluid.mixed, ThinGas::default());
            let mut found = 0;
            for i in 0..60 {
                let t_k = 232.0 + 3.1 * f64::from(i);
                let iso = model.isotherm(mixed, t_k);
                for share in [0.001, 0.01, 0.03, 0.07, 0.13, 0.19] {
                    let rho = share * mixed.rho_r_mol_m3;
                    let Some((a, ideal)) = table.alpha(model, mixed, t_k, rho) else {
                        continue;
                    };
                    found += 1;
                    let (want, gas) = (model.residual(mixed, &iso, rho), model.ideal(mixed, t_k));
                    for (got, want, by) in [
                        (a.a, want.a, 2e-9),
                        (a.t, want.t, 2e-9),
                        (a.tt, want.tt, 5e-9),
                        (a.d, want.d, 2e-8),
                        (a.dt, want.dt, 2e-8),
                        (a.dd, want.dd, 2e-7),
                        (ideal.a, gas.a, 2e-9),
                        (ideal.t, gas.t, 2e-9),
                        (ideal.tt, gas.tt, 5e-9),
                    ] {
                        assert!(
                            (got - want).abs() < by,
                            "{text} {t_k} {share}: {got} {want}"
                        );
                    }
                }
            }
            assert!(found > 100, "{text}: {found}");
        }
    }

    #[test]
    fn the_table_of_viscosities_is_the_correlations() {
        let library = Library::embedded();
        for text in ["propane", "propane:60,n-butane:40", "methane:95,ethane:5"] {
            let composition = Composition::parse(text, &library).expect("a fuel");
            let fluid = Embedded::new(&library, &composition).expect("equations");
            let transport = fluid.transport.as_ref().as_ref().expect("correlations");
            let of = |t_k, rho| transport.viscosity_pa_s(&fluid.mixed.x, t_k, rho);
            let table = ThinGas::default();
            let mut found = 0;
            for i in 0..60 {
                let t_k = 232.0 + 3.1 * f64::from(i);
                let piece = table.piece(&fluid.model, &fluid.mixed, t_k).expect("in it");
                for share in [0.001, 0.01, 0.03, 0.07, 0.13] {
                    let rho = share * fluid.mixed.rho_r_mol_m3;
                    let own = |t_k, delta| of(t_k, delta * fluid.mixed.rho_r_mol_m3);
                    let Some(got) = piece.viscosity(t_k, share, own) else {
                        continue;
                    };
                    found += 1;
                    let want = of(t_k, rho).expect("in range");
                    assert!(
                        (got / want - 1.0).abs() < 1e-5,
                        "{text} {t_k} {share}: {got} {want}"
                    );
                }
            }
            assert!(found > 100, "{text}: {found}");
        }
    }
}
