//! A folder of a test, and a command line as it answers.

use fuelwright::{Outcome, run};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Folders so far: two of one name are two.
static MADE: AtomicUsize = AtomicUsize::new(0);

/// A folder of a test, empty at first and gone at the end.
pub(super) struct Folder(PathBuf);

impl Folder {
    pub(super) fn new(name: &str) -> Self {
        let made = MADE.fetch_add(1, Ordering::Relaxed);
        let name = format!("fuelwright-{name}-{}-{made}", std::process::id());
        let path = std::env::temp_dir().join(name);
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("can be made");
        Self(path)
    }
    /// Where it is.
    pub(super) fn whole(&self) -> &Path {
        &self.0
    }
    /// Path of a file in it.
    pub(super) fn path(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }
    /// Path of a file in it that is written.
    pub(super) fn file(&self, name: &str, text: &str) -> String {
        std::fs::write(self.0.join(name), text).expect("can be written");
        self.path(name)
    }
    /// Names of what is in it, in order.
    pub(super) fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).expect("readable");
        let mut names: Vec<String> = entries
            .map(|e| e.expect("readable").file_name().to_string_lossy().into())
            .collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Output and messages of a line, 80 columns wide.
pub(super) fn said(line: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.iter().copied());
    let outcome = run(all, 80, &mut out, &mut err);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (outcome, text(out), text(err))
}
