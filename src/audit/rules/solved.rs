//! What rules read of the solved train and tank, and the words they read it in.

use super::train_parts;
use crate::audit::finding::of_subject;
use crate::audit::solution::{RunOutcome, TankSolution};
use crate::audit::{Limit, Measured, Solution, Source, Verdict};
use crate::eos::EosError;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::leak::trapped::supply_at_rest;
use crate::quantity::show::significant;
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};
use crate::tank::vapour_pressure::HottestDay;
use crate::train::protection::stood_at_rest;
use crate::train::rig::TankSpec;
use crate::train::rig::supply::{Charge, VENTED_PA};
use crate::train::{Check, CheckKind, Part, ThrottleStudy, TrainDuty, TrainPlan, ways};

/// The solved train; says why there is none.
pub(super) fn train<'s>(s: &'s Solution<'_>, v: &mut Verdict) -> Option<&'s TrainPlan> {
    train_parts(s, v)?;
    match s.train() {
        Ok(plan) => {
            for duty in &s.duties {
                if plan.duties.iter().all(|d| d.name != duty.name) {
                    v.not_checked(format!(
                        "the train is not solved for duty {}: it has no fuel flow, or its holes cannot be computed",
                        duty.name
                    ));
                }
            }
            for duty in &plan.duties {
                if let Err(why) = &duty.solution {
                    v.not_checked(format!(
                        "the train does not feed duty {}: {}",
                        duty.name,
                        s.why(why)
                    ));
                }
            }
            Some(plan)
        }
        Err(why) => {
            v.not_checked(format!("the train is not solved: {why}"));
            None
        }
    }
}

/// The throttle's name and its study over the duties; says why there is none.
pub(super) fn throttle<'s>(
    s: &'s Solution<'_>,
    v: &mut Verdict,
) -> Option<(&'s str, &'s ThrottleStudy)> {
    let plan = train(s, v)?;
    let (Some(name), Some(study)) = (&plan.throttle, &plan.study) else {
        v.not_checked("there is no throttle, or no duty with air");
        return None;
    };
    match study {
        Ok(study) => Some((name, study)),
        Err(why) => {
            v.not_checked(format!("the throttle cannot be worked out: {}", s.why(why)));
            None
        }
    }
}

/// The solved tank; says why there is none.
pub(super) fn tank<'s>(s: &'s Solution<'_>, v: &mut Verdict) -> Option<&'s TankSolution> {
    match s.tank() {
        Ok(tank) => Some(tank),
        Err(why) => {
            v.not_checked(why.as_str());
            None
        }
    }
}

/// The tank on the hottest day of the site, an overfilled one with what it may hold; says why it is not known.
pub(super) fn hottest<'s>(s: &'s Solution<'_>, v: &mut Verdict) -> Option<&'s HottestDay> {
    let tank = tank(s, v)?;
    match tank.at_limit.as_ref().map_or(&tank.hottest, |l| &l.hottest) {
        Ok(hot) => Some(hot),
        Err(why) => {
            v.not_checked(why.as_str());
            None
        }
    }
}

/// Vapour pressure in the tank on the hottest day, no higher than its relief valve lets it be; says why it is not
/// known. A tank that is liquid-full by then stands higher, and has a rule of its own. A vented tank, one under
/// gas, and a main do not know the day.
pub(super) fn pressure_when_hot(s: &Solution<'_>, v: &mut Verdict) -> Option<AbsolutePressure> {
    let tank = s.rig.supply.tank().filter(|_| s.pad().is_none())?;
    let Some(hottest) = s.rig.hottest_tank() else {
        v.not_checked("the rig file does not give `site.hottest`");
        return None;
    };
    let vapour_pa = match s.fluid.bubble_t(hottest.value) {
        Ok(e) => e.pressure_pa,
        Err(why) => {
            if let Ok(hot) = &s.tank().as_ref().ok()?.hottest {
                hot.pressure.pascals()
            } else {
                v.not_checked(format!("on the hottest day: {}", s.why(&why)));
                return None;
            }
        }
    };
    let relief_pa = tank
        .relief_pressure
        .map_or(f64::INFINITY, AbsolutePressure::pascals);
    Some(pascals_absolute(vapour_pa.min(relief_pa)))
}

/// Pressure of the gas over a liquid on the hottest day, with words for when: shut in, it grows with its temperature, is
/// squeezed by the liquid that grows too, and has the vapour of the fuel on top (Dalton's law). A vented tank breathes.
pub(super) fn pad_when_hot(
    s: &Solution<'_>,
    tank: &TankSpec,
    pad: AbsolutePressure,
) -> (AbsolutePressure, String) {
    let hot = shut_in_pad(s, tank, pad).filter(|hot| s.gauge(*hot) != s.gauge(pad));
    match hot {
        Some(hot) => (hot, format!("{}, shut in", hottest_day(s))),
        None => (pad, "today".to_owned()),
    }
}

/// Least share of a tank that is left to its gas in such a sum.
const LEAST_GAS: f64 = 0.01;

fn shut_in_pad(
    s: &Solution<'_>,
    tank: &TankSpec,
    pad: AbsolutePressure,
) -> Option<AbsolutePressure> {
    let start_k = tank.temperature.unwrap_or(s.rig.site.ambient).value;
    let hot_k = s.rig.hottest_tank()?.value;
    let vented = pad.pascals() <= s.rig.site.air_pressure.pascals() + VENTED_PA;
    if vented || hot_k <= start_k {
        return None;
    }
    let own = |t_k: f64| Some(s.fluid.bubble_t(t_k).ok()?.pressure_pa);
    let density = |t_k: f64| Some(s.fluid.state_pt(pad.pascals(), t_k).ok()?.density_kg_m3);
    let liquid = liquid_share(s, tank, pad).ok()?;
    let grown = liquid * density(start_k)? / density(hot_k)?;
    let [before, after] = [liquid, grown].map(|l| (1.0 - l).max(LEAST_GAS));
    let gas_pa = (pad.pascals() - own(start_k)?).max(0.0) * hot_k / start_k * before / after;
    Some(pascals_absolute(gas_pa + own(hot_k)?))
}

/// Share of a tank of liquid under air or gas that is liquid at the start.
///
/// # Errors
/// If the liquid has no density there.
pub(super) fn liquid_share(
    s: &Solution<'_>,
    tank: &TankSpec,
    pad: AbsolutePressure,
) -> Result<f64, EosError> {
    let mass = match tank.charge {
        Charge::LiquidShare(share) => return Ok(share.value),
        Charge::Mass(mass) => mass,
    };
    let t = tank.temperature.unwrap_or(s.rig.site.ambient);
    let state = s.fluid.state_pt(pad.pascals(), t.value)?;
    Ok(mass.value / state.density_kg_m3 / tank.volume.value)
}

/// Words for the hottest day of the tank: with the temperature counted where it stands in the sun.
pub(super) fn hottest_day(s: &Solution<'_>) -> String {
    let tank = s.rig.supply.tank();
    match s.rig.hottest_tank() {
        Some(t) if tank.is_some_and(|t| t.in_sun == Some(true)) => {
            let t = s.show(Kind::Temperature, t.value);
            format!("on the hottest day, in the sun at {t}")
        }
        _ => "on the hottest day".to_owned(),
    }
}

/// Pressure of tank or main as it starts, by the file alone; says why it is not known.
pub(super) fn pressure_at_start(s: &Solution<'_>, v: &mut Verdict) -> Option<AbsolutePressure> {
    match supply_at_rest(s.rig, s.fluid.as_ref()) {
        Ok((p, _)) => Some(p),
        Err(why) => {
            v.not_checked(format!(
                "the pressure of the supply is not known: {}",
                s.why(&why)
            ));
            None
        }
    }
}

/// The higher of both; says why it is not known.
pub(super) fn highest_supply(s: &Solution<'_>, v: &mut Verdict) -> Option<AbsolutePressure> {
    let both = [pressure_at_start(s, v), pressure_when_hot(s, v)];
    let highest = both.into_iter().flatten().map(AbsolutePressure::pascals);
    highest.reduce(f64::max).map(pascals_absolute)
}

/// The schedule that was run; says why there is none.
pub(super) fn outcome<'s>(tank: &'s TankSolution, v: &mut Verdict) -> Option<&'s RunOutcome> {
    match &tank.run {
        Ok(outcome) => Some(outcome),
        Err(why) => {
            v.not_checked(format!("the run of the tank cannot be computed: {why}"));
            None
        }
    }
}

/// The same remark of a train at several duties, with the figures of the duty where it is worst.
pub(super) struct Remarked<'s> {
    pub(super) check: &'s Check,
    pub(super) duties: Vec<&'s str>,
    /// Words for the day, behind the duties: nothing for that of the test.
    pub(super) day: &'static str,
}

/// Remarks of some kinds, each part once, in the order of the train.
pub(super) fn remarked<'s>(plan: &'s TrainPlan, kinds: &[CheckKind]) -> Vec<Remarked<'s>> {
    remarks_of(&plan.duties, kinds, "")
}

/// Finds what the checks of some kinds say of the train, each part once; `key` is that of the part which gives the limit.
pub(super) fn find_checks(
    s: &Solution<'_>,
    v: &mut Verdict,
    kinds: &[CheckKind],
    key: &str,
    limit: fn(&Remarked<'_>, &Solution<'_>) -> Limit,
) {
    let Some(plan) = train(s, v) else { return };
    for found in remarked(plan, kinds) {
        found.find(s, v, key, limit(&found, s));
    }
}

/// Remarks of one kind on cold, each part once, on the day of the test or the coldest day of the site, whichever is
/// worse for it; says why the coldest day is not known.
pub(super) fn remarked_when_cold<'s>(
    s: &'s Solution<'_>,
    plan: &'s TrainPlan,
    kind: CheckKind,
    v: &mut Verdict,
) -> Vec<Remarked<'s>> {
    let mut worst = remarked(plan, &[kind]);
    let cold = match s.cold_day() {
        Ok(duties) => duties.as_slice(),
        Err(why) => {
            v.not_checked(format!(
                "the train cannot be solved on the coldest day: {why}"
            ));
            return worst;
        }
    };
    if !cold.is_empty() && cold.iter().all(|d| d.solution.is_err()) {
        v.not_checked("on the coldest day the train does not feed any duty");
    }
    for found in remarks_of(cold, &[kind], " on the coldest day") {
        match worst.iter_mut().find(|w| w.check.at == found.check.at) {
            Some(w) if found.check.measured < w.check.measured => *w = found,
            Some(_) => {}
            None => worst.push(found),
        }
    }
    worst
}

fn remarks_of<'s>(
    duties: &'s [TrainDuty],
    kinds: &[CheckKind],
    day: &'static str,
) -> Vec<Remarked<'s>> {
    let mut worst: Vec<Remarked<'s>> = Vec::new();
    let all = duties
        .iter()
        .flat_map(|d| d.checks.iter().map(move |c| (d.name.as_str(), c)))
        .filter(|(_, c)| kinds.contains(&c.kind));
    for (duty, check) in all {
        let same = |w: &&mut Remarked<'s>| (w.check.kind, &w.check.at) == (check.kind, &check.at);
        match worst.iter_mut().find(same) {
            Some(w) => {
                if !w.duties.contains(&duty) {
                    w.duties.push(duty);
                }
                if check.off() > w.check.off() {
                    w.check = check;
                }
            }
            None => worst.push(Remarked {
                check,
                duties: vec![duty],
                day,
            }),
        }
    }
    worst
}

impl Remarked<'_> {
    /// What was found, with the duties.
    pub(super) fn measured(&self, s: &Solution<'_>) -> Measured {
        let figure = self.shown(s, self.check.measured);
        self.worded(format!("{figure} {}", self.when()))
    }
    fn shown(&self, s: &Solution<'_>, si: f64) -> String {
        match self.check.kind {
            CheckKind::Mach => format!("Mach {}", significant(si, 2)),
            kind => shown(s, kind.figure(), si),
        }
    }
    fn worded(&self, text: String) -> Measured {
        Measured::Worded(self.check.kind.figure(), self.check.measured, text)
    }
    /// The figure alone.
    pub(super) fn figure(&self, s: &Solution<'_>) -> Measured {
        self.worded(self.shown(s, self.check.measured))
    }
    /// The duties and the day in words: "at duty full", "at duties full and idle on the coldest day".
    pub(super) fn when(&self) -> String {
        format!("at {}{}", of_duties(&self.duties), self.day)
    }
    /// What it is held against.
    pub(super) fn limit(&self, s: &Solution<'_>) -> Measured {
        let (figure, si) = (self.check.kind.figure(), self.check.limit);
        Measured::Worded(figure, si, self.shown(s, si))
    }
    /// The figure that it is held against, behind words.
    pub(super) fn limit_in_words(&self, words: &str) -> Limit {
        Limit::of_words(self.check.kind.figure(), self.check.limit, words)
    }
    /// Path of the part.
    pub(super) fn at(&self) -> String {
        part_path(&self.check.at)
    }
    /// Who sets the limit: the key of the part that gives it, or else whom the rule names.
    pub(super) fn source(&self, key: &str, v: &Verdict) -> Source {
        if self.check.kind.is_given() {
            Source::Input(format!("{}.{key}", self.at()).into())
        } else {
            v.rule.source.clone()
        }
    }
    /// Adds it; `{when}` in the page's sentence stands for the duties and the day.
    pub(super) fn find(&self, s: &Solution<'_>, v: &mut Verdict, key: &str, limit: Limit) {
        let source = self.source(key, v);
        let says = v.rule.says();
        let measured = if says.contains("{when}") {
            self.figure(s)
        } else {
            self.measured(s)
        };
        let says = says.replace("{when}", &self.when());
        v.source(source).says(says).find(self.at(), measured, limit);
    }
}

/// A figure as text; a pressure as a gauge at the site reads it.
fn shown(s: &Solution<'_>, kind: Kind, si: f64) -> String {
    match kind {
        Kind::AbsolutePressure => s.gauge(pascals_absolute(si)),
        kind => s.show(kind, si),
    }
}

/// A part with the most that it has to stand while nothing flows.
pub(super) struct AtRest<'s> {
    pub(super) part: &'s Part,
    pub(super) pressure: AbsolutePressure,
    /// Words for the day.
    pub(super) when: String,
}

impl AtRest<'_> {
    /// What it has to stand, with the day.
    pub(super) fn measured(&self, s: &Solution<'_>) -> Measured {
        s.gauged(self.pressure, |x| format!("{x} {}", self.when))
    }
}

/// Every part with the most that it has to stand while nothing flows, of the supply as it starts or on the hottest day;
/// by the file alone, so that nothing that cannot be solved hides a weak part. Says why they are not known.
pub(super) fn most_at_rest<'s>(s: &'s Solution<'_>, v: &mut Verdict) -> Vec<AtRest<'s>> {
    let starts = [
        (pressure_at_start(s, v), "with the flow stopped".to_owned()),
        (pressure_when_hot(s, v), hottest_day(s)),
    ];
    let mut worst: Vec<AtRest<'_>> = Vec::new();
    for (supply, when) in &starts {
        let Some(supply) = *supply else { continue };
        for (i, (part, pressure)) in stood_at_rest(&s.rig.train, supply).into_iter().enumerate() {
            let when = when.clone();
            let new = AtRest {
                part,
                pressure,
                when,
            };
            match worst.get_mut(i) {
                Some(w) if w.pressure < pressure => *w = new,
                Some(_) => {}
                None => worst.push(new),
            }
        }
    }
    worst
}

/// Duties in a sentence: "duty full", "duties idle and full", "5 duties".
pub(super) fn of_duties(names: &[&str]) -> String {
    match names {
        [one] => format!("duty {one}"),
        [first @ .., last] if names.len() <= 3 => {
            format!("duties {} and {last}", first.join(", "))
        }
        all => format!("{} duties", all.len()),
    }
}

/// What is raised by this is enough yet when it is rounded to three digits.
const ENOUGH: f64 = 1.006;

/// A figure to change to, as text.
pub(super) fn enough(s: &Solution<'_>, kind: Kind, si: f64) -> String {
    s.show(kind, ENOUGH * si)
}

/// A pressure to change to, as text.
pub(super) fn enough_pressure(s: &Solution<'_>, p: AbsolutePressure) -> String {
    let air_pa = s.rig.site.air_pressure.pascals();
    s.gauge(pascals_absolute(air_pa + ENOUGH * (p.pascals() - air_pa)))
}

/// A part in a sentence: "the hose pigtail".
pub(super) fn named(s: &Solution<'_>, part: &str) -> String {
    of_subject(&s.subject(&part_path(part)))
}

/// Path of a part.
pub(super) fn part_path(name: &str) -> String {
    format!("train.{name}")
}

/// Parts on every way from a supply to an outlet, each way in order.
pub(super) fn ways<'s>(s: &'s Solution<'_>) -> Vec<Vec<&'s Part>> {
    ways::ways(&s.rig.train)
}

/// Parts before the first regulator of each way, and all of a way without one; each part once.
pub(super) fn at_supply_pressure<'s>(s: &'s Solution<'_>) -> Vec<&'s Part> {
    ways::at_supply_pressure(&s.rig.train)
}

/// Whether the gas sinks in air.
pub(super) fn is_heavy(s: &Solution<'_>) -> bool {
    s.fluid.molar_mass_kg_mol() > DRY_AIR_KG_MOL
}
