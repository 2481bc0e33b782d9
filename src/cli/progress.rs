//! How far long work has come: one line on the error stream, on a terminal only.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressFinish, ProgressStyle};

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
