//! Too little air through can and duct before light-up.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::flow::air::MoistAir;
use crate::quantity::{Kind, ratio};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Volumes of can and duct that are blown through before light-up, against four; where no purge air is given, at most the
    /// most air of any duty.
    /// ## Why it matters
    /// Unlit fuel left in the duct goes off with the first spark. After four volumes of well mixed air
    /// about 2 % of it is left.
    /// ## What to do
    /// Purge longer or with more air; count the whole duct; purge again after every start that fails.
    ShortPurge, "SHU004", "short-purge", Shutdown
}

const LEAST: f64 = 4.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let (controls, burner, site) = (&s.rig.controls, &s.rig.burner, &s.rig.site);
    let Some(time) = controls.purge_time else {
        v.not_checked("the rig file gives no purge time");
        return;
    };
    let indoor = s.rig.site.setting == Setting::Indoor;
    let find = |v: &mut Verdict, volumes: f64| {
        v.find(
            if volumes <= 0.0 && indoor {
                Signal::Danger
            } else {
                Signal::Warning
            },
            "controls.purge_time",
            Measured::Worded(Kind::Ratio, volumes, format!("{volumes:.1} volumes")),
            Limit::AtLeast(Measured::Worded(
                Kind::Ratio,
                LEAST,
                format!("{LEAST} volumes"),
            )),
            Source::Published("nfpa86"),
            "purge longer or with more air, and again after every start that fails",
        );
    };
    if time.value <= 0.0 {
        find(v, 0.0);
        return;
    }
    let most = s.duties.iter().filter_map(|d| d.air).map(|a| a.value);
    let flow = controls.purge_air_flow.map(|f| f.value);
    let at_most = flow.is_none();
    let flow = flow.or_else(|| most.reduce(f64::max));
    let (Some(flow), Some(can)) = (flow, burner.can_volume) else {
        v.not_checked("the purge air flow or the volume of the can is not given");
        return;
    };
    let Some(duct) = burner.duct_volume else {
        v.not_checked("the volume of the duct is not given");
        return;
    };
    let air = MoistAir::new(site.air_pressure, site.ambient, ratio(0.0));
    let Ok(air) = air else {
        v.not_checked("the density of the air is not known");
        return;
    };
    let volumes = flow * time.value / air.density().value / (can.value + duct.value);
    if at_most && volumes >= LEAST {
        v.not_checked("the purge air flow is not given");
    }
    if volumes < LEAST {
        find(v, volumes);
    }
}
