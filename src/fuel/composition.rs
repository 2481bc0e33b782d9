//! What a fuel stream is made of: one fuel, or a blend by mole fractions.

use super::Fuel;
use super::library::{Basis, Blend, Share};
use super::{FuelError, Library};
use crate::quantity::told::errors;
use std::sync::Arc;

/// Most components a composition may have.
pub const MAX_COMPONENTS: usize = 16;
/// How far from 100 the percentages of a blend may add up to; within it they are scaled to 100.
pub const SUM_TOLERANCE_PERCENT: f64 = 0.01;

/// One component of a composition.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The fuel.
    pub fuel: Arc<Fuel>,
    /// Its share of the moles.
    pub mole_fraction: f64,
}

errors! {
    /// Why a text is no composition.
    pub enum CompositionError {
        Empty =>
            "no fuel is named; write a fuel such as `propane` or a blend such as `propane:70,n-butane:30`";
        Fuel(FuelError);
        Basis { basis: String } =>
            "`@{basis}` is not a basis for percentages; append `@mass`, `@volume` (of the liquids at 15 °C), or nothing for mole percent";
        NoVolume { name: String } =>
            "`{name}` is no liquid at 15 °C, where shares by volume are stated; give mole percent or append `@mass`";
        NoShare {
            /// The component as typed.
            part: String,
            text: String,
        } =>
            "`{part}` in the blend `{text}` has no percentage; write for example `propane:70,n-butane:30`";
        NotANumber { name: String, share: String } =>
            "`{share}` is not a percentage for `{name}`; write a plain number such as `70` or `2.5`";
        ShareOutOfRange { name: String, percent: f64 } =>
            "{percent} is not a share of `{name}`; percentages are above 0 and up to 100";
        Sum { text: String, sum_percent: f64 } =>
            "the percentages of `{text}` add up to {sum_percent}, not to 100 (within {SUM_TOLERANCE_PERCENT})";
        Duplicate { name: String, text: String } =>
            "`{name}` stands twice in the blend `{text}`; write it once";
        TooMany { count: usize } =>
            "{count} components are too many; a blend has up to {MAX_COMPONENTS}";
    }
}

/// One fuel or a blend; mole fractions add up to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    parts: Arc<[Part]>,
    label: Arc<str>,
}

impl Composition {
    /// Reads `propane`, a blend in mole percent `propane:70,n-butane:30`, a blend in mass percent
    /// `propane:70,n-butane:30@mass`, in percent of the liquids' volumes at 15 °C before they are mixed
    /// `gasoline:90,ethanol:10@volume`, or the name of a blend in the library such as `lpg-propane`, which may also be
    /// a part of a blend: `propane:55,air:45`.
    ///
    /// Mole fractions from mass percent: `x_i = (w_i/M_i) / Σ (w_j/M_j)`; from percent of volume
    /// `w_i = φ_i ρ_i`.
    ///
    /// **Valid:** up to [`MAX_COMPONENTS`] different fuels, each written once, percentages above 0 that add up to 100
    /// within [`SUM_TOLERANCE_PERCENT`]; what remains is removed by scaling.
    ///
    /// # Errors
    /// [`CompositionError`]: what is wrong and how to write it.
    ///
    /// ```
    /// use fuelwright::fuel::{Composition, Library};
    /// let library = Library::embedded();
    /// let blend = Composition::parse("Propane:70, butane:30", &library)?;
    /// assert_eq!(blend.label(), "propane:70,n-butane:30");
    /// assert!((blend.mole_fractions()[0] - 0.7).abs() < 1e-12);
    /// let short = Composition::parse("propane:70,n-butane:20", &library).unwrap_err();
    /// assert!(short.to_string().contains("add up to 90"));
    /// # Ok::<(), fuelwright::fuel::composition::CompositionError>(())
    /// ```
    pub fn parse(text: &str, library: &Library) -> Result<Self, CompositionError> {
        let text = text.trim();
        let (list, basis) = match text.split_once('@') {
            None => (text, Basis::Mole),
            Some((list, basis)) => {
                let basis = basis.trim();
                let known = Basis::of(&basis.to_lowercase());
                let unknown = || CompositionError::Basis {
                    basis: basis.to_owned(),
                };
                (list, known.ok_or_else(unknown)?)
            }
        };
        if list.trim().is_empty() {
            return Err(CompositionError::Empty);
        }
        let pieces: Vec<&str> = list.split(',').map(str::trim).collect();
        if pieces.len() > MAX_COMPONENTS {
            return Err(CompositionError::TooMany {
                count: pieces.len(),
            });
        }
        if let [name] = pieces[..]
            && !name.contains(':')
        {
            if let Some(blend) = library.blend(name) {
                return Self::named(blend, library);
            }
            let fuel = library.fuel(name)?;
            return Ok(Self::pure(&fuel));
        }
        let mut written: Vec<(Self, f64)> = Vec::with_capacity(pieces.len());
        for piece in pieces {
            let (part, percent) = share(piece, text, library)?;
            if written.iter().any(|(w, _)| w.label == part.label) {
                return Err(CompositionError::Duplicate {
                    name: part.label.to_string(),
                    text: text.to_owned(),
                });
            }
            written.push((part, percent));
        }
        let sum_percent: f64 = written.iter().map(|s| s.1).sum();
        // the second term lets 99.99 pass whatever its last binary digit
        if (sum_percent - 100.0).abs() > SUM_TOLERANCE_PERCENT + 1e-9 {
            return Err(CompositionError::Sum {
                text: text.to_owned(),
                sum_percent: (sum_percent * 1e6).round() / 1e6,
            });
        }
        let blend = Self::from_shares(&written, basis)?;
        match blend.parts.len() {
            0..=MAX_COMPONENTS => Ok(blend),
            count => Err(CompositionError::TooMany { count }),
        }
    }

    /// Of fuels and blends in shares; a fuel that several of them hold is one part.
    fn from_shares(shares: &[(Self, f64)], basis: Basis) -> Result<Self, CompositionError> {
        if let [(one, _)] = shares {
            return Ok(one.clone());
        }
        let moles: Vec<f64> = shares
            .iter()
            .map(|(part, percent)| Ok(percent / part.per_mole(basis)?))
            .collect::<Result<_, CompositionError>>()?;
        let total: f64 = moles.iter().sum();
        let mut parts: Vec<Part> = Vec::new();
        for ((blend, _), moles) in shares.iter().zip(&moles) {
            for part in &*blend.parts {
                let mole_fraction = part.mole_fraction * moles / total;
                match parts.iter_mut().find(|p| p.fuel.name == part.fuel.name) {
                    Some(same) => same.mole_fraction += mole_fraction,
                    None => parts.push(Part {
                        fuel: Arc::clone(&part.fuel),
                        mole_fraction,
                    }),
                }
            }
        }
        let list: Vec<String> = shares
            .iter()
            .map(|(part, percent)| format!("{}:{percent}", part.label))
            .collect();
        Ok(Self {
            parts: parts.into(),
            label: format!("{}{}", list.join(","), basis.suffix()).into(),
        })
    }

    /// What a mole of it is in the basis: itself, kg, or m³ of its liquids at 15 °C.
    fn per_mole(&self, basis: Basis) -> Result<f64, CompositionError> {
        let of = |part: &Part| match basis {
            Basis::Mole => Ok(part.mole_fraction),
            Basis::Mass => Ok(part.mole_fraction * part.fuel.molar_mass_kg_mol),
            Basis::Volume => {
                let none = || CompositionError::NoVolume {
                    name: part.fuel.name.clone(),
                };
                let density = part.fuel.liquid_density_15c_kg_m3().ok_or_else(none)?;
                Ok(part.mole_fraction * part.fuel.molar_mass_kg_mol / density)
            }
        };
        self.parts.iter().map(of).sum()
    }

    /// A blend of the library; its label is its name.
    fn named(blend: &Blend, library: &Library) -> Result<Self, CompositionError> {
        let share = |s: &Share| Ok((Self::pure(&library.fuel(&s.fuel)?), s.percent));
        let shares = blend.parts.iter().map(share);
        let shares: Vec<(Self, f64)> = shares.collect::<Result<_, FuelError>>()?;
        let mut composition = Self::from_shares(&shares, blend.basis)?;
        composition.label = blend.name.as_str().into();
        Ok(composition)
    }

    /// One fuel alone.
    pub fn pure(fuel: &Arc<Fuel>) -> Self {
        let part = Part {
            fuel: Arc::clone(fuel),
            mole_fraction: 1.0,
        };
        Self {
            parts: Arc::from([part]),
            label: fuel.name.as_str().into(),
        }
    }

    /// From parts whose mole fractions add up to one.
    pub fn from_parts(parts: Vec<Part>, label: &str) -> Self {
        Self {
            parts: parts.into(),
            label: label.into(),
        }
    }
    /// The components.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }
    /// Name for messages and tables, e.g. `propane` or `propane:70,n-butane:30`; reading it gives
    /// the same composition again.
    pub fn label(&self) -> &str {
        &self.label
    }
    /// Mole fractions in the order of the parts.
    pub fn mole_fractions(&self) -> Vec<f64> {
        self.parts.iter().map(|p| p.mole_fraction).collect()
    }
    /// `M = Σ x_i M_i`, kg/mol.
    pub fn molar_mass_kg_mol(&self) -> f64 {
        self.parts
            .iter()
            .map(|p| p.mole_fraction * p.fuel.molar_mass_kg_mol)
            .sum()
    }
    /// The same components in other proportions (which must add up to one).
    #[must_use]
    pub fn with_mole_fractions(&self, x: &[f64]) -> Self {
        let parts = self.parts.iter().zip(x).map(|(p, &mole_fraction)| Part {
            fuel: Arc::clone(&p.fuel),
            mole_fraction,
        });
        Self {
            parts: parts.collect(),
            label: Arc::clone(&self.label),
        }
    }
}

/// One `name:percent` of a blend; the name of a fuel, or of a blend.
fn share(
    piece: &str,
    text: &str,
    library: &Library,
) -> Result<(Composition, f64), CompositionError> {
    let Some((name, number)) = piece.split_once(':') else {
        return Err(CompositionError::NoShare {
            part: piece.to_owned(),
            text: text.to_owned(),
        });
    };
    let number = number.trim().trim_end_matches('%').trim_end();
    let part = match library.blend(name) {
        Some(blend) => Composition::named(blend, library)?,
        None => Composition::pure(&library.fuel(name)?),
    };
    let percent: f64 = number.parse().map_err(|_| CompositionError::NotANumber {
        name: part.label.to_string(),
        share: number.to_owned(),
    })?;
    if percent > 0.0 && percent <= 100.0 + SUM_TOLERANCE_PERCENT {
        Ok((part, percent))
    } else {
        Err(CompositionError::ShareOutOfRange {
            name: part.label.to_string(),
            percent,
        })
    }
}
