//! What is wrong with heating values, limits in air and NASA polynomials.

use super::Checker;
use crate::fuel::{Combustion, FedAs, Fuel, Limits, Nasa};
use crate::quantity::GAS_CONSTANT_J_MOL_K;
use crate::quantity::sentence::in_kelvin;
use crate::quantity::show::{Units, number, short};

/// Largest relative difference between a stated heating value and that from the enthalpy of
/// formation; two good sources differ by 0.05 %, refinery fuels by more.
const HEATING_VALUE_TOLERANCE: f64 = 0.01;
/// Gross heating value for each mole of oxygen, J (our choice: 433 kJ for diesel and 572 kJ for hydrogen are the
/// ends of the library).
const PER_OXYGEN_J_MOL: (f64, f64) = (380e3, 620e3);
/// Moles of air that hold one of oxygen.
const AIR_PER_OXYGEN: f64 = 4.773;

pub(super) fn combustion_problems(c: &mut Checker, fuel: &Fuel) {
    let Some(b) = &fuel.combustion else { return };
    let key = "combustion.gross_25c_j_mol";
    let meant = "the gross heating value of a mole in J";
    let gross = b.gross_25c_j_mol;
    c.positive(key, gross, meant);
    let oxygen = fuel.formula.oxygen();
    c.gives(
        oxygen > 0.0,
        "formula",
        ("a need of oxygen", oxygen, "mol/mol"),
        "above 0 for a fuel that burns",
        "look at its atoms",
    );
    let (low, high) = PER_OXYGEN_J_MOL;
    c.need(
        oxygen <= 0.0 || oxygen.is_nan() || (low..=high).contains(&(gross / oxygen)),
        key,
        gross,
        format!(
            "from {} to {}, which is 380 to 620 kJ for each mole of oxygen, as for all fuels of carbon, \
             hydrogen and oxygen",
            number(low * oxygen),
            number(high * oxygen)
        ),
        meant,
    );
    let formation = match fuel.fed_as {
        FedAs::Gas => b.formation_enthalpy_gas_j_mol,
        FedAs::Liquid => b.formation_enthalpy_liquid_j_mol,
    };
    if let Some(h) = formation {
        let from_formation = fuel.formula.gross_heating_value_j_mol(h);
        let what = (from_formation, "what the enthalpy of formation gives");
        c.near(key, gross, what, HEATING_VALUE_TOLERANCE, meant);
    }
    ideal_gas_problems(c, fuel, b);
    c.band("combustion.uncertainty", b.uncertainty);
}

/// The heating value of the ideal gas at 15 °C, and the heat of vaporization between both enthalpies of formation.
fn ideal_gas_problems(c: &mut Checker, fuel: &Fuel, b: &Combustion) {
    if let Some(at_15c) = b.gross_15c_j_mol {
        // a liquid's gas has the heat of vaporization besides
        let most = match fuel.fed_as {
            FedAs::Gas => 1.005,
            FedAs::Liquid => 1.12,
        };
        let share = at_15c / b.gross_25c_j_mol;
        c.need(
            share.is_nan() || (0.995..=most).contains(&share),
            "combustion.gross_15c_j_mol",
            at_15c,
            format!(
                "from {} to {}, close to gross_25c_j_mol",
                number(0.995 * b.gross_25c_j_mol),
                number(most * b.gross_25c_j_mol)
            ),
            "the gross heating value of the ideal gas at 15 °C in J/mol",
        );
    }
    if let (Some(gas), Some(liquid)) = (
        b.formation_enthalpy_gas_j_mol,
        b.formation_enthalpy_liquid_j_mol,
    ) {
        c.need(
            (3e3..=150e3).contains(&(gas - liquid)) || (gas - liquid).is_nan(),
            "combustion.formation_enthalpy_liquid_j_mol",
            liquid,
            format!("3 to 150 kJ/mol below that of the gas, {}", short(gas)),
            "the enthalpy of formation of the liquid in J/mol, less than the gas's by the heat of vaporization",
        );
    }
}

pub(super) fn safety_problems(c: &mut Checker, fuel: &Fuel) {
    let Some(safety) = &fuel.safety else { return };
    let oxygen = fuel.formula.oxygen();
    let stoichiometric = 1.0 / (1.0 + AIR_PER_OXYGEN * oxygen);
    let burns = fuel.formula.burns();
    let has = |of: fn(&Limits) -> Option<f64>| safety.limits.iter().any(|l| of(l).is_some());
    c.missing(
        burns && !has(|l| l.lower),
        "safety.limits.lower",
        "a fuel that burns",
    );
    c.missing(
        burns && !has(|l| l.upper),
        "safety.limits.upper",
        "a fuel that burns",
    );
    for (i, l) in safety.limits.iter().enumerate() {
        let key = |field: &str| format!("safety.limits[{i}].{field}");
        let what = "the share of fuel at which air just burns it all";
        if let Some(x) = l.lower {
            let meant = "the lower limit in air, a mole fraction";
            c.within(&key("lower"), x, 0.001..=0.6, meant);
            c.below(&key("lower"), x, stoichiometric, what, meant);
        }
        if let Some(x) = l.upper {
            let meant = "the upper limit in air, a mole fraction";
            c.within(&key("upper"), x, 0.001..=1.0, meant);
            c.above(&key("upper"), x, stoichiometric, what, meant);
        }
        if let Some(t) = l.autoignition_k {
            let meant = "the temperature of self-ignition in kelvin";
            c.within(&key("autoignition_k"), t, 350.0..=1300.0, meant);
        }
        if let Some(t) = l.flash_point_k {
            let meant = "the flash point in kelvin";
            c.within(&key("flash_point_k"), t, 100.0..=600.0, meant);
        }
    }
    let values = [
        (
            "highest_in_nitrogen",
            &safety.highest_in_nitrogen,
            0.005..=0.7,
            "the highest share in nitrogen that cannot burn in air",
        ),
        (
            "minimum_ignition_energy_j",
            &safety.minimum_ignition_energy_j,
            1e-6..=1.0,
            "the least energy of a spark that lights it, in J",
        ),
        (
            "quenching_distance_m",
            &safety.quenching_distance_m,
            1e-4..=0.05,
            "the gap between plates that a flame does not pass, in m",
        ),
        (
            "burning_velocity_m_s",
            &safety.burning_velocity_m_s,
            0.05..=10.0,
            "the highest laminar burning velocity in m/s",
        ),
        (
            "radiant_fraction",
            &safety.radiant_fraction,
            0.005..=0.8,
            "the share of a jet flame's heat that is radiated",
        ),
    ];
    for (field, value, range, meant) in values {
        if let Some(v) = value {
            c.within(&format!("safety.{field}.value"), v.value, range, meant);
            c.band(&format!("safety.{field}.uncertainty"), v.uncertainty);
        }
    }
}

/// Heat capacity, enthalpy over `RT` and entropy of polynomials over R.
fn polynomials(a: &[f64; 7], t_k: f64) -> [f64; 3] {
    let sum = |divisors: [f64; 5]| {
        let terms = a.iter().zip(divisors).rev();
        terms.fold(0.0, |sum, (a, by)| sum * t_k + a / by)
    };
    [
        sum([1.0; 5]),
        sum([1.0, 2.0, 3.0, 4.0, 5.0]) + a[5] / t_k,
        a[0] * t_k.ln() + sum([f64::INFINITY, 1.0, 2.0, 3.0, 4.0]) + a[6],
    ]
}

pub(super) fn nasa_problems(c: &mut Checker, fuel: &Fuel, n: &Nasa) {
    let [low, middle, high] = n.t_k;
    let meant = "ends of the polynomials in kelvin: lowest, middle, highest";
    c.within("nasa.t_k[0]", low, 50.0..=400.0, meant);
    c.within("nasa.t_k[1]", middle, 500.0..=3000.0, meant);
    c.within("nasa.t_k[2]", high, 1500.0..=20000.0, meant);
    c.below("nasa.t_k[1]", middle, high, "the highest", meant);
    let both = polynomials(&n.low, middle)
        .into_iter()
        .zip(polynomials(&n.high, middle));
    let [cp, ..] = polynomials(&n.low, middle);
    for (name, (below, above)) in ["cp/R", "h/RT", "s/R"].into_iter().zip(both) {
        c.gives(
            (above - below).abs() <= JOINT_TOLERANCE * cp,
            "nasa.high",
            (&format!("{name} at the middle temperature"), above, ""),
            format!(
                "{} within 1 % of cp/R, as the low polynomial has it",
                short(below)
            ),
            "one of both polynomials has a wrong number",
        );
    }
    // translation and rotation at least; all vibrations and some electronic heat at most
    let f = fuel.formula;
    let most = 3.0 * (f.c + f.h + f.o + f.n + f.ar).max(2.0) * 1.3;
    for k in 0..=20 {
        let t_k = low + (high - low) * f64::from(k) / 20.0;
        let of = if t_k < middle { &n.low } else { &n.high };
        let key = if t_k < middle {
            "nasa.low"
        } else {
            "nasa.high"
        };
        let [cp, ..] = polynomials(of, t_k);
        let inside = (2.4..=most).contains(&cp);
        c.gives(
            inside,
            key,
            (
                &format!("cp/R at {}", in_kelvin(t_k).show(Units::Si)),
                cp,
                "",
            ),
            format!("from 2.4 to {} for a molecule of its size", number(most)),
            "look for a wrong digit or sign",
        );
        if !inside {
            break;
        }
    }
    if let Some(b) = &fuel.combustion
        && let Some(formation) = b.formation_enthalpy_gas_j_mol
    {
        let t_k = 298.15;
        let h = polynomials(&n.low, t_k)[1] * GAS_CONSTANT_J_MOL_K * t_k;
        let off = (h - formation).abs() / b.gross_25c_j_mol;
        c.gives(
            off <= HEATING_VALUE_TOLERANCE || off.is_nan(),
            "nasa.low",
            ("an enthalpy of formation", h, "J/mol"),
            format!(
                "{} J/mol within 1 % of the heating value, as [combustion] has it",
                number(formation)
            ),
            "look at the sixth number, and at the enthalpy of formation of the gas",
        );
    }
}

/// Largest difference of both polynomials at the middle temperature, relative to the heat capacity there; those of
/// the library meet within 1e-5.
const JOINT_TOLERANCE: f64 = 0.01;
