//! NASA seven-coefficient polynomials of ideal-gas heat capacity, enthalpy and entropy.

use crate::fuel::Nasa;
use crate::quantity::GAS_CONSTANT_J_MOL_K;

/// Pressure of the standard state that entropies refer to, Pa.
///
/// The tables of the coefficients use 1 atm in part and 1 bar in part; the library that the reference
/// values come from uses 1 atm for all, and so do we. It matters below 0.1 K in flame temperature.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// `cp/R`, `h/(RT)` and `s/R` of one species at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduced {
    /// Heat capacity at constant pressure over the gas constant.
    pub cp: f64,
    /// Enthalpy, with the enthalpy of formation in it, over `RT`.
    pub h: f64,
    /// Entropy at the standard pressure over the gas constant.
    pub s: f64,
}

/// A temperature with its logarithm, taken once for all species.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Temperature {
    pub(crate) t_k: f64,
    ln_t: f64,
}

impl Temperature {
    pub(crate) fn new(t_k: f64) -> Self {
        Self {
            t_k,
            ln_t: t_k.ln(),
        }
    }

    /// All three properties from one set of coefficients.
    pub(crate) fn reduced(&self, a: &[f64; 7]) -> Reduced {
        let t = self.t_k;
        Reduced {
            cp: a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4]))),
            h: a[0]
                + t * (a[1] / 2.0 + t * (a[2] / 3.0 + t * (a[3] / 4.0 + t * a[4] / 5.0)))
                + a[5] / t,
            s: a[0] * self.ln_t
                + t * (a[1] + t * (a[2] / 2.0 + t * (a[3] / 3.0 + t * a[4] / 4.0)))
                + a[6],
        }
    }
}

/// Reduced properties at a temperature.
///
/// `cp/R = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴`,
/// `h/RT = a1 + a2 T/2 + a3 T²/3 + a4 T³/4 + a5 T⁴/5 + a6/T`,
/// `s/R = a1 ln T + a2 T + a3 T²/2 + a4 T³/3 + a5 T⁴/4 + a7`
///
/// **Valid:** inside `nasa.t_k`; the caller checks, see [`in_range`].
/// **Source:** `tm4513`.
///
/// ```
/// use fuelwright::combustion::equilibrium::{polynomial, Products};
/// let n2 = Products::embedded().nasa("N2").expect("nitrogen is a product");
/// let at_25c = polynomial::reduced(n2, 298.15);
/// assert!(at_25c.h.abs() < 1e-6);            // an element in its reference state
/// assert!((at_25c.cp - 3.503).abs() < 1e-3);
/// ```
pub fn reduced(nasa: &Nasa, t_k: f64) -> Reduced {
    let a = if t_k < nasa.t_k[1] {
        &nasa.low
    } else {
        &nasa.high
    };
    Temperature::new(t_k).reduced(a)
}

/// Molar enthalpy with the enthalpy of formation in it, J/mol.
pub fn enthalpy_j_mol(nasa: &Nasa, t_k: f64) -> f64 {
    reduced(nasa, t_k).h * GAS_CONSTANT_J_MOL_K * t_k
}

/// Whether a temperature lies in the range of the coefficients. Some sets are tabulated from 300 K for
/// a reference temperature of 298.15 K that their own constants use: 2 K below the lower end count as in it.
pub fn in_range(nasa: &Nasa, t_k: f64) -> bool {
    (nasa.t_k[0] - 2.0..=nasa.t_k[2]).contains(&t_k)
}
