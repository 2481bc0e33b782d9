//! What is asked of a set of holes: each demand declared once, as a figure and what it is held against.

use super::{Asked, AtDuty, Target};
use crate::audit::Rule;
use crate::audit::rules::{
    choking_changes, condensation_in_injector, flow_not_as_wanted, hole_above_quenching,
    soft_injector, train_does_not_feed, uneven_holes, wide_turndown,
};
use crate::quantity::Kind;
use crate::quantity::show::{DIGITS, Units, number, show_digits};

/// Missed by less than this, as a logarithm, a demand counts as met: rounding.
pub const MET: f64 = 1e-9;

/// A demand.
pub struct Demand {
    /// Its word.
    pub word: &'static str,
    /// Whether holes that miss it are no choice at all; else it is given up where nothing meets all.
    pub must: bool,
    /// Rule that has its limit; `None`: our choice.
    pub rule: Option<&'static Rule>,
    /// What it is held against, `{}` the limit.
    limit: &'static str,
    /// What is given up where it is missed, `{}` the figure or the duties.
    found: &'static str,
    /// Holes of a diameter, m, held against it.
    pub held: fn(&Asked, f64, &[AtDuty]) -> Held,
}

/// Holes held against a demand.
pub struct Held {
    /// How far it is missed: the logarithm of figure over limit; 0 where it is met.
    pub miss: f64,
    limit: Told,
    found: Told,
}

/// What stands in place of `{}`.
enum Told {
    /// A quantity, SI.
    Figure(Kind, f64),
    /// A number.
    Number(f64),
    /// The duties of which something is so.
    Duties(fn(&AtDuty) -> bool),
    /// Words.
    Words(&'static str),
}

impl Told {
    fn show(&self, (asked, duties): (&Asked, &[AtDuty]), units: Units, digits: usize) -> String {
        match *self {
            Self::Figure(_, x) if !x.is_finite() => "which is not known".to_owned(),
            Self::Figure(kind, si) => show_digits(kind, si, units, digits),
            Self::Number(x) => number(x),
            Self::Words(words) => words.to_owned(),
            Self::Duties(which) => {
                let named = asked.targets.iter().zip(duties).filter(|(_, d)| which(d));
                let names: Vec<&str> = named.map(|(t, _)| t.name.as_str()).collect();
                names.join(", ")
            }
        }
    }
}

impl Demand {
    /// What it is held against, in words.
    pub fn limit(&self, asked: &Asked, units: Units) -> String {
        let held = (self.held)(asked, 1.0, &[]);
        self.limit
            .replace("{}", &held.limit.show((asked, &[]), units, DIGITS))
    }

    /// What is given up where it is missed, in a few words.
    pub fn found(&self, asked: &Asked, d_m: f64, duties: &[AtDuty], units: Units) -> String {
        let held = (self.held)(asked, d_m, duties);
        self.found
            .replace("{}", &held.found.show((asked, duties), units, 2))
    }
}

/// A figure that may be so much at most.
fn at_most(kind: Kind, figure: f64, limit: f64) -> Held {
    Held {
        miss: over(figure, limit),
        limit: Told::Figure(kind, limit),
        found: Told::Figure(kind, figure),
    }
}

/// A figure that may be no less.
fn at_least(kind: Kind, figure: f64, limit: f64) -> Held {
    Held {
        miss: over(limit, figure),
        ..at_most(kind, figure, limit)
    }
}

/// The worst error of any duty: how far its ratio lies outside its target; with its band, half the width of that more to
/// either side.
pub fn error(asked: &Asked, duties: &[AtDuty], with_band: bool) -> f64 {
    let errors = asked.targets.iter().zip(duties).map(|(target, d)| {
        let band = if with_band {
            d.ratio_high - d.ratio_low
        } else {
            0.0
        };
        let (low, high) = (d.ratio - 0.5 * band, d.ratio + 0.5 * band);
        (high / target.most - 1.0).max(1.0 - low / target.least)
    });
    errors.fold(0.0, |a, b| if b.is_nan() { 1.0 } else { a.max(b) })
}

/// How far one figure is over another, as a logarithm; nothing where it is not, or where one of them is not known.
fn over(figure: f64, limit: f64) -> f64 {
    (figure / limit).ln().max(0.0)
}

fn most(duties: &[AtDuty], figure: impl Fn(&AtDuty) -> Option<f64>) -> f64 {
    duties.iter().filter_map(figure).fold(f64::NAN, f64::max)
}

fn least(duties: &[AtDuty], figure: impl Fn(&AtDuty) -> Option<f64>) -> f64 {
    duties.iter().filter_map(figure).fold(f64::NAN, f64::min)
}

/// How many demands there are.
pub const COUNT: usize = 10;

/// Every demand, in the order they are told.
pub static DEMANDS: [Demand; COUNT] = [
    Demand {
        word: "fed",
        must: true,
        rule: Some(&train_does_not_feed::RULE),
        limit: "every duty gets its fuel, as gas if gas is meant",
        found: "{} not fed",
        held: |_, _, duties| Held {
            miss: f64::from(u8::from(duties.iter().any(|d| !d.fed))),
            limit: Told::Words(""),
            found: Told::Duties(|d| !d.fed),
        },
    },
    Demand {
        word: "ratio",
        must: true,
        rule: Some(&flow_not_as_wanted::RULE),
        limit: "within {} of each target, or in its range",
        found: "ratio off by {}",
        held: |asked, _, duties| {
            let fed = asked.targets.iter().zip(duties).filter(|(_, d)| d.fed);
            let off = fed.map(|(target, d)| {
                let ranged = target.least < target.most;
                let room = if ranged {
                    0.0
                } else {
                    flow_not_as_wanted::MOST
                };
                (d.ratio / target.most).max(target.least / d.ratio).ln() - room.ln_1p()
            });
            let off = off.fold(0.0, f64::max);
            Held {
                miss: off,
                ..at_most(
                    Kind::Ratio,
                    error(asked, duties, false),
                    flow_not_as_wanted::MOST,
                )
            }
        },
    },
    Demand {
        word: "by-hand",
        must: true,
        rule: None,
        limit: "no drill under {}",
        found: "a drill of {}",
        held: |asked, d_m, _| at_least(Kind::Length, d_m, asked.options.smallest_drill_m),
    },
    Demand {
        word: "stiffness",
        must: false,
        rule: Some(&soft_injector::RULE),
        limit: "drop over the holes {} or more",
        found: "drop {}",
        held: stiffness,
    },
    Demand {
        word: "one-kind",
        must: false,
        rule: Some(&choking_changes::RULE),
        limit: "choked at all duties or at none",
        found: "choked at {} only",
        held: |_, _, duties| {
            let over_choking = |d: &AtDuty| Some(d.over_choking);
            let (highest, lowest) = (most(duties, over_choking), least(duties, over_choking));
            Held {
                miss: highest.min(-lowest).max(0.0),
                limit: Told::Words(""),
                found: Told::Duties(|d| d.over_choking > 0.0),
            }
        },
    },
    Demand {
        word: "turndown",
        must: false,
        rule: Some(&wide_turndown::RULE),
        limit: "{} to 1 at most",
        found: "turndown {} to 1",
        held: |_, _, duties| {
            let flow = |d: &AtDuty| d.fed.then_some(d.flow_kg_s);
            let turndown = most(duties, flow) / least(duties, flow);
            Held {
                miss: over(turndown, wide_turndown::MOST),
                limit: Told::Number(wide_turndown::MOST),
                found: Told::Number(turndown),
            }
        },
    },
    Demand {
        word: "spread",
        must: false,
        rule: Some(&uneven_holes::RULE),
        limit: "holes within {} of each other",
        found: "spread {}",
        held: |asked, _, duties| at_most(Kind::Ratio, most(duties, |d| d.spread), asked.spread),
    },
    Demand {
        word: "reach",
        must: false,
        rule: None,
        limit: "jets no further than the can's radius, {}",
        found: "reach {}",
        held: |asked, _, duties| {
            let radius_m = asked.can_radius_m.unwrap_or(f64::NAN);
            at_most(Kind::Length, most(duties, |d| d.reach_m), radius_m)
        },
    },
    Demand {
        word: "dew-point",
        must: false,
        rule: Some(&condensation_in_injector::RULE),
        limit: "{} above the dew point",
        found: "{} over the dew point",
        held: |_, _, duties| {
            let superheat_k = least(duties, |d| d.superheat_k.map(|k| k.max(1e-3)));
            let least_k = condensation_in_injector::LEAST_K;
            at_least(Kind::TemperatureDifference, superheat_k, least_k)
        },
    },
    Demand {
        word: "quenching",
        must: false,
        rule: Some(&hole_above_quenching::RULE),
        limit: "holes no wider than the quenching distance, {}",
        found: "holes of {}, wider than quenching",
        held: |asked, d_m, _| {
            let distance_m = asked.quenching_m.unwrap_or(f64::NAN);
            at_most(Kind::Length, d_m, distance_m)
        },
    },
];

/// The drop over the holes: of liquid against what sprays, of a low-pressure burner against what its chamber stands above
/// the air, both where it is largest; else the least, as a share of the chamber.
fn stiffness(asked: &Asked, _: f64, duties: &[AtDuty]) -> Held {
    let drop = |(target, d): (&Target, &AtDuty)| {
        let least_pa = soft_injector::least_drop_pa(target.over_air_pa);
        (d.stiffness * target.chamber_pa, least_pa)
    };
    let drops = asked.targets.iter().zip(duties).map(drop);
    let largest = drops.max_by(|a, b| a.0.total_cmp(&b.0));
    let (drop_pa, least_pa) = largest.unwrap_or((f64::NAN, f64::NAN));
    if asked.liquid {
        return at_least(Kind::PressureDifference, drop_pa, soft_injector::SPRAYS_PA);
    }
    let lowest = least(duties, |d| Some(d.stiffness));
    let share = at_least(Kind::Ratio, lowest, soft_injector::LEAST);
    if !asked.low_pressure {
        return share;
    }
    Held {
        miss: over(least_pa, drop_pa),
        limit: Told::Words("twice what the chamber stands above the air,"),
        ..share
    }
}

/// Words of the demands that can be given up.
pub fn can_be_given_up() -> Vec<&'static str> {
    DEMANDS.iter().filter(|d| !d.must).map(|d| d.word).collect()
}
