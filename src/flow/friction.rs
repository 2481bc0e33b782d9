//! Darcy friction factor of a round line.

/// Highest Reynolds number of laminar flow here.
pub const LAMINAR_REYNOLDS: f64 = 2040.0;
/// Lowest Reynolds number at which Colebrook's equation is used.
///
/// Between the two the factor goes in a straight line over the Reynolds number. That is our choice: flow
/// there is not reproducible, and a straight line keeps pressure drop continuous and rising with flow.
pub const TURBULENT_REYNOLDS: f64 = 3000.0;

/// Darcy friction factor.
///
/// `f = 64/Re` up to Re 2040; from Re 3000 on, Colebrook's
/// `1/√f = −2 log10(ε/(3.7 D) + 2.51/(Re √f))`, solved to the last digit; a straight line between.
///
/// * `re` — Reynolds number, above 0
/// * `relative_roughness` — height of the roughness over the bore, 0 for smooth, at most 0.1
///
/// **Valid:** round line, fully developed flow; roughness up to 0.05 (up to 0.1 let through).
/// **Source:** `colebrook1939`.
///
/// Outside the ranges above the result is NaN; callers check their inputs.
///
/// ```
/// use fuelwright::flow::friction::darcy_factor;
/// assert!((darcy_factor(1000.0, 0.0) - 0.064).abs() < 1e-12);
/// assert!((darcy_factor(1e5, 1e-4) - 0.018_514).abs() < 1e-6);
/// ```
pub fn darcy_factor(re: f64, relative_roughness: f64) -> f64 {
    if !(re > 0.0 && (0.0..=0.1).contains(&relative_roughness)) {
        return f64::NAN;
    }
    if re <= LAMINAR_REYNOLDS {
        return 64.0 / re;
    }
    if re >= TURBULENT_REYNOLDS {
        return colebrook(re, relative_roughness);
    }
    let share = (re - LAMINAR_REYNOLDS) / (TURBULENT_REYNOLDS - LAMINAR_REYNOLDS);
    let (low, high) = (
        64.0 / LAMINAR_REYNOLDS,
        colebrook(TURBULENT_REYNOLDS, relative_roughness),
    );
    low + share * (high - low)
}

/// Newton's method on `x = 1/√f`; the equation is convex in x, so it cannot run away.
fn colebrook(re: f64, relative_roughness: f64) -> f64 {
    let (a, b) = (relative_roughness / 3.7, 2.51 / re);
    let ln10 = std::f64::consts::LN_10;
    // Haaland's explicit form, within 2 %
    let mut x = -1.8 * (a.powf(1.11) + 6.9 / re).log10();
    for _ in 0..8 {
        let argument = a + b * x;
        let value = x + 2.0 * argument.log10();
        let slope = 1.0 + 2.0 * b / (argument * ln10);
        let step = value / slope;
        x -= step;
        if step.abs() < 1e-15 * x {
            break;
        }
    }
    1.0 / (x * x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colebrook_is_solved_to_the_last_digits() {
        for re in [3e3, 1e4, 1e5, 1e6, 1e8] {
            for e in [0.0, 1e-6, 1e-3, 0.05] {
                let x = 1.0 / darcy_factor(re, e).sqrt();
                let residual = x + 2.0 * (e / 3.7 + 2.51 / re * x).log10();
                assert!(residual.abs() < 1e-13, "{re} {e}: {residual}");
            }
        }
    }

    #[test]
    fn drop_rises_with_flow_through_the_transition() {
        let mut last = 0.0;
        for i in 1..2000 {
            let re = 5.0 * f64::from(i);
            let drop = darcy_factor(re, 0.0) * re * re;
            assert!(drop > last, "at {re}");
            last = drop;
        }
    }

    #[test]
    fn nonsense_gives_nan_and_not_a_number_that_looks_right() {
        assert!(darcy_factor(0.0, 0.0).is_nan());
        assert!(darcy_factor(1e4, 0.2).is_nan());
        assert!(darcy_factor(f64::NAN, 0.0).is_nan());
    }
}
