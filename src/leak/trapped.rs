//! Liquid in sections that closures can isolate: can it be there, and what pressure does it reach.

use super::sections::{Section, sections};
use crate::eos::{Backend, EosError, Phase};
use crate::numerics::root::brent;
use crate::quantity::{
    AbsolutePressure, ThermodynamicTemperature, kelvin, kelvin_difference, pascals_absolute,
};
use crate::tank::trapped::trapped_liquid;
use crate::train::plan::tank_supply;
use crate::train::rig::{Rig, Supply, TankPosition};
use crate::train::ways::{RestPressure, at_rest};
use crate::train::{Draw, Part, PartKind};
use std::sync::Arc;

/// Rise over which the pressure by temperature is taken, K.
const RISE_K: f64 = 5.0;
/// Furthest rise that is looked at for the rating, K.
const FURTHEST_K: f64 = 60.0;
/// Accuracy of the temperature at which the rating is reached, K.
const TOLERANCE_K: f64 = 1e-4;
/// How near its dew pressure vapour counts as condensing: saturated vapour does.
const DEW_SLACK: f64 = 1e-3;

/// What a section holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Contents {
    /// Liquid, in ordinary work.
    Liquid {
        /// Why.
        because: &'static str,
    },
    /// Vapour, which liquid can replace.
    MayFill {
        /// How.
        because: &'static str,
    },
    /// Gas on every day of the site.
    Gas,
    /// Not known.
    Unknown {
        /// Why.
        because: String,
    },
}

impl Contents {
    /// Whether liquid is or can be there.
    pub fn liquid(&self) -> bool {
        matches!(self, Self::Liquid { .. } | Self::MayFill { .. })
    }
    /// A word for tables and JSON.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Liquid { .. } => "liquid",
            Self::MayFill { .. } => "can fill",
            Self::Gas => "gas",
            Self::Unknown { .. } => "not known",
        }
    }
    /// Why.
    pub fn because(&self) -> &str {
        match self {
            Self::Liquid { because } | Self::MayFill { because } => because,
            Self::Gas => "below its dew pressure on the coldest day",
            Self::Unknown { because } => because,
        }
    }
}

/// What becomes of a section full of liquid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heating {
    /// Temperature at which it is closed.
    pub closed_at: ThermodynamicTemperature,
    /// Pressure then.
    pub pressure: AbsolutePressure,
    /// Rise of pressure by temperature over the first 5 K, Pa/K.
    pub rise_pa_k: f64,
    /// Temperature at which the weakest part's rating is reached; `None`: no rating is known, or not
    /// within 60 K.
    pub rating_reached: Option<ThermodynamicTemperature>,
    /// Pressure on the hottest day of the site, if it is hotter.
    pub hottest: Option<(ThermodynamicTemperature, AbsolutePressure)>,
}

/// A section that closures can isolate, and what liquid would do in it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrappedSection {
    /// Where.
    pub section: Section,
    /// What it holds.
    pub contents: Contents,
    /// Pressure with the flow stopped.
    pub at_rest: AbsolutePressure,
    /// Part with the lowest rating, its ends included.
    pub weakest: Option<(String, AbsolutePressure)>,
    /// Parts whose rating is not given.
    pub unrated: Vec<String>,
    /// Relief valve with its set pressure.
    pub relief: Option<(String, AbsolutePressure)>,
    /// A tapping it can be emptied through.
    pub bleed: Option<String>,
    /// Pressure it reaches if it is full of liquid and warms; `None` for gas.
    pub heating: Option<Result<Heating, String>>,
}

/// Every section that closures can isolate, with the liquid it may hold.
///
/// Liquid is there where it is drawn, upstream of a vaporiser. Vapour fills a section with liquid where
/// the line can be as cold as the tank: it condenses there until the line is full. Behind a regulator it
/// does only if its pressure at rest is above the dew pressure of the coldest day. The section is taken as
/// closed at the site's temperature, full and rigid.
///
/// **Valid:** fuels with an equation of state. **Errors:** no state of the fuel in the tank.
/// **Source:** the pressure as [`crate::tank::trapped`] has it; the tree of the parts for the sections.
///
/// # Errors
/// As [`tank_supply`].
pub fn trapped_sections(rig: &Rig, fuel: &dyn Backend) -> Result<Vec<TrappedSection>, EosError> {
    let supplied = Supplied::of(rig, fuel)?;
    let rest = at_rest(&rig.train, supplied.pressure, Part::holds);
    let found = sections(&rig.train);
    Ok(found
        .into_iter()
        .map(|section| supplied.look(section, &rest))
        .collect())
}

/// What the source gives.
struct Supplied<'a> {
    rig: &'a Rig,
    fuel: &'a dyn Backend,
    drawn: Arc<dyn Backend>,
    pressure: AbsolutePressure,
    /// The fuel leaves the source as liquid: why.
    liquid: Option<&'static str>,
}

/// Pressure in tank or main with nothing drawn, and the fuel as it is drawn.
///
/// # Errors
/// As [`tank_supply`].
pub fn supply_at_rest(
    rig: &Rig,
    fuel: &dyn Backend,
) -> Result<(AbsolutePressure, Arc<dyn Backend>), EosError> {
    match &rig.supply {
        Supply::Tank(tank) => {
            let t = tank.temperature.unwrap_or(rig.site.ambient);
            let (drawn, supply) = tank_supply(fuel, tank, t)?;
            let p_pa = match supply {
                crate::train::Supply::At { pressure, .. }
                | crate::train::Supply::AtRest { pressure, .. } => pressure.pascals(),
                crate::train::Supply::Saturated { .. } => fuel.bubble_t(t.value)?.pressure_pa,
            };
            Ok((pascals_absolute(p_pa), drawn))
        }
        Supply::Mains(main) => {
            let own = fuel.composition().mole_fractions();
            Ok((main.pressure, fuel.recomposed_to_stay(&own)?))
        }
    }
}

impl<'a> Supplied<'a> {
    fn of(rig: &'a Rig, fuel: &'a dyn Backend) -> Result<Self, EosError> {
        let (pressure, drawn) = supply_at_rest(rig, fuel)?;
        let liquid = match &rig.supply {
            Supply::Tank(tank) if tank.draw == Draw::Liquid => Some("liquid is drawn"),
            Supply::Tank(tank) if tank.position != TankPosition::Upright => {
                Some("the cylinder does not stand upright: its vapour outlet is in the liquid")
            }
            Supply::Tank(_) => None,
            Supply::Mains(main) => {
                let t = main.temperature.unwrap_or(rig.site.ambient);
                let state = fuel.state_pt(main.pressure.pascals(), t.value)?;
                (state.phase == Phase::Liquid).then_some("the main brings liquid")
            }
        };
        Ok(Self {
            rig,
            fuel,
            drawn,
            pressure,
            liquid,
        })
    }

    fn look(&self, section: Section, rest: &[RestPressure<'_>]) -> TrappedSection {
        let at_rest = self.rest_pressure(&section, rest);
        let contents = self.contents(&section, at_rest);
        let (weakest, unrated) = self.ratings(&section);
        let inside: Vec<&Part> = section
            .parts
            .iter()
            .filter_map(|name| self.rig.train.part(name))
            .collect();
        let relief = inside.iter().find_map(|p| match &p.kind {
            PartKind::ReliefValve(r) => Some((p.name.clone(), r.set_pressure)),
            _ => None,
        });
        let bleed = inside.iter().find_map(|p| match &p.kind {
            PartKind::Tapping(t) if t.bleed => Some(p.name.clone()),
            _ => None,
        });
        let heating = contents.liquid().then(|| {
            self.heating(&contents, at_rest, weakest.as_ref().map(|w| w.1))
                .map_err(|e| e.to_string())
        });
        TrappedSection {
            section,
            contents,
            at_rest,
            weakest,
            unrated,
            relief,
            bleed,
            heating,
        }
    }

    /// Highest pressure at rest in a section.
    fn rest_pressure(&self, section: &Section, rest: &[RestPressure<'_>]) -> AbsolutePressure {
        let behind = rest
            .iter()
            .filter(|r| section.from.contains(&r.part.name))
            .map(|r| r.outlet.pascals());
        let highest = behind.fold(0.0, f64::max);
        if highest > 0.0 {
            pascals_absolute(highest)
        } else {
            self.pressure
        }
    }

    fn contents(&self, section: &Section, at_rest: AbsolutePressure) -> Contents {
        if let Some(because) = self.liquid
            && !section.behind_vaporiser
        {
            // liquid that a regulator lets down still leaves liquid, cold, behind it
            return Contents::Liquid { because };
        }
        let site = &self.rig.site;
        let coldest_k = site
            .coldest
            .map_or(site.ambient.value, |c| c.value.min(site.ambient.value));
        let higher_pa = at_rest.pascals() / (1.0 - DEW_SLACK);
        if self.drawn.is_certainly(Phase::Gas, higher_pa, coldest_k)
            || coldest_k > self.drawn.critical().0
        {
            return Contents::Gas;
        }
        match self.drawn.dew_t(coldest_k) {
            Ok(dew) if at_rest.pascals() >= dew.pressure_pa * (1.0 - DEW_SLACK) => {
                Contents::MayFill {
                    because: if section.behind_vaporiser {
                        "vapour condenses where the line is cold, or if the vaporiser fails"
                    } else {
                        "vapour condenses where the line is colder than the tank"
                    },
                }
            }
            Ok(_) => Contents::Gas,
            Err(e) => Contents::Unknown {
                because: e.to_string(),
            },
        }
    }

    /// Part with the lowest rating, ends included, and the parts without one. What a regulator's outlet
    /// stands is not what its rating, that of its inlet, says: it is left out at an upstream end.
    fn ratings(&self, section: &Section) -> (Option<(String, AbsolutePressure)>, Vec<String>) {
        let mut weakest: Option<(String, AbsolutePressure)> = None;
        let mut unrated = Vec::new();
        for name in section.from.iter().chain(&section.parts).chain(&section.to) {
            let Some(part) = self.rig.train.part(name) else {
                continue;
            };
            if section.from.contains(name) && part.is_regulator() {
                continue;
            }
            match part.rating.max_pressure {
                Some(p) if weakest.as_ref().is_none_or(|w| p < w.1) => {
                    weakest = Some((name.clone(), p));
                }
                Some(_) => {}
                None => unrated.push(name.clone()),
            }
        }
        (weakest, unrated)
    }

    fn heating(
        &self,
        contents: &Contents,
        at_rest: AbsolutePressure,
        rating: Option<AbsolutePressure>,
    ) -> Result<Heating, crate::tank::trapped::TrappedError> {
        // what condenses in a line is what came as vapour
        let fluid = match contents {
            Contents::MayFill { .. } => self.drawn.as_ref(),
            _ => self.fuel,
        };
        let t0 = self.rig.site.ambient;
        let bubble_pa = fluid.bubble_t(t0.value).map_or(0.0, |b| b.pressure_pa);
        let p0 = pascals_absolute(at_rest.pascals().max(bubble_pa));
        let first = trapped_liquid(fluid, p0, t0, kelvin_difference(RISE_K))?;
        let rho = first.density.value;
        let at = |t_k: f64| fluid.state_rho_t(rho, t_k).map(|s| s.pressure_pa);
        let rating_reached = rating.and_then(|limit| {
            let over = |t_k: f64| at(t_k).map(|p| p - limit.pascals());
            if first.pressure_before >= limit {
                return Some(t0);
            }
            // the equation may end before: look as far as it goes
            let far_k = [FURTHEST_K, 30.0, 15.0, RISE_K]
                .into_iter()
                .map(|rise_k| t0.value + rise_k)
                .find(|t_k| over(*t_k).is_ok_and(|d| d >= 0.0))?;
            brent(over, t0.value, far_k, TOLERANCE_K).ok().map(kelvin)
        });
        let hottest = self
            .rig
            .site
            .hottest
            .filter(|hot| hot.value > t0.value)
            .and_then(|hot| Some((hot, pascals_absolute(at(hot.value).ok()?))));
        Ok(Heating {
            closed_at: t0,
            pressure: first.pressure_before,
            rise_pa_k: first.rise_pa_k,
            rating_reached,
            hottest,
        })
    }
}
