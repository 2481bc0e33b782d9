//! What is asked of a set of holes: each demand declared once, with what it is held against and how far it is missed.

use super::{Asked, AtDuty, Holes, error};
use crate::audit::Rule;
use crate::audit::rules::{
    choking_changes, condensation_in_injector, flow_not_as_wanted, hole_above_quenching,
    soft_injector, train_does_not_feed, uneven_holes, wide_turndown,
};
use crate::quantity::Kind;
use crate::quantity::show::{Units, number, percent, show, show_digits};

/// Missed by less than this, as a logarithm, a demand counts as met: rounding.
pub const MET: f64 = 1e-9;
/// What a demand that has no figure is missed by.
const FAR: f64 = 1.0;

/// A demand.
pub struct Demand {
    /// Its word.
    pub word: &'static str,
    /// Whether holes that miss it are no choice at all; else it is given up where nothing meets all.
    pub must: bool,
    /// Rule that has its limit; `None`: our choice.
    pub rule: Option<&'static Rule>,
    /// What it is held against, in words.
    pub limit: fn(&Asked, Units) -> String,
    /// How far it is missed: the logarithm of figure over limit; 0 where it is met.
    pub miss: fn(&Asked, Holes, &[AtDuty]) -> f64,
    /// What is given up where it is missed, in a few words.
    pub found: fn(&Asked, Holes, &[AtDuty], Units) -> String,
}

/// How many demands there are.
pub const COUNT: usize = 10;

/// Every demand, in the order they are told.
pub static DEMANDS: [Demand; COUNT] = [
    Demand {
        word: "fed",
        must: true,
        rule: Some(&train_does_not_feed::RULE),
        limit: |_, _| "every duty gets its fuel, as gas if gas is meant".to_owned(),
        miss: |_, _, duties| worst(duties, |_, d| if d.fed { 0.0 } else { FAR }),
        found: |asked, _, duties, _| format!("{} not fed", named(asked, duties, |d| !d.fed)),
    },
    Demand {
        word: "ratio",
        must: true,
        rule: Some(&flow_not_as_wanted::RULE),
        limit: |_, _| {
            let most = percent(flow_not_as_wanted::MOST);
            format!("within {most} of each target, or in its range")
        },
        miss: |asked, _, duties| {
            worst(duties, |i, d| {
                let target = &asked.targets[i];
                let off = (d.ratio / target.most)
                    .ln()
                    .max((target.least / d.ratio).ln());
                let room = if target.least < target.most {
                    0.0
                } else {
                    (1.0 + flow_not_as_wanted::MOST).ln()
                };
                if d.fed { off - room } else { 0.0 }
            })
        },
        found: |asked, _, duties, units| {
            format!(
                "ratio off by {}",
                two(Kind::Ratio, error(asked, duties, false), units)
            )
        },
    },
    Demand {
        word: "by-hand",
        must: true,
        rule: None,
        limit: |asked, units| {
            let least = show(Kind::Length, asked.smallest_drill_m, units);
            format!("no drill under {least}")
        },
        miss: |asked, holes, _| over(asked.smallest_drill_m, holes.diameter_m),
        found: |asked, _, _, units| {
            format!(
                "a drill under {}",
                two(Kind::Length, asked.smallest_drill_m, units)
            )
        },
    },
    Demand {
        word: "stiffness",
        must: false,
        rule: Some(&soft_injector::RULE),
        limit: |asked, units| {
            if asked.liquid {
                let least = show(Kind::PressureDifference, soft_injector::SPRAYS_PA, units);
                return format!("largest drop over the holes {least} or more");
            }
            if asked.low_pressure {
                return "drop over the holes twice what the chamber stands above the air"
                    .to_owned();
            }
            let least = percent(soft_injector::LEAST);
            format!("drop over the holes {least} of the chamber or more")
        },
        miss: |asked, _, duties| {
            if asked.liquid {
                return over(soft_injector::SPRAYS_PA, most_drop_pa(asked, duties));
            }
            if asked.low_pressure {
                // as the rule has it: of a low-pressure burner the duty with the largest drop counts
                let margin = |(i, d): (usize, &AtDuty)| {
                    let target = &asked.targets[i];
                    let drop_pa = d.stiffness * target.chamber_pa;
                    (drop_pa, soft_injector::least_drop_pa(target.over_air_pa))
                };
                let most = duties.iter().enumerate().map(margin);
                let most = most.max_by(|a, b| a.0.total_cmp(&b.0));
                return most.map_or(0.0, |(drop_pa, least_pa)| over(least_pa, drop_pa));
            }
            worst(duties, |_, d| over(soft_injector::LEAST, d.stiffness))
        },
        found: |asked, _, duties, units| {
            let drop = if asked.liquid {
                two(Kind::PressureDifference, most_drop_pa(asked, duties), units)
            } else {
                two(Kind::Ratio, least(duties, |d| Some(d.stiffness)), units)
            };
            format!("drop {drop}")
        },
    },
    Demand {
        word: "one-kind",
        must: false,
        rule: Some(&choking_changes::RULE),
        limit: |_, _| "choked at all duties or at none".to_owned(),
        miss: |_, _, duties| {
            let choked = worst(duties, |_, d| -d.over_choking);
            let open = worst(duties, |_, d| d.over_choking);
            choked.min(open)
        },
        found: |asked, _, duties, _| {
            let choked = |d: &&AtDuty| d.over_choking > 0.0;
            if 2 * duties.iter().filter(choked).count() <= duties.len() {
                format!(
                    "choked at {} only",
                    named(asked, duties, |d| d.over_choking > 0.0)
                )
            } else {
                format!(
                    "not choked at {}",
                    named(asked, duties, |d| d.over_choking <= 0.0)
                )
            }
        },
    },
    Demand {
        word: "turndown",
        must: false,
        rule: Some(&wide_turndown::RULE),
        limit: |_, _| format!("{} to 1 at most", wide_turndown::MOST),
        miss: |_, _, duties| {
            let flows = || duties.iter().filter(|d| d.fed).map(|d| d.flow_kg_s);
            let most = flows().fold(0.0, f64::max);
            let least = flows().fold(f64::INFINITY, f64::min);
            over(most, wide_turndown::MOST * least)
        },
        found: |_, _, duties, _| {
            let (most, least) = (
                most(duties, |d| Some(d.flow_kg_s)),
                least(duties, |d| Some(d.flow_kg_s)),
            );
            format!("turndown {} to 1", number(most / least))
        },
    },
    Demand {
        word: "spread",
        must: false,
        rule: Some(&uneven_holes::RULE),
        limit: |asked, _| format!("holes within {} of each other", percent(asked.spread)),
        miss: |asked, _, duties| {
            worst(duties, |_, d| {
                d.spread.map_or(0.0, |s| over(s, asked.spread))
            })
        },
        found: |_, _, duties, units| {
            format!(
                "spread {}",
                two(Kind::Ratio, most(duties, |d| d.spread), units)
            )
        },
    },
    Demand {
        word: "reach",
        must: false,
        rule: None,
        limit: |asked, units| match asked.can_radius_m {
            Some(r) => format!(
                "jets reach no further than {}, the can's radius",
                show(Kind::Length, r, units)
            ),
            None => "jets within the can's radius, which is not known".to_owned(),
        },
        miss: |asked, _, duties| {
            let Some(radius_m) = asked.can_radius_m else {
                return 0.0;
            };
            worst(duties, |_, d| {
                d.reach_m.map_or(0.0, |reach| over(reach, radius_m))
            })
        },
        found: |_, _, duties, units| {
            format!(
                "reach {}",
                two(Kind::Length, most(duties, |d| d.reach_m), units)
            )
        },
    },
    Demand {
        word: "dew-point",
        must: false,
        rule: Some(&condensation_in_injector::RULE),
        limit: |_, units| {
            let least = condensation_in_injector::LEAST_K;
            format!(
                "{} above the dew point",
                show(Kind::TemperatureDifference, least, units)
            )
        },
        miss: |_, _, duties| {
            let least = condensation_in_injector::LEAST_K;
            worst(duties, |_, d| {
                d.superheat_k.map_or(0.0, |k| over(least, k.max(1e-3)))
            })
        },
        found: |_, _, duties, units| {
            let k = least(duties, |d| d.superheat_k);
            format!(
                "{} over the dew point",
                two(Kind::TemperatureDifference, k, units)
            )
        },
    },
    Demand {
        word: "quenching",
        must: false,
        rule: Some(&hole_above_quenching::RULE),
        limit: |asked, units| match asked.quenching_m {
            Some(d) => format!(
                "holes of {} at most, the quenching distance",
                show(Kind::Length, d, units)
            ),
            None => "holes under the quenching distance, which is not known".to_owned(),
        },
        miss: |asked, holes, _| {
            asked
                .quenching_m
                .map_or(0.0, |most| over(holes.diameter_m, most))
        },
        found: |_, _, _, _| "wider than quenching".to_owned(),
    },
];

/// Words of the demands that can be given up.
pub fn can_be_given_up() -> Vec<&'static str> {
    DEMANDS.iter().filter(|d| !d.must).map(|d| d.word).collect()
}

/// Largest drop over the holes of any duty, Pa.
fn most_drop_pa(asked: &Asked, duties: &[AtDuty]) -> f64 {
    let drops = asked.targets.iter().zip(duties);
    let drops = drops.map(|(target, d)| d.stiffness * target.chamber_pa);
    drops.fold(f64::NEG_INFINITY, f64::max)
}

/// A figure to two digits.
fn two(kind: Kind, si: f64, units: Units) -> String {
    show_digits(kind, si, units, 2)
}

/// How far one figure is over another, as a logarithm; nothing where it is not.
fn over(figure: f64, limit: f64) -> f64 {
    let off = (figure / limit).ln().max(0.0);
    if off.is_nan() { FAR } else { off }
}

/// The most that any duty misses something by.
fn worst(duties: &[AtDuty], miss: impl Fn(usize, &AtDuty) -> f64) -> f64 {
    let all = duties.iter().enumerate().map(|(i, d)| miss(i, d));
    all.fold(0.0, |a, b| if b.is_nan() { FAR } else { a.max(b) })
}

fn most(duties: &[AtDuty], figure: impl Fn(&AtDuty) -> Option<f64>) -> f64 {
    duties
        .iter()
        .filter_map(figure)
        .fold(f64::NEG_INFINITY, f64::max)
}

fn least(duties: &[AtDuty], figure: impl Fn(&AtDuty) -> Option<f64>) -> f64 {
    duties
        .iter()
        .filter_map(figure)
        .fold(f64::INFINITY, f64::min)
}

fn named(asked: &Asked, duties: &[AtDuty], which: impl Fn(&AtDuty) -> bool) -> String {
    let names = asked.targets.iter().zip(duties).filter(|(_, d)| which(d));
    let names: Vec<&str> = names.map(|(t, _)| t.name.as_str()).collect();
    names.join(", ")
}
