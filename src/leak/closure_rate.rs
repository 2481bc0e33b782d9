//! Leakage that a closed seat may have by its class: ISO 5208 rates and EN 161.

use crate::quantity::{Length, VolumeRate, cubic_metres_per_second};

/// mm³ in a m³.
const MM3_PER_M3: f64 = 1e9;
/// cm³/h in a m³/s.
const CM3_H_PER_M3_S: f64 = 3.6e9;

/// A leakage rate of ISO 5208.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the letters are the standard's own")]
pub enum ClosureRate {
    A,
    Aa,
    B,
    C,
    Cc,
    D,
    E,
    Ee,
    F,
    G,
}

/// Rate, its letters, mm³/s by nominal size in mm: of liquid, of gas.
const RATES: [(ClosureRate, &str, f64, f64); 10] = [
    (ClosureRate::A, "A", 0.0, 0.0),
    (ClosureRate::Aa, "AA", 0.006, 0.18),
    (ClosureRate::B, "B", 0.01, 0.3),
    (ClosureRate::C, "C", 0.03, 3.0),
    (ClosureRate::Cc, "CC", 0.08, 22.3),
    (ClosureRate::D, "D", 0.1, 30.0),
    (ClosureRate::E, "E", 0.3, 300.0),
    (ClosureRate::Ee, "EE", 0.39, 470.0),
    (ClosureRate::F, "F", 1.0, 3000.0),
    (ClosureRate::G, "G", 2.0, 6000.0),
];

/// What leaks past a seat in a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestFluid {
    /// Water or another liquid.
    Liquid,
    /// Air or nitrogen, as a volume at the test's own conditions.
    Gas,
}

impl ClosureRate {
    /// Leakage that a valve of this rate may have: a figure by nominal size, `q = q₁ DN`.
    ///
    /// * `nominal` — nominal size (DN), as a length
    ///
    /// **Valid:** the standard's own test, at its own pressure; rate A is "nothing seen". A seat in service
    /// wears and catches dirt. **Source:** `iso5208`.
    ///
    /// ```
    /// use fuelwright::leak::closure_rate::{ClosureRate, TestFluid};
    /// use fuelwright::quantity::metres;
    /// let q = ClosureRate::B.leakage(metres(8e-3), TestFluid::Gas);
    /// assert!((q.value - 2.4e-9).abs() < 1e-15);
    /// ```
    pub fn leakage(self, nominal: Length, fluid: TestFluid) -> VolumeRate {
        let dn_mm = nominal.value * 1e3;
        let (liquid, gas) = RATES
            .iter()
            .find(|(rate, ..)| *rate == self)
            .map_or((0.0, 0.0), |(_, _, liquid, gas)| (*liquid, *gas));
        let by_size = match fluid {
            TestFluid::Liquid => liquid,
            TestFluid::Gas => gas,
        };
        cubic_metres_per_second(by_size * dn_mm / MM3_PER_M3)
    }

    /// Its letters.
    pub fn letters(self) -> &'static str {
        RATES
            .iter()
            .find(|(rate, ..)| *rate == self)
            .map_or("", |(_, letters, ..)| letters)
    }
}

/// A leak class as a maker writes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeakClass {
    /// A rate of ISO 5208.
    Iso5208(ClosureRate),
    /// A shut-off valve of class A by EN 161.
    En161A,
}

impl LeakClass {
    /// The class that a text names, if it is one of those known here.
    ///
    /// ```
    /// use fuelwright::leak::{ClosureRate, LeakClass};
    /// assert_eq!(LeakClass::read("ISO 5208 rate B"), Some(LeakClass::Iso5208(ClosureRate::B)));
    /// assert_eq!(LeakClass::read("EN 161 class A"), Some(LeakClass::En161A));
    /// assert_eq!(LeakClass::read("bubble-tight"), None);
    /// ```
    pub fn read(text: &str) -> Option<Self> {
        let upper = text.to_uppercase();
        let packed: String = upper.chars().filter(|c| !c.is_whitespace()).collect();
        let last = upper.split_whitespace().last()?;
        if packed.contains("5208") {
            let found = RATES.iter().find(|(_, letters, ..)| *letters == last)?;
            return Some(Self::Iso5208(found.0));
        }
        (packed.contains("EN161") && last == "A").then_some(Self::En161A)
    }

    /// Gas that a closed seat of this class and bore may leak.
    ///
    /// **Valid:** a new valve in its standard's test, air. The bore stands in for the nominal size.
    /// **Source:** `iso5208`, `en161`.
    pub fn seat_leakage(self, bore: Length) -> VolumeRate {
        match self {
            Self::Iso5208(rate) => rate.leakage(bore, TestFluid::Gas),
            Self::En161A => burner_valve_leakage(bore),
        }
    }
}

/// Leakage of air that a burner's shut-off valve may have, to outside or past its seat:
/// 20 cm³/h below DN 10, 40 to DN 25, 60 above.
///
/// **Valid:** up to DN 80. **Source:** `en161`.
pub fn burner_valve_leakage(bore: Length) -> VolumeRate {
    let cm3_h = if bore.value < 10e-3 {
        20.0
    } else if bore.value <= 25e-3 {
        40.0
    } else {
        60.0
    };
    cubic_metres_per_second(cm3_h / CM3_H_PER_M3_S)
}
