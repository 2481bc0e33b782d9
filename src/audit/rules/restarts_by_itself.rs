//! A burner that tries again by itself after a failed start.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// After a failed start the burner makes {measured} by itself, over {limit}: the spark finds the fuel of the last
    /// try.
    /// ## What it checks
    /// How often the burner tries again by itself after a failed start (`controls.retries`): once at most with a
    /// purge before each try, never without. Common practice, no source. A burner that never locks out has a rule of
    /// its own.
    /// ## Why it matters
    /// Each failed try leaves its fuel in can and duct, and the spark of the next one is there to light it.
    /// ## What to do
    /// Lock out after the first failed start, and purge before every start.
    "SHU019", "restarts-by-itself", Shutdown, [Danger, Warning],
    Choice("one retry at most, after a purge; common practice, no source"),
    levers ["controls.retries" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let Some(retries) = controls.retries.filter(|n| *n > 0) else {
        return;
    };
    let unpurged = controls.purge_time.is_none_or(|t| t.value <= 0.0);
    let most = u32::from(!unpurged);
    if retries <= most || controls.lockout == Some(false) {
        return;
    }
    let tries = |n: u32| match n {
        0 => "none".to_owned(),
        1 => "1 retry".to_owned(),
        n => format!("{n} retries"),
    };
    let says = if unpurged {
        "After a failed start the burner makes {measured} by itself without a purge ({limit} allowed): the spark finds the fuel of the last try.".to_owned()
    } else {
        v.rule.says()
    };
    v.says(says)
        .signal(if unpurged && s.rig.site.setting == Setting::Indoor {
            Signal::Danger
        } else {
            Signal::Warning
        })
        .find(
            "controls.retries",
            (Kind::Ratio, f64::from(retries), tries(retries)),
            Limit::AtMost(Measured::Worded(Kind::Ratio, f64::from(most), tries(most))),
        );
}
