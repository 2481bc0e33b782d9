//! A burner that tries again by itself after a failed start.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// How many times the burner tries again by itself after a failed start (`controls.retries`): none without a purge
    /// before each try, one with it. Common practice, no source. One that never locks out is the finding of its own rule.
    /// ## Why it matters
    /// Each try that fails leaves its fuel in can and duct, and the spark of the next one is there to light it.
    /// ## What to do
    /// Lock out after the first start that fails, and purge before every start.
    "SHU019", "restarts-by-itself", Shutdown, [Danger, Warning],
    Choice("one retry at most, after a purge; common practice, no source")
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
    v.signal(if unpurged && s.rig.site.setting == Setting::Indoor {
        Signal::Danger
    } else {
        Signal::Warning
    })
    .find(
        "controls.retries",
        (
            Kind::Ratio,
            f64::from(retries),
            format!(
                "{} by itself{}",
                tries(retries),
                if unpurged {
                    ", and no purge between"
                } else {
                    ""
                }
            ),
        ),
        Limit::AtMost(Measured::Worded(Kind::Ratio, f64::from(most), tries(most))),
    );
}
