//! What the supply of a new gas can put on the parts of the old train.

use super::input::ConvertInput;
use crate::quantity::show::Show;
use crate::quantity::{AbsolutePressure, ThermodynamicTemperature, kelvin, pascals_absolute};
use crate::train::protection::{FailedOpen, KeptBy, failed_open};
use crate::train::ways::{RestPressure, at_rest, at_supply_pressure};
use crate::train::{Part, PartKind};

/// Pressure that a cylinder of compressed gas is filled to, Pa; common practice.
pub const COMPRESSED_PA: f64 = 2.0e7;

/// The highest pressure that a supply of gas can have.
#[derive(Debug, Clone, PartialEq)]
pub enum HighestSupply {
    /// Vapour pressure of a liquefied gas on the hottest day.
    VapourPressure(AbsolutePressure),
    /// The hottest day is past the critical temperature: a full cylinder has more than the critical pressure, and
    /// how much more is not computed.
    PastCritical {
        /// Hottest day.
        hottest: ThermodynamicTemperature,
        /// Critical temperature.
        critical: ThermodynamicTemperature,
        /// Critical pressure.
        pressure: AbsolutePressure,
    },
    /// A cylinder of compressed gas, filled on the test day, on the hottest day.
    Compressed(AbsolutePressure),
    /// Not known, and why.
    NotKnown(String),
}

impl HighestSupply {
    /// The pressure, or the one that it is certainly above; `None` if nothing is known.
    pub fn at_least(&self) -> Option<AbsolutePressure> {
        match self {
            Self::VapourPressure(p) | Self::Compressed(p) => Some(*p),
            Self::PastCritical { pressure, .. } => Some(*pressure),
            Self::NotKnown(_) => None,
        }
    }

    /// The pressure itself; `None` if only a lower bound or nothing is known.
    pub fn known(&self) -> Option<AbsolutePressure> {
        match self {
            Self::VapourPressure(p) | Self::Compressed(p) => Some(*p),
            Self::PastCritical { .. } | Self::NotKnown(_) => None,
        }
    }

    /// What it is, for tables and JSON.
    pub fn basis(&self) -> &'static str {
        match self {
            Self::VapourPressure(_) => "vapour pressure on the hottest day",
            Self::PastCritical { .. } => "more than the critical pressure on the hottest day",
            Self::Compressed(_) => "compressed gas on the hottest day",
            Self::NotKnown(_) => "not known",
        }
    }

    /// With its figure, as a gauge at the site reads it.
    pub(super) fn shown(&self, input: &ConvertInput<'_>) -> String {
        match self {
            Self::VapourPressure(p) => format!("{} on the hottest day", gauge(input, *p)),
            Self::PastCritical { pressure, .. } => {
                format!(
                    "more than the critical pressure, {}, on the hottest day",
                    gauge(input, *pressure)
                )
            }
            Self::Compressed(p) => {
                format!("{} as compressed gas on the hottest day", gauge(input, *p))
            }
            Self::NotKnown(why) => format!("a pressure that is not known: {why}"),
        }
    }

    /// Why the pressure on the hottest day is not computed; `None` if it is.
    pub fn open(&self, units: crate::quantity::show::Units) -> Option<String> {
        match self {
            Self::VapourPressure(_) | Self::Compressed(_) => None,
            Self::PastCritical {
                hottest, critical, ..
            } => Some(format!(
                "{} is past the critical temperature of {}: there is no vapour pressure, and what a full cylinder has is not computed",
                hottest.show(units),
                critical.show(units)
            )),
            Self::NotKnown(why) => Some(why.clone()),
        }
    }
}

/// The highest pressure of a gas stored as `liquefied` says.
///
/// Compressed gas is filled to 200 bar(a) on the test day and keeps its density up to the hottest day.
pub(super) fn highest(input: &ConvertInput<'_>, liquefied: bool) -> HighestSupply {
    let (_, hottest) = input.extremes();
    if !liquefied {
        let hot_pa = input
            .to
            .state_pt(COMPRESSED_PA, input.day().value)
            .and_then(|s| input.to.state_rho_t(s.density_kg_m3, hottest.value))
            .map_or(COMPRESSED_PA, |s| s.pressure_pa.max(COMPRESSED_PA));
        return HighestSupply::Compressed(pascals_absolute(hot_pa));
    }
    match input.to.bubble_t(hottest.value) {
        Ok(e) => HighestSupply::VapourPressure(pascals_absolute(e.pressure_pa)),
        Err(why) => {
            let (t_k, p_pa) = input.to.critical();
            if hottest.value > t_k {
                HighestSupply::PastCritical {
                    hottest,
                    critical: kelvin(t_k),
                    pressure: pascals_absolute(p_pa),
                }
            } else {
                HighestSupply::NotKnown(why.to_string())
            }
        }
    }
}

/// Where a part stands that the new supply puts above its rating.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Before the regulator, or in a way without one.
    BeforeRegulator,
    /// Behind a regulator that holds.
    BehindRegulator,
    /// Behind a regulator that fails wide open, with no relief in between.
    IfFailedOpen,
}

/// A part that the new supply puts above its rating.
#[derive(Debug, Clone, PartialEq)]
pub struct Overload {
    /// Where.
    pub place: Place,
    /// What it is made for.
    pub rating: AbsolutePressure,
    /// What it sees, in words.
    pub sees: String,
}

/// Pressures that the parts of a train see from a new supply.
#[derive(Debug)]
pub(super) struct Reach<'t> {
    supply: HighestSupply,
    before_holes: Option<AbsolutePressure>,
    at_supply: Vec<&'t Part>,
    rest: Vec<RestPressure<'t>>,
    failed: Vec<FailedOpen<'t>>,
}

impl<'t> Reach<'t> {
    /// Of the rig's train, for a supply and the pressure that the new gas needs before the holes.
    pub(super) fn of(
        input: &ConvertInput<'t>,
        supply: HighestSupply,
        before_holes: Option<AbsolutePressure>,
    ) -> Self {
        let train = &input.rig.train;
        let highest = supply.at_least();
        Self {
            before_holes,
            at_supply: at_supply_pressure(train),
            rest: highest.map_or_else(Vec::new, |p| at_rest(train, p, held)),
            failed: highest.map_or_else(Vec::new, |p| failed_open(train, p, held, KeptBy::RELIEFS)),
            supply,
        }
    }

    /// What of the new supply is too much for a part; the way to the injector also sees what the holes need.
    pub(super) fn too_much(
        &self,
        input: &ConvertInput<'_>,
        part: &Part,
        on_main: bool,
    ) -> Vec<Overload> {
        let mut found = Vec::new();
        let at_supply = self.at_supply.iter().any(|p| p.name == part.name);
        if at_supply {
            self.of_supply(input, part, &mut found);
            return found;
        }
        let Some(rating) = part.rating.max_pressure else {
            return found;
        };
        let rest = self.rest.iter().find(|r| r.part.name == part.name);
        let needed = self.before_holes.filter(|_| on_main);
        let most = rest
            .map(|r| (r.inlet, "behind its regulator"))
            .into_iter()
            .chain(needed.map(|p| (p, "before the holes")))
            .max_by(|a, b| a.0.pascals().total_cmp(&b.0.pascals()));
        if let Some((p, place)) = most
            && p.pascals() > rating.pascals()
        {
            found.push(Overload {
                place: Place::BehindRegulator,
                rating,
                sees: format!("{} {place}", gauge(input, p)),
            });
            return found;
        }
        let weak = self.failed.iter().find_map(|failed| {
            let mut parts = failed.parts.iter();
            let exposed = parts.find(|e| e.part.name == part.name && e.overloaded().is_some())?;
            Some((failed, exposed.pressure))
        });
        if let Some((failed, p)) = weak {
            let fails = format!("`{}` fails open", failed.regulator.name);
            found.push(Overload {
                place: Place::IfFailedOpen,
                rating,
                sees: if self.supply.at_least() == Some(p) {
                    format!("{} if {fails}", self.supply.shown(input))
                } else {
                    format!("{} if {fails}", gauge(input, p))
                },
            });
        }
        found
    }

    /// A part that stands under the supply: its rating, and of a regulator the highest inlet pressure.
    fn of_supply(&self, input: &ConvertInput<'_>, part: &Part, found: &mut Vec<Overload>) {
        let Some(supply) = self.supply.at_least() else {
            return;
        };
        if let Some((rating, _)) = part.rated()
            && supply.pascals() > rating.pascals()
        {
            found.push(Overload {
                place: Place::BeforeRegulator,
                rating,
                sees: self.supply.shown(input),
            });
        }
    }

    /// Whether a part stands under a supply whose pressure is not computed.
    pub(super) fn open_at(&self, part: &Part) -> bool {
        self.supply.known().is_none() && self.at_supply.iter().any(|p| p.name == part.name)
    }

    /// The supply.
    pub(super) fn supply(&self) -> &HighestSupply {
        &self.supply
    }
}

/// What a part holds with no flow, a regulator set anew for the new gas: at least set pressure and lock-up.
fn held(part: &Part, inlet: AbsolutePressure) -> AbsolutePressure {
    let PartKind::Regulator(r) = &part.kind else {
        return part.holds(inlet);
    };
    let set_pa = (r.set_pressure + r.lock_up).pascals();
    let line_pa = r.lock_up_pressure(inlet).pascals();
    pascals_absolute(line_pa.max(set_pa).min(inlet.pascals()))
}

pub(super) fn gauge(input: &ConvertInput<'_>, p: AbsolutePressure) -> String {
    p.gauge(input.rig.site.air_pressure).show(input.units)
}
