//! Monte-Carlo over the bands of a rig: seeds, threads, zero and wider bands, and shares that are known.

use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use fuelwright::tolerance::{Path, Quantity, Sampling, Tolerance, tolerance};

const RIG: &str = include_str!("../../examples/coupon-soak-rig.toml");

/// No band on what the parts themselves are known to, which else have a usual one.
const EXACT_PARTS: &str = "flow_coefficient = 0.0\nrangeability = 0.0\nline_loss = 0.0";

/// The rig with its bands replaced by these lines, its parts exact.
fn with_bands(bands: &str) -> String {
    let (head, _) = RIG.split_once("[tolerance]").expect("the rig has bands");
    format!("{head}[tolerance]\n{EXACT_PARTS}\n{bands}\n")
}

fn run(text: &str, samples: usize, seed: u64, whole: bool) -> Tolerance {
    let library = Library::embedded();
    let loaded = input::parse("rig.toml", text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solution = fuelwright::audit::solution::solve(&loaded.rig, &library, Units::Si)
        .expect("propane has a model");
    let sampling = Sampling::new(samples, seed).expect("in range");
    tolerance(&solution, sampling, whole, &mut |_| {}).expect("the rig has duties")
}

fn half_width(found: &Tolerance, duty: &str, of: Quantity) -> f64 {
    let duty = found
        .duties
        .iter()
        .find(|d| d.name == duty)
        .expect("the duty");
    let band = duty.spread(of).expect("it spreads").band;
    (band.high.value - band.low.value) / 2.0
}

#[test]
fn a_seed_gives_the_same_digits_on_any_number_of_threads() {
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.expect("a pool of threads")
            .install(|| run(RIG, 600, 5, false))
    };
    let one = with(1);
    assert_eq!(one, with(3));
    assert_ne!(one.duties, run(RIG, 600, 6, false).duties);
}

#[test]
fn the_surface_gives_the_bands_of_the_whole_train() {
    // the same draws, once through a surface fitted to the train and once through the train itself
    let fitted = run(RIG, 100, 2, false);
    let whole = run(RIG, 100, 2, true);
    for (a, b) in fitted.duties.iter().zip(&whole.duties) {
        let Path::Fitted { worst, train: true } = a.path else {
            panic!("{}: no surface", a.name);
        };
        assert_eq!(b.path, Path::Whole { train: true });
        for of in [Quantity::Flow, Quantity::EquivalenceRatio, Quantity::Heat] {
            let (a, b) = (
                a.spread(of).expect("there").band,
                b.spread(of).expect("there").band,
            );
            // a quantile lies between two samples, each off by about the worst of 16 points; four times that
            for (a, b) in [(a.low, b.low), (a.middle, b.middle), (a.high, b.high)] {
                let off = (a.value / b.value - 1.0).abs();
                assert!(off < 4.0 * worst.max(1e-5), "{of:?}: {off} against {worst}");
            }
        }
    }
}

#[test]
fn an_input_without_a_band_does_not_vary() {
    let found = run(
        &with_bands("air_flow = 0.0\ndischarge_coefficient = 0.0"),
        200,
        1,
        false,
    );
    let names: Vec<&str> = found.inputs.iter().map(|i| i.name.as_str()).collect();
    // a drill has a tolerance whatever the file says, a stepped drive its steps
    assert_eq!(names, ["hole diameter", "throttle position"]);
}

#[test]
fn a_wider_band_gives_a_wider_spread() {
    let mut last = 0.0;
    for half in ["2 %", "4 %", "8 %"] {
        let found = run(
            &with_bands(&format!("air_flow = \"{half}\"")),
            2_000,
            1,
            false,
        );
        let here = half_width(&found, "soak", Quantity::EquivalenceRatio);
        assert!(here > 1.3 * last, "{half}: {here} after {last}");
        last = here;
    }
}

/// Growing any one band, whatever the others are, narrows nothing. The samples are the same, so that only what the
/// bands make of them differs; 3 % is left to the quantiles of 2,000.
#[test]
fn no_spread_narrows_when_a_band_grows() {
    const BANDS: [(&str, f64, f64); 8] = [
        ("air_flow", 0.02, 0.06),
        ("set_pressure", 0.02, 0.05),
        ("droop", 0.05, 0.4),
        ("discharge_coefficient", 0.02, 0.08),
        ("flow_coefficient", 0.03, 0.2),
        ("rangeability", 0.05, 0.4),
        ("line_loss", 0.05, 0.4),
        ("hole_grade", 9.0, 12.0),
    ];
    let (head, _) = RIG.split_once("[tolerance]").expect("the rig has bands");
    let with = |grown: Option<&str>| {
        let lines: Vec<String> = BANDS
            .iter()
            .map(|(key, small, large)| {
                let value = if grown == Some(key) { large } else { small };
                format!("{key} = {value}")
            })
            .collect();
        run(
            &format!(
                "{head}[tolerance]\ntemperature = \"1 K\"\n{}\n",
                lines.join("\n")
            ),
            2_000,
            3,
            false,
        )
    };
    let before = with(None);
    let mut wider = 0;
    for (key, ..) in BANDS {
        let after = with(Some(key));
        for duty in &before.duties {
            for of in [Quantity::Flow, Quantity::EquivalenceRatio, Quantity::Heat] {
                let (a, b) = (
                    half_width(&before, &duty.name, of),
                    half_width(&after, &duty.name, of),
                );
                assert!(b > 0.97 * a, "{key}, {}, {of:?}: {a} to {b}", duty.name);
                wider += usize::from(b > 1.05 * a);
            }
        }
    }
    assert!(wider > 30, "only {wider} grew: the bands do nothing");
}

#[test]
fn the_share_of_the_air_is_that_of_a_product_of_independent_factors() {
    // φ = F G with G = 1/(1 + s), s even between ±h and independent of the fuel F: by the rules of variance
    // S_air = Var(G) E(F)² / (E(F²) E(G²) − E(F)² E(G)²), E(G) = ln((1+h)/(1−h))/2h, E(G²) = 1/(1 − h²)
    let h: f64 = 0.06;
    let bands = "air_flow = \"6 %\"\nset_pressure = \"8 %\"\nhole_grade = 9";
    let found = run(&with_bands(bands), 20_000, 4, false);
    let air = found
        .inputs
        .iter()
        .position(|i| i.name == "air flow")
        .expect("it varies");
    for duty in &found.duties {
        let flow = duty.spread(Quantity::Flow).expect("it spreads").band;
        let f1 = flow.mean;
        let f2 = f1 * f1 + flow.deviation * flow.deviation;
        let g1 = ((1.0 + h) / (1.0 - h)).ln() / (2.0 * h);
        let g2 = 1.0 / (1.0 - h * h);
        let want = (g2 - g1 * g1) * f1 * f1 / (f2 * g2 - f1 * f1 * g1 * g1);
        let phi = duty.spread(Quantity::EquivalenceRatio).expect("it spreads");
        let got = phi.drivers[air].expect("it has a share");
        // four standard errors of the share, and of the deviation of 20 000 samples: 1/√(2n), twice over
        let error = 4.0 * (got.error + want * (1.0 - want) * 2.0 / 200.0);
        assert!(
            (got.value - want).abs() < error,
            "{}: {got:?}, want {want}",
            duty.name
        );
        // and its mean, to four standard errors: E(φ) = φ0 E(F)/F0 E(G)
        let mean = phi.nominal.expect("known") * f1
            / duty
                .spread(Quantity::Flow)
                .expect("there")
                .nominal
                .expect("known")
            * g1;
        let error = 4.0 * phi.band.deviation / 20_000_f64.sqrt();
        assert!(
            (phi.band.mean - mean).abs() < error,
            "{}: {} {mean}",
            duty.name,
            phi.band.mean
        );
    }
}

#[test]
fn a_choked_throttle_hides_the_holes_behind_it() {
    // at light-up the metering valve chokes: its flow knows only what stands before it
    let found = run(&format!("{RIG}\n{EXACT_PARTS}\n"), 2_000, 1, false);
    let hole = found
        .inputs
        .iter()
        .position(|i| i.name == "hole diameter")
        .expect("it varies");
    let share = |duty: &str| {
        let duty = found
            .duties
            .iter()
            .find(|d| d.name == duty)
            .expect("the duty");
        duty.spread(Quantity::Flow).expect("it spreads").drivers[hole].expect("a share")
    };
    assert!(share("light-up").value < 0.02, "{:?}", share("light-up"));
    assert!(share("full").value > 0.4, "{:?}", share("full"));
}

#[test]
fn exit_temperatures_rise_with_the_mixture() {
    let half = RIG.replace(
        "combustion_efficiency = \"98 %\"",
        "combustion_efficiency = \"50 %\"",
    );
    assert_ne!(half, RIG);
    for text in [RIG, &half] {
        let found = run(text, 1_000, 1, false);
        for duty in &found.duties {
            let exit = duty.spread(Quantity::Exit).expect("it has a flame");
            let nominal = exit.nominal.expect("the rig has one");
            assert!(exit.band.low.value < nominal && nominal < exit.band.high.value);
            assert_eq!(duty.hotter.len(), 3, "one share for each limit of the rig");
        }
    }
}

#[test]
fn a_tank_too_cold_for_some_samples_says_so() {
    // half of the temperatures leave too little pressure for the largest duty
    let text = with_bands("temperature = \"12 K\"")
        .replace(
            "temperature = \"12 degC\"\nwall_mass",
            "temperature = \"-28 degC\"\nwall_mass",
        )
        .replace("wide_open = \"0.45 Kv\"", "wide_open = \"0.20 Kv\"");
    let found = run(&text, 100, 1, false);
    let full = found
        .duties
        .iter()
        .find(|d| d.name == "full")
        .expect("the duty");
    // either the sums fail in some samples, or the regulator stands wide open and no surface fits
    let has_edge =
        full.not_fed > 0 || matches!(full.path, Path::Whole { .. }) || !full.path.has_train();
    assert!(has_edge, "{full:?}");
}

/// A chamber above what the regulator gives: nothing flows in any sample, and that is what is said, in words.
#[test]
fn a_duty_that_nothing_reaches_is_told_in_words_and_has_no_band() {
    let guard = include_str!("../../examples/greenhouse-frost-guard.toml");
    let text = guard.replace(
        "chamber_pressure = \"1.2 mbar(g)\"",
        "chamber_pressure = \"3 bar(g)\"",
    );
    assert_ne!(text, guard);
    let found = run(&text, 100, 1, false);
    let duty = |name: &str| {
        found
            .duties
            .iter()
            .find(|d| d.name == name)
            .expect("a duty")
    };
    assert!(duty("low").spread(Quantity::Flow).is_some());
    let high = duty("high");
    assert!(high.spreads.is_empty() && high.not_fed == 100, "{high:?}");
    let path = std::env::temp_dir().join(format!("fuelwright-unfed-{}.toml", std::process::id()));
    std::fs::write(&path, text).expect("can be written");
    for format in ["text", "markdown", "html"] {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let file = path.display().to_string();
        let line = [
            "fuelwright",
            "--full",
            "tolerance",
            &file,
            "--samples",
            "100",
            "--format",
            format,
        ];
        fuelwright::run(line, 80, &mut out, &mut err);
        let out = String::from_utf8(out).expect("text");
        let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(!flat.contains("NaN"), "{flat}");
        let words = "high: 100 of 100 samples get no fuel, or have no answer; in the first of them: nothing flows: the pressure that reaches the holes is not above that of the chamber.";
        assert!(flat.contains(words), "{err:?} {flat}");
    }
    std::fs::remove_file(&path).expect("can be removed");
}

/// By hand: the soak rig's regulator rises by its lock-up over its set pressure, each at the end of its band; and a
/// wider band is wider.
#[test]
fn the_pressure_at_rest_and_the_draw_kept_up_have_bands() {
    use fuelwright::tolerance::beside::beside;
    let of = |bands: &str| {
        let library = Library::embedded();
        let loaded = input::parse("rig.toml", &with_bands(bands), &library)
            .unwrap_or_else(|e| panic!("{e}"));
        let solution = fuelwright::audit::solution::solve(&loaded.rig, &library, Units::Si)
            .expect("propane has a model");
        let regulator = loaded.rig.train.part("regulator").expect("the rig has one");
        let fuelwright::train::PartKind::Regulator(r) = &regulator.kind else {
            panic!("no regulator");
        };
        let gauge = r.set_pressure.pascals() - loaded.rig.site.air_pressure.pascals();
        (beside(&solution), gauge, r.lock_up.pascals())
    };
    let (found, gauge, rise) =
        of("set_pressure = \"3 %\"\nlock_up = \"20 %\"\nconductance = \"25 %\"");
    let rest = &found[0];
    assert!((rest.value - gauge - rise).abs() < 1e-6);
    assert!((rest.low - 0.97 * gauge - 0.8 * rise).abs() < 1e-6);
    assert!((rest.high - 1.03 * gauge - 1.2 * rise).abs() < 1e-6);
    let draw = &found[1];
    assert!((draw.low / draw.value - 0.75).abs() < 1e-12);
    let (wider, ..) = of("set_pressure = \"6 %\"\nlock_up = \"40 %\"\nconductance = \"50 %\"");
    for (narrow, wide) in found.iter().zip(&wider) {
        assert!(wide.low < narrow.low && wide.high > narrow.high);
    }
}
