//! Named coefficient lists of a viscosity model, read out of a fuel file with a clear error.

use crate::eos::EosError;
use crate::fuel::{Fuel, Viscosity};
use std::cell::RefCell;
use std::collections::BTreeSet;

/// The lists of one fuel's `[viscosity]` table.
#[derive(Debug)]
pub(super) struct Lists<'a> {
    fuel: &'a Fuel,
    viscosity: &'a Viscosity,
    /// Names asked for.
    asked: RefCell<BTreeSet<&'static str>>,
}

/// Lists that a file may carry though its model does not ask for them: size and well depth of the molecule.
const DESCRIBING: [&str; 2] = ["sigma_m", "epsilon_over_k_k"];

impl<'a> Lists<'a> {
    pub(super) fn of(fuel: &'a Fuel) -> Result<Self, EosError> {
        let viscosity = fuel
            .viscosity
            .as_ref()
            .ok_or_else(|| EosError::NotAvailable {
                what: "viscosity",
                fuel: fuel.name.clone(),
                why: "its file has no viscosity model".into(),
            })?;
        Ok(Self {
            fuel,
            viscosity,
            asked: RefCell::default(),
        })
    }

    pub(super) fn table(&self) -> &'a Viscosity {
        self.viscosity
    }

    pub(super) fn model(&self) -> &'a str {
        &self.viscosity.model
    }

    pub(super) fn refuse(&self, why: String) -> EosError {
        EosError::NotAvailable {
            what: "viscosity",
            fuel: self.fuel.name.clone(),
            why: why.into(),
        }
    }

    /// A list that need not be there.
    pub(super) fn optional(&self, name: &'static str) -> Option<&'a [f64]> {
        self.asked.borrow_mut().insert(name);
        self.viscosity.coefficients.get(name).map(Vec::as_slice)
    }

    /// Lists that nobody asked for.
    pub(super) fn unread(&self) -> Vec<String> {
        let asked = self.asked.borrow();
        let names = self.viscosity.coefficients.keys();
        names
            .filter(|n| !asked.contains(n.as_str()) && !DESCRIBING.contains(&n.as_str()))
            .cloned()
            .collect()
    }

    /// A list that must be there.
    pub(super) fn list(&self, name: &'static str) -> Result<&'a [f64], EosError> {
        self.optional(name)
            .ok_or_else(|| self.refuse(format!("coefficient list `{name}` is missing")))
    }

    /// A list of exactly `N` numbers.
    pub(super) fn array<const N: usize>(&self, name: &'static str) -> Result<[f64; N], EosError> {
        let list = self.list(name)?;
        list.try_into().map_err(|_| {
            self.refuse(format!(
                "coefficient list `{name}` has {} numbers, not {N}",
                list.len()
            ))
        })
    }

    /// A single number.
    pub(super) fn one(&self, name: &'static str) -> Result<f64, EosError> {
        Ok(self.array::<1>(name)?[0])
    }

    /// Lists of one length, side by side: row `i` holds number `i` of each.
    pub(super) fn rows<const N: usize>(
        &self,
        names: [&'static str; N],
    ) -> Result<Vec<[f64; N]>, EosError> {
        let first = self.list(names[0])?;
        let mut rows = vec![[0.0; N]; first.len()];
        for (column, name) in names.iter().enumerate() {
            let list = self.list(name)?;
            if list.len() != rows.len() {
                return Err(self.refuse(format!(
                    "coefficient lists `{}` and `{name}` differ in length",
                    names[0]
                )));
            }
            for (row, value) in rows.iter_mut().zip(list) {
                row[column] = *value;
            }
        }
        Ok(rows)
    }
}
