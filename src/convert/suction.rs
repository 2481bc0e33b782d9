//! Suction side of the pump and vapour lock: heat, altitude, lift.

use super::input::ConvertInput;
use super::lines::{LineOption, Lines};
use super::liquid::liquid_state;
use crate::eos::EosError;
use crate::flow::air::standard_pressure;
use crate::flow::pump::{GRAVITY_M_S2, SMALL_PUMP_HEAD_M, SUCTION_MARGIN, Suction};
use crate::flow::suction::{SuctionLimit, suction_limit};
use crate::quantity::show::number;
use crate::quantity::{
    AbsolutePressure, Length, ThermodynamicTemperature, kelvin, kilograms_per_cubic_metre, metres,
    pascals_absolute,
};
use crate::train::PartKind;

/// Lift of a pump that is not placed; our choice.
const ASSUMED_LIFT_M: f64 = 0.5;
/// Length of the suction line; our choice.
pub const SUCTION_LINE_M: f64 = 1.0;
/// Head that the suction line may lose; our choice.
const SUCTION_LOSS_M: f64 = 0.1;
/// How much hotter than the air fuel in a line near the fire gets; our choice.
pub const LINE_HEATING_K: f64 = 25.0;
/// Altitudes shown, m.
const ALTITUDES_M: [f64; 4] = [0.0, 1000.0, 2000.0, 3000.0];

/// Suction at one place and temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct SuctionAt {
    /// What the row is.
    pub place: String,
    /// Air pressure.
    pub air: AbsolutePressure,
    /// Temperature of the fuel.
    pub temperature: ThermodynamicTemperature,
    /// Vapour pressure there.
    pub vapour: AbsolutePressure,
    /// Net positive suction head.
    pub available: Length,
    /// The same less 1.3 times what the pump needs.
    pub margin: Length,
}

/// The suction side.
#[derive(Debug, Clone, PartialEq)]
pub struct SuctionPlan {
    /// Height of the pump above the lowest fuel level.
    pub lift: Length,
    /// Head that the pump needs.
    pub required: Length,
    /// Loss of the suction line.
    pub friction: Length,
    /// Rows: the site on the test day and the hottest, then altitudes on the hottest.
    pub rows: Vec<Result<SuctionAt, EosError>>,
    /// Bore of the suction line: the narrowest that loses at most 0.1 m of head; `None`: no line was found.
    pub bore: Option<Length>,
    /// Fuel temperature at which the margin is used up at the site.
    pub limit: SuctionLimit,
    /// Fuel in a line near the fire on the hottest day (or as hot as its data reach), and its vapour pressure.
    pub hot_line: Result<(ThermodynamicTemperature, AbsolutePressure), EosError>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

struct Side<'a> {
    input: &'a ConvertInput<'a>,
    lift: Length,
    required: Length,
    friction: Length,
}

impl Side<'_> {
    fn at(
        &self,
        place: &str,
        air: AbsolutePressure,
        t: ThermodynamicTemperature,
    ) -> Result<SuctionAt, EosError> {
        let state = liquid_state(self.input.to, air, t)?;
        let vapour = pascals_absolute(self.input.to.bubble_t(t.value)?.pressure_pa);
        let suction = Suction {
            tank_pressure: air,
            vapour_pressure: vapour,
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            level_above_pump: -self.lift,
            friction_head: self.friction,
        };
        let available = suction.head_available().map_err(|e| not_available(&e))?;
        Ok(SuctionAt {
            place: place.to_owned(),
            air,
            temperature: t,
            vapour,
            available,
            margin: metres(available.value - SUCTION_MARGIN * self.required.value),
        })
    }
}

fn not_available(e: &crate::flow::pump::PumpError) -> EosError {
    EosError::NotAvailable {
        what: "suction head",
        fuel: "the new fuel".to_owned(),
        why: e.to_string().into(),
    }
}

/// Head that a pump of the rig states as needed.
fn of_rig(input: &ConvertInput<'_>) -> Option<f64> {
    let parts = input.rig.train.parts();
    parts.iter().find_map(|p| match &p.kind {
        PartKind::Pump(pump) => Some(pump.npsh_required?.pascals() / (1000.0 * GRAVITY_M_S2)),
        _ => None,
    })
}

/// Suction side of the plan.
///
/// `NPSH = (p_air − p_vapour)/(ρ g) − lift − friction`; the pump needs 1.3 times its stated head.
///
/// **Source:** `tp410` (relation and factor), `iso2533` (air by altitude).
pub(super) fn suction(input: &ConvertInput<'_>, lines: &Lines) -> SuctionPlan {
    let mut assumptions = Vec::new();
    let lift = input.wishes.pump_lift.unwrap_or_else(|| {
        assumptions.push(format!(
            "the pump stands {ASSUMED_LIFT_M} m above the lowest fuel level"
        ));
        metres(ASSUMED_LIFT_M)
    });
    let required = input
        .wishes
        .suction_head
        .or_else(|| of_rig(input).map(metres))
        .unwrap_or_else(|| {
            assumptions.push(format!(
                "the pump needs {SMALL_PUMP_HEAD_M} m of suction head: makers of small gear pumps state 1 to 3 m"
            ));
            metres(SMALL_PUMP_HEAD_M)
        });
    assumptions.push(format!(
        "{SUCTION_LINE_M} m of the line lies before the pump, and fuel in a line near the fire gets {LINE_HEATING_K} K hotter than the air"
    ));
    let air = input.rig.site.air_pressure;
    let (_, hottest) = input.extremes();
    let (bore, friction_m) = suction_line(input, lines);
    let side = Side {
        input,
        lift,
        required,
        friction: metres(friction_m),
    };
    let mut rows = vec![
        side.at("site, test day", air, input.day()),
        side.at("site, hottest day", air, hottest),
    ];
    for altitude in ALTITUDES_M {
        if let Ok(p) = standard_pressure(metres(altitude)) {
            rows.push(side.at(&format!("{altitude} m, hottest day"), p, hottest));
        }
    }
    let hot_k = hottest.value + LINE_HEATING_K;
    let end_k = *input.to.validity().temperature_k.end();
    if hot_k > end_k {
        assumptions.push(format!(
            "the data of {} end at {} K: in a hotter line its vapour pressure is higher than shown",
            input.to.composition().label(),
            number(end_k)
        ));
    }
    let hot = kelvin(hot_k.min(end_k));
    let hot_line = input
        .to
        .bubble_t(hot.value)
        .map(|e| (hot, pascals_absolute(e.pressure_pa)));
    SuctionPlan {
        limit: limit(&side, air),
        bore,
        lift,
        required,
        friction: side.friction,
        rows,
        hot_line,
        assumptions,
    }
}

/// Fuel temperature at which the margin is nil.
fn limit(side: &Side<'_>, air: AbsolutePressure) -> SuctionLimit {
    let range = &side.input.to.validity().temperature_k;
    let low_k = side.input.day().value.max(*range.start());
    let high_k = range.end().min(0.98 * side.input.to.critical().0);
    let margin = |t_k: f64| side.at("", air, kelvin(t_k)).map(|s| s.margin.value);
    suction_limit(margin, low_k, high_k)
}

/// Bore and loss, m of head, of the suction line.
fn suction_line(input: &ConvertInput<'_>, lines: &Lines) -> (Option<Length>, f64) {
    let air = input.rig.site.air_pressure;
    let density = liquid_state(input.to, air, input.day()).map_or(800.0, |s| s.density_kg_m3);
    let head = |o: &LineOption| {
        o.loss.pascals() * SUCTION_LINE_M / (lines.length.value * density * GRAVITY_M_S2)
    };
    let small = lines.options.iter().find(|o| head(o) <= SUCTION_LOSS_M);
    match small.or(lines.options.last()) {
        Some(o) => (Some(o.bore), head(o)),
        None => (None, 0.0),
    }
}
