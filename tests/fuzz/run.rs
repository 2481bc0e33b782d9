//! Runs cases until the time is up and judges how each ends.

use super::trip::Draw;
use super::{LONGEST, MOST_MEMORY_KB};
use fuelwright::{self as cli, Outcome};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, Once};
use std::time::{Duration, Instant};

/// How long each kind runs if nothing else is asked for.
const USUAL: Duration = Duration::from_secs(5);
/// A case that runs as long as this is told at once, and the process ended: it may never end.
const HANGS: Duration = Duration::from_mins(1);

/// A command line with the files that it reads.
pub(crate) struct Case {
    pub(crate) line: Vec<String>,
    pub(crate) files: Vec<(String, String)>,
}

/// What a draw made.
pub(crate) enum Kind {
    /// A command to be run.
    Command(Case),
    /// Something that was done already.
    Here(Ended),
}

/// How a case ended.
pub(crate) enum Ended {
    Answered,
    Refused,
    Wrong(String),
}

/// How the cases of one kind ended.
#[derive(Default)]
pub(crate) struct Tally {
    kind: &'static str,
    cases: u64,
    answered: u64,
    longest: (Duration, u64),
    /// What went wrong, with how often and the first case.
    wrong: BTreeMap<String, (u64, String)>,
}

impl Tally {
    /// Nothing went wrong, and this share at least was answered and not refused.
    #[track_caller]
    pub(crate) fn assert_answered(&self, share: f64) {
        let Self {
            kind,
            cases,
            answered,
            longest: (longest, case),
            wrong,
        } = self;
        let told = format!(
            "{kind}: {cases} cases, {answered} answered, longest {:.2} s of processor time (case {case}), at most {} MB of \
             memory",
            longest.as_secs_f64(),
            most_memory_kb() / 1000,
        );
        // shown with --nocapture
        println!("{told}");
        let list: Vec<_> = wrong
            .iter()
            .map(|(what, (times, first))| format!("{times} times: {what}\n    first: {first}"))
            .collect();
        assert!(list.is_empty(), "{told}\n{}", list.join("\n"));
        let enough = *cases < 100 || *answered as f64 > share * *cases as f64;
        assert!(enough, "too few answered: {told}");
    }
}

fn number_of(variable: &str) -> Option<u64> {
    std::env::var(variable).ok()?.parse().ok()
}

thread_local! {
    /// While a case runs on this thread: what its panic said, and where.
    static PANIC: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// What is running: kind, case, since when.
static RUNNING: Mutex<Vec<(&'static str, u64, Instant)>> = Mutex::new(Vec::new());

fn watch() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            PANIC.with_borrow_mut(|said| match said {
                Some(said) => *said = info.to_string(),
                None => usual(info),
            });
        }));
        std::thread::spawn(|| {
            loop {
                std::thread::sleep(Duration::from_secs(1));
                let running = RUNNING.lock().expect("no panic holds it");
                if let Some((kind, case, _)) = running.iter().find(|r| r.2.elapsed() > HANGS) {
                    eprintln!("{kind}: case {case} runs for {HANGS:?}");
                    std::process::abort();
                }
            }
        });
    });
}

/// Draws and runs cases of one kind until the time is up, or the one case that is asked for.
pub(crate) fn all(kind: &'static str, make: impl Fn(&mut Draw, &Path) -> Kind) -> Tally {
    watch();
    let only = number_of("FUELWRIGHT_FUZZ_CASE");
    let seed = number_of("FUELWRIGHT_FUZZ_SEED").unwrap_or(0);
    let time = number_of("FUELWRIGHT_FUZZ_SECONDS").map_or(USUAL, Duration::from_secs);
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{kind}"));
    std::fs::create_dir_all(&folder).expect("can be made");
    let start = Instant::now();
    let mut tally = Tally {
        kind,
        ..Tally::default()
    };
    let first = only.unwrap_or(0);
    for case in first.. {
        if (only.is_some() && case > first) || (only.is_none() && start.elapsed() > time) {
            break;
        }
        RUNNING
            .lock()
            .expect("no panic holds it")
            .push((kind, case, Instant::now()));
        let began = processor_time();
        let mut draw = Draw::seeded(seed.wrapping_mul(0x9e37_79b9).wrapping_add(case << 20));
        let mut shown = String::new();
        PANIC.set(Some("in another thread".to_owned()));
        let ended = catch_unwind(AssertUnwindSafe(|| match make(&mut draw, &folder) {
            Kind::Here(ended) => ended,
            Kind::Command(command) => {
                shown = format!("{:?}", command.line);
                for (name, text) in &command.files {
                    std::fs::write(folder.join(name), text).expect("can be written");
                }
                judged(&command.line, only.is_some())
            }
        }));
        let said = PANIC.take().unwrap_or_default();
        let took = processor_time().saturating_sub(began);
        RUNNING
            .lock()
            .expect("no panic holds it")
            .retain(|r| r.0 != kind);
        tally.cases += 1;
        if took > tally.longest.0 {
            tally.longest = (took, case);
        }
        let wrong = match ended {
            Err(_) => Some(format!("panics: {said}")),
            Ok(Ended::Wrong(what)) => Some(what),
            Ok(_) if took > LONGEST => Some(format!("takes longer than {LONGEST:?}")),
            Ok(_) if most_memory_kb() > MOST_MEMORY_KB => {
                // one case is told, not all that follow
                std::fs::write("/proc/self/clear_refs", "5").ok();
                Some(format!(
                    "takes more memory than {MOST_MEMORY_KB} KB, or what ran beside it does"
                ))
            }
            Ok(Ended::Answered) => {
                tally.answered += 1;
                None
            }
            Ok(Ended::Refused) => None,
        };
        if let Some(what) = wrong {
            let again = format!(
                "FUELWRIGHT_FUZZ_SEED={seed} FUELWRIGHT_FUZZ_CASE={case} cargo test --test fuzz {kind} -- --exact \
                 --nocapture  # {shown}, {:.1} s",
                took.as_secs_f64()
            );
            tally.wrong.entry(what).or_insert((0, again)).0 += 1;
        }
    }
    tally
}

/// Runs a command and looks at what it wrote.
fn judged(line: &[String], tell: bool) -> Ended {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.iter().map(String::as_str));
    let outcome = cli::run(all, 80, &mut out, &mut err);
    if tell {
        let told = String::from_utf8_lossy(&err);
        println!("{line:?}\n{outcome:?}\n{told}");
    }
    let (Ok(out), Ok(err)) = (String::from_utf8(out), String::from_utf8(err)) else {
        return Ended::Wrong("writes what is no text".to_owned());
    };
    let control = |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
    if out.contains(control) || err.contains(control) {
        return Ended::Wrong("writes a control character".to_owned());
    }
    if let Some(shown) = out.lines().find(|l| shows_no_number(l)) {
        return Ended::Wrong(format!("writes a number that is none: {}", shown.trim()));
    }
    if outcome == Outcome::Failed {
        return if !out.is_empty() {
            Ended::Wrong("fails, and writes an answer".to_owned())
        } else if err.starts_with("error") || err.contains("Usage: ") {
            Ended::Refused
        } else {
            Ended::Wrong(format!("fails without a word: {err}"))
        };
    }
    let json = line
        .windows(2)
        .any(|w| w[0] == "--format" && w[1] == "json");
    if json && out.starts_with('{') && serde_json::from_str::<serde_json::Value>(&out).is_err() {
        return Ended::Wrong("writes JSON that cannot be read".to_owned());
    }
    Ended::Answered
}

/// Whether a text shows a number that is none.
fn shows_no_number(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric() && c != '+' && c != '-')
        .any(|w| matches!(w, "NaN" | "-NaN" | "inf" | "-inf" | "+inf"))
}

/// Processor time of this thread, which does not grow while others have the machine; where the system does not tell,
/// the time that has passed.
fn processor_time() -> Duration {
    static START: std::sync::LazyLock<Instant> = std::sync::LazyLock::new(Instant::now);
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    told.and_then(|t| Some(Duration::from_nanos(t.split(' ').next()?.parse().ok()?)))
        .unwrap_or_else(|| START.elapsed())
}

/// Most memory that the process has had, in KB; nothing where the system does not tell.
fn most_memory_kb() -> u64 {
    let told = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = told.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.and_then(|l| l.trim().trim_end_matches(" kB").parse().ok())
        .unwrap_or(0)
}
