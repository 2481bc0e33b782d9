//! A leaking joint at each pressure of a train.

use super::{Case, Effect};
use crate::eos::{EosError, Phase, State};
use crate::flow::orifice::Stagnation;
use crate::leak::LeakError;
use crate::leak::release::{BOUNDING, Hole, Opening, Release};
use crate::quantity::{
    AbsolutePressure, MassRate, ThermodynamicTemperature, kelvin, kilograms_per_second,
    pascals_absolute, square_metres,
};
use crate::train::rig::supply::VENTED_PA;
use crate::train::ways::at_rest;
use crate::train::{Part, PartKind, Pump, PumpCurve, Train, VaporiserHeat};

/// Areas of a leak at a small joint, m², with what they stand for: a joint whose seal is washed out,
/// and one that has come loose.
///
/// **Source:** `iec60079-10-1`, table B.1.
pub const JOINT_LEAKS: [(f64, &str); 2] = [
    (0.25e-6, "washed-out joint, 0.25 mm2"),
    (1.0e-6, "loose joint, 1 mm2"),
];

/// A part of the train at one pressure with the flow stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// First part at this pressure.
    pub from: String,
    /// Last part at this pressure.
    pub to: String,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// What is there.
    pub phase: Phase,
}

/// A leaking joint.
#[derive(Debug)]
pub struct JointLeak {
    /// Where.
    pub level: Level,
    /// Which of [`JOINT_LEAKS`].
    pub size: usize,
    /// What it does, or why it does nothing.
    pub effect: Result<Effect, LeakError>,
}

impl JointLeak {
    /// Area in words.
    pub fn size_short(&self) -> &'static str {
        let name = self.size_name();
        name.rsplit(", ").next().unwrap_or(name)
    }

    /// Size in words.
    pub fn size_name(&self) -> &'static str {
        JOINT_LEAKS[self.size].1
    }
}

pub(super) fn joint_leaks(case: &Case<'_>) -> Result<Vec<JointLeak>, LeakError> {
    let mut all = Vec::new();
    for (level, state, most) in levels(case)? {
        let up = Stagnation::of(case.fluid, state);
        let opening = Opening::new(&up, case.around.pressure, BOUNDING);
        for (size, (area, _)) in JOINT_LEAKS.iter().enumerate() {
            let hole = Hole::of_area(square_metres(*area));
            let effect = opening
                .as_ref()
                .map_err(Clone::clone)
                .and_then(|o| o.release(&hole))
                .and_then(|r| case.effect(no_more_than(r, most)));
            // under the air alone only the height of the liquid drives it
            let open = level.phase == Phase::Liquid
                && level.pressure.pascals() <= case.around.pressure.pascals() + VENTED_PA;
            let effect = effect.map_err(|why| if open { LeakError::OpenTank } else { why });
            all.push(JointLeak {
                level: level.clone(),
                size,
                effect,
            });
        }
    }
    Ok(all)
}

/// A release behind a pump, which passes no more than that gives.
fn no_more_than(release: Release, most: Option<MassRate>) -> Release {
    let Some(most) = most.filter(|m| *m < release.high) else {
        return release;
    };
    let least = |flow: MassRate| if flow < most { flow } else { most };
    let (low, flow) = (least(release.low), least(release.flow));
    let mut release = release.passing(flow);
    release.low = low;
    release.high = most;
    release
}

/// Most that a pump gives of the fuel before it.
fn most_of(pump: &Pump, before: &State) -> Option<MassRate> {
    let most = match &pump.curve {
        PumpCurve::HeldOutlet { max_flow, .. } => Some(max_flow.value),
        PumpCurve::Points(points) => points.last().map(|(q, _)| q.value),
    };
    most.map(|q_m3_s| kilograms_per_second(q_m3_s * before.density_kg_m3))
}

/// Whether all that is behind a pump comes through it: not where several tanks have one each.
fn alone(train: &Train, name: &str) -> bool {
    let of_tank = train
        .sources
        .iter()
        .any(|s| s.parts.iter().any(|p| p.name == name));
    !of_tank || train.sources.iter().map(|s| s.count).sum::<u32>() <= 1
}

/// Pressures of the train with the flow stopped, each with the state of the fuel there and the most that a pump gives.
fn levels(case: &Case<'_>) -> Result<Vec<(Level, State, Option<MassRate>)>, LeakError> {
    let source = case.rig.train.sources.first();
    let draw = source.map_or(crate::train::Draw::Vapour, |s| s.draw);
    let name = source.map_or("", |s| s.name.as_str());
    let start = case.supply.state(case.fluid, draw, name)?;
    let supply = pascals_absolute(start.pressure_pa);
    let ambient_k = case.rig.site.ambient.value;
    let mut found = vec![(level(name, supply, &start), start, None)];
    let mut most = None;
    let rest = at_rest(&case.rig.train, supply, Part::holds);
    let mut state = start;
    for rest in &rest {
        let part = rest.part;
        let before = state.pressure_pa;
        let next = match &part.kind {
            PartKind::Regulator(_) => {
                let p = rest.outlet.pascals();
                if p < before * (1.0 - 1e-9) {
                    case.fluid.state_pt(p, ambient_k).ok()
                } else {
                    None
                }
            }
            PartKind::Pump(pump) => {
                let p = match &pump.curve {
                    PumpCurve::HeldOutlet { pressure, .. } => pressure.pascals(),
                    PumpCurve::Points(points) => {
                        before + points.first().map_or(0.0, |(_, p)| p.pascals())
                    }
                };
                case.fluid.state_pt(p, state.temperature_k).ok()
            }
            PartKind::Vaporiser(v) => vaporised(case, before, v.heat).ok(),
            _ => None,
        };
        // a branch begins at the pressure of the part it comes from
        let back = found
            .iter()
            .find(|(l, ..)| (l.pressure.pascals() / rest.inlet.pascals() - 1.0).abs() < 1e-9);
        if let (None, Some((_, s, m))) = (&next, back)
            && (rest.inlet.pascals() / before - 1.0).abs() > 1e-9
            && state.phase != Phase::Liquid
        {
            state = *s;
            most = *m;
        }
        if let Some(s) = next {
            if let PartKind::Pump(pump) = &part.kind {
                most = most_of(pump, &state).filter(|_| alone(&case.rig.train, &part.name));
            }
            state = s;
            let known = found.iter().any(|(l, ..)| {
                (l.pressure.pascals() / s.pressure_pa - 1.0).abs() < 1e-9 && l.phase == s.phase
            });
            if !known {
                let l = level(&part.name, pascals_absolute(s.pressure_pa), &s);
                found.push((l, s, most));
            }
        } else {
            let same = found.iter_mut().find(|(l, s, _)| {
                (l.pressure.pascals() / state.pressure_pa - 1.0).abs() < 1e-9
                    && s.phase == state.phase
            });
            if let Some((l, ..)) = same {
                l.to.clone_from(&part.name);
            }
        }
    }
    Ok(found)
}

fn level(name: &str, pressure: AbsolutePressure, state: &State) -> Level {
    Level {
        from: name.to_owned(),
        to: name.to_owned(),
        pressure,
        temperature: kelvin(state.temperature_k),
        phase: state.phase,
    }
}

fn vaporised(case: &Case<'_>, p_pa: f64, heat: VaporiserHeat) -> Result<State, EosError> {
    let t_k = match heat {
        VaporiserHeat::Outlet { temperature, .. } | VaporiserHeat::Bath { temperature, .. } => {
            Some(temperature.value)
        }
        VaporiserHeat::Power(_) => None,
    };
    match t_k {
        Some(t_k) => case.fluid.state_pt(p_pa, t_k),
        None => case.fluid.state_pq(p_pa, 1.0),
    }
}
