//! Processor time and largest memory of a whole process. Unix only; memory is read from /proc while it runs.

use nix::sys::resource::{UsageWho, getrusage};
use nix::sys::time::TimeValLike;
use std::ffi::OsStr;
use std::fmt::Debug;
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// What a run cost.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cost {
    #[allow(dead_code, reason = "one bench holds the time on the clock")]
    pub(crate) processor_s: f64,
    pub(crate) peak_mb: f64,
}

/// User and system time of all children that have ended, s.
fn of_children() -> f64 {
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN).expect("the system tells");
    let us = usage.user_time().num_microseconds() + usage.system_time().num_microseconds();
    us as f64 * 1e-6
}

/// Largest resident memory of a process so far, MB.
fn peak_mb(child: &Child) -> Option<f64> {
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

/// One run in the project's folder; it must end with an answer (code 0 or 1).
pub(crate) fn cost(program: &Path, arguments: &[impl AsRef<OsStr> + Debug]) -> Cost {
    let before = of_children();
    let mut child = Command::new(program)
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut peak = 0.0_f64;
    let status = loop {
        peak = peak.max(peak_mb(&child).unwrap_or(0.0));
        if let Some(status) = child.try_wait().expect("the program can be waited for") {
            break status;
        }
    };
    assert!(
        status.code().is_some_and(|code| code < 2),
        "no answer: {arguments:?}"
    );
    Cost {
        processor_s: of_children() - before,
        peak_mb: peak,
    }
}
