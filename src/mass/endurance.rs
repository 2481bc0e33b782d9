//! Mass of a whole fuel system against the time it is to run, and when one becomes lighter than another.

use crate::quantity::{Mass, MassRate, Time, kilograms, seconds};

/// Points a step of the search for a break-even, between two changes in the number of tanks.
const SCAN: u32 = 12;
/// Most changes in the number of tanks that are looked at.
const MOST_TANKS: u32 = 200;

/// How a system stores its fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Store {
    /// Tanks of one size, as many as it takes.
    Tanks {
        /// Mass of one without fuel.
        empty: Mass,
        /// Fuel that one gives.
        charge: Mass,
    },
    /// A tank made to measure: its mass goes with the fuel.
    ToMeasure {
        /// Mass of tank over mass of fuel.
        tank_per_fuel: f64,
    },
}

/// A fuel system.
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    /// Name.
    pub name: String,
    /// Everything that weighs the same however long it runs.
    pub fixed: Mass,
    /// Fuel it burns.
    pub fuel_rate: MassRate,
    /// Other mass by time: the battery of its pump.
    pub battery_rate: MassRate,
    /// Tanks.
    pub store: Store,
}

impl System {
    /// Fuel for a time.
    pub fn fuel(&self, t: Time) -> Mass {
        kilograms(self.fuel_rate.value * t.value)
    }

    /// Number of tanks for a time; `None` for a tank made to measure.
    pub fn tanks(&self, t: Time) -> Option<f64> {
        match self.store {
            // a last cylinder that is one part in a billion over counts as none
            Store::Tanks { charge, .. } => {
                Some(((self.fuel(t) / charge).value - 1e-9).ceil().max(1.0))
            }
            Store::ToMeasure { .. } => None,
        }
    }

    /// Mass of the tanks for a time, empty.
    pub fn tank_mass(&self, t: Time) -> Mass {
        match self.store {
            Store::Tanks { empty, .. } => empty * self.tanks(t).unwrap_or(1.0),
            Store::ToMeasure { tank_per_fuel } => self.fuel(t) * tank_per_fuel,
        }
    }

    /// Mass at the start of a run of this time: `m = fixed + tanks(t) + (fuel + battery) t`.
    ///
    /// ```
    /// use fuelwright::mass::{Store, System};
    /// use fuelwright::quantity::{kilograms, kilograms_per_second, seconds};
    /// let gas = System {
    ///     name: "propane".into(),
    ///     fixed: kilograms(4.0),
    ///     fuel_rate: kilograms_per_second(1e-3),
    ///     battery_rate: kilograms_per_second(0.0),
    ///     store: Store::Tanks { empty: kilograms(13.0), charge: kilograms(11.0) },
    /// };
    /// // 14.4 kg of fuel take two cylinders
    /// let mass = gas.mass(seconds(4.0 * 3600.0));
    /// assert!((mass.value - (4.0 + 2.0 * 13.0 + 14.4)).abs() < 1e-12);
    /// ```
    pub fn mass(&self, t: Time) -> Mass {
        kilograms(self.fixed.value + self.battery_rate.value * t.value)
            + self.tank_mass(t)
            + self.fuel(t)
    }

    /// Times up to a limit at which another tank is added.
    pub fn steps(&self, longest: Time) -> Vec<f64> {
        let Store::Tanks { charge, .. } = self.store else {
            return Vec::new();
        };
        let one_s = charge.value / self.fuel_rate.value;
        (1..=MOST_TANKS)
            .map(|n| f64::from(n) * one_s)
            .take_while(|t| *t < longest.value)
            .collect()
    }
}

/// When one system becomes lighter or heavier than another.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakEven {
    /// Whether the second is the lighter one for the shortest run.
    pub second_lighter_at_start: bool,
    /// Times at which the lighter one changes, in order.
    pub changes: Vec<Time>,
    /// How far was looked.
    pub longest: Time,
}

/// Every time up to `longest` at which the lighter of two systems changes.
///
/// * `first`, `second` — mass at the start of a run of so many seconds, kg
/// * `jumps` — times at which one of them jumps: tanks come whole, so the two may cross several times
///
/// **Valid:** masses that are smooth between the jumps. **Source:** sums of masses.
pub fn break_even(
    first: &dyn Fn(f64) -> f64,
    second: &dyn Fn(f64) -> f64,
    jumps: &[f64],
    longest: Time,
) -> BreakEven {
    let lighter = |t: f64| second(t) < first(t);
    let mut marks = vec![0.0, longest.value];
    marks.extend_from_slice(jumps);
    marks.sort_by(f64::total_cmp);
    marks.dedup();
    let start = lighter(0.0);
    let mut now = start;
    let mut changes = Vec::new();
    for pair in marks.windows(2) {
        let [from, to] = *pair else { continue };
        // no jump between two marks: just behind the first mark
        let mut before = from;
        for i in 0..=SCAN {
            let x = f64::from(i.max(1)) / f64::from(SCAN);
            let t = if i == 0 {
                from + 1e-9 * (to - from)
            } else {
                from + x * (to - from)
            };
            if lighter(t) != now {
                changes.push(seconds(crossing(&lighter, before, t, now)));
                now = !now;
            }
            before = t;
        }
    }
    BreakEven {
        second_lighter_at_start: start,
        changes,
        longest,
    }
}

/// Where the answer changes between two times, by halving.
fn crossing(lighter: &impl Fn(f64) -> bool, mut low: f64, mut high: f64, at_low: bool) -> f64 {
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if lighter(middle) == at_low {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::kilograms_per_second;

    fn even(a: &System, b: &System, longest: f64) -> BreakEven {
        let longest = seconds(longest);
        let jumps = [a.steps(longest), b.steps(longest)].concat();
        break_even(
            &|t| a.mass(seconds(t)).value,
            &|t| b.mass(seconds(t)).value,
            &jumps,
            longest,
        )
    }

    fn system(fixed: f64, rate: f64, store: Store) -> System {
        System {
            name: String::new(),
            fixed: kilograms(fixed),
            fuel_rate: kilograms_per_second(rate),
            battery_rate: kilograms_per_second(0.0),
            store,
        }
    }

    #[test]
    fn two_straight_lines_cross_where_algebra_says() {
        // 2 + 1.5e-3 t = 5 + 1.1e-3 t  ->  t = 7500 s
        let store = |tank_per_fuel| Store::ToMeasure { tank_per_fuel };
        let a = system(2.0, 1e-3, store(0.5));
        let b = system(5.0, 1e-3, store(0.1));
        let found = even(&a, &b, 1e5);
        assert!(!found.second_lighter_at_start);
        assert_eq!(found.changes.len(), 1);
        assert!((found.changes[0].value - 7500.0).abs() < 1e-6);
    }

    #[test]
    fn a_whole_cylinder_more_can_tip_the_scale_and_back() {
        let tanks = Store::Tanks {
            empty: kilograms(10.0),
            charge: kilograms(10.0),
        };
        // first: one cylinder until 10000 s, then two; second: one tank that grows
        let a = system(1.0, 1e-3, tanks);
        let b = system(14.0, 1.5e-3, Store::ToMeasure { tank_per_fuel: 0.0 });
        let found = even(&a, &b, 19_000.0);
        // 31 + 1e-3 (t - 0) after the step: 21 + 1e-3 t against 14 + 1.5e-3 t cross at 14000 s
        let at: Vec<f64> = found.changes.iter().map(|t| t.value).collect();
        assert!(!found.second_lighter_at_start);
        assert_eq!(at.len(), 2, "{at:?}");
        assert!((at[0] - 10_000.0).abs() < 1e-3, "{at:?}");
        assert!((at[1] - 14_000.0).abs() < 1e-3, "{at:?}");
    }

    #[test]
    fn systems_alike_never_change_places() {
        let store = Store::ToMeasure { tank_per_fuel: 0.2 };
        let a = system(3.0, 1e-3, store);
        assert!(even(&a, &a.clone(), 1e6).changes.is_empty());
    }
}
