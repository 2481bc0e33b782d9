//! WE-25a: vapour pressure at 15 °C by Wagner's 3-6 equation with the coefficients of `McGarry` (1983).

use fuelwright::eos::correlated::vapour_pressure::wagner36;

/// grade = published: coefficients of `McGarry`, Ind. Eng. Chem. Process Des. Dev. 22 (1983), as carried by
/// chemicals 1.5.2 (`Wagner Original McGarry.tsv`); the pressure is plain arithmetic from them.
/// Columns: A, B, C, D, Tc in K, pc in Pa, p(15 °C) in bar.
const TABLE: [(&str, [f64; 4], f64, f64, f64); 8] = [
    (
        "propane",
        [-6.67833, 1.15437, -1.64984, -2.70017],
        369.82,
        4_255_760.0,
        7.3051,
    ),
    (
        "n-butane",
        [-6.88709, 1.15157, -1.99873, -3.13003],
        425.18,
        3_790_620.0,
        1.7629,
    ),
    (
        "isobutane",
        [-6.95579, 1.50090, -2.52717, -1.49776],
        408.14,
        3_658_010.0,
        2.5846,
    ),
    (
        "propylene",
        [-6.64231, 1.21857, -1.81005, -2.48212],
        364.85,
        4_605_230.0,
        8.9252,
    ),
    (
        "dimethyl-ether",
        [-7.12597, 1.81710, -3.10058, -0.91638],
        400.00,
        5_236_100.0,
        4.3508,
    ),
    (
        "ethanol",
        [-8.51838, 0.34163, -5.73683, 8.32581],
        513.92,
        6_130_870.0,
        0.04321,
    ),
    (
        "methanol",
        [-8.54796, 0.76982, -3.10850, 1.54481],
        512.64,
        8_085_050.0,
        0.09876,
    ),
    (
        "isopropanol",
        [-8.16927, -0.09432, -8.10040, 7.85000],
        508.30,
        4_742_440.0,
        0.03022,
    ),
];

/// Tolerance of the worked example; where the table prints four digits only, half the last of them is
/// wider (1.7e-4 for isopropanol, 1.2e-4 for ethanol).
const TOLERANCE: f64 = 1e-4;
const HALF_DIGIT_BAR: f64 = 5e-6;

#[test]
fn wagner_equation_gives_the_tabled_vapour_pressures() {
    for (name, coefficients, t_critical_k, p_critical_pa, want_bar) in TABLE {
        let p_bar = wagner36(&coefficients, t_critical_k, p_critical_pa, 288.15) / 1e5;
        let limit = (TOLERANCE * want_bar).max(HALF_DIGIT_BAR);
        assert!(
            (p_bar - want_bar).abs() <= limit,
            "{name}: got {p_bar}, want {want_bar}"
        );
    }
}
