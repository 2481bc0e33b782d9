//! Holes chosen by a search, against every combination solved in full.

use fuelwright::eos;
use fuelwright::flow::orifice::Expansion;
use fuelwright::fuel::{Composition, Library};
use fuelwright::injector::drill_set::drill_set;
use fuelwright::injector::size::{HoleMake, InjectorInput, Supply};
use fuelwright::input;
use fuelwright::inside::{
    AtDuty, Combination, DEMAND_COUNT, DEMANDS, FoundHoles, Options, Problem, none, search,
    settings,
};
use fuelwright::quantity::show::Units;
use fuelwright::quantity::{kelvin, kilograms_per_second, pascals_absolute};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(Library::embedded);

const SOAK: &str = include_str!("../../examples/coupon-soak-rig.toml");
const GREENHOUSE: &str = include_str!("../../examples/greenhouse-frost-guard.toml");

fn options(counts: (u32, u32), drills: &[&str]) -> Options {
    Options {
        counts: Some(counts),
        drills: drill_set(drills).expect("drills"),
        ratios: None,
        smallest_drill_m: 0.5e-3,
        given_up: [false; DEMAND_COUNT],
    }
}

fn of_rig(text: &str, options: &Options) -> Problem<'static> {
    let loaded = input::parse("rig.toml", text, &LIBRARY).unwrap_or_else(|e| panic!("{e}"));
    let made = Problem::of_rig(&loaded.rig, &LIBRARY, Units::Si, options).expect("it has a model");
    made.unwrap_or_else(|why| panic!("{why}"))
}

fn found(problem: &Problem<'_>) -> FoundHoles {
    search(problem, &|| false, &|| ())
}

/// What decides, told anew: demands missed with by how much, worst error with half its band, number, pressure.
fn worth(
    problem: &Problem<'_>,
    c: Combination,
    duties: &[AtDuty],
) -> Option<(usize, i64, i64, u32, i64)> {
    let (asked, d_m) = (&problem.asked, problem.space.diameter(c).value);
    let (mut missed, mut by) = (0, 0.0);
    for demand in &DEMANDS {
        let miss = (demand.held)(asked, d_m, duties).miss;
        if miss > 1e-9 {
            if demand.must {
                return None;
            }
            missed += 1;
            by += miss;
        }
    }
    let errors = asked.targets.iter().zip(duties).map(|(t, d)| {
        let half = (d.ratio_high - d.ratio_low) / 2.0;
        f64::max(
            (d.ratio + half) / t.most - 1.0,
            1.0 - (d.ratio - half) / t.least,
        )
    });
    let error = errors.fold(0.0, f64::max);
    let largest = duties
        .iter()
        .max_by(|a, b| a.flow_kg_s.total_cmp(&b.flow_kg_s))?;
    #[allow(clippy::cast_possible_truncation, reason = "small numbers")]
    let steps = |x: f64, step: f64| (x / step).round() as i64;
    Some((
        missed,
        steps(by, 0.2),
        steps(error, 1e-3),
        c.holes,
        steps(largest.pressure_pa, 1.0),
    ))
}

/// The best of all combinations, each solved in full.
fn best_of_all(problem: &Problem<'_>) -> Option<Combination> {
    let space = &problem.space;
    let mut best = None;
    for &holes in &space.counts {
        for drill in 0..space.drills.len() {
            for pressure in 0..space.pressures_pa.len().max(1) {
                let c = Combination {
                    holes,
                    pressure,
                    drill,
                };
                let worth = problem
                    .in_full(c)
                    .and_then(|duties| worth(problem, c, &duties));
                if let Some(worth) = worth
                    && best.as_ref().is_none_or(|(w, _)| worth < *w)
                {
                    best = Some((worth, c));
                }
            }
        }
    }
    best.map(|(_, c)| c)
}

fn agree(problem: &Problem<'_>) {
    let found = found(problem);
    let first = found.choices.first().map(|s| s.judged.combination);
    assert!(first.is_some());
    assert_eq!(first, best_of_all(problem));
    let space = &problem.space;
    let all = space.counts.len() * space.drills.len() * space.pressures_pa.len().max(1);
    assert_eq!(found.tally.looked_at, all);
}

/// Frost guard whose two duties take the same fuel: without a throttle holes can only do both then.
fn even_frost_guard() -> String {
    GREENHOUSE.replace("heat_release = \"7 kW\"", "heat_release = \"15 kW\"")
}

#[test]
fn the_first_choice_is_that_of_every_combination_solved_in_full() {
    let few = ["0.6 mm", "0.7 mm", "0.8 mm", "0.9 mm", "1.1 mm", "1.4 mm"];
    agree(&of_rig(SOAK, &options((4, 14), &few)));
    let kinder = SOAK.replace("throttle = \"25 %\"", "throttle = \"60 %\"");
    agree(&of_rig(
        &kinder.replace("\"35 %\"", "\"60 %\""),
        &options((4, 14), &few),
    ));
    let fine = [
        "0.6 mm", "0.65 mm", "0.7 mm", "0.75 mm", "0.8 mm", "0.9 mm", "1 mm",
    ];
    agree(&of_rig(&even_frost_guard(), &options((4, 16), &fine)));
}

fn from_flags<'a>(fluid: &'a dyn eos::Backend, drills: &[&str], ratios: (f64, f64)) -> Problem<'a> {
    let air = pascals_absolute(101_325.0);
    let input = InjectorInput {
        fluid,
        supply_pressure: None,
        supply: Supply::Temperature(kelvin(288.15)),
        chamber: pascals_absolute(air.pascals() + 2e3),
        holes: None,
        diameter: None,
        flow: None,
        make: HoleMake::default(),
        expansion: Expansion::Blend,
        phase: None,
    };
    let options = Options {
        ratios: Some(ratios),
        ..options((1, 12), drills)
    };
    let pressures_pa = settings((air.pascals() + 0.4e5, air.pascals() + 2e5), air.pascals());
    let wanted = kilograms_per_second(0.75e-3);
    Problem::of_flags(input, &options, pressures_pa, air, wanted, false).expect("a table")
}

#[test]
fn flags_agree_with_every_combination_and_more_drills_are_never_worse() {
    let propane = Composition::parse("propane", &LIBRARY).expect("a fuel");
    let propane = eos::backend(&LIBRARY, &propane).expect("a model");
    let few = ["0.6 mm", "0.8 mm", "1 mm", "1.2 mm"];
    agree(&from_flags(propane.as_ref(), &few, (0.65, 0.65)));
    agree(&from_flags(propane.as_ref(), &few, (0.5, 0.8)));
    let mut drills: Vec<&str> = Vec::new();
    let mut last = None;
    for more in [
        "1.2 mm", "0.8 mm", "#70", "#65", "letter", "number", "metric", "fraction",
    ] {
        drills.push(more);
        if drills.len() < 2 {
            continue;
        }
        let problem = from_flags(propane.as_ref(), &drills, (0.65, 0.65));
        let first = found(&problem).choices.first().cloned();
        let now = first.and_then(|s| worth(&problem, s.judged.combination, &s.duties));
        let worse = last.is_some_and(|last| now.is_none_or(|now| now > last));
        assert!(!worse, "{more}: {last:?} {now:?}");
        last = now.or(last);
    }
    assert!(last.is_some());
}

#[test]
fn as_many_threads_as_one_likes_find_the_same() {
    let problem = of_rig(SOAK, &options((2, 24), &["metric"]));
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let found = pool.install(|| found(&problem));
        let choices = found
            .choices
            .into_iter()
            .map(|s| (s.judged.combination, s.judged.error.to_bits()));
        (
            choices.collect::<Vec<_>>(),
            found.tally.rules_out,
            found.tally.alone,
        )
    };
    let one = with(1);
    assert_eq!(one.0.len(), 10);
    assert_eq!(one, with(2));
    assert_eq!(one, with(5));
}

#[test]
fn what_cannot_be_done_is_told_with_what_rules_it_out_and_what_comes_nearest() {
    // one pressure, no throttle, and twice the fuel at one duty as at the other
    let problem = of_rig(GREENHOUSE, &options((4, 16), &["metric"]));
    let found = found(&problem);
    assert!(found.choices.is_empty());
    let place = |word: &str| {
        DEMANDS
            .iter()
            .position(|d| d.word == word)
            .expect("a demand")
    };
    let most = (0..DEMAND_COUNT)
        .filter(|i| DEMANDS[*i].must)
        .max_by_key(|i| found.tally.alone[*i]);
    assert_eq!(most, Some(place("ratio")));
    let told = none(&problem, &found, Units::Si, pascals_absolute(101_325.0));
    assert!(
        told.contains("`ratio` (within 10 % of each target") && told.contains("Nearest: "),
        "{told}"
    );
    let nearest = found.nearest.expect("something comes near");
    assert!(nearest.judged.missed[place("ratio")]);
    assert!(!nearest.judged.missed[place("fed")]);
    // the mean of 7 and 15 kW is 11: nothing is nearer to both than some 40 % off
    let off: Vec<f64> = nearest
        .duties
        .iter()
        .zip(&problem.asked.targets)
        .map(|(d, t)| d.ratio / t.most - 1.0)
        .collect();
    assert!(off[0] > 0.2 && off[1] < -0.2, "{off:?}");
}

#[test]
fn a_demand_given_up_rules_out_nothing() {
    let mut options = options((2, 24), &["metric"]);
    let before = found(&of_rig(SOAK, &options));
    let place = DEMANDS
        .iter()
        .position(|d| d.word == "stiffness")
        .expect("a demand");
    assert!(before.choices[0].judged.missed[place] && before.tally.alone[place] > 0);
    options.given_up[place] = true;
    let after = found(&of_rig(SOAK, &options));
    assert_eq!(after.tally.rules_out[place], 0);
    assert!(after.choices[0].judged.missed.iter().all(|m| !m));
}

#[test]
fn rings_take_even_numbers_and_places_that_are_given_keep_theirs() {
    let counts = |text: &str| of_rig(text, &options((1, 13), &["0.8 mm"])).space.counts;
    assert_eq!(counts(SOAK), [2, 4, 6, 8, 10, 12]);
    let three = SOAK.replace("[\"0 deg\"]", "[\"0 deg\", \"120 deg\", \"240 deg\"]");
    assert_eq!(counts(&three), [6, 12]);
    let placed = even_frost_guard().replace(
        "holes = 12",
        "holes = 3\nhole_places = [\"50 mm\", \"120 mm\", \"200 mm\"]",
    );
    assert_eq!(counts(&placed), [3]);
}

#[test]
fn a_range_in_the_file_is_aimed_at_in_its_middle_and_judged_by_its_ends() {
    let text = SOAK.replace(
        "equivalence_ratio = 0.30",
        "equivalence_ratio = \"0.28-0.32\"",
    );
    let loaded = input::parse("rig.toml", &text, &LIBRARY).unwrap_or_else(|e| panic!("{e}"));
    let again = input::parse("rig.toml", &loaded.raw.write(), &LIBRARY);
    let again = again.unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(
        again.rig.duties[3].ratio_range,
        loaded.rig.duties[3].ratio_range
    );
    let told: Vec<String> = loaded
        .rig
        .assumptions
        .iter()
        .map(|a| a.show(Units::Si))
        .collect();
    assert!(
        told.iter()
            .any(|t| t.contains("0.3, the middle of its range")),
        "{told:?}"
    );
    let range = of_rig(&text, &options((6, 12), &["0.65 mm", "0.8 mm"]));
    let full = &range.asked.targets[3];
    assert_eq!((full.least, full.most), (0.28, 0.32));
    // the same flow, and less of an error by the width of the range
    let alone = of_rig(SOAK, &options((6, 12), &["0.65 mm", "0.8 mm"]));
    let (mut with, mut without) = (Vec::new(), Vec::new());
    let c = Combination {
        holes: 10,
        pressure: 0,
        drill: 0,
    };
    range.by_table(c, &mut with);
    alone.by_table(c, &mut without);
    assert!((with[3].flow_kg_s / without[3].flow_kg_s - 1.0).abs() < 1e-9);
    let half = (with[3].ratio_high - with[3].ratio_low) / 2.0;
    assert!(half > 0.02, "{half}");
    for wrong in ["\"0.28-\"", "\"0.28-20\"", "\"a-b\""] {
        let text = SOAK.replace(
            "equivalence_ratio = 0.30",
            &format!("equivalence_ratio = {wrong}"),
        );
        assert!(
            input::parse("rig.toml", &text, &LIBRARY).is_err(),
            "{wrong}"
        );
    }
}
