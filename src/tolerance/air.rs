//! Air of a rig with its temperature and flow moved.

use crate::flow::air::MoistAir;
use crate::injector::duty::{Duty, DutyAir};
use crate::quantity::{Ratio, kelvin, ratio};
use crate::train::rig::{AirSource, Rig};

/// Air at the inlet of a rig's blower, and what the blower makes of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct RigAir {
    full_kg_s: Option<f64>,
    behind_k: f64,
    pub(super) dry_share: f64,
    pub(super) humidity_ratio: Ratio,
}

/// Air of one duty.
#[derive(Debug, Clone, Copy)]
pub(super) struct AirOfDuty {
    pub(super) flow_kg_s: f64,
    pub(super) temperature_k: f64,
}

impl RigAir {
    /// With the temperature at the site moved; an inlet temperature that the file gives stays.
    pub(super) fn new(rig: &Rig, ambient_by_k: f64) -> Option<Self> {
        let t = match rig.air.inlet {
            Some(t) => t,
            None => kelvin(rig.site.ambient.value + ambient_by_k),
        };
        let humidity = rig.site.relative_humidity.unwrap_or(ratio(0.0));
        let air = MoistAir::new(rig.site.air_pressure, t, humidity).ok()?;
        let (full_kg_s, behind_k) = match &rig.air.source {
            Some(AirSource::Flow(flow, blower)) => (
                Some(flow.value),
                blower.map_or(t.value, |b| b.outlet_temperature(&air).value),
            ),
            Some(AirSource::Blower { blower, shaft }) => (
                blower.air_flow(*shaft, &air).ok().map(|m| m.value),
                blower.outlet_temperature(&air).value,
            ),
            None => (None, t.value),
        };
        Some(Self {
            full_kg_s,
            behind_k,
            dry_share: air.dry_share().value,
            humidity_ratio: air.humidity_ratio,
        })
    }

    /// Air of a duty, its flow moved by a share.
    pub(super) fn of(&self, duty: &Duty, flow_by: f64) -> Option<AirOfDuty> {
        let flow_kg_s = match duty.air {
            DutyAir::Flow(flow) => flow.value,
            DutyAir::Throttle(share) => self.full_kg_s? * share.value,
        };
        Some(AirOfDuty {
            flow_kg_s: flow_kg_s * (1.0 + flow_by),
            temperature_k: duty.air_temperature.map_or(self.behind_k, |t| t.value),
        })
    }
}
