//! Other proportions of the same components, and what is kept of them.

use super::{Embedded, Known};
use crate::eos::EosError;
use crate::eos::mixture::Mixed;
use std::sync::{Arc, OnceLock, PoisonError};

/// Compositions of which a family of backends keeps what it worked out.
const FAMILY: usize = 64;

impl Embedded {
    /// [`crate::eos::Backend::recomposed`], known to be embedded.
    pub(in crate::eos) fn recomposed_here(&self, mole_fractions: &[f64]) -> Result<Self, EosError> {
        Ok(Self {
            mixed: self.recomposed_mix(mole_fractions)?,
            composition: self.composition.with_mole_fractions(mole_fractions),
            known: Arc::new(Known {
                critical: self.critical_of(mole_fractions),
                ..Known::default()
            }),
            ..self.clone()
        })
    }

    /// [`crate::eos::Backend::recomposed_to_stay`], known to be embedded.
    pub(super) fn kept(&self, mole_fractions: &[f64]) -> Result<Self, EosError> {
        let mixed = self.recomposed_mix(mole_fractions)?;
        let mut family = self.family.lock().unwrap_or_else(PoisonError::into_inner);
        let known = family.iter().find(|(x, _)| *x == mixed.x);
        let known = if let Some((_, known)) = known {
            Arc::clone(known)
        } else {
            if family.len() >= FAMILY {
                family.remove(0);
            }
            let known = Arc::new(Known {
                critical: self.critical_of(mole_fractions),
                stays: true,
                ..Known::default()
            });
            family.push((mixed.x, Arc::clone(&known)));
            known
        };
        drop(family);
        Ok(Self {
            mixed,
            composition: self.composition.with_mole_fractions(mole_fractions),
            known,
            ..self.clone()
        })
    }

    /// Where the critical point of a composition is kept: with this one's where they are the same.
    fn critical_of(&self, mole_fractions: &[f64]) -> Arc<OnceLock<(f64, f64)>> {
        if *mole_fractions == *self.mixed.x {
            Arc::clone(&self.known.critical)
        } else {
            Arc::default()
        }
    }

    /// Other proportions of the same components.
    fn recomposed_mix(&self, mole_fractions: &[f64]) -> Result<Mixed, EosError> {
        let n = self.model.fluids().len();
        let sum: f64 = mole_fractions.iter().sum();
        if mole_fractions.len() != n
            || mole_fractions.iter().any(|x| !(*x >= 0.0))
            || !((sum - 1.0).abs() < 1e-6)
        {
            return Err(EosError::NotAvailable {
                what: "other composition",
                fuel: self.label(),
                why: format!("it takes {n} mole fractions that add up to one").into(),
            });
        }
        Ok(self.model.mixed(mole_fractions))
    }
}
