//! What goes into an equilibrium, and why none is found.

use super::species::ELEMENTS;

/// Why no equilibrium was found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum EquilibriumError {
    /// The products would be hotter than the polynomials go.
    #[error("the products would be hotter than {limit_k} K, where the polynomials end")]
    TooHot {
        /// End of the range, K.
        limit_k: f64,
    },
    /// The products would be colder than they are computed at.
    #[error(
        "the products would be colder than {limit_k} K, the lowest temperature they are computed at"
    )]
    TooCold {
        /// End of the range, K.
        limit_k: f64,
    },
    /// Asked at a temperature outside the range.
    #[error("{t_k} K is outside the range of the products, {lower_k} K to {upper_k} K")]
    TemperatureOutOfRange {
        /// Asked, K.
        t_k: f64,
        /// Lower end, K.
        lower_k: f64,
        /// Upper end, K.
        upper_k: f64,
    },
    /// Pressure, atoms or enthalpy that cannot be.
    #[error("{what} is {value}, which no mixture has")]
    Impossible {
        /// Which input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Carbon that no gas of the table can take up.
    #[error(
        "there is more carbon ({carbon}) than oxygen ({oxygen}) and hydrogen ({hydrogen}) can hold as gas, in moles of atoms: the rest would be soot"
    )]
    TooMuchCarbon {
        /// Carbon, mol.
        carbon: f64,
        /// Oxygen, mol.
        oxygen: f64,
        /// Hydrogen, mol.
        hydrogen: f64,
    },
    /// The iteration did not end; last state included.
    #[error(
        "equilibrium did not converge after {steps} steps, last at {t_k} K with atoms off by {worst:e}"
    )]
    NotConverged {
        /// Steps made.
        steps: usize,
        /// Last temperature, K.
        t_k: f64,
        /// Worst imbalance of an element, as a share.
        worst: f64,
    },
}

/// What goes in: atoms and enthalpy of any amount of reactants, and the pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reactants {
    /// Moles of atoms, in the order of [`super::Element`].
    pub atoms_mol: [f64; ELEMENTS],
    /// Enthalpy with enthalpies of formation, J, for the same amount.
    pub enthalpy_j: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
}
