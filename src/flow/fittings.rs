//! Loss coefficients of fittings, `K = Δp/(½ρu²)`, and their relation to Kv.
//!
//! Handbooks differ by 10 to 50 % on the same fitting; the band of any K here is that.

use crate::quantity::range::{OutOfRange, in_range};
use crate::quantity::{Angle, FlowCoefficient, Length};

fn inside(
    name: &'static str,
    value: f64,
    lower: f64,
    upper: f64,
    source_key: &'static str,
) -> Result<f64, OutOfRange> {
    in_range(name, value, lower..=upper).map_err(|e| e.said_by(source_key))
}

/// Sharp entrance flush with a tank wall: 0.57 (other handbooks: 0.5).
///
/// **Source:** `rennels2012`.
pub const SHARP_ENTRANCE: f64 = 0.57;

/// Exit into a large space: all the kinetic energy.
///
/// **Source:** `rennels2012`.
pub const EXIT: f64 = 1.0;

/// `K = 0.0696 (1 - 0.569 a) λ² + (λ - 1)²`, the shape all entrances and contractions share.
fn jet_loss(weight: f64, lambda: f64) -> f64 {
    0.0696 * weight * lambda * lambda + (lambda - 1.0).powi(2)
}

/// Entrance rounded to a radius, by radius over bore.
///
/// `λ = 1 + 0.622 (1 − 0.30 √a − 0.70 a)⁴`, `K = 0.0696 (1 − 0.569 a) λ² + (λ − 1)²`, `a = r/d`; 0.03
/// from `a = 1` on.
///
/// **Valid:** `a` ≥ 0. **Source:** `rennels2012`.
///
/// # Errors
/// [`OutOfRange`] for a negative radius.
pub fn rounded_entrance(radius_over_bore: f64) -> Result<f64, OutOfRange> {
    let a = inside(
        "radius over bore",
        radius_over_bore,
        0.0,
        1e3,
        "rennels2012",
    )?;
    if a > 1.0 {
        return Ok(0.03);
    }
    let lambda = 1.0 + 0.622 * (1.0 - 0.30 * a.sqrt() - 0.70 * a).powi(4);
    Ok(jet_loss(1.0 - 0.569 * a, lambda))
}

/// Sharp step down, by narrow over wide bore; on the velocity in the narrow one.
///
/// `λ = 1 + 0.622 (1 − 0.215 β² − 0.785 β⁵)`, `K = 0.0696 (1 − β⁵) λ² + (λ − 1)²`.
///
/// **Valid:** 0 ≤ β ≤ 1. **Source:** `rennels2012`.
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// ```
/// use fuelwright::flow::fittings::contraction;
/// assert!((contraction(0.4)? - 0.530_127).abs() < 1e-6);
/// # Ok::<(), fuelwright::quantity::range::OutOfRange>(())
/// ```
pub fn contraction(narrow_over_wide: f64) -> Result<f64, OutOfRange> {
    let beta = inside(
        "narrow over wide bore",
        narrow_over_wide,
        0.0,
        1.0,
        "rennels2012",
    )?;
    let beta5 = beta.powi(5);
    let lambda = 1.0 + 0.622 * (1.0 - 0.215 * beta * beta - 0.785 * beta5);
    Ok(jet_loss(1.0 - beta5, lambda))
}

/// Sharp step up, by narrow over wide bore; on the velocity in the narrow one: `K = (1 − β²)²`.
///
/// **Valid:** 0 ≤ β ≤ 1. **Source:** `rennels2012` (the Borda-Carnot loss).
///
/// # Errors
/// [`OutOfRange`] outside that.
pub fn expansion(narrow_over_wide: f64) -> Result<f64, OutOfRange> {
    let beta = inside(
        "narrow over wide bore",
        narrow_over_wide,
        0.0,
        1.0,
        "rennels2012",
    )?;
    Ok((1.0 - beta * beta).powi(2))
}

/// Smooth bend, by angle, radius of the centre line over bore, and Darcy factor of the line.
///
/// `K = f α r/d + (0.10 + 2.4 f) sin(α/2) + 6.6 f (√sin(α/2) + sin(α/2)) / (r/d)^(4α/π)`.
///
/// **Valid:** 0 to 180°, `r/d` ≥ 0.5. **Source:** `rennels2012`.
///
/// # Errors
/// [`OutOfRange`] outside that.
///
/// ```
/// use fuelwright::flow::fittings::bend;
/// use fuelwright::quantity::radians;
/// let k = bend(radians(std::f64::consts::FRAC_PI_2), 3.0, 0.022)?;
/// assert!((k - 0.236_693).abs() < 1e-6);
/// # Ok::<(), fuelwright::quantity::range::OutOfRange>(())
/// ```
pub fn bend(angle: Angle, radius_over_bore: f64, darcy_factor: f64) -> Result<f64, OutOfRange> {
    let pi = std::f64::consts::PI;
    let alpha = inside(
        "angle of the bend in rad",
        angle.value,
        0.0,
        pi + 1e-9,
        "rennels2012",
    )?;
    let ratio = inside(
        "bend radius over bore",
        radius_over_bore,
        0.5,
        1e3,
        "rennels2012",
    )?;
    let f = inside("Darcy factor", darcy_factor, 0.0, 1e3, "rennels2012")?;
    let sine = (alpha / 2.0).sin();
    Ok(f * alpha * ratio
        + (0.10 + 2.4 * f) * sine
        + 6.6 * f * (sine.sqrt() + sine) / ratio.powf(4.0 * alpha / pi))
}

/// Mitred bend with one joint: `K = 0.42 sin(α/2) + 2.56 sin³(α/2)`.
///
/// **Valid:** 0 to 150°. **Source:** `rennels2012`.
///
/// # Errors
/// [`OutOfRange`] outside that.
pub fn mitre(angle: Angle) -> Result<f64, OutOfRange> {
    let top = 150.0_f64.to_radians() + 1e-9;
    let alpha = inside(
        "angle of the mitre in rad",
        angle.value,
        0.0,
        top,
        "rennels2012",
    )?;
    let sine = (alpha / 2.0).sin();
    Ok(0.42 * sine + 2.56 * sine.powi(3))
}

/// Kinds of valve and fitting that the technical paper gives as a multiple of the friction factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tp410Fitting {
    /// Full-bore ball valve, 3 f.
    BallValve,
    /// Full-bore gate valve, 8 f.
    GateValve,
    /// Globe valve, 340 f.
    GlobeValve,
    /// Lift check valve, straight, 600 f.
    LiftCheckValve,
    /// Lift check valve, angled, 55 f.
    AngledLiftCheckValve,
    /// Swing check valve, angled seat, 100 f.
    SwingCheckValve,
    /// Threaded elbow of 90°, 30 f.
    Elbow90,
    /// Threaded elbow of 45°, 16 f.
    Elbow45,
    /// Tee, through the run, 20 f.
    TeeRun,
    /// Tee, through the branch, 60 f.
    TeeBranch,
}

impl Tp410Fitting {
    /// All of them, each with the name that a person writes.
    pub const NAMED: [(&str, Self); 10] = [
        ("elbow", Self::Elbow90),
        ("elbow-45", Self::Elbow45),
        ("tee-run", Self::TeeRun),
        ("tee-branch", Self::TeeBranch),
        ("ball-valve", Self::BallValve),
        ("gate-valve", Self::GateValve),
        ("globe-valve", Self::GlobeValve),
        ("swing-check-valve", Self::SwingCheckValve),
        ("lift-check-valve", Self::LiftCheckValve),
        ("angled-check-valve", Self::AngledLiftCheckValve),
    ];
}

/// Roughness of clean steel pipe, m (`tp410`: 0.00015 ft).
pub const STEEL_ROUGHNESS_M: f64 = 4.57e-5;
/// A Reynolds number at which such pipe is fully rough.
const FULLY_ROUGH: f64 = 1e9;

/// Friction factor of clean steel pipe of a bore in the fully rough region, which [`tp410`] takes.
///
/// **Valid:** bores from 1 mm. **Source:** `tp410`, by [`darcy_factor`](super::friction::darcy_factor).
///
/// ```
/// use fuelwright::flow::fittings::rough_factor;
/// use fuelwright::quantity::metres;
/// // 2 inch, schedule 40: the paper's table has 0.019
/// assert!((rough_factor(metres(0.0525))? - 0.019).abs() < 5e-4);
/// # Ok::<(), fuelwright::quantity::range::OutOfRange>(())
/// ```
///
/// # Errors
/// [`OutOfRange`] for a bore outside that.
pub fn rough_factor(bore: Length) -> Result<f64, OutOfRange> {
    let bore_mm = inside("bore in mm", bore.value * 1e3, 1.0, 1e4, "tp410")?;
    let relative = STEEL_ROUGHNESS_M * 1e3 / bore_mm;
    Ok(super::friction::darcy_factor(FULLY_ROUGH, relative))
}

/// `K = n f`, f being the friction factor in the fully rough region of a clean steel line of that bore.
///
/// **Valid:** turbulent flow; makes small bores worse than they are. **Source:** `tp410`.
///
/// ```
/// use fuelwright::flow::fittings::{tp410, Tp410Fitting};
/// assert!((tp410(Tp410Fitting::GlobeValve, 0.03) - 10.2).abs() < 1e-12);
/// ```
pub fn tp410(fitting: Tp410Fitting, rough_darcy_factor: f64) -> f64 {
    let n = match fitting {
        Tp410Fitting::BallValve => 3.0,
        Tp410Fitting::GateValve => 8.0,
        Tp410Fitting::GlobeValve => 340.0,
        Tp410Fitting::LiftCheckValve => 600.0,
        Tp410Fitting::AngledLiftCheckValve => 55.0,
        Tp410Fitting::SwingCheckValve => 100.0,
        Tp410Fitting::Elbow90 => 30.0,
        Tp410Fitting::Elbow45 => 16.0,
        Tp410Fitting::TeeRun => 20.0,
        Tp410Fitting::TeeBranch => 60.0,
    };
    n * rough_darcy_factor
}

/// Two constants: `K = k1/Re + k∞ (1 + 1 in/D)`.
///
/// **Valid:** laminar and turbulent, Re > 0. **Source:** `hooper1981`.
///
/// # Errors
/// [`OutOfRange`] for a Reynolds number or bore that is not positive.
pub fn two_k(k1: f64, k_infinity: f64, re: f64, bore: Length) -> Result<f64, OutOfRange> {
    let re = inside("Reynolds number", re, f64::MIN_POSITIVE, 1e12, "hooper1981")?;
    let d_in = inside(
        "bore in inches",
        bore.value / 0.0254,
        1e-3,
        1e3,
        "hooper1981",
    )?;
    Ok(k1 / re + k_infinity * (1.0 + 1.0 / d_in))
}

/// `K = 1.6·10⁹ D⁴/Kv²` with D in m: 1 bar, water of 999.3 kg/m³.
const K_KV2_PER_D4: f64 = 1.6e9;

/// Loss coefficient, on a bore, of a part known by its Kv: `K = 1.6·10⁹ D⁴/Kv²`.
///
/// **Source:** `iec60534-2-1` (definition of Kv).
pub fn loss_of_kv(kv: FlowCoefficient, bore: Length) -> f64 {
    K_KV2_PER_D4 * bore.value.powi(4) / (kv.kv() * kv.kv())
}

/// Kv of a part known by its loss coefficient on a bore; the reverse of [`loss_of_kv`].
///
/// **Source:** `iec60534-2-1` (definition of Kv).
pub fn kv_of_loss(loss_coefficient: f64, bore: Length) -> FlowCoefficient {
    FlowCoefficient::from_kv(bore.value.powi(2) * (K_KV2_PER_D4 / loss_coefficient).sqrt())
}
