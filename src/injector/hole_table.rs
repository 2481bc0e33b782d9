//! One supply, and what a hole of any drill passes from it: the table that a search over holes reads.

use super::error::InjectorError;
use super::hole::HoleMake;
use super::input::InjectorInput;
use super::jet::{CrossFlow, Jet, Throat};
use super::plan::PlanBands;
use super::size::flow_band;
use super::supply::IdealHole;
use crate::quantity::range::positive;
use crate::quantity::{
    AbsolutePressure, Length, kilograms_per_cubic_metre, kilograms_per_second, pascals_absolute,
};

/// What one hole passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct OneHole {
    /// Flow, kg/s.
    pub(crate) flow_kg_s: f64,
    /// Least flow over the flow, with every band of hole and supply at its worst.
    pub(crate) low: f64,
    /// Most flow over the flow.
    pub(crate) high: f64,
    /// Discharge coefficient.
    pub(crate) coefficient: f64,
}

/// Fuel before the holes at one pressure, with the nozzle solved.
pub(crate) struct SupplyPoint<'a> {
    ideal: IdealHole<'a>,
    make: HoleMake,
    bands: PlanBands,
    chamber: AbsolutePressure,
    /// Pressure before the holes, Pa.
    pub(crate) pressure_pa: f64,
    /// Whether the holes are choked.
    pub(crate) choked: bool,
    /// Whether it is gas, without a drop in it.
    pub(crate) is_gas: bool,
    /// How far above its dew point it is; `None` for liquid and above the critical pressure.
    pub(crate) superheat_k: Option<f64>,
    /// Flux with the drop over the holes at either end of its band, over the flux.
    drop: (f64, f64),
}

impl<'a> SupplyPoint<'a> {
    /// A supply whose pressure is given; number, diameter and flow of `input` are not asked.
    ///
    /// # Errors
    /// [`InjectorError`].
    pub(crate) fn new(
        input: &InjectorInput<'a>,
        pressure_pa: f64,
        bands: PlanBands,
    ) -> Result<Self, InjectorError> {
        let chamber_pa = positive("chamber pressure", input.chamber.pascals())?;
        if pressure_pa <= chamber_pa {
            return Err(InjectorError::ChamberAboveSupply {
                chamber_pa,
                supply_pa: pressure_pa,
            });
        }
        let at = |p_pa: f64| {
            let up = input
                .supply
                .at(input.fluid, pascals_absolute(p_pa), input.phase)?;
            IdealHole::new(up, input.chamber, input.expansion)
        };
        let ideal = at(pressure_pa)?;
        let of_drop = |factor: f64| {
            let p_pa = chamber_pa + factor.max(1e-6) * (pressure_pa - chamber_pa);
            at(p_pa).map(|other| other.flux / ideal.flux)
        };
        let drop = match bands.supply_drop {
            b if b > 0.0 => (of_drop(1.0 - b)?, of_drop(1.0 + b)?),
            _ => (1.0, 1.0),
        };
        let is_gas = ideal.up.is_gas();
        let t_k = ideal.up.state().temperature_k;
        let dew = input.fluid.dew_p(pressure_pa).ok().filter(|_| is_gas);
        Ok(Self {
            choked: ideal.choked,
            superheat_k: dew.map(|e| (t_k - e.temperature_k).max(0.0)),
            make: input.make,
            chamber: input.chamber,
            ideal,
            bands,
            pressure_pa,
            is_gas,
            drop,
        })
    }

    /// A hole of a diameter.
    ///
    /// # Errors
    /// [`InjectorError`].
    pub(crate) fn hole(&self, diameter: Length) -> Result<OneHole, InjectorError> {
        let c = self.ideal.coefficient(&self.make, diameter)?;
        let flow = flow_band(&self.make, &self.ideal, (1, diameter), &c)?;
        let (mut low, mut high) = (flow.low / flow.value, flow.high / flow.value);
        if let Some(half_width) = self.bands.discharge {
            low *= (1.0 - half_width) * c.value / c.low;
            high *= (1.0 + half_width) * c.value / c.high;
        }
        Ok(OneHole {
            flow_kg_s: flow.value.value,
            low: low.value * self.drop.0,
            high: high.value * self.drop.1,
            coefficient: c.value,
        })
    }

    /// How far the jet of a hole reaches into air that it crosses, m; `None` beyond the correlations.
    pub(crate) fn reach(&self, hole: &OneHole, air: &CrossFlow, downstream: Length) -> Option<f64> {
        let throat = &self.ideal.throat;
        let throat = Throat {
            flow: kilograms_per_second(hole.flow_kg_s),
            velocity: throat.velocity,
            density: throat.density,
            pressure: throat.pressure,
        };
        let density = kilograms_per_cubic_metre(self.ideal.up.state().density_kg_m3);
        let supply = pascals_absolute(self.pressure_pa);
        let jet = Jet::expanded(&throat, supply, density, self.chamber).ok()?;
        Some(jet.penetration(air, downstream).ok()?.depth.value)
    }
}
