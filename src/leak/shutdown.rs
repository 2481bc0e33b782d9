//! Shut-down on failures: whether the fuel stops, how long it takes, how much passes, and which single
//! part sticking open would keep it running.

use crate::quantity::{AvailableEnergy, Energy, Mass, MassRate, Time, joules, kilograms, seconds};
use crate::train::plan::INJECTOR;
use crate::train::rig::{Flame, FlameDetection, Rig};
use crate::train::{End, Part, Run, ShutOff, Train};

/// Something that fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Failure {
    /// Electric power (or the air of the drives).
    Power,
    /// The control signal, with power still there.
    Signal,
    /// The flame.
    Flame,
    /// The air of the fire.
    Air,
    /// Fuel pressure falls away, and may come back.
    LowFuel,
    /// Fuel pressure rises: a regulator fails open.
    HighFuel,
    /// Nothing fails: somebody presses the emergency stop.
    Stop,
}

impl Failure {
    /// All, in the order of the table.
    pub const ALL: [Self; 7] = [
        Self::Power,
        Self::Signal,
        Self::Flame,
        Self::Air,
        Self::LowFuel,
        Self::HighFuel,
        Self::Stop,
    ];

    /// What happens, for tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::Power => "power fails",
            Self::Signal => "signal fails",
            Self::Flame => "flame goes out",
            Self::Air => "air fails",
            Self::LowFuel => "fuel pressure falls",
            Self::HighFuel => "fuel pressure rises",
            Self::Stop => "emergency stop",
        }
    }

    /// A word for JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Power => "power",
            Self::Signal => "signal",
            Self::Flame => "flame",
            Self::Air => "air",
            Self::LowFuel => "low-fuel-pressure",
            Self::HighFuel => "high-fuel-pressure",
            Self::Stop => "emergency-stop",
        }
    }
}

/// What the fuel does.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// It stops.
    Stops(Stop),
    /// It runs on.
    RunsOn {
        /// Why nothing stops it.
        because: &'static str,
    },
    /// The rig file does not say enough.
    NotKnown {
        /// What is missing.
        because: &'static str,
    },
}

/// A stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// From the failure to a closed valve; `None`: a time is not given.
    pub time: Option<Time>,
    /// Fuel that leaves the holes from the failure on, at most: what flows until the valve is closed and
    /// what then empties behind it; `None`: a time or the flow is not known.
    pub fuel: Option<Mass>,
    /// Heat of that fuel.
    pub energy: Option<Energy>,
}

/// One failure at one outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct FailureRow {
    /// What fails.
    pub failure: Failure,
    /// Outlet.
    pub outlet: String,
    /// What the fuel does if everything else works.
    pub answer: Answer,
    /// Parts that stop it, from the supply on.
    pub closing: Vec<String>,
    /// What it does if one of them sticks open as well: part, and answer.
    pub stuck: Vec<(String, Answer)>,
    /// What it does if the device that should answer does not: device, and answer; `None`: no device is
    /// needed, or there is none.
    pub unanswered: Option<(&'static str, Answer)>,
}

/// Two failures at once at one outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct PairRow {
    /// The two, in the order of the table.
    pub failures: [Failure; 2],
    /// Outlet.
    pub outlet: String,
    /// What the fuel does.
    pub answer: Answer,
}

impl FailureRow {
    /// The one part that keeps the fuel running if it sticks, where there is one.
    pub fn single_point(&self) -> Option<&str> {
        self.stuck
            .iter()
            .find(|(_, answer)| matches!(answer, Answer::RunsOn { .. }))
            .map(|(part, _)| part.as_str())
    }

    /// The worst stop with one part stuck: that with the most fuel.
    pub fn worst_stuck(&self) -> Option<Stop> {
        let stops = self.stuck.iter().filter_map(|(_, answer)| match answer {
            Answer::Stops(stop) => Some(*stop),
            _ => None,
        });
        let fuel = |s: &Stop| s.fuel.map_or(f64::INFINITY, |m| m.value);
        stops.max_by(|a, b| fuel(a).total_cmp(&fuel(b)))
    }
}

/// What runs when the failure comes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Running {
    /// Flow of each outlet by its name.
    pub flows: Vec<(String, MassRate)>,
    /// Fuel behind each valve that closes without power.
    pub shut_offs: Vec<ShutOff>,
    /// Lower heating value.
    pub heating_value: Option<AvailableEnergy>,
    /// Valves that would have to close against more than they are made to: nobody knows whether they do.
    pub too_weak: Vec<String>,
}

/// Every failure at every outlet, alone and with each closing part stuck open in turn.
///
/// A shut command (of flame detector, switches, emergency stop) cuts the power of the shut-off valves: those
/// close that are shut-offs and close without power. Two that one coil, relay or switch drives stick together. Without a switch of its own a fall of fuel pressure puts the flame out,
/// and the flame detector answers. The fuel that passes is the least over the closing valves of
/// `flow (t_detect + t_close) + fuel behind the valve`, each an upper bound by itself.
///
/// **Valid:** valves that close tight; switches answer at once, the flame detector in its time, and for the flames
/// that it sees. Of several failures of one cause only a common drive is in it, not dirt, heat or a shorted loom. **Source:** the parts' data; no
/// published formula.
pub fn failure_table(rig: &Rig, running: &Running) -> Vec<FailureRow> {
    let mut rows = Vec::new();
    for (outlet, way) in ways(&rig.train) {
        for failure in Failure::ALL {
            rows.push(row(rig, running, failure, &outlet, &way));
        }
    }
    rows.sort_by_key(|r| r.failure);
    rows
}

fn row(rig: &Rig, running: &Running, failure: Failure, outlet: &str, way: &[&Part]) -> FailureRow {
    let mut row = FailureRow {
        failure,
        outlet: outlet.to_owned(),
        answer: Answer::NotKnown {
            because: "the rig file gives no train",
        },
        closing: Vec::new(),
        stuck: Vec::new(),
        unanswered: None,
    };
    let detect = match commanded(rig, failure, outlet) {
        Ok(detect) => detect,
        Err(answer) => {
            row.answer = answer;
            return row;
        }
    };
    if way.is_empty() {
        return row;
    }
    let closing: Vec<&Part> = way
        .iter()
        .copied()
        .filter(|p| match failure {
            Failure::Signal => p.shuts_without_signal(),
            _ => p.shuts_without_power(),
        })
        .collect();
    let known = |p: &&Part| !running.too_weak.contains(&p.name);
    if !closing.is_empty() && !closing.iter().any(known) {
        row.answer = Answer::NotKnown {
            because: "the valves may not close against the pressure before them",
        };
        return row;
    }
    let closing: Vec<&Part> = closing.into_iter().filter(known).collect();
    row.closing = closing.iter().map(|p| p.name.clone()).collect();
    let answer_in = |parts: &[&Part], detect| stop(running, outlet, parts, detect);
    let answer = |parts: &[&Part]| answer_in(parts, detect);
    row.answer = answer(&closing);
    for i in 0..closing.len() {
        let stuck = closing[i];
        let rest: Vec<&Part> = closing
            .iter()
            .copied()
            .filter(|p| p.name != stuck.name && !fail_together(p, stuck))
            .collect();
        let left = match answer(&rest) {
            Answer::RunsOn { .. } if rest.len() + 1 < closing.len() => Answer::RunsOn {
                because: "what drives it drives the others too",
            },
            Answer::RunsOn { .. } => Answer::RunsOn {
                because: "no other valve closes",
            },
            other => other,
        };
        row.stuck.push((stuck.name.clone(), left));
    }
    if let Some((device, detect)) = without_device(rig, failure, outlet) {
        let left = match detect {
            Ok(detect) => answer_in(&closing, detect),
            Err(left) => left,
        };
        row.unanswered = Some((device, left));
    }
    row
}

/// The device that answers a failure, and what comes of the fuel if it does not answer.
fn without_device(
    rig: &Rig,
    failure: Failure,
    outlet: &str,
) -> Option<(&'static str, Result<Option<Time>, Answer>)> {
    let alone = Err(Answer::RunsOn {
        because: "nothing else answers",
    });
    match failure {
        Failure::Power | Failure::Signal => None,
        Failure::Air => Some(("air switch", alone)),
        // the flame goes out, and its detector answers
        Failure::LowFuel if rig.controls.low_fuel_cutoff == Some(true) => Some((
            "low-pressure switch",
            commanded(rig, Failure::Flame, outlet),
        )),
        Failure::Flame | Failure::LowFuel => Some(("flame detector", alone)),
        Failure::HighFuel => Some(("high-pressure switch", alone)),
        Failure::Stop => Some(("emergency stop", alone)),
    }
}

/// Every two failures at once: what answers either of them acts, the quicker one first.
///
/// * `rows` — every failure alone, as [`failure_table`] gives it
///
/// **Valid:** as [`failure_table`]. **Source:** as there.
pub fn failure_pairs(rows: &[FailureRow]) -> Vec<PairRow> {
    let mut pairs = Vec::new();
    for (i, a) in rows.iter().enumerate() {
        for b in &rows[i + 1..] {
            if a.outlet == b.outlet && a.failure != b.failure {
                pairs.push(PairRow {
                    failures: [a.failure, b.failure],
                    outlet: a.outlet.clone(),
                    answer: better(&a.answer, &b.answer),
                });
            }
        }
    }
    pairs
}

/// The better of two answers: a stop before what is not known before what runs on.
fn better(a: &Answer, b: &Answer) -> Answer {
    let less = |x: Option<f64>, y: Option<f64>| match (x, y) {
        (Some(x), Some(y)) => Some(x.min(y)),
        (x, y) => x.or(y),
    };
    match (a, b) {
        (Answer::Stops(a), Answer::Stops(b)) => Answer::Stops(Stop {
            time: less(a.time.map(|t| t.value), b.time.map(|t| t.value)).map(seconds),
            fuel: less(a.fuel.map(|m| m.value), b.fuel.map(|m| m.value)).map(kilograms),
            energy: less(a.energy.map(|e| e.value), b.energy.map(|e| e.value)).map(joules),
        }),
        (Answer::Stops(_), _) => a.clone(),
        (_, Answer::Stops(_)) => b.clone(),
        (Answer::NotKnown { .. }, _) => a.clone(),
        _ => b.clone(),
    }
}

/// Time from the failure to the shut command, or what becomes of the fuel without one.
fn commanded(rig: &Rig, failure: Failure, outlet: &str) -> Result<Option<Time>, Answer> {
    let controls = &rig.controls;
    let switch = |there: Option<bool>, missing, unsaid| match there {
        Some(true) => Ok(Some(seconds(0.0))),
        Some(false) => Err(Answer::RunsOn { because: missing }),
        None => Err(Answer::NotKnown { because: unsaid }),
    };
    match failure {
        Failure::Power | Failure::Signal => Ok(Some(seconds(0.0))),
        Failure::Flame => match controls.flame_detection {
            Some(FlameDetection::None | FlameDetection::Eye) => Err(Answer::RunsOn {
                because: "no instrument watches the flame",
            }),
            Some(_) if rig.says_none("controls.flame_failure_time") => Err(Answer::RunsOn {
                because: "nothing shuts it when the flame is lost",
            }),
            Some(_) if !sees(rig, outlet) => Err(Answer::RunsOn {
                because: "the detector does not see this flame",
            }),
            Some(_) => Ok(controls.flame_failure_time),
            None => Err(Answer::NotKnown {
                because: "the rig file does not say how the flame is seen",
            }),
        },
        Failure::Air => switch(
            rig.air.proved,
            "nothing proves the air",
            "the rig file does not say whether the air is proved",
        ),
        Failure::LowFuel => match controls.low_fuel_cutoff {
            Some(true) => Ok(Some(seconds(0.0))),
            _ => commanded(rig, Failure::Flame, outlet),
        },
        Failure::HighFuel => switch(
            controls.high_fuel_cutoff,
            "no switch for high fuel pressure",
            "the rig file does not say whether a switch cuts high fuel pressure",
        ),
        Failure::Stop => switch(
            controls.emergency_stop,
            "there is no emergency stop",
            "the rig file does not say whether there is an emergency stop",
        ),
    }
}

/// Whether the flame detector sees the flame of an outlet, as far as the file says.
pub fn sees(rig: &Rig, outlet: &str) -> bool {
    let flame = if outlet == INJECTOR {
        Flame::Main
    } else {
        Flame::Pilot
    };
    let seen = rig.controls.flame_detector_sees.as_ref();
    seen.is_none_or(|seen| seen.contains(&flame))
}

/// Whether one coil, relay or switch drives both parts: what keeps the one open keeps the other open.
pub fn fail_together(a: &Part, b: &Part) -> bool {
    let [a, b] = [a, b].map(|p| p.protection.driven_by.as_ref());
    a.is_some() && a == b
}

/// The stop by the parts that close, the best of them.
fn stop(running: &Running, outlet: &str, parts: &[&Part], detect: Option<Time>) -> Answer {
    if parts.is_empty() {
        return Answer::RunsOn {
            because: "no shut-off valve closes by itself",
        };
    }
    let closing_s = |part: &Part| Some(part.closure.as_ref()?.closing_time?.value);
    let times: Vec<f64> = parts
        .iter()
        .filter_map(|p| Some(detect?.value + closing_s(p)?))
        .collect();
    let flow = running.flows.iter().find(|(name, _)| name == outlet);
    let passes = parts.iter().filter_map(|part| {
        let until_closed = flow?.1.value * (detect?.value + closing_s(part)?);
        let behind = running.shut_offs.iter().find(|s| s.valve == part.name)?;
        Some(until_closed + behind.runs_out().value)
    });
    let fuel = passes.min_by(f64::total_cmp);
    Answer::Stops(Stop {
        time: times.into_iter().min_by(f64::total_cmp).map(seconds),
        fuel: fuel.map(kilograms),
        energy: fuel
            .zip(running.heating_value)
            .map(|(m, h)| joules(m * h.value)),
    })
}

/// Every outlet with the parts on the way to it, those of all sources first.
pub fn ways(train: &Train) -> Vec<(String, Vec<&Part>)> {
    let sources: Vec<&Part> = train.sources.iter().flat_map(|s| &s.parts).collect();
    let mut found = Vec::new();
    follow(&train.run, sources, &mut found);
    found
}

fn follow<'a>(run: &'a Run, mut way: Vec<&'a Part>, found: &mut Vec<(String, Vec<&'a Part>)>) {
    way.extend(&run.parts);
    match &run.end {
        End::Outlet(outlet) => found.push((outlet.name.clone(), way)),
        End::Split(runs) => {
            for branch in runs {
                follow(branch, way.clone(), found);
            }
        }
    }
}
