//! Findings of a tank's run and of its hottest day.

use super::humidity_known;
use crate::quantity::show::{Show, Units, show};
use crate::quantity::{AbsolutePressure, Kind, ThermodynamicTemperature};
use crate::report::{Finding, FindingData, Signal};
use crate::tank::answer::{Answer, Question};
use crate::tank::filling_check::{FillingCheck, FillingLimit};
use crate::tank::heat_gain::{HeatGain, Surface};
use crate::tank::record::{Event, Happening};
use crate::tank::vapour_pressure::HottestDay;

struct Told {
    id: &'static str,
    name: &'static str,
    signal: Signal,
    advice: &'static str,
}

fn told(what: Happening) -> Told {
    let (id, name, signal, advice) = match what {
        Happening::PressureTooLow { .. } => (
            "RUN001",
            "tank-pressure-below-need",
            Signal::Warning,
            "shorten the draw, or take one of the remedies; rows after this time are as if it could still be drawn",
        ),
        Happening::Empty => (
            "RUN002",
            "tank-empty",
            Signal::Warning,
            "start fuller, or stop before",
        ),
        Happening::NoLiquid => (
            "RUN003",
            "no-liquid-left-to-draw",
            Signal::Warning,
            "stop before: the dip tube passes vapour from here, and flow and mixture change at once",
        ),
        Happening::LiquidFull => (
            "RUN004",
            "tank-liquid-full",
            Signal::Danger,
            "take out fuel or keep it cooler: from here the pressure rises by several bar a kelvin and the relief throws liquid",
        ),
        Happening::TooCold => (
            "RUN005",
            "tank-too-cold",
            Signal::Warning,
            "stop before, or draw less",
        ),
        Happening::LiquidGone => (
            "RUN006",
            "last-liquid-gone",
            Signal::Caution,
            "from here the pressure falls with every gram drawn",
        ),
        Happening::OutOfRange => (
            "RUN012",
            "contents-outside-the-models",
            Signal::Warning,
            "what happens from here on is not known: stop before",
        ),
        Happening::Condensing => ("RUN007", "gas-turns-wet", Signal::Notice, ""),
    };
    Told {
        id,
        name,
        signal,
        advice,
    }
}

/// The first event of each kind; of the others only how many there are.
pub(super) fn happened(q: &Question, a: &Answer, units: Units) -> Vec<Finding> {
    let mut found: Vec<(Finding, usize)> = Vec::new();
    for e in &a.run.events {
        let id = told(e.what).id;
        match found.iter_mut().find(|(f, _)| f.id == id) {
            Some((_, count)) => *count += 1,
            None => found.push((event(q, e, units), 1)),
        }
    }
    let with_count = |(mut f, count): (Finding, usize)| {
        if let (Some(why), "RUN012") = (&a.run.stopped_by, f.id.as_str()) {
            f.measured.clone_from(why);
        }
        if count > 1 {
            f.at = format!("{}, and {} times more", f.at, count - 1);
        }
        f
    };
    found.into_iter().map(with_count).collect()
}

fn event(q: &Question, e: &Event, units: Units) -> Finding {
    let t = told(e.what);
    let c = &e.contents;
    let measured = match e.what {
        // it happens where the pressure passes the need: both are the same number
        Happening::PressureTooLow { .. } => format!("falls below {}", c.pressure.show(units)),
        Happening::LiquidFull => format!("100 % liquid at {}", c.temperature.show(units)),
        Happening::TooCold => c.temperature.show(units),
        _ => format!(
            "{} at {}",
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
    Finding {
        line: None,
        data: FindingData::default(),
        id: t.id.to_owned(),
        name: t.name.to_owned(),
        signal: t.signal,
        measured,
        limit,
        source: match e.what {
            Happening::PressureTooLow { .. } => {
                "the pressure asked for, or that of the air".to_owned()
            }
            _ => "the balances of the run".to_owned(),
        },
        advice: t.advice.to_owned(),
        at: format!("{step}, after {}", show(Kind::Time, e.time.value, units)),
    }
}

/// More in the tank than it may hold.
pub(super) fn overfilled(filling: &FillingCheck, units: Units) -> Option<Finding> {
    let (limit, from) = filling.above_limit()?;
    Some(Finding {
        line: None,
        data: FindingData::default(),
        id: "RUN013".to_owned(),
        name: "filled-beyond-the-limit".to_owned(),
        signal: Signal::Warning,
        measured: show(Kind::Mass, filling.mass.value, units),
        limit: format!("at most {}", show(Kind::Mass, limit.value, units)),
        source: match from {
            FillingLimit::ByVolume => {
                "80 % of the volume at 15 degC is common practice; the code in force decides"
            }
            FillingLimit::ByWeight => "[wac296307]",
        }
        .to_owned(),
        advice: "have fuel taken out before it warms up".to_owned(),
        at: "--fill".to_owned(),
    })
}

pub(super) fn wall(q: &Question, a: &Answer, units: Units) -> Option<Finding> {
    let wall = a.wall.as_ref()?;
    let (name, advice) = match wall.surface {
        Surface::Dry => return None,
        Surface::Dew => (
            "wall-below-dew-point",
            "water runs off the tank: keep it clear of valves and wiring",
        ),
        Surface::Frost => (
            "wall-frosts",
            "frost insulates: run it again with a frost layer. Never heat a cylinder with a flame, hot water or tape not listed for it",
        ),
    };
    let counted = matches!(q.tank.heat_gain, HeatGain::Air { frost: Some(_), .. });
    let (limit, source) = if humidity_known(q) {
        ("dew point of the air, and 0 degC", "alduchov1996")
    } else {
        (
            "0 degC",
            "freezing point of water; the humidity of the air is not given",
        )
    };
    Some(Finding {
        line: None,
        data: FindingData::default(),
        id: "RUN008".to_owned(),
        name: name.to_owned(),
        signal: Signal::Notice,
        measured: format!("wetted wall outside down to {}", wall.wall.show(units)),
        limit: limit.to_owned(),
        source: source.to_owned(),
        advice: if counted {
            "the frost given is counted as a resistance".to_owned()
        } else {
            advice.to_owned()
        },
        at: "coldest row of the run".to_owned(),
    })
}

pub(super) fn hot_day(
    hot: &HottestDay,
    relief: Option<AbsolutePressure>,
    rating: Option<AbsolutePressure>,
    units: Units,
) -> Vec<Finding> {
    let over_rating = hot.to_rating.is_some_and(|m| m.pascals() < 0.0);
    let mut found = Vec::new();
    let mut add =
        |id: &str, name: &str, signal, limit: AbsolutePressure, advice: &str, at: &str| {
            found.push(Finding {
                line: None,
                data: FindingData::default(),
                id: id.to_owned(),
                name: name.to_owned(),
                signal,
                measured: hot.pressure.show(units),
                limit: format!("at most {}", limit.show(units)),
                source: "given".to_owned(),
                advice: advice.to_owned(),
                at: at.to_owned(),
            });
        };
    if let (true, Some(p)) = (over_rating, rating) {
        add(
            "RUN009",
            "hottest-day-above-rating",
            Signal::Danger,
            p,
            "another tank, less fuel or shade: do not fill this one",
            "--rating",
        );
    }
    // a tank that is liquid-full is told by that
    if let (true, Some(p)) = (hot.relief_opens(), relief)
        && hot.pressure > p
    {
        add(
            "RUN010",
            "relief-opens-on-the-hottest-day",
            Signal::Warning,
            p,
            "shade the tank, fill it less, and see that the relief discharges outdoors",
            "--relief",
        );
    }
    found
}

pub(super) fn liquid_full(
    hot: &HottestDay,
    hottest: ThermodynamicTemperature,
    units: Units,
) -> Option<Finding> {
    let full = hot.liquid_full.filter(|t| t.value <= hottest.value)?;
    Some(Finding {
        line: None,
        data: FindingData::default(),
        id: "RUN011".to_owned(),
        name: "liquid-full-on-the-hottest-day".to_owned(),
        signal: Signal::Danger,
        measured: if hot.relief_opens() {
            format!(
                "{}, then the relief opens and throws liquid",
                full.show(units)
            )
        } else {
            full.show(units)
        },
        limit: format!("above {}", hottest.show(units)),
        source: "our choice".to_owned(),
        advice: "fill less: keep to the filling limit of the local code".to_owned(),
        at: "--fill".to_owned(),
    })
}
