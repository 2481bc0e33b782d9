//! A liquid that the mixture model makes two of is refused by every command alike.

use fuelwright::{Outcome, run};

const BLEND: &str = "ethanol:50,n-heptane:50";

/// Standard output and standard error in one, their lines joined.
fn told(line: &str) -> (Outcome, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.split('|'));
    let outcome = run(all, 120, &mut out, &mut err);
    let text = String::from_utf8([out, err].concat()).expect("text");
    (
        outcome,
        text.split_whitespace().collect::<Vec<_>>().join(" "),
    )
}

// The published pair parameters (bell2016) make two liquids of ethanol and n-heptane below about 20 degC, which in fact mix in
// all proportions; in the warm its azeotrope lies 1.5 K too high (70.9 degC, from memory).
#[test]
fn every_command_refuses_a_parted_liquid_alike() {
    for line in [
        "state|BLEND|--temperature|20 degC|--pressure|1 bara",
        "state|BLEND|--temperature|60 degC|--pressure|3 bara",
        "regulator|--fuel|BLEND|--upstream|3 barg|--upstream-temperature|40 degC|--downstream|1 barg",
        "injector|--fuel|BLEND|--upstream|3 barg|--upstream-temperature|40 degC|--chamber|0 barg|--holes|4|--flow|1 g/s",
        "leak|--fuel|BLEND|--pressure|3 barg|--temperature|40 degC|--hole-diameter|1 mm",
        "trapped|--fuel|BLEND|--temperature|20 degC|--pressure|3 barg|--rise|20 K",
        "fuel|BLEND",
    ] {
        let (outcome, text) = told(&line.replace("BLEND", BLEND));
        assert!(
            text.contains("splits the liquid in two") && text.contains("kind = \"correlation\""),
            "{line}: {outcome:?} {text}"
        );
    }
}

#[test]
fn its_gas_and_a_trace_of_alcohol_are_answered() {
    for line in [
        "state|BLEND|--temperature|120 degC|--pressure|1 bara",
        // methanol against ice in LPG
        "state|methanol:0.2,propane:99.8|--temperature|20 degC|--pressure|12 bara",
        // alcohols and water mix in fact and in the model
        "state|ethanol:50,water:50|--temperature|20 degC|--pressure|1 bara",
    ] {
        let (outcome, text) = told(&line.replace("BLEND", BLEND));
        assert!(matches!(outcome, Outcome::Done), "{line}: {text}");
    }
}
