//! What goes into an equilibrium, and why none is found.

use super::species::ELEMENTS;
use crate::quantity::show::number;
use crate::quantity::told::errors;

errors! {
    /// Why no equilibrium was found.
    #[derive(Copy)]
    pub enum EquilibriumError {
        TooHot { limit_k: f64 } =>
            "the products would be hotter than {limit_k} K, where the polynomials end";
        TooCold { limit_k: f64 } =>
            "the products would be colder than {limit_k} K, the lowest temperature they are computed at";
        TemperatureOutOfRange { t_k: f64, lower_k: f64, upper_k: f64 } =>
            "{t_k} K is outside the range of the products, {lower_k} K to {upper_k} K";
        Impossible { what: &'static str, value: f64 } => "{what} is {value}, which no mixture has";
        TooMuchCarbon { carbon: f64, oxygen: f64, hydrogen: f64 } =>
            "there is more carbon ({carbon}) than oxygen ({oxygen}) and hydrogen ({hydrogen}) can hold as gas, in moles of atoms: the rest would be soot";
        NotConverged { steps: usize, t_k: f64, worst: f64 } =>
            "equilibrium did not converge after {} steps, last at {} K with atoms off by {}", steps, t_k, number(worst);
    }
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
