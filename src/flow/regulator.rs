//! Pressure regulators: droop line, lock-up, capacity and isenthalpic expansion.

use super::valve::{Feed, Law, Style, ValveError};
use crate::eos::{Backend, EosError, State};
use crate::quantity::sentence::{flow, pressure};
use crate::quantity::told::errors;
use crate::quantity::{AbsolutePressure, FlowCoefficient, MassRate, PressureDifference};

/// A spring-loaded pressure regulator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// Outlet pressure set, at vanishing flow and at `nominal_inlet`.
    pub set_pressure: AbsolutePressure,
    /// Flow at which `droop` is stated.
    pub rated_flow: MassRate,
    /// Fall of the outlet pressure from set to `rated_flow`, taken as a straight line.
    pub droop: PressureDifference,
    /// Rise of the outlet pressure over set when flow stops.
    pub lock_up: PressureDifference,
    /// Flow coefficient with the seat wide open.
    pub wide_open: FlowCoefficient,
    /// Lowest inlet pressure the maker allows.
    pub min_inlet: Option<AbsolutePressure>,
    /// Highest inlet pressure the maker allows.
    pub max_inlet: Option<AbsolutePressure>,
    /// Inlet pressure at which `set_pressure` was set; `None`: the inlet does not matter.
    pub nominal_inlet: Option<AbsolutePressure>,
    /// Rise of the outlet for a fall of the inlet, both in the same unit.
    pub supply_effect: f64,
}

/// What a regulator does at one flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulated {
    /// Outlet pressure.
    pub outlet: AbsolutePressure,
    /// The seat is wide open: inlet pressure is too low, or flow too large, to hold the droop line.
    pub wide_open: bool,
    /// Share of the wide-open capacity in use, at this inlet and outlet.
    pub load: f64,
}

errors! {
    /// What a regulator cannot do.
    pub enum RegulatorError {
        Seat(ValveError);
        BeyondDroopLine { flow_kg_s: f64, p_pa: f64, rated_kg_s: f64 } =>
            "at {} the droop line of the regulator has fallen to {}: far beyond its rated flow of {}",
            flow(flow_kg_s).close(), pressure(p_pa), flow(rated_kg_s).close();
        Property(EosError);
    }
}

/// Lowest pressure to which a droop line is followed, Pa.
const LOWEST_OUTLET_PA: f64 = 1000.0;

/// The wide-open seat: a control valve with a flat seat.
pub(crate) fn seat(
    backend: &dyn Backend,
    inlet: &State,
    kv: FlowCoefficient,
) -> Result<Law, RegulatorError> {
    let feed = Feed::of(backend, inlet)?;
    Ok(Law::new(feed, kv.kv(), &Style::FLAT_SEAT, None)?)
}

impl Regulator {
    /// Pressure on the droop line, Pa; it may be anything, even negative, far out.
    fn droop_line_pa(&self, m_kg_s: f64, p1_pa: f64) -> f64 {
        let supply = self
            .nominal_inlet
            .map_or(0.0, |n| self.supply_effect * (n.pascals() - p1_pa));
        let share = m_kg_s / self.rated_flow.value;
        self.set_pressure.pascals() + supply - self.droop.pascals() * share
    }

    /// Outlet pressure when nothing flows: lock-up.
    ///
    /// `p = p_set + Δp_lock + s (p_nominal − p1)`, not above the inlet pressure.
    ///
    /// **Source:** definitions of the regulator's data; no published formula.
    pub fn lock_up_pressure(&self, inlet: AbsolutePressure) -> AbsolutePressure {
        let line = self.droop_line_pa(0.0, inlet.pascals()) + self.lock_up.pascals();
        AbsolutePressure::from_pascals(line.min(inlet.pascals()))
    }

    /// Highest outlet pressure when nothing flows, over the inlet pressures from the lowest that the maker allows up to
    /// one: where the outlet rises as the inlet falls, that of a supply nearly spent.
    ///
    /// Without a lowest inlet pressure, from the inlet at which the seat stands open:
    /// `p1 = (p_set + Δp_lock + s p_nominal) / (1 + s)`.
    ///
    /// **Source:** definitions of the regulator's data; no published formula.
    pub fn highest_lock_up(&self, up_to: AbsolutePressure) -> AbsolutePressure {
        let spent = self.min_inlet.unwrap_or_else(|| {
            let level_pa = self.set_pressure.pascals() + self.lock_up.pascals();
            let nominal_pa = self.nominal_inlet.map_or(0.0, AbsolutePressure::pascals);
            let s = if self.nominal_inlet.is_some() {
                self.supply_effect
            } else {
                0.0
            };
            AbsolutePressure::from_pascals((level_pa + s * nominal_pa) / (1.0 + s))
        });
        let at = |inlet: AbsolutePressure| self.lock_up_pressure(inlet);
        let (low, high) = (at(if spent < up_to { spent } else { up_to }), at(up_to));
        if low > high { low } else { high }
    }

    /// Outlet pressure at a flow.
    ///
    /// On the droop line, `p = p_set − Δp_droop W/W_rated + s (p_nominal − p1)`, unless the wide-open seat
    /// (a control valve by IEC 60534-2-1, flat seat, no laminar correction) loses more: then that.
    ///
    /// **Valid:** single-phase inlet; steady flow. **Errors:** [`RegulatorError`].
    /// **Source:** `iec60534-2-1` for the seat; the straight droop line is our choice.
    ///
    /// # Errors
    /// [`RegulatorError::Seat`] if the wide-open seat chokes below that flow.
    pub fn regulated(
        &self,
        backend: &dyn Backend,
        inlet: &State,
        flow: MassRate,
    ) -> Result<Regulated, RegulatorError> {
        let seat = seat(backend, inlet, self.wide_open)?;
        self.regulated_by(&seat, inlet.pressure_pa, flow.value)
    }

    pub(crate) fn regulated_by(
        &self,
        seat: &Law,
        p1_pa: f64,
        m_kg_s: f64,
    ) -> Result<Regulated, RegulatorError> {
        let open_pa = seat.outlet_pa(m_kg_s)?;
        let line_pa = self.droop_line_pa(m_kg_s, p1_pa);
        if line_pa < LOWEST_OUTLET_PA {
            return Err(RegulatorError::BeyondDroopLine {
                flow_kg_s: m_kg_s,
                p_pa: line_pa,
                rated_kg_s: self.rated_flow.value,
            });
        }
        let outlet_pa = line_pa.min(open_pa);
        Ok(Regulated {
            outlet: AbsolutePressure::from_pascals(outlet_pa),
            wide_open: open_pa <= line_pa,
            load: m_kg_s / seat.flow_kg_s(outlet_pa)?,
        })
    }

    /// Largest flow at which the outlet is still `droop` below set: the rated flow, or what the wide-open
    /// seat passes to that pressure if that is less.
    ///
    /// **Errors:** [`RegulatorError`]. **Source:** `iec60534-2-1` for the seat.
    ///
    /// # Errors
    /// No property or a value out of range.
    pub fn capacity(
        &self,
        backend: &dyn Backend,
        inlet: &State,
    ) -> Result<MassRate, RegulatorError> {
        let seat = seat(backend, inlet, self.wide_open)?;
        let outlet_pa = self.droop_line_pa(self.rated_flow.value, inlet.pressure_pa);
        let open = seat.flow_kg_s(outlet_pa.max(LOWEST_OUTLET_PA))?;
        Ok(crate::quantity::kilograms_per_second(
            open.min(self.rated_flow.value),
        ))
    }
}

/// State after a throttle that exchanges no heat and leaves no kinetic energy: `h2 = h1`.
///
/// **Valid:** any phases; pressure must not rise. **Errors:** of the backend.
/// **Source:** energy balance (Joule-Thomson expansion).
///
/// # Errors
/// [`EosError`].
pub fn let_down(
    backend: &dyn Backend,
    inlet: &State,
    outlet: AbsolutePressure,
) -> Result<State, EosError> {
    backend.state_ph(outlet.pascals(), inlet.enthalpy_j_kg)
}
