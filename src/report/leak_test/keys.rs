//! Records of joints, of the plan of a leak test and of the tests on record.

use super::{told, weakest_part};
use crate::leak::joints::by_kind;
use crate::leak::test_plan::{NOT_PROVED, STEPS_OF_TEST};
use crate::leak::{JointRow, LeakJudgement, TestPlan, ZoneTest};
use crate::quantity::show::Units;
use crate::quantity::{AbsolutePressure, VolumeRate};
use crate::report::record::{Raw, Row, record};
use crate::train::JointKind;
use crate::train::rig::{Rig, TestMethod};

/// Which gas a leak is of.
const GAS: &str = "of the test gas, at 15 degC and one atmosphere";

record! {
    /// Joints of a rig.
    Joints(rig: &Rig, rows: &[JointRow])
    with {
        kinds = by_kind(rows).iter().map(|(kind, n)| format!("{n} {}", kind.name())).collect::<Vec<_>>();
        parts = rig.train.parts();
        bare = parts.iter().filter(|p| p.joints.is_empty()).map(|p| p.name.as_str()).collect::<Vec<_>>();
        total = rows.iter().map(|r| r.count).sum::<u32>();
        ordered = rows.iter().enumerate();
    }
    {
        /// Number of all joints.
        joint_count: Count = total, "Joints", note (!kinds.is_empty()).then(|| kinds.join(", "));
        (per_part): Number = f64::from(total) / parts.len().max(1) as f64, "Joints per part of the train";
        (bare): Text = (!bare.is_empty()).then(|| bare.join(", ")), "Parts that list none";
        joints: Rows(Joint) = ordered.map(|(i, r)| Joint::row(i + 1, r, rig)).collect::<Vec<_>>();
    }

    /// Joints in the order to soap them.
    Joint(order: usize, r: &JointRow, rig: &Rig) {
        (order): Count = order, "order";
        part: Text = &r.part, "part";
        /// Kind of joint.
        kind: Text = r.kind.name(), "joint";
        /// How many of it.
        count: Count = r.count, "number";
        pressure_pa: AbsolutePressure = r.pressure, "pressure" => GaugePressure = r.pressure.gauge(rig.site.air_pressure);
        /// How readily such a joint leaks, 1 to 5.
        readiness: Count = u32::from(r.readiness), "leaks readily, 1 to 5";
        /// Leak class of its seat.
        leak_class: Text = r.leak_class.as_deref(), "seat" [optional] => Text = r.leak_class.as_deref().unwrap_or_default();
    }

    /// The plan of a leak test.
    Planned(plan: &TestPlan, air: AbsolutePressure) {
        test_zones: Rows(Zone) = plan.zones.iter().map(|z| Zone::row(z, air)).collect::<Vec<_>>();
        /// What is free again before any fuel.
        never_plugged: Texts = &plan.never_plugged;
        /// What a pass does not prove.
        not_proved: Texts = NOT_PROVED.to_vec();
        /// How it is made.
        test_steps: Texts = STEPS_OF_TEST.to_vec();
    }

    /// Zones that are tested by themselves.
    Zone(test: &ZoneTest, air: AbsolutePressure)
    with {
        zone = &test.zone;
        hold = test.hold.as_ref();
        gauge = |p: AbsolutePressure| p.gauge(air);
        rating = zone.weakest.as_ref().map(|w| w.1);
    }
    {
        zone: Text = zone.label(), "zone";
        /// Parts in it.
        parts: Texts = &zone.parts;
        /// Number of its joints.
        joints: Count = zone.joints;
        /// Pressure at rest.
        at_rest_pa: AbsolutePressure = zone.at_rest, "at rest" => GaugePressure = gauge(zone.at_rest);
        /// The most it works at.
        working_pa: AbsolutePressure = test.working, "at most" => GaugePressure = gauge(test.working);
        /// Pressure to test it at.
        test_pressure_pa: AbsolutePressure = test.pressure, "test at" => GaugePressure = test.pressure.map(gauge);
        weakest: Text = zone.weakest.as_ref().map(|w| &w.0),
            "weakest part" => Text = weakest_part(test).unwrap_or_else(|| "no rating given".to_owned());
        /// Joint that makes it so; null: its rating.
        weakest_joint: Text = zone.weakest_joint.map(JointKind::name);
        /// Rating of the weakest part.
        weakest_rating_pa: AbsolutePressure = rating, "its rating" => GaugePressure = rating.map(gauge);
        /// Parts without a rating.
        unrated: Texts = &zone.unrated;
        /// Part behind which it begins.
        behind: Text = zone.behind.as_deref();
        /// What is blanked off, taken out or held open before it is pressed.
        first: Texts = &test.first;
        /// Volume in it.
        volume_m3: Volume = hold.map(|h| h.volume), "volume" 2;
        /// Time to hold the pressure.
        hold_s: Time = hold.map(|h| h.time), "hold";
        /// Fall accepted in that time.
        accepted_drop_pa: PressureDifference = hold.map(|h| h.drop), "fall accepted" 2;
        band_pa: PressureDifference = hold.map(|h| h.band), "band of readings" 2;
        /// Leak accepted.
        accepted_leak_m3_s: VolumeRate = hold.map(|h| h.accepted), "leak accepted" 2;
        /// Smallest leak that the hold shows.
        smallest_leak_m3_s: VolumeRate = hold.map(|h| h.smallest), "smallest seen" 2;
        /// Fuel through the accepted leak in service.
        fuel_of_accepted_leak_kg_s: MassRate = hold.and_then(|h| h.fuel), "fuel then" 2 [optional];
    }

    /// What comes before a zone is pressed.
    First(zone: &str, step: &str) {
        (zone): Text = zone, "zone";
        (first): Text = step, "first";
    }

    /// A step of the test.
    Step(number: usize, what: &str) {
        (step): Count = number, "step";
        (what): Text = what, "what";
    }

    /// Tests on record, judged.
    TestRecord(rig: &Rig, judged: &LeakJudgement, units: Units)
    with {
        record = &judged.record;
        test = &record.test;
        air = rig.site.air_pressure;
        sums = judged.sums.as_ref();
        leak = sums.and_then(|s| s.leak);
        seen = leak.zip(sums.and_then(|s| s.smallest)).map(|s| s.0);
        works_at = record.nowhere.is_none().then(|| record.working.gauge(air));
        (hold, drop) = match test.method {
            TestMethod::Soap { .. } => (None, None),
            TestMethod::Decay { hold_time, drop } => (Some(hold_time), Some(drop)),
        };
        corrected = sums.map(|s| s.corrected.pascals());
        band = sums.map(|s| s.band.pascals());
        low = corrected.zip(band).map(|(c, b)| c - b);
        high = corrected.zip(band).map(|(c, b)| c + b);
        read = record.temperatures_read();
        leaks = seen.filter(|s| s.1.value > 0.0);
    }
    {
        /// Key of the rig file.
        at: Text = &test.at;
        /// The zone it was made of.
        zone: Text = &record.label, "Of";
        /// Parts in it.
        parts: Texts = &record.parts;
        /// Whether the record does not say which zone.
        zone_is_assumed: Flag = record.guessed;
        /// `soap` or `decay`.
        method: Text = if record.soaped() { "soap" } else { "decay" };
        (date): Text = test.date.to_string(), "Date";
        pressure_pa: AbsolutePressure = air.pascals() + test.pressure.pascals(), "Pressure" => GaugePressure = test.pressure;
        /// The most it works at.
        working_pa: AbsolutePressure = record.working, "It works at" => GaugePressure = works_at, note "at most";
        /// What it had to reach.
        least_pa: AbsolutePressure = record.least;
        /// What codes ask.
        test_pressure_pa: AbsolutePressure = record.planned;
        /// Rating of the weakest part.
        weakest_rating_pa: AbsolutePressure = record.weakest.as_ref().map(|w| w.1);
        /// What it says.
        verdict: Text = judged.verdict.word();
        /// Why it says no more.
        because: Text = judged.because.as_deref();
        (soap): Text = record.soaped().then_some("soap on the joints"), "Method";
        (hold): Time = hold, "Hold";
        (fall): PressureDifference = drop, "Fall by gauge";
        /// Fall, corrected where temperatures are read.
        corrected_drop_pa: PressureDifference = corrected,
            "Fall corrected for temperature" => PressureDifference = corrected.filter(|_| read), band (low, high);
        (uncorrected): PressureDifference = corrected.filter(|_| !read), "Fall, no temperatures read",
            band (low, high);
        /// Half-width of the band on it.
        band_pa: PressureDifference = band;
        /// Fall accepted in the time of the test.
        accepted_drop_pa: PressureDifference = sums.map(|s| s.accepted), "Fall accepted in that time";
        volume_m3: Volume = sums.and_then(|s| s.volume), "Volume counted with",
            note judged.volume_off.then_some("of the parts: the stated one is not theirs");
        /// Volume of the parts.
        volume_of_parts_m3: Volume = record.volumes.known;
        /// Leak, of the test gas at 15 degC and one atmosphere.
        leak_m3_s: VolumeRate = leak.map(|l| l.1), "Leak" => VolumeRate = seen.map(shown_leak),
            note leaks.map(|_| GAS), band (leaks.map(|l| l.0), leaks.map(|l| l.2));
        (most): VolumeRate = seen.filter(|_| leaks.is_none()).map(|l| l.2).filter(|m| m.value > 0.0), "Leak at most", note GAS;
        /// The least it may be.
        leak_low_m3_s: VolumeRate = leak.map(|l| l.0);
        /// The most it may be.
        leak_high_m3_s: VolumeRate = leak.map(|l| l.2);
        /// Smallest leak that the test could see.
        smallest_leak_m3_s: VolumeRate = sums.and_then(|s| s.smallest),
            "Smallest it could see" => VolumeRate = sums.and_then(|s| s.smallest).filter(|_| leak.is_some());
        /// Relief valves that were out or plugged.
        opened_below_test: Texts = record.plugged(rig);
        (says): Text = told(rig, judged, units), "It says";
    }

    /// Tests on record that say nothing.
    Silent(why: &str) {
        /// What it says.
        verdict: Text = None::<&str>;
        /// Why it says no more.
        because: Text = why;
    }

    /// The first of the tests on record.
    Only(first: Option<&Row>, silent: Option<&String>) {
        ..first: Row(TestRecord) = first.cloned();
        ..silent: Row(Silent) = silent.map(|why| Silent::row(why));
    }

    /// Tests on record.
    OnRecord(rows: &[Row], silent: Option<&String>)
    with { any = silent.is_some() || !rows.is_empty(); }
    {
        leak_test: Row(Only) = any.then(|| Only::row(rows.first(), silent));
        leak_tests: Rows(TestRecord) = rows.to_vec();
    }
}

/// Where the readings fell by nothing, what a leak is at most is told instead.
fn shown_leak((_, leak, most): (VolumeRate, VolumeRate, VolumeRate)) -> Raw {
    match (leak.value > 0.0, most.value > 0.0) {
        (true, _) => leak.into(),
        (false, true) => Raw::None,
        (false, false) => "none by the readings".into(),
    }
}
