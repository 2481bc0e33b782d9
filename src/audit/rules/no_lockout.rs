//! A burner that lights itself again after it went out.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// The burner control does not lock out after a failed start or a lost flame: it lights what the last try left in
    /// the duct.
    /// ## What it checks
    /// Whether a failed start or a lost flame locks out until a person resets it.
    /// ## Why it matters
    /// A burner that tries again by itself lights what its last try left in the duct.
    /// ## What to do
    /// Fit a burner control that locks out, and purge before every new start.
    "SHU009", "no-lockout", Shutdown, [Danger, Warning], Published("nfpa86");
    asks: |s| s.rig.controls.lockout,
    at: "controls.lockout",
    no: "none",
    should: "lock-out after a failed start or a lost flame",
    outdoors: Warning,
    unknown: "the rig file does not say whether a failed start locks out"
}
