//! Releases of whole rigs: breaks with what stands before them, regulators that stick, a burner fed and not lit, a
//! tank that empties through a break.

use fuelwright::audit::solution;
use fuelwright::flow::orifice::{Expansion, Stagnation};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::leak::LeakError;
use fuelwright::leak::release::{BOUNDING, Hole, release};
use fuelwright::leak::rig::{Break, Effect, LeakPlan, emptying};
use fuelwright::quantity::show::Units;
use fuelwright::quantity::{metres, pascals_absolute, ratio, seconds};

const HEAD: &str = "[rig]
name = \"bench\"
[site]
ambient_temperature = \"12 degC\"
air_pressure = \"1.01325 bar(a)\"
setting = \"indoor\"
room_volume = \"60 m3\"
ventilation = \"200 m3/h\"
[fuel]
composition = \"propane\"
[air]
flow = \"60 g/s\"
[burner]
can_volume = \"4 L\"
duct_volume = \"46 L\"
[controls]
ignition_time = \"5 s\"
purge_air_flow = \"40 g/s\"
[[duties]]
name = \"full\"
throttle = \"100 %\"
chamber_pressure = \"10 mbar(g)\"
fuel_flow = \"1.2 g/s\"
[injector]
shape = \"holes\"
holes = 8
hole_diameter = \"0.7 mm\"
[tank]
volume = \"27 L\"
fuel_mass = \"11 kg\"
wall_mass = \"12 kg\"
wall_material = \"steel\"
position = \"upright\"
draw = \"vapour\"
";

const HOSE: &str = "[[train]]
name = \"hose\"
kind = \"hose\"
bore = \"6.3 mm\"
length = \"1 m\"
";
const VALVE: &str = "[[train]]
name = \"valve\"
kind = \"ball-valve\"
bore = \"8 mm\"
flow_coefficient = \"0.5 Kv\"
";
const EXCESS: &str = "[[train]]
name = \"excess\"
kind = \"excess-flow-valve\"
bore = \"8 mm\"
flow_coefficient = \"1 Kv\"
closing_flow = \"CLOSING\"
closing_density = \"15 kg/m3\"
";
const REGULATOR: &str = "[[train]]
name = \"regulator\"
kind = \"regulator\"
set_pressure = \"2 bar(g)\"
rated_flow = \"8 kg/h\"
droop = \"200 mbar\"
lock_up = \"200 mbar\"
wide_open = \"0.3 Kv\"
";
const LINE: &str = "[[train]]
name = \"line\"
kind = \"tube\"
bore = \"6 mm\"
length = \"2 m\"
max_pressure = \"5 bar(g)\"
";

/// What is asked of the releases of a rig of these parts.
fn with<T>(parts: &[&str], ask: impl FnOnce(&solution::Solution<'_>, &LeakPlan) -> T) -> T {
    with_head(HEAD, parts, ask)
}

/// The same of a rig whose tank feeds liquid to holes of a known coefficient.
fn with_liquid<T>(parts: &[&str], ask: impl FnOnce(&solution::Solution<'_>, &LeakPlan) -> T) -> T {
    let head = HEAD
        .replace("draw = \"vapour\"", "draw = \"liquid\"")
        .replace(
            "hole_diameter",
            "discharge_coefficient = 0.8\nhole_diameter",
        );
    with_head(&head, parts, ask)
}

fn with_head<T>(
    head: &str,
    parts: &[&str],
    ask: impl FnOnce(&solution::Solution<'_>, &LeakPlan) -> T,
) -> T {
    let library = Library::embedded();
    let text = format!("{head}{}", parts.concat());
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
    let plan = solved.leaks().as_ref().expect("the tank has a state");
    ask(&solved, plan)
}

fn broken<'p>(plan: &'p LeakPlan, part: &str) -> (&'p Break, &'p Effect) {
    let found = plan.breaks.iter().find(|b| b.part == part);
    let found = found.unwrap_or_else(|| panic!("{part} does not break"));
    (found, found.effect.as_ref().expect("it flows"))
}

fn flow(parts: &[&str], part: &str) -> f64 {
    with(parts, |_, plan| broken(plan, part).1.release.flow.value)
}

/// Identity: with nothing before it a torn hose is a hole of its bore in the tank, with the coefficient that a
/// torn end has here, 0.9.
#[test]
fn a_hose_torn_off_at_the_tank_is_a_hole_of_its_bore() {
    with(&[HOSE, REGULATOR, LINE], |solved, plan| {
        let (found, effect) = broken(plan, "hose");
        assert!(found.excess_flow.is_none());
        let p = solved.fluid.bubble_t(285.15).expect("boils").pressure_pa;
        let up = Stagnation::saturated(solved.fluid.as_ref(), pascals_absolute(p), 1.0);
        let hole = Hole {
            diameter: metres(6.3e-3),
            coefficient: Some(ratio(0.9)),
        };
        let air = pascals_absolute(101_325.0);
        let alone = release(&up.expect("vapour"), air, &hole, Expansion::Blend).expect("flows");
        let share = effect.release.flow.value / alone.flow.value;
        assert!((share - 1.0).abs() < 2e-3, "{share}");
        assert!(effect.release.choked && effect.release.gas);
    });
}

#[test]
fn what_stands_before_a_break_holds_it_back() {
    let bare = flow(&[HOSE, REGULATOR, LINE], "hose");
    let valve = flow(&[VALVE, HOSE, REGULATOR, LINE], "hose");
    assert!(valve < 0.8 * bare, "{valve}, {bare}");
    // the regulator's seat, wide open, holds more back than the hose
    let behind = flow(&[VALVE, HOSE, REGULATOR, LINE], "line");
    assert!(behind < valve, "{behind}, {valve}");
    // with a seat ten times as large the line itself and the valve are left
    let wide = REGULATOR.replace("0.3 Kv", "3 Kv");
    let through = flow(&[VALVE, HOSE, &wide, LINE], "line");
    assert!(behind < through && through <= valve * 1.001, "{through}");
}

#[test]
fn an_excess_flow_valve_closes_when_the_break_passes_more_than_it_lets() {
    let closes = |closing: &str| {
        let excess = EXCESS.replace("CLOSING", closing);
        with(&[&excess, HOSE, REGULATOR, LINE], |_, plan| {
            let (found, effect) = broken(plan, "hose");
            let valve = found.excess_flow.as_ref().expect("there is one");
            assert_eq!(valve.part, "excess");
            // closing flow at the density there: root of the ratio to the stated one
            assert_eq!(
                valve.closes,
                effect.release.flow > valve.closing,
                "{closing}"
            );
            // what is not closed by itself is the worst that lasts
            let lasting = plan.worst_open_break().map(|(b, _)| b.part.as_str());
            assert_eq!(lasting == Some("hose"), !valve.closes, "{closing}");
            (valve.closes, effect.release.flow.value)
        })
    };
    let (closed, first) = closes("20 kg/h");
    let (open, same) = closes("2000 kg/h");
    assert!(closed && !open);
    // the flow given is that before anything closes
    assert!((first / same - 1.0).abs() < 1e-9);
}

/// Closed form of a well-mixed volume: `1 − e^(−q t/V)` without air, 4 L and 46 L, 5 s, 1.2 g/s of propane whose
/// vapour at 12 °C and 101 325 Pa has 1.9204 kg/m³ (`CoolProp` 8.0.0).
#[test]
fn a_burner_fed_and_not_lit_fills_as_the_closed_form_says() {
    with(&[VALVE, REGULATOR, LINE], |_, plan| {
        let full = plan.unlit.first().expect("a duty");
        let at = full.at_ignition.expect("all is given");
        let q = 1.2e-3 / 1.9204;
        let without = 1.0 - f64::exp(-q * 5.0 / 0.050);
        assert!((at.fraction_without_air.value / without - 1.0).abs() < 2e-3);
        assert!((at.fuel.value - 6e-3).abs() < 1e-12);
        // with the air of the duty, 60 g/s of 1.2378 kg/m3: q/(q + Q), reached to e^(−5 s/1 s)
        let air = 60e-3 / 1.2378;
        let with_air = q / (q + air) * (1.0 - f64::exp(-(q + air) * 5.0 / 0.050));
        assert!((at.fraction.value / with_air - 1.0).abs() < 5e-3);
        // purge down to a quarter of 1.7 %: ln of the ratio, half as much again, and five volumes at least
        let purge = full.purge.expect("air and limits");
        let mixed = f64::ln(without / 0.00425);
        assert!((purge.volumes_mixed / mixed - 1.0).abs() < 2e-3);
        assert!((purge.volumes_needed - f64::max(5.0, 1.5 * mixed)).abs() < 0.02);
    });
}

#[test]
fn a_regulator_that_sticks_open_gives_tank_pressure_and_more_fuel() {
    with(&[VALVE, REGULATOR, LINE], |solved, plan| {
        let stuck = &plan.stuck[0];
        let p = solved.fluid.bubble_t(285.15).expect("boils").pressure_pa;
        assert!((stuck.dead_end.pascals() / p - 1.0).abs() < 1e-6);
        // the line is made for 5 bar(g), the tank has 5.72
        let named: Vec<&str> = stuck.overloaded().map(|o| o.part.as_str()).collect();
        assert_eq!(named, ["line"]);
        let fed = stuck.fed.as_ref().expect("it flows");
        assert!(fed.flow > stuck.wanted && fed.pressure.pascals() < p);
        // stoichiometry: 15.6 to 15.7 kg of air for a kilogram of propane
        let ratio = fed.equivalence_ratio.expect("air is known").value;
        let want = fed.flow.value * 15.65 / 60e-3;
        assert!((ratio / want - 1.0).abs() < 0.01, "{ratio}, {want}");
    });
    // two in series: one sticks, and the other still holds
    let second = REGULATOR
        .replace("name = \"regulator\"", "name = \"second\"")
        .replace("2 bar(g)", "1 bar(g)");
    with(&[VALVE, REGULATOR, &second, LINE], |_, plan| {
        assert_eq!(plan.stuck.len(), 2);
        let first = plan.stuck.iter().find(|s| s.part == "regulator");
        let first = first.expect("listed");
        // only what stands between the two sees the tank
        assert!(first.rated_below.is_empty(), "{:?}", first.rated_below);
        let fed = first.fed.as_ref().expect("it flows");
        assert!(fed.pressure.pascals() < 101_325.0 + 1.05e5);
    });
}

#[test]
fn the_tank_of_a_rig_empties_through_the_break_and_chills() {
    with(&[VALVE, HOSE, REGULATOR, LINE], |solved, plan| {
        let (worst, effect) = plan.worst_open_break().expect("nothing closes");
        assert_eq!(worst.part, "hose");
        let day = seconds(86_400.0);
        let tank = emptying(solved.rig, &solved.fluid, plan, day).expect("it empties");
        let tank = tank.expect("there is a tank");
        let first = &tank.decay.course[0];
        assert!((tank.first.value / effect.release.flow.value - 1.0).abs() < 1e-9);
        assert!((first.flow.value / tank.first.value - 1.0).abs() < 1e-6);
        assert!((first.temperature.value - 285.15).abs() < 1e-6);
        assert!((tank.decay.inside.value - 11.0).abs() < 1e-9);
        for pair in tank.decay.course.windows(2) {
            assert!(pair[1].left >= pair[0].left && pair[1].time > pair[0].time);
            assert!(pair[1].flow.value <= pair[0].flow.value * 1.001);
        }
        let last = tank.decay.course.last().expect("moments");
        assert!(last.left <= tank.decay.inside);
        assert!(last.temperature < first.temperature);
        // no heat reaches it: the size of the tank is not given, and that is told
        assert!(!tank.assumptions.is_empty());
    });
}

/// Saturated liquid of the tank, and the flux of Bernoulli's equation into the air of the site, by hand from the
/// backend's own density and pressure (`sat.csv` and `nozzle_liquid.csv` hold them to `CoolProp`).
fn liquid_flux(solved: &solution::Solution<'_>) -> f64 {
    let boils = solved.fluid.bubble_t(285.15).expect("boils");
    f64::sqrt(2.0 * boils.liquid.density_kg_m3 * (boils.pressure_pa - 101_325.0))
}

#[test]
fn liquid_leaves_joints_and_torn_hoses_by_what_bounds_it() {
    with_liquid(&[HOSE, REGULATOR, LINE], |solved, plan| {
        let flux = liquid_flux(solved);
        for (size, area_m2) in [(0, 0.25e-6), (1, 1e-6)] {
            let (_, joint) = plan.worst_joint(size).expect("it leaks");
            let want = 0.75 * area_m2 * flux;
            assert!(
                (joint.release.flow.value / want - 1.0).abs() < 1e-6,
                "{size}"
            );
            assert!(joint.release.liquid && joint.release.expanding.expect("liquid").boils());
        }
        let (_, torn) = broken(plan, "hose");
        let want = 0.9 * std::f64::consts::FRAC_PI_4 * 6.3e-3_f64.powi(2) * flux;
        let flow = torn.release.flow.value;
        assert!((flow / want - 1.0).abs() < 1e-6, "{flow}, {want}");
        let ends = torn.release.expanding.expect("liquid");
        assert!((ends.bernoulli.value / flow - 1.0).abs() < 1e-9);
        // the least is told beside it, and the jet is that of the most
        assert!(torn.release.low < ends.equilibrium && ends.equilibrium.value < 0.3 * flow);
    });
}

#[test]
fn liquid_that_boils_in_a_valve_leaves_the_break_between_both_ends() {
    let bare = with_liquid(&[HOSE, REGULATOR, LINE], |_, plan| {
        broken(plan, "hose").1.release.flow
    });
    with_liquid(&[VALVE, HOSE, REGULATOR, LINE], |_, plan| {
        let release = &broken(plan, "hose").1.release;
        let ends = release.expanding.expect("wet");
        assert!(release.flow < bare && !release.liquid && !release.gas);
        assert!(ends.equilibrium < release.flow);
        assert!((ends.bernoulli.value / release.flow.value - 1.0).abs() < 1e-9);
    });
}

#[test]
fn an_excess_flow_valve_is_trusted_to_close_at_the_least_that_liquid_may_pass() {
    // it lets pass 0.15 kg/s of this liquid: more than the break in equilibrium, less than without vapour
    let excess = EXCESS.replace("CLOSING", "92 kg/h");
    with_liquid(&[&excess, HOSE, REGULATOR, LINE], |_, plan| {
        let (found, effect) = broken(plan, "hose");
        let valve = found.excess_flow.as_ref().expect("there is one");
        assert!(
            effect.release.flow > valve.closing,
            "{:?}",
            effect.release.flow
        );
        assert!(!valve.closes);
        let lasting = plan.worst_open_break().map(|(b, _)| b.part.as_str());
        assert_eq!(lasting, Some("hose"));
    });
    let excess = EXCESS.replace("CLOSING", "20 kg/h");
    with_liquid(&[&excess, HOSE, REGULATOR, LINE], |_, plan| {
        let valve = broken(plan, "hose").0.excess_flow.as_ref();
        assert!(valve.expect("there is one").closes);
    });
}

#[test]
fn liquid_behind_a_stuck_regulator_reaches_the_fire_by_what_bounds_it() {
    with_liquid(&[REGULATOR, LINE], |solved, plan| {
        let fed = plan.stuck[0].fed.as_ref().expect("it flows");
        let h = solved
            .fluid
            .bubble_t(285.15)
            .expect("boils")
            .liquid
            .enthalpy_j_kg;
        let before = solved
            .fluid
            .state_ph(fed.pressure.pascals(), h)
            .expect("wet");
        let up = Stagnation::of(solved.fluid.as_ref(), before);
        let hole = Hole {
            diameter: metres(0.7e-3),
            coefficient: Some(ratio(0.8)),
        };
        let chamber = pascals_absolute(101_325.0 + 1e3);
        let of = |e| release(&up, chamber, &hole, e).expect("flows").flow.value;
        let most = 8.0 * of(BOUNDING);
        assert!(
            (fed.flow.value / most - 1.0).abs() < 1e-3,
            "{:?}, {most}",
            fed.flow
        );
        assert!(most > 1.1 * 8.0 * of(Expansion::Equilibrium));
    });
}

#[test]
fn a_tank_that_feeds_liquid_empties_by_what_bounds_it() {
    with_liquid(&[HOSE, REGULATOR, LINE], |solved, plan| {
        let (_, torn) = plan.worst_open_break().expect("nothing closes");
        let day = seconds(86_400.0);
        let tank = emptying(solved.rig, &solved.fluid, plan, day).expect("it empties");
        let course = tank.expect("there is a tank").decay.course;
        assert!((course[0].flow.value / torn.release.flow.value - 1.0).abs() < 1e-6);
        // by hand: 11 kg at 0.7 kg/s that falls little while there is liquid
        let half = course
            .iter()
            .find(|m| m.left.value > 5.5)
            .expect("half of it");
        let hand_s = half.left.value / torn.release.flow.value;
        assert!(
            half.time.value > hand_s && half.time.value < 1.3 * hand_s,
            "{half:?}"
        );
    });
}

#[test]
fn a_tank_below_the_pressure_of_the_air_lets_nothing_out_and_says_so() {
    let library = Library::embedded();
    let text = format!("{HEAD}{VALVE}{HOSE}{LINE}")
        .replace("composition = \"propane\"", "composition = \"n-pentane\"")
        .replace("fuel_flow = \"1.2 g/s\"", "fuel_flow = \"0.1 g/s\"");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    let plan = solved.leaks().as_ref().expect("a state");
    for joint in &plan.joints {
        assert!(
            matches!(joint.effect, Err(LeakError::NoPressure { .. })),
            "{:?}",
            joint.effect
        );
    }
    assert!(plan.breaks.iter().all(|b| b.effect.is_err()));
    assert!(plan.worst_break().is_none() && plan.worst_lasting().is_none());
}

/// Looks at a good rig of the faults with some of its text changed.
fn of_faults(
    file: &str,
    changes: &[(&str, &str)],
    look: impl Fn(&solution::Solution<'_>, &LeakPlan),
) {
    let path = format!(
        "{}/tests/faults/rigs/{file}.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut text = std::fs::read_to_string(path).expect("readable");
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    let library = Library::embedded();
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    look(&solved, solved.leaks().as_ref().expect("a state"));
}

/// By hand: 0.15 L/min of kerosene of 803 kg/m3 is 2.01 g/s; a hole of 1 mm2 would pass sixteen times that at 12 bar.
#[test]
fn a_loose_joint_behind_a_pump_passes_no_more_than_the_pump_gives() {
    of_faults("pumped-kerosene", &[], |_, plan| {
        let (joint, effect) = plan.worst_joint(1).expect("it leaks");
        assert_eq!(joint.level.from, "pump");
        let release = &effect.release;
        let flow_g_s = release.flow.value * 1e3;
        assert!((flow_g_s - 2.01).abs() < 0.03, "{flow_g_s}");
        assert!(release.low <= release.flow && release.flow <= release.high);
        let (_, torn) = broken(plan, "pump-hose");
        assert!((release.flow / torn.release.flow).value < 1.01);
    });
}

/// A tank that stands under the air lets out what its height presses, and no vapour pressure of a fuel drives that.
#[test]
fn an_open_tank_of_liquid_is_not_said_to_let_nothing_out() {
    let lower = [
        ("rise = \"0.33 m\"", "rise = \"-0.2 m\""),
        ("rise = \"0.4 m\"", "rise = \"-1.5 m\""),
    ];
    of_faults("pumped-kerosene", &lower, |solved, plan| {
        let (torn, effect) = plan.worst_open_break().expect("it siphons out");
        assert_eq!(torn.part, "suction-line");
        assert!(effect.release.flow.value > 5e-3);
        for joint in plan.joints.iter().filter(|j| j.level.from == "tank") {
            let why = joint
                .effect
                .as_ref()
                .expect_err("only its height drives it");
            assert!(matches!(why, LeakError::OpenTank), "{why}");
        }
        let why = emptying(solved.rig, &solved.fluid, plan, seconds(86_400.0));
        let why = why.expect_err("air over the liquid").to_string();
        assert!(
            why.contains("row of the broken line") && !why.contains("nothing comes out"),
            "{why}"
        );
    });
}
