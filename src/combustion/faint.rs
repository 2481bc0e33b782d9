//! Flames that the eye and the flame rod hardly tell.

use crate::fuel::Composition;

/// Share of hydrogen in the moles of what burns, from which a flame is taken for one of hydrogen; our choice.
pub const MUCH_HYDROGEN: f64 = 0.5;
/// Share of methanol in the moles of what burns, from which a flame is taken for one of methanol; our choice.
const MUCH_METHANOL: f64 = 0.5;

/// A flame that can hardly be seen by day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faint {
    /// Of hydrogen: no soot, hardly any ions.
    Hydrogen,
    /// Of methanol: no soot.
    Methanol,
}

impl Faint {
    /// Word for texts.
    pub fn name(self) -> &'static str {
        match self {
            Self::Hydrogen => "hydrogen",
            Self::Methanol => "methanol",
        }
    }
}

/// Whether the flame of a fuel can hardly be seen by day, and as which.
///
/// **Source:** common knowledge of the trade; the shares are our choice.
///
/// ```
/// use fuelwright::combustion::faint::{Faint, faint_by_day};
/// use fuelwright::fuel::{Composition, Library};
/// let library = Library::embedded();
/// let of = |text: &str| faint_by_day(&Composition::parse(text, &library).expect("known"));
/// assert_eq!(of("hydrogen"), Some(Faint::Hydrogen));
/// assert_eq!(of("hydrogen:60,methane:40"), Some(Faint::Hydrogen));
/// assert_eq!(of("hydrogen:20,methane:80"), None);
/// assert_eq!(of("methanol"), Some(Faint::Methanol));
/// ```
pub fn faint_by_day(fuel: &Composition) -> Option<Faint> {
    if hydrogen_share(fuel) >= MUCH_HYDROGEN {
        Some(Faint::Hydrogen)
    } else if share(fuel, "methanol") >= MUCH_METHANOL {
        Some(Faint::Methanol)
    } else {
        None
    }
}

/// Share of hydrogen in the moles of what burns.
pub fn hydrogen_share(fuel: &Composition) -> f64 {
    share(fuel, "hydrogen")
}

fn share(fuel: &Composition, name: &str) -> f64 {
    let burns = fuel.parts().iter().filter(|p| p.fuel.combustion.is_some());
    let (mut named, mut all) = (0.0, 0.0);
    for part in burns {
        all += part.mole_fraction;
        if part.fuel.name == name {
            named += part.mole_fraction;
        }
    }
    if all > 0.0 { named / all } else { 0.0 }
}
