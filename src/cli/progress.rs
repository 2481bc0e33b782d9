//! How far long work has come: one line on the error stream, on a terminal only.

use super::context::Context;
use crate::remedy::Search;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressFinish, ProgressStyle};
use std::sync::atomic::{AtomicBool, Ordering};

/// Set by Ctrl-C: there is one of it a process.
static STOPPED: AtomicBool = AtomicBool::new(false);

/// Whether Ctrl-C was pressed since it was first asked for: a search then tells what it has found.
pub(super) fn stopped() -> impl Fn() -> bool + Sync {
    // one that is set already is that of an earlier search
    let _ = ctrlc::set_handler(|| STOPPED.store(true, Ordering::Relaxed));
    || STOPPED.load(Ordering::Relaxed)
}

/// A line for so many steps of something, wiped at the end; nothing is written unless `shown`.
pub(super) fn progress(shown: bool, total: usize, what: &'static str) -> ProgressBar {
    let target = if shown {
        ProgressDrawTarget::stderr()
    } else {
        ProgressDrawTarget::hidden()
    };
    let style = ProgressStyle::with_template("{pos} of {len} {msg} ({percent} %)");
    ProgressBar::with_draw_target(Some(total as u64), target)
        .with_style(style.expect("the template is well formed"))
        .with_message(what)
        .with_finish(ProgressFinish::AndClear)
}

/// Searches changes of a rig, so many in all, with a line of progress, until somebody wants it to end.
pub(super) fn searching<T>(
    context: &Context,
    total: usize,
    what: &'static str,
    search: impl FnOnce(&Search<'_>) -> T,
) -> T {
    let progress = progress(context.progress, total, what);
    search(&Search {
        library: &context.library,
        units: context.units,
        today: context.today,
        stopped: &stopped(),
        done: &|| progress.inc(1),
    })
}
