//! The bore of a line for a flow between two pressures.

use super::{Friction, Line, LineError, LineFlow, line_outlet};
use crate::eos::{Backend, State};
use crate::quantity::{AbsolutePressure, Length, MassRate, ThermodynamicTemperature, metres};

/// Bores looked at, m.
const BORES_M: [f64; 2] = [5e-4, 1.0];
/// Bore over the height of its roughness, at least.
const BORE_OVER_ROUGHNESS: f64 = 20.0;
/// Halvings of the search: it ends at 3e-10 of the bore.
const STEPS: usize = 34;

/// The narrowest line that passes a flow and leaves a pressure at its outlet; the bore of `line` is not looked at.
///
/// Narrower lines leave less, or choke. Loss coefficients are kept as they are, on the velocity of each bore.
///
/// * `line` — the line for a bore: loss coefficients may go by it
///
/// **Valid:** as [`line_outlet`]; bores of 0.5 mm to 1 m. **Source:** as [`line_outlet`].
///
/// # Errors
/// [`LineError::NoPressureDrop`]; [`LineError::NoBore`] where no bore leaves that pressure, [`LineError::AnyBore`] where
/// every one does.
pub fn line_bore(
    backend: &dyn Backend,
    inlet: &State,
    (flow, outlet): (MassRate, AbsolutePressure),
    line: impl Fn(Length) -> Result<Line, LineError>,
    ambient: ThermodynamicTemperature,
) -> Result<(Length, LineFlow), LineError> {
    let (p1_pa, p2_pa) = (inlet.pressure_pa, outlet.pascals());
    if !(p2_pa > 0.0 && p2_pa < p1_pa) {
        return Err(LineError::NoPressureDrop { p1_pa, p2_pa });
    }
    let passes =
        |bore_m: f64| match line_outlet(backend, inlet, flow, &line(metres(bore_m))?, ambient) {
            Ok(found) => Ok((found.outlet_pressure >= outlet).then_some(found)),
            Err(LineError::Choked { .. }) => Ok(None),
            Err(e) => Err(e),
        };
    let [least_m, mut high_m] = BORES_M;
    let rough_m = match line(metres(high_m))?.friction {
        Friction::Roughness(e) => e.value * BORE_OVER_ROUGHNESS,
        Friction::DarcyFactor(_) => 0.0,
    };
    let mut low_m = least_m.max(rough_m);
    let no_bore = || LineError::NoBore {
        flow_kg_s: flow.value,
        p2_pa,
        low_m: least_m.max(rough_m),
        high_m: BORES_M[1],
    };
    if passes(low_m)?.is_some() {
        return Err(LineError::AnyBore {
            flow_kg_s: flow.value,
            p2_pa,
            low_m,
        });
    }
    let mut found = passes(high_m)?.ok_or_else(no_bore)?;
    for _ in 0..STEPS {
        let middle_m = (low_m * high_m).sqrt();
        if let Some(better) = passes(middle_m)? {
            (high_m, found) = (middle_m, better);
        } else {
            low_m = middle_m;
        }
    }
    Ok((metres(high_m), found))
}
