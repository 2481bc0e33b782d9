//! Checks of leak test, records, suppressed rules, run plan, plan for another fuel, bands.

use super::Checker;
use crate::injector::drills::HoleTolerance;
use crate::input::raw::{self, RigFile, value};
use crate::input::reader::Entry;
use crate::train::rig::{
    Date, LeakTest, ProofTest, Records, ScheduleStep, Suppression, SwitchPlan, TestMethod,
    TestWord, Timetable, Tolerances,
};
use std::collections::BTreeSet;

/// Fewest words of a reason for setting a rule aside, and fewest letters in all.
const FEWEST_WORDS: usize = 3;
const FEWEST_LETTERS: usize = 10;
/// Why a leak test needs a time and a fall.
const HELD: &str = "a pressure that was held has a time and a fall";

/// Whether a reason says something: words of two letters or more, not one of them over and over.
fn is_sentence(reason: &str) -> bool {
    let letters = |word: &str| word.chars().filter(|c| c.is_alphabetic()).count();
    let words = reason.split_whitespace().filter(|w| letters(w) > 1);
    let words: BTreeSet<String> = words.map(str::to_lowercase).collect();
    words.len() >= FEWEST_WORDS && letters(reason) >= FEWEST_LETTERS
}

#[allow(
    clippy::option_option,
    reason = "an absent table and a wrong one are different things: the first is no mistake"
)]
impl Checker<'_> {
    pub(super) fn leak_tests(&mut self, file: &RigFile) -> Option<Vec<LeakTest>> {
        let test_day = file.records.as_ref().and_then(|r| r.test_day.as_ref());
        let mut all = Vec::new();
        for raw in &file.leak_test {
            self.not_after(raw.date.as_ref(), test_day, "the leak test");
            all.push(self.leak_test(raw));
        }
        all.into_iter().collect()
    }

    fn leak_test(&mut self, raw: &raw::LeakTest) -> Option<LeakTest> {
        if let (Some(drop), Some(pressure)) = (&raw.drop, &raw.pressure)
            && drop.value.pascals() > pressure.value.pascals()
        {
            self.disagree(
                "the gauge fell by more than it had",
                (&drop.span, "fall"),
                (&pressure.span, "pressure at the start"),
                None,
            );
        }
        let method = self.method_of_test(raw);
        Some(LeakTest {
            at: raw.stands.path.clone(),
            from: value(raw.from.as_ref()),
            to: value(raw.to.as_ref()),
            date: raw.date.as_ref()?.value,
            pressure: raw.pressure.as_ref()?.value,
            method: method?,
            gauge_resolution: value(raw.gauge_resolution.as_ref()),
            volume: value(raw.volume.as_ref()),
            gas: value(raw.gas.as_ref()),
            start_temperature: value(raw.start_temperature.as_ref()),
            end_temperature: value(raw.end_temperature.as_ref()),
        })
    }

    /// How a test was made; a pressure that was held has a time and a fall.
    fn method_of_test(&mut self, raw: &raw::LeakTest) -> Option<TestMethod> {
        if let Some(method) = raw.method.as_ref().filter(|m| m.value == TestWord::Soap) {
            let held = raw.hold_time.as_ref().map(|e| &e.span);
            if let Some(held) = held.or(raw.drop.as_ref().map(|e| &e.span)) {
                self.disagree(
                    "soap has no hold and no fall",
                    (held, "of a pressure that was held"),
                    (&method.span, "method"),
                    Some("write a `[[leak_test]]` of its own for the pressure that was held"),
                );
                return None;
            }
            let leak_found = value(raw.leak_found.as_ref());
            return Some(TestMethod::Soap { leak_found });
        }
        if let Some(found) = &raw.leak_found {
            self.wrong(
                "E302",
                "`leak_found` is what soap shows, and this test held a pressure",
                &found.span,
                "of another method",
                Some(
                    "add `method = \"soap\"`, or leave it out: the fall says whether it leaks"
                        .to_owned(),
                ),
            );
        }
        let at = &raw.stands;
        let hold_time = self.need(raw.hold_time.as_ref(), "hold_time", at, HELD, "\"15 min\"");
        let drop = self.need(raw.drop.as_ref(), "drop", at, HELD, "\"4 mbar\"");
        Some(TestMethod::Decay {
            hold_time: hold_time?.value,
            drop: drop?.value,
        })
    }

    fn not_after(
        &mut self,
        date: Option<&Entry<Date>>,
        test_day: Option<&Entry<Date>>,
        what: &str,
    ) {
        if let (Some(date), Some(day)) = (date, test_day)
            && date.value > day.value
        {
            self.disagree(
                format!("{what} is dated after the day the rig is to be lit"),
                (&date.span, "later"),
                (&day.span, "test day"),
                None,
            );
        }
    }

    pub(super) fn records(&mut self, raw: Option<&raw::Records>) -> Records {
        let Some(raw) = raw else {
            return Records::default();
        };
        let day = raw.test_day.as_ref();
        self.not_after(raw.hose_made.as_ref(), day, "the hose");
        self.not_after(raw.regulator_made.as_ref(), day, "the regulator");
        self.not_after(
            raw.cylinder_inspected.as_ref(),
            day,
            "the inspection of the cylinder",
        );
        let extinguisher = raw.extinguisher_inspected.as_ref();
        self.not_after(extinguisher, day, "the inspection of the extinguisher");
        Records {
            test_day: value(day),
            hose_made: value(raw.hose_made.as_ref()),
            regulator_made: value(raw.regulator_made.as_ref()),
            cylinder_inspected: value(raw.cylinder_inspected.as_ref()),
            cylinder_years: value(raw.cylinder_years.as_ref()),
            extinguisher_inspected: value(extinguisher),
            reviewed: value(raw.reviewed.as_ref()),
        }
    }

    pub(super) fn proof_tests(
        &mut self,
        raw: &[raw::ProofTest],
        records: Option<&raw::Records>,
    ) -> Option<Vec<ProofTest>> {
        let test_day = records.and_then(|r| r.test_day.as_ref());
        let one = |test: &raw::ProofTest| {
            self.not_after(test.date.as_ref(), test_day, "the proof test");
            Some(ProofTest {
                device: test.device.as_ref()?.value,
                date: test.date.as_ref()?.value,
            })
        };
        let all: Vec<Option<ProofTest>> = raw.iter().map(one).collect();
        all.into_iter().collect()
    }

    pub(super) fn suppressions(&mut self, raw: &[raw::Suppress]) -> Option<Vec<Suppression>> {
        let all: Vec<Option<Suppression>> = raw.iter().map(|s| self.suppression(s)).collect();
        all.into_iter().collect()
    }

    fn suppression(&mut self, raw: &raw::Suppress) -> Option<Suppression> {
        let reason = raw.reason.as_ref()?;
        if !is_sentence(&reason.value) {
            self.wrong(
                "E206",
                "a reason is a sentence that somebody else can judge: three different words at least",
                &reason.span,
                "why the rule may be set aside",
                Some("say what was looked at, measured or agreed, and where that is written down".to_owned()),
            );
            return None;
        }
        let rule = raw.rule.as_ref()?;
        let Some(known) = crate::audit::registry::find(&rule.value) else {
            let ids: Vec<&str> = crate::audit::registry::RULES
                .iter()
                .map(|r| r.about().id)
                .collect();
            self.undefined("rule", rule, ids);
            return None;
        };
        Some(Suppression {
            rule: known.about().id.to_owned(),
            at: value(raw.at.as_ref()),
            reason: reason.value.clone(),
            by: value(raw.by.as_ref()),
            until: value(raw.until.as_ref()),
        })
    }

    pub(super) fn timetable(&mut self, file: &RigFile) -> Option<Option<Timetable>> {
        if file.steps.is_empty() {
            if let Some(schedule) = &file.schedule {
                self.wrong(
                    "E302",
                    "`[schedule]` has no `[[steps]]`",
                    &schedule.stands.span,
                    "repeats nothing",
                    Some("add `[[steps]]` with `duty` and `duration`".to_owned()),
                );
                return None;
            }
            return Some(None);
        }
        let names: Vec<&str> = file
            .duties
            .iter()
            .filter_map(|d| d.name.as_ref().map(|n| n.value.as_str()))
            .collect();
        let mut sound = true;
        for duty in file.steps.iter().filter_map(|s| s.duty.as_ref()) {
            if !names.contains(&duty.value.as_str()) {
                self.undefined("duty", duty, names.iter().copied());
                sound = false;
            }
        }
        let steps: Option<Vec<ScheduleStep>> = file
            .steps
            .iter()
            .map(|s| {
                Some(ScheduleStep {
                    duty: value(s.duty.as_ref()),
                    duration: s.duration.as_ref()?.value,
                })
            })
            .collect();
        let repeats = match &file.schedule {
            None => 1,
            Some(schedule) => schedule.repeats.as_ref()?.value,
        };
        sound.then_some(Some(Timetable {
            steps: steps?,
            repeats,
        }))
    }

    pub(super) fn switch(&mut self, raw: Option<&raw::Switch>) -> Option<Option<SwitchPlan>> {
        let Some(raw) = raw else {
            return Some(None);
        };
        let to = raw.to.as_ref().and_then(|to| self.composition(to));
        let feed_pressure = self.maybe_absolute(raw.feed_pressure.as_ref());
        Some(Some(SwitchPlan {
            to: to?,
            written: value(raw.to.as_ref())?,
            endurance: value(raw.endurance.as_ref()),
            feed_pressure: feed_pressure?,
            pump_efficiency: value(raw.pump_efficiency.as_ref()),
            battery_energy: value(raw.battery_energy.as_ref()),
            pump_lift: value(raw.pump_lift.as_ref()),
            suction_head: value(raw.suction_head.as_ref()),
            nozzles: value(raw.nozzles.as_ref()),
            line_length: value(raw.line_length.as_ref()),
        }))
    }
}

/// Bands.
pub(super) fn tolerances(raw: Option<&raw::Tolerance>) -> Tolerances {
    let Some(raw) = raw else {
        return Tolerances::default();
    };
    Tolerances {
        air_flow: value(raw.air_flow.as_ref()),
        supply_pressure: value(raw.supply_pressure.as_ref()),
        set_pressure: value(raw.set_pressure.as_ref()),
        droop: value(raw.droop.as_ref()),
        flow_coefficient: value(raw.flow_coefficient.as_ref()),
        rangeability: value(raw.rangeability.as_ref()),
        line_loss: value(raw.line_loss.as_ref()),
        lock_up: value(raw.lock_up.as_ref()),
        conductance: value(raw.conductance.as_ref()),
        temperature: value(raw.temperature.as_ref()),
        composition: value(raw.composition.as_ref()),
        discharge_coefficient: value(raw.discharge_coefficient.as_ref()),
        hole_grade: raw.hole_grade.as_ref().map(|g| match g.value {
            ..=9 => HoleTolerance::H9,
            10 => HoleTolerance::H10,
            11 => HoleTolerance::H11,
            12 => HoleTolerance::H12,
            13.. => HoleTolerance::H13,
        }),
    }
}
