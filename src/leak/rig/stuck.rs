//! A regulator that sticks wide open: what the burner gets, and what the parts behind it see.

use super::breaks::{changed, wide_open};
use super::{Case, Duties};
use crate::leak::pressures_at_rest;
use crate::leak::release::BOUNDING;
use crate::quantity::{AbsolutePressure, MassRate, Power, Ratio, pascals_absolute, ratio, watts};
use crate::train::plan::INJECTOR;
use crate::train::{
    Chamber, Conditions, End, Near, OutletLaw, PartKind, Run, Train, TrainError, flow_by_stand_in,
};

/// A regulator that sticks wide open while the rig runs at its largest duty.
#[derive(Debug)]
pub struct StuckRegulator {
    /// Regulator.
    pub part: String,
    /// Duty whose settings it is taken at.
    pub duty: String,
    /// Flow that this duty wants.
    pub wanted: MassRate,
    /// What then flows to the injector, or why that is not known.
    pub fed: Result<Overfeed, TrainError>,
    /// Pressure behind it when the flow is stopped downstream.
    pub dead_end: AbsolutePressure,
    /// Parts behind it, up to the next regulator, that are rated below that.
    pub overloaded: Vec<Overloaded>,
}

/// What flows with a regulator wide open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overfeed {
    /// Flow to the injector.
    pub flow: MassRate,
    /// Pressure before the holes.
    pub pressure: AbsolutePressure,
    /// Heat of that flow, if all of it burnt; `None` where the heat is not known.
    pub heat: Option<Power>,
    /// Equivalence ratio with the air of the duty.
    pub equivalence_ratio: Option<Ratio>,
}

/// A part that is rated below a pressure it may see.
#[derive(Debug, Clone, PartialEq)]
pub struct Overloaded {
    /// Part.
    pub part: String,
    /// Its rating.
    pub rating: AbsolutePressure,
}

pub(super) fn stuck_regulators(case: &Case<'_>, duties: &Duties<'_>) -> Vec<StuckRegulator> {
    let Some(need) = duties
        .needs
        .iter()
        .max_by(|a, b| a.fuel.value.total_cmp(&b.fuel.value))
    else {
        return Vec::new();
    };
    let setting = duties
        .train
        .and_then(|t| t.duties.iter().find(|d| d.name == need.name))
        .and_then(|d| d.setting.clone());
    let mut base = case.rig.train.clone();
    set_law(
        &mut base.run,
        OutletLaw::Holes {
            number: duties.holes.number,
            diameter: duties.holes.diameter,
            discharge_coefficient: need.discharge_coefficient,
        },
    );
    if let Some(setting) = &setting
        && let Some(valve) = base
            .part_mut(&setting.throttle)
            .and_then(|p| p.kind.valve_mut())
    {
        valve.opening = setting.opening;
    }
    let supply_pa = start_pressure(case);
    let names: Vec<String> = base
        .parts()
        .iter()
        .filter(|p| matches!(p.kind, PartKind::Regulator(_)))
        .map(|p| p.name.clone())
        .collect();
    names
        .into_iter()
        .map(|name| {
            let stuck = stick(&base, &name);
            let conditions = Conditions {
                fuel: case.fluid,
                supplies: vec![case.supply; stuck.sources.len()],
                ambient: case.rig.site.ambient,
                chambers: vec![Chamber::Fixed(need.chamber)],
                expansion: BOUNDING,
            };
            let fed =
                flow_by_stand_in(&stuck, &conditions, &mut Near::default()).and_then(|solution| {
                    let outlet = solution
                        .outlet(INJECTOR)
                        .or(solution.outlets.first())
                        .ok_or_else(|| TrainError::NoSuch {
                            what: "outlet",
                            name: INJECTOR.to_owned(),
                        })?;
                    let heat = duties
                        .fire
                        .map(|f| watts(outlet.flow.value * f.heating_value.value));
                    let equivalence_ratio = duties
                        .fire
                        .zip(need.air)
                        .map(|(f, air)| ratio(outlet.flow.value * f.air_fuel_ratio / air.value));
                    Ok(Overfeed {
                        flow: outlet.flow,
                        pressure: outlet.inlet.pressure,
                        heat,
                        equivalence_ratio,
                    })
                });
            let (dead_end, overloaded) = dead_end(&base, &name, supply_pa);
            StuckRegulator {
                duty: need.name.clone(),
                wanted: need.fuel,
                part: name,
                fed,
                dead_end,
                overloaded,
            }
        })
        .collect()
}

fn start_pressure(case: &Case<'_>) -> AbsolutePressure {
    let source = case.rig.train.sources.first();
    let draw = source.map_or(crate::train::Draw::Vapour, |s| s.draw);
    let name = source.map_or("", |s| s.name.as_str());
    case.supply
        .state(case.fluid, draw, name)
        .map_or(case.around.pressure, |s| pascals_absolute(s.pressure_pa))
}

/// The train with one regulator wide open.
fn stick(train: &Train, name: &str) -> Train {
    let mut copy = changed(train, &mut |_| {});
    if let Some(PartKind::Regulator(r)) = copy.part_mut(name).map(|p| &mut p.kind) {
        wide_open(r);
    }
    copy
}

/// Pressure behind a stuck regulator without flow, and the parts rated below it.
fn dead_end(
    train: &Train,
    name: &str,
    supply: AbsolutePressure,
) -> (AbsolutePressure, Vec<Overloaded>) {
    let stuck = stick(train, name);
    let rest = pressures_at_rest(&stuck, supply);
    let sound = pressures_at_rest(train, supply);
    let dead_end = rest
        .iter()
        .find(|r| r.part == name)
        .map_or(supply, |r| r.outlet);
    let overloaded = stuck
        .parts()
        .iter()
        .zip(rest.iter().zip(&sound))
        .filter_map(|(part, (stuck, sound))| {
            let rating = part.rating.max_pressure?;
            let raised = stuck.inlet.pascals() > sound.inlet.pascals() * (1.0 + 1e-9);
            (raised && stuck.inlet > rating).then(|| Overloaded {
                part: part.name.clone(),
                rating,
            })
        })
        .collect();
    (dead_end, overloaded)
}

fn set_law(run: &mut Run, law: OutletLaw) {
    match &mut run.end {
        End::Outlet(o) if o.name == INJECTOR => o.law = law,
        End::Outlet(_) => {}
        End::Split(runs) => {
            for branch in runs {
                set_law(branch, law);
            }
        }
    }
}
