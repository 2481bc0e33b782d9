//! `audit --watch`: a rig audited each time its file is saved, told by what was cleared and raised.

use super::context::Context;
use super::error::CliError;
use super::page::Page;
use super::{Outcome, audit, rig};
use crate::input::MOST_BYTES;
use crate::input::file::{self, FileError};
use crate::quantity::printable::message;
use crate::report::finding::Finding;
use crate::report::{Report, Signal, text};
use notify::{RecommendedWatcher, RecursiveMode, Watcher};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// What wakes the watch.
enum Event {
    /// Something of the file or its folder changed.
    Touched,
    /// The person wants it to end.
    End,
}

/// Editors write, rename and set times one after the other: the file is read when so long nothing has come.
const SETTLED: Duration = Duration::from_millis(150);

/// Writes the audit with `first`, and its changes at each save, until the person ends it or nobody reads any more. A
/// file with mistakes says them, and the watch goes on.
///
/// # Errors
/// A file that cannot be read at the beginning, or not be watched.
pub fn watch<O: Write, E: Write>(
    path: &Path,
    context: &Context,
    page: Page,
    first: impl Fn(&Report, &mut O) -> Result<Outcome, CliError>,
    (out, err): (&mut O, &mut E),
) -> Result<Outcome, CliError> {
    // before the file is read, so that no save is missed
    let (events, _watcher) = events(path)?;
    let read = || file::text(path, MOST_BYTES);
    let mut text = read();
    if text.is_err() {
        rig::load(path, context)?;
    }
    let mut known = None;
    let mut said = false;
    loop {
        match told(path, context, page, &first, (&mut known, out)) {
            Err(e) if e.is_broken_pipe() => break,
            Err(e) => {
                // the error stream may be closed, and the answer still be read
                let shown = e.render(context.units, page.colour_of_messages);
                let _ = writeln!(err, "{shown}\n");
            }
            Ok(()) => {}
        }
        if !said {
            let line = format!(
                "Watching {}: save it to see what changes, Ctrl-C ends.",
                path.display()
            );
            if writeln!(out, "{}\n", message(&line))
                .and_then(|()| out.flush())
                .is_err()
            {
                break;
            }
            said = true;
        }
        loop {
            if !settled(&events) {
                return Ok(Outcome::Done);
            }
            let now = read();
            // a file that is being replaced is gone for a moment: its next event brings it back
            if now != text
                && !matches!(&now, Err(FileError::System(e)) if e.kind == ErrorKind::NotFound)
            {
                text = now;
                break;
            }
        }
    }
    Ok(Outcome::Done)
}

/// Audits the file and tells what is new of it.
fn told<O: Write>(
    path: &Path,
    context: &Context,
    page: Page,
    first: impl Fn(&Report, &mut O) -> Result<Outcome, CliError>,
    (known, out): (&mut Option<Known>, &mut O),
) -> Result<(), CliError> {
    let mut report = audit::of(&rig::load(path, context)?, context)?;
    report.cite_mentioned(&context.library);
    let now = Known::of(&report);
    match known {
        None => {
            first(&report, out)?;
            writeln!(out)?;
        }
        Some(before) => {
            let told = now.since(before, context, page.width);
            let told = if page.colour {
                told
            } else {
                text::plain(&told)
            };
            writeln!(out, "{told}")?;
        }
    }
    *known = Some(now);
    out.flush()?;
    Ok(())
}

/// Waits for a change and until it is over; `false`: the person ended it.
fn settled(events: &Receiver<Event>) -> bool {
    if !matches!(events.recv(), Ok(Event::Touched)) {
        return false;
    }
    loop {
        match events.recv_timeout(SETTLED) {
            Ok(Event::Touched) => {}
            Err(RecvTimeoutError::Timeout) => return true,
            Ok(Event::End) | Err(RecvTimeoutError::Disconnected) => return false,
        }
    }
}

/// Events of a file's folder, which stays when a file is saved under another name and renamed, and of Ctrl-C.
fn events(path: &Path) -> Result<(Receiver<Event>, RecommendedWatcher), CliError> {
    let not = |why: String| CliError::NotWatched {
        path: path.to_owned(),
        why,
    };
    let (send, events) = channel();
    let end = send.clone();
    let mut watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        // nobody listens any more: the program is about to end
        if event.is_ok_and(|e| !e.kind.is_access()) {
            let _ = send.send(Event::Touched);
        }
    })
    .map_err(|e| not(e.to_string()))?;
    for folder in folders(path) {
        let watched = watcher.watch(&folder, RecursiveMode::NonRecursive);
        watched.map_err(|e| not(e.to_string()))?;
    }
    let handler = ctrlc::set_handler(move || {
        let _ = end.send(Event::End);
    });
    handler.map_err(|e| not(e.to_string()))?;
    Ok((events, watcher))
}

/// The folder that a file stands in, and that of the file behind a link.
fn folders(path: &Path) -> Vec<PathBuf> {
    let of = |path: &Path| {
        let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
        folder.unwrap_or(Path::new(".")).to_owned()
    };
    let mut folders = vec![of(path)];
    if let Ok(behind) = path.canonicalize() {
        folders.push(of(&behind));
    }
    folders
}

/// What is known of a rig from its last audit.
struct Known {
    findings: Vec<Finding>,
    missing: Vec<String>,
}

impl Known {
    fn of(report: &Report) -> Self {
        let missing = report.json["missing"].as_array();
        let keys = missing
            .into_iter()
            .flatten()
            .filter_map(|m| m["key"].as_str());
        Self {
            findings: report.findings.clone().unwrap_or_default(),
            missing: keys.map(str::to_owned).collect(),
        }
    }

    /// What changed since.
    fn since(&self, before: &Self, context: &Context, width: usize) -> String {
        let raised = apart(&self.findings, &before.findings);
        let cleared = apart(&before.findings, &self.findings);
        let counts = Signal::ALL.map(|signal| {
            let n = self.findings.iter().filter(|f| f.signal == signal).count();
            format!("{n} {}", signal.word())
        });
        let incomplete = match self.missing.len() {
            0 => String::new(),
            1 => "; INCOMPLETE, 1 fact missing".to_owned(),
            n => format!("; INCOMPLETE, {n} facts missing"),
        };
        let headline = format!(
            "Saved: {} cleared, {} raised; now {}{incomplete}",
            cleared.len(),
            raised.len(),
            counts.join(", ")
        );
        let mut told = text::changes(
            &headline,
            &[("Cleared", cleared), ("Raised", raised)],
            (context.units, width),
        );
        for (what, now, then) in [
            ("Filled in", &before.missing, &self.missing),
            ("Missing now", &self.missing, &before.missing),
        ] {
            let keys: Vec<&str> = (now.iter().filter(|key| !then.contains(key)))
                .map(String::as_str)
                .collect();
            if !keys.is_empty() {
                for line in text::wrap(&format!("{what}: {}", keys.join(", ")), width) {
                    told.push_str(&line);
                    told.push('\n');
                }
            }
        }
        told
    }
}

/// Findings of one audit that the other has not, by rule, place and signal word.
fn apart(of: &[Finding], other: &[Finding]) -> Vec<Finding> {
    let key = |f: &Finding| (f.id.clone(), f.at.clone(), f.signal);
    let known: Vec<_> = other.iter().map(key).collect();
    let alone = of.iter().filter(|f| !known.contains(&key(f)));
    alone.cloned().collect()
}
