//! Fuels and blends from text: round trips, shares that add up, no panic.
use crate::times::cases;
use fuelwright::fuel::{Composition, CompositionError, Library};
use proptest::prelude::*;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(Library::embedded);

fn parse(text: &str) -> Result<Composition, CompositionError> {
    Composition::parse(text, &LIBRARY)
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_blend_reads_back_from_its_label(first in 1_u32..9999, by_mass: bool) {
        let (a, b) = (f64::from(first) / 100.0, f64::from(10_000 - first) / 100.0);
        let basis = if by_mass { "@mass" } else { "" };
        let blend = parse(&format!(" Propane : {a} , isobutane:{b}%{basis}")).expect("adds up");
        let again = parse(blend.label()).expect("a label can be read");
        prop_assert_eq!(&again, &blend);
        let x = blend.mole_fractions();
        prop_assert!((x[0] + x[1] - 1.0).abs() < 1e-12);
        if !by_mass {
            prop_assert!((x[0] - a / 100.0).abs() < 1e-12);
        }
    }

    #[test]
    fn mass_percent_and_mole_percent_describe_one_blend(w in 1.0_f64..99.0) {
        // x_i = (w_i/M_i)/sum; back: w_i = x_i M_i / sum
        let by_mass = parse(&format!("methane:{w},n-decane:{}@mass", 100.0 - w)).expect("adds up");
        let heavy: f64 = by_mass.molar_mass_kg_mol();
        let part = &by_mass.parts()[0];
        let back = part.mole_fraction * part.fuel.molar_mass_kg_mol / heavy;
        prop_assert!((back - w / 100.0).abs() < 1e-12);
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,40}") {
        let _ = parse(&text).map(|c| c.label().len());
    }

    #[test]
    fn shares_that_do_not_add_up_are_refused(a in 1.0_f64..99.0, off in 0.02_f64..50.0) {
        for b in [100.0 - a + off, 100.0 - a - off] {
            let refused = matches!(
                parse(&format!("propane:{a},n-butane:{b}")),
                Err(CompositionError::Sum { .. } | CompositionError::ShareOutOfRange { .. })
            );
            prop_assert!(refused);
        }
    }
}

#[test]
fn what_is_wrong_with_a_blend_is_said() {
    use CompositionError as E;
    type Expected = fn(&E) -> bool;
    let many: Vec<String> = (0..17).map(|_| "propane:1".to_owned()).collect();
    let many = many.join(",");
    let cases: [(&str, Expected); 14] = [
        ("", |e| matches!(e, E::Empty)),
        ("@mass", |e| matches!(e, E::Empty)),
        ("propnae", |e| {
            e.to_string().contains("did you mean `propane`?")
        }),
        ("lpg", |e| {
            e.to_string().contains("did you mean `lpg-propane`?")
        }),
        (
            "propane,n-butane:30",
            |e| matches!(e, E::NoShare { part, .. } if part == "propane"),
        ),
        (
            "propane:70,n-butane",
            |e| matches!(e, E::NoShare { part, .. } if part == "n-butane"),
        ),
        ("propane:NaN,n-butane:30", |e| {
            matches!(e, E::ShareOutOfRange { .. })
        }),
        ("propane:inf,n-butane:30", |e| {
            matches!(e, E::ShareOutOfRange { .. })
        }),
        ("propane:130,n-butane:-30", |e| {
            matches!(e, E::ShareOutOfRange { .. })
        }),
        ("propane:100,n-butane:0", |e| {
            matches!(e, E::ShareOutOfRange { .. })
        }),
        (
            "propane:most,n-butane:30",
            |e| matches!(e, E::NotANumber { share, .. } if share == "most"),
        ),
        (
            "butane:50,n-butane:50",
            |e| matches!(e, E::Duplicate { name, .. } if name == "n-butane"),
        ),
        (
            "propane:100@weight",
            |e| matches!(e, E::Basis { basis } if basis == "weight"),
        ),
        (&many, |e| matches!(e, E::TooMany { count: 17 })),
    ];
    for (text, expected) in cases {
        let error = parse(text).expect_err(text);
        assert!(expected(&error), "{text}: {error}");
    }
}

#[test]
fn thirds_written_with_two_digits_are_accepted() {
    // 99.99: within the stated 0.01
    let blend = parse("propane:33.33,n-butane:33.33,isobutane:33.33").expect("close enough");
    assert!((blend.mole_fractions().iter().sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn synonyms_and_capitals_lead_to_the_one_name() {
    let names = [
        ("BUTANE", "n-butane"),
        ("DME", "dimethyl-ether"),
        ("propene", "propylene"),
        ("IPA", "isopropanol"),
        ("petrol", "gasoline"),
        ("R290", "propane"),
        ("Autogas", "autogas-winter"),
        ("propane:100", "propane"),
    ];
    for (typed, label) in names {
        assert_eq!(parse(typed).expect(typed).label(), label);
    }
}
