//! Ranges of sizes and settings, against audits at and beyond their ends and against the throttle's own sum.

use super::faults::audited_text;
use fuelwright::audit::Signal;
use fuelwright::audit::solution::{solve, train_with_curve};
use fuelwright::fuel::Library;
use fuelwright::input::{self, Loaded};
use fuelwright::inside::{Range, Search, ranges};
use fuelwright::quantity::show::Units;
use std::collections::BTreeSet;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(Library::embedded);

const NEGLECTED: &str = include_str!("../../examples/neglected-frost-guard.toml");
const SOAK: &str = include_str!("../../examples/coupon-soak-rig.toml");

fn loaded(text: &str) -> Loaded {
    input::parse("rig.toml", text, &LIBRARY).unwrap_or_else(|e| panic!("{e}"))
}

/// DANGER and WARNING of a rig, by rule and place.
fn grave(text: &str) -> BTreeSet<(&'static str, String)> {
    let audit = audited_text(text, &LIBRARY).expect("it is read");
    let grave = audit
        .findings
        .iter()
        .filter(|f| f.signal <= Signal::Warning);
    let places = grave.flat_map(|f| f.places.iter().map(|at| (f.id, at.clone())));
    places.collect()
}

fn ranged(loaded: &Loaded) -> Vec<Range> {
    let search = Search {
        library: &LIBRARY,
        units: Units::Si,
        today: None,
        stopped: &|| false,
        done: &|| (),
    };
    ranges::ranges(&search, loaded).expect("it has a model")
}

#[test]
fn no_end_of_a_range_raises_a_danger_or_warning() {
    let mut ends = 0;
    for text in [NEGLECTED, SOAK] {
        let (loaded, known) = (loaded(text), grave(text));
        for range in ranged(&loaded).iter().filter(|r| r.with.is_none()) {
            let told = range.would_do.as_deref().unwrap_or_default();
            let Some((low, high)) = told.split_once(" to ") else {
                continue;
            };
            let Some((_, unit)) = high.split_once(' ') else {
                continue;
            };
            for value in [format!("\"{low} {unit}\""), format!("\"{high}\"")] {
                let now = grave(&loaded.with(&[(&range.key, &value)]));
                let new: Vec<_> = now.difference(&known).collect();
                assert!(new.is_empty(), "{} {value}: {new:?}", range.key);
                ends += 1;
            }
        }
    }
    assert!(ends >= 10, "{ends}");
}

#[test]
fn a_throttle_has_the_range_in_which_its_travel_is_usable() {
    let loaded = loaded(SOAK);
    let found = ranged(&loaded);
    let of = |key: &str| {
        let one = found.iter().find(|r| r.key == key && r.with.is_none());
        one.unwrap_or_else(|| panic!("{key}: {found:?}"))
    };
    // full-open coefficients that leave the largest duty at 90 % of its travel and the smallest at 10 %
    let solution = solve(&loaded.rig, &LIBRARY, Units::Si).expect("it has a model");
    let train = train_with_curve(&solution, 0).expect("a train");
    let study = train.study.expect("a throttle").expect("it is solved");
    let (least, most) = study.full_open_range.expect("a size fits");
    let throttle = of("train.throttle.flow_coefficient");
    let (Some(low), Some(high)) = (throttle.least, throttle.most) else {
        panic!("{throttle:?}");
    };
    assert!((low / least.kv() - 1.0).abs() < 0.03, "{low} {least:?}");
    assert!((high / most.kv() - 1.0).abs() < 0.03, "{high} {most:?}");
    assert!(throttle.does);
    assert!(
        throttle
            .catalogue
            .contains(&"metering-valve-kv0.25".to_owned())
    );
    assert!(
        !throttle
            .catalogue
            .contains(&"metering-valve-kv0.4".to_owned())
    );
    // the little authority of a line this narrow behind it stays, whatever the valve
    assert!(
        throttle.gives_way.contains(&"VLV002".to_owned()),
        "{throttle:?}"
    );
    let bore = of("train.line.bore");
    assert!(bore.does && bore.least.is_some_and(|least| least < 6e-3));
}
