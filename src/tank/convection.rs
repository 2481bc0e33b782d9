//! Nusselt numbers of free and forced convection on cylinders.
//!
//! Dimensionless groups keep the letters of the papers: `ra` Rayleigh, `gr` Grashof, `pr` Prandtl,
//! `re` Reynolds. Published correlations of this kind scatter by 10 to 25 % against measurement.

/// Relative half-width of the band on a coefficient computed here.
///
/// **Source:** common practice; textbooks quote 10 to 25 %.
pub const COEFFICIENT_BAND: f64 = 0.25;

/// Highest Rayleigh number of the free-convection correlations.
pub const HIGHEST_RAYLEIGH: f64 = 1e12;

/// Free convection on a long horizontal cylinder, by its diameter.
///
/// `Nu = {0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)}²`
///
/// **Valid:** `1e-5 < Ra < 1e12`, any Prandtl number, isothermal.
/// **Source:** `churchill1975b`.
///
/// ```
/// use fuelwright::tank::convection::horizontal_cylinder;
/// assert!((horizontal_cylinder(5.073e6, 0.697) - 23.09).abs() < 0.01);
/// ```
pub fn horizontal_cylinder(ra: f64, pr: f64) -> f64 {
    let shape = (1.0 + (0.559 / pr).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.60 + 0.387 * ra.powf(1.0 / 6.0) / shape).powi(2)
}

/// Free convection on a vertical plate, by its height.
///
/// `Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}²`
///
/// **Valid:** `0.1 < Ra < 1e12`, any Prandtl number, isothermal.
/// **Source:** `churchill1975a`.
pub fn vertical_plate(ra: f64, pr: f64) -> f64 {
    let shape = (1.0 + (0.492 / pr).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.825 + 0.387 * ra.powf(1.0 / 6.0) / shape).powi(2)
}

/// Factor by which a slender vertical cylinder exceeds a vertical plate of the same height.
///
/// `1 + B (√32 Gr^(-1/4) L/D)^C`, `B = 0.0571322 + 0.20305 Pr^-0.43`,
/// `C = 0.9165 - 0.0043 Pr^0.5 + 0.01333 ln Pr + 0.0004809/Pr`
///
/// **Valid:** laminar (`Ra < 1e9`), `0.01 < Pr < 100`. Above, the boundary layer is thin against the
/// diameter of any tank and the factor is within some per cent of one; it is kept so that there is no jump.
/// **Source:** `popiel2007`.
pub fn slender_cylinder_factor(gr: f64, pr: f64, length_over_diameter: f64) -> f64 {
    if gr <= 0.0 {
        // no flow, no boundary layer: the heat is nil as well
        return 1.0;
    }
    let b = 0.057_132_2 + 0.203_05 * pr.powf(-0.43);
    let c = 0.9165 - 0.0043 * pr.sqrt() + 0.013_33 * pr.ln() + 0.000_480_9 / pr;
    1.0 + b * (32.0_f64.sqrt() * gr.powf(-0.25) * length_over_diameter).powf(c)
}

/// Forced convection across a cylinder, by its diameter.
///
/// `Nu = 0.3 + 0.62 Re^½ Pr^⅓ / [1 + (0.4/Pr)^⅔]^¼ · [1 + (Re/282000)^⅝]^⅘`
///
/// **Valid:** `Re Pr > 0.2`, to about `Re = 1e7`.
/// **Source:** `churchill1977`.
pub fn cross_flow(re: f64, pr: f64) -> f64 {
    let low = 0.62 * re.sqrt() * pr.cbrt() / (1.0 + (0.4 / pr).powf(2.0 / 3.0)).powf(0.25);
    0.3 + low * (1.0 + (re / 282_000.0).powf(0.625)).powf(0.8)
}

/// Free and forced convection across each other: `Nu⁴ = Nu_free⁴ + Nu_forced⁴`.
///
/// **Source:** `churchill1977b`; the exponent 4 for cylinders across the flow from `incropera2007`.
pub fn mixed(free: f64, forced: f64) -> f64 {
    (free.powi(4) + forced.powi(4)).powf(0.25)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Code to code: ht 1.2.0 (Nu_horizontal_cylinder_Churchill_Chu and so on), 12 digits
    #[test]
    fn correlations_agree_with_an_independent_library() {
        let rows = [
            (horizontal_cylinder(5.073e6, 0.697), 23.091_051_396_219_61),
            (horizontal_cylinder(1e8, 0.72), 56.689_196_806_786_11),
            (horizontal_cylinder(1e9, 7.0), 145.897_075_299_275_31),
            (vertical_plate(1.813e9, 0.69), 147.119_010_360_047_78),
            (vertical_plate(1e9, 7.0), 152.522_640_700_585_27),
            (cross_flow(100.0, 0.7), 5.156_131_724_219_801),
            (cross_flow(6071.0, 0.7), 40.637_085_941_249_74),
            (cross_flow(1e5, 0.7), 214.126_042_873_375_18),
            (
                vertical_plate(0.7e10, 0.7) * slender_cylinder_factor(1e10, 0.7, 2.5),
                228.897_900_551_498_96,
            ),
            (
                vertical_plate(0.72e9, 0.72) * slender_cylinder_factor(1e9, 0.72, 4.0),
                116.220_085_560_437_91,
            ),
        ];
        for (got, want) in rows {
            assert!((got / want - 1.0).abs() < 1e-9, "{got} {want}");
        }
    }

    // Published: Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., example 9.4
    // (from memory): Nu 23.3 for Ra 5.073e6, Pr 0.697, worked by hand to three digits.
    #[test]
    fn textbook_pipe_in_still_air() {
        assert!((horizontal_cylinder(5.073e6, 0.697) - 23.3).abs() < 0.01 * 23.3);
    }

    #[test]
    fn the_stronger_of_two_currents_rules() {
        assert!((mixed(10.0, 0.0) - 10.0).abs() < 1e-12);
        assert!(mixed(10.0, 100.0) < 100.01);
        assert!((mixed(10.0, 10.0) - 11.892).abs() < 1e-3);
    }

    #[test]
    fn a_thick_cylinder_is_a_plate() {
        assert!(slender_cylinder_factor(1e9, 0.7, 0.01) < 1.001);
        assert!((slender_cylinder_factor(0.0, 0.7, 4.0) - 1.0).abs() < 1e-15);
    }
}
