//! Releases and what they do against published figures and closed forms.

use super::eos::Backends;
use super::perfect_gas::PerfectGas;
use super::table::{Tally, rows};
use fuelwright::flow::orifice::{Expansion, Stagnation, ideal_gas_flux};
use fuelwright::leak::decay::{Walls, empty_section};
use fuelwright::leak::fire::{radiation, radiation_distance};
use fuelwright::leak::jet::{DECAY, ExpandedJet, Notional, notional_diameter, reach};
use fuelwright::leak::release::{BOUNDING, Hole, Release, release};
use fuelwright::leak::room::{Room, clearing_time, fill};
use fuelwright::leak::screening::release_characteristic;
use fuelwright::leak::{LeakFuel, Surroundings};
use fuelwright::quantity::{
    cubic_metres, cubic_metres_per_second, kelvin, kilograms_per_cubic_metre, kilograms_per_mole,
    kilograms_per_second, metres, metres_per_second, pascals_absolute, ratio, square_metres, watts,
    watts_per_square_metre,
};

const ATMOSPHERE_PA: f64 = 101_325.0;

fn around(t_k: f64) -> Surroundings {
    Surroundings {
        pressure: pascals_absolute(ATMOSPHERE_PA),
        temperature: kelvin(t_k),
    }
}

fn hole(d_m: f64, coefficient: f64) -> Hole {
    Hole {
        diameter: metres(d_m),
        coefficient: Some(ratio(coefficient)),
    }
}

#[track_caller]
fn within(got: f64, want: f64, relative: f64) {
    assert!((got / want - 1.0).abs() < relative, "{got}, not {want}");
}

/// Grade: code to code, `CoolProp` 8.0.0; tolerance 1e-4 as tests/reference/README.md gives for the flux.
#[test]
fn a_hole_without_losses_passes_the_flux_of_the_reference_table() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("nozzle.csv") {
        let fluid = backends.get(row.text("fluid"));
        let p0 = pascals_absolute(row.num("p0_Pa"));
        let up = match row.text("phase0") {
            "saturated vapour" => Stagnation::saturated(fluid.as_ref(), p0, 1.0),
            "saturated liquid" => Stagnation::saturated(fluid.as_ref(), p0, 0.0),
            _ => Stagnation::at(fluid.as_ref(), p0, kelvin(row.num("T0_K"))),
        }
        .expect("an upstream state");
        let outside = pascals_absolute(row.num("pb_Pa"));
        match release(&up, outside, &hole(1e-3, 1.0), Expansion::Equilibrium) {
            Ok(leak) => {
                let flux = leak.flow.value / leak.area.value;
                tally.relative(flux, row.num("G_kg_m2s"), 1e-4, "G", &row);
                if leak.choked != row.flag("choked") {
                    tally.fail("choked or not", &row);
                }
            }
            Err(error) => tally.fail(&error.to_string(), &row),
        }
    }
    tally.finish(30);
}

/// By hand, IEC 60079-10-1 for liquid: `W = Cd S √(2 ρ Δp)` with the highest coefficient of a sharp edge, 0.75, a
/// quarter of a square millimetre and propane at its saturation, 15 °C: 507.5 kg/m3 and 7.315 bar(a) (`CoolProp` 8.0.0,
/// SOURCES 4.1 and 4.3) into air: `0.75 · 0.25e-6 · √(2 · 507.5 · 630175)` = 4.742 g/s. In equilibrium the same hole would
/// pass a fifth of it. Half the last digit of the density is 0.01 %, of the pressure 0.05 %.
#[test]
fn saturated_liquid_leaks_by_what_bounds_it() {
    let by_hand = 0.75 * 0.25e-6 * f64::sqrt(2.0 * 507.5 * (7.315e5 - ATMOSPHERE_PA));
    assert!((by_hand - 4.742e-3).abs() < 5e-7);
    let mut backends = Backends::new();
    let fluid = backends.get("propane");
    let up = Stagnation::saturated(fluid.as_ref(), pascals_absolute(7.315e5), 0.0).expect("boils");
    let outside = pascals_absolute(ATMOSPHERE_PA);
    let area = square_metres(0.25e-6);
    let seen = Hole {
        coefficient: Some(ratio(0.75)),
        ..Hole::of_area(area)
    };
    for hole in [seen, Hole::of_area(area)] {
        let leak = release(&up, outside, &hole, BOUNDING).expect("ok");
        within(leak.flow.value, by_hand, 6e-4);
        let ends = leak.expanding.expect("a liquid");
        assert_eq!(ends.taken, Expansion::Bernoulli);
        assert!(ends.boils() && !leak.choked);
        within(ends.bernoulli.value, leak.flow.value, 1e-12);
        assert!(leak.low <= ends.equilibrium && ends.equilibrium.value < 0.25 * by_hand);
        assert!(leak.high >= leak.flow);
        // the others are there for whoever asks
        let of = |e| release(&up, outside, &hole, e).expect("ok");
        let (least, blend) = (of(Expansion::Equilibrium), of(Expansion::Blend));
        assert!(least.flow < blend.flow && blend.flow.value < 0.65 * by_hand);
        for other in [least, blend] {
            // with a coefficient of its own where nobody has seen the hole
            let by = leak.coefficient.value / other.coefficient.value;
            let ends = other.expanding.expect("a liquid");
            within(by * ends.bernoulli.value, leak.flow.value, 1e-12);
        }
    }
}

/// Published: Guidelines for Consequence Analysis of Chemical Releases (CCPS, 1999), p. 40, a liquid of 490 kg/m3 at
/// 1.209350368 bar(a) through a hole of 10 mm with 0.63: 0.21691 kg/s, as carried by the tests of GasDispersion.jl. Ours
/// of propane, brought to its hole, coefficient, density and pressure difference by the groups of the formula.
#[test]
fn liquid_through_a_hole_is_that_of_the_published_example() {
    let mut backends = Backends::new();
    let fluid = backends.get("propane");
    let up = Stagnation::saturated(fluid.as_ref(), pascals_absolute(9e5), 0.0).expect("boils");
    let outside = pascals_absolute(ATMOSPHERE_PA);
    let leak = release(&up, outside, &hole(2e-3, 0.8), BOUNDING).expect("ok");
    let own = up.state().density_kg_m3 * (9e5 - ATMOSPHERE_PA);
    let theirs = 490.0 * (120_935.036_8 - ATMOSPHERE_PA);
    let by = 0.63 / 0.8 * f64::powi(10.0 / 2.0, 2) * f64::sqrt(theirs / own);
    within(by * leak.flow.value, 0.21691, 1e-5);
}

/// Grade: code to code, `CoolProp` 8.0.0: both ends of what a liquid may do in a hole, at the tolerances that
/// tests/reference/README.md gives.
#[test]
fn both_ends_of_a_liquid_release_are_those_of_the_reference_table() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("nozzle_liquid.csv") {
        let fluid = backends.get(row.text("fluid"));
        let p0 = pascals_absolute(row.num("p0_Pa"));
        let up = match row.text("phase0") {
            "saturated liquid" => Stagnation::saturated(fluid.as_ref(), p0, 0.0),
            _ => Stagnation::at(fluid.as_ref(), p0, kelvin(row.num("T0_K"))),
        }
        .expect("an upstream state");
        let outside = pascals_absolute(row.num("pb_Pa"));
        let leak = release(&up, outside, &hole(1e-3, 1.0), BOUNDING).expect("ok");
        let ends = leak.expanding.expect("a liquid");
        let flux = |flow: fuelwright::quantity::MassRate| flow.value / leak.area.value;
        let most = row.num("G_bernoulli_kg_m2s");
        tally.relative(flux(leak.flow), most, 1e-6, "taken", &row);
        tally.relative(flux(ends.bernoulli), most, 1e-6, "most", &row);
        tally.relative(
            flux(ends.equilibrium),
            row.num("G_kg_m2s"),
            1e-3,
            "least",
            &row,
        );
    }
    tally.finish(14 * 3);
}

/// SOURCES WE-33: the arithmetic of IEC 60079-10-1 for propane vapour at 7.315 bar(a), 15 °C, exponent
/// 1.13 and Z 1; tolerance 0.2 %.
#[test]
fn vapour_through_a_quarter_square_millimetre_and_its_release_characteristic() {
    let flux = ideal_gas_flux(
        pascals_absolute(7.315e5),
        kelvin(288.15),
        pascals_absolute(ATMOSPHERE_PA),
        kilograms_per_mole(0.044_096),
        1.13,
        1.0,
    )
    .expect("in range");
    let perfect = 0.75 * 0.25e-6 * flux.value;
    within(perfect, 3.734e-4, 2e-3);

    let mut backends = Backends::new();
    let propane = backends.get("propane");
    let up = Stagnation::saturated(propane.as_ref(), pascals_absolute(7.315e5), 1.0).expect("ok");
    let leak = Hole {
        coefficient: Some(ratio(0.75)),
        ..Hole::of_area(square_metres(0.25e-6))
    };
    let real = release(
        &up,
        pascals_absolute(ATMOSPHERE_PA),
        &leak,
        Expansion::Blend,
    )
    .expect("ok");
    assert!(real.choked);
    // a constant exponent under-predicts near saturation (SOURCES 2.4): nozzle.csv has 4 % for saturated
    // vapour at 5 bar and 8 % at 12 bar
    let over = real.flow.value / perfect - 1.0;
    assert!((0.0..0.08).contains(&over), "{over}");

    let fuel = LeakFuel::of(propane.as_ref(), &around(293.15)).expect("air");
    let qc = release_characteristic(kilograms_per_second(3.734e-4), &fuel).expect("it burns");
    // the worked figure has the perfect gas's density, 1.833 kg/m³; the real one is 1.8 % denser
    within(qc.value * fuel.gas_density.value / 1.833, 0.0240, 2e-3);
    within(fuel.gas_density.value, 1.833, 0.025);
}

/// SOURCES WE-34: table 2 of Papanikolaou et al. (2012), hydrogen at 53.27 bar through 1 mm into air at
/// 14.5 °C. Tolerance 0.3 %.
#[test]
fn notional_nozzles_of_a_hydrogen_jet() {
    let flow = kilograms_per_second(2.4e-3);
    let rho = kilograms_per_cubic_metre(0.0854);
    for (u, d_mm) in [(1292.0, 5.262), (1984.0, 4.247)] {
        let d = notional_diameter(flow, rho, metres_per_second(u));
        within(d.value * 1e3, d_mm, 3e-3);
    }
    let mut backends = Backends::new();
    let hydrogen = backends.get("hydrogen");
    let around = around(287.65);
    let fuel = LeakFuel::of(hydrogen.as_ref(), &around).expect("air");
    within(fuel.gas_density.value, 0.0854, 3e-3);
    let up = Stagnation::at(hydrogen.as_ref(), pascals_absolute(53.27e5), kelvin(287.65));
    let up = up.expect("hydrogen there");
    let mut leak = release(&up, around.pressure, &hole(1e-3, 0.9), Expansion::Blend).expect("ok");
    // the paper's flow is measured; only the jet that it makes is compared
    leak.flow = flow;
    let jet = |n| ExpandedJet::of(&leak, &fuel, &around, n).expect("air");
    let (sonic, momentum) = (jet(Notional::Birch1984), jet(Notional::Birch1987));
    within(sonic.velocity.value, 1292.0, 3e-3);
    within(sonic.diameter.value * 1e3, 5.262, 3e-3);
    // 1 %: the paper has a perfect gas with exponent 1.405, ours the real one at 53 bar
    within(momentum.velocity.value, 1984.0, 1e-2);
    within(momentum.diameter.value * 1e3, 4.247, 1e-2);
}

/// SOURCES WE-35: propane gas at 3 bar(a), 20 °C through 1 mm, coefficient 0.84. Tolerance 1 % there; 2 %
/// here, because the flow and the density are those of the real gas.
#[test]
fn distance_to_the_lower_limit_of_a_propane_jet() {
    let mut backends = Backends::new();
    let propane = backends.get("propane");
    let around = around(293.15);
    let fuel = LeakFuel::of(propane.as_ref(), &around).expect("air");
    let up = Stagnation::at(propane.as_ref(), pascals_absolute(3e5), kelvin(293.15)).expect("gas");
    let leak = release(&up, around.pressure, &hole(1e-3, 0.84), Expansion::Blend).expect("ok");
    within(leak.flow.value, 5.342e-4, 0.02);
    let found = reach(&leak, &fuel, &around)
        .expect("air")
        .expect("it burns");
    within(found.jet.diameter.value, 1.218e-3, 0.01);
    within(found.lower_limit.value.value, 0.290, 0.02);
    within(found.half_limit.value.value, 0.581, 0.02);
    assert!(found.half_limit.low < found.half_limit.value);
    assert!(found.half_limit.value < found.half_limit.high);
    // back from the distance to the limit
    let there = found.jet.fraction_at(found.lower_limit.value, DECAY.0);
    within(there.value, 0.017, 1e-9);
    // without a coefficient the hole is a thick one: about the 0.84 of the example
    let blind = Hole::of(metres(1e-3));
    let blind = release(&up, around.pressure, &blind, Expansion::Blend).expect("ok");
    within(blind.flow.value, leak.flow.value, 0.01);
    assert!(blind.low.value < 0.95 * blind.flow.value);
    assert!(blind.high.value > 1.1 * blind.flow.value);
}

/// SOURCES WE-34 and WE-35 with the perfect gases they are worked with: exponents 1.405 and 1.13. Tolerances
/// 0.3 % and 1 %, as given there.
#[test]
fn worked_jets_of_perfect_gases() {
    let hydrogen = PerfectGas::new(1.405, 2.015_88e-3, 8.9e-6);
    let up = Stagnation::at(&hydrogen, pascals_absolute(53.27e5), kelvin(287.65)).expect("gas");
    let air = pascals_absolute(ATMOSPHERE_PA);
    let leak = release(&up, air, &hole(1e-3, 0.9), Expansion::Blend).expect("ok");
    let momentum = leak.expanded_velocity();
    within(momentum.value, 1984.0, 3e-3);
    let rho = kilograms_per_cubic_metre(0.0854);
    let d = notional_diameter(kilograms_per_second(2.4e-3), rho, momentum);
    within(d.value * 1e3, 4.247, 3e-3);

    let (gamma, m) = (1.13, 0.044_096);
    let propane = PerfectGas::new(gamma, m, 8e-6);
    let up = Stagnation::at(&propane, pascals_absolute(3e5), kelvin(293.15)).expect("gas");
    let leak = release(&up, air, &hole(1e-3, 0.84), Expansion::Blend).expect("ok");
    within(leak.flow.value, 5.342e-4, 1e-2);
    let rt = 8.314_462_618 * 293.15;
    let (density, velocity) = (ATMOSPHERE_PA * m / rt, (gamma * rt / m).sqrt());
    let air_density = ATMOSPHERE_PA * 0.028_965 / rt;
    within(density / air_density, 1.522, 1e-2);
    let density = kilograms_per_cubic_metre(density);
    let velocity = metres_per_second(velocity);
    let jet = ExpandedJet {
        notional: Notional::Birch1984,
        diameter: notional_diameter(leak.flow, density, velocity),
        velocity,
        density,
        air_density: kilograms_per_cubic_metre(air_density),
    };
    within(jet.diameter.value, 1.218e-3, 1e-2);
    within(jet.distance_to(ratio(0.017), DECAY.0).value, 0.290, 1e-2);
    within(jet.distance_to(ratio(0.0085), DECAY.0).value, 0.581, 1e-2);
}

/// SOURCES WE-40: NUREG-1805 chapter 5, 771.52 kW, share 0.30, 3.564 m: 1.45 kW/m². Tolerance 0.5 %.
#[test]
fn radiation_of_the_worked_fire() {
    let q = radiation(watts(771_520.0), ratio(0.3), metres(3.564));
    within(q.value, 1450.0, 5e-3);
    let r = radiation_distance(watts(771_520.0), ratio(0.3), watts_per_square_metre(1450.0));
    within(r.value, 3.564, 5e-3);
}

/// Closed forms of a perfect gas that leaves a rigid vessel through a choked hole: isothermal
/// `ρ = ρ0 e^(−t/τ)`, without heat `p = p0 (1 + (γ−1)/2 t/τ)^(−2γ/(γ−1))`, both with
/// `τ = V/(C A w0) ((γ+1)/2)^((γ+1)/(2(γ−1)))` (textbook results, derived from the balances).
#[test]
fn a_perfect_gas_leaves_a_vessel_as_the_closed_forms_say() {
    let (gamma, m) = (1.4, 0.028_97);
    let gas = PerfectGas::new(gamma, m, 1.8e-5);
    let (p0, t0, v) = (8e5, 300.0, 2e-3);
    let up = Stagnation::at(&gas, pascals_absolute(p0), kelvin(t0)).expect("gas");
    let hole = hole(1e-3, 0.8);
    let leak: Release = release(
        &up,
        pascals_absolute(ATMOSPHERE_PA),
        &hole,
        Expansion::Blend,
    )
    .expect("ok");
    let w0 = (gamma * 8.314_462_618 / m * t0).sqrt();
    let passage = 0.8 * leak.area.value * w0;
    let half: f64 = f64::midpoint(gamma, 1.0);
    let tau = v / passage * half.powf((gamma + 1.0) / (2.0 * (gamma - 1.0)));
    let choked_above = ATMOSPHERE_PA * half.powf(gamma / (gamma - 1.0));
    let mut checked = 0;
    for walls in [Walls::Isothermal, Walls::Insulated] {
        let decay = empty_section(&up, cubic_metres(v), &leak, walls).expect("gas");
        for moment in &decay.course {
            let p = moment.pressure.pascals();
            if p <= choked_above || moment.time.value <= 0.0 {
                continue;
            }
            let want = match walls {
                Walls::Isothermal => tau * (p0 / p).ln(),
                Walls::Insulated => {
                    2.0 * tau / (gamma - 1.0) * ((p0 / p).powf((gamma - 1.0) / (2.0 * gamma)) - 1.0)
                }
            };
            // 1e-4: sixty steps of a rule of second order
            within(moment.time.value, want, 1e-4);
            checked += 1;
        }
        let last = decay.course.last().expect("moments");
        within(
            last.left.value,
            decay.inside.value
                - v * density(walls, &gas_at(last.pressure.pascals(), t0, gamma, p0, m)),
            1e-6,
        );
        assert!(decay.empty.expect("it empties") >= decay.half_flow.expect("it halves"));
    }
    assert!(checked > 60, "{checked}");
}

/// Density at a pressure, isothermal and isentropic.
fn gas_at(p: f64, t0: f64, gamma: f64, p0: f64, m: f64) -> (f64, f64) {
    let r = 8.314_462_618_153_24 / m;
    let isothermal = p / (r * t0);
    let t = t0 * (p / p0).powf((gamma - 1.0) / gamma);
    (isothermal, p / (r * t))
}

fn density(walls: Walls, pair: &(f64, f64)) -> f64 {
    match walls {
        Walls::Isothermal => pair.0,
        Walls::Insulated => pair.1,
    }
}

/// Closed form of a well-mixed room, and its limits without and with very much air.
#[test]
fn a_room_fills_as_the_balance_says() {
    let mut backends = Backends::new();
    let propane = backends.get("propane");
    let around = around(293.15);
    let fuel = LeakFuel::of(propane.as_ref(), &around).expect("air");
    let flow = kilograms_per_second(5e-4);
    let room = |q: f64| Room {
        volume: cubic_metres(30.0),
        ventilation: cubic_metres_per_second(q),
    };
    let closed = fill(&room(0.0), flow, &fuel).expect("in range");
    let gas = flow.value / fuel.gas_density.value;
    within(closed.steady.value, 1.0, 1e-12);
    // C = 1 − e^(−qt/V)
    let want = -30.0 / gas * (1.0 - 0.25 * 0.017_f64).ln();
    within(closed.quarter_limit.expect("reached").value, want, 1e-9);
    assert!(closed.clears_in.is_none());
    assert!(closed.oxygen_low.is_some());

    let windy = fill(&room(1e5), flow, &fuel).expect("in range");
    assert!(windy.quarter_limit.is_none() && windy.lower_limit.is_none());
    assert!(windy.clears_in.expect("air").value.abs() < 1e-12);

    let needed = closed.ventilation_needed.expect("it burns");
    let just = fill(&room(needed.value * 1.000_01), flow, &fuel).expect("in range");
    assert!(just.quarter_limit.is_none());
    let short = fill(&room(needed.value * 0.999_99), flow, &fuel).expect("in range");
    assert!(short.quarter_limit.is_some());
    within(short.steady.value, 0.25 * 0.017, 1e-4);

    // SOURCES 5.5: four changes leave 1.8 %, five 0.67 %
    let volumes = |left: f64| {
        clearing_time(
            cubic_metres(1.0),
            cubic_metres_per_second(1.0),
            ratio(1.0),
            ratio(left),
        )
        .expect("air")
        .value
    };
    within(volumes(0.0183), 4.0, 1e-3);
    within(volumes(0.006_74), 5.0, 1e-3);
}
