//! Too little air through can and duct before light-up.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flammability::Flammability;
use crate::flow::air::MoistAir;
use crate::fuel::FedAs;
use crate::leak::unlit::least_volumes;
use crate::quantity::show::fixed;
use crate::quantity::{Kind, ratio};
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// Before light-up {measured} of air clear can and duct, under {limit}: unlit fuel in them goes off with the
    /// first spark.
    /// ## What it checks
    /// Volumes of can and duct that air blows through before light-up, against five, and for a gas against those that
    /// thin a duct full of it to a quarter of the lower flammability limit. Without a stated purge air flow the most
    /// air of any duty is taken, and never more than the blower gives. Purge air flow against a quarter of the most
    /// air of any duty.
    /// ## Why it matters
    /// Unlit fuel left in the duct goes off with the first spark. After four volumes of well mixed air about 2 % of
    /// it is left: of a duct full of propane or butane, enough to burn.
    /// ## What to do
    /// Purge longer or with more air. Count the whole duct, and purge again after every failed start.
    "SHU004", "short-purge", Shutdown, [Caution, Danger, Warning], Published("en746-2"),
    levers ["controls.purge_time" Up, "controls.purge_air_flow" Up]
}

/// Least purge air over the most air of any duty (`en746-2`).
const LEAST_SHARE: f64 = 0.25;

/// Volumes of can and duct that an air flow blows through in a time.
fn volumes(s: &Solution<'_>, v: &mut Verdict, flow_kg_s: Option<f64>, time_s: f64) -> Option<f64> {
    let (burner, site) = (&s.rig.burner, &s.rig.site);
    let (Some(flow), Some(can)) = (flow_kg_s, burner.can_volume) else {
        v.not_checked("the rig file does not give the purge air flow or the volume of the can");
        return None;
    };
    let Some(duct) = burner.duct_volume else {
        v.not_checked("the rig file does not give `burner.duct_volume`");
        return None;
    };
    let Ok(air) = MoistAir::new(site.air_pressure, site.ambient, ratio(0.0)) else {
        v.not_checked("the density of the air cannot be computed");
        return None;
    };
    Some(flow * time_s / air.density().value / (can.value + duct.value))
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let Some(time) = controls.purge_time else {
        v.not_checked("the rig file does not give `controls.purge_time`");
        return;
    };
    let composition = &s.rig.fuel.composition;
    let lower = Flammability::of(composition).ok().map(|l| l.lower);
    let least = least_volumes(lower.filter(|_| usual_phase(composition) == FedAs::Gas));
    let indoor = s.rig.site.setting == Setting::Indoor;
    let find = |v: &mut Verdict, volumes: f64| {
        let worded = |volumes: f64| {
            let text = if volumes > 0.0 {
                format!("{} volumes", fixed(volumes, 1))
            } else {
                "none".to_owned()
            };
            Measured::Worded(Kind::Ratio, volumes, text)
        };
        let says = if volumes > 0.0 {
            v.rule.says()
        } else {
            "Nothing clears can and duct before light-up, where {limit} of air are wanted: unlit fuel in them goes off with the first spark.".to_owned()
        };
        v.says(says)
            .signal(if volumes <= 0.0 && indoor {
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
        v.not_checked("the rig file does not give `controls.purge_air_flow`");
    }
    // a purge too short as a whole is told once
    if let Some(volumes) = volumes.filter(|n| *n < least) {
        find(v, volumes);
    } else if let (Some(purge), Some(most)) = (given, most)
        && purge < LEAST_SHARE * most
    {
        v.says("The purge air of {measured} is under {limit}, a quarter of the most air: so slow a stream leaves corners unswept.")
            .advice("Purge with more air.")
            .find(
                "controls.purge_air_flow",
                (Kind::MassRate, purge),
                Limit::at_least(Kind::MassRate, LEAST_SHARE * most),
            );
    }
}
