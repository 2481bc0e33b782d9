//! A switch to a gas: pressure with the old holes or new holes at the old pressure, Wobbe index, supply.

use super::demand::{
    DutyNext, ExitAgainstLimits, Fed, duties, extremes, fed, limits, mean_flow, old_endurance,
};
use super::error::ConvertError;
use super::fate::{MaterialAnswer, Need, PartFate, fates, materials};
use super::input::ConvertInput;
use super::reach::{COMPRESSED_PA, HighestSupply, Reach, gauge, highest};
use super::through::{HolesOnGas, ThroughTrain, before_holes, on_holes, through_train};
use crate::combustion::CombustionError;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::gas_quality::GasQuality;
use crate::eos::Phase;
use crate::flow::orifice::Expansion;
use crate::fuel::{Composition, FedAs};
use crate::injector::drills::Drill;
use crate::injector::hole::HoleMake;
use crate::injector::size::{DrillChoice, InjectorInput, Supply, size};
use crate::quantity::sentence::Told;
use crate::quantity::{
    AbsolutePressure, Length, Mass, MassRate, Ratio, ThermodynamicTemperature, Time, Volume,
    cubic_metres, kelvin, kilograms, kilograms_per_cubic_metre, metres, pascals_absolute, ratio,
    seconds,
};
use crate::train::OutletLaw;
use crate::train::plan::INJECTOR;

/// Wobbe indices that differ by no more need no change of holes or pressure; common practice, no source.
pub const SAME_WOBBE: f64 = 0.05;
/// Gas before holes at least this far above its dew point, K; common practice, no source.
pub const LEAST_SUPERHEAT_K: f64 = 5.0;
/// Liquid share of a cylinder of liquefied gas; common practice (about 80 %).
const LPG_FILL: f64 = 0.8;
/// Endurance where neither wish nor old tank gives one; our choice.
const ASSUMED_ENDURANCE_S: f64 = 3600.0;

/// A duty of the new gas.
#[derive(Debug, Clone)]
pub struct GasDuty {
    /// Duty.
    pub duty: String,
    /// With the old holes, or why not.
    pub old_holes: Result<HolesOnGas, String>,
    /// With the holes drilled anew, or why not; `None`: none are proposed.
    pub new_holes: Option<Result<HolesOnGas, String>>,
    /// The old train with the new holes, or the old ones where none are proposed; `None`: the rig lists no train, or
    /// holes and supply are not known.
    pub train: Option<Result<ThroughTrain, String>>,
}

/// New holes.
#[derive(Debug, Clone)]
pub struct Redrill {
    /// Duty that they are sized at.
    pub duty: String,
    /// Pressure that they are sized for.
    pub pressure: AbsolutePressure,
    /// Where that is from.
    pub pressure_from: String,
    /// Pressure that was asked for, where the gas would condense at it.
    pub not_at: Option<AbsolutePressure>,
    /// Number.
    pub number: u32,
    /// Exact diameter.
    pub exact: Length,
    /// Drills around it.
    pub drills: Vec<DrillChoice>,
    /// Drill with the least error in flow.
    pub drill: Option<&'static Drill>,
}

/// Both gases by ISO 6976.
#[derive(Debug, Clone)]
pub struct Wobbe {
    /// Old gas; `None`: the old fuel is a liquid.
    pub from: Option<Result<GasQuality, CombustionError>>,
    /// New gas.
    pub to: Result<GasQuality, CombustionError>,
}

impl Wobbe {
    /// New over old gross Wobbe index.
    pub fn ratio(&self) -> Option<f64> {
        let from = self.from.as_ref()?.as_ref().ok()?;
        let to = self.to.as_ref().ok()?;
        Some(to.wobbe_gross_j_m3 / from.wobbe_gross_j_m3)
    }
}

/// Burning properties to hold side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burns {
    /// Largest laminar burning velocity of its parts, m/s.
    pub velocity_m_s: Option<f64>,
    /// Smallest quenching distance of its parts, m.
    pub quenching_m: Option<f64>,
    /// Vapour over air by density.
    pub relative_density: f64,
}

impl Burns {
    fn of(fuel: &Composition) -> Self {
        let of = |f: fn(&crate::fuel::Safety) -> Option<f64>| {
            let parts = fuel.parts().iter().filter(|p| p.fuel.combustion.is_some());
            let all: Vec<f64> = parts.filter_map(|p| f(p.fuel.safety.as_ref()?)).collect();
            all
        };
        let velocity = of(|s| Some(s.burning_velocity_m_s.as_ref()?.value));
        let quenching = of(|s| Some(s.quenching_distance_m.as_ref()?.value));
        Self {
            velocity_m_s: velocity.into_iter().max_by(f64::total_cmp),
            quenching_m: quenching.into_iter().min_by(f64::total_cmp),
            relative_density: fuel.molar_mass_kg_mol() / crate::flow::air::DRY_AIR_KG_MOL,
        }
    }
}

/// How the new gas can be stored.
#[derive(Debug, Clone, PartialEq)]
pub struct GasSupply {
    /// Burning time on one filling.
    pub endurance: Time,
    /// Where that is from.
    pub endurance_from: &'static str,
    /// Mean flow while burning.
    pub mean_flow: MassRate,
    /// What it is the mean over.
    pub mean_from: &'static str,
    /// Fuel burnt in that time.
    pub fuel: Mass,
    /// Volume of cylinders for it; `None`: no state to go by.
    pub volume: Option<Volume>,
    /// Whether it is stored as liquid under its own vapour pressure, else as compressed gas.
    pub liquefied: bool,
    /// Vapour pressure on the coldest day, of a liquefied gas.
    pub coldest: Option<AbsolutePressure>,
    /// Vapour pressure on the hottest day, of a liquefied gas.
    pub hottest: Option<AbsolutePressure>,
    /// Highest pressure that it can have.
    pub highest: HighestSupply,
    /// Coldest liquid whose vapour pressure feeds the largest duty: through the train, or the holes alone.
    pub coldest_feeding: Option<ThermodynamicTemperature>,
    /// Part of the train that gives out below that; `None`: the holes alone are asked.
    pub coldest_limited_by: Option<String>,
}

/// A switch to a gas.
#[derive(Debug, Clone)]
pub struct ToGas {
    /// Whether the rig runs on gas now.
    pub from_gas: bool,
    /// Duties.
    pub duties: Vec<DutyNext>,
    /// Exit against the rig's limits.
    pub limits: Vec<ExitAgainstLimits>,
    /// Wobbe indices.
    pub wobbe: Wobbe,
    /// Holes at every duty.
    pub holes: Vec<GasDuty>,
    /// New holes, or why none.
    pub redrill: Result<Redrill, String>,
    /// Holes of other outlets, such as a pilot.
    pub side_holes: Vec<SideHole>,
    /// Burning of the old and the new fuel.
    pub burns: (Burns, Burns),
    /// Storage.
    pub supply: GasSupply,
    /// Parts of the old train.
    pub fates: Vec<PartFate>,
    /// Materials in contact.
    pub materials: Vec<MaterialAnswer>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

fn redrill(input: &ConvertInput<'_>, largest: &Fed<'_>) -> Result<Redrill, String> {
    let liquid_now = usual_phase(input.from.composition()) == FedAs::Liquid;
    let wished = input.wishes.feed_pressure.map(|p| (p, "as given"));
    let old = largest.duty.now.injector_pressure.filter(|_| !liquid_now);
    let old = old.map(|p| (p, "that of the old gas at this duty"));
    let of_rig = input.rig.injector.pressure;
    let (pressure, from) = wished
        .or(old)
        .or(of_rig.map(|p| (p, "that of the rig's injector")))
        .ok_or("no pressure is known to size them for: give one with --feed-pressure")?;
    redrilled_at(input, largest, pressure, from.to_owned()).or_else(|first| {
        // the gas may be liquid at that pressure: as much as leaves it dry
        let dry_k = before_holes(input).value - LEAST_SUPERHEAT_K;
        let dew = input.to.dew_t(dry_k).map_err(|_| first.clone())?;
        if dew.pressure_pa >= pressure.pascals() {
            return Err(first);
        }
        let lower = pascals_absolute(dew.pressure_pa);
        let why = format!(
            "the highest that keeps the gas 5 K above its dew point: at {}, {from}, it condenses",
            gauge(input, pressure)
        );
        let found = redrilled_at(input, largest, lower, why).map_err(|_| first)?;
        Ok(Redrill {
            not_at: wished.map(|(p, _)| p),
            ..found
        })
    })
}

fn redrilled_at(
    input: &ConvertInput<'_>,
    largest: &Fed<'_>,
    pressure: AbsolutePressure,
    pressure_from: String,
) -> Result<Redrill, String> {
    let number = input.holes.map_or(input.rig.injector.holes, |h| h.number);
    let found = size(&InjectorInput {
        fluid: input.to,
        supply_pressure: Some(pressure),
        supply: Supply::Temperature(before_holes(input)),
        chamber: largest.duty.now.chamber,
        holes: Some(number),
        diameter: None,
        flow: Some(largest.demand.fuel),
        make: HoleMake {
            tested: None,
            ..input.make()
        },
        expansion: Expansion::Blend,
        phase: Some(FedAs::Gas),
    })
    .map_err(|e| e.told().show(input.units))?;
    let nearest = found.drills.iter().min_by(|a, b| {
        let off = |d: &DrillChoice| d.flow_error.value.abs();
        off(a).total_cmp(&off(b))
    });
    Ok(Redrill {
        duty: largest.duty.now.name.clone(),
        pressure,
        pressure_from,
        not_at: None,
        number,
        exact: found.diameter,
        drill: nearest.map(|d| d.drill),
        drills: found.drills,
    })
}

/// A hole of another outlet, such as a pilot, and what it becomes.
#[derive(Debug, Clone, PartialEq)]
pub struct SideHole {
    /// Outlet.
    pub outlet: String,
    /// Diameter now.
    pub now: Length,
    /// Diameter that keeps its heat at the same pressure, far from choking.
    pub then: Length,
}

/// Holes of all outlets but the injector's.
fn side_holes(input: &ConvertInput<'_>, wobbe_ratio: Option<f64>) -> Vec<SideHole> {
    let Some(ratio) = wobbe_ratio else {
        return Vec::new();
    };
    let outlets = input.rig.train.outlets();
    outlets
        .into_iter()
        .filter(|o| o.name != INJECTOR)
        .filter_map(|o| match o.law {
            OutletLaw::Holes { diameter, .. } => Some(SideHole {
                outlet: o.name.clone(),
                now: diameter,
                then: rescaled(diameter, ratio),
            }),
            OutletLaw::Open => None,
        })
        .collect()
}

fn supply(
    input: &ConvertInput<'_>,
    fed: &[Fed<'_>],
    needed: Option<AbsolutePressure>,
    through: Option<&ThroughTrain>,
) -> Option<GasSupply> {
    let flow_of = |name: &str| {
        let found = fed.iter().find(|f| f.duty.now.name == name)?;
        Some(found.demand.fuel.value)
    };
    let (mean_flow, mean_from) = mean_flow(input, flow_of)?;
    let (endurance, endurance_from) = match (input.wishes.endurance, old_endurance(input)) {
        (Some(t), _) => (t, "as given"),
        (None, Some(t)) => (t, "that of the old tank"),
        (None, None) => (seconds(ASSUMED_ENDURANCE_S), "assumed"),
    };
    let fuel_kg = mean_flow.value * endurance.value;
    let (coldest, hottest) = input.extremes();
    let vapour = |t: ThermodynamicTemperature| {
        let bubble = input.to.bubble_t(t.value).ok();
        bubble.map(|e| pascals_absolute(e.pressure_pa))
    };
    let day = input.to.bubble_t(input.day().value).ok();
    let liquefied = day.is_some();
    let density = match day {
        Some(e) => Some(LPG_FILL * e.liquid.density_kg_m3),
        None => input
            .to
            .state_pt(COMPRESSED_PA, input.day().value)
            .ok()
            .filter(|s| matches!(s.phase, Phase::Gas | Phase::Supercritical))
            .map(|s| s.density_kg_m3),
    };
    Some(GasSupply {
        endurance,
        endurance_from,
        mean_flow,
        mean_from,
        fuel: kilograms(fuel_kg),
        volume: density.map(|rho| cubic_metres(fuel_kg / rho)),
        liquefied,
        coldest: vapour(coldest),
        hottest: vapour(hottest),
        highest: highest(input, liquefied),
        coldest_feeding: through.and_then(|t| t.coldest).or_else(|| {
            // whatever the holes need, it is more than the air
            let needed = needed.unwrap_or(input.rig.site.air_pressure);
            let needed = Some(needed).filter(|_| liquefied)?;
            let boils = input.to.bubble_p(needed.pascals()).ok()?;
            Some(kelvin(boils.temperature_k))
        }),
        coldest_limited_by: through
            .filter(|t| t.coldest.is_some())
            .and_then(|t| Some(t.least.as_ref()?.1.clone())),
    })
}

/// Plans a switch to a gas.
///
/// # Errors
/// [`ConvertError`].
pub(super) fn to_gas(input: &ConvertInput<'_>, from_gas: bool) -> Result<ToGas, ConvertError> {
    let duties = duties(input)?;
    let fed = fed(&duties);
    let (largest, smallest) = extremes(&fed).ok_or_else(|| ConvertError::NoDuty {
        fuel: input.to.composition().label().to_owned(),
        why: "none of its duties has a fuel flow".into(),
    })?;
    let redrill = redrill(input, &largest);
    let proposed = redrill
        .as_ref()
        .ok()
        .map(|r| (r.number, r.drill.map_or(r.exact, |d| d.diameter)));
    let used = proposed.or(input.holes.map(|h| (h.number, h.diameter)));
    let through = used.and_then(|(n, d)| through_train(input, &fed, n, d));
    let through_of = |name: &str| {
        let all = through.as_ref()?;
        all.iter().find(|(n, _)| n == name).map(|(_, t)| t.clone())
    };
    let holes = fed
        .iter()
        .map(|f| GasDuty {
            duty: f.duty.now.name.clone(),
            train: through_of(&f.duty.now.name),
            old_holes: match input.holes {
                Some(h) => on_holes(input, f, h.number, h.diameter),
                None => Err("the old holes are not known".to_owned()),
            },
            new_holes: proposed.map(|(n, d)| on_holes(input, f, n, d)),
        })
        .collect();
    let needed = redrill.as_ref().ok().map(|r| r.pressure);
    let of_largest = through_of(&largest.duty.now.name).and_then(Result::ok);
    let supply =
        supply(input, &fed, needed, of_largest.as_ref()).ok_or_else(|| ConvertError::NoDuty {
            fuel: input.to.composition().label().to_owned(),
            why: "none of its duties has a fuel flow".into(),
        })?;
    let (coldest, hottest) = input.extremes();
    let need = Need {
        liquid_now: !from_gas,
        liquid_next: false,
        pressure: pascals_absolute(0.0),
        kv: None,
        mesh: None,
        smallest_flow: smallest.demand.fuel,
        density: kilograms_per_cubic_metre(1.0),
        coldest,
        hottest,
    };
    let reach = Reach::of(input, supply.highest.clone(), needed);
    let from = input.from.composition();
    let mut assumptions = Vec::new();
    if input.rig.injector.temperature.is_none() {
        assumptions.push("the gas reaches the holes at the temperature of the site".to_owned());
    }
    if input.to.composition().parts().len() > 1 && supply.liquefied {
        assumptions.push(
            "the blend burns as delivered; drawn as vapour it starts lighter and ends heavier"
                .to_owned(),
        );
    }
    if !supply.liquefied {
        assumptions.push(
            "ratings are held against a cylinder of compressed gas filled to 200 bar(a) on the test day; a main, or a regulator of its own at the cylinder, brings less"
                .to_owned(),
        );
    }
    let wobbe = Wobbe {
        from: from_gas.then(|| GasQuality::of(from)),
        to: GasQuality::of(input.to.composition()),
    };
    Ok(ToGas {
        from_gas,
        limits: limits(input, &duties),
        side_holes: side_holes(input, wobbe.ratio()),
        wobbe,
        holes,
        redrill,
        burns: (Burns::of(from), Burns::of(input.to.composition())),
        supply,
        fates: fates(input, &need, Some(&reach)),
        materials: materials(input),
        assumptions,
        duties,
    })
}

/// Pressure factor that keeps the heat of a low-pressure burner: `(W_old/W_new)²`.
///
/// **Valid:** holes far from choking. **Source:** `iso6976` for the index; the relation is its purpose.
pub fn pressure_factor(wobbe_ratio: f64) -> Ratio {
    ratio(1.0 / (wobbe_ratio * wobbe_ratio))
}

/// Diameter factor that keeps the heat at the same pressure: `√(W_old/W_new)`.
///
/// **Valid:** holes far from choking. **Source:** as [`pressure_factor`].
pub fn diameter_factor(wobbe_ratio: f64) -> Ratio {
    ratio((1.0 / wobbe_ratio).sqrt())
}

/// A diameter after the factor.
pub fn rescaled(diameter: Length, wobbe_ratio: f64) -> Length {
    metres(diameter.value * diameter_factor(wobbe_ratio).value)
}
