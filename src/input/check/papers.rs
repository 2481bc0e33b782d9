//! Checks of leak test, records, suppressed rules, run plan, plan for another fuel.

use super::Checker;
use crate::audit::registry::{RULES, find};
use crate::audit::{Judges, Rule};
use crate::input::key::{AnyKey, Key};
use crate::input::raw::{self, RigFile};
use crate::train::rig::{
    Date, LeakTest, ProofTest, Records, ScheduleStep, Suppression, SwitchPlan, TestMethod,
    TestWord, Timetable,
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
        let test_day = file.records.as_ref().map(|r| &r.test_day);
        let mut all = Vec::new();
        for raw in &file.leak_test {
            self.not_after(&raw.date, test_day, "the leak test");
            all.push(self.leak_test(raw));
        }
        all.into_iter().collect()
    }

    fn leak_test(&mut self, raw: &raw::LeakTest) -> Option<LeakTest> {
        self.hold_against(
            (&raw.drop, "fall"),
            (&raw.pressure, "pressure at the start"),
            |drop, pressure| drop.pascals() > pressure.pascals(),
            "the gauge fell by more than it had",
        );
        let method = self.method_of_test(raw);
        Some(LeakTest {
            at: raw.stands.path.clone(),
            from: raw.from.value(),
            to: raw.to.value(),
            date: raw.date.value()?,
            pressure: raw.pressure.value()?,
            method: method?,
            gauge_resolution: raw.gauge_resolution.value(),
            volume: raw.volume.value(),
            gas: raw.gas.value(),
            start_temperature: raw.start_temperature.value(),
            end_temperature: raw.end_temperature.value(),
        })
    }

    /// How a test was made; a pressure that was held has a time and a fall.
    fn method_of_test(&mut self, raw: &raw::LeakTest) -> Option<TestMethod> {
        if let Some(method) = raw
            .method
            .entry
            .as_ref()
            .filter(|m| m.value == TestWord::Soap)
        {
            if let Some(held) = raw.hold_time.span().or(raw.drop.span()) {
                self.disagree(
                    "soap has no hold and no fall",
                    (held, "of a pressure that was held"),
                    (&method.span, "method"),
                    Some("write a `[[leak_test]]` of its own for the pressure that was held"),
                );
                return None;
            }
            let leak_found = raw.leak_found.value();
            return Some(TestMethod::Soap { leak_found });
        }
        if let Some(found) = raw.leak_found.span() {
            self.wrong(
                "E302",
                "`leak_found` is what soap shows, and this test held a pressure",
                found,
                "of another method",
                Some(
                    "add `method = \"soap\"`, or leave it out: the fall says whether it leaks"
                        .to_owned(),
                ),
            );
        }
        let hold_time = self.need(&raw.hold_time, HELD);
        let drop = self.need(&raw.drop, HELD);
        Some(TestMethod::Decay {
            hold_time: hold_time?.value,
            drop: drop?.value,
        })
    }

    pub(super) fn not_after(&mut self, date: &Key<Date>, test_day: Option<&Key<Date>>, what: &str) {
        if let Some(day) = test_day {
            self.hold_against(
                (date, "later"),
                (day, "test day"),
                |date, day| date > day,
                &format!("{what} is dated after the day the rig is to be lit"),
            );
        }
    }

    pub(super) fn records(&mut self, raw: Option<&raw::Records>) -> Option<Records> {
        let Some(raw) = raw else {
            return Some(Records::default());
        };
        for (date, what) in [
            (&raw.hose_made, "the hose"),
            (&raw.regulator_made, "the regulator"),
            (&raw.cylinder_inspected, "the inspection of the cylinder"),
            (
                &raw.extinguisher_inspected,
                "the inspection of the extinguisher",
            ),
        ] {
            self.not_after(date, Some(&raw.test_day), what);
        }
        raw.model()
    }

    pub(super) fn proof_tests(
        &mut self,
        raw: &[raw::ProofTest],
        records: Option<&raw::Records>,
    ) -> Option<Vec<ProofTest>> {
        let test_day = records.map(|r| &r.test_day);
        let one = |test: &raw::ProofTest| {
            self.not_after(&test.date, test_day, "the proof test");
            test.model()
        };
        let all: Vec<Option<ProofTest>> = raw.iter().map(one).collect();
        all.into_iter().collect()
    }

    pub(super) fn suppressions(&mut self, raw: &[raw::Suppress]) -> Option<Vec<Suppression>> {
        let all: Vec<Option<Suppression>> = raw.iter().map(|s| self.suppression(s)).collect();
        all.into_iter().collect()
    }

    fn suppression(&mut self, raw: &raw::Suppress) -> Option<Suppression> {
        let reason = raw.reason.entry.as_ref()?;
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
        let rule = raw.rule.entry.as_ref()?;
        // rules on a plan or a run find nothing in a rig
        let of_rig = |r: &&Rule| matches!(r.judges, Judges::Rig(_));
        let Some(known) = find(&rule.value).filter(of_rig) else {
            let ids: Vec<&str> = RULES.iter().copied().filter(of_rig).map(|r| r.id).collect();
            self.undefined("rule", rule, ids);
            return None;
        };
        // the file may name it by its name
        Some(Suppression {
            rule: known.id.to_owned(),
            ..raw.model()?
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
        let mut sound = true;
        for duty in file.steps.iter().filter_map(|s| s.duty.entry.as_ref()) {
            sound &= self.duty_is_defined(duty, file);
        }
        let steps: Option<Vec<ScheduleStep>> = file.steps.iter().map(raw::Step::model).collect();
        let repeats = match &file.schedule {
            None => 1,
            Some(schedule) => schedule.repeats.value()?,
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
        let to = raw.to.entry.as_ref().and_then(|to| self.composition(to));
        let feed_pressure = self.maybe_absolute(&raw.feed_pressure);
        Some(Some(SwitchPlan {
            to: to?,
            written: raw.to.value()?,
            endurance: raw.endurance.value(),
            feed_pressure: feed_pressure?,
            pump_efficiency: raw.pump_efficiency.value(),
            battery_energy: raw.battery_energy.value(),
            pump_lift: raw.pump_lift.value(),
            suction_head: raw.suction_head.value(),
            nozzles: raw.nozzles.value(),
            line_length: raw.line_length.value(),
        }))
    }
}
