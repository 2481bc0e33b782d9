//! Too little air through can and duct before light-up.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flammability::Flammability;
use crate::flow::air::MoistAir;
use crate::fuel::FedAs;
use crate::leak::unlit::least_volumes;
use crate::quantity::{Kind, ratio};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Volumes of can and duct that are blown through before light-up, against five, and for a gas against those that
    /// thin a duct full of it to a quarter of the lower flammability limit; where no purge air is given, at most the
    /// most air of any duty; never more than the blower gives. Purge air against a quarter of the most air of any duty.
    /// ## Why it matters
    /// Unlit fuel left in the duct goes off with the first spark. After four volumes of well mixed air
    /// about 2 % of it is left: of a duct that was full of propane or butane, enough to burn.
    /// ## What to do
    /// Purge longer or with more air; count the whole duct; purge again after every start that fails.
    "SHU004", "short-purge", Shutdown, [Caution, Danger, Warning], Published("en746-2")
}

/// Least purge air over the most air of any duty (`en746-2`).
const LEAST_SHARE: f64 = 0.25;

/// Volumes of can and duct that an air flow blows through in a time.
fn volumes(s: &Solution<'_>, v: &mut Verdict, flow_kg_s: Option<f64>, time_s: f64) -> Option<f64> {
    let (burner, site) = (&s.rig.burner, &s.rig.site);
    let (Some(flow), Some(can)) = (flow_kg_s, burner.can_volume) else {
        v.not_checked("the purge air flow or the volume of the can is not given");
        return None;
    };
    let Some(duct) = burner.duct_volume else {
        v.not_checked("the volume of the duct is not given");
        return None;
    };
    let Ok(air) = MoistAir::new(site.air_pressure, site.ambient, ratio(0.0)) else {
        v.not_checked("the density of the air is not known");
        return None;
    };
    Some(flow * time_s / air.density().value / (can.value + duct.value))
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let Some(time) = controls.purge_time else {
        v.not_checked("the rig file gives no purge time");
        return;
    };
    let composition = &s.rig.fuel.composition;
    let lower = Flammability::of(composition).ok().map(|l| l.lower);
    let least = least_volumes(lower.filter(|_| usual_phase(composition) == FedAs::Gas));
    let indoor = s.rig.site.setting == Setting::Indoor;
    let find = |v: &mut Verdict, volumes: f64| {
        let worded =
            |volumes: f64| Measured::Worded(Kind::Ratio, volumes, format!("{volumes:.1} volumes"));
        v.signal(if volumes <= 0.0 && indoor {
            Signal::Danger
        } else {
            Signal::Warning
        })
        .find(
            "controls.purge_time",
            worded(volumes),
            Limit::AtLeast(worded(least)),
        );
    };
    if time.value <= 0.0 {
        find(v, 0.0);
        return;
    }
    let most = s.duties.iter().filter_map(|d| d.air).map(|a| a.value);
    let most = most.reduce(f64::max);
    // no more passes than the blower gives
    let full = s.full_air().unwrap_or(f64::INFINITY);
    let given = controls.purge_air_flow.map(|f| f.value.min(full));
    let volumes = volumes(s, v, given.or(most), time.value);
    if given.is_none() && volumes.is_some_and(|n| n >= least) {
        v.not_checked("the purge air flow is not given");
    }
    // a purge too short as a whole is told once
    if let Some(volumes) = volumes.filter(|n| *n < least) {
        find(v, volumes);
    } else if let (Some(purge), Some(most)) = (given, most)
        && purge < LEAST_SHARE * most
    {
        v.advice("purge with more air: a slow stream leaves corners that it does not sweep")
            .find(
                "controls.purge_air_flow",
                (Kind::MassRate, purge),
                Limit::at_least(Kind::MassRate, LEAST_SHARE * most),
            );
    }
}
