//! Whether the numbers of a user's fuel files, sound one by one, describe a fluid: what an equation of state or a set
//! of correlations gives is held against the rest of the file and against what every fluid does.
//!
//! The program's own files are not checked when it starts; tests put them through the same checks. Limits are our
//! choice: two to five times the farthest that any file of the program lies off.

mod correlation;
mod equation;
mod pair;
mod viscosity;

use super::pure_saturation::ancillary;
use super::transport::pure_surface_tension_n_m;
use crate::fuel::{Fuel, FuelError, Kind, Library, Mistake, Problem, UserFiles};
use crate::quantity::show::{number, short};
use std::ops::RangeInclusive;

/// The library of the program with a user's files `(file name, text)` added, all of them checked.
///
/// # Errors
/// Everything that is wrong in any of the files.
///
/// ```
/// let files = vec![("mine.toml".to_owned(), "name = \"mine\"\nkind = 7".to_owned())];
/// let errors = fuelwright::eos::check::library_with(files).unwrap_err();
/// let told: Vec<String> = errors.iter().map(ToString::to_string).collect();
/// assert!(told.contains(&"fuel file `mine.toml`, line 2: `kind` is a number, but must be text".to_owned()));
/// assert!(told.contains(&"fuel file `mine.toml`: `formula` is missing".to_owned()));
/// ```
pub fn library_with(files: Vec<(String, String)>) -> Result<Library, Vec<FuelError>> {
    checked(UserFiles::read(files))
}

/// What the checks of a user's files find in those of the program; nothing, as tests see to.
pub fn problems_of_the_program() -> Vec<FuelError> {
    checked(UserFiles::of_the_program())
        .err()
        .unwrap_or_default()
}

fn checked(mut files: UserFiles) -> Result<Library, Vec<FuelError>> {
    for (file, fuel) in files.fuels().to_vec() {
        for mistake in mistakes(files.library(), &fuel) {
            files.note(&file, mistake);
        }
    }
    for pair in files.pairs().to_vec() {
        for mistake in pair::mistakes(files.library(), &pair) {
            files.note(&pair.file, mistake);
        }
    }
    files.finish()
}

fn mistakes(library: &Library, fuel: &Fuel) -> Vec<Mistake> {
    let mut found = match fuel.kind {
        Kind::Equation => equation::mistakes(library, fuel),
        Kind::Correlation => correlation::mistakes(library, fuel),
    };
    if found.is_empty() {
        found.extend(surface_tension(fuel));
    }
    // a viscosity takes its densities from the equation
    if found.is_empty() && fuel.viscosity.is_some() {
        found.extend(viscosity::mistakes(library, fuel));
    }
    found
}

/// The law of Eötvös: surface tension times molar volume to the power of two thirds falls evenly to the critical
/// temperature, by some 2e-7 J/K for a mole to the power of two thirds, half of it for alcohols.
fn surface_tension(fuel: &Fuel) -> Vec<Mistake> {
    /// Our choice: 1e-7 and 2.5e-7 are the ends of the library.
    const SLOPE: RangeInclusive<f64> = 0.8e-7..=3e-7;
    let mut f = Findings::default();
    let density: Box<dyn Fn(f64) -> f64> = match (&fuel.equation, &fuel.correlation) {
        (Some(e), _) => Box::new(|t_k| ancillary(&e.ancillary.liquid_density, t_k)),
        (None, Some(k)) => Box::new(|t_k| k.density.at(t_k) / fuel.molar_mass_kg_mol),
        (None, None) => return f.0,
    };
    let Some(s) = &fuel.surface_tension else {
        return f.0;
    };
    let (low, high) = match (&fuel.equation, &fuel.correlation) {
        (None, Some(k)) => (k.t_range_k[0], k.t_range_k[1]),
        (Some(e), _) => (e.t_triple_k, 0.95 * s.t_critical_k),
        (None, None) => return f.0,
    };
    for t_k in temperatures(low, high, 8) {
        let sigma = pure_surface_tension_n_m(fuel, t_k).unwrap_or(f64::NAN);
        let slope = sigma / (density(t_k).powf(2.0 / 3.0) * (s.t_critical_k - t_k));
        let asked = Asked {
            key: "surface_tension",
            unit: "N/m",
            look_at: "look for a wrong digit or sign among its numbers",
        };
        let what = format!("a surface tension {}", at(t_k));
        let want = "0.4 to 1.5 times what the law of Eötvös gives with the density of the liquid";
        if !f.need(SLOPE.contains(&slope), asked, what, sigma, want) {
            break;
        }
    }
    f.0
}

/// Gathers what is wrong; of each check the first place where it fails.
#[derive(Default)]
struct Findings(Vec<Mistake>);

/// What a check asks about.
#[derive(Clone, Copy)]
struct Asked {
    /// Key of the coefficients.
    key: &'static str,
    /// Unit of the value.
    unit: &'static str,
    /// Where the mistake may be.
    look_at: &'static str,
}

impl Findings {
    /// Notes a value for which something does not hold, `false` then.
    fn need(
        &mut self,
        holds: bool,
        asked: Asked,
        what: impl Into<String>,
        value: f64,
        must_be: impl Into<String>,
    ) -> bool {
        if !holds {
            let problem = Problem::Gives {
                what: what.into(),
                value,
                unit: asked.unit,
                must_be: must_be.into(),
                look_at: asked.look_at,
            };
            self.0.push(Mistake::new(asked.key, problem));
        }
        holds
    }
    fn none(&mut self, asked: Asked, what: impl Into<String>) {
        let problem = Problem::GivesNone {
            what: what.into(),
            look_at: asked.look_at.to_owned(),
        };
        self.0.push(Mistake::new(asked.key, problem));
    }
}

/// Vapour pressure at the flash point against the lower limit in air: where the vapour over a liquid just burns, the
/// two are nearly the same share of the air pressure. Standards name different flash points and limits; the pair that
/// fits best counts. Common practice, no source.
fn flash_point(
    f: &mut Findings,
    key: &'static str,
    fuel: &Fuel,
    vapour_pressure_pa: &dyn Fn(f64) -> Option<f64>,
) {
    /// Most that both may differ, as a factor (our choice: 1.7 in the library).
    const FLASH: f64 = 2.2;
    let limits = fuel.safety.as_ref().map_or(&[][..], |s| &s.limits);
    let pairs = limits.iter().filter_map(|l| {
        let (t_k, lower) = (l.flash_point_k?, l.lower?);
        let sound = (100.0..600.0).contains(&t_k) && lower > 0.0;
        if !sound {
            return None; // told already
        }
        let share = vapour_pressure_pa(t_k)? / AIR_PA;
        Some((t_k, lower, share, (share / lower).ln().abs()))
    });
    let Some((t_k, lower, share, off)) = pairs.min_by(|a, b| a.3.total_cmp(&b.3)) else {
        return;
    };
    let asked = Asked {
        key,
        unit: "",
        look_at: "look at the vapour pressure, the flash points and the lower limits in air",
    };
    let what = format!(
        "a share of vapour in air at the flash point, {} K,",
        number(t_k)
    );
    let want = format!("the lower limit in air, {lower}, within a factor of {FLASH}");
    f.need(off <= FLASH.ln(), asked, what, share, want);
}

/// Pressure of the air at a flash point, Pa.
const AIR_PA: f64 = 101_325.0;

/// `n + 1` temperatures from one to another.
fn temperatures(from_k: f64, to_k: f64, n: u32) -> impl Iterator<Item = f64> {
    (0..=n).map(move |i| from_k + (to_k - from_k) * f64::from(i) / f64::from(n))
}

/// A range of factors of a value in messages.
fn times(range: &RangeInclusive<f64>, value: f64) -> String {
    format!(
        "{} to {} times {}",
        short(*range.start()),
        short(*range.end()),
        short(value)
    )
}

/// A temperature in messages.
fn at(t_k: f64) -> String {
    format!("at {} K", number(t_k))
}
