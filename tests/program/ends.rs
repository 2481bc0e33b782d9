//! Every run ends: cases that ran for minutes, or into a fault, each with its answer or its reason, and a bound on
//! the steps it may take. Steps are counted where they are taken, so the bounds hang on no clock; those on whole
//! commands do, and leave room for a busy machine.

use fuelwright as cli;
use fuelwright::combustion::equilibrium::{EquilibriumError, Reactants, Start};
use fuelwright::eos::{self, Backend, EosError, Phase};
use fuelwright::fuel::{Composition, Library};
use fuelwright::numerics::effort;
use fuelwright::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms, kilograms_per_second, seconds,
    watts_per_kelvin,
};
use fuelwright::tank::chilling::run;
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::record::{Happening, Run, RunOptions};
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::{Charge, Tank};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// Time that a whole command may take here, on a busy machine; what it may take on any is the bound on its steps.
const LONGEST: Duration = Duration::from_mins(3);

const NATURAL_GAS: &str = "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2";

fn backend(fluid: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(fluid, &library).expect("fuels of the library");
    eos::backend(&library, &composition).expect("a model")
}

/// A composition that will be asked often, as the fuel of a rig is.
fn staying(fluid: &str) -> Arc<dyn Backend> {
    let backend = backend(fluid);
    let z = backend.composition().mole_fractions();
    backend.recomposed_to_stay(&z).expect("the same fractions")
}

/// A command in this process, within so many steps of iteration: what it wrote, and what it wrote as its error.
fn command(line: &[&str], most_steps: u64) -> (String, String) {
    let (begin, before) = (Instant::now(), effort::done());
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = [&["fuelwright", "--full"], line].concat();
    cli::run(all, 80, &mut out, &mut err);
    let (took, steps) = (begin.elapsed(), effort::done() - before);
    assert!(took < LONGEST, "{line:?} took {took:?}");
    assert!(steps < most_steps, "{line:?} took {steps} steps");
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (text(out), text(err))
}

static COUNT: AtomicUsize = AtomicUsize::new(0);

/// An example with changes, as a file that goes when the test ends.
struct RigFile(std::path::PathBuf);

impl RigFile {
    fn of(example: &str, change: impl Fn(String) -> String) -> Self {
        let path = format!("{}/examples/{example}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = change(std::fs::read_to_string(path).expect("readable"));
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("fuelwright-ends-{}-{count}.toml", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::write(&path, text).expect("can be written");
        Self(path)
    }
    fn path(&self) -> String {
        self.0.display().to_string()
    }
}

impl Drop for RigFile {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

fn with_fuel(text: &str, fluid: &str) -> String {
    let begin = text.find("composition = \"").expect("a fuel");
    let end = begin + text[begin..].find('\n').expect("a line");
    format!(
        "{}composition = \"{fluid}\"{}",
        &text[..begin],
        &text[end..]
    )
}

const CYLINDER: &str = r#"[tank]
volume = "50 L"
fuel_mass = "7 kg"
temperature = "20 degC"
wall_mass = "55 kg"
wall_material = "steel"
empty_mass = "57 kg"
diameter = "230 mm"
length = "1500 mm"
position = "upright"
draw = "vapour"
relief_pressure = "300 bar(g)"
rating = "300 bar(g)"

"#;

/// The kiln with a cylinder of a gas in place of its main.
fn kiln_on_a_cylinder(fluid: &str) -> RigFile {
    RigFile::of("kiln-pilot", |text| {
        let (begin, end) = (text.find("[mains]"), text.find("[[train]]"));
        let (begin, end) = (begin.expect("a main"), end.expect("a train"));
        with_fuel(
            &format!("{}{CYLINDER}{}", &text[..begin], &text[end..]),
            fluid,
        )
    })
}

// ---- whole commands ------------------------------------------------------------------------------

#[test]
fn natural_gas_on_a_cylinder_is_audited() {
    let rig = kiln_on_a_cylinder(NATURAL_GAS);
    let (out, err) = command(&["audit", &rig.path()], 400_000);
    assert!(err.is_empty(), "{err}");
    assert!(out.contains("the tank holds gas alone"), "{out}");
}

#[test]
fn hydrogen_and_ethane_are_reported_on() {
    let rig = RigFile::of("coupon-soak-rig", |text| {
        with_fuel(&text, "hydrogen:50,ethane:50")
    });
    let (page, err) = command(&["report", &rig.path()], 1_500_000);
    assert!(err.is_empty(), "{err}");
    // the bubble point at 15 °C, 5 K below the critical temperature, is found: it sets the filling limit
    assert!(
        page.contains("overfilled-tank") || page.contains("TNK002"),
        "no filling limit"
    );
}

#[test]
fn hardly_any_hydrogen_in_heptane_leaves_no_tank_to_look_for() {
    let rig = kiln_on_a_cylinder("hydrogen:5,n-heptane:95");
    let (out, err) = command(&["audit", &rig.path(), "--format", "json"], 400_000);
    assert!(err.is_empty(), "{err}");
    let told = "its critical temperature is 33.58 K, its properties begin at 182.55 K; it is a compressed gas";
    assert!(out.contains(told), "{out}");
}

/// A tank of a fuel by flags, drawn at 0.4 g/s for an hour.
fn drawn(fluid: &str, fill: &str, temperature: &str) -> (String, String) {
    let flags = [
        "tank",
        "--fuel",
        fluid,
        "--volume",
        "50 L",
        "--fill",
        fill,
        "--tank-temperature",
        temperature,
        "--ambient",
        temperature,
        "--draw",
        "0.4 g/s",
        "--duration",
        "1 h",
        "--wall-mass",
        "20 kg",
        "--wall-specific-heat",
        "480 J/(kg K)",
        "--conductance",
        "5 W/K",
    ];
    command(&flags, 1_500_000)
}

// Both blends are critical far above the temperatures here, propane with nitrogen at 326 K, with hydrogen at 352 K: the
// tank holds liquid.
#[test]
fn propane_with_half_of_a_light_gas_is_drawn_from_its_liquid() {
    for (fluid, temperature) in [
        ("propane:50,nitrogen:50", "15 degC"),
        ("propane:50,hydrogen:50", "20 degC"),
    ] {
        let (out, err) = drawn(fluid, "10 kg", temperature);
        assert!(err.is_empty(), "{fluid}: {err}");
        assert!(out.contains("At the start"), "{fluid}: {out}");
        assert!(!out.contains("Liquid             0 kg"), "{fluid}: {out}");
    }
}

#[test]
fn a_light_gas_near_the_top_of_the_dome_is_answered_or_refused_with_its_reason() {
    for (fluid, fill, temperature) in [
        ("propane:50,nitrogen:50", "20 kg", "-20 degC"),
        ("propane:50,nitrogen:50", "20 kg", "5 degC"),
        ("propane:50,hydrogen:50", "10 kg", "40 degC"),
        ("propane:20,nitrogen:80", "7 kg", "15 degC"),
    ] {
        let (out, err) = drawn(fluid, fill, temperature);
        let told = out.contains("At the start") || err.contains("take less of the light gas");
        assert!(told, "{fluid} {fill} {temperature}: {out} {err}");
    }
}

#[test]
fn a_gas_above_its_critical_temperature_is_called_compressed() {
    let (out, err) = drawn(NATURAL_GAS, "7 kg", "15 degC");
    assert!(err.is_empty(), "{err}");
    // a table breaks the name of the blend
    let unbroken = |text: &str| text.split_whitespace().collect::<String>();
    let told = "none: at 288.15 K the tank holds gas alone: methane:92.5,ethane:5,propane:1.3,nitrogen:1.2 is liquid \
                only below its critical temperature, 205.41 K; reckon with a compressed gas, whose pressure falls with \
                every gram drawn";
    assert!(unbroken(&out).contains(&unbroken(told)), "{out}");
}

// A schedule of 5000 rounds asks for three times what a hundred such tanks hold: no run is needed to tell.
#[test]
fn what_no_tank_holds_is_refused_without_a_run() {
    let rig = RigFile::of("coupon-soak-rig", |text| {
        text.replace("repeats = 2", "repeats = 5000")
    });
    let (out, err) = command(&["tank", &rig.path()], 2_000);
    assert!(err.is_empty(), "{err}");
    assert!(out.contains("5000 times"), "{out}");
    assert!(out.contains("does not help up to 64"), "{out}");
    assert!(!out.contains("given up"), "{out}");
}

#[test]
fn samples_that_would_take_hours_are_refused() {
    // its holes pass gas that condenses
    let rig = RigFile::of("greenhouse-frost-guard", |text| text);
    let all = ["tolerance", &rig.path(), "--samples", "1000000", "--whole"];
    let (out, err) = command(&all, 50_000);
    assert!(out.is_empty(), "{out}");
    assert!(
        err.contains("the train is solved for every sample") && err.contains("take no more than"),
        "{err}"
    );
}

// ---- flames --------------------------------------------------------------------------------------

// Atoms and heat that no sum of a rig hands over are among these: each ends within its steps, with an answer or a reason.
#[test]
fn every_flame_ends() {
    let (mut most, mut found) = (0, 0);
    for carbon in [0.0, 1e-12, 0.1, 1.0] {
        for hydrogen in [0.0, 1e-12, 0.2, 4.0] {
            for oxygen in [1e-12, 0.3, 1.0, 2.5, 40.0] {
                for (nitrogen, argon) in [(0.0, 0.0), (1e-9, 0.0), (8.0, 0.1), (400.0, 4.0)] {
                    for pressure_pa in [1.0, 1e5, 1e8] {
                        for heat_j_mol in [-2e5, -4e4, -5e3, 0.0, 2e4, 1e5] {
                            let atoms_mol = [carbon, hydrogen, oxygen, nitrogen, argon];
                            let reactants = Reactants {
                                atoms_mol,
                                enthalpy_j: heat_j_mol * atoms_mol.iter().sum::<f64>(),
                                pressure_pa,
                            };
                            let steps = match reactants.at_enthalpy(&Start::default()) {
                                Ok(state) => {
                                    found += 1;
                                    state.steps
                                }
                                Err(EquilibriumError::NotConverged { steps, .. }) => steps,
                                Err(_) => 0,
                            };
                            most = most.max(steps);
                        }
                    }
                }
            }
        }
    }
    // the hardest took 299
    assert!(most < 600, "{most}");
    assert!(found > 1000, "{found}");
}

// ---- bubble and dew points -----------------------------------------------------------------------

type Ask = fn(&dyn Backend) -> Result<eos::Equilibrium, EosError>;

#[test]
fn a_point_that_is_not_there_costs_little_and_the_same_each_time() {
    let gas = staying(NATURAL_GAS);
    let asked: [(Ask, u64); 4] = [
        (|b| b.dew_p(152e5), 1500),
        (|b| b.bubble_p(152e5), 1500),
        // the second solver is asked below the critical temperature
        (|b| b.bubble_t(204.6), 6000),
        (|b| b.dew_t(288.15), 100),
    ];
    for (ask, most) in asked {
        let steps = |b: &dyn Backend| {
            let before = effort::done();
            let why = ask(b).expect_err("there is none");
            (why, effort::done() - before)
        };
        let first = steps(gas.as_ref());
        assert!(first.1 > 0 && first.1 <= most, "{first:?}");
        assert!(
            matches!(first.0, EosError::AboveCritical { .. }),
            "{first:?}"
        );
        // remembered, with what it took; and another who asks first finds the same
        assert_eq!(first, steps(gas.as_ref()));
        assert_eq!(first, steps(staying(NATURAL_GAS).as_ref()));
    }
}

#[test]
fn no_answer_hangs_on_what_was_asked_before() {
    let at_p = [1e5, 20e5, 40e5, 55e5, 70e5, 152e5];
    let at_t = [150.0, 190.0, 203.0, 204.6, 210.0, 230.0, 288.15];
    let answers = |backwards: bool| {
        let gas = staying(NATURAL_GAS);
        let mut found: Vec<_> = (0..at_p.len() + at_t.len()).map(|_| None).collect();
        let mut order: Vec<_> = (0..found.len()).chain(0..found.len()).collect();
        if backwards {
            order.reverse();
        }
        for i in order {
            let (dew, bubble) = if let Some(&p_pa) = at_p.get(i) {
                (gas.dew_p(p_pa), gas.bubble_p(p_pa))
            } else {
                let t_k = at_t[i - at_p.len()];
                (gas.dew_t(t_k), gas.bubble_t(t_k))
            };
            let now = (dew, bubble);
            if let Some(before) = &found[i] {
                assert_eq!(*before, now);
            }
            found[i] = Some(now);
        }
        found
    };
    assert_eq!(answers(false), answers(true));
}

// The dew line itself: a state below it is never called gas.
#[test]
fn what_is_certainly_gas_lies_above_the_dew_line() {
    let mut beyond = 0;
    for fluid in [
        "propane:60,n-butane:40",
        NATURAL_GAS,
        "methane:90,propane:10",
        "propane:50,nitrogen:50",
        "nitrogen:90,n-butane:10",
        "hydrogen:50,ethane:50",
        "methane:70,n-butane:20,n-pentane:10",
        "methane:50,n-decane:50",
    ] {
        let b = staying(fluid);
        for k in 0..40 {
            let p_pa = 1e5 * 1.13_f64.powi(k);
            let Ok(dew) = b.dew_p(p_pa) else { continue };
            let certain = |t_k: f64| b.is_certainly(Phase::Gas, p_pa, t_k);
            assert!(!certain(dew.temperature_k - 1e-3), "{fluid} {p_pa}");
        }
        let highest_k = *b.validity().temperature_k.end();
        beyond += u32::from(b.is_certainly(Phase::Gas, 100e5, highest_k));
    }
    // and far above it is
    assert!(beyond >= 6, "{beyond}");
    assert!(staying(NATURAL_GAS).is_certainly(Phase::Gas, 152e5, 293.15));
}

// ---- a tank drawn for two months -----------------------------------------------------------------

/// A cylinder with hardly any wall in a fast stream of air: the contents follow it within minutes.
fn small_tank(fluid: &str) -> (Tank, Charge) {
    let tank = Tank {
        backend: backend(fluid),
        volume: cubic_metres(0.0272),
        wall: joules_per_kelvin(96.0),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(50.0),
            ambient: kelvin(288.15),
        },
    };
    let charge = Charge {
        mass: kilograms(11.0),
        temperature: kelvin(288.15),
    };
    (tank, charge)
}

fn draw_down(fluid: &str, draw_kg_s: f64, hours: f64, times: u32) -> Run {
    let (tank, charge) = small_tank(fluid);
    let step = Step::vapour(
        "draw",
        kilograms_per_second(draw_kg_s),
        seconds(hours * 3600.0),
    );
    let schedule = Schedule {
        steps: vec![step],
        repeats: times,
    };
    run(&tank, &charge, &schedule, &RunOptions::default()).expect("a run")
}

// By hand: the tank is empty when a thousandth of its charge is left; the last liquid goes when what is left is its
// volume of saturated vapour at the temperature of the air (a hundredth of a kelvin below it).
#[test]
fn a_draw_of_1600_hours_ends_when_its_mass_says() {
    let draw_kg_s = 1.91e-6;
    let done = draw_down("propane", draw_kg_s, 1600.0, 1);
    assert!(done.slopes < 4000, "{} slopes", done.slopes);
    assert!(
        (done.end.value - 0.999 * 11.0 / draw_kg_s).abs() < 1.0,
        "{:?}",
        done.end
    );
    let gone = done.events.iter().find(|e| e.what == Happening::LiquidGone);
    let vapour = backend("propane").bubble_t(288.136).expect("boils").vapour;
    let by_hand_s = (11.0 - 0.0272 * vapour.density_kg_m3) / draw_kg_s;
    let gone_s = gone.expect("the liquid goes").time.value;
    assert!(
        (gone_s / by_hand_s - 1.0).abs() < 1e-5,
        "{gone_s} {by_hand_s}"
    );
    assert!(
        done.balance.energy < 1e-9 && done.balance.species < 1e-9,
        "{:?}",
        done.balance
    );
}

// In stretches of 20 h there are too few steps for a change of method to pay: the explicit one serves to the end. Both
// are allowed 1e-4 K a step, of which nothing adds up: what is off decays within minutes.
#[test]
fn both_methods_draw_a_tank_down_alike() {
    for fluid in ["propane", "propane:60,n-butane:40"] {
        let whole = draw_down(fluid, 1e-6, 1600.0, 1);
        let pieces = draw_down(fluid, 1e-6, 20.0, 80);
        assert!(
            3 * whole.slopes < pieces.slopes,
            "{} {}",
            whole.slopes,
            pieces.slopes
        );
        let (a, b) = (&whole.last().contents, &pieces.last().contents);
        let off_k = (a.temperature.value - b.temperature.value).abs();
        assert!(off_k < 2e-4, "{fluid} {off_k}");
        let off = |x: f64, y: f64| (x / y - 1.0).abs();
        // some 3 % a kelvin
        assert!(
            off(a.pressure.pascals(), b.pressure.pascals()) < 1e-5,
            "{fluid}"
        );
        assert!(off(a.liquid.value, b.liquid.value) < 1e-6, "{fluid}");
        assert!(off(whole.heat.value, pieces.heat.value) < 1e-6, "{fluid}");
    }
}
