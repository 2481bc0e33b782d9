//! Findings of a tank's run and of its hottest day.

use super::humidity_known;
use crate::audit::rules::run as rules;
use crate::audit::{Rule, Source};
use crate::quantity::show::{Show, Units, show};
use crate::quantity::{AbsolutePressure, Kind, ThermodynamicTemperature};
use crate::report::Finding;
use crate::tank::answer::{Answer, Question};
use crate::tank::filling_check::{FillingCheck, FillingLimit};
use crate::tank::heat_gain::{HeatGain, Surface};
use crate::tank::record::{Event, Happening};
use crate::tank::vapour_pressure::HottestDay;

fn rule_of(what: Happening) -> &'static Rule {
    match what {
        Happening::PressureTooLow { .. } => &rules::BELOW_NEED,
        Happening::Empty => &rules::EMPTY,
        Happening::NoLiquid => &rules::NO_LIQUID,
        Happening::LiquidFull => &rules::LIQUID_FULL,
        Happening::TooCold => &rules::TOO_COLD,
        Happening::LiquidGone => &rules::LIQUID_GONE,
        Happening::OutOfRange => &rules::OUT_OF_RANGE,
        Happening::Condensing => &rules::CONDENSING,
    }
}

/// The first event of each kind; of the others only how many there are.
pub(super) fn happened(q: &Question, a: &Answer, units: Units) -> Vec<Finding> {
    let mut found: Vec<(Finding, usize)> = Vec::new();
    for e in &a.run.events {
        let id = rule_of(e.what).id;
        match found.iter_mut().find(|(f, _)| f.id == id) {
            Some((_, count)) => *count += 1,
            None => found.push((event(q, e, units), 1)),
        }
    }
    let with_count = |(mut f, count): (Finding, usize)| {
        if let (Some(why), true) = (&a.run.stopped_by, f.id == rules::OUT_OF_RANGE.id) {
            f.measured.clone_from(why);
            f.say("The contents leave the range of the property models, and what follows is not computed: {measured}.");
        }
        if count > 1 {
            f.at = format!("{}, and {} times more", f.at, count - 1);
        }
        f
    };
    found.into_iter().map(with_count).collect()
}

fn event(q: &Question, e: &Event, units: Units) -> Finding {
    let c = &e.contents;
    let measured = match e.what {
        // it happens where the pressure passes the need: both are the same number
        Happening::PressureTooLow { .. } => c.pressure.show(units),
        Happening::LiquidFull | Happening::TooCold => c.temperature.show(units),
        _ => format!(
            "{} and {}",
            c.pressure.show(units),
            c.temperature.show(units)
        ),
    };
    let limit = match e.what {
        Happening::PressureTooLow { needed } => format!("at least {}", needed.show(units)),
        Happening::TooCold => q
            .floor
            .map_or("range of the equation of state".to_owned(), |t| {
                format!("at least {}", t.show(units))
            }),
        _ => String::new(),
    };
    let step = q.schedule.steps.get(e.step).map_or("", |s| s.name.as_str());
    let time = show(Kind::Time, e.time.value, units);
    let (at, when) = (
        format!("{step}, after {time}"),
        format!("After {time}, in {step}"),
    );
    let rule = rule_of(e.what);
    let mut finding = Finding::of(rule, at, measured, limit);
    let says = match e.what {
        Happening::TooCold if q.floor.is_none() => {
            "The contents chill to {measured}, out of the {limit}: what follows is not computed."
                .to_owned()
        }
        _ => rule.says(),
    };
    finding.say(&after(&when, &says));
    finding
}

/// A sentence with its time and step before it.
fn after(when: &str, says: &str) -> String {
    let mut letters = says.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    format!("{when}, {}{}", first.unwrap_or_default(), letters.as_str())
}

/// More in the tank than it may hold.
pub(super) fn overfilled(filling: &FillingCheck, units: Units) -> Option<Finding> {
    let (limit, from) = filling.above_limit()?;
    let [mass, limit] = [filling.mass, limit].map(|m| show(Kind::Mass, m.value, units));
    let limit = format!("at most {limit}");
    let mut finding = Finding::of(&rules::OVERFILLED, "--fill", mass, limit);
    if from == FillingLimit::ByWeight {
        finding.source = Source::Published("wac296307").show();
    }
    Some(finding)
}

pub(super) fn wall(q: &Question, a: &Answer, units: Units) -> Option<Finding> {
    let wall = a.wall.as_ref()?;
    let rule = match wall.surface {
        Surface::Dry => return None,
        Surface::Dew => &rules::WALL_WET,
        Surface::Frost => &rules::WALL_FROSTS,
    };
    let known = humidity_known(q);
    let limit = match wall.surface {
        Surface::Dew => "dew point of the air",
        _ if known => "the dew point of the air and 0 degC",
        _ => "0 degC",
    };
    let measured = wall.wall.show(units);
    let mut finding = Finding::of(rule, "coldest row of the run", measured, limit.to_owned());
    if !known {
        let words = "freezing point of water; the humidity of the air is not given";
        finding.source = Source::Words(words).show();
    }
    if matches!(q.tank.heat_gain, HeatGain::Air { frost: Some(_), .. }) {
        finding.advice = String::from(
            "Use more cylinders or a water bath to keep the wall clear: the frost given is counted.",
        );
    }
    Some(finding)
}

pub(super) fn hot_day(
    hot: &HottestDay,
    relief: Option<AbsolutePressure>,
    rating: Option<AbsolutePressure>,
    units: Units,
) -> Vec<Finding> {
    let found = |rule, limit: AbsolutePressure, at: &str| {
        let limit = format!("at most {}", limit.show(units));
        Finding::of(rule, at, hot.pressure.show(units), limit)
    };
    let over_rating = hot.to_rating.is_some_and(|m| m.pascals() < 0.0);
    let rating = rating.filter(|_| over_rating);
    // a tank that is liquid-full is told by that
    let relief = relief.filter(|p| hot.relief_opens() && hot.pressure > *p);
    let rated = rating.map(|p| found(&rules::HOT_ABOVE_RATING, p, "--rating"));
    let relieved = relief.map(|p| found(&rules::RELIEF_OPENS, p, "--relief"));
    rated.into_iter().chain(relieved).collect()
}

pub(super) fn liquid_full(
    hot: &HottestDay,
    hottest: ThermodynamicTemperature,
    units: Units,
) -> Option<Finding> {
    let full = hot.liquid_full.filter(|t| t.value <= hottest.value)?;
    let limit = format!("at least {}", hottest.show(units));
    let mut finding = Finding::of(&rules::FULL_WHEN_HOT, "--fill", full.show(units), limit);
    if hot.relief_opens() {
        finding.say("The tank is liquid-full at {measured}, and the hottest day brings {limit}: its relief valve opens and throws liquid.");
    }
    Some(finding)
}
