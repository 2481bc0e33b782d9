//! Relief devices: worked examples of API 520.

use fuelwright::flow::relief::{
    ReliefFactors, ReliefGas, omega, omega_critical_ratio, omega_flux, relief_area,
};
use fuelwright::quantity::{
    kelvin, kilograms_per_cubic_metre, kilograms_per_mole, kilograms_per_second, pascals_absolute,
};

const PSI: f64 = 6_894.757_293;
const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 0.3048;

const FACTORS: ReliefFactors = ReliefFactors {
    discharge: 0.975,
    back_pressure: 1.0,
    combination: 1.0,
};

fn example_gas() -> ReliefGas {
    ReliefGas {
        pressure: pascals_absolute(670e3),
        temperature: kelvin(348.0),
        compressibility: 0.90,
        molar_mass: kilograms_per_mole(0.051),
        gamma: 1.11,
    }
}

#[test]
fn critical_gas_example_needs_3699_square_millimetres() {
    // SOURCES WE-23: API 520 Part I example 1; tolerance 0.1 %
    let flow = kilograms_per_second(24_270.0 / 3600.0);
    let back = pascals_absolute(101_325.0);
    let area = relief_area(&example_gas(), flow, back, &FACTORS).expect("in range");
    let mm2 = area.value * 1e6;
    assert!((mm2 / 3699.0 - 1.0).abs() < 1e-3, "{mm2}");
}

#[test]
fn subcritical_gas_example_needs_4248_square_millimetres() {
    // API 520 Part I example 2 as carried by fluids 1.3.1 (same gas, 532 kPa back pressure); 0.1 %
    let flow = kilograms_per_second(24_270.0 / 3600.0);
    let back = pascals_absolute(532e3);
    let area = relief_area(&example_gas(), flow, back, &FACTORS).expect("in range");
    let mm2 = area.value * 1e6;
    assert!((mm2 / 4_248.36 - 1.0).abs() < 1e-3, "{mm2}");
}

#[test]
fn two_phase_column_example_matches_the_omega_method() {
    // SOURCES WE-24: inputs from memory, arithmetic checked there; tolerance 1 %
    let per_cubic_foot = POUND / FOOT.powi(3);
    let rho0 = kilograms_per_cubic_metre(per_cubic_foot / 0.3116);
    let rho9 = kilograms_per_cubic_metre(per_cubic_foot / 0.3629);
    let w = omega(rho0, rho9).expect("flashes");
    assert!((w / 1.482 - 1.0).abs() < 1e-2, "{w}");
    let eta = omega_critical_ratio(w).expect("in range");
    assert!((eta / 0.656 - 1.0).abs() < 1e-2, "{eta}");
    let p0 = pascals_absolute(80.7 * PSI);
    let flux = omega_flux(p0, rho0, w, pascals_absolute(29.7 * PSI)).expect("in range");
    let lb_s_ft2 = flux.value / POUND * FOOT * FOOT;
    assert!((lb_s_ft2 / 594.1 - 1.0).abs() < 1e-2, "{lb_s_ft2}");
    let in2 = 477_430.0 / 3600.0 / (0.85 * lb_s_ft2) * 144.0;
    assert!((in2 / 37.8 - 1.0).abs() < 1e-2, "{in2}");
    // the critical flux by the short form, eta sqrt(p0 rho0/omega)
    let short = eta * (p0.pascals() * rho0.value / w).sqrt();
    assert!((flux.value / short - 1.0).abs() < 1e-9);
}
