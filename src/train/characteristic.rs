//! Flow coefficient of a valve against its opening, and back.

use super::{Characteristic, Valve};
use crate::quantity::FlowCoefficient;
use crate::quantity::show::number;
use crate::quantity::told::errors;

errors! {
    /// What is wrong with a valve's data or with an opening.
    pub enum OpeningError {
        OutOfRange { opening: f64 } =>
            "an opening of {opening} is not between 0 (closed) and 1 (open)";
        CannotThrottle { kv_m3_h: f64 } =>
            "the valve only opens and shuts: it cannot be set to Kv {} m³/h", number(kv_m3_h);
        TooSmall { wanted_m3_h: f64, full_m3_h: f64 } =>
            "Kv {} m³/h is wanted, and the valve has {} when open", number(wanted_m3_h), number(full_m3_h);
        TooLarge { wanted_m3_h: f64, least_m3_h: f64 } =>
            "Kv {} m³/h is wanted, and the least the valve can hold is {}", number(wanted_m3_h), number(least_m3_h);
        NoCurve { why: &'static str } => "the valve's characteristic is not a curve: {why}";
    }
}

/// Flow coefficient at an opening.
///
/// Linear: `Kvs (1/R + (1 − 1/R) h)`; equal percentage: `Kvs R^(h−1)`; table: straight between points,
/// and straight to closed below the first. At `h = 0` every valve is closed.
///
/// **Valid:** 0 ≤ h ≤ 1. **Errors:** [`OpeningError`]. **Source:** `iec60534-2-4`.
///
/// # Errors
/// [`OpeningError`] for an opening outside that or data that make no curve.
pub fn flow_coefficient(valve: &Valve, opening: f64) -> Result<FlowCoefficient, OpeningError> {
    if !(0.0..=1.0).contains(&opening) {
        return Err(OpeningError::OutOfRange { opening });
    }
    check(valve)?;
    let full = valve.full_open.kv();
    let kv = match &valve.characteristic {
        _ if opening <= 0.0 => 0.0,
        Characteristic::OnOff => full,
        Characteristic::Linear { rangeability: r } => full * (1.0 / r + (1.0 - 1.0 / r) * opening),
        Characteristic::EqualPercentage { rangeability: r } => full * r.powf(opening - 1.0),
        Characteristic::Table(points) => between(points.iter().map(|(h, k)| (*h, k.kv())), opening),
    };
    Ok(FlowCoefficient::from_kv(kv))
}

/// Opening at a flow coefficient; the reverse of [`flow_coefficient`].
///
/// **Valid:** between the least controllable and the full flow coefficient. **Errors:**
/// [`OpeningError`]. **Source:** `iec60534-2-4`.
///
/// # Errors
/// [`OpeningError::TooSmall`] or [`OpeningError::TooLarge`] outside that range.
pub fn opening(valve: &Valve, kv: FlowCoefficient) -> Result<f64, OpeningError> {
    check(valve)?;
    let (wanted, full) = (kv.kv(), most(valve));
    if !(wanted <= full * (1.0 + 1e-12)) {
        return Err(OpeningError::TooSmall {
            wanted_m3_h: wanted,
            full_m3_h: full,
        });
    }
    let least = least_controllable(valve)?.kv();
    if wanted < least * (1.0 - 1e-12) {
        return Err(OpeningError::TooLarge {
            wanted_m3_h: wanted,
            least_m3_h: least,
        });
    }
    let h = match &valve.characteristic {
        Characteristic::OnOff if wanted >= full * (1.0 - 1e-12) => 1.0,
        Characteristic::OnOff => return Err(OpeningError::CannotThrottle { kv_m3_h: wanted }),
        Characteristic::Linear { rangeability: r } => (wanted / full - 1.0 / r) / (1.0 - 1.0 / r),
        Characteristic::EqualPercentage { rangeability: r } => 1.0 + (wanted / full).ln() / r.ln(),
        Characteristic::Table(points) => between(points.iter().map(|(h, k)| (k.kv(), *h)), wanted),
    };
    Ok(h.clamp(0.0, 1.0))
}

/// The least flow coefficient the valve can be set to and hold.
///
/// **Source:** `iec60534-2-4` (rangeability); for a table its first point above closed.
///
/// # Errors
/// [`OpeningError::NoCurve`].
pub fn least_controllable(valve: &Valve) -> Result<FlowCoefficient, OpeningError> {
    check(valve)?;
    let full = valve.full_open.kv();
    let kv = match &valve.characteristic {
        Characteristic::OnOff => 0.0,
        Characteristic::Linear { rangeability }
        | Characteristic::EqualPercentage { rangeability } => full / rangeability,
        Characteristic::Table(points) => points
            .iter()
            .map(|(_, k)| k.kv())
            .find(|k| *k > 0.0)
            .unwrap_or(0.0),
    };
    Ok(FlowCoefficient::from_kv(kv))
}

fn most(valve: &Valve) -> f64 {
    match &valve.characteristic {
        Characteristic::Table(points) => points.last().map_or(0.0, |(_, k)| k.kv()),
        _ => valve.full_open.kv(),
    }
}

/// Straight between points whose first members rise; straight to the origin below the first.
fn between(points: impl Iterator<Item = (f64, f64)>, at: f64) -> f64 {
    let (mut x0, mut y0) = (0.0, 0.0);
    for (x, y) in points {
        if at <= x {
            if x <= x0 {
                return y;
            }
            return y0 + (y - y0) * (at - x0) / (x - x0);
        }
        (x0, y0) = (x, y);
    }
    y0
}

fn check(valve: &Valve) -> Result<(), OpeningError> {
    let no_curve = |why| Err(OpeningError::NoCurve { why });
    if !(valve.full_open.kv() > 0.0 && valve.full_open.kv().is_finite()) {
        return no_curve("the full-open flow coefficient is not above zero");
    }
    match &valve.characteristic {
        Characteristic::OnOff => Ok(()),
        Characteristic::Linear { rangeability }
        | Characteristic::EqualPercentage { rangeability } => {
            if *rangeability > 1.0 && rangeability.is_finite() {
                Ok(())
            } else {
                no_curve("the rangeability is not above 1")
            }
        }
        Characteristic::Table(points) => {
            let rises = points
                .windows(2)
                .all(|w| w[0].0 < w[1].0 && w[0].1.kv() < w[1].1.kv());
            let inside = points
                .iter()
                .all(|(h, k)| (0.0..=1.0).contains(h) && k.kv() >= 0.0 && k.kv().is_finite());
            match (points.is_empty(), rises, inside) {
                (true, _, _) => no_curve("the table has no points"),
                (_, false, _) => no_curve("opening and flow coefficient do not both rise"),
                (_, _, false) => no_curve("an opening is not between 0 and 1"),
                _ => Ok(()),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::valve::Style;
    use crate::quantity::{kv, metres};

    fn valve(characteristic: Characteristic) -> Valve {
        Valve {
            bore: metres(0.006),
            full_open: kv(0.2),
            characteristic,
            opening: 1.0,
            style: Style::NEEDLE,
            steps: None,
        }
    }

    #[test]
    fn opening_undoes_flow_coefficient() {
        let table = vec![(0.1, kv(0.004)), (0.5, kv(0.05)), (1.0, kv(0.2))];
        for c in [
            Characteristic::Linear { rangeability: 30.0 },
            Characteristic::EqualPercentage { rangeability: 50.0 },
            Characteristic::Table(table),
        ] {
            let v = valve(c);
            for h in [0.1, 0.35, 0.5, 0.77, 1.0] {
                let back = opening(&v, flow_coefficient(&v, h).expect("set")).expect("found");
                assert!((back - h).abs() < 1e-12, "{back} {h}");
            }
        }
    }

    #[test]
    fn what_a_valve_cannot_hold_is_refused() {
        let v = valve(Characteristic::EqualPercentage { rangeability: 20.0 });
        assert!(matches!(
            opening(&v, kv(0.21)),
            Err(OpeningError::TooSmall { .. })
        ));
        assert!(matches!(
            opening(&v, kv(0.009)),
            Err(OpeningError::TooLarge { .. })
        ));
        assert!(matches!(
            flow_coefficient(&v, 1.5),
            Err(OpeningError::OutOfRange { .. })
        ));
        let shut = valve(Characteristic::OnOff);
        assert!(matches!(
            opening(&shut, kv(0.1)),
            Err(OpeningError::CannotThrottle { .. })
        ));
        let falls = valve(Characteristic::Table(vec![(0.5, kv(0.1)), (1.0, kv(0.05))]));
        assert!(matches!(
            flow_coefficient(&falls, 0.5),
            Err(OpeningError::NoCurve { .. })
        ));
    }
}
