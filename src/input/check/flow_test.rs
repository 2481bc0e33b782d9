//! Checks of the flow tests, and what they make of the holes.

use super::Checker;
use crate::eos;
use crate::injector::flow_test::{
    Bench, FlowTest, ReadingErrors, TestFlow, TestRead, TestedFlow, together,
};
use crate::injector::hole::HoleMake;
use crate::injector::spec::{HoleSize, InjectorSpec};
use crate::input::key::AnyKey;
use crate::input::raw::{self, RigFile};
use crate::quantity::Length;
use crate::quantity::sentence::Told;
use crate::quantity::show::{Units, percent};
use crate::train::rig::HoleTest;

/// Most that two diameters of the same hole differ by, relative: rounding of another unit.
const SAME: f64 = 1e-3;

impl Checker<'_> {
    /// The flow tests of the file; those of the holes that the injector has now are put into it.
    pub(super) fn flow_tests(
        &mut self,
        file: &RigFile,
        injector: Option<&mut InjectorSpec>,
    ) -> Option<Vec<HoleTest>> {
        if file.flow_test.is_empty() {
            return Some(Vec::new());
        }
        let test_day = file.records.as_ref().map(|r| &r.test_day);
        for raw in &file.flow_test {
            self.not_after(&raw.date, test_day, "the flow test");
        }
        let injector = injector?;
        let make = injector.make(None, None);
        let tests = file.flow_test.iter();
        let tests: Vec<Option<HoleTest>> = tests
            .map(|raw| self.flow_test(raw, injector, make))
            .collect();
        let tests: Vec<HoleTest> = tests.into_iter().collect::<Option<_>>()?;
        let said: Vec<TestedFlow> = tests.iter().filter_map(|t| t.says.clone()).collect();
        injector.tested = together(&said);
        if let Some(tested) = injector.tested {
            let given = match injector.discharge_coefficient {
                Some(_) => "; it goes before the `discharge_coefficient` of the file",
                None => "",
            };
            self.assume(format!(
                "The holes pass {} ± {} of what their model gives, by flow test{given}.",
                percent(tested.factor),
                percent(tested.relative_band),
            ));
        }
        Some(tests)
    }

    fn flow_test(
        &mut self,
        raw: &raw::FlowTest,
        injector: &InjectorSpec,
        make: HoleMake,
    ) -> Option<HoleTest> {
        let read = self.test_read(raw);
        let downstream = self.maybe_absolute(&raw.downstream);
        let (date, holes, diameter) = (
            raw.date.value()?,
            raw.holes.value()?,
            raw.hole_diameter.value()?,
        );
        let written = raw.gas.entry.as_ref()?;
        let gas = self.composition(written)?;
        let gas = match eos::backend(self.library, &gas) {
            Ok(gas) => gas,
            Err(error) => {
                let why = error.told().show(Units::Si);
                self.wrong("E210", why, &written.span, "gas of the test", None);
                return None;
            }
        };
        let temperature = raw.temperature.value().or(self.air_outside.0);
        if raw.temperature.value().is_none() {
            self.assume(format!(
                "The gas of the flow test of {date} was as warm as the air of the site: it gives no `temperature`."
            ));
        }
        let test = FlowTest {
            bench: Bench {
                temperature: temperature?,
                downstream: downstream?.unwrap_or(self.ambient),
                holes,
                diameter,
                make: HoleMake {
                    tested: None,
                    ..make
                },
            },
            read: read?,
            errors: ReadingErrors {
                pressure: raw.pressure_error.value(),
                temperature: raw.temperature_error.value(),
                flow: raw.flow_error.value(),
                volume: raw.volume_error.value(),
                time: raw.time_error.value(),
            },
        };
        let says = match test.judged(gas.as_ref()) {
            Ok(says) => says,
            Err(error) => {
                let air_pa = self.ambient.pascals();
                self.wrong(
                    "E206",
                    error.told().by_gauge(air_pa).show(Units::Si),
                    &raw.stands.span,
                    "this flow test says nothing",
                    Some("correct the reading, or take the test out".to_owned()),
                );
                return None;
            }
        };
        let same = injector.holes == holes && is_diameter(&injector.size, diameter);
        Some(HoleTest {
            at: raw.stands.path.clone(),
            date,
            gas: written.value.clone(),
            test,
            says: same.then_some(says),
        })
    }

    /// What was read: a steady flow or a fall, and nothing of the other.
    fn test_read(&mut self, raw: &raw::FlowTest) -> Option<TestRead> {
        let fall: [&dyn AnyKey; 5] = [&raw.volume, &raw.from, &raw.to, &raw.settled, &raw.time];
        let steady: [&dyn AnyKey; 3] = [&raw.upstream, &raw.flow, &raw.free_flow];
        let falls = fall.iter().copied().find(|k| k.span().is_some());
        if let (Some(fall), Some(flow)) =
            (falls, steady.iter().copied().find(|k| k.span().is_some()))
        {
            self.out_of_place(flow, fall);
            return None;
        }
        if falls.is_some() {
            let because = "a volume that empties itself has a size, two pressures and a time";
            let (volume, time) = (
                self.need(&raw.volume, because),
                self.need(&raw.time, because),
            );
            let (volume, time) = (volume.map(|v| v.value), time.map(|t| t.value));
            self.need(&raw.from, because)?;
            self.need(&raw.to, because)?;
            let (from, to) = (self.absolute(&raw.from), self.absolute(&raw.to));
            let settled = self.maybe_absolute(&raw.settled);
            return Some(TestRead::Fall {
                volume: volume?,
                from: from?,
                to: to?,
                settled: settled?,
                time: time?,
            });
        }
        let because = "a flow test has a pressure before the holes with a flow, or a volume with a fall of its pressure";
        self.need(&raw.upstream, because)?;
        let which = self.exactly_one(&[&raw.flow, &raw.free_flow], "flow of the test");
        let upstream = self.absolute(&raw.upstream);
        let flow = match which? {
            0 => TestFlow::Mass(raw.flow.value()?),
            _ => TestFlow::Free(raw.free_flow.value()?),
        };
        Some(TestRead::Steady {
            upstream: upstream?,
            flow,
        })
    }
}

/// Whether the holes of an injector have this diameter.
fn is_diameter(size: &HoleSize, diameter: Length) -> bool {
    matches!(size, HoleSize::Diameter(d) if (d.value / diameter.value - 1.0).abs() < SAME)
}
