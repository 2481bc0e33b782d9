//! What of the old train can stay and what must go, part by part, with the reason.

use super::input::ConvertInput;
use super::reach::{Overload, Place, Reach, gauge};
use crate::quantity::show::{Show, fixed, number, percent, show, show_digits};
use crate::quantity::{
    AbsolutePressure, Kind, Length, Mass, MassDensity, MassRate, ThermodynamicTemperature,
    kilograms,
};
use crate::train::compatibility::{Chemistry, Compatibility, against};
use crate::train::{Part, PartKind};
use std::f64::consts::FRAC_PI_4;

/// Opening of a metering valve at its largest duty below which it is too large; our choice.
const LEAST_OPENING: f64 = 0.1;
/// A kept line that holds more than this many seconds of the smallest flow is worth a narrower one; our choice.
const LONG_HOLD_UP_S: f64 = 20.0;

/// What becomes of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// Nothing speaks against it.
    Stays,
    /// Stays if what the reasons name is so.
    Check,
    /// Must go.
    Goes,
}

impl Fate {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Stays => "stays",
            Self::Check => "check",
            Self::Goes => "goes",
        }
    }
}

/// A part of the old train and what becomes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFate {
    /// Name.
    pub name: String,
    /// Kind.
    pub kind: &'static str,
    /// What becomes of it.
    pub fate: Fate,
    /// Why.
    pub reasons: Vec<String>,
    /// Whether it goes whatever it is made of.
    pub goes_anyway: bool,
    /// Mass of all of its kind; `None`: not given.
    pub mass: Option<Mass>,
    /// How many alike.
    pub count: u32,
    /// Whether it is on the way to the injector, and not of a pilot.
    pub on_main: bool,
    /// What of the new supply is above its rating; of a switch to a gas.
    pub overloads: Vec<Overload>,
}

/// A wetted material that the new fuel does not leave alone.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialAnswer {
    /// Part.
    pub part: String,
    /// Material.
    pub material: String,
    /// Answer.
    pub verdict: Compatibility,
    /// Why.
    pub why: &'static str,
}

/// What the new fuel asks of the old parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Need {
    pub(super) liquid_now: bool,
    pub(super) liquid_next: bool,
    /// Highest pressure of the pump, where the new fuel has one.
    pub(super) pressure: AbsolutePressure,
    /// Flow coefficients a metering valve must give.
    pub(super) kv: Option<(f64, f64)>,
    /// Widest mesh of the filter.
    pub(super) mesh: Option<Length>,
    pub(super) smallest_flow: MassRate,
    pub(super) density: MassDensity,
    pub(super) coldest: ThermodynamicTemperature,
    pub(super) hottest: ThermodynamicTemperature,
}

/// Every wetted material against the new fuel, those that are usual left out.
pub(super) fn materials(input: &ConvertInput<'_>) -> Vec<MaterialAnswer> {
    let chemistries = Chemistry::all(input.to.composition());
    let mut found = Vec::new();
    for part in input.rig.train.parts() {
        for material in &part.wetted {
            let (verdict, why) = against(material, &chemistries);
            if verdict != Compatibility::Usual {
                found.push(MaterialAnswer {
                    part: part.name.clone(),
                    material: material.name().to_owned(),
                    verdict,
                    why,
                });
            }
        }
    }
    found
}

/// Every part of the old train.
///
/// * `reach` — pressures that the supply of a new gas puts on them; `None`: the new fuel is pumped
pub(super) fn fates(
    input: &ConvertInput<'_>,
    need: &Need,
    reach: Option<&Reach<'_>>,
) -> Vec<PartFate> {
    let train = &input.rig.train;
    let main: Vec<&str> = main_names(train);
    let mut found = Vec::new();
    for source in &train.sources {
        for part in &source.parts {
            found.push(fate(input, need, reach, (part, source.count), true));
        }
    }
    let of_sources: usize = train.sources.iter().map(|s| s.parts.len()).sum();
    for part in train.parts().into_iter().skip(of_sources) {
        let on_main = main.contains(&part.name.as_str());
        found.push(fate(input, need, reach, (part, 1), on_main));
    }
    found
}

/// Parts on the way to the injector: the first branch is that of the injector.
fn main_names(train: &crate::train::Train) -> Vec<&str> {
    let mut names = Vec::new();
    let mut run = &train.run;
    loop {
        names.extend(run.parts.iter().map(|p| p.name.as_str()));
        match &run.end {
            crate::train::End::Split(runs) if !runs.is_empty() => run = &runs[0],
            _ => return names,
        }
    }
}

struct Verdict {
    fate: Fate,
    reasons: Vec<String>,
}

impl Verdict {
    fn add(&mut self, fate: Fate, reason: impl Into<String>) {
        self.fate = self.fate.max(fate);
        self.reasons.push(reason.into());
    }
}

fn fate(
    input: &ConvertInput<'_>,
    need: &Need,
    reach: Option<&Reach<'_>>,
    (part, count): (&Part, u32),
    on_main: bool,
) -> PartFate {
    let mut overloads = Vec::new();
    let mut v = Verdict {
        fate: Fate::Stays,
        reasons: Vec::new(),
    };
    let mut goes_anyway = false;
    if !on_main && need.liquid_next {
        v.add(
            Fate::Check,
            "may stay as a gas pilot that lights the liquid, on a cylinder and regulator of its own",
        );
    } else {
        by_kind(input, need, part, &mut v);
        by_rating(input, need, part, &mut v);
        if let Some(reach) = reach {
            overloads = reach.too_much(input, part, on_main);
            by_supply(input, reach, part, &overloads, &mut v);
        }
        goes_anyway = v.fate == Fate::Goes;
        by_material(input, part, &mut v);
    }
    PartFate {
        name: part.name.clone(),
        kind: part.kind.name(),
        fate: v.fate,
        reasons: v.reasons,
        goes_anyway,
        mass: part.mass.map(|m| kilograms(m.value * f64::from(count))),
        count,
        on_main,
        overloads,
    }
}

fn by_kind(input: &ConvertInput<'_>, need: &Need, part: &Part, v: &mut Verdict) {
    match (need.liquid_now, need.liquid_next) {
        (_, true) => to_liquid(input, need, part, v),
        (true, false) => from_liquid(part, v),
        (false, false) => gas_to_gas(part, v),
    }
}

fn to_liquid(input: &ConvertInput<'_>, need: &Need, part: &Part, v: &mut Verdict) {
    match &part.kind {
        PartKind::CylinderValve(_) | PartKind::DipTube(_) if !need.liquid_now => {
            v.add(Fate::Goes, "belongs to the gas cylinder");
        }
        PartKind::ExcessFlowValve(_) => v.add(
            Fate::Goes,
            "closes at a gas flow; a liquid line needs one made for its own flow",
        ),
        PartKind::Regulator(_) => v.add(
            Fate::Goes,
            "a gas regulator does not govern liquid: the pump's relief or a back-pressure valve holds the pressure",
        ),
        PartKind::FlameArrestor(_) => {
            v.add(Fate::Goes, "made for gas; its element blocks with liquid");
        }
        PartKind::OrificePlate(_) => v.add(Fate::Goes, "sized for the old fuel"),
        PartKind::ReliefValve(_) => v.add(
            Fate::Goes,
            "set for the old fuel; each liquid section that can be shut in needs a hydrostatic relief",
        ),
        PartKind::Filter(_) => {
            let mesh = need.mesh.map(|m| show_digits(Kind::Length, m.value, input.units, 2));
            v.add(
                Fate::Check,
                mesh.map_or_else(
                    || "its mesh must be a third of the smallest nozzle passage".to_owned(),
                    |m| format!("its mesh must be {m} or finer: a third of the smallest nozzle passage"),
                ),
            );
        }
        PartKind::SolenoidValve(_) => v.add(
            Fate::Check,
            "only if its maker lists it for this liquid, and its seat is tight with the pump's pressure before it",
        ),
        PartKind::MeteringValve(valve) | PartKind::NeedleValve(valve) => {
            metering(need, valve.full_open.kv(), v);
        }
        PartKind::CheckValve(_) => v.add(
            Fate::Check,
            "only if it closes tight with liquid at low flow; its cracking pressure comes off the feed",
        ),
        PartKind::Vaporiser(_) => v.add(
            Fate::Check,
            "only if its heat and wall temperature suit the new fuel",
        ),
        PartKind::Pump(_) => v.add(
            Fate::Check,
            "only if it gives flow and pressure and is lubricated by the new fuel",
        ),
        PartKind::Hose(line) | PartKind::Tube(line) => hold_up(input, need, line, v),
        _ => {}
    }
}

fn metering(need: &Need, full_kv: f64, v: &mut Verdict) {
    let Some((least, most)) = need.kv else {
        v.add(Fate::Check, "its flow coefficient must suit the new fuel");
        return;
    };
    let range = format!(
        "the duties need Kv {} to {} m³/h",
        fixed(least, 5),
        fixed(most, 5)
    );
    let open = format!("{} m³/h open", number(full_kv));
    if most < LEAST_OPENING * full_kv {
        v.add(
            Fate::Goes,
            format!(
                "{range}; this one has {open} and would work in the first {} of it",
                percent(most / full_kv)
            ),
        );
    } else if most > full_kv {
        v.add(Fate::Goes, format!("{range}; this one has only {open}"));
    } else {
        v.add(Fate::Check, range);
    }
}

fn hold_up(input: &ConvertInput<'_>, need: &Need, line: &crate::flow::line::Line, v: &mut Verdict) {
    let volume_m3 = FRAC_PI_4 * line.bore.value.powi(2) * line.length.value;
    let mass_kg = volume_m3 * need.density.value;
    let seconds = mass_kg / need.smallest_flow.value;
    if seconds > LONG_HOLD_UP_S {
        v.add(
            Fate::Check,
            format!(
                "wider than the liquid needs: it holds {} of fuel, {} of the smallest flow, to fill at the start and to drip after a shut-off",
                show(Kind::Mass, mass_kg, input.units),
                show(Kind::Time, seconds, input.units)
            ),
        );
    }
}

fn from_liquid(part: &Part, v: &mut Verdict) {
    match &part.kind {
        PartKind::Pump(_) => v.add(Fate::Goes, "the gas comes with pressure of its own"),
        PartKind::Regulator(_) => {
            v.add(Fate::Goes, "made for liquid: gas needs a gas regulator");
        }
        PartKind::OrificePlate(_) => v.add(Fate::Goes, "sized for the liquid"),
        PartKind::DipTube(_) => v.add(
            Fate::Goes,
            "reaches into the liquid: a liquefied gas would come out of it as liquid",
        ),
        PartKind::ExcessFlowValve(_) => v.add(
            Fate::Goes,
            "closes at a flow of liquid; gas needs one made for its own flow",
        ),
        PartKind::ReliefValve(_) => v.add(
            Fate::Goes,
            "set for a liquid, and vents to where no gas may go",
        ),
        PartKind::MeteringValve(_) | PartKind::NeedleValve(_) => v.add(
            Fate::Goes,
            "gas at low pressure needs a flow coefficient many times that of the liquid",
        ),
        PartKind::SolenoidValve(_) => v.add(
            Fate::Check,
            "only if its maker lists it as a gas shut-off and its bore passes the gas",
        ),
        PartKind::Filter(_) | PartKind::CheckValve(_) | PartKind::Hose(_) | PartKind::Tube(_) => {
            v.add(
                Fate::Check,
                "its bore must pass the gas; clean it of liquid, which gas would carry into the fire",
            );
        }
        _ => {}
    }
}

fn gas_to_gas(part: &Part, v: &mut Verdict) {
    match &part.kind {
        PartKind::CylinderValve(_) => v.add(
            Fate::Check,
            "the new gas may come with another connection and another cylinder rating",
        ),
        PartKind::ExcessFlowValve(_) => v.add(
            Fate::Check,
            "its closing flow goes with the root of the density of the new gas",
        ),
        PartKind::Regulator(_) => v.add(
            Fate::Check,
            "set and rate it for the new gas and the new pressure before the holes",
        ),
        PartKind::OrificePlate(_) => v.add(Fate::Goes, "sized for the old gas"),
        PartKind::MeteringValve(_) | PartKind::NeedleValve(_) => v.add(
            Fate::Check,
            "`train` of the changed rig file tells whether its travel still covers the duties",
        ),
        PartKind::FlameArrestor(_) => v.add(
            Fate::Check,
            "only if it was type-tested for the gas group of the new fuel",
        ),
        _ => {}
    }
}

fn by_rating(input: &ConvertInput<'_>, need: &Need, part: &Part, v: &mut Verdict) {
    if let PartKind::Tapping(tapping) = &part.kind
        && let Some(top) = tapping.gauge_range
        && need.liquid_next
        && top.pascals() < need.pressure.gauge(input.rig.site.air_pressure).pascals()
    {
        v.add(
            Fate::Goes,
            format!(
                "its gauge goes to {}, and the pump gives {}",
                top.show(input.units),
                gauge(input, need.pressure)
            ),
        );
    }
    if let Some(rated) = part.rating.max_pressure
        && rated.pascals() < need.pressure.pascals()
        && need.liquid_next
    {
        v.add(
            Fate::Goes,
            format!(
                "made for {}, and the pump gives {}",
                gauge(input, rated),
                gauge(input, need.pressure)
            ),
        );
    }
    if let Some(least) = part.rating.min_temperature
        && least.value > need.coldest.value
    {
        v.add(
            Fate::Check,
            format!(
                "made for {} and warmer; the coldest day has {}",
                least.show(input.units),
                need.coldest.show(input.units)
            ),
        );
    }
    if let Some(most) = part.rating.max_temperature
        && most.value < need.hottest.value
    {
        v.add(
            Fate::Check,
            format!("made for {} and colder", most.show(input.units)),
        );
    }
}

/// Ratings against what the supply of a new gas puts on the part.
fn by_supply(
    input: &ConvertInput<'_>,
    reach: &Reach<'_>,
    part: &Part,
    overloads: &[Overload],
    v: &mut Verdict,
) {
    for o in overloads {
        let rating = gauge(input, o.rating);
        match o.place {
            Place::BeforeRegulator => v.add(
                Fate::Goes,
                format!("made for {rating}, and the new supply gives {}", o.sees),
            ),
            Place::BehindRegulator => v.add(
                Fate::Goes,
                format!("made for {rating}, and it sees {}", o.sees),
            ),
            Place::IfFailedOpen => {
                let cut_off = if input.rig.controls.high_fuel_cutoff == Some(true) {
                    "the high-pressure cut-off of the rig must shut before it"
                } else {
                    "it needs a relief or a high-pressure cut-off before it"
                };
                v.add(
                    Fate::Check,
                    format!("made for {rating}, and it sees {}: {cut_off}", o.sees),
                );
            }
        }
    }
    if overloads.is_empty() && reach.open_at(part) {
        let rated = part.rating.max_pressure.map_or_else(
            || "what it is made for".to_owned(),
            |p| format!("its rating of {}", gauge(input, p)),
        );
        v.add(
            Fate::Check,
            format!("{rated} against {}", reach.supply().shown(input)),
        );
    }
}

fn by_material(input: &ConvertInput<'_>, part: &Part, v: &mut Verdict) {
    let chemistries = Chemistry::all(input.to.composition());
    for material in &part.wetted {
        let (verdict, why) = against(material, &chemistries);
        match verdict {
            Compatibility::Usual => {}
            Compatibility::Avoid => v.add(
                Fate::Goes,
                format!("{} is to be avoided: {why}", material.name()),
            ),
            Compatibility::Limited => v.add(
                Fate::Check,
                format!("{} with reservations", material.name()),
            ),
            Compatibility::NotKnown => {
                v.add(Fate::Check, format!("{}: {why}", material.name()));
            }
        }
    }
    if part.wetted.is_empty() {
        v.add(
            Fate::Check,
            "the rig file does not say what of it the fuel touches",
        );
    }
}
