//! Zones whose joints no leak test on record has reached.

use super::{few, leak_test_plan, zoned};
use crate::audit::finding::capital;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::leak::zones::behind_last_valve;
use crate::leak::{Placed, Zone, to_be_tested};
use crate::quantity::Kind;
use crate::train::Part;

rule! {
    /// ## Finding
    /// {What}.
    /// ## What it checks
    /// The zones between supply, regulators, pumps and holes against the leak tests on record: which joints none of
    /// them reached. Soap at working pressure counts at the supply, whose joints are made anew with every cylinder,
    /// and behind the last valve; elsewhere a pressure has to be held. The joints of the valve at the supply itself
    /// are soaped on the day.
    /// ## Why it matters
    /// Each zone has a pressure of its own: a test of one says nothing of the next.
    /// ## What to do
    /// Test each zone above its working pressure, and record it as a `[[leak_test]]` with `from` and `to`. Soap is
    /// enough at the supply. `leak-test` plans it.
    "LEK004", "zone-untested", Leak, [Warning, Caution],
    Choice("common practice, no source: a joint is tested at what it works at")
}

/// Parts of a zone, and how far tests have reached them.
struct Reached<'a> {
    zone: &'a Zone,
    /// Parts with joints that no test reached.
    never: Vec<&'a Part>,
    /// Parts with joints that have only been soaped, where a pressure has to be held.
    soaped: Vec<&'a Part>,
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(first) = s.rig.leak_tests.first() else {
        v.not_checked("no leak test is on record");
        return;
    };
    let Some(plan) = leak_test_plan(s, v) else {
        return;
    };
    let found: Vec<Reached<'_>> = plan
        .zones
        .iter()
        .map(|z| reached(s, &z.zone, &plan.records))
        .filter(|r| !r.never.is_empty() || !r.soaped.is_empty())
        .collect();
    if found.is_empty() {
        return;
    }
    let grave = found
        .iter()
        .any(|r| r.zone.behind.is_some() && !r.never.is_empty());
    let highest_pa = found
        .iter()
        .map(|r| r.zone.at_rest.pascals())
        .fold(0.0, f64::max);
    let weight = |r: &Reached<'_>| (r.zone.behind.is_some(), !r.never.is_empty());
    let gravest = (0..found.len()).rev().max_by_key(|i| weight(&found[*i]));
    let told = gravest.map_or_else(String::new, |i| told(s, &found[i]));
    let others = (found.iter().enumerate()).filter(|(i, _)| Some(*i) != gravest);
    let others: Vec<String> = others.map(|(_, r)| zoned(&r.zone.label())).collect();
    let (says, measured) = match others.as_slice() {
        [] => (v.rule.says().replace("{What}", &capital(&told)), told),
        others => {
            let others = others.join(", ");
            let both = format!("{}. Untested too: {others}", capital(&told));
            let says = v.rule.says().replace("{What}", &both);
            (says, format!("{told}; {others} too"))
        }
    };
    v.says(says)
        .signal(if grave {
            Signal::Warning
        } else {
            Signal::Caution
        })
        .find(
            first.at.clone(),
            (Kind::AbsolutePressure, highest_pa, measured),
            Limit::of_words(
                Kind::AbsolutePressure,
                highest_pa,
                "every joint tested at its working pressure, zone by zone",
            ),
        );
}

fn reached<'a>(s: &Solution<'a>, zone: &'a Zone, records: &[Placed]) -> Reached<'a> {
    let train = &s.rig.train;
    // a regulator inside a test that was held keeps its pressure from what stands behind
    let regulator = zone.behind.as_ref().filter(|name| {
        let part = train.part(name);
        part.is_some_and(Part::is_regulator)
    });
    let kept_off = |r: &Placed| regulator.is_some_and(|name| r.parts.contains(name));
    let in_test = |held: bool, name: &String| {
        let of_kind = records
            .iter()
            .filter(|r| if r.soaped() { !held } else { !kept_off(r) });
        of_kind.into_iter().any(|r| r.parts.contains(name))
    };
    let behind_last = behind_last_valve(train);
    let with_joints = to_be_tested(train, zone)
        .iter()
        .filter_map(|name| train.part(name))
        .filter(|p| p.joints.iter().any(|j| j.count > 0));
    let (mut never, mut soaped) = (Vec::new(), Vec::new());
    for part in with_joints {
        if !in_test(false, &part.name) {
            never.push(part);
        } else if zone.behind.is_some()
            && !in_test(true, &part.name)
            && !behind_last.contains(&part.name.as_str())
        {
            soaped.push(part);
        }
    }
    Reached {
        zone,
        never,
        soaped,
    }
}

/// A zone with its pressure and what was not reached.
fn told(s: &Solution<'_>, reached: &Reached<'_>) -> String {
    let zone = reached.zone;
    let (parts, soaped) = if reached.never.is_empty() {
        (&reached.soaped, true)
    } else {
        (&reached.never, false)
    };
    let all = to_be_tested(&s.rig.train, zone)
        .iter()
        .filter_map(|name| s.rig.train.part(name))
        .filter(|p| p.joints.iter().any(|j| j.count > 0))
        .count();
    let joints: u32 = parts.iter().flat_map(|p| &p.joints).map(|j| j.count).sum();
    let plural = if joints == 1 { "" } else { "s" };
    let of = if parts.len() == all {
        String::new()
    } else {
        let names: Vec<&str> = parts.iter().map(|p| p.name.as_str()).collect();
        format!(" of {}", few(&names))
    };
    let what = if soaped {
        let verb = if joints == 1 { "was" } else { "were" };
        format!("{joints} joint{plural}{of} {verb} soaped but never held under pressure")
    } else {
        format!("no leak test reached {joints} joint{plural}{of}")
    };
    let (place, pressure) = (zoned(&zone.label()), s.gauge(zone.at_rest));
    if of.is_empty() {
        format!("{what} {place}, at {pressure}")
    } else {
        format!("{what}, {place} at {pressure}")
    }
}
