//! Holes to choose from: the choices, what each gives up, and which demand rules out how many.

use super::record::{record, table_of};
use super::{Report, figures};
use crate::injector::drills::Drill;
use crate::quantity::sentence::{length, sentence};
use crate::quantity::show::{Show, Units};
use crate::quantity::{AbsolutePressure, pascals_absolute};

/// Heading of the choices.
pub const CHOICES: &str = "Choices, best first";
/// Heading of the duties of the first.
pub const FIRST: &str = "The first at each duty";
/// Heading of the demands.
const DEMANDS: &str = "Demands";

/// Holes below this are fine work, m: common practice, no source.
const FINE_M: f64 = 1e-3;

/// What holes do at a duty.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AtDuty {
    /// Whether the supply gives it its fuel, as gas where gas is meant.
    pub fed: bool,
    /// Fuel flow, kg/s.
    pub flow_kg_s: f64,
    /// Pressure before the holes, Pa.
    pub pressure_pa: f64,
    /// Equivalence ratio.
    pub ratio: f64,
    /// The same with every band at its worst, least and most.
    pub ratio_low: f64,
    /// Most.
    pub ratio_high: f64,
    /// Drop over the holes over the pressure of the chamber.
    pub stiffness: f64,
    /// Logarithm of the pressure over that at which the holes choke.
    pub over_choking: f64,
    /// How far the fuel is above its dew point.
    pub superheat_k: Option<f64>,
    /// Spread between the holes.
    pub spread: Option<f64>,
    /// Reach of the jets, m.
    pub reach_m: Option<f64>,
}

/// A set of holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Number.
    pub holes: u32,
    /// Drill.
    pub drill: Drill,
    /// Pressure before them at the duty with the largest flow, Pa.
    pub pressure_pa: f64,
    /// The worst error of any duty, with its band.
    pub error: f64,
    /// Every duty, by name.
    pub duties: Vec<(String, AtDuty)>,
    /// Demands that it misses.
    pub misses: Vec<&'static str>,
    /// What it gives up, in a few words.
    pub gives_up: String,
}

/// A demand and what it rules out.
#[derive(Debug, Clone, PartialEq)]
pub struct OnDemand {
    /// Its word.
    pub demand: &'static str,
    /// What is asked.
    pub limit: String,
    /// Rule that has its limit.
    pub rule: Option<&'static str>,
    /// Whether it is asked.
    pub asked: bool,
    /// Whether holes that miss it are no choice.
    pub must: bool,
    /// How many it rules out.
    pub rules_out: usize,
    /// How many of these meet every other demand.
    pub alone: usize,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    /// Best first.
    pub choices: Vec<Choice>,
    /// How many combinations were looked at.
    pub looked_at: usize,
    /// Demands.
    pub demands: Vec<OnDemand>,
    /// Whether the search was stopped.
    pub stopped: bool,
    /// Whether ratios are equivalence ratios.
    pub burns: bool,
    /// Whether liquid is meant before the holes.
    pub liquid: bool,
    /// Pressure over number of holes, by drill.
    pub lines: Vec<(String, Vec<(f64, f64)>)>,
}

record! {
    /// Holes to choose from.
    Answer(c: &Choices, air: AbsolutePressure) {
        /// Best first: by demands given up, worst error with its band, number, pressure.
        choices: Rows(OneChoice) = c.choices.iter().enumerate().map(|(i, x)| OneChoice::row(i + 1, x, c.burns, air)).collect::<Vec<_>>();
        /// How many combinations of number, drill and pressure were looked at.
        combinations: Count = c.looked_at;
        demands: Rows(OneDemand) = c.demands.iter().map(OneDemand::row).collect::<Vec<_>>();
        /// Whether the search was stopped before its end.
        stopped: Flag = c.stopped;
    }

    /// A set of holes.
    OneChoice(n: usize, c: &Choice, burns: bool, air: AbsolutePressure)
    with {
        before = pascals_absolute(c.pressure_pa);
        least = c.duties.iter().map(|(_, d)| d.stiffness).fold(f64::INFINITY, f64::min);
    }
    {
        /// Number for --pick.
        number: Count = n, "N";
        holes: Count = c.holes, "holes";
        /// Name of the drill.
        drill: Text = &c.drill.name, "drill";
        /// Series of the drill.
        series: Text = c.drill.series.name();
        /// Diameter of the drill.
        hole_diameter_m: Length = c.drill.diameter;
        /// Before the holes, at the duty with the largest fuel flow.
        upstream_pressure_pa: AbsolutePressure = before, "at" 3 => GaugePressure = before.gauge(air);
        /// The worst error of any duty: how far its ratio and half the width of its band lie outside the target.
        worst_error: Ratio = c.error, "error" 2;
        (least_drop): Ratio = least, "drop" 2;
        duties: Rows(OneDuty) = c.duties.iter().map(|(name, d)| OneDuty::row(name, d, burns, air)).collect::<Vec<_>>();
        /// Demands that it misses.
        misses: Texts = c.misses.iter().map(|m| (*m).to_owned()).collect::<Vec<_>>();
        /// What it gives up against demands and other choices.
        gives_up: Text = &c.gives_up, "gives up";
    }

    /// What a choice does at a duty.
    OneDuty(name: &str, d: &AtDuty, burns: bool, air: AbsolutePressure)
    with {
        before = pascals_absolute(d.pressure_pa);
        phi = |x: f64| burns.then_some(x);
        fed = d.fed.then_some(d);
    }
    {
        name: Text = name, "duty";
        /// Whether it gets its fuel.
        fed: Flag = d.fed;
        /// Equivalence ratio; null where no air is known.
        equivalence_ratio: Number = phi(d.ratio), "ratio" 3;
        /// The same with every band at its worst, least.
        equivalence_ratio_low: Number = phi(d.ratio_low), "least" 3;
        /// Most.
        equivalence_ratio_high: Number = phi(d.ratio_high), "most" 3;
        mass_flow_kg_s: MassRate = fed.map(|d| d.flow_kg_s), "fuel" 3;
        upstream_pressure_pa: AbsolutePressure = before, "at" 3 => GaugePressure = before.gauge(air);
        /// Drop over the holes over the pressure of the chamber.
        stiffness: Ratio = d.stiffness, "drop" 2;
        choked: Flag = d.over_choking > 0.0, "choked";
        /// How far the fuel before the holes is above its dew point.
        superheat_k: TemperatureDifference = d.superheat_k, "above dew point" 2 [optional];
        /// Of a ring or bar: one less the least over the greatest flow of a hole.
        spread: Ratio = d.spread, "spread" 2 [optional];
        /// How far the jets reach into the air.
        jet_reach_m: Length = d.reach_m, "reach" 2 [optional];
    }

    /// A demand, and what it rules out.
    OneDemand(d: &OnDemand) {
        /// Its word, for --give-up.
        demand: Text = d.demand, "demand";
        /// What is asked.
        limit: Text = &d.limit, "asked";
        /// Whether it is asked.
        asked: Flag = d.asked;
        /// Whether holes that miss it are no choice at all; others are given up where nothing meets all.
        must: Flag = d.must;
        /// How many combinations it rules out.
        rules_out: Count = d.rules_out, "rules out";
        /// How many of these meet every other demand.
        alone: Count = d.alone, "alone";
        /// Rule that has the limit; null where it is our choice.
        rule: Text = d.rule, "rule";
    }
}

/// The holes of a choice and the pressure before them, in words.
pub fn hole_words(x: &Choice, units: Units, air: AbsolutePressure) -> String {
    let (n, drill, series) = (x.holes, &x.drill.name, x.drill.series.name());
    let hole = if n == 1 { "hole" } else { "holes" };
    let size = match series {
        "metric" => String::new(),
        _ => format!(" ({})", x.drill.diameter.show(units)),
    };
    let before = pascals_absolute(x.pressure_pa).gauge(air).show(units);
    format!("{n} {hole} of {drill}{size} ({series}), {before} before them")
}

/// What the answer is, in a line.
pub fn title(c: &Choices, units: Units, air: AbsolutePressure) -> String {
    let Some(x) = c.choices.first() else {
        return String::new();
    };
    let gives_up = match x.misses.join("`, `") {
        nothing if nothing.is_empty() => nothing,
        demands => format!("; gives up `{demands}`"),
    };
    let stopped = if c.stopped {
        "; the search was stopped"
    } else {
        ""
    };
    format!("Drill {}{gives_up}{stopped}", hole_words(x, units, air))
}

/// Adds what was found.
pub fn choices(report: &mut Report, c: &Choices, air: AbsolutePressure) {
    let answer = Answer::row(c, air);
    let columns = [
        "number",
        "holes",
        "drill",
        "upstream_pressure_pa",
        "worst_error",
        "least_drop",
        "gives_up",
    ];
    let mut duties = vec!["name"];
    duties.extend(if c.burns {
        &[
            "equivalence_ratio",
            "equivalence_ratio_low",
            "equivalence_ratio_high",
        ][..]
    } else {
        &["mass_flow_kg_s"]
    });
    duties.extend([
        "upstream_pressure_pa",
        "stiffness",
        "choked",
        "spread",
        "jet_reach_m",
    ]);
    let choices = answer.rows("choices");
    report.table(CHOICES, table_of(choices, &columns));
    if let Some(plot) = figures::choices(c, air) {
        report.plot(CHOICES, plot);
    }
    let first = choices.first().map_or(&[][..], |x| x.rows("duties"));
    report.table(FIRST, table_of(first, &duties));
    let demands = ["demand", "limit", "rules_out", "alone", "rule"];
    report.table(DEMANDS, table_of(answer.rows("demands"), &demands));
    said(report, c);
    report.keys(&answer);
}

/// What a reader must know.
fn said(report: &mut Report, c: &Choices) {
    report.assume("Error: how far the ratio is off its target at the worst duty, and half the width of its band. Drop: over the holes, as a share of the chamber's absolute pressure, least of all duties. Gives up: demands missed, and what the best of the others has better.");
    if c.liquid {
        report.remark("The fuel is liquid: a drilled hole makes a jet of it, no spray. Buy a nozzle for the flow; `fuelwright spray` sizes it.");
    }
    if let Some(x) = c
        .choices
        .first()
        .filter(|x| x.drill.diameter.value < FINE_M)
    {
        report.remark(sentence!(
            "A drill of {} breaks if it is forced, and its hole clogs: turn it in a pin vice or a fast press, clear it often, and fit a filter finer than a third of the hole.",
            length(x.drill.diameter.value).fixed("mm", 1e-3, 2)
        ));
    }
    let asked = c
        .demands
        .iter()
        .filter(|d| d.asked && !d.must && d.alone > 0);
    let alone = asked.max_by_key(|d| d.alone);
    let given_up = c.choices.first().is_some_and(|x| !x.misses.is_empty());
    if given_up {
        let way = alone.map_or(String::new(), |d| {
            format!(
                " Without `{}` {} would meet all others: --give-up {}.",
                d.demand, d.alone, d.demand
            )
        });
        report.remark(format!(
            "No holes meet all demands: each choice gives up the fewest, and by the least.{way}"
        ));
    }
}
