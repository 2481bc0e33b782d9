//! How far long work has come: one line on the error stream, on a terminal only.

use std::io::Write;

/// A line that is written over itself and wiped at the end.
#[derive(Debug)]
pub struct Progress {
    shown: bool,
    total: usize,
    what: &'static str,
    last: Option<usize>,
}

impl Progress {
    /// For so many steps of something; nothing is written unless `shown`.
    pub fn new(shown: bool, total: usize, what: &'static str) -> Self {
        Self {
            shown,
            total,
            what,
            last: None,
        }
    }

    /// Says that so many are done.
    pub fn at(&mut self, done: usize) {
        let percent = 100 * done / self.total.max(1);
        if !self.shown || self.last == Some(percent) {
            return;
        }
        self.last = Some(percent);
        let mut err = std::io::stderr();
        // nobody may be reading: that is no failure of the work
        let _ = write!(
            err,
            "\r{done} of {} {} ({percent} %)",
            self.total, self.what
        );
        let _ = err.flush();
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown && self.last.is_some() {
            let mut err = std::io::stderr();
            let _ = write!(err, "\r{:60}\r", "");
            let _ = err.flush();
        }
    }
}
