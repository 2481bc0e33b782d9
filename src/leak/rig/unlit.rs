//! The burner of a rig fed at a duty and not lit.

use super::{Case, Duties};
use crate::leak::room::{RoomCourse, fill};
use crate::leak::unlit::{Purge, Unlit, UnlitFeed, purge, unlit};
use crate::quantity::{Energy, MassRate, Ratio, Time, Volume, kilograms_per_second};

/// A duty fed and not lit.
#[derive(Debug, Clone)]
pub struct UnlitDuty {
    /// Duty.
    pub duty: String,
    /// Fuel that flows.
    pub fuel: MassRate,
    /// Air of the duty; `None` where it is not known.
    pub air: Option<MassRate>,
    /// Volume of can and duct; `None` where one of them is not given.
    pub volume: Option<Volume>,
    /// With the air of the duty; `None` without volume or air.
    pub with_air: Option<Unlit>,
    /// Without air; `None` without volume.
    pub without_air: Option<Unlit>,
    /// At the end of the ignition time; `None` where that is not given.
    pub at_ignition: Option<AtIgnition>,
    /// Purge after that; `None` without purge air.
    pub purge: Option<Purge>,
    /// The room it runs into; `None` in the open.
    pub room: Option<RoomCourse>,
}

/// What is in can and duct when a start is given up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtIgnition {
    /// Longest time that fuel flows without a flame.
    pub time: Time,
    /// Fuel that has flowed in.
    pub fuel: crate::quantity::Mass,
    /// Volume fraction with the air of the duty; without, where that is not known.
    pub fraction: Ratio,
    /// Volume fraction if no air flows.
    pub fraction_without_air: Ratio,
    /// Most heat that a late spark sets free up to then, without air.
    pub energy: Energy,
}

pub(super) fn unlit_duties(case: &Case<'_>, duties: &Duties<'_>) -> Vec<UnlitDuty> {
    let burner = &case.rig.burner;
    let controls = &case.rig.controls;
    let volume = burner
        .can_volume
        .zip(burner.duct_volume)
        .map(|(can, duct)| can + duct);
    let feed = |fuel, air: MassRate| {
        let feed = UnlitFeed {
            volume: volume?,
            fuel,
            air,
        };
        unlit(&feed, &case.fuel, &case.around).ok()
    };
    duties
        .needs
        .iter()
        .map(|need| {
            let with_air = need.air.and_then(|air| feed(need.fuel, air));
            let without_air = feed(need.fuel, kilograms_per_second(0.0));
            let at_ignition = controls
                .ignition_time
                .zip(without_air)
                .map(|(time, without)| AtIgnition {
                    time,
                    fuel: need.fuel * time,
                    fraction: with_air.map_or_else(|| without.at(time), |w| w.at(time)),
                    fraction_without_air: without.at(time),
                    energy: without.most_energy(time),
                });
            // a start that is given up leaves what would be there without air
            let purge = at_ignition
                .zip(volume)
                .zip(controls.purge_air_flow)
                .and_then(|((at, volume), air)| {
                    purge(
                        volume,
                        air,
                        at.fraction_without_air,
                        &case.fuel,
                        &case.around,
                    )
                    .ok()?
                });
            UnlitDuty {
                duty: need.name.clone(),
                fuel: need.fuel,
                air: need.air,
                volume,
                with_air,
                without_air,
                at_ignition,
                purge,
                room: case
                    .room
                    .as_ref()
                    .and_then(|room| fill(room, need.fuel, &case.fuel).ok()),
            }
        })
        .collect()
}
