//! A burner that lights itself again after it went out.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Whether a failed start or a lost flame locks out until a person resets it.
    /// ## Why it matters
    /// A burner that tries again by itself lights what its last try left in the duct.
    /// ## What to do
    /// Use a burner control that locks out, and purge before every new start.
    NoLockout, "SHU009", "no-lockout", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    match s.rig.controls.lockout {
        None => v.not_checked("the rig file does not say whether a failed start locks out"),
        Some(true) => {}
        Some(false) => v.find(
            if s.rig.site.setting == Setting::Indoor {
                Signal::Danger
            } else {
                Signal::Warning
            },
            "controls.lockout",
            "none",
            Limit::Should("lock-out after a failed start or a lost flame"),
            Source::Published("nfpa86"),
            "use a burner control that locks out, and purge before every new start",
        ),
    }
}
