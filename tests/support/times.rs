//! How many random cases a test draws: as many as it names, and `FUELWRIGHT_TIMES` times as many in a long run.

/// A number of cases, in a long run a multiple of it.
pub(crate) fn times(usual: usize) -> usize {
    let times = std::env::var("FUELWRIGHT_TIMES");
    usual * times.map_or(1, |n| n.parse().expect("a whole number"))
}

/// Cases of a property.
pub(crate) fn cases(usual: u32) -> proptest::prelude::ProptestConfig {
    let cases = times(usual as usize).try_into().expect("a few millions");
    proptest::prelude::ProptestConfig::with_cases(cases)
}
